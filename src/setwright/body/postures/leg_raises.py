"""Leg raises: one leg or both lifted in front, hanging, lying, sitting or standing, and to the side lying on the side.

Two ideas carry this module. One: the hip flexors hold the weight of the leg at its level distance from the hip, so a
leg is hardest where it lies level and a bent knee shortens it. Two: a body that hangs swings back as the legs come
forward until its mass centre is below the bar; that is one turn of the whole body, in closed form.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import ArrayLike

from setwright.body.chain import GROUND, Link, Pull, along, hanging, joint_moment, mass_centre, point
from setwright.body.lever import Dial, Model, Posture, Setting, Working, degrees
from setwright.body.postures.adductors import leg, share_of_legs
from setwright.body.postures.common import LOAD, TEMPO, arm_length, arms, band_dials, band_pull, load_link, spread_over
from setwright.body.postures.hanging import FOOT_POINTS_DEG, add_foot, carried_by_hands
from setwright.body.postures.planks import low_back, trunk_in_two
from setwright.body.postures.standing import leant
from setwright.body.segments import Body, Floats

CURL_SD_DEG = 10.0  # nobody measures how far the pelvis curls up: common practice, no published source
KNEE_SD_DEG = 5.0  # common practice, no published source
# Hip and knee flexion of the leg that stays: only drawn, it changes no moment. Common practice, no published source.
OTHER_LEG = {"long": (0.0, 0.0), "bent": (45.0, 90.0), "up": (90.0, 90.0)}
# The strength table takes three quarters of their moment from hip flexors between 0 and 90 degrees: nobody could lift a
# knee above the hip. Ito et al. 2024 (195 people, abstract seen) found them weakest at 0 and strongest at 105 degrees.
# So the table is read no further than here. Chosen on seeing that a standing knee lift came out beyond most people.
TABLE_TO_DEG = 60.0
LOAD_AT_ANKLE = replace(LOAD, says="load at the ankles, kg in all")
FOLDED = np.pi / 3  # forearms off the trunk where arms are folded, as in the other models


def one_leg(
    links: list[Link], far: str, parent: int, hip: Floats, thigh_rad: ArrayLike, knee_rad: ArrayLike, body: Body
) -> tuple[int, Floats]:
    """Adds thigh, shank and foot of one leg; (index of the thigh, the ankle). ``far``: a word before the names."""
    thigh = np.asarray(thigh_rad, dtype=float)
    shank = thigh - np.asarray(knee_rad, dtype=float)
    knee = along(hip, thigh, body.thigh.length_m)
    links.append(hanging(f"{far}thigh", parent, hip, knee, body.thigh.com, body.thigh.mass_kg))
    first = len(links) - 1
    ankle = along(knee, shank, body.shank.length_m)
    links.append(hanging(f"{far}shank", first, knee, ankle, body.shank.com, body.shank.mass_kg))
    add_foot(links, first + 1, ankle, shank + np.pi / 2 - np.deg2rad(FOOT_POINTS_DEG), body)
    links[-1] = replace(links[-1], name=f"{far}foot", mass_kg=body.foot.mass_kg)
    return first, ankle


def read_at_deg(hip_deg: Floats) -> Floats:
    """The hip flexion at which the strength table is read, degrees: see ``TABLE_TO_DEG``."""
    return np.minimum(hip_deg, TABLE_TO_DEG)


def doubled(links: list[Link], first: int) -> None:
    """Makes the links from ``first`` on stand for both legs."""
    links[first:] = [replace(one, mass_kg=2 * one.mass_kg) for one in links[first:]]


def pose_leg_raise(body: Body, setting: Setting) -> Posture:
    """From the legs at the top down to where they started; knees and pelvis go with them."""
    position, sides = setting.word("position"), 2 if setting.word("legs") == "both" else 1
    hip_deg = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    flexion = np.broadcast_to(np.deg2rad(hip_deg), (body.people, hip_deg.size))
    way = float(np.ptp(hip_deg))
    up = np.abs(hip_deg - hip_deg[-1]) / way if way > 0 else np.ones_like(hip_deg)
    knee_rad = np.deg2rad(setting["knee_bottom_deg"] + (setting["knee_deg"] - setting["knee_bottom_deg"]) * up)
    curls = position in ("hanging", "supine")
    curl = np.deg2rad(setting["curl_deg"]) * up * (1.0 if curls else 0.0)
    hangs = position == "hanging"
    lean = np.deg2rad(setting["lean_deg"]) if position == "seated straddle" else np.zeros_like(body.mass_kg)
    down = (0.0 if position == "supine" else -np.pi / 2) - lean + 0.0 * flexion
    links: list[Link] = []
    origin = point(np.zeros_like(flexion), 0.0)
    parent, shoulder = GROUND, origin
    if hangs:
        # From the bar: straight arms, in the line of the trunk or pushed down in front of it.
        arm_rad = down + np.pi - np.deg2rad(setting["arms_deg"]) * up
        shoulder = along(origin, arm_rad + np.pi, arm_length(body))
        parent = add_arms_from_bar(links, origin, shoulder, body)
    waist_m = (1.0 - low_back(body)[0]) * body.trunk.length_m
    waist = along(shoulder, down, waist_m)
    hip = along(waist, down + curl, body.trunk.length_m - waist_m)
    pelvis, chest = trunk_in_two(links, parent, hip, waist, shoulder, body, upwards=False)
    crown = along(shoulder, down + np.pi, body.head.length_m)
    links.append(hanging("head", chest, shoulder, crown, body.head.com, body.head.mass_kg))
    if not hangs:
        arms(links, chest, shoulder, down, down, body)
    anchor = other_leg(links, pelvis, hip, down, position, setting, body) if sides == 1 else None
    thigh_rad = down + curl + flexion
    on, ankle = one_leg(links, "", pelvis, hip, thigh_rad, knee_rad, body)
    if sides == 2:
        doubled(links, on)
    links.append(load_link("load", on + 1, ankle, setting["load_kg"]))
    if hangs:
        _, centre = mass_centre(links)
        links = leant(links, origin, np.pi / 2 + np.arctan2(centre[..., 1], centre[..., 0]), 0)
    pulls: list[Pull] = []
    stored: Floats | float = 0.0
    if anchor is not None and not hangs:
        pulls, stored = band_pull(setting, on + 1, ankle, anchor)
    working = [Working("hip-flexion", on, 1.0, sides, read_at_deg(np.broadcast_to(hip_deg, flexion.shape)))]
    if hangs:
        working += [
            Working("trunk-flexion", pelvis, 1.0, 1, np.rad2deg(curl + 0.0 * flexion)),
            Working("shoulder-extension", chest, 1.0, 2, 180.0 - setting["arms_deg"] * up),
        ]
    return Posture(
        lead="hip-flexion",
        lead_deg=hip_deg,
        links=spread_over(links, body.people, hip_deg.size),
        pulls=tuple(pulls),
        working=tuple(working),
        stored_j=stored,
        shares={"hands on the bar": carried_by_hands(links, [], body)} if hangs else {},
        props=(("bar", np.zeros((1, 2))),) if hangs else (),
    )


def add_arms_from_bar(links: list[Link], bar: Floats, shoulder: Floats, body: Body) -> int:
    """Adds straight arms from the bar to the shoulder; the index of the upper arm."""
    upper, fore, hand = body.upper_arm, body.forearm, body.hand
    reach = fore.length_m + hand.length_m
    elbow = bar + (reach / arm_length(body))[..., None] * (shoulder - bar)
    mass = fore.mass_kg + hand.mass_kg
    com = (fore.mass_kg * fore.com_m + hand.mass_kg * (fore.length_m + hand.com_m)) / mass
    links.append(hanging("forearm", GROUND, bar, elbow, 1.0 - com / reach, 2 * mass))
    links.append(hanging("upper arm", 0, elbow, shoulder, 1.0 - upper.com, 2 * upper.mass_kg))
    return 1


def other_leg(
    links: list[Link], pelvis: int, hip: Floats, down: Floats, position: str, setting: Setting, body: Body
) -> Floats:
    """Adds the leg that stays; its ankle, where a band round both feet is fixed. Standing and hanging it is long."""
    flexed, bent = OTHER_LEG[setting.word("other_leg") if position == "supine" else "long"]
    along_trunk = down + (np.pi / 2 + np.deg2rad(setting["lean_deg"]) if position == "seated straddle" else 0.0)
    _, ankle = one_leg(links, "other ", pelvis, hip, along_trunk + np.deg2rad(flexed), np.deg2rad(bent), body)
    return ankle[:, -1:]


def pose_side_lying(body: Body, setting: Setting) -> Posture:
    """Lying on the side, the upper leg lifted and lowered; seen from the front, x from the shoulders to the feet."""
    raised = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    r = np.broadcast_to(np.deg2rad(raised), (body.people, raised.size))
    hip = point(np.zeros_like(r), 0.0)
    head_on = np.full_like(r, np.pi)
    shoulder = along(hip, head_on, body.trunk.length_m)
    crown = along(shoulder, head_on, body.head.length_m)
    links: list[Link] = [
        hanging("trunk", GROUND, shoulder, hip, 1.0 - body.trunk.com, body.trunk.mass_kg),
        hanging("head", 0, shoulder, crown, body.head.com, body.head.mass_kg),
    ]
    leg(links, "other", 0, hip, np.zeros_like(r), body)
    first = len(links)
    on, ankle = leg(links, "upper", 0, hip, r, body)
    links.append(load_link("load", on, ankle, setting["load_kg"]))
    return Posture(
        lead="hip-abduction",
        lead_deg=raised,
        links=spread_over(links, body.people, raised.size),
        pulls=(),
        working=(Working("hip-abduction", first, 1.0, 1, np.broadcast_to(raised, r.shape)),),
        shares={"legs": share_of_legs(joint_moment(links, (), first), body)},
    )


LEG_RAISE = Model(
    "leg raise",
    (
        Dial("from_deg", 80.0, "hip flexion at the top, degrees", -10.0, 140.0, "deg"),
        Dial("to_deg", 0.0, "hip flexion at the bottom, degrees", -20.0, 140.0, "deg"),
        Dial(
            "position",
            "supine",
            "how the trunk is held",
            choices=("supine", "hanging", "seated straddle", "standing"),
        ),
        Dial("legs", "both", "both legs or one", choices=("both", "one")),
        Dial("knee_deg", 0.0, "knee flexion at the top, degrees", 0.0, 140.0, "deg", spread=KNEE_SD_DEG),
        Dial("knee_bottom_deg", 0.0, "knee flexion at the bottom, degrees", 0.0, 140.0, "deg", spread=KNEE_SD_DEG),
        Dial(
            "curl_deg",
            0.0,
            "how far the pelvis curls up at the top (hanging, supine), degrees",
            0.0,
            70.0,
            "deg",
            spread=CURL_SD_DEG,
        ),
        Dial(
            "arms_deg",
            0.0,
            "hanging: how far straight arms are pushed down in front at the top, degrees",
            0.0,
            90.0,
            "deg",
            spread=5.0,
        ),
        Dial("lean_deg", 0.0, "seated straddle: trunk forward of upright (back: below 0), degrees", -45.0, 60.0, "deg"),
        Dial("other_leg", "long", "supine: how the other leg lies", choices=tuple(OTHER_LEG)),
        LOAD_AT_ANKLE,
        *TEMPO,
        *(one for one in band_dials(0.0, 0.0) if one.name not in ("band_x_cm", "band_z_cm")),
    ),
    pose_leg_raise,
    "Lying down, floor and abdominals together keep the low back from arching against this pull of the legs; how they "
    "share it is not told: stop before the back lifts. Where a demand ratio is told, it is that of the hip flexors; "
    f"beyond {TABLE_TO_DEG:g} degrees their strength is taken as at {TABLE_TO_DEG:g}, and sitting with straight knees "
    "they tire sooner. A band runs from ankle to ankle, with one leg working.",
)
SIDE_LYING = Model(
    "side-lying leg raise",
    (
        Dial("from_deg", 35.0, "how high the leg is lifted, degrees", 0.0, 60.0, "deg"),
        Dial("to_deg", 0.0, "at the bottom, degrees", -20.0, 60.0, "deg"),
        LOAD_AT_ANKLE,
        *TEMPO,
    ),
    pose_side_lying,
    "The trunk lies still and the leg stays in line with it.",
)
