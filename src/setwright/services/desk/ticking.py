"""What the coach says of somebody on the floor: done with this set, or not that far yet. The others move up by it."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from setwright.records import models
from setwright.services.desk.board import by_clock, by_log
from setwright.services.desk.board_log import done_in, rows_in, ticked_in
from setwright.services.desk.hours import Between, something_came


def tick(hour: models.FloorHour, number: int, at: int, now: datetime, by: Any, is_done: bool = True) -> bool:
    """Everything up to a person's current set is done, or all but the one before it; the others are moved up at once.

    at : which of the person's sets the page showed; nothing happens, and False comes back, where it shows another now,
        so that a second tap counts once
    Of who logs, what is ticked off stands beside the log and is never written into it.
    """
    rows = rows_in(hour)
    mine, done = rows.get(number, []), done_in(hour, rows).get(number)
    at_s = (now - hour.begins_at).total_seconds()
    ticked = ticked_in(hour, rows).get(number, {})
    here = by_clock(mine, at_s, ticked)[0] if done is None else by_log(mine, done, at_s, hour.plan["timetable"])[0]
    if here != at or at >= len(mine) or (not is_done and (at == 0 or done is not None)):
        return False
    behind, ahead = (mine[: at + 1], mine[at + 1 :]) if is_done else (mine[: at - 1], mine[at - 1 :])
    known = frozenset() if done is None else done.rows
    new = [row for place, row in enumerate(behind) if place not in known and place not in ticked]
    taken_back = {(number, row["entry"], row["set"]) for row in ahead}
    kept = [one for one in hour.plan.get("ticked", ()) if (one["number"], one["entry"], one["set"]) not in taken_back]
    kept += [{"number": number, "entry": row["entry"], "set": row["set"], "at_s": at_s} for row in new]
    sets = frozenset((row["entry"], row["set"]) for row in behind)
    something_came(hour, Between(done=((number, sets),)), now, by, ticked=kept)
    return True
