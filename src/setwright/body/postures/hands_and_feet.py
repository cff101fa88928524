"""Push-ups and planks: a straight body that turns about the toes (or the knees), carried by hands or forearms."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.body.chain import Link, Pull, along, cross, hanging, mass_centre, point, solve_lean
from setwright.body.lever import Dial, Model, Posture, Setting, Working, degrees
from setwright.body.postures.common import (
    LOAD,
    TEMPO,
    band_dials,
    band_pull,
    bend_between,
    bent_reach,
    load_link,
    spread_over,
    weight_n,
)
from setwright.body.segments import Body, Floats

# Of stature, from the shoulders to the wrists along the trunk when the chest is down: shoulder less nipple height,
# 0.818 - 0.720, Winter fig. 4.1 (seen). That the hands come beside the chest: common practice, no published source.
HANDS_BELOW = 0.098
WRIST_HEIGHT = 0.025  # of stature, above the surface with the palm flat: from memory, unchecked
PALM_CENTRE = 0.6  # of wrist to knuckles, where the surface presses on the palm: common practice, no published source
TOES_CENTRE = 0.5  # of the toes, where the floor presses on them, from their root: common practice, no published source
# How far the feet roll forward on the way down: chosen on seeing the published share at the bottom (Mier 2014).
ROLL_DEG, ROLL_SD_DEG = 10.0, 5.0
DEEP_DEG = 100.0  # elbow flexion at the bottom, chest near the floor: common practice, no published source
MOST_TILT_DEG = 30.0  # a push further from plumb slips (friction near 0.6): common practice, no published source


def straight_body(
    body: Body, pivot: Floats, line_rad: Floats, on_knees: bool, roll_rad: ArrayLike = 0.0
) -> tuple[list[Link], int, Floats, Floats]:
    """Links from the pivot to the head in one line: (links, index of the trunk, hip, shoulder).

    The ball of the foot is the pivot, the foot square to the line; or the knee, with the shins on the floor.
    """
    links: list[Link] = []
    if on_knees:
        ankle = along(pivot, np.full_like(line_rad, np.pi), body.shank.length_m)
        links.append(hanging("shank", -1, ankle, pivot, 1.0 - body.shank.com, 2 * body.shank.mass_kg))
        knee, parent = pivot, -1
    else:
        forward, up = ankle_off_toes(body, roll_rad)
        ankle = along(along(pivot, line_rad, forward), line_rad + np.pi / 2, up)
        links.append(hanging("foot", -1, pivot, ankle, 0.5, 2 * body.foot.mass_kg))
        knee = along(ankle, line_rad, body.shank.length_m)
        links.append(hanging("shank", 0, ankle, knee, 1.0 - body.shank.com, 2 * body.shank.mass_kg))
        parent = 1
    hip = along(knee, line_rad, body.thigh.length_m)
    links.append(hanging("thigh", parent, knee, hip, 1.0 - body.thigh.com, 2 * body.thigh.mass_kg))
    thigh = len(links) - 1
    shoulder = along(hip, line_rad, body.trunk.length_m)
    links.append(hanging("trunk", thigh, hip, shoulder, body.trunk.com, body.trunk.mass_kg))
    trunk = len(links) - 1
    crown = along(shoulder, line_rad, body.head.length_m)
    links.append(hanging("head", trunk, shoulder, crown, body.head.com, body.head.mass_kg))
    return links, trunk, hip, shoulder


def ankle_off_toes(body: Body, roll_rad: ArrayLike) -> tuple[Floats, Floats]:
    """Where the ankle lies off the pivot under the toes: (along the line of the body, square to it), m.

    roll_rad : how far the foot has rolled forward from square to the line
    """
    to_ball = body.heel_to_ball_m - body.heel_to_ankle_m
    toes = TOES_CENTRE * (body.foot.length_m - body.heel_to_ball_m)
    ahead = body.ankle_height_m - toes
    return to_ball * np.sin(roll_rad) + ahead * np.cos(roll_rad), to_ball * np.cos(roll_rad) - ahead * np.sin(roll_rad)


def line_to_shoulder(body: Body, on_knees: bool, roll_rad: ArrayLike = 0.0) -> tuple[Floats, Floats]:
    """Where the shoulder lies off the pivot: (along the line of the body, square to it), m."""
    if on_knees:
        return body.thigh.length_m + body.trunk.length_m, np.zeros_like(body.mass_kg)
    forward, up = ankle_off_toes(body, roll_rad)
    return forward + body.shank.length_m + body.thigh.length_m + body.trunk.length_m, up


def straight_arm_lean(body: Body, pivot: Floats, wrist: Floats, on_knees: bool) -> Floats:
    """How far straight arms lean towards the feet, rad: not beyond what the hands hold without slipping.

    Never the other way: feet that rest on an edge would be pushed off it, so there the push stays plumb.
    """
    line, off = line_to_shoulder(body, on_knees)
    reach = body.upper_arm.length_m + body.forearm.length_m
    theta = lean_on(pivot, wrist, line, off, reach)[0]
    shoulder = along(along(pivot, theta, line), theta + np.pi / 2, off)
    lean = np.arctan2(wrist[..., 0] - shoulder[..., 0], shoulder[..., 1] - wrist[..., 1])
    most = np.deg2rad(MOST_TILT_DEG)
    found: Floats = np.nan_to_num(np.clip(lean, 0.0, most))
    return found


def lean_on(
    pivot: Floats, wrist: Floats, line: ArrayLike, off: ArrayLike, reach: ArrayLike
) -> tuple[Floats, NDArray[np.bool_]]:
    """(Direction of the body's line, rad; whether it is possible) with pivot and wrist fixed and the arm so long.

    The shoulder lies on two circles: about the pivot and about the wrist.
    """
    span = wrist - pivot
    far = np.hypot(span[..., 0], span[..., 1])
    radius = np.hypot(line, off)
    cosine = (radius**2 + far**2 - np.asarray(reach) ** 2) / (2 * radius * far)
    turned = np.arctan2(span[..., 1], span[..., 0]) + np.arccos(np.clip(cosine, -1.0, 1.0))
    theta = turned - np.arctan2(off, line)
    return theta, (np.abs(cosine) <= 1.0) & np.isfinite(theta)


def push_of_hands(
    links: list[Link], pulls: list[Pull], pivot: Floats, palm: Floats, lean_rad: Floats, on_knees: bool
) -> Floats:
    """Force of the floor on both hands, N, (people, angles, 2), from the balance of moments about the pivot.

    lean_rad : how far the force leans towards the feet. Shins that lie on the floor carry themselves.
    """
    mass, centre = mass_centre([one for one in links if not (on_knees and one.name == "shank")])
    held = weight_n(mass) * (centre[..., 0] - pivot[..., 0])
    for pull in pulls:
        held = held - cross(pull.at - pivot, pull.force_n)
    span = palm - pivot
    size = held / (span[..., 0] * np.cos(lean_rad) + span[..., 1] * np.sin(lean_rad))
    return np.stack([-size * np.sin(lean_rad), size * np.cos(lean_rad)], axis=-1)


def pose_push_up(body: Body, setting: Setting) -> Posture:
    """From straight elbows down to bent ones; the hands stay, the body turns about the toes or the knees."""
    on_knees = setting.word("support") == "knees"
    flexion = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    bend = np.broadcast_to(np.deg2rad(flexion), (body.people, flexion.size))
    hand_up, foot_up = setting["hand_height_cm"] / 100, setting["foot_height_cm"] / 100
    pivot = point(np.zeros_like(bend), foot_up)
    roll = np.deg2rad(setting["roll_deg"]) * np.clip(flexion / DEEP_DEG, 0.0, 1.5)
    wrist_up = WRIST_HEIGHT * body.stature_m
    # The hands are set so that they come beside the chest at the bottom: there the wrist lies this far below the
    # shoulder along the trunk, and the forearm as far in front of it as the bent elbow lets it.
    deep = bent_reach(body.upper_arm.length_m, body.forearm.length_m, np.deg2rad(DEEP_DEG))
    below = HANDS_BELOW * body.stature_m + setting["hands_moved_cm"] / 100
    before = np.sqrt(np.maximum(deep**2 - below**2, 0.0))
    line, off = line_to_shoulder(body, on_knees, np.deg2rad(setting["roll_deg"]))
    low = solve_lean(off - before, line - below, hand_up + wrist_up - foot_up)[1]
    wrist = along(along(pivot[:, :1], low, line - below), low + np.pi / 2, off - before)
    # Then wrists and pivot stay, and the shoulder lies on two circles.
    reach = bent_reach(body.upper_arm.length_m, body.forearm.length_m, bend)
    theta, possible = lean_on(pivot[:, :1], wrist, *line_to_shoulder(body, on_knees, roll), reach)
    lean = straight_arm_lean(body, pivot[:, :1], wrist, on_knees) + np.deg2rad(setting["push_tilt_deg"])
    body_now = straight_body(body, pivot, theta, on_knees, roll)
    return pressing(body, setting, flexion, pivot, wrist, body_now, lean, possible, on_knees)


def pose_wall_push_up(body: Body, setting: Setting) -> Posture:
    """Standing a step from a wall, hands on it at shoulder height; the body turns about the toes."""
    flexion = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    bend = np.broadcast_to(np.deg2rad(flexion), (body.people, flexion.size))
    pivot = point(np.zeros_like(bend), 0.0)
    line, off = line_to_shoulder(body, False)
    straight = body.upper_arm.length_m + body.forearm.length_m
    # With level straight arms the shoulder stands an arm's length from the wall.
    theta = solve_lean(line, -off, setting["wall_cm"] / 100 - WRIST_HEIGHT * body.stature_m - straight)[0]
    shoulder = along(along(pivot[:, :1], theta, line), theta + np.pi / 2, off)
    wrist = along(shoulder, np.zeros_like(theta), straight)
    reach = bent_reach(body.upper_arm.length_m, body.forearm.length_m, bend)
    leaning, possible = lean_on(pivot[:, :1], wrist, line, off, reach)
    body_now = straight_body(body, pivot, leaning, False)
    level = np.full_like(theta, np.pi / 2)  # the wall pushes straight back
    return pressing(body, setting, flexion, pivot, wrist, body_now, level, possible, False)


def pressing(
    body: Body,
    setting: Setting,
    flexion: Floats,
    pivot: Floats,
    wrist: Floats,
    body_now: tuple[list[Link], int, Floats, Floats],
    lean_rad: Floats,
    possible: NDArray[np.bool_],
    on_knees: bool,
) -> Posture:
    """The arms between a straight body and hands that stay, and the push that balances the body about its pivot.

    lean_rad : how far the push of the surface leans towards the feet from plumb; a quarter turn for a wall
    """
    links, trunk, hip, shoulder = body_now
    wrists = np.broadcast_to(wrist, shoulder.shape)
    elbow = bend_between(shoulder, wrists, body.upper_arm.length_m, body.forearm.length_m, -1.0)
    links.append(hanging("upper arm", trunk, shoulder, elbow, body.upper_arm.com, 2 * body.upper_arm.mass_kg))
    upper = len(links) - 1
    links.append(hanging("forearm", upper, elbow, wrists, body.forearm.com, 2 * body.forearm.mass_kg))
    fingers = point(np.cos(lean_rad), np.sin(lean_rad)) if is_wall(lean_rad) else point(1.0, 0.0)
    inward = point(np.sin(lean_rad), -np.cos(lean_rad)) if is_wall(lean_rad) else point(0.0, -1.0)
    depth = (WRIST_HEIGHT * body.stature_m)[..., None] * inward
    knuckles = wrists + body.hand.length_m[..., None] * fingers + depth
    links.append(hanging("hand", upper + 1, wrists, knuckles, np.clip(body.hand.com, 0, 1), 2 * body.hand.mass_kg))
    palm = wrists + PALM_CENTRE * body.hand.length_m[..., None] * fingers + depth
    back = hip + 0.8 * (shoulder - hip)
    links.append(load_link("load", trunk, back, setting["load_kg"]))
    pulls, stored = band_pull(setting, trunk, back)
    force = push_of_hands(links, pulls, pivot, palm, lean_rad, on_knees)
    pulls.append(Pull(upper + 2, palm, force, "ground"))
    bend = np.broadcast_to(flexion, shoulder.shape[:-1])
    size = np.hypot(force[..., 0], force[..., 1]) if is_wall(lean_rad) else force[..., 1]
    return Posture(
        lead="elbow-flexion",
        lead_deg=flexion,
        links=spread_over(links, body.people, flexion.size),
        pulls=tuple(pulls),
        working=(Working("elbow-extension", upper + 1, -1.0, 2, bend),),
        stored_j=stored,
        possible=possible,
        why_not="The arms do not reach that far.",
        shares={"hands": size / body.weight_n},
    )


def is_wall(lean_rad: Floats) -> bool:
    """Whether the hands press on something upright."""
    return bool(np.all(lean_rad > np.deg2rad(80.0)))


PUSH_UP = Model(
    "push-up",
    (
        Dial("from_deg", 0.0, "elbow flexion at the top, degrees", 0.0, 150.0, "deg"),
        Dial("to_deg", 100.0, "elbow flexion at the bottom, degrees", 1.0, 150.0, "deg"),
        Dial("hand_height_cm", 0.0, "height of the hands, cm", 0.0, 150.0, "cm"),
        Dial("foot_height_cm", 0.0, "height of the feet, cm", 0.0, 120.0, "cm"),
        Dial("support", "toes", "what the body turns about", choices=("toes", "knees")),
        Dial("hands_moved_cm", 0.0, "hands nearer to the feet than the chest, cm", -20.0, 20.0, "cm", spread=3.0),
        Dial(
            "push_tilt_deg",
            0.0,
            "how much more than the arms the push leans to the feet, degrees",
            -30.0,
            30.0,
            "deg",
            spread=3.0,
        ),
        Dial("roll_deg", ROLL_DEG, "how far the feet roll forward at the bottom", 0.0, 40.0, "deg", spread=ROLL_SD_DEG),
        LOAD,
        *TEMPO,
        *band_dials(140.0, 220.0),
    ),
    pose_push_up,
    "Elbows stay close to the body; elbows that flare shift work from the elbow to the shoulder.",
)
WALL_PUSH_UP = Model(
    "wall push-up",
    (
        Dial("from_deg", 0.0, "elbow flexion at the start, degrees", 0.0, 150.0, "deg"),
        Dial("to_deg", 100.0, "elbow flexion at the end, degrees", 1.0, 150.0, "deg"),
        Dial("wall_cm", 85.0, "toes from the wall, cm", 40.0, 160.0, "cm", spread=5.0),
        LOAD,
        *TEMPO,
        *band_dials(-100.0, 150.0),
    ),
    pose_wall_push_up,
    "The wall takes no weight: it only pushes back.",
)
