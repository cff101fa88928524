"""One half of the body trained hard, the other kept with light work: a pattern that a brief may ask for.

What is kept takes five counted sets a week and stays well short of hard; lifts that the coach names keep their effort.
Five sets: lower end of what gives most for each set (Pelland 2025, tier second-hand); the reserve is common practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from setwright.body.anatomy import muscle_groups
from setwright.catalogue.derive import set_credits
from setwright.catalogue.exercise import Exercise
from setwright.catalogue.store import Catalogue
from setwright.plan.brief import Brief
from setwright.plan.template import TemplateEntry

Half = Literal["legs", "upper", ""]
LEGS = frozenset(
    {"quadriceps", "hamstrings", "glutes", "adductors", "calf", "hip_flexors", "hip_rotators", "shin", "foot_ankle"}
)
UPPER = frozenset({"chest", "back", "shoulder", "arm", "forearm"})
LIGHT_RIR, LIGHTER_BY = 4.0, 1.5  # at least so much in reserve, and so much more than the week asks
LIGHTER_WHY: dict[str, str] = {
    "upper": "Light: the legs are what this block trains hard.",
    "legs": "Light: the upper body is what this block trains hard.",
}


def light_half(brief: Brief) -> Half:
    """The half that a brief wants kept light, or empty."""
    return {"legs": "upper", "upper": "legs"}.get(brief.hard_half, "")  # type: ignore[return-value]


def half_of(muscles: Sequence[str]) -> Half:
    """The half that some muscle groups belong to; empty for the trunk, the neck, and where they lie in both."""
    regions = {muscle_groups()[one].roll_up for one in muscles}
    if regions and regions <= LEGS:
        return "legs"
    return "upper" if regions and regions <= UPPER else ""


def half_of_lift(exercise: Exercise) -> Half:
    """The half that a lift leads with: its prime movers, those of the trunk left aside."""
    led = [muscle for muscle, credit in set_credits(exercise).items() if credit >= 1]
    return half_of([one for one in led if muscle_groups()[one].roll_up in LEGS | UPPER])


def lightened(entries: Sequence[TemplateEntry], brief: Brief, catalogue: Catalogue) -> tuple[TemplateEntry, ...]:
    """The entries of a day, those of the light half with more in reserve; lifts that the brief names stay."""
    light = light_half(brief)
    named = {wish.exercise for wish in brief.lifts} | set(brief.include)
    if not light:
        return tuple(entries)
    return tuple(
        eased(entry, light)
        if entry.part in ("main", "assistance", "finisher")
        and entry.exercise not in named
        and half_of_lift(catalogue.get(entry.exercise)) == light
        else entry
        for entry in entries
    )


def eased(entry: TemplateEntry, light: Half) -> TemplateEntry:
    """An entry of the light half."""
    schemes = tuple(
        one
        if one is None or one.rir is None
        else replace(one, rir=max(one.rir, min(one.rir + LIGHTER_BY, LIGHT_RIR + 1.0), LIGHT_RIR))
        for one in entry.schemes
    )
    return replace(entry, schemes=schemes, why=f"{entry.why} {LIGHTER_WHY[light]}".strip())
