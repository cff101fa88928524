"""Every number in a published JSON format has its unit in its key, or is listed as one that has none."""

from __future__ import annotations

from typing import Any

from setwright.publish import (
    compare_schema,
    floor_json,
    kept_schema,
    next_set_schema,
    own_data_schema,
    review_schema,
    schemas,
    season_json,
)
from setwright.publish.block_file import block_schema

SCHEMAS = (
    block_schema,
    compare_schema.compare_schema,
    floor_json.floor_schema,
    kept_schema.group_schema,
    kept_schema.keep_schema,
    kept_schema.kept_schema,
    next_set_schema.next_schema,
    own_data_schema.own_data_schema,
    review_schema.review_schema,
    schemas.changes_schema,
    schemas.climb_schema,
    schemas.estimate_schema,
    schemas.fit_schema,
    schemas.levers_schema,
    schemas.log_schema,
    schemas.no_plan_schema,
    schemas.range_schema,
    schemas.several_schema,
    season_json.season_file_schema,
    season_json.season_schema,
)
UNITS = {
    *("kg", "lb", "s", "min", "minutes", "days", "weeks", "years", "m", "cm", "mm", "deg", "rad", "n", "nm", "j", "w"),
    *("au", "reps", "ms", "kmh", "week"),
}
MIDDLE = {"minutes_planned", "weeks_left", "weeks_off"}  # the unit comes first
# Numbers without a unit, by what they are; each stands for itself in every format.
SHARES = {
    *("chance", "load_share", "moved", "possible", "risk", "scatter", "seed_share", "smoothing", "spread"),
    *("spread_after", "spread_before", "swing_share", "gap"),
}
COUNTED_SETS = {
    *("direct", "done", "fractional", "least", "most", "next_sets", "planned", "sets", "sets_done", "sets_planned"),
    "wanted",
}
SCORES = {
    *("best", "bound", "fatigue", "mood", "objective", "rir", "rpe", "score", "score_from", "score_to"),
    *("session_rpe", "skill", "sleep", "soreness", "stress", "weight", "heart_rate"),
}
OF_A_KEY_ABOVE = {  # their unit stands in the key above them or in ``unit`` beside them
    *("change", "from", "gain_of_range", "high95", "low95", "mean", "middle", "p10", "p50", "p90", "rate"),
    *("right_minus_left", "target", "to", "value"),
}


def numbers_in(schema: Any) -> set[str]:
    """The keys of all numbers that are no whole ones."""
    if isinstance(schema, list):
        return {key for one in schema for key in numbers_in(one)}
    if not isinstance(schema, dict):
        return set()
    found = set()
    for key, one in (schema.get("properties") or {}).items():
        kinds = one.get("type") if isinstance(one, dict) else None
        if "number" in (kinds if isinstance(kinds, list) else [kinds]):
            found.add(key)
    return found | {key for one in schema.values() for key in numbers_in(one)}


def test_every_number_names_its_unit_or_is_known_to_have_none() -> None:
    found = {key for schema in SCHEMAS for key in numbers_in(schema())}
    bare = {key for key in found if key.rpartition("_")[2] not in UNITS and key not in MIDDLE}

    assert len(found) > 60
    assert bare <= SHARES | COUNTED_SETS | SCORES | OF_A_KEY_ABOVE


def test_a_number_without_a_unit_is_noticed() -> None:
    inside = {"properties": {"load": {"type": ["number", "null"]}, "rest_s": {"type": "number"}}}

    assert numbers_in({"type": "array", "items": {"anyOf": [inside]}}) == {"load", "rest_s"}
