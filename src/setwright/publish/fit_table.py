"""Who differs where and why: one master block fitted to many trainees, as one table for the coach.

Rows are days and exercises of the master, columns trainees; beside it the loads of the main lifts person by person.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any

from setwright.catalogue.store import Catalogue
from setwright.faults import Repair
from setwright.people.trainee import DAY_NAMES
from setwright.plan.block import PlannedSet
from setwright.plan.fit_master import Cell, DayFit, Fitted, asked_words, place_word
from setwright.plan.kept_master import asked_name
from setwright.plan.master import Master
from setwright.publish import words
from setwright.publish.page import fill
from setwright.publish.sheet import FOOT, pdf, section
from setwright.publish.terminal import fill as wrap
from setwright.publish.units import Unit, in_unit

SAME, LOST = "same", "day lost"
ABREAST = 5  # trainees beside each other on paper


@dataclass(frozen=True)
class Said:
    """One cell: the kind of difference (``same`` where there is none), short words, the whole reason."""

    kind: str
    words: str
    why: str = ""


@dataclass(frozen=True)
class LoadsOf:
    """A main lift of one person: what is done, and sets and load of each week; an empty text where it is left out."""

    exercise: str
    weeks: tuple[str, ...]


@dataclass(frozen=True)
class Column:
    """One trainee: block, days, cells by session and slot, loads by session and main lift."""

    trainee: str
    name: str
    block: str
    days: tuple[Said, ...]
    cells: tuple[tuple[Said, ...], ...]
    loads: tuple[tuple[LoadsOf, ...], ...]


@dataclass(frozen=True)
class Refused:
    """One trainee without a block: the limits that leave none, and the ways out, the cheapest first."""

    trainee: str
    name: str
    why: tuple[str, ...]
    repairs: tuple[Repair, ...]

    @property
    def why_words(self) -> str:
        """The limits in one line."""
        lines = "; ".join(one.rstrip(".") for one in self.why)
        return f"These cannot all hold: {lines}." if len(self.why) > 1 else f"{lines}."

    @property
    def help_words(self) -> str:
        """The ways out in one line; empty where none was found."""
        ways = [one.sentence() for one in self.repairs]
        if len(ways) < 2:
            return "".join(ways)
        return "any one of these: " + " ".join(f"({number}) {way};" for number, way in enumerate(ways, 1)).rstrip(";")


@dataclass(frozen=True)
class RowHead:
    """One entry of the master: part, name, what it asks in its first week; whether it is a main lift."""

    part: str
    name: str
    asks: str
    is_main: bool


@dataclass(frozen=True)
class FitTable:
    """The whole table; ``heads`` by session and slot, as in the columns."""

    master: str
    title: str
    weeks: int
    sessions: tuple[str, ...]
    heads: tuple[tuple[RowHead, ...], ...]
    columns: tuple[Column, ...]
    refused: tuple[Refused, ...]
    notes: tuple[str, ...]


def column_of(master: Master, fitted: Fitted, catalogue: Catalogue, unit: Unit | None = None) -> Column:
    """The column of one trainee, in the unit of each place where none is asked for."""
    block = fitted.block
    days = tuple(day_said(one) for one in fitted.days)
    cells, loads = [], []
    for session, day, row in zip(master.sessions, fitted.days, fitted.cells, strict=True):
        shown = unit or words.unit_of(block.inputs.places, day.day.place if day.day is not None else block.place)
        cells.append(tuple(cell_said(cell, day, shown) for cell in row))
        loads.append(
            tuple(
                loads_of(cell, catalogue, shown)
                for slot, cell in zip(session.slots, row, strict=True)
                if slot.part == "main"
            )
        )
    return Column(block.trainee, block.inputs.trainee.name, block.id, days, tuple(cells), tuple(loads))


def day_said(one: DayFit) -> Said:
    """Where a session fell, in few words."""
    if one.day is None:
        return Said(LOST, "lost", one.why)
    text = f"{one.day.day.capitalize()}, {place_word(one.day.place)}, {one.minutes:.0f} of {one.day.minutes:g} min"
    return Said("another day" if one.why else SAME, text, one.why)


def cell_said(cell: Cell, day: DayFit, unit: Unit) -> Said:
    """What became of an entry, in few words."""
    if day.day is None:
        return Said(LOST, LOST, day.why)
    if not cell.notes:
        return Said(SAME, SAME)
    kinds = [one.kind for one in cell.notes]
    short = "; ".join(one.short for one in cell.notes)
    why = " ".join(dict.fromkeys(one.why for one in cell.notes))
    return Said("left out" if "left out" in kinds else kinds[0], in_unit(short, unit), in_unit(why, unit))


def loads_of(cell: Cell, catalogue: Catalogue, unit: Unit) -> LoadsOf:
    """Sets and loads of a main lift by week."""
    name = "" if cell.exercise is None else words.name_of(cell.exercise, catalogue)
    weeks = []
    for entry in cell.entries:
        working: list[PlannedSet] = [] if entry is None else entry.working_sets
        load = words.loads_text(working, unit)
        weeks.append(("" if entry is None else words.asks_text(entry)) + (f", {load}" if load else ""))
    return LoadsOf(name, tuple(weeks))


def table_of(
    master: Master, columns: Sequence[Column], refused: Sequence[Refused], catalogue: Catalogue, unit: Unit = "kg"
) -> FitTable:
    """The table of a master and its trainees; two people of one name are told apart by their ids."""
    names = [one.name for one in columns]
    told = tuple(
        replace(one, name=f"{one.name} ({one.trainee})") if names.count(one.name) > 1 else one for one in columns
    )
    heads = []
    for session in master.sessions:
        row = []
        for number, slot in enumerate(session.slots):
            scheme = next((one for one in slot.schemes if one is not None), None)
            name = words.name_of(slot.exercise, catalogue)
            if session.asked(number).step:
                name = asked_name(session.asked(number), slot.exercise, catalogue)
            asks = name if scheme is None else asked_words(name, scheme)
            row.append(RowHead(words.PART_NAMES[slot.part], name, asks, slot.part == "main"))
        heads.append(tuple(row))
    titles = [(one.label or DAY_NAMES[one.day], master.named(one.title)) for one in master.sessions]
    sessions = tuple(day + (f": {title}" if title else "") for day, title in titles)
    return FitTable(
        master.id,
        master.named(master.title),
        len(master.week_kinds),
        sessions,
        tuple(heads),
        told,
        tuple(refused),
        tuple(in_unit(one, unit) for one in master.notes),
    )


def table_json(table: FitTable) -> dict[str, Any]:
    """The published form: rows of days and exercises, each with one cell a trainee, and the loads of main lifts."""
    sessions = []
    for index, title in enumerate(table.sessions):
        rows = [
            {
                "part": head.part.lower(),
                "exercise": head.name,
                "asks": head.asks,
                "cells": {one.trainee: asdict(one.cells[index][number]) for one in table.columns},
            }
            for number, head in enumerate(table.heads[index])
        ]
        mains = [head for head in table.heads[index] if head.is_main]
        loads = [
            {"exercise": head.name, "of": {one.trainee: load_json(one.loads[index][number]) for one in table.columns}}
            for number, head in enumerate(mains)
        ]
        days = {one.trainee: asdict(one.days[index]) for one in table.columns}
        sessions.append({"session": title, "days": days, "rows": rows, "loads": loads})
    return {
        "master": table.master,
        "title": table.title,
        "weeks": table.weeks,
        "trainees": [{"trainee": one.trainee, "name": one.name, "block": one.block} for one in table.columns],
        "refused": [
            {
                **asdict(one),
                "why": list(one.why),
                "repair": one.repairs[0].sentence() if one.repairs else "",
                "repairs": [asdict(way) for way in one.repairs],
            }
            for one in table.refused
        ],
        "notes": list(table.notes),
        "sessions": sessions,
    }


def load_json(one: LoadsOf) -> dict[str, Any]:
    """Loads of one person as JSON values."""
    return {"exercise": one.exercise, "weeks": list(one.weeks)}


def lead_of(table: FitTable) -> str:
    """The sentence above the table."""
    people = words.counted(len(table.columns), "trainee")
    length = words.counted(table.weeks, "week")
    return (
        f"{length}, {people}. Sessions, exercises, order, sets and effort are those of the master block; "
        "only what stands here differs. Loads are each person's own."
    )


def asked_above(table: FitTable, index: int, number: int) -> list[Said]:
    """The cells of one row, trainee by trainee."""
    return [one.cells[index][number] for one in table.columns]


def refused_lines(table: FitTable) -> list[str]:
    """A line for each trainee without a block."""
    return [
        f"{one.name}: no block. {one.why_words}" + (f" What would help: {one.help_words}." if one.repairs else "")
        for one in table.refused
    ]


def said_once(table: FitTable) -> FitTable:
    """The table with what is the same for all of a person's entries of a day said beside the day, and there alone.

    ``RPE 7 at most: under 16`` is read once, not twelve times; the published form keeps every cell whole.
    """
    return replace(table, columns=tuple(with_days_said(one, table.heads) for one in table.columns))


def with_days_said(column: Column, heads: Sequence[Sequence[RowHead]]) -> Column:
    """A column with the words that all entries of a day share moved to the day."""
    days, cells = [], []
    for day, row, names in zip(column.days, column.cells, heads, strict=True):
        counted = [
            cell
            for cell, head in zip(row, names, strict=True)
            if cell.kind not in ("left out", LOST) and head.part != words.PART_NAMES["warm-up"]
        ]
        pieces = [cell.words.split("; ") for cell in counted]
        shared = [] if len(pieces) < 2 else [one for one in pieces[0] if all(one in other for other in pieces[1:])]
        shared = [one for one in shared if one != SAME]
        days.append(replace(day, why="; ".join(one for one in (day.why, *shared) if one)))
        cells.append(tuple(without_words(cell, shared) for cell in row))
    return replace(column, days=tuple(days), cells=tuple(cells))


def without_words(cell: Said, shared: Sequence[str]) -> Said:
    """A cell without words that are said elsewhere; the same where none is left."""
    left = [one for one in cell.words.split("; ") if one not in shared]
    return replace(cell, words="; ".join(left)) if left else Said(SAME, SAME)


def table_text(table: FitTable) -> str:
    """The table for a terminal: who differs, exercise by exercise, and the loads of the first week."""
    table = said_once(table)
    lines = [wrap(f"{table.title} ({table.master})"), wrap(lead_of(table))]
    lines += [wrap(f"Note: {one}") for one in table.notes]
    for index, title in enumerate(table.sessions):
        lines += ["", title]
        for one in table.columns:
            day = one.days[index]
            lines.append(wrap(f"{one.name}: {day.words}" + (f" ({day.why})" if day.why else ""), "  "))
        same = []
        for number, head in enumerate(table.heads[index]):
            told = [
                (one.name, cell)
                for one, cell in zip(table.columns, asked_above(table, index, number), strict=True)
                if cell.kind not in (SAME, LOST)
            ]
            if not told:
                same.append(head.name)
                continue
            part = " (warm-up)" if head.part == words.PART_NAMES["warm-up"] else ""
            lines.append(wrap(head.asks + part, "  "))
            lines += [wrap(f"{name}: {cell.words}", "    ") for name, cell in told]
        if same and table.columns:
            lines.append(wrap(f"Same for everybody who trains this day: {', '.join(same)}.", "  "))
    mains = load_groups(table)
    if mains:
        lines += ["", "Main lifts, week 1"]
    for title, rows in mains:
        lines.append(wrap(title, "  "))
        lines += [wrap(f"{row[0]}: {row[1] or 'not this week'}", "    ") for row in rows]
    if table.refused:
        lines += ["", *(wrap(one) for one in refused_lines(table))]
    return "\n".join(lines)


def load_groups(table: FitTable) -> list[tuple[str, list[list[str]]]]:
    """For each main lift a title and a row a trainee: name, then sets and load of each week."""
    found = []
    for index, session in enumerate(table.sessions):
        mains = [head for head in table.heads[index] if head.is_main]
        for number, head in enumerate(mains):
            rows = []
            for one in table.columns:
                loads = one.loads[index][number]
                if not any(loads.weeks):
                    continue
                name = one.name if loads.exercise == head.name else f"{one.name}: {loads.exercise}"
                rows.append([name, *loads.weeks])
            if rows:
                found.append((f"{head.name}, {session.split(':')[0]}", rows))
    return found


def table_page(table: FitTable, links: dict[str, str] | None = None) -> str:
    """The table as a page: beside each other on a wide screen, person by person under each exercise on a phone.

    links : the page of each trainee's block, by id
    """
    table = said_once(table)
    sessions = [
        {
            "title": title,
            "days": [(one.name, one.days[index]) for one in table.columns],
            "rows": [
                {"head": head, "cells": asked_above(table, index, number)}
                for number, head in enumerate(table.heads[index])
            ],
        }
        for index, title in enumerate(table.sessions)
    ]
    return fill(
        "fit.html",
        title=table.title,
        sub="One master block, many trainees: who differs where, and why",
        lead=lead_of(table),
        notes=table.notes,
        columns=table.columns,
        links=links or {},
        refused=refused_lines(table),
        sessions=sessions,
        loads=load_groups(table),
        weeks=range(1, table.weeks + 1),
    )


def table_data(table: FitTable, paper: str = "a4") -> dict[str, Any]:
    """The data of the table on paper: a few trainees beside each other, rows where one of them differs."""
    table = said_once(table)
    sections = []
    for start in range(0, len(table.columns), ABREAST):
        here = table.columns[start : start + ABREAST]
        tables = []
        for index, title in enumerate(table.sessions):
            rows = [["When", *(day_text(one.days[index]) for one in here)]]
            same = []
            for number, head in enumerate(table.heads[index]):
                cells = [one.cells[index][number] for one in here]
                if all(cell.kind in (SAME, LOST) for cell in cells):
                    same.append(head.name)
                    continue
                rows.append([head.asks, *("" if cell.kind == LOST else cell.words for cell in cells)])
            named = [title, *(one.name for one in here)]
            tables.append({"columns": [2] + [2] * len(here), "head": named, "rows": rows})
            if same:
                line = f"Same for all of them who train this day: {', '.join(same)}."
                tables.append({"columns": [1], "head": [], "rows": [[line]]})
        many = len(table.columns) > ABREAST
        title = "Who differs where, and why"
        sections.append(section(f"{title}: {here[0].name} to {here[-1].name}" if many else title, tables=tables))
    for title, rows in load_groups(table):
        heads = ["", *(f"week {week}" for week in range(1, table.weeks + 1))]
        shown = [[row[0], *(cell.replace(", ", "\n", 1) or "-" for cell in row[1:])] for row in rows]
        made = {"columns": [2] + [1] * table.weeks, "head": heads, "rows": shown}
        sections.append(section(title, "sets, repetitions and load", tables=[made]))
    if table.refused:
        rows = [[one.name, one.why_words, one.help_words] for one in table.refused]
        made = {"columns": [1, 2, 2], "head": ["", "Why", "What would help"], "rows": rows}
        sections.append(section("No block", tables=[made]))
    return {
        "paper": paper,
        "size": 8.2,
        "flipped": True,
        "title": table.title,
        "sub": "One master block, many trainees",
        "right": words.counted(len(table.columns), "trainee"),
        "right2": table.master,
        "lead": " ".join((lead_of(table), *table.notes)),
        "foot": FOOT,
        "sections": sections,
        "cautions": [],
    }


def day_text(day: Said) -> str:
    """A day with its reason, for a cell."""
    return day.words + (f": {day.why}" if day.why else "")


def table_pdf(table: FitTable, paper: str = "a4") -> bytes:
    """The table on paper."""
    return pdf(table_data(table, paper))
