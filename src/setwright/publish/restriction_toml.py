"""A restriction as the table of an intake."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from setwright.people.trainee import Restriction


def restriction_table(made: Restriction) -> Mapping[str, Any]:
    """A restriction as the table of an intake."""
    found: dict[str, Any] = {"id": made.id, "joint": made.joint, "side": made.side, "level": made.level}
    for key in ("actions", "positions", "spine", "wanted"):
        if getattr(made, key):
            found[key] = list(getattr(made, key))
    for key in ("grip_max", "impact_max", "since", "review_on"):
        if getattr(made, key) is not None:
            found[key] = getattr(made, key)
    for key in ("reason", "set_by"):
        if getattr(made, key):
            found[key] = getattr(made, key)
    if made.max_angles:
        found["max_angles"] = dict(made.max_angles)
    if made.needs_clearance:
        found["needs_clearance"] = True
    if made.clearance is not None:
        cleared = made.clearance
        table: dict[str, Any] = {"who": cleared.who, "given_on": cleared.given_on, "scope": cleared.scope}
        if cleared.expires_on is not None:
            table["expires_on"] = cleared.expires_on
        if cleared.pain_up_to is not None:
            table["pain_up_to"] = cleared.pain_up_to
        found["clearance"] = table
    return found
