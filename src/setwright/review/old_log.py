"""An old spreadsheet as a log: which column says what, and what each row becomes.

Two ideas carry this module. One: a table is read by a mapping that the coach sees and corrects; nothing is guessed
behind their back. Two: what a row becomes is judged by the reader of log files, so an old log and a new one keep the
same rules.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from typing import Any, Literal

from setwright.catalogue.names import match_name, plain
from setwright.catalogue.store import Catalogue
from setwright.faults import Fault, InputFaults
from setwright.review.log_file import read_log
from setwright.strength.logged import Log

DateOrder = Literal["day first", "month first", "year first"]
LEFT_OUT = "-"  # the answer for a name whose rows are left out
MOST_SETS = 20
MOST_YEARS = 80

# What a column can say, in the order in which a page offers it.
FIELDS: Mapping[str, str] = {
    "": "nothing, leave it out",
    "date": "date",
    "exercise": "exercise",
    "set": "number of the set",
    "sets": "how many sets alike",
    "reps": "repetitions",
    "load": "load",
    "rpe": "effort as RPE",
    "rir": "effort as RIR",
    "hold_s": "seconds held",
    "time_s": "seconds of work",
    "distance_m": "metres",
    "pain": "pain, 0 to 10",
    "note": "note",
    "session": "name of the session",
    "session_rpe": "effort of the session",
    "minutes": "minutes of the session",
}
# Words that head such columns in the trade's own spreadsheets (common practice, no published source).
HEADS: Mapping[str, tuple[str, ...]] = {
    "date": ("date", "day", "when", "datum", "fecha"),
    "exercise": ("exercise", "lift", "movement", "name", "exercise name"),
    "set": ("set", "set number", "set no", "set order", "set index"),
    "sets": ("sets", "number of sets", "no of sets"),
    "reps": (
        "reps",
        "rep",
        "repetitions",
        "reps done",
        "actual reps",
        "sets x reps",
        "sets reps",
        "sets and reps",
        "work",
    ),
    "load": ("load", "weight", "kg", "lb", "lbs", "load kg", "load lb", "weight kg", "weight lb", "weight lbs"),
    "rpe": ("rpe", "effort"),
    "rir": ("rir", "reserve", "reps in reserve"),
    "hold_s": ("hold", "hold s", "seconds held"),
    "time_s": ("time", "seconds", "duration", "time s"),
    "distance_m": ("distance", "metres", "meters", "distance m"),
    "pain": ("pain",),
    "note": ("note", "notes", "comment", "comments", "remarks"),
    "session": ("session", "workout", "workout name"),
    "session_rpe": ("session rpe",),
    "minutes": ("minutes", "session minutes"),
}


@dataclass(frozen=True)
class Sheet:
    """A table of texts with the names of its columns. Dates of a spreadsheet stand in it as year-month-day.

    first : the number that the first of ``rows`` has in the spreadsheet
    title : the name of the sheet, where the file has several
    """

    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    first: int = 2
    title: str = ""


@dataclass(frozen=True)
class Columns:
    """How a table is read: the field of each column, how dates are written, the unit of loads, answers for names.

    same_as_above : an empty date or exercise is that of the row above
    names : text of the table -> slug, or ``LEFT_OUT``
    """

    fields: tuple[str, ...]
    order: DateOrder = "day first"
    unit: Literal["kg", "lb"] = "kg"
    same_as_above: bool = True
    names: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Unsettled:
    """A name of the table that is no sure exercise: its rows, the first of them, and what it may mean, best first."""

    text: str
    rows: int
    proposals: tuple[str, ...]
    first: int


@dataclass(frozen=True)
class OldLog:
    """What a table becomes: the log, its names that are not settled, its faults by row, how many rows say nothing."""

    log: Log
    unsettled: tuple[Unsettled, ...]
    faults: tuple[Fault, ...]
    left_out: int
    read_as: Mapping[str, str]


def guessed_columns(sheet: Sheet, unit: Literal["kg", "lb"] = "kg") -> Columns:
    """The likely field of each column by its name, and how its dates are likely written."""
    taken: set[str] = set()
    fields = []
    for head in sheet.header:
        words = " ".join(re.sub(r"[^a-z0-9]+", " ", head.lower()).split())
        found = next((key for key, known in HEADS.items() if words in known or words == key.replace("_", " ")), "")
        fields.append("" if found in taken else found)
        taken.add(found)
    heads = " ".join(sheet.header).lower()
    if re.search(r"\blbs?\b|pounds?", heads):
        unit = "lb"
    elif re.search(r"\bkgs?\b|load_kg", heads):
        unit = "kg"
    made = Columns(tuple(fields), unit=unit)
    return Columns(made.fields, order_of(sheet, made), unit)


def order_of(sheet: Sheet, columns: Columns) -> DateOrder:
    """How dates are likely written: by the first one that leaves no doubt, else as where that unit is usual.

    A year of four digits in front is read as such whatever the order: it tells nothing of the other dates.
    """
    usual: DateOrder = "month first" if columns.unit == "lb" else "day first"
    if "date" not in columns.fields:
        return usual
    at = columns.fields.index("date")
    dates = [found for row in sheet.rows if len(found := re.findall(r"\d+", row[at])[:3]) == 3]
    others = [found for found in dates if len(found[0]) != 4]
    if dates and not others:
        return "year first"
    for found in others:
        if len(found) >= 2 and int(found[0]) > 12:
            return "day first"
        if len(found) >= 2 and int(found[1]) > 12:
            return "month first"
    return usual


# The months by how their names begin, in English, German, Dutch, French and Spanish.
MONTHS: Mapping[str, int] = {
    **dict.fromkeys(("jan", "ene"), 1),
    **dict.fromkeys(("feb", "fév", "fev"), 2),
    **dict.fromkeys(("mar", "mär", "mrt", "maa"), 3),
    **dict.fromkeys(("apr", "avr", "abr"), 4),
    **dict.fromkeys(("may", "mai", "mei"), 5),
    **dict.fromkeys(("jun", "juin"), 6),
    **dict.fromkeys(("jul", "juil"), 7),
    **dict.fromkeys(("aug", "aoû", "ago"), 8),
    "sep": 9,
    **dict.fromkeys(("oct", "okt"), 10),
    "nov": 11,
    **dict.fromkeys(("dec", "dez", "déc", "dic"), 12),
}
# Days counted from here are how a spreadsheet keeps a date inside; those from 1954 to 2119 are taken for one.
# Source: ECMA-376, part 1, 18.17.4.1 (1900 date base), from memory.
SERIAL_START, SERIALS = date(1899, 12, 30), range(20_000, 80_000)


def date_in_words(text: str) -> date | None:
    """The date of a text that names its month, in any order: ``Tue 3 Feb 2026``, ``Feb 3rd, 2026``, ``3. März 26``."""
    words = re.findall(r"[^\W\d_]{3,}", text.lower())
    months = [month for word in words if (month := MONTHS.get(word[:4]) or MONTHS.get(word[:3]))]
    numbers = re.findall(r"\d+", text)[:2]
    if not months or len(numbers) < 2:
        return None
    day, year = reversed(numbers) if len(numbers[0]) == 4 else numbers
    return date_if_any(int(year), months[-1], int(day))  # a month stands behind its weekday, where both are said


def date_if_any(year: int, month: int, day: int) -> date | None:
    """That day, or None where the calendar has none; a year of two digits is one of this century."""
    try:
        return date(year + 2000 if year < 100 else year, month, day)
    except ValueError:
        return None


def date_of(text: str, order: DateOrder) -> date | None:
    """The date in a text, or None."""
    if serial := re.fullmatch(r"(\d{5})(?:[.,]\d+)?", text):
        return SERIAL_START + timedelta(days=int(serial[1])) if int(serial[1]) in SERIALS else None
    if in_words := date_in_words(text):
        return in_words
    found = [int(one) for one in re.findall(r"\d+", text)[:3]]
    if len(found) < 3:
        return None
    if len(re.findall(r"\d+", text)[0]) == 4 or order == "year first":
        year, month, day = found
    elif order == "day first":
        day, month, year = found
    else:
        month, day, year = found
    return date_if_any(year, month, day)


@dataclass
class _Row:
    """One row of the table as named texts."""

    number: int
    texts: dict[str, str]


def read_old_log(sheet: Sheet, columns: Columns, catalogue: Catalogue, today: date, file: str = "table") -> OldLog:
    """What a table becomes under a mapping. Nothing is raised: every fault is in the answer, by the row of the table.

    Rows have the numbers that they have in the spreadsheet. What would be after ``today`` was not done.
    """
    missing = [one for one in ("date", "exercise") if one not in columns.fields]
    if missing:
        wrong_columns = [Fault(file, f"column {one!r}", "none", f"a column that says the {one}") for one in missing]
        return OldLog(Log(), (), tuple(wrong_columns), 0, {})
    rows = named_rows(sheet, columns)
    names = settled_names(rows, columns, catalogue)
    faults: list[Fault] = [fault for row in rows for fault in formulas_of(row, file)]
    without_value = {row_number(one) for one in faults}
    made: list[dict[str, Any]] = []
    sources: list[int] = []
    left_out = 0
    counts: dict[tuple[str, str], int] = {}
    for row in rows:
        if row.number in without_value:
            continue
        name = row.texts.get("exercise", "")
        slug = names.get(plain(name), "")
        if name and slug in ("", LEFT_OUT):
            left_out += slug == LEFT_OUT
            continue
        before = len(faults)
        found = sets_of(row, slug, columns, today, counts, faults, file)
        if len(faults) == before:
            left_out += not found
            made += found
            sources += [row.number] * len(found)
    log, wrong = judged(made, sources, catalogue, file)
    unsettled = unsettled_names([row for row in rows if row.number not in without_value], names, catalogue)
    in_order = [in_column(one, sheet, columns) for one in sorted([*faults, *wrong], key=row_number)]
    return OldLog(log, unsettled, tuple(in_order), left_out, readings(rows, names, catalogue))


def formulas_of(row: _Row, file: str) -> list[Fault]:
    """The formulas of a row whose values the file does not hold."""
    hint = "Open the table in your spreadsheet and save it again, or write the value."
    return [
        Fault(file, f"row {row.number}: {name}", f"the formula {text!r} without its value", "a value", hint)
        for name, text in row.texts.items()
        if re.match(r"=\S", text)
    ]


# What is judged under another name than that of the column it came from.
CAME_FROM: Mapping[str, tuple[str, ...]] = {"load_kg": ("load",), "load_lb": ("load",), "rir": ("rir", "rpe")}


def in_column(fault: Fault, sheet: Sheet, columns: Columns) -> Fault:
    """A fault of a row with the letter and name of its column in the table: ``row 5, column C (Weight): load``."""
    hit = re.fullmatch(r"row (\d+)\W+(\w+)", fault.path)
    if hit is None:
        return fault
    known = [name for name in CAME_FROM.get(hit[2], (hit[2],)) if name in columns.fields]
    if not known:
        return fault
    at = columns.fields.index(known[0])
    return replace(fault, path=f"row {hit[1]}, column {column_letter(at)} ({sheet.header[at]}): {known[0]}")


def column_letter(at: int) -> str:
    """The letters that a spreadsheet shows over a column: A, B, up to Z, then AA.

    >>> [column_letter(at) for at in (0, 25, 26, 52)]
    ['A', 'Z', 'AA', 'BA']
    """
    return (column_letter(at // 26 - 1) if at >= 26 else "") + chr(ord("A") + at % 26)


def row_number(fault: Fault) -> int:
    """The row that a fault is of; 0 for one of the whole table."""
    hit = re.match(r"row (\d+)", fault.path)
    return int(hit[1]) if hit else 0


def named_rows(sheet: Sheet, columns: Columns) -> list[_Row]:
    """The rows with texts by field; an empty date or exercise takes that of the row above where the coach says so."""
    found: list[_Row] = []
    last: dict[str, str] = {}
    for number, cells in enumerate(sheet.rows, start=sheet.first):
        texts = {name: cell.strip() for name, cell in zip(columns.fields, cells, strict=False) if name and cell.strip()}
        if not texts or tuple(cells) == sheet.header:  # the names of the columns once more, as above a new month
            continue
        if columns.same_as_above:
            is_session = "session_rpe" in texts or "minutes" in texts
            texts.setdefault("date", last.get("date", ""))
            if texts["date"] == last.get("date") and "exercise" in last and not is_session:
                texts.setdefault("exercise", last["exercise"])
            texts = {name: text for name, text in texts.items() if text}
            last = {"date": texts.get("date", "")}
        last.update({name: texts[name] for name in ("date", "exercise") if name in texts})
        found.append(_Row(number, texts))
    return found


def settled_names(rows: Sequence[_Row], columns: Columns, catalogue: Catalogue) -> dict[str, str]:
    """The slug of each name, by its plain form: the coach's answer, else a sure match; nothing where there is none."""
    answers = {plain(text): answer for text, answer in columns.names.items() if answer}
    found: dict[str, str] = {}
    for name in dict.fromkeys(row.texts["exercise"] for row in rows if "exercise" in row.texts):
        answer = answers.get(plain(name), "")
        if answer == LEFT_OUT or answer in catalogue:
            found[plain(name)] = answer
        elif name in catalogue:
            found[plain(name)] = catalogue.get(name).slug
        else:
            match = match_name(answer or name, catalogue)
            if match.slug is not None and match.sure:
                found[plain(name)] = match.slug
    return found


def unsettled_names(rows: Sequence[_Row], names: Mapping[str, str], catalogue: Catalogue) -> tuple[Unsettled, ...]:
    """The names without a sure exercise, those with most rows first."""
    found: dict[str, list[int]] = {}
    for row in rows:
        name = row.texts.get("exercise", "")
        if name and plain(name) not in names:
            found.setdefault(name, []).append(row.number)
    ranked = sorted(found, key=lambda one: (-len(found[one]), one))
    return tuple(Unsettled(one, len(found[one]), match_name(one, catalogue).proposals, found[one][0]) for one in ranked)


def readings(rows: Sequence[_Row], names: Mapping[str, str], catalogue: Catalogue) -> dict[str, str]:
    """Names of the table that were read as an exercise of another name, with that name: for the coach to see."""
    found: dict[str, str] = {}
    for row in rows:
        name = row.texts.get("exercise", "")
        slug = names.get(plain(name), "")
        if slug and slug != LEFT_OUT and plain(name) != plain(catalogue.get(slug).name):
            found[name] = slug
    return found


NUMBER = r"[-+]?\d+(?:[.,]\d+)?"
SETS_TIMES = re.compile(r"(\d{1,2})\s*[x×*]\s*(\d{1,3})")
BEHIND_AT = re.compile(rf"(.*\d)\s*@\s*(rpe)?\s*({NUMBER})\s*(kgs?|kilos?|lbs?|pounds?)?", re.IGNORECASE)
BODY = re.compile(r"(?:bw|body\s*-?weight|body)\b", re.IGNORECASE)


def sets_of(
    row: _Row,
    slug: str,
    columns: Columns,
    today: date,
    counts: dict[tuple[str, str], int],
    faults: list[Fault],
    file: str,
) -> list[dict[str, Any]]:
    """The sets of a row as rows of a log; a row without an exercise tells of its session. Adds its faults."""
    when = date_of(row.texts.get("date", ""), columns.order)
    if when is None:
        found = repr(row.texts["date"]) if "date" in row.texts else "nothing"
        faults.append(Fault(file, f"row {row.number}: date", found, f"a date with its year, {columns.order}"))
        return []
    if not today.year - MOST_YEARS <= when.year or when > today:
        allowed = f"a day from {today.year - MOST_YEARS} up to today, {today.isoformat()}"
        faults.append(Fault(file, f"row {row.number}: date", repr(row.texts["date"]), allowed))
        return []
    shared: dict[str, Any] = {"date": when.isoformat(), "session": row.texts.get("session", "")}
    if not slug:
        told: dict[str, Any] = {key: row.texts[key] for key in ("session_rpe", "minutes", "note") if key in row.texts}
        return [{**shared, **told}] if told else []
    for key in ("hold_s", "time_s", "distance_m", "pain", "note"):
        if key in row.texts:
            shared[key] = row.texts[key]
    before = len(faults)
    part_at(row, faults, file)
    load = load_of(row, columns, faults, file)
    rir = reserve_of(row, faults, file)
    reps = reps_of(row, faults, file)
    if len(faults) > before:
        return []
    stated = row.texts.get("set", "")
    made = session_once(row, when, counts) if reps else []
    for one in reps:
        number = counts[when.isoformat(), slug] = counts.get((when.isoformat(), slug), 0) + 1
        values = {**shared, **load, **rir, "exercise": slug, "set": stated if stated and len(reps) == 1 else number}
        made.append(values if one is None else {**values, "reps": one})
    return made


def part_at(row: _Row, faults: list[Fault], file: str) -> None:
    """Parts what stands behind an @ of the repetitions: ``3x5 @ 80`` is a load, ``3x5 @ RPE 8`` an effort.

    A number up to 10 without a word could be either; that is a fault.
    """
    hit = BEHIND_AT.fullmatch(row.texts.get("reps", ""))
    if hit is None:
        return
    reps, rpe, number, unit = hit.groups()
    other = "rpe" if rpe else "load"
    if not rpe and not unit and float(number.replace(",", ".")) <= 10:
        faults.append(Fault(file, f"row {row.number}: reps", repr(hit[0]), f"{reps} @ RPE 8, or {reps} @ 8 kg"))
    elif other in row.texts:
        allowed = f"the {other} in one place only"
        faults.append(Fault(file, f"row {row.number}: reps", f"{hit[0]!r} beside {row.texts[other]!r}", allowed))
    else:
        row.texts.update({"reps": reps, other: number + (unit or "")})


def session_once(row: _Row, when: date, counts: dict[tuple[str, str], int]) -> list[dict[str, Any]]:
    """What a row says of its whole session, the first time that it does."""
    told: dict[str, Any] = {key: row.texts[key] for key in ("session_rpe", "minutes") if key in row.texts}
    session = row.texts.get("session", "")
    place = (when.isoformat(), f"session {session}")
    counts[place] = counts.get(place, 0) + bool(told)
    return [{"date": when.isoformat(), "session": session, **told}] if told and counts[place] == 1 else []


def load_of(row: _Row, columns: Columns, faults: list[Fault], file: str) -> dict[str, Any]:
    """The load of a row under the key of its unit; body weight alone is none."""
    text = row.texts.get("load", "")
    if not text:
        return {}
    rest = BODY.sub("", text).strip(" +") if BODY.match(text) else text
    if not rest:
        return {}
    hit = re.fullmatch(rf"({NUMBER})\s*(kg|kgs|kilos?|lbs?|pounds?)?", rest, re.IGNORECASE)
    twofold = "Write it without the comma, or with a point." if re.search(r",\d{3}", rest) else ""
    if hit is None or twofold:  # 1,250 may be a thousand, or one and a quarter
        allowed = "a number, with kg or lb where it differs"
        faults.append(Fault(file, f"row {row.number}: load", repr(text), allowed, twofold))
        return {}
    unit = columns.unit if not hit[2] else "lb" if hit[2].lower()[0] in "lp" else "kg"
    load = hit[1].replace(",", ".")
    if rest != text and load.startswith("-"):  # less than the body alone
        return {f"load_{unit}": load[1:], "load_means": "assistance"}
    return {f"load_{unit}": load}


def reserve_of(row: _Row, faults: list[Fault], file: str) -> dict[str, Any]:
    """Repetitions left in reserve: as written, or ten less the RPE."""
    if "rir" in row.texts:
        return {"rir": row.texts["rir"]}
    text = row.texts.get("rpe", "")
    if not text:
        return {}
    hit = re.fullmatch(rf"(?:rpe\s*)?({NUMBER})", text, re.IGNORECASE)
    value = float(hit[1].replace(",", ".")) if hit else -1.0
    if not 1 <= value <= 10:
        faults.append(Fault(file, f"row {row.number}: rpe", repr(text), "a number from 1 to 10"))
        return {}
    return {"rir": 10.0 - value}


def reps_of(row: _Row, faults: list[Fault], file: str) -> list[str | None]:
    """The repetitions of each set of a row: ``5``, ``3x5``, ``5,5,4``; several alike where a column says how many."""
    text = row.texts.get("reps", "")
    many = row.texts.get("sets", "")
    both = SETS_TIMES.fullmatch(text)
    if both:
        many, text = both[1], both[2]
    if many and not (many.isdigit() and 1 <= int(many) <= MOST_SETS):
        faults.append(Fault(file, f"row {row.number}: sets", repr(many), f"a whole number from 1 to {MOST_SETS}"))
        return []
    listed = re.split(r"\s*[,/;]\s*|\s+", text)
    if not both and len(listed) > 1 and all(one.isdigit() for one in listed) and len(listed) <= MOST_SETS:
        return list(listed)
    if text.endswith(".0"):
        text = text[:-2]
    has_work = bool(text) or any(key in row.texts for key in ("hold_s", "time_s", "distance_m", "rir", "rpe", "pain"))
    if not has_work:
        return []
    return [text or None] * int(many or 1)


def judged(
    made: Sequence[Mapping[str, Any]], sources: Sequence[int], catalogue: Catalogue, file: str
) -> tuple[Log, list[Fault]]:
    """The log of some rows, and the faults that its reader finds, by the rows of the table they came from."""
    if not made:
        return Log(), []
    try:
        return read_log(json.dumps(list(made)), file, catalogue, whole=False), []
    except InputFaults as wrong:
        faults = wrong.faults
    bad: dict[int, list[Fault]] = {}
    for fault in faults:
        hit = re.match(r"row (\d+)(.*)", fault.path, re.DOTALL)
        if hit:
            bad.setdefault(int(hit[1]), []).append(
                Fault(file, f"row {sources[int(hit[1]) - 1]}{hit[2]}", fault.found, fault.allowed, fault.hint)
            )
    if not bad:
        return Log(), list(faults)
    good = [one for number, one in enumerate(made, start=1) if number not in bad]
    log, _ = judged(good, [one for number, one in enumerate(sources, start=1) if number not in bad], catalogue, file)
    return log, list(dict.fromkeys(fault for some in bad.values() for fault in some))
