"""Which planned session each logged one was: done on its day, moved to another day of the week, or missed.

A logged session is all rows of one date under one name. It belongs to the planned session that it names (weekday or
title), else to that of its weekday; what was done tells two swapped days apart.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from setwright.people.trainee import DAYS, Day
from setwright.plan.block import Session, Week
from setwright.strength.logged import LoggedSession, LoggedSet

LEAST_ALIKE = 0.5  # share of the logged exercises that stand in the plan, from which an unnamed session is taken for it
NAMED = 0.6  # what the name adds: it wins unless another session holds clearly more of what was done
ON_ITS_DAY = 0.3  # what its weekday adds to a visit without a name: a weaker hint


@dataclass(frozen=True)
class Visit:
    """All rows of one date under one session name. ``time``: when it began, ``HH:MM``, or empty."""

    date: dt.date
    session: str
    sets: tuple[LoggedSet, ...]
    rows: tuple[LoggedSession, ...]

    @property
    def time(self) -> str:
        """The earliest time written in any of its rows."""
        return min(filter(None, [*(one.time for one in self.rows), *(one.time for one in self.sets)]), default="")


@dataclass(frozen=True)
class Attended:
    """One planned session of a week: its planned date, the visits that were it, and the day it moved to, or None."""

    session: Session
    date: dt.date
    visits: tuple[Visit, ...]
    moved_to: dt.date | None

    @property
    def is_done(self) -> bool:
        """True where something was logged for it."""
        return bool(self.visits)

    @property
    def sets(self) -> tuple[LoggedSet, ...]:
        """All logged sets of it."""
        return tuple(one for visit in self.visits for one in visit.sets)

    @property
    def minutes(self) -> float | None:
        """Minutes logged, or None where nobody wrote them."""
        told = [row.minutes for visit in self.visits for row in visit.rows if row.minutes is not None]
        return sum(told) if told else None

    @property
    def session_rpe(self) -> float | None:
        """Session RPE: of several visits the mean by minutes, by count where a visit lacks them; None where unrated."""
        told = [row for visit in self.visits for row in visit.rows if row.session_rpe is not None]
        if not told:
            return None
        weights = [row.minutes or 0.0 for row in told]
        if min(weights) <= 0:
            weights = [1.0] * len(told)
        return sum((row.session_rpe or 0.0) * weight for row, weight in zip(told, weights, strict=True)) / sum(weights)

    @property
    def time(self) -> str:
        """When it began, ``HH:MM``, or empty."""
        return min((visit.time for visit in self.visits if visit.time), default="")


def day_name(one: LoggedSet | LoggedSession | Visit) -> str:
    """The weekday a row was logged under: its session where that is a weekday, else its date."""
    name = one.session.strip().lower()[:3]
    return name if name in DAYS else DAYS[one.date.weekday()]


def visits_of(sets: Sequence[LoggedSet], rows: Sequence[LoggedSession]) -> tuple[Visit, ...]:
    """The visits in the rows of a week, by date; rows that only tell of a day are no visit.

    A session row without a name, or under another one, joins the only visit of its date.
    """
    names: dict[dt.date, list[str]] = {}
    for one in sets:
        if one.session not in names.setdefault(one.date, []):
            names[one.date].append(one.session)
    own: dict[tuple[dt.date, str], list[LoggedSession]] = {}
    for row in (one for one in rows if one.is_work):
        there = names.setdefault(row.date, [])
        name = row.session if row.session in there or len(there) != 1 else there[0]
        if name not in there:
            there.append(name)
        own.setdefault((row.date, name), []).append(row)
    return tuple(
        Visit(
            day,
            name,
            tuple(one for one in sets if (one.date, one.session) == (day, name)),
            tuple(own.get((day, name), ())),
        )
        for day in sorted(names)
        for name in names[day]
    )


def exercises_of(session: Session) -> frozenset[str]:
    """What a planned session holds, warm-up and fillers left out."""
    return frozenset(entry.exercise for part in session.parts if part.part != "warm-up" for entry in part.entries)


def likeness(visit: Visit, session: Session) -> float:
    """The share of the exercises of a visit that stand in a session; 0 where no set was logged."""
    done = {one.exercise for one in visit.sets if one.part not in ("warm-up", "filler")}
    return len(done & exercises_of(session)) / len(done) if done else 0.0


def is_named(visit: Visit, session: Session) -> bool:
    """True where a visit names a session by weekday or title, or names nothing and falls on its weekday."""
    said = visit.session.strip().lower()
    if said and session.title and said == session.title.strip().lower():
        return True
    return day_name(visit) == session.day


def belonging(visit: Visit, session: Session) -> float:
    """How well a visit fits a planned session: by what was done, its name, or its weekday where it has no name."""
    named = (NAMED if visit.session.strip() else ON_ITS_DAY) if is_named(visit, session) else 0.0
    return likeness(visit, session) + named


def attended(week: Week, dates: Mapping[Day, dt.date], visits: Sequence[Visit]) -> tuple[Attended, ...]:
    """Every planned session of a week with the visits that were it.

    dates : the planned date of each weekday of the week
    A session takes one visit, the likest first; further visits that name it join it. A visit like none is left out.
    """
    taken: dict[int, list[Visit]] = {number: [] for number in range(len(week.sessions))}
    scored = sorted(
        (
            (belonging(visit, session), -row, -number)
            for row, visit in enumerate(visits)
            for number, session in enumerate(week.sessions)
        ),
        reverse=True,
    )
    used: set[int] = set()
    for score, minus_row, minus_number in scored:
        row, number = -minus_row, -minus_number
        if score >= LEAST_ALIKE and row not in used and not taken[number]:
            taken[number].append(visits[row])
            used.add(row)
    for row, visit in enumerate(visits):
        named = [number for number, session in enumerate(week.sessions) if is_named(visit, session)]
        if row not in used and named:
            taken[named[0]].append(visit)
    found = []
    for number, session in enumerate(week.sessions):
        there = tuple(sorted(taken[number], key=lambda one: (one.date, one.session)))
        planned = dates[session.day]
        moved = there[0].date if there and all(one.date != planned for one in there) else None
        found.append(Attended(session, planned, there, moved))
    return tuple(found)
