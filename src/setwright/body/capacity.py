"""What a joint of a person can hold: the published joint-strength table, scaled to the person and made personal.

Only hip, knee and ankle stand in the table. For every other joint there is no capacity until a graded set gives one.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from setwright.body.segments import STANDARD_GRAVITY, Body, Floats, Sex

# Standard deviation of C1 between people over its mean: knee flexion 0.015 of 0.087, knee extension 0.040 of 0.163
# (men of 18 to 25, Anderson 2007 table 3, as handed down with the table); for the other actions their middle.
SPREAD = {"knee-flexion": 0.17, "knee-extension": 0.245}
OTHER_SPREAD = 0.20
# The joint angles that were measured, degrees; outside them the value at the end is kept. The usual range of such
# dynamometers, from memory, unchecked.
MEASURED_DEG = {"hip": (-10.0, 90.0), "knee": (0.0, 100.0), "ankle": (-35.0, 30.0)}
AGE_LIMITS = (18.0, 80.0)
# The hyperbola ends where muscles shorten as fast as they can; beyond it turns negative, then positive again. So much
# of the moment of a hold is kept there: nothing that has to be moved so fast is within reach (this project's choice).
LEAST_SPEED_SHARE = 0.05
CONSTANTS = ("c1", "c2", "c3", "c4", "c5", "c6")


@cache
def _file() -> Mapping[str, Any]:
    text = resources.files("setwright.body").joinpath("data", "joint_strength.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def has_table(motion: str) -> bool:
    """Whether the published table covers a joint action (``knee-flexion``).

    >>> has_table("knee-flexion"), has_table("elbow-extension")
    (True, False)
    """
    return motion in _file() and motion not in ("ages", "source")


def spread_of(motion: str) -> float:
    """Standard deviation of ln capacity between people for a joint action."""
    return SPREAD.get(motion, OTHER_SPREAD)


@dataclass(frozen=True)
class JointStrength:
    """The six constants of one joint action for a sex and an age."""

    motion: str
    c1: float
    c2: float
    c3: float
    c4: float
    c5: float
    c6: float

    def moment_nm(self, body: Body, angle_deg: ArrayLike, speed_rad_s: float = 0.0) -> Floats:
        """Greatest moment of one limb, N m, (people, angles).

        angle_deg : joint angle, flexion and dorsiflexion positive
        speed_rad_s : shortening of the muscles positive, lengthening negative, 0 for a hold

        Source: equation of Anderson et al. 2007 (from memory; it gives 0.75 at C4 and 0.5 at C5, as their table says).
        """
        low, high = MEASURED_DEG[self.motion.split("-")[0]]
        angle = np.deg2rad(np.clip(np.asarray(angle_deg, dtype=float), low, high))
        by_angle = np.cos(np.clip(self.c2 * (angle - self.c3), -1.45, 1.45))
        found: Floats = (
            self.c1 * body.mass_kg * STANDARD_GRAVITY * body.stature_m * by_angle * self.speed_factor(speed_rad_s)
        )
        return found

    def speed_factor(self, speed_rad_s: float) -> float:
        """Share of the moment of a hold that is left at a speed (above 1 where the muscles lengthen)."""
        w, c4, c5 = abs(speed_rad_s), self.c4, self.c5
        left, whole = 2 * c4 * c5 + w * (c5 - 3 * c4), 2 * c4 * c5 + w * (2 * c5 - 4 * c4)
        share = LEAST_SPEED_SHARE if left <= 0 or whole <= 0 else max(LEAST_SPEED_SHARE, left / whole)
        return share if speed_rad_s >= 0 else share * (1 + self.c6 * w)


def joint_strength(motion: str, sex: Sex | None, age_years: float) -> JointStrength:
    """The constants of a joint action (``knee-flexion``) for a sex and age.

    Between the three ages of the table the constants are interpolated; below and above them the nearest is taken.
    Without a sex the middle of both is taken. Raises LookupError where the table has no such action.
    """
    if not has_table(motion):
        raise LookupError(f"the joint-strength table has no {motion}; it covers hip, knee and ankle")
    ages = _file()["ages"]
    age = min(max(age_years, AGE_LIMITS[0]), AGE_LIMITS[1])
    rows = [_file()[motion][one] for one in ((sex,) if sex else ("female", "male"))]
    values = {name: float(np.mean([np.interp(age, ages, row[name]) for row in rows])) for name in CONSTANTS}
    return JointStrength(motion, **values)


@dataclass(frozen=True)
class Personal:
    """How much stronger than the table a person is at one joint action: mean and spread of ln (own over table).

    Known from nothing: mean 0 and the spread between people. A graded set of any variant, or the angle down to which
    a lowering is controlled, says more: see ``learnt``.
    """

    mean: float
    sd: float

    def learnt(self, ln_ratio: float, sd: float) -> Personal:
        """After one observation that the capacity was exp(ln_ratio) times the table's, give or take ``sd``.

        Source: normal prior, normal error, closed form.

        >>> Personal(0.0, 0.2).learnt(0.2, 0.2)
        Personal(mean=0.1, sd=0.1414213562373095)
        """
        weight = self.sd**2 / (self.sd**2 + sd**2)
        return Personal(self.mean + weight * (ln_ratio - self.mean), float(np.sqrt(weight) * sd))


def usual(motion: str) -> Personal:
    """What is known of a person of whom nothing is known."""
    return Personal(0.0, spread_of(motion))
