"""Restore of a backup: checked before anything is touched, made ready beside the data, put in their place at the end.

Two ideas carry this module. One: what was there before is never deleted, it stays in a folder ``before-restore-...``.
Two: who was erased stays erased, whatever an older backup holds.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path

from setwright.faults import Fault, InputFaults
from setwright.installation import SQLITE_FILE, secret_key_in
from setwright.records import sqlite_file
from setwright.records.backup_file import Manifest, checked, damaged, unpack
from setwright.services.backing_up import EVENTS, MEDIA, back_up_tables, is_on_server, side_folder, usual_backup_name
from setwright.services.clock import now_text
from setwright.services.gather import Say, silent
from setwright.services.opening import DATABASE, silent_data_base, start_framework
from setwright.services.serving_lock import alone_with

BESIDE = ("-wal", "-shm")


@dataclass(frozen=True)
class Restored:
    """What a restore did, or would do: the backup, where the data before it are kept, how many were erased again."""

    manifest: Manifest
    before: Path | None
    erased_again: int


@dataclass(frozen=True)
class Asked:
    """What a restore was asked for.

    replace : also where records are there already
    try_only : check all, change nothing
    """

    file: Path
    folder: Path
    replace: bool = False
    try_only: bool = False


def restore(asked: Asked, say: Say = silent) -> Restored:
    """Puts the records of a backup in the place of those of a folder.

    Raises InputFaults, and has changed nothing, where the file is damaged, of another version or kind, or where
    records are there and nobody said to replace them, or a server works on them.
    """
    manifest, folder = checked(asked.file), asked.folder
    parent = folder.resolve().parent
    if folder.is_file() or not parent.is_dir():
        found = "a file" if folder.is_file() else "a folder that can't be made"
        raise InputFaults([Fault(f"--records {folder}", "", found, "a folder, or a new one in a folder that is there")])
    check_kind(asked, manifest)
    with side_folder(parent) as side:
        unpack(asked.file, manifest, side)
        if manifest.kind == "files":
            return restore_files(asked, manifest, side)
        return (restore_on_server if is_on_server() else restore_file)(asked, manifest, side, say)


def check_kind(asked: Asked, manifest: Manifest) -> None:
    """Raises InputFaults where a backup is of another kind than the data there, or would replace them unasked."""
    file, folder, kind = str(asked.file), asked.folder, manifest.kind
    if kind == "sqlite" and is_on_server():
        hint = "Take one that fits both, where the SQLite data base is: setwright backup --portable."
        raise InputFaults([Fault(file, "kind", "'sqlite'", f"'tables' for the server in {DATABASE}", hint)])
    if kind == "files" and (folder / SQLITE_FILE).exists():
        hint = "Restore it into a folder of its own, then setwright import."
        raise InputFaults([Fault(file, "kind", "'files'", "a backup of a data base", hint)])
    there = EVENTS if kind == "files" else SQLITE_FILE
    if (folder / there).exists() and (kind == "files" or not is_on_server()):
        refuse_unasked(asked, there)


def refuse_unasked(asked: Asked, there: str) -> None:
    """Raises InputFaults where records would be replaced and nobody said so."""
    if not asked.replace:
        hint = "Say --replace; what is there now stays beside."
        raise InputFaults([Fault(f"--records {asked.folder}", "", f"records ({there})", "an empty folder", hint)])


def restore_files(asked: Asked, manifest: Manifest, side: Path) -> Restored:
    """Puts records that are files in their place."""
    if not (side / EVENTS).is_file():
        raise damaged(asked.file, EVENTS, "a member that is not there")
    if asked.try_only:
        return Restored(manifest, None, 0)
    return Restored(manifest, put_in_place(side, asked.folder, ("blocks", EVENTS)), 0)


def restore_file(asked: Asked, manifest: Manifest, side: Path, say: Say) -> Restored:
    """Makes the data base file of a backup ready beside the one in use, then puts it in its place."""
    from django.db import connection

    if manifest.kind == "sqlite":
        check_copy(asked.file, manifest, side / SQLITE_FILE)
    gone = tombstones_before(asked.folder / SQLITE_FILE, say)
    start_framework(side)
    erased = make_ready(asked.file, manifest, side, gone)
    with connection.cursor() as cursor:
        cursor.execute("pragma wal_checkpoint(truncate)")
    connection.close()
    if asked.try_only:
        return Restored(manifest, None, erased)
    asked.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    with alone_with(asked.folder):
        before = put_in_place(side, asked.folder, (MEDIA, SQLITE_FILE))
    return Restored(manifest, before, erased)


def check_copy(file: Path, manifest: Manifest, copy: Path) -> None:
    """Raises InputFaults where an unpacked data base is not the one that was backed up."""
    if not copy.is_file():
        raise damaged(file, SQLITE_FILE, "a member that is not there")
    found = sqlite_file.damage_of(copy)
    if found:
        raise damaged(file, SQLITE_FILE, f"damage ({found})")
    if dict(sqlite_file.row_counts(copy)) != dict(manifest.rows):
        raise damaged(file, SQLITE_FILE, "tables with other counts than in the manifest")


def tombstones_before(data_base: Path, say: Say) -> tuple[str, ...]:
    """The ids of those who were erased in the data base that is there now; none where there is none."""
    if not data_base.exists():
        return ()
    try:
        return sqlite_file.tombstones_in(data_base)
    except sqlite3.Error:
        say("The data that are there now can't be read: who was erased since the backup has to be erased again.")
        return ()


def make_ready(file: Path, manifest: Manifest, side: Path, gone: Sequence[str]) -> int:
    """Brings the data base that is open to this version and this day; gives how many were erased again."""
    from django.contrib.sessions.models import Session
    from django.core.management import call_command

    unknown = sorted({*manifest.steps} - known_steps())
    if unknown:
        found = f"{unknown[0]}, a step of the tables that this version does not know"
        hint = f"Restore it with version {manifest.version} or a newer one."
        raise InputFaults([Fault(str(file), "steps", found, f"what version {version('setwright')} knows", hint)])
    call_command("migrate", verbosity=0, interactive=False)
    call_command("createcachetable", verbosity=0)
    if manifest.kind == "tables":
        load_rows(file, manifest, side)
    Session.objects.all().delete()  # a log-in that was ended since the backup must not come back to life
    return erase_again(gone)


def known_steps() -> set[str]:
    """Every step of the tables that this version knows, by name."""
    from django.db.migrations.loader import MigrationLoader

    return {f"{app}.{name}" for app, name in MigrationLoader(None).disk_migrations}


def load_rows(file: Path, manifest: Manifest, side: Path) -> None:
    """The rows of a backup in the place of all that is in the data base that is open."""
    from setwright.records.tables import load_tables, steps_taken

    lacking = sorted({*steps_taken()} ^ {*manifest.steps})
    if lacking:
        hint = f"Restore it with version {manifest.version}, then bring that up to date."
        found = f"tables of another version ({lacking[0]})"
        raise InputFaults([Fault(str(file), "steps", found, "the tables of this version", hint)])
    load_tables(side / "tables", manifest.rows, file)


def erase_again(gone: Sequence[str]) -> int:
    """Erases those whom an older backup still knows; gives how many."""
    from setwright.records import models
    from setwright.records.erasing import erase_trainee

    found = list(models.Trainee.objects.filter(id__in=gone, erased_at=None))
    for row in found:
        erase_trainee(row)
    return len(found)


def restore_on_server(asked: Asked, manifest: Manifest, side: Path, say: Say) -> Restored:
    """Puts the rows of a backup into the data base of a server, all in one transaction."""
    start_framework(side)
    from django.db import transaction
    from django.db.utils import OperationalError

    try:
        gone = tombstones_on_server()
    except OperationalError as error:
        raise silent_data_base(error) from None
    if gone is not None:
        refuse_unasked(asked, f"a practice on the server in {DATABASE}")
    if asked.try_only:
        with transaction.atomic():
            erased = make_ready(asked.file, manifest, side, gone or ())
            transaction.set_rollback(True)
        return Restored(manifest, None, erased)
    asked.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    with alone_with(asked.folder):
        before = None
        if gone is not None:
            before = new_folder_before(asked.folder)
            back_up_tables(asked.folder, before / usual_backup_name())
        with transaction.atomic():
            erased = make_ready(asked.file, manifest, side, gone or ())
        before = put_in_place(side, asked.folder, (MEDIA,), before)
    secret_key_in(asked.folder)  # by its key a folder is known as the data folder of an application
    return Restored(manifest, before, erased)


def tombstones_on_server() -> tuple[str, ...] | None:
    """The ids of those who were erased in the data base of the server; None where no practice is in it."""
    from django.db import connection

    from setwright.records import models

    if models.Practice._meta.db_table not in connection.introspection.table_names():
        return None
    if not models.Practice.objects.exists():
        return None
    return tuple(str(one) for one in models.Trainee.objects.exclude(erased_at=None).values_list("id", flat=True))


def new_folder_before(folder: Path) -> Path:
    """A new folder for what a restore replaces."""
    made = folder / f"before-restore-{now_text()[:19].replace(':', '')}-{os.getpid()}"
    made.mkdir(mode=0o700)
    return made


def put_in_place(side: Path, folder: Path, names: Sequence[str], before: Path | None = None) -> Path | None:
    """Puts what was made ready in the place of what is there; gives the folder that keeps the latter, None for none.

    names : files and folders, the one that decides last: until then what is there counts
    There is no moment at which the deciding file is missing.
    """
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    there = [one for one in names if (folder / one).exists()]
    if there and before is None:
        before = new_folder_before(folder)
    for name in names:
        old, new = folder / name, side / name
        if old.is_dir() and before is not None:
            os.replace(old, before / name)
        elif old.exists() and before is not None:
            for part in (*(old.with_name(name + one) for one in BESIDE), old):
                if part.exists():
                    os.link(part, before / part.name)
            for part in (old.with_name(name + one) for one in BESIDE):
                part.unlink(missing_ok=True)
        if new.exists():
            os.replace(new, old)
    return before
