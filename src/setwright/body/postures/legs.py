"""What squats, split squats and steps share: the foot on the floor, how a load is held, and the lean that balances.

Two ideas carry this module. One: legs decide where the hip is; the trunk then leans until the whole stands over the
middle of the foot, and that lean is one trigonometric equation. Two: arms and loads either turn with the trunk (a bar
on the back) or keep their direction in space (arms held forward, weights that hang).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.body.chain import Link, Pull, along, hanging, mass_centre, point, solve_lean
from setwright.body.lever import Dial, Setting
from setwright.body.postures.common import (
    arms,
    bend_between,
    bent_reach,
    direction,
    forearm_com,
    load_link,
    trunk_and_head,
    weight_n,
)
from setwright.body.segments import STANDARD_GRAVITY, Body, Floats

UP = np.pi / 2
# The knee-to-wall norm of 12 cm is about 40 degrees (rom_reliability of the plan); few use all of it in a squat: common
# practice, no published source.
USUAL_ANKLE_DEG, ANKLE_SD_DEG = 35.0, 5.0
PRESSURE_PERCENT, PRESSURE_SD = 50.0, 5.0  # mid-foot; how far the centre of pressure wanders: common practice
# Where things are held, as shares of stature off the line from hip to shoulder: from memory, unchecked.
HIGH_BAR_BACK, LOW_BAR_BACK, LOW_BAR_DOWN = 0.030, 0.045, 0.035
RACK_AHEAD, GOBLET_AHEAD, GOBLET_DOWN = 0.050, 0.115, 0.060
SUPPORT_DROP = 0.12  # hands on a support lie this share of stature below the shoulder: common practice
# Where the trunk lies on the thighs (hip and spine together): common practice, no published source.
FOLDED_DEG = 150.0
HAND_SHARES = {"none": 0.0, "balance": 0.025, "light": 0.10, "firm": 0.20}  # of body weight: common practice
HOLDS = ("arms forward", "arms folded", "arms hanging", "high bar", "low bar", "front rack", "goblet")
IN_HAND = ("arms forward", "arms hanging")
# Directions of upper arm and forearm, degrees, off the trunk (0 along it, -90 forward) or in space (0 forward).
ARMS_DEG = {
    "arms forward": (0.0, 0.0),
    "arms folded": (180.0, -60.0),
    "arms hanging": (-90.0, -90.0),
    "high bar": (155.0, -20.0),
    "low bar": (140.0, -35.0),
    "front rack": (-80.0, 95.0),
    "goblet": (-165.0, -25.0),
}
FOOT_LOW = 0.5  # height of the foot's mass centre over ankle height: common practice, no published source

ANKLE = Dial(
    "ankle_limit_deg",
    USUAL_ANKLE_DEG,
    "how far the shin can lean over a flat foot, degrees from plumb (knee to wall)",
    0.0,
    60.0,
    "deg",
    spread=ANKLE_SD_DEG,
)
HEEL = Dial("heel_mm", 0.0, "height under the heel, mm", 0.0, 100.0, "mm")
PRESSURE = Dial(
    "balance_at_percent",
    PRESSURE_PERCENT,
    "where the weight stands on the foot, per cent of its length from the heel",
    30.0,
    75.0,
    "%",
    spread=PRESSURE_SD,
)
HAND_SUPPORT = (
    Dial(
        "hand_support",
        "none",
        "what the hands carry at the deepest: balance 2.5, light 10, firm 20 % of body weight, or as measured",
        choices=(*HAND_SHARES, "measured"),
    ),
    Dial("hand_factor", 1.0, "how much of that level the hands truly carry", 0.0, 3.0, spread=0.4, relative=True),
    Dial(
        "hand_measured_kg", 0.0, "as a scale shows it, kg; for measured", 0.0, 100.0, "kg", spread=0.05, relative=True
    ),
    Dial("hand_direction_deg", 0.0, "0 pushes down on the support, 90 pulls level on a post", 0.0, 90.0, "deg"),
    Dial("hand_reach_cm", 30.0, "support ahead of the shoulders, cm", 0.0, 80.0, "cm", spread=5.0),
)


def hold_dial(usual: str) -> Dial:
    """How arms and load are held."""
    return Dial("hold", usual, "where the arms are and the load is held", choices=HOLDS)


@dataclass(frozen=True)
class Foot:
    """A foot that stands still: the point its weight stands on, the ankle, its mass centre, and how far it is tipped.

    ``pressure``, ``ankle``, ``com`` (people, 1, 2), m, the ankle at x = 0; ``tip_rad`` (people, 1).
    """

    pressure: Floats
    ankle: Floats
    com: Floats
    tip_rad: Floats

    def link(self, mass_kg: Floats) -> Link:
        """The foot as the root of a chain; its moment at the start is the balance of the whole."""
        return Link("foot", -1, self.pressure, self.ankle, self.com, mass_kg)


def foot_on_floor(body: Body, heel_mm: ArrayLike, pressure_percent: ArrayLike, floor_m: Floats | float = 0.0) -> Foot:
    """A foot with the ball on the floor and the heel on a wedge; the wedge tips it by asin(height / heel to ball)."""
    tip = np.arcsin(np.clip(np.asarray(heel_mm) / 1000.0 / body.heel_to_ball_m, 0.0, 0.95))

    def off_ankle(ahead: Floats, up: Floats) -> Floats:
        return point(ahead * np.cos(tip) + up * np.sin(tip), -ahead * np.sin(tip) + up * np.cos(tip))

    tall = body.ankle_height_m
    ball = off_ankle(body.heel_to_ball_m - body.heel_to_ankle_m, -tall)
    ankle = point(np.zeros_like(tall), floor_m - ball[..., 1])
    at = np.asarray(pressure_percent) / 100.0 * body.foot.length_m - body.heel_to_ankle_m
    centre = body.foot.com_m - body.heel_to_ankle_m
    return Foot(ankle + off_ankle(at, -tall), ankle, ankle + off_ankle(centre, -FOOT_LOW * tall), tip)


@dataclass(frozen=True)
class Upper:
    """All that the hip carries, as it enters the balance.

    turning : (mass, along the trunk from the hip, ahead of that line) of what turns with the trunk, kg and m
    steady : (mass, ahead of the shoulder) of what keeps its direction in space
    hand : where hands on a support are off the shoulder, (..., 2), m
    """

    turning: tuple[tuple[Floats, Floats, Floats], ...]
    steady: tuple[tuple[Floats, Floats], ...]
    hand: Floats

    def weight_n(self) -> Floats:
        """Weight of all of it, N."""
        return weight_n(sum(one[0] for one in (*self.turning, *self.steady)))


def is_supported(setting: Setting) -> bool:
    """Whether hands are on a support."""
    return setting.words.get("hand_support", "none") != "none"


def hand_force_n(body: Body, setting: Setting, grown: Floats) -> Floats:
    """Force of the support on both hands, N, (people, angles, 2). It grows from nothing, standing, to its whole.

    grown : (people, angles), 0 to 1
    """
    level = setting.word("hand_support")
    if level == "measured":
        whole = weight_n(setting["hand_measured_kg"])
    else:
        whole = HAND_SHARES[level] * setting["hand_factor"] * body.weight_n
    turn = np.deg2rad(setting["hand_direction_deg"])
    return point(whole * grown * np.sin(turn), whole * grown * np.cos(turn))


def _arm_angles(body: Body, setting: Setting) -> tuple[bool, Floats, Floats]:
    """(do the arms turn with the trunk, upper arm, forearm), rad, off the trunk or in space."""
    shape = np.zeros_like(body.mass_kg)
    if is_supported(setting):
        most = 0.98 * (body.upper_arm.length_m + body.forearm.length_m + body.hand.length_m)
        wanted = point(setting["hand_reach_cm"] / 100.0, -SUPPORT_DROP * body.stature_m)
        far = np.hypot(wanted[..., 0], wanted[..., 1])
        hand = wanted * np.minimum(1.0, most / far)[..., None]
        start = np.zeros_like(hand)
        elbow = bend_between(start, hand, body.upper_arm.length_m, body.forearm.length_m + body.hand.length_m, -1.0)
        return False, direction(start, elbow), direction(elbow, hand)
    hold = setting.word("hold")
    upper, fore = np.deg2rad(ARMS_DEG[hold])
    return hold not in IN_HAND, upper + shape, fore + shape


def _load_off_hip(body: Body, setting: Setting) -> tuple[Floats, Floats]:
    """Where a load that turns with the trunk lies: (along it from the hip, ahead of it), m."""
    trunk, tall = body.trunk.length_m, body.stature_m
    places = {
        "high bar": (trunk, -HIGH_BAR_BACK * tall),
        "low bar": (trunk - LOW_BAR_DOWN * tall, -LOW_BAR_BACK * tall),
        "front rack": (trunk, RACK_AHEAD * tall),
        "goblet": (trunk - GOBLET_DOWN * tall, GOBLET_AHEAD * tall),
        "arms folded": (trunk - GOBLET_DOWN * tall, 0.5 * GOBLET_AHEAD * tall),
    }
    return places[setting.word("hold")]


def upper_of(body: Body, setting: Setting) -> Upper:
    """Trunk, head, arms and load as the balance needs them."""
    trunk = body.trunk.length_m
    zero = np.zeros_like(trunk)
    turning = [
        (body.trunk.mass_kg, body.trunk.com_m, zero),
        (body.head.mass_kg, trunk + body.head.com_m, zero),
    ]
    steady: list[tuple[Floats, Floats]] = []
    turns, upper, fore = _arm_angles(body, setting)
    reach = body.forearm.length_m + body.hand.length_m
    mass = body.forearm.mass_kg + body.hand.mass_kg
    elbow = along(point(zero, zero), upper, body.upper_arm.length_m)
    pieces = (
        (2 * body.upper_arm.mass_kg, along(point(zero, zero), upper, body.upper_arm.com_m)),
        (2 * mass, along(elbow, fore, forearm_com(body))),
    )
    hand = along(elbow, fore, reach)
    for arm, at in pieces:
        if turns:  # x of a point drawn off the trunk's own line: along it, and ahead is clockwise
            turning.append((arm, trunk + at[..., 0], -at[..., 1]))
        else:
            steady.append((arm, at[..., 0]))
    if setting.word("hold") in IN_HAND:
        ahead = zero if is_supported(setting) else hand[..., 0]
        steady.append((setting["load_kg"], ahead))
    else:
        turning.append((setting["load_kg"], *_load_off_hip(body, setting)))
    return Upper(tuple(turning), tuple(steady), hand)


def lean_in_balance(
    upper: Upper,
    base: Floats,
    shoulder_m: Floats,
    rest_nm: Floats,
    pressure: Floats,
    force_n: Floats,
    below_m: Floats | float = 0.0,
) -> Floats:
    """Direction of the line from ``base`` to the shoulder at which all stands over the pressure point, rad.

    base : (people, angles, 2) the hip, or the ankle where legs and trunk lean as one
    shoulder_m : from the base to the shoulder; below_m : from the base to the hip
    rest_nm : moment of everything else about the pressure point, N m
    force_n : (people, angles, 2) on the hands

    Not a number where nothing balances. Source: moments about the pressure point, a cos + b sin = c, closed form.
    """
    g = STANDARD_GRAVITY
    a, b = np.zeros_like(rest_nm), np.zeros_like(rest_nm)
    ahead = base[..., 0] - pressure[..., 0]
    held = rest_nm + 0.0
    for mass, far, off in upper.turning:
        a = a + g * mass * (far + below_m)
        b = b + g * mass * off
        held = held + g * mass * ahead
    for mass, off in upper.steady:
        a = a + g * mass * shoulder_m
        held = held + g * mass * (ahead + off)
    hand = upper.hand
    a = a - shoulder_m * force_n[..., 1]
    b = b + shoulder_m * force_n[..., 0]
    height = base[..., 1] - pressure[..., 1] + hand[..., 1]
    held = held - (ahead + hand[..., 0]) * force_n[..., 1] + height * force_n[..., 0]
    return solve_lean(a, b, -held)[0]


def add_upper(
    links: list[Link], parent: int, hip: Floats, trunk_rad: Floats, body: Body, setting: Setting, force_n: Floats
) -> tuple[int, list[Pull]]:
    """Adds trunk, head, arms and load on the hip: (index of the trunk, the pull of a hand support)."""
    trunk, shoulder = trunk_and_head(links, parent, hip, trunk_rad, body)
    turns, upper, fore = _arm_angles(body, setting)
    turned = trunk_rad if turns else np.zeros_like(trunk_rad)
    forearm, grip = arms(links, trunk, shoulder, turned + upper, turned + fore, body)
    if setting.word("hold") in IN_HAND:
        if is_supported(setting):  # the other hand hangs
            low = body.upper_arm.length_m + body.forearm.length_m + body.hand.length_m
            links.append(load_link("load", trunk, shoulder - point(np.zeros_like(low), low), setting["load_kg"]))
        else:
            links.append(load_link("load", forearm, grip, setting["load_kg"]))
    else:
        far, off = _load_off_hip(body, setting)
        at = along(along(hip, trunk_rad, far), trunk_rad - UP, off)
        links.append(load_link("load", trunk, at, setting["load_kg"]))
    if not is_supported(setting):
        return trunk, []
    return trunk, [Pull(forearm, grip, force_n, "hand")]


def moment_about(at: Floats, links: Sequence[Link]) -> Floats:
    """Moment of the weight of links about a point, N m; positive falls forward."""
    mass, centre = mass_centre(links)
    found: Floats = weight_n(mass) * (centre[..., 0] - at[..., 0])
    return found


def lower_leg_and_thigh(
    links: list[Link], foot: int, ankle: Floats, shank_lean_rad: Floats, knee_rad: Floats, body: Body, sides: int
) -> tuple[int, Floats]:
    """Adds shank and thigh on a foot: (index of the thigh, the hip). Knee flexion opens backward."""
    knee = along(ankle, UP - shank_lean_rad, body.shank.length_m)
    links.append(hanging("shank", foot, ankle, knee, 1.0 - body.shank.com, sides * body.shank.mass_kg))
    hip = along(knee, UP - shank_lean_rad + knee_rad, body.thigh.length_m)
    links.append(hanging("thigh", foot + 1, knee, hip, 1.0 - body.thigh.com, sides * body.thigh.mass_kg))
    return len(links) - 1, hip


def straight_down(body: Body, knee_rad: Floats, shin_rad: Floats) -> tuple[Floats, NDArray[np.bool_]]:
    """(lean of the shin, may the leg stand so) where the hip goes straight down over feet that stay, (people, angles).

    shin_rad : lean of the shin at the deepest; it sets how far behind the ankle the hip is, all the way
    """
    thigh, shank = body.thigh.length_m, body.shank.length_m
    behind = thigh * np.sin(knee_rad[:, -1:] - shin_rad) - shank * np.sin(shin_rad)
    share = behind / bent_reach(thigh, shank, knee_rad)
    inner = np.arctan2(thigh * np.sin(knee_rad), shank + thigh * np.cos(knee_rad))
    return inner - np.arcsin(np.clip(share, -1.0, 1.0)), np.abs(share) <= 1.0 + 1e-12


def free_leg(links: list[Link], trunk: int, hip: Floats, leg_rad: Floats, body: Body) -> int:
    """Adds the other leg, straight, on the pelvis: the index of its foot. ``leg_rad``: direction from the hip."""
    knee = along(hip, leg_rad, body.thigh.length_m)
    ankle = along(knee, leg_rad, body.shank.length_m)
    links.append(hanging("free thigh", trunk, hip, knee, body.thigh.com, body.thigh.mass_kg))
    links.append(hanging("free shank", len(links) - 1, knee, ankle, body.shank.com, body.shank.mass_kg))
    sole = along(ankle, leg_rad, body.ankle_height_m)
    toes = along(sole, leg_rad + UP, body.foot.length_m - body.heel_to_ankle_m)
    middle = along(ankle, leg_rad, FOOT_LOW * body.ankle_height_m)
    com = along(middle, leg_rad + UP, body.foot.com_m - body.heel_to_ankle_m)
    links.append(Link("free foot", len(links) - 1, ankle, toes, com, body.foot.mass_kg))
    return len(links) - 1
