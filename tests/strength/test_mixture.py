"""Mixtures of bell curves: each closed form beside the slow way that anybody can check."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import simpson
from scipy.special import ndtr
from scipy.stats import norm

from setwright.strength.mixture import (
    Line,
    Mixture,
    Reading,
    branched,
    collapsed,
    forgotten,
    grown,
    matched,
    observed,
    on_line,
    point_with_share,
    share_below,
)


def column(*values: float) -> np.ndarray:
    return np.array([[value] for value in values])


def reading(
    weight: tuple[float, ...] = (0.0,),
    value: tuple[float, ...] = (0.0,),
    sd: tuple[float, ...] = (1.0,),
    bound: float = 0.0,
    low: float = -np.inf,
    high: float = np.inf,
    soft: float = 1.0,
    floor: float = 0.0,
) -> Reading:
    one = [np.array([number]) for number in (bound, low, high, soft, floor)]
    return Reading(column(*weight), column(*value), (column(*sd) ** 2)[:, :, None], *one)


def likelihood(one: Reading, s: np.ndarray | float) -> np.ndarray:
    """As the docstring of ``Reading`` says it, and nothing else."""
    bells = sum(
        float(one.weight[c, 0]) * norm.pdf(s, one.value[c, 0], np.sqrt(one.variance[c, 0, 0]))
        for c in range(len(one.weight))
    )
    inside = ndtr((s - one.low[0]) / one.soft[0]) - ndtr((s - one.high[0]) / one.soft[0])
    return bells + one.bound_weight[0] * inside + one.floor[0]


def by_integration(mean: float, sd: float, one: Reading) -> tuple[float, float, float]:
    """(mean, variance, log chance) of N(mean, sd^2) times the likelihood. Referee: Simpson's rule of scipy.

    Steps of a 5000th sd, 30 to the narrowest edge; on smooth curves that is exact to ten digits.
    """
    s = np.linspace(mean - 13 * sd, mean + 13 * sd, 2**17 + 1)
    product = norm.pdf(s, mean, sd) * likelihood(one, s)
    total = simpson(product, x=s)
    middle = simpson(s * product, x=s) / total
    return float(middle), float(simpson((s - middle) ** 2 * product, x=s) / total), float(np.log(total))


def any_reading(draw: np.random.Generator) -> Reading:
    """Bells, bounds and a floor, together or each alone, mostly near and sometimes off by several widths."""
    kind = draw.integers(4)
    floor = float(draw.choice([0.0, 0.005, 0.2]))
    bells = (0.93, 0.06, 0.01) if kind in (0, 2) else (0.0, 0.0, 0.0)
    value = float(draw.normal(0, 1.5))
    sd = float(np.exp(draw.normal(-0.5, 0.7)))
    low = float(draw.normal(0, 1.5)) if draw.random() < 0.7 else -np.inf
    high = (low if np.isfinite(low) else 0.0) + float(draw.exponential(1.0)) + 0.05
    return reading(
        bells,
        (value, value, value),
        (sd, 3 * sd, 5.0),
        float(draw.uniform(0.3, 1.0)) if kind > 0 else 0.0,
        low,
        high if draw.random() < 0.6 else np.inf,
        float(np.exp(draw.normal(-1.5, 0.7))),
        floor,
    )


@pytest.mark.parametrize("seed", range(40))
def test_one_statement_changes_mean_and_variance_as_integration_says(seed: int) -> None:
    draw = np.random.default_rng(seed)
    one = any_reading(draw)
    mean, sd = float(draw.normal(0, 0.5)), float(np.exp(draw.normal(0, 0.5)))
    expected = by_integration(mean, sd, one)

    found = matched(np.array([[mean]]), np.array([[sd**2]]), one)

    assert found[0][0, 0] == pytest.approx(expected[0], abs=1e-7 * sd)
    assert found[1][0, 0] == pytest.approx(expected[1], rel=1e-6)
    assert found[2][0, 0] == pytest.approx(expected[2], abs=1e-7)


@pytest.mark.parametrize("away", [8.0, 15.0, 25.0, 33.0])
def test_a_bound_far_above_all_that_is_believed_still_pulls_to_its_edge(away: float) -> None:
    """Referee: the tail of a bell curve beyond a is about exponential: mean a + 1/a - 2/a^3 (asymptotic series)."""
    edge = reading(bound=1.0, low=away, soft=1e-6)

    mean, variance, log_chance, _ = matched(np.zeros((1, 1)), np.ones((1, 1)), edge)

    assert mean[0, 0] == pytest.approx(away + 1 / away - 2 / away**3, abs=12 / away**5)
    # the variance is a difference of numbers near away^2, so a few digits go: two per cent of its sd
    assert variance[0, 0] == pytest.approx(1 / away**2 - 6 / away**4, rel=0.04 + 60 / away**4)
    assert log_chance[0, 0] == pytest.approx(norm.logsf(away), abs=1e-6)


@settings(max_examples=200, deadline=None, derandomize=True)
@given(
    mean=st.floats(-300, 300),
    sd=st.floats(1e-3, 30),
    value=st.floats(-300, 300),
    narrow=st.floats(1e-3, 10),
    low=st.floats(-300, 300) | st.just(-np.inf),
    width=st.floats(0, 50) | st.just(np.inf),
    floor=st.sampled_from([0.0, 0.005]),
    bells=st.sampled_from([0.0, 0.9]),
)
def test_nothing_however_absurd_makes_a_number_that_is_none(
    mean: float, sd: float, value: float, narrow: float, low: float, width: float, floor: float, bells: float
) -> None:
    high = low + width if np.isfinite(low) else width
    one = reading((bells,), (value,), (narrow,), 0.9, low, high, narrow, floor)

    found = matched(np.array([[mean]]), np.array([[sd**2]]), one)

    assert all(np.isfinite(part).all() for part in found)
    assert (found[1] > 0).all()
    assert ((found[3] >= 0) & (found[3] <= 1 + 1e-9)).all()


def test_a_bell_curve_on_a_bell_curve_is_the_textbook_product() -> None:
    """Referee: precision-weighted mean; 1/(1/4 + 1/1) = 0.8 and 0.8 (0/4 + 3/1) = 2.4 by hand."""
    mean, variance, _, _ = matched(np.zeros((1, 1)), np.full((1, 1), 4.0), reading((1.0,), (3.0,), (1.0,)))

    assert (mean[0, 0], variance[0, 0]) == pytest.approx((2.4, 0.8), abs=1e-12)


def test_half_a_bell_curve_has_the_textbook_mean() -> None:
    """Referee: half-normal distribution: mean sqrt(2/pi) = 0.797885, variance 1 - 2/pi."""
    mean, variance, log_chance, _ = matched(np.zeros((1, 1)), np.ones((1, 1)), reading(bound=1.0, low=0.0, soft=1e-9))

    assert mean[0, 0] == pytest.approx(0.7978845608, abs=1e-9)
    assert variance[0, 0] == pytest.approx(1 - 2 / np.pi, abs=1e-9)
    assert log_chance[0, 0] == pytest.approx(np.log(0.5), abs=1e-9)


def test_the_wild_share_is_that_of_the_last_bell() -> None:
    """Referee: Bayes by hand at one value."""
    one = reading((0.9, 0.1), (5.0, 5.0), (0.5, 10.0))
    sound, wild = 0.9 * norm.pdf(5, 0, np.sqrt(1.25)), 0.1 * norm.pdf(5, 0, np.sqrt(101))

    assert matched(np.zeros((1, 1)), np.ones((1, 1)), one)[3][0, 0] == pytest.approx(wild / (sound + wild), abs=1e-12)


def belief(n: int, j: int, d: int, seed: int) -> Mixture:
    draw = np.random.default_rng(seed)
    weights = draw.dirichlet(np.ones(j), size=n)
    factor = draw.normal(size=(n, j, d, d))
    return Mixture(weights, draw.normal(size=(n, j, d)), factor @ factor.swapaxes(2, 3) + 0.1 * np.eye(d))


def whole_moments(one: Mixture, row: int) -> tuple[np.ndarray, np.ndarray]:
    """Mean and covariance of the whole mixture of a trainee, by the sums of the definition."""
    mean = sum(w * m for w, m in zip(one.weights[row], one.mean[row], strict=True))
    second = sum(
        w * (c + np.outer(m, m)) for w, m, c in zip(one.weights[row], one.mean[row], one.cov[row], strict=True)
    )
    return mean, second - np.outer(mean, mean)


@pytest.mark.parametrize(("components", "groups"), [(6, 1), (6, 3), (4, 2), (5, 5)])
def test_merging_bell_curves_keeps_mean_and_covariance(components: int, groups: int) -> None:
    before = belief(3, components, 4, 11)

    after = collapsed(before, groups)

    assert after.weights.shape == (3, groups)
    for row in range(3):
        for found, expected in zip(whole_moments(after, row), whole_moments(before, row), strict=True):
            assert found == pytest.approx(expected, abs=1e-12)


def test_branching_keeps_the_mean_and_adds_the_expected_noise() -> None:
    before, chance = belief(2, 3, 4, 5), np.array([0.9, 0.1])
    noise = np.zeros((2, 3, 2, 2, 2))
    noise[:, :, 0], noise[:, :, 1] = 0.1 * np.eye(2), 2.0 * np.eye(2)

    after = branched(before, chance, noise)

    for row in range(2):
        mean, cov = whole_moments(before, row)
        cov[:2, :2] += (0.9 * 0.1 + 0.1 * 2.0) * np.eye(2)
        found = whole_moments(after, row)
        assert found[0] == pytest.approx(mean, abs=1e-12)
        assert found[1] == pytest.approx(cov, abs=1e-12)


def test_growth_is_the_matrix_of_the_step() -> None:
    """Referee: x -> F x + b, C -> F C F' with F written out."""
    before = belief(1, 2, 5, 8)
    step = np.eye(5)
    step[0, 2], step[1, 3] = 0.7, 0.7

    after = grown(before, slice(0, 2), slice(2, 4), np.array([0.7]), np.array([[0.1, -0.2]]))

    for component in range(2):
        shifted = step @ before.mean[0, component] + np.array([0.1, -0.2, 0, 0, 0])
        assert after.mean[0, component] == pytest.approx(shifted, abs=1e-12)
        assert after.cov[0, component] == pytest.approx(step @ before.cov[0, component] @ step.T, abs=1e-12)


def test_what_is_forgotten_says_nothing_about_the_rest() -> None:
    before = belief(1, 2, 4, 9)

    after = forgotten(before, slice(1, 2))

    keep = [0, 2, 3]
    assert not after.cov[:, :, 1].any() and not after.cov[:, :, :, 1].any() and not after.mean[:, :, 1].any()
    assert np.array_equal(after.cov[:, :, keep][:, :, :, keep], before.cov[:, :, keep][:, :, :, keep])


def random_statements(n: int, seed: int) -> tuple[Line, Reading]:
    draw = np.random.default_rng(seed)
    each = [any_reading(draw) for _ in range(n)]
    stacked = Reading(
        *(np.concatenate([getattr(one, name) for one in each], axis=1) for name in ("weight", "value", "variance")),
        *(
            np.concatenate([getattr(one, name) for one in each])
            for name in ("bound_weight", "low", "high", "soft", "floor")
        ),
    )
    return Line(np.tile(np.array([[0, 2, 3]]), (n, 1)), draw.normal(size=(n, 3))), stacked


def row_of(line: Line, one: Reading, row: int) -> tuple[Line, Reading]:
    at = slice(row, row + 1)
    return Line(line.at[at], line.share[at]), Reading(
        one.weight[:, at],
        one.value[:, at],
        one.variance[:, at],
        *(getattr(one, name)[at] for name in ("bound_weight", "low", "high", "soft", "floor")),
    )


def test_many_trainees_at_once_are_each_alone() -> None:
    n, before = 12, belief(12, 6, 5, 3)
    line, statements = random_statements(n, 4)

    together, chances, wild = observed(before, line, statements)

    for row in range(n):
        alone, chance, alone_wild = observed(before.rows(np.array([row])), *row_of(line, statements, row))
        assert together.weights[row] == pytest.approx(alone.weights[0], abs=1e-13)
        assert together.mean[row] == pytest.approx(alone.mean[0], abs=1e-12)
        assert together.cov[row] == pytest.approx(alone.cov[0], abs=1e-11)
        assert (chances[row], wild[row]) == pytest.approx((chance[0], alone_wild[0]), abs=1e-12)


def test_a_statement_about_one_number_teaches_its_relatives_by_regression() -> None:
    """Referee: the Kalman update written with matrices, C - C h h' C / (h' C h + r)."""
    before = belief(1, 1, 4, 21)
    h, value, r = np.array([1.0, 0.0, -0.4, 0.0]), 0.8, 0.3
    cov, mean = before.cov[0, 0], before.mean[0, 0]
    total = float(h @ cov @ h + r)

    after, log_chance, _ = observed(
        before, Line(np.array([[0, 2]]), np.array([[1.0, -0.4]])), reading((1.0,), (value,), (np.sqrt(r),))
    )

    assert after.mean[0, 0] == pytest.approx(mean + cov @ h * (value - h @ mean) / total, abs=1e-12)
    assert after.cov[0, 0] == pytest.approx(cov - np.outer(cov @ h, h @ cov) / total, abs=1e-12)
    assert log_chance[0] == pytest.approx(norm.logpdf(value, h @ mean, np.sqrt(total)), abs=1e-12)


def test_weights_of_the_components_follow_bayes() -> None:
    """Referee: Bayes with the chances that quadrature gives for each component alone."""
    before = Mixture(np.array([[0.3, 0.7]]), np.array([[[0.0], [1.5]]]), np.array([[[[1.0]], [[0.25]]]]))
    one = reading((0.9, 0.1), (1.0, 1.0), (0.4, 3.0), 0.2, 0.5, 2.0, 0.1, 0.01)
    chances = [np.exp(by_integration(0.0, 1.0, one)[2]), np.exp(by_integration(1.5, 0.5, one)[2])]
    total = 0.3 * chances[0] + 0.7 * chances[1]

    after, log_chance, _ = observed(before, Line(np.array([[0]]), np.array([[1.0]])), one)

    assert after.weights[0] == pytest.approx([0.3 * chances[0] / total, 0.7 * chances[1] / total], abs=1e-8)
    assert log_chance[0] == pytest.approx(np.log(total), abs=1e-8)


def test_a_reading_on_a_line_without_a_share_changes_nothing() -> None:
    before = belief(2, 3, 4, 30)
    flat = replace(reading(), floor=np.ones(1))
    nothing = Reading(
        *(np.repeat(getattr(flat, name), 2, axis=1) for name in ("weight", "value", "variance")),
        *(np.repeat(getattr(flat, name), 2) for name in ("bound_weight", "low", "high", "soft", "floor")),
    )

    after, log_chance, _ = observed(before, Line(np.zeros((2, 1), dtype=np.intp), np.zeros((2, 1))), nothing)

    assert after.weights == pytest.approx(before.weights, abs=1e-15)
    assert np.array_equal(after.mean, before.mean) and np.array_equal(after.cov, before.cov)
    assert log_chance == pytest.approx(np.zeros(2), abs=1e-15)


def test_the_value_on_a_line_is_the_matrix_product() -> None:
    before, h = belief(1, 2, 4, 31), np.array([0.0, 2.0, 0.0, -1.0])

    mean, variance, with_state = on_line(before, Line(np.array([[1, 3]]), np.array([[2.0, -1.0]])))

    for component in range(2):
        cov = before.cov[0, component]
        assert mean[0, component] == pytest.approx(h @ before.mean[0, component], abs=1e-12)
        assert variance[0, component] == pytest.approx(h @ cov @ h, abs=1e-12)
        assert with_state[0, component] == pytest.approx(cov @ h, abs=1e-12)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(seed=st.integers(0, 10_000), share=st.floats(0.001, 0.999))
def test_the_point_with_a_share_has_that_share_below(seed: int, share: float) -> None:
    draw = np.random.default_rng(seed)
    weights = draw.dirichlet(np.ones(4), size=3)
    mean, variance = draw.normal(size=(3, 4)), np.exp(draw.normal(-1, 1.5, size=(3, 4)))

    point = point_with_share(weights, mean, variance, share)

    assert share_below(weights, mean, variance, point) == pytest.approx(np.full(3, share), abs=1e-9)


def test_one_bell_curve_has_the_printed_points() -> None:
    """Referee: table of the normal distribution: 10 % lie below -1.2816, 97.5 % below 1.9600."""
    one = (np.ones(1), np.zeros(1), np.ones(1))

    assert float(point_with_share(*one, 0.1)) == pytest.approx(-1.2816, abs=5e-5)
    assert float(point_with_share(*one, 0.975)) == pytest.approx(1.95996, abs=5e-6)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(low=st.floats(-3, 3), higher=st.floats(0, 3), sd=st.floats(0.2, 3), soft=st.floats(0.01, 1))
def test_a_lower_bound_raises_and_a_higher_one_raises_more(low: float, higher: float, sd: float, soft: float) -> None:
    """Law: a bell curve times a rising likelihood moves up, and never gets wider (log-concavity)."""

    def after(edge: float) -> tuple[float, float]:
        found = matched(np.zeros((1, 1)), np.full((1, 1), sd**2), reading(bound=1.0, low=edge, soft=soft))
        return float(found[0][0, 0]), float(found[1][0, 0])

    mean, variance = after(low)

    assert mean > 0
    assert after(low + higher)[0] >= mean - 1e-9
    assert variance <= sd**2 * (1 + 1e-9)
