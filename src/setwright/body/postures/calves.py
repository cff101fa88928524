"""Calf raises: the whole body over the ball of the foot, or seated with a load on the knees."""

from __future__ import annotations

import numpy as np

from setwright.body.chain import Link, Pull, along, cross, hanging, mass_centre, point
from setwright.body.lever import Dial, Model, Posture, Setting, Working, degrees
from setwright.body.postures.common import LOAD, TEMPO, arms, load_link, spread_over, trunk_and_head, weight_n
from setwright.body.postures.hinges import TWO
from setwright.body.postures.standing import balancing_lean, leant, weight_of
from setwright.body.segments import STANDARD_GRAVITY, Body, Floats

# The strength table gives a usual man some 100 N m here, and 203 people raised themselves 27.9 times on one leg (SD
# 11; Lunsford and Perry 1995, Phys Ther 75:694, abstract seen): for calves the table is low.
# Its curve falls to nought at 41 degrees of plantar flexion, where people stand on their toes: beyond this angle the
# value here is kept. Chosen so that standing on the toes is possible; no published source.
TABLE_HOLDS_DEG = -20.0
LOW_TABLE = (
    "The strength table is low for calves: most people raise themselves on one leg many times. Trust a graded set."
)


def foot_links(body: Body, pitch_rad: Floats, sides: int) -> tuple[list[Link], Floats]:
    """The foot about the ball at x = 0, heel raised by ``pitch_rad``; (links, the ankle)."""
    back, up = body.heel_to_ball_m - body.heel_to_ankle_m, body.ankle_height_m
    ball = point(np.zeros_like(pitch_rad), 0.0)
    cos, sin = np.cos(pitch_rad), np.sin(pitch_rad)
    ankle = ball + point(-back * cos + up * sin, back * sin + up * cos)
    return [hanging("foot", -1, ball, ankle, 0.5, sides * body.foot.mass_kg)], ankle


def pose_calf(body: Body, setting: Setting) -> Posture:
    """From the toes down: the straight body stands over the ball of the foot throughout."""
    sides = TWO[setting.word("legs")]
    plantar = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    p = np.broadcast_to(np.deg2rad(plantar), (body.people, plantar.size))
    # Shaped with the shin plumb: then the foot is pitched by the ankle angle. The whole leans about the ball.
    links, ankle = foot_links(body, p, sides)
    up = np.full_like(p, np.pi / 2)
    knee = along(ankle, up, body.shank.length_m)
    links.append(hanging("shank", 0, ankle, knee, 1.0 - body.shank.com, sides * body.shank.mass_kg))
    hip = along(knee, up, body.thigh.length_m)
    links.append(hanging("thigh", 1, knee, hip, 1.0 - body.thigh.com, sides * body.thigh.mass_kg))
    trunk, shoulder = trunk_and_head(links, 2, hip, up, body)
    if sides == 1:  # the other leg hangs beside, foot off the floor
        links.append(hanging("free thigh", trunk, hip, knee, body.thigh.com, body.thigh.mass_kg))
        links.append(hanging("free shank", len(links) - 1, knee, ankle, body.shank.com, body.shank.mass_kg))
        links.append(load_link("free foot", len(links) - 1, ankle, body.foot.mass_kg))
    load = setting["load_kg"]
    carried = load + 2 * (body.upper_arm.mass_kg + body.forearm.mass_kg + body.hand.mass_kg)
    push = setting["hand_share"] * body.weight_n
    ball = point(np.zeros_like(p), 0.0)
    over = ball + point(setting["press_cm"] / 100, 0.0)
    hung = (shoulder, point(np.zeros_like(push), push - STANDARD_GRAVITY * carried))
    lean = balancing_lean([*(weight_of(one) for one in links), hung], ball, over)
    links = leant(links, ball, lean, first=0)
    shoulder = links[trunk].end
    fore, grip = arms(links, trunk, shoulder, -up, -up, body)
    links.append(load_link("load", fore, grip, load))
    pulls = []
    if float(np.max(push)) > 0:
        pulls.append(Pull(trunk, shoulder, point(np.zeros_like(push), push), "support"))
    share = np.broadcast_to(1.0 + load / body.mass_kg - setting["hand_share"], p.shape)
    return Posture(
        lead="ankle-plantar-flexion",
        lead_deg=plantar,
        links=spread_over(links, body.people, plantar.size),
        pulls=tuple(pulls),
        working=(Working("ankle-plantar-flexion", 1, 1.0, sides, np.maximum(np.rad2deg(-p), TABLE_HOLDS_DEG)),),
        possible=np.isfinite(lean),
        why_not="Cannot balance on the ball of the foot like this.",
        shares={"feet": share},
    )


def pose_seated_calf(body: Body, setting: Setting) -> Posture:
    """Sitting, shins plumb, balls of the feet on an edge: the load lies on the knees."""
    sides = TWO[setting.word("legs")]
    plantar = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    p = np.broadcast_to(np.deg2rad(plantar), (body.people, plantar.size))
    links, ankle = foot_links(body, p, sides)
    up = np.full_like(p, np.pi / 2)
    knee = along(ankle, up, body.shank.length_m)
    links.append(hanging("shank", 0, ankle, knee, 1.0 - body.shank.com, sides * body.shank.mass_kg))
    links.append(load_link("load", 1, knee, setting["load_kg"]))
    hip = along(knee, np.full_like(p, np.pi), body.thigh.length_m)
    links.append(hanging("thigh", 1, knee, hip, 1.0 - body.thigh.com, sides * body.thigh.mass_kg))
    # The seat carries the hip end of the thigh and keeps the knees from going forward or back.
    carried = weight_n(sides * body.thigh.mass_kg) * (1.0 - body.thigh.com)
    ball = point(np.zeros_like(p), 0.0)
    mass, centre = mass_centre(links)
    plumb = point(np.zeros_like(carried), carried)
    left = weight_n(mass) * (centre[..., 0] - ball[..., 0]) - cross(hip - ball, plumb)
    level = -left / hip[..., 1]
    force = np.stack(np.broadcast_arrays(level, carried), axis=-1)
    return Posture(
        lead="ankle-plantar-flexion",
        lead_deg=plantar,
        links=spread_over(links, body.people, plantar.size),
        pulls=(Pull(3, hip, force, "support"),),
        working=(Working("ankle-plantar-flexion", 1, 1.0, sides, np.maximum(np.rad2deg(-p), TABLE_HOLDS_DEG)),),
        shares={"feet": np.broadcast_to((weight_n(mass) - carried) / body.weight_n, p.shape)},
    )


def _dials(start: float, end: float) -> tuple[Dial, ...]:
    return (
        Dial("from_deg", start, "ankle at the top, degrees of plantar flexion", -30.0, 55.0, "deg"),
        Dial("to_deg", end, "at the bottom; below 0 the heels hang under the edge", -40.0, 50.0, "deg"),
        Dial("legs", "two", "on two legs or one", choices=("two", "one")),
        LOAD,
        *TEMPO,
    )


CALF_RAISE = Model(
    "calf raise",
    (
        *_dials(35.0, 0.0),
        Dial("press_cm", 0.0, "where the foot presses forward of the ball, cm", -4.0, 5.0, "cm", spread=1.0),
        Dial("hand_share", 0.0, "push of a supporting hand over body weight", 0.0, 0.5, spread=0.4, relative=True),
    ),
    pose_calf,
    f"The body stays straight; the toes carry nothing beyond the ball of the foot. {LOW_TABLE}",
)
SEATED_CALF = Model(
    "seated calf raise",
    _dials(35.0, -15.0),
    pose_seated_calf,
    f"The shins stay plumb; a bent knee takes strength from the calf that the table does not know of. {LOW_TABLE}",
)
