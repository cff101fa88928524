"""Erasing a person, and counting anew what is derived: on records in a data base or in files."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from setwright.faults import Fault, InputFaults
from setwright.records.files import FileRecords
from setwright.services.clock import now_text
from setwright.services.keeping import records_in


def kept_counts(folder: Path, trainee: str) -> Mapping[str, int]:
    """How much is kept of a trainee, by kind. LookupError where the records don't know them."""
    records = records_in(folder)
    if trainee not in records.trainees():
        known = ", ".join(records.trainees()) or "nobody"
        raise LookupError(f"no trainee {trainee!r} in {folder}; kept there: {known}")
    found: dict[str, int] = {}
    for event in records.events(trainee):
        found[event.kind] = found.get(event.kind, 0) + 1
    return found


def erase_person(folder: Path, trainee: str) -> Mapping[str, int]:
    """Erases all that is kept of a trainee; an anonymous tombstone stays. Gives what was erased, by kind.

    LookupError where the records don't know them.
    """
    kept_counts(folder, trainee)
    records = records_in(folder)
    if isinstance(records, FileRecords):
        return records.erase(trainee, now_text())
    from setwright.records.data_base import DataBaseRecords
    from setwright.services.desk.practice import note

    assert isinstance(records, DataBaseRecords)
    row = records.row_of(trainee)
    counts = records.erase(trainee, now_text())
    note(records.practice, None, "erased a trainee", row, f"{sum(counts.values())} rows")
    return counts


@dataclass(frozen=True)
class Rebuilt:
    """What came of counting anew: of how many trainees, and for whom another result came out than stood there."""

    trainees: int
    changed: tuple[str, ...]


def rebuild_records(folder: Path) -> Rebuilt:
    """Counts everything that is derived from the log and the decisions anew, for every trainee.

    Raises InputFaults where a line of records that are files is damaged.
    """
    records = records_in(folder)
    if isinstance(records, FileRecords):
        faults = [
            Fault(str(folder / "events.jsonl"), one, "a damaged line", "lines whose checksum fits")
            for one in records.damage()
        ]
        if faults:
            raise InputFaults(faults)
        return Rebuilt(len(records.trainees()), ())  # nothing derived is kept beside the events
    from setwright.records import models
    from setwright.records.data_base import DataBaseRecords
    from setwright.services.desk.derived import derived_of
    from setwright.services.desk.overview import rebuild

    assert isinstance(records, DataBaseRecords)
    rows = list(models.Trainee.objects.filter(practice=records.practice, erased_at=None).order_by("made_at"))
    before = {row.slug: derived_of(row) for row in rows}
    rebuild(rows)
    return Rebuilt(len(rows), tuple(row.slug for row in rows if derived_of(row) != before[row.slug]))
