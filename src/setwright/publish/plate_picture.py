"""Plates as a picture: how high one is drawn beside the others. All are grey with numbers."""

from __future__ import annotations

from bisect import bisect_left

# From here on a plate is one step higher, kg. Only the order tells: small plates of one gym differ in size.
STEPS_KG = (1.0, 2.0, 4.0, 7.5, 12.5, 17.5, 22.5)


def plate_height(mass_kg: float) -> int:
    """The step of height of a plate, from 1 (fractions) to 8 (25 kg and 55 lb).

    >>> [plate_height(kg) for kg in (0.5, 1.25, 2.5, 5, 10, 15, 20, 25)]
    [1, 2, 3, 4, 5, 6, 7, 8]
    """
    return 1 + bisect_left(STEPS_KG, mass_kg)
