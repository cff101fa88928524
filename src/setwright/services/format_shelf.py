"""Formats of conditioning as a coach looks through them: the packaged ones and the coach's own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from setwright.plan.formats import SHARED, formats_of
from setwright.publish.terminal import fill
from setwright.services.gather import catalogue


def formats() -> list[dict[str, Any]]:
    """All formats by name: what each is, its score, what it fills in of the log, how it tires and grows."""
    rows = []
    for one in formats_of(catalogue()).values():
        row = asdict(one)
        del row["file"]
        row["format"] = row.pop("name")
        row["name"] = row.pop("title")
        row["shared_by_movements"] = one.like in SHARED
        rows.append(row)
    return rows


def formats_text(rows: Sequence[dict[str, Any]]) -> str:
    """The formats for a terminal."""
    lines: list[str] = []
    for row in rows:
        called = f" Also called {', '.join(row['also_called'])}." if row["also_called"] else ""
        score = f"Score: {row['score_words']}." if row["score"] != "none" else "No score: each piece is logged."
        lines += [
            fill(f"{row['name']}  ({row['format']}): {row['what']}{called}"),
            fill(f"{score} Log: {', '.join(row['log'])}.", "  "),
            fill(f"Ten minutes tire like {row['fatigue']:g} hard sets ({row['fatigue_source']}).", "  "),
            fill(row["rule"], "  "),
            "",
        ]
    return "\n".join(lines).rstrip()
