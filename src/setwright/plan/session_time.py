"""The minutes of a session as planned, by the time model of the dose room."""

from __future__ import annotations

from collections.abc import Sequence

from setwright.catalogue.exercise import Exercise
from setwright.catalogue.store import Catalogue
from setwright.dose.minutes import (
    CHANGE_OVER_S,
    DRILL_CHANGE_S,
    SAME_STATION_S,
    SetTime,
    straight_seconds,
    superset_seconds,
    tempo_seconds,
    work_seconds,
)
from setwright.people.place import Place
from setwright.plan.block import Entry, Part, PlannedSet


def set_time(one: PlannedSet, exercise: Exercise) -> SetTime:
    """Seconds of a planned set: the middle of its rep range, both sides where it is done for each."""
    reps = (one.reps[0] + one.reps[1]) / 2.0 if one.reps else None
    holds = (one.hold_s or 0.0) + (one.hold_after_s or 0.0)
    usual = exercise.rep_s if one.kind != "ramp" else min(exercise.rep_s, 3.0)
    work = work_seconds(
        reps,
        tempo_seconds(one.tempo, usual),
        holds,
        one.distance_m or 0.0,
        one.time_s or 0.0,
        2 if one.per_side else 1,
    )
    return SetTime(work, one.rest_s)


def entry_times(entry: Entry, catalogue: Catalogue) -> list[SetTime]:
    """Every set of an entry."""
    exercise = catalogue.get(entry.exercise)
    return [set_time(one, exercise) for one in entry.sets]


def session_minutes_of(parts: Sequence[Part], catalogue: Catalogue, place: Place) -> float:
    """Minutes of all parts, change-overs included, rounded to a tenth.

    Drills follow one another without set-up; an entry with the same first implement as the one before needs a
    shorter change-over.
    """
    seconds = 0.0
    before: Exercise | None = None
    for part in parts:
        index = 0
        while index < len(part.entries):
            entry = part.entries[index]
            group = [entry]
            while entry.superset and index + len(group) < len(part.entries):
                following = part.entries[index + len(group)]
                if following.superset != entry.superset:
                    break
                group.append(following)
            first = catalogue.get(entry.exercise)
            if part.part == "warm-up":
                seconds += DRILL_CHANGE_S
            elif before is not None:
                same = bool(first.equipment and before.equipment and first.equipment[0] & before.equipment[0])
                same_lift = before.slug == first.slug and len(group) == 1 and bool(entry.sets)
                seconds += entry.sets[0].rest_s if same_lift else SAME_STATION_S if same else CHANGE_OVER_S
            times = [entry_times(one, catalogue) for one in group]
            seconds += straight_seconds(times[0]) if len(group) == 1 else superset_seconds(times)
            before = first
            index += len(group)
    return round(seconds / 60.0, 1)
