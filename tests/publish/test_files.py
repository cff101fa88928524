"""Sheets, pages, calendar, CSV, JSON: read back by other libraries and by the letter of the standards."""

from __future__ import annotations

import csv
import io
import json
import re
from datetime import UTC, datetime, time, timedelta
from html.parser import HTMLParser

import pytest
from made_block import made_block

from setwright.body.units import LB_KG
from setwright.catalogue.load import catalogue
from setwright.plan.block_days import session_date
from setwright.publish.block_file import block_from_json, block_schema, block_to_dict, block_to_json
from setwright.publish.calendar_file import block_calendar
from setwright.publish.csv_file import cell, empty_log_csv, planned_csv
from setwright.publish.page import block_page, index_page, notes_page, session_page
from setwright.publish.schemas import log_schema
from setwright.publish.sheet import block_pdf, notes_pdf, session_pdf
from setwright.publish.terminal import block_text, session_text
from setwright.publish.units import mass_text
from setwright.review.log_file import read_log

STAMP = datetime(2026, 9, 7, tzinfo=UTC)


def calendar() -> bytes:
    return block_calendar(made_block(), catalogue(), time(18, 0), STAMP)


def text_of(pdf: bytes) -> str:
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf)
    return "\n".join(page.get_textpage().get_text_range() for page in document)


def size_of(pdf: bytes) -> tuple[float, float]:
    import pypdfium2

    return pypdfium2.PdfDocument(pdf)[0].get_size()


def test_a_sheet_holds_every_load_of_its_session() -> None:
    """Referee: pypdfium2 reads the text back."""
    block = made_block()
    session = block.weeks[0].sessions[0]
    text = text_of(session_pdf(block, 1, session.day, catalogue())).replace("\r\n", " ").replace("\n", " ")

    loads = [one.load_kg for part in session.parts for entry in part.entries for one in entry.sets if one.load_kg]
    assert len(loads) > 5
    for load in loads:
        assert f"{load:g} kg" in text


@pytest.mark.parametrize(("paper", "size"), [("a4", (595.28, 841.89)), ("us-letter", (612.0, 792.0))])
def test_paper_has_its_standard_size(paper: str, size: tuple[float, float]) -> None:
    """Referee: ISO 216 A4 210 x 297 mm; ANSI Letter 8.5 x 11 in; a point is 1/72 in (from memory)."""
    block = made_block()

    found = size_of(session_pdf(block, 1, block.weeks[0].sessions[0].day, catalogue(), paper))  # type: ignore[arg-type]

    assert found == pytest.approx(size, abs=0.6)


def test_an_hour_fits_on_two_pages_at_most() -> None:
    import pypdfium2

    block = made_block()
    for session in block.weeks[0].sessions:
        assert len(pypdfium2.PdfDocument(session_pdf(block, 1, session.day, catalogue()))) <= 2


def test_the_same_sheet_has_the_same_bytes() -> None:
    block, day = made_block(), made_block().weeks[0].sessions[0].day

    assert session_pdf(block, 1, day, catalogue()) == session_pdf(block, 1, day, catalogue())
    assert block_pdf(block, catalogue()) == block_pdf(block, catalogue())


def test_notes_say_what_each_movement_is_for() -> None:
    block, day = made_block(), made_block().weeks[0].sessions[0].day
    text = text_of(notes_pdf(block, 1, day, catalogue()))

    assert "What it is for" in text
    assert "Effort:" in text


def test_the_notes_page_shows_dose_load_and_plates_of_each_entry() -> None:
    block, session = made_block(), made_block().weeks[0].sessions[0]
    page = notes_page(block, 1, session.day, catalogue())
    entries = [entry for part in session.parts for entry in part.entries]
    barbells = [one for one in entries if one.working_sets and " a side" in one.working_sets[0].pieces]

    loads = [one.load_kg for entry in entries for one in entry.working_sets if one.load_kg]
    assert loads and barbells
    assert all(f"{load:g} kg" in page for load in loads)
    assert page.count("plates on a side, largest inside") == len(barbells)


class Balanced(HTMLParser):
    """Referee for pages: every element that is opened is closed in order (HTML standard, void elements left out)."""

    VOID = ("meta", "br", "link", "img", "input", "hr")

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.links: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in self.VOID:
            self.open.append(tag)
        self.links += [value or "" for name, value in attrs if name in ("href", "src", "action")]

    def handle_endtag(self, tag: str) -> None:
        assert self.open and self.open[-1] == tag, f"{tag} closes {self.open[-3:]}"
        self.open.pop()


def pages() -> dict[str, str]:
    block, day = made_block(), made_block().weeks[0].sessions[0].day
    return {
        "block": block_page(block, catalogue()),
        "session": session_page(block, 1, day, catalogue()),
        "notes": notes_page(block, 1, day, catalogue()),
        "index": index_page("T", [("G", [("a.html", "A", "")])]),
    }


@pytest.mark.parametrize("name", ["block", "session", "notes", "index"])
def test_a_page_stands_alone(name: str) -> None:
    page = pages()[name]
    reader = Balanced()
    reader.feed(page)

    assert reader.open == []
    assert not [link for link in reader.links if link.startswith(("http", "//"))]
    assert "<script" not in page
    assert '<html lang="en">' in page and "viewport" in page


def test_text_from_a_person_can_not_become_markup() -> None:
    assert "<script>" not in index_page("<script>alert(1)</script>", [])


def test_every_calendar_line_obeys_the_standard() -> None:
    """Referee: RFC 5545 section 3.1 (CRLF, 75 octets, folded lines start with a space) and 3.6.1 (an event needs

    UID, DTSTAMP and DTSTART; DTEND and DURATION exclude each other), from memory.
    """
    data = calendar()
    lines = data.split(b"\r\n")

    assert b"\n" not in data.replace(b"\r\n", b"")
    assert all(len(line) <= 75 for line in lines)
    unfolded = data.replace(b"\r\n ", b"").decode()
    assert unfolded.startswith("BEGIN:VCALENDAR\r\n") and unfolded.endswith("END:VCALENDAR\r\n")
    assert "\r\nVERSION:2.0\r\n" in unfolded and "\r\nPRODID:" in unfolded
    events = re.findall(r"BEGIN:VEVENT\r\n(.*?)END:VEVENT", unfolded, re.DOTALL)
    assert len(events) == 8
    for event in events:
        names = [line.split(":")[0].split(";")[0] for line in event.split("\r\n") if line]
        assert [names.count(name) for name in ("UID", "DTSTAMP", "DTSTART", "DURATION", "DTEND")] == [1, 1, 1, 1, 0]
        assert re.search(r"DTSTAMP:\d{8}T\d{6}Z", event)
        assert re.search(r"DTSTART:\d{8}T180000\r", event)


def test_another_library_reads_the_calendar() -> None:
    """Referee: icalendar's parser."""
    from icalendar import Calendar

    events = Calendar.from_ical(calendar()).walk("VEVENT")

    assert [str(one["uid"]) for one in events] == list(dict.fromkeys(str(one["uid"]) for one in events))
    first = events[0]
    assert first.decoded("dtstart").date() == session_date(made_block(), 1, made_block().weeks[0].sessions[0].day)
    assert timedelta(minutes=20) < first.decoded("duration") <= timedelta(minutes=65)


def test_a_revision_keeps_the_names_of_its_events() -> None:
    from dataclasses import replace

    revised = replace(made_block(), revision=2, id="blk-other")
    uids = re.findall(rb"UID:(\S+)", calendar().replace(b"\r\n ", b""))
    again = block_calendar(revised, catalogue(), time(18, 0), STAMP).replace(b"\r\n ", b"")

    assert uids and uids == re.findall(rb"UID:(\S+)", again)


def test_a_session_that_is_dropped_or_moved_is_cancelled_by_its_name() -> None:
    """Referee: vobject, a parser of its own; RFC 5545 section 3.8.1.11 (CANCELLED), 3.8.7.4 (SEQUENCE grows)."""
    from dataclasses import replace

    import vobject

    block = made_block()
    first = block.weeks[0].sessions[0]
    moved = replace(block.weeks[0], sessions=(replace(first, day="tue"), *block.weeks[0].sessions[1:]))
    revised = replace(block, revision=2, weeks=(moved, *block.weeks[1:]))

    data = block_calendar(revised, catalogue(), time(18, 0), STAMP, before=(block,))

    events = vobject.readOne(data.decode()).vevent_list
    gone = [one for one in events if hasattr(one, "status")]
    assert len(events) == 9 and {one.sequence.value for one in events} == {"1"}
    assert [(one.status.value, "week01-mon" in one.uid.value) for one in gone] == [("CANCELLED", True)]
    assert gone[0].dtstart.value == datetime(2026, 9, 7, 18, 0) and gone[0].dtstart.value.tzinfo is None
    assert any("week01-tue" in one.uid.value for one in events)
    lines = data.split(b"\r\n")
    assert all(len(line) <= 75 for line in lines)


def test_the_block_file_obeys_its_schema() -> None:
    """Referee: jsonschema-rs, JSON Schema 2020-12."""
    import jsonschema_rs

    validator = jsonschema_rs.validator_for(block_schema())

    assert validator.is_valid(block_to_dict(made_block()))
    assert not validator.is_valid({**block_to_dict(made_block()), "surprise": 1})


def test_a_block_survives_writing_and_reading() -> None:
    assert block_from_json(block_to_json(made_block()), "block.json") == made_block()


def test_the_keys_that_others_rely_on_are_there() -> None:
    """Referee: the key list of the project's plan, typed in."""
    block = json.loads(block_to_json(made_block()))

    assert {"format", "id", "trainee", "place", "weeks", "set_credits", "unmet", "proof"} <= set(block)
    week = block["weeks"][0]
    assert {"number", "kind", "rpe", "sessions"} <= set(week)
    assert {"day", "minutes", "place", "parts"} <= set(week["sessions"][0])
    entry = week["sessions"][0]["parts"][1]["entries"][0]
    assert {"exercise", "superset", "why", "cautions", "dials", "alternatives", "filler", "sets"} <= set(entry)
    wanted = {"kind", "reps", "hold_s", "distance_m", "time_s", "rir", "rpe", "chance", "tempo", "load_kg"}
    assert wanted | {"load_range_kg", "load_means", "per_side", "rest_s"} <= set(entry["sets"][0])
    assert set(block["proof"]) >= {"status", "objective", "bound", "gap"}


def test_planned_sets_read_back_from_the_spreadsheet() -> None:
    block = made_block()
    rows = list(csv.DictReader(io.StringIO(planned_csv(block, catalogue()).decode())))
    total = sum(len(e.sets) for w in block.weeks for s in w.sessions for p in s.parts for e in p.entries)

    assert len(rows) == total > 100


def test_a_cell_can_not_run_as_a_formula() -> None:
    for text in ("=1+1", "+1", "-1", "@a"):
        assert cell(text).startswith("'")
    assert cell(-5.0) == "-5"


def test_an_unfilled_log_holds_no_set_and_a_filled_one_does() -> None:
    data = empty_log_csv(made_block(), 1, catalogue()).decode()
    rows = list(csv.DictReader(io.StringIO(data)))
    rows[0].update(reps="5", rir="2")
    out = io.StringIO()
    writer = csv.DictWriter(out, list(rows[0]))
    writer.writeheader()
    writer.writerows(rows)

    log = read_log(out.getvalue(), "log.csv", catalogue())

    assert len(log.sets) == 1 and log.sessions == ()
    assert log.sets[0].reps == 5 and log.sets[0].exercise == rows[0]["exercise"]


def test_a_printed_log_asks_for_conditioning_and_fillers_under_their_part() -> None:
    rows = list(csv.DictReader(io.StringIO(empty_log_csv(made_block(), 1, catalogue()).decode())))
    asked = {(row["session"], row["exercise"], row["part"]) for row in rows if row["part"]}
    week = made_block().weeks[0]

    assert asked == {
        (session.day, slug, name)
        for session in week.sessions
        for part in session.parts
        for entry in part.entries
        for slug, name in (
            *([(entry.exercise, "conditioning")] if part.part == "conditioning" else []),
            *([(entry.filler.exercise, "filler")] if entry.filler else []),
        )
    }
    assert any(name == "conditioning" for _, _, name in asked)


def test_a_log_row_obeys_the_log_schema() -> None:
    import jsonschema_rs

    validator = jsonschema_rs.validator_for(log_schema())
    row = {"date": "2026-09-07", "session": "mon", "exercise": "back_squat", "set": 1, "reps": 5, "rir": 2}

    assert validator.is_valid([row])
    assert not validator.is_valid([{**row, "pain": 11}])


def test_pound_is_the_international_pound() -> None:
    """Referee: international agreement of 1959, 1 lb = 0.45359237 kg exactly, from memory."""
    assert pytest.approx(0.45359237, abs=1e-12) == LB_KG
    assert mass_text(100, "lb") == "220.5 lb"


def test_terminal_lines_fit_eighty_columns() -> None:
    block = made_block()
    for text in (
        block_text(block, catalogue()),
        *(session_text(block, 1, session.day, catalogue()) for session in block.weeks[0].sessions),
    ):
        assert max(len(line) for line in text.splitlines()) <= 80
        assert "Warm-up" in text
