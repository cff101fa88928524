"""Two revisions of a block compared, as a page and on paper: entry by entry, counted sets, minutes of each session."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from setwright.body.anatomy import muscle_groups
from setwright.people.trainee import DAY_NAMES, DAYS
from setwright.plan.block import Block
from setwright.publish import words
from setwright.publish.page import fill, group, weeks_label
from setwright.publish.picture import Table
from setwright.publish.sheet import Paper, base, on_fewest_pages, section
from setwright.publish.terminal import fill as terminal_fill
from setwright.publish.units import Unit, in_unit

SAME = 0.05  # minutes and counted sets that nobody would set apart


@dataclass(frozen=True)
class Differing:
    """One entry that differs, ready to read."""

    week: int
    day: str
    was: str
    becomes: str
    changed: str


@dataclass(frozen=True)
class CompareReport:
    """Two blocks compared: every entry that differs, then tables of before and after; ``after``: the second block."""

    title: str
    subtitle: str
    lead: str
    rows: tuple[Differing, ...]
    sets: Table
    minutes: Table
    after: Block


def compare_report(
    first: Block, second: Block, rows: Sequence[Mapping[str, object]], names: tuple[str, str], unit: Unit
) -> CompareReport:
    """The report on two blocks. ``rows``: what ``compare`` found, masses in kg; ``names``: of their files, as typed."""
    told = tuple(
        Differing(
            int(str(row["week"])),
            DAY_NAMES.get(str(row["session"]), str(row["session"])),
            in_unit(str(row["from"]), unit),
            in_unit(str(row["to"]), unit),
            in_unit("; ".join(str(one) for one in changed), unit)
            if isinstance(changed := row["changed"], list)
            else "",
        )
        for row in rows
    )
    sets, minutes = sets_table(first, second), minutes_table(first, second)
    return CompareReport(
        title=f"Compared: {second.title}",
        subtitle=f"{second.inputs.trainee.name}. Was: {names[0]} (revision {first.revision}). "
        f"Becomes: {names[1]} (revision {second.revision}).",
        lead=lead_of(told, sets, minutes),
        rows=told,
        sets=sets,
        minutes=minutes,
        after=second,
    )


def changed_text(row: Mapping[str, object]) -> str:
    """What changed of a row that ``compare`` found, in one text; empty where it does not say."""
    changed = row.get("changed")
    return "; ".join(str(one) for one in changed) if isinstance(changed, list) else ""


def lead_of(rows: Sequence[Differing], sets: Table, minutes: Table) -> str:
    """How much differs, in a sentence."""
    if not rows:
        return "The two blocks plan the same."
    weeks = words.weeks_text([one.week for one in rows])
    where = f"{'week' if len({one.week for one in rows}) == 1 else 'weeks'} {weeks}"
    text = f"{words.counted(len(rows), 'entry', 'entries')} differ{'s' if len(rows) == 1 else ''}, in {where}."
    moved = [sum(any(" to " in cell for cell in row[1:]) for row in table.rows) for table in (sets, minutes)]
    groups = f"counted sets change for {words.counted(moved[0], 'muscle group')}" if moved[0] else "counted sets stay"
    days = f"the minutes of {words.counted(moved[1], 'day')} change" if moved[1] else "minutes stay"
    return f"{text} {groups[:1].upper()}{groups[1:]}; {days}."


def sets_table(first: Block, second: Block) -> Table:
    """Counted sets of each muscle group by week: one number where they stay, ``8 to 9`` where they change."""
    held = [{(one.muscle, one.week): one.fractional for one in block.set_credits} for block in (first, second)]
    weeks = weeks_of(first, second)
    rows = []
    for slug, muscle in muscle_groups().items():
        cells = [both(held[0].get((slug, week), 0.0), held[1].get((slug, week), 0.0)) for week in weeks]
        if any(cell != "0" for cell in cells):
            rows.append((muscle.label, *cells))
    return Table(("", *(f"Week {week}" for week in weeks)), tuple(rows))


def minutes_table(first: Block, second: Block) -> Table:
    """Minutes of each session by day and week, as ``sets_table``; a dash where there is none."""
    held = [
        {(one.day, week.number): one.minutes for week in block.weeks for one in week.sessions}
        for block in (first, second)
    ]
    weeks = weeks_of(first, second)
    rows = []
    for day in DAYS:
        cells = [both_minutes(held[0].get((day, week)), held[1].get((day, week))) for week in weeks]
        if any(cell != "-" for cell in cells):
            rows.append((DAY_NAMES[day], *cells))
    return Table(("", *(f"Week {week}" for week in weeks)), tuple(rows))


def moved_lines(title: str, table: Table) -> list[str]:
    """The rows of a table that change, as lines for a terminal; nothing where none does.

    One of them reads ``chest: 7 to 5 in weeks 2, 3; 6 to 5 in week 4``.
    """
    lines = []
    for row in table.rows:
        weeks: dict[str, list[int]] = {}
        for head, cell in zip(table.head[1:], row[1:], strict=True):
            if " to " in cell:
                weeks.setdefault(cell, []).append(int(head.rpartition(" ")[2]))
        said = [f"{cell} in {weeks_label(some)}" for cell, some in weeks.items()]
        lines += [terminal_fill(f"{row[0]}: {'; '.join(said)}", "  ")] if said else []
    return [title, *lines] if lines else []


def weeks_of(first: Block, second: Block) -> list[int]:
    """The numbers of the weeks of either block."""
    return sorted({week.number for block in (first, second) for week in block.weeks})


def both(before: float, after: float) -> str:
    """``8``, or ``8 to 9.5`` where it changes."""
    return f"{after:g}" if abs(after - before) < SAME else f"{before:g} to {after:g}"


def both_minutes(before: float | None, after: float | None) -> str:
    """``62``, ``62 to 66``, ``none to 45``, or a dash; whole minutes."""
    was, now = ("none" if one is None else f"{one:.0f}" for one in (before, after))
    return "-" if was == now == "none" else now if was == now else f"{was} to {now}"


def compare_html(report: CompareReport, home: str = "") -> str:
    """The comparison as a page that stands alone; ``home``: where the way back leads, none where empty."""
    groups = []
    for week in sorted({one.week for one in report.rows}):
        rows = [[one.day, one.was, one.becomes, one.changed] for one in report.rows if one.week == week]
        groups.append(group(f"Week {week}", head=["Day", "Was", "Becomes", "Changed"], rows=rows))
    if report.rows:
        for title, sentence, table in tables_of(report):
            groups.append(group(title, sentence, head=table.head, rows=table.rows))
    return fill("tables.html", title=report.title, sub=report.subtitle, home=home, lead=report.lead, groups=groups)


def tables_of(report: CompareReport) -> list[tuple[str, str, Table]]:
    """The tables of before and after, each with its title and what its cells mean."""
    cells = "One number where it stays; two where it changes."
    return [
        ("Counted sets before and after", f"A set for a helping muscle counts half. {cells}", report.sets),
        ("Minutes of each session before and after", cells, report.minutes),
    ]


def merged(rows: Sequence[Differing]) -> list[list[str]]:
    """The rows for paper: the same difference of a day in several weeks once."""
    found: dict[tuple[str, str, str, str], list[int]] = {}
    for one in rows:
        found.setdefault((one.day, one.was, one.becomes, one.changed), []).append(one.week)
    return [
        [f"{day[:3]} {'week' if len(set(weeks)) == 1 else 'weeks'} {words.weeks_text(weeks)}", was, becomes, changed]
        for (day, was, becomes, changed), weeks in found.items()
    ]


def compare_pdf(report: CompareReport, paper: Paper = "a4") -> bytes:
    """The comparison on paper, on the fewest pages that stay readable."""
    sections = []
    if report.rows:
        head = ["When", "Was", "Becomes", "Changed"]
        sections.append(
            section("Entry by entry", tables=[{"columns": [1.2, 3, 3, 3], "head": head, "rows": merged(report.rows)}])
        )
        for title, sentence, table in tables_of(report):
            shape = {
                "columns": [2.2] + [1] * (len(table.head) - 1),
                "head": list(table.head),
                "rows": [list(row) for row in table.rows],
            }
            sections.append(section(title, sentence, tables=[shape]))
    data = base(report.after, paper, report.title, report.subtitle, "", "")
    return on_fewest_pages({**data, "flipped": True, "lead": report.lead, "sections": sections})[1]
