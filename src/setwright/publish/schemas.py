"""JSON Schemas of the other published formats."""

from __future__ import annotations

from typing import Any

from setwright.review.log_file import COLUMNS, ENDED_BY, LOAD_MEANS, PAIN_KINDS

TEXT = {"type": "string"}


def number(low: float, high: float, sentence: str, whole: bool = False) -> dict[str, Any]:
    """A number within limits."""
    kind = "integer" if whole else "number"
    return {"type": kind, "minimum": low, "maximum": high, "description": sentence}


def log_schema() -> dict[str, Any]:
    """JSON Schema 2020-12 of a log: a list of rows, or an object with ``rows``."""
    row: dict[str, Any] = {
        "date": {"type": "string", "format": "date"},
        "week": number(1, 60, "week of the block", whole=True),
        "session": {**TEXT, "description": "weekday or name of the session"},
        "exercise": {**TEXT, "description": "slug or name; empty in a session's own row"},
        "set": number(1, 99, "number of the set", whole=True),
        "dials": {"type": "object"},
        "load_kg": number(-300, 1500, "kg, as load_means says; negative is help"),
        "load_lb": number(-660, 3300, "lb, instead of load_kg"),
        "load_means": {"enum": list(LOAD_MEANS)},
        "reps": number(0, 300, "repetitions done", whole=True),
        "rir": number(0, 20, "repetitions left, as called"),
        "hold_s": number(0, 3600, "seconds held"),
        "distance_m": number(0, 50000, "metres"),
        "time_s": number(0, 36000, "seconds"),
        "ended_by": {"enum": list(ENDED_BY), "description": "only muscle is failure"},
        "pain": number(0, 10, "0 none to 10", whole=True),
        "pain_where": TEXT,
        "pain_kind": {"enum": list(PAIN_KINDS)},
        "note": TEXT,
        "session_rpe": number(0, 10, "RPE of the whole session"),
        "minutes": number(0, 600, "minutes of the whole session"),
        "row": {**TEXT, "description": "key of the row; made from its content where missing"},
        "corrects": {**TEXT, "description": "key of the row that this one corrects"},
    }
    assert set(row) == {*COLUMNS, "load_lb"}
    rows = {
        "type": "array",
        "items": {"type": "object", "properties": row, "required": ["date", "session"], "additionalProperties": False},
    }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Setwright log, version 1",
        "oneOf": [
            rows,
            {"type": "object", "properties": {"rows": rows}, "required": ["rows"], "additionalProperties": False},
        ],
    }
