"""What of an hour's timetable is done, by what came in: sets and scores that are logged, and what the coach ticked off.

A log names exercises and numbers of working sets, a timetable has rows. Where a phone says which planned set a row is
(its ``slot``), that counts, whatever was done instead.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from django.utils import timezone

from setwright.records import models

NOT_WORK = ("warm-up", "filler")
LONGEST = timedelta(hours=3)  # what an hour on the floor lasts at most; one begun late reaches into the next day


@dataclass(frozen=True)
class WhatIsDone:
    """Which of a person's rows are done, by their places, and when the last of them was, s of the hour."""

    rows: frozenset[int]
    last_s: float


@dataclass(frozen=True)
class CameIn:
    """One row of the log: the planned exercise, the number of the working set, a score, and when it was, s."""

    exercise: str
    number: int
    part: str
    bout: str
    score: str
    at_s: float


def rows_in(hour: models.FloorHour) -> dict[int, list[dict[str, Any]]]:
    """The rows of the timetable by the number of the person, in the order of time."""
    found: dict[int, list[dict[str, Any]]] = {}
    for row in hour.plan["timetable"]["sets"]:
        found.setdefault(int(row["name"].rpartition(" ")[2]), []).append(row)
    return found


def days_of(hour: models.FloorHour) -> tuple[date, date]:
    """The first and the last day of an hour, by the clock on the wall."""
    return hour.on, timezone.localtime(hour.begins_at + LONGEST).date()


def done_in(hour: models.FloorHour, rows: Mapping[int, Sequence[dict[str, Any]]]) -> dict[int, WhatIsDone]:
    """What each person who logs has done, by number; who logged nothing of this hour is left out."""
    ticked, found = ticked_in(hour, rows), {}
    for number, came in came_in(hour).items():
        times = done_by_log(rows.get(number, []), came, hour)
        if not times:
            continue
        for at, at_s in ticked.get(number, {}).items():
            times[at] = max(times.get(at, 0.0), at_s)
        found[number] = WhatIsDone(frozenset(times), max(times.values()))
    return found


def ticked_in(hour: models.FloorHour, rows: Mapping[int, Sequence[dict[str, Any]]]) -> dict[int, dict[int, float]]:
    """When the coach ticked off which rows of whom, s of the hour, by number and place."""
    found: dict[int, dict[int, float]] = {}
    for one in hour.plan.get("ticked", ()):
        for at, row in enumerate(rows.get(one["number"], ())):
            if (row["entry"], row["set"]) == (one["entry"], one["set"]):
                found.setdefault(one["number"], {})[at] = one["at_s"]
    return found


def came_in(hour: models.FloorHour) -> dict[int, list[CameIn]]:
    """What each person logged on the days of the hour, by number, corrections applied; what is not work is left out."""
    numbers = {one.trainee_id: one.number for one in hour.people.all()}
    kept: dict[int, dict[str, models.LogRow]] = {}
    first: dict[tuple[int, str], datetime] = {}  # a correction does not make a set later
    for row in models.LogRow.objects.filter(trainee__in=list(numbers), day__range=days_of(hour)).order_by("id"):
        number = numbers[row.trainee_id]
        mine = kept.setdefault(number, {})
        before = mine.pop(row.corrects, None) if row.corrects else None
        first[(number, row.key)] = row.arrived if before is None else first[(number, before.key)]
        mine[row.key] = row
    found: dict[int, list[CameIn]] = {}
    for number, mine in kept.items():
        for row in mine.values():
            at_s = (first[(number, row.key)] - hour.begins_at).total_seconds()
            one = as_planned(row, at_s)
            if one is not None:
                found.setdefault(number, []).append(one)
    return found


def as_planned(row: models.LogRow, at_s: float) -> CameIn | None:
    """A row of the log as the planned set that it stands for; None for what is no work."""
    data = row.data
    part, exercise, number = str(data.get("part") or ""), str(data.get("exercise") or ""), data.get("set") or 1
    planned = slot_of(row.slot)
    if planned is not None and exercise:
        part, exercise, number = planned
    is_work = bool(exercise or data.get("bout")) and part not in NOT_WORK and not data.get("taken_back")
    if not is_work:
        return None
    return CameIn(exercise, int(number), part, str(data.get("bout") or ""), str(data.get("score") or ""), at_s)


def slot_of(slot: str) -> tuple[str, str, int] | None:
    """Part, exercise and number of the planned set that a phone names; None where it names none.

    >>> slot_of("2026-09-07/main/back_squat/2"), slot_of("")
    (('main', 'back_squat', 2), None)
    """
    pieces = slot.split("/")
    if len(pieces) != 4 or not pieces[3].isdigit():
        return None
    return pieces[1], pieces[2], int(pieces[3])


def done_by_log(rows: Sequence[dict[str, Any]], came: Sequence[CameIn], hour: models.FloorHour) -> dict[int, float]:
    """When each row that is done was, by its place.

    A set is known by its number in an entry, else by its number in all entries of the exercise; a bout by its score, or
    by all sets of its movements.
    """
    exchanged = {(one["name"], one["exercise"]): one["instead"] for one in hour.plan["timetable"].get("exchanged", ())}
    numbers = working_numbers(rows)
    found: dict[int, float] = {}
    for one in sorted(came, key=lambda each: each.number):
        slugs = {one.exercise, *(exchanged.get((row["name"], one.exercise), "") for row in rows[:1])}
        here = [at for at in numbers if rows[at]["exercise"] in slugs]
        free = [at for at in here if numbers[at] == one.number and at not in found]
        free += [at for place, at in enumerate(here, 1) if place == one.number and at not in found]
        if free:
            found[free[0]] = one.at_s
    for at, row in enumerate(rows):
        if row["kind"] == "bout" and (times := bout_times(hour.plan.get("bouts", {}).get(bout_key(row)), came)):
            found[at] = max(times)
    return found


def working_numbers(rows: Sequence[dict[str, Any]]) -> dict[int, int]:
    """The number of each working set in its entry, by its place among the rows."""
    counts: dict[int, int] = {}
    found = {}
    for at, row in enumerate(rows):
        if row["kind"] not in ("ramp", "bout") and row["part"] != "warm-up":
            counts[row["entry"]] = found[at] = counts.get(row["entry"], 0) + 1
    return found


def bout_key(row: Mapping[str, Any]) -> str:
    """Where a plan keeps what it knows of the bout of a row.

    >>> bout_key({"name": "Person 2", "entry": 5})
    'Person 2/5'
    """
    return f"{row['name']}/{row['entry']}"


def bout_times(bout: Mapping[str, Any] | None, came: Sequence[CameIn]) -> list[float]:
    """When what makes a bout done came in; nothing while it is not done."""
    if bout is None:
        return []
    sets: Mapping[str, int] = bout["sets"]
    scores = [one.at_s for one in came if one.score and (one.bout == bout["letter"] or one.exercise in sets)]
    if scores:
        return scores
    each = {slug: [one.at_s for one in came if one.exercise == slug] for slug in sets}
    return [at for times in each.values() for at in times] if all(len(each[s]) >= n for s, n in sets.items()) else []


def is_seldom_logged(row: Mapping[str, Any]) -> bool:
    """True for ramp sets and drills: they go by the clock."""
    return row["kind"] == "ramp" or row["part"] == "warm-up"
