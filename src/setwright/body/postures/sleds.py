"""Sleds pushed and dragged: what the ground takes, and what the driving leg and the back hold.

Two ideas carry this module. One: the load on a sled says little; friction by surface decides, and a hanging scale
measures it. Two: at a steady speed the body leans so far that its weight balances the pull, and that is reckoned.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from setwright.body.chain import Link, Pull, mass_centre, point
from setwright.body.lever import Dial, Model, Posture, Setting, Working, degrees
from setwright.body.postures.calves import foot_links
from setwright.body.postures.common import TEMPO, arm_length, arms, spread_over, weight_n
from setwright.body.postures.hinges import arm_centre, arm_mass, lean_deg
from setwright.body.postures.spine import straight_spine
from setwright.body.postures.standing import (
    OVER,
    add_free_leg,
    add_leg,
    ankle_over_heel,
    balancing_lean,
    flat_foot,
    foot_couple,
    leant,
    weight_of,
)
from setwright.body.segments import Body, Floats

# Friction falls with load: dynamic 0.35, 0.33, 0.31 at 44.8, 90.0, 136.2 kg (Andre et al. 2013, J Strength Cond Res
# 27:1172, seen). The exponent goes through the first and the last.
FALL_WITH_LOAD = float(np.log(0.35 / 0.31) / np.log(136.2 / 44.8))
# Four sport surfaces gave 0.21 to 0.58 (Linthorne and Cooper 2013, Sports Biomech 12:175, abstract seen). A range of
# four spans some two standard deviations; the middle lies between theirs and 0.33 of Andre et al.
UNKNOWN_FRICTION, UNKNOWN_SD, UNKNOWN_AT_KG = 0.36, 0.13, 90.0
# To start it takes more: static over dynamic 0.47/0.35, 0.42/0.33, 0.39/0.31 (Andre et al. 2013, seen), the mean.
START_OVER_STEADY = 1.29
SHOES_GRIP = 0.9  # pull level over weight on the floor, above which feet slip: from memory, unchecked


def friction_of(sled_kg: ArrayLike, measured: ArrayLike, at_kg: ArrayLike) -> Floats:
    """Dynamic friction of a sled with its load, from friction measured with ``at_kg`` on the same ground.

    >>> round(float(friction_of(136.2, 0.35, 44.8)), 2)
    0.31
    """
    found: Floats = np.asarray(measured, dtype=float) * (
        np.asarray(sled_kg, dtype=float) / np.asarray(at_kg, dtype=float)
    ) ** (-FALL_WITH_LOAD)
    return found


def steady_pull_n(sled_kg: ArrayLike, friction: ArrayLike, up_rad: ArrayLike = 0.0) -> Floats:
    """Force that keeps a sled at a steady speed, N; ``up_rad``: how steeply the rope rises from it.

    Source: F = mu m g / (cos d + mu sin d), statics; a rope that rises takes weight off the ground.
    """
    mu = np.asarray(friction, dtype=float)
    found: Floats = mu * weight_n(sled_kg) / (np.cos(up_rad) + mu * np.sin(up_rad))
    return found


def pull_power_w(force_n: ArrayLike, speed_m_s: ArrayLike, up_rad: ArrayLike = 0.0) -> Floats:
    """Power given to a sled at a steady speed, W: force along the way times speed.

    >>> float(pull_power_w(200.0, 1.5))
    300.0
    """
    found: Floats = np.asarray(force_n, dtype=float) * np.cos(up_rad) * np.asarray(speed_m_s, dtype=float)
    return found


def friction_set(setting: Setting) -> Floats:
    """Friction by what is known: a scale's reading at a known mass, or else the spread of published surfaces."""
    sled = np.maximum(setting["sled_kg"], 1.0)
    if float(setting["pull_kg"][0, 0]) > 0:
        at = setting["pull_at_kg"]
        return friction_of(sled, setting["pull_kg"] / at, at)
    return friction_of(sled, setting["friction"], UNKNOWN_AT_KG)


def driving_leg(setting: Setting, body: Body) -> tuple[Floats, Floats, Floats]:
    """(angles of the curve, degrees; knee and hip of the driving leg, rad)."""
    knee_deg = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    k = np.broadcast_to(np.deg2rad(knee_deg), (body.people, knee_deg.size))
    return knee_deg, k, np.deg2rad(setting["hip_deg"] + setting["hip_per_knee"] * knee_deg) + np.zeros_like(k)


def swinging_leg(links: list[Link], pelvis: int, hip: Floats, body: Body) -> None:
    """The other leg on its way forward: thigh ahead, shank hanging back."""
    thigh = np.full(hip.shape[:-1], -np.pi / 2 + np.deg2rad(55.0))
    add_free_leg(links, pelvis, hip, thigh, thigh - np.deg2rad(95.0), body)


def swing_couple(links: list[Link], hip: Floats, first: int) -> Floats:
    """Moment of the swinging leg's weight about the hip, counter-clockwise: it hangs and doesn't lean along."""
    found: Floats = np.zeros(hip.shape[:-1])
    for one in links[first:]:
        found = found - weight_n(one.mass_kg) * (one.com[..., 0] - hip[..., 0])
    return found


def working_drive(
    thigh: int, pelvis: int, trunk: int, hip: Floats, knee: Floats, tilt: Floats, knee_first: bool
) -> tuple[Working, ...]:
    """Knee and hip of the driving leg, and the low back both ways."""
    legs = (
        Working("knee-extension", thigh, -1.0, 1, np.rad2deg(knee)),
        Working("hip-extension", pelvis, 1.0, 1, np.rad2deg(hip)),
    )
    back = (
        Working("trunk-extension", trunk, 1.0, 1, lean_deg(tilt)),
        Working("trunk-flexion", trunk, -1.0, 1, lean_deg(tilt)),
    )
    return (*(legs if knee_first else legs[::-1]), *back)


def pushed_sled(grip: Floats) -> tuple[tuple[str, Floats], ...]:
    """The sled before the hands of the first person, for pictures: a box on the floor and a post."""
    x, z = grip[0, :, :1], grip[0, :, 1:]
    low, high = np.zeros_like(z), np.full_like(z, 0.15)
    left, right = x - 0.05, x + 0.75
    box = np.stack([np.hstack(one) for one in ((left, low), (left, high), (right, high), (right, low))], axis=1)
    post = np.stack([np.hstack(one) for one in ((x, high), (x, z + 0.1))], axis=1)
    return ("sled", box), ("stick", post)


def pose_push(body: Body, setting: Setting) -> Posture:
    """One push of the driving leg, from long to bent (told the way the leg folds): hands on the handles, arms long."""
    knee_deg, k, h = driving_leg(setting, body)
    force = steady_pull_n(setting["sled_kg"], friction_set(setting))
    links, ankle = foot_links(body, np.deg2rad(setting["heel_up_deg"]) + np.zeros_like(k), 1)
    over = point(np.zeros_like(k), 0.0)  # the ball of the foot
    up = np.full_like(k, np.pi / 2)
    thigh, hip = add_leg(links, 0, ankle, up, up + k, body, 1)
    tilt = up + k - h
    pelvis, trunk, shoulder = straight_spine(links, thigh, hip, tilt, body)
    own = len(links)
    free = [*links]
    swinging_leg(free, pelvis, hip, body)
    leg = sum((one.mass_kg for one in free[own:]), np.zeros_like(body.mass_kg))
    # The handles push back level at their height; the arms weigh half way out to them.
    out = arm_centre(body) * arm_length(body)
    couple = (
        foot_couple(links[0], over)
        + swing_couple(free, hip, own)
        + force * setting["handle_cm"] / 100
        - weight_n(arm_mass(body)) * out
    )
    riding = [
        (hip, point(np.zeros_like(leg), -weight_n(leg))),
        (shoulder, point(np.zeros_like(leg), -weight_n(arm_mass(body)))),
    ]
    lean = balancing_lean([*(weight_of(one) for one in links[1:]), *riding], ankle, over, couple)
    links = leant(links, ankle, lean)
    tilt = tilt - lean
    shoulder = links[trunk].end
    swinging_leg(links, pelvis, links[pelvis].start, body)
    drop = (setting["handle_cm"] / 100 - shoulder[..., 1]) / arm_length(body)
    slant = np.arcsin(np.clip(drop, -1.0, 1.0))
    fore, grip = arms(links, trunk, shoulder, slant, slant, body)
    # What is left of the balance, the hands carry plumb on the handles.
    mass, centre = mass_centre(links)
    left = weight_n(mass) * (centre[..., 0] - over[..., 0]) - force * grip[..., 1]
    plumb = left / (grip[..., 0] - over[..., 0])
    push = np.stack(np.broadcast_arrays(-force, plumb), axis=-1)
    return Posture(
        lead="knee-flexion",
        lead_deg=knee_deg,
        links=spread_over(links, body.people, knee_deg.size),
        pulls=(Pull(fore, grip, push, "hand"),),
        working=working_drive(thigh, pelvis, trunk, h, k, tilt, True),
        possible=np.isfinite(lean)
        & (np.abs(drop) <= 1.0)
        & (lean < np.deg2rad(80.0))
        & (force <= SHOES_GRIP * (weight_n(mass) - plumb)),
        why_not="The arms do not reach the handles, or the push is more than body and feet can hold against.",
        shares={"hands": np.broadcast_to(force / body.weight_n, k.shape)},
        driven_j=force * setting["distance_m"],
        props=pushed_sled(grip),
    )


def pose_drag(body: Body, setting: Setting) -> Posture:
    """One step of a drag: walking backward, facing the sled, or forward, away from it; x runs the way one faces."""
    backward, hold = setting.word("way") == "backward", setting.word("hold")
    facing = 1.0 if backward else -1.0  # where the sled lies
    knee_deg, k, h = driving_leg(setting, body)
    rise = np.deg2rad(setting["rope_up_deg"])
    size = steady_pull_n(setting["sled_kg"], friction_set(setting), rise)
    pull = np.stack(np.broadcast_arrays(facing * size * np.cos(rise), -size * np.sin(rise)), axis=-1)
    if backward:
        links = [flat_foot(body, 1)]
        ankle = ankle_over_heel(body) + point(np.zeros_like(k), 0.0)
        over = point(setting["over_cm"] / 100, 0.0)
    else:
        links, ankle = foot_links(body, np.deg2rad(setting["heel_up_deg"]) + np.zeros_like(k), 1)
        over = point(np.zeros_like(k), 0.0)
    up = np.full_like(k, np.pi / 2)
    thigh, hip = add_leg(links, 0, ankle, up, up + k, body, 1)
    tilt = up + k - h
    pelvis, trunk, shoulder = straight_spine(links, thigh, hip, tilt, body)
    own = len(links)
    free = [*links]
    swinging_leg(free, pelvis, hip, body)
    leg = sum((one.mass_kg for one in free[own:]), np.zeros_like(body.mass_kg))
    couple = foot_couple(links[0], over) + swing_couple(free, hip, own)
    # Arms in line with the rope pull at the shoulder; a harness pulls at shoulder or hip. Free arms hang.
    along_rope = np.arctan2(-np.sin(rise), facing * np.cos(rise)) + np.zeros_like(k)
    arm_rad = along_rope if hold == "hands" else -up
    couple = couple - weight_n(arm_mass(body)) * arm_centre(body) * arm_length(body) * np.cos(arm_rad)
    at = hip if hold == "hips" else shoulder
    riding = [
        (hip, point(np.zeros_like(leg), -weight_n(leg))),
        (shoulder, point(np.zeros_like(leg), -weight_n(arm_mass(body)))),
        (at, pull),
    ]
    lean = balancing_lean([*(weight_of(one) for one in links[1:]), *riding], ankle, over, couple)
    links = leant(links, ankle, lean)
    tilt = tilt - lean
    swinging_leg(links, pelvis, links[pelvis].start, body)
    fore, grip = arms(links, trunk, links[trunk].end, arm_rad, arm_rad, body)
    on, place = {
        "hands": (fore, grip),
        "shoulders": (trunk, links[trunk].end),
        "hips": (pelvis, links[pelvis].start),
    }[hold]
    return Posture(
        lead="knee-flexion",
        lead_deg=knee_deg,
        links=spread_over(links, body.people, knee_deg.size),
        pulls=(Pull(on, place, np.broadcast_to(pull, (*k.shape, 2)), "rope"),),
        working=working_drive(thigh, pelvis, trunk, h, k, tilt, backward),
        possible=np.isfinite(lean)
        & (np.abs(lean) < np.deg2rad(80.0))
        & (size * np.cos(rise) <= SHOES_GRIP * (body.weight_n + size * np.sin(rise))),
        why_not="The pull is more than body and feet can hold against.",
        shares={"hands" if hold == "hands" else "straps": np.broadcast_to(size / body.weight_n, k.shape)},
        driven_j=size * np.cos(rise) * setting["distance_m"],
    )


SLED = (
    Dial("sled_kg", 60.0, "sled and load together, kg", 1.0, 500.0, "kg"),
    Dial(
        "pull_kg",
        0.0,
        "reading of a hanging scale at a slow steady pull, kg; 0 if never measured",
        0.0,
        300.0,
        "kg",
        spread=0.05,
        relative=True,
    ),
    Dial("pull_at_kg", 60.0, "sled and load when that was read, kg", 1.0, 500.0, "kg"),
    Dial("friction", UNKNOWN_FRICTION, "friction where nothing was measured", 0.1, 1.2, spread=UNKNOWN_SD),
    Dial("distance_m", 20.0, "how far, m", 0.0, 500.0, "m"),
    Dial("heel_up_deg", 25.0, "heel of the driving foot off the floor, degrees", 0.0, 50.0, "deg", spread=5.0),
)


def _leg(start: float, end: float, hip: float, per_knee: float) -> tuple[Dial, ...]:
    return (
        Dial("from_deg", start, "knee flexion at the end of the step, degrees", 0.0, 120.0, "deg"),
        Dial("to_deg", end, "knee flexion at its beginning, degrees", 0.0, 120.0, "deg"),
        Dial("hip_deg", hip, "hip flexion with a straight knee, degrees", -20.0, 90.0, "deg", spread=5.0),
        Dial("hip_per_knee", per_knee, "degrees the hip folds for each degree of the knee", 0.0, 2.0),
    )


STEADY = (
    "Steady speed on level ground, one foot on the floor, ankles not reckoned; a start takes about "
    f"{START_OVER_STEADY:.1f} times the force. Without a scale's reading the surface may be out by a factor of 2.8."
)

PUSH = Model(
    "sled push",
    (
        *_leg(20.0, 80.0, 10.0, 0.9),
        Dial("handle_cm", 90.0, "height of the hands, cm", 20.0, 140.0, "cm"),
        *SLED,
        *TEMPO,
    ),
    pose_push,
    STEADY,
)
DRAG = Model(
    "sled drag",
    (
        *_leg(25.0, 75.0, 5.0, 0.7),
        Dial("way", "backward", "walking backward, facing the sled, or forward", choices=("backward", "forward")),
        Dial("hold", "hands", "where the rope pulls", choices=("hands", "shoulders", "hips")),
        Dial("rope_up_deg", 12.0, "how steeply the rope rises from the sled, degrees", 0.0, 45.0, "deg", spread=3.0),
        OVER,
        *SLED,
        *TEMPO,
    ),
    pose_drag,
    STEADY,
)
