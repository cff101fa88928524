"""A written block by form: rows of exercises and pieces of conditioning become the lines of its text."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from setwright.catalogue.store import Catalogue
from setwright.faults import Fault
from setwright.people.trainee import TrainingDay
from setwright.plan.shorthand_bouts import ALLOWED
from setwright.plan.shorthand_check import line_number
from setwright.plan.shorthand_line import Line, Unreadable
from setwright.plan.shorthand_targets import take_target
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
    ("intervals", "intervals"),
    ("steady", "steady work"),
    ("carries", "carries and sled by distance"),
)
PIECES = ("intervals", "steady", "carries")  # each movement is a line of its own
TARGETS = (
    ("pace per 500 m", "pace per 500 m"),
    ("pace per km", "pace per km"),
    ("watts", "watts"),
    ("heart rate", "heart rate"),
    ("max heart rate", "% of highest heart rate"),
    ("heart rate reserve", "% of heart-rate reserve"),
    ("threshold heart rate", "% of threshold heart rate"),
    ("whole sentences", "talk test: whole sentences"),
    ("a few words", "talk test: a few words"),
    ("single words", "talk test: single words"),
)
TALK = ("whole sentences", "a few words", "single words")
NEEDS = (
    "Every minute: minutes, or a start every so often and rounds. For time: rounds, and a cap in minutes if you like. "
    "As many rounds: minutes. Circuit: rounds, work, change. Intervals, carries: pieces, work, and a rest or a start "
    "every so often. Steady: minutes or a distance."
)
AMOUNT = "a time or a distance with its unit: 40 s, 2 min, 500 m"


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
            Choice("format", "How", choices=FORMATS, empty=None, usual=FORMATS[0][0], wide=True),
            Field("rounds", "Rounds or pieces", "5, or 21-15-9 for time"),
            Number("minutes", "Minutes", "of all; for time: the cap"),
            Field("work", "Work", "40 s, 500 m or 5 min"),
            Field("rest", "Rest, or to change", "20 s, or 2 min"),
            Field("every", "A start every", "90 s"),
            Choice("target", "How hard", choices=TARGETS, empty="not said"),
            Field("at", "Its numbers", "2:05-2:10, 150-170, 60-70 %"),
            Long(
                "movements",
                "Movements",
                "a line each: what a round asks, like 10 kettlebell swings @ 16 kg; else the name, like rower",
                wide=True,
            ),
        ),
    )
    head = (Name("title", "Title"), Number("weeks", "Weeks", "1 to 12", usual=4), Day("start", "Week 1 begins on"))
    return Form(
        (
            Section("head", "The block", head),
            Section("entries", "What is done", (rows,)),
            Section("bouts", "Conditioning", (bouts,), f"It ends its day. {NEEDS}", optional=True),
        ),
        {"exercises": names.listed()},
    )


@dataclass(frozen=True)
class Composed:
    """The text of some rows, and which field each of its lines came from; a day's own line came from none.

    A day is never wrong but for what stands below it, which says so itself. ``faults``: what rows say that no line
    could, or too little for one.
    """

    text: str
    field_of_line: Mapping[int, str]
    faults: tuple[Fault, ...] = ()

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
                written += lines_of_bout(f"bouts[{number}]", one)
        for field, line in [("", ""), ("", says), *written] if written else []:
            lines.append(line)
            fields[len(lines)] = field
    rows = enumerate(table.get("bouts", []), start=1)
    faults = tuple(fault for number, one in rows for fault in faults_of_bout(f"bouts[{number}]", one))
    return Composed("\n".join(lines) + "\n", fields, faults)


def lines_of_bout(at: str, row: Mapping[str, Any]) -> list[tuple[str, str]]:
    """The lines of a row of conditioning, each with its field: a heading with its movements, or a line for each."""
    movements = [line.strip().lstrip("-* ") for line in str(row.get("movements", "")).splitlines()]
    movements = [one for one in movements if one]
    if row.get("format") in PIECES:
        field = "" if faults_of_bout(at, row) else f"{at}.movements"  # what it lacks is said at its own fields
        said = [(field, f"{one} {amount_of_row(row)}") for one in movements or [NO_NAME]]
        return [("", ""), ("", "Conditioning"), *said]
    return [("", ""), (f"{at}.format", heading_of_row(row)), *((f"{at}.movements", f"- {one}") for one in movements)]


def amount_of_row(row: Mapping[str, Any]) -> str:
    """What each movement of a row of pieces does: ``6 x 500 m, rest 2 min, at 2:05 per 500 m``."""
    work = row.get("work") or f"{row.get('minutes', NO_NAME)} min"
    said = [f"{work}" if row.get("format") == "steady" else f"{row.get('rounds', NO_NAME)} x {work}"]
    said += [f"{word} {with_unit(row[key])}" for key, word in (("rest", "rest"), ("every", "every")) if row.get(key)]
    return ", ".join([*said, *target_of_row(row)])


def target_of_row(row: Mapping[str, Any]) -> list[str]:
    """How hard a row is meant to be, as it is written; none where nothing is said."""
    by, at = row.get("target"), str(row.get("at", ""))
    if by in TALK:
        return [f"talk test {by}"]
    if by in ("pace per 500 m", "pace per km"):
        return [f"at {at} {str(by).removeprefix('pace ')}"]
    number = re.sub(r"\s*(?:%|w|watts|bpm)$", "", at, flags=re.IGNORECASE)
    if by in ("watts", "heart rate"):
        return [f"{number} watts" if by == "watts" else f"heart rate {number}"]
    return [f"{number} % of {by}"] if by else []


def with_unit(value: object) -> str:
    """A time as typed; a bare number is seconds."""
    text = str(value)
    return f"{text} s" if text.isdigit() else text


def faults_of_bout(at: str, row: Mapping[str, Any]) -> list[Fault]:
    """What is wrong with a row of conditioning that no line would say, at its field."""
    found = []
    said, line = "".join(target_of_row(row)), Line()
    by, numbers = row.get("target"), str(row.get("at", ""))
    if numbers and (not by or by in TALK):
        found.append(("at", repr(numbers), "numbers where How hard is a pace, watts or a heart rate"))
    elif said:
        try:
            left = take_target(said, line)
        except Unreadable as wrong:
            found.append(("at", wrong.found, wrong.allowed))
        else:
            if line.target is None or left.strip(" ,"):
                like = "minutes and seconds: 2:05, or 2:05-2:10" if "pace" in str(by) else "a number, or two: 150-170"
                found.append(("at", repr(numbers) if numbers else "nothing", like))
    kind = row.get("format")
    if kind in PIECES:
        needs = ("work",) if kind == "steady" else ("rounds", "work")
        for key in needs:
            if not row.get(key) and not (kind == "steady" and row.get("minutes")):
                found.append((key, "nothing", AMOUNT if key == "work" else "how many pieces: 6"))
        if str(row.get("work", "")).isdigit():
            found.append(("work", repr(row["work"]), AMOUNT))
        for key in ("minutes",) if kind != "steady" else ("rounds", "rest", "every"):
            if row.get(key):
                found.append((key, repr(row[key]), f"nothing: {dict(FORMATS)[kind]} has none"))
        if kind == "steady" and row.get("work") and row.get("minutes"):
            found.append(("minutes", repr(row["minutes"]), "nothing beside a distance or time of work"))
        if row.get("rest") and row.get("every"):
            found.append(("every", repr(row["every"]), "a rest or a start every so often, not both"))
    return [Fault("the block", f"{at}.{key}", what, allowed) for key, what, allowed in found]


def heading_of_row(row: Mapping[str, Any]) -> str:
    """The heading of a piece of conditioning; a number that its format doesn't have stays, for the reader to refuse."""
    left = {key: row[key] for key in ("rounds", "minutes", "work", "rest", "every") if row.get(key)}
    name = row.get("format")
    if name == "every-minute" and "every" in left:
        said = f"every {with_unit(left.pop('every'))} for "
        said += f"{left.pop('rounds')} rounds" if "rounds" in left else f"{left.pop('minutes', NO_NAME)} min"
    elif name == "every-minute":
        said = f"every minute on the minute for {left.pop('minutes', None) or left.pop('rounds', NO_NAME)} min"
    elif name == "rounds-for-time":
        rounds = str(left.pop("rounds", 1))
        said = f"{rounds} for time" if "-" in rounds else f"{rounds} rounds for time"
        said += f", cap {left.pop('minutes')} min" if "minutes" in left else ""
    elif name == "as-many-rounds":
        said = f"as many rounds as possible in {left.pop('minutes', NO_NAME)} min"
    else:
        said = f"circuit, {left.pop('rounds', 1)} rounds, {with_unit(left.pop('work', '0'))} work"
        said += f", {with_unit(left.pop('rest'))} to change" if "rest" in left else ""
    return ", ".join([said, *(f"{key} {value}" for key, value in left.items()), *target_of_row(row)]) + ":"


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
