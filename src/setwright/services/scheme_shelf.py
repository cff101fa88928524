"""Set schemes as a coach looks through them: the packaged ones and the coach's own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from setwright.plan.schemes import schemes_of, unsuited
from setwright.publish.terminal import fill
from setwright.services.gather import catalogue


def schemes() -> list[dict[str, Any]]:
    """All set schemes by name, with the exercises that each suits."""
    known = catalogue()
    rows = []
    for one in schemes_of(known).values():
        row = asdict(one)
        del row["file"]
        row["scheme"] = row.pop("name")
        row["name"] = row.pop("title")
        row["suits_exercises"] = [each.slug for each in known.values() if not unsuited(one, each)]
        rows.append(row)
    return rows


def schemes_text(rows: Sequence[dict[str, Any]]) -> str:
    """The schemes for a terminal: what each is, what it counts, how it grows, what it suits."""
    lines: list[str] = []
    for row in rows:
        counts = f"A set counts {row['counts']:g}"
        if row["each_more"]:
            counts += f", {row['each_more']:g} more for each later part, {row['counts_at_most']:g} at most"
        lines += [
            fill(f"{row['name']}  ({row['scheme']}): {row['what']}"),
            fill(f"{counts}. Fatigue {row['fatigue']:g} beside a straight set. Log: {', '.join(row['log'])}.", "  "),
            fill(row["rule"], "  "),
            fill(f"Suits {len(row['suits_exercises'])} exercises.", "  "),
            "",
        ]
    return "\n".join(lines).rstrip()
