"""A number that carries how sure it is."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Spread:
    """A belief about one number: mean, 10 % and 90 % points, standard deviation; unit as the name of the field."""

    mean: float
    p10: float
    p90: float
    sd: float

    def as_json(self) -> dict[str, float]:
        """The published form: mean, p10, p90, rounded to a gram or a thousandth."""
        return {"mean": round(self.mean, 3), "p10": round(self.p10, 3), "p90": round(self.p90, 3)}
