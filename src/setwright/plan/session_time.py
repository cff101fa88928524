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
from setwright.plan.bout_time import bout_seconds
from setwright.plan.stretch import Stretch


def set_time(one: PlannedSet, exercise: Exercise) -> SetTime:
    """Seconds of a planned set: the middle of its rep range, both sides where it is done for each.

    Parts inside it and the short rests before them are part of its work.
    """
    reps = (one.reps[0] + one.reps[1]) / 2.0 if one.reps else None
    later, inside_s = inside_work(one.inside, reps or 0.0)
    reps = reps if not later else (reps or 0.0) + later
    holds = (one.hold_s or 0.0) + (one.hold_after_s or 0.0) + inside_s
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


GUESSED_LEFT = 0.4  # of the first stretch, for a part that takes what is left and is not dosed yet


def inside_work(inside: Sequence[Stretch], first_reps: float) -> tuple[float, float]:
    """(repetitions, seconds of holds and rests) of the later parts of a set."""
    reps = sum(
        (one.reps[0] + one.reps[1]) / 2.0 if one.reps else GUESSED_LEFT * first_reps if one.left else 0.0
        for one in inside
    )
    return reps, sum((one.hold_s or 0.0) + one.rest_s for one in inside)


def entry_times(entry: Entry, catalogue: Catalogue) -> list[SetTime]:
    """Every set of an entry."""
    exercise = catalogue.get(entry.exercise)
    return [set_time(one, exercise) for one in entry.sets]


def groups_of(entries: Sequence[Entry]) -> list[list[Entry]]:
    """Entries of a part in the order done, those of one superset together."""
    groups: list[list[Entry]] = []
    for entry in entries:
        if groups and entry.superset and groups[-1][0].superset == entry.superset:
            groups[-1].append(entry)
        else:
            groups.append([entry])
    return groups


def group_seconds(times: Sequence[Sequence[SetTime]]) -> float:
    """Seconds of an entry alone, or of the members of a superset done in turn."""
    return straight_seconds(times[0]) if len(times) == 1 else superset_seconds(times)


def change_over_seconds(before: Exercise | None, first: Exercise, first_rest_s: float | None) -> float:
    """Seconds from one exercise to the next: none before the first, less at the same station.

    first_rest_s : the rest after the first set of an entry alone; what the same lift waits for. None in a superset
    """
    if before is None:
        return 0.0
    if before.slug == first.slug and first_rest_s is not None:
        return first_rest_s
    same = bool(first.equipment and before.equipment and first.equipment[0] & before.equipment[0])
    return SAME_STATION_S if same else CHANGE_OVER_S


def as_minutes(seconds: float) -> float:
    """Minutes as a session states them, to a tenth."""
    return round(seconds / 60.0, 1)


def session_minutes_of(parts: Sequence[Part], catalogue: Catalogue, place: Place) -> float:
    """Minutes of all parts, change-overs included, rounded to a tenth.

    Drills follow one another without set-up; an entry with the same first implement as the one before needs a
    shorter change-over.
    """
    seconds = 0.0
    before: Exercise | None = None
    for part in parts:
        for group in groups_of(part.entries):
            first = catalogue.get(group[0].exercise)
            if part.part == "warm-up":
                seconds += DRILL_CHANGE_S
            else:
                rest_s = group[0].sets[0].rest_s if len(group) == 1 and group[0].sets else None
                seconds += change_over_seconds(before, first, rest_s)
            if group[0].bout is not None:
                seconds += bout_seconds(group, catalogue)
            else:
                seconds += group_seconds([entry_times(one, catalogue) for one in group])
            before = first
    return as_minutes(seconds)
