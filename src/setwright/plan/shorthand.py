"""The written door: a block or a single session in the trade's shorthand becomes a template.

Every exercise stays, in its order. Names are matched with a proposal where unsure; what was not written is
filled in by rule. All faults come at once, with their lines.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from setwright.catalogue.exercise import Exercise, PartName
from setwright.catalogue.names import match_name
from setwright.catalogue.store import Catalogue
from setwright.faults import Fault, InputFaults
from setwright.people.trainee import DAYS, Day
from setwright.plan.arrange import PART_ORDER
from setwright.plan.candidates import SINGLE_JOINT_PATTERNS, default_rest_s
from setwright.plan.shorthand_line import Line, Unreadable, read_line, scheme_of_line, tidy
from setwright.plan.template import Scheme, Template, TemplateEntry, TemplateSession

PART_WORDS: Mapping[str, PartName] = {
    "warm-up": "warm-up",
    "warm up": "warm-up",
    "warmup": "warm-up",
    "main": "main",
    "main lifts": "main",
    "strength": "main",
    "skill": "skill",
    "assistance": "assistance",
    "accessories": "assistance",
    "accessory": "assistance",
    "finisher": "finisher",
    "finishers": "finisher",
    "loaded mobility": "loaded-mobility",
    "mobility": "loaded-mobility",
    "conditioning": "conditioning",
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
    "thurs": "thu",
}
SPREAD: Mapping[int, tuple[Day, ...]] = {
    1: ("mon",),
    2: ("mon", "thu"),
    3: ("mon", "wed", "fri"),
    4: ("mon", "tue", "thu", "fri"),
    5: ("mon", "tue", "wed", "fri", "sat"),
    6: ("mon", "tue", "wed", "thu", "fri", "sat"),
}
USUAL_RPE = 7.5
EASY_SHARE = 0.6


@dataclass(frozen=True)
class UnsureName:
    """A name that could mean several exercises, with proposals, best first."""

    line: int
    text: str
    proposals: tuple[str, ...]


@dataclass(frozen=True)
class WrittenBlock:
    """What was read: title, weeks, the template, and for each entry which fields were written by the coach."""

    title: str
    weeks: int
    template: Template
    unsure: tuple[UnsureName, ...] = ()
    filled: tuple[tuple[str, str], ...] = ()


@dataclass
class _Day:
    day: Day | None
    minutes: float | None
    place: str
    title: str
    entries: list[tuple[int, PartName, Line, str, str]]


def is_note(text: str) -> bool:
    """True for empty lines and comments."""
    return not text.strip() or text.strip().startswith("#")


def read_block_text(
    text: str,
    catalogue: Catalogue,
    file: str = "text",
    place: str = "",
    weeks: int | None = None,
    days: Sequence[Day] = (),
    names: Mapping[str, str] | None = None,
) -> WrittenBlock:
    """The block in a text. Raises InputFaults with every fault, unsure names with their proposals included.

    place : the place of sessions that name none; weeks : used where the text says none (1 otherwise)
    days : weekdays for sessions that name none, in order; names : answers for unsure names, text to slug
    """
    faults: list[Fault] = []
    title, stated_weeks = "", None
    week_rpe: dict[int, float | None] = {}
    sessions: list[_Day] = []
    part: PartName | None = None
    for number, raw in enumerate(text.splitlines(), start=1):
        if is_note(raw):
            continue
        line = tidy(raw.split("#", 1)[0])
        where = f"line {number}"
        header = re.match(r"^(?:block|title)\s*:\s*(.+)$", line, re.IGNORECASE)
        if header:
            title = header.group(1).strip()
            continue
        count = re.match(r"^(?:weeks?\s*:?\s*(\d+)|(\d+)\s*weeks?)$", line, re.IGNORECASE)
        if count:
            stated_weeks = int(count.group(1) or count.group(2))
            if not 1 <= stated_weeks <= 12:
                faults.append(Fault(file, where, f"{stated_weeks} weeks", "1 to 12 weeks"))
                stated_weeks = None
            continue
        if re.match(r"^weeks?\s+\d", line, re.IGNORECASE):
            read_week_rpe(line, file, where, faults, week_rpe)
            continue
        day = read_day(line)
        if day is not None:
            sessions.append(day)
            part = None
            continue
        word = line.rstrip(":").strip().lower()
        if word in PART_WORDS:
            part = PART_WORDS[word]
            continue
        try:
            entry = read_line(line)
        except Unreadable as error:
            faults.append(Fault(file, where, error.found, error.allowed))
            continue
        if not sessions:
            sessions.append(_Day(None, None, place, "", []))
        sessions[-1].entries.append((number, part or "main", entry, raw.strip(), "written" if part else "guessed"))
    if not sessions and not faults:
        faults.append(Fault(file, "", "no session", "at least one line with an exercise, like: front squat 4 x 5"))
    total = stated_weeks or weeks or 1
    unsure: list[UnsureName] = []
    made = [
        build_session(
            one, index, len(sessions), total, days, place, catalogue, file, faults, unsure, names or {}, week_rpe
        )
        for index, one in enumerate(sessions)
    ]
    twice = [one.day for one in made]
    for day_name in sorted({one for one in twice if twice.count(one) > 1}):
        faults.append(Fault(file, "", f"two sessions on {day_name}", "one session a day"))
    if faults:
        raise InputFaults(faults)
    kinds = tuple("deload" if week_rpe.get(week, 0.0) is None else "build" for week in range(1, total + 1))
    efforts = tuple(
        week_rpe.get(week) or (5.5 if kinds[week - 1] == "deload" else USUAL_RPE) for week in range(1, total + 1)
    )
    return WrittenBlock(title or "Written block", total, Template(tuple(made), kinds, efforts), tuple(unsure))


def read_week_rpe(line: str, file: str, where: str, faults: list[Fault], found: dict[int, float | None]) -> None:
    """Effort by week: ``weeks 1 to 3 RPE 7, week 4 easy, weeks 5 and 6 RPE 8``."""
    pattern = re.compile(
        r"^weeks?\s+(\d+)(?:\s*(?:-|to|and)\s*(\d+))?\s*:?\s*(?:RPE\s*(\d+(?:[.,]\d+)?)|(easy|deload|light))$",
        re.IGNORECASE,
    )
    for piece in re.split(r"\s*[,;]\s*(?=weeks?\b)", line):
        match = pattern.match(piece.strip())
        if match is None:
            faults.append(Fault(file, where, repr(piece), "weeks 1 to 3 RPE 7, or week 4 easy"))
            continue
        first, last = int(match.group(1)), int(match.group(2) or match.group(1))
        effort = None if match.group(4) else float(match.group(3).replace(",", "."))
        if not 1 <= first <= last <= 12 or (effort is not None and not 1 <= effort <= 10):
            faults.append(Fault(file, where, repr(piece), "weeks 1 to 12 in order, RPE 1 to 10"))
            continue
        for week in range(first, last + 1):
            found[week] = effort


def read_day(line: str) -> _Day | None:
    """A day header: ``Tuesday, 75 min, station``, ``Day 2``, or None."""
    first, _, more = line.partition(",")
    word = first.strip().rstrip(":").lower()
    numbered = re.fullmatch(r"(?:day|session)\s*(\d+|[a-f])", word)
    name = word.split(":")[0].split(" - ")[0].strip()
    if name not in DAY_WORDS and not numbered:
        return None
    found = _Day(DAY_WORDS.get(name), None, "", "", [])
    for piece in more.split(","):
        text = piece.strip().rstrip(":")
        minutes = re.fullmatch(r"(\d+)\s*min(?:utes)?", text, re.IGNORECASE)
        if minutes:
            found.minutes = float(minutes.group(1))
        elif text:
            found.place = text
    return found


def build_session(
    day: _Day,
    index: int,
    count: int,
    weeks: int,
    days: Sequence[Day],
    place: str,
    catalogue: Catalogue,
    file: str,
    faults: list[Fault],
    unsure: list[UnsureName],
    names: Mapping[str, str],
    week_rpe: Mapping[int, float | None],
) -> TemplateSession:
    """One session of the template from its lines."""
    spread = days if len(days) > index else SPREAD.get(min(count, 6), DAYS)
    weekday = day.day or spread[index % len(spread)]
    entries: list[TemplateEntry] = []
    for number, part, line, raw, known in day.entries:
        exercise = find_exercise(line.name, number, catalogue, file, faults, unsure, names)
        if exercise is None:
            continue
        if known == "guessed":
            part = guess_part(exercise, line, bool(entries))
        entries += entries_of(exercise, part, line, raw, weeks, week_rpe)
    return TemplateSession(weekday, day.place or place, day.minutes, tuple(entries), day.title)


def find_exercise(
    name: str,
    number: int,
    catalogue: Catalogue,
    file: str,
    faults: list[Fault],
    unsure: list[UnsureName],
    names: Mapping[str, str],
) -> Exercise | None:
    """The exercise that a name means; an unsure one is a fault with proposals."""
    answered = names.get(name) or names.get(name.lower())
    if answered is not None and answered in catalogue:
        return catalogue.get(answered)
    match = match_name(name, catalogue)
    if match.slug is not None and match.sure:
        return catalogue.get(match.slug)
    unsure.append(UnsureName(number, name, match.proposals))
    proposals = [f"{catalogue.get(slug).name} ({slug})" for slug in match.proposals]
    hint = f"Did you mean {', or '.join(proposals)}?" if proposals else ""
    faults.append(Fault(file, f"line {number}", repr(name), "the name of an exercise", hint))
    return None


def guess_part(exercise: Exercise, line: Line, has_entries: bool) -> PartName:
    """The part of an entry that stands under no heading: by what the exercise is for."""
    if line.superset is None and "main" in exercise.parts and exercise.load_capacity >= 4:
        return "main"
    if exercise.parts and exercise.parts[0] in ("conditioning", "loaded-mobility"):
        return exercise.parts[0]
    if not has_entries and exercise.parts == ("warm-up",):
        return "warm-up"
    return "assistance"


def usual_scheme(exercise: Exercise, part: PartName, rpe: float) -> Scheme:
    """What a coach means who writes only a name: the scheme filled in where the line is silent."""
    rir = max(1.0, 10.0 - rpe)
    if part == "conditioning" or exercise.mode == "cyclic":
        return Scheme("interval", 1, time_s=600.0, rest_s=60.0)
    if exercise.measured_in == "metres":
        return Scheme("carry", 3, distance_m=20.0, rest_s=90.0, rir=3.0, per_side=exercise.per_side)
    if exercise.measured_in == "seconds":
        return Scheme("hold", 3, hold_s=30.0, rest_s=60.0, rir=3.0, per_side=exercise.per_side)
    if part == "warm-up" or exercise.mode == "active-mobility":
        return Scheme("drill", 1, reps=(6, 8), rest_s=0.0, per_side=exercise.per_side)
    if part == "loaded-mobility":
        return Scheme("straight", 2, reps=(6, 8), tempo="4-2-2-0", rest_s=45.0, rir=4.0, per_side=exercise.per_side)
    small = exercise.pattern in SINGLE_JOINT_PATTERNS
    reps = (5, 5) if part == "main" else (10, 12) if small else (8, 10)
    rest = default_rest_s(exercise, reps, part == "main")
    return Scheme("straight", 3, reps=reps, rir=rir, tempo="2-0-1-0", rest_s=rest, per_side=exercise.per_side)


def entries_of(
    exercise: Exercise, part: PartName, line: Line, raw: str, weeks: int, week_rpe: Mapping[int, float | None]
) -> list[TemplateEntry]:
    """The template entries of a line: one, or a top set and its back-offs.

    A line without effort takes the effort of its week; an easy week has fewer sets and is never harder.
    """
    why = "You wrote it."
    schemes: list[Scheme] = []
    for week in range(1, weeks + 1):
        easy = week in week_rpe and week_rpe[week] is None
        rpe = 5.5 if easy else week_rpe.get(week) or USUAL_RPE
        scheme = scheme_of_line(line, usual_scheme(exercise, part, rpe))
        if easy:
            sets = line.easy_sets or max(1, round(EASY_SHARE * scheme.sets))
            rir = None if scheme.rir is None else max(scheme.rir, 4.0)
            pct = None if scheme.pct is None else 0.9 * scheme.pct
            scheme = replace(scheme, sets=sets, rir=rir, pct=pct)
        schemes.append(scheme)
    entry = TemplateEntry(
        exercise=exercise.slug,
        part=part,
        schemes=tuple(schemes),
        why=why + (f" {line.note}" if line.note else ""),
        superset=line.superset,
        dials={**exercise.dials, **line.dials},
        filler_wanted=False,
        written=raw,
        locked=True,
    )
    if line.back_off is None:
        return [entry]
    sets, reps = line.back_off
    backs = tuple(
        replace(scheme, sets=sets, reps=reps, to_top_set=False, rir=None if scheme.rir is None else scheme.rir + 1.0)
        for scheme in schemes
    )
    return [entry, replace(entry, schemes=backs, why=why + " Back-off sets after the top set.")]


def ordered(entries: Sequence[TemplateEntry]) -> bool:
    """True when the parts of a written session stand in the usual order."""
    places = [PART_ORDER.index(entry.part) for entry in entries]
    return places == sorted(places)


def write_block_text(title: str, template: Template, catalogue: Catalogue) -> str:
    """A template as shorthand that reads back to the same first week."""
    lines = [f"Block: {title}", f"{len(template.week_kinds)} weeks"]
    efforts = [
        f"week {number} easy" if kind == "deload" else f"week {number} RPE {rpe:g}"
        for number, (kind, rpe) in enumerate(zip(template.week_kinds, template.week_rpe, strict=True), start=1)
    ]
    lines.append(", ".join(efforts))
    day_names = {
        short: name.capitalize()
        for name, short in DAY_WORDS.items()
        if len(name) > 5 or name in ("friday", "monday", "sunday")
    }
    for session in template.sessions:
        head = [day_names[session.day]]
        if session.minutes_cap is not None:
            head.append(f"{session.minutes_cap:g} min")
        if session.place:
            head.append(session.place)
        lines += ["", ", ".join(head)]
        part = ""
        for entry in session.entries:
            if entry.part != part:
                part = entry.part
                lines.append(part.replace("-", " ").capitalize())
            scheme = next((one for one in entry.schemes if one is not None), None)
            if scheme is not None:
                lines.append(line_of(entry, scheme, catalogue))
    return "\n".join(lines) + "\n"


def line_of(entry: TemplateEntry, scheme: Scheme, catalogue: Catalogue) -> str:
    """One entry as a line."""
    exercise = catalogue.get(entry.exercise)
    name = exercise.name.replace("/", " ").replace(",", "")
    head = f"{entry.superset} {name}" if entry.superset else name
    reps = (
        ""
        if not scheme.reps
        else f"{scheme.reps[0]}"
        if scheme.reps[0] == scheme.reps[1]
        else f"{scheme.reps[0]}-{scheme.reps[1]}"
    )
    pieces = []
    if scheme.kind == "hold-reps-hold":
        pieces.append(f"hold {scheme.hold_s:g} s, {reps} reps, hold {scheme.hold_after_s:g} s, {scheme.sets} sets")
    elif scheme.kind == "hold":
        pieces.append(f"{scheme.sets} x {scheme.hold_s:g} s hold")
    elif scheme.kind == "carry":
        pieces.append(f"{scheme.sets} x {scheme.distance_m:g} m")
    elif scheme.kind == "interval":
        pieces.append(f"{scheme.sets} x {scheme.time_s:g} s")
    else:
        pieces.append(f"{scheme.sets} x {reps}")
    if scheme.kind == "lowering":
        pieces.append("lowering")
    if scheme.load_kg is not None:
        pieces.append(f"@ {scheme.load_kg:g} kg")
    if scheme.pct is not None:
        pieces.append(f"@ {100 * scheme.pct:g} %")
    if scheme.rir is not None:
        pieces.append(f"RIR {scheme.rir:g}")
    pieces.append(f"rest {scheme.rest_s:g} s")
    if scheme.tempo and scheme.kind not in ("hold", "carry", "interval"):
        pieces.append(f"tempo {scheme.tempo}")
    if scheme.per_side:
        pieces.append("each side")
    return f"{head} {', '.join(pieces)}"
