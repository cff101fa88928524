"""A slow part and a fast part behind the course of one lift: shown with intervals, or refused in words.

Two ideas: every day of load leaves something that lasts (the slow part, which lifts performance) and something that
passes (the fast part, which lowers it), each fading by half of its own time; and the two are often so alike that no
log can tell them apart. Then nothing is shown. It explains the past; no load is ever planned from it.

Source: Banister et al. 1975 (form, from memory); Hellard et al. 2006 for how far the times of swimmers lay: slow 38
(17 to 59) days, fast 19 (6 to 32) days, and for the warning that they can hardly be told apart (seen). Those ranges
bound the search here. Intervals: profile likelihood, normal errors.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import exp

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import nnls

from setwright.catalogue.store import Catalogue
from setwright.review.load_monitoring import DayLoad
from setwright.strength.logged import Log, LoggedSet

Floats = NDArray[np.float64]
SLOW_DAYS, FAST_DAYS = (17.0, 59.0), (6.0, 32.0)  # time constants; Hellard 2006
LEAST_APART = 5.0  # days between the two, so that they never swap places
GRID = 1.5  # days between the time constants that are tried
FINE_POINTS, FINER = 22, 1  # then over the part that fits about as well
LEAST_MEASURES, LEAST_SPAN_DAYS, LEAST_RATED_DAYS = 12, 42, 28  # common practice, no published source
CUT_95 = 3.84  # chi-square of one parameter, 95 %
WIDE = 0.8  # share of the allowed range: an interval this wide tells nothing
MOST_CORRELATED = 0.99  # of the two sizes at the best times
USUAL_K, MOST_REPS = 0.032, 12.0  # of the rep curve, to read a set as a 1RM
DRAWS, SEED = 400, 20060101


@dataclass(frozen=True)
class Between:
    """A best value with its 95 % interval."""

    best: float
    low: float
    high: float


@dataclass(frozen=True)
class PartDay:
    """One part on one day, per cent of the mean performance: median and 10 to 90 % range."""

    date: dt.date
    p50: float
    p10: float
    p90: float


@dataclass(frozen=True)
class Measured:
    """One measure of performance: a 1RM in kg, tested or read from a set with a called reserve."""

    date: dt.date
    value: float


@dataclass(frozen=True)
class SlowAndFast:
    """The two parts of a lift's course, or ``why`` they are not shown (then the parts are empty, times None).

    ``slow_days``, ``fast_days``: time constants (a part falls to 37 % in one), with 95 % intervals.
    ``slow`` lifts and ``fast`` lowers performance, per cent of the mean of the measures; each has
    its own chart.
    """

    exercise: str
    is_shown: bool
    why: str
    measures: tuple[Measured, ...]
    slow_days: Between | None = None
    fast_days: Between | None = None
    slow: tuple[PartDay, ...] = ()
    fast: tuple[PartDay, ...] = ()
    left_percent: float | None = None


def left_of(loads: Floats, days: float) -> Floats:
    """What is left on the morning of each day of all loads before it, each fading with a time constant in days."""
    keep = exp(-1.0 / days)
    found = np.zeros(len(loads))
    for day in range(1, len(loads)):
        found[day] = keep * (found[day - 1] + loads[day - 1])
    return found


def one_rm_of(one: LoggedSet) -> float | None:
    """A set read as a 1RM, kg, by the usual rep curve, or None where nothing says how near to failure it was."""
    left = 0.0 if one.ended_by == "muscle" else one.rir
    if left is None or not one.reps or not one.load_kg or one.load_kg <= 0 or one.reps + left > MOST_REPS:
        return None
    return one.load_kg * exp(USUAL_K * (one.reps + left - 1.0))


def measures_of(log_: Log, catalogue: Catalogue) -> Mapping[str, tuple[Measured, ...]]:
    """The best 1RM of each day for each lift whose load is all on the bar, machine or in the hands."""
    best: dict[str, dict[dt.date, float]] = {}
    for one in log_.sets:
        value = one_rm_of(one) if one.part not in ("warm-up", "filler") else None
        exercise = catalogue.get(one.exercise)
        if value is not None and (one.load_means or exercise.load_means) in ("total", "each hand"):
            days = best.setdefault(exercise.slug, {})
            days[one.date] = max(value, days.get(one.date, 0.0))
    return {
        slug: tuple(Measured(day, value) for day, value in sorted(days.items())) for slug, days in sorted(best.items())
    }


def slow_and_fast_of_log(log_: Log, days: Sequence[DayLoad], catalogue: Catalogue) -> SlowAndFast | None:
    """The two parts for the lift with the most measures, or None where no lift can be read."""
    found = measures_of(log_, catalogue)
    if not found:
        return None
    slug = max(found, key=lambda one: (len(found[one]), one))
    return slow_and_fast(slug, days, found[slug])


def slow_and_fast(exercise: str, days: Sequence[DayLoad], measures: Sequence[Measured]) -> SlowAndFast:
    """The two parts behind measures of one lift, or why they can't be told apart.

    days : daily loads without gaps; measures : on some of these days, each taken before that day's load counts
    """
    told = tuple(one for one in measures if days and days[0].date <= one.date <= days[-1].date)

    def refused(why: str) -> SlowAndFast:
        return SlowAndFast(exercise, False, why, told)

    few = too_few(days, told)
    if few:
        return refused(few)
    loads = np.array([one.load_au for one in days])
    loads = loads / max(loads.mean(), 1e-9)
    rows = np.array([(one.date - days[0].date).days for one in told])
    mean = float(np.mean([one.value for one in told]))
    measured = 100.0 * np.array([one.value for one in told]) / mean
    freedom = len(told) - 5
    pairs, tries, off = fits(loads, rows, measured, *usual_grid())
    for _ in range(FINER):
        pairs, tries, off = fits(loads, rows, measured, *finer_grid(pairs[off <= CUT_95]))
    errors = np.array([one[1] for one in tries])
    best = int(np.argmin(errors))
    inside = pairs[off <= CUT_95]
    flat = cannot_tell(inside, tries[best][0], pairs[best], loads, rows, measured, float(errors[best]))
    if flat:
        return refused(flat)
    slow_days = Between(float(pairs[best][0]), float(inside[:, 0].min()), float(inside[:, 0].max()))
    fast_days = Between(float(pairs[best][1]), float(inside[:, 1].min()), float(inside[:, 1].max()))
    slow, fast = drawn_parts(loads, rows, measured, pairs, off, errors)
    return SlowAndFast(
        exercise,
        True,
        "",
        told,
        slow_days,
        fast_days,
        part_days(days, slow),
        part_days(days, fast),
        float(np.sqrt(errors[best] / freedom)),
    )


def too_few(days: Sequence[DayLoad], told: Sequence[Measured]) -> str:
    """Why there is too little to try, or an empty text."""
    if len(told) < LEAST_MEASURES:
        return f"{len(told)} days with a measure of this lift; at least {LEAST_MEASURES} are needed"
    span = (told[-1].date - told[0].date).days
    if span < LEAST_SPAN_DAYS:
        return f"the measures span {span} days; at least {LEAST_SPAN_DAYS} are needed"
    rated = sum(1 for one in days if one.load_au > 0)
    if rated < LEAST_RATED_DAYS:
        return f"{rated} days with a load (RPE and minutes); at least {LEAST_RATED_DAYS} are needed"
    return ""


def design(loads: Floats, rows: NDArray[np.int64], pair: Floats) -> Floats:
    """Columns of the model at the measures: the base, the slow part, less the fast part."""
    slow, fast = left_of(loads, float(pair[0])), left_of(loads, float(pair[1]))
    return np.column_stack([np.ones(len(rows)), slow[rows], -fast[rows]])


def usual_grid() -> tuple[Floats, Floats]:
    """The time constants that are tried first, slow and fast."""
    return np.arange(SLOW_DAYS[0], SLOW_DAYS[1] + 1e-9, GRID), np.arange(FAST_DAYS[0], FAST_DAYS[1] + 1e-9, GRID)


def finer_grid(inside: Floats) -> tuple[Floats, Floats]:
    """Time constants over the pairs that fit about as well and one step of the first grid beyond, inside the limits."""
    axes = []
    for column, (low, high) in enumerate((SLOW_DAYS, FAST_DAYS)):
        least, most = inside[:, column].min() - GRID, inside[:, column].max() + GRID
        axes.append(np.linspace(max(low, least), min(high, most), FINE_POINTS))
    return axes[0], axes[1]


def fits(
    loads: Floats, rows: NDArray[np.int64], measured: Floats, slow: Floats, fast: Floats
) -> tuple[Floats, list[tuple[Floats, float]], Floats]:
    """Every pair of time constants allowed, with the sizes that fit best (none below 0) and the squared error left.

    The last value is how much worse each pair fits than the best: twice the difference of log likelihood.
    """
    pairs = np.array([(one, two) for one in slow for two in fast if one >= two + LEAST_APART])
    lefts = {float(one): left_of(loads, float(one))[rows] for one in {*slow, *fast}}
    tries = []
    for one, two in pairs:
        sizes, left = nnls(np.column_stack([np.ones(len(rows)), lefts[float(one)], -lefts[float(two)]]), measured)
        tries.append((sizes, float(left) ** 2))
    errors = np.maximum(np.array([one[1] for one in tries]), 1e-12)
    return pairs, tries, (len(rows) - 5) * np.log(errors / errors.min())


def cannot_tell(
    inside: Floats, sizes: Floats, pair: Floats, loads: Floats, rows: NDArray[np.int64], measured: Floats, error: float
) -> str:
    """Why the two parts can't be told apart, or an empty text. ``inside``: the pairs that fit about as well."""
    _, slow, fast = sizes
    if slow <= 1e-9 or fast <= 1e-9:
        return f"the {'slow' if slow <= 1e-9 else 'fast'} part can't be told from none"
    for name, column, (low, high) in (("slow", 0, SLOW_DAYS), ("fast", 1, FAST_DAYS)):
        least, most = float(inside[:, column].min()), float(inside[:, column].max())
        if most - least >= WIDE * (high - low):
            return f"the time of the {name} part may be anything from {least:.0f} to {most:.0f} days"
    columns = design(loads, rows, pair)
    spread = np.linalg.pinv(columns.T @ columns)
    linked = abs(spread[1, 2]) / max(float(np.sqrt(spread[1, 1] * spread[2, 2])), 1e-12)
    if linked > MOST_CORRELATED:
        return "the two parts rise and fall together: more of one could be less of the other"
    scatter = error / (len(rows) - 5)
    for name, size, row in (("slow", slow, 1), ("fast", fast, 2)):
        if size < 2.0 * float(np.sqrt(scatter * spread[row, row])):
            return f"the {name} part can't be told from none"
    return ""


def drawn_parts(
    loads: Floats, rows: NDArray[np.int64], measured: Floats, pairs: Floats, off: Floats, errors: Floats
) -> tuple[Floats, Floats]:
    """Draws of both parts, a row each: times by how well they fit, sizes by their spread, none below 0. Seed fixed."""
    chance = np.random.default_rng(SEED)
    weights = np.exp(-0.5 * off)
    chosen = chance.choice(len(pairs), size=DRAWS, p=weights / weights.sum())
    slow, fast = [], []
    for one in chosen:
        columns = design(loads, rows, pairs[one])
        spread = np.linalg.pinv(columns.T @ columns)
        middle = spread @ columns.T @ measured
        sizes = chance.multivariate_normal(middle, spread * errors[one] / (len(rows) - 5), method="svd")
        if min(sizes[1:]) > 0:
            slow.append(sizes[1] * left_of(loads, float(pairs[one][0])))
            fast.append(sizes[2] * left_of(loads, float(pairs[one][1])))
    return np.array(slow), np.array(fast)


def part_days(days: Sequence[DayLoad], drawn: Floats) -> tuple[PartDay, ...]:
    """One part day by day, from its draws."""
    low, middle, high = np.quantile(drawn, (0.1, 0.5, 0.9), axis=0)
    return tuple(
        PartDay(one.date, float(middle[row]), float(low[row]), float(high[row])) for row, one in enumerate(days)
    )
