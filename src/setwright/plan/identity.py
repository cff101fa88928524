"""The name of a block, made from its content: equal blocks have equal names, on every machine."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from datetime import date
from functools import cache
from typing import Any

from setwright.plan.block import Block, Entry


@cache
def names_of(kind: Any) -> tuple[str, ...]:
    """The names of the fields of a dataclass, in their order; none for other types."""
    return tuple(one.name for one in fields(kind)) if is_dataclass(kind) else ()


def canonical(value: object) -> object:
    """A value as JSON can hold it: dataclasses by their fields, dates as text, floats rounded to six places."""
    kind: Any = type(value)
    if kind in (str, int, bool) or value is None:
        return value
    if isinstance(value, float):
        return round(value, 6)
    if names_of(kind):
        return {name: canonical(getattr(value, name)) for name in names_of(kind)}
    if isinstance(value, dict):
        return {str(key): canonical(one) for key, one in value.items()}
    if isinstance(value, (list, tuple)):
        return [canonical(one) for one in value]
    if isinstance(value, date):
        return value.isoformat()
    return value


def content_of(block: Block) -> dict[str, Any]:
    """The block as JSON values; without keys that came later where they hold nothing, so that older blocks keep theirs.

    These are own files, small steps, heart rates, the brief's curve, own rules, priorities, schemes, reasons, bouts of
    conditioning, parts of a set, what a log has settled, pain allowed.
    """
    raw = canonical(block)
    assert isinstance(raw, dict)
    if not raw["inputs"]["own"]:
        del raw["inputs"]["own"]
    if not raw["inputs"]["trainee"]["small_steps"]:
        del raw["inputs"]["trainee"]["small_steps"]
    if raw["inputs"]["trainee"]["heart_rate"] is None:
        del raw["inputs"]["trainee"]["heart_rate"]
    trainee = raw["inputs"]["trainee"]
    for holder in (trainee["screening"], *trainee["restrictions"]):
        if holder["clearance"] is not None and holder["clearance"]["pain_up_to"] is None:
            del holder["clearance"]["pain_up_to"]
    if not raw["settled"]:
        del raw["settled"]
    brief = raw["inputs"]["brief"]
    for key in ("rpe_by_week", "sets_by_week", "own_rules", "priorities", "bouts", "hard_half"):
        if not brief[key]:
            del brief[key]
    if brief["easy_weeks"] is None:  # an empty list says that no week is easier
        del brief["easy_weeks"]
    for wish in (raw["inputs"]["brief"], *raw["inputs"]["brief"]["lifts"]):
        for key in ("scheme", "scheme_assistance"):
            if key in wish and not wish[key]:
                del wish[key]
    for entry in entries_of(raw):
        if not entry["reasons"]:
            del entry["reasons"]
        if entry["bout"] is None:
            del entry["bout"]
    for one in planned_sets_of(raw):
        for key in ("inside", "load_share"):
            if not one[key]:
                del one[key]
    return raw


def planned_sets_of(raw: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Every planned set of a block in JSON values."""
    for entry in entries_of(raw):
        yield from entry["sets"]


def entries_of(raw: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Every entry of a block in JSON values."""
    for week in raw["weeks"]:
        for session in week["sessions"]:
            for part in session["parts"]:
                yield from part["entries"]


def with_id(block: Block) -> Block:
    """The block with its id set: ``blk-`` and twelve hex digits of the SHA-256 of everything else.

    A revision carries no reasons: what was counted for the block before it need not hold for it.
    """
    if block.parent is not None:
        block = without_reasons(block)
    content = content_of(replace(block, id=""))
    digest = hashlib.sha256(json.dumps(content, sort_keys=True, ensure_ascii=False).encode()).hexdigest()
    return replace(block, id=f"blk-{digest[:12]}")


def without_reasons(block: Block) -> Block:
    """The block without the answers of its entries."""
    weeks = []
    for week in block.weeks:
        sessions = []
        for session in week.sessions:
            parts = tuple(replace(part, entries=tuple(bare(one) for one in part.entries)) for part in session.parts)
            sessions.append(replace(session, parts=parts))
        weeks.append(replace(week, sessions=tuple(sessions)))
    return replace(block, weeks=tuple(weeks))


def bare(entry: Entry) -> Entry:
    """The entry without its answers."""
    return replace(entry, reasons={}) if entry.reasons else entry
