"""Kneeling lowerings: the nordic hamstring exercise and its mirror, the lean back from the knees.

The knee is the pivot. Thigh elevation above the forward horizontal = knee flexion + slope of the support.
"""

from __future__ import annotations

import numpy as np

from setwright.body.chain import Link, along, hanging, point
from setwright.body.lever import Dial, Model, Posture, Setting, Working, degrees
from setwright.body.postures.common import (
    LOAD,
    TEMPO,
    arms,
    band_dials,
    band_pull,
    load_link,
    spread_over,
    trunk_and_head,
)
from setwright.body.segments import Body

CHEST = 0.75  # of hip to shoulder: where a band lies or a plate is held. Common practice, no published source
FOLDED_RAD = 0.3  # how far folded forearms point away from the chest: common practice, no published source
HIP_SD_DEG = 5.0  # how far people are from the hip angle they mean to keep: common practice, no published source

DIALS = (
    Dial("incline_deg", 0.0, "slope of the support, knees higher than feet, degrees", -10.0, 60.0, "deg"),
    Dial("hip_flexion_deg", 0.0, "hip flexion kept, degrees", 0.0, 100.0, "deg", spread=HIP_SD_DEG),
    Dial("arms", "folded", "where the arms are", choices=("folded", "overhead")),
    LOAD,
    *TEMPO,
)


def pose(body: Body, setting: Setting, leaning_back: bool) -> Posture:
    """Both knees on the pad, feet fixed behind; the trunk in line with the thighs but for the hip flexion kept."""
    flexion = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    slope = np.deg2rad(setting["incline_deg"])
    thigh_up = np.deg2rad(flexion) + slope
    hip_bend = np.deg2rad(setting["hip_flexion_deg"])
    knee = point(np.zeros_like(thigh_up), 0.0)
    links: list[Link] = []
    ankle = along(knee, np.pi + slope, body.shank.length_m)
    links.append(hanging("shank", -1, ankle, knee, 1.0 - body.shank.com, 2 * body.shank.mass_kg))
    hip = along(knee, thigh_up, body.thigh.length_m)
    links.append(hanging("thigh", 0, knee, hip, 1.0 - body.thigh.com, 2 * body.thigh.mass_kg))
    trunk_up = thigh_up - hip_bend
    trunk, shoulder = trunk_and_head(links, 1, hip, trunk_up, body)
    if setting.word("arms") == "overhead":
        arms(links, trunk, shoulder, trunk_up, trunk_up, body)
    else:  # upper arms beside the chest, forearms across it
        arms(links, trunk, shoulder, trunk_up + np.pi, trunk_up - FOLDED_RAD, body)
    chest = hip + CHEST * (shoulder - hip)
    links.append(load_link("load", trunk, chest, setting["load_kg"]))
    pulls, stored = band_pull(setting, trunk, chest)
    angle = np.broadcast_to(flexion, thigh_up.shape)
    hip_angle = np.broadcast_to(setting["hip_flexion_deg"], thigh_up.shape)
    if leaning_back:
        working = (Working("knee-extension", 1, -1.0, 2, angle), Working("hip-flexion", trunk, -1.0, 2, hip_angle))
    else:
        working = (Working("knee-flexion", 1, 1.0, 2, angle), Working("hip-extension", trunk, 1.0, 2, hip_angle))
    return Posture(
        lead="knee-flexion",
        lead_deg=flexion,
        links=spread_over(links, body.people, flexion.size),
        pulls=tuple(pulls),
        working=working,
        stored_j=stored,
    )


NORDIC = Model(
    "nordic",
    (
        Dial("from_deg", 90.0, "knee flexion at the start, degrees", 1.0, 120.0, "deg"),
        Dial("to_deg", 0.0, "knee flexion at the end, degrees", 0.0, 119.0, "deg"),
        *DIALS,
        *band_dials(-60.0, 180.0),
    ),
    lambda body, setting: pose(body, setting, leaning_back=False),
    "The knees are hinges on the pad; the shins don't move.",
)
LEAN_BACK = Model(
    "kneeling lean back",
    (
        Dial("from_deg", 90.0, "knee flexion at the start, degrees", 80.0, 150.0, "deg"),
        Dial("to_deg", 130.0, "knee flexion at the end, degrees", 81.0, 155.0, "deg"),
        *DIALS,
        *band_dials(120.0, 180.0),
    ),
    lambda body, setting: pose(body, setting, leaning_back=True),
    "The knees are hinges on the floor; the calf is not pressed by the thigh.",
)
