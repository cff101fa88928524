"""What is believed about a lift: against brute force, simulated truth, and the laws of the trade."""

from __future__ import annotations

from datetime import date, timedelta
from math import erf, exp, log, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.strength.posterior import (
    BIAS_PER_RIR,
    DAY_NOISE,
    MOST_BIAS,
    RIR_SD,
    RIR_SD_PER_RIR,
    TAIL_DF,
    SetEvidence,
    prior,
    updated,
    walked,
)

DAY = date(2026, 3, 2)
START = prior(log(100), 0.35, log(0.032), 0.28)


def called(load: float, reps: int, rir: float, day: date = DAY, number: int = 1) -> SetEvidence:
    return SetEvidence(day, load, reps, "called", rir, number)


def test_one_called_set_equals_a_slow_integral() -> None:
    """Referee: brute-force double loop over a finer grid, written from the docstrings, without numpy arrays."""
    seen = 5 + 2 + min(MOST_BIAS, BIAS_PER_RIR * 2)
    error = RIR_SD + RIR_SD_PER_RIR * 2
    total = mean = 0.0
    for i in range(-450, 451):
        x = log(100) + i * 0.0035
        for j in range(-52, 53):
            y = log(0.032) + j * 0.28 * 2.6 / 52
            k = exp(y)
            possible = 1 + (x - log(80)) / k
            scale = sqrt((DAY_NOISE / k) ** 2 + error**2)
            like = (1 + ((possible - seen) / scale) ** 2 / TAIL_DF) ** (-(TAIL_DF + 1) / 2) / scale
            weight = exp(-0.5 * ((x - log(100)) / 0.35) ** 2 - 0.5 * ((y - log(0.032)) / 0.28) ** 2) * like
            total += weight
            mean += weight * exp(x)

    ours = updated(START, [called(80, 5, 2)]).one_rm().mean

    assert ours == pytest.approx(mean / total, rel=0.004)


def test_a_set_to_failure_is_an_interval() -> None:
    """Referee: with k known almost exactly, 5 repetitions and a failed sixth put the 1RM between two loads."""
    tight = prior(log(100), 0.35, log(0.03), 0.001)

    after = updated(tight, [SetEvidence(DAY, 90, 5, "failure")]).one_rm()

    assert 90 * exp(0.03 * 4) * 0.97 < after.p10 < after.p90 < 90 * exp(0.03 * 5) * 1.04


def test_a_set_ended_by_form_never_lowers_the_estimate() -> None:
    base = updated(START, [called(85, 5, 2)])

    after = updated(START, [called(85, 5, 2), SetEvidence(DAY, 60, 3, "lower-bound", 0.0, 2)])

    assert after.one_rm().mean >= base.one_rm().mean - 0.3


def test_the_order_of_rows_does_not_matter() -> None:
    sets = [called(80 + 2.5 * n, 5, 2, DAY + timedelta(days=3 * n)) for n in range(5)]

    assert updated(START, sets).one_rm() == updated(START, sets[::-1]).one_rm()


def test_old_sets_count_less_than_new_ones() -> None:
    fresh = updated(START, [called(80, 5, 2)], DAY)
    stale = updated(START, [called(80, 5, 2)], DAY + timedelta(days=365))

    assert stale.one_rm().sd > fresh.one_rm().sd * 1.1
    assert stale.one_rm().mean == pytest.approx(fresh.one_rm().mean, rel=0.03)


def test_a_walk_only_widens() -> None:
    """Referee: variance of a sum of independent steps: sd grows from s to sqrt(s^2 + w^2)."""
    start = prior(log(100), 0.05, log(0.03), 0.1)
    after = walked(start, 7 * 25)
    spread = (after.weights.sum(axis=1), after.log_1rm)
    mean = float((spread[0] * spread[1]).sum())
    sd = float(np.sqrt((spread[0] * (spread[1] - mean) ** 2).sum()))

    assert sd == pytest.approx(sqrt(0.05**2 + (0.012 * 5) ** 2), rel=0.03)


@settings(max_examples=25, deadline=None, derandomize=True)
@given(load=st.integers(40, 160), reps=st.integers(1, 12), rir=st.integers(0, 4))
def test_more_repetitions_or_more_load_never_lower_the_estimate(load: int, reps: int, rir: int) -> None:
    base = updated(START, [called(load, reps, rir)]).one_rm().mean

    more_reps = updated(START, [called(load, reps + 1, rir)]).one_rm().mean
    heavier = updated(START, [called(load * 1.05, reps, rir)]).one_rm().mean

    # Heavy tails may discount a set that is far from everything known; half a kilogram allows for that.
    near = 60 <= load <= 120
    if near:
        assert more_reps >= base - 0.5
        assert heavier >= base - 0.5


@settings(max_examples=20, deadline=None, derandomize=True)
@given(load=st.integers(50, 100), reps=st.integers(2, 12))
def test_heavier_is_never_more_likely(load: int, reps: int) -> None:
    belief = updated(START, [called(80, 6, 2)])

    assert belief.chance(load + 5, reps, 1) <= belief.chance(load, reps, 1) + 1e-9
    assert belief.chance(load, reps + 1, 1) <= belief.chance(load, reps, 1) + 1e-9


def test_more_sets_leave_less_doubt() -> None:
    one = updated(START, [called(85, 5, 2)]).one_rm().sd
    many = updated(START, [called(85, 5, 2, DAY + timedelta(days=n)) for n in range(0, 21, 3)]).one_rm().sd

    assert many < 0.85 * one


def test_the_range_holds_the_truth_as_often_as_it_says() -> None:
    """Referee: 80 simulated lifters with known 1RM and k, eight sets each; the 80 % range should hold about 80 %.

    With 80 lifters the binomial error is 4.5 points, so 68 to 92 % is two and a half of them.
    """
    chance = np.random.default_rng(20260302)
    inside = 0
    for _ in range(80):
        true_1rm = 100 * exp(chance.normal(0, 0.25))
        k = 0.032 * exp(chance.normal(0, 0.25))
        sets = []
        for day in range(4):
            form = chance.normal(0, DAY_NOISE)
            for number in (1, 2):
                reps = int(chance.integers(4, 9))
                share = exp(-k * (reps + 2 - 1))
                load = true_1rm * share * exp(chance.normal(0, 0.03))
                possible = 1 + (log(true_1rm) + form - log(load)) / k - 0.35 * (number - 1)
                reps = max(1, min(reps, int(possible)))
                left = max(0.0, possible - reps)
                rir = max(0.0, round(left - 0.25 * left + chance.normal(0, 0.7)))
                sets.append(called(load, reps, rir, DAY + timedelta(days=3 * day), number))
        found = updated(START, sets).one_rm()
        inside += found.p10 <= true_1rm <= found.p90

    assert 0.68 <= inside / 80 <= 0.92


def test_one_session_knows_a_familiar_lift_no_better_than_a_test_does() -> None:
    """Referee: Grgic et al. 2020: median CV of a tested 1RM 4.2 %, 2 to 3 % in familiar lifts (seen).

    After one called set the spread must not fall under 2 %.
    """
    found = updated(START, [called(90, 3, 1)]).one_rm()

    assert found.sd / found.mean > 0.02


def test_the_normal_function_is_the_textbook_one() -> None:
    from setwright.strength.posterior import normal_cdf

    for x in (-1.96, 0.0, 1.2816):
        assert float(normal_cdf(np.array([x]))[0]) == pytest.approx(0.5 * (1 + erf(x / sqrt(2))), abs=1e-9)


def test_a_load_that_is_not_positive_is_refused() -> None:
    with pytest.raises(ValueError, match="load is 0 kg"):
        updated(START, [called(0, 5, 2)])
