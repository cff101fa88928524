"""Critical power and critical speed from all-out efforts, with intervals; or a refusal in words.

Two ideas carry this module. One: between about two and twenty-five minutes the time t that a power P can be held is
``t = W' / (P - CP)``: CP is the power that could be held long, W' the work above it that is there once. With a third
number, the most power of an instant, ``t = W' / (P - CP) - W' / (Pmax - CP)``. For speed read CS, D' and metres. Two:
for a given CP both are straight lines in the rest, so the fit is a search along one number, and so are the intervals:
profile likelihood, 10 to 90 %, errors in proportion to the time.

Source: Monod and Scherrer 1965 (two numbers, from memory); Morton 1996 (three, abstract seen); that short efforts
alone give too much: Mattioni Maturana 2018 (abstract seen). Limits of use below are common practice where not named.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.special import stdtrit

from setwright.strength.spread import Spread

Floats = NDArray[np.float64]
Measure = Literal["power", "speed"]
Errors = Literal["proportional", "even"]

SHORTEST_S, LONGEST_S = 120.0, 1500.0  # efforts that the curve of two numbers is for
LEAST_TRIALS, LEAST_TRIALS_OF_THREE = 3, 4
LEAST_RATIO = 2.0  # longest effort over the shortest
LONG_ENOUGH_S = 600.0  # without one as long, CP comes out too high (Mattioni Maturana 2018)
MOST_DAYS = 56  # from the first effort to the last: the same person, not a fitter one
WIDEST = 0.10  # of CP, to either side, from which it tells nothing
INSIDE = 0.8  # share of the interval that is given: 10 to 90 %
STEPS, HALVINGS = 48, 28
OPEN = 50.0  # times the best: an interval that reaches so far has no upper end


@dataclass(frozen=True)
class Trial:
    """One all-out effort: mean power in W or mean speed in m/s, and how long it lasted, s."""

    date: date
    rate: float
    time_s: float


@dataclass(frozen=True)
class Fit:
    """A curve through the efforts.

    critical : W or m/s; reserve : J or m; most : W or m/s, only of three numbers
    scatter : residual spread, as a share of the time, or in s where errors are even
    """

    parameters: Literal[2, 3]
    critical: Spread
    reserve: Spread
    most: Spread | None
    scatter: float
    efforts: int


@dataclass(frozen=True)
class CriticalRate:
    """Critical power or speed of one exercise, or why it is refused (then no fit).

    fits : the curve of two numbers, and that of three where the efforts support it
    other_forms : critical rate by the two straight lines through the same efforts: work on time, rate on 1/time
    notes : what to know of it; unused : efforts left out, each with its reason
    """

    exercise: str
    measure: Measure
    trials: tuple[Trial, ...]
    fits: tuple[Fit, ...]
    why_not: str = ""
    why_not_three: str = ""
    other_forms: tuple[tuple[str, float], ...] = ()
    notes: tuple[str, ...] = ()
    unused: tuple[str, ...] = ()


def critical_rate(exercise: str, measure: Measure, trials: Sequence[Trial]) -> CriticalRate:
    """Critical power or speed from the all-out efforts of one exercise, or why the log does not support it."""
    newest = max((one.date for one in trials), default=None)
    kept, unused = [], []
    for one in sorted(trials, key=lambda one: (one.date, one.time_s)):
        days = (newest - one.date).days if newest is not None else 0
        if days > MOST_DAYS:
            unused.append(f"{one.date.isoformat()}: {days} days before the newest")
        else:
            kept.append(one)
    usual = [one for one in kept if SHORTEST_S <= one.time_s <= LONGEST_S]
    short = [one for one in kept if one.time_s < SHORTEST_S]
    unused += [f"{one.date.isoformat()}: over 25 min" for one in kept if one.time_s > LONGEST_S]
    why = refused(usual)
    found = None if why else two_numbers(usual)
    if not why and (found is None or too_wide(found)):
        why = "No such curve goes through the efforts." if found is None else wide_words(found)
    if why or found is None:
        return CriticalRate(exercise, measure, tuple(usual), (), why, "", (), (), tuple(unused))
    all_of_them = [*short, *usual]
    three, why_three = None, refused_three(all_of_them)
    if not why_three:
        three = three_numbers(all_of_them)
        if three is None or too_wide(three) or is_open(three):
            three, why_three = None, "The efforts leave the third number open."
    unused += [f"{one.date.isoformat()}: under 2 min, for the curve of three only" for one in short if three is None]
    fits = (found,) if three is None else (found, three)
    forms = (("work on time", work_on_time(usual)[0].mean), ("rate on 1/time", rate_on_inverse(usual)[0].mean))
    return CriticalRate(exercise, measure, tuple(usual), fits, "", why_three, forms, notes_on(usual), tuple(unused))


def refused(trials: Sequence[Trial]) -> str:
    """Why efforts support no curve of two numbers, or an empty text."""
    if len({round(one.rate, 3) for one in trials}) < LEAST_TRIALS:
        efforts = "1 all-out effort" if len(trials) == 1 else f"{len(trials)} all-out efforts"
        return (
            f"{efforts} of 2 to 25 min within {MOST_DAYS} days; {LEAST_TRIALS} at different paces "
            "are needed. Mark each as test=true among the dials, with its watts or metres and its time."
        )
    times = [one.time_s for one in trials]
    by_time = sorted(trials, key=lambda one: one.time_s)
    if by_time[-1].rate >= by_time[0].rate:
        return "The longest effort was faster than the shortest: they were not all all-out, or not in one shape."
    if max(times) < LEAST_RATIO * min(times):
        return (
            f"The longest effort, {max(times):.0f} s, is not twice the shortest, {min(times):.0f} s: "
            "the curve stays open."
        )
    return ""


def refused_three(trials: Sequence[Trial]) -> str:
    """Why efforts support no curve of three numbers, or an empty text."""
    if len({round(one.rate, 3) for one in trials}) < LEAST_TRIALS_OF_THREE:
        return f"Three numbers need {LEAST_TRIALS_OF_THREE} efforts, one of them under 2 min."
    if min(one.time_s for one in trials) >= SHORTEST_S:
        return "Three numbers need an all-out effort under 2 min."
    return ""


def too_wide(fit: Fit) -> bool:
    """True where the interval of the critical rate tells nothing."""
    return max(fit.critical.p90 - fit.critical.mean, fit.critical.mean - fit.critical.p10) > WIDEST * fit.critical.mean


def is_open(fit: Fit) -> bool:
    """True where the most power has no upper end."""
    return fit.most is not None and fit.most.p90 > 0.5 * OPEN * fit.most.mean


def wide_words(fit: Fit) -> str:
    """Why a fit is refused for its width."""
    return (
        f"The efforts leave it between {fit.critical.p10:.4g} and {fit.critical.p90:.4g}: too wide to train by. "
        "Another effort of 10 to 20 min would settle it most."
    )


def notes_on(trials: Sequence[Trial]) -> tuple[str, ...]:
    """What to know of a fit: short efforts alone, few efforts."""
    found = []
    if max(one.time_s for one in trials) < LONG_ENOUGH_S:
        found.append(
            "No effort of 10 min or more: critical power likely comes out too high (Mattioni Maturana 2018, seen)."
        )
    if len(trials) == LEAST_TRIALS:
        found.append("Three efforts: the interval rests on a single spare one.")
    return tuple(found)


def columns(trials: Sequence[Trial]) -> tuple[Floats, Floats]:
    """Rates and times."""
    return np.array([one.rate for one in trials]), np.array([one.time_s for one in trials])


def weights_of(times: Floats, errors: Errors) -> Floats:
    """Weights of the residuals: 1 over the time where errors grow with it."""
    return 1.0 / times if errors == "proportional" else np.ones_like(times)


def two_numbers(trials: Sequence[Trial], errors: Errors = "proportional") -> Fit | None:
    """t = W' / (P - CP), or None where no such curve falls through the efforts."""
    rates, times = columns(trials)
    weights = weights_of(times, errors)

    def left(critical: float, reserve: float | None = None) -> tuple[float, float]:
        """(weighted squares left, reserve): the best one for a critical rate, unless it is given."""
        basis = weights / (rates - critical)
        goal = weights * times
        best = float(basis @ goal / (basis @ basis)) if reserve is None else reserve
        return float(np.sum((goal - best * basis) ** 2)), best

    top = float(rates.min())
    critical = lowest(lambda one: left(one)[0], 0.0, top)
    least, reserve = left(critical)
    if reserve <= 0 or critical <= 1e-6 * top or critical >= top * (1 - 1e-9):
        return None
    free = len(times) - 2
    limit = cut(least, free)
    ends = interval(lambda one: left(one)[0], critical, 0.0, top, limit)
    best_for = profile(lambda rate, fixed: left(rate, fixed)[0], top)
    held = interval(best_for, reserve, 0.0, OPEN * reserve, limit)
    return Fit(2, spread(critical, ends), spread(reserve, held), None, float(np.sqrt(least / free)), len(times))


def three_numbers(trials: Sequence[Trial], errors: Errors = "proportional") -> Fit | None:
    """t = W' / (P - CP) - W' / (Pmax - CP), or None where the efforts give no most power above all of them.

    Source: Morton 1996, Ergonomics 39:611 (abstract seen).
    """
    rates, times = columns(trials)
    weights, goal = weights_of(times, errors), weights_of(times, errors) * times

    def basis(critical: float) -> Floats:
        return np.column_stack([weights / (rates - critical), -weights])

    def left(critical: float) -> tuple[float, Floats]:
        held = basis(critical)
        best = np.linalg.lstsq(held, goal, rcond=None)[0]
        if best[1] < 0:  # a most power below infinity only
            one = held[:, 0]
            best = np.array([one @ goal / (one @ one), 0.0])
        return float(np.sum((goal - held @ best) ** 2)), np.asarray(best, dtype=np.float64)

    def left_with(critical: float, reserve: float) -> float:
        held = basis(critical)
        rest = goal - reserve * held[:, 0]
        shift = max(0.0, float(held[:, 1] @ rest / (held[:, 1] @ held[:, 1])))
        return float(np.sum((rest - shift * held[:, 1]) ** 2))

    def left_at(critical: float, most: float) -> float:
        one = weights * (1.0 / (rates - critical) - 1.0 / (most - critical))
        return float(np.sum((goal - (one @ goal / (one @ one)) * one) ** 2))

    top, fastest = float(rates.min()), float(rates.max())
    critical = lowest(lambda one: left(one)[0], 0.0, top)
    least, best = left(critical)
    reserve, shift = float(best[0]), float(best[1])
    if reserve <= 0 or shift <= 0 or critical <= 1e-6 * top or critical >= top * (1 - 1e-9):
        return None
    most = critical + reserve / shift
    free = len(times) - 3
    limit = cut(least, free)
    ends = interval(lambda one: left(one)[0], critical, 0.0, top, limit)
    held = interval(profile(left_with, top), reserve, 0.0, OPEN * reserve, limit)
    peak = interval(profile(left_at, top), most, fastest * (1 + 1e-6), OPEN * most, limit)
    return Fit(
        3,
        spread(critical, ends),
        spread(reserve, held),
        spread(most, peak),
        float(np.sqrt(least / free)),
        len(times),
    )


def work_on_time(trials: Sequence[Trial]) -> tuple[Spread, Spread]:
    """(critical rate, reserve) by the straight line of work on time: W = W' + CP t. Source: Moritani 1981, memory."""
    rates, times = columns(trials)
    return line(times, rates * times)


def rate_on_inverse(trials: Sequence[Trial]) -> tuple[Spread, Spread]:
    """(critical rate, reserve) by the straight line of rate on 1/time: P = CP + W' / t. Source: Whipp 1982, memory."""
    rates, times = columns(trials)
    slope, start = line(1.0 / times, rates)
    return start, slope


def line(across: Floats, up: Floats) -> tuple[Spread, Spread]:
    """(slope, start) of the least-squares line, with the 10 to 90 % points of Student's t."""
    count = len(across)
    middle = across.mean()
    width = float(((across - middle) ** 2).sum())
    slope = float(((across - middle) * (up - up.mean())).sum() / width)
    start = float(up.mean() - slope * middle)
    free = max(1, count - 2)
    noise = float(np.sqrt(((up - start - slope * across) ** 2).sum() / free))
    errors = (noise / np.sqrt(width), noise * np.sqrt(1.0 / count + middle**2 / width))
    times = float(stdtrit(free, 0.5 + INSIDE / 2))
    return tuple(  # type: ignore[return-value]
        Spread(value, value - times * float(error), value + times * float(error), float(error))
        for value, error in zip((slope, start), errors, strict=True)
    )


def profile(left: Callable[[float, float], float], top: float) -> Callable[[float], float]:
    """The squares left by the best critical rate for each value of another number."""
    return lambda fixed: left(lowest(lambda rate: left(rate, fixed), 0.0, top), fixed)


def cut(least: float, free: int) -> float:
    """The squares left at which a profile leaves its interval: those of the best fit times 1 + t^2 / free."""
    if free < 1:
        return float("inf")
    times = float(stdtrit(free, 0.5 + INSIDE / 2))
    return least * (1.0 + times**2 / free)


def lowest(of: Callable[[float], float], low: float, high: float) -> float:
    """Where a function is lowest between two ends, both left out: a grid, then the golden section around its best."""
    grid = low + (high - low) * (1.0 - np.geomspace(1.0, 1e-6, STEPS)[1:])
    values = [of(float(one)) for one in grid]
    at = int(np.argmin(values))
    left = float(grid[max(0, at - 1)])
    right = float(grid[min(len(grid) - 1, at + 1)])
    ratio = (np.sqrt(5.0) - 1.0) / 2.0
    a, b = right - ratio * (right - left), left + ratio * (right - left)
    first, second = of(a), of(b)
    for _ in range(HALVINGS):
        if first < second:
            right, b, second = b, a, first
            a = right - ratio * (right - left)
            first = of(a)
        else:
            left, a, first = a, b, second
            b = left + ratio * (right - left)
            second = of(b)
    return float(0.5 * (left + right))


def interval(of: Callable[[float], float], best: float, low: float, high: float, limit: float) -> tuple[float, float]:
    """Where a profile passes a limit on either side of its best; an end where it never does."""
    if not np.isfinite(limit):
        return low, high
    return crossing(of, best, low, limit), crossing(of, best, high, limit)


def crossing(of: Callable[[float], float], best: float, end: float, limit: float) -> float:
    """The place between the best and an end where a profile passes a limit, by halving; the end where it does not."""
    near, far = best, best
    for share in (0.005, 0.02, 0.05, 0.1, 0.2, 0.4, 0.6, 0.8, 0.9, 0.97, 0.999):
        far = best + share * (end - best)
        if of(far) > limit:
            break
        near = far
    else:
        return end
    for _ in range(HALVINGS):
        middle = 0.5 * (near + far)
        if of(middle) > limit:
            far = middle
        else:
            near = middle
    return 0.5 * (near + far)


def spread(best: float, ends: tuple[float, float]) -> Spread:
    """A best value with its ends; the standard deviation as of a bell curve with that width."""
    return Spread(best, ends[0], ends[1], (ends[1] - ends[0]) / (2 * 1.2815515655446004))
