"""The trend of one step and the weeks of the steps above, against invented climbers whose truth is known."""

from __future__ import annotations

from itertools import pairwise
from math import exp, inf, log

import numpy as np
import pytest

from setwright.strength.climb import (
    MOST_WEEKS,
    STEP_WEEKS,
    TRAINED_RATE,
    Ask,
    Climb,
    Seen,
    StepAhead,
    climb_of,
    trend_of,
    usual_slope,
)

REPS8 = Ask("reps", 8.0, 0.03)


def invented(chance: np.random.Generator, ask: Ask, weeks_seen: float) -> tuple[list[Seen], int, float]:
    """(sessions seen, exit tests met in them, weeks from then until the second one is met) of an invented climber.

    The law is not the model's: gains saturate with a time constant of 6 to 20 weeks, which differs between people, as
    does the whole gain. Every number is made up.
    """
    speed, start = chance.uniform(6.0, 20.0), chance.uniform(0.35, 0.75) * ask.amount
    whole = chance.lognormal(log(0.9), 0.5)
    seen: list[Seen] = []
    met, met_seen, done = 0, 0, inf
    for number in range(2 * MOST_WEEKS):
        week = number / 2
        value = start * exp(whole * (1 - exp(-week / speed)) + chance.normal(0.0, ask.day_sd(ask.amount)))
        amount = float(np.floor(value)) if ask.measure == "reps" else value
        is_enough = amount >= ask.amount
        met += is_enough
        if week <= weeks_seen:
            ago = 7 * (weeks_seen - week)
            seen.append(Seen(ago, max(0.5, min(amount, ask.amount)), is_at_least=bool(is_enough)))
            met_seen = met
        if met >= 2 and done == inf:
            done = week - weeks_seen
        if done < inf and week > weeks_seen:
            break
    return seen, met_seen, done


@pytest.mark.parametrize(
    "ask",
    [
        REPS8,
        pytest.param(Ask("reps", 5.0, 0.03), marks=pytest.mark.long),
        pytest.param(Ask("reps", 12.0, 0.03), marks=pytest.mark.long),
        Ask("seconds", 45.0, 0, "trunk"),
    ],
)
@pytest.mark.parametrize("weeks_seen", [pytest.param(3, marks=pytest.mark.long), 6])
def test_eight_in_ten_ranges_hold_about_eight_in_ten_invented_climbers(ask: Ask, weeks_seen: int) -> None:
    """Referee: the truth of 120 invented climbers. 80 % wanted; between 68 and 98 % is what wide priors may give.

    And a chance of at least 80 % within 12 weeks comes true more often than one of at most 20 %.
    """
    chance = np.random.default_rng(17)
    inside, likely, unlikely, count = 0, [], [], 0
    while count < 120:
        seen, met, truth = invented(chance, ask, weeks_seen)
        if met >= 2:
            continue
        count += 1
        drawn = climb_of(ask, trend_of(ask, seen, 3.0), 2 - met, [], 3.0, draws=800)
        low, high = drawn.quantile(0, 0.1), drawn.quantile(0, 0.9)
        inside += (low if low is not None else inf) <= truth <= (high if high is not None else inf)
        share = drawn.chance_by(12)[0]
        (likely if share >= 0.8 else unlikely if share <= 0.2 else []).append(truth <= 12)

    assert 0.68 <= inside / count <= 0.98
    assert likely and np.mean(likely) >= 0.8
    assert not unlikely or np.mean(unlikely) <= 0.35


def test_more_repetitions_are_never_a_later_date() -> None:
    middles = []
    for best in (3, 4, 5, 6, 7):
        trend = trend_of(REPS8, [Seen(3.5 * (6 - n), best) for n in range(6)], 3.0)
        middles.append(climb_of(REPS8, trend, 2, [], 3.0).quantile(0, 0.5))
    known = [one if one is not None else inf for one in middles]

    assert known == sorted(known, reverse=True) and known[0] > known[-1]


def test_somebody_who_stands_still_gets_no_near_date() -> None:
    """Twelve sessions of 4 over six weeks: 8 within four weeks is under one in twenty."""
    still = trend_of(REPS8, [Seen(3.5 * n, 4.0) for n in range(12)], 3.0)
    rising = trend_of(REPS8, [Seen(3.5 * n, 4.0 + (11 - n) / 4) for n in range(12)], 3.0)

    assert climb_of(REPS8, still, 2, [], 3.0).chance_by(4)[0] < 0.05
    assert float(rising.mean[1]) > float(still.mean[1])
    assert climb_of(REPS8, rising, 2, [], 3.0).chance_by(8)[0] > climb_of(REPS8, still, 2, [], 3.0).chance_by(8)[0]


def test_a_set_that_stopped_as_planned_is_a_lower_bound() -> None:
    planned = trend_of(REPS8, [Seen(0.0, 6.0, is_at_least=True)], 3.0)
    to_the_end = trend_of(REPS8, [Seen(0.0, 6.0)], 3.0)

    assert float(planned.mean[0]) > float(to_the_end.mean[0])
    assert float(planned.cov[0, 0]) > float(to_the_end.cov[0, 0])


def test_the_filter_agrees_with_the_exact_answer_in_one_stroke() -> None:
    """Referee: the joint normal of level, slope and all sessions, solved at once (no recursion)."""
    from setwright.strength.climb import ENTRY_LOG_SD, HALF_LIFE_WEEKS, SLOPE_WALK, walk_of

    days = [28.0, 21.0, 10.0, 0.0]
    told = [4.0, 5.0, 5.0, 6.0]
    found = trend_of(REPS8, [Seen(d, r) for d, r in zip(days, told, strict=True)], 3.0, start=(log(4.0), ENTRY_LOG_SD))

    slope, slope_sd = usual_slope(REPS8, 3.0)
    states = [(np.array([log(4.0), slope]), np.diag([ENTRY_LOG_SD**2, slope_sd**2]))]
    turns = []
    for before, after in pairwise(days):
        weeks = (before - after) / 7
        keep = 0.5 ** (weeks / HALF_LIFE_WEEKS)
        turn = np.array([[1.0, (1 - keep) * HALF_LIFE_WEEKS / log(2)], [0.0, keep]])
        noise = np.diag([walk_of(REPS8) ** 2 * weeks, SLOPE_WALK**2 * weeks])
        mean, cov = states[-1]
        states.append((turn @ mean, turn @ cov @ turn.T + noise))
        turns.append(turn)
    size = len(days)
    joint = np.zeros((2 * size, 2 * size))
    for i in range(size):
        block = states[i][1]
        for j in range(i, size):
            joint[2 * i : 2 * i + 2, 2 * j : 2 * j + 2] = block
            joint[2 * j : 2 * j + 2, 2 * i : 2 * i + 2] = block.T
            if j < size - 1:
                block = block @ turns[j].T
    mean = np.concatenate([one for one, _ in states])
    look = np.zeros((size, 2 * size))
    look[range(size), range(0, 2 * size, 2)] = 1.0
    noise = np.diag([REPS8.day_sd(reps) ** 2 for reps in told])
    gain = joint @ look.T @ np.linalg.inv(look @ joint @ look.T + noise)
    exact = mean + gain @ (np.log(told) - look @ mean)
    exact_cov = joint - gain @ look @ joint

    assert found.mean == pytest.approx(exact[-2:], abs=1e-9)
    assert found.cov == pytest.approx(exact_cov[-2:, -2:], abs=1e-9)


def test_the_first_slope_is_the_published_rate_through_the_rep_curve() -> None:
    """1.1 % a week (Helms et al. 2018, seen) over k = 0.03 at 8 repetitions: 0.011 / 0.24 by hand."""
    assert usual_slope(REPS8, 3.0)[0] == pytest.approx(TRAINED_RATE / 0.24)
    assert usual_slope(REPS8, 0.5)[0] > usual_slope(REPS8, 3.0)[0]


def test_steps_above_come_one_after_the_other_and_get_vaguer() -> None:
    trend = trend_of(REPS8, [Seen(3.5 * n, 6.0) for n in range(6)], 3.0)
    drawn = climb_of(REPS8, trend, 2, [StepAhead(REPS8)] * 4, 3.0)
    finite = drawn.weeks[:, np.isfinite(drawn.weeks).all(axis=0)]

    assert (np.diff(finite, axis=0) >= 1.0 - 1e-9).all(), "two sessions a week, two sessions with the test"
    spreads = [(drawn.quantile(i, 0.9) or inf) - (drawn.quantile(i, 0.1) or inf) for i in range(5)]
    assert spreads == sorted(spreads)
    shares = np.array([drawn.chance_by(weeks) for weeks in (4, 8, 12, 26, 52)])
    assert (np.diff(shares, axis=0) >= 0).all() and (np.diff(shares, axis=1) <= 0).all()


def test_a_step_of_practice_takes_six_weeks_or_so() -> None:
    """Common practice, no published source: half of them within about six weeks, 8 in 10 between 3 and 14."""
    drawn = climb_of(None, None, 0, [StepAhead(None)], 3.0)

    assert drawn.quantile(0, 0.9) == 0.0
    assert drawn.quantile(1, 0.5) == pytest.approx(STEP_WEEKS + 1.0, rel=0.06)
    assert 3 < (drawn.quantile(1, 0.1) or 0) < 5 and 12 < (drawn.quantile(1, 0.9) or 0) < 17


def test_a_step_that_asks_more_strength_takes_longer() -> None:
    small, large = (climb_of(None, None, 0, [StepAhead(None, more=more)], 3.0).quantile(1, 0.5) for more in (0.03, 0.3))

    assert small is not None and large is not None and large > 2 * small


def test_the_same_log_gives_the_same_dates() -> None:
    trend = trend_of(REPS8, [Seen(0.0, 5.0)], 3.0)
    first, again = (climb_of(REPS8, trend, 2, [StepAhead(None)], 3.0) for _ in range(2))

    assert isinstance(first, Climb) and np.array_equal(first.weeks, again.weeks)
