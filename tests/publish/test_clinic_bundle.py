"""What goes to a clinic is FHIR that a general library reads, tells no more than was allowed, and comes back equal."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from fhir.resources.R4B.bundle import Bundle
from made_block import PERSON, made_block
from ucumvert import get_ucum_parser

from setwright.catalogue.load import catalogue
from setwright.people.clinic_codes import (
    ANGLES_DEG,
    LENGTHS_CM,
    MASSES_KG,
    MINUTES,
    OWN,
    SCORES,
    UCUM,
    UCUM_UNITS,
)
from setwright.people.clinic_file import read_clinic
from setwright.people.clinic_values import ClinicStrength
from setwright.people.trainee import Clearance, Goal, RangeMeasure, Restriction
from setwright.plan.block import Block
from setwright.publish.clinic_bundle import Outgoing, clinic_bundle, clinic_values
from setwright.strength.logged import Log, LoggedSession, LoggedSet

KNEE = Restriction(
    "anna-s-knee",
    "knee",
    "left",
    ("flexion",),
    "light",
    {"knee-flexion": 60.0},
    ("deep-squat", "kneeling"),
    impact_max=1,
    wanted=("holds",),
    reason="Invented: hurts going down stairs at her sister's.",
    since=date(2026, 8, 1),
    review_on=date(2026, 10, 1),
    set_by="Invented Physiotherapist",
    needs_clearance=True,
    clearance=Clearance("Invented Physiotherapist", date(2026, 8, 20), "holds and short range", date(2026, 12, 1), 3),
)
LOG = Log(
    (
        LoggedSet(date(2026, 9, 7), 1, "mon", "back_squat", 1, 80, "total", 5, 2.0, pain=2, pain_where="left knee"),
        LoggedSet(date(2026, 9, 7), 1, "mon", "back_squat", 2, 80, "total", 5, 2.0, pain=3, pain_where="left knee"),
        LoggedSet(date(2026, 9, 10), 1, "thu", "row_cable", 1, 60, "total", 8, 2.0),
    ),
    (
        LoggedSession(date(2026, 9, 7), 1, "mon", 6.5, 58.0, "slept badly, invented"),
        LoggedSession(date(2026, 9, 8), 1, "tue", None, None, morning_pain=4, pain_where="left knee"),
        LoggedSession(date(2026, 9, 10), 1, "thu", None, 55.0),
    ),
)
STRENGTH = (ClinicStrength(date(2026, 9, 10), "back_squat", 118.25, 109.5, 127.125),)
ALL = Outgoing("Invented Person", is_name=True, pain=True, notes=True)
LEAST = Outgoing("P-17")


def clinic_block() -> Block:
    """The invented block of somebody with a sore knee, ranges that were measured, and goals."""
    made = made_block()
    trainee = replace(
        PERSON,
        restrictions=(KNEE, replace(KNEE, id="limit-2", joint="shoulder", clearance=None, max_angles={})),
        range_measures=(
            RangeMeasure(date(2026, 8, 30), "knee-to-wall", 9.5, "cm", "left"),
            RangeMeasure(date(2026, 8, 30), "knee-flexion", 118.0, "deg", "right"),
            RangeMeasure(date(2026, 8, 30), "trunk-flexion", 70.0, "deg", "both"),
        ),
        goals=(Goal("strength", "back_squat", 1, 130, "kg", date(2026, 12, 1)), Goal("work-capacity", "", 3)),
    )
    return replace(made, inputs=replace(made.inputs, trainee=trainee))


def bundle_of(may: Outgoing) -> dict[str, Any]:
    """The bundle as JSON values."""
    block = clinic_block()
    return json.loads(clinic_bundle(block, clinic_values(block, LOG, STRENGTH, may), may, catalogue()))


def resources(bundle: dict[str, Any], kind: str) -> list[dict[str, Any]]:
    """The resources of one kind."""
    return [one["resource"] for one in bundle["entry"] if one["resource"]["resourceType"] == kind]


def every_value(value: object, key: str) -> list[Any]:
    """Every value below a key, however deep."""
    found: list[Any] = []
    if isinstance(value, dict):
        found += [value[key]] if key in value else []
        found += [one for held in value.values() for one in every_value(held, key)]
    elif isinstance(value, list):
        found += [one for held in value for one in every_value(held, key)]
    return found


@pytest.mark.parametrize("may", [ALL, LEAST], ids=["all", "least"])
def test_the_bundle_is_read_by_a_general_library(may: Outgoing) -> None:
    """Referee: fhir.resources, its R4B classes, which refuse unknown keys, wrong types and missing elements.

    R4B (4.3.0) and R4 (4.0.1) have the same CarePlan, Goal, Observation, Patient and Bundle: "None of the resources
    that changed in R4B existed in R3" (hl7.org/fhir/R4B/r3maps.html, seen), and all five did; the list of what changed
    names none of them (hl7.org/fhir/R4B/history.html, seen down to the removed MedicinalProduct resources).
    """
    bundle = bundle_of(may)

    read = Bundle.model_validate(bundle)

    assert read.type == "collection"
    assert len(read.entry) == len(bundle["entry"]) > 10
    assert json.loads(read.model_dump_json(by_alias=True, exclude_none=True))["entry"] == bundle["entry"]


def test_the_library_does_refuse_what_is_no_fhir() -> None:
    bundle = bundle_of(LEAST)
    resources(bundle, "CarePlan")[0]["headline"] = "no such element"

    with pytest.raises(ValueError, match="headline"):
        Bundle.model_validate(bundle)


# Required bindings of FHIR R4 for what we write, from the value sets of the standard (care-plan-activity-status seen on
# hl7.org; the others from memory).
BINDINGS = {
    ("CarePlan", "status"): {"draft", "active", "on-hold", "revoked", "completed", "entered-in-error", "unknown"},
    ("CarePlan", "intent"): {"proposal", "plan", "order", "option"},
    ("Goal", "lifecycleStatus"): {
        *("proposed", "planned", "accepted", "active", "on-hold", "completed"),
        *("cancelled", "entered-in-error", "rejected"),
    },
    ("Observation", "status"): {
        *("registered", "preliminary", "final", "amended", "corrected"),
        *("cancelled", "entered-in-error", "unknown"),
    },
}
ACTIVITY = {
    *("not-started", "scheduled", "in-progress", "on-hold", "completed"),
    *("cancelled", "stopped", "unknown", "entered-in-error"),
}
UNITS_OF_TIME = {"s", "min", "h", "d", "wk", "mo", "a"}
CATEGORIES = {
    *("social-history", "vital-signs", "imaging", "laboratory", "procedure", "survey", "exam", "therapy", "activity"),
}


def test_codes_are_those_that_the_standard_requires() -> None:
    bundle = bundle_of(ALL)

    for (kind, key), allowed in BINDINGS.items():
        found = [one[key] for one in resources(bundle, kind)]
        assert found and set(found) <= allowed, (kind, key)
    (plan,) = resources(bundle, "CarePlan")
    details = [one["detail"] for one in plan["activity"]]
    assert {one["status"] for one in details} <= ACTIVITY
    assert set(every_value(plan, "durationUnit")) <= UNITS_OF_TIME
    groups = [one["category"][0]["coding"][0]["code"] for one in resources(bundle, "Observation")]
    assert set(groups) <= CATEGORIES


def test_every_address_inside_the_bundle_leads_to_a_resource() -> None:
    bundle = bundle_of(ALL)
    addresses = [one["fullUrl"] for one in bundle["entry"]]

    assert len(set(addresses)) == len(addresses)
    assert set(every_value(bundle, "reference")) <= set(addresses)


def test_every_unit_is_ucum() -> None:
    """Referee: ucumvert, a parser of the grammar of UCUM."""
    parser = get_ucum_parser()
    units = [one for one in every_value(bundle_of(ALL), "valueQuantity") if one["system"] == UCUM]
    coming = {*MASSES_KG, *ANGLES_DEG, *LENGTHS_CM, *SCORES, *MINUTES} - {""}

    assert len(units) == len(every_value(bundle_of(ALL), "valueQuantity")) > 10
    for code in {*(one["code"] for one in units), *UCUM_UNITS.values(), *coming}:
        assert parser.parse(code) is not None
    with pytest.raises(Exception, match=r"No terminal|Unexpected"):
        parser.parse("lbs")


def test_body_mass_is_a_vital_sign_with_its_code() -> None:
    """The profile "bodyweight" of FHIR: LOINC 29463-7, category vital-signs, a quantity in kg, g or [lb_av]."""
    (mass,) = [one for one in resources(bundle_of(ALL), "Observation") if "vital-signs" in str(one["category"])]

    assert {"system": "http://loinc.org", "code": "29463-7", "display": "Body weight"} in mass["code"]["coding"]
    assert mass["valueQuantity"] == {"value": 78.0, "unit": "kg", "system": UCUM, "code": "kg"}
    assert "unknown" in str(mass["_effectiveDateTime"])


def test_the_plan_holds_each_session_and_each_limit() -> None:
    block = clinic_block()
    (plan,) = resources(bundle_of(LEAST), "CarePlan")
    details = [one["detail"] for one in plan["activity"]]
    sessions = [one for one in details if not one["doNotPerform"]]

    assert len(sessions) == sum(len(week.sessions) for week in block.weeks) > 0
    assert sessions[0]["scheduledTiming"]["event"] == ["2026-09-07"]
    assert [one["status"] for one in sessions[:3]] == ["completed", "completed", "not-started"]
    assert "kg" in sessions[0]["description"]
    limits = [one for one in details if one["doNotPerform"]]
    assert [one["code"]["text"] for one in limits] == ["Limit: left knee", "Limit: left shoulder"]
    assert "Knee flexion under load: 60 degrees at most." in limits[0]["description"]


def test_only_what_was_allowed_goes_out() -> None:
    least = json.dumps(bundle_of(LEAST), ensure_ascii=False)

    secrets = ["Invented Person", "Invented Physiotherapist", "anna", "sister", "slept badly", "72514-3"]
    secrets += [PERSON.id + '"', "Invented gym", "Invented block", "1990", "male"]
    for text in secrets:
        assert text not in least, text
    whole = json.dumps(bundle_of(ALL), ensure_ascii=False)
    for text in secrets[:6]:
        assert text in whole, text


@pytest.mark.parametrize("may", [ALL, LEAST], ids=["all", "least"])
def test_what_goes_out_comes_back_the_same(may: Outgoing) -> None:
    block = clinic_block()
    values = clinic_values(block, LOG, STRENGTH, may)

    read = read_clinic(clinic_bundle(block, values, may, catalogue()).decode(), "clinic.json")

    assert replace(read, unread=()) == values
    assert values.restrictions and values.sessions and values.strengths
    assert bool(values.pains) == may.pain


def test_the_same_values_give_the_same_bytes_and_another_name_other_addresses() -> None:
    block = clinic_block()
    values = clinic_values(block, LOG, STRENGTH, LEAST)

    first = clinic_bundle(block, values, LEAST, catalogue())

    assert first == clinic_bundle(block, values, LEAST, catalogue())
    other = json.loads(clinic_bundle(block, values, replace(LEAST, called="P-18"), catalogue()))
    assert other["entry"][0]["fullUrl"] != json.loads(first)["entry"][0]["fullUrl"]


def test_codes_of_our_own_say_so() -> None:
    systems = set(every_value(bundle_of(ALL), "system"))

    own = {one for one in systems if one.startswith(OWN)}
    assert own and systems - own == {
        UCUM,
        "http://loinc.org",
        "http://snomed.info/sct",
        "http://terminology.hl7.org/CodeSystem/observation-category",
        "http://terminology.hl7.org/CodeSystem/data-absent-reason",
    }
