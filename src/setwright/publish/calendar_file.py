"""Sessions as a calendar (RFC 5545), one event each, with names that stay the same when the block is revised."""

from __future__ import annotations

from datetime import datetime, time, timedelta

from setwright.catalogue.store import Catalogue
from setwright.plan.block import Block, Session
from setwright.plan.block_days import session_date
from setwright.plan.session_time import groups_of
from setwright.publish import words
from setwright.publish.bout_words import heading_text
from setwright.publish.units import Unit


def event_uid(block: Block, week: int, day: str) -> str:
    """The stable name of a session's event: person, brief, week and day, so that a revision updates it."""
    return f"{block.trainee}-{block.inputs.brief.id}-week{week:02d}-{day}@setwright.invalid"


def summary_of(block: Block, session: Session, week: int) -> str:
    """The title of an event."""
    return f"{block.title}, week {week}: {session.title}" if session.title else f"{block.title}, week {week}"


def block_calendar(
    block: Block, catalogue: Catalogue, start_time: time, stamp: datetime, unit: Unit | None = None
) -> bytes:
    """The calendar of a block: floating local times, CRLF line ends.

    start_time : when sessions begin; stamp : the DTSTAMP of every event, UTC; unit : of each place when None
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
            event.add("uid", event_uid(block, week.number, session.day))
            event.add("dtstamp", stamp)
            event.add("dtstart", datetime.combine(session_date(block, week.number, session.day), start_time))
            event.add("duration", timedelta(minutes=5 * round(session.minutes / 5 + 0.4)))
            event.add("summary", summary_of(block, session, week.number))
            event.add("sequence", block.revision - 1)
            place = next((one.name for one in block.inputs.places if one.id == session.place), session.place)
            event.add("location", place)
            lines = [words.effort_of_week(week)]
            for part in session.parts:
                if part.part != "warm-up":
                    for group in groups_of(part.entries):
                        lines += [heading_text(group[0].bout, catalogue)] if group[0].bout is not None else []
                        lines += [words.entry_text(entry, catalogue, shown) for entry in group]
            event.add("description", "\n".join(lines))
            calendar.add_component(event)
    data: bytes = calendar.to_ical()
    return data
