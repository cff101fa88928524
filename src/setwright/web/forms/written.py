"""A written block by form: rows of exercises and pieces of conditioning become the lines of its text."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from setwright.catalogue.store import Catalogue
from setwright.faults import Fault
from setwright.people.trainee import TrainingDay
from setwright.plan.shorthand_bouts import ALLOWED
from setwright.plan.shorthand_check import line_number
from setwright.web.forms.fields import Choice, Day, Field, Long, Name, Number, Rows
from setwright.web.forms.form import Form, Section
from setwright.web.forms.intake import DAYS, Names

ROWS_READY = 4
NO_NAME = "?"
FORMATS = (
    ("every-minute", "every minute on the minute"),
    ("rounds-for-time", "rounds for time"),
    ("as-many-rounds", "as many rounds as possible"),
    ("circuit", "circuit by station"),
)


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
            Field("effort", "Effort", "RPE 8, 70 %, 60 kg, or 2:05/500 m"),
            Field("rest", "Rest", "3 min, or 90 s"),
            Field("with", "Superset", "the same letter for two"),
        ),
    )
    bouts = Rows(
        "bouts",
        "Pieces",
        one="piece",
        carries=("day",),
        fields=(
            Choice("day", "Day", choices=choices, empty=None, usual=choices[0][0]),
            Choice("format", "How", choices=FORMATS, empty=None, usual=FORMATS[0][0]),
            Number("rounds", "Rounds", "for time, circuit"),
            Number("minutes", "Minutes", "for time: the cap"),
            Field("work", "At a station", "circuit: 40 s"),
            Field("change", "To change", "circuit: 20 s"),
            Long("movements", "Movements", "a line each, like: 10 kettlebell swings @ 16 kg", wide=True),
        ),
    )
    pieces = "They end their day. Intervals and steady work are entries above: rower, 4 sets of 500 m, rest 2 min."
    head = (Name("title", "Title"), Number("weeks", "Weeks", "1 to 12", usual=4), Day("start", "Week 1 begins on"))
    return Form(
        (
            Section("head", "The block", head),
            Section("entries", "What is done", (rows,)),
            Section("bouts", "Conditioning by the clock", (bouts,), pieces, optional=True),
        ),
        {"exercises": names.listed()},
    )


@dataclass(frozen=True)
class Composed:
    """The text of some rows, and which field each of its lines came from; a day's own line came from none.

    A day is never wrong but for what stands below it, which says so itself.
    """

    text: str
    field_of_line: Mapping[int, str]

    def at_rows(self, faults: Sequence[Fault]) -> tuple[Fault, ...]:
        """Faults of lines as faults of the fields that they came from."""
        return tuple(
            fault
            if line_number(fault) not in self.field_of_line
            else Fault("the block", self.field_of_line[line_number(fault)], *rest_of(fault))
            for fault in faults
            if self.field_of_line.get(line_number(fault)) != ""
        )


def rest_of(fault: Fault) -> tuple[str, str, str]:
    """What a fault says besides its place, in the words of a form."""
    found = "no name" if fault.found == repr(NO_NAME) else fault.found
    if fault.found == "'circuit'":  # without a time at a station it is read as an exercise
        return "a circuit without its times", ALLOWED["circuit"], ""
    hint = "Take one that the list suggests." if "setwright catalogue" in fault.hint else fault.hint
    return found, fault.allowed, hint


def composed(table: Mapping[str, Any], catalogue: Catalogue) -> Composed:
    """The text of a filled form: a title, the weeks, then each day with its entries and pieces in the order of rows."""
    lines = [f"Block: {table.get('title') or 'Written block'}", f"{table.get('weeks', 1)} weeks"]
    fields: dict[int, str] = {}
    for day, says in DAYS:
        written = [
            (f"entries[{number}].exercise", line_of_row(one, catalogue))
            for number, one in enumerate(table.get("entries", []), start=1)
            if one.get("day") == day
        ]
        for number, one in enumerate(table.get("bouts", []), start=1):
            if one.get("day") == day:
                movements = [line.strip().lstrip("-* ") for line in str(one.get("movements", "")).splitlines()]
                written += [("", ""), (f"bouts[{number}].format", heading_of_row(one))]
                written += [(f"bouts[{number}].movements", f"- {line}") for line in movements if line]
        for field, line in [("", ""), ("", says), *written] if written else []:
            lines.append(line)
            fields[len(lines)] = field
    return Composed("\n".join(lines) + "\n", fields)


def heading_of_row(row: Mapping[str, Any]) -> str:
    """The heading of a piece of conditioning; a number that its format doesn't have stays, for the reader to refuse."""
    left = {key: row[key] for key in ("rounds", "minutes", "work", "change") if key in row}
    name = row.get("format")
    if name == "every-minute":
        said = f"every minute on the minute for {left.pop('minutes', None) or left.pop('rounds', NO_NAME)} min"
    elif name == "rounds-for-time":
        said = f"{left.pop('rounds', 1)} rounds for time"
        said += f", cap {left.pop('minutes')} min" if "minutes" in left else ""
    elif name == "as-many-rounds":
        said = f"as many rounds as possible in {left.pop('minutes', NO_NAME)} min"
    else:
        work = str(left.pop("work", "0"))
        said = f"circuit, {left.pop('rounds', 1)} rounds, {work} {'s ' if work.isdigit() else ''}work"
        said += f", {left.pop('change')} to change" if "change" in left else ""
    return "".join([said, *(f", {key} {value}" for key, value in left.items()), ":"])


def line_of_row(row: Mapping[str, Any], catalogue: Catalogue) -> str:
    """One row in the trade's shorthand."""
    slug = str(row.get("exercise", "")) or NO_NAME
    name = catalogue.get(slug).name.replace("/", " ").replace(",", "") if slug in catalogue else slug
    dose = " x ".join(str(row[key]) for key in ("sets", "reps") if row.get(key))
    effort = str(row.get("effort", ""))
    if effort and effort[0].isdigit():
        effort = f"@ {effort}"
    rest = f"rest {row['rest']}" if row.get("rest") else ""
    letter = f"{row['with']} " if row.get("with") else ""
    return ", ".join(one for one in (f"{letter}{name} {dose}".strip(), effort, rest) if one)
