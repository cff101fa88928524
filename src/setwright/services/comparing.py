"""What differs between blocks: side by side in a coach's words, and entry by entry."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

from setwright.plan.block import Block, Entry
from setwright.plan.changed_words import changed_words
from setwright.plan.restrict import in_words
from setwright.plan.revisions import pairs
from setwright.publish.compare_report import (
    changed_text,
    compare_html,
    compare_pdf,
    compare_report,
    minutes_table,
    moved_lines,
    sets_table,
)
from setwright.publish.sheet import Paper
from setwright.publish.side_by_side import sides_text
from setwright.publish.terminal import fill
from setwright.publish.units import Unit, in_unit
from setwright.publish.words import block_unit, counted
from setwright.services.files import write_all
from setwright.services.gather import catalogue


def compare_blocks(first: Block, second: Block) -> list[dict[str, object]]:
    """Rows of differences: week, session, part, entry, from, to, changed. Equal blocks give none.

    In each part, an exercise is held against itself first; what is left is paired in order. ``changed`` says in words,
    with masses in kg, what differs; effort, rest, tempo and filler too, of which from and to do not tell.
    """
    known = catalogue()
    rows: list[dict[str, object]] = []
    before, after = by_part(first), by_part(second)
    for key in [*before, *(one for one in after if one not in before)]:
        for old, new in pairs(before.get(key, []), after.get(key, [])):
            old_words = in_words(old, known) if old else "-"
            new_words = in_words(new, known) if new else "-"
            changed = changed_words(old, new, known)
            if old_words != new_words or changed:
                week, day, part = key
                name = known.get((old or new).exercise).name  # type: ignore[union-attr]
                rows.append(
                    {
                        "week": week,
                        "session": day,
                        "part": part,
                        "entry": name,
                        "from": old_words,
                        "to": new_words,
                        "changed": list(changed) or ["other settings"],
                    }
                )
    return rows


def side_by_side_text(blocks: Sequence[Block], names: Sequence[str]) -> str:
    """Blocks side by side; empty where one is a revision of another, which is told entry by entry alone."""
    ids = {one.id for one in blocks}
    is_revised = len(ids) < len(blocks) or any(one.parent in ids for one in blocks if one.parent)
    return "" if is_revised else sides_text(blocks, names, catalogue())


def by_part(block: Block) -> dict[tuple[int, str, str], list[Entry]]:
    """Entries by week, day and part of the session."""
    found: dict[tuple[int, str, str], list[Entry]] = {}
    for week in block.weeks:
        for session in week.sessions:
            for part in session.parts:
                found.setdefault((week.number, session.day, part.part), []).extend(part.entries)
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
        if row["from"] != row["to"]:
            lines.append(fill("-> " + in_unit(str(row["to"]), unit), "    "))
        else:
            lines.append(fill("-> " + in_unit(changed_text(row), unit), "    "))
    return "\n".join(lines)


def before_and_after_text(first: Block, second: Block) -> str:
    """The counted sets and minutes that change, for people; empty where all stay."""
    lines = moved_lines("Counted sets that change:", sets_table(first, second))
    return "\n".join([*lines, *moved_lines("Minutes that change:", minutes_table(first, second))])


def comparison_files(
    first: Block,
    second: Block,
    names: tuple[str, str],
    unit: Unit | None = None,
    paper: Paper = "a4",
    home: str = "",
) -> dict[str, bytes]:
    """The comparison of two blocks as page, sheet and numbers, by name; ``names``: of their files, as typed."""
    rows = compare_blocks(first, second)
    report = compare_report(first, second, rows, names, unit or block_unit(second))
    return {
        "compare.html": compare_html(report, home).encode(),
        "compare.pdf": compare_pdf(report, paper),
        "compare.json": (json.dumps(rows, ensure_ascii=False, indent=1) + "\n").encode(),
    }


def write_comparison(
    first: Block, second: Block, names: tuple[str, str], out: Path, unit: Unit | None = None, paper: Paper = "a4"
) -> tuple[str, ...]:
    """Writes the files below a folder, all made before the first is written; gives their names."""
    files = comparison_files(first, second, names, unit, paper)
    write_all(out, files)
    return tuple(files)
