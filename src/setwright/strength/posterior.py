"""What is believed about one lift: a grid over (log 1RM, log k) with weights.

Two ideas. One: every logged set is evidence about the repetitions that were possible, with the error that
published studies give to a called reserve; only a muscular stop is failure, any other end is a lower bound.
Two: strength wanders between dates, so old sets count less, and a day is never exactly like another.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from setwright.strength.spread import Spread

Floats = NDArray[np.float64]
Kind = Literal["called", "failure", "lower-bound"]

GRID_STEP = 0.006  # in log 1RM: 0.6 %, a quarter of the day-to-day noise
K_POINTS = 17
# Day-to-day noise of what can be lifted, as a share. Source: Grgic et al. 2020, median CV of 1RM 4.2 %, 2 to 3 %
# in familiar lifts (seen); 2.5 % is used for a set within a known lift.
DAY_NOISE = 0.025
# Random walk of log 1RM: 1.2 % a week, growing with the square root of time (from memory, unchecked).
WALK_PER_WEEK = 0.012
# A called reserve is too low by about a quarter of itself, up to one repetition (Halperin et al. 2022: 0.95 on
# average, seen); its error grows with the reserve (Hackett 2017; a master thesis: 0.7 to 1.4 reps at 1 to 4, seen)
# and with sets over twelve repetitions (Halperin 2022, seen).
BIAS_PER_RIR, MOST_BIAS = 0.25, 1.0
RIR_SD, RIR_SD_PER_RIR, RIR_SD_PER_REP_OVER_12 = 0.7, 0.2, 0.35
TAIL_DF = 5.0
# Later sets of a lift on one day have fewer repetitions in them (common practice, no published source).
FATIGUE_REPS_A_SET, MOST_FATIGUE_REPS = 0.35, 1.5


@dataclass(frozen=True)
class SetEvidence:
    """One set as evidence: the whole load moved (kg, body part included), and what it says about repetitions.

    kind : ``called`` (reps + rir were possible, with error), ``failure`` (the next repetition failed),
        ``lower-bound`` (at least reps were possible)
    number : 1 for the first set of the lift on that day
    """

    date: date
    load_kg: float
    reps: int
    kind: Kind
    rir: float = 0.0
    number: int = 1


@dataclass(frozen=True, eq=False)
class LiftPosterior:
    """A belief about one lift. ``log_1rm`` (n,), ``log_k`` (m,), ``weights`` (n, m) summing to 1; owned, not shared.

    1RM is in kg of the whole load moved.
    """

    log_1rm: Floats
    log_k: Floats
    weights: Floats

    def one_rm(self) -> Spread:
        """The 1RM, kg."""
        return spread_of(np.exp(self.log_1rm), self.weights.sum(axis=1))

    def k(self) -> Spread:
        """The personal curve parameter."""
        return spread_of(np.exp(self.log_k), self.weights.sum(axis=0))

    def reps_to_failure(self, load_kg: float) -> Floats:
        """(n, m) repetitions to failure at a load, over the grid."""
        possible = 1.0 + (self.log_1rm[:, None] - np.log(load_kg)) / np.exp(self.log_k)[None, :]
        return np.asarray(possible, dtype=np.float64)

    def load_for(self, reps: float, rir: float) -> Spread:
        """The load, kg, at which ``reps`` leave ``rir`` in reserve."""
        loads = np.exp(self.log_1rm[:, None] - np.exp(self.log_k)[None, :] * (reps + rir - 1.0))
        return spread_of(loads.ravel(), self.weights.ravel())

    def reps_at(self, load_kg: float) -> Spread:
        """Repetitions to failure at a load; 0 where not even one is possible."""
        return spread_of(np.clip(self.reps_to_failure(load_kg), 0.0, 100.0).ravel(), self.weights.ravel())

    def chance(self, load_kg: float, reps: float, rir: float = 0.0) -> float:
        """Probability that ``reps`` are completed with at least ``rir`` left, day-to-day noise included."""
        if load_kg <= 0:
            return 1.0
        noise = DAY_NOISE / np.exp(self.log_k)[None, :]
        margin = (self.reps_to_failure(load_kg) - (reps + rir)) / noise
        return float(np.clip((self.weights * normal_cdf(margin)).sum(), 0.0, 1.0))

    def probability_of(self, one_rm_kg: float) -> float:
        """Probability that the 1RM is at least ``one_rm_kg``."""
        return float(self.weights.sum(axis=1)[self.log_1rm >= np.log(one_rm_kg)].sum())


def bias_of_called(rir: float) -> float:
    """Repetitions by which a called reserve is too low: a quarter of it, one at most (Halperin et al. 2022)."""
    return min(MOST_BIAS, BIAS_PER_RIR * rir)


def normal_cdf(x: Floats) -> Floats:
    """The standard normal distribution function."""
    from scipy.special import ndtr

    return np.asarray(ndtr(x), dtype=np.float64)


def spread_of(values: Floats, weights: Floats) -> Spread:
    """Mean, 10 % and 90 % points and standard deviation of weighted values."""
    total = weights.sum()
    mean = float((values * weights).sum() / total)
    sd = float(np.sqrt(max(0.0, ((values - mean) ** 2 * weights).sum() / total)))
    order = np.argsort(values, kind="stable")
    heights = np.cumsum(weights[order]) / total
    p10, p90 = np.interp([0.1, 0.9], heights, values[order])
    return Spread(mean, float(p10), float(p90), sd)


def prior(log_1rm: float, log_1rm_sd: float, log_k: float, log_k_sd: float) -> LiftPosterior:
    """The belief before any set: lognormal in 1RM (kg) and in k.

    The grid reaches four and a half standard deviations either way.
    """
    half = int(np.ceil(4.5 * log_1rm_sd / GRID_STEP))
    x = log_1rm + GRID_STEP * np.arange(-half, half + 1)
    y = log_k + log_k_sd * np.linspace(-2.6, 2.6, K_POINTS)
    weights = np.exp(-0.5 * ((x - log_1rm) / log_1rm_sd) ** 2)[:, None] * np.exp(-0.5 * ((y - log_k) / log_k_sd) ** 2)
    return LiftPosterior(np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64), weights / weights.sum())


def likelihood(belief: LiftPosterior, evidence: SetEvidence) -> Floats:
    """(n, m) likelihood of one set over the grid of a belief; strictly positive.

    Raises ValueError when the load is not positive.
    """
    if evidence.load_kg <= 0:
        raise ValueError(f"load is {evidence.load_kg} kg, expected a number > 0")
    possible = belief.reps_to_failure(evidence.load_kg)
    tired = min(MOST_FATIGUE_REPS, FATIGUE_REPS_A_SET * (evidence.number - 1))
    possible = possible - tired
    day = DAY_NOISE / np.exp(belief.log_k)[None, :]
    if evidence.kind == "failure":
        scale = np.sqrt(day**2 + 0.3**2)
        inside = normal_cdf((evidence.reps + 1 - possible) / scale) - normal_cdf((evidence.reps - possible) / scale)
        return np.asarray(inside + 1e-6)
    if evidence.kind == "lower-bound":
        return np.asarray(normal_cdf((possible - evidence.reps) / np.sqrt(day**2 + 0.3**2)) + 1e-6)
    seen = evidence.reps + evidence.rir + bias_of_called(evidence.rir)
    error = RIR_SD + RIR_SD_PER_RIR * evidence.rir + RIR_SD_PER_REP_OVER_12 * max(0, evidence.reps - 12)
    scale = np.sqrt(day**2 + error**2)
    gap = (possible - seen) / scale
    return np.asarray((1.0 + gap**2 / TAIL_DF) ** (-(TAIL_DF + 1) / 2) / scale + 1e-9)


def walked(belief: LiftPosterior, days: float) -> LiftPosterior:
    """The belief after ``days`` without evidence: wider in 1RM, unchanged in k."""
    sd = WALK_PER_WEEK * np.sqrt(max(0.0, days) / 7.0) / GRID_STEP
    if sd < 0.15:
        return belief
    reach = int(np.ceil(3.5 * sd))
    kernel = np.exp(-0.5 * (np.arange(-reach, reach + 1) / sd) ** 2)
    kernel /= kernel.sum()
    padded = np.pad(belief.weights, ((reach, reach), (0, 0)), mode="edge")
    padded[:reach] = 0.0
    padded[-reach:] = 0.0
    count = len(belief.log_1rm)
    spread = sum(kernel[shift] * padded[shift : shift + count] for shift in range(len(kernel)))
    spread = np.asarray(spread)
    return LiftPosterior(belief.log_1rm, belief.log_k, spread / spread.sum())


def updated(belief: LiftPosterior, sets: Sequence[SetEvidence], until: date | None = None) -> LiftPosterior:
    """The belief after some sets, in order of date whatever order they come in, carried on to ``until``.

    Sets of one day share that day's form, so together they weigh like the square root of their number.
    """
    by_date: dict[date, list[SetEvidence]] = {}
    for one in sorted(sets, key=lambda s: (s.date, s.number, s.load_kg, s.reps, s.kind, s.rir)):
        by_date.setdefault(one.date, []).append(one)
    last: date | None = None
    for day, group in by_date.items():
        if last is not None:
            belief = walked(belief, (day - last).days)
        share = 1.0 / np.sqrt(len(group))
        log_weights = np.log(belief.weights + 1e-300)
        for one in group:
            log_weights = log_weights + share * np.log(likelihood(belief, one))
        weights = np.exp(log_weights - log_weights.max())
        belief = LiftPosterior(belief.log_1rm, belief.log_k, weights / weights.sum())
        last = day
    if until is not None and last is not None and until > last:
        belief = walked(belief, (until - last).days)
    return belief
