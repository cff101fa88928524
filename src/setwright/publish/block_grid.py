"""A block as one table of words: a line for each entry with its name once, and along it what each week asks.

Weeks that ask the same stand together in one cell. Effort and rest, which most weeks share or step along evenly, are
said once behind the name.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from math import ceil

from setwright.catalogue.store import Catalogue
from setwright.people.trainee import DAY_NAMES, DAYS
from setwright.plan.arrange import PART_ORDER
from setwright.plan.block import Block, Entry, Session
from setwright.plan.block_days import session_date
from setwright.plan.reshape_options import Spot
from setwright.publish import words
from setwright.publish.bout_words import heading_text
from setwright.publish.units import Unit

NOTHING = "-"
EASY = 4.0  # repetitions left, from which words say easy


@dataclass(frozen=True)
class Cell:
    """What some weeks in a row ask of an entry; ``is_new``: another dose than in the block before."""

    weeks: tuple[int, ...]
    text: str
    is_new: bool = False

    @property
    def span(self) -> int:
        """How many weeks it stands for."""
        return len(self.weeks)

    @property
    def label(self) -> str:
        """``Week 3`` or ``Weeks 1 to 3``."""
        first, last = self.weeks[0], self.weeks[-1]
        return f"Week {first}" if first == last else f"Weeks {first} to {last}"


@dataclass(frozen=True)
class Line:
    """One entry: its name once, what is the same in all weeks, and its cells. ``is_locked``: the coach keeps it."""

    spot: Spot
    name: str
    letter: str
    about: str
    cells: tuple[Cell, ...]
    is_locked: bool = False


@dataclass(frozen=True)
class Minutes:
    """One session of a day: its week, its minutes (None where there is none), whether it has fewer than that."""

    week: int
    minutes: int | None
    is_too_long: bool = False


@dataclass(frozen=True)
class Day:
    """One weekday: its title, its sessions by week, its entries by part."""

    day: str
    name: str
    title: str
    sessions: tuple[Minutes, ...]
    parts: tuple[tuple[str, tuple[Line, ...]], ...]


@dataclass(frozen=True)
class WeekHead:
    """The head of a column: number, Monday, what kind of week it is, the effort its lifts ask, if any."""

    number: int
    monday: date
    kind: str
    effort: str


@dataclass(frozen=True)
class Grid:
    """The whole block, ready to read."""

    weeks: tuple[WeekHead, ...]
    days: tuple[Day, ...]


def block_grid(
    block: Block, catalogue: Catalogue, locked: frozenset[Spot] = frozenset(), before: Block | None = None
) -> Grid:
    """The table of a block. ``before``: the block it was made from; then cells say which of them are new."""
    days = [day for day in DAYS if any(one.day == day for week in block.weeks for one in week.sessions)]
    return Grid(
        tuple(
            WeekHead(
                week.number,
                session_date(block, week.number, "mon"),
                words.WEEK_WORDS[week.kind],
                words.week_effort(block, week, ""),
            )
            for week in block.weeks
        ),
        tuple(grid_day(block, day, catalogue, locked, before) for day in days),
    )


def grid_day(block: Block, day: str, catalogue: Catalogue, locked: frozenset[Spot], before: Block | None) -> Day:
    """The table of one weekday; warm-ups stay with their sessions."""
    sessions = {week.number: one for week in block.weeks for one in week.sessions if one.day == day}
    old = {week.number: one for week in before.weeks for one in week.sessions if one.day == day} if before else {}
    unit = words.day_unit(block, day)
    numbers = [week.number for week in block.weeks]
    here, was = entries_of(sessions), entries_of(old)

    def line(spot: Spot) -> Line:
        of = here[spot]
        told = {week: dose_of(entry, catalogue, unit) for week, entry in of.items()}
        first = next(iter(of.values()))
        return Line(
            spot,
            words.name_of(spot.exercise, catalogue),
            first.superset or "",
            about_of(of, catalogue),
            cells_of(numbers, told, None if before is None else was.get(spot, {}), catalogue, unit),
            spot in locked,
        )

    parts = [part for part in PART_ORDER if part != "warm-up" and any(spot.part == part for spot in here)]
    return Day(
        day,
        DAY_NAMES[day],
        next((one.title for one in sessions.values() if one.title), ""),
        tuple(minutes_of(week, sessions.get(week)) for week in numbers),
        tuple((words.PART_NAMES[part], tuple(line(spot) for spot in here if spot.part == part)) for part in parts),
    )


def minutes_of(week: int, session: Session | None) -> Minutes:
    """The minutes of a session of a week."""
    if session is None:
        return Minutes(week, None)
    cap = session.minutes_cap
    is_too_long = cap is not None and session.minutes > cap + 0.05
    return Minutes(week, ceil(session.minutes) if is_too_long else round(session.minutes), is_too_long)


def entries_of(sessions: Mapping[int, Session]) -> dict[Spot, dict[int, Entry]]:
    """Each entry of a day by where it stands, week by week, in the order done."""
    found: dict[Spot, dict[int, Entry]] = {}
    for week, session in sessions.items():
        for part in session.parts:
            seen: dict[str, int] = {}
            for entry in part.entries if part.part != "warm-up" else ():
                number = seen.get(entry.exercise, 0)
                seen[entry.exercise] = number + 1
                found.setdefault(Spot(session.day, part.part, entry.exercise, number), {})[week] = entry
    return found


def dose_of(entry: Entry, catalogue: Catalogue, unit: Unit) -> str:
    """What an entry asks, and with which load: ``4 x 3-5, 92.5 kg``."""
    load = words.loads_text(entry.working_sets, unit)
    pieces = [words.asks_text(entry), "" if load == "body weight" else load]
    return ", ".join(one for one in pieces if one) or NOTHING


def cells_of(
    weeks: Sequence[int],
    told: Mapping[int, str],
    was: Mapping[int, Entry] | None,
    catalogue: Catalogue,
    unit: Unit,
) -> tuple[Cell, ...]:
    """The cells of a line: weeks in a row with the same words are one."""

    def key(week: int) -> tuple[str, bool]:
        text = told.get(week, "")
        if was is None or not text:
            return text, False
        old = was.get(week)
        return text, old is None or dose_of(old, catalogue, unit) != text

    return tuple(Cell(tuple(some), *of) for of, some in groupby(weeks, key))


def about_of(of: Mapping[int, Entry], catalogue: Catalogue) -> str:
    """What is said once of an entry: its settings, how much is left at the end of a set, its rest, its bout."""
    entries = [one for one in of.values() if one.working_sets]
    if not entries:
        return ""
    first = entries[0]
    bout = heading_text(first.bout, catalogue) if first.bout is not None else ""
    rests = [one.working_sets[0].rest_s for one in entries if words.rests_alone(one)]
    rest = shared([words.rest_text(one) for one in rests], "rest {}") if any(rests) else ""
    return ", ".join(one for one in (words.dial_text(first), bout, left_of(entries), rest) if one)


def left_of(entries: Sequence[Entry]) -> str:
    """What is left at the end of a set, the most and the least of all weeks: ``3 to 1.5 left``, ``2 or more left``."""
    firsts = [one.working_sets[0] for one in entries]
    rirs = [one.rir for one in firsts if one.rir is not None]
    if len(rirs) < len(firsts) or any(one.kind == "hold" for one in firsts):
        return shared([words.effort_text(one) for one in firsts], "{}")
    low, high = min(rirs), max(rirs)
    if low >= EASY:
        return "easy"
    if high >= EASY:
        return f"{low:g} or more left"
    return f"{low:g} left" if low == high else f"{high:g} to {low:g} left"


def shared(texts: Sequence[str], said: str) -> str:
    """What all weeks say alike, in a phrase; empty where they differ."""
    tell: Callable[[str], str] = said.format
    return tell(texts[0]) if texts and len(set(texts)) == 1 else ""
