"""The embedded data base as a file: a copy of it while it is in use, and whether a copy is whole."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from contextlib import closing
from pathlib import Path

WAIT_S = 20.0


def snapshot(data_base: Path, out: Path) -> None:
    """A copy of a data base as it is at one moment, while others go on writing. Raises sqlite3.Error where it can't.

    Source: SQLite's documentation of VACUUM INTO, from memory: the copy is one transaction, without free pages.
    """
    with closing(sqlite3.connect(data_base.resolve().as_uri() + "?mode=rw", uri=True, timeout=WAIT_S)) as connection:
        connection.execute("vacuum into ?", (str(out),))


def damage_of(data_base: Path) -> str:
    """What is wrong with a data base file; empty where its pages, indexes and references are in order."""
    try:
        with closing(sqlite3.connect(data_base)) as connection:
            found = [str(row[0]) for row in connection.execute("pragma integrity_check(3)")]
            if found != ["ok"]:
                return "; ".join(found)
            broken = connection.execute("pragma foreign_key_check").fetchone()
            return "" if broken is None else f"a row of {broken[0]} that names one of {broken[2]} which is not there"
    except sqlite3.Error as error:
        return str(error)


def row_counts(data_base: Path) -> Mapping[str, int]:
    """How many rows each table has. Raises sqlite3.Error for what is no data base."""
    with closing(sqlite3.connect(data_base)) as connection:
        names = "select name from sqlite_master where type = 'table' and name not like 'sqlite_%' order by name"
        tables = [str(row[0]) for row in connection.execute(names)]
        return {name: connection.execute(f'select count(*) from "{name}"').fetchone()[0] for name in tables}


def steps_in(data_base: Path) -> tuple[str, ...]:
    """The steps of its tables that a data base has taken, in order. Raises sqlite3.Error where it has none."""
    with closing(sqlite3.connect(data_base)) as connection:
        rows = connection.execute("select app, name from django_migrations order by id")
        return tuple(f"{app}.{name}" for app, name in rows)


def tombstones_in(data_base: Path) -> tuple[str, ...]:
    """The ids of those who were erased. Raises sqlite3.Error where it can't be told."""
    with closing(sqlite3.connect(data_base)) as connection:
        rows = connection.execute("select id from records_trainee where erased_at is not null order by id")
        return tuple(str(row[0]) for row in rows)
