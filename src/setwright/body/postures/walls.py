"""Knee bends with the body held from outside: the back on a wall, or a strap behind the knees.

What the wall or the strap gives follows from the balance of moments about the feet.
"""

from __future__ import annotations

import numpy as np

from setwright.body.chain import Link, Pull, along, point
from setwright.body.lever import Dial, Model, Posture, Setting, Working, degrees
from setwright.body.postures.common import LOAD, TEMPO, arms, load_link, spread_over, trunk_and_head
from setwright.body.postures.legs import (
    PRESSURE,
    UP,
    add_upper,
    foot_on_floor,
    hold_dial,
    lower_leg_and_thigh,
    moment_about,
    straight_down,
)
from setwright.body.segments import Body, Floats

# Where the middle of the wall's push lies, per cent of hip to shoulder: 0 at the pelvis, 100 at the shoulder blades.
# Common practice, no published source.
CONTACT_PERCENT, CONTACT_SD = 50.0, 15.0
BACK = 0.06  # of stature: from the line of hip and shoulder to the back. From memory, unchecked
LAP = 0.6  # of knee to hip: where a weight lies on the thighs. Common practice, no published source
STRAP_AT = 0.9  # of ankle to knee: where the strap pulls. Common practice, no published source
STRAP_LEAN_DEG = 10.0  # of the trunk at the deepest: common practice, no published source


def _standing(body: Body, setting: Setting) -> tuple[Floats, Floats, Floats]:
    """(knee flexion in degrees, (angles,); the same in rad, (people, angles); how much of the way is done)."""
    flexion = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    knee = np.deg2rad(np.broadcast_to(flexion, (body.people, flexion.size)))
    return flexion, knee, knee / knee[:, -1:]


def _working(thigh: int, trunk: int, knee: Floats, lean: Floats, trunk_rad: Floats) -> tuple[Working, ...]:
    return (
        Working("knee-extension", thigh, -1.0, 2, np.rad2deg(knee)),
        Working("hip-extension", trunk, 1.0, 2, np.rad2deg(UP - lean + knee - trunk_rad)),
        Working("ankle-plantar-flexion", thigh - 1, 1.0, 2, np.rad2deg(lean)),
    )


def pose_wall_sit(body: Body, setting: Setting) -> Posture:
    """Trunk plumb on the wall, feet that stay; the wall pushes level and, by friction, up."""
    flexion, knee, _ = _standing(body, setting)
    foot = foot_on_floor(body, 0.0, setting["balance_at_percent"])
    lean, possible = straight_down(body, knee, np.deg2rad(setting["shin_deg"]))
    links: list[Link] = [foot.link(2 * body.foot.mass_kg)]
    thigh, hip = lower_leg_and_thigh(links, 0, foot.ankle, lean, knee, body, 2)
    links.append(load_link("load", thigh, links[thigh].start + LAP * (hip - links[thigh].start), setting["load_kg"]))
    trunk_rad = np.full_like(knee, UP)
    trunk, shoulder = trunk_and_head(links, thigh, hip, trunk_rad, body)
    arms(links, trunk, shoulder, -trunk_rad, -trunk_rad, body)
    contact = along(hip, trunk_rad, setting["contact_percent"] / 100.0 * body.trunk.length_m)
    contact = contact - point(BACK * body.stature_m, 0.0)
    span = contact - foot.pressure
    rubs = setting["wall_friction"]
    level = moment_about(foot.pressure, links) / (span[..., 0] * rubs - span[..., 1])
    push = point(level, rubs * level)
    return Posture(
        lead="knee-flexion",
        lead_deg=flexion,
        links=spread_over(links, body.people, flexion.size),
        pulls=(Pull(trunk, contact, push, "ground"),),
        working=_working(thigh, trunk, knee, lean, trunk_rad),
        possible=possible & (level >= 0.0),
        why_not="The feet are too near the wall, or too far from it, for this depth.",
        shares={"wall": level / body.weight_n},
    )


def pose_strap(body: Body, setting: Setting) -> Posture:
    """Shins kept still by a strap from in front; the hips go back and the trunk stays nearly upright."""
    flexion, knee, done = _standing(body, setting)
    foot = foot_on_floor(body, 0.0, setting["balance_at_percent"])
    lean = np.broadcast_to(np.deg2rad(setting["shin_deg"]), knee.shape)
    links: list[Link] = [foot.link(2 * body.foot.mass_kg)]
    thigh, hip = lower_leg_and_thigh(links, 0, foot.ankle, lean, knee, body, 2)
    trunk_rad = UP - np.deg2rad(setting["lean_deg"]) * done
    trunk, _ = add_upper(links, thigh, hip, trunk_rad, body, setting, np.zeros((*knee.shape, 2)))
    shank = links[thigh - 1]
    at = shank.start + STRAP_AT * (shank.end - shank.start)
    force = -moment_about(foot.pressure, links) / (at[..., 1] - foot.pressure[..., 1])
    return Posture(
        lead="knee-flexion",
        lead_deg=flexion,
        links=spread_over(links, body.people, flexion.size),
        pulls=(Pull(thigh - 1, at, point(force, 0.0), "rope"),),
        working=_working(thigh, trunk, knee, lean, trunk_rad),
        possible=force >= 0.0,
        why_not="The strap would have to push: lean less, or let the shins lean less.",
        shares={"strap": force / body.weight_n},
    )


WALL_SIT = Model(
    "wall sit",
    (
        Dial("from_deg", 30.0, "knee flexion at the start, degrees", 5.0, 118.0, "deg"),
        Dial("to_deg", 90.0, "knee flexion at the deepest, degrees", 10.0, 120.0, "deg"),
        Dial("shin_deg", 0.0, "shins ahead of plumb at the deepest, degrees", -25.0, 35.0, "deg", spread=4.0),
        Dial(
            "contact_percent",
            CONTACT_PERCENT,
            "middle of the wall's push: 0 at the pelvis, 100 at the shoulder blades, per cent",
            0.0,
            100.0,
            "%",
            spread=CONTACT_SD,
        ),
        Dial("wall_friction", 0.0, "upward rub of the wall over its level push", 0.0, 0.8),
        PRESSURE,
        Dial("load_kg", 0.0, "weight on the thighs, kg", 0.0, 200.0, "kg"),
        *TEMPO,
    ),
    pose_wall_sit,
    "The wall is taken as smooth unless friction is set; a rough wall carries part of the body and makes it easier.",
)
STRAP_SQUAT = Model(
    "strap squat",
    (
        Dial("from_deg", 20.0, "knee flexion at the start, degrees", 5.0, 118.0, "deg"),
        Dial("to_deg", 90.0, "knee flexion at the deepest, degrees", 10.0, 120.0, "deg"),
        Dial("shin_deg", 0.0, "shins ahead of plumb, degrees", -15.0, 25.0, "deg", spread=3.0),
        Dial("lean_deg", STRAP_LEAN_DEG, "trunk ahead of plumb at the deepest, degrees", -5.0, 45.0, "deg", spread=5.0),
        PRESSURE,
        hold_dial("arms folded"),
        LOAD,
        *TEMPO,
    ),
    pose_strap,
    "The strap pulls level just below the knees, as hard as balance needs; a slack strap makes it a common squat.",
)
