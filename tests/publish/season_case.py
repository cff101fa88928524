"""A small invented season: a hand-written block of four weeks, its log, and what is reckoned from them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from functools import cache

from made_block import BRIEF, GYM, PERSON, START

from setwright.catalogue.load import catalogue
from setwright.people.season import Season, SeasonEvent
from setwright.people.trainee import Goal, Trainee
from setwright.plan.block import Block, Entry, Inputs, Part, PlannedSet, Proof, Session, Week
from setwright.review.next_brief import NextBrief
from setwright.review.no_forecast import limits_of
from setwright.review.season import SeasonView, next_brief_of, view_season
from setwright.review.volume import done_by_week
from setwright.strength.estimates import Estimates, estimate_lifts
from setwright.strength.logged import Log, LoggedSet


def lift(slug: str, sets: int, load_kg: float, reps: tuple[int, int] = (4, 6)) -> Entry:
    """An entry of equal working sets, two left in each."""
    return Entry(slug, (PlannedSet("work", reps=reps, rir=2.0, load_kg=load_kg, rest_s=120.0),) * sets, "invented")


DAYS = {
    "mon": (lift("back_squat", 4, 100.0), lift("bench_bb", 3, 70.0), lift("row_cable", 3, 60.0, (8, 10))),
    "thu": (lift("back_squat", 3, 95.0), lift("bench_bb", 3, 67.5), lift("row_cable", 2, 60.0, (8, 10))),
}
MEET = SeasonEvent("Invented meet", date(2027, 4, 17), "meet", ("back_squat",), taper_weeks=2)
SEASON = Season(
    "invented-season",
    "invented",
    events=(MEET,),
    goals=(Goal("strength", "back_squat", 1, 190.0, "kg", date(2027, 4, 17)), Goal("size", "chest")),
)
LAST = START + timedelta(days=27)


@cache
def plain_block() -> Block:
    """Four weeks of squat, bench and row on two days."""
    weeks = tuple(
        Week(
            number,
            "deload" if number == 4 else "build",
            7.5,
            tuple(Session(day, "gym", 50.0, (Part("main", entries),), 60.0) for day, entries in DAYS.items()),  # type: ignore[arg-type]
        )
        for number in range(1, 5)
    )
    inputs = Inputs(PERSON, (GYM,), BRIEF)
    return Block("blk-invented", "Invented", "invented", "gym", weeks, (), (), Proof("written", 0, 0, 0), inputs)


def log_of(gain: float = 0.02, rir: float = 2.0, pain: Mapping[str, tuple[int, str]] | None = None) -> Log:
    """Every planned set as done, load rising by ``gain`` a week; ``pain``: level and place by exercise, last week."""
    rows = []
    for week in range(4):
        for day, shift in (("mon", 0), ("thu", 3)):
            when = START + timedelta(days=7 * week + shift)
            for entry in DAYS[day]:
                for number, one in enumerate(entry.sets, start=1):
                    level, where = (pain or {}).get(entry.exercise, (0, "")) if week == 3 else (0, "")
                    rows.append(
                        LoggedSet(
                            when,
                            week + 1,
                            day,
                            entry.exercise,
                            number,
                            round((one.load_kg or 0.0) * (1.0 + gain) ** week, 1),
                            reps=one.reps[1] if one.reps else None,
                            rir=rir,
                            ended_by="planned",
                            pain=level,
                            pain_where=where,
                        )
                    )
    return Log(tuple(rows))


def viewed(
    log: Log,
    season: Season = SEASON,
    trainee: Trainee = PERSON,
    on: date = LAST,
    blocks: Sequence[Block] | None = None,
) -> tuple[SeasonView, Estimates]:
    """The season of the invented person, and the estimates behind it."""
    known = catalogue()
    estimates = estimate_lifts(trainee, known, trainee.baselines, log, on)
    weeks = done_by_week(plain_block(), log, known)
    limits = limits_of(trainee, log, known, on)
    kept = (plain_block(),) if blocks is None else blocks
    return view_season(season, trainee, on, kept, weeks, {}, estimates, limits, known), estimates


@cache
def usual() -> tuple[SeasonView, Estimates]:
    """The season after four good weeks."""
    return viewed(log_of())


def brief_after(log: Log, season: Season = SEASON, trainee: Trainee = PERSON) -> NextBrief:
    """The next brief after a log."""
    view, estimates = viewed(log, season, trainee)
    return next_brief_of(view, {}, estimates, catalogue())
