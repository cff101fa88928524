"""What each lift showed week by week, as the single that its sets speak for, and moves that several lifts share.

Two ideas. One: the sets of a week are one reading of a lift, on the scale of its single, the usual bias of calls taken
off. Two: a whole person moves all lifts together, another machine moves one; so what lifts share and what one does
alone are told apart by the middle of all lifts.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import exp, log, sqrt
from statistics import fmean, median

import numpy as np

from setwright.catalogue.store import Catalogue
from setwright.plan.block import Block
from setwright.review.finding import Finding, one_or_many
from setwright.review.volume import sets_of_week
from setwright.strength.calling import MEAN_BIAS, usual_bias
from setwright.strength.curve import share_of_1rm
from setwright.strength.estimates import Estimates
from setwright.strength.logged import Log, LoggedSet
from setwright.strength.mixture import Floats

EASY_KINDS = ("deload", "return")
LEAST_BEFORE, BEFORE_WEEKS = 2, 3  # hard weeks that a new one is held against
DAY_SD = 0.025  # one day more or less (Grgic et al. 2020, as in the estimator)
READING_SD = 0.015  # of the sets of a day about its form: calls half a repetition off (tuned on invented people)
ONE_ALONE, TWO_ALONE = 0.12, 0.09  # ln by which one lift, or two, move apart from the others (see docs/rosters.md)
LEAST_LIFTS = 3
OFTEN, LEAST_STILL_WEEKS = 0.7, 5
USUAL_GAIN, USUAL_GAIN_SD = 0.005, 0.003  # ln a week (Steele et al. 2022, seen: 30 to 50 % in a first year)
ENDS_A_WEEK = 0.05  # chance that gains end, a week (common practice, no published source)
LEVEL_SD = 1.0  # of a level that nobody knows, wide
SURE_STILL = 0.4  # tuned on invented people (docs/rosters.md), as the next
LEANS_STILL = 0.3  # of all lifts together, from which one lift without a gain is told


@dataclass(frozen=True)
class Shown:
    """One lift in one hard week: mean ln of the single, kg of the whole load, and the days it was shown on."""

    week: int
    ln_kg: float
    dates: tuple[date, ...]


def sd_of(days: int) -> float:
    """Spread of what lifts show over some days, ln: the form of the days, and the calls."""
    return sqrt((DAY_SD**2 + READING_SD**2) / max(1, days))


def ln_single(one: LoggedSet, estimates: Estimates, slug: str) -> float | None:
    """ln of the single (kg of the whole load) that a set speaks for; None without a call or failure."""
    lift = estimates.lifts.get(slug)
    if lift is None or one.load_kg is None or not one.reps or one.load_means == "assistance":
        return None
    if one.ended_by == "muscle":
        left = 0.5  # more than the last one done, less than one more
    elif one.rir is None:
        return None
    else:
        multiple = max(0.0, estimates.effort_bias_reps().mean / MEAN_BIAS)
        left = one.rir + multiple * float(usual_bias(one.rir, one.reps))
    whole = one.load_kg + lift.body_part_kg
    return log(whole / share_of_1rm(one.reps + left, lift.posterior.k().mean)) if whole > 0 else None


def shown_by_lift(block: Block, log_of: Log, estimates: Estimates) -> dict[str, tuple[Shown, ...]]:
    """Every lift by its hard weeks, oldest first. Easy weeks are left out: they speak of less than they hold."""
    found: dict[str, list[Shown]] = {}
    for week in block.weeks:
        if week.kind in EASY_KINDS:
            continue
        rows: dict[str, list[tuple[float, date]]] = {}
        for one in sets_of_week(block, week, log_of):
            single = ln_single(one, estimates, one.exercise)
            if single is not None:
                rows.setdefault(one.exercise, []).append((single, one.date))
        for slug, told in rows.items():
            days = tuple(sorted({day for _, day in told}))
            found.setdefault(slug, []).append(Shown(week.number, fmean(kg for kg, _ in told), days))
    return {slug: tuple(rows) for slug, rows in sorted(found.items())}


@dataclass(frozen=True)
class Moves:
    """How each lift of the newest hard week stands against its hard weeks before: ln, and the middle of all lifts."""

    week: int
    by_lift: Mapping[str, float]

    @property
    def middle(self) -> float:
        """What all lifts share."""
        return median(self.by_lift.values())

    @property
    def mean(self) -> float:
        """The mean of all lifts."""
        return fmean(self.by_lift.values())


def moves_of(shown: Mapping[str, Sequence[Shown]]) -> Moves | None:
    """The moves of the newest hard week; None where no lift has two weeks before: one day alone tells too little."""
    newest = max((rows[-1].week for rows in shown.values()), default=0)
    moved = {}
    for slug, rows in shown.items():
        before = [one.ln_kg for one in rows[:-1]][-BEFORE_WEEKS:]
        if rows[-1].week == newest and len(before) >= LEAST_BEFORE:
            moved[slug] = rows[-1].ln_kg - fmean(before)
    return Moves(newest, moved) if moved else None


def another_machine(shown: Mapping[str, Sequence[Shown]], catalogue: Catalogue) -> list[Finding]:
    """Lifts whose loads moved from one week to the next while the others stayed: another bar, machine or unit?"""
    moves = moves_of(shown)
    if moves is None or len(moves.by_lift) < LEAST_LIFTS:
        return []
    apart = {slug: move - moves.middle for slug, move in moves.by_lift.items()}
    clear = {slug: by for slug, by in apart.items() if abs(by) >= TWO_ALONE}
    if len(clear) < 2 and not any(abs(by) >= ONE_ALONE for by in clear.values()):
        return []
    words = ", ".join(f"{catalogue.get(slug).name} {100 * (exp(by) - 1):+.0f} %" for slug, by in clear.items())
    evidence = f"{words} in week {moves.week} against the weeks before, at the effort called; the other lifts stayed."
    asks = "Ask where it was done and on which bar or machine; loads of another one begin anew."
    about = one_or_many([catalogue.get(slug).name for slug in clear], "lift")
    return [Finding("another machine?", about, evidence, None, asks, 64)]


@dataclass(frozen=True)
class SharedWeek:
    """What all lifts together showed in a hard week, ln beside their own levels, and the spread of that reading."""

    week: int
    ln: float
    sd: float


def shared_weeks(shown: Mapping[str, Sequence[Shown]]) -> tuple[SharedWeek, ...]:
    """The hard weeks of the lifts done in most of them, each lift beside its own mean.

    Lifts of one day share its form, so the spread counts days and not lifts.
    """
    numbers = sorted({one.week for rows in shown.values() for one in rows})
    kept = [rows for rows in shown.values() if len(rows) >= OFTEN * len(numbers)]
    if len(kept) < 2:
        return ()
    found = []
    for number in numbers:
        there = [(one, fmean(row.ln_kg for row in rows)) for rows in kept for one in rows if one.week == number]
        if there:
            days = len({day for one, _ in there for day in one.dates})
            found.append(SharedWeek(number, fmean(one.ln_kg - level for one, level in there), sd_of(days)))
    return tuple(found)


def chance_of_standing_still(weeks: Sequence[SharedWeek]) -> float:
    """Chance that gains ended two hard weeks ago or earlier, beside gains that go on.

    Gaining: a straight line whose weekly gain is usual (``USUAL_GAIN`` give or take ``USUAL_GAIN_SD``). Still: the same
    line up to a week, flat from there on; a week on which it ends has the same chance as any other.
    """
    at = np.array([one.week for one in weeks], dtype=float)
    seen = np.array([one.ln for one in weeks])
    noise = np.diag([one.sd**2 for one in weeks])
    ends = list(at[1:-1])
    scores = [fit_of(at - at[0], seen, noise)]
    scores += [fit_of(np.minimum(at, end) - at[0], seen, noise) for end in ends]
    shares = np.log([1.0 - ENDS_A_WEEK * len(ends), *[ENDS_A_WEEK] * len(ends)])
    weights = np.exp(np.array(scores) + shares - max(scores))
    return float(weights[1:].sum() / weights.sum())


def fit_of(course: Floats, seen: Floats, noise: Floats) -> float:
    """ln of the likelihood of readings about a level nobody knows and a usual gain along a course of weeks."""
    cov = noise + LEVEL_SD**2 + USUAL_GAIN_SD**2 * np.outer(course, course)
    off = seen - USUAL_GAIN * course
    _, size = np.linalg.slogdet(cov)
    return -0.5 * (float(off @ np.linalg.solve(cov, off)) + float(size))


def leans_still(shown: Mapping[str, Sequence[Shown]]) -> bool:
    """False where all lifts together speak for gains that go on; True where they lean the other way, or tell nothing.

    Lifts of one day share its form, so one lift without a gain among gaining ones is mostly luck.
    """
    weeks = shared_weeks(shown)
    return len(weeks) < LEAST_STILL_WEEKS or chance_of_standing_still(weeks) >= LEANS_STILL


def standing_still(shown: Mapping[str, Sequence[Shown]]) -> list[Finding]:
    """Lifts that together probably stopped gaining. It takes weeks: a day more or less is five weeks' gain."""
    weeks = shared_weeks(shown)
    if len(weeks) < LEAST_STILL_WEEKS:
        return []
    sure = chance_of_standing_still(weeks)
    if sure < SURE_STILL:
        return []
    half = len(weeks) // 2
    change = fmean(one.ln for one in weeks[-half:]) - fmean(one.ln for one in weeks[:half])
    evidence = (
        f"All lifts together {100 * change:+.1f} % in the newer half of {len(weeks)} hard weeks against the older; "
        f"{100 * USUAL_GAIN:g} % a week is usual after the first year, and one day more or less is 2.5 %."
    )
    asks = "Ask about sleep, food and effort; then change one thing: sets, repetitions or the lift, for three weeks."
    return [Finding("standing still", "all lifts", evidence, round(sure, 2), asks, 57)]
