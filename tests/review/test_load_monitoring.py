"""Load of days and weeks, monotony, strain, weighted averages: against hand work, statistics and pandas."""

from __future__ import annotations

from dataclasses import asdict
from datetime import date, timedelta
from math import inf
from statistics import fmean, pstdev, stdev

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.review import load_monitoring
from setwright.review.load_monitoring import (
    DayLoad,
    daily_loads,
    half_life_of,
    monotony_of,
    smoothing_of,
    week_load,
    weighted_load,
)
from setwright.strength.logged import LoggedSession

MONDAY = date(2026, 9, 7)
LOADS = st.lists(st.floats(0, 2000), min_size=7, max_size=7)


def days_of(loads: list[float]) -> tuple[DayLoad, ...]:
    return tuple(DayLoad(MONDAY + timedelta(days=n), load, 1, 0) for n, load in enumerate(loads))


def sessions_of(loads: list[float]) -> list[LoggedSession]:
    return [LoggedSession(MONDAY + timedelta(days=n), 1, "", load / 60, 60) for n, load in enumerate(loads) if load]


@given(LOADS)
def test_monotony_is_mean_over_deviation_and_never_infinite(loads: list[float]) -> None:
    """Referee: the standard library's statistics, both deviations; Foster 1998 for the formula (seen)."""
    week = week_load(sessions_of(loads), MONDAY)

    for found, deviation in ((week.monotony, stdev(loads)), (week.monotony_by_n, pstdev(loads))):
        if found is None:
            assert deviation <= 1e-3 + 2e-6 * fmean(loads)
        else:
            assert found == pytest.approx(fmean(loads) / deviation, rel=1e-4) and found != inf
    if week.monotony is not None and week.strain is not None:
        assert week.strain == pytest.approx(sum(loads) * week.monotony)


@pytest.mark.parametrize("load", [0.0, 200.0, 333.3, 1e6])
def test_seven_equal_days_are_not_defined(load: float) -> None:
    """Referee: rule M02 of the planning rules: a deviation of 0 is not defined, not infinity."""
    assert monotony_of([load] * 7) is None and monotony_of([load] * 7, 0) is None


def test_rest_days_count_as_nothing_and_two_sessions_add_up() -> None:
    sessions = [
        LoggedSession(MONDAY, 1, "mon", 5, 60),
        LoggedSession(MONDAY, 1, "mon evening", 3, 20),
        LoggedSession(MONDAY + timedelta(days=2), 1, "wed", 6, None),
        LoggedSession(MONDAY + timedelta(days=3), 1, "", None, None, morning_pain=3),
    ]

    days = daily_loads(sessions, MONDAY, MONDAY + timedelta(days=3))

    assert [one.load_au for one in days] == [360, 0, 0, 0]
    assert [one.unrated for one in days] == [0, 0, 1, 0]
    assert week_load(sessions, MONDAY).unrated == 1


@pytest.mark.parametrize("half_life", [3.0, 7.0, 28.0])
def test_weighted_averages_are_those_of_pandas(half_life: float) -> None:
    """Referee: pandas ewm(halflife=...).mean(), adjusted and by steps, on 40 invented days."""
    pandas = pytest.importorskip("pandas")
    loads = [float((37 * n * n) % 611) for n in range(40)]
    found = weighted_load(days_of(loads), half_life)

    assert found is not None
    series = pandas.Series(loads)
    assert found.load_au == pytest.approx(series.ewm(halflife=half_life).mean().iloc[-1])
    assert found.recursive_au == pytest.approx(series.ewm(halflife=half_life, adjust=False).mean().iloc[-1])


def test_a_day_half_a_life_ago_weighs_half_as_much() -> None:
    """Referee: the meaning of a half life; and by hand, smoothing 2 / (28 + 1) leaves 13.5 to 14.5 % after 28 days."""
    today, week_ago = [0.0] * 7 + [100.0], [100.0] + [0.0] * 7
    first, second = weighted_load(days_of(today), 7), weighted_load(days_of(week_ago), 7)

    assert first and second and second.load_au == pytest.approx(first.load_au / 2)
    span = half_life_of(2 / 29)
    found = weighted_load(days_of([1.0] + [0.0] * 28), span)
    assert found and 0.135 <= found.seed_share <= 0.145 and found.recursive_au == pytest.approx(found.seed_share)
    assert half_life_of(smoothing_of(9.5)) == pytest.approx(9.5)


def test_fewer_than_28_days_are_said_to_be_few() -> None:
    """Referee: rule M05 of the planning rules (own arithmetic there)."""
    assert [weighted_load(days_of([100.0] * n), 7).is_enough for n in (27, 28)] == [False, True]  # type: ignore[union-attr]
    assert weighted_load((), 7) is None


def test_no_ratio_of_recent_to_usual_load_exists() -> None:
    """Referee: rule M04 of the planning rules (Lolli 2019, Impellizzeri 2021, seen)."""
    found = weighted_load(days_of([100.0] * 30), 7)
    assert found is not None
    names = [*asdict(found), *asdict(week_load([], MONDAY)), *vars(load_monitoring)]

    assert not [name for name in names if "ratio" in name.lower() or "acute" in name.lower()]
