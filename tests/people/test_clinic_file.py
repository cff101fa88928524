"""A clinic's bundle becomes proposals, or is refused: never half read, never of somebody else."""

from __future__ import annotations

import json
import random
from datetime import date
from typing import Any

import pytest
from fhir.resources.R4B.bundle import Bundle

from setwright.body.units import LB_KG
from setwright.faults import InputFaults
from setwright.people.clinic_codes import OWN
from setwright.people.clinic_file import read_clinic
from setwright.people.clinic_limits import limit_extension
from setwright.people.clinic_values import ClinicMass, ClinicPain
from setwright.people.trainee import Clearance, RangeMeasure, Restriction, Screening, Trainee
from setwright.services.clinic import look_at_clinic

ME = {"reference": "Patient/p"}
PATIENT = {"resourceType": "Patient", "id": "p", "name": [{"given": ["Invented"], "family": "Person"}]}
REQUEST = {
    "resourceType": "ServiceRequest",
    "status": "active",
    "intent": "order",
    "doNotPerform": True,
    "subject": ME,
    "authoredOn": "2026-09-01",
    "requester": {"display": "Invented Physiotherapist"},
    "code": {"text": "Knee flexion under load over 60 degrees"},
    "bodySite": [{"text": "Left knee"}],
}


def measure(value: float, unit: str, text: str = "", loinc: str = "", **more: Any) -> dict[str, Any]:
    """An observation of the invented person, in UCUM."""
    code: dict[str, Any] = {"text": text} if text else {"coding": [{"system": "http://loinc.org", "code": loinc}]}
    return {
        "resourceType": "Observation",
        "status": "final",
        "code": code,
        "subject": ME,
        "effectiveDateTime": "2026-09-01T10:00:00+02:00",
        "valueQuantity": {"value": value, "system": "http://unitsofmeasure.org", "code": unit},
        **more,
    }


def bundle(*resources: dict[str, Any]) -> str:
    """A bundle of the invented person. That it is FHIR is checked by fhir.resources, not by us."""
    entries = [{"fullUrl": f"http://invented.invalid/{at}", "resource": one} for at, one in enumerate(resources)]
    made = {"resourceType": "Bundle", "type": "collection", "entry": [{"resource": PATIENT}, *entries]}
    Bundle.model_validate(made)
    return json.dumps(made)


def test_a_limit_in_words_is_read_with_its_side_its_angle_and_who_set_it() -> None:
    (limit,) = read_clinic(bundle(REQUEST), "clinic.json").restrictions

    assert (limit.joint, limit.side, limit.max_angles) == ("knee", "left", {"knee-flexion": 60.0})
    assert (limit.set_by, limit.since) == ("Invented Physiotherapist", date(2026, 9, 1))
    assert "over 60 degrees" in limit.reason


def test_measures_are_read_in_our_units() -> None:
    """Pound: 0.45359237 kg, the international agreement of 1959, from memory; pi rad = 180 degrees."""
    left = {"bodySite": {"coding": [{"system": "http://snomed.info/sct", "code": "7771000"}]}}
    text = bundle(
        measure(180, "[lb_av]", loinc="29463-7"),
        measure(3.141592653589793 / 2, "rad", "Knee flexion, passive", **left),
        measure(95, "mm", "Knee to wall", bodySite={"text": "right ankle"}),
        measure(4, "{score}", loinc="72514-3", bodySite={"text": "left knee"}),
    )

    found = read_clinic(text, "clinic.json")

    day = date(2026, 9, 1)
    assert found.called == "Invented Person"
    assert found.masses == (ClinicMass(day, pytest.approx(180 * LB_KG)),)
    assert found.range_measures == (
        RangeMeasure(day, "knee-flexion", pytest.approx(90.0), "deg", "left"),
        RangeMeasure(day, "knee-to-wall", pytest.approx(9.5), "cm", "right"),
    )
    assert found.pains == (ClinicPain(day, "left knee", 4),)
    assert not found.unread


@pytest.mark.parametrize(
    ("resource", "says"),
    [
        (measure(120, "mm[Hg]", loinc="8480-6"), "http://loinc.org 8480-6"),
        (measure(80, "kg", loinc="29463-7", status="entered-in-error"), "entered-in-error"),
        (measure(80, "[stone_av]", loinc="29463-7"), "[stone_av]"),
        (measure(9.5, "cm", "Knee flexion") | {"effectiveDateTime": "2026-09"}, "2026-09"),
        (measure(40, "deg", "Knee to wall"), "measured in cm"),
        (measure(3.5, "{score}", loinc="72514-3"), "whole numbers"),
        (
            measure(5, "{score}", loinc="72514-3")
            | {
                "valueQuantity": {
                    "value": 5,
                    "comparator": ">",
                    "code": "{score}",
                    "system": "http://unitsofmeasure.org",
                }
            },
            "not one value",
        ),
        (REQUEST | {"status": "revoked"}, "revoked"),
        (REQUEST | {"doNotPerform": False}, "only what must not be done"),
        (REQUEST | {"code": {"text": "See the letter"}, "bodySite": []}, "not understood whole"),
        (REQUEST | {"modifierExtension": [{"url": "http://invented.invalid/x", "valueBoolean": True}]}, "modifier"),
        ({"resourceType": "Condition", "subject": ME, "code": {"text": "Invented"}}, "this kind of resource"),
    ],
)
def test_what_is_not_understood_is_listed_and_never_half_read(resource: dict[str, Any], says: str) -> None:
    if not resource.get("bodySite", True):
        resource = {key: value for key, value in resource.items() if key != "bodySite"}

    found = read_clinic(bundle(resource), "clinic.json")

    assert len(found.unread) == 1 and says in found.unread[0]
    assert not (found.restrictions or found.masses or found.range_measures or found.pains)


def test_words_beside_a_limit_that_is_read_are_listed() -> None:
    note = [{"text": "Two weeks after the operation only in the pool, xyzzy with the left elbow and hip."}]

    found = read_clinic(bundle(REQUEST | {"note": note}), "clinic.json")

    assert [one.joint for one in found.restrictions] == ["knee"] and "xyzzy" in found.unread[0]


@pytest.mark.parametrize(
    ("text", "path", "found"),
    [
        ("{", "", "no JSON"),
        ("[]", "resourceType", "nothing"),
        (json.dumps(PATIENT), "resourceType", "Patient"),
        (json.dumps({"resourceType": "Bundle", "type": "collection"}), "entry", "nothing"),
        (
            json.dumps({"resourceType": "Bundle", "type": "collection", "entry": [{}]}),
            "entry[0].resource",
            "no resource",
        ),
        (bundle(measure(800, "kg", loinc="29463-7")), "entry[1].resource.valueQuantity.value", "800"),
        (bundle(measure(11, "{score}", loinc="72514-3")), "entry[1].resource.valueQuantity.value", "11"),
        (bundle(measure(5, "kg", loinc="29463-7") | {"subject": {"reference": "Patient/q"}}), "subject", "2 persons"),
        ("[" * 100_000, "", "no JSON"),
        (
            json.dumps({"resourceType": "Bundle", "entry": [{"resource": PATIENT | {"name": [{"given": 1.5}]}}, {}]}),
            "entry[1].resource",
            "no resource",
        ),
    ],
)
def test_what_can_not_be_read_or_be_true_is_one_clear_fault(text: str, path: str, found: str) -> None:
    with pytest.raises(InputFaults) as refused:
        read_clinic(text, "clinic.json")

    (fault,) = refused.value.faults
    assert (fault.file, fault.path) == ("clinic.json", path) and found in fault.found


def test_an_activity_of_a_plan_that_is_over_sets_no_limit() -> None:
    def plan(status: str) -> dict[str, Any]:
        detail = {"status": status, "doNotPerform": True, "code": {"text": "No hangs"}}
        return {
            "resourceType": "CarePlan",
            "status": "active",
            "intent": "plan",
            "subject": ME,
            "activity": [{"detail": detail}],
        }

    assert read_clinic(bundle(plan("in-progress")), "clinic.json").restrictions
    over = read_clinic(bundle(plan("cancelled")), "clinic.json")
    assert not over.restrictions and "cancelled" in over.unread[0]


SOMEBODY = Trainee("invented", "Invented", 1990, 78.0, 1.79, 3.0, (), Screening(True), invented=True)
JUNK: tuple[Any, ...] = (None, True, 0, -1.5, 1e400, "", "x", "2026-13-45", [], [1], {}, {"x": 1}, [[{}]], [None])


def spoiled(value: Any, at: random.Random) -> Any:
    """The value with one place of it, however deep, replaced by junk."""
    if isinstance(value, dict | list) and value and at.random() < 0.85:
        key = at.choice(list(value)) if isinstance(value, dict) else at.randrange(len(value))
        made = dict(value) if isinstance(value, dict) else list(value)
        made[key] = spoiled(value[key], at)
        return made
    return at.choice(JUNK)


def test_no_spoiled_file_ends_in_anything_but_values_or_faults() -> None:
    """Law: whatever a file holds, it is read, listed or refused. Seeds 0 to 2499, the failing one is shown."""
    ours = limit_extension(
        Restriction(
            "x", "knee", clearance=Clearance("y", date(2026, 1, 2), "z"), max_angles={"knee-flexion": 60.0}, grip_max=1
        )
    )
    detail = {"status": "in-progress", "doNotPerform": True, "extension": [ours], "code": {"text": "No hangs"}}
    plan = {
        "resourceType": "CarePlan",
        "status": "active",
        "activity": [{"detail": detail}],
        "author": {"display": "w"},
    }
    rpe = {"coding": [{"system": f"{OWN}/measure", "code": "session-rpe"}]}
    resources = [
        *(
            PATIENT,
            REQUEST | {"note": [{"text": "n"}]},
            plan,
            measure(5, "{score}", loinc="72514-3", bodySite={"text": "a"}),
        ),
        *(
            measure(80, "kg", loinc="29463-7"),
            measure(6, "{score}") | {"code": rpe, "component": [], "note": [{"text": "n"}]},
        ),
        measure(40, "deg", "Knee flexion", bodySite={"coding": [{"system": "s", "code": "7771000"}]}),
    ]
    bundle = {"resourceType": "Bundle", "type": "collection", "entry": [{"resource": one} for one in resources]}
    read = refused = 0
    for seed in range(2500):
        at = random.Random(seed)
        broken = spoiled(spoiled(bundle, at), at)
        try:
            look_at_clinic(json.dumps(broken), "clinic.json", SOMEBODY)
            read += 1
        except InputFaults:
            refused += 1
        except Exception as error:
            raise AssertionError(f"seed {seed}: {error!r}") from error

    assert read > 100 and refused > 100


def test_a_limit_with_a_field_that_can_not_be_is_refused_before_it_is_shown() -> None:
    wrong = limit_extension(Restriction("x", "knee", level="gentle", grip_max=9))  # type: ignore[arg-type]
    detail = {"status": "in-progress", "doNotPerform": True, "extension": [wrong], "code": {"text": "No hangs"}}
    plan = {
        "resourceType": "CarePlan",
        "status": "active",
        "intent": "plan",
        "subject": ME,
        "activity": [{"detail": detail}],
    }

    with pytest.raises(InputFaults) as refused:
        look_at_clinic(bundle(plan), "clinic.json", SOMEBODY)

    assert [one.path for one in refused.value.faults] == ["limit 1.grip_max", "limit 1.level"]
