"""Planks, roll-outs and the body saw: a straight body between the feet (or knees) and the forearms or hands.

Two ideas carry this module. One: the trunk is cut at the height of the navel, so the low back has a joint of its own;
what the trunk flexors hold there is told beside the hips. Two: the floor pushes straight up (sliders and wheels roll
freely), so the share of the forearms is the distance of the mass centre over their distance from the toes.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from setwright.body.chain import Link, Pull, along, hanging, mass_centre, point, solve_lean
from setwright.body.lever import Dial, Model, Posture, Setting, Working, degrees
from setwright.body.postures.common import LOAD, TEMPO, arm_length, arms, forearm_com, load_link, spread_over, weight_n
from setwright.body.postures.hands_and_feet import WRIST_HEIGHT, ankle_off_toes
from setwright.body.postures.hanging import raised_deg
from setwright.body.segments import Body, Floats, frame, trunk_parts

ELBOW_HEIGHT = 0.02  # of stature, elbow joint above the floor on the forearms: common practice, no published source
# Where the floor presses on a forearm, from elbow to knuckles: common practice, no published source.
PRESS_SHARE, PRESS_SD = 0.25, 0.15
STACKED_HEIGHT = (
    0.05  # of stature, middle line of two stacked legs above the floor: common practice, no published source
)
HIP_SD_DEG = 3.0  # how far hips are from the line they mean to keep: common practice, no published source


def low_back(body: Body) -> tuple[Floats, Floats]:
    """(share of the trunk's length from the hips to the cut at the navel, share of its mass below it), (1, 1)."""
    part = trunk_parts()["lower"]
    return np.full((1, 1), part["length"]), np.full((1, 1), part["mass"])


def trunk_in_two(
    links: list[Link], parent: int, hip: Floats, waist: Floats, shoulder: Floats, body: Body, upwards: bool
) -> tuple[int, int]:
    """Adds the trunk as two links; (index of the pelvis, of the chest). Together they weigh and balance as the whole.

    waist : the cut; upwards : the chain comes from the hips, else from the shoulders
    """
    length, mass = low_back(body)
    pelvis_com = trunk_parts()["lower"]["com"]  # from the hips
    whole = body.trunk.com  # of the trunk's length, from the hips
    chest_com = ((whole - mass * length * pelvis_com) / (1.0 - mass) - length) / (1.0 - length)
    pelvis_kg, chest_kg = mass * body.trunk.mass_kg, (1.0 - mass) * body.trunk.mass_kg
    if upwards:
        links.append(hanging("lower trunk", parent, hip, waist, pelvis_com, pelvis_kg))
        links.append(hanging("upper trunk", len(links) - 1, waist, shoulder, chest_com, chest_kg))
        return len(links) - 2, len(links) - 1
    links.append(hanging("upper trunk", parent, shoulder, waist, 1.0 - chest_com, chest_kg))
    links.append(hanging("lower trunk", len(links) - 1, waist, hip, 1.0 - pelvis_com, pelvis_kg))
    return len(links) - 1, len(links) - 2


def hip_off_pivot(body: Body, on_knees: bool) -> tuple[Floats, Floats]:
    """Where the hip lies off the toes (or the knee): (along the legs, square to them), m."""
    if on_knees:
        return body.thigh.length_m, np.zeros_like(body.mass_kg)
    ahead, up = ankle_off_toes(body, 0.0)
    return ahead + body.shank.length_m + body.thigh.length_m, up


def legs_up(links: list[Link], pivot: Floats, legs_rad: Floats, on_knees: bool, body: Body) -> Floats:
    """Adds feet, shins and thighs in one line from the pivot (or the thighs from the knees); the hip."""
    if on_knees:
        ankle = along(pivot, np.full_like(legs_rad, np.pi), body.shank.length_m)
        links.append(hanging("shank", -1, ankle, pivot, 1.0 - body.shank.com, 2 * body.shank.mass_kg))
        knee = pivot
    else:
        ahead, up = ankle_off_toes(body, 0.0)
        ankle = along(along(pivot, legs_rad, ahead), legs_rad + np.pi / 2, up)
        links.append(hanging("foot", -1, pivot, ankle, 0.5, 2 * body.foot.mass_kg))
        knee = along(ankle, legs_rad, body.shank.length_m)
        links.append(hanging("shank", 0, ankle, knee, 1.0 - body.shank.com, 2 * body.shank.mass_kg))
    hip = along(knee, legs_rad, body.thigh.length_m)
    links.append(hanging("thigh", len(links) - 1, knee, hip, 1.0 - body.thigh.com, 2 * body.thigh.mass_kg))
    return hip


def slope_of_legs(
    body: Body, on_knees: bool, hip_rad: Floats, height_m: ArrayLike, reach_m: Floats, reach_rad: Floats
) -> Floats:
    """Slope of the legs at which a point off the shoulder lies at a height over the pivot, rad, (people, angles).

    hip_rad : hip flexion kept; reach_m, reach_rad : the point off the shoulder, its direction against the trunk
    Source: the height is linear in sine and cosine of the slope.
    """
    ahead, up = hip_off_pivot(body, on_knees)
    trunk = body.trunk.length_m
    p = ahead + trunk * np.cos(hip_rad) + reach_m * np.cos(reach_rad - hip_rad)
    q = up - trunk * np.sin(hip_rad) + reach_m * np.sin(reach_rad - hip_rad)
    return solve_lean(q, p, height_m)[1]


def push_of_floor(links: list[Link], pivot: Floats, at: Floats, planted: tuple[str, ...]) -> Floats:
    """Upward push at a point, N, (people, angles, 2), from the balance of moments about the pivot.

    planted : names of links that the floor carries without the pivot
    """
    mass, centre = mass_centre([one for one in links if one.name not in planted])
    size = weight_n(mass) * (centre[..., 0] - pivot[..., 0]) / (at[..., 0] - pivot[..., 0])
    return point(np.zeros_like(size), size)


def line_from_legs(
    body: Body, setting: Setting, pivot: Floats, legs: Floats, hip_rad: Floats, on_knees: bool
) -> tuple[list[Link], int, Floats, Floats]:
    """Legs, trunk in two, head and the load on the low back: (links, index of the chest, shoulder, trunk direction)."""
    links: list[Link] = []
    hip = legs_up(links, pivot, legs, on_knees, body)
    trunk_rad = legs - hip_rad
    shoulder = along(hip, trunk_rad, body.trunk.length_m)
    waist = hip + low_back(body)[0][..., None] * (shoulder - hip)
    pelvis, chest = trunk_in_two(links, len(links) - 1, hip, waist, shoulder, body, upwards=True)
    crown = along(shoulder, trunk_rad, body.head.length_m)
    links.append(hanging("head", chest, shoulder, crown, body.head.com, body.head.mass_kg))
    links.append(load_link("load", pelvis, waist, setting["load_kg"]))
    return links, chest, shoulder, trunk_rad


def working_trunk(chest: int, arm: int, lead: Floats, hip_deg: Floats, raised: Floats) -> tuple[Working, ...]:
    """Low back, hips and shoulders of a body that the floor lifts at both ends and gravity bends in the middle."""
    return (
        Working("trunk-flexion", chest, -1.0, 1, np.broadcast_to(lead, raised.shape)),
        Working("hip-flexion", chest - 1, -1.0, 2, np.broadcast_to(hip_deg, raised.shape)),
        Working("shoulder-extension", arm, -1.0, 2, raised),
    )


def pose_plank(body: Body, setting: Setting) -> Posture:
    """From hips held high down to the straight line; the elbows stay under the shoulders, or ahead of them."""
    on_knees = setting.word("support") == "knees"
    flexion = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    hip_rad = np.broadcast_to(np.deg2rad(flexion), (body.people, flexion.size))
    ahead = setting["elbows_ahead_cm"] / 100 / body.upper_arm.length_m
    with np.errstate(invalid="ignore"):
        slant = np.arcsin(np.where(ahead < 1.0, ahead, np.nan))
    pivot = point(np.zeros_like(hip_rad), setting["foot_height_cm"] / 100)
    elbow_up = ELBOW_HEIGHT * body.stature_m
    height = elbow_up + body.upper_arm.length_m * np.cos(slant) - setting["foot_height_cm"] / 100
    none = np.zeros_like(body.mass_kg)
    legs = slope_of_legs(body, on_knees, hip_rad, height, none, none)
    links, chest, shoulder, trunk_rad = line_from_legs(body, setting, pivot, legs, hip_rad, on_knees)
    fore, knuckles = arms(links, chest, shoulder, slant - np.pi / 2 + 0.0 * legs, 0.0 * legs, body)
    elbow = links[fore].start
    press = elbow + setting["press_share"][..., None] * (knuckles - elbow)
    force = push_of_floor(links, pivot, press, ("shank",) if on_knees else ())
    return Posture(
        lead="hip-flexion",
        lead_deg=flexion,
        links=spread_over(links, body.people, flexion.size),
        pulls=(Pull(fore, press, force, "ground"),),
        working=working_trunk(chest, fore - 1, flexion, flexion, raised_deg(shoulder, elbow, trunk_rad + np.pi)),
        possible=np.isfinite(legs),
        why_not="The upper arm is not that long: set the elbows nearer.",
        shares={"forearms": force[..., 1] / body.weight_n},
    )


def pose_roll_out(body: Body, setting: Setting) -> Posture:
    """From hands near the body to hands far ahead; hips and hands open together, the arms stay straight."""
    on_knees = setting.word("support") == "knees"
    raised = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    arm_rad = np.broadcast_to(np.deg2rad(raised), (body.people, raised.size))
    part = np.linspace(0.0, 1.0, raised.size)
    hip_deg = setting["hip_from_deg"] + (setting["hip_to_deg"] - setting["hip_from_deg"]) * part
    hip_rad = np.deg2rad(hip_deg)
    pivot = point(np.zeros_like(arm_rad), setting["foot_height_cm"] / 100)
    height = setting["hand_height_cm"] / 100 - setting["foot_height_cm"] / 100
    legs = slope_of_legs(body, on_knees, hip_rad, height, arm_length(body), arm_rad - np.pi)
    links, chest, shoulder, trunk_rad = line_from_legs(body, setting, pivot, legs, hip_rad, on_knees)
    arms_rad = trunk_rad + arm_rad - np.pi
    fore, grip = arms(links, chest, shoulder, arms_rad, arms_rad, body)
    force = push_of_floor(links, pivot, grip, ("shank",) if on_knees else ())
    share = force[..., 1] / body.weight_n
    return Posture(
        lead="shoulder-flexion",
        lead_deg=raised,
        links=spread_over(links, body.people, raised.size),
        pulls=(Pull(fore, grip, force, "ground"),),
        working=working_trunk(chest, fore - 1, raised, hip_deg, np.broadcast_to(raised, arm_rad.shape)),
        possible=np.isfinite(legs) & (share > 0.0) & (shoulder[..., 1] > ELBOW_HEIGHT * body.stature_m),
        why_not="The chest is on the floor here, or the hands are not reached: roll less far.",
        shares={"hands on the wheel": share},
    )


def pose_body_saw(body: Body, setting: Setting) -> Posture:
    """From elbows under the shoulders to elbows far ahead: the forearms stay, the feet slide back."""
    raised = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    arm_rad = np.broadcast_to(np.deg2rad(raised), (body.people, raised.size))
    hip_rad = np.broadcast_to(np.deg2rad(setting["hip_deg"]), arm_rad.shape)
    elbow_up, feet_up = ELBOW_HEIGHT * body.stature_m, setting["foot_height_cm"] / 100
    legs = slope_of_legs(body, False, hip_rad, elbow_up - feet_up, body.upper_arm.length_m, arm_rad - np.pi)
    elbow = point(np.zeros_like(arm_rad), elbow_up)
    trunk_rad = legs - hip_rad
    shoulder = along(elbow, trunk_rad + arm_rad, body.upper_arm.length_m)
    hip = along(shoulder, trunk_rad + np.pi, body.trunk.length_m)
    waist = hip + low_back(body)[0][..., None] * (shoulder - hip)
    reach = body.forearm.length_m + body.hand.length_m
    knuckles = along(elbow, np.zeros_like(arm_rad), reach)
    fore_kg = 2 * (body.forearm.mass_kg + body.hand.mass_kg)
    links = [
        hanging("forearm", -1, elbow, knuckles, forearm_com(body) / reach, fore_kg),
        hanging("upper arm", -1, elbow, shoulder, 1.0 - body.upper_arm.com, 2 * body.upper_arm.mass_kg),
    ]
    pelvis, chest = trunk_in_two(links, 1, hip, waist, shoulder, body, upwards=False)
    crown = along(shoulder, trunk_rad, body.head.length_m)
    links.append(hanging("head", chest, shoulder, crown, body.head.com, body.head.mass_kg))
    links.append(load_link("load", pelvis, waist, setting["load_kg"]))
    knee = along(hip, legs + np.pi, body.thigh.length_m)
    links.append(hanging("thigh", pelvis, hip, knee, body.thigh.com, 2 * body.thigh.mass_kg))
    thigh = len(links) - 1
    ankle = along(knee, legs + np.pi, body.shank.length_m)
    links.append(hanging("shank", thigh, knee, ankle, body.shank.com, 2 * body.shank.mass_kg))
    ahead, up = ankle_off_toes(body, 0.0)
    toes = along(along(ankle, legs + np.pi, ahead), legs - np.pi / 2, up)
    links.append(hanging("foot", thigh + 1, ankle, toes, 0.5, 2 * body.foot.mass_kg))
    press = elbow + setting["press_share"][..., None] * (knuckles - elbow)
    force = push_of_floor(links, press, toes, ())
    mass, _ = mass_centre(links)
    return Posture(
        lead="shoulder-flexion",
        lead_deg=raised,
        links=spread_over(links, body.people, raised.size),
        pulls=(Pull(thigh + 2, toes, force, "ground"),),
        working=(
            Working("trunk-flexion", pelvis, 1.0, 1, np.broadcast_to(raised, arm_rad.shape)),
            Working("hip-flexion", thigh, 1.0, 2, np.broadcast_to(setting["hip_deg"], arm_rad.shape)),
            Working("shoulder-extension", chest, 1.0, 2, np.broadcast_to(raised, arm_rad.shape)),
        ),
        possible=np.isfinite(legs),
        why_not="The elbows do not reach that far ahead: slide back less.",
        shares={"forearms": (weight_n(mass) - force[..., 1]) / body.weight_n},
    )


def pose_side_plank(body: Body, setting: Setting) -> Posture:
    """Seen from the front: from hips held high down to the straight line, on a forearm or a hand below the shoulder."""
    on_knees = setting.word("support") == "knees"
    bent = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    bend = np.broadcast_to(np.deg2rad(bent), (body.people, bent.size))
    pivot = point(np.zeros_like(bend), setting["foot_height_cm"] / 100)
    up = STACKED_HEIGHT * body.stature_m
    to_ankle = np.zeros_like(up) if on_knees else body.ankle_height_m / 2
    below_hip = body.thigh.length_m + (0.0 if on_knees else to_ankle + body.shank.length_m)
    waist_share, _ = low_back(body)
    to_waist = below_hip + waist_share * body.trunk.length_m
    rest = (1.0 - waist_share) * body.trunk.length_m
    half = frame("shoulder_half_width") * body.stature_m
    straight_arm = setting.word("arm") == "hand"
    arm_up = body.upper_arm.length_m + (
        body.forearm.length_m + WRIST_HEIGHT * body.stature_m if straight_arm else ELBOW_HEIGHT * body.stature_m
    )
    # Height of the lower shoulder over the pivot, linear in sine and cosine of the slope of the legs.
    p = to_waist + rest * np.cos(bend) - half * np.sin(bend)
    q = up - rest * np.sin(bend) - half * np.cos(bend)
    legs = solve_lean(q, p, arm_up - setting["foot_height_cm"] / 100)[1]
    trunk_rad = legs - bend
    base = along(pivot, legs + np.pi / 2, up)
    links: list[Link] = []
    if on_knees:
        knee = base
        links.append(hanging("thigh", -1, pivot, knee, 0.5, np.zeros_like(body.mass_kg)))
    else:
        ankle = along(base, legs, to_ankle)
        links.append(hanging("foot", -1, pivot, ankle, 0.5, 2 * body.foot.mass_kg))
        knee = along(ankle, legs, body.shank.length_m)
        links.append(hanging("shank", 0, ankle, knee, 1.0 - body.shank.com, 2 * body.shank.mass_kg))
    hip = along(knee, legs, body.thigh.length_m)
    links.append(hanging("thigh", len(links) - 1, knee, hip, 1.0 - body.thigh.com, 2 * body.thigh.mass_kg))
    waist = along(hip, legs, waist_share * body.trunk.length_m)
    middle = along(waist, trunk_rad, rest)
    pelvis, chest = trunk_in_two(links, len(links) - 1, hip, waist, middle, body, upwards=True)
    links.append(
        hanging("head", chest, middle, along(middle, trunk_rad, body.head.length_m), body.head.com, body.head.mass_kg)
    )
    links.append(load_link("load", pelvis, hip, setting["load_kg"]))
    upper_shoulder = along(middle, trunk_rad + np.pi / 2, half)
    arms(links, chest, upper_shoulder, trunk_rad + np.pi, trunk_rad + np.pi, body, sides=1)
    lower_shoulder = along(middle, trunk_rad - np.pi / 2, half)
    plumb = np.full_like(legs, -np.pi / 2)
    elbow = along(lower_shoulder, plumb, body.upper_arm.length_m)
    links.append(hanging("upper arm", chest, lower_shoulder, elbow, body.upper_arm.com, body.upper_arm.mass_kg))
    lower_arm = len(links) - 1
    end = along(elbow, plumb, body.forearm.length_m) if straight_arm else elbow
    links.append(hanging("forearm", lower_arm, elbow, end, body.forearm.com, body.forearm.mass_kg))
    links.append(load_link("hand", lower_arm + 1, end, body.hand.mass_kg))
    force = push_of_floor(links, pivot, end, ())
    angle = np.broadcast_to(bent, bend.shape)
    return Posture(
        lead="trunk-lateral-flexion",
        lead_deg=bent,
        links=spread_over(links, body.people, bent.size),
        pulls=(Pull(lower_arm + 2, end, force, "ground"),),
        working=(
            Working("trunk-lateral-flexion", chest, -1.0, 1, angle),
            Working("hip-abduction", pelvis, -1.0, 1, np.zeros_like(angle)),
        ),
        possible=np.isfinite(legs),
        why_not="The arm does not reach the floor like that.",
        shares={"arm and shoulder below": force[..., 1] / body.weight_n},
    )


SUPPORT = Dial("support", "toes", "what the body turns about", choices=("toes", "knees"))
FEET_UP = Dial("foot_height_cm", 0.0, "height of the toes or knees, cm", 0.0, 80.0, "cm")
PRESS = Dial(
    "press_share",
    PRESS_SHARE,
    "where the floor presses on the forearms, from elbow 0 to knuckles 1",
    0.0,
    1.0,
    spread=PRESS_SD,
)
HIPS_ONLY = "What a trunk can hold stands in no table: where a demand ratio is told, it is that of the hip flexors."

PLANK = Model(
    "plank",
    (
        Dial("from_deg", 15.0, "hip flexion at the start (hips high), degrees", 0.0, 60.0, "deg"),
        Dial("to_deg", 0.0, "hip flexion at the end, degrees; 0 is the straight line", 0.0, 59.0, "deg"),
        SUPPORT,
        Dial("elbows_ahead_cm", 0.0, "elbows ahead of the shoulders, cm", 0.0, 30.0, "cm", spread=2.0),
        FEET_UP,
        PRESS,
        LOAD,
        *TEMPO,
    ),
    pose_plank,
    HIPS_ONLY
    + " As long as the floor pushes straight up, hips a little high or low change next to nothing; a load lies"
    " on the low back.",
)
ROLL_OUT = Model(
    "roll-out",
    (
        Dial("from_deg", 90.0, "arm against trunk at the start, degrees", 30.0, 175.0, "deg"),
        Dial("to_deg", 150.0, "arm against trunk at the end, degrees", 31.0, 178.0, "deg"),
        Dial("support", "knees", "what the body turns about", choices=("knees", "toes")),
        Dial("hip_from_deg", 60.0, "hip flexion at the start, degrees", 0.0, 130.0, "deg"),
        Dial("hip_to_deg", 0.0, "hip flexion at the end, degrees", 0.0, 90.0, "deg", spread=HIP_SD_DEG),
        Dial("hand_height_cm", 10.0, "height of the hands (the axle of a wheel), cm", 1.0, 150.0, "cm"),
        FEET_UP,
        LOAD,
        *TEMPO,
    ),
    pose_roll_out,
    HIPS_ONLY + " The hands roll freely; arms stay straight.",
)
BODY_SAW = Model(
    "body saw",
    (
        Dial("from_deg", 85.0, "arm against trunk at the start, degrees", 40.0, 150.0, "deg"),
        Dial("to_deg", 115.0, "arm against trunk at the end, degrees", 41.0, 150.0, "deg"),
        Dial("hip_deg", 0.0, "hip flexion kept, degrees", 0.0, 45.0, "deg", spread=HIP_SD_DEG),
        FEET_UP,
        PRESS,
        LOAD,
        *TEMPO,
    ),
    pose_body_saw,
    HIPS_ONLY + " The feet slide freely: sliders that rub are harder on the way back.",
)
SIDE_PLANK = Model(
    "side plank",
    (
        Dial("from_deg", 10.0, "side bend at the start (hips high), degrees", 0.0, 40.0, "deg"),
        Dial("to_deg", 0.0, "side bend at the end, degrees; 0 is the straight line", 0.0, 39.0, "deg"),
        Dial("support", "feet", "what the body turns about", choices=("feet", "knees")),
        Dial("arm", "forearm", "what stands on the floor below the shoulder", choices=("forearm", "hand")),
        FEET_UP,
        LOAD,
        *TEMPO,
    ),
    pose_side_plank,
    "Seen from the front, legs stacked; the hip's moment is that of both legs together.",
)
