"""All that is kept of one trainee, to take away: the log as CSV, everything as JSON."""

from __future__ import annotations

import json
from typing import Any

from setwright.people.toml_file import read_toml
from setwright.publish.csv_file import log_csv
from setwright.publish.own_data_schema import FORMAT
from setwright.records import models
from setwright.records.data_base import in_force_id, log_of
from setwright.services.desk.people import newest
from setwright.services.gather import catalogue


def own_log_csv(row: models.Trainee) -> bytes:
    """The log in the published columns, corrections applied."""
    return log_csv(log_of(row, catalogue()))


def own_data_json(row: models.Trainee) -> bytes:
    """Everything that is kept of a trainee, old versions and corrected rows too."""
    data: dict[str, Any] = {
        "format": FORMAT,
        "id": row.slug,
        "name": row.name,
        "practice": row.practice.name,
        "documents": [
            {"kind": one.kind, "name": one.slug, "at": one.at.isoformat(), "text": one.text}
            for one in row.documents.order_by("id")
        ],
        "places": places_named(row),
        "in_force": in_force_id(row),
        "blocks": [unpacked(one) for one in row.revisions.order_by("id")],
        "log": list(row.log_rows.order_by("id").values_list("data", flat=True)),
        "kept": {
            "blocks": list(row.revisions.order_by("id").values("block", "at")),
            "in_force": list(row.in_force.order_by("id").values("block", "reason", "at")),
            "rows": [
                {"row": key, "at": at, "slot": slot}
                for key, at, slot in row.log_rows.order_by("id").values_list("key", "at", "slot")
            ],
        },
        "decisions": list(row.decisions.order_by("id").values("block", "verdict", "changes", "reason", "at")),
        "notes": [
            {
                "id": str(one.id),
                "day": one.day.isoformat(),
                "from": "coach" if one.is_from_coach else row.name,
                "about": one.about,
                "text": one.text,
                "needs_coach": one.needs_coach,
                "at": one.at.isoformat(),
            }
            for one in row.notes.order_by("at")
        ],
        "cues": [
            {"exercise": one.exercise, "text": one.text, "file": one.file_type} for one in row.cues.order_by("id")
        ],
    }
    return json.dumps(data, ensure_ascii=False, indent=1).encode()


def places_named(row: models.Trainee) -> list[dict[str, str]]:
    """The places that the intake of a trainee names, as they stand, with their ids."""
    text = newest(row.practice, "trainee", row.slug, row)
    days = read_toml(text, "intake").get("days", []) if text else []
    named = sorted({str(one.get("place", "")) for one in days if isinstance(one, dict)})
    found = [(one, newest(row.practice, "place", one)) for one in named]
    return [{"id": one, "text": text} for one, text in found if text]


def unpacked(revision: models.BlockRevision) -> Any:
    """A kept revision as its published file."""
    import zlib

    return json.loads(zlib.decompress(bytes(revision.packed)))
