"""Who is where now and next, in an hour on the floor: by what is logged, and by the timetable for who logs nothing."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from setwright.publish.floor_words import easy_words, thing_words
from setwright.records import models
from setwright.services.desk.board_log import WhatIsDone, bout_key, done_in, is_seldom_logged, rows_in, ticked_in
from setwright.services.desk.hours import called, is_station, names_in

LONG_REST_S = 300.0  # whoever stands longer than this waits for something
FAR_OFF_S = 90.0  # from here on it is worth saying that somebody is behind the timetable, or ahead of it
PERSON = re.compile(r"Person (\d+)")


@dataclass(frozen=True)
class Place:
    """One person on the board. ``state``: comes, wait, rest, on, done or away; ``until``: when the set or rest is over.

    ``what``, ``where``: of the set that is on, or comes after the rest; ``then``: what comes after that, and when.
    ``at``: which of the person's sets that is, from 0; ``is_logged``: by the log, not by the clock.
    ``late_s``: how far who logs is behind the timetable (below 0: ahead of it), 0 where that is little.
    """

    number: int
    label: str
    state: str
    what: str = ""
    count: str = ""
    where: str = ""
    until: datetime | None = None
    then: str = ""
    at: int = -1
    is_logged: bool = False
    late_s: float = 0.0


def board_values(hour: models.FloorHour, now: datetime) -> dict[str, Any]:
    """Everybody's place now, with the clock of the hour."""
    at_s = (now - hour.begins_at).total_seconds()
    names = names_in(hour)
    rows = rows_in(hour)
    done, ticked = done_in(hour, rows), ticked_in(hour, rows)
    away = set(hour.plan["timetable"]["absent"])
    people = [
        place_now(
            hour,
            number,
            shown(hour, number, names),
            rows.get(number, []),
            done.get(number),
            at_s,
            ticked.get(number, ()),
        )
        if called(number) not in away
        else Place(number, shown(hour, number, names), "away")
        for number in sorted(names)
    ]
    far = [one for one in people if one.late_s]
    return {
        "people": people,
        "far_off": ", ".join(far_off_words(one) for one in far),
        "now": now,
        "minute": int(max(0.0, at_s) // 60),
        "place": hour.plan["place"],
    }


def shown(hour: models.FloorHour, number: int, names: Mapping[int, str]) -> str:
    """How a person is called on the board."""
    return str(number) if hour.by_number else names[number]


def place_now(
    hour: models.FloorHour,
    number: int,
    label: str,
    rows: Sequence[dict[str, Any]],
    done: WhatIsDone | None,
    at_s: float,
    ticked: Collection[int] = (),
) -> Place:
    """Where one person is."""
    if done is None:
        at, start, shift = by_clock(rows, at_s, ticked)
    else:
        at, start, shift = by_log(rows, done, at_s, hour.plan["timetable"])
    if at >= len(rows):
        return Place(number, label, "done")
    row = rows[at]
    arrives = next(one["arrives_s"] for one in hour.plan["timetable"]["people"] if one["name"] == called(number))
    state = (
        "comes"
        if at_s < arrives
        else "on"
        if at_s >= start
        else "rest"
        if at and start - at_s < LONG_REST_S
        else "wait"
    )
    until_s = start if state != "on" else start + row["to_s"] - row["from_s"]
    after = next((one for one in rows[at + 1 :] if one["exercise"] != row["exercise"]), None)
    late_s = max(shift, at_s - start - (row["to_s"] - row["from_s"])) if done is not None and at else 0.0
    return Place(
        number,
        label,
        state,
        what_words(hour, row),
        count_words(row, rows),
        where_words(row, what_words(hour, row)),
        moment(hour, until_s),
        "" if after is None else then_words(hour, after, max(at_s, after["from_s"] + max(0.0, late_s)), at_s),
        at,
        done is not None,
        late_s if abs(late_s) >= FAR_OFF_S else 0.0,
    )


def by_clock(rows: Sequence[dict[str, Any]], at_s: float, ticked: Collection[int] = ()) -> tuple[int, float, float]:
    """The first set that is neither over by the timetable nor ticked off, when it starts, and that nothing is off."""
    at = next((i for i, row in enumerate(rows) if at_s < row["to_s"] and i not in ticked), len(rows))
    return at, rows[at]["from_s"] if at < len(rows) else 0.0, 0.0


def by_log(
    rows: Sequence[dict[str, Any]], done: WhatIsDone, at_s: float, timetable: Mapping[str, Any]
) -> tuple[int, float, float]:
    """The set after the last one that is done, when it starts (the planned rest after that one), and how far off it is.

    Ramp sets are seldom logged: they go by the clock. What was planned after the last set came in knows of it already.
    """
    last = max(done.rows)
    shift = 0.0 if timetable["from_s"] > done.last_s else done.last_s - rows[last]["to_s"]
    at = last + 1
    while at < len(rows) and (at in done.rows or (is_seldom_logged(rows[at]) and at_s >= rows[at]["to_s"] + shift)):
        at += 1
    start = max(done.last_s, rows[at]["from_s"] + shift) if at < len(rows) else done.last_s
    return at, start, shift


def far_off_words(one: Place) -> str:
    """How far somebody is behind the timetable, or ahead of it: ``Ode is 4 min behind``."""
    minutes = max(1, round(abs(one.late_s) / 60))
    return f"{one.label} is {minutes} min {'behind' if one.late_s > 0 else 'ahead'}"


def what_words(hour: models.FloorHour, row: Mapping[str, Any]) -> str:
    """The exercise of a set; of a bout its heading with all its movements."""
    bout, names = hour.plan.get("bouts", {}).get(bout_key(row)), hour.plan["names"]
    if bout:
        return str(bout["words"])
    return easy_words(names[row["done_as"]]) if row.get("done_as") else str(names[row["exercise"]])


def count_words(row: Mapping[str, Any], rows: Sequence[Mapping[str, Any]]) -> str:
    """Which working set of how many; nothing for a drill or a bout."""
    if row["part"] == "warm-up" or row["kind"] == "bout":
        return ""
    if row["kind"] == "ramp":
        return "ramp"
    work = [one["set"] for one in rows if one["entry"] == row["entry"] and one["kind"] != "ramp"]
    return f"set {work.index(row['set']) + 1} of {len(work)}"


def where_words(row: Mapping[str, Any], what: str) -> str:
    """The stations of a set, where what is done does not name them: a leg press is done at the leg press."""
    found = dict.fromkeys(
        thing_words(one["thing"]) for one in row["holds"] if is_station(one["thing"]) and not one.get("for_partner")
    )
    return ", ".join(one for one in found if one not in what)


def then_words(hour: models.FloorHour, row: Mapping[str, Any], start_s: float, at_s: float) -> str:
    """In how many minutes what comes after: the minutes first, so that a long name cuts itself short."""
    name = what_words(hour, row)
    where = where_words(row, name)
    minutes = max(0, round((start_s - at_s) / 60))
    return f"{f'in {minutes} min' if minutes else 'now'}: {name}{f', {where}' if where else ''}"


def moment(hour: models.FloorHour, seconds: float) -> datetime:
    """A second of the hour as a moment."""
    return hour.begins_at + timedelta(seconds=seconds)


def with_names(text: str, hour: models.FloorHour) -> str:
    """A sentence of the timetable with names for the coach."""
    names = names_in(hour)
    return PERSON.sub(lambda found: names.get(int(found[1]), found[1]), text)
