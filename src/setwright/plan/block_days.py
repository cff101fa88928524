"""Which date a week or a session of a block falls on, and back. Weeks start on the Monday of the start date."""

from __future__ import annotations

from datetime import date, timedelta

from setwright.people.trainee import DAYS
from setwright.plan.block import Block, Session, Week


def week_start(block: Block, number: int) -> date:
    """The Monday of a week of the block."""
    start = block.inputs.brief.start
    return start + timedelta(days=7 * (number - 1) - start.weekday())


def session_date(block: Block, number: int, day: str) -> date:
    """The date of a session by its week and weekday."""
    return week_start(block, number) + timedelta(days=[str(one) for one in DAYS].index(day))


def week_of(block: Block, on: date) -> Week | None:
    """The week of the block that holds a day; None outside."""
    number = (on - week_start(block, 1)).days // 7 + 1
    return next((week for week in block.weeks if week.number == number), None)


def session_on(block: Block, on: date) -> tuple[Week, Session] | None:
    """The week and session planned for a day; None where there is none."""
    week = week_of(block, on)
    if week is None:
        return None
    found = next((one for one in week.sessions if one.day == DAYS[on.weekday()]), None)
    return None if found is None else (week, found)
