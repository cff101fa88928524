"""When a step of a progression will be done: a damped trend of what its sets reach, and the weeks of the steps above.

Two ideas. One: at the step where somebody stands, the log of repetitions, seconds or metres follows a level and a slope
that wears off (a damped local trend); both start from published rates of strength and learn from every session. Two:
nothing is known yet of the steps above, so each takes weeks out of a wide prior, narrowed where the demand of the step
is reckoned; somebody who is slow now is likely slow there too.

Drawn with a fixed seed, so the same log gives the same dates. Leaves out breaks, illness, and days without training.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log, sqrt

import numpy as np

from setwright.catalogue.exercise import Measure
from setwright.strength.holds import curves, half_line, hold_figures
from setwright.strength.mixture import Floats
from setwright.strength.population import population, priors

# Gain of strength in a week, as a share, while a lift is trained on purpose, and its spread between people. Trained:
# squat +13.9 kg (sd 5.9) and bench press +9.6 kg (5.4) in 8 weeks, about 1.1 % a week (Helms et al. 2018, seen);
# untrained: bench press +28 % (sd 21) in 12 weeks, 2.1 % a week (Mayhew et al. 2008, 103 women, seen), elbow flexion
# +11.6 % in 10 weeks (Gentil et al. 2016, 91 people, seen). Between the two for people in their first year.
TRAINED_RATE, TRAINED_RATE_SD = 0.011, 0.008
NOVICE_RATE, NOVICE_RATE_SD = 0.016, 0.012
NEW_MOVEMENT_SD = 0.03  # of ln amount a week: a new exercise is also learnt (this project's choice)
# Gains grow with the logarithm of time (Steele et al. 2022, 14690 people, seen): here a slope that halves every 13
# weeks, which is the same to a few percent over half a year (this project's reading).
HALF_LIFE_WEEKS = 13.0
SLOPE_WALK = 0.006  # sd by which the slope itself wanders in a root week (this project's choice)
METRES_SD = 0.15  # ln metres of a carry from day to day (common practice, no published source)
ROUND_SD = 0.29  # repetitions are whole: sd of rounding, in repetitions
LEAST_AMOUNT = 0.5
# Weeks that a step of a progression takes: common practice, no published source, and wide on purpose: 8 times in 10
# between 3 and 13. Part of it is the person, the same on every step.
STEP_WEEKS, STEP_LOG_SD_PERSON, STEP_LOG_SD_OWN = 6.0, 0.40, 0.45
LEAST_STEP_WEEKS, MOST_STEP_WEEKS = 1.0, 40.0
ENTRY_SHARE, ENTRY_LOG_SD = 0.5, 0.35  # of the exit amount that is there on the first day (common practice)
DRAWS, SEED = 4000, 1904
MOST_WEEKS = 208


@dataclass(frozen=True)
class Seen:
    """What one session showed: ``amount`` that every set of the exit test's number reached, days before today.

    ``is_at_least``: the sets stopped as planned, so more was there. ``extra_sd``: further doubt in log, for a reserve
    that was called or sets that were too few.
    """

    days_ago: float
    amount: float
    is_at_least: bool = False
    extra_sd: float = 0.0


@dataclass(frozen=True)
class Trend:
    """The belief about one step today: ln amount on a usual day and its slope a week, as a normal (2,), (2, 2)."""

    mean: Floats
    cov: Floats

    def amount(self) -> tuple[float, float, float]:
        """The amount on a usual day: middle, and where one in ten lies below and above."""
        sd = sqrt(float(self.cov[0, 0]))
        middle = float(self.mean[0])
        return exp(middle), exp(middle - 1.2816 * sd), exp(middle + 1.2816 * sd)


@dataclass(frozen=True)
class Ask:
    """What the exit test of a step counts: ``measure``, ``amount`` in every set, ``k`` of the rep curve."""

    measure: Measure
    amount: float
    k: float = 0.0
    region: str = "general"

    def per_strength(self) -> float:
        """How much ln amount grows for one unit of ln strength, near the amount asked."""
        if self.measure == "reps":
            return 1.0 / (self.curve_k() * max(2.0, self.amount))
        return curves()[self.region if self.region in curves() else "general"].power

    def curve_k(self) -> float:
        """The parameter of the rep curve."""
        return self.k or float(priors()["k"]["default"]["mean"])

    def day_sd(self, amount: float) -> float:
        """Scatter of ln amount from day to day."""
        if self.measure == "reps":
            reps = max(1.0, amount)
            return sqrt((population().day / self.curve_k() / reps) ** 2 + (ROUND_SD / reps) ** 2)
        return hold_figures().same if self.measure == "seconds" else METRES_SD

    def strain(self) -> float:
        """ln strength that the amount asks above what one repetition or a short hold of the step asks."""
        if self.measure == "reps":
            return self.curve_k() * (self.amount - 1.0)
        return log(max(1.0, self.amount / 10.0)) / self.per_strength()


def usual_slope(ask: Ask, training_years: float) -> tuple[float, float]:
    """(slope of ln amount a week, its spread) before the log says anything."""
    rate, sd = (NOVICE_RATE, NOVICE_RATE_SD) if training_years < 1.0 else (TRAINED_RATE, TRAINED_RATE_SD)
    times = ask.per_strength()
    return rate * times, sqrt((sd * times) ** 2 + NEW_MOVEMENT_SD**2)


def trend_of(ask: Ask, seen: Sequence[Seen], training_years: float, start: tuple[float, float] | None = None) -> Trend:
    """The belief about a step today, after all its sessions.

    start : (ln amount, sd) known from elsewhere: an estimate of the lift, or the step before by its demand; about half
        of the exit amount when None
    """
    slope, slope_sd = usual_slope(ask, training_years)
    level, level_sd = start or (log(ENTRY_SHARE * ask.amount), ENTRY_LOG_SD)
    mean = np.array([level, slope])
    cov = np.diag([level_sd**2, slope_sd**2])
    rows = sorted(seen, key=lambda one: -one.days_ago)
    for i, one in enumerate(rows):
        if i:
            mean, cov = moved(mean, cov, (rows[i - 1].days_ago - one.days_ago) / 7.0, ask)
        mean, cov = with_session(mean, cov, one, ask, is_first=i == 0 and start is None)
    if rows:
        # No growth is taken for granted since the last session: only doubt grows.
        weeks = rows[-1].days_ago / 7.0
        cov = cov + np.diag([walk_of(ask) ** 2 * weeks, SLOPE_WALK**2 * weeks])
    return Trend(mean, cov)


def walk_of(ask: Ask) -> float:
    """Sd by which ln amount wanders in a root week beyond its trend."""
    return population().walk * ask.per_strength()


def moved(mean: Floats, cov: Floats, weeks: float, ask: Ask) -> tuple[Floats, Floats]:
    """The belief some weeks later."""
    keep = 0.5 ** (weeks / HALF_LIFE_WEEKS)
    gain = (1.0 - keep) * HALF_LIFE_WEEKS / log(2.0)
    turn = np.array([[1.0, gain], [0.0, keep]])
    noise = np.diag([walk_of(ask) ** 2 * weeks, SLOPE_WALK**2 * weeks])
    return turn @ mean, turn @ cov @ turn.T + noise


def with_session(mean: Floats, cov: Floats, one: Seen, ask: Ask, is_first: bool = False) -> tuple[Floats, Floats]:
    """The belief after one session: an observation, or a lower bound matched in mean and variance.

    is_first : the first session sets the level nearly alone, since nobody knows better where a step is entered
    """
    told = log(max(LEAST_AMOUNT, one.amount))
    noise = sqrt(ask.day_sd(one.amount) ** 2 + one.extra_sd**2)
    if is_first:
        cov = cov + np.diag([1.0, 0.0])
    width = sqrt(float(cov[0, 0]) + noise**2)
    off = told - float(mean[0])
    if one.is_at_least:
        first, second = half_line(off / width, width)
    else:
        first, second = off / width**2, -1.0 / width**2
    to = cov[:, 0]
    return mean + to * first, cov + np.outer(to, to) * second


@dataclass(frozen=True)
class Climb:
    """Weeks from today until each step's exit test is met, drawn: (steps, draws); infinite beyond four years."""

    weeks: Floats

    def chance_by(self, weeks: float) -> tuple[float, ...]:
        """Chance that each step is done within some weeks."""
        return tuple(float(share) for share in (self.weeks <= weeks).mean(axis=1))

    def quantile(self, step: int, share: float) -> float | None:
        """Weeks within which a step is done with a chance; None where that is not within four years."""
        found = float(np.quantile(self.weeks[step], share, method="higher"))
        return None if found > MOST_WEEKS else found


@dataclass(frozen=True)
class StepAhead:
    """A step above: what its exit test asks, and how much more strength than the step before, in log, or None.

    ``more`` holds both the demand and the difference of the tests; ``sessions`` in which the test must be met.
    """

    ask: Ask | None
    sessions: int = 2
    more: float | None = None


def climb_of(
    ask: Ask | None,
    trend: Trend | None,
    sessions_left: int,
    ahead: Sequence[StepAhead],
    training_years: float,
    sessions_a_week: float = 2.0,
    draws: int = DRAWS,
    seed: int = SEED,
) -> Climb:
    """When the exit test of the step now, and of each step above it, is met.

    ask, trend : of the step now; None where its test is no set: then it takes weeks like a step above
    sessions_left : sessions in which its test has to be met still; 0 where it is done
    """
    chance = np.random.default_rng(seed)
    pace = chance.normal(0.0, 1.0, draws)
    rows = []
    if sessions_left <= 0:
        rows.append(np.zeros(draws))
    elif ask is None or trend is None:
        rows.append(weeks_of_step(StepAhead(None, sessions_left), pace, training_years, sessions_a_week, chance))
    else:
        first, slopes = first_step(ask, trend, sessions_left, sessions_a_week, draws, chance)
        rows.append(first)
        usual, usual_sd = usual_slope(ask, training_years)
        # A slow climber now is a slow one above: the slope drawn, in spreads of people, is the pace of the rest.
        pace = 0.7 * np.clip((usual - slopes) / usual_sd, -2.5, 2.5) + sqrt(1.0 - 0.7**2) * pace
    for one in ahead:
        rows.append(rows[-1] + weeks_of_step(one, pace, training_years, sessions_a_week, chance))
    found = np.array(rows)
    return Climb(np.where(found > MOST_WEEKS, np.inf, found))


def first_step(
    ask: Ask, trend: Trend, sessions_left: int, sessions_a_week: float, draws: int, chance: np.random.Generator
) -> tuple[Floats, Floats]:
    """((draws,) weeks until the test was met in enough sessions, (draws,) slopes): every session drawn, day by day."""
    start = chance.multivariate_normal(trend.mean, trend.cov, draws)
    level, slope = start[:, 0], start[:, 1]
    slopes = slope.copy()
    gap = 1.0 / sessions_a_week
    keep = 0.5 ** (gap / HALF_LIFE_WEEKS)
    gain = (1.0 - keep) * HALF_LIFE_WEEKS / log(2.0)
    walk, turn = walk_of(ask) * sqrt(gap), SLOPE_WALK * sqrt(gap)
    wanted, day = log(ask.amount), ask.day_sd(ask.amount)
    met = np.zeros(draws, dtype=np.intp)
    done = np.full(draws, np.inf)
    for number in range(1, int(MOST_WEEKS * sessions_a_week) + 1):
        level = level + gain * slope + chance.normal(0.0, walk, draws)
        slope = keep * slope + chance.normal(0.0, turn, draws)
        met = met + (level + chance.normal(0.0, day, draws) >= wanted)
        done = np.where((met >= sessions_left) & np.isinf(done), number * gap, done)
        if not np.isinf(done).any():
            break
    return done, slopes


def weeks_of_step(
    one: StepAhead, pace: Floats, training_years: float, sessions_a_week: float, chance: np.random.Generator
) -> Floats:
    """(draws,) weeks that a step above takes, its sessions with the test met included."""
    middle = STEP_WEEKS
    if one.more is not None:
        rate = NOVICE_RATE if training_years < 1.0 else TRAINED_RATE
        middle = min(MOST_STEP_WEEKS, max(LEAST_STEP_WEEKS, one.more / rate))
        # The prior keeps a say: what is reckoned leaves out balance, skill and pain.
        middle = exp(0.5 * log(middle) + 0.5 * log(STEP_WEEKS))
    own = chance.normal(0.0, STEP_LOG_SD_OWN, pace.shape)
    least = one.sessions / sessions_a_week
    found: Floats = least + middle * np.exp(STEP_LOG_SD_PERSON * pace + own)
    return found
