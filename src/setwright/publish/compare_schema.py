"""JSON Schema of ``compare --json``."""

from __future__ import annotations

from typing import Any, get_args

from setwright.catalogue.exercise import PartName
from setwright.people.trainee import DAYS
from setwright.publish.schemas import TEXT, closed, number


def compare_schema() -> dict[str, Any]:
    """JSON Schema 2020-12 of ``compare --json`` and of ``compare.json``: one row for each entry that differs."""
    row = closed(
        week=number(1, 60, "week of the block", whole=True),
        session={"enum": list(DAYS), "description": "weekday"},
        part={"enum": list(get_args(PartName))},
        entry={**TEXT, "description": "name of the exercise, as it was where another stands there now"},
        **{"from": {**TEXT, "description": "the entry in a line; - where there was none"}},
        to={**TEXT, "description": "the entry in a line; - where there is none"},
        changed={
            "type": "array",
            "items": TEXT,
            "minItems": 1,
            "description": "what differs, in words with masses in kg; effort, rests and fillers too",
        },
        block=number(2, 3, "which block is held against the first; only where three are compared", whole=True),
    )
    row["required"] = [name for name in row["required"] if name != "block"]
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Setwright comparison, version 1",
        "type": "array",
        "items": row,
        "description": "empty where the blocks plan the same",
    }
