"""Split squats and lunges: two feet one behind the other, most of the body on the front one.

The hip goes straight down. How much the front foot carries is not set: it follows from where the feet stand and how the
trunk leans, by the balance of moments about the front foot. What statics leave open is how hard the feet press against
each other along the floor; a dial says how far the force under the front foot tilts back.
"""

from __future__ import annotations

import numpy as np

from setwright.body.chain import Link, Pull, along, cross, hanging, mass_centre, point
from setwright.body.lever import Dial, Model, Posture, Setting, Working, degrees
from setwright.body.postures.common import LOAD, TEMPO, bend_between, direction, spread_over, weight_n
from setwright.body.postures.legs import (
    FOOT_LOW,
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
    lower_leg_and_thigh,
    moment_about,
    straight_down,
)
from setwright.body.segments import Body, Floats

# Front shin and trunk at the bottom: common practice, no published source; chosen knowing that the front foot carries
# about 75 % (second-hand in a review).
SHIN_DEG, SHIN_SD_DEG = 20.0, 5.0
LEAN_DEG, LEAN_SD_DEG = 15.0, 5.0
# How far the force under the front foot tilts to the rear, of the way from plumb to the hip: common practice, no
# published source. Chosen knowing that lunges load the hip most (Riemann et al. 2012, abstract seen): a larger tilt
# moves load to the knee. It makes a level push of a tenth of the plumb one at the bottom.
TILT_PERCENT, TILT_SD = 15.0, 10.0
REACH = 0.999  # of thigh and shank: a leg counts as straight
LEAST_KNEE_HEIGHT = 0.02  # of stature: centre of the rear knee above the floor as it touches. From memory, unchecked
INSTEP = 0.5  # of the ankle's height: a rear foot laid on a bench. Common practice, no published source


def rear_ankle(body: Body, setting: Setting, hip: Floats) -> tuple[Floats, Floats]:
    """(the rear ankle, where the floor or the bench presses on that foot), (people, 1, 2), from the deepest hip.

    The rear knee is below the hip (common practice, no published source), the shin runs back to the ankle. On the
    floor the foot stands on its ball, heel up; on a bench the instep lies on it.
    """
    knee = hip - point(0.0, body.thigh.length_m)
    bench = setting["rear_height_cm"] / 100.0
    sole = body.heel_to_ball_m - body.heel_to_ankle_m
    raised = bench > 0.15
    up = np.where(raised, bench + INSTEP * body.ankle_height_m, bench + sole)
    rise = np.clip(up - knee[..., 1], -0.98 * body.shank.length_m, 0.98 * body.shank.length_m)
    ankle = point(knee[..., 0] - np.sqrt(body.shank.length_m**2 - rise**2), knee[..., 1] + rise)
    # Heel up, the sole is plumb and faces back: its ball lies an ankle's height behind the ankle.
    behind = np.where(raised, INSTEP * sole, body.ankle_height_m)
    contact = point(ankle[..., 0] - behind, bench)
    return ankle, contact


def rolled(body: Body, hip: Floats, ankle: Floats, contact: Floats) -> Floats:
    """The rear ankle over the movement: where it was at the deepest, or rolled about its toes where the leg is out.

    Where even that is too short (a guess of the person with shorter legs, at the top) the toes stay where they are.
    """
    leg = REACH * (body.thigh.length_m + body.shank.length_m)
    step, off = hip - ankle, ankle - contact
    short = np.hypot(step[..., 0], step[..., 1]) > leg
    above = cross(hip - contact, off) >= 0.0
    toes, radius = np.broadcast_to(contact, hip.shape), np.hypot(off[..., 0], off[..., 1])
    one, other = (bend_between(toes, hip, radius, leg, side) for side in (1.0, -1.0))
    over = np.where(above[..., None], one, other)
    return np.where(short[..., None], over, np.broadcast_to(ankle, hip.shape))


def first_deg(body: Body, setting: Setting, foot: Foot) -> float:
    """Front knee flexion at which the rear leg of the first person is straight over its toes: the top of the range."""
    thigh, shank = body.thigh.length_m, body.shank.length_m
    end, shin = np.deg2rad(setting["to_deg"]), np.deg2rad(setting["shin_deg"])
    deepest = along(along(foot.ankle, UP - shin, shank), UP - shin + end, thigh)
    ankle, contact = rear_ankle(body, setting, deepest)
    off = ankle - contact
    reach = REACH * (thigh + shank) + np.hypot(off[..., 0], off[..., 1])
    rise = np.sqrt(np.clip(reach**2 - (deepest[..., 0] - contact[..., 0]) ** 2, 0.0, None))
    step = point(deepest[..., 0], contact[..., 1] + rise) - foot.ankle
    cosine = (step[..., 0] ** 2 + step[..., 1] ** 2 - thigh**2 - shank**2) / (2 * thigh * shank)
    return float(np.rad2deg(np.arccos(np.clip(cosine, -1.0, 1.0)))[0, 0])


def rear_force_n(links: list[Link], pulls: list[Pull], front: Floats, rear: Floats, tilt_rad: Floats) -> Floats:
    """Force under the rear foot, N, (people, angles, 2), from moments about the front foot.

    tilt_rad : how far the force under the front foot leans to the rear; the rear foot pushes back as hard
    """
    mass, _ = mass_centre(links)
    moment = moment_about(front, links)
    feet, push = weight_n(mass) + np.zeros_like(moment), np.zeros_like(moment)
    for pull in pulls:
        moment = moment - cross(pull.at - front, pull.force_n)
        feet = feet - pull.force_n[..., 1]
        push = push + pull.force_n[..., 0]
    span = rear - front
    tilt = np.tan(tilt_rad)
    up = (moment + span[..., 1] * (tilt * feet - push)) / (span[..., 0] + span[..., 1] * tilt)
    return point(tilt * (feet - up) - push, up)


def pose_split(body: Body, setting: Setting) -> Posture:
    """The hip straight down between two feet that stay."""
    foot = foot_on_floor(body, setting["heel_mm"], setting["balance_at_percent"], setting["front_height_cm"] / 100.0)
    deepest = float(setting["to_deg"][0, 0])
    start = max(float(setting["from_deg"][0, 0]), first_deg(body, setting, foot))
    flexion = degrees(min(start, deepest - 1.0), deepest)
    knee = np.deg2rad(np.broadcast_to(flexion, (body.people, flexion.size)))
    end = knee[:, -1:]
    shin = np.deg2rad(setting["shin_deg"])
    lean, possible = straight_down(body, knee, shin)
    links: list[Link] = [foot.link(body.foot.mass_kg)]
    thigh, hip = lower_leg_and_thigh(links, 0, foot.ankle, lean, knee, body, 1)
    trunk_rad = UP - np.deg2rad(setting["lean_deg"]) * (knee / end)
    force = hand_force_n(body, setting, knee / end)
    trunk, pulls = add_upper(links, thigh, hip, trunk_rad, body, setting, force)
    ankle, contact = rear_ankle(body, setting, hip[:, -1:])
    ankle = rolled(body, hip, ankle, contact)
    rear_knee = bend_between(hip, ankle, body.thigh.length_m, body.shank.length_m, 1.0)
    low = rear_knee[..., 1] < LEAST_KNEE_HEIGHT * body.stature_m
    possible = possible & ~low
    links.append(hanging("rear thigh", trunk, hip, rear_knee, body.thigh.com, body.thigh.mass_kg))
    shank_end = along(rear_knee, direction(rear_knee, ankle), body.shank.length_m)
    links.append(hanging("rear shank", len(links) - 1, rear_knee, shank_end, body.shank.com, body.shank.mass_kg))
    com = ankle + FOOT_LOW * (contact - ankle)
    on_floor = np.broadcast_to(contact, hip.shape)
    links.append(Link("rear foot", len(links) - 1, shank_end, on_floor, com, body.foot.mass_kg))
    tilt = setting["tilt_percent"] / 100.0 * (direction(foot.pressure, hip) - UP)
    ground = rear_force_n(links, pulls, foot.pressure, contact, tilt)
    pulls = [*pulls, Pull(len(links) - 1, on_floor, ground, "ground")]
    mass, _ = mass_centre(links)
    feet = weight_n(mass) - force[..., 1]
    shares = {"front foot": (feet - ground[..., 1]) / feet}
    if is_supported(setting):
        shares["hands"] = np.hypot(force[..., 0], force[..., 1]) / body.weight_n
    possible = possible & (ground[..., 1] >= 0.0)
    return Posture(
        lead="knee-flexion",
        lead_deg=flexion,
        links=spread_over(links, body.people, flexion.size),
        pulls=tuple(pulls),
        working=(
            Working("knee-extension", thigh, -1.0, 1, np.rad2deg(knee)),
            Working("hip-extension", trunk, 1.0, 1, np.rad2deg(UP - lean + knee - trunk_rad)),
            Working("ankle-plantar-flexion", thigh - 1, 1.0, 1, np.rad2deg(lean - foot.tip_rad)),
        ),
        possible=possible,
        why_not="The rear knee meets the floor, or nothing is left on the rear foot: go less deep or raise a foot.",
        shares=shares,
    )


SPLIT_SQUAT = Model(
    "split squat",
    (
        Dial("from_deg", 30.0, "front knee flexion at the start, degrees", 5.0, 148.0, "deg"),
        Dial("to_deg", 105.0, "front knee flexion at the deepest, degrees", 20.0, 150.0, "deg"),
        Dial(
            "shin_deg",
            SHIN_DEG,
            "front shin ahead of plumb at the deepest, degrees",
            -10.0,
            50.0,
            "deg",
            spread=SHIN_SD_DEG,
        ),
        Dial(
            "lean_deg", LEAN_DEG, "trunk ahead of plumb at the deepest, degrees", -10.0, 60.0, "deg", spread=LEAN_SD_DEG
        ),
        Dial("rear_height_cm", 0.0, "what the rear foot lies on, cm", 0.0, 70.0, "cm"),
        Dial("front_height_cm", 0.0, "what the front foot stands on, cm", 0.0, 40.0, "cm"),
        HEEL,
        PRESSURE,
        Dial(
            "tilt_percent",
            TILT_PERCENT,
            "how far the force under the front foot tilts from plumb (0) to the hip (100), per cent",
            -50.0,
            100.0,
            "%",
            spread=TILT_SD,
        ),
        hold_dial("arms hanging"),
        LOAD,
        *HAND_SUPPORT,
        *TEMPO,
    ),
    pose_split,
    "The hip goes straight down and the rear foot stands where the rear thigh ends up nearly plumb;"
    " holding the pelvis level, and a calf that bears the thigh, are not modelled.",
)
