"""How much a day and a week were: session RPE times minutes, monotony and strain, and weighted averages.

Conventions, stated in every output: rest days count as 0; the standard deviation is over the seven days with
n - 1 (that with n stands beside it); where it is 0, monotony is not defined (never infinite). No injury is predicted,
and no acute-to-chronic ratio is computed: Lolli 2019 and Impellizzeri 2021 show why it misleads.
Source: Foster 1998, 2001 (formulas seen; which deviation was meant is not stated there).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import log, sqrt

from setwright.strength.logged import LoggedSession

MONOTONY_SD = "n-1"
HALF_LIVES_DAYS = (7.0, 28.0)
ENOUGH_DAYS = 28  # rule M05: before, too much of a weighted average is still its first day


@dataclass(frozen=True)
class DayLoad:
    """One day: load in arbitrary units (RPE x min), 0 for a rest day; sessions rated, and those left unrated."""

    date: date
    load_au: float
    sessions: int
    unrated: int


@dataclass(frozen=True)
class WeekLoad:
    """One week of seven days from ``start``: load in arbitrary units (RPE x min), monotony and strain or None.

    ``monotony`` and ``strain`` use the deviation with n - 1, those ``_by_n`` the one with n. ``sessions``: those with
    both RPE and minutes; ``unrated``: those that lack one, which count as 0. ``days``: the seven days, rest days too.
    """

    start: date
    load_au: float
    monotony: float | None
    strain: float | None
    sessions: int
    monotony_by_n: float | None = None
    strain_by_n: float | None = None
    unrated: int = 0
    days: tuple[DayLoad, ...] = ()


@dataclass(frozen=True)
class WeightedLoad:
    """Daily load averaged with weights that halve every ``half_life_days``, as of ``as_of``.

    ``load_au``: the weighted mean of all days since ``first`` (weights sum to 1, so nothing has to be assumed before).
    ``recursive_au``: the same by steps, next = smoothing x day + (1 - smoothing) x last, starting from ``seed_au``, the
    load of the first day; ``seed_share``: how much of it is still that seed. ``is_enough``: rests on 28 days or more.
    """

    half_life_days: float
    smoothing: float
    as_of: date
    first: date
    days: int
    load_au: float
    recursive_au: float
    seed_au: float
    seed_share: float
    is_enough: bool


def session_load(rpe: float, minutes: float) -> float:
    """Load of one session, arbitrary units: session RPE (0 to 10) times minutes. Source: Foster 2001.

    >>> session_load(5, 60)
    300
    """
    return rpe * minutes


def monotony_of(daily: Sequence[float], less: int = 1) -> float | None:
    """Mean over standard deviation (n - ``less``) of the daily loads, or None where the deviation is 0.

    >>> monotony_of([0, 0, 0, 0, 0, 0, 0]) is None
    True
    """
    mean = sum(daily) / len(daily)
    variance = sum((one - mean) ** 2 for one in daily) / (len(daily) - less)
    if variance <= 1e-12 * max(1.0, mean * mean):
        return None
    return mean / sqrt(variance)


def daily_loads(sessions: Sequence[LoggedSession], first: date, last: date) -> tuple[DayLoad, ...]:
    """The load of every day from ``first`` to ``last``, both included; rest days are 0."""
    by_day: dict[date, list[LoggedSession]] = {}
    for one in sessions:
        if one.is_session:
            by_day.setdefault(one.date, []).append(one)
    made = []
    for offset in range((last - first).days + 1):
        day = first + timedelta(days=offset)
        rated = [
            session_load(one.session_rpe, one.minutes)
            for one in by_day.get(day, ())
            if one.session_rpe is not None and one.minutes is not None
        ]
        made.append(DayLoad(day, sum(rated), len(rated), len(by_day.get(day, ())) - len(rated)))
    return tuple(made)


def week_load(sessions: Sequence[LoggedSession], start: date) -> WeekLoad:
    """The load of the seven days from ``start``; sessions without RPE or minutes are left out."""
    days = daily_loads(sessions, start, start + timedelta(days=6))
    daily = [one.load_au for one in days]
    total = sum(daily)
    monotony, by_n = monotony_of(daily), monotony_of(daily, 0)
    return WeekLoad(
        start,
        total,
        monotony,
        None if monotony is None else total * monotony,
        sum(one.sessions for one in days),
        by_n,
        None if by_n is None else total * by_n,
        sum(one.unrated for one in days),
        days,
    )


def smoothing_of(half_life_days: float) -> float:
    """The share of a new day in a weighted average whose weights halve every so many days: 1 - 2^(-1 / half life).

    >>> smoothing_of(1)
    0.5
    """
    if half_life_days <= 0:
        raise ValueError(f"half_life_days is {half_life_days}, expected a number > 0")
    return 1.0 - float(2.0 ** (-1.0 / half_life_days))


def half_life_of(smoothing: float) -> float:
    """The half life in days of a weighted average with that share of a new day: log 0.5 / log (1 - smoothing).

    >>> half_life_of(0.5)
    1.0
    """
    if not 0 < smoothing < 1:
        raise ValueError(f"smoothing is {smoothing}, expected a number between 0 and 1")
    return log(0.5) / log(1.0 - smoothing)


def weighted_load(days: Sequence[DayLoad], half_life_days: float) -> WeightedLoad | None:
    """The weighted average of daily loads, newest last and without gaps, or None where there are none."""
    if not days:
        return None
    share = smoothing_of(half_life_days)
    keep = 1.0 - share
    seed = days[0].load_au
    recursive, weighted, weights = seed, seed, 1.0
    for one in days[1:]:
        recursive = share * one.load_au + keep * recursive
        weighted, weights = one.load_au + keep * weighted, 1.0 + keep * weights
    count = len(days)
    return WeightedLoad(
        half_life_days,
        share,
        days[-1].date,
        days[0].date,
        count,
        weighted / weights,
        recursive,
        seed,
        keep ** (count - 1),
        count >= ENOUGH_DAYS,
    )
