"""The season: what outlives blocks. Goals and events with their dates, progressions to climb, the blocks so far.

Two ideas: goals of the trainee file hold for the season too, and one of the season file about the same thing takes its
place; and the file only says what is wanted and when. What is likely is reckoned from the log, never written here.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from setwright.catalogue.load import catalogue as load_catalogue
from setwright.catalogue.store import Catalogue
from setwright.faults import Fault
from setwright.people.intake import read_goal, resolve
from setwright.people.toml_file import REQUIRED, Reader, finish, read_toml
from setwright.people.trainee import Goal

EventKind = Literal["meet", "test", "match", "break", "other"]
EVENT_KINDS: tuple[EventKind, ...] = ("meet", "test", "match", "break", "other")
# Source of the weeks before a meet: Travis et al. 2020, Sports 8:125 (about 2 weeks; partly seen). The week before a
# test or match is common practice, no published source.
USUAL_TAPER: dict[EventKind, int] = {"meet": 2, "test": 1, "match": 1, "break": 0, "other": 0}
MOST_TAPER = 4
LONGEST_DAYS = 4 * 366
LEAST_DAYS_AHEAD = 365


@dataclass(frozen=True)
class SeasonEvent:
    """A day, or days, that training looks to. ``counts``: slugs of lifts and progressions that count there.

    until : last day, of a break above all; the same day where it has one
    taper_weeks : weeks before it in which sets come down, 0 to 4
    """

    name: str
    date: dt.date
    kind: EventKind = "other"
    counts: tuple[str, ...] = ()
    until: dt.date | None = None
    taper_weeks: int = 0
    note: str = ""

    @property
    def last(self) -> dt.date:
        """Its last day."""
        return self.until or self.date


@dataclass(frozen=True)
class SeasonClimb:
    """A progression to climb: by which way, and by when, if that matters."""

    progression: str
    way: str = ""
    by: date | None = None


@dataclass(frozen=True)
class SeasonBlock:
    """A block so far: a file or folder, as written in the season file, or the id it has in the records."""

    file: str = ""
    id: str = ""


@dataclass(frozen=True)
class Season:
    """Goals, events and progressions of one trainee over a year and more.

    show_dates : whether the trainee sees when something is likely; the coach always does
    since, until : first and last day of the time line, or None where the dates in it say so
    """

    id: str
    trainee: str
    title: str = ""
    since: date | None = None
    until: date | None = None
    show_dates: bool = False
    events: tuple[SeasonEvent, ...] = ()
    goals: tuple[Goal, ...] = ()
    climbs: tuple[SeasonClimb, ...] = ()
    blocks: tuple[SeasonBlock, ...] = ()
    note: str = ""
    invented: bool = False

    def last_day(self, today: date) -> date:
        """Where the time line ends: a year ahead at least, and past all that has a date."""
        dated = [one.last for one in self.events]
        dated += [one.by for one in self.goals if one.by is not None]
        dated += [one.by for one in self.climbs if one.by is not None]
        return self.until or max([today + timedelta(days=LEAST_DAYS_AHEAD), *dated])


def goals_together(of_trainee: tuple[Goal, ...], of_season: tuple[Goal, ...]) -> tuple[Goal, ...]:
    """All goals; one of the season takes the place of one of the trainee file of the same kind about the same."""
    told = {(one.kind, one.about) for one in of_season}
    return (*of_season, *(one for one in of_trainee if (one.kind, one.about) not in told))


def plain_season(trainee: str) -> Season:
    """The season of somebody without a season file: the goals and steps of the trainee file, and no event."""
    return Season(f"{trainee}-season", trainee)


def read_season(text: str, file: str, catalogue: Catalogue | None = None) -> Season:
    """The season in a TOML text. Raises InputFaults with every fault of the file."""
    known = catalogue or load_catalogue()
    faults: list[Fault] = []
    reader = Reader(read_toml(text, file), file, "", faults)
    identity = reader.text("id", REQUIRED)
    trainee = reader.text("trainee", REQUIRED)
    title = reader.text("title", "")
    since, until = reader.day("from"), reader.day("until")
    if since is not None and until is not None and not 0 < (until - since).days <= LONGEST_DAYS:
        reader.fault("until", until.isoformat(), f"a day after {since} and within four years of it")
    show = reader.flag("show_dates")
    events = reader.each("events", lambda one: read_event(one, known))
    goals = reader.each("goals", lambda one: read_goal(one, known))
    refuse_twice(reader, "goals", [f"{one.kind} of {one.about}" for one in goals])
    climbs = reader.each("progressions", lambda one: read_climb(one, known))
    refuse_twice(reader, "progressions", [one.progression for one in climbs])
    blocks = reader.each("blocks", read_block_of_season)
    note = reader.text("note", "")
    invented = reader.flag("invented")
    reader.close({"start": "Did you mean from?", "end": "Did you mean until?"})
    finish(faults)
    ordered = tuple(sorted(events, key=lambda one: (one.date, one.name)))
    return Season(identity, trainee, title, since, until, show, ordered, goals, climbs, blocks, note, invented)


def refuse_twice(reader: Reader, key: str, names: list[str]) -> None:
    """A fault for each name that stands more than once."""
    for twice in sorted({one for one in names if names.count(one) > 1}):
        reader.fault(key, f"{twice} twice", "each once")


def read_event(reader: Reader, catalogue: Catalogue) -> SeasonEvent | None:
    """One event."""
    name = reader.text("name", REQUIRED)
    day = reader.day("date", REQUIRED)
    kind = reader.text("kind", "other", EVENT_KINDS)
    until = reader.day("until")
    if day is not None and until is not None and not 0 <= (until - day).days <= 366:
        reader.fault("until", until.isoformat(), f"a day from {day} on, within a year")
    usual = USUAL_TAPER.get(kind, 0)  # type: ignore[call-overload]
    taper = reader.number("taper_weeks", 0, MOST_TAPER, "weeks", default=usual, whole=True)
    counts = read_counts(reader, catalogue)
    note = reader.text("note", "")
    if not name or day is None or not kind:
        return None
    return SeasonEvent(name, day, kind, counts, until, int(taper or 0), note)  # type: ignore[arg-type]


def read_counts(reader: Reader, catalogue: Catalogue) -> tuple[str, ...]:
    """What counts at an event: lifts and progressions."""
    found = []
    for number, one in enumerate(reader.words("counts"), start=1):
        slug = one if one in catalogue.progressions else resolve(reader, f"counts[{number}]", one, catalogue)
        found.append(slug)
    return tuple(one for one in found if one)


def read_climb(reader: Reader, catalogue: Catalogue) -> SeasonClimb | None:
    """A progression to climb."""
    known = catalogue.progressions
    slug = reader.text("progression", REQUIRED, known, "a progression: " + ", ".join(known))
    way = reader.text("way", "")
    if slug and way and way not in known[slug].branches:
        ways = ", ".join(known[slug].branches) or "nothing: this progression has one way"
        reader.fault("way", way, ways)
    by = reader.day("by")
    return SeasonClimb(slug, way, by) if slug else None


def read_block_of_season(reader: Reader) -> SeasonBlock | None:
    """A block so far, by its file or by its id in the records."""
    file, identity = reader.text("file", ""), reader.text("id", "")
    if bool(file) == bool(identity):
        reader.fault("file", "nothing" if not file else "both", "file or id, one of the two")
        return None
    return SeasonBlock(file, identity)
