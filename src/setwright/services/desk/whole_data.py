"""All that is kept of one trainee as one file to hand out, and the end of all of it."""

from __future__ import annotations

import json
import zlib
from collections.abc import Mapping
from typing import Any

from django.db import transaction

from setwright.faults import Fault, InputFaults
from setwright.publish.csv_file import log_csv
from setwright.records import models
from setwright.records.data_base import log_of
from setwright.records.erasing import erase_trainee
from setwright.services.archive import packed
from setwright.services.desk.own_data import own_data_json
from setwright.services.desk.practice import note
from setwright.services.gather import catalogue

READ_ME = """All that is kept of {name}.

everything.json   all of it, every version
log.csv           the log as it stands, for a spreadsheet
documents/        intake and briefs as they stand, and the versions before
blocks/           every revision of every block
pictures/         the coach's cues for this person

The formats are published with the program; setwright check reads the files.
"""


def whole_data(row: models.Trainee) -> bytes:
    """A ZIP with everything that is kept of a trainee, as JSON, CSV and the files they came from."""
    files: dict[str, bytes] = {
        "read-me.txt": READ_ME.format(name=row.name).encode(),
        "everything.json": with_more(row),
        "log.csv": log_csv(log_of(row, catalogue())),
    }
    counts: dict[str, int] = {}
    for one in row.documents.order_by("id"):
        number = counts[one.kind] = counts.get(one.kind, 0) + 1
        ending = "json" if one.kind == "import" else "toml"
        files[f"documents/{one.kind}-{number:03d}.{ending}"] = one.text.encode()
    for revision in row.revisions.order_by("id"):
        files[f"blocks/{revision.block}.json"] = zlib.decompress(bytes(revision.packed))
    for cue in row.cues.order_by("id"):
        if cue.file:
            with cue.file.open("rb") as file:
                files[f"pictures/{cue.id}-{cue.file.name.rpartition('/')[2]}"] = file.read()
    return packed(files)


def with_more(row: models.Trainee) -> bytes:
    """Everything as JSON, with what only a coach sees: what was asked of the program, links, deeds."""
    data: dict[str, Any] = json.loads(own_data_json(row))
    data["asked"] = [
        {"deed": one.deed, "asked": one.asked, "state": one.state, "result": one.result, "at": one.made_at.isoformat()}
        for one in row.jobs.order_by("made_at")
    ]
    data["links"] = [
        {"what": one.what, "made_at": one.made_at.isoformat(), "withdrawn": one.withdrawn_at is not None}
        for one in row.shares.order_by("made_at")
    ]
    deeds = models.AuditEntry.objects.filter(trainee=row).order_by("id")
    data["deeds"] = [{"deed": one.deed, "about": one.about, "at": one.at.isoformat()} for one in deeds]
    return json.dumps(data, ensure_ascii=False, indent=1).encode()


@transaction.atomic
def erase(coach: models.Coach, row: models.Trainee, typed_name: str) -> Mapping[str, int]:
    """Erases all that is kept of a trainee; a tombstone without a name stays. Gives what was erased, by kind.

    typed_name : their name, typed as a confirmation. Raises InputFaults where it is another.
    """
    if " ".join(typed_name.split()).casefold() != " ".join(row.name.split()).casefold():
        raise InputFaults([Fault("erase", "name", repr(typed_name), f"{row.name!r}, typed to confirm")])
    counts = erase_trainee(row)
    note(coach.practice, coach.user, "erased a trainee", row, f"{sum(counts.values())} rows")
    return counts
