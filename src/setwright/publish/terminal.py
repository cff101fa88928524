"""Blocks and sessions as plain text, 80 columns, for a terminal on a gym floor."""

from __future__ import annotations

import textwrap

from setwright.catalogue.store import Catalogue
from setwright.plan.block import Block, Entry
from setwright.publish import words
from setwright.publish.units import Unit

WIDTH = 80


def fill(text: str, indent: str) -> str:
    """Text wrapped to 80 columns."""
    return textwrap.fill(text, WIDTH, initial_indent=indent, subsequent_indent=indent + "  ")


def entry_lines(entry: Entry, catalogue: Catalogue, unit: Unit, details: bool) -> list[str]:
    """One entry: its line, and below it what to set, ramp, note, filler and reason."""
    letter = f"{entry.superset} " if entry.superset else ""
    lines = [fill(letter + words.entry_text(entry, catalogue, unit), "  ")]
    first = next(iter(words.working_sets(entry)), None)
    if words.dial_text(entry):
        lines.append(fill(words.dial_text(entry), "      "))
    if details:
        if words.ramp_text(entry, unit):
            lines.append(fill(words.ramp_text(entry, unit), "      "))
        if first is not None and first.pieces:
            lines.append(fill("Take: " + first.pieces, "      "))
        if first is not None and first.note:
            lines.append(fill(first.note, "      "))
        if entry.filler:
            lines.append(fill(words.filler_text(entry.filler, catalogue), "      "))
        lines.append(fill("Why: " + entry.why, "      "))
    return lines


def session_text(block: Block, week: int, day: str, catalogue: Catalogue, unit: Unit = "kg") -> str:
    """One session with everything on it."""
    this_week, session = words.find_session(block, week, day)
    lines = [
        f"{block.title}: {words.week_title(block, this_week)}, {words.DAY_NAMES[day]}, about {session.minutes:.0f} min",
        f"Effort: {words.effort_of_week(this_week)}",
    ]
    for part in session.parts:
        lines += ["", words.PART_NAMES[part.part]]
        for entry in part.entries:
            lines += entry_lines(entry, catalogue, unit, part.part != "warm-up")
    return "\n".join(lines)


def block_text(block: Block, catalogue: Catalogue, unit: Unit = "kg") -> str:
    """A block: its first week in full lines, what each later week changes, and what could not be met."""
    person = block.inputs.trainee.name
    lines = [f"{block.title}, for {person}: {len(block.weeks)} weeks ({block.id})", words.proof_text(block), ""]
    efforts = ", ".join(
        f"{week.number}: RPE {week.rpe:g}"
        + (f" ({words.WEEK_WORDS[week.kind]})" if words.WEEK_WORDS[week.kind] else "")
        for week in block.weeks
    )
    lines += [fill("Effort by week: " + efforts, "")]
    for session in block.weeks[0].sessions if block.weeks else ():
        cap = "" if session.minutes_cap is None else f" of {session.minutes_cap:.0f}"
        lines += ["", f"{words.DAY_NAMES[session.day]}, {session.minutes:.0f}{cap} min: {session.title}"]
        for part in session.parts:
            if part.part == "warm-up":
                names = ", ".join(words.name_of(entry.exercise, catalogue) for entry in part.entries)
                lines.append(fill("Warm-up: " + names, "  "))
                continue
            lines.append(f" {words.PART_NAMES[part.part]}")
            for entry in part.entries:
                lines += entry_lines(entry, catalogue, unit, details=False)
    if block.changes:
        lines += ["", f"{len(block.changes)} changes against what was written or the revision before:"]
        lines += change_lines(block)
    if block.unmet:
        lines += ["", "Not met, or bent:"]
        lines += [
            fill(f"- {one.wish}: {one.why}" + (f" [{one.rule}]" if one.rule else ""), "  ") for one in block.unmet
        ]
    lines += ["", "Not medical advice. See the cautions on every sheet."]
    return "\n".join(lines)


def change_lines(block: Block) -> list[str]:
    """Changes by week and day; equal ones of several weeks are said once."""
    lines = []
    for weeks, one in words.grouped_changes(block):
        label = "week" if len(set(weeks)) == 1 else "weeks"
        when = "" if set(weeks) == {0} else f" {label} {words.weeks_text(weeks)}"
        lines.append(fill(f"{words.DAY_NAMES.get(one.session, one.session)}{when}: {one.from_}", "  "))
        lines.append(fill(f"-> {one.to}", "    "))
        lines.append(fill(one.why, "    "))
    return lines


def changes_text(block: Block, catalogue: Catalogue) -> str:
    """What changed and why; nothing else of the block."""
    if not block.changes:
        return "Nothing changed."
    entries = len(words.grouped_changes(block))
    lines = [
        f"{block.title}, for {block.inputs.trainee.name}: revision {block.revision} ({block.id})",
        f"{entries} changes ({len(block.changes)} over all weeks); everything else is as it was.",
        "",
        *change_lines(block),
    ]
    if block.unmet:
        lines += ["", "Not met, or bent:"]
        lines += [
            fill(f"- {one.wish}: {one.why}" + (f" [{one.rule}]" if one.rule else ""), "  ") for one in block.unmet
        ]
    return "\n".join(lines)
