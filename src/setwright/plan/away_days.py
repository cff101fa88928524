"""Days on which somebody can't train, from a calendar (RFC 5545), and which sessions of a block they hit.

Only events of whole days that are busy count. Titles are not read: why somebody is away is nobody's business here.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from setwright.faults import Fault, InputFaults
from setwright.people.trainee import DAYS
from setwright.plan.block import Block
from setwright.plan.block_days import session_date

MOST_BYTES = 5_000_000
MOST_DAYS = 366  # of one event; a longer one is no absence


@dataclass(frozen=True)
class Away:
    """The days of a calendar, in order, and a sentence for each kind of event that was not read."""

    days: tuple[date, ...]
    unread: tuple[str, ...] = ()


def read_away(data: bytes, file: str) -> Away:
    """The whole days that a calendar marks as busy. Raises InputFaults for what is no calendar."""
    from icalendar import Calendar

    allowed = "a calendar (iCalendar, RFC 5545)"
    try:
        events = [one for calendar in Calendar.from_ical(data, multiple=True) for one in calendar.walk("VEVENT")]
    except (ValueError, KeyError, IndexError, TypeError) as error:
        raise InputFaults([Fault(file, "", f"what can't be read ({error})"[:120], allowed)]) from None
    if not events:
        raise InputFaults([Fault(file, "", "no event", f"{allowed} with the days away as events of whole days")])
    days: set[date] = set()
    left: Counter[str] = Counter()
    for event in events:
        try:
            days |= days_of(event)
        except LookupError as why:
            left[str(why.args[0])] += 1
    return Away(tuple(sorted(days)), tuple(f"{count} x {why}" for why, count in left.items()))


def days_of(event: object) -> set[date]:
    """The days that one event takes; LookupError with the reason where it is not read."""
    said = {key: str(event.get(key, "")).upper() for key in ("STATUS", "TRANSP")}  # type: ignore[attr-defined]
    if said["STATUS"] == "CANCELLED" or said["TRANSP"] == "TRANSPARENT":
        return set()
    try:
        first = event.decoded("DTSTART")  # type: ignore[attr-defined]
        last = event.decoded("DTEND", None)  # type: ignore[attr-defined]
        length = event.decoded("DURATION", None)  # type: ignore[attr-defined]
    except (KeyError, ValueError, AttributeError, TypeError):
        raise LookupError("an event whose days can't be read") from None
    if isinstance(first, datetime) or not isinstance(first, date):
        raise LookupError("an event with a time of day: only whole days count")
    if event.get("RRULE") is not None or event.get("RDATE") is not None:  # type: ignore[attr-defined]
        raise LookupError("an event that repeats: enter its days one by one")
    if isinstance(length, timedelta):
        last = first + length
    end = last if isinstance(last, date) and not isinstance(last, datetime) else first + timedelta(days=1)
    count = max((end - first).days, 1)  # RFC 5545: DTEND is the day after; without one, the event takes its day
    if count > MOST_DAYS:
        raise LookupError(f"an event of more than {MOST_DAYS} days")
    return {first + timedelta(days=one) for one in range(count)}


@dataclass(frozen=True)
class Hit:
    """A session that falls on a day away."""

    week: int
    day: str
    date: date


def sessions_hit(block: Block, days: Iterable[date]) -> tuple[Hit, ...]:
    """The sessions of a block that fall on days away, in order."""
    away = set(days)
    planned = [
        Hit(week.number, session.day, session_date(block, week.number, session.day))
        for week in block.weeks
        for session in week.sessions
    ]
    return tuple(one for one in planned if one.date in away)


def lost_together(hits: Iterable[Hit]) -> list[tuple[tuple[str, ...], tuple[int, ...]]]:
    """Weekdays that are lost, and the weeks that lose just these: what ``reshape`` takes in one go."""
    by_week: dict[int, list[str]] = {}
    for one in hits:
        by_week.setdefault(one.week, []).append(one.day)
    weeks: dict[tuple[str, ...], list[int]] = {}
    order = [str(one) for one in DAYS]
    for week, lost in sorted(by_week.items()):
        weeks.setdefault(tuple(sorted(lost, key=order.index)), []).append(week)
    return [(lost, tuple(some)) for lost, some in weeks.items()]
