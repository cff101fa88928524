"""All models by name. An exercise of the catalogue names one and the dials it sets (``[lever]`` in its file)."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from setwright.body.lever import Model
from setwright.body.postures import dips, hands_and_feet, hanging, kneeling, planks, rows


@cache
def models() -> Mapping[str, Model]:
    """Every model of an exercise by its name (``nordic``)."""
    every = (
        kneeling.NORDIC,
        kneeling.LEAN_BACK,
        hands_and_feet.PUSH_UP,
        hands_and_feet.WALL_PUSH_UP,
        hanging.PULL_UP,
        dips.DIP,
        dips.BENCH_DIP,
        rows.BAR_ROW,
        rows.STRAP_ROW,
        planks.PLANK,
        planks.ROLL_OUT,
        planks.BODY_SAW,
        planks.SIDE_PLANK,
    )
    return MappingProxyType({one.name: one for one in every})
