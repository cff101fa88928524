"""Double progression as logged: the load stays until every set reaches the top of its range, then the next one.

Source: common practice, no published source. It asks nothing of the estimate; pain and missed sets stop it elsewhere.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from setwright.catalogue.exercise import Exercise
from setwright.dose.implements import loads_in
from setwright.people.place import Place
from setwright.plan.block import Block, Entry
from setwright.plan.schemes import SetScheme
from setwright.review.volume import NOT_COUNTED, attendance
from setwright.strength.logged import Log

SAME_KG = 1e-6


@dataclass(frozen=True)
class RangeDone:
    """The last time an exercise was done in a range: the load of all its sets, the range, and whether all reached it.

    ``lowest`` is the fewest repetitions of a set.
    """

    load_kg: float
    reps: tuple[int, int]
    reached: bool
    lowest: int


def is_in_range(entry: Entry, schemes: Mapping[str, SetScheme]) -> bool:
    """True for sets that gain repetitions first, then load, all of them alike."""
    scheme = schemes.get(entry.scheme)
    working = entry.working_sets
    return (
        scheme is not None
        and scheme.progress == "reps then load"
        and bool(working)
        and all(one.reps and one.load_kg and not one.inside for one in working)
    )


def ranges_done(block: Block, log: Log, schemes: Mapping[str, SetScheme]) -> dict[str, RangeDone]:
    """The last time of each exercise that is done in a range, by slug."""
    found: dict[str, RangeDone] = {}
    for week in block.weeks:
        for there in attendance(block, week, log)[0]:
            for entry in (entry for part in there.session.parts for entry in part.entries):
                if not is_in_range(entry, schemes):
                    continue
                working = entry.working_sets
                done = [one for one in there.sets if one.exercise == entry.exercise and one.part not in NOT_COUNTED]
                done = [one for one in done if one.reps is not None and one.load_kg is not None]
                reps = working[0].reps
                if not done or reps is None:
                    continue
                load = min(one.load_kg for one in done if one.load_kg is not None)
                lowest = min(one.reps for one in done if one.reps is not None)
                in_order = not any(one.pain or one.ended_by in ("pain", "form") for one in done)
                reached = in_order and len(done) >= len(working) and lowest >= reps[1]
                found[entry.exercise] = RangeDone(load, reps, reached, lowest)
    return found


def next_load(done: RangeDone, exercise: Exercise, place: Place) -> float:
    """The load of the next session: the next one of the place where the top was reached, else the same."""
    above = [one.load_kg for one in loads_in(place, exercise) if one.load_kg > done.load_kg + SAME_KG]
    return min(above) if done.reached and above else done.load_kg
