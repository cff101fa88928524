"""A block and a log in open formats, for other programs: what each file is called, and what is in it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import time
from pathlib import Path

from setwright.faults import Fault, InputFaults
from setwright.plan.block import Block
from setwright.publish.calendar_file import block_calendar
from setwright.publish.clinic_bundle import Outgoing
from setwright.publish.csv_file import log_csv, planned_csv
from setwright.publish.units import Unit
from setwright.services.clinic import clinic_file
from setwright.services.gather import catalogue, load_block, load_logs
from setwright.services.keeping import earlier_revisions, records_in
from setwright.services.publishing import stamp_of
from setwright.strength.logged import Log

KINDS = ("fhir", "parquet", "csv", "ics")


def block_and_log(name: str, records: Path, logs: tuple[Path, ...]) -> tuple[Block, Log, list[Block]]:
    """The block of a file with the logs that are named, or the block in force of a trainee of the records with theirs.

    The third are the revisions before it, as far as they are kept.
    Raises InputFaults where there is neither, or where nothing is in force.
    """
    if Path(name).exists():
        return load_block(Path(name)), load_logs(logs) if logs else Log(), []
    kept = records_in(records)
    if name not in kept.trainees():
        known = ", ".join(kept.trainees()) or "nobody"
        raise InputFaults([Fault("export", "trainee", repr(name), f"a block file, or one of {records}: {known}")])
    block = kept.current(name)
    if block is None:
        hint = "Put one in force first: setwright accept."
        raise InputFaults([Fault(f"{records}", name, "no block in force", "a trainee with a block in force", hint)])
    log = load_logs(logs, kept=kept.log(name)) if logs else kept.log(name)
    return block, log, earlier_revisions(kept, block)


def exchange_files(
    block: Block, log: Log, kind: str, may: Outgoing, unit: Unit | None = None, before: Sequence[Block] = ()
) -> dict[str, bytes]:
    """The files of one format by their names.

    may : what a clinic may get, read for ``fhir`` only; before : earlier revisions, for the calendar
    """
    known = catalogue()
    if kind == "fhir":
        return {"clinic.json": clinic_file(block, log, may, unit or "kg")}
    if kind == "ics":
        return {"block.ics": block_calendar(block, known, time(18, 0), stamp_of(block), unit, before)}
    if kind == "parquet":
        from setwright.publish.parquet_file import log_parquet, planned_parquet

        return {"planned.parquet": planned_parquet(block, known), "log.parquet": log_parquet(log)}
    return {"planned.csv": planned_csv(block, known, unit), "log.csv": log_csv(log)}
