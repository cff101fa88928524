"""The JSON Schema of everything that is kept of one trainee."""

from __future__ import annotations

from typing import Any

from setwright.publish.schemas import TEXT, closed, listed

FORMAT = "setwright/own-data/1"
ANY: dict[str, Any] = {}
OBJECT: dict[str, Any] = {"type": "object"}
MOMENT = {"type": "string", "description": "a time in UTC, ISO 8601"}


def own_data_schema() -> dict[str, Any]:
    """The schema; blocks and rows of the log have schemas of their own (``block``, ``log``)."""
    document = closed(kind=TEXT, name=TEXT, at=MOMENT, text=TEXT)
    said = {"from": TEXT, "needs_coach": {"type": "boolean"}}
    note = closed(id=TEXT, day=TEXT, about=TEXT, text=TEXT, at=MOMENT, **said)
    numbers = {"type": "array", "items": {"type": "integer", "minimum": 1}}
    verdict = {"enum": ["accepted", "declined"]}
    decision = closed(block=TEXT, verdict=verdict, changes=numbers, reason=TEXT, at=MOMENT)
    kept = closed(
        blocks=listed(closed(block=TEXT, at=MOMENT)),
        in_force=listed(closed(block=TEXT, reason=TEXT, at=MOMENT)),
        rows=listed(closed(row=TEXT, at=MOMENT, slot=TEXT)),
    )
    properties = {
        "format": {"const": FORMAT},
        "id": TEXT,
        "name": TEXT,
        "practice": TEXT,
        "documents": listed(document),
        "places": listed(closed(id=TEXT, text=TEXT)),
        "in_force": {"type": ["string", "null"]},
        "blocks": listed(OBJECT),
        "log": listed(OBJECT),
        "kept": kept,
        "decisions": listed(decision),
        "notes": listed(note),
        "cues": listed(closed(exercise=TEXT, text=TEXT, file=TEXT)),
    }
    only_for_coaches = {"asked": listed(OBJECT), "links": listed(OBJECT), "deeds": listed(OBJECT)}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Setwright, everything that is kept of one trainee, version 1",
        "type": "object",
        "additionalProperties": False,
        "required": sorted(properties),
        "properties": {**properties, **only_for_coaches},
    }
