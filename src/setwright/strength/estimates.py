"""Every lift of a trainee: what is believed, and what it rests on.

A lift that was never done gets an honest wide belief from its nearest relative that was, else from body mass.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cache
from importlib import resources
from typing import Any, Literal

import numpy as np

from setwright.catalogue.derive import muscle_vector
from setwright.catalogue.exercise import Exercise
from setwright.catalogue.store import Catalogue
from setwright.people.trainee import Baseline, Trainee
from setwright.strength.curve import reps_of_holds
from setwright.strength.logged import Log, LoggedSet
from setwright.strength.posterior import DAY_NOISE, Kind, LiftPosterior, SetEvidence, prior, updated
from setwright.strength.spread import Spread

Basis = Literal["sets", "relatives", "body mass"]
UPPER_PATTERNS = ("push", "pull", "dip", "shoulder", "rotator", "scapular", "elbow", "grip", "carry")
LEG_MACHINES = ("leg_press", "hack_squat", "belt_squat", "leg_ext", "leg_curl_lying", "leg_curl_seated")
RELATIVE_SHARE = 0.9  # how much of a relative's surprise carries over when the muscles are the same
TREND_WEEKS = 8
LONGEST_SET = 20  # repetitions beyond which a set says little about a single (common practice): at least so many
SKILLED = 5  # lifts of speed and skill: strength in slow lifts says half as much about them (common practice)


@dataclass(frozen=True, eq=False)
class LiftEstimate:
    """One lift: its belief (kg of the whole load moved), how many sets it rests on, and its weekly trend.

    ``doubtful`` are logged sets so far above what is known that they wait for a check (a wrong unit, a slip).
    ``body_part_kg`` is the part of the load that is the trainee's own body (0 for bars and machines): a printed
    load is the whole load less this. ``trend_per_week`` in kg, None with fewer than three dates.
    """

    exercise: str
    posterior: LiftPosterior
    sets_used: int
    basis: Basis
    body_part_kg: float = 0.0
    trend_per_week: Spread | None = None
    rests_on: str = ""
    doubtful: tuple[SetEvidence, ...] = ()


@dataclass(frozen=True, eq=False)
class Estimates:
    """All lifts with sets, and an answer for every other one."""

    lifts: Mapping[str, LiftEstimate]
    trainee: Trainee
    catalogue: Catalogue
    bias: Spread
    today: date
    _made: dict[str, LiftEstimate] = field(default_factory=dict, repr=False)

    def for_exercise(self, slug: str) -> LiftEstimate:
        """The estimate of any exercise of the catalogue; LookupError for an unknown one."""
        exercise = self.catalogue.get(slug)
        if exercise.slug in self.lifts:
            return self.lifts[exercise.slug]
        if exercise.slug not in self._made:
            self._made[exercise.slug] = from_relatives(
                exercise, self.lifts, self.trainee, self.catalogue, self.today.year
            )
        return self._made[exercise.slug]

    def effort_bias_reps(self) -> Spread:
        """By how many repetitions a called reserve is too low."""
        return self.bias

    def as_json(self) -> dict[str, object]:
        """The published form of ``estimate --json``: loads in kg as printed (body part taken off)."""
        lifts = []
        for slug, one in sorted(self.lifts.items()):
            whole = one.posterior.one_rm()
            shown = Spread(
                whole.mean - one.body_part_kg, whole.p10 - one.body_part_kg, whole.p90 - one.body_part_kg, whole.sd
            )
            loads = sorted(
                {round((whole.mean * share - one.body_part_kg) / 2.5) * 2.5 for share in (0.6, 0.7, 0.8, 0.9)}
            )
            lifts.append(
                {
                    "exercise": slug,
                    "one_rm_kg": shown.as_json(),
                    "reps_at": {
                        f"{load:g}": one.posterior.reps_at(load + one.body_part_kg).as_json()
                        for load in loads
                        if load + one.body_part_kg > 0
                    },
                    "trend_per_week": one.trend_per_week.as_json() if one.trend_per_week else None,
                    "sets_used": one.sets_used,
                    "sets_doubtful": len(one.doubtful),
                    "basis": one.basis,
                    "body_part_kg": round(one.body_part_kg, 3),
                    "k": one.posterior.k().as_json(),
                }
            )
        return {"lifts": lifts, "effort_bias_reps": self.bias.as_json()}


@cache
def priors() -> dict[str, Any]:
    """The prior table, as packaged."""
    text = resources.files("setwright.strength").joinpath("data", "priors.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def k_prior(exercise: Exercise) -> tuple[float, float]:
    """(mean of ln k, its standard deviation) by class of exercise."""
    table = priors()["k"]
    if exercise.base in LEG_MACHINES:
        row = table["legs_machine"]
    elif sum(1 for use in exercise.actions if use.role in ("prime", "secondary")) <= 1:
        row = table["single_joint"]
    else:
        row = table["default"]
    return float(np.log(row["mean"])), float(row["log_sd"])


def body_part(exercise: Exercise, trainee: Trainee) -> float:
    """Kilograms of the trainee's own body that the exercise moves, where its load is added or assisted."""
    if exercise.load_means in ("added", "assistance", "body") and exercise.body_share:
        return exercise.body_share * trainee.body_mass_kg
    return 0.0


def ratio_prior(exercise: Exercise, trainee: Trainee, year: int) -> tuple[float, float]:
    """(ln of the expected 1RM in kg of the whole load, its spread) from body mass, sex, age in ``year``, training."""
    table = priors()["ratio"]
    ratio = table["exercise"].get(exercise.slug) or table["exercise"].get(exercise.base)
    if ratio is None:
        ratio = table["pattern"].get(exercise.pattern, 0.4)
        if exercise.load_means == "each hand":
            ratio *= 0.42
    upper = exercise.pattern.startswith(UPPER_PATTERNS)
    if trainee.sex == "female":
        ratio *= table["female_upper"] if upper else table["female_lower"]
    elif trainee.sex is None:
        ratio *= (1 + (table["female_upper"] if upper else table["female_lower"])) / 2
    age = year - trainee.birth_year
    ratio *= max(0.5, 1.0 - table["per_year_over_40"] * max(0, age - 40))
    full = table["years_to_full"]
    grown = table["novice"] + (1 - table["novice"]) * min(1.0, trainee.training_years / full)
    grown += table["per_further_year"] * max(0.0, trainee.training_years - full)
    ratio *= min(table["most"], grown)
    return float(np.log(ratio * trainee.body_mass_kg)), float(table["log_sd"])


def likeness(a: Exercise, b: Exercise) -> float:
    """Cosine of the muscle vectors of two exercises, 0 to 1, lower where one is a hold and the other is not."""
    first, second = muscle_vector(a), muscle_vector(b)
    dot = sum(value * second.get(muscle, 0.0) for muscle, value in first.items())
    norm = np.sqrt(sum(v * v for v in first.values()) * sum(v * v for v in second.values()))
    if not norm:
        return 0.0
    return float(dot / norm) * (1.0 if a.is_dynamic == b.is_dynamic else 0.6)


def from_relatives(
    exercise: Exercise, lifts: Mapping[str, LiftEstimate], trainee: Trainee, catalogue: Catalogue, year: int
) -> LiftEstimate:
    """A belief about a lift never done, from the most alike lift that was.

    What that lift turned out to be over its own expectation carries over by how alike the two are; the spread
    left is that of a regression with that correlation, never below the relative's own.
    """
    mean, sd = ratio_prior(exercise, trainee, year)
    best: tuple[float, str] = (0.0, "")
    for slug in sorted(lifts):
        alike = likeness(exercise, catalogue.get(slug))
        if alike > best[0] + 1e-9:
            best = (alike, slug)
    alike, slug = best
    if alike < 0.4:
        made = prior(mean, sd, *k_prior(exercise))
        return LiftEstimate(exercise.slug, made, 0, "body mass", body_part(exercise, trainee), None, "body mass")
    relative = lifts[slug].posterior
    weights = relative.weights.sum(axis=1)
    centre = float((relative.log_1rm * weights).sum())
    own_sd = float(np.sqrt(((relative.log_1rm - centre) ** 2 * weights).sum()))
    expected, _ = ratio_prior(catalogue.get(slug), trainee, year)
    carry = RELATIVE_SHARE * alike
    spread = float(np.sqrt((1 - carry**2) * sd**2 + (carry * own_sd) ** 2))
    if exercise.skill >= SKILLED:
        carry *= 0.5
        spread = max(spread, sd)
    made = prior(mean + carry * (centre - expected), max(0.08, spread), *k_prior(exercise))
    return LiftEstimate(exercise.slug, made, 0, "relatives", body_part(exercise, trainee), None, slug)


def evidence_from_baseline(base: Baseline, own_kg: float) -> SetEvidence | None:
    """A baseline set as evidence, or None where it holds no load and repetitions."""
    load = (base.load_kg or 0.0) + own_kg
    if base.reps is None or load <= 0:
        return None
    kind: Kind = "failure" if base.to_failure else "called" if base.rir is not None else "lower-bound"
    return SetEvidence(base.date, load, base.reps, kind, base.rir or 0.0)


def evidence_from_set(done: LoggedSet, own_kg: float, number: int) -> SetEvidence | None:
    """A logged set as evidence, or None where it holds no load and repetitions.

    Repetitions with a hold are hold, repetitions, hold: both holds count as the repetitions they cost.
    Only ``ended_by = muscle`` is failure; form, balance, grip, breath and pain give a lower bound.
    """
    load = (done.load_kg or 0.0) * (-1 if done.load_means == "assistance" and (done.load_kg or 0) > 0 else 1) + own_kg
    if done.reps is None or load <= 0 or (done.load_kg is None and own_kg <= 0):
        return None
    kind: Kind
    if done.ended_by == "muscle":
        kind = "failure"
    elif done.ended_by in ("form", "balance", "grip", "breath", "pain") or done.rir is None:
        kind = "lower-bound"
    else:
        kind = "called"
    if done.reps == 0 and kind != "failure":
        return None
    held = round(reps_of_holds(2.0 * done.hold_s)) if done.hold_s else 0
    if done.reps > LONGEST_SET:
        return SetEvidence(done.date, load, LONGEST_SET, "lower-bound", 0.0, number)
    return SetEvidence(done.date, load, done.reps + held, kind, done.rir or 0.0, number)


def gather_evidence(
    trainee: Trainee, catalogue: Catalogue, baselines: Sequence[Baseline], log: Log
) -> dict[str, list[SetEvidence]]:
    """All sets of all lifts as evidence, by exercise."""
    found: dict[str, list[SetEvidence]] = {}
    for base in baselines:
        exercise = catalogue.get(base.exercise)
        one = evidence_from_baseline(base, body_part(exercise, trainee))
        if one is not None:
            found.setdefault(exercise.slug, []).append(one)
    order: dict[tuple[date, str], int] = {}
    for done in sorted(log.sets, key=lambda row: (row.date, row.exercise, row.set)):
        exercise = catalogue.get(done.exercise)
        key = (done.date, exercise.slug)
        order[key] = order.get(key, 0) + 1
        one = evidence_from_set(done, body_part(exercise, trainee), order[key])
        if one is not None:
            found.setdefault(exercise.slug, []).append(one)
    return found


def trend_of(start: LiftPosterior, sets: Sequence[SetEvidence]) -> Spread | None:
    """Weekly change of the 1RM, kg, over the last weeks: weighted straight line through the daily beliefs.

    Each day alone updates a wide belief, so the days are independent; None with fewer than three dates or
    less than two weeks between the first and the last.
    """
    days = sorted({one.date for one in sets})
    days = [day for day in days if (days[-1] - day).days <= 7 * TREND_WEEKS]
    if len(days) < 3 or (days[-1] - days[0]).days < 14:
        return None
    k_now = updated(start, sets)
    alone = prior(
        float((k_now.log_1rm * k_now.weights.sum(axis=1)).sum()),
        0.25,
        float((k_now.log_k * k_now.weights.sum(axis=0)).sum()),
        0.05,
    )
    values, spreads, at = [], [], []
    for day in days:
        one = updated(alone, [s for s in sets if s.date == day]).one_rm()
        values.append(one.mean)
        spreads.append(np.hypot(one.sd, DAY_NOISE * one.mean))
        at.append((day - days[0]).days / 7.0)
    x, y, w = np.array(at), np.array(values), 1.0 / np.array(spreads) ** 2
    centre = (w * x).sum() / w.sum()
    sxx = (w * (x - centre) ** 2).sum()
    slope = float((w * (x - centre) * y).sum() / sxx)
    sd = float(1.0 / np.sqrt(sxx))
    return Spread(slope, slope - 1.2816 * sd, slope + 1.2816 * sd, sd)


def effort_bias(sets: Mapping[str, Sequence[SetEvidence]], beliefs: Mapping[str, LiftPosterior]) -> Spread:
    """By how many repetitions called reserves were too low: a normal prior (0.95, sd 1) met with this log's sets.

    Prior: Halperin et al. 2022, underprediction 0.95 repetitions (seen). Only lifts that also hold sets to
    failure say anything new.
    """
    precision, total = 1.0, 0.95
    for slug, rows in sets.items():
        if not any(one.kind == "failure" for one in rows):
            continue
        strict = updated(beliefs[slug], [])
        for one in rows:
            if one.kind == "called" and one.rir >= 1:
                gap = strict.reps_at(one.load_kg)
                weight = 1.0 / (gap.sd**2 + 1.5**2)
                precision += weight
                total += weight * (gap.mean - one.reps - one.rir)
    mean, sd = total / precision, precision**-0.5
    return Spread(float(mean), float(mean - 1.2816 * sd), float(mean + 1.2816 * sd), float(sd))


def estimate_lifts(
    trainee: Trainee, catalogue: Catalogue, baselines: Sequence[Baseline], log: Log, today: date
) -> Estimates:
    """What all dated sets say about every lift, as of ``today``; sets after it are left out."""
    until = today
    gathered = gather_evidence(trainee, catalogue, baselines, log)
    evidence = {slug: [one for one in rows if one.date <= until] for slug, rows in gathered.items()}
    evidence = {slug: rows for slug, rows in evidence.items() if rows}
    lifts: dict[str, LiftEstimate] = {}
    beliefs: dict[str, LiftPosterior] = {}
    trusted = gather_evidence(trainee, catalogue, baselines, Log())
    for slug in sorted(evidence):
        exercise = catalogue.get(slug)
        mean, sd = ratio_prior(exercise, trainee, today.year)
        sure = [one for one in trusted.get(slug, ()) if one.date <= until]
        evidence[slug], doubtful = without_doubtful(evidence[slug], sure, mean)
        if not evidence[slug]:
            guess = from_relatives(exercise, lifts, trainee, catalogue, today.year)
            lifts[slug] = replace(guess, doubtful=doubtful)
            beliefs[slug] = guess.posterior
            continue
        start = prior(centred(mean, evidence[slug]), max(sd, 0.45), *k_prior(exercise))
        belief = updated(start, evidence[slug], until)
        beliefs[slug] = belief
        lifts[slug] = LiftEstimate(
            slug,
            belief,
            len(evidence[slug]),
            "sets",
            body_part(exercise, trainee),
            trend_of(start, evidence[slug]),
            f"{len(evidence[slug])} sets on {len({one.date for one in evidence[slug]})} days",
            doubtful,
        )
    return Estimates(lifts, trainee, catalogue, effort_bias(evidence, beliefs), today)


# How far above what is known a logged set may lie before it waits for a check, in ln: half as much again beside a
# baseline or an earlier day, three times beside body mass alone. Pounds typed as kilograms are 0.79 off.
FAR_ABOVE_KNOWN, FAR_ABOVE_GUESS = 0.42, 1.1


def rough_log_1rm(one: SetEvidence) -> float:
    """ln of the 1RM that one set suggests by the prior curve, repetitions counted to 15 at most."""
    return float(np.log(one.load_kg) + 0.032 * (min(15.0, one.reps + one.rir) - 1))


def without_doubtful(
    sets: Sequence[SetEvidence], sure: Sequence[SetEvidence], guess: float
) -> tuple[list[SetEvidence], tuple[SetEvidence, ...]]:
    """The sets that count, and those so far above all before them that they wait for a check.

    sure : sets of the trainee's file, which the coach entered as baselines; guess : ln of the 1RM by body mass
    Nothing is forgotten: entering the real set as a baseline makes the doubtful ones count.
    """
    known = max((rough_log_1rm(one) for one in sure), default=None)
    limit = guess + FAR_ABOVE_GUESS if known is None else known + FAR_ABOVE_KNOWN
    kept, doubtful = list(sure), []
    left = list(sets)
    for one in sure:
        left.remove(one)
    for one in sorted(left, key=lambda row: (row.date, row.number)):
        level = rough_log_1rm(one)
        if level > limit:
            doubtful.append(one)
            continue
        kept.append(one)
        limit = max(limit, level + FAR_ABOVE_KNOWN) if known is not None else limit
    return sorted(kept, key=lambda row: (row.date, row.number)), tuple(doubtful)


def centred(mean: float, sets: Sequence[SetEvidence]) -> float:
    """The middle of the grid: half way to what the sets suggest where body mass is far off, so both are on it."""
    rough = [np.log(one.load_kg) + 0.032 * (one.reps + one.rir - 1) for one in sets]
    middle = float(np.median(rough))
    return mean if abs(middle - mean) < 0.8 else middle
