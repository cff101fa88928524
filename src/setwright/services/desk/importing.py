"""An old spreadsheet of a trainee: uploaded, looked at under a mapping, and kept as rows of the log once accepted.

What was uploaded waits as a document of the trainee, so that it goes with them; it is taken away with the rest where
nothing comes of it.
"""

from __future__ import annotations

import csv
import io
import json
import secrets
import zipfile
from collections.abc import Sequence
from dataclasses import asdict
from datetime import date, datetime, time
from statistics import median_high
from typing import Any

from django.db import transaction
from django.utils import timezone

from setwright.faults import Fault, InputFaults
from setwright.records import models
from setwright.records.data_base import keep_rows
from setwright.review.log_file import COLUMNS, REQUIRED, as_rows, read_log, with_row_keys
from setwright.review.old_log import Columns, OldLog, Sheet, read_old_log
from setwright.services.clock import now_text, today
from setwright.services.desk import jobs
from setwright.services.desk.overview import count_anew
from setwright.services.desk.practice import note
from setwright.services.gather import catalogue
from setwright.strength.logged import Log

KIND = "import"
MOST_BYTES = 5_000_000
MOST_UNPACKED = 60_000_000
MOST_ROWS, MOST_COLUMNS, MOST_CELL = 20_000, 60, 500
LOOKED_AT = 20  # rows that tell where the names stand, and what is between the cells


def read_sheets(name: str, data: bytes) -> list[Sheet]:
    """The tables of a CSV or XLSX file, one a sheet. Raises InputFaults where there is none, or one is too large."""
    if len(data) > MOST_BYTES:
        raise InputFaults([Fault(name, "", f"{len(data) / 1e6:.1f} MB", f"at most {MOST_BYTES / 1e6:.0f} MB")])
    found = workbook_rows(name, data) if data[:2] == b"PK" else {"": text_rows(name, data)}
    tables = {title: rows for title, rows in found.items() if sum(1 for row in rows if any(row)) > 1}
    if not tables:
        raise InputFaults([Fault(name, "", "no rows", "a table: the names of its columns, and rows below them")])
    return [read_sheet(name, rows, title if len(found) > 1 else "") for title, rows in tables.items()]


def in_sheet(name: str, title: str) -> str:
    """A file with the sheet of it that is meant, where it has several."""
    return f"{name}, sheet {title!r}" if title else name


def read_sheet(file: str, rows: Sequence[Sequence[str]], title: str = "") -> Sheet:
    """One table: the names of its columns, and its rows. Raises InputFaults where it has too many, or none."""
    name = in_sheet(file, title)
    cut = [tuple(cell[:MOST_CELL] for cell in row[:MOST_COLUMNS]) for row in rows]
    above = rows_above(cut)
    found = cut[above:]
    while found and not any(found[-1]):
        found.pop()
    if len(found) < 2:
        raise InputFaults([Fault(name, "", "no rows", "a table: the names of its columns, and rows below them")])
    if len(found) > MOST_ROWS + 1:
        raise InputFaults([Fault(name, "", f"{len(found) - 1} rows", f"at most {MOST_ROWS}", "Cut it into years.")])
    width = max(place for row in found for place, cell in enumerate(row, start=1) if cell)
    header, *body = [(row + ("",) * width)[:width] for row in found]
    return Sheet(
        tuple(head or f"column {number}" for number, head in enumerate(header, start=1)), tuple(body), above + 2, title
    )


def rows_above(rows: Sequence[Sequence[str]]) -> int:
    """How many rows stand above the names of the columns: a title, a name, nothing; they hold few cells."""
    filled = [sum(1 for cell in row if cell) for row in rows[:LOOKED_AT]]
    return next((number for number, many in enumerate(filled) if many * 2 > max(filled)), 0)


def text_rows(name: str, data: bytes) -> list[list[str]]:
    """The rows of a CSV text: commas, semicolons or tabs between its cells."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("cp1252", errors="replace")
    if "\x00" in text or data[:4] == b"\xd0\xcf\x11\xe0":
        allowed = "a table as CSV or XLSX"
        raise InputFaults([Fault(name, "", "no text", allowed, "Save it as CSV or XLSX and send that.")])
    lines = [line for line in text.splitlines() if line.strip()][:LOOKED_AT] or [""]
    delimiter = max("\t;,", key=lambda sign: median_high(line.count(sign) for line in lines))
    try:
        return [[cell.strip() for cell in row] for row in csv.reader(io.StringIO(text), delimiter=delimiter)]
    except csv.Error as error:
        raise InputFaults([Fault(name, "", f"no table: {error}", "a table as CSV or XLSX")]) from None


def workbook_rows(name: str, data: bytes) -> dict[str, list[list[str]]]:
    """The rows of each sheet of a workbook, values as texts; a formula as what it gave last, or as it is written."""
    from openpyxl import load_workbook

    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            size = sum(one.file_size for one in packed.infolist())
        if size > MOST_UNPACKED:
            raise InputFaults([Fault(name, "", "a workbook that unpacks to too much", "a smaller one, or CSV")])
        with_values, as_written = (
            {
                sheet.title: list(sheet.iter_rows(max_row=MOST_ROWS + 2, max_col=MOST_COLUMNS, values_only=True))
                for sheet in load_workbook(io.BytesIO(data), read_only=True, data_only=is_value).worksheets
            }
            for is_value in (True, False)
        )
    except InputFaults:
        raise
    except Exception:  # a damaged workbook fails in as many ways as it has parts
        allowed = "a workbook (XLSX), or the table as CSV"
        raise InputFaults([Fault(name, "", "a file that can't be opened", allowed)]) from None
    return {
        title: [
            [cell_text(written if value is None else value) for value, written in zip(row, other, strict=True)]
            for row, other in zip(rows, as_written[title], strict=True)
        ]
        for title, rows in with_values.items()
    }


def cell_text(cell: Any) -> str:
    """A cell as text: dates as year-month-day, whole numbers without a point."""
    if cell is None:
        return ""
    if isinstance(cell, datetime):
        return cell.date().isoformat()
    if isinstance(cell, date):
        return cell.isoformat()
    if isinstance(cell, time):
        return cell.isoformat()
    if isinstance(cell, float):
        return f"{cell:.6g}"
    return str(cell).strip()


def keep_upload(row: models.Trainee, name: str, sheet: Sheet, by: Any) -> str:
    """Keeps an uploaded table until the coach has decided; gives its id."""
    slug = secrets.token_hex(8)
    text = json.dumps({"name": name[:200], **asdict(sheet)}, ensure_ascii=False)
    models.Document.objects.create(
        practice=row.practice, trainee=row, kind=KIND, slug=slug, text=text, at=timezone.now(), by=by
    )
    return slug


def upload_of(row: models.Trainee, slug: str) -> tuple[str, Sheet]:
    """An uploaded table that waits, with the name of its file. LookupError where there is none."""
    found = row.documents.filter(kind=KIND, slug=slug).first()
    if found is None:
        raise LookupError(f"no table of that name waits for {row.name}")
    data = json.loads(found.text)
    rows = tuple(tuple(one) for one in data["rows"])
    sheet = Sheet(tuple(data["header"]), rows, data.get("first", 2), data.get("title", ""))
    return in_sheet(data["name"], sheet.title), sheet


def throw_away(row: models.Trainee, slug: str) -> None:
    """Takes an uploaded table away."""
    row.documents.filter(kind=KIND, slug=slug).delete()


def is_own_log(sheet: Sheet) -> bool:
    """True for a table in the columns that this program writes a log in, bouts and dials with them."""
    return {*REQUIRED, "dials", "load_means"} <= set(sheet.header) <= {*COLUMNS, "load_lb"}


def look_at(sheet: Sheet, columns: Columns, name: str = "table") -> OldLog:
    """What a table would become; nothing is kept. A log of this program is read whole, by its own reader."""
    if is_own_log(sheet):
        text = io.StringIO()
        csv.writer(text).writerows((sheet.header, *sheet.rows))
        try:
            return OldLog(read_log(text.getvalue(), name, catalogue()), (), (), 0, {})
        except InputFaults as wrong:
            return OldLog(Log(), (), wrong.faults, 0, {})
    return read_old_log(sheet, columns, catalogue(), today(), name)


@transaction.atomic
def take_in(row: models.Trainee, slug: str, columns: Columns, without_faulty: bool, by: Any) -> int:
    """Keeps the rows of an uploaded table in the log; gives how many were new. The table is taken away.

    without_faulty : the coach leaves out the rows that are wrong and names that are not settled
    Raises InputFaults with every fault where it does not, and where nothing is left.
    """
    name, sheet = upload_of(row, slug)
    found = look_at(sheet, columns, name)
    open_names = [
        Fault(
            name,
            f"row {one.first}: exercise",
            f"{one.text!r}, in {one.rows} row{'s' if one.rows != 1 else ''}",
            "an exercise of the catalogue, or an answer that leaves it out",
        )
        for one in found.unsettled
    ]
    if (found.faults or open_names) and not without_faulty:
        raise InputFaults([*open_names, *found.faults])
    rows = as_rows(with_row_keys(found.log))
    if not rows:
        raise InputFaults(found.faults or [Fault(name, "", "no set", "at least one set or session")])
    new = keep_rows(row, rows, now_text(), by)
    throw_away(row, slug)
    note(row.practice, by, "imported an old log", row, f"{new} rows")
    count_anew(row, with_findings=False)
    jobs.ask(row, "count", {}, by)
    return new


def waiting_uploads(row: models.Trainee) -> Sequence[tuple[models.Document, str]]:
    """Tables that were uploaded and wait for a decision, each with the name of its file and sheet."""
    kept = row.documents.filter(kind=KIND).order_by("id")
    return [(one, upload_of(row, one.slug)[0]) for one in kept]
