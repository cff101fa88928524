"""Backup of the records: one file with everything, written while others go on working."""

from __future__ import annotations

import os
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path

from setwright.faults import Fault, InputFaults
from setwright.installation import SQLITE_FILE
from setwright.records import sqlite_file
from setwright.records.backup_file import Manifest, write_backup
from setwright.services.clock import now_text
from setwright.services.opening import DATABASE, holds_data_base, open_data_base

EVENTS = "events.jsonl"
MEDIA = "media"


@dataclass(frozen=True)
class BackedUp:
    """A backup that was made: its file and what it says of itself."""

    file: Path
    manifest: Manifest


def is_on_server() -> bool:
    """True where the data base is a server's."""
    return bool(os.environ.get(DATABASE))


def usual_backup_name() -> str:
    """The name of a backup where none is given."""
    return f"setwright-backup-{now_text()[:19].replace(':', '')}.zip"


def back_up(folder: Path, out: Path, portable: bool = False) -> BackedUp:
    """Writes all records of a folder, with pictures, into one file; others may go on writing meanwhile.

    portable : rows as text, for every kind of data base; a server's data are always written so
    Raises InputFaults where nothing is kept there, the data are damaged, or ``out`` is there already.
    """
    if out.exists():
        raise InputFaults([Fault(f"--out {out}", "", "a file that is there already", "a new name")])
    if not out.parent.is_dir():
        raise InputFaults([Fault(f"--out {out}", "", "a folder that is not there", "a folder that can be written")])
    if holds_data_base(folder):
        if not is_on_server():
            return back_up_file(folder, out, portable)
        open_data_base(folder)
        return back_up_tables(folder, out)
    if (folder / EVENTS).is_file():
        members = {path.relative_to(folder).as_posix(): path for path in record_files(folder)}
        rows = {EVENTS: (folder / EVENTS).read_bytes().count(b"\n")}
        return BackedUp(out, write_backup(out, members, "files", now_text(), version("setwright"), (), rows))
    raise InputFaults([Fault(f"--records {folder}", "", "no records", f"a folder with {SQLITE_FILE} or {EVENTS}")])


def record_files(folder: Path) -> list[Path]:
    """The files of records that are kept as files."""
    return [folder / EVENTS, *sorted((folder / "blocks").glob("*.json"))]


def back_up_file(folder: Path, out: Path, portable: bool) -> BackedUp:
    """Writes the data base file of a folder, as of one moment, and the pictures into one file."""
    with side_folder(out.parent.resolve()) as side:
        copy = side / SQLITE_FILE
        take_snapshot(folder / SQLITE_FILE, copy)
        if portable:
            open_data_base(side)
            return back_up_tables(folder, out)
        members = {**media_members(folder), SQLITE_FILE: copy}
        rows, steps = sqlite_file.row_counts(copy), sqlite_file.steps_in(copy)
        return BackedUp(out, write_backup(out, members, "sqlite", now_text(), version("setwright"), steps, rows))


def back_up_tables(folder: Path, out: Path) -> BackedUp:
    """Writes the tables of the data base that is open, and the pictures of a folder, into one file."""
    from setwright.records.tables import dump_tables, steps_taken

    with side_folder(out.parent.resolve()) as side:
        rows = dump_tables(side / "tables")
        members = {**media_members(folder), **{f"tables/{one.name}": one for one in (side / "tables").iterdir()}}
        made = write_backup(out, members, "tables", now_text(), version("setwright"), steps_taken(), rows)
    return BackedUp(out, made)


def media_members(folder: Path) -> dict[str, Path]:
    """Pictures and clips that coaches keep, by their names in a backup."""
    found = sorted(one for one in (folder / MEDIA).rglob("*") if one.is_file())
    return {path.relative_to(folder).as_posix(): path for path in found}


def take_snapshot(data_base: Path, copy: Path) -> None:
    """A copy of a data base as of one moment, known to be whole. Raises InputFaults where it is not."""
    try:
        sqlite_file.snapshot(data_base, copy)
        found = sqlite_file.damage_of(copy)
    except sqlite3.Error as error:
        found = str(error)
    if found:
        hint = "Nothing was written. Restore the last backup: setwright restore."
        raise InputFaults([Fault(str(data_base), "", f"damage ({found})", "a whole data base", hint)])


@contextmanager
def side_folder(beside: Path) -> Iterator[Path]:
    """A folder that only its owner reads, gone when the work is done."""
    made = Path(tempfile.mkdtemp(prefix=".setwright-", dir=beside))
    try:
        yield made
    finally:
        shutil.rmtree(made, ignore_errors=True)
