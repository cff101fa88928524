"""The published form of ``next --json``."""

from __future__ import annotations

from typing import Any

from setwright.publish.schemas import closed, listed, maybe, number

TEXT: dict[str, Any] = {"type": "string"}


def next_schema() -> dict[str, Any]:
    """JSON Schema 2020-12 of ``next --json``."""
    pair = {"type": "array", "items": number(0, 200, "repetitions", whole=True), "minItems": 2, "maxItems": 2}
    pain = number(0, 10, "pain, 0 to 10", whole=True)
    answer = {
        "load_kg": maybe(number(0, 1000, "kg as printed")),
        "reps": maybe(pair),
        "why": {**TEXT, "description": "one reason"},
        "stop": {"type": "boolean", "description": "the exercise ends today"},
        "pieces": {**TEXT, "description": "what to take for the load"},
        "hold_s": maybe(number(0, 3600, "seconds held")),
    }
    possible = {
        **pair,
        "description": "repetitions done and left together, from and to; beyond the ends the end counts",
    }
    table = closed(
        rows=listed(closed(possible=possible, **answer)),
        not_called=closed(**answer),
        pain=closed(**{"from": pain}, to=pain, **answer),
        stop_from_pain=pain,
    )
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Setwright next set, version 1",
        **closed(
            exercise=TEXT,
            set=number(1, 99, "the set that was logged", whole=True),
            of=number(1, 99, "sets planned", whole=True),
            week=number(1, 60, "week of the block", whole=True),
            session={**TEXT, "description": "weekday"},
            next=maybe(closed(**answer)),
            then={**TEXT, "description": "the exercise that follows, after the last set; else empty"},
            table=maybe(table),
        ),
    }
