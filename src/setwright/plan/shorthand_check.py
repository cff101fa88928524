"""What was read of a written block, line by line, while it is being written: also of the good lines beside bad ones.

Two ideas carry this module. One: ``read_block_text`` stays the only judge; lines that it faults are set aside, and
what is left is read again, so that every good line can say what it became. Two: an unsure name comes with the names
it may have meant, and taking one changes the text itself, where the coach sees it.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from setwright.catalogue.names import match_name
from setwright.catalogue.store import Catalogue
from setwright.faults import Fault, InputFaults
from setwright.people.trainee import Day
from setwright.plan.bout_lines import heading_line
from setwright.plan.formats import formats_of
from setwright.plan.shorthand import NAME_ALLOWED, WrittenBlock, is_note, line_of, read_block_text
from setwright.plan.shorthand_bouts import BoutHead, read_bout
from setwright.plan.shorthand_head import read_weeks
from setwright.plan.shorthand_line import Unreadable, tidy

SET_ASIDE = "#"
AT_LINE = re.compile(r"line (\d+)")
NOTE_AT_LINE = re.compile(r"Line (\d+): (.*)", re.DOTALL)

Kind = Literal["entry", "more", "heading", "note", "wrong"]


@dataclass(frozen=True)
class Proposal:
    """An exercise that a name may have meant: its slug and its name."""

    slug: str
    name: str


@dataclass(frozen=True)
class LineRead:
    """One line of a text and what it became.

    kind : an entry; more of the entry above; a heading; a note to oneself; or wrong
    says : the entry, or the bout of a heading, as the program understands it
    notes : what was guessed; faults : what is wrong
    name, proposals : the unsure name, and what it may have meant, best first
    """

    number: int
    text: str
    kind: Kind
    says: str = ""
    notes: tuple[str, ...] = ()
    faults: tuple[Fault, ...] = ()
    name: str = ""
    proposals: tuple[Proposal, ...] = ()


@dataclass(frozen=True)
class TextRead:
    """What was read of a whole text: its lines, what is said or wrong of no single line, title, weeks, sessions."""

    lines: tuple[LineRead, ...]
    notes: tuple[str, ...] = ()
    faults: tuple[Fault, ...] = ()
    title: str = ""
    weeks: int = 0
    sessions: int = 0
    is_good: bool = False


def read_lines(text: str, catalogue: Catalogue, days: Sequence[Day] = ()) -> TextRead:
    """What is read of each line of a written block; nothing is raised for a wrong one."""
    raw = text.splitlines()
    faults = faults_of(raw, catalogue, days)
    written = readable_rest(raw, faults, catalogue, days)
    by_line: dict[int, list[Fault]] = {}
    loose = []
    for fault in faults:
        number = line_number(fault)
        if number:
            by_line.setdefault(number, []).append(fault)
        else:
            loose.append(fault)
    entries = entries_by_line(raw, written, catalogue)
    bouts = {} if written is None else bouts_by_line(raw, written, catalogue)
    notes, other = notes_by_line(written)
    lines = tuple(
        line_read(
            number,
            line,
            by_line.get(number, ()),
            entries.get(number),
            bouts.get(number, ""),
            notes.get(number, ()),
            catalogue,
        )
        for number, line in enumerate(raw, start=1)
        if line.strip()
    )
    return TextRead(
        lines,
        other,
        tuple(loose),
        "" if written is None else written.title,
        0 if written is None else written.weeks,
        0 if written is None else len(written.template.sessions),
        not faults,
    )


def faults_of(raw: Sequence[str], catalogue: Catalogue, days: Sequence[Day]) -> tuple[Fault, ...]:
    """Every fault of a text, as its reader says them."""
    try:
        read_block_text("\n".join(raw), catalogue, "the block", days=days)
    except InputFaults as wrong:
        return wrong.faults
    return ()


def line_number(fault: Fault) -> int:
    """The line of a fault; 0 where it is of none."""
    hit = AT_LINE.fullmatch(fault.path)
    return int(hit[1]) if hit else 0


def readable_rest(
    raw: Sequence[str], faults: Sequence[Fault], catalogue: Catalogue, days: Sequence[Day]
) -> WrittenBlock | None:
    """The block of the lines that are left once wrong ones are set aside; None where nothing is left."""
    kept = list(raw)
    for _ in range(len(kept) + 1):
        numbers = {line_number(one) for one in faults} - {0}
        if faults and not numbers:
            return None
        for number in numbers:
            kept[number - 1] = SET_ASIDE
        try:
            return read_block_text("\n".join(kept), catalogue, "the block", days=days)
        except InputFaults as wrong:
            faults = wrong.faults
    return None


def entries_by_line(raw: Sequence[str], written: WrittenBlock | None, catalogue: Catalogue) -> dict[int, str]:
    """What each line became, by its number; an empty text for a line that belongs to the entry above it."""
    if written is None:
        return {}
    found: dict[int, str] = {}
    for session in written.template.sessions:
        for entry in session.entries:
            scheme = next((one for one in entry.schemes if one is not None), None)
            number = next(
                (
                    at
                    for at, line in enumerate(raw, start=1)
                    if at not in found and line.strip() and entry.written.startswith(line.strip())
                ),
                0,
            )
            if not number or scheme is None:
                continue
            found[number] = line_of(entry, scheme, catalogue)
            rest = entry.written.removeprefix(raw[number - 1].strip())
            for at in range(number + 1, len(raw) + 1):
                more = raw[at - 1].strip()
                if not rest.startswith(f" / {more}") or not more:
                    break
                found[at], rest = "", rest.removeprefix(f" / {more}")
    return found


def bouts_by_line(raw: Sequence[str], written: WrittenBlock, catalogue: Catalogue) -> dict[int, str]:
    """What each line that opens a bout became, by its number, with the movements that stand on it."""
    found: dict[int, str] = {}
    for number, line in enumerate(raw, start=1):
        head = None if is_note(line) else bout_head(line, catalogue)
        if head is None:
            continue
        movements = dict.fromkeys(
            line_of(entry, scheme, catalogue)
            for session in written.template.sessions
            for entry in session.entries
            for scheme in [next((one for one in entry.schemes if one is not None), None)]
            if head.rest and scheme is not None and entry.bouts and entry.written.startswith((line.strip(), head.text))
        )
        heading = heading_line(head.bout)
        found[number] = f"{heading} {', '.join(movements)}" if movements else heading.removesuffix(":")
    return found


def bout_head(line: str, catalogue: Catalogue) -> BoutHead | None:
    """The bout that a line opens, whatever weeks it is for; None for any other line, and for a wrong one."""
    weeks = read_weeks(tidy(line))
    try:
        return read_bout(tidy(line) if weeks is None else weeks[2], formats_of(catalogue))
    except Unreadable:
        return None


def notes_by_line(written: WrittenBlock | None) -> tuple[dict[int, tuple[str, ...]], tuple[str, ...]]:
    """What was understood by a guess, by line, and what is said of no single line."""
    by_line: dict[int, tuple[str, ...]] = {}
    other = []
    for note in written.notes if written is not None else ():
        hit = NOTE_AT_LINE.fullmatch(note)
        if hit:
            by_line[int(hit[1])] = (*by_line.get(int(hit[1]), ()), hit[2])
        else:
            other.append(note)
    return by_line, tuple(other)


def line_read(
    number: int,
    text: str,
    faults: Sequence[Fault],
    entry: str | None,
    bout: str,
    notes: Sequence[str],
    catalogue: Catalogue,
) -> LineRead:
    """One line with all that is known of it."""
    if faults:
        name = unsure_name(faults[0])
        slugs = match_name(name, catalogue).proposals if name else ()
        proposals = tuple(Proposal(slug, catalogue.get(slug).name) for slug in slugs)
        return LineRead(number, text, "wrong", "", tuple(notes), tuple(faults), name, proposals)
    if entry is not None:
        return LineRead(number, text, "entry" if entry else "more", bout or entry, tuple(notes))
    return LineRead(number, text, "note" if is_note(text) else "heading", bout, tuple(notes))


def unsure_name(fault: Fault) -> str:
    """The name that a fault could not place; empty for a fault of another kind."""
    if fault.allowed != NAME_ALLOWED or not fault.found.startswith(("'", '"')):
        return ""
    return str(ast.literal_eval(fault.found))


def with_name(text: str, number: int, slug: str, catalogue: Catalogue) -> str:
    """The text with the unsure name of one line written as an exercise; unchanged where the line has none."""
    raw = text.splitlines()
    if slug not in catalogue or not 1 <= number <= len(raw):
        return text
    name = next((one.name for one in read_lines(text, catalogue).lines if one.number == number), "")
    if not name:
        return text
    known = catalogue.get(slug).name.replace("/", " ").replace(",", "")
    line = raw[number - 1]
    at = re.search(r"[\s-]+".join(map(re.escape, name.split())), line, re.IGNORECASE)
    if at:
        raw[number - 1] = line[: at.start()] + known + line[at.end() :]
    else:
        dose = re.search(r"\d.*", line)
        raw[number - 1] = f"{known} {dose[0]}" if dose else known
    return "\n".join(raw) + ("\n" if text.endswith("\n") else "")
