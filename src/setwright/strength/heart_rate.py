"""Heart rates to train at: from a measured maximum, reserve or threshold, else by the age equation with its error.

The age equation is wrong by more than ten beats for one person in three, so bounds from it overlap: the talk test
stands beside every class. Medicines that slow the heart make all of it useless.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any, Literal

from setwright.people.trainee import HeartRate, Trainee
from setwright.strength.spread import Spread

Basis = Literal["measured maximum", "heart-rate reserve", "measured threshold", "age equation"]
P90_SDS = 1.2815515655446004  # standard deviations from the middle to the 90 % point of a bell curve
CAUTION = "Medicines that slow the heart, pregnancy and heat shift all of these: then go by the talk test."


@dataclass(frozen=True)
class Zone:
    """One class of effort: from and to in beats a minute with their spread (None: no upper end), and the talk test."""

    name: str
    low: Spread | None
    high: Spread | None
    talk: str


@dataclass(frozen=True)
class HeartZones:
    """The classes of one person; ``maximum`` with its spread, what they rest on, and the sources in words."""

    basis: Basis
    maximum: Spread
    zones: tuple[Zone, ...]
    rests_on: str
    caution: str = CAUTION


@cache
def heart_data() -> dict[str, Any]:
    """The packaged figures."""
    text = resources.files("setwright.strength").joinpath("data", "heart_rate.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def bell(mean: float, sd: float) -> Spread:
    """A bell curve as a spread."""
    return Spread(mean, mean - P90_SDS * sd, mean + P90_SDS * sd, sd)


def maximum_by_age(age: int) -> Spread:
    """The highest heart rate by age, beats a minute, with the error of the equation.

    Source: Nes 2013 (abstract seen): 211 - 0.64 age, standard error 10.8.

    >>> round(maximum_by_age(40).mean, 1), round(maximum_by_age(40).sd, 1)
    (185.4, 10.8)
    """
    row = heart_data()["by_age"]
    return bell(row["intercept"] + row["per_year"] * age, row["error"])


def maximum_of(trainee: Trainee, year: int) -> tuple[Spread, bool]:
    """The highest heart rate of a person and whether it was measured."""
    measured = trainee.heart_rate
    if measured is not None and measured.maximum is not None:
        return bell(measured.maximum, heart_data()["measured"]["error"]), True
    return maximum_by_age(year - trainee.birth_year), False


def heart_zones(trainee: Trainee, year: int) -> HeartZones:
    """The classes by the best that is known: threshold, else reserve, else maximum, else age."""
    told = trainee.heart_rate or HeartRate()
    highest, is_measured = maximum_of(trainee, year)
    if told.threshold is not None:
        return by_threshold(told.threshold, highest)
    source = heart_data()["classes"]["source"]
    age = "" if is_measured else f" Highest heart rate by age: {heart_data()['by_age']['source']}."
    if told.resting is not None:
        zones = classes("of_reserve", highest, told.resting)
        return HeartZones("heart-rate reserve", highest, zones, f"Shares of the reserve: {source}.{age}")
    basis: Basis = "measured maximum" if is_measured else "age equation"
    return HeartZones(basis, highest, classes("of_maximum", highest, 0.0), f"Shares of the highest: {source}.{age}")


def classes(column: str, highest: Spread, resting: float) -> tuple[Zone, ...]:
    """The published classes as beats a minute: resting + share x (highest - resting)."""
    rows = heart_data()["class"]
    bounds = [bell(resting + row[column] * (highest.mean - resting), row[column] * highest.sd) for row in rows]
    return zones_of([row["name"] for row in rows], bounds, [row["talk"] for row in rows])


def by_threshold(threshold: float, highest: Spread) -> HeartZones:
    """Classes around a measured threshold."""
    rows, error = heart_data()["at_threshold"], heart_data()["measured"]["error"]
    bounds = [bell(row["from"] * threshold, row["from"] * error) for row in rows]
    zones = zones_of([row["name"] for row in rows], bounds, [row["talk"] for row in rows])
    source = heart_data()["threshold"]["source"]
    return HeartZones("measured threshold", highest, zones, f"Shares of the measured threshold: {source}.")


def zones_of(names: list[str], bounds: list[Spread], talks: list[str]) -> tuple[Zone, ...]:
    """Zones from the lower bound of each; the first has none, the last no upper one."""
    highs: list[Spread | None] = [*bounds[1:], None]
    lows: list[Spread | None] = [None, *bounds[1:]]
    return tuple(Zone(*row) for row in zip(names, lows, highs, talks, strict=True))


def beats_for(of: str, share: tuple[float, float], trainee: Trainee, year: int) -> tuple[Spread, Spread] | None:
    """Beats a minute for shares of the maximum, the reserve or the threshold; None where nothing tells the base."""
    told = trainee.heart_rate or HeartRate()
    highest, _ = maximum_of(trainee, year)
    if of == "maximum":
        return tuple(bell(one * highest.mean, one * highest.sd) for one in share)  # type: ignore[return-value]
    if of == "reserve" and told.resting is not None:
        rest = told.resting
        return tuple(bell(rest + one * (highest.mean - rest), one * highest.sd) for one in share)  # type: ignore[return-value]
    if of == "threshold" and told.threshold is not None:
        error = heart_data()["measured"]["error"]
        return tuple(bell(one * told.threshold, one * error) for one in share)  # type: ignore[return-value]
    return None
