"""Elastic bands as measured curves. Colours are never trusted: one hung mass and a length say what a band does."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from setwright.body.segments import STANDARD_GRAVITY, Floats

# Share of the linear term at 100 % elongation; the rest bends the curve. The best fit of loops of 14 to 67 mm is a
# second-order polynomial (McMaster, Cronin and McGuigan 2010, J Strength Cond Res 24:2056, seen); how much it bends
# is from memory, unchecked, and lies inside the spread.
USUAL_BEND = -0.15
# Rest length spreads by 3.5 to 5.2 % inside one colour, force by 8 to 19 % (same source, seen).
SPREAD_MEASURED = 0.10
SPREAD_STATED = 0.20


@dataclass(frozen=True)
class Band:
    """A band by its rest length and two coefficients: force = linear e + bend e^2, e the elongation over rest length.

    ``strands``: 2 when doubled.
    """

    rest_m: float
    linear_n: float
    bend_n: float = 0.0
    strands: int = 1

    def __post_init__(self) -> None:
        if not 0.05 <= self.rest_m <= 5.0:
            raise ValueError(f"rest length of the band is {self.rest_m} m, expected 0.05 to 5 m")
        if self.linear_n <= 0:
            raise ValueError(f"a band that pulls {self.linear_n} N is none")

    @classmethod
    def hung(cls, rest_m: float, mass_kg: float, length_m: float, strands: int = 1) -> Band:
        """The band from one calibration: a known mass hung on one strand, and the length it then has.

        Raises ValueError when the length does not exceed the rest length by 5 % at least: nothing was measured then.

        >>> band = Band.hung(1.0, 10.0, 1.5)
        >>> round(float(band.force_n(1.5)), 2)
        98.07
        """
        if mass_kg <= 0:
            raise ValueError(f"the hung mass is {mass_kg} kg, expected more than 0")
        stretch = length_m / rest_m - 1.0
        if stretch < 0.05:
            raise ValueError(
                f"the band is {length_m} m long under {mass_kg} kg and {rest_m} m at rest: hang more, or measure again"
            )
        linear = STANDARD_GRAVITY * mass_kg / (stretch + USUAL_BEND * stretch**2 / 2.0)
        if stretch > 2.0:  # the bent curve would have passed its top: fall back on a straight one
            return cls(rest_m, STANDARD_GRAVITY * mass_kg / stretch, 0.0, strands)
        return cls(rest_m, linear, USUAL_BEND * linear / 2.0, strands)

    def force_n(self, length_m: ArrayLike, share: ArrayLike = 1.0) -> Floats:
        """Force at a length, N; 0 when slack. ``share`` scales it (a guess of the true band)."""
        e = self._elongation(length_m)
        found: Floats = np.asarray(share) * self.strands * (self.linear_n * e + self.bend_n * e**2)
        return found

    def energy_j(self, length_m: ArrayLike, share: ArrayLike = 1.0) -> Floats:
        """Energy stored at a length, J: the integral of the force."""
        e = self._elongation(length_m)
        found: Floats = (
            np.asarray(share) * self.strands * self.rest_m * (self.linear_n * e**2 / 2.0 + self.bend_n * e**3 / 3.0)
        )
        return found

    def _elongation(self, length_m: ArrayLike) -> Floats:
        return np.maximum(np.asarray(length_m, dtype=float) / self.rest_m - 1.0, 0.0)
