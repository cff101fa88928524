"""Sessions as a calendar (RFC 5545), one event each, with names that stay the same when the block is revised."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, time, timedelta
from typing import Any

from setwright.catalogue.store import Catalogue
from setwright.plan.block import Block, Session
from setwright.plan.block_days import session_date
from setwright.publish import words
from setwright.publish.bout_words import work_lines
from setwright.publish.units import Unit


def event_uid(block: Block, week: int, day: str) -> str:
    """The stable name of a session's event: person, brief, week and day, so that a revision updates it."""
    return f"{block.trainee}-{block.inputs.brief.id}-week{week:02d}-{day}@setwright.invalid"


def summary_of(block: Block, session: Session, week: int) -> str:
    """The title of an event."""
    return f"{block.title}, week {week}: {session.title}" if session.title else f"{block.title}, week {week}"


def block_calendar(
    block: Block,
    catalogue: Catalogue,
    start_time: time,
    stamp: datetime,
    unit: Unit | None = None,
    before: Sequence[Block] = (),
) -> bytes:
    """The calendar of a block: floating local times on purpose (a session at six stays at six on a journey), CRLF.

    start_time : when sessions begin; stamp : the DTSTAMP of every event, UTC; unit : of each place when None
    before : revisions that a calendar may hold still; what they had and this one has not is cancelled by its name
    """
    from icalendar import Calendar, Event

    calendar = Calendar()
    calendar.add("prodid", "-//Setwright//Block calendar 1//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    for week in block.weeks:
        for planned in week.sessions:
            session, shown = words.spoken_session(block, planned, unit)
            event = Event()
            for name, value in named_times(block, session, week.number, start_time, stamp).items():
                event.add(name, value)
            event.add("sequence", block.revision - 1)
            place = next((one.name for one in block.inputs.places if one.id == session.place), session.place)
            event.add("location", place)
            lines = work_lines(session, catalogue, shown)
            event.add("description", "\n".join(lines))
            calendar.add_component(event)
    for values in cancelled(block, before, start_time, stamp):
        event = Event()
        for name, value in values.items():
            event.add(name, value)
        calendar.add_component(event)
    data: bytes = calendar.to_ical()
    return data


def named_times(block: Block, session: Session, week: int, start_time: time, stamp: datetime) -> dict[str, Any]:
    """The name of a session's event, when it is, and its title."""
    return {
        "uid": event_uid(block, week, session.day),
        "dtstamp": stamp,
        "dtstart": datetime.combine(session_date(block, week, session.day), start_time),
        "duration": timedelta(minutes=5 * round(session.minutes / 5 + 0.4)),
        "summary": summary_of(block, session, week),
    }


def cancelled(block: Block, before: Sequence[Block], start_time: time, stamp: datetime) -> list[dict[str, Any]]:
    """Events of earlier revisions that are no more, each once, as the newest of those revisions had it."""
    kept = {event_uid(block, week.number, one.day) for week in block.weeks for one in week.sessions}
    gone: dict[str, dict[str, Any]] = {}
    for old in sorted(before, key=lambda one: one.revision):
        for week in old.weeks:
            for session in week.sessions:
                values = named_times(old, session, week.number, start_time, stamp)
                if values["uid"] not in kept:
                    gone[values["uid"]] = {**values, "sequence": block.revision - 1, "status": "CANCELLED"}
    return list(gone.values())
