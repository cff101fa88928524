"""A FHIR R4 bundle (JSON) from a clinic, or one that we wrote, as values: limits, measures, pain, body mass.

Two ideas: what is read is a proposal for the coach and nothing more; and what is not understood whole is listed, never
half read: another status, a modifier, a unit or a code that is not known here.

Source of the structure: HL7 FHIR R4 (4.0.1). That a resource with a modifier extension that one does not know must
not be used is the standard's own rule.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any, Literal

from setwright.body.range_of_motion import range_tests, slug_of_test
from setwright.faults import Fault, InputFaults
from setwright.people.clinic_codes import (
    ANGLES_DEG,
    BODY_MASS,
    LENGTHS_CM,
    LOINC,
    MASSES_KG,
    MINUTES,
    OWN,
    PAIN,
    SCORES,
    SIDE_CODES,
    SNOMED,
)
from setwright.people.clinic_limits import URL, limit_in
from setwright.people.clinic_parts import (
    NotRead,
    Reading,
    code_in,
    codes_of,
    day_of,
    listed,
    mapping,
    measured,
    text_of,
)
from setwright.people.clinic_values import ClinicFile, ClinicMass, ClinicPain, ClinicSession, ClinicStrength
from setwright.people.intake import MOTIONS
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import RangeMeasure, Restriction

MOST_ENTRIES = 20_000
MOST_WORDS = 300
STANDS = ("final", "amended", "corrected")  # states of an observation that is a result
HOLDS = ("active", "on-hold")  # states of a request or plan that is in force
OVER = ("completed", "cancelled", "stopped", "entered-in-error")  # states of an activity that is not
SIDES: dict[str, Literal["left", "right", "both"]] = {"left": "left", "right": "right", "both": "both"}


def read_clinic(text: str, file: str) -> ClinicFile:
    """Everything understood of a bundle, and what was not. InputFaults where it is none, or not of one person."""
    entries = resources_in(text, file)
    called = one_person(entries, file)
    found = Reading(file)
    for at, _, resource in entries:
        read_resource(resource, at, found)
    if found.faults:
        raise InputFaults(found.faults)
    return ClinicFile(
        called,
        tuple(found.limits),
        tuple(found.ranges),
        tuple(found.masses),
        tuple(found.pains),
        tuple(found.sessions),
        tuple(found.strengths),
        tuple(found.unread),
    )


def resources_in(text: str, file: str) -> list[tuple[str, str, Mapping[str, Any]]]:
    """The resources of a bundle: where each stands, its full address, itself."""
    allowed = "a FHIR R4 Bundle as JSON"
    try:
        bundle = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise InputFaults([Fault(file, "", f"no JSON: {error}"[:120], allowed)]) from None
    kind = bundle.get("resourceType") if isinstance(bundle, dict) else None
    if kind != "Bundle":
        hint = "Ask for the patient's resources in one Bundle." if kind else ""
        raise InputFaults([Fault(file, "resourceType", repr(kind) if kind else "nothing", allowed, hint)])
    entries = bundle.get("entry", [])
    if not isinstance(entries, list) or not entries:
        raise InputFaults([Fault(file, "entry", "nothing", "a list of resources")])
    if len(entries) > MOST_ENTRIES:
        raise InputFaults([Fault(file, "entry", f"{len(entries)} resources", f"at most {MOST_ENTRIES}")])
    found: list[tuple[str, str, Mapping[str, Any]]] = []
    for number, one in enumerate(entries):
        resource = one.get("resource") if isinstance(one, dict) else None
        at = f"entry[{number}].resource"
        if not isinstance(resource, dict) or not isinstance(resource.get("resourceType"), str):
            raise InputFaults([Fault(file, at, "no resource", "a resource with its resourceType")])
        found.append((at, str(one.get("fullUrl", "")), resource))
    return found


def one_person(entries: Sequence[tuple[str, str, Mapping[str, Any]]], file: str) -> str:
    """What the one person of a bundle is called; a fault where it is about several."""
    patients = [(address, one) for _, address, one in entries if one["resourceType"] == "Patient"]
    same = {address for address, _ in patients} | {f"Patient/{one.get('id')}" for _, one in patients}
    said = {str(mapping(one.get("subject")).get("reference", "")) for _, _, one in entries if one.get("subject")}
    others = {one for one in said if one not in same} - {""}
    if len(patients) + len(others) > 1:
        found = f"{len(patients) + len(others)} persons"
        hint = "A file of somebody else must not reach this trainee."
        raise InputFaults([Fault(file, "subject", found, "the resources of one person", hint)])
    return name_in(patients[0][1]) if patients else next(iter(others), "")


def name_in(patient: Mapping[str, Any]) -> str:
    """The name of a patient as a text, else their identifier."""
    for one in listed(patient.get("name")):
        parts = one.get("given")
        given = " ".join(str(part) for part in parts) if isinstance(parts, list) else ""
        name = str(one.get("text") or f"{given} {one.get('family', '')}").strip()
        if name:
            return name
    return next((str(one["value"]) for one in listed(patient.get("identifier")) if one.get("value")), "")


def read_resource(resource: Mapping[str, Any], at: str, found: Reading) -> None:
    """Reads one resource, or lists it as not read."""
    kind = resource["resourceType"]
    if kind == "Patient":
        return
    readers = {"Observation": read_observation, "CarePlan": read_plan, "ServiceRequest": read_request}
    try:
        if kind not in readers:
            raise NotRead("this kind of resource is not read")
        if resource.get("modifierExtension"):
            raise NotRead("it carries a modifier that is not known here")
        readers[kind](resource, at, found)
    except NotRead as why:
        text = text_of(resource.get("code")) or text_of(resource.get("description")) or str(resource.get("title", ""))
        found.unread.append(f"{kind}{f' {text!r}' if text else ''}: {why}.")


def read_observation(one: Mapping[str, Any], at: str, found: Reading) -> None:
    """Body mass, pain, a range of motion, a session or an estimated maximum."""
    if one.get("status") not in STANDS:
        raise NotRead(f"its status is {one.get('status')!r}")
    code = one.get("code")
    own = code_in(code, f"{OWN}/measure")
    codes = codes_of(code)
    if (LOINC, BODY_MASS[0]) in codes:
        day = None if not one.get("effectiveDateTime") else day_of(one, at, found)
        found.masses.append(ClinicMass(day, measured(one, MASSES_KG, 20, 400, at, found)))
    elif (LOINC, PAIN[0]) in codes:
        value = measured(one, SCORES, 0, 10, at, found)
        if value != int(value):
            raise NotRead(f"pain is kept in whole numbers; found {value:g}")
        found.pains.append(ClinicPain(day_of(one, at, found), text_of(one.get("bodySite")), int(value)))
    elif own == "session-rpe":
        found.sessions.append(session_in(one, at, found))
    elif own == "estimated-one-rm":
        ends = {code_in(part.get("code"), f"{OWN}/measure"): part for part in listed(one.get("component"))}
        if not {"p10", "p90"} <= set(ends):
            raise NotRead("its range is missing")
        low, high = (measured(ends[name], MASSES_KG, -300, 2000, at, found) for name in ("p10", "p90"))
        mean = measured(one, MASSES_KG, -300, 2000, at, found)
        slug = code_in(code, f"{OWN}/exercise")
        found.strengths.append(ClinicStrength(day_of(one, at, found), slug, mean, low, high))
    else:
        found.ranges.append(range_in(one, at, found))


def session_in(one: Mapping[str, Any], at: str, found: Reading) -> ClinicSession:
    """A session as done."""
    rpe = measured(one, SCORES, 0, 10, at, found) if one.get("valueQuantity") else None
    parts = {code_in(part.get("code"), f"{OWN}/measure"): part for part in listed(one.get("component"))}
    minutes = measured(parts["minutes"], MINUTES, 0, 1440, at, found) if "minutes" in parts else None
    note = " ".join(str(said.get("text", "")) for said in listed(one.get("note")))
    return ClinicSession(day_of(one, at, found), rpe, minutes, note)


def range_in(one: Mapping[str, Any], at: str, found: Reading) -> RangeMeasure:
    """A range of motion by our own code, or by a text that names a motion; NotRead for every other observation."""
    code = one.get("code")
    text = text_of(code)
    side = side_in(one.get("bodySite")) or side_in({"text": text})
    name = code_in(code, f"{OWN}/range-measure") or motion_named(text)
    if not name:
        shown = ", ".join(f"{system} {one}" for system, one in sorted(codes_of(code)))
        raise NotRead(f"its code is not known here ({shown})" if shown else "its words name no measure that is known")
    test = range_tests().get(name)
    in_cm = str(mapping(one.get("valueQuantity")).get("code")) in LENGTHS_CM
    unit: Literal["deg", "cm"] = "cm" if in_cm else "deg"
    if test is not None and unit != test.unit:
        raise NotRead(f"its unit is {unit}; {test.name} is measured in {test.unit}")
    value = measured(one, LENGTHS_CM if in_cm else ANGLES_DEG, -60, 200, at, found)
    return RangeMeasure(day_of(one, at, found), name, value, unit, side or "both")


def side_in(concept: object) -> Literal["left", "right", "both"] | None:
    """The side that a body site names, by code or by word."""
    code = code_in(concept, SNOMED)
    by_code = next((side for side, known in SIDE_CODES.items() if known == code), "")
    words = text_of(concept).lower().replace("bilateral", "both").split()
    return SIDES.get(by_code) or next((SIDES[word] for word in words if word in SIDES), None)


def motion_named(text: str) -> str:
    """The motion or range test that a text names whole, beside its side; empty where it names none.

    >>> motion_named("Left knee flexion"), motion_named("Range of motion of knee")
    ('knee-flexion', '')
    """
    plain = text.lower().replace("-", " ").replace(",", " ").replace("range of motion", " ")
    word = "-".join(one for one in plain.split() if one not in ("left", "right", "both", "active", "passive", "of"))
    if word in MOTIONS:
        return word
    slug = slug_of_test(word) if word else ""
    return slug if slug in range_tests() else ""


def read_plan(one: Mapping[str, Any], at: str, found: Reading) -> None:
    """The activities of a care plan that must not be done; what is to be done stays with the clinic."""
    if one.get("status") not in HOLDS:
        raise NotRead(f"its status is {one.get('status')!r}")
    to_do = 0
    for number, detail in enumerate(mapping(each.get("detail")) for each in listed(one.get("activity"))):
        if detail.get("doNotPerform") is not True:
            to_do += 1
            continue
        where = f"{at}.activity[{number}].detail"
        try:
            if detail.get("status") in OVER:
                raise NotRead(f"its status is {detail['status']!r}")
            if detail.get("modifierExtension"):
                raise NotRead("it carries a modifier that is not known here")
            found.limits.append(limit_of(detail, where, found, [str(detail.get("description", ""))], one))
        except NotRead as why:
            found.unread.append(f"CarePlan, must not be done, {words_of(detail)!r}: {why}.")
    if to_do:
        found.unread.append(f"CarePlan: {to_do} activities that are to be done; only what must not be done is read.")


def read_request(one: Mapping[str, Any], at: str, found: Reading) -> None:
    """A request that something must not be done."""
    if one.get("doNotPerform") is not True:
        raise NotRead("it asks for something to be done; only what must not be done is read")
    if one.get("status") not in HOLDS:
        raise NotRead(f"its status is {one.get('status')!r}")
    found.limits.append(limit_of(one, at, found, [str(note.get("text", "")) for note in listed(one.get("note"))], one))


def words_of(holder: Mapping[str, Any]) -> str:
    """The words of a request or an activity."""
    return text_of(holder.get("code")) or str(holder.get("description", ""))


def limit_of(holder: Mapping[str, Any], at: str, found: Reading, more: Sequence[str], asked: Any) -> Restriction:
    """The limit of a request or an activity: field by field where we wrote it, else from its words.

    asked : the resource, which says who asks and since when
    All its words are read as one first; where that is not understood whole, the first of them that is, and the others
    are listed.
    """
    for extension in listed(holder.get("extension")):
        if extension.get("url") == URL:
            try:
                return limit_in(extension)
            except (KeyError, TypeError, ValueError, AttributeError) as error:
                allowed = "the fields of a limit"
                found.faults.append(Fault(found.file, f"{at}.extension", f"what can't be read ({error})", allowed))
                raise NotRead("its fields can't be read") from None
    said = [one for one in dict.fromkeys((text_of(holder.get("code")), *more)) if one.strip()]
    sites = " ".join(text_of(one) for one in listed(holder.get("bodySite")))
    if not said:
        raise NotRead("it says nothing")
    why = ""
    for text in dict.fromkeys((", ".join(said), *said)):
        for tried in dict.fromkeys((f"{sites} {text}".strip(), text)):
            try:
                made = parse_restriction(tried, found.file)
            except InputFaults as wrong:
                why = why or f"not understood whole; allowed: {wrong.faults[0].allowed}"
                continue
            if text in said:
                found.unread += [f"{text!r}: read; beside it stands {one!r}." for one in said if one != text]
            return asked_by(replace(made, reason=tried[:MOST_WORDS]), asked)
    raise NotRead(why[:300])


def asked_by(made: Restriction, asked: Mapping[str, Any]) -> Restriction:
    """The limit with who asked for it, and since when; the clinic where no name stands there."""
    who = mapping(asked.get("requester") or asked.get("author")).get("display")
    day = str(asked.get("authoredOn") or asked.get("created") or "")[:10]
    try:
        since = date.fromisoformat(day)
    except ValueError:
        since = None
    return replace(made, set_by=str(who or "the clinic")[:120], since=since)
