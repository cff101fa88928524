"""Whether a group of lifts grew together, from one joint belief."""

from __future__ import annotations

import numpy as np
import pytest
from season_case import usual

from setwright.strength.group_change import chance_of_gain


def test_the_chance_of_a_group_is_that_of_drawing_its_lifts_together() -> None:
    """Referee: 400,000 draws of the whole joint belief, seeded; 0.004 is five standard errors at one half."""
    _, estimates = usual()
    course = estimates.course
    assert course is not None
    roster, weights = course.now, {0: 3.0, 1: 1.0}
    rng = np.random.default_rng(5)
    parts = rng.multinomial(400_000, roster.belief.weights[0])
    drawn = np.concatenate(
        [
            rng.multivariate_normal(roster.belief.mean[0, j], roster.belief.cov[0, j], size=int(count))
            for j, count in enumerate(parts)
        ]
    )
    copies = 4 * roster.lifts + 3
    change = sum(w * (drawn[:, roster.number_of("x", i)] - drawn[:, copies + i]) for i, w in weights.items())

    found = chance_of_gain(course, weights)
    assert 0.5 < found < 0.999
    assert found == pytest.approx(float(np.mean(change > 0)), abs=0.004)


def test_a_group_of_one_lift_is_that_lift() -> None:
    _, estimates = usual()
    course = estimates.course
    assert course is not None

    assert chance_of_gain(course, {1: 2.0}) == pytest.approx(course.trend(1)[1], abs=1e-9)


def test_a_group_without_sets_is_refused() -> None:
    _, estimates = usual()
    assert estimates.course is not None
    with pytest.raises(ValueError, match="above 0"):
        chance_of_gain(estimates.course, {0: 0.0})
