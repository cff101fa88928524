"""Pieces of a FHIR resource as values: texts, codes, days, quantities; and what of a file was read so far."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from setwright.faults import Fault
from setwright.people.clinic_codes import UCUM
from setwright.people.clinic_values import ClinicMass, ClinicPain, ClinicSession, ClinicStrength
from setwright.people.trainee import RangeMeasure, Restriction


class NotRead(Exception):
    """Something that is valid but not understood here; its text says what."""


@dataclass
class Reading:
    """What was read so far of one file."""

    file: str
    faults: list[Fault] = field(default_factory=list)
    unread: list[str] = field(default_factory=list)
    limits: list[Restriction] = field(default_factory=list)
    ranges: list[RangeMeasure] = field(default_factory=list)
    masses: list[ClinicMass] = field(default_factory=list)
    pains: list[ClinicPain] = field(default_factory=list)
    sessions: list[ClinicSession] = field(default_factory=list)
    strengths: list[ClinicStrength] = field(default_factory=list)


def listed(value: object) -> list[Mapping[str, Any]]:
    """The tables of a list; none where it is something else."""
    return [one for one in value if isinstance(one, dict)] if isinstance(value, list) else []


def mapping(value: object) -> Mapping[str, Any]:
    """A table; an empty one where it is something else."""
    return value if isinstance(value, dict) else {}


def text_of(concept: object) -> str:
    """What a concept says to people: its text, else the display or code of its first coding."""
    one = mapping(concept)
    if one.get("text"):
        return str(one["text"])
    codings = [str(coding.get("display") or coding.get("code") or "") for coding in listed(one.get("coding"))]
    return next((text for text in codings if text), "")


def codes_of(concept: object) -> set[tuple[str, str]]:
    """The codings of a concept as pairs of system and code."""
    return {(str(one.get("system")), str(one.get("code"))) for one in listed(mapping(concept).get("coding"))}


def code_in(concept: object, system: str) -> str:
    """The code of one system, empty where there is none."""
    return next((code for known, code in sorted(codes_of(concept)) if known == system), "")


def day_of(resource: Mapping[str, Any], at: str, found: Reading) -> date:
    """The day of an observation; NotRead where it has none or only a month."""
    text = resource.get("effectiveDateTime")
    if not isinstance(text, str) or len(text) < 10:
        raise NotRead(f"its day is {text!r}" if text else "it has no day")
    try:
        return date.fromisoformat(text[:10])
    except ValueError:
        found.faults.append(Fault(found.file, f"{at}.effectiveDateTime", repr(text), "a date like 2026-09-07"))
        raise NotRead("its day can't be read") from None


def measured(
    holder: Mapping[str, Any], units: Mapping[str, float], low: float, high: float, at: str, found: Reading
) -> float:
    """The number of a quantity in the unit that we keep; NotRead for a unit that is not known or a number with < or >.

    Adds a fault where the number is none, or can't be true (``low`` to ``high``, in our unit).
    """
    given = mapping(holder.get("valueQuantity"))
    if not given:
        reason = text_of(holder.get("dataAbsentReason"))
        raise NotRead(f"it has no number{f' ({reason})' if reason else ''}")
    if given.get("comparator"):
        raise NotRead(f"its number is {given['comparator']} {given.get('value')}, not one value")
    code = str(given.get("code", "")) if given.get("system") in (UCUM, None) else "?"
    if code not in units:
        shown = given.get("code") or given.get("unit") or "none"
        raise NotRead(f"its unit is {shown!r}; read here: {', '.join(one for one in units if one)}")
    value = given.get("value")
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        found.faults.append(Fault(found.file, f"{at}.valueQuantity.value", repr(value), "a number"))
        raise NotRead("its value is no number")
    made = value * units[code]
    if not low <= made <= high:
        allowed = f"{low / units[code]:g} to {high / units[code]:g} {code}".strip()
        found.faults.append(Fault(found.file, f"{at}.valueQuantity.value", f"{value:g}", allowed))
        raise NotRead("its value can't be true")
    return made
