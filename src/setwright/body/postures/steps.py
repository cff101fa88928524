"""Squats on one leg: pistols, boxes, step-ups and step-downs.

The standing leg bends as in a squat on two feet and the trunk leans until all stands over the one foot; the other leg
hangs on the pelvis, held in front or let down. A box, or the floor below the step, ends the range.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from setwright.body.chain import Link, Pull, cross, mass_centre, point
from setwright.body.lever import Dial, Model, Posture, Setting
from setwright.body.postures.common import LOAD, TEMPO, spread_over
from setwright.body.postures.legs import (
    ANKLE,
    HAND_SUPPORT,
    HEEL,
    PRESSURE,
    UP,
    add_upper,
    free_leg,
    hand_force_n,
    hold_dial,
    lower_leg_and_thigh,
    moment_about,
)
from setwright.body.postures.squats import (
    BOX,
    DEEPEST_DEG,
    NO_BALANCE,
    SHIN,
    balanced_trunk,
    bend_of_legs,
    box_end_deg,
    flexion_at_height,
    joints,
    range_deg,
    shares_of,
)
from setwright.body.segments import Body, Floats

# The free leg of a pistol is level when the knee is bent this far: common practice, no published source.
LEVEL_LEG_AT_DEG = 110.0
FORWARD_REACH_DEG = 30.0  # how far ahead of plumb the heel of a forward step-down reaches: common practice
# Hip height over which the trailing foot of a step-up can still push (heel off, toes down), share of stature: from
# memory, unchecked.
PUSH_OFF = 0.06
PUSH_PERCENT = 15.0  # of body weight that the trailing leg gives at the start: common practice, no published source
STEP_NO_BALANCE = (
    "Cannot balance over the foot on the step: lean forward, push with the trailing leg, or take a lower step."
)


@dataclass(frozen=True)
class OtherLeg:
    """Where the free leg points as the knee bends, and where its foot ends the range.

    direction_rad : of (knee flexion, its end), from the hip; below_m : from the hip down to the sole at the end
    """

    direction_rad: Callable[[Floats, float], Floats]
    below_m: Callable[[Body], Floats]


def _leg_length(body: Body) -> Floats:
    return body.thigh.length_m + body.shank.length_m + body.ankle_height_m


IN_FRONT = OtherLeg(
    lambda knee, _end: -UP + UP * np.clip(np.rad2deg(knee) / LEVEL_LEG_AT_DEG, 0.0, 1.0), lambda body: _leg_length(body)
)
LET_DOWN = OtherLeg(lambda knee, _end: np.full_like(knee, -UP), _leg_length)
REACHING = OtherLeg(
    lambda knee, end: -UP + np.deg2rad(FORWARD_REACH_DEG) * np.clip(knee / np.maximum(end, 1e-6), 0.0, 1.0),
    lambda body: _leg_length(body) * np.cos(np.deg2rad(FORWARD_REACH_DEG)),
)


def _hanging_plumb(body: Body) -> tuple[Floats, Floats]:
    """(mass of the free leg, its mass centre ahead of the hip) where it hangs straight down."""
    hip = point(np.zeros_like(body.mass_kg), 0.0)
    links: list[Link] = []
    free_leg(links, -1, hip, np.full_like(body.mass_kg, -UP), body)
    mass, centre = mass_centre(links)
    return mass, centre[..., 0]


def pose_one_leg(body: Body, setting: Setting, other: OtherLeg, why_not: str, push_percent: ArrayLike = 0.0) -> Posture:
    """One foot flat, the other leg free; the trunk in balance over the standing foot.

    push_percent : body weight that the other foot pushes with at the end of the range, per cent
    """
    others = (_hanging_plumb(body),)
    end: float | None
    if "step_cm" in setting.numbers:
        end = flexion_at_height(body, setting, other.below_m(body) - setting["step_cm"] / 100.0, 1, others)
    else:
        end = box_end_deg(body, setting, 1, others)
    flexion = range_deg(setting, end)
    legs = bend_of_legs(body, setting, flexion, 1, others)
    links: list[Link] = [legs.foot.link(body.foot.mass_kg)]
    thigh, hip = lower_leg_and_thigh(links, 0, legs.foot.ankle, legs.shank_lean_rad, legs.knee_rad, body, 1)
    leg_rad = other.direction_rad(legs.knee_rad, float(np.deg2rad(flexion[-1])))
    alone: list[Link] = []
    free_leg(alone, -1, hip, leg_rad, body)
    rise = hip[..., 1] - hip[..., -1:, 1]
    fading = np.clip(1.0 - rise / (PUSH_OFF * body.stature_m), 0.0, 1.0)
    push = point(0.0, np.asarray(push_percent) / 100.0 * body.weight_n * fading)
    toe = alone[-1].start + 0.5 * (alone[-1].end - alone[-1].start)
    rest = moment_about(legs.foot.pressure, alone) - cross(toe - legs.foot.pressure, push)
    force = hand_force_n(body, setting, legs.grown)
    trunk_rad, possible = balanced_trunk(body, setting, legs, links, hip, force, rest)
    trunk, pulls = add_upper(links, thigh, hip, trunk_rad, body, setting, force)
    foot = free_leg(links, trunk, hip, leg_rad, body)
    if np.any(push):
        pulls = [*pulls, Pull(foot, toe, push, "ground")]
    return Posture(
        lead="knee-flexion",
        lead_deg=flexion,
        links=spread_over(links, body.people, flexion.size),
        pulls=tuple(pulls),
        working=joints(legs, thigh, trunk, trunk_rad, 1),
        possible=possible,
        why_not=why_not,
        shares=shares_of(body, setting, force + push, links),
    )


def _dials(to_deg: float, hold: str, *own: Dial) -> tuple[Dial, ...]:
    return (
        Dial("from_deg", 0.0, "knee flexion at the start, degrees", 0.0, 149.0, "deg"),
        Dial("to_deg", to_deg, "knee flexion at the deepest, degrees", 1.0, DEEPEST_DEG, "deg"),
        *own,
        ANKLE,
        SHIN,
        HEEL,
        PRESSURE,
        hold_dial(hold),
        LOAD,
        *HAND_SUPPORT,
        *TEMPO,
    )


def _step(usual_cm: float) -> Dial:
    return Dial("step_cm", usual_cm, "height of the step, cm; it ends the range", 3.0, 80.0, "cm")


SINGLE_LEG = Model(
    "single-leg squat",
    _dials(135.0, "arms forward", BOX),
    lambda body, setting: pose_one_leg(body, setting, IN_FRONT, NO_BALANCE),
    "The free leg is straight in front; holding the pelvis level, and a calf that bears the thigh, are not modelled.",
)
STEP_UP = Model(
    "step-up",
    _dials(
        100.0,
        "arms hanging",
        _step(40.0),
        Dial(
            "push_percent",
            PUSH_PERCENT,
            "how much of body weight the trailing leg pushes with at the start, per cent",
            0.0,
            60.0,
            "%",
            spread=0.5,
            relative=True,
        ),
    ),
    lambda body, setting: pose_one_leg(body, setting, LET_DOWN, STEP_NO_BALANCE, setting["push_percent"]),
    "The trailing leg hangs below the hip and pushes only until its toes leave the floor;"
    " a swing of the body is left out, and with one a high step is easier than this.",
)
STEP_DOWN = Model(
    "step-down",
    _dials(
        70.0,
        "arms forward",
        _step(20.0),
        Dial("free_leg", "beside", "where the free heel goes", choices=("beside", "forward")),
    ),
    lambda body, setting: pose_one_leg(
        body, setting, REACHING if setting.word("free_leg") == "forward" else LET_DOWN, NO_BALANCE
    ),
    "The free heel only touches; holding the pelvis level is not modelled.",
)
