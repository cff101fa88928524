"""A timetable in the terminal: a picture of the hour in 80 columns, then each trainee's list."""

from __future__ import annotations

import textwrap

from setwright.publish.floor_words import FloorReport, PersonLines, clock, first_names

WIDTH = 80
LABEL = 12
CELLS = WIDTH - LABEL - 1


def floor_text(report: FloorReport) -> str:
    """The whole report."""
    lines = [report.title, report.subtitle, report.lead, ""]
    for fact in report.facts:
        lines += textwrap.wrap(fact, WIDTH, subsequent_indent="  ", break_long_words=False, break_on_hyphens=False)
    if report.changes:
        lines += ["", "What changes:", *(f"  {one}"[:WIDTH] for one in report.changes)]
    lines += ["", *picture(report)]
    for person in report.people:
        lines += ["", *list_of(person)]
    return "\n".join(lines)


def minutes_a_cell(report: FloorReport) -> int:
    """Whole minutes that one character stands for."""
    return max(1, -(-report.end_s // (60 * CELLS)))


def picture(report: FloorReport) -> list[str]:
    """A row for each trainee, a character for each minute: the letter of what is done, a point for waiting."""
    step = minutes_a_cell(report)
    cells = -(-report.end_s // (60 * step))
    scale = [" "] * (cells + 4)
    for at in range(0, cells, 10):
        for offset, mark in enumerate(str(at * step)):
            scale[at + offset] = mark
    rows = [" " * LABEL + "".join(scale).rstrip() + " min"]
    for label, person in zip(first_names([one.label for one in report.people]), report.people, strict=True):
        row = [" "] * cells
        done = max((line.to_s for line in person.lines), default=0)
        for cell in range(cells):
            at = 60 * step * cell + 30 * step
            inside = [line.letter for line in person.lines if line.from_s <= at < line.to_s]
            row[cell] = inside[0] if inside else "." if at < done else " "
        rows.append(f"{label[: LABEL - 2]:<{LABEL}}" + "".join(row).rstrip())
    return rows


def list_of(person: PersonLines) -> list[str]:
    """The visits of a trainee: from, to, what, sets, where; long names go on below."""
    found = [f"{person.label}: {person.sentence}"]
    for line in person.lines:
        times = f"{clock(line.from_s):>5}-{clock(line.to_s):<5}"
        what = f"{line.what}, {line.sets}" if line.sets else line.what
        text = f"{what}; {line.where}" if line.where else what
        head = f"  {line.letter} {times} "
        found += textwrap.wrap(text, WIDTH, initial_indent=head, subsequent_indent=" " * len(head))
    return found
