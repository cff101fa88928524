"""Every lift of a trainee: what is believed, and what it rests on.

All lifts are followed together, so a set of one says something about its relatives; a lift that was never done gets
an honest wide belief from them and from body mass.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

import numpy as np

from setwright.catalogue.exercise import Exercise
from setwright.catalogue.store import Catalogue
from setwright.people.trainee import Baseline, Trainee
from setwright.strength.calling import MEAN_BIAS
from setwright.strength.course import Course, day_noise, followed, loss_in, view
from setwright.strength.evidence import SetEvidence
from setwright.strength.expected import body_part, correlations, k_prior, likeness, ratio_prior
from setwright.strength.gathering import evidence_of, holds_of_moving_lifts, own_part
from setwright.strength.holds import (
    LEAST_SHARE,
    Endurance,
    HeldLift,
    HoldBelief,
    curve_of,
    hold_figures,
    usual_belief,
)
from setwright.strength.logged import Log
from setwright.strength.mixture import Floats, share_below, shared
from setwright.strength.population import population
from setwright.strength.posterior import LiftPosterior, lognormal_spread, spread_of
from setwright.strength.roster import Start
from setwright.strength.spread import Spread

Basis = Literal["sets", "relatives", "body mass"]
ALIKE = 0.4  # from this likeness on a lift counts as a relative (common practice, no published source)
TREND_WEEKS = 8
LEAST_TREND_DAYS, LEAST_TREND_DATES = 14, 3
FIRST_SD = 0.45  # how far off body mass may be for a lift that somebody does train, in log (from memory)
LEAST_NEW_SD = 0.08
USUAL_HOLD_S, HOLD_GUESS_SD = 40.0, 0.6  # of holds of the body (common practice, no published source)


@dataclass(frozen=True, eq=False)
class LiftEstimate:
    """One lift: its belief (kg of the whole load moved), how many sets it rests on, and its weekly trend.

    ``doubtful`` are logged sets so far from what is known that they wait for a check (a wrong unit, a slip).
    ``body_part_kg`` is the part of the load that is the trainee's own body (0 for bars and machines): a printed
    load is the whole load less this. ``trend_per_week`` in kg over the last weeks, None with fewer than three dates;
    ``gained`` is the chance that the 1RM is higher now than at the start of these weeks.
    """

    exercise: str
    posterior: LiftPosterior
    sets_used: int
    basis: Basis
    body_part_kg: float = 0.0
    trend_per_week: Spread | None = None
    rests_on: str = ""
    doubtful: tuple[SetEvidence, ...] = ()
    gained: float | None = None


@dataclass(frozen=True, eq=False)
class Estimates:
    """All lifts with sets, and an answer for every other one. ``holds`` are the lifts that are held, not moved.

    ``evidence`` is what each lift rests on; ``course`` is how the beliefs went, day by day. ``endurance`` is how long
    this person holds a known share of a lift beside others; ``held`` are moving lifts that were also held still.
    """

    lifts: Mapping[str, LiftEstimate]
    trainee: Trainee
    catalogue: Catalogue
    bias: Spread
    today: date
    evidence: Mapping[str, tuple[SetEvidence, ...]] = field(default_factory=dict)
    course: Course | None = None
    holds: Mapping[str, LiftEstimate] = field(default_factory=dict)
    endurance: HoldBelief = field(default_factory=usual_belief)
    held: Mapping[str, HeldLift] = field(default_factory=dict)
    _made: dict[str, LiftEstimate] = field(default_factory=dict, repr=False)

    def for_exercise(self, slug: str) -> LiftEstimate:
        """The estimate of any exercise of the catalogue; LookupError for an unknown one."""
        exercise = self.catalogue.get(slug)
        for known in (self.lifts, self.holds):
            if exercise.slug in known:
                return known[exercise.slug]
        if exercise.slug not in self._made:
            self._made[exercise.slug] = from_relatives(exercise, self)
        return self._made[exercise.slug]

    def effort_bias_reps(self) -> Spread:
        """By how many repetitions a called reserve is too low, in a set of nine with four left."""
        return self.bias

    def as_json(self) -> dict[str, object]:
        """The published form of ``estimate --json``: loads in kg as printed (body part taken off)."""
        return {
            "lifts": [lift_as_json(one) for _, one in sorted(self.lifts.items())],
            "effort_bias_reps": self.bias.as_json(),
        }


def seconds_at(one: LiftEstimate, load_kg: float, curve: Endurance) -> Spread:
    """Seconds that a load (whole, kg) of a held lift can be held on a day, by the curve of its joint.

    The scatter of one person from day to day is in it; how the person differs from the curve is in the greatest load.
    """
    belief = one.posterior
    mean = np.log(curve.seconds) + curve.power * (belief.mean[:, 0] - np.log(load_kg))
    variance = curve.power**2 * (belief.cov[:, 0, 0] + belief.day_noise**2) + hold_figures().same ** 2
    return at_most(lognormal_spread(belief.weights, mean, variance), curve)


def chance_to_hold(one: LiftEstimate, load_kg: float, seconds: float, curve: Endurance) -> float:
    """Chance that a load (whole, kg) of a held lift is held for ``seconds`` on a day."""
    belief = one.posterior
    mean = np.log(curve.seconds) + curve.power * (belief.mean[:, 0] - np.log(load_kg))
    variance = curve.power**2 * (belief.cov[:, 0, 0] + belief.day_noise**2) + hold_figures().same ** 2
    return 1.0 - float(share_below(belief.weights, mean, variance, np.asarray(np.log(seconds))))


def seconds_of_lift(
    one: LiftEstimate, load_kg: float, curve: Endurance, own: HoldBelief, held: HeldLift | None = None
) -> Spread:
    """Seconds that a load (whole, kg) of a moving lift can be held still in its hard part, on a day.

    held : what its own holds have left, or None where it was never held
    """
    belief, figures = one.posterior, hold_figures()
    if held is not None:
        middle = np.full(len(belief.weights), np.log(curve.seconds) + held.mean - curve.power * np.log(load_kg))
        spread = held.sd**2 + (curve.power * belief.day_noise) ** 2 + figures.same**2
        return at_most(lognormal_spread(belief.weights, middle, spread), curve)
    mean = np.log(curve.seconds) + own.mean
    mean = mean + curve.power * (belief.mean[:, 0] + np.log(figures.over_lifted) - np.log(load_kg))
    of_share = belief.cov[:, 0, 0] + belief.day_noise**2 + figures.over_lifted_sd**2
    variance = curve.power**2 * of_share + own.sd**2 + figures.same**2
    return at_most(lognormal_spread(belief.weights, mean, variance), curve)


def at_most(found: Spread, curve: Endurance) -> Spread:
    """Seconds cut off where the curve is no longer followed."""
    longest = curve.seconds_at(LEAST_SHARE)
    return Spread(min(found.mean, longest), min(found.p10, longest), min(found.p90, longest), min(found.sd, longest))


def endurance_of(
    lifts: Mapping[str, LiftEstimate], trainee: Trainee, catalogue: Catalogue, log: Log, on: date
) -> tuple[HoldBelief, dict[str, HeldLift]]:
    """How long this person holds a known share beside others, from holds of lifts that are otherwise moved, and what
    is known of these lifts held still."""
    own, figures = usual_belief(), hold_figures()
    held: dict[str, HeldLift] = {}
    for slug, rows in holds_of_moving_lifts(trainee, catalogue, log, on).items():
        if slug in lifts:
            belief = lifts[slug].posterior
            mean = float(belief.weights @ belief.mean[:, 0])
            variance = float(belief.weights @ (belief.cov[:, 0, 0] + (belief.mean[:, 0] - mean) ** 2))
            greatest = mean + float(np.log(figures.over_lifted))
            greatest_sd = float(np.sqrt(variance + figures.over_lifted_sd**2))
            own, held[slug] = own.after(curve_of(catalogue.get(slug)), greatest, greatest_sd, rows)
    return own, held


def lift_as_json(one: LiftEstimate) -> dict[str, object]:
    """One lift in the published form."""
    whole = one.posterior.one_rm()
    own = one.body_part_kg
    shown = Spread(whole.mean - own, whole.p10 - own, whole.p90 - own, whole.sd)
    loads = sorted({round((whole.mean * share - own) / 2.5) * 2.5 for share in (0.6, 0.7, 0.8, 0.9)})
    return {
        "exercise": one.exercise,
        "one_rm_kg": shown.as_json(),
        "reps_at": {f"{load:g}": one.posterior.reps_at(load + own).as_json() for load in loads if load + own > 0},
        "trend_per_week": one.trend_per_week.as_json() if one.trend_per_week else None,
        "chance_of_gain": None if one.gained is None else round(one.gained, 3),
        "sets_used": one.sets_used,
        "sets_doubtful": len(one.doubtful),
        "basis": one.basis,
        "body_part_kg": round(own, 3),
        "k": one.posterior.k().as_json(),
    }


def start_of(exercises: Sequence[Exercise], trainee: Trainee, year: int) -> Start:
    """What is believed of a trainee's lifts before the first set."""
    guesses = [hold_prior(one, trainee) or ratio_prior(one, trainee, year) for one in exercises]
    curves = [k_prior(one) for one in exercises]
    k = np.exp(np.array([mean for mean, _ in curves]))
    return Start(
        log_1rm=np.array([mean for mean, _ in guesses]),
        log_1rm_sd=np.array([max(sd, FIRST_SD) for _, sd in guesses]),
        like=correlations(exercises, exercises),
        k=k,
        k_sd=k * np.array([sd for _, sd in curves]),
        training_years=trainee.training_years,
    )


def hold_prior(exercise: Exercise, trainee: Trainee) -> tuple[float, float] | None:
    """(ln of the load that could just be held, its spread) for holds of the body: half a minute, give or take much."""
    if exercise.is_dynamic or exercise.load_means not in ("body", "added"):
        return None
    return float(np.log(own_part(exercise, trainee))) + curve_of(exercise).strain(USUAL_HOLD_S), HOLD_GUESS_SD


def estimate_lifts(
    trainee: Trainee, catalogue: Catalogue, baselines: Sequence[Baseline], log: Log, today: date
) -> Estimates:
    """What all dated sets say about every lift, as of ``today``; sets after it are left out."""
    evidence = evidence_of(trainee, catalogue, baselines, log, today)
    exercises = [catalogue.get(slug) for slug in evidence]
    if not exercises:
        usual = population()
        bias = MEAN_BIAS * usual.bias
        sd = MEAN_BIAS * usual.bias_sd
        return Estimates({}, trainee, catalogue, Spread(bias, bias - 1.2816 * sd, bias + 1.2816 * sd, sd), today)
    start = start_of(exercises, trainee, today.year)
    course = followed(start, list(evidence.values()), today, TREND_WEEKS)
    lifts: dict[str, LiftEstimate] = {}
    holds: dict[str, LiftEstimate] = {}
    for number, exercise in enumerate(exercises):
        one = of_lift(exercise, number, course, evidence[exercise.slug], trainee)
        (lifts if exercise.is_dynamic else holds)[exercise.slug] = one
    bias_mean, bias_variance = course.marginal(course.now, "bias")
    usual_bias = spread_of(course.now.belief.weights[0], MEAN_BIAS * bias_mean, MEAN_BIAS**2 * bias_variance)
    kept = {slug: tuple(rows) for slug, rows in evidence.items()}
    own, held = endurance_of(lifts, trainee, catalogue, log, today)
    return Estimates(lifts, trainee, catalogue, usual_bias, today, kept, course, holds, own, held)


def of_lift(
    exercise: Exercise, number: int, course: Course, sets: Sequence[SetEvidence], trainee: Trainee
) -> LiftEstimate:
    """The estimate of one lift that has sets."""
    doubtful = tuple(one for one, slip in zip(sets, course.slips[number], strict=True) if one.strange or slip)
    used = [one for one in sets if one not in doubtful]
    days = sorted({one.date for one in used})
    trend = gained = None
    recent = [day for day in days if (course.today - day).days <= 7 * TREND_WEEKS]
    if len(recent) >= LEAST_TREND_DATES and (recent[-1] - recent[0]).days >= LEAST_TREND_DAYS:
        trend, gained = course.trend(number)
    basis: Basis = "sets" if used else "body mass"
    rests = f"{len(used)} sets on {len(days)} days" if used else "body mass"
    return LiftEstimate(
        exercise.slug,
        view(course.now, number),
        len(used),
        basis,
        body_part(exercise, trainee),
        trend,
        rests,
        doubtful,
        gained,
    )


def from_relatives(exercise: Exercise, known: Estimates) -> LiftEstimate:
    """A belief about a lift never done: body mass, and what all lifts that were done turned out to be beside theirs.

    Regression on the lifts done, with the correlations of ``expected``; what no other lift tells stays open, and so
    does all of it for lifts of speed and skill, of which slow lifts tell less.
    """
    trainee, catalogue, course = known.trainee, known.catalogue, known.course
    mean, sd = hold_prior(exercise, trainee) or ratio_prior(exercise, trainee, known.today.year)
    log_k, log_k_sd = k_prior(exercise)
    people = population()
    k = float(np.exp(log_k))
    own = body_part(exercise, trainee)
    if course is None:
        bias = np.array([people.bias])
        cov = np.diag([sd**2, (k * log_k_sd) ** 2, people.bias_sd**2])[None]
        made = LiftPosterior(np.ones(1), np.array([[mean, k, bias[0]]]), cov, np.array([people.day]), people.loss)
        return LiftEstimate(exercise.slug, made, 0, "body mass", own, None, "body mass")
    done = [catalogue.get(slug) for slug in known.evidence]
    to_done = correlations([exercise], done)[0]
    sds = np.array([max(ratio_prior(one, trainee, known.today.year)[1], FIRST_SD) for one in done])
    wide = max(sd, FIRST_SD) if to_done.max() >= 1.0 else sd
    among = course.start.like * np.outer(sds, sds)
    share = np.linalg.solve(among, to_done * wide * sds)
    left = max(wide**2 - float(share @ among @ share), LEAST_NEW_SD**2)
    to_k, left_k = k_share(course, len(done), k * log_k_sd, people.k_shared)
    turn, shift = onto_new(course, share, to_k, mean, k)
    belief = course.now.belief
    means = belief.mean[0] @ turn.T + shift
    cov = turn @ belief.cov[0] @ turn.T
    cov[:, 0, 0] += left
    cov[:, 1, 1] += left_k
    posterior = LiftPosterior(belief.weights[0], means, cov, day_noise(), loss_in(course.now))
    nearest, slug = max(((likeness(exercise, one), one.slug) for one in done), key=lambda pair: (pair[0], pair[1]))
    if nearest < ALIKE:
        return LiftEstimate(exercise.slug, posterior, 0, "body mass", own, None, "body mass")
    return LiftEstimate(exercise.slug, posterior, 0, "relatives", own, None, slug)


def k_share(course: Course, lifts: int, sd: float, correlation: float) -> tuple[Floats, float]:
    """(how a new curve parameter follows those of the lifts done, the variance that is left)."""
    sds = course.start.k_sd
    among = shared(lifts, correlation) * np.outer(sds, sds)
    share: Floats = np.asarray(np.linalg.solve(among, correlation * sd * sds), dtype=np.float64)
    return share, sd**2 - float(share @ among @ share)


def onto_new(course: Course, share: Floats, to_k: Floats, mean: float, k: float) -> tuple[Floats, Floats]:
    """((3, d) map, (3,) shift) from the state of the lifts done to ln 1RM, curve and bias of a new lift."""
    lifts, roster = len(share), course.now
    turn = np.zeros((3, roster.belief.mean.shape[2]))
    turn[0, :lifts] = share
    turn[1, 2 * lifts : 3 * lifts] = to_k
    turn[2, roster.number_of("bias")] = 1.0
    shift = np.array([mean - float(share @ course.start.log_1rm), k - float(to_k @ course.start.k), 0.0])
    return turn, shift
