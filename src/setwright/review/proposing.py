"""What every proposal is made from, and how several of them become one row for each entry."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from setwright.catalogue.exercise import PartName
from setwright.catalogue.store import Catalogue
from setwright.plan.block import Block, Change, Entry, Part, Session, Week
from setwright.plan.block_days import week_start
from setwright.plan.compose import Context
from setwright.plan.restrict import in_words
from setwright.plan.session_time import session_minutes_of
from setwright.plan.weeks import ANY_SETS
from setwright.review.adapt import loads_region
from setwright.review.pain import RegionPain
from setwright.review.signs import LOADED, Signs

Made = tuple[Week, list[Change]]
OfEntry = Callable[[Entry, PartName, Session], tuple[Entry, str, str] | None]


@dataclass(frozen=True)
class Situation:
    """The block as it stands, what its log says, what hurts, and what dosing needs to know."""

    block: Block
    signs: Signs
    context: Context
    pains: tuple[RegionPain, ...] = ()

    def is_sore(self, slug: str) -> bool:
        """True where an exercise loads a place whose pain lets nothing go on as planned."""
        exercise = self.context.catalogue.get(slug).slug
        return any(
            one.verdict != "go on"
            and (exercise in one.exercises or loads_region(exercise, one, self.context.catalogue))
            for one in self.pains
        )

    @property
    def today(self) -> dt.date:
        """The day it is seen from."""
        return self.signs.today

    @property
    def first(self) -> int:
        """The first week that has not begun; beyond the last one where all have."""
        open_weeks = [one.number for one in self.block.weeks if week_start(self.block, one.number) > self.today]
        return min(open_weeks, default=len(self.block.weeks) + 1)

    def week(self, number: int) -> Week | None:
        """A week by its number; None where the block has none."""
        return next((one for one in self.block.weeks if one.number == number), None)

    def name(self, slug: str) -> str:
        """An exercise as a coach reads it."""
        return self.context.catalogue.get(slug).name

    def pillars(self) -> frozenset[str]:
        """Lifts that the brief or a goal of strength names."""
        known, trainee = self.context.catalogue, self.context.trainee
        named = [wish.exercise for wish in self.context.brief.lifts]
        named += [goal.about for goal in trainee.goals if goal.kind == "strength" and goal.about in known]
        return frozenset(known.get(slug).slug for slug in named if slug in known)

    def minutes_of(self, session: Session) -> float:
        """The minutes of a session by the time model."""
        return session_minutes_of(session.parts, self.context.catalogue, self.context.places[session.place])

    def timed(self, session: Session) -> Session:
        """The session with its minutes reckoned anew."""
        return replace(session, minutes=self.minutes_of(session))


def most_minutes(session: Session) -> float | None:
    """Minutes there are; a session that was too long as written may stay so, but grows no more."""
    return None if session.minutes_cap is None else max(session.minutes_cap, session.minutes)


def fits(session: Session, most: float | None) -> bool:
    """True where a session stays within its minutes."""
    return most is None or session.minutes <= most + 1e-6


def with_entries(week: Week, situation: Situation, of_entry: OfEntry, say: Callable[[Entry], str]) -> Made:
    """A week with its loaded entries changed one by one; one that would break the minutes of its day stays.

    of_entry : the new entry, why and the evidence, or None where it stays; say : an entry in a line
    """
    changes: list[Change] = []
    sessions = []
    for session in week.sessions:
        for part in session.parts:
            for entry in part.entries if part.part in LOADED else ():
                made = of_entry(entry, part.part, session)
                if made is None:
                    continue
                new, why, evidence = made
                candidate = situation.timed(exchanged(session, part.part, entry, new))
                if not fits(candidate, most_minutes(session)):
                    continue
                session = candidate
                name = situation.name(entry.exercise)
                changes.append(Change(week.number, session.day, name, say(entry), say(new), why, evidence))
        sessions.append(session)
    return (replace(week, sessions=tuple(sessions)), changes) if changes else (week, [])


def exchanged(session: Session, part: PartName, old: Entry, new: Entry) -> Session:
    """The session with one entry in another's place."""
    parts = tuple(
        replace(one, entries=tuple(new if entry is old else entry for entry in one.entries))
        if one.part == part
        else one
        for one in session.parts
    )
    return replace(session, parts=parts)


def with_added(session: Session, part: PartName, entry: Entry, order: Sequence[PartName]) -> Session:
    """The session with one more entry at the end of a part."""
    rows = {one.part: one.entries for one in session.parts}
    rows[part] = (*rows.get(part, ()), entry)
    return replace(session, parts=tuple(Part(name, rows[name]) for name in order if name in rows))


def entries_of(session: Session) -> list[tuple[PartName, Entry]]:
    """The loaded entries of a session with their parts."""
    return [(part.part, entry) for part in session.parts if part.part in LOADED for entry in part.entries]


def one_more(entry: Entry) -> Entry:
    """The entry with its last working set once more."""
    return replace(entry, sets=(*entry.sets, entry.sets[-1]))


def planned_in(block: Block, week: int, day: str, slug: str) -> int | None:
    """Working sets of an exercise planned on a day of a week; None where it was not planned there."""
    for one in block.weeks:
        if one.number != week:
            continue
        for session in one.sessions:
            sets = [len(entry.working_sets) for _, entry in entries_of(session) if entry.exercise == slug]
            if session.day == day and sets:
                return min(sum(sets), ANY_SETS)
    return None


def one_row_each(changes: Iterable[Change], whole_weeks: frozenset[str] = frozenset()) -> tuple[Change, ...]:
    """The changes with those that follow one another on the same entry as one: from the first to the last.

    whole_weeks : reasons that speak of whole weeks; a row keeps such a reason alone, so the weeks stay one decision
    What rests says only why it rests, and what ends as it began is no change.
    """
    rows: list[Change] = []
    for one in changes:
        at = next((n for n, old in enumerate(rows) if follows(old, one)), None)
        if at is None:
            rows.append(one)
            continue
        first = rows[at]
        if one.to == "rests":
            rows[at] = replace(one, from_=first.from_)
        elif first.why in whole_weeks and name_in(first.from_) == name_in(one.to):
            evidence = joined(first.evidence, one.why, one.evidence)
            rows[at] = replace(first, to=one.to, evidence=evidence)
        else:
            why = f"{first.why.rstrip('.')}. {one.why[:1].upper()}{one.why[1:]}"
            rows[at] = replace(first, to=one.to, why=why, evidence=joined(first.evidence, one.evidence))
    return tuple(one for one in rows if one.from_ != one.to)


def told_apart(old: Entry, new: Entry, catalogue: Catalogue) -> tuple[str, str]:
    """Two doses of an entry in a line each; where the lines are the same, the second says its effort or its rests."""
    was, now = in_words(old, catalogue), in_words(new, catalogue)
    first = next((one for one in new.sets if one.kind != "ramp"), None)
    if was == now and old.sets != new.sets:
        now += ", other rests" if first is None or first.rpe is None else f", RPE {first.rpe:g}"
    return was, now


def follows(first: Change, then: Change) -> bool:
    """True where a change takes up an entry as another left it."""
    return (first.week, first.session) == (then.week, then.session) and first.to == then.from_


def name_in(words: str) -> str:
    """The exercise in an entry's line: ``front squat`` of ``front squat, 4 x 5-6, 82.5 kg``."""
    return re.split(r", \d+ x ", words)[0]


def week_words(week: Week) -> str:
    """A week in a line: ``easier week, RPE 6``."""
    kind = {"build": "hard week", "deload": "easier week", "test": "test week", "return": "way back"}[week.kind]
    return f"{kind}, RPE {week.rpe:g}"


def joined(*texts: str) -> str:
    """Pieces of evidence in one line, each once."""
    return "; ".join(dict.fromkeys(one.rstrip(".") for one in texts if one))
