"""All models by name. An exercise of the catalogue names one and the dials it sets (``[lever]`` in its file)."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from setwright.body.lever import Model
from setwright.body.postures import (
    adductors,
    bridges,
    calves,
    carries,
    curls,
    dips,
    hands_and_feet,
    hanging,
    hinges,
    kneeling,
    leg_raises,
    planks,
    rows,
    sleds,
    split_squats,
    squats,
    steps,
    walls,
)


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
        hinges.HINGE,
        hinges.PULL_THROUGH,
        hinges.SEATED,
        hinges.ROLL_DOWN,
        hinges.BACK_EXTENSION,
        hinges.LEG_RAISE,
        bridges.BRIDGE,
        bridges.LONG_BRIDGE,
        bridges.SLIDE,
        calves.CALF_RAISE,
        calves.SEATED_CALF,
        adductors.COPENHAGEN,
        adductors.SIDE_LYING,
        leg_raises.LEG_RAISE,
        leg_raises.SIDE_LYING,
        curls.SIT_UP,
        curls.HOLLOW,
        sleds.PUSH,
        sleds.DRAG,
        carries.CARRY,
        carries.FRONT_CARRY,
        squats.SQUAT,
        split_squats.SPLIT_SQUAT,
        steps.SINGLE_LEG,
        steps.STEP_UP,
        steps.STEP_DOWN,
        walls.WALL_SIT,
        walls.STRAP_SQUAT,
    )
    return MappingProxyType({one.name: one for one in every})
