"""An installation of its own, as on a coach's machine: a folder of data, its data base, the real command line."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
import uuid
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

TESTS = Path(__file__).parents[1]
NOT_KEPT = ("django_", "sqlite_", "cache", "auth_permission")  # made by the framework, or of one server only
TABLES = {
    "file": "select name from sqlite_master where type = 'table'",
    "server": "select tablename from pg_tables where schemaname = 'public'",
}
FILL = """
import sys
from pathlib import Path
sys.path.insert(0, {web!r})
from setwright.services.opening import start_framework
start_framework(Path({folder!r}))
from django.core.management import call_command
call_command("migrate", verbosity=0)
call_command("createcachetable")
if {filled!r}:
    from practice import make_gym
    make_gym()
"""


@dataclass(frozen=True)
class Installation:
    """A folder of data, and the address of its data base where that is on a server."""

    folder: Path
    database: str

    @property
    def environment(self) -> dict[str, str]:
        """What a process on this installation is started with."""
        given = {**os.environ, "SETWRIGHT_DATABASE": self.database, "SETWRIGHT_DATA": str(self.folder)}
        return {name: value for name, value in given.items() if value}

    def setwright(self, *words: str | Path, practice: str = "Invented hall") -> subprocess.CompletedProcess[str]:
        """One verb of the command line on the records of this installation; its errors on one line, however long."""
        command = [sys.executable, "-m", "setwright.cli.main", *map(str, words), "--records", str(self.folder)]
        environment = {**self.environment, "SETWRIGHT_PRACTICE": practice}
        done = subprocess.run(command, env=environment, capture_output=True, text=True, timeout=120)
        done.stderr = done.stderr.replace("\n  ", " ")  # where lines break depends on the length of a path
        return done

    def python(self, code: str) -> str:
        """What a few lines print that run on the data base of this installation."""
        start = "from setwright.services.opening import open_data_base\nfrom pathlib import Path\n"
        start += f"open_data_base(Path({str(self.folder)!r}))\nfrom setwright.records import models\n"
        command = [sys.executable, "-c", start + code]
        told = subprocess.run(command, env=self.environment, capture_output=True, text=True, timeout=120)
        assert told.returncode == 0, told.stderr
        return told.stdout.strip()

    def rows(self) -> dict[str, list[str]]:
        """Every row of every table that a backup brings back, read past the framework."""
        with closing(self.connect()) as connection:
            cursor = connection.cursor()
            cursor.execute(TABLES["server" if self.database else "file"])
            names = sorted(name for (name,) in cursor.fetchall() if not name.startswith(NOT_KEPT))
            assert len(names) > 15
            found = {}
            for name in names:
                cursor.execute(f'select * from "{name}"')
                found[name] = sorted(repr([bytes(v) if isinstance(v, memoryview) else v for v in r]) for r in cursor)
        return found

    def count(self, table: str) -> int:
        """How many rows a table has."""
        with closing(self.connect()) as connection:
            cursor = connection.cursor()
            cursor.execute(f'select count(*) from "{table}"')
            return int(cursor.fetchone()[0])

    def connect(self) -> Any:
        """The data base itself."""
        if self.database:
            import psycopg

            return psycopg.connect(self.database)
        return sqlite3.connect(self.folder / "setwright.sqlite3")

    def copy(self, folder: Path) -> Installation:
        """The same data as an installation of its own."""
        shutil.copytree(self.folder, folder)
        return Installation(folder, self.database and copied(self.database))


def copied(database: str) -> str:
    """The address of a new data base with the same content on the same server."""
    return new_data_base(database, database_name(database))


def database_name(address: str) -> str:
    """The name of the data base in an address."""
    return address.split("?")[0].rsplit("/", 1)[1]


def new_data_base(server: str, template: str = "template0") -> str:
    """The address of a new data base on the server that an address names."""
    import psycopg

    name = f"hall_{uuid.uuid4().hex[:12]}"
    at, _, query = server.partition("?")
    before = at.rsplit("/", 1)[0]
    with psycopg.connect(f"{before}/postgres?{query}", autocommit=True) as connection:
        connection.execute(f"create database {name} template {template}")
    return f"{before}/{name}?{query}"


def new_installation(folder: Path, filled: bool = True) -> Installation:
    """An installation with its tables, and the invented practice in them where it is wanted ``filled``."""
    server = os.environ.get("SETWRIGHT_DATABASE", "")
    made = Installation(folder, new_data_base(server) if server else "")
    code = FILL.format(web=str(TESTS / "web"), folder=str(folder), filled=filled)
    told = subprocess.run([sys.executable, "-c", code], env=made.environment, capture_output=True, text=True)
    assert told.returncode == 0, told.stderr
    return made
