"""Kilograms inside, kg or lb at the face.

1 lb = 0.45359237 kg exactly (international agreement of 1959, from memory).
"""

from __future__ import annotations

from typing import Literal

LB_KG = 0.45359237
Unit = Literal["kg", "lb"]


def to_lb(kg: float) -> float:
    """Pounds of a mass in kilograms."""
    return kg / LB_KG


def mass_text(kg: float, unit: Unit = "kg") -> str:
    """A mass as printed. Pounds keep the kilograms beside them, so that no load is named that can't be built.

    >>> mass_text(82.5)
    '82.5 kg'
    >>> mass_text(20, "lb")
    '44.1 lb (20 kg)'
    """
    if unit == "kg":
        return f"{kg:g} kg"
    pounds = round(to_lb(kg), 1)
    return f"{pounds:g} lb ({kg:g} kg)"
