"""A block as everything a coach hands out: sheets, notes, pages, calendar, CSV, JSON; into one folder, in one go."""

from __future__ import annotations

import sys
import textwrap
from collections.abc import Callable, Sequence
from datetime import UTC, datetime, time
from pathlib import Path
from typing import Literal

from setwright.faults import InputFaults
from setwright.plan.block import Block
from setwright.publish.block_file import block_from_json, block_to_json
from setwright.publish.calendar_file import block_calendar
from setwright.publish.changes_report import Deciding, changes_page, changes_pdf
from setwright.publish.csv_file import empty_log_csv, planned_csv
from setwright.publish.page import block_page, index_page, notes_page, session_page
from setwright.publish.sheet import block_pdf, notes_pdf, session_pdf
from setwright.publish.units import Unit
from setwright.services.files import make_folder, write_all
from setwright.services.gather import catalogue

Paper = Literal["a4", "us-letter"]
FORMATS = ("pdf", "html", "ics", "csv", "json", "notes")


def stamp_of(block: Block) -> datetime:
    """The time stamp of the calendar: the start of the block, so that the same block gives the same bytes."""
    start = block.inputs.brief.start
    return datetime(start.year, start.month, start.day, tzinfo=UTC)


def block_files(
    block: Block,
    weeks: Sequence[int] | None = None,
    paper: Paper = "a4",
    unit: Unit | None = None,
    start_time: time = time(18, 0),
    formats: Sequence[str] = FORMATS,
    figures: bool = True,
    before: Block | None = None,
    deciding: Deciding | None = None,
) -> dict[str, bytes]:
    """Every file of a block by its name below the folder.

    weeks : weeks whose session sheets are made; all when None
    unit : kg or lb everywhere; the unit of each place when None
    figures : a small figure of each exercise on sheets, pages and notes
    before : the block it was made from; then its changes say which may be used before the coach has looked
    deciding : the files that accept and decline name
    """
    known = catalogue()
    files: dict[str, bytes] = {}
    chosen = [week for week in block.weeks if weeks is None or week.number in weeks]
    if "json" in formats:
        files["block.json"] = block_to_json(block)
    if "pdf" in formats:
        files["block.pdf"] = block_pdf(block, known, paper, unit)
        if block.changes:
            files["changes.pdf"] = changes_pdf(block, known, paper, unit, before, deciding)
        for week in chosen:
            for session in week.sessions:
                name = f"sheets/week-{week.number:02d}-{session.day}.pdf"
                files[name] = session_pdf(block, week.number, session.day, known, paper, unit, figures)
    if "notes" in formats and block.weeks:
        from setwright.services.explaining import with_answers

        told = with_answers(block)
        for session in block.weeks[0].sessions:
            files[f"notes/{session.day}.pdf"] = notes_pdf(block, 1, session.day, known, paper, unit)
            files[f"notes/{session.day}.html"] = notes_page(told, 1, session.day, known, unit, figures).encode()
    if "html" in formats:
        files["block.html"] = block_page(block, known, unit, figures).encode()
        for week in chosen:
            for session in week.sessions:
                name = f"pages/week-{week.number:02d}-{session.day}.html"
                files[name] = session_page(block, week.number, session.day, known, unit, figures).encode()
        if block.changes:
            files["changes.html"] = changes_page(block, known, unit, before, deciding).encode()
    if "ics" in formats:
        files["block.ics"] = block_calendar(
            block, known, start_time, stamp_of(block), unit, () if before is None else (before,)
        )
    if "csv" in formats:
        files["planned.csv"] = planned_csv(block, known, unit)
        for week in chosen:
            files[f"logs/week-{week.number:02d}.csv"] = empty_log_csv(block, week.number, known, unit)
    files["index.html"] = block_index(block, files).encode()
    return files


def block_index(block: Block, files: dict[str, bytes], others: Sequence[tuple[str, str, str]] = ()) -> str:
    """The page that links every file of a block. ``others``: links to blocks beside it, and to what compares them."""
    whole = []
    for name, label, sentence in (
        ("block.html", "The block as a page", "Every week, session and set, with the reasons."),
        ("changes.html", "What changed", "Each change of this revision with its reason, and how to decide."),
        ("changes.pdf", "What changed, on paper", "The same to print."),
        ("block.pdf", "The block on paper", "The overview to print."),
        ("block.ics", "Calendar", "One event a session, for any calendar."),
        ("planned.csv", "Planned sets", "For a spreadsheet."),
        ("block.json", "Block file", "What the other commands read."),
    ):
        if name in files:
            whole.append((name, label, sentence))
    groups = [("Several blocks", list(others))] if others else []
    groups.append(("The block", whole))
    for week in block.weeks:
        rows = []
        for session in week.sessions:
            key = f"week-{week.number:02d}-{session.day}"
            if f"sheets/{key}.pdf" in files:
                rows.append((f"sheets/{key}.pdf", f"{session.day}: sheet", f"{session.minutes:.0f} min, to print"))
            if f"pages/{key}.html" in files:
                rows.append((f"pages/{key}.html", f"{session.day}: page", "the same on a phone"))
        log = f"logs/week-{week.number:02d}.csv"
        if log in files:
            rows.append((log, "Log to fill in", "in a spreadsheet"))
        if rows:
            groups.append((f"Week {week.number}", rows))
    notes = [
        (name, f"Notes for {name.split('/')[1].split('.')[0]}", "the talk through the session")
        for name in files
        if name.startswith("notes/") and name.endswith(".html")
    ]
    if notes:
        groups.append(("Coach's notes", notes))
    return index_page(block.title, groups)


def publish_block(
    block: Block,
    folder: Path,
    weeks: Sequence[int] | None = None,
    paper: Paper = "a4",
    unit: Unit | None = None,
    start_time: time = time(18, 0),
    formats: Sequence[str] = FORMATS,
    figures: bool = True,
    say: Callable[[str], None] | None = None,
    before: Block | None = None,
    deciding: Deciding | None = None,
) -> dict[str, bytes]:
    """Writes every file of a block below a folder; all are made before the first is written.

    say : takes a sentence for each log that stands there filled in and is kept; standard error when None
    before, deciding : as for ``block_files``
    """
    make_folder(folder)
    files = block_files(block, weeks, paper, unit, start_time, formats, figures, before, deciding)
    kept = write_all(folder, files, blank_logs_of(folder))
    for name, beside in kept.items():
        text = f"{folder / name} is kept as it is: it is not the blank log. The blank one is {beside}."
        if say is not None:
            say(text)
        else:
            print(textwrap.fill(text, 80, subsequent_indent="  ", break_on_hyphens=False), file=sys.stderr)
    return files


def blank_logs_of(folder: Path) -> dict[str, frozenset[bytes]]:
    """The blank logs of the block that lies in a folder, in either unit; none where there is no readable block."""
    path = folder / "block.json"
    units: tuple[Unit | None, ...] = (None, "kg", "lb")
    try:
        block = block_from_json(path.read_bytes(), str(path))
        return {
            f"logs/week-{week.number:02d}.csv": frozenset(
                empty_log_csv(block, week.number, catalogue(), unit) for unit in units
            )
            for week in block.weeks
        }
    except (OSError, InputFaults, LookupError):
        return {}
