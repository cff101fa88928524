"""A small invented block and logs of it, quick to make: what the tests of proposals share."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import date, timedelta
from functools import cache

from made_block import GYM, PERSON, START

from setwright.catalogue.load import catalogue
from setwright.people.trainee import TrainingDay
from setwright.plan.block import Block, Entry
from setwright.plan.block_days import session_date
from setwright.plan.brief import Brief, LiftWish
from setwright.plan.identity import with_id
from setwright.plan.restrict import in_words
from setwright.plan.shorthand import read_block_text
from setwright.plan.written import fit_written
from setwright.review.proposals import Proposal, proposed
from setwright.strength.estimates import estimate_lifts
from setwright.strength.logged import Log, LoggedSession, LoggedSet

TEXT = """
Block: Invented weeks
7 weeks
weeks 1 to 5 RPE 7.5, week 6 easy, week 7 RPE 8
Monday, 75 min
back squat 3 x 5 @ RPE 7.5, rest 3 min
seated cable row 3 x 8 @ RPE 7.5, rest 2 min
Thursday, 75 min
bench press 3 x 5 @ RPE 7.5, rest 3 min
romanian deadlift 3 x 8 @ RPE 7.5, rest 2 min
"""
HOLDER = replace(
    PERSON,
    days=(TrainingDay("mon", 75, "gym"), TrainingDay("wed", 75, "gym"), TrainingDay("thu", 75, "gym")),
    steps=(),
)
BRIEF = Brief(
    "invented-weeks", "Invented weeks", 7, 2, 75, START, lifts=(LiftWish("back_squat", (5, 5), 3, 1),), deload_every=6
)
Effort = Callable[[int, Entry], dict[str, object]]


@cache
def block() -> Block:
    """The invented block as if it had been designed: easier week 6 of 7."""
    written = read_block_text(TEXT, catalogue())
    known = estimate_lifts(HOLDER, catalogue(), HOLDER.baselines, Log(), START)
    made = fit_written(written, HOLDER, (GYM,), BRIEF, catalogue(), known)
    return with_id(replace(made, id="", door="design"))


def as_planned(week: int, entry: Entry) -> dict[str, object]:
    """Nothing but what was planned."""
    return {}


def log_of(
    weeks: Iterable[int], effort: Effort = as_planned, missed: Iterable[tuple[int, str]] = (), plan: Block | None = None
) -> Log:
    """The weeks as planned, but for what ``effort`` says of an entry (fields of a logged set) and what was missed.

    ``rir_off``, ``reps_off``: added to what was planned; ``skip``: no set of it.
    """
    sets, sessions = [], []
    made, out = plan or block(), set(missed)
    for week in made.weeks:
        for session in week.sessions:
            if week.number not in set(weeks) or (week.number, session.day) in out:
                continue
            day = session_date(made, week.number, session.day)
            sessions.append(LoggedSession(day, week.number, session.day, 7.0, session.minutes))
            for entry in (e for part in session.parts if part.part != "warm-up" for e in part.entries):
                told = dict(effort(week.number, entry))
                if told.pop("skip", False):
                    continue
                rir_off, reps_off = told.pop("rir_off", 0.0), told.pop("reps_off", 0)
                for number, one in enumerate((s for s in entry.sets if s.kind != "ramp"), start=1):
                    reps = None if one.reps is None else max(0, one.reps[1] + reps_off)  # type: ignore[operator]
                    rir = None if one.rir is None else max(0.0, one.rir + rir_off)  # type: ignore[operator]
                    row = LoggedSet(day, week.number, session.day, entry.exercise, number, one.load_kg, one.load_means)
                    fields = {"reps": reps, "rir": rir, "ended_by": "planned", **told}
                    sets.append(replace(row, **fields))  # type: ignore[arg-type]
    return Log(tuple(sets), tuple(sessions))


def proposal(log: Log, plan: Block | None = None, on: date | None = None) -> Proposal:
    """What a log proposes for the invented block."""
    made = plan or block()
    today = on or max(one.date for one in log.sets)
    known = estimate_lifts(made.inputs.trainee, catalogue(), made.inputs.trainee.baselines, log, today)
    return proposed(made, log, known, catalogue(), on)


def lines(made: Block, week: int) -> dict[tuple[str, str], str]:
    """The loaded entries of a week in words, by day and exercise."""
    return {
        (session.day, entry.exercise): in_words(entry, catalogue())
        for one in made.weeks
        if one.number == week
        for session in one.sessions
        for part in session.parts
        if part.part not in ("warm-up", "loaded-mobility", "conditioning")
        for entry in part.entries
    }


def most_kg(made: Block, week: int, slug: str) -> float:
    """The heaviest working load of an exercise in a week; 0 without it."""
    return max(
        (
            one.load_kg or 0.0
            for some in made.weeks
            if some.number == week
            for session in some.sessions
            for part in session.parts
            for entry in part.entries
            if entry.exercise == slug
            for one in entry.sets
            if one.kind != "ramp"
        ),
        default=0.0,
    )


def sets_of(made: Block, week: int, slug: str, day: str | None = None) -> int:
    """Working sets of an exercise in a week."""
    return sum(
        one.kind != "ramp"
        for some in made.weeks
        if some.number == week
        for session in some.sessions
        if day in (None, session.day)
        for part in session.parts
        for entry in part.entries
        if entry.exercise == slug
        for one in entry.sets
    )


def monday(week: int) -> date:
    """The Monday of a week of the invented block."""
    return START + timedelta(days=7 * (week - 1))
