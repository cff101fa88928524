"""Side by side on the floor: whom a coach has on one screen, and which session each of them does."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any
from uuid import UUID

from setwright.plan.block_days import session_on
from setwright.publish.group_sheet import Participant, group_data
from setwright.records import models
from setwright.records.data_base import current_of, in_force_id
from setwright.services.gather import catalogue

AT_ONCE = 4
ON_A_SHEET = 24


def on_screen(everybody: Any, asked: Sequence[UUID], on: date) -> list[models.Trainee]:
    """Up to four trainees: those asked for, in their order; else those who train today.

    everybody : the trainees that the coach may see
    """
    if not asked:
        return list(everybody.filter(planned_days__date=on).order_by("name")[:AT_ONCE])
    found = {one.id: one for one in everybody.filter(id__in=list(asked)[: 2 * AT_ONCE])}
    return [found[one] for one in dict.fromkeys(asked) if one in found][:AT_ONCE]


def session_day(row: models.Trainee, on: date) -> date | None:
    """The planned day whose session somebody does on a day: that day's own, else the next one, else the last.

    So a drop-in does what would have come next. None where no block is in force.
    """
    if in_force_id(row) is None:
        return None
    days = row.planned_days
    ahead = days.filter(date__gte=on).order_by("date").first() or days.order_by("-date").first()
    return None if ahead is None else ahead.date


def group_of(everybody: Any, asked: Sequence[UUID], on: date) -> dict[str, Any]:
    """A group on one sheet: those asked for, in their order; else everybody who trains that day, by name.

    Who has no session that day does what would come next. Who has no block in force is left out (``lacking``).
    everybody : the trainees that the coach may see; ``left`` counts those beyond the sheet's room
    """
    if asked:
        found = {one.id: one for one in everybody.filter(id__in=list(asked)[:ON_A_SHEET])}
        rows = [found[one] for one in dict.fromkeys(asked) if one in found]
    else:
        rows = list(everybody.filter(planned_days__date=on).order_by("name").distinct()[: ON_A_SHEET + 1])
    shown, lacking = rows[:ON_A_SHEET], []
    people = []
    for row in shown:
        one = participant_of(row, on)
        if one is None:
            lacking.append(row.name)
        else:
            people.append(one)
    data = group_data(people, on, catalogue())
    return {**data, "lacking": lacking, "is_cut": len(rows) > ON_A_SHEET}


def participant_of(row: models.Trainee, on: date) -> Participant | None:
    """Somebody with the session they do that day; None without a block in force."""
    day, block = session_day(row, on), current_of(row)
    found = None if block is None or day is None else session_on(block, day)
    if block is None or day is None or found is None:
        return None
    return Participant(row.name, block, *found, moved_from=None if day == on else day)
