"""How much a week was: session RPE times minutes, monotony and strain.

Conventions, stated in every output: rest days count as 0; the standard deviation is over the seven days with
n - 1; where it is 0, monotony is not defined (never infinite). No injury is predicted, and no
acute-to-chronic ratio is computed: Lolli 2019 and Impellizzeri 2021 show why it misleads.
Source: Foster 1998, 2001 (formulas seen; which deviation was meant is not stated there).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import sqrt

from setwright.strength.logged import LoggedSession

MONOTONY_SD = "n-1"


@dataclass(frozen=True)
class WeekLoad:
    """One week of seven days from ``start``: load in arbitrary units (RPE x min), monotony and strain or None."""

    start: date
    load_au: float
    monotony: float | None
    strain: float | None
    sessions: int


def session_load(rpe: float, minutes: float) -> float:
    """Load of one session, arbitrary units: session RPE (0 to 10) times minutes. Source: Foster 2001.

    >>> session_load(5, 60)
    300
    """
    return rpe * minutes


def monotony_of(daily: Sequence[float]) -> float | None:
    """Mean over standard deviation (n - 1) of the daily loads, or None where the deviation is 0.

    >>> monotony_of([0, 0, 0, 0, 0, 0, 0]) is None
    True
    """
    mean = sum(daily) / len(daily)
    variance = sum((one - mean) ** 2 for one in daily) / (len(daily) - 1)
    if variance <= 1e-12:
        return None
    return mean / sqrt(variance)


def week_load(sessions: Sequence[LoggedSession], start: date) -> WeekLoad:
    """The load of the seven days from ``start``; sessions without RPE or minutes are left out."""
    days = [start + timedelta(days=offset) for offset in range(7)]
    complete = [one for one in sessions if one.session_rpe is not None and one.minutes is not None and one.date in days]
    daily = [
        sum(session_load(one.session_rpe or 0.0, one.minutes or 0.0) for one in complete if one.date == day)
        for day in days
    ]
    total = sum(daily)
    monotony = monotony_of(daily)
    return WeekLoad(start, total, monotony, None if monotony is None else total * monotony, len(complete))
