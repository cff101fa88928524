"""What a phone steps through with plus and minus: the loads a place can build near those planned."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from setwright.dose.implements import Buildable
from setwright.plan.block import PlannedSet
from setwright.publish.plate_picture import plate_height
from setwright.publish.sheet import plates_of
from setwright.publish.units import Unit, mass_text, pieces_in_unit

MOST_LOADS = 40  # to both sides of the plan together; a rack of dumbbells has some thirty


def steps_near(
    loads: Sequence[Buildable], sets: Sequence[PlannedSet], also: Sequence[Buildable] = (), most: int = MOST_LOADS
) -> list[Buildable]:
    """What can be loaded near the planned loads, lightest first; the planned loads and ``also`` are always there.

    Empty where the sets have no load in kilograms.
    """
    planned = [Buildable(one.load_kg, one.load_means, one.pieces, "") for one in sets if one.load_kg is not None]
    if not planned:
        return []
    means, middle = planned[-1].means, max(one.load_kg for one in planned)
    there = sorted((one for one in loads if one.means == means), key=lambda one: abs(one.load_kg - middle))
    found: dict[float, Buildable] = {}
    for one in (*there[:most], *also, *planned):
        found.setdefault(round(one.load_kg, 3), one)
    return sorted(found.values(), key=lambda one: one.load_kg)


def step_values(one: Buildable, unit: Unit) -> dict[str, Any]:
    """One load for a phone: kilograms, as it is said, what to take, its plates."""
    take = pieces_in_unit(one.pieces, unit, unit)
    plates = [{"says": plate["text"], "height": plate_height(plate["kg"])} for plate in plates_of(take, unit)]
    return {
        "kg": one.load_kg,
        "says": load_words(one, unit),
        "take": take,
        "plates": plates,
    }


def load_words(one: Buildable, unit: Unit) -> str:
    """A load as it is said: in the hand, on the body, or whole."""
    text = mass_text(one.load_kg, unit)
    if one.means == "added":
        return "body weight" if one.load_kg == 0 else f"+ {text}"
    if one.means == "assistance":
        return f"{text} of help"
    if one.means != "each hand":
        return text
    return f"{text} each hand" if one.pieces.startswith("2 ") else f"{text} in one hand"
