"""The lines of a written block that are no exercise: title, weeks, days, parts, supersets.

Each reader gives None where the line is something else, so that they can be asked one after another.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from setwright.catalogue.exercise import PartName
from setwright.faults import Fault
from setwright.people.trainee import DAYS, Day

PART_WORDS: Mapping[str, PartName] = {
    **dict.fromkeys(("warm-up", "warm up", "warmup", "wu", "w/u", "prep", "activation", "primer"), "warm-up"),
    **dict.fromkeys(("main", "main lift", "main lifts", "main work", "strength", "lifts", "power"), "main"),
    **dict.fromkeys(("skill", "skills"), "skill"),
    **dict.fromkeys(("assistance", "assistance work", "accessories", "accessory", "accessory work"), "assistance"),
    **dict.fromkeys(("secondary", "supplemental", "auxiliary", "core", "abs", "core work", "carries"), "assistance"),
    **dict.fromkeys(("finisher", "finishers"), "finisher"),
    **dict.fromkeys(("loaded mobility", "loaded-mobility", "mobility", "mobility work"), "loaded-mobility"),
    **dict.fromkeys(("conditioning", "cardio", "intervals", "interval work"), "conditioning"),
    **dict.fromkeys(("cool-down", "cool down", "cooldown"), "conditioning"),
}
DAY_WORDS: Mapping[str, Day] = {
    **{day: day for day in DAYS},
    "monday": "mon",
    "tuesday": "tue",
    "wednesday": "wed",
    "thursday": "thu",
    "friday": "fri",
    "saturday": "sat",
    "sunday": "sun",
    "tues": "tue",
    "weds": "wed",
    "wednes": "wed",
    "thur": "thu",
    "thurs": "thu",
}
NUMBER_WORDS = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7}
# What a day is about, as written on whiteboards.
FOCUS = (
    r"(?:(?:upper|lower|full|total|whole)(?:[ -]?body)?|push"
    r"|pull|legs?|squat|hinge|bench|deadlift|press|strength"
    r"|power|"
    r"speed|volume|heavy|light|hard|easy|conditioning|recovery|back|chest|shoulders?|arms?|core)"
)
FOCUS_LINE = re.compile(
    rf"^{FOCUS}(?:\s*(?:day|body|focus|emphasis|session)|\s*(?:[+&]|and)?\s*{FOCUS}|\s+[a-c1-4])*$", re.I
)
DAY_NAME = "(?:" + "|".join(sorted(DAY_WORDS, key=len, reverse=True)) + r")s?"
DAY_LINE = re.compile(rf"^({DAY_NAME}(?:\s*(?:[,&+/]|and)\s*{DAY_NAME})*)\b\.?(?!-?\w)(.*)$", re.IGNORECASE)
NUMBERED = re.compile(
    r"^((?:training\s+)?(?:day|session|workout)\s*#?\s*(\d+"
    r"|one|two|three|four|five|six|seven|[a-g])|d(\d))\b"
    r"(?!-\w)(.*)$",
    re.IGNORECASE,
)
WEEKS = r"(?:weeks?|wks?|w)\.?"
WEEK_RANGE = WEEKS + r"\s*(\d+)(?:\s*(?:-|to|and|&|through)\s*(?:" + WEEKS + r"\s*)?(\d+))?(?![\d\w])"
WEEK_COUNT = re.compile(
    r"^(?:(?:weeks|wks)\s*:?\s*(\d+)|(?:duration|length)?\s*:?\s*"
    r"(\d+)[ -]*(?:weeks?|wks?)\.?(?:\s*(?:block|program"
    r"(?:me)?|plan|total))?)$",
    re.IGNORECASE,
)
TITLE = re.compile(r"^(?:block|title|program(?:me)?|plan|phase)\s*:\s*(.+)$", re.IGNORECASE)
TITLE_WORDS = re.compile(r"\b(?:block|program(?:me)?|phase|cycle|training plan|mesocycle)\b", re.IGNORECASE)
DOSE = re.compile(
    r"\d\s*x\s*\d|\d\s*(?:sets?|reps?)\b|\bx\s*\d|\d\s*(?:s|sec|m|yds?)\b|\d\s*%|@|\d,\s*\d", re.IGNORECASE
)
SUPERSET = re.compile(
    r"^(?:(\d+)\s*(?:rounds?|x)\s*(?:of)?\s*:?\s*)?(?:super-?\s?sets?"
    r"|ss|giant[- ]?sets?|tri-?sets?|circuit|rounds?)\s*"
    r"([a-h]|\d)?\s*(?:[-,:(x]|of)*\s*(?:(\d+)\s*(?:x|rounds?|sets?)?\s*(?:of)?)?\s*\)?\s*:?$",
    re.IGNORECASE,
)
ROUNDS_ONLY = re.compile(r"^(\d+)\s*rounds?(?:\s*of)?\s*:?$", re.IGNORECASE)
RULE_LINE = re.compile(r"^[\s=_*~.-]*$")


@dataclass
class DayHead:
    """A day as its heading gave it: weekday or the number of the day, minutes, place, title, and a first exercise."""

    label: str
    day: Day | None = None
    order: int | None = None
    minutes: float | None = None
    place: str = ""
    title: str = ""
    entry: str = ""
    guesses: list[str] = field(default_factory=list)


def read_title(line: str) -> str | None:
    """The title of a line that gives one."""
    found = TITLE.match(line)
    return found.group(1).strip() if found else None


def read_week_count(line: str) -> int | None:
    """The number of weeks of a line like ``6 weeks`` or ``6 wks``."""
    found = WEEK_COUNT.match(line)
    return int(found.group(1) or found.group(2)) if found else None


def read_loose_title(line: str) -> tuple[str, int | None] | None:
    """A title that says so itself, like ``Strength block - 6 wks``, with its weeks."""
    weeks = re.search(r"[\s,(-]*\b(\d+)[ -]*(?:weeks?|wks?)\b\.?\)?", line, re.IGNORECASE)
    name = re.sub(r"\s+", " ", line.replace(weeks.group(0), " ") if weeks else line).strip(" -:,")
    if DOSE.search(name) or not (weeks or TITLE_WORDS.search(line)) or not name:
        return None
    if not TITLE_WORDS.search(line) and re.match(rf"^{WEEKS}\s*\d", line, re.IGNORECASE):
        return None
    return name, int(weeks.group(1)) if weeks else None


def week_span(first: str, last: str | None) -> tuple[int, int] | None:
    """Weeks from and to, or None where they are out of order or of reach."""
    a, b = int(first), int(last or first)
    return (a, b) if 1 <= a <= b <= 12 else None


def read_week_rpe(line: str, file: str, where: str, faults: list[Fault], found: dict[int, float | None]) -> bool:
    """Effort by week: ``weeks 1 to 3 RPE 7, wk 4 easy``; False where the line says something else."""
    line = re.sub(rf"^(?:easy|deload|light)\s*:?\s*(?:in\s+)?({WEEKS}\s*\d+)$", r"\1 easy", line, flags=re.IGNORECASE)
    pieces = re.split(rf"\s*[,;.]\s*(?={WEEKS}\s*\d)", line, flags=re.IGNORECASE)
    pattern = re.compile(
        rf"^{WEEK_RANGE}\s*[-:=,]?\s*(?:@?\s*(?:RPE|effort)?\s*:?\s*"
        rf"(\d+(?:[.,]\d+)?)(?:\s*-\s*(\d+(?:[.,]\d+)?))?|(easy"
        rf"|deload|light)(?:\s*week)?)$",
        re.IGNORECASE,
    )
    matches = [pattern.match(piece.strip()) for piece in pieces]
    if not any(matches):
        return False
    for piece, match in zip(pieces, matches, strict=True):
        if match is None:
            faults.append(Fault(file, where, repr(piece), "weeks 1 to 3 RPE 7, or week 4 easy"))
            return True
        span = week_span(match.group(1), match.group(2))
        effort: float | None = None
        if not match.group(5):
            values = [float(one.replace(",", ".")) for one in (match.group(3), match.group(4)) if one]
            effort = sum(values) / len(values)
        if span is None or (effort is not None and not 1 <= effort <= 10):
            faults.append(Fault(file, where, repr(piece), "weeks 1 to 12 in order, RPE 1 to 10"))
            return True
        for week in range(span[0], span[1] + 1):
            found[week] = effort
    return True


def read_weeks(line: str) -> tuple[str, str | None, str] | None:
    """The weeks that a line begins with, and the rest of the line."""
    found = re.match(rf"^{WEEK_RANGE}\s*[-:.,)]*\s*(.*)$", line, re.IGNORECASE)
    return (found.group(1), found.group(2), found.group(3).strip()) if found else None


def read_part(line: str) -> tuple[PartName, str] | None:
    """A part heading, and an exercise behind its colon."""
    word, colon, rest = line.partition(":")
    name = re.sub(r"\s*\(.*\)$", "", word).strip().lower()
    name = re.sub(r"\s+\d+\s*min(?:utes?)?$", "", name)
    if name in PART_WORDS and (colon or name == line.strip().lower() or "(" in word or "min" in line):
        return PART_WORDS[name], rest.strip()
    dashed = re.match(r"^([A-Za-z][A-Za-z/ -]*?)\s+-\s+(.+)$", line)
    if dashed and dashed.group(1).lower() in PART_WORDS:
        return PART_WORDS[dashed.group(1).lower()], dashed.group(2)
    return None


def read_superset(line: str) -> tuple[str | None, int | None] | None:
    """A superset heading: its letter where it has one, and its rounds."""
    rounds = ROUNDS_ONLY.match(line)
    if rounds:
        return None, int(rounds.group(1))
    found = SUPERSET.match(line)
    if found is None:
        return None
    count = found.group(1) or found.group(3)
    letter = found.group(2)
    if letter is not None and letter.isdigit():
        letter = chr(64 + int(letter)) if 1 <= int(letter) <= 8 else None
    return (letter.upper() if letter else None), (int(count) if count else None)


def read_days(line: str) -> list[DayHead] | None:
    """The days of a heading: ``Tuesday, 75 min, station``, ``Mon 60min``, ``Day 1 - Lower``, ``Mon & Thurs``."""
    line = line.strip()
    found = DAY_LINE.match(line)
    if found:
        names = re.findall(DAY_NAME, found.group(1), re.IGNORECASE)
        rest = read_rest(found.group(2))
        days = [DAY_WORDS.get(name.lower()) or DAY_WORDS[name.lower().rstrip("s")] for name in names]
        heads = [DayHead(day, day=day) for day in days]
    else:
        numbered = NUMBERED.match(line)
        if not numbered:
            return None
        word = (numbered.group(2) or numbered.group(3)).lower()
        order = int(word) if word.isdigit() else NUMBER_WORDS.get(word) or ord(word) - 96
        rest = read_rest(numbered.group(4))
        heads = [DayHead(f"day {order}", order=order)]
    if rest is None:
        return None
    for head in heads:
        head.minutes, head.place, head.title, head.entry = rest
    return heads


def read_rest(text: str) -> tuple[float | None, str, str, str] | None:
    """Minutes, place, title and first exercise of what follows a day; None where it is no heading."""
    minutes: float | None = None
    length = re.search(
        r"\b(\d+(?:[.,]\d+)?)\s*-?(min(?:ute)?s?|'|h(?:ou)?rs?"
        r"|h)(?![a-z])(?!\s+[a-z]+.*\d)",
        text,
        re.IGNORECASE,
    )
    entry = ""
    if length and not DOSE.search(text.replace(length.group(0), "")):
        short = float(length.group(1).replace(",", ".")) < 15 and length.group(2)[0].lower() != "h"
        first = re.split(r"[,;(]|\s-\s", text.strip(" :"))[0].replace(length.group(0), "").strip()
        if short or (text.strip()[:1] == ":" and first and not FOCUS_LINE.match(first)):
            return None, "", "", text.strip(" :-,.")
        factor = 60.0 if length.group(2).lower().startswith("h") else 1.0
        minutes = factor * float(length.group(1).replace(",", "."))
        text = text[: length.start()] + "," + text[length.end() :]
    elif DOSE.search(text) or length:
        entry = text.strip(" :-,.")
        return None if not entry else (None, "", "", entry)
    place = title = ""
    words = text
    parts = re.split(r"([,;()|:]|\s-\s|\bat\b|@)", words)
    sign = ""
    for part in parts:
        if part in (",", ";", "(", ")", "|", ":", "at", "@") or part.strip() == "-":
            sign = part.strip() or sign
            continue
        piece = part.strip(" .-")
        if not piece:
            continue
        if FOCUS_LINE.match(piece) or sign in ("-", ":", "(", "|") or (not sign and not title):
            title = piece if not title else f"{title}, {piece}"
        else:
            place = piece
        sign = ""
    return minutes, place, title, entry


def read_focus(line: str) -> DayHead | None:
    """A line that only says what a day is about, with its minutes: ``Lower body``, ``Full body - 45 min``."""
    found = re.match(r"^(.*?)(?:[\s,:(-]+(\d+)\s*-?min(?:ute)?s?\)?)?$", line.rstrip(": "), re.IGNORECASE)
    if found is None or not is_focus(found.group(1)):
        return None
    return DayHead("", title=found.group(1).rstrip(": "), minutes=float(found.group(2)) if found.group(2) else None)


def is_focus(line: str) -> bool:
    """True for a line that only says what a day is about: ``Lower body``, ``Push``."""
    return bool(FOCUS_LINE.match(line.rstrip(": ")))


def weekdays_for(heads: Sequence[DayHead], days: Sequence[Day], spread: Sequence[Day]) -> list[Day]:
    """The weekday of each heading: its own, else the trainee's training days in order, else days spread over the week.

    Days with a number take theirs in the order of the numbers.
    """
    named = {head.day for head in heads if head.day is not None}
    open_ones = sorted(
        (index for index, head in enumerate(heads) if head.day is None),
        key=lambda index: (heads[index].order or index + 1, index),
    )
    pool = [day for day in DAYS if day in days and day not in named][: len(open_ones)]
    for day in (*spread, *DAYS):
        if len(pool) < len(open_ones) and day not in pool and day not in named:
            pool.append(day)
    pool.sort(key=DAYS.index)
    chosen: list[Day] = [head.day or "mon" for head in heads]
    for index, day in zip(open_ones, pool, strict=False):
        chosen[index] = day
    return chosen
