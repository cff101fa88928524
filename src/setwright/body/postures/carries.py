"""Carries: one load or two in the hands seen from the front, and a load before the chest seen from the side.

From the front x runs to the side of the load (or the right); from the side x runs forward.
"""

from __future__ import annotations

import numpy as np

from setwright.body.chain import Link, along, hanging, point
from setwright.body.lever import Dial, Model, Posture, Setting, Working, degrees
from setwright.body.postures.common import LOAD, TEMPO, arm_length, arms, load_link, spread_over, weight_n
from setwright.body.postures.hinges import MOMENT_ONLY, lean_deg
from setwright.body.postures.spine import straight_spine
from setwright.body.postures.standing import (
    OVER,
    add_leg,
    ankle_over_heel,
    balancing_lean,
    flat_foot,
    foot_couple,
    leant,
    weight_of,
)
from setwright.body.segments import Body, frame

HIP_HALF_WIDTH = 0.05  # of stature, from the middle to a hip joint: from memory, unchecked
HAND_OUT_CM = 30.0  # from the middle of the body to a bell held beside the thigh: common practice, no source
RACKED = 0.75  # of the shoulder's half width, where a racked bell lies: common practice, no published source
FRONT_CM = 22.0  # from the line of the trunk to the middle of a load before the chest: common practice, no source


def pose_carry(body: Body, setting: Setting) -> Posture:
    """Seen from the front, the trunk sways from upright towards the load; walking, the far leg stands."""
    hold, two, walking = setting.word("hold"), setting.word("hands") == "two", setting.word("stance") == "walking"
    sway = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    lean = np.broadcast_to(np.deg2rad(sway), (body.people, sway.size))
    up, width = np.full_like(lean, np.pi / 2), HIP_HALF_WIDTH * body.stature_m
    ankle = point(np.zeros_like(lean), body.ankle_height_m)
    links: list[Link] = []
    sides = 1 if walking else 2
    base = point(np.zeros_like(lean), 0.0)
    links.append(hanging("foot", -1, base, ankle, 0.5, sides * body.foot.mass_kg))
    thigh, hip = add_leg(links, 0, ankle, up, up, body, sides)
    middle = hip + point(width, 0.0) if walking else hip
    pelvis, trunk, shoulder = straight_spine(links, thigh, middle, up - lean, body, up)
    if walking:  # the pelvis hangs on the standing hip
        part = links[pelvis]
        links[pelvis] = Link(part.name, part.parent, hip, part.end, part.com, part.mass_kg)
        far = middle + point(width, 0.0)
        knee = along(far, -up, body.thigh.length_m)
        links.append(hanging("free thigh", pelvis, far, knee, body.thigh.com, body.thigh.mass_kg))
        end = along(knee, -up, body.shank.length_m)
        links.append(hanging("free shank", len(links) - 1, knee, end, body.shank.com, body.shank.mass_kg))
        links.append(load_link("free foot", len(links) - 1, end, body.foot.mass_kg))
    load = setting["load_kg"]
    near = -1
    for side, holds in ((1.0, True), (-1.0, two)):
        half = side * frame("shoulder_half_width") * body.stature_m
        at = shoulder + point(half * np.cos(lean), -half * np.sin(lean))
        carries = load if holds else np.zeros_like(load)
        if holds and hold == "overhead":
            angle = up - side * np.deg2rad(setting["arm_tilt_deg"])
            fore, grip = arms(links, trunk, at, angle, angle, body, 1)
            links.append(load_link("load", fore, grip, carries))
        elif holds and hold == "rack":
            fore, _ = arms(links, trunk, at, -up, up, body, 1)
            links.append(load_link("load", fore, at - point((1 - RACKED) * half, 0.0), carries))
        else:
            out = (side * setting["hand_out_cm"] / 100 if holds else half) - half
            angle = -up + np.arcsin(np.clip(out / arm_length(body), -0.9, 0.9))
            fore, grip = arms(links, trunk, at, angle, angle, body, 1)
            links.append(load_link("load", fore, grip, carries))
        near = near if near >= 0 else fore - 1
    side_bend = Working("trunk-lateral-flexion", trunk, 1.0, 1, np.rad2deg(lean))
    working: list[Working] = [side_bend]
    if walking:
        stand = Working("hip-abduction", pelvis, 1.0, 1, np.zeros_like(lean))
        working = [stand, side_bend] if two else [side_bend, stand]
    if hold == "overhead":
        working.append(Working("shoulder-abduction", near, 1.0, 1, 180.0 - np.abs(setting["arm_tilt_deg"] + sway)))
    # One load in one hand, so that a graded set with two tells of one; each way of holding is a scale of its own.
    name = {"beside": "carrying", "rack": "racked", "overhead": "overhead"}[hold]
    return Posture(
        lead="trunk-lateral-flexion",
        lead_deg=sway,
        links=spread_over(links, body.people, sway.size),
        pulls=(),
        working=tuple(working),
        shares={f"{name} hands each": np.broadcast_to(load / body.mass_kg, lean.shape)},
    )


def pose_front_carry(body: Body, setting: Setting) -> Posture:
    """Seen from the side, a load before the chest: the trunk tips forward, the legs lean so that it balances."""
    tip = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    lean = np.broadcast_to(np.deg2rad(tip), (body.people, tip.size))
    up = np.full_like(lean, np.pi / 2)
    ankle = ankle_over_heel(body)
    over = point(setting["over_cm"] / 100, 0.0)
    links: list[Link] = [flat_foot(body, 2)]
    thigh, hip = add_leg(links, 0, ankle, up, up, body, 2)
    legs = len(links)
    pelvis, trunk, shoulder = straight_spine(links, thigh, hip, up - lean, body)
    chest = along(hip + 0.8 * (shoulder - hip), -lean, setting["front_cm"] / 100)
    arms(links, trunk, shoulder, -up - lean, up / 3 - lean, body)
    links.append(load_link("load", trunk, chest, setting["load_kg"]))
    couple, weight = foot_couple(links[0], over), np.zeros_like(lean)
    for one in links[legs:]:
        couple = couple - weight_n(one.mass_kg) * (one.com[..., 0] - hip[..., 0])
        weight = weight + weight_n(one.mass_kg)
    riding = (hip, point(np.zeros_like(weight), -weight))
    back = balancing_lean([*(weight_of(one) for one in links[1:legs]), riding], ankle, over, couple)
    stood = leant(links[:legs], ankle, back)
    step = stood[thigh].end - hip
    above = [
        Link(one.name, one.parent, one.start + step, one.end + step, one.com + step, one.mass_kg)
        for one in links[legs:]
    ]
    return Posture(
        lead="trunk-flexion",
        lead_deg=tip,
        links=spread_over([*stood, *above], body.people, tip.size),
        pulls=(),
        working=(
            Working("trunk-extension", trunk, 1.0, 1, lean_deg(up - lean)),
            Working("hip-extension", pelvis, 1.0, 2, np.rad2deg(lean - back)),
        ),
        possible=np.isfinite(back),
        why_not="The load is too far in front to balance.",
        shares={"hands": np.broadcast_to(setting["load_kg"] / body.mass_kg, lean.shape)},
    )


def _sway(end: float, says: str) -> tuple[Dial, Dial]:
    return (
        Dial("from_deg", 0.0, f"{says} at best, degrees", -15.0, 30.0, "deg"),
        Dial("to_deg", end, f"{says} at worst, degrees", -15.0, 30.0, "deg"),
    )


CARRY = Model(
    "carry",
    (
        *_sway(3.0, "lean towards the load"),
        Dial("hold", "beside", "where the load is", choices=("beside", "rack", "overhead")),
        Dial("hands", "one", "a load in one hand, or the same in both", choices=("one", "two")),
        Dial("stance", "walking", "walking (on the far leg) or standing", choices=("walking", "standing")),
        Dial("hand_out_cm", HAND_OUT_CM, "hand beside the thigh from the middle, cm", 15.0, 60.0, "cm", spread=3.0),
        Dial("arm_tilt_deg", 5.0, "arm overhead tilted out from plumb, degrees", -20.0, 40.0, "deg", spread=3.0),
        Dial("load_kg", 0.0, "load in each hand that carries, kg", 0.0, 200.0, "kg"),
        *TEMPO,
    ),
    pose_carry,
    f"A still picture of a step: starting, stopping and the free arm are left out. {MOMENT_ONLY}",
)
FRONT_CARRY = Model(
    "front carry",
    (
        *_sway(5.0, "lean forward"),
        Dial("front_cm", FRONT_CM, "load before the line of the trunk, cm", 5.0, 60.0, "cm", spread=4.0),
        OVER,
        LOAD,
        *TEMPO,
    ),
    pose_front_carry,
    f"A still picture; the steps are left out. {MOMENT_ONLY}",
)
