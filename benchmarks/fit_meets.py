"""Fits the figures of ``setwright/strength/data/meets.toml`` on open competition results.

    python benchmarks/fit_meets.py DATA [--lifters N] [--rounds R] [--out FILE]

What the fit sees: lifters with id % 3 != 0, meets before 2020 (where the file knows years). First meets: ordinary least
squares. The rest: the log score of the forecast of every best lift with at least one earlier, without the weigh-in,
climbed with the steps of Berndt, Hall, Hall and Hausman (1974, from memory): the curvature is that of the outer product
of the lifters' own slopes, which also gives the 95 % intervals (model taken as true; lifters independent).
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Mapping
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

import numpy as np

from meet_data import Results, read_results
from setwright.strength.meets import (
    MIDDLE_MASS_KG,
    USUAL_AGE,
    Competitors,
    competitors,
    forecasts,
    over_and_under,
)
from setwright.strength.mixture import Floats

# How each figure moves in the fit: by its log, by its logit, or plainly in units of so much.
MOVES: Mapping[str, str | float] = {
    "mass_walk": "log",
    "mass_reading": "log",
    "mass_pull": 0.5,
    "rate": 0.1,
    "rate_female": 0.1,
    "rate_old": 0.01,
    "rate_sd": "log",
    "rate_sd_women": "log",
    "rate_shared": "logit",
    "clock_weeks": "log",
    "young": 0.01,
    "old": 0.003,
    "very_old": 0.003,
    "walk": "log",
    "walk_new": 1.0,
    "walk_power": "logit",
    "walk_shared": "logit",
    "rough_chance": "log",
    "rough_times": "log",
    "rest_weeks": "log",
    "loss_per_week": "log",
    "restless": "log",
    "tilt": 1.0,
    "reserve": 0.02,
    "failed_share": 0.3,
    "reading": "log",
    "reading_failed": "log",
    "easy_chance": "logit",
    "easy_drop": 0.03,
    "easy_sd": "log",
    "comeback": 1.0,
    "debut": "logit",
    "far_chance": "logit",
    "far_times": "log",
    "shown": 0.02,
}
STEP = 1e-3
ENOUGH = 1e-5  # gain of a round in log score per lift below which the climb ends
WEAK = 0.1  # keeps intervals finite for figures that the data say next to nothing about
SOURCE = (
    "fitted on lifters with id % 3 != 0, meets before 2020, of public-domain results of the OpenPowerlifting project "
    "(data set prepared 2024-08), by benchmarks/fit_meets.py"
)


def seen_by_the_fit(results: Results) -> Results:
    """The rows that the fit may see."""
    return results.where((results.table.lifter % 3 != 0) & ~(results.year >= 2020))


def some_lifters(results: Results, count: int | None, seed: int = 1) -> Results:
    """All rows of a random choice of lifters."""
    ids = np.unique(results.table.lifter)
    if count is None or count >= len(ids):
        return results
    return results.where(np.isin(results.table.lifter, np.random.default_rng(seed).permutation(ids)[:count]))


def earlier_days(results: Results) -> Floats:
    """(n, 3) on how many earlier days the lifter showed each lift."""
    table = results.table
    order = np.lexsort((table.day, table.lifter))
    who, day = table.lifter[order], table.day[order]
    new_lifter = np.r_[True, who[1:] != who[:-1]]
    new_day = new_lifter | np.r_[True, day[1:] != day[:-1]]
    starts = np.flatnonzero(new_day)
    has = np.logical_or.reduceat(~np.isnan(table.best_kg[order]), starts).astype(np.float64)
    before = np.cumsum(has, axis=0) - has
    first = np.maximum.accumulate(np.where(new_lifter[starts], np.arange(len(starts)), 0))
    count = np.empty((len(order), 3))
    count[order] = (before - before[first])[np.cumsum(new_day) - 1]
    return count


def line_of(person: Competitors, names: list[str]) -> Floats:
    """The figures as one vector without bounds."""
    parts = []
    for name in names:
        value, how = np.atleast_1d(np.asarray(getattr(person, name), dtype=np.float64)), MOVES[name]
        if how == "log":
            parts.append(np.log(value))
        elif how == "logit":
            parts.append(np.log(value / (1.0 - value)))
        else:
            parts.append(value / float(how))
    return np.concatenate(parts)


def person_of(vector: Floats, person: Competitors, names: list[str]) -> Competitors:
    """The figures that a vector stands for; the others as in ``person``."""
    found: dict[str, Any] = {}
    at = 0
    for name in names:
        old, how = getattr(person, name), MOVES[name]
        size = len(old) if isinstance(old, tuple) else 1
        part, at = vector[at : at + size], at + size
        if how == "log":
            value = np.exp(part)
        elif how == "logit":
            value = 1.0 / (1.0 + np.exp(-part))
        else:
            value = part * float(how)
        found[name] = tuple(value.tolist()) if isinstance(old, tuple) else float(value[0])
    return replace(person, **found)


def lifter_scores(results: Results, person: Competitors, with_weigh_in: bool = False) -> tuple[Floats, float]:
    """((lifters,) summed log score of all bests with at least one earlier, how many bests that is)."""
    table = results.table
    score = forecasts(table, with_weigh_in, person).log_score(table.best_kg)
    counts = (earlier_days(results) >= 1) & ~np.isnan(score)
    _, who = np.unique(table.lifter, return_inverse=True)
    summed = np.bincount(who, np.where(counts, score, 0.0).sum(axis=1))
    return summed, float(counts.sum())


def climbed(
    results: Results,
    person: Competitors,
    names: list[str],
    rounds: int,
    say: Callable[[str], None],
) -> tuple[Competitors, Floats, Floats]:
    """(the figures of the best log score, their vector, its covariance)."""
    vector, damping = line_of(person, names), 1e-3
    base, count = lifter_scores(results, person)
    say(f"start: log score {base.sum() / count:.5f} of {count:.0f} bests, {len(base)} lifters, {len(vector)} numbers")
    curvature = np.eye(len(vector))
    for number in range(rounds + 1):
        slopes = np.empty((len(base), len(vector)))
        for one in range(len(vector)):
            moved = vector.copy()
            moved[one] += STEP
            slopes[:, one] = (lifter_scores(results, person_of(moved, person, names))[0] - base) / STEP
        curvature = slopes.T @ slopes
        if number == rounds:
            break
        floor = damping * np.diag(np.diag(curvature)) + np.eye(len(vector))  # a step of 1 is far for any figure
        direction = np.clip(np.linalg.solve(curvature + floor, slopes.sum(axis=0)), -1.0, 1.0)
        best = (float(base.sum()), 0.0, base)
        for length in (1.0, 2.0, 0.5, 0.25, 0.06):
            found, _ = lifter_scores(results, person_of(vector + length * direction, person, names))
            if np.isfinite(found.sum()) and found.sum() > best[0]:
                best = (float(found.sum()), length, found)
            elif best[1] > 0:
                break
        gain = (best[0] - base.sum()) / count
        vector, base = vector + best[1] * direction, best[2]
        damping = damping * 0.3 if best[1] >= 1 else damping * 10.0
        say(f"round {number + 1}: log score {base.sum() / count:.5f}, step {best[1]}")
        if gain < ENOUGH:
            rounds = number + 1
    return person_of(vector, person, names), vector, np.linalg.inv(curvature + WEAK * np.eye(len(vector)))


def first_meets(results: Results, person: Competitors) -> tuple[Competitors, dict[str, tuple[Any, Any]]]:
    """(the figures of the first meets, their 95 % intervals by name)."""
    table = results.table
    order = np.lexsort((table.day, table.lifter))
    first = order[np.r_[True, np.diff(table.lifter[order]) != 0]]
    whole = first[results.full[first] & ~np.isnan(table.best_kg[first]).any(axis=1)]
    whole = whole[~np.isnan(table.body_mass_kg[whole])]
    female = table.female[whole]
    age = np.where(np.isnan(table.age_years[whole]), USUAL_AGE, table.age_years[whole])
    mass = np.log(table.body_mass_kg[whole])
    lean = mass - np.log(MIDDLE_MASS_KG)
    facts = np.stack([np.ones(len(whole)), female, lean, lean * female, *over_and_under(age)], axis=1)
    shown = np.log(table.best_kg[whole])
    inverse = np.linalg.pinv(facts.T @ facts)
    slopes = inverse @ facts.T @ shown
    left = shown - facts @ slopes
    sd = left.std(axis=0)
    half = 1.96 * np.sqrt(np.diag(inverse))[:, None] * sd
    like = np.corrcoef(left.T)
    like_half = 1.96 * (1.0 - like**2) / np.sqrt(len(left))
    sd_half = 1.96 * np.sqrt(((left**2).var(axis=0)) / len(left)) / (2.0 * sd)
    by_sex = [mass[female == 1.0], mass[female == 0.0]]
    means, sds = np.array([one.mean() for one in by_sex]), np.array([one.std() for one in by_sex])
    mean_half = 1.96 * sds / np.sqrt([len(one) for one in by_sex])
    values = {
        "first": (slopes.T, half.T),
        "first_sd": (sd, sd_half),
        "first_like": (like, like_half),
        "mass_mean": (means, mean_half),
        "mass_sd": (sds, mean_half / np.sqrt(2.0)),
    }
    found = {name: nested(value) for name, (value, _) in values.items()}
    between = {name: (nested(value - wide), nested(value + wide)) for name, (value, wide) in values.items()}
    return replace(person, **found), between


def nested(values: Floats) -> Any:
    """An array as tuples of floats."""
    return tuple(nested(one) for one in values) if np.ndim(values) else float(values)


def intervals(person: Competitors, names: list[str], vector: Floats, cov: Floats) -> dict[str, tuple[Any, Any]]:
    """95 % interval of each fitted figure, from the curvature, symmetric where the fit moves."""
    half = 1.96 * np.sqrt(np.maximum(np.diag(cov), 0.0))
    low, high = person_of(vector - half, person, names), person_of(vector + half, person, names)
    return {name: (getattr(low, name), getattr(high, name)) for name in names}


def as_toml(person: Competitors, between: Mapping[str, tuple[Any, Any]], saw: str, source: str) -> str:
    """The file of figures."""
    lines = [
        "# How the strength of people who compete moves between meets and shows at them.",
        "# Written by benchmarks/fit_meets.py; meaning of the names: Competitors in strength/meets.py.",
        "# `low` and `high`: 95 % interval from the curvature of the log score (outer product of the lifters' slopes),",
        "# of first, first_*, mass_mean and mass_sd from least squares. Model taken as true, so rather too narrow.",
        f"# The fit saw {saw}.",
        "",
        "[competitors]",
    ]
    for one in fields(Competitors):
        low, high = between[one.name]
        value = written(getattr(person, one.name))
        lines += [f"[competitors.{one.name}]", f"value = {value}", f"low = {written(low)}", f"high = {written(high)}"]
        lines += [f'source = "{source}"', ""]
    return "\n".join(lines).rstrip() + "\n"


def written(value: Any) -> str:
    """A figure with four digits."""
    if isinstance(value, tuple):
        return "[" + ", ".join(written(one) for one in value) + "]"
    text = f"{value:.4g}"
    return text if any(mark in text for mark in ".en") else f"{text}.0"


def fit(
    results: Results, rounds: int, start: Competitors | None = None, say: Callable[[str], None] = print
) -> tuple[Competitors, dict[str, tuple[Any, Any]]]:
    """(the fitted figures, their 95 % intervals by name) on rows that the fit may see."""
    person, between = first_meets(results, start or competitors())
    names = list(MOVES)
    person, vector, cov = climbed(results, person, names, rounds, say)
    return person, between | intervals(person, names, vector, cov)


def main(arguments: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("data", type=Path)
    parser.add_argument("--lifters", type=int, help="a random choice of so many, seed 1")
    parser.add_argument("--rounds", type=int, default=25)
    parser.add_argument("--out", type=Path)
    asked = parser.parse_args(arguments)
    results = some_lifters(seen_by_the_fit(read_results(asked.data)), asked.lifters)
    lifters = len(np.unique(results.table.lifter))
    person, between = fit(results, asked.rounds, say=lambda words: print(words, file=sys.stderr, flush=True))
    text = as_toml(person, between, f"{len(results.table)} meets of {lifters} lifters", SOURCE)
    if asked.out:
        asked.out.write_text(text, encoding="utf-8")
    else:
        print(text, end="")
    return 0


if __name__ == "__main__":
    sys.exit(main())
