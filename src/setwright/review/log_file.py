"""The log as a file: CSV from a spreadsheet, or JSON. Text in, values or faults out.

One row a set; rows of a printed log that were never filled in are skipped. A session's own row leaves ``set``
empty and fills ``session_rpe`` and ``minutes``; what is said of a day (``wellness``, ``morning_pain``) stands in such a
row too, its own or that of the session. A set in parts may be written as such: ``12+5+4`` repetitions,
``50+40`` kg where the load dropped; the sum and the parts are kept. A correction is a new row whose ``corrects`` names
the ``row`` of the old one; nothing is ever overwritten.
"""

from __future__ import annotations

import csv
import io
import json
import re
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields, replace
from datetime import date
from typing import Any, TypeVar

from setwright.body.units import LB_KG
from setwright.catalogue.names import match_name, nearest
from setwright.catalogue.store import Catalogue
from setwright.faults import Fault, InputFaults
from setwright.review.score import ALLOWED, read_score
from setwright.review.wellness_scales import scales
from setwright.strength.logged import Log, LoggedSession, LoggedSet, Wellness
from setwright.strength.parts_done import numbers_in

COLUMNS = (
    "date",
    "week",
    "session",
    "exercise",
    "set",
    "dials",
    "load_kg",
    "load_means",
    "reps",
    "rir",
    "hold_s",
    "distance_m",
    "time_s",
    "ended_by",
    "pain",
    "pain_where",
    "pain_kind",
    "note",
    "session_rpe",
    "minutes",
    "time",
    "part",
    "wellness",
    "morning_pain",
    "bout",
    "score",
    "heart_rate",
    "row",
    "corrects",
)
CONDITIONING_COLUMNS = ("bout", "score", "heart_rate")  # printed only where there is conditioning to write in them
REQUIRED = ("date", "session", "exercise", "set")
# Columns of rows without a set: a log of these alone needs no others but the date.
OF_A_DAY = frozenset(
    {"date", "week", "session", "session_rpe", "minutes", "wellness", "morning_pain", "pain_where", "pain_kind"}
    | {"note", "time", "row", "corrects"}
)
ENDED_BY = ("planned", "form", "balance", "grip", "breath", "pain", "muscle")
PAIN_KINDS = ("sharp", "dull", "numb", "other")
PARTS = ("warm-up", "main", "skill", "assistance", "finisher", "loaded-mobility", "conditioning", "filler")
LOAD_MEANS = ("total", "each hand", "added", "assistance", "body")
MOST_BYTES = 5_000_000

T = TypeVar("T")


def read_log(text: str, file: str, catalogue: Catalogue, whole: bool = True) -> Log:
    """The log in a CSV or JSON text, corrections applied, ordered by date, session, exercise and set.

    whole : False where the file may correct rows that are kept elsewhere; its corrections are then left as rows
    A row that repeats an earlier one counts once.
    Raises InputFaults with every fault of the file: column or key, what was found, what is allowed.
    """
    return read_log_and_repeats(text, file, catalogue, whole)[0]


def read_log_and_repeats(text: str, file: str, catalogue: Catalogue, whole: bool = True) -> tuple[Log, tuple[str, ...]]:
    """The log as ``read_log`` gives it, and a sentence for each row that repeats an earlier one and counts once."""
    if not text.strip():
        raise InputFaults([Fault(file, "", "an empty file", "a log with a header row, or a JSON list of rows")])
    rows = _json_rows(text, file) if text.lstrip()[0] in "[{" else _csv_rows(text, file)
    faults: list[Fault] = []
    sets: list[LoggedSet] = []
    sessions: list[LoggedSession] = []
    seen: dict[str, list[tuple[str, int]]] = {}
    repeats: list[str] = []
    keys = {str(raw.get("row") or "").strip() for _, raw in rows}
    may_repeat = "" in keys or len(keys) < len(rows)
    for number, raw in rows:
        before = len(sets), len(sessions)
        read_row(number, raw, file, catalogue, faults, sets, sessions)
        if not may_repeat:
            continue
        for made, old in ((sets, before[0]), (sessions, before[1])):
            first = earlier(made[old:], seen, number)
            if first is not None:
                made.pop()
                repeats.append(f"row {number} is the same as row {first} and counts once.")
    if whole:
        faults += _broken_corrections(file, sets, sessions)
    if faults:
        raise InputFaults(faults)
    if not sets and not sessions:
        raise InputFaults(
            [
                Fault(
                    file,
                    "",
                    "no set that was filled in",
                    "at least one set or session",
                    "Write reps for what was done.",
                )
            ]
        )
    return apply_corrections(Log(tuple(sets), tuple(sessions))), tuple(repeats)


def earlier(
    made: Sequence[LoggedSet | LoggedSession], seen: dict[str, list[tuple[str, int]]], number: int
) -> int | None:
    """The number of the row that a new row repeats, or None; the new one is remembered.

    Rows repeat each other when they are the same in everything; one with a key of its own repeats only that key.
    """
    for one in made:
        alike = seen.setdefault(content_of(replace(one, row="")), [])
        for row, first in alike:
            if not one.row or row == one.row:
                return first
        alike.append((one.row, number))
    return None


def content_of(row: LoggedSet | LoggedSession) -> str:
    """All that a row says, as text. Fields that came later count only where they say something: old keys stay."""
    later = {one.name: getattr(row, one.name) for one in fields(row) if not one.repr}
    said = "".join(f", {name}={value!r}" for name, value in later.items() if value not in (None, ""))
    return repr(row) + said


def without_repeats(log: Log) -> tuple[Log, int]:
    """The log with rows that are the same counted once, and how many were left out."""
    seen: dict[str, list[tuple[str, int]]] = {}
    sets = tuple(one for one in log.sets if earlier((one,), seen, 0) is None)
    sessions = tuple(one for one in log.sessions if earlier((one,), seen, 0) is None)
    return Log(sets, sessions), len(log.sets) + len(log.sessions) - len(sets) - len(sessions)


def apply_corrections(log: Log) -> Log:
    """The log as it stands after its corrections, in order; corrected rows are left out, never changed."""
    both: list[LoggedSet | LoggedSession] = [*log.sets, *log.sessions]
    gone = {one.corrects for one in both if one.corrects}
    sets = sorted(
        (one for one in log.sets if not one.row or one.row not in gone),
        key=lambda one: (one.date, one.session, one.exercise, one.set, one.row),
    )
    sessions = sorted(
        (one for one in log.sessions if not one.row or one.row not in gone),
        key=lambda one: (one.date, one.session, one.row),
    )
    return Log(tuple(sets), tuple(sessions))


def _csv_rows(text: str, file: str) -> list[tuple[int, dict[str, str]]]:
    sample = text.splitlines()[0]
    delimiter = ";" if sample.count(";") > sample.count(",") else "\t" if "\t" in sample else ","
    reader = csv.reader(io.StringIO(text.lstrip("\ufeff")), delimiter=delimiter)
    header = [name.strip().lower() for name in next(reader)]
    faults = []
    known = (*COLUMNS, "load_lb")
    for name in header:
        if name not in known:
            close = nearest(name, known, 1)
            hint = f"Did you mean {close[0]}?" if close else ""
            faults.append(Fault(file, f"column {name!r}", "an unknown column", ", ".join(known), hint))
    tells_sets = bool(set(header) - OF_A_DAY)
    for name in REQUIRED if tells_sets else ("date",):
        if name not in header:
            faults.append(Fault(file, f"column {name!r}", "no such column", "the columns " + ", ".join(REQUIRED)))
    if len(set(header)) < len(header):
        twice = sorted({name for name in header if header.count(name) > 1})
        faults.append(Fault(file, "header", f"columns given twice: {', '.join(twice)}", "each column once"))
    rows = []
    for number, cells in enumerate(reader, start=2):
        if not any(cell.strip() for cell in cells):
            continue
        if len(cells) != len(header):
            faults.append(Fault(file, f"row {number}", f"{len(cells)} cells", f"{len(header)} cells, as in the header"))
            continue
        row = {name: cell.strip().lstrip("'") for name, cell in zip(header, cells, strict=True)}
        rows.append((number, {**dict.fromkeys(REQUIRED, ""), **row}))
    if faults:
        raise InputFaults(faults)
    return rows


def _json_rows(text: str, file: str) -> list[tuple[int, dict[str, Any]]]:
    try:
        data = json.loads(text)
    except RecursionError:
        raise InputFaults([Fault(file, "", "JSON nested too deep", "a list of rows, or {rows: [...]}")]) from None
    except json.JSONDecodeError as error:
        found = f"no JSON: {error.msg} at line {error.lineno}, column {error.colno}"
        raise InputFaults([Fault(file, "", found, "a list of rows, or {rows: [...]}")]) from None
    rows = data.get("rows") if isinstance(data, dict) else data
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise InputFaults([Fault(file, "", type(data).__name__, "a list of rows, or {rows: [...]}")])
    known = frozenset((*COLUMNS, "load_lb"))
    faults = [
        Fault(file, f"row {number}: {key}", "an unknown key", ", ".join(COLUMNS))
        for number, row in enumerate(rows, start=1)
        for key in row
        if key not in known
    ]
    if faults:
        raise InputFaults(faults)
    return [(number, row) for number, row in enumerate(rows, start=1)]


def read_row(
    number: int,
    raw: Mapping[str, Any],
    file: str,
    catalogue: Catalogue,
    faults: list[Fault],
    sets: list[LoggedSet],
    sessions: list[LoggedSession],
) -> None:
    """Reads one row into ``sets`` or ``sessions``, or adds its faults."""
    before = len(faults)
    raw = with_sums(raw)

    def fault(column: str, found: object, allowed: str, hint: str = "") -> None:
        faults.append(Fault(file, f"row {number}: {column}", repr(found) if found != "" else "nothing", allowed, hint))

    def number_in(column: str, low: float, high: float, unit: str, whole: bool = False) -> float | None:
        value = raw.get(column)
        if value is None or value == "":
            return None
        try:
            found = float(str(value).replace(",", "."))
        except ValueError:
            fault(column, value, f"a number from {low:g} to {high:g} {unit}".strip())
            return None
        if not low <= found <= high or (whole and found != int(found)):
            kind = "a whole number" if whole else "a number"
            fault(column, value, f"{kind} from {low:g} to {high:g} {unit}".strip())
            return None
        return found

    def one_of(column: str, allowed: Sequence[str]) -> str | None:
        value = str(raw.get(column) or "").strip().lower()
        if not value:
            return None
        if value not in allowed:
            close = nearest(value, allowed, 1)
            fault(column, value, ", ".join(allowed), f"Did you mean {close[0]}?" if close else "")
            return None
        return value

    def text(column: str) -> str:
        return str(raw.get(column) or "").strip()

    def score() -> str:
        value = text("score")
        if value and read_score(value) is None:
            fault("score", value, ALLOWED)
        return value

    def clock(column: str) -> str:
        value = text(column)
        found = re.fullmatch(r"([01]?\d|2[0-3]):([0-5]\d)(?::00)?", value)
        if value and not found:
            fault(column, value, "a time of day as hours:minutes, from 00:00 to 23:59")
        return f"{int(found[1]):02d}:{found[2]}" if found else ""

    day = text("date")
    try:
        when = date.fromisoformat(day)
    except ValueError:
        fault("date", day, "a date as year-month-day, like 2026-03-09")
        when = date.min
    week = number_in("week", 1, 60, "", whole=True)
    is_session = text("set") == "" and text("exercise") == ""
    if is_session:
        morning = number_in("morning_pain", 0, 10, "", whole=True)
        told = LoggedSession(
            date=when,
            week=None if week is None else int(week),
            session=text("session"),
            session_rpe=number_in("session_rpe", 0, 10, ""),
            minutes=number_in("minutes", 0, 600, "min"),
            note=text("note"),
            row=text("row"),
            corrects=text("corrects") or None,
            time=clock("time"),
            wellness=read_wellness(raw.get("wellness"), fault),
            morning_pain=None if morning is None else int(morning),
            pain_where=text("pain_where"),
            pain_kind=one_of("pain_kind", PAIN_KINDS),  # type: ignore[arg-type]
            bout=text("bout").upper(),
            score=score(),
            heart_rate=number_in("heart_rate", 30, 240, "beats a minute"),
        )
        if told.score and not told.bout:
            fault(
                "bout", "", "the letter of the bout on the sheet, like A", "A score of one exercise stands in its row."
            )
        for column in ("part", "pain"):
            if text(column):
                hint = "Pain on getting up is morning_pain." if column == "pain" else ""
                fault(column, raw[column], "empty in a row without an exercise", hint)
        if len(faults) == before and says_something(told):
            sessions.append(told)
        return
    for column in ("wellness", "morning_pain", "bout"):
        if raw.get(column) not in (None, ""):
            fault(
                column, raw[column], "empty in the row of a set", "It belongs in a row of its own: date, no exercise."
            )
    name = text("exercise")
    slug = name
    if name not in catalogue:
        match = match_name(name, catalogue)
        if match.slug is not None and match.sure:
            slug = match.slug
        else:
            proposals = ", ".join(match.proposals[:3])
            fault("exercise", name, "an exercise of the catalogue", f"Nearest: {proposals}." if proposals else "")
    else:
        slug = catalogue.get(name).slug
    count = number_in("set", 1, 99, "", whole=True)
    if count is None and len(faults) == before:
        fault("set", raw.get("set", ""), "the number of the set, from 1")
    load = number_in("load_kg", -300, 1500, "kg")
    if raw.get("load_lb") not in (None, ""):
        pounds = number_in("load_lb", -660, 3300, "lb")
        if raw.get("load_kg") not in (None, ""):
            fault("load_lb", raw["load_lb"], "empty where load_kg is filled", "Write each load once, in kg or in lb.")
        load = None if pounds is None else pounds * LB_KG
    reps = number_in("reps", 0, 300, "", whole=True)
    pain = number_in("pain", 0, 10, "", whole=True)
    dials = {**_pairs(raw.get("dials"), fault), **parts_written(raw)}
    made = LoggedSet(
        date=when,
        week=None if week is None else int(week),
        session=text("session"),
        exercise=slug,
        set=int(count or 1),
        load_kg=load,
        load_means=one_of("load_means", LOAD_MEANS),  # type: ignore[arg-type]
        reps=None if reps is None else int(reps),
        rir=number_in("rir", 0, 20, ""),
        hold_s=number_in("hold_s", 0, 3600, "s"),
        distance_m=number_in("distance_m", 0, 50000, "m"),
        time_s=number_in("time_s", 0, 36000, "s"),
        ended_by=one_of("ended_by", ENDED_BY),  # type: ignore[arg-type]
        pain=None if pain is None else int(pain),
        pain_where=text("pain_where"),
        pain_kind=one_of("pain_kind", PAIN_KINDS),  # type: ignore[arg-type]
        note=text("note"),
        dials=dials,
        row=text("row"),
        corrects=text("corrects") or None,
        time=clock("time"),
        part=one_of("part", PARTS),  # type: ignore[arg-type]
        score=score(),
        heart_rate=number_in("heart_rate", 30, 240, "beats a minute"),
    )
    if len(faults) == before and is_filled(made):
        sets.append(made)


def says_something(row: LoggedSession) -> bool:
    """True when a row without an exercise tells anything; those of a printed log that stay empty do not."""
    told = (row.session_rpe, row.minutes, row.wellness, row.morning_pain, row.pain_kind)
    return any(value is not None for value in told) or bool(row.note or row.pain_where or row.score)


# Cells that may hold the parts of a set, like 12+5+4, and the dial that keeps them; loads keep their first, others sum.
PART_CELLS = {"reps": "parts", "hold_s": "holds_s", "load_kg": "loads_kg", "load_lb": "loads_kg"}
WRITTEN = "written parts"


def with_sums(raw: Mapping[str, Any]) -> Mapping[str, Any]:
    """The row with the sum of each cell in parts (of loads the first), the parts kept beside it."""
    found = {name: numbers_in(raw.get(name)) for name in PART_CELLS}
    if not any(found.values()):
        return raw
    made: dict[str, Any] = dict(raw)
    written: dict[str, str] = {}
    for name, parts in found.items():
        if parts:
            is_load = name.startswith("load")
            made[name] = f"{parts[0] if is_load else sum(parts):g}"
            factor = LB_KG if name == "load_lb" else 1.0
            written[PART_CELLS[name]] = "+".join(f"{round(factor * one, 2):g}" for one in parts)
    made[WRITTEN] = written
    return made


def parts_written(raw: Mapping[str, Any]) -> dict[str, object]:
    """The dials of the cells that were written in parts."""
    return dict(raw.get(WRITTEN) or {})


def is_filled(row: LoggedSet) -> bool:
    """True when somebody wrote what was done; the rows of a printed log that stay empty are no sets."""
    done = (row.reps, row.rir, row.hold_s, row.distance_m, row.time_s, row.pain, row.ended_by)
    return any(value is not None for value in done) or bool(row.note or row.score)


def _pairs(value: Any, fault: Callable[[str, object, str], None], column: str = "dials") -> dict[str, object]:
    """A cell of named values, dials or wellness: a JSON object, or ``name=value; name=value``."""
    if value is None or value == "":
        return {}
    if isinstance(value, dict):
        return dict(value)
    text = str(value).strip()
    if text.startswith("{"):
        try:
            data = json.loads(text)
        except (json.JSONDecodeError, RecursionError):
            fault(column, text, "a JSON object, or name=value pairs with semicolons")
            return {}
        return dict(data)
    found: dict[str, object] = {}
    for piece in text.split(";"):
        name, equals, content = piece.partition("=")
        if not equals:
            fault(column, text, "a JSON object, or name=value pairs with semicolons")
            return {}
        try:
            found[name.strip()] = json.loads(content)
        except (json.JSONDecodeError, RecursionError):
            found[name.strip()] = content.strip()
    return found


def read_wellness(value: Any, fault: Callable[[str, object, str], None]) -> Wellness | None:
    """The questionnaire of a day: its scale and an answer to every question of it, or its faults."""
    said: list[str] = []

    def broken(column: str, found: object, allowed: str) -> None:
        said.append(column)
        fault(column, found, allowed)

    given = _pairs(value, broken, "wellness")
    if not given or said:
        return None
    known = scales()
    name = str(given.pop("scale", "")).strip().lower()
    scale = next((one for one in known.values() if name in (one.name, *one.also_called)), None)
    if scale is None:
        fault("wellness", name, "scale= one of: " + ", ".join(known))
        return None
    questions = ", ".join(scale.questions)
    answers: dict[str, float] = {}
    for key, answer in given.items():
        if key not in scale.questions:
            fault("wellness", key, f"the questions of {scale.name}: {questions}")
        elif not scale.allows(answer):
            fault("wellness", f"{key}={answer}", f"{scale.steps_words} for {key}")
        else:
            answers[key] = float(answer)  # type: ignore[arg-type]
    missing = [key for key in scale.questions if key not in given]
    if missing:
        fault("wellness", f"no {', '.join(missing)}", f"an answer to each of: {questions}")
    return None if missing or len(answers) < len(given) else Wellness(scale.name, answers)


def _broken_corrections(file: str, sets: Sequence[LoggedSet], sessions: Sequence[LoggedSession]) -> list[Fault]:
    both: list[LoggedSet | LoggedSession] = [*sets, *sessions]
    rows = Counter(one.row for one in both if one.row)
    faults = [
        Fault(file, f"row key {row!r}", "the same key twice", "a key of its own for each row")
        for row in sorted(row for row, count in rows.items() if count > 1)
    ]
    faults += [
        Fault(file, f"corrects {one.corrects!r}", "a row that is not in the log", "the key of an earlier row")
        for one in both
        if one.corrects and one.corrects not in rows
    ]
    return faults


def as_rows(log: Log) -> list[dict[str, object]]:
    """The log as JSON rows in the published columns, sets first, empty fields left out."""
    rows: list[dict[str, object]] = []
    for one in log.sets:
        row: dict[str, object] = {
            name: getattr(one, name)
            for name in COLUMNS
            if hasattr(one, name) and getattr(one, name) not in (None, "", {})
        }
        row["date"] = one.date.isoformat()
        rows.append(row)
    for session in log.sessions:
        row = {
            name: getattr(session, name)
            for name in COLUMNS
            if hasattr(session, name) and getattr(session, name) not in (None, "")
        }
        row["date"] = session.date.isoformat()
        if session.wellness is not None:
            row["wellness"] = {"scale": session.wellness.scale, **session.wellness.answers}
        rows.append(row)
    return rows


def merged(first: Log, second: Log) -> Log:
    """Two logs as one; rows with the same key count once, and corrections reach across."""
    seen: set[str] = set()

    def fresh(rows: Sequence[T]) -> list[T]:
        kept = []
        for one in rows:
            key = getattr(one, "row", "")
            if key and key in seen:
                continue
            if key:
                seen.add(key)
            kept.append(one)
        return kept

    return apply_corrections(
        Log(tuple(fresh([*first.sets, *second.sets])), tuple(fresh([*first.sessions, *second.sessions])))
    )


def with_row_keys(log: Log) -> Log:
    """Every row with a key of its own, made from its content where it has none, so that a replay can't double it."""
    import hashlib

    counts: dict[str, int] = {}

    def key(one: LoggedSet | LoggedSession) -> str:
        if one.row:
            return one.row
        digest = hashlib.sha256(content_of(one).encode()).hexdigest()[:12]
        counts[digest] = counts.get(digest, 0) + 1
        return f"{digest}-{counts[digest]}"

    return Log(
        tuple(replace(one, row=key(one)) for one in log.sets),
        tuple(replace(one, row=key(one)) for one in log.sessions),
    )
