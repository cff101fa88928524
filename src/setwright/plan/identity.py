"""The name of a block, made from its content: equal blocks have equal names, on every machine."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from dataclasses import asdict, replace
from datetime import date
from typing import Any

from setwright.plan.block import Block


def canonical(value: object) -> object:
    """A value as JSON can hold it, dates as text, floats rounded to six places."""
    if isinstance(value, dict):
        return {str(key): canonical(one) for key, one in value.items()}
    if isinstance(value, (list, tuple)):
        return [canonical(one) for one in value]
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float):
        return round(value, 6)
    return value


def content_of(block: Block) -> dict[str, Any]:
    """The block as JSON values; without keys that came later where they hold nothing, so that older blocks keep theirs.

    These are the own files, and what follows inside a set.
    """
    raw = canonical(asdict(block))
    assert isinstance(raw, dict)
    if not raw["inputs"]["own"]:
        del raw["inputs"]["own"]
    for one in planned_sets_of(raw):
        for key in ("inside", "load_share"):
            if not one[key]:
                del one[key]
    return raw


def planned_sets_of(raw: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Every planned set of a block in JSON values."""
    for week in raw["weeks"]:
        for session in week["sessions"]:
            for part in session["parts"]:
                for entry in part["entries"]:
                    yield from entry["sets"]


def with_id(block: Block) -> Block:
    """The block with its id set: ``blk-`` and twelve hex digits of the SHA-256 of everything else."""
    content = content_of(replace(block, id=""))
    digest = hashlib.sha256(json.dumps(content, sort_keys=True, ensure_ascii=False).encode()).hexdigest()
    return replace(block, id=f"blk-{digest[:12]}")
