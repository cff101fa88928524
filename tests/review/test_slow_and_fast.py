"""The slow and the fast part behind a lift: found again in simulated data, refused where they can't be told apart."""

from __future__ import annotations

from datetime import date, timedelta
from functools import cache

import numpy as np
import pytest

from setwright.review.load_monitoring import DayLoad
from setwright.review.slow_and_fast import Measured, SlowAndFast, left_of, slow_and_fast

START = date(2026, 1, 5)


def simulated(
    days: int, every: int, noise_kg: float, slow: float = 40.0, fast: float = 10.0, k1: float = 1.2, k2: float = 2.4
) -> tuple[tuple[DayLoad, ...], tuple[Measured, ...]]:
    """An invented season: hard and easy months, a measure every few days, base 100 kg; seed 5."""
    chance = np.random.default_rng(5)
    waves = 1.0 + 0.9 * np.sin(np.arange(days) / 11.0)
    loads = np.where(np.arange(days) % 2 == 0, 400.0 * waves * chance.uniform(0.6, 1.4, days), 0.0)
    unit = loads / loads.mean()
    truth = 100.0 + k1 * left_of(unit, slow) - k2 * left_of(unit, fast)
    told = [
        Measured(START + timedelta(days=row), float(truth[row] + chance.normal(0.0, noise_kg)))
        for row in range(14, days, every)
    ]
    return tuple(DayLoad(START + timedelta(days=n), float(load), 1, 0) for n, load in enumerate(loads)), tuple(told)


@cache
def good() -> SlowAndFast:
    return slow_and_fast("back_squat", *simulated(240, 3, 0.5))


def test_known_times_come_back_inside_their_intervals() -> None:
    """Referee: the simulation's own parameters, 40 and 10 days."""
    found = good()

    assert found.is_shown and found.slow_days and found.fast_days
    assert found.slow_days.low <= 40 <= found.slow_days.high and found.fast_days.low <= 10 <= found.fast_days.high
    assert found.slow_days.high - found.slow_days.low < 30 and found.fast_days.high - found.fast_days.low < 15


def test_the_parts_carry_ranges_and_the_true_curve_lies_near() -> None:
    """Referee: the simulated parts, in per cent of the mean measure; three ranges wide for nine days in ten."""
    days, told = simulated(240, 3, 0.5)
    loads = np.array([one.load_au for one in days])
    unit, mean = loads / loads.mean(), np.mean([one.value for one in told])
    found = good()

    assert len(found.slow) == len(found.fast) == 240
    for part, truth in ((found.slow, 1.2 * left_of(unit, 40.0)), (found.fast, 2.4 * left_of(unit, 10.0))):
        off = [
            abs(one.p50 - 100 * true / mean) <= 3 * (one.p90 - one.p10) for one, true in zip(part, truth, strict=True)
        ]
        assert np.mean(off[20:]) > 0.9 and all(one.p10 <= one.p50 <= one.p90 for one in part)


def test_the_same_log_gives_the_same_parts() -> None:
    assert slow_and_fast("back_squat", *simulated(240, 3, 0.5)) == good()


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (simulated(60, 7, 0.5), "at least 12 are needed"),
        (simulated(50, 2, 0.5), "the measures span"),
        (simulated(120, 8, 12.0), ""),
        (simulated(240, 3, 0.5, k2=0.0), ""),
        (simulated(240, 3, 2.0, k1=0.0, k2=0.0), ""),
    ],
    ids=["few measures", "short", "noisy", "no fast part", "neither part"],
)
def test_poor_data_are_refused_in_words(data: tuple[tuple[DayLoad, ...], tuple[Measured, ...]], says: str) -> None:
    found = slow_and_fast("back_squat", *data)

    assert not found.is_shown and says in found.why and len(found.why) > 20
    assert not found.slow and not found.fast and found.slow_days is None


def test_what_is_left_fades_by_its_own_time() -> None:
    """Referee: by hand, a load of 1 leaves exp(-n / 10) after n days, and nothing on its own morning."""
    assert left_of(np.array([1.0, 0, 0, 0]), 10.0) == pytest.approx([0, np.exp(-0.1), np.exp(-0.2), np.exp(-0.3)])
