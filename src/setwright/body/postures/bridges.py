"""Bridges on the shoulders: glute bridge, hip thrust from a bench, long-lever bridge on the heels, sliding leg curl.

Shoulders and feet stay where they are, so the hip angle alone sets the posture: two circles meet at the knee.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from setwright.body.chain import Link, Pull, along, cross, hanging, mass_centre, point, solve_lean
from setwright.body.lever import Dial, Model, Posture, Setting, Working, degrees
from setwright.body.postures.common import LOAD, TEMPO, bent_reach, direction, load_link, spread_over, weight_n
from setwright.body.postures.hinges import TWO
from setwright.body.segments import Body, Floats

# Where the back turns, from the hip to the shoulder: on the floor the shoulders; on a bench its edge lies under the
# shoulder blades. From memory, unchecked.
ON_FLOOR, ON_BENCH = 1.0, 0.80
THICK_BACK = 0.06  # of stature, from the surface up to the line of hip and shoulder: from memory, unchecked
BENCH_FROM_CM = 15.0  # a support as high as this is a bench
HIPS_REST = 0.05  # of stature: lower the hip joints don't come, as the buttocks rest on the floor. From memory


def pivot_share(setting: Setting) -> float:
    """Where the back turns, as a share of hip to shoulder."""
    return ON_BENCH if float(np.max(setting["back_height_cm"])) >= BENCH_FROM_CM else ON_FLOOR


def top_line(body: Body, setting: Setting, hip_rad: Floats, knee_rad: Floats, back: Floats) -> Floats:
    """Direction of the trunk, from where the back turns to the hip, at which the ankle has its height, rad."""
    s, t = body.shank.length_m, body.thigh.length_m
    rise = setting["foot_height_cm"] / 100 + body.ankle_height_m - back_height(body, setting)
    turned = hip_rad - knee_rad
    a = t * np.sin(hip_rad) + s * np.sin(turned)
    b = pivot_share(setting) * body.trunk.length_m + t * np.cos(hip_rad) + s * np.cos(turned)
    # b can be negative when the knee is bent far: the shank then reaches back further than thigh and trunk reach out.
    return solve_lean(a, b, rise)[1]


def back_height(body: Body, setting: Setting) -> Floats:
    """Height of the point about which the back turns, m."""
    return setting["back_height_cm"] / 100 + THICK_BACK * body.stature_m


def build(
    body: Body, setting: Setting, back: Floats, trunk_rad: Floats, thigh_rad: Floats, shank_rad: Floats
) -> tuple[list[Link], Floats, Floats]:
    """Links from the back to the feet (trunk, thigh, shank, foot first), the hip and the ankle."""
    sides = TWO[setting.word("legs")]
    share = pivot_share(setting)
    reach = share * body.trunk.length_m
    hip = along(back, trunk_rad, reach)
    knee = along(hip, thigh_rad, body.thigh.length_m)
    ankle = along(knee, shank_rad, body.shank.length_m)
    toes = ankle + point(body.heel_to_ball_m - body.heel_to_ankle_m, -0.5 * body.ankle_height_m)
    links = [
        hanging("trunk", -1, back, hip, 1.0 - body.trunk.com / share, body.trunk.mass_kg),
        hanging("thigh", 0, hip, knee, body.thigh.com, sides * body.thigh.mass_kg),
        hanging("shank", 1, knee, ankle, body.shank.com, sides * body.shank.mass_kg),
        hanging("foot", 2, ankle, toes, 0.4, sides * body.foot.mass_kg),
        load_link("load", 0, hip, setting["load_kg"]),
    ]
    if sides == 1:
        tucked = setting.word("free_leg") == "tucked"
        free_thigh = np.full_like(thigh_rad, np.pi / 2) if tucked else thigh_rad
        far = along(hip, free_thigh, body.thigh.length_m)
        links.append(hanging("free thigh", 0, hip, far, body.thigh.com, body.thigh.mass_kg))
        end = along(far, np.zeros_like(thigh_rad) if tucked else thigh_rad, body.shank.length_m)
        links.append(hanging("free shank", 5, far, end, body.shank.com, body.shank.mass_kg))
        links.append(load_link("free foot", 6, end, body.foot.mass_kg))
    if share < 1.0:  # beyond the edge of the bench the neck holds the head; on the floor it lies
        shoulder = along(back, trunk_rad + np.pi, (1.0 - share) * body.trunk.length_m)
        crown = along(shoulder, trunk_rad + np.pi, body.head.length_m)
        links.append(hanging("head", 0, shoulder, crown, body.head.com, body.head.mass_kg))
    return links, hip, ankle


def push_of_feet(links: list[Link], back: Floats, at: Floats, tilt_rad: Floats) -> Floats:
    """Force of the floor on the feet, N, from the balance of moments about the back.

    tilt_rad : how far it leans towards the shoulders: the feet push away
    """
    mass, centre = mass_centre(links)
    unit = np.stack(np.broadcast_arrays(-np.sin(tilt_rad), np.cos(tilt_rad)), axis=-1)
    size = weight_n(mass) * (centre[..., 0] - back[..., 0]) / cross(at - back, unit)
    found: Floats = size[..., None] * unit
    return found


def with_head(links: list[Link], back: Floats, body: Body) -> list[Link]:
    """Links with the head where it lies on the floor: a part of its own that carries itself."""
    if any(one.name == "head" for one in links):
        return links
    crown = along(back, np.full(back.shape[:-1], np.pi), body.head.length_m)
    return [*links, hanging("head", -1, back, crown, body.head.com, body.head.mass_kg)]


def surroundings(setting: Setting) -> tuple[tuple[str, Floats], ...]:
    """Floor, bench and foot rest of the first person, for pictures."""
    made = [("floor", np.array([[-0.55, 0.0], [1.6, 0.0]]))]
    back, feet = (float(setting[name][0, 0]) / 100 for name in ("back_height_cm", "foot_height_cm"))
    for left, right, high in ((-0.35, 0.05, back), (0.8, 1.3, feet)):
        if high >= BENCH_FROM_CM / 100:
            made.append(("bench", np.array([[left, 0.0], [left, high], [right, high], [right, 0.0]])))
    return tuple(made)


def working_bridge(hip_deg: Floats, knee_deg: Floats, limbs: int, knee_first: bool) -> tuple[Working, ...]:
    """Hip and knee; the moments come from the feet, so what flexes the hip from there is held by its extensors."""
    hip = Working("hip-extension", 1, -1.0, limbs, hip_deg)
    knee = Working("knee-flexion", 2, -1.0, limbs, knee_deg)
    return (knee, hip) if knee_first else (hip, knee)


def pose_bridge(body: Body, setting: Setting, on_heels: bool) -> Posture:
    """From the straight line down: shoulders and feet stay, the hips sink."""
    hip_deg = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    h = np.broadcast_to(np.deg2rad(hip_deg), (body.people, hip_deg.size))
    back = point(np.zeros_like(h), back_height(body, setting))
    top_knee = np.broadcast_to(np.deg2rad(setting["knee_top_deg"]), (body.people, 1))
    straight = np.zeros_like(top_knee)
    line = top_line(body, setting, straight, top_knee, back)
    # The feet stand where they do with straight hips.
    reach, t, s = pivot_share(setting) * body.trunk.length_m, body.thigh.length_m, body.shank.length_m
    ankle = along(along(back[:, :1], line, reach + t), line - top_knee, s)
    far = np.hypot(*np.moveaxis(ankle - back[:, :1], -1, 0))
    to_knee = bent_reach(reach, t, h)
    at_back = (to_knee**2 + far**2 - s**2) / (2 * to_knee * far)
    knee_line = direction(back[:, :1], ankle) + np.arccos(np.clip(at_back, -1.0, 1.0))
    sink = np.arccos(np.clip((reach**2 + to_knee**2 - t**2) / (2 * reach * to_knee), -1.0, 1.0))
    trunk_rad = knee_line - sink
    knee = along(back, knee_line, to_knee)
    shank_rad = direction(knee, np.broadcast_to(ankle, knee.shape))
    links, hip, foot = build(body, setting, back, trunk_rad, trunk_rad + h, shank_rad)
    ahead = 0.0 if on_heels else setting["press_cm"] / 100
    at = point(foot[..., 0] + ahead, setting["foot_height_cm"] / 100)
    force = push_of_feet(links, back, at, np.deg2rad(setting["push_tilt_deg"]))
    knee_deg = np.rad2deg(trunk_rad + h - shank_rad)
    return Posture(
        lead="hip-flexion",
        lead_deg=hip_deg,
        links=spread_over(with_head(links, back, body), body.people, hip_deg.size),
        pulls=(Pull(3, at, force, "ground"),),
        working=working_bridge(np.broadcast_to(hip_deg, h.shape), knee_deg, TWO[setting.word("legs")], on_heels),
        possible=(np.abs(at_back) <= 1.0) & (hip[..., 1] >= HIPS_REST * body.stature_m),
        why_not="The hips rest on the floor from here on.",
        shares={"feet": force[..., 1] / body.weight_n},
        props=surroundings(setting),
    )


def pose_slide(body: Body, setting: Setting) -> Posture:
    """Shoulders on the floor, heels on something that slides: from bent knees out to long legs, hips kept up."""
    knee_deg = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    k = np.broadcast_to(np.deg2rad(knee_deg), (body.people, knee_deg.size))
    h = np.deg2rad(setting["hip_flexion_deg"]) + np.zeros_like(k)
    back = point(np.zeros_like(k), back_height(body, setting))
    line = top_line(body, setting, h, k, back)
    links, hip, foot = build(body, setting, back, line, line + h, line + h - k)
    at = point(foot[..., 0], setting["foot_height_cm"] / 100)
    force = push_of_feet(links, back, at, np.zeros_like(k))
    return Posture(
        lead="knee-flexion",
        lead_deg=knee_deg,
        links=spread_over(with_head(links, back, body), body.people, knee_deg.size),
        pulls=(Pull(3, at, force, "ground"),),
        working=working_bridge(np.rad2deg(h), np.broadcast_to(knee_deg, k.shape), TWO[setting.word("legs")], True),
        possible=np.isfinite(line) & (hip[..., 1] >= HIPS_REST * body.stature_m),
        why_not="The hips rest on the floor from here on.",
        shares={"feet": force[..., 1] / body.weight_n},
        props=surroundings(setting),
    )


def _dials(start: float, end: float, lead: str) -> tuple[Dial, Dial]:
    return (
        Dial("from_deg", start, f"{lead} flexion at the start, degrees", 0.0, 130.0, "deg"),
        Dial("to_deg", end, f"{lead} flexion at the end, degrees", 0.0, 130.0, "deg"),
    )


PLACES = (
    Dial("back_height_cm", 0.0, "height of what the back lies on, cm; 0 for the floor", 0.0, 70.0, "cm"),
    Dial("foot_height_cm", 0.0, "height of the feet, cm", 0.0, 60.0, "cm"),
    Dial("legs", "two", "on two legs or one", choices=("two", "one")),
    Dial("free_leg", "tucked", "the other leg: thigh up, or straight beside", choices=("tucked", "straight")),
    LOAD,
    *TEMPO,
)
# Feet can push away or pull without moving, and nothing but a force plate tells. People push away: in a barbell hip
# thrust the knees held 66 N m of extension (SD 33), not flexion (Otsuka et al. 2021, PLoS ONE 16:e0251418, abstract
# seen). The size was chosen on seeing that; the spread is common practice.
PUSH_AWAY_DEG = 12.0
TILT = Dial(
    "push_tilt_deg",
    PUSH_AWAY_DEG,
    "how far the feet push away, degrees off plumb; below 0 they pull",
    -25.0,
    25.0,
    "deg",
    spread=5.0,
)
ARMS_LIE = "The arms lie still and carry themselves."

BRIDGE = Model(
    "bridge",
    (
        *_dials(0.0, 40.0, "hip"),
        Dial("knee_top_deg", 110.0, "knee flexion at the top, degrees", 20.0, 130.0, "deg", spread=5.0),
        Dial("press_cm", 3.0, "where the foot presses forward of the ankle, cm", -5.0, 15.0, "cm", spread=2.0),
        TILT,
        *PLACES,
    ),
    lambda body, setting: pose_bridge(body, setting, on_heels=False),
    f"{ARMS_LIE} How far the feet push away from you or pull is not known; it moves work between hip and knee.",
)
LONG_BRIDGE = Model(
    "long-lever bridge",
    (
        *_dials(0.0, 15.0, "hip"),
        Dial("knee_top_deg", 30.0, "knee flexion with straight hips, degrees", 5.0, 90.0, "deg", spread=5.0),
        replace(TILT, usual=0.0),
        *PLACES,
    ),
    lambda body, setting: pose_bridge(body, setting, on_heels=True),
    f"{ARMS_LIE} Only the heels press, plumb unless the dial says so.",
)
SLIDE = Model(
    "sliding leg curl",
    (
        *_dials(90.0, 15.0, "knee"),
        Dial("hip_flexion_deg", 0.0, "hip flexion kept, degrees", 0.0, 60.0, "deg", spread=5.0),
        *PLACES,
    ),
    pose_slide,
    f"{ARMS_LIE} Friction under the heels is left out: it helps on the way down and hinders on the way back.",
)
