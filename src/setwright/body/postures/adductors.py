"""Adduction lying on the side: the copenhagen, its upper leg on a bench, and the lower leg lifted.

Seen from the front: x runs from the shoulders to the feet.
"""

from __future__ import annotations

import numpy as np

from setwright.body.chain import Link, Pull, along, hanging, joint_moment, mass_centre, point
from setwright.body.lever import Dial, Model, Posture, Setting, Working, degrees
from setwright.body.postures.common import LOAD, TEMPO, bent_reach, direction, load_link, spread_over, weight_n
from setwright.body.segments import Body, Floats

BENCH_CM = 45.0  # height of a usual bench: common practice, no published source
# How far towards the feet the elbow stands from under the shoulder. Chosen on seeing the hip adduction moments that
# 24 people held, 1.54 and 0.93 N m/kg with the ankle and the knee on the stand (abstract seen, see the tests): with
# the elbow straight under the shoulder the model says 1.9 and 1.3.
ELBOW_CM, ELBOW_SD_CM = 8.0, 4.0


def leg(
    links: list[Link], name: str, parent: int, hip: Floats, angle_rad: Floats, body: Body, short: bool = False
) -> tuple[int, Floats]:
    """Adds a straight leg, or one with the shank bent back out of the plane; (index of the last link, its end)."""
    knee = along(hip, angle_rad, body.thigh.length_m)
    links.append(hanging(f"{name} thigh", parent, hip, knee, body.thigh.com, body.thigh.mass_kg))
    if short:
        links.append(load_link(f"{name} shank", len(links) - 1, knee, body.shank.mass_kg + body.foot.mass_kg))
        return len(links) - 2, knee
    ankle = along(knee, angle_rad, body.shank.length_m)
    links.append(hanging(f"{name} shank", len(links) - 1, knee, ankle, body.shank.com, body.shank.mass_kg))
    toes = along(ankle, angle_rad, body.ankle_height_m)
    links.append(hanging(f"{name} foot", len(links) - 1, ankle, toes, 0.5, body.foot.mass_kg))
    return len(links) - 2, ankle


def share_of_legs(moment_nm: Floats, body: Body) -> Floats:
    """A hip's moment as a push at the ankle of a straight leg, over body weight: one scale for all levers."""
    found: Floats = moment_nm / (body.thigh.length_m + body.shank.length_m) / body.weight_n
    return found


def pose_copenhagen(body: Body, setting: Setting) -> Posture:
    """From the straight line down: elbow and the place on the bench stay, the hips sink."""
    at_knee = setting.word("support") == "knee"
    abducted = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    a = np.broadcast_to(np.deg2rad(abducted), (body.people, abducted.size))
    elbow = point(np.zeros_like(a), 0.0)
    upper, trunk_m = body.upper_arm.length_m, body.trunk.length_m
    lever = body.thigh.length_m + (0.0 if at_knee else 1.0) * body.shank.length_m
    # In the straight line the elbow stands a little towards the feet, and the bench gives the height of the other end.
    behind = setting["elbow_cm"] / 100
    shoulder_up = np.sqrt(np.maximum(upper**2 - behind**2, 0.0))
    rise = setting["bench_cm"] / 100 - shoulder_up
    whole = trunk_m + lever
    possible = (np.abs(rise) < whole) & (np.abs(behind) < upper)
    rest = elbow[:, :1] + point(np.sqrt(np.maximum(whole**2 - rise**2, 0.0)) - behind, rise + shoulder_up)
    far = np.hypot(*np.moveaxis(rest - elbow[:, :1], -1, 0))
    reach = bent_reach(trunk_m, lever, a)
    at_elbow = (upper**2 + far**2 - reach**2) / (2 * upper * far)
    arm_rad = direction(elbow[:, :1], rest) + np.arccos(np.clip(at_elbow, -1.0, 1.0))
    shoulder = along(elbow, arm_rad, upper)
    sink = np.arccos(np.clip((trunk_m**2 + reach**2 - lever**2) / (2 * trunk_m * reach), -1.0, 1.0))
    trunk_rad = direction(shoulder, np.broadcast_to(rest, shoulder.shape)) - sink
    hip = along(shoulder, trunk_rad, trunk_m)
    crown = along(shoulder, trunk_rad + np.pi, body.head.length_m)
    arm = body.upper_arm.mass_kg + body.forearm.mass_kg + body.hand.mass_kg
    links: list[Link] = [
        hanging("upper arm", -1, elbow, shoulder, 1.0 - body.upper_arm.com, body.upper_arm.mass_kg),
        hanging("trunk", 0, shoulder, hip, 1.0 - body.trunk.com, body.trunk.mass_kg),
        hanging("head", 1, shoulder, crown, body.head.com, body.head.mass_kg),
        hanging("free upper arm", 1, shoulder, along(shoulder, trunk_rad, 0.6), 0.5, arm),
        load_link("load", 1, hip, setting["load_kg"]),
    ]
    upper_leg = len(links)
    on, place = leg(links, "upper", 1, hip, trunk_rad + a, body, at_knee)
    leg(links, "lower", 1, hip, trunk_rad, body)
    mass, centre = mass_centre(links)
    size = weight_n(mass) * (centre[..., 0] - elbow[..., 0]) / (place[..., 0] - elbow[..., 0])
    pulls = (Pull(on, place, np.stack([np.zeros_like(size), size], axis=-1), "ground"),)
    return Posture(
        lead="hip-abduction",
        lead_deg=abducted,
        links=spread_over(links, body.people, abducted.size),
        pulls=pulls,
        working=(
            Working("hip-adduction", upper_leg, -1.0, 1, np.broadcast_to(-abducted, a.shape)),
            Working("trunk-lateral-flexion", 1, -1.0, 1, np.rad2deg(-trunk_rad)),
        ),
        possible=possible & (np.abs(at_elbow) <= 1.0),
        why_not="The leg does not reach the bench.",
        shares={"legs": share_of_legs(-joint_moment(links, pulls, upper_leg), body)},
    )


def pose_side_lying(body: Body, setting: Setting) -> Posture:
    """Lying on the side, the lower leg lifted and lowered."""
    raised = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    r = np.broadcast_to(np.deg2rad(raised), (body.people, raised.size))
    hip = point(np.zeros_like(r), 0.0)
    shoulder = along(hip, np.full_like(r, np.pi), body.trunk.length_m)
    links: list[Link] = [hanging("trunk", -1, shoulder, hip, 1.0 - body.trunk.com, body.trunk.mass_kg)]
    on, ankle = leg(links, "lower", 0, hip, r, body)
    links.append(load_link("load", on, ankle, setting["load_kg"]))
    crown = along(shoulder, np.full_like(r, np.pi), body.head.length_m)
    links.append(hanging("head", 0, shoulder, crown, body.head.com, body.head.mass_kg))
    return Posture(
        lead="hip-adduction",
        lead_deg=raised,
        links=spread_over(links, body.people, raised.size),
        pulls=(),
        working=(Working("hip-adduction", 1, 1.0, 1, np.broadcast_to(raised, r.shape)),),
        shares={"legs": share_of_legs(joint_moment(links, (), 1), body)},
    )


COPENHAGEN = Model(
    "copenhagen",
    (
        Dial("from_deg", 0.0, "hip abduction at the top, degrees", -10.0, 40.0, "deg"),
        Dial("to_deg", 15.0, "hip abduction at the bottom, degrees", -10.0, 40.0, "deg"),
        Dial("support", "ankle", "where the upper leg lies on the bench", choices=("ankle", "knee")),
        Dial(
            "elbow_cm",
            ELBOW_CM,
            "elbow towards the feet from under the shoulder, cm",
            -5.0,
            15.0,
            "cm",
            spread=ELBOW_SD_CM,
        ),
        Dial("bench_cm", BENCH_CM, "height of the bench, cm", 10.0, 80.0, "cm"),
        LOAD,
        *TEMPO,
    ),
    pose_copenhagen,
    "The forearm is a hinge at the elbow; the lower leg stays in line with the trunk.",
)
SIDE_LYING = Model(
    "side-lying adduction",
    (
        Dial("from_deg", 25.0, "how high the leg is lifted, degrees", 0.0, 45.0, "deg"),
        Dial("to_deg", 0.0, "at the bottom, degrees", 0.0, 45.0, "deg"),
        LOAD,
        *TEMPO,
    ),
    pose_side_lying,
    "The trunk lies still.",
)
