"""A block file as it may be handed on: known exercises, possible numbers, no restriction of its own trainee crossed.

A block is a file that anybody can edit, so what a plan promised is held again against the gates before it is
published, kept or changed. What a coach may decide otherwise (rules of training) is not asked here.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta

from setwright.body.anatomy import joints
from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.exercise import Exercise
from setwright.catalogue.names import nearest
from setwright.catalogue.store import Catalogue
from setwright.faults import Fault
from setwright.people.trainee import DAYS, Restriction, Trainee
from setwright.plan.block import Block, Entry, PlannedSet, Session, Week
from setwright.plan.clearance import for_whole_block
from setwright.plan.gates import judge
from setwright.plan.restrict import is_new_crop, range_in_words
from setwright.plan.stretch import Stretch

NAME = re.compile(r"[A-Za-z0-9_-]{1,100}")
MOST_WEEKS = 60
FIRST_YEAR, LAST_YEAR = 1990, 2200
# What a set may hold: field, lowest, highest, unit; the limits of the log file.
SET_LIMITS = (
    ("load_kg", 0.0, 1500.0, "kg"),
    ("hold_s", 0.0, 3600.0, "s"),
    ("distance_m", 0.0, 50000.0, "m"),
    ("time_s", 0.0, 36000.0, "s"),
    ("rir", 0.0, 20.0, ""),
    ("rpe", 0.0, 10.0, ""),
    ("chance", 0.0, 1.0, ""),
    ("rest_s", 0.0, 3600.0, "s"),
    ("load_share", 0.3, 1.0, ""),
)
INSIDE_LIMITS = (
    ("hold_s", 0.0, 3600.0, "s"),
    ("rest_s", 0.0, 120.0, "s"),
    ("load_share", 0.3, 1.0, ""),
    ("load_kg", 0.0, 1500.0, "kg"),
    ("angle_deg", 0.0, 360.0, "degrees"),
)


def block_faults(block: Block, file: str, catalogue: Catalogue) -> list[Fault]:
    """Every fault of a block that its format allows but no trainee may be given, each with its path in the file."""
    faults = head_faults(block, file)
    if not FIRST_YEAR <= block.inputs.brief.start.year <= LAST_YEAR:
        return faults  # no day of it can be reckoned
    as_of = for_whole_block(block.inputs.trainee, block.inputs.brief.start, len(block.weeks))
    places = {place.id: place for place in block.inputs.places}
    tokens = {name: expand_tokens(place.tokens()) for name, place in places.items()}
    for w, week in enumerate(block.weeks, start=1):
        for s, session in enumerate(week.sessions, start=1):
            path = f"weeks[{w}].sessions[{s}]"
            rules = rules_on(block, as_of.restrictions, week, session)
            if session.place not in places:
                faults.append(Fault(file, f"{path}.place", repr(session.place), ", ".join(places) or "a place"))
                continue
            if not 0 <= session.minutes <= 600:
                faults.append(Fault(file, f"{path}.minutes", f"{session.minutes:g}", "a number from 0 to 600 min"))
            if not any(part.entries for part in session.parts):
                faults.append(Fault(file, f"{path}.parts", "nothing to do", "at least one entry"))
            for at, entry in entries_of(session, path):
                faults += set_faults(entry, at, file)
                odd = dial_faults(entry, at, file)
                faults += odd
                if odd:
                    continue
                faults += limit_faults(entry, at, file, rules, tokens[session.place], as_of, catalogue)
    return faults


def limit_faults(
    entry: Entry,
    at: str,
    file: str,
    rules: Sequence[Restriction],
    tokens: frozenset[str],
    as_of: Trainee,
    catalogue: Catalogue,
) -> list[Fault]:
    """What of an entry the gates bar: its exercise, its whole range, an alternative, what is done in its rests.

    rules : the restrictions that hold on its day; tokens : equipment of its place; at : its path in the file
    """
    faults: list[Fault] = []
    exercise = known_exercise(entry.exercise, f"{at}.exercise", file, catalogue, faults)
    if exercise is not None:
        verdict = judge(exercise, rules, tokens, as_of, entry.dials, asked=True)
        if not verdict.allowed:
            faults.append(crossed(file, f"{at}.exercise", exercise.name, verdict.reasons))
        elif is_new_crop(verdict, entry):
            limit = range_in_words(verdict.dials)
            found = f"{exercise.name} over its whole range"
            faults.append(Fault(file, f"{at}.dials", found, limit, "A restriction limits the range."))
    for number, one in enumerate(entry.alternatives, start=1):
        where = f"{at}.alternatives[{number}].exercise"
        other = known_exercise(one.exercise, where, file, catalogue, faults)
        if other is not None:
            verdict = judge(other, rules, tokens, as_of, ignore_equipment=True)
            if not verdict.allowed:
                faults.append(crossed(file, where, other.name, verdict.reasons))
    if entry.filler is not None:
        where = f"{at}.filler.exercise"
        other = known_exercise(entry.filler.exercise, where, file, catalogue, faults)
        if other is not None:
            verdict = judge(other, rules, tokens, as_of)
            if not verdict.allowed:
                faults.append(crossed(file, where, other.name, verdict.reasons))
    return faults


def crossed(file: str, path: str, name: str, reasons: tuple[str, ...]) -> Fault:
    """The fault of an exercise that the gates close."""
    allowed = "an exercise that the restrictions, the history and the place allow"
    return Fault(file, path, name, allowed, " ".join(reasons))


def known_exercise(slug: str, path: str, file: str, catalogue: Catalogue, faults: list[Fault]) -> Exercise | None:
    """The exercise of a slug, or None with a fault that names the nearest ones."""
    if slug in catalogue:
        return catalogue.get(slug)
    near = nearest(slug, catalogue.exercises)
    hint = f"Nearest: {', '.join(near)}." if near else ""
    faults.append(Fault(file, path, repr(slug), "an exercise of the catalogue", hint))
    return None


def rules_on(
    block: Block, restrictions: tuple[Restriction, ...], week: Week, session: Session
) -> tuple[Restriction, ...]:
    """The restrictions that hold for a session: in a changed block, weeks before a restriction began are done."""
    if block.parent is None:
        return restrictions
    start = block.inputs.brief.start
    monday = start - timedelta(days=start.weekday())
    day = monday + timedelta(weeks=week.number - 1, days=DAYS.index(session.day))
    return tuple(one for one in restrictions if one.since is None or one.since <= day)


def entries_of(session: Session, path: str) -> Iterator[tuple[str, Entry]]:
    """Every entry of a session with its path in the file."""
    for p, part in enumerate(session.parts, start=1):
        for e, entry in enumerate(part.entries, start=1):
            yield f"{path}.parts[{p}].entries[{e}]", entry


def set_faults(entry: Entry, path: str, file: str) -> list[Fault]:
    """Numbers that no set can have."""
    faults = [] if entry.sets else [Fault(file, f"{path}.sets", "no sets", "at least one set")]
    for number, one in enumerate(entry.sets, start=1):
        at = f"{path}.sets[{number}]"
        for name, low, high, unit in SET_LIMITS:
            value: float | None = getattr(one, name)
            if value is not None and not low <= value <= high:
                faults.append(Fault(file, f"{at}.{name}", f"{value:g}", limits(low, high, unit)))
        faults += pair_faults(one, at, file)
        for part, inside in enumerate(one.inside, start=1):
            faults += inside_faults(inside, f"{at}.inside[{part}]", file)
    return faults


def inside_faults(one: Stretch, path: str, file: str) -> list[Fault]:
    """Numbers that no part of a set can have."""
    faults = []
    for name, low, high, unit in INSIDE_LIMITS:
        value: float | None = getattr(one, name)
        if value is not None and not low <= value <= high:
            faults.append(Fault(file, f"{path}.{name}", f"{value:g}", limits(low, high, unit)))
    if one.reps is not None and not 0 <= one.reps[0] <= one.reps[1] <= 300:
        found = f"{one.reps[0]} to {one.reps[1]}"
        faults.append(Fault(file, f"{path}.reps", found, "two rising numbers from 0 to 300"))
    return faults


def limits(low: float, high: float, unit: str) -> str:
    """What a number may be."""
    return f"a number from {low:g} to {high:g} {unit}".rstrip()


def dial_faults(entry: Entry, path: str, file: str) -> list[Fault]:
    """Dials that nobody can set: a range without two rising angles, a number that is none."""
    faults = []
    for name, value in entry.dials.items():
        numbers = value if isinstance(value, (list, tuple)) else [value]
        plain = all(isinstance(one, (str, bool)) or is_number(one) for one in numbers)
        if not plain or (isinstance(value, (list, tuple)) and not all(is_number(one) for one in value)):
            faults.append(
                Fault(file, f"{path}.dials.{name}", repr(value)[:60], "a text, a number or a list of numbers")
            )
    if faults:
        return faults
    limits_deg = entry.dials.get("range_deg")
    if limits_deg is not None:
        rising = isinstance(limits_deg, (list, tuple)) and len(limits_deg) == 2 and limits_deg[0] < limits_deg[1]
        if not rising:
            allowed = "two rising angles in degrees, like [0, 60]"
            faults.append(Fault(file, f"{path}.dials.range_deg", repr(limits_deg)[:60], allowed))
        if not isinstance(entry.dials.get("range_of", ""), str):
            found = repr(entry.dials["range_of"])[:60]
            faults.append(Fault(file, f"{path}.dials.range_of", found, "a motion, like knee-flexion"))
    return faults


def is_number(value: object) -> bool:
    """True for a finite number."""
    return isinstance(value, (int, float)) and math.isfinite(value)


def pair_faults(one: PlannedSet, path: str, file: str) -> list[Fault]:
    """Ranges that fall, or leave what can be."""
    faults = []
    for name, pair, low, high in (("reps", one.reps, 0, 300), ("load_range_kg", one.load_range_kg, -300, 1500)):
        if pair is not None and not low <= pair[0] <= pair[1] <= high:
            allowed = f"two rising numbers from {low} to {high}"
            faults.append(Fault(file, f"{path}.{name}", f"{pair[0]:g} to {pair[1]:g}", allowed))
    return faults


def head_faults(block: Block, file: str) -> list[Fault]:
    """What is wrong with the block as a whole: names, weeks, days, the trainee it is for."""
    faults = []
    for path, name in (("id", block.id), ("parent", block.parent or "none"), ("trainee", block.trainee)):
        if not NAME.fullmatch(name):
            faults.append(Fault(file, path, repr(name), "letters, digits, - and _"))
    if block.trainee != block.inputs.trainee.id:
        faults.append(Fault(file, "trainee", repr(block.trainee), f"{block.inputs.trainee.id!r}, as in inputs.trainee"))
    if not block.weeks:
        faults.append(Fault(file, "weeks", "no weeks", f"1 to {MOST_WEEKS} weeks"))
    for w, week in enumerate(block.weeks, start=1):
        if week.number != w:
            faults.append(Fault(file, f"weeks[{w}].number", str(week.number), f"{w}: weeks are counted from 1"))
        if not week.sessions:
            faults.append(Fault(file, f"weeks[{w}].sessions", "no sessions", "at least one session"))
        if not 0 <= week.rpe <= 10:
            faults.append(Fault(file, f"weeks[{w}].rpe", f"{week.rpe:g}", limits(0, 10, "")))
        days = [session.day for session in week.sessions]
        for s, day in enumerate(days, start=1):
            if day in days[: s - 1]:
                faults.append(Fault(file, f"weeks[{w}].sessions[{s}].day", f"{day} twice", "each day once"))
    start = block.inputs.brief.start
    if not FIRST_YEAR <= start.year <= LAST_YEAR:
        faults.append(Fault(file, "inputs.brief.start", str(start), f"a date from {FIRST_YEAR} to {LAST_YEAR}"))
    for number, rule in enumerate(block.inputs.trainee.restrictions, start=1):
        if rule.joint not in joints():
            path = f"inputs.trainee.restrictions[{number}].joint"
            near = nearest(rule.joint, joints(), 1)
            hint = f"Did you mean {near[0]}?" if near else ""
            faults.append(Fault(file, path, repr(rule.joint), ", ".join(sorted(joints())), hint))
    for number, place in enumerate(block.inputs.places, start=1):
        pieces = [(one.mass_kg, one.count) for one in place.bars]
        pieces += [(one.mass_kg, one.count) for one in (*place.plates, *place.dumbbells, *place.kettlebells)]
        if not all(0 < mass <= 200 and 0 <= count <= 1000 for mass, count in pieces):
            found = "a bar, plate, dumbbell or kettlebell that can't be"
            faults.append(Fault(file, f"inputs.places[{number}]", found, "masses over 0 to 200 kg, at most 1000 each"))
    body = block.inputs.trainee.body_mass_kg
    if not 25 <= body <= 300:
        faults.append(Fault(file, "inputs.trainee.body_mass_kg", f"{body:g}", limits(25, 300, "kg")))
    return faults


def since_week(block: Block, restriction: Restriction, first: int) -> Restriction:
    """The restriction with the day from which the block keeps it, where it has none."""
    if restriction.since is not None:
        return restriction
    start = block.inputs.brief.start
    monday: date = start - timedelta(days=start.weekday())
    return replace(restriction, since=monday + timedelta(weeks=first - 1))
