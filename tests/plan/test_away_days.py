"""Days away come from whole busy days of a calendar, as RFC 5545 counts them; a block is only told about them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
import vobject
from plain_blocks import block_of, lift, week_of

from setwright.faults import InputFaults
from setwright.plan.away_days import Hit, lost_together, read_away, sessions_hit


def event(*lines: str) -> str:
    inside = "\r\n".join(("BEGIN:VEVENT", "UID:1@invented.invalid", "DTSTAMP:20260901T000000Z", *lines, "END:VEVENT"))
    return inside + "\r\n"


def calendar(*events: str) -> bytes:
    head = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//Invented//EN\r\n"
    return (head + "".join(events) + "END:VCALENDAR\r\n").encode()


@pytest.mark.parametrize(
    ("lines", "days"),
    [
        (("DTSTART;VALUE=DATE:20260914", "DTEND;VALUE=DATE:20260916"), [14, 15]),  # DTEND is not in it: 3.6.1
        (("DTSTART;VALUE=DATE:20260914",), [14]),  # without an end it takes its day: 3.6.1
        (("DTSTART;VALUE=DATE:20260914", "DURATION:P3D"), [14, 15, 16]),
        (("DTSTART;VALUE=DATE:20260914", "TRANSP:TRANSPARENT"), []),  # free: 3.8.2.7
        (("DTSTART;VALUE=DATE:20260914", "STATUS:CANCELLED"), []),  # 3.8.1.11
    ],
)
def test_whole_busy_days_are_counted_as_the_standard_says(lines: tuple[str, ...], days: list[int]) -> None:
    """Referee: RFC 5545, the sections beside each case, from memory."""
    found = read_away(calendar(event(*lines)), "away.ics")

    assert found.days == tuple(date(2026, 9, day) for day in days) and not found.unread


def test_a_calendar_that_another_library_wrote_is_read() -> None:
    """Referee: vobject writes it."""
    made = vobject.iCalendar()
    for start in (date(2026, 9, 14), date(2026, 9, 17)):
        one = made.add("vevent")
        one.add("dtstart").value = start
        one.add("dtend").value = start + timedelta(days=1)
        one.add("summary").value = "Invented: at the doctor's"

    found = read_away(made.serialize().encode(), "away.ics")

    assert found.days == (date(2026, 9, 14), date(2026, 9, 17)) and "doctor" not in repr(found)


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        (("DTSTART:20260914T180000",), "time of day"),
        (("DTSTART;VALUE=DATE:20260914", "RRULE:FREQ=WEEKLY"), "repeats"),
        (("DTSTART;VALUE=DATE:20260914", "DTEND;VALUE=DATE:20290914"), "more than 366 days"),
        (("SUMMARY:no day",), "can't be read"),
    ],
)
def test_what_is_not_read_is_listed(lines: tuple[str, ...], says: str) -> None:
    found = read_away(calendar(event(*lines)), "away.ics")

    assert not found.days and len(found.unread) == 1 and says in found.unread[0]


@pytest.mark.parametrize("data", [b"", b"hello", b"\xff\xfe\x00", calendar(), b"BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\n"])
def test_what_is_no_calendar_is_one_fault(data: bytes) -> None:
    with pytest.raises(InputFaults) as refused:
        read_away(data, "away.ics")

    assert len(refused.value.faults) == 1 and refused.value.faults[0].file == "away.ics"


def test_weeks_that_lose_the_same_days_go_together() -> None:
    monday = date(2026, 9, 7)
    hits = [Hit(week, day, monday) for week, day in ((2, "thu"), (2, "mon"), (3, "thu"), (4, "thu"))]

    assert lost_together(hits) == [(("mon", "thu"), (2,)), (("thu",), (3, 4))]


def test_only_sessions_on_days_away_are_hit() -> None:
    week = week_of({"mon": [lift("row_cable")], "thu": [lift("row_cable")]})
    block = block_of(week, week)
    days = [date(2026, 9, 7), date(2026, 9, 8)]

    assert [(one.week, one.day) for one in sessions_hit(block, days)] == [(1, "mon")]
    assert sessions_hit(replace(block, weeks=()), days) == ()
