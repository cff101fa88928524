"""Side by side on the floor: whom a coach has on one screen, and which session each of them does."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any
from uuid import UUID

from setwright.records import models
from setwright.records.data_base import in_force_id

AT_ONCE = 4


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
