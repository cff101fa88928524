"""Dips: the body stands on its hands, between two bars or in front of a bench with the heels on the floor."""

from __future__ import annotations

import numpy as np

from setwright.body.chain import Link, Pull, along, cross, hanging, mass_centre, point
from setwright.body.lever import Dial, Model, Posture, Setting, Working, degrees
from setwright.body.postures.common import (
    LOAD,
    TEMPO,
    band_share,
    bend_between,
    bent_reach,
    direction,
    forearm_com,
    load_link,
    set_band,
    spread_over,
    weight_n,
)
from setwright.body.postures.hanging import (
    BAND,
    BAND_ON,
    HELP,
    LEGS,
    carried_by_hands,
    gripped,
    raised_deg,
)
from setwright.body.segments import Body, Floats

GRIP_IN_HAND = (
    0.5  # of wrist to knuckles, where a bar or an edge lies in the palm: common practice, no published source
)
# How far the trunk leans forward at the bottom of a dip: common practice, no published source.
LEAN_DEG, LEAN_SD_DEG, LEANT_AT_DEG = 25.0, 5.0, 100.0
HIPS_OFF_CM = 12.0  # from the edge to the hip joints when the seat just clears it: common practice, no published source


def reach_of_palm(body: Body) -> Floats:
    """Elbow to the middle of the palm, m."""
    return body.forearm.length_m + GRIP_IN_HAND * body.hand.length_m


def band_over_bars(setting: Setting, on: int, at: Floats) -> tuple[list[Pull], Floats | float]:
    """A band that hangs from both bars with the body in its middle: (pull in the plane, energy of both halves).

    Rest length, test mass and test length are those of one half. Each half runs aslant to its own bar.
    """
    half = set_band(setting)
    if half is None:
        return [], 0.0
    step = -at  # the bars are seen end on, at the origin
    length = np.sqrt(step[..., 0] ** 2 + step[..., 1] ** 2 + (setting["bars_apart_cm"] / 200) ** 2)
    size = 2 * half.force_n(length, band_share(setting)) / np.maximum(length, 1e-9)
    return [Pull(on, at, size[..., None] * step, "band")], 2 * half.energy_j(length, band_share(setting))


def pose_dip(body: Body, setting: Setting) -> Posture:
    """From straight elbows down to bent ones; the trunk leans forward as they bend, the mass centre over the hands."""
    flexion = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    lean = np.deg2rad(setting["lean_deg"]) * np.clip(flexion / LEANT_AT_DEG, 0.0, 1.2)

    def band(on: int, at: Floats) -> tuple[list[Pull], Floats | float]:
        return band_over_bars(setting, on, at)

    return gripped(body, setting, flexion, -np.pi / 2 - lean, reach_of_palm(body), band, above=True)


def pose_bench_dip(body: Body, setting: Setting) -> Posture:
    """From straight elbows down; hands on an edge behind, heels fixed in front, the hips sink close to the edge."""
    flexion = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    bend = np.broadcast_to(np.deg2rad(flexion), (body.people, flexion.size))
    reach = reach_of_palm(body)
    down = np.broadcast_to(-np.pi / 2 - np.deg2rad(setting["lean_deg"]), bend.shape)
    hand_up, heel_up = setting["hand_height_cm"] / 100, setting["foot_height_cm"] / 100
    hand = point(np.zeros_like(bend), hand_up)
    trunk_step = along(np.zeros((*bend.shape, 2)), down, body.trunk.length_m)
    hips_off = setting["hips_off_cm"] / 100
    shoulder_x = hips_off - trunk_step[..., 0]
    length = bent_reach(reach, body.upper_arm.length_m, bend)
    with np.errstate(invalid="ignore"):
        shoulder = point(shoulder_x, hand_up + np.sqrt(length**2 - shoulder_x**2))
    hip = shoulder + trunk_step
    elbow = bend_between(hand, shoulder, reach, body.upper_arm.length_m, 1.0)
    # The heels stand where the legs, at their longest, still have the knee flexion set.
    shin = body.shank.length_m + body.ankle_height_m
    leg = bent_reach(body.thigh.length_m, shin, np.deg2rad(setting["knee_deg"]))
    with np.errstate(invalid="ignore"):
        ahead = np.sqrt(leg**2 - np.fmax.reduce((hip[..., 1] - heel_up) ** 2, axis=1, keepdims=True))
    heel = np.broadcast_to(point(hips_off + ahead, heel_up), hip.shape)
    links: list[Link] = [
        hanging(
            "forearm",
            -1,
            hand,
            elbow,
            1.0 - forearm_com(body) / reach,
            2 * (body.forearm.mass_kg + body.hand.mass_kg),
        ),
        hanging("upper arm", 0, elbow, shoulder, 1.0 - body.upper_arm.com, 2 * body.upper_arm.mass_kg),
        hanging("trunk", 1, shoulder, hip, 1.0 - body.trunk.com, body.trunk.mass_kg),
        hanging(
            "head", 2, shoulder, along(shoulder, down + np.pi, body.head.length_m), body.head.com, body.head.mass_kg
        ),
        load_link("load", 2, hip, setting["load_kg"]),
    ]
    knee = bend_between(hip, heel, body.thigh.length_m, shin, 1.0)
    shank_rad = direction(knee, heel)
    ankle = along(knee, shank_rad, body.shank.length_m)
    links.append(hanging("thigh", 2, hip, knee, body.thigh.com, 2 * body.thigh.mass_kg))
    links.append(hanging("shank", 5, knee, ankle, body.shank.com, 2 * body.shank.mass_kg))
    ball = along(heel, shank_rad + np.pi / 2, body.foot.length_m)
    links.append(Link("foot", 6, ankle, ball, (ankle + heel) / 2 + 0.4 * (ball - heel), 2 * body.foot.mass_kg))
    push = np.deg2rad(setting["heel_tilt_deg"])
    unit = np.broadcast_to(point(-np.sin(push), np.cos(push)), heel.shape)
    mass, centre = mass_centre(links)
    size = weight_n(mass) * centre[..., 0] / cross(heel - hand, unit)
    pulls = [Pull(7, heel, size[..., None] * unit, "ground")]
    share = carried_by_hands(links, pulls, body)
    return Posture(
        lead="elbow-flexion",
        lead_deg=flexion,
        links=spread_over(links, body.people, flexion.size),
        pulls=tuple(pulls),
        working=(
            Working("elbow-extension", 1, 1.0, 2, np.broadcast_to(flexion, bend.shape)),
            Working("shoulder-flexion", 2, -1.0, 2, raised_deg(shoulder, elbow, down)),
        ),
        possible=np.isfinite(shoulder[..., 1]) & np.isfinite(ahead) & (size >= 0.0),
        why_not="Hands, hips and heels do not meet here: lower the edge, or go less deep.",
        shares={"hands on the edge": share},
    )


DIP = Model(
    "dip",
    (
        Dial("from_deg", 0.0, "elbow flexion at the top, degrees", 0.0, 140.0, "deg"),
        Dial("to_deg", 100.0, "elbow flexion at the bottom, degrees", 1.0, 145.0, "deg"),
        Dial(
            "lean_deg",
            LEAN_DEG,
            "how far the trunk leans forward at the bottom, degrees",
            0.0,
            60.0,
            "deg",
            spread=LEAN_SD_DEG,
        ),
        HELP,
        *LEGS,
        LOAD,
        *TEMPO,
        BAND_ON,
        Dial("bars_apart_cm", 50.0, "distance of the bars on which the band hangs, cm", 0.0, 100.0, "cm"),
        *BAND,
    ),
    pose_dip,
    "Seen from the side: elbows that flare shift work from the elbow to the chest. A band's lengths are those of one"
    " half, from a bar to the body. Help acts upward at the hips.",
)
BENCH_DIP = Model(
    "bench dip",
    (
        Dial("from_deg", 0.0, "elbow flexion at the top, degrees", 0.0, 140.0, "deg"),
        Dial("to_deg", 90.0, "elbow flexion at the bottom, degrees", 1.0, 140.0, "deg"),
        Dial("hand_height_cm", 45.0, "height of the edge, cm", 5.0, 100.0, "cm"),
        Dial("foot_height_cm", 0.0, "height of the heels, cm", 0.0, 100.0, "cm"),
        Dial("hips_off_cm", HIPS_OFF_CM, "hips in front of the edge at the top, cm", 0.0, 40.0, "cm", spread=3.0),
        Dial("lean_deg", 0.0, "forward lean of the trunk kept, degrees", -20.0, 40.0, "deg", spread=5.0),
        Dial("knee_deg", 5.0, "least knee flexion, degrees", 0.0, 110.0, "deg"),
        Dial(
            "heel_tilt_deg",
            0.0,
            "how far the floor's push on the heels leans back to the bench, degrees",
            -30.0,
            30.0,
            "deg",
            spread=5.0,
        ),
        LOAD,
        *TEMPO,
    ),
    pose_bench_dip,
    "The hips sink straight down along the edge; legs that push through the heels take more off the arms than is"
    " reckoned here.",
)
