"""What is believed about one lift: a small mixture over (log 1RM, curve parameter, bias of calls), in closed form.

Two ideas. One: "at least so many repetitions at this load" is a half-plane of these three numbers, so its chance is
a normal distribution function for each component. Two: a reserve is meant as trainees call it, so the doubt about
how they call cancels where a set is planned on the same scale as it was logged.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from setwright.strength.calling import usual_bias
from setwright.strength.mixture import Floats, point_with_share, share_below
from setwright.strength.population import population
from setwright.strength.spread import Spread
from setwright.strength.tiring import FELT_DOUBT, USUAL_REST_S, left_after

# Day-to-day noise of what can be lifted, as a share. Source: Grgic et al. 2020, median CV of 1RM 4.2 %, 2 to 3 %
# in familiar lifts (seen); 2.5 % is used for a set within a known lift.
DAY_NOISE = 0.025
MOST_REPS = 100.0
WIDE = 0.12  # spread of a load, as a share of it, beyond which the first session finds the load
P10, P90 = 0.1, 0.9


@dataclass(frozen=True, eq=False)
class LiftPosterior:
    """A belief about one lift; 1RM in kg of the whole load moved.

    weights : (j,) summing to 1; mean : (j, 3) of ln 1RM, curve parameter and multiple of the usual bias of calls;
    cov : (j, 3, 3); day_noise : (j,) sd of what shows on one day, in log. All owned, not shared.
    loss : share of the repetitions that one hard set takes from the next, at its mean
    """

    weights: Floats
    mean: Floats
    cov: Floats
    day_noise: Floats
    loss: float = 0.0

    def one_rm(self) -> Spread:
        """The 1RM, kg."""
        return lognormal_spread(self.weights, self.mean[:, 0], self.cov[:, 0, 0])

    def middle_kg(self) -> float:
        """The 1RM, kg, that is as likely too high as too low."""
        return float(np.exp(point_with_share(self.weights, self.mean[:, 0], self.cov[:, 0, 0], 0.5)))

    def k(self) -> Spread:
        """The personal curve parameter."""
        return self._k

    @cached_property
    def _k(self) -> Spread:
        """Its spread, found once: reviews ask for it with every set."""
        return spread_of(self.weights, self.mean[:, 1], self.cov[:, 1, 1])

    def log_load(self, reps: float, rir: float = 0.0, left: float = 1.0) -> tuple[Floats, Floats]:
        """((j,) mean, (j,) variance) of ln of the load at which ``reps`` leave ``rir`` as called, no day noise.

        left : share of the fresh repetitions that sets before have left
        """
        usual = float(usual_bias(rir, reps)) / left
        k, bias = self.mean[:, 1], self.mean[:, 2]
        whole = (reps + rir) / left + bias * usual - 1.0
        along = np.stack([np.ones_like(k), -whole, -k * usual], axis=1)
        variance = np.einsum("ja,jab,jb->j", along, self.cov, along)
        return self.mean[:, 0] - k * whole - usual * self.cov[:, 1, 2], np.maximum(variance, 1e-12)

    def load_for(self, reps: float, rir: float) -> Spread:
        """The load, kg, at which ``reps`` leave ``rir`` as called."""
        return lognormal_spread(self.weights, *self.log_load(reps, rir))

    def reps_at(self, load_kg: float) -> Spread:
        """Repetitions to failure at a load on a day, from 0 to 100; 0 where not even one is possible."""
        counts = np.concatenate([np.arange(1e-6, 40.0, 0.25), np.arange(40.0, MOST_REPS + 1.0, 2.0)])
        at_least = self.chance_of_reps(load_kg, counts)
        at_least = np.minimum.accumulate(at_least)
        mean = float(np.trapezoid(at_least, counts))
        square = float(np.trapezoid(2.0 * counts * at_least, counts))
        low, high = (float(np.interp(-share, -at_least, counts)) for share in (P90, P10))
        return Spread(mean, low, high, float(np.sqrt(max(0.0, square - mean**2))))

    def chance_of_reps(self, load_kg: float, counts: Floats) -> Floats:
        """(m,) chance that at least ``counts`` (m,) repetitions to failure are possible on a day at a load."""
        whole = counts[:, None] - 1.0
        mean = self.mean[None, :, 0] - self.mean[None, :, 1] * whole
        cov = self.cov
        variance = cov[None, :, 0, 0] - 2.0 * whole * cov[None, :, 0, 1] + whole**2 * cov[None, :, 1, 1]
        variance = variance + self.day_noise**2
        below = share_below(self.weights, mean, np.maximum(variance, 1e-12), np.full(len(counts), np.log(load_kg)))
        return np.asarray(1.0 - below)

    def chance(
        self, load_kg: float, reps: float, rir: float = 0.0, before: int = 0, rest_s: float = USUAL_REST_S
    ) -> float:
        """Chance that ``reps`` are completed with at least ``rir`` left as called, day-to-day noise included.

        before : sets alike done just before, each followed by ``rest_s`` of rest
        """
        if load_kg <= 0:
            return 1.0
        bias = float(self.weights @ self.mean[:, 2])
        reserve = max(0.0, rir + bias * float(usual_bias(rir, reps)))
        left = left_after(before, reserve, rest_s, self.loss)
        mean, variance = self.log_load(reps, rir, left)
        k = float(self.weights @ self.mean[:, 1])
        worn = FELT_DOUBT * k * (reps + reserve) * (1.0 - left) / left**2
        variance = variance + self.day_noise**2 + worn**2
        below = share_below(self.weights, mean, variance, np.asarray(np.log(load_kg)))
        return float(np.clip(1.0 - below, 0.0, 1.0))

    def probability_of(self, one_rm_kg: float) -> float:
        """Chance that the 1RM is at least ``one_rm_kg``."""
        below = share_below(self.weights, self.mean[:, 0], self.cov[:, 0, 0], np.asarray(np.log(one_rm_kg)))
        return float(1.0 - below)

    def widened(self, log_sd: float) -> LiftPosterior:
        """The same belief with more doubt about the 1RM: ``log_sd`` in log, for what holds and slow sets ask of it."""
        if not log_sd:
            return self
        cov = self.cov.copy()
        cov[:, 0, 0] += log_sd**2
        return replace(self, cov=cov)

    def usual_day_noise(self) -> float:
        """What a day adds or takes, as a share of the load, on average over what is believed."""
        return float(np.sqrt((self.weights * self.day_noise**2).sum()))


def lognormal_spread(weights: Floats, mean: Floats, variance: Floats) -> Spread:
    """The spread of exp(s), s a mixture of bell curves (j,)."""
    means = np.exp(mean + 0.5 * variance)
    middle = float((weights * means).sum())
    square = float((weights * means**2 * np.exp(variance)).sum())
    low, high = (float(np.exp(point_with_share(weights, mean, variance, share))) for share in (P10, P90))
    return Spread(middle, low, high, float(np.sqrt(max(0.0, square - middle**2))))


def spread_of(weights: Floats, mean: Floats, variance: Floats) -> Spread:
    """The spread of a mixture of bell curves (j,)."""
    middle = float((weights * mean).sum())
    sd = float(np.sqrt((weights * (variance + (mean - middle) ** 2)).sum()))
    low, high = (float(point_with_share(weights, mean, variance, share)) for share in (P10, P90))
    return Spread(middle, low, high, sd)


def prior(log_1rm: float, log_1rm_sd: float, log_k: float, log_k_sd: float, bias: float = 1.0) -> LiftPosterior:
    """A belief with one bell curve: ln of the 1RM in kg, ln of the curve parameter, and their spreads."""
    k = float(np.exp(log_k))
    cov = np.diag([log_1rm_sd**2, (k * log_k_sd) ** 2, 0.0])
    return LiftPosterior(
        np.ones(1), np.array([[log_1rm, k, bias]]), cov[None], np.array([DAY_NOISE]), population().loss
    )
