"""What the weeks done say of each lift and of the whole person: signs that a change may rest on.

Two ideas. One: a lift is held against itself, week by week, by the single that its best set speaks for. Two: one bad
day explains one sign, so what moves whole weeks needs two that do not share their cause.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from setwright.catalogue.store import Catalogue
from setwright.plan.block import Block, Entry
from setwright.review.gains import stands_still
from setwright.review.volume import WeekDone, attendance, done_by_week, part_of, sets_of_week
from setwright.review.wellness import wellness_days
from setwright.strength.curve import share_of_1rm
from setwright.strength.estimates import Estimates
from setwright.strength.logged import Log, LoggedSet

FELL = 0.975  # of the best before; one day more or less is 2.5 % (Grgic et al. 2020, as in the estimator)
SEVERAL = 2  # lifts
HARDER_BY_RIR = 1.0  # fewer left than planned, on average over a week: clearly harder, as in the review
RPE_UP = 1.0  # of the sessions, from one week to the next (common practice, no published source)
MORNINGS = dt.timedelta(days=7)
DECLINE = dt.timedelta(days=14)  # rule M07: Meeusen 2013, two weeks or more despite easy days
EASY_KINDS = ("deload", "return")
LOADED = ("main", "skill", "assistance", "finisher")


@dataclass(frozen=True)
class LiftWeek:
    """One lift in one week done: sets planned and done, repetitions short, reserve called less planned, its single.

    ``single_kg``: the best single (kg of the whole load) that a set with a call, or to failure, speaks for, or None.
    ``date``: of that set, else of the last one. ``is_easy``: the week was planned easy.
    """

    week: int
    sets_planned: int
    sets_done: int
    reps_short: int
    rir_gap: float | None
    single_kg: float | None
    date: dt.date | None
    has_pain: bool
    is_easy: bool


@dataclass(frozen=True)
class LiftSigns:
    """One planned lift over the weeks done, oldest first. ``gained``: chance of a gain by the estimator, or None.

    ``stands_still``: that it did not gain, by the bounds and over the days from which a review says so too.
    ``skipped``: the newest sessions in a row that were done without it, though it was planned.
    """

    exercise: str
    weeks: tuple[LiftWeek, ...]
    gained: float | None
    skipped: int
    doses: int
    stands_still: bool = False

    @property
    def newest(self) -> LiftWeek | None:
        """The newest week in which it was done."""
        return next((one for one in reversed(self.weeks) if one.sets_done), None)

    def fell(self) -> bool:
        """True where its newest hard week lies clearly under the one done before it."""
        told = [one for one in self.weeks if one.single_kg is not None and not one.is_easy]
        return len(told) >= 2 and is_under(told[-1].single_kg, told[-2].single_kg)

    def has_bad_sign(self) -> bool:
        """True where its newest week was short, hurt, or was not done whole."""
        new = self.newest
        return new is None or bool(new.reps_short) or new.has_pain or new.sets_done < new.sets_planned

    def low_since(self) -> tuple[dt.date, dt.date] | None:
        """(first, last) day of the hard weeks that all lie clearly under the best before them; None where none do."""
        told = [one for one in self.weeks if one.single_kg is not None and one.date is not None and not one.is_easy]
        for start in range(1, len(told)):
            best = max(one.single_kg or 0.0 for one in told[:start])
            if all(is_under(one.single_kg, best) for one in told[start:]):
                first, last = told[start].date, told[-1].date
                return None if first is None or last is None else (first, last)
        return None


def is_under(new_kg: float | None, old_kg: float | None) -> bool:
    """True where a single fell by more than a day explains."""
    return new_kg is not None and old_kg is not None and new_kg < FELL * old_kg


@dataclass(frozen=True)
class Signs:
    """All signs of a log: the weeks done, each lift, and what the mornings and the sessions say.

    ``today``: the day it is seen from. ``mornings_worse``, ``sessions_harder``: in words, or empty.
    """

    today: dt.date
    weeks: tuple[WeekDone, ...]
    lifts: Mapping[str, LiftSigns]
    mornings_worse: str = ""
    sessions_harder: str = ""
    easy_weeks: tuple[int, ...] = ()
    starts: Mapping[int, dt.date] = field(default_factory=dict)

    @property
    def newest_week(self) -> int:
        """The number of the newest week with a set; 0 without one."""
        return max((one.week for lift in self.lifts.values() for one in lift.weeks if one.sets_done), default=0)

    def fallen(self) -> tuple[LiftSigns, ...]:
        """Lifts that fell from their hard week before, done in the newest week."""
        return tuple(one for one in self.lifts.values() if one.fell() and is_of(one, self.newest_week))

    def harder_by(self) -> float | None:
        """How many repetitions fewer were left than planned in the newest week, mean over its lifts; None unknown."""
        week = self.newest_week
        gaps = [one.newest.rir_gap for one in self.lifts.values() if one.newest is not None and one.newest.week == week]
        told = [gap for gap in gaps if gap is not None]
        return -sum(told) / len(told) if len(told) >= SEVERAL else None

    def of_tiredness(self) -> list[str]:
        """Signs of tiredness that do not share their cause, in words.

        Lifts that fell on two days are two (one bad day explains one); sets that felt hard are the same sets, so they
        count only where no lift fell. Mornings and the rating of whole sessions count beside them.
        """
        found: list[str] = []
        fallen = self.fallen()
        if len(fallen) >= SEVERAL:
            days = sorted({one.newest.date for one in fallen if one.newest is not None and one.newest.date is not None})
            for day in days[:2]:
                names = [one.exercise for one in fallen if one.newest is not None and one.newest.date == day]
                found.append(f"{count_of(names)} down on {day.isoformat()}")
        harder = self.harder_by()
        if not found and harder is not None and harder >= HARDER_BY_RIR:
            found.append(f"{harder:.1f} fewer left than planned in week {self.newest_week}")
        return [*found, *filter(None, (self.mornings_worse, self.sessions_harder))]

    def without_pain(self) -> Signs:
        """The same signs as if nothing had hurt: what would have been given then."""
        weeks = tuple(
            replace(one, entries=tuple(replace(entry, worst_pain=None) for entry in one.entries)) for one in self.weeks
        )
        lifts = {
            slug: replace(lift, weeks=tuple(replace(one, has_pain=False) for one in lift.weeks))
            for slug, lift in self.lifts.items()
        }
        return replace(self, weeks=weeks, lifts=lifts)

    def is_calm(self) -> bool:
        """True where neither mornings, sessions nor pain nor a missed session of the two newest weeks speak against."""
        newest = [one for one in self.weeks if one.number >= self.newest_week - 1]
        missed = any(one.missed for one in newest)
        hurts = any(entry.worst_pain for one in newest for entry in one.entries)
        return not (self.mornings_worse or self.sessions_harder or missed or hurts)


def is_of(lift: LiftSigns, week: int) -> bool:
    """True where a lift was last done in a week."""
    return lift.newest is not None and lift.newest.week == week


def count_of(names: Sequence[str]) -> str:
    """``1 lift``, ``3 lifts``."""
    return f"{len(names)} lift" + ("" if len(names) == 1 else "s")


def signs_of(block: Block, log: Log, estimates: Estimates, catalogue: Catalogue, today: dt.date) -> Signs:
    """Every sign in a log, seen from a day. Estimates must rest on the same log."""
    weeks = done_by_week(block, log, catalogue)
    skips = skipped_in_a_row(block, log)
    easy = {week.number for week in block.weeks if week.kind in EASY_KINDS}
    lifts = {}
    for slug in dict.fromkeys(entry.exercise for week in weeks for entry in week.entries):
        rows = tuple(lift_week(slug, one, block, log, estimates, one.number in easy) for one in weeks)
        rows = tuple(one for one in rows if one.sets_planned)
        known = estimates.lifts.get(slug)
        doses = {dose for number in (one.week for one in rows) for dose in doses_of(block, number, slug)}
        gained = None if known is None else known.gained
        still = stands_still(gained, (one.date for one in estimates.evidence.get(slug, ())))
        lifts[slug] = LiftSigns(slug, rows, gained, skips.get(slug, 0), len(doses), still)
    return Signs(today, weeks, lifts, worse_mornings(log, today), harder_sessions(block, weeks), tuple(sorted(easy)))


def doses_of(block: Block, week: int, slug: str) -> set[tuple[object, ...]]:
    """The doses of a lift in a week: how many working sets of which repetitions."""
    return {
        (sum(one.kind != "ramp" for one in entry.sets), entry.sets[-1].reps)
        for entry in entries_in(block, week)
        if entry.exercise == slug and entry.sets
    }


def entries_in(block: Block, week: int) -> list[Entry]:
    """The loaded entries of a week."""
    return [
        entry
        for one in block.weeks
        if one.number == week
        for session in one.sessions
        for part in session.parts
        if part.part in LOADED
        for entry in part.entries
    ]


def lift_week(slug: str, week: WeekDone, block: Block, log: Log, estimates: Estimates, is_easy: bool) -> LiftWeek:
    """One lift in one week done; entries of several days together."""
    rows = [one for one in week.entries if one.exercise == slug]
    told = [one.rir_gap for one in rows if one.rir_gap is not None]
    planned_week = next(one for one in block.weeks if one.number == week.number)
    sets = [one for one in sets_of_week(block, planned_week, log) if one.exercise == slug]
    singles = [(kg, one.date) for one in sets if (kg := single_of(one, slug, estimates)) is not None]
    best = max(singles, default=None)
    dates = [one.date for one in sets]
    return LiftWeek(
        week.number,
        sum(one.sets_planned for one in rows),
        sum(one.sets_done for one in rows),
        sum(one.reps_short for one in rows),
        sum(told) / len(told) if told else None,
        None if best is None else best[0],
        best[1] if best is not None else max(dates, default=None),
        any(one.pain or one.pain_kind in ("sharp", "numb") or one.ended_by == "pain" for one in sets),
        is_easy,
    )


def single_of(one: LoggedSet, slug: str, estimates: Estimates) -> float | None:
    """The single, kg of the whole load, that a set speaks for: only with a call or to failure, and not assisted."""
    lift = estimates.lifts.get(slug)
    if lift is None or one.load_kg is None or not one.reps or one.load_means == "assistance":
        return None
    if one.rir is None and one.ended_by != "muscle":
        return None
    left = 0.0 if one.ended_by == "muscle" else one.rir or 0.0
    whole = one.load_kg + lift.body_part_kg
    share = float(share_of_1rm(one.reps + left, lift.posterior.k().mean))
    return whole / share if whole > 0 and share > 0 else None


def skipped_in_a_row(block: Block, log: Log) -> dict[str, int]:
    """For each planned lift the newest sessions in a row that were done without a set of it."""
    run: dict[str, int] = {}
    for week in block.weeks:
        everyone, _ = attendance(block, week, log)
        for one in everyone:
            if not one.is_done or not one.sets:
                continue
            done = {row.exercise for row in one.sets if part_of(row, one.session) != "filler"}
            planned = {e.exercise for part in one.session.parts if part.part in LOADED for e in part.entries}
            for slug in planned:
                run[slug] = 0 if slug in done else run.get(slug, 0) + 1
    return run


def worse_mornings(log: Log, today: dt.date) -> str:
    """Mornings of the last seven days that were clearly worse than usual, in words: two of them, or the newest one."""
    days = [one for one in wellness_days(log.sessions) if today - MORNINGS < one.date <= today]
    worse = [one for one in days if one.against == "clearly worse"]
    if not worse or (len(worse) < 2 and days[-1].against != "clearly worse"):
        return ""
    return f"{len(worse)} morning{'s' if len(worse) > 1 else ''} clearly worse than usual"


def harder_sessions(block: Block, weeks: Sequence[WeekDone]) -> str:
    """Sessions that were rated clearly harder than a week before, though the week was planned no harder; in words."""
    told = []
    for week in weeks:
        rated = [one.session_rpe for one in week.sessions if one.session_rpe is not None]
        if rated:
            told.append((week.number, sum(rated) / len(rated), week.rpe_planned or 0.0))
    if len(told) < 2:
        return ""
    (_, before, planned_before), (number, now, planned) = told[-2:]
    if now - before < RPE_UP or planned > planned_before + 0.5:
        return ""
    return f"sessions of week {number} rated {now:.1f}, the week before {before:.1f}"


def long_decline(signs: Signs) -> str:
    """Rule M07 in words, or empty: several lifts lower for 14 days or more although an easy week lies among them."""
    low = {slug: span for slug, lift in signs.lifts.items() if (span := lift.low_since()) is not None}
    counted = [slug for slug, lift in signs.lifts.items() if sum(one.single_kg is not None for one in lift.weeks) >= 2]
    long = {}
    for slug, (first, last) in low.items():
        weeks = signs.lifts[slug].weeks
        eased = any(one.is_easy and one.date is not None and first <= one.date <= last for one in weeks)
        if last - first >= DECLINE and eased:
            long[slug] = (first, last)
    if len(long) < SEVERAL or 2 * len(long) < len(counted):
        return ""
    first, last = min(one for one, _ in long.values()), max(one for _, one in long.values())
    return (
        f"{len(long)} of {len(counted)} lifts lower from {first.isoformat()} to {last.isoformat()}, an easy week in it"
    )
