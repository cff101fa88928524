"""A person as segments: masses, lengths and mass centres from sex, stature and body mass.

Two ideas carry this module. One: there are two published tables, they differ, and the difference is part of the
uncertainty. Two: a ``Body`` may hold many people (or many guesses of one person) at once; every array is (people, 1),
so that it meets arrays over angles without loops.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from importlib import resources
from types import MappingProxyType
from typing import Any, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
TableName = Literal["de-leva", "winter"]
Sex = Literal["female", "male"]

STANDARD_GRAVITY = 9.80665
SEGMENTS = ("thigh", "shank", "foot", "trunk", "head", "upper_arm", "forearm", "hand")
TABLES: tuple[TableName, ...] = ("de-leva", "winter")
LIMITS = {"mass_kg": (20.0, 350.0), "stature_m": (1.0, 2.5)}
MEASURABLE = ("thigh", "shank", "foot", "trunk", "upper_arm", "forearm", "hand")


@dataclass(frozen=True)
class Segment:
    """One segment of one side. ``mass_kg``, ``length_m`` are (people, 1); ``com``, ``gyration`` are shares of length.

    ``gyration``: radius of gyration about the axis across the plane, through the mass centre.
    """

    mass_kg: Floats
    length_m: Floats
    com: Floats
    gyration: float = 0.0

    @property
    def com_m(self) -> Floats:
        """Distance of the mass centre from the near joint, m."""
        return self.com * self.length_m


@dataclass(frozen=True)
class Body:
    """A person, or many, as segments. ``mass_kg`` and ``stature_m`` are (people, 1).

    Segments name one side: there are two thighs of ``thigh.mass_kg`` each. ``trunk`` runs from hips to shoulders.
    """

    mass_kg: Floats
    stature_m: Floats
    thigh: Segment
    shank: Segment
    foot: Segment
    trunk: Segment
    head: Segment
    upper_arm: Segment
    forearm: Segment
    hand: Segment

    @property
    def people(self) -> int:
        """How many people (or guesses of one) the arrays hold."""
        return int(self.mass_kg.shape[0])

    @property
    def weight_n(self) -> Floats:
        """Body weight, N, (people, 1)."""
        return self.mass_kg * STANDARD_GRAVITY

    @property
    def ankle_height_m(self) -> Floats:
        """Height of the ankle joint above the floor, m."""
        return frame("ankle_height") * self.stature_m

    @property
    def heel_to_ankle_m(self) -> Floats:
        """Horizontal distance from the heel to the ankle joint with the foot flat, m."""
        return frame("ankle_from_heel") * self.foot.length_m

    @property
    def heel_to_ball_m(self) -> Floats:
        """Distance from the heel to the ball of the foot, m."""
        return frame("ball_from_heel") * self.foot.length_m


@dataclass(frozen=True)
class Measured:
    """Lengths measured on the person, m; those left out come from the table."""

    lengths_m: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))

    def __post_init__(self) -> None:
        for name, value in self.lengths_m.items():
            if name not in MEASURABLE:
                raise ValueError(f"{name!r} is no segment that can be measured; there are: {', '.join(MEASURABLE)}")
            if not 0.02 <= value <= 1.0:
                raise ValueError(f"{name} is {value} m long, expected 0.02 to 1.0")


@cache
def _file() -> Mapping[str, Any]:
    text = resources.files("setwright.body").joinpath("data", "segments.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def frame(name: str) -> float:
    """A share of stature (or of foot length) that belongs to no segment: see ``segments.toml``."""
    return float(_file()["frame"][name])


def trunk_parts() -> Mapping[str, Mapping[str, float]]:
    """Lower, middle and upper trunk as shares of the trunk's mass and length, with mass centres."""
    parts: Mapping[str, Mapping[str, float]] = _file()["trunk_parts"]
    return parts


def _row(table: TableName, sex: Sex | None) -> dict[str, dict[str, float]]:
    """A table for one sex; without a sex, the middle of both."""
    found = _file()[table]
    if "both" in found:
        return dict(found["both"])
    if sex is not None:
        return dict(found[sex])
    return {
        name: {
            key: (found["female"][name][key] + found["male"][name][key]) / 2
            for key in ("mass", "length", "com", "gyration")
        }
        for name in SEGMENTS
    }


def segment_shares(table: TableName, sex: Sex | None) -> dict[str, dict[str, float]]:
    """Shares of body mass and stature of each segment, masses scaled so that the whole body weighs one.

    The tables sum to 0.9997 to 1.0 as printed; the rest is spread evenly over all segments.
    """
    row = _row(table, sex)
    twice = {"trunk", "head"}
    total = sum(row[name]["mass"] * (1 if name in twice else 2) for name in SEGMENTS)
    return {name: {**row[name], "mass": row[name]["mass"] / total} for name in SEGMENTS}


def body_of(
    mass_kg: ArrayLike,
    stature_m: ArrayLike,
    sex: Sex | None = None,
    table: TableName = "de-leva",
    measured: Measured | None = None,
) -> Body:
    """The body of one person or many by a table.

    Parameters
    ----------
    mass_kg, stature_m : numbers or (people,) arrays, kg and m
    sex : for the table; None takes the middle of both
    measured : own lengths, which override the table's

    Raises
    ------
    ValueError
        When mass or stature is outside 20 to 350 kg, 1.0 to 2.5 m, or a table is unknown.

    >>> round(float(body_of(75, 1.75, "male").thigh.length_m[0, 0]), 4)
    0.4244
    """
    if table not in TABLES:
        raise ValueError(f"no segment table {table!r}; there are: {', '.join(TABLES)}")
    mass = np.atleast_1d(np.asarray(mass_kg, dtype=float))[:, None]
    stature = np.atleast_1d(np.asarray(stature_m, dtype=float))[:, None]
    for name, value in (("mass_kg", mass), ("stature_m", stature)):
        low, high = LIMITS[name]
        if not bool(np.all((value >= low) & (value <= high))):
            raise ValueError(f"{name} is {value.ravel()[0]:g}, expected {low:g} to {high:g}")
    mass, stature = np.broadcast_arrays(mass, stature)
    shares = segment_shares(table, sex)
    own = measured.lengths_m if measured else {}
    made = {
        name: Segment(
            row["mass"] * mass,
            np.full_like(stature, own[name]) if name in own else row["length"] * stature,
            np.full_like(stature, row["com"]),
            row["gyration"],
        )
        for name, row in shares.items()
    }
    return Body(mass.copy(), stature.copy(), **made)


def guesses_of(
    mass_kg: float,
    stature_m: float,
    sex: Sex | None,
    table: TableName,
    measured: Measured | None,
    normal: Floats,
) -> Body:
    """Many guesses of one person: the table's difference from the other table, and people's own differences.

    normal : (guesses, 18) standard normal numbers; what is drawn from them is fixed, so equal input gives equal output.
        Columns: one for the table, one for the sex where it is unknown, then one a length and one a mass.

    The first guess is the table as it stands (its row of ``normal`` should be zero). Every body keeps its total mass.
    Source of the spreads: see ``segments.toml``.
    """
    chosen = segment_shares(table, sex)
    other = segment_shares("winter" if table == "de-leva" else "de-leva", sex)
    female, male = segment_shares(table, "female"), segment_shares(table, "male")
    spread = _file()["spread"]
    # Two measurements of one truth differ by d: each is d / sqrt 2 from it, cut at the other table and its mirror.
    by_table = np.clip(normal[:, :1] / np.sqrt(2.0), -1.0, 1.0)
    by_sex = np.clip(normal[:, 1:2], -1.0, 1.0) if sex is None else np.zeros_like(normal[:, 1:2])
    own = measured.lengths_m if measured else {}
    made: dict[str, Segment] = {}
    for i, name in enumerate(SEGMENTS):
        drawn: dict[str, Floats] = {}
        for key in ("mass", "length", "com"):
            base = chosen[name][key]
            step = (other[name][key] - base) * by_table
            step = step + (female[name][key] - male[name][key]) / 2 * by_sex
            drawn[key] = base + step
        length = drawn["length"] * stature_m * np.exp(spread.get(name, 0.0) * normal[:, 2 + i : 3 + i])
        if name in own:
            length = np.full_like(length, own[name])
        mass = drawn["mass"] * np.exp(spread["mass_sd"] * normal[:, 10 + i : 11 + i])
        made[name] = Segment(mass, length, drawn["com"], chosen[name]["gyration"])
    total = sum(one.mass_kg * (1 if name in ("trunk", "head") else 2) for name, one in made.items())
    scaled = {name: replace(one, mass_kg=one.mass_kg / total * mass_kg) for name, one in made.items()}
    full = np.ones((normal.shape[0], 1))
    return Body(mass_kg * full, stature_m * full, **scaled)
