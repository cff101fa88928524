"""Squats on two feet: how deep, with which ankle, and what is held where, decide how the trunk must lean.

The shin leans in proportion to the bend of the knee, up to what the ankle and a heel wedge allow, which it reaches when
the thigh is level; deeper it stays. Where the trunk would have to lean very far, the shin goes to its limit sooner. The
trunk then leans until all stands over mid-foot. The sum of knee and hip moment
belongs to depth and load alone: a wedge or a shin that leans more moves load from hip to knee, none of it away. Where
the load is held only sets how upright the trunk is: by itself it moves nothing from hip to knee.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from setwright.body.chain import Link, solve_lean
from setwright.body.lever import Dial, Model, Posture, Setting, Working, degrees
from setwright.body.postures.common import LOAD, TEMPO, spread_over
from setwright.body.postures.legs import (
    ANKLE,
    FOLDED_DEG,
    HAND_SUPPORT,
    HEEL,
    PRESSURE,
    UP,
    Foot,
    add_upper,
    foot_on_floor,
    hand_force_n,
    hold_dial,
    is_supported,
    lean_in_balance,
    lower_leg_and_thigh,
    moment_about,
    upper_of,
)
from setwright.body.segments import STANDARD_GRAVITY, Body, Floats

# Height of the hip joint above a seat, share of stature (about 9 cm): from memory, unchecked.
SEAT_BELOW_HIP = 0.052
DEEPEST_DEG = 150.0
# The trunk leans so far before the shins go on to their limit: common practice, no published source.
MOST_WILLING_DEG = 50.0
# On one foot the hip stays nearer to it: the shin is at its limit with the knee at a right angle. From memory,
# unchecked: in single-leg squats the ankle is near 27 degrees where the knee is at 60. 75 was tried first; it made the
# trunk lean back in mid-range.
ONE_FOOT_FULL_DEG = 90.0
GRID = 1501  # points of knee flexion between which the touch of a box is read off: 0.1 degrees apart
NO_BALANCE = "Cannot balance at this depth with this ankle: raise the heels, hold a weight in front, or go less deep."

SHIN = Dial(
    "shin_percent",
    100.0,
    "how much of that lean is used; less is sitting back, as far as balance lets",
    0.0,
    100.0,
    "%",
)
BOX = Dial("box_cm", 0.0, "height of a box that ends the range, cm; 0 for none", 0.0, 100.0, "cm")


@dataclass(frozen=True)
class Legs:
    """Where a standing leg is over a movement: shank lean and knee flexion, (people, angles), rad."""

    foot: Foot
    shank_lean_rad: Floats
    knee_rad: Floats
    grown: Floats  # how much of the way to a level thigh is done, 0 to 1

    def hip_height_m(self, body: Body) -> Floats:
        """Height of the hip above the floor the foot stands on, m."""
        found: Floats = (
            self.foot.ankle[..., 1]
            + body.shank.length_m * np.cos(self.shank_lean_rad)
            + body.thigh.length_m * np.cos(self.shank_lean_rad - self.knee_rad)
        )
        return found


def standing_lean(
    body: Body, setting: Setting, foot: Foot, sides: int, others: Sequence[tuple[Floats, Floats]]
) -> Floats:
    """How far a straight body leans forward from the ankles to stand over the pressure point, rad, (people, 1).

    others : (mass, ahead of the hip) of what hangs on the hip and keeps its direction (a leg held in front)
    """
    upper = upper_of(body, setting)
    to_hip = body.shank.length_m + body.thigh.length_m
    legs = (
        (sides * body.shank.mass_kg, body.shank.length_m - body.shank.com_m),
        (sides * body.thigh.mass_kg, to_hip - body.thigh.com_m),
        *((mass, to_hip) for mass, _ in others),
    )
    zero = np.zeros_like(to_hip)
    turning = tuple((mass, far - to_hip, zero) for mass, far in legs)
    rest = STANDARD_GRAVITY * sides * body.foot.mass_kg * (foot.com[..., 0] - foot.pressure[..., 0])
    for mass, off in others:
        rest = rest + STANDARD_GRAVITY * mass * off
    whole = type(upper)((*upper.turning, *turning), upper.steady, upper.hand)
    line = lean_in_balance(
        whole,
        foot.ankle,
        to_hip + body.trunk.length_m,
        rest,
        foot.pressure,
        np.zeros((*rest.shape, 2)),
        to_hip,
    )
    return np.nan_to_num(UP - line)


def needed_shin(body: Body, setting: Setting, foot: Foot, knee_rad: Floats, force_n: Floats) -> Floats:
    """Lean of the shins, rad, at which a trunk that leans ``MOST_WILLING_DEG`` is in balance, (people, angles).

    Source: moments about the pressure point with the trunk's direction given; a cos + b sin = c, closed form.
    """
    g, p = STANDARD_GRAVITY, foot.pressure
    upper = upper_of(body, setting)
    trunk = UP - np.deg2rad(MOST_WILLING_DEG)
    shank, thigh = body.shank.length_m, body.thigh.length_m
    along_x, back_x = shank + thigh * np.cos(knee_rad), thigh * np.sin(knee_rad)  # of the hip, off the shin's line
    to_com = thigh - body.thigh.com_m
    mass = upper.weight_n() / g
    a = 2 * body.shank.mass_kg * (shank - body.shank.com_m) + mass * along_x
    a = a + 2 * body.thigh.mass_kg * (shank + to_com * np.cos(knee_rad))
    b = -2 * body.thigh.mass_kg * to_com * np.sin(knee_rad) - mass * back_x
    off = sum(m * (far * np.cos(trunk) + ahead * np.sin(trunk)) for m, far, ahead in upper.turning)
    off = off + sum(m * (body.trunk.length_m * np.cos(trunk) + ahead) for m, ahead in upper.steady)
    legs = 2 * (body.shank.mass_kg + body.thigh.mass_kg)
    c = off - p[..., 0] * (mass + legs) + 2 * body.foot.mass_kg * (foot.com[..., 0] - p[..., 0])
    hand = body.trunk.length_m * np.array([np.cos(trunk), np.sin(trunk)])[:, None, None]
    hand_x, hand_z = hand[0] + upper.hand[..., 0], hand[1] + upper.hand[..., 1]
    level, up = force_n[..., 0], force_n[..., 1]
    a = g * a - up * along_x + level * back_x
    b = g * b + up * back_x + level * along_x
    c = g * c - up * (hand_x - p[..., 0]) + level * (foot.ankle[..., 1] - p[..., 1] + hand_z)
    return UP - solve_lean(a, b, -c)[0]


def bend_of_legs(
    body: Body, setting: Setting, flexion_deg: Floats, sides: int, others: Sequence[tuple[Floats, Floats]] = ()
) -> Legs:
    """The standing leg at each knee flexion: the shin leans in proportion to the bend, up to its limit.

    On two feet the limit is reached with the thigh level (common practice, no published source), on one foot sooner.
    """
    foot = foot_on_floor(body, setting["heel_mm"], setting["balance_at_percent"])
    most = (np.deg2rad(setting["ankle_limit_deg"]) + foot.tip_rad) * setting["shin_percent"] / 100.0
    least = np.clip(standing_lean(body, setting, foot, sides, others), 0.0, most)
    knee = np.deg2rad(np.broadcast_to(flexion_deg, (body.people, flexion_deg.size)))
    grown = np.clip(knee / (UP + most), 0.0, 1.0)
    leaning = grown if sides == 2 else np.clip(knee / np.deg2rad(ONE_FOOT_FULL_DEG), 0.0, 1.0)
    lean = least + (most - least) * leaning
    if sides == 2:
        limit = np.deg2rad(setting["ankle_limit_deg"]) + foot.tip_rad
        needed = needed_shin(body, setting, foot, knee, hand_force_n(body, setting, grown))
        lean = np.fmin(np.fmax(lean, needed), limit)
    return Legs(foot, lean, knee, grown)


def flexion_at_height(
    body: Body, setting: Setting, hip_height_m: Floats, sides: int, others: Sequence[tuple[Floats, Floats]] = ()
) -> float:
    """Knee flexion at which the first person's hip comes down to a height, degrees; read off a fine grid."""
    grid = np.linspace(0.0, DEEPEST_DEG, GRID)
    height = bend_of_legs(body, setting, grid, sides, others).hip_height_m(body)[0]
    return float(np.interp(-hip_height_m[0, 0], -height, grid))


def range_deg(setting: Setting, end_deg: float | None = None) -> Floats:
    """The knee angles of the movement; where a box or a step ends it, up to there."""
    start, end = float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0])
    if end_deg is not None:
        end = max(end_deg, start + 1.0)
    return degrees(start, end)


def box_end_deg(body: Body, setting: Setting, sides: int, others: Sequence[tuple[Floats, Floats]] = ()) -> float | None:
    """Knee flexion at which a box is touched, degrees; None without a box."""
    box = setting["box_cm"] / 100.0
    if float(box[0, 0]) <= 0:
        return None
    return flexion_at_height(body, setting, box + SEAT_BELOW_HIP * body.stature_m, sides, others)


def balanced_trunk(
    body: Body, setting: Setting, legs: Legs, links: list[Link], hip: Floats, force_n: Floats, rest_nm: Floats
) -> tuple[Floats, NDArray[np.bool_]]:
    """(direction of the trunk, is there a balance short of lying on the thighs), (people, angles).

    rest_nm : moment about the pressure point of what is neither in ``links`` nor above the hip, N m
    """
    fixed = moment_about(legs.foot.pressure, links) + rest_nm
    line = lean_in_balance(upper_of(body, setting), hip, body.trunk.length_m, fixed, legs.foot.pressure, force_n)
    thigh = UP - legs.shank_lean_rad + legs.knee_rad
    lowest = thigh - np.deg2rad(FOLDED_DEG)
    with np.errstate(invalid="ignore"):
        possible = np.isfinite(line) & (line >= lowest)
    return np.where(possible, line, lowest), possible


def joints(legs: Legs, thigh: int, trunk: int, trunk_rad: Floats, limbs: int) -> tuple[Working, ...]:
    """Knee, hip and ankle of the standing leg as working joints."""
    knee = np.rad2deg(legs.knee_rad)
    hip = np.rad2deg(UP - legs.shank_lean_rad + legs.knee_rad - trunk_rad)
    ankle = np.rad2deg(legs.shank_lean_rad - legs.foot.tip_rad)
    return (
        Working("knee-extension", thigh, -1.0, limbs, knee),
        Working("hip-extension", trunk, 1.0, limbs, hip),
        Working("ankle-plantar-flexion", thigh - 1, 1.0, limbs, ankle),
    )


def shares_of(body: Body, setting: Setting, force_n: Floats, links: Sequence[Link]) -> dict[str, Floats]:
    """What hands (where they are on a support) and feet carry, over body weight."""
    whole = sum((link.mass_kg for link in links), np.zeros_like(body.mass_kg)) / body.mass_kg
    feet = whole - force_n[..., 1] / body.weight_n
    if is_supported(setting):
        return {"hands": np.hypot(force_n[..., 0], force_n[..., 1]) / body.weight_n, "feet": feet}
    return {"feet": feet}


def pose_squat(body: Body, setting: Setting) -> Posture:
    """Both feet flat (or on a wedge), the trunk in balance over mid-foot."""
    flexion = range_deg(setting, box_end_deg(body, setting, 2))
    legs = bend_of_legs(body, setting, flexion, 2)
    links: list[Link] = [legs.foot.link(2 * body.foot.mass_kg)]
    thigh, hip = lower_leg_and_thigh(links, 0, legs.foot.ankle, legs.shank_lean_rad, legs.knee_rad, body, 2)
    force = hand_force_n(body, setting, legs.grown)
    trunk_rad, possible = balanced_trunk(body, setting, legs, links, hip, force, np.zeros_like(legs.grown))
    trunk, pulls = add_upper(links, thigh, hip, trunk_rad, body, setting, force)
    return Posture(
        lead="knee-flexion",
        lead_deg=flexion,
        links=spread_over(links, body.people, flexion.size),
        pulls=tuple(pulls),
        working=joints(legs, thigh, trunk, trunk_rad, 2),
        possible=possible,
        why_not=NO_BALANCE,
        shares=shares_of(body, setting, force, links),
    )


SQUAT = Model(
    "squat",
    (
        Dial("from_deg", 0.0, "knee flexion at the start, degrees", 0.0, 149.0, "deg"),
        Dial("to_deg", 120.0, "knee flexion at the deepest, degrees", 1.0, DEEPEST_DEG, "deg"),
        ANKLE,
        SHIN,
        HEEL,
        PRESSURE,
        hold_dial("arms forward"),
        LOAD,
        BOX,
        *HAND_SUPPORT,
        *TEMPO,
    ),
    pose_squat,
    "A deep squat in which the calf bears the thigh is not modelled, nor knees that go wide;"
    " beyond 110 degrees of knee flexion strength is kept as at the end of the measured range.",
)
