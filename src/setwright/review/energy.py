"""Energy of conditioning by published metabolic equations. Oxygen uptake in mL/kg/min; steady work only.

Two ideas: an equation holds only in its own range, which stands beside it; and the result is gross, rest included.
Source: ACSM metabolic equations (walking and leg cycling seen in course slides; running, arm cycling and stepping, and
all ranges, from memory, unchecked).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

KCAL_PER_LITRE = 5.0  # of oxygen, the usual round figure (common practice)
KJ_PER_KCAL = 4.184  # the thermochemical calorie
REST_UPTAKE = 3.5  # mL/kg/min: one MET
KGM_MIN_PER_WATT = 6.0  # as the published forms in watts round it (1.8 x 6 = 10.8); exactly 6.118


@dataclass(frozen=True)
class Span:
    """The range in which an equation holds, ends included, in the unit of its input."""

    low: float
    high: float
    unit: str
    of: str

    def holds(self, value: float) -> bool:
        """True inside the range."""
        return self.low <= value <= self.high

    @property
    def words(self) -> str:
        """The range in words."""
        if self.high == float("inf"):
            return f"{self.of} of {self.low:g} {self.unit} and more"
        return f"{self.of} from {self.low:g} to {self.high:g} {self.unit}"


RANGES: Mapping[str, Span] = {
    "walking": Span(50.0, 100.0, "m/min", "speed"),
    "running": Span(134.0, float("inf"), "m/min", "speed"),
    "leg cycling": Span(300.0, 1200.0, "kgm/min", "work rate"),
    "arm cycling": Span(150.0, 750.0, "kgm/min", "work rate"),
    "stepping": Span(12.0, 30.0, "steps/min", "step rate"),
}
STEP_HEIGHTS = Span(0.04, 0.40, "m", "step height")


def walking_uptake(speed_m_min: float, grade: float) -> float:
    """Oxygen uptake of walking: 3.5 + 0.1 S + 1.8 S G. Speed m/min, grade as a share (0.10 is 10 %).

    Valid for about 50 to 100 m/min.

    >>> round(walking_uptake(93.8, 0.10), 3)
    29.764
    """
    _not_below_zero(speed_m_min=speed_m_min)
    return REST_UPTAKE + 0.1 * speed_m_min + 1.8 * speed_m_min * grade


def running_uptake(speed_m_min: float, grade: float) -> float:
    """Oxygen uptake of running: 3.5 + 0.2 S + 0.9 S G. Speed m/min, grade as a share.

    Valid above about 134 m/min (from memory, unchecked).

    >>> running_uptake(160, 0.0)
    35.5
    """
    _not_below_zero(speed_m_min=speed_m_min)
    return REST_UPTAKE + 0.2 * speed_m_min + 0.9 * speed_m_min * grade


def leg_cycling_uptake(power_kgm_min: float, mass_kg: float) -> float:
    """Oxygen uptake of leg cycling: 7 + 1.8 W / M. Power kgm/min, body mass kg. Valid for 300 to 1200 kgm/min."""
    _over_zero(mass_kg=mass_kg)
    return 2 * REST_UPTAKE + 1.8 * power_kgm_min / mass_kg


def arm_cycling_uptake(power_kgm_min: float, mass_kg: float) -> float:
    """Oxygen uptake of arm cranking: 3.5 + 3 W / M (from memory, unchecked). Valid for 150 to 750 kgm/min."""
    _over_zero(mass_kg=mass_kg)
    return REST_UPTAKE + 3.0 * power_kgm_min / mass_kg


def stepping_uptake(steps_min: float, step_m: float) -> float:
    """Oxygen uptake of stepping up and down: 3.5 + 0.2 f + 1.33 x 1.8 H f (from memory, unchecked).

    f steps a minute (12 to 30), H height of the step in m (0.04 to 0.40).

    >>> round(stepping_uptake(24, 0.2), 3)
    19.791
    """
    _not_below_zero(steps_min=steps_min, step_m=step_m)
    return REST_UPTAKE + 0.2 * steps_min + 1.33 * 1.8 * step_m * steps_min


def energy_kcal(uptake: float, mass_kg: float, minutes: float) -> float:
    """Energy of some minutes at an uptake, kcal, rest included: uptake x mass / 1000 x 5 x minutes."""
    return uptake * mass_kg / 1000.0 * KCAL_PER_LITRE * minutes


def _not_below_zero(**values: float) -> None:
    for name, value in values.items():
        if value < 0:
            raise ValueError(f"{name} is {value}, expected a number >= 0")


def _over_zero(**values: float) -> None:
    for name, value in values.items():
        if value <= 0:
            raise ValueError(f"{name} is {value}, expected a number > 0")
