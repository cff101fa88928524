"""Opens the records that a folder holds: the data base of the application, or append-only files.

The command line and the pages work on the same records: where the folder is the data folder of ``setwright serve``,
every verb that takes ``--records`` reads and writes its data base.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from setwright.faults import Fault, InputFaults
from setwright.installation import KEY_FILE, SQLITE_FILE

if TYPE_CHECKING:
    from setwright.catalogue.store import Catalogue
    from setwright.records.data_base import DataBaseRecords
    from setwright.records.models import Practice

PRACTICE = "SETWRIGHT_PRACTICE"
DATABASE = "SETWRIGHT_DATABASE"


def holds_data_base(folder: Path) -> bool:
    """True where a folder is the data folder of an application, its data base in it or on a server."""
    return (folder / SQLITE_FILE).is_file() or (bool(os.environ.get(DATABASE)) and (folder / KEY_FILE).is_file())


def start_framework(folder: Path) -> None:
    """Names the folder of the data and starts the framework on it.

    Raises InputFaults where this run works on the data of another folder already.
    """
    from django.conf import settings

    if settings.configured and folder.resolve() != settings.DATA:
        found = f"the data of {settings.DATA} open already"
        raise InputFaults([Fault(f"--records {folder}", "", found, "one folder of data a run")])
    os.environ["SETWRIGHT_DATA"] = str(folder.resolve())
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "setwright.settings")
    import django

    django.setup()


def open_data_base(folder: Path) -> None:
    """Starts the framework on the data of a folder, with all of its tables as this version wants them.

    Raises InputFaults where the data base does not answer or is of another version.
    """
    start_framework(folder)
    from django.db.utils import DatabaseError

    try:
        missing = missing_steps()
    except DatabaseError as error:
        raise silent_data_base(error) from None
    if missing:
        hint = "Start setwright serve on it once: it brings the tables up to date."
        more = f" and {len(missing) - 1} more" if len(missing) > 1 else ""
        found = f"tables that lack {missing[0]}{more}"
        raise InputFaults([Fault(f"--records {folder}", "", found, "tables of this version", hint)])


def missing_steps() -> Sequence[str]:
    """The steps of the tables that the data base lacks, by name."""
    from django.db import connection
    from django.db.migrations.executor import MigrationExecutor

    executor = MigrationExecutor(connection)
    plan = executor.migration_plan(executor.loader.graph.leaf_nodes())
    return [str(step) for step, _ in plan]


def silent_data_base(error: Exception) -> InputFaults:
    """The fault for a data base that can't be opened: which one, and what it says."""
    from django.db import connection

    named = connection.settings_dict
    if connection.vendor == "postgresql":
        found = f"{named['HOST'] or 'this machine'}:{named['PORT'] or 5432}, which does not take us in"
        hint = f"It says: {str(error).strip().splitlines()[0]}"
        return InputFaults([Fault(DATABASE, "", found, "a PostgreSQL server that runs", hint)])
    allowed = "a data base that can be opened and written"
    return InputFaults([Fault(str(named["NAME"]), "", str(error), allowed, "Restore a backup: setwright restore.")])


def data_base_records(folder: Path, catalogue: Callable[[], Catalogue]) -> DataBaseRecords:
    """The records of the practice in the data base of a folder; its own exercises are in force from here on.

    catalogue : gives the catalogue with what is in force
    """
    open_data_base(folder)
    from setwright.records.data_base import DataBaseRecords
    from setwright.services.desk.own_exercises import sound_files_of
    from setwright.services.own import use_carried

    practice = practice_of(folder)
    use_carried(sound_files_of(practice))
    return DataBaseRecords(practice, catalogue())


def practice_of(folder: Path) -> Practice:
    """The practice that works in a data base; where there are several, the one that SETWRIGHT_PRACTICE names.

    Raises InputFaults where there is none, or none of that name.
    """
    from setwright.records.models import Practice

    at, wanted = f"--records {folder}", os.environ.get(PRACTICE, "")
    found: list[Practice] = list(Practice.objects.order_by("made_at"))
    names = ", ".join(one.name for one in found)
    if not found:
        hint = "Open its pages and make the first coach, or give --demo: setwright serve."
        raise InputFaults([Fault(at, "", "a data base without a practice", "one with a coach", hint)])
    fitting = [one for one in found if wanted in (one.name, str(one.id))] if wanted else found
    if len(fitting) == 1:
        return fitting[0]
    if wanted:
        raise InputFaults([Fault(PRACTICE, "", repr(wanted), names)])
    hint = f"Name the one that is meant in {PRACTICE}."
    raise InputFaults([Fault(at, "", f"{len(found)} practices", names, hint)])
