"""Gaussian mixtures over the strength of many trainees at once, and what one observation does to them.

Two ideas. One: every observation says something about one straight line through the state (log 1RM, less so many
times the curve parameter, plus the day's form ...), so whatever its shape, its mean and variance along that line
follow in closed form, and the rest of the state follows by regression. Two: a belief is a small mixture, because
strength has quiet and rough stretches and a single bell curve can't be narrow and heavy-tailed at once.

Leading axes: ``n`` trainees, ``j`` components, ``d`` numbers of the state.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log, pi, sqrt

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
LOG_2PI = log(2.0 * pi)
ROOT_2PI = sqrt(2.0 * pi)
TINY = 1e-300


@dataclass(frozen=True, eq=False)
class Mixture:
    """What is believed. ``weights`` (n, j) summing to 1 over j; ``mean`` (n, j, d); ``cov`` (n, j, d, d); owned."""

    weights: Floats
    mean: Floats
    cov: Floats

    @property
    def overall_mean(self) -> Floats:
        """(n, d) mean of the state."""
        return np.asarray(np.einsum("nj,njd->nd", self.weights, self.mean))

    def rows(self, which: Ints) -> Mixture:
        """The beliefs about some of the trainees, copied."""
        return Mixture(self.weights[which], self.mean[which], self.cov[which])


@dataclass(frozen=True, eq=False)
class Line:
    """A straight line through the state: the sum of ``share`` (n, q) times the numbers at ``at`` (n, q)."""

    at: Ints
    share: Floats


@dataclass(frozen=True, eq=False)
class Reading:
    """What one observation says about a line: the likelihood, as a function of the value ``s`` on that line, is

    sum over c of weight_c N(s; value_c, variance_c) + bound_weight (Phi((s - low) / soft) - Phi((s - high) / soft))
    + floor

    weight, value : (c, n); variance : (c, n, j), or (c, n, 1) where all components share it, > 0
    bound_weight, low, high, soft, floor : (n,); low may be -inf and high +inf; soft > 0; floor >= 0
    """

    weight: Floats
    value: Floats
    variance: Floats
    bound_weight: Floats
    low: Floats
    high: Floats
    soft: Floats
    floor: Floats


def shared(size: int, correlation: float) -> Floats:
    """(size, size) correlation matrix with one number off the diagonal."""
    return np.asarray(np.full((size, size), correlation) + (1.0 - correlation) * np.eye(size))


def on_line(belief: Mixture, line: Line) -> tuple[Floats, Floats, Floats]:
    """((n, j) mean, (n, j) variance, (n, j, d) covariance with the state) of the value on a line."""
    who = np.arange(len(belief.weights))[:, None]
    share = line.share[:, None, :]
    mean = (belief.mean[who, :, line.at].swapaxes(1, 2) * share).sum(axis=2)
    with_state = np.zeros_like(belief.mean)
    for part in range(line.at.shape[1]):
        with_state += line.share[:, part, None, None] * belief.cov[who[:, 0], :, line.at[:, part], :]
    variance = (with_state[who, :, line.at].swapaxes(1, 2) * share).sum(axis=2)
    return mean, np.maximum(variance, 1e-12), with_state


def observed(belief: Mixture, line: Line, reading: Reading) -> tuple[Mixture, Floats, Floats]:
    """(the belief after one observation, (n,) log chance of it, (n,) chance that it was a wild one).

    The value on the line gets its exact mean and variance under the likelihood, in each component; the other
    numbers of the state follow by regression on it. The wild one is the last bell curve of the reading, or its floor.
    Source: moment matching (assumed density filtering); Minka 2001, from memory.
    """
    mean, variance, with_state = on_line(belief, line)
    new_mean, new_variance, log_chance, wild = matched(mean, variance, reading)
    gain = with_state / variance[:, :, None]
    after_mean = belief.mean + gain * (new_mean - mean)[:, :, None]
    shrink = gain * (new_variance - variance)[:, :, None]
    after_cov = shrink[:, :, :, None] * gain[:, :, None, :]
    after_cov += belief.cov
    log_weights = np.log(belief.weights + TINY) + log_chance
    top = log_weights.max(axis=1)
    weights = np.exp(log_weights - top[:, None])
    total = weights.sum(axis=1)
    weights /= total[:, None]
    return Mixture(weights, after_mean, after_cov), top + np.log(total), (weights * wild).sum(axis=1)


def tilted(belief: Mixture, at: Ints, slope: Floats) -> Mixture:
    """The belief times exp(slope x the number at ``at``), per trainee; ``at``, ``slope`` : (n, q).

    Exact for one bell curve; the weights of the components are left as they are.
    """
    mean = belief.mean.copy()
    who = np.arange(len(mean))
    for part in range(at.shape[1]):
        mean += slope[:, part, None, None] * belief.cov[who, :, at[:, part], :]
    return Mixture(belief.weights, mean, belief.cov)


def observed_beside(belief: Mixture, held: Ints, line: Line, reading: Reading) -> tuple[Mixture, Floats, Floats]:
    """As ``observed``, but the numbers at ``held`` (m,) learn nothing, and what goes with them stays as it was.

    Only the part of the state that does not go with the held numbers is observed; the doubt that they bring to the line
    counts as noise. (Plain consider filtering would move the rest as if the held ones moved too.)
    """
    inner = belief.cov[:, :, held][:, :, :, held]
    across = belief.cov[:, :, :, held]
    inner = inner + 1e-12 * np.eye(len(held))
    explained = across @ np.linalg.solve(inner, across.swapaxes(2, 3))
    free = Mixture(belief.weights, belief.mean, belief.cov - explained)
    _, whole, _ = on_line(belief, line)
    _, part, _ = on_line(free, line)
    doubt = np.maximum(whole - part, 0.0)
    wider = Reading(
        reading.weight,
        reading.value,
        reading.variance + doubt[None],
        reading.bound_weight,
        reading.low,
        reading.high,
        np.sqrt(reading.soft**2 + (belief.weights * doubt).sum(axis=1)),
        reading.floor,
    )
    after, log_chance, wild = observed(free, line, wider)
    return Mixture(after.weights, after.mean, after.cov + explained), log_chance, wild


def matched(mean: Floats, variance: Floats, reading: Reading) -> tuple[Floats, Floats, Floats, Floats]:
    """Mean, variance, log of the chance and share of the wild part, each (n, j), of N(mean, variance) x likelihood.

    Closed form: with Z the integral, the new mean is m + v Z'/Z and the new variance v + v^2 (Z''/Z - (Z'/Z)^2),
    derivatives taken in the mean.
    """
    from scipy.special import ndtr

    spread = variance[None] + reading.variance
    off = reading.value[:, :, None] - mean[None]
    with np.errstate(divide="ignore"):
        logs = np.log(reading.weight)[:, :, None] - 0.5 * (off * off / spread + np.log(spread) + LOG_2PI)
    top = np.maximum(logs.max(axis=0), -600.0)
    bells = np.exp(logs - top)
    slope = off / spread
    z, z1, z2 = bells.sum(axis=0), (bells * slope).sum(axis=0), (bells * (slope * slope - 1.0 / spread)).sum(axis=0)
    wild = bells[-1]
    if np.any(reading.bound_weight) or np.any(reading.floor):
        width = np.sqrt(variance + (reading.soft**2)[:, None])
        below = np.clip((mean - reading.low[:, None]) / width, -38.0, 38.0)
        above = np.clip((mean - reading.high[:, None]) / width, -38.0, 38.0)
        share = reading.bound_weight[:, None]
        p_low, p_high = np.exp(-0.5 * below**2) / ROOT_2PI, np.exp(-0.5 * above**2) / ROOT_2PI
        side = np.where(above > 0.0, -1.0, 1.0)  # the difference of two small tails, not of two numbers next to one
        inside = share * np.maximum(side * (ndtr(side * below) - ndtr(side * above)), 0.0)
        bare = ~np.any(reading.weight > 0, axis=0)
        top = np.where(bare[:, None], 0.0, top)
        scale = np.exp(-top)
        z = np.where(bare[:, None], 0.0, z) + scale * (inside + reading.floor[:, None])
        z1 = np.where(bare[:, None], 0.0, z1) + scale * share * (p_low - p_high) / width
        z2 = np.where(bare[:, None], 0.0, z2) - scale * share * (below * p_low - above * p_high) / width**2
        wild = np.where(bare[:, None], 0.0, wild) + scale * reading.floor[:, None]
    z = np.maximum(z, TINY)
    first = z1 / z
    new_variance = variance + variance**2 * (z2 / z - first**2)
    return mean + variance * first, np.clip(new_variance, 1e-6 * variance, None), top + np.log(z), wild / z


def collapsed(belief: Mixture, groups: int = 1) -> Mixture:
    """One bell curve in place of the components of each group (groups of neighbours, of equal size).

    Exact in mean and covariance.
    """
    n, j, d = belief.mean.shape
    each = j // groups
    weights = belief.weights.reshape(n, groups, each)
    total = weights.sum(axis=2)
    share = weights / np.maximum(total, TINY)[:, :, None]
    means = belief.mean.reshape(n, groups, each, d)
    mean = (share[..., None] * means).sum(axis=2)
    off = means - mean[:, :, None]
    covs = belief.cov.reshape(n, groups, each, d, d) + off[..., :, None] * off[..., None, :]
    return Mixture(total, mean, np.asarray((share[..., None, None] * covs).sum(axis=2)))


def branched(belief: Mixture, chance: Floats, noise: Floats) -> Mixture:
    """Each component split into ``h``: with ``chance`` (h,), or (n, 1, h), the covariance grows by ``noise``.

    noise : (n, j, h, m, m), added to the first m numbers of the state
    """
    n, j, d = belief.mean.shape
    h = chance.shape[-1]
    cov = np.repeat(belief.cov[:, :, None], h, axis=2)
    size = noise.shape[-1]
    cov[..., :size, :size] += noise
    weights = belief.weights[:, :, None] * chance
    mean = np.broadcast_to(belief.mean[:, :, None], (n, j, h, d))
    return Mixture(weights.reshape(n, j * h), mean.reshape(n, j * h, d).copy(), cov.reshape(n, j * h, d, d))


def grown(belief: Mixture, numbers: slice, by: slice, times: Floats, drift: Floats) -> Mixture:
    """The belief after ``numbers`` of the state have grown by ``times`` (n,) the numbers at ``by``, plus a ``drift``.

    drift : (n, size of numbers), known exactly
    """
    mean, cov = belief.mean.copy(), belief.cov.copy()
    mean[:, :, numbers] += times[:, None, None] * mean[:, :, by] + drift[:, None, :]
    cov[:, :, numbers, :] += times[:, None, None, None] * cov[:, :, by, :]
    cov[:, :, :, numbers] += times[:, None, None, None] * cov[:, :, :, by]
    return Mixture(belief.weights, mean, cov)


def forgotten(belief: Mixture, numbers: slice) -> Mixture:
    """The belief with some numbers of the state set to nought, exactly."""
    mean, cov = belief.mean.copy(), belief.cov.copy()
    mean[:, :, numbers] = 0.0
    cov[:, :, numbers, :] = 0.0
    cov[:, :, :, numbers] = 0.0
    return Mixture(belief.weights, mean, cov)


def share_below(weights: Floats, mean: Floats, variance: Floats, value: Floats) -> Floats:
    """(...) chance of lying below ``value`` (...) under mixtures of bell curves, components on the last axis."""
    from scipy.special import ndtr

    return np.asarray((weights * ndtr((value[..., None] - mean) / np.sqrt(np.maximum(variance, 1e-18)))).sum(axis=-1))


def point_with_share(weights: Floats, mean: Floats, variance: Floats, share: float, halvings: int = 50) -> Floats:
    """(...) the value below which ``share`` of each mixture lies, by halving; exact to 1e-12 of its width."""
    sd = np.sqrt(variance)
    low, high = (mean - 9.0 * sd).min(axis=-1), (mean + 9.0 * sd).max(axis=-1)
    for _ in range(halvings):
        middle = 0.5 * (low + high)
        is_below = share_below(weights, mean, variance, middle) < share
        low, high = np.where(is_below, middle, low), np.where(is_below, high, middle)
    return np.asarray(0.5 * (low + high))
