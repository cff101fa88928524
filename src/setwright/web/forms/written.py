"""A written block by form: rows of day, exercise, sets, repetitions, effort and rest become the lines of its text."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from setwright.catalogue.store import Catalogue
from setwright.faults import Fault
from setwright.people.trainee import TrainingDay
from setwright.plan.shorthand_check import line_number
from setwright.web.forms.fields import Choice, Day, Field, Name, Number, Rows
from setwright.web.forms.form import Form, Section
from setwright.web.forms.intake import DAYS, Names

ROWS_READY = 4


def written_form(catalogue: Catalogue, days: Sequence[TrainingDay]) -> Form:
    """The form of a written block for somebody who trains on some days."""
    names = Names(catalogue)
    own = {one.day for one in days}
    choices = sorted(DAYS, key=lambda one: one[0] not in own)
    rows = Rows(
        "entries",
        "Entries",
        one="entry",
        start=ROWS_READY,
        carries=("day",),
        fields=(
            Choice("day", "Day", choices=choices, empty=None, usual=choices[0][0]),
            names.field("exercise", "Exercise"),
            Number("sets", "Sets"),
            Field("reps", "Repetitions", "5-6, or 30 s, or 20 m"),
            Field("effort", "Effort", "RPE 8, RIR 2, 70 %, or 60 kg"),
            Field("rest", "Rest", "3 min, or 90 s"),
            Field("with", "Superset", "the same letter for two"),
        ),
    )
    head = (Name("title", "Title"), Number("weeks", "Weeks", "1 to 12", usual=4), Day("start", "Week 1 begins on"))
    return Form(
        (Section("head", "The block", head), Section("entries", "What is done", (rows,))),
        {"exercises": names.listed()},
    )


@dataclass(frozen=True)
class Composed:
    """The text of some rows, and which row each of its lines came from."""

    text: str
    row_of_line: Mapping[int, int]

    def at_rows(self, faults: Sequence[Fault]) -> tuple[Fault, ...]:
        """Faults of lines as faults of the rows that they came from."""
        return tuple(
            fault
            if line_number(fault) not in self.row_of_line
            else Fault("the block", f"entries[{self.row_of_line[line_number(fault)]}].exercise", *rest_of(fault))
            for fault in faults
        )


def rest_of(fault: Fault) -> tuple[str, str, str]:
    """What a fault says besides its place."""
    return fault.found, fault.allowed, fault.hint


def composed(table: Mapping[str, Any], catalogue: Catalogue) -> Composed:
    """The text of a filled form: a title, the weeks, then each day with its lines in the order of the rows."""
    lines = [f"Block: {table.get('title') or 'Written block'}", f"{table.get('weeks', 1)} weeks"]
    rows: dict[int, int] = {}
    entries = list(enumerate(table.get("entries", []), start=1))
    for day, says in DAYS:
        mine = [(number, one) for number, one in entries if one.get("day") == day]
        if mine:
            lines += ["", says]
        for number, one in mine:
            lines.append(line_of_row(one, catalogue))
            rows[len(lines)] = number
    return Composed("\n".join(lines) + "\n", rows)


def line_of_row(row: Mapping[str, Any], catalogue: Catalogue) -> str:
    """One row in the trade's shorthand."""
    slug = str(row.get("exercise", "")) or "?"
    name = catalogue.get(slug).name.replace("/", " ").replace(",", "") if slug in catalogue else slug
    dose = " x ".join(str(row[key]) for key in ("sets", "reps") if row.get(key))
    effort = str(row.get("effort", ""))
    if effort and effort[0].isdigit():
        effort = f"@ {effort}"
    rest = f"rest {row['rest']}" if row.get("rest") else ""
    letter = f"{row['with']} " if row.get("with") else ""
    return ", ".join(one for one in (f"{letter}{name} {dose}".strip(), effort, rest) if one)
