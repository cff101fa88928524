"""Blocks and sessions as plain text, 80 columns, for a terminal on a gym floor."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Sequence
from dataclasses import replace

from setwright.catalogue.store import Catalogue
from setwright.people.trainee import DAY_NAMES
from setwright.plan.block import Block, Entry
from setwright.plan.session_time import groups_of
from setwright.publish import words
from setwright.publish.bout_words import heading_text
from setwright.publish.units import Unit

WIDTH = 80


def fill(text: str, indent: str = "", hang: str = "  ") -> str:
    """Text wrapped to 80 columns with a hanging indent; a number keeps its unit on the same line."""
    bound = re.sub(r"(?<=\d) (?=(?:kg|lb|min|s|m|reps|sets)\b)", "\u00a0", text)
    made = textwrap.fill(bound, WIDTH, initial_indent=indent, subsequent_indent=indent + hang, break_on_hyphens=False)
    return made.replace("\u00a0", " ")


def entry_lines(entry: Entry, catalogue: Catalogue, unit: Unit, details: bool) -> list[str]:
    """One entry: its line, and below it what to set, ramp, note, filler and reason."""
    letter = f"{entry.superset} " if entry.superset else ""
    lines = [fill(letter + words.entry_text(entry, catalogue, unit), "  ")]
    first = next(iter(entry.working_sets), None)
    if words.dial_text(entry):
        lines.append(fill(words.dial_text(entry), "      "))
    if details:
        if words.ramp_text(entry, unit):
            lines.append(fill(words.ramp_text(entry, unit), "      "))
        if words.take_text(entry.working_sets):
            lines.append(fill("Take: " + words.take_text(entry.working_sets), "      "))
        if first is not None and first.note:
            lines.append(fill(first.note, "      "))
        if entry.filler:
            lines.append(fill(words.filler_text(entry.filler, catalogue), "      "))
        lines.append(fill("Why: " + entry.why, "      "))
    return lines


def part_lines(entries: Sequence[Entry], catalogue: Catalogue, unit: Unit, details: bool) -> list[str]:
    """The entries of a part; a bout of conditioning under its heading, its movements further in."""
    lines = []
    for group in groups_of(entries):
        bout = group[0].bout
        if bout is None:
            lines += [line for entry in group for line in entry_lines(entry, catalogue, unit, details)]
            continue
        letter = f"{group[0].superset} " if group[0].superset else ""
        lines.append(fill(f"{letter}{heading_text(bout, catalogue)}", "  "))
        for entry in group:
            plain = replace(entry, superset=None)
            lines += [f"  {line}" for line in entry_lines(plain, catalogue, unit, details)]
    return lines


def session_text(block: Block, week: int, day: str, catalogue: Catalogue, unit: Unit | None = None) -> str:
    """One session with everything on it, in the unit of its place where none is asked for."""
    this_week, found = words.find_session(block, week, day)
    session, shown = words.spoken_session(block, found, unit)
    title = f"{block.title}: {words.week_title(block, this_week)}, {DAY_NAMES[day]}"
    lines = [fill(f"{title}, about {session.minutes:.0f} min"), fill(f"Effort: {words.effort_of_lifts(session)}")]
    for part in session.parts:
        lines += ["", words.PART_NAMES[part.part]]
        lines += part_lines(part.entries, catalogue, shown, part.part != "warm-up")
    return "\n".join(lines)


def block_text(block: Block, catalogue: Catalogue, unit: Unit | None = None) -> str:
    """A block: its first week in full lines, what each later week changes, and what could not be met.

    unit : that of each place where None
    """
    person = block.inputs.trainee.name
    length = words.counted(len(block.weeks), "week")
    lines = [fill(f"{block.title}, for {person}: {length} ({block.id})"), fill(words.proof_text(block)), ""]
    efforts = ", ".join(
        f"{week.number}: {words.week_effort(block, week)}"
        + (f" ({words.WEEK_WORDS[week.kind]})" if words.WEEK_WORDS[week.kind] else "")
        for week in block.weeks
    )
    lines += [fill("Effort by week: " + efforts)]
    for found in block.weeks[0].sessions if block.weeks else ():
        session, shown = words.spoken_session(block, found, unit)
        title = f": {session.title}" if session.title else ""
        cap = "" if session.minutes_cap is None else f" of {session.minutes_cap:.0f}"
        lines += ["", fill(f"{DAY_NAMES[session.day]}, {session.minutes:.0f}{cap} min{title}")]
        for part in session.parts:
            if part.part == "warm-up":
                names = ", ".join(words.name_of(entry.exercise, catalogue) for entry in part.entries)
                lines.append(fill("Warm-up: " + names, "  "))
                continue
            lines.append(f" {words.PART_NAMES[part.part]}")
            lines += part_lines(part.entries, catalogue, shown, details=False)
    if block.changes:
        count = words.counted(len(block.changes), "change")
        lines += ["", f"{count} against what was written or the revision before:", *change_lines(block, unit)]
    lines += unmet_lines(block, unit)
    lines += ["", "Not medical advice. See the cautions on every sheet."]
    return "\n".join(lines)


def change_lines(block: Block, unit: Unit | None = None, notes: Sequence[str] = ()) -> list[str]:
    """Changes by week and day, numbered; equal ones of several weeks are said once, ``notes`` holds a line for each."""
    lines = []
    said: dict[str, int] = {}
    for number, (weeks, raw) in enumerate(words.grouped_changes(block), start=1):
        one = words.spoken_change(block, raw, unit)
        label = "week" if len(set(weeks)) == 1 else "weeks"
        when = "" if set(weeks) == {0} else f" {label} {words.weeks_text(weeks)}"
        what = f"{one.entry}: {one.from_}" if one.entry.startswith("filler") else one.from_
        label = f"{DAY_NAMES.get(one.session, one.session)}{when}".strip()
        lines.append(fill(f"{number}. {label[:1].upper()}{label[1:]}: {what}", "  "))
        lines.append(fill(f"-> {one.to}", "    "))
        lines.append(fill(words.told_once(one.why, number, said), "    "))
        if notes and notes[number - 1]:
            lines.append(fill(notes[number - 1], "    "))
    return lines


def unmet_lines(block: Block, unit: Unit | None = None) -> list[str]:
    """What could not be met, with its heading; nothing where all is met."""
    if not block.unmet:
        return []
    lines = ["", "Not met, or bent:"]
    for one in words.spoken_unmet(block, unit):
        lines.append(fill(f"- {one.wish}: {one.why}" + (f" [{one.rule}]" if one.rule else ""), "  "))
    return lines


def changes_text(
    block: Block,
    catalogue: Catalogue,
    unit: Unit | None = None,
    with_proof: bool = False,
    notes: Sequence[str] = (),
) -> str:
    """What changed and why; nothing else of the block.

    with_proof : how few changes were possible comes first; notes : a line for each change as it is read, or none
    """
    if not block.changes:
        return "Nothing changed."
    entries = len(words.grouped_changes(block))
    lines = [
        fill(f"{block.title}, for {block.inputs.trainee.name}: revision {block.revision} ({block.id})"),
        fill(
            f"{words.counted(entries, 'change')} ({len(block.changes)} over all weeks); everything else is as it was."
        ),
        *([fill(block.proof.note)] if with_proof and block.proof.note else []),
        "",
        *change_lines(block, unit, notes),
        *unmet_lines(block, unit),
    ]
    return "\n".join(lines)
