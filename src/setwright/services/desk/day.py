"""A day on the floor as values for a phone: every set with its loads, what its result says of the next, what instead.

All that the phone needs to go on without a network is here: it does no arithmetic on loads, it looks up.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from setwright.body.units import LB_KG
from setwright.dose.implements import Buildable, loads_in
from setwright.people.place import Place
from setwright.plan.block import Block, Entry, PlannedSet, Session, Week
from setwright.publish import words
from setwright.publish.units import Unit, mass_text
from setwright.records import models
from setwright.review.next_set import next_table
from setwright.review.pain import limit_at
from setwright.services.deeds import block_estimates
from setwright.services.gather import catalogue
from setwright.services.log_fit import fit_of_log
from setwright.strength.estimates import Estimates
from setwright.strength.logged import Log

MOST_LOADS = 40  # loads to either side together that a phone steps through


def day_values(row: models.Trainee, block: Block, week: Week, session: Session, log: Log, on: date) -> dict[str, Any]:
    """Everything of one session for a phone."""
    estimates = block_estimates(block, fit_of_log(block, log).known)
    place = next(one for one in block.inputs.places if one.id == session.place)
    unit = words.unit_of(block.inputs.places, session.place)
    entries = [
        entry_values(block, part.part, entry, place, unit, estimates, on)
        for part in session.parts
        for entry in part.entries
    ]
    return {
        "trainee": str(row.id),
        "name": row.name,
        "block": block.id,
        "date": on.isoformat(),
        "week": week.number,
        "session": session.day,
        "unit": unit,
        "unit_kg": LB_KG if unit == "lb" else 1.0,
        "entries": [{"number": number, **one} for number, one in enumerate(entries)],
        "done": [done_values(one) for one in log.sets if one.date == on],
        "regions": list(REGIONS),
    }


REGIONS = ("neck", "shoulder", "elbow", "wrist", "fingers", "upper back", "lower back", "hip", "knee", "ankle", "foot")


def done_values(one: Any) -> dict[str, Any]:
    """A set that is logged already."""
    return {"row": one.row, "exercise": one.exercise, "set": one.set, "reps": one.reps, "load_kg": one.load_kg}


def entry_values(
    block: Block, part: str, entry: Entry, place: Place, unit: Unit, estimates: Estimates, on: date
) -> dict[str, Any]:
    """One entry for a phone."""
    known = catalogue()
    exercise = known.get(entry.exercise)
    loads = loads_in(place, exercise)
    sets = entry.sets
    lift = estimates.for_exercise(entry.exercise) if part != "warm-up" else None
    limit = limit_at("", block.inputs.trainee.restrictions, on)
    values = []
    for number, one in enumerate(sets, start=1):
        after = sets[number] if number < len(sets) and sets[number].kind != "ramp" and one.kind != "ramp" else None
        table = None
        if after is not None and lift is not None:
            table = next_table(after, loads, lift, limit, one.load_kg).as_json()
        values.append({**set_values(one, number, unit), "table": table})
    return {
        "exercise": entry.exercise,
        "part": part,
        "name": exercise.name[:1].upper() + exercise.name[1:],
        "letter": entry.superset or "",
        "dials": words.dial_text(entry),
        "dose": words.dose_text(entry.working_sets),
        "why": entry.why,
        "cautions": list(entry.cautions),
        "filler": "" if entry.filler is None else words.filler_text(entry.filler, known),
        "instead": [
            {"exercise": one.exercise, "name": words.name_of(one.exercise, known), "case": one.case, "lost": one.lost}
            for one in entry.alternatives
        ],
        "sets": values,
        "loads": load_steps(loads, sets, unit),
    }


def set_values(one: PlannedSet, number: int, unit: Unit) -> dict[str, Any]:
    """One planned set for a phone."""
    return {
        "set": number,
        "kind": one.kind,
        "says": " ".join(part for part in (words.work_text(one), words.load_text(one, unit)) if part),
        "reps": None if one.reps is None else list(one.reps),
        "hold_s": one.hold_s,
        "time_s": one.time_s,
        "distance_m": one.distance_m,
        "rir": one.rir,
        "load_kg": one.load_kg,
        "load_means": one.load_means,
        "pieces": one.pieces,
        "rest_s": one.rest_s,
        "per_side": one.per_side,
        "note": one.note,
    }


def load_steps(loads: Sequence[Buildable], sets: Sequence[PlannedSet], unit: Unit) -> list[dict[str, Any]]:
    """What can be loaded near the planned loads, lightest first: kilograms, as said, and what to take."""
    planned = [one.load_kg for one in sets if one.load_kg is not None]
    means = next((one.load_means for one in sets if one.load_kg is not None), None)
    if not planned or means is None:
        return []
    middle = max(planned)
    fitting = {round(one.load_kg, 3): one for one in loads if one.means == means}
    near = sorted(sorted(fitting.values(), key=lambda one: abs(one.load_kg - middle))[:MOST_LOADS], key=by_load)
    return [{"kg": one.load_kg, "says": mass_text(one.load_kg, unit), "take": one.pieces} for one in near]


def by_load(one: Buildable) -> float:
    """Its load."""
    return one.load_kg
