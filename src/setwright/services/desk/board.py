"""Who is where now and next, in an hour on the floor: by what is logged, and by the timetable for who logs nothing."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from setwright.publish.floor_words import thing_words
from setwright.records import models
from setwright.services.desk.hours import called, is_station, names_in

LONG_REST_S = 300.0  # whoever stands longer than this waits for something
PERSON = re.compile(r"Person (\d+)")


@dataclass(frozen=True)
class Place:
    """One person on the board. ``state``: comes, wait, rest, on, done or away; ``until``: when the set or rest is over.

    ``what``, ``where``: of the set that is on, or comes after the rest; ``then``: what comes after that, and when.
    """

    number: int
    label: str
    state: str
    what: str = ""
    count: str = ""
    where: str = ""
    until: datetime | None = None
    then: str = ""


@dataclass(frozen=True)
class Logged:
    """How many working sets of each exercise are logged today, and when the last row came, s of the hour."""

    sets: Mapping[str, int]
    last_s: float


def board_values(hour: models.FloorHour, now: datetime) -> dict[str, Any]:
    """Everybody's place now, with the clock of the hour."""
    at_s = (now - hour.begins_at).total_seconds()
    names = names_in(hour)
    logged = logged_in(hour)
    rows: dict[str, list[dict[str, Any]]] = {}
    for row in hour.plan["timetable"]["sets"]:
        rows.setdefault(row["name"], []).append(row)
    away = set(hour.plan["timetable"]["absent"])
    people = [
        place_now(hour, number, shown(hour, number, names), rows.get(called(number), []), logged.get(number), at_s)
        if called(number) not in away
        else Place(number, shown(hour, number, names), "away")
        for number in sorted(names)
    ]
    return {"people": people, "now": now, "minute": int(max(0.0, at_s) // 60), "place": hour.plan["place"]}


def shown(hour: models.FloorHour, number: int, names: Mapping[int, str]) -> str:
    """How a person is called on the board."""
    return str(number) if hour.by_number else names[number]


def logged_in(hour: models.FloorHour) -> dict[int, Logged]:
    """What each person logged on the day of the hour, by number; who logged nothing is left out."""
    numbers = {one.trainee_id: one.number for one in hour.people.all()}
    kept: dict[int, list[models.LogRow]] = {}
    gone: set[str] = set()
    for row in models.LogRow.objects.filter(trainee__in=list(numbers), day=hour.on).order_by("id"):
        gone |= {row.corrects} if row.corrects else set()
        kept.setdefault(numbers[row.trainee_id], []).append(row)
    found = {}
    for number, rows in kept.items():
        mine = [row for row in rows if row.key not in gone and is_work(row.data)]
        counts: dict[str, int] = {}
        for row in mine:
            counts[row.data["exercise"]] = counts.get(row.data["exercise"], 0) + 1
        if mine:
            last = max(row.arrived for row in mine)
            found[number] = Logged(counts, (last - hour.begins_at).total_seconds())
    return found


def is_work(data: Mapping[str, Any]) -> bool:
    """True for a logged working set that was done."""
    return bool(data.get("exercise")) and data.get("part") not in ("warm-up", "filler") and not data.get("taken_back")


def place_now(
    hour: models.FloorHour,
    number: int,
    label: str,
    rows: Sequence[dict[str, Any]],
    logged: Logged | None,
    at_s: float,
) -> Place:
    """Where one person is."""
    at, starts_s = (by_clock(rows, at_s), None) if logged is None else by_log(rows, logged)
    if at >= len(rows):
        return Place(number, label, "done")
    row = rows[at]
    start = row["from_s"] if starts_s is None else starts_s
    arrives = next(one["arrives_s"] for one in hour.plan["timetable"]["people"] if one["name"] == called(number))
    state = "comes" if at_s < arrives else "on" if at_s >= start else "rest" if start - at_s < LONG_REST_S else "wait"
    until_s = start if state != "on" else start + row["to_s"] - row["from_s"]
    after = next((one for one in rows[at + 1 :] if one["exercise"] != row["exercise"]), None)
    shift = start - row["from_s"]
    return Place(
        number,
        label,
        state,
        hour.plan["names"][row["exercise"]],
        count_words(row, rows),
        where_words(row),
        moment(hour, until_s),
        "" if after is None else then_words(hour, after, after["from_s"] + max(0.0, shift), at_s),
    )


def by_clock(rows: Sequence[dict[str, Any]], at_s: float) -> int:
    """The first set that is not over by the timetable."""
    return next((index for index, row in enumerate(rows) if at_s < row["to_s"]), len(rows))


def by_log(rows: Sequence[dict[str, Any]], logged: Logged) -> tuple[int, float]:
    """The set after the last one that is logged, and when it starts: the planned rest after that came in."""
    last, left = -1, dict(logged.sets)
    for index, row in enumerate(rows):
        if row["kind"] != "ramp" and row["part"] != "warm-up" and left.get(row["exercise"], 0) > 0:
            left[row["exercise"]] -= 1
            last = index
    if last < 0 or last + 1 >= len(rows):
        return last + 1, logged.last_s
    return last + 1, logged.last_s + max(0, rows[last + 1]["from_s"] - rows[last]["to_s"])


def count_words(row: Mapping[str, Any], rows: Sequence[Mapping[str, Any]]) -> str:
    """Which working set of how many; nothing for a drill or a bout."""
    if row["part"] == "warm-up" or row["kind"] == "bout":
        return ""
    if row["kind"] == "ramp":
        return "ramp"
    work = [one["set"] for one in rows if one["entry"] == row["entry"] and one["kind"] != "ramp"]
    return f"set {work.index(row['set']) + 1} of {len(work)}"


def where_words(row: Mapping[str, Any]) -> str:
    """The stations of a set."""
    return ", ".join(dict.fromkeys(thing_words(one["thing"]) for one in row["holds"] if is_station(one["thing"])))


def then_words(hour: models.FloorHour, row: Mapping[str, Any], start_s: float, at_s: float) -> str:
    """What comes after, and in how many minutes."""
    name, where = hour.plan["names"][row["exercise"]], where_words(row)
    minutes = max(0, round((start_s - at_s) / 60))
    return f"{name}{f', {where}' if where else ''}, in {minutes} min"


def moment(hour: models.FloorHour, seconds: float) -> datetime:
    """A second of the hour as a moment."""
    return hour.begins_at + timedelta(seconds=seconds)


def with_names(text: str, hour: models.FloorHour) -> str:
    """A sentence of the timetable with names for the coach."""
    names = names_in(hour)
    return PERSON.sub(lambda found: names.get(int(found[1]), found[1]), text)
