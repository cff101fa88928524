"""A block and what was measured as a FHIR R4 bundle (4.0.1, JSON) for a clinic: a plan, observations, one patient.

Two ideas: only what the coach lets out goes in, and nothing in it is a diagnosis. Titles, places and reasons are free
text that may name a person, so they stay out unless notes are wanted.

Source of the structure: HL7 FHIR R4 (4.0.1), resources Bundle, CarePlan, Goal, Observation, Patient.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any
from uuid import NAMESPACE_URL, uuid5

from setwright.catalogue.store import Catalogue
from setwright.people.clinic_codes import (
    ABSENT,
    BODY_MASS,
    CATEGORY,
    DATA_ABSENT,
    LOINC,
    OWN,
    PAIN,
    SIDE_CODES,
    SNOMED,
    UCUM,
    UCUM_UNITS,
)
from setwright.people.clinic_limits import limit_extension
from setwright.people.clinic_values import ClinicFile, ClinicMass, ClinicPain, ClinicSession, ClinicStrength
from setwright.people.trainee import DAY_NAMES, Goal, RangeMeasure, Restriction
from setwright.plan.block import Block, Session, Week
from setwright.plan.block_days import session_date
from setwright.publish import words
from setwright.publish.bout_words import work_lines
from setwright.publish.limit_words import limit_lines, limit_title
from setwright.publish.units import Unit
from setwright.strength.logged import Log

CAUTION = (
    "Written by a strength coach: a training plan, no diagnosis and no medical order. Limits of a licensed clinician "
    "come first. Estimated maxima are counted from logged sets, not tested; their range stands beside them."
)


@dataclass(frozen=True)
class Outgoing:
    """What may go out. ``called``: the name or pseudonym in the file; ``is_name`` True where it is the real one."""

    called: str
    is_name: bool = False
    pain: bool = False
    notes: bool = False


def clinic_values(block: Block, log: Log, strengths: Sequence[ClinicStrength], may: Outgoing) -> ClinicFile:
    """What of a person goes out: limits, measures, sessions, and, where the coach lets them, pain and notes."""
    trainee = block.inputs.trainee
    limits = [one if may.notes else without_words(one, at) for at, one in enumerate(trainee.restrictions, start=1)]
    told = [
        ClinicSession(one.date, one.session_rpe, one.minutes, one.note if may.notes else "")
        for one in log.sessions
        if one.is_session
    ]
    return ClinicFile(
        may.called,
        tuple(limits),
        trainee.range_measures,
        (ClinicMass(None, round(trainee.body_mass_kg, 3)),),
        pains_of(log) if may.pain else (),
        tuple(told),
        tuple(strengths),
    )


def without_words(one: Restriction, number: int) -> Restriction:
    """A limit without free words: they may name a person or an illness."""
    cleared = None if one.clearance is None else replace(one.clearance, scope="words left out", who="a clinician")
    return replace(one, id=f"limit-{number}", reason="", set_by="", clearance=cleared)


def pains_of(log: Log) -> tuple[ClinicPain, ...]:
    """The most pain of each day at each place, in sets and on getting up."""
    most: dict[tuple[date, str], int] = {}
    told = [(one.date, one.pain_where, one.pain) for one in log.sets]
    told += [(one.date, one.pain_where, one.morning_pain) for one in log.sessions]
    for day, where, pain in told:
        if pain is not None:
            most[day, where] = max(pain, most.get((day, where), 0))
    return tuple(ClinicPain(day, where, value) for (day, where), value in sorted(most.items()))


def clinic_bundle(block: Block, values: ClinicFile, may: Outgoing, catalogue: Catalogue, unit: Unit = "kg") -> bytes:
    """The bundle as JSON in UTF-8: the same values give the same bytes.

    block : the plan, week by week; values : what ``clinic_values`` lets out; unit : of loads in sentences
    """
    names = Names(block.id, may.called)
    done = {one.date for one in values.sessions}
    goals = [goal_resource(one, names, catalogue) for one in block.inputs.trainee.goals]
    plan = care_plan(block, values, may, catalogue, unit, names, done)
    plan["goal"] = [{"reference": names.of(f"goal-{at}")} for at in range(1, len(goals) + 1)]
    if not goals:
        del plan["goal"]
    measured = observations(values, names, catalogue)
    found = [("patient", patient(may)), ("plan", plan)]
    found += [(f"goal-{at}", one) for at, one in enumerate(goals, start=1)]
    found += [(f"observation-{at}", one) for at, one in enumerate(measured, start=1)]
    entries = [
        {"fullUrl": names.of(key), "resource": {"resourceType": one["resourceType"], "id": key, **one}}
        for key, one in found
    ]
    bundle = {"resourceType": "Bundle", "type": "collection", "entry": entries}
    return json.dumps(bundle, ensure_ascii=False, indent=1).encode()


@dataclass(frozen=True)
class Names:
    """The addresses of resources inside a bundle: stable for one block, and they tell nothing of the person."""

    block: str
    called: str

    def of(self, key: str) -> str:
        """The address of one resource."""
        return f"urn:uuid:{uuid5(NAMESPACE_URL, f'{OWN}/{self.block}/{self.called}/{key}')}"


def patient(may: Outgoing) -> dict[str, Any]:
    """The person, by the one name that was chosen; no birth date, no sex, no address."""
    if may.is_name:
        return {"resourceType": "Patient", "name": [{"text": may.called}]}
    return {
        "resourceType": "Patient",
        "identifier": [{"system": f"{OWN}/pseudonym", "value": may.called}],
        "name": [{"use": "anonymous", "text": may.called}],
    }


def care_plan(
    block: Block,
    values: ClinicFile,
    may: Outgoing,
    catalogue: Catalogue,
    unit: Unit,
    names: Names,
    done: set[date],
) -> dict[str, Any]:
    """The block: an activity for each session, and one that must not be done for each limit."""
    days = [session_date(block, week.number, one.day) for week in block.weeks for one in week.sessions]
    activities = [limit_activity(one) for one in values.restrictions]
    for week in block.weeks:
        for session in week.sessions:
            on = session_date(block, week.number, session.day)
            activities.append(session_activity(block, week, session, on, catalogue, unit, on in done))
    plan: dict[str, Any] = {
        "resourceType": "CarePlan",
        "status": "active",
        "intent": "plan",
        "category": [{"text": "Strength training"}],
        "title": block.title if may.notes else f"Training block, {words.counted(len(block.weeks), 'week')}",
        "subject": {"reference": names.of("patient")},
        "activity": activities,
        "note": [{"text": CAUTION}],
    }
    if days:
        plan["period"] = {"start": min(days).isoformat(), "end": max(days).isoformat()}
    return plan


def limit_activity(one: Restriction) -> dict[str, Any]:
    """A limit: what must not be done, as a sentence for everybody and field by field for who reads those."""
    said = [*limit_lines(one), *([one.reason] if one.reason else [])]
    detail = {
        "extension": [limit_extension(one)],
        "code": {"text": f"Limit: {limit_title(one)}"},
        "status": "in-progress",
        "doNotPerform": True,
        "description": " ".join(said),
    }
    return {"detail": detail}


def session_activity(
    block: Block, week: Week, session: Session, on: date, catalogue: Catalogue, unit: Unit, is_done: bool
) -> dict[str, Any]:
    """A session: its day, its minutes, and a line for each exercise and each heading of a bout."""
    spoken, shown = words.spoken_session(block, session, unit)
    lines = work_lines(spoken, catalogue, shown)
    detail = {
        "code": {"text": f"Strength training, week {week.number}, {DAY_NAMES[session.day]}"},
        "status": "completed" if is_done else "not-started",
        "doNotPerform": False,
        "scheduledTiming": {
            "event": [on.isoformat()],
            "repeat": {"duration": round(session.minutes, 1), "durationUnit": "min"},
        },
        "description": "\n".join(lines),
    }
    return {"detail": detail}


def goal_resource(one: Goal, names: Names, catalogue: Catalogue) -> dict[str, Any]:
    """A goal in words, with its target as a quantity where there is one and its unit is of UCUM."""
    about = words.name_of(one.about, catalogue) if one.about in catalogue else one.about.replace("_", " ")
    text = f"{one.kind.replace('-', ' ')}: {about}".removesuffix(": ")
    made: dict[str, Any] = {
        "resourceType": "Goal",
        "lifecycleStatus": "active",
        "description": {"text": text},
        "subject": {"reference": names.of("patient")},
    }
    target: dict[str, Any] = {"measure": {"text": text}}
    if one.target is not None and one.unit in UCUM_UNITS:
        target["detailQuantity"] = quantity(one.target, one.unit)
    elif one.target is not None:
        target["detailString"] = f"{one.target:g} {one.unit}".strip()
    if one.by is not None:
        target["dueDate"] = one.by.isoformat()
    if len(target) > 1:
        made["target"] = [target]
    return made


def quantity(value: float, unit: str) -> dict[str, Any]:
    """A number with its unit, as a word and as UCUM."""
    return {"value": value, "unit": unit, "system": UCUM, "code": UCUM_UNITS[unit]}


def own_code(name: str, text: str, *codings: Mapping[str, str]) -> dict[str, Any]:
    """A code of our own with its text; others read the text."""
    return {"coding": [*codings, {"system": f"{OWN}/measure", "code": name}], "text": text}


def observation(names: Names, code: Mapping[str, Any], category: str, on: date | None, **rest: Any) -> dict[str, Any]:
    """An observation that is final; without a day where none is known, and says so."""
    made: dict[str, Any] = {
        "resourceType": "Observation",
        "status": "final",
        "category": [{"coding": [{"system": CATEGORY, "code": category}]}],
        "code": code,
        "subject": {"reference": names.of("patient")},
    }
    if on is not None:
        made["effectiveDateTime"] = on.isoformat()
    else:
        made["_effectiveDateTime"] = {"extension": [{"url": ABSENT, "valueCode": "unknown"}]}
    return {**made, **rest}


def observations(values: ClinicFile, names: Names, catalogue: Catalogue) -> list[dict[str, Any]]:
    """Everything measured and logged, one resource each."""
    found = [mass_observation(one, names) for one in values.masses]
    found += [range_observation(one, names) for one in values.range_measures]
    found += [strength_observation(one, names, catalogue) for one in values.strengths]
    found += [pain_observation(one, names) for one in values.pains]
    found += [session_observation(one, names) for one in values.sessions]
    return found


def mass_observation(one: ClinicMass, names: Names) -> dict[str, Any]:
    """Body mass, as the vital signs profile wants it."""
    code = own_code("body-mass", "Body mass", {"system": LOINC, "code": BODY_MASS[0], "display": BODY_MASS[1]})
    return observation(names, code, "vital-signs", one.date, valueQuantity=quantity(one.mass_kg, "kg"))


def range_observation(one: RangeMeasure, names: Names) -> dict[str, Any]:
    """A range of motion, degrees or centimetres, with its side."""
    text = one.measure.replace("-", " ").capitalize()
    code = own_code("range-of-motion", text, {"system": f"{OWN}/range-measure", "code": one.measure})
    side = {"coding": [{"system": SNOMED, "code": SIDE_CODES[one.side]}], "text": one.side}
    return observation(names, code, "exam", one.date, valueQuantity=quantity(one.value, one.unit), bodySite=side)


def strength_observation(one: ClinicStrength, names: Names, catalogue: Catalogue) -> dict[str, Any]:
    """An estimated maximum with the range that holds it eight times in ten."""
    text = f"Estimated one-repetition maximum, {words.name_of(one.exercise, catalogue)}"
    code = own_code("estimated-one-rm", text, {"system": f"{OWN}/exercise", "code": one.exercise})
    ends = [
        {"code": own_code(name, text), "valueQuantity": quantity(value, "kg")}
        for name, text, value in (
            ("p10", "One in ten below", one.p10_kg),
            ("p90", "Nine in ten below", one.p90_kg),
        )
    ]
    method = {"text": "estimated from logged sets, not tested"}
    value = quantity(one.mean_kg, "kg")
    return observation(names, code, "activity", one.date, valueQuantity=value, method=method, component=ends)


def pain_observation(one: ClinicPain, names: Names) -> dict[str, Any]:
    """The most pain of a day at a place, 0 to 10."""
    code = own_code("pain", "Pain, 0 to 10", {"system": LOINC, "code": PAIN[0], "display": PAIN[1]})
    where = {"bodySite": {"text": one.where}} if one.where else {}
    return observation(names, code, "survey", one.date, valueQuantity=quantity(one.value, "score"), **where)


def session_observation(one: ClinicSession, names: Names) -> dict[str, Any]:
    """A session that was done: how hard it was as a whole, and its minutes."""
    rest: dict[str, Any] = {}
    if one.session_rpe is not None:
        rest["valueQuantity"] = quantity(one.session_rpe, "score")
    else:
        rest["dataAbsentReason"] = {"coding": [{"system": DATA_ABSENT, "code": "unknown"}]}
    if one.minutes is not None:
        minutes = {"code": own_code("minutes", "Minutes"), "valueQuantity": quantity(one.minutes, "min")}
        rest["component"] = [minutes]
    if one.note:
        rest["note"] = [{"text": one.note}]
    code = own_code("session-rpe", "Session done: rating of perceived exertion, 0 to 10")
    return observation(names, code, "activity", one.date, **rest)
