"""A warning for lifts from low down: the revised NIOSH lifting equation, and what presses on the low back.

Two ideas carry this module. One: the equation was made for lifting at work, so that nearly all healthy workers can do
it all day; a training set goes beyond it often and on purpose. Two: so both figures are a reason to look again (a
higher start, a closer load, fewer lifts), never a verdict.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any, Literal

import numpy as np

from setwright.body.chain import beyond, joint_moment
from setwright.body.lever import Posture
from setwright.body.segments import STANDARD_GRAVITY

Coupling = Literal["good", "fair", "poor"]
Work = Literal["up_to_1_hour", "up_to_2_hours", "up_to_8_hours"]
LOW_CM = 75.0  # hands below this take the first column of the tables
# Arm of the back extensors at L5/S1 taken as one muscle, m, and the spread between people: from memory, unchecked.
EXTENSOR_ARM_M = (0.05, 0.06)
COMPRESSION_LIMIT_N = 3400.0  # the design limit behind the equation (seen)
LOADS = ("load", "bar")


@cache
def _file() -> Mapping[str, Any]:
    text = resources.files("setwright.body").joinpath("data", "lifting_equation.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@dataclass(frozen=True)
class Lift:
    """One lift at its start. Lengths cm, twist degrees; ``hands_cm`` forward of the middle between the ankles.

    ``height_cm``: hands over the floor; ``way_cm``: how far they go up or down.
    """

    hands_cm: float
    height_cm: float
    way_cm: float
    twist_deg: float = 0.0
    lifts_per_min: float = 0.2
    work: Work = "up_to_1_hour"
    coupling: Coupling = "good"

    def __post_init__(self) -> None:
        for name in ("hands_cm", "height_cm", "way_cm", "twist_deg", "lifts_per_min"):
            value = getattr(self, name)
            if not (np.isfinite(value) and value >= 0):
                raise ValueError(f"{name} is {value}, expected a number >= 0")


def horizontal_multiplier(hands_cm: float) -> float:
    """For hands forward of the ankles.

    >>> horizontal_multiplier(50.0)
    0.5
    """
    rule = _file()["horizontal"]
    return 0.0 if hands_cm > rule["most"] else float(rule["at_best"] / max(hands_cm, rule["at_best"]))


def vertical_multiplier(height_cm: float) -> float:
    """For the height of the hands at the start."""
    rule = _file()["vertical"]
    return 0.0 if height_cm > rule["most"] else float(1.0 - rule["slope"] * abs(height_cm - rule["best"]))


def distance_multiplier(way_cm: float) -> float:
    """For the way of the hands."""
    rule = _file()["distance"]
    return 0.0 if way_cm > rule["most"] else float(rule["base"] + rule["over"] / max(way_cm, rule["at_best"]))


def asymmetry_multiplier(twist_deg: float) -> float:
    """For the twist of the trunk."""
    rule = _file()["asymmetry"]
    return 0.0 if twist_deg > rule["most"] else float(1.0 - rule["slope"] * twist_deg)


def frequency_multiplier(lifts_per_min: float, work: Work, height_cm: float) -> float:
    """For how often and how long. Raises LookupError for an unknown length of work."""
    table = dict(_file()["frequency"])
    often = table.pop("lifts_per_min")
    if work not in table:
        raise LookupError(f"no work of {work!r}; there is: {', '.join(table)}")
    if lifts_per_min > often[-1]:
        return 0.0
    return float(np.interp(lifts_per_min, often, table[work]["low" if height_cm < LOW_CM else "high"]))


def coupling_multiplier(coupling: Coupling, height_cm: float) -> float:
    """For the grip. Raises LookupError for an unknown one."""
    table = _file()["coupling"]
    if coupling not in table:
        raise LookupError(f"no grip {coupling!r}; there is: {', '.join(table)}")
    return float(table[coupling][0 if height_cm < LOW_CM else 1])


def recommended_kg(lift: Lift) -> float:
    """Recommended weight limit of a lift, kg.

    >>> recommended_kg(Lift(25.0, 75.0, 25.0))
    23.0
    """
    return float(
        _file()["load_constant_kg"]
        * horizontal_multiplier(lift.hands_cm)
        * vertical_multiplier(lift.height_cm)
        * distance_multiplier(lift.way_cm)
        * asymmetry_multiplier(lift.twist_deg)
        * frequency_multiplier(lift.lifts_per_min, lift.work, lift.height_cm)
        * coupling_multiplier(lift.coupling, lift.height_cm)
    )


def lifting_index(load_kg: float, lift: Lift) -> float:
    """Load over the recommended limit; infinite where nothing is recommended. Raises ValueError below 0 kg."""
    if load_kg < 0:
        raise ValueError(f"load is {load_kg} kg, expected 0 or more")
    limit = recommended_kg(lift)
    if limit <= 0:
        return float("inf") if load_kg > 0 else 0.0
    return load_kg / limit


def compression_n(moment_nm: float, above_n: float, lean_rad: float) -> tuple[float, float]:
    """What presses on the low back by one muscle behind it, N: (lowest, highest) over the arms that people have.

    moment_nm : at L5/S1; above_n : weight of all above and of the load, which presses as far as the trunk is upright
    Leaves out the other muscles, the pressure in the belly and all speed.
    """
    upright = above_n * np.cos(lean_rad)
    low, high = (max(moment_nm, 0.0) / arm + upright for arm in reversed(EXTENSOR_ARM_M))
    return float(low), float(high)


@dataclass(frozen=True)
class LiftWarning:
    """Both figures for a hinge with a load at its lowest point. ``worth_a_look`` is no verdict."""

    lift: Lift
    load_kg: float
    limit_kg: float
    index: float
    compression_n: tuple[float, float]

    @property
    def worth_a_look(self) -> bool:
        """Whether either figure lies above what the equation was made to keep to."""
        return self.index > 1.0 or self.compression_n[0] > COMPRESSION_LIMIT_N

    def words(self) -> str:
        """A sentence for a coach."""
        low, high = (f"{value / 1000:.1f}" for value in self.compression_n)
        return (
            f"A guideline for lifting at work would stop at {self.limit_kg:.0f} kg here; {self.load_kg:g} kg is "
            f"{self.index:.1f} times that. One muscle behind the spine would press {low} to {high} kN on the low back; "
            f"the guideline keeps to {COMPRESSION_LIMIT_N / 1000:.1f}. Trained people go beyond both: a reason to look "
            "at the start height and the reach, not a verdict."
        )


def lift_warning(
    posture: Posture,
    lifts_per_min: float = 1.0,
    work: Work = "up_to_1_hour",
    coupling: Coupling = "good",
    ankle_x_m: float = 0.0,
) -> LiftWarning | None:
    """Both figures for the first person of a posture, at the last angle that balances; None without a load.

    The posture must have a link ``load`` (or ``bar``) and a working joint ``trunk-extension``; else None too.
    """
    loads = [one for one in posture.links if one.name in LOADS and float(one.mass_kg[0, 0]) > 0]
    backs = [one for one in posture.working if one.motion == "trunk-extension"]
    possible = np.broadcast_to(np.asarray(posture.possible, dtype=bool), (1, posture.lead_deg.size))[0]
    if not loads or not backs or not possible.any():
        return None
    reached = posture.lead_deg.size if possible.all() else int(np.argmin(possible))
    last = max(reached - 1, 0)
    mass = sum(float(one.mass_kg[0, 0]) for one in loads)
    at = loads[0].com[0]
    lift = Lift(
        hands_cm=max(100.0 * float(at[last, 0] - ankle_x_m), 0.0),
        height_cm=max(100.0 * float(at[last, 1]), 0.0),
        way_cm=100.0 * abs(float(at[0, 1] - at[last, 1])),
        lifts_per_min=lifts_per_min,
        work=work,
        coupling=coupling,
    )
    back = backs[0]
    moment = np.broadcast_to(joint_moment(posture.links, posture.pulls, back.link), (1, posture.lead_deg.size))[0, last]
    above = sum(float(posture.links[i].mass_kg[0, 0]) for i in beyond(posture.links, back.link))
    lean = np.pi / 2 - float(posture.links[back.link].angle_rad[0, last])
    pressed = compression_n(float(moment), STANDARD_GRAVITY * above, lean)
    return LiftWarning(lift, mass, recommended_kg(lift), lifting_index(mass, lift), pressed)
