"""What differs between two blocks, entry by entry."""

from __future__ import annotations

from collections.abc import Sequence

from setwright.plan.block import Block, Entry
from setwright.plan.restrict import in_words
from setwright.publish.terminal import fill
from setwright.publish.units import Unit, in_unit
from setwright.publish.words import counted
from setwright.services.gather import catalogue


def compare_blocks(first: Block, second: Block) -> list[dict[str, object]]:
    """Rows of differences: week, session, entry, from, to. Equal blocks give none."""
    known = catalogue()
    rows: list[dict[str, object]] = []
    before, after = by_place(first), by_place(second)
    for key in [*before, *(one for one in after if one not in before)]:
        old, new = before.get(key), after.get(key)
        old_words = in_words(old, known) if old else "-"
        new_words = in_words(new, known) if new else "-"
        if old_words != new_words:
            week, day, _ = key
            name = known.get((old or new).exercise).name  # type: ignore[union-attr]
            rows.append({"week": week, "session": day, "entry": name, "from": old_words, "to": new_words})
    return rows


def by_place(block: Block) -> dict[tuple[int, str, str], Entry]:
    """Entries by week, day and their place in the session."""
    found: dict[tuple[int, str, str], Entry] = {}
    for week in block.weeks:
        for session in week.sessions:
            for part in session.parts:
                for number, entry in enumerate(part.entries, start=1):
                    found[week.number, session.day, f"{part.part} {number}"] = entry
    return found


def comparison_text(rows: Sequence[dict[str, object]], unit: Unit = "kg") -> str:
    """The differences for people."""
    if not rows:
        return "The two blocks plan the same."
    lines = [counted(len(rows), "difference") + ":"]
    last: object = None
    for row in rows:
        here = (row["week"], row["session"])
        if here != last:
            lines.append(f"week {row['week']}, {row['session']}")
            last = here
        lines.append(fill(in_unit(str(row["from"]), unit), "  "))
        lines.append(fill("-> " + in_unit(str(row["to"]), unit), "    "))
    return "\n".join(lines)
