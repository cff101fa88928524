"""What was done, as one says it: the days of a log, the newest first, a line for each exercise."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from setwright.catalogue.store import Catalogue
from setwright.publish.units import Unit, mass_text
from setwright.publish.words import counted, name_of
from setwright.strength.logged import Log, LoggedSession, LoggedSet


@dataclass(frozen=True)
class DayDone:
    """One day of a log in words: a line for each exercise, and one for the whole session, empty where none is told."""

    date: date
    lines: tuple[str, ...]
    whole: str


def days_done(log: Log, catalogue: Catalogue, unit: Unit) -> list[DayDone]:
    """The days of a log, the newest first."""
    days = sorted({one.date for one in log.sets} | {one.date for one in log.sessions}, reverse=True)
    return [day_done(day, log, catalogue, unit) for day in days]


def day_done(day: date, log: Log, catalogue: Catalogue, unit: Unit) -> DayDone:
    """One day of a log in words."""
    rows = [one for one in log.sets if one.date == day and one.part not in ("warm-up", "filler")]
    drills = sum(one.date == day and one.part == "warm-up" for one in log.sets)
    lines = [exercise_line(slug, list(some), catalogue, unit) for slug, some in groupby(rows, lambda one: one.exercise)]
    if drills:
        lines.append(f"{counted(drills, 'warm-up drill')}.")
    told = [session_line(one) for one in log.sessions if one.date == day]
    return DayDone(day, tuple(lines), " ".join(one for one in told if one))


def exercise_line(slug: str, rows: Sequence[LoggedSet], catalogue: Catalogue, unit: Unit) -> str:
    """All sets of one exercise on a day: ``Barbell back squat: 60 kg x 5, 5, 4; 1 left in the last.``"""
    name = name_of(slug, catalogue)
    runs = [(load, list(some)) for load, some in groupby(rows, lambda one: load_words(one, unit))]
    said = []
    for load, some in runs:
        counts = ", ".join(work_words(one) for one in some)
        said.append(f"{load} x {counts}" if load and some[0].reps is not None else " ".join((counts, load)).strip())
    last = rows[-1].rir
    left = "" if last is None else f"; {last:g} left in the last"
    pain = [one for one in rows if one.pain or one.pain_kind]
    hurt = "" if not pain else f"; pain {pain[-1].pain or ''} {pain[-1].pain_where}".rstrip().replace("  ", " ")
    return f"{name[:1].upper()}{name[1:]}: {'; '.join(said)}{left}{hurt}."


def load_words(one: LoggedSet, unit: Unit) -> str:
    """The load of a set as it is said; empty where there is none."""
    if one.load_kg is None:
        return ""
    text = mass_text(one.load_kg, unit)
    if one.load_means == "added":
        return "body weight" if one.load_kg == 0 else f"+ {text}"
    return {"each hand": f"{text} each hand", "assistance": f"{text} of help"}.get(one.load_means or "", text)


def work_words(one: LoggedSet) -> str:
    """What was done in one set: repetitions, seconds, metres or minutes."""
    if one.reps is not None:
        return f"{one.reps} + {one.hold_s:g} s held" if one.hold_s else f"{one.reps}"
    if one.hold_s is not None:
        return f"{one.hold_s:g} s"
    if one.distance_m is not None:
        return f"{one.distance_m:g} m"
    if one.time_s is not None:
        return f"{one.time_s / 60:g} min" if one.time_s >= 120 else f"{one.time_s:g} s"
    return "done"


def session_line(one: LoggedSession) -> str:
    """What was said of a whole session: ``55 min, 7 of 10.``"""
    pieces = [f"{one.minutes:g} min"] if one.minutes is not None else []
    pieces += [f"{one.session_rpe:g} of 10"] if one.session_rpe is not None else []
    words = f"{', '.join(pieces)}." if pieces else ""
    return f'{words} "{one.note}"'.strip() if one.note else words
