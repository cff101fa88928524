"""A day on the floor as values for a phone: every set with its loads, what its result says of the next, what instead.

All that the phone needs to go on without a network is here: it does no arithmetic on loads, it looks up.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from setwright.catalogue.exercise import Exercise
from setwright.dose.implements import loads_in
from setwright.people.place import Place
from setwright.plan.block import Block, Entry, Filler, PlannedSet, Session, Week
from setwright.plan.bout_time import like
from setwright.plan.compose import Context
from setwright.plan.formats import SHARED
from setwright.plan.session_time import groups_of
from setwright.publish import words
from setwright.publish.bout_words import heading_text
from setwright.publish.csv_file import told_dials
from setwright.publish.units import Unit, in_unit, mass_text, pieces_in_unit
from setwright.records import models
from setwright.services.deeds import block_estimates
from setwright.services.desk.answers import REGIONS, Answers, law_values
from setwright.services.desk.instead import context_of, instead_of, session_place
from setwright.services.desk.loads import MOST_LOADS, step_values, steps_near
from setwright.services.desk.pain import regions_loaded
from setwright.services.gather import catalogue
from setwright.services.log_fit import fit_of_log
from setwright.strength.logged import Log

MOST_MOVED = timedelta(days=6)  # days by which a session may be done before or after its own
TICKED = ("warm-up",)  # parts whose entries are ticked off, not logged set by set
STEPS_INSTEAD = 16  # loads that a phone steps through for what is taken instead


@dataclass(frozen=True)
class Floor:
    """What every entry of a session is looked at with."""

    block: Block
    week: Week
    session: Session
    place: Place
    unit: Unit
    context: Context
    on: date


def planned_values(
    row: models.Trainee, block: Block, week: Week, session: Session, log: Log, on: date
) -> dict[str, Any]:
    """What is planned in a session, with all that can be loaded and every answer for the next set."""
    estimates = block_estimates(block, fit_of_log(block, log).known)
    place = session_place(block, session)
    unit = words.unit_of(block.inputs.places, session.place)
    floor = Floor(block, week, session, place, unit, context_of(block, estimates), on)
    groups = [(part.part, group) for part in session.parts for group in groups_of(part.entries)]
    return {
        "trainee": str(row.id),
        "block": block.id,
        "date": on.isoformat(),
        "week": week.number,
        "session": session.day,
        "minutes": round(session.minutes),
        "entries": [
            {**entry_values(part, entry, floor), "bout": bout_values(group) if entry is group[0] else None}
            for part, group in groups
            for entry in group
        ],
        "regions": list(REGIONS),
        "law": law_values(block.inputs.trainee.restrictions, on),
    }


def done_of(row: models.Trainee, week: Week, session: Session, on: date) -> list[dict[str, Any]]:
    """The rows of this session that are kept already, corrections and all, each with its slot."""
    near = row.log_rows.filter(day__range=(on - MOST_MOVED, on + MOST_MOVED)).order_by("id")
    return [
        {**data, "slot": slot, "name": words.name_of(data["exercise"], catalogue()) if data.get("exercise") else ""}
        for data, slot in near.values_list("data", "slot")
        if (data.get("week"), data.get("session")) == (week.number, session.day)
        or (not data.get("session") and data["date"] == on.isoformat())
    ]


def entry_values(part: str, entry: Entry, floor: Floor) -> dict[str, Any]:
    """One entry for a phone, with what may be taken instead."""
    instead = [
        {
            **loaded_values(part, one.entry, floor, STEPS_INSTEAD),
            "case": one.of.case,
            "kept": one.of.kept,
            "lost": one.of.lost,
            "waits": one.waits,
        }
        for one in instead_of(entry, part, floor.week, floor.place, floor.context)
    ]
    return {
        "key": f"{part}/{entry.exercise}",
        "letter": entry.superset or "",
        "why": in_unit(entry.why, floor.unit),
        "cautions": list(words.told_cautions(entry.cautions, floor.unit)),
        "filler": None if entry.filler is None else filler_values(entry.filler),
        "instead": instead,
        "loads": [] if part in TICKED else list(regions_loaded(entry.exercise)),
        **loaded_values(part, entry, floor),
    }


def bout_values(group: Sequence[Entry]) -> dict[str, Any] | None:
    """The bout of conditioning that a group of entries shares, as one thing to do and to score; None where none is.

    ``kind``: what is written down: a time, rounds and repetitions, or so many rounds of those planned, as ``counts``
    calls them. ``every_s``: from start to start, where the movements take turns; ``near_s``: a time that is likely.
    ``work_s``: of these what is worked at a station, the rest is for the change; None where the clock asks for no end.
    ``round_reps``: repetitions of each round, of the last for all after it; None where a movement counts no such.
    """
    bout = group[0].bout
    if bout is None or like(bout) not in SHARED:
        return None
    kind = like(bout)
    is_every = kind == "every-minute"
    turn_s = bout.every_s if is_every else (bout.work_s or 0.0) + (bout.rest_s or 0.0) if kind == "circuit" else None
    starts = (bout.rounds or 1) * (len(group) if kind == "circuit" else 1)
    return {
        "heading": heading_text(bout, catalogue()),
        "letter": group[0].superset or "",
        "kind": kind,
        "counts": ("Minutes made" if bout.every_s == 60 else "Starts made") if is_every else "Rounds done",
        "start": "Minute" if bout.every_s == 60 else "Start",
        "every_s": turn_s,
        "work_s": bout.work_s if kind == "circuit" else None,
        "starts": starts,
        "near_s": 5 * round((bout.likely_s[0] if bout.likely_s is not None else bout.time_s or 300.0) / 5),
        "rounds": bout.rounds,
        "time_s": starts * turn_s - (bout.rest_s or 0.0) if kind == "circuit" and turn_s else bout.time_s,
        "members": len(group),
        "round_reps": reps_in_rounds(group),
        "asks": [asked_in_round(one) for one in group],
    }


def reps_in_rounds(group: Sequence[Entry]) -> list[int] | None:
    """How many repetitions each round of a bout has; one number where every round is the same."""
    bout = group[0].bout
    assert bout is not None
    firsts = [next(iter(one.working_sets), None) for one in group]
    if any(one is None or one.reps is None or one.hold_s or one.distance_m or one.time_s for one in firsts):
        return None
    if bout.ladder:
        return [many * len(group) for many in bout.ladder]
    return [sum(one.reps[1] for one in firsts if one is not None and one.reps is not None)]


def piece_values(entry: Entry) -> dict[str, Any] | None:
    """What else is logged of each piece of intervals, steady work or carries; None where it is none of them.

    ``near_s``: the time that the target pace gives a piece, as a first guess; None without one.
    """
    bout, first = entry.bout, next(iter(entry.working_sets), None)
    if bout is None or like(bout) in SHARED or first is None:
        return None
    target, near_s = bout.target, None
    if target is not None and target.by == "pace" and target.low and target.high and first.distance_m:
        near_s = round((target.low + target.high) / 2 * first.distance_m / (target.per_m or 500.0))
    return {"near_s": near_s, "is_watts": target is not None and target.by == "watts"}


def asked_in_round(entry: Entry) -> str:
    """What one movement of a bout asks in a round: ``12 reps kettlebell swing``."""
    return f"{words.asks_text(entry)} {words.name_of(entry.exercise, catalogue())}"


def loaded_values(part: str, entry: Entry, floor: Floor, most: int = MOST_LOADS) -> dict[str, Any]:
    """The sets of an entry with all that can be loaded for them, and the answers for the next set."""
    exercise = catalogue().get(entry.exercise)
    working = entry.working_sets
    loads = loads_in(floor.place, exercise, working[0].pieces if working else "")
    values: dict[str, Any] = {
        "exercise": exercise.slug,
        "part": part,
        "name": exercise.name[:1].upper() + exercise.name[1:],
        "said": exercise.name,
        "dials": words.dial_text(entry),
        "dose": words.asks_text(entry),
        "heading": "" if entry.bout is None else heading_text(entry.bout, catalogue()),
        "piece": piece_values(entry),
        "ramp": [ramp_values(one, floor.unit) for one in entry.sets if one.kind == "ramp"],
    }
    if part in TICKED:
        return values | {"sets": [set_values(one, entry, exercise, None, floor.unit) for one in working], "steps": []}
    answers = Answers(loads, floor.context.estimates.for_exercise(exercise.slug), rules_of(floor), floor.on)
    steps = steps_near(loads, working, answers.loads_asked(working), most)
    sets = [set_values(one, entry, exercise, answers.table_for(one, steps), floor.unit) for one in working]
    return values | {
        "sets": sets,
        "steps": [step_values(one, floor.unit) for one in steps],
        **answers.as_values(),
    }


def rules_of(floor: Floor) -> Sequence[Any]:
    """The restrictions that hold for the block."""
    return floor.block.inputs.trainee.restrictions


def set_values(one: PlannedSet, entry: Entry, exercise: Exercise, table: int | None, unit: Unit) -> dict[str, Any]:
    """One planned set for a phone: what it asks, in words and numbers, and its table of answers."""
    load, work, effort = words.load_text(one, unit), words.work_text(one), words.effort_text(one)
    return {
        "kind": one.kind,
        "says": f"{load} x {work}" if load and one.reps else " ".join(text for text in (work, load) if text),
        "effort": effort,
        "reps": None if one.reps is None else list(one.reps),
        "parts": [list(part.reps) if part.reps else None for part in one.inside if part.reps or part.left],
        "hold_s": one.hold_s,
        "time_s": one.time_s,
        "distance_m": one.distance_m,
        "rir": one.rir,
        "load_kg": one.load_kg,
        "load_means": one.load_means,
        "rest_s": one.rest_s,
        "note": in_unit(one.note, unit),
        "dials": told_dials(one, entry, catalogue()),
        "table": table,
    }


def ramp_values(one: PlannedSet, unit: Unit) -> dict[str, Any]:
    """One set on the way to the working load."""
    take = pieces_in_unit(one.pieces, unit, unit)
    count = words.span(*one.reps) if one.reps else ""
    return {"says": f"{count} at {mass_text(one.load_kg or 0.0, unit)}".strip(), "take": take}


def filler_values(filler: Filler) -> dict[str, Any]:
    """What is done in the rest."""
    return {"exercise": filler.exercise, "says": words.filler_text(filler, catalogue())}
