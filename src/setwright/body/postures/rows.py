"""Rows with the body as load: under a fixed bar, and leaning back in straps.

The body is one line that turns about the heels (or, with bent knees, about the knees over planted feet); the hands
carry what is left. x forward is where a standing person looks: who leans back has the head at negative x.
"""

from __future__ import annotations

import numpy as np

from setwright.body.chain import Link, Pull, along, cross, hanging, mass_centre, point, solve_lean
from setwright.body.lever import Dial, Model, Posture, Setting, Working, degrees
from setwright.body.postures.common import (
    LOAD,
    TEMPO,
    bend_between,
    bent_reach,
    direction,
    forearm_and_hand,
    load_link,
    spread_over,
    trunk_and_head,
    weight_n,
)
from setwright.body.postures.hanging import raised_deg
from setwright.body.segments import Body, Floats

CHEST = 0.75  # of hip to shoulder: where a vest or a plate lies. Common practice, no published source
# How far towards the feet the bar stands off the plumb line of the shoulders while the arms are straight, so that it
# meets the chest at the top: common practice, no published source.
BAR_OFF_CM, BAR_OFF_SD_CM = 20.0, 4.0
MOST_TILT_DEG = 15.0  # a pull further from plumb slides the heels (friction near 0.6): common practice
PLUMB_AT_DEG = 90.0  # elbow flexion from which the bar's pull is plumb: common practice, no published source
BACK_THICKNESS = 0.07  # of stature, shoulder joint above the floor when lying: from memory, unchecked
LEAST_STRAP_M = 0.05
MOST_CARRIED = 3.0  # of body weight: a posture that asks more is one that nobody balances in
# Of heels to shoulders: nearer to the heels than this the pull of the straps says little, and rises without end.
LEAST_LEVER = 0.4


def heels_to_shoulder(body: Body) -> tuple[Floats, Floats]:
    """Where the shoulder lies off the heels: (along the body, to its front), m."""
    along_body = body.ankle_height_m + body.shank.length_m + body.thigh.length_m + body.trunk.length_m
    return along_body, body.heel_to_ankle_m


def reclined(body: Body, pivot: Floats, line_rad: Floats, load_kg: Floats) -> tuple[list[Link], int, Floats]:
    """A straight body on its heels: (links, index of the trunk, shoulder). The foot is square to the line."""
    front = line_rad - np.pi / 2
    ankle = along(along(pivot, line_rad, body.ankle_height_m), front, body.heel_to_ankle_m)
    middle = along(along(pivot, line_rad, body.ankle_height_m / 2), front, body.foot.com_m)
    links = [Link("foot", -1, pivot, ankle, middle, 2 * body.foot.mass_kg)]
    knee = along(ankle, line_rad, body.shank.length_m)
    links.append(hanging("shank", 0, ankle, knee, 1.0 - body.shank.com, 2 * body.shank.mass_kg))
    return upper_body(body, links, 1, knee, line_rad, load_kg)


def reclined_bent(body: Body, ankle: Floats, line_rad: Floats, load_kg: Floats) -> tuple[list[Link], int, Floats]:
    """Feet flat, shins plumb, thighs and trunk in one line that turns about the knees: as ``reclined``."""
    heel = ankle - point(body.heel_to_ankle_m, body.ankle_height_m)
    toes = heel + point(body.foot.length_m, 0.0)
    links = [hanging("foot", -1, heel, toes, body.foot.com, 2 * body.foot.mass_kg)]
    knee = along(ankle, np.pi / 2, body.shank.length_m)
    links.append(hanging("shank", -1, ankle, knee, 1.0 - body.shank.com, 2 * body.shank.mass_kg))
    return upper_body(body, links, 1, knee, line_rad, load_kg)


def upper_body(
    body: Body, links: list[Link], parent: int, knee: Floats, line_rad: Floats, load_kg: Floats
) -> tuple[list[Link], int, Floats]:
    """Adds thighs, trunk, head and the load on the chest in one line from the knee."""
    hip = along(knee, line_rad, body.thigh.length_m)
    links.append(hanging("thigh", parent, knee, hip, 1.0 - body.thigh.com, 2 * body.thigh.mass_kg))
    trunk, shoulder = trunk_and_head(links, len(links) - 1, hip, line_rad, body)
    links.append(load_link("load", trunk, hip + CHEST * (shoulder - hip), load_kg))
    return links, trunk, shoulder


def arms_to(
    links: list[Link], trunk: int, shoulder: Floats, elbow: Floats, grip: Floats, body: Body
) -> tuple[int, list[Link]]:
    """Adds both arms between known points: (index of the upper arms, the links)."""
    links.append(hanging("upper arm", trunk, shoulder, elbow, body.upper_arm.com, 2 * body.upper_arm.mass_kg))
    upper = len(links) - 1
    forearm_and_hand(links, upper, elbow, direction(elbow, grip), body)
    return upper, links


def held_by_hands(links: list[Link], planted: tuple[str, ...], pivot: Floats, grip: Floats, unit: Floats) -> Floats:
    """Size of the pull on both hands along a direction, N, from the balance of moments about the pivot.

    planted : names of links that the ground carries without the pivot
    """
    mass, centre = mass_centre([one for one in links if one.name not in planted])
    found: Floats = weight_n(mass) * (centre[..., 0] - pivot[..., 0]) / cross(grip - pivot, unit)
    return found


def pose_bar_row(body: Body, setting: Setting) -> Posture:
    """From the chest at the bar down to straight arms; the bar stays, the body turns about heels or knees."""
    bent = setting.word("support") == "bent knees"
    flexion = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    bend = np.broadcast_to(np.deg2rad(flexion), (body.people, flexion.size))
    foot_up, bar_up = setting["foot_height_cm"] / 100, setting["bar_height_cm"] / 100
    if bent:
        foot = point(np.zeros_like(bend), foot_up + body.ankle_height_m)
        pivot = along(foot, np.pi / 2, body.shank.length_m)
        line, off = body.thigh.length_m + body.trunk.length_m, np.zeros_like(body.mass_kg)
    else:
        foot = pivot = point(np.zeros_like(bend), foot_up)
        line, off = heels_to_shoulder(body)
    reach = body.forearm.length_m + body.hand.length_m
    straight = reach + body.upper_arm.length_m
    bar_off = setting["bar_off_cm"] / 100
    with np.errstate(invalid="ignore"):
        shoulder_up = bar_up - np.sqrt(straight**2 - bar_off**2)
    # Height of the shoulder over the pivot: line sin - off cos.
    low = solve_lean(-off, line, shoulder_up - pivot[:, :1, 1])[0]
    shoulder_low = along(along(pivot[:, :1], low, line), low - np.pi / 2, off)
    bar = np.broadcast_to(point(shoulder_low[..., 0] + bar_off, bar_up), (*bend.shape, 2))
    # Then the shoulder lies on a circle about the pivot and on one about the bar.
    span = bar - pivot
    far = np.hypot(span[..., 0], span[..., 1])
    radius = np.hypot(line, off)
    length = bent_reach(reach, body.upper_arm.length_m, bend)
    cosine = (radius**2 + far**2 - length**2) / (2 * radius * far)
    theta = direction(pivot, bar) + np.arccos(np.clip(cosine, -1.0, 1.0)) + np.arctan2(off, line)
    make = reclined_bent if bent else reclined
    links, trunk, shoulder = make(body, foot, theta, setting["load_kg"])
    elbow = bend_between(shoulder, bar, body.upper_arm.length_m, reach, -1.0)
    upper, links = arms_to(links, trunk, shoulder, elbow, bar, body)
    # Straight arms hang by their own length, so the pull runs along them; as they bend it turns to plumb.
    with np.errstate(invalid="ignore"):
        slope = np.minimum(np.arcsin(bar_off / straight), np.deg2rad(MOST_TILT_DEG))
        slope = slope * np.clip(1.0 - flexion / PLUMB_AT_DEG, 0.0, 1.0)
    tilt = slope + np.deg2rad(setting["pull_tilt_deg"])
    unit = np.broadcast_to(point(np.sin(tilt), np.cos(tilt)), (*bend.shape, 2))
    size = held_by_hands(links, ("foot", "shank") if bent else (), pivot, bar, unit)
    force = size[..., None] * unit
    pulls = [Pull(upper + 1, bar, force, "hand")]
    on_floor = setting["foot_height_cm"] <= 0.0
    carried = force[..., 1] / body.weight_n
    lies = on_floor & (shoulder[..., 1] < BACK_THICKNESS * body.stature_m)
    return Posture(
        lead="elbow-flexion",
        lead_deg=flexion,
        links=spread_over(links, body.people, flexion.size),
        pulls=tuple(pulls),
        working=working_arms(upper, shoulder, elbow, theta, flexion),
        possible=(np.abs(cosine) <= 1.0) & np.isfinite(theta) & (size > 0.0) & (carried < MOST_CARRIED) & ~lies,
        why_not="The back lies on the floor before the arms are straight: raise the bar.",
        shares={"hands on the row bar": carried},
        props=(("bar", bar[0, :1]),),
    )


def working_arms(upper: int, shoulder: Floats, elbow: Floats, line_rad: Floats, flexion: Floats) -> tuple[Working, ...]:
    """Shoulder and elbow of a row, with the arm's angle against the trunk."""
    raised = raised_deg(shoulder, elbow, line_rad + np.pi)
    return (
        Working("shoulder-extension", upper, -1.0, 2, raised),
        Working("elbow-flexion", upper + 1, 1.0, 2, np.broadcast_to(flexion, raised.shape)),
    )


def pose_strap_row(body: Body, setting: Setting) -> Posture:
    """From straight arms up to the hands at the ribs, heels planted; the forearms stay in line with the straps.

    Source: T = m g |x_C| / |S x e| about the heels, e along the strap.
    """
    flexion = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    bend = np.broadcast_to(np.deg2rad(flexion), (body.people, flexion.size))
    pivot = point(np.zeros_like(bend), 0.0)
    anchor = np.broadcast_to(
        point(-setting["feet_ahead_cm"] / 100, setting["anchor_cm"] / 100), (body.people, flexion.size, 2)
    )
    line, off = heels_to_shoulder(body)
    radius = np.hypot(line, off)
    low = np.pi - np.deg2rad(setting["body_angle_deg"])
    shoulder_low = along(along(pivot[:, :1], low, line), low - np.pi / 2, off)
    step = anchor[:, :1] - shoulder_low
    reach = body.forearm.length_m + body.hand.length_m
    strap = np.hypot(step[..., 0], step[..., 1]) - reach - body.upper_arm.length_m
    # Strap and forearm are one line from the anchor to the elbow.
    taut = np.maximum(strap, LEAST_STRAP_M) + reach
    length = bent_reach(taut, body.upper_arm.length_m, bend)
    far = np.hypot(anchor[..., 0], anchor[..., 1])
    cosine = (radius**2 + far**2 - length**2) / (2 * radius * far)
    theta = direction(pivot, anchor) + np.arccos(np.clip(cosine, -1.0, 1.0)) + np.arctan2(off, line)
    links, trunk, shoulder = reclined(body, pivot, theta, setting["load_kg"])
    elbow = bend_between(shoulder, anchor, body.upper_arm.length_m, taut, -1.0)
    pull = direction(elbow, anchor)
    grip = along(elbow, pull, reach)
    upper, links = arms_to(links, trunk, shoulder, elbow, grip, body)
    unit = along(np.zeros_like(grip), pull, 1.0)
    size = held_by_hands(links, (), pivot, grip, unit)
    lever = np.abs(cross(grip - pivot, unit))
    return Posture(
        lead="elbow-flexion",
        lead_deg=flexion,
        links=spread_over(links, body.people, flexion.size),
        pulls=(Pull(upper + 1, grip, size[..., None] * unit, "rope"),),
        working=working_arms(upper, shoulder, elbow, theta, flexion),
        possible=(np.abs(cosine) <= 1.0) & (strap >= LEAST_STRAP_M) & (size > 0.0) & (lever >= LEAST_LEVER * line),
        why_not="The body stands nearly upright here: the straps run along it and hold nothing that can be reckoned.",
        shares={"straps": size / body.weight_n},
    )


BAR_ROW = Model(
    "row under a bar",
    (
        Dial("from_deg", 120.0, "elbow flexion at the top, degrees", 1.0, 150.0, "deg"),
        Dial("to_deg", 0.0, "elbow flexion at the bottom, degrees", 0.0, 149.0, "deg"),
        Dial("bar_height_cm", 90.0, "height of the bar, cm", 40.0, 200.0, "cm"),
        Dial("support", "heels", "what the body turns about", choices=("heels", "bent knees")),
        Dial("foot_height_cm", 0.0, "height of the feet, cm", 0.0, 120.0, "cm"),
        Dial(
            "bar_off_cm",
            BAR_OFF_CM,
            "how far towards the feet the bar stands off the shoulders, arms straight, cm",
            -20.0,
            50.0,
            "cm",
            spread=BAR_OFF_SD_CM,
        ),
        Dial(
            "pull_tilt_deg",
            0.0,
            "how much more than reckoned the pull leans to the feet, degrees",
            -30.0,
            30.0,
            "deg",
            spread=5.0,
        ),
        LOAD,
        *TEMPO,
    ),
    pose_bar_row,
    "Elbows stay close to the ribs; how far the pull leans from plumb depends on how well the heels grip.",
)
STRAP_ROW = Model(
    "row in straps",
    (
        Dial("from_deg", 0.0, "elbow flexion with the arms long, degrees", 0.0, 139.0, "deg"),
        Dial("to_deg", 100.0, "elbow flexion at the ribs, degrees", 1.0, 140.0, "deg"),
        Dial(
            "body_angle_deg",
            45.0,
            "angle of the body from the floor with straight arms, degrees",
            5.0,
            88.0,
            "deg",
            spread=3.0,
        ),
        Dial("anchor_cm", 220.0, "height of the anchor, cm", 60.0, 500.0, "cm"),
        Dial("feet_ahead_cm", 0.0, "heels ahead of the point under the anchor, cm", -200.0, 200.0, "cm"),
        LOAD,
        *TEMPO,
    ),
    pose_strap_row,
    "The forearms stay in line with the straps, so the elbows hold next to nothing; hands that are pulled in closer"
    " shift work from shoulder to elbow.",
)
