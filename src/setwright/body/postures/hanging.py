"""Pull-ups: a body that hangs below its hands, and what a support above its hands shares with it.

Two ideas carry this module. One: hands grip a fixed bar, so the arms turn until the mass centre stands under it (or, in
a dip, over it); that is one equation in one angle, solved in closed form. Two: whatever helps, a band at the bar, a
partner, feet on the floor, takes its part off the hands and changes nothing else but where the body leans.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.body.chain import Link, Pull, along, hanging, mass_centre, point, solve_lean
from setwright.body.lever import Dial, Model, Posture, Setting, Working, degrees
from setwright.body.postures.common import (
    LOAD,
    TEMPO,
    band_dials,
    band_pull,
    bent_reach,
    direction,
    forearm_com,
    load_link,
    spread_over,
    weight_n,
)
from setwright.body.segments import STANDARD_GRAVITY, Body, Floats

FOOT_POINTS_DEG = 45.0  # how far the feet of a hanging body point down: common practice, no published source
# Head and chin pass behind the bar, so the trunk leans back at the top: common practice, no published source.
LEAN_BACK_DEG, LEAN_SD_DEG, LEANT_AT_DEG = 20.0, 5.0, 130.0
Band = tuple[list[Pull], Floats | float]  # the pull of a band, and the energy it stores
HELP_SD = 0.3  # of a stated help by feet or partner, which nobody measures: common practice, no published source

HELP = Dial(
    "help_share",
    0.0,
    "share of body weight that feet on the floor, a partner or a platform carries",
    0.0,
    0.95,
    spread=HELP_SD,
    relative=True,
)
LEGS = (
    Dial("thighs_deg", 0.0, "thighs forward of plumb, degrees", -30.0, 110.0, "deg"),
    Dial("knee_deg", 0.0, "knee flexion kept, degrees", 0.0, 130.0, "deg"),
)
BAND_ON = Dial("band_on", "feet", "where the band carries the body", choices=("feet", "knees"))
# The band hangs on the bar itself, so its anchor is no dial.
BAND = tuple(one for one in band_dials(0.0, 0.0) if one.name not in ("band_x_cm", "band_z_cm"))


def below_shoulder(
    links: list[Link], parent: int, shoulder: Floats, down_rad: Floats, setting: Setting, body: Body
) -> dict[str, int]:
    """Adds head, trunk and both legs from the shoulder down; indices by name. A load hangs at the hips.

    down_rad : direction from shoulder to hip; the thighs hang plumb whatever the trunk does, or forward of it
    """
    hip = along(shoulder, down_rad, body.trunk.length_m)
    links.append(hanging("trunk", parent, shoulder, hip, 1.0 - body.trunk.com, body.trunk.mass_kg))
    trunk = len(links) - 1
    crown = along(shoulder, down_rad + np.pi, body.head.length_m)
    links.append(hanging("head", trunk, shoulder, crown, body.head.com, body.head.mass_kg))
    links.append(load_link("load", trunk, hip, setting["load_kg"]))
    thigh_rad = np.deg2rad(setting["thighs_deg"]) - np.pi / 2 + 0.0 * down_rad
    knee = along(hip, thigh_rad, body.thigh.length_m)
    links.append(hanging("thigh", trunk, hip, knee, body.thigh.com, 2 * body.thigh.mass_kg))
    thigh = len(links) - 1
    shank_rad = thigh_rad - np.deg2rad(setting["knee_deg"])
    ankle = along(knee, shank_rad, body.shank.length_m)
    links.append(hanging("shank", thigh, knee, ankle, body.shank.com, 2 * body.shank.mass_kg))
    add_foot(links, thigh + 1, ankle, shank_rad + np.pi / 2 - np.deg2rad(FOOT_POINTS_DEG), body)
    return {"trunk": trunk, "thigh": thigh, "shank": thigh + 1, "foot": thigh + 2}


def add_foot(links: list[Link], parent: int, ankle: Floats, angle_rad: ArrayLike, body: Body) -> None:
    """Adds both feet as one link from the ankle to the toes; the heel behind the ankle is left out of the length."""
    ahead = body.foot.length_m - body.heel_to_ankle_m
    toes = along(ankle, angle_rad, ahead)
    share = (body.foot.com_m - body.heel_to_ankle_m) / ahead
    links.append(hanging("foot", parent, ankle, toes, share, 2 * body.foot.mass_kg))


def on_gripped_hands(
    body: Body, setting: Setting, bend: Floats, down_rad: Floats, reach_m: Floats, above: bool
) -> tuple[list[Link], dict[str, int], NDArray[np.bool_]]:
    """The body on hands that grip at the origin, turned so that it balances: (links, indices, where balance exists).

    bend : (people, angles) elbow flexion, rad; down_rad : direction from shoulder to hip
    reach_m : elbow to grip, (people, 1); above : the shoulders stand above the hands (a dip), else below them

    The help of ``help_share`` acts upward at the hips. Elbows lie in front of a body that hangs and behind one that
    stands on its hands. Source: balance of moments about the grip, linear in sine and cosine of the arms' direction.
    """
    upper, length = body.upper_arm, bent_reach(reach_m, body.upper_arm.length_m, bend)
    off = np.arctan2(upper.length_m * np.sin(bend), reach_m + upper.length_m * np.cos(bend))
    fore_mass = 2 * (body.forearm.mass_kg + body.hand.mass_kg)
    fore_com = 1.0 - forearm_com(body) / reach_m  # from the grip, over the reach
    rest: list[Link] = []
    nowhere = np.zeros((*bend.shape, 2))
    below_shoulder(rest, -1, nowhere, down_rad, setting, body)
    mass, centre = mass_centre(rest)
    # Points of the arms where the line from grip to shoulder is the first axis.
    elbow_p, elbow_q = reach_m * np.cos(off), reach_m * np.sin(off)
    upper_p = upper.com * elbow_p + (1.0 - upper.com) * length
    upper_q = upper.com * elbow_q
    help_kg = setting["help_share"] * body.mass_kg
    cosine = fore_mass * fore_com * elbow_p + 2 * upper.mass_kg * upper_p + (mass - help_kg) * length
    sine = -(fore_mass * fore_com * elbow_q + 2 * upper.mass_kg * upper_q)
    hip_x = body.trunk.length_m * np.cos(down_rad)
    turned = solve_lean(cosine, sine, -(mass * centre[..., 0] - help_kg * hip_x))[0 if above else 1]
    grip = point(np.zeros_like(bend), 0.0)
    elbow = along(grip, turned + off, reach_m)
    shoulder = along(grip, turned, length)
    links: list[Link] = [hanging("forearm", -1, grip, elbow, fore_com, fore_mass)]
    links.append(hanging("upper arm", 0, elbow, shoulder, 1.0 - upper.com, 2 * upper.mass_kg))
    found = below_shoulder(links, 1, shoulder, down_rad, setting, body)
    return links, {"forearm": 0, "upper arm": 1, **found}, np.isfinite(turned)


def help_at_hips(links: list[Link], trunk: int, body: Body, setting: Setting) -> tuple[list[Pull], Floats]:
    """(the upward force of feet or partner at the hips, minus its work over the movement, J, (people,))."""
    size = weight_n(setting["help_share"] * body.mass_kg)
    hip = links[trunk].end
    if float(np.max(size)) <= 0:
        return [], np.zeros(body.people)
    rise = np.fmax.reduce(hip[..., 1], axis=-1) - np.fmin.reduce(hip[..., 1], axis=-1)
    force = point(np.zeros_like(hip[..., 0]), np.broadcast_to(size, hip.shape[:-1]))
    return [Pull(trunk, hip, force, "hand")], -size[:, 0] * rise


def carried_by_hands(links: list[Link], pulls: list[Pull], body: Body) -> Floats:
    """Upward force of the bar on both hands over body weight, (people, angles)."""
    mass, _ = mass_centre(links)
    found: Floats = STANDARD_GRAVITY * mass + 0.0 * links[0].end[..., 0]
    for pull in pulls:
        found = found - pull.force_n[..., 1]
    return found / body.weight_n


def raised_deg(shoulder: Floats, elbow: Floats, down_rad: Floats) -> Floats:
    """How far the upper arm is raised in front of the trunk, degrees, -90 to 270; negative behind it."""
    found: Floats = np.mod(np.rad2deg(direction(shoulder, elbow) - down_rad) + 90.0, 360.0) - 90.0
    return found


def gripped(
    body: Body,
    setting: Setting,
    flexion: Floats,
    down: Floats,
    reach: Floats,
    band: Callable[[int, Floats], Band],
    above: bool,
) -> Posture:
    """A body on hands that grip, with what helps it, as a posture: hanging, or ``above`` its hands.

    flexion : (angles,) elbow flexion, degrees; down : direction from shoulder to hip; reach : elbow to grip, m
    band : (link, point of the body) to the pull of the band there and the energy it stores
    """
    bend = np.broadcast_to(np.deg2rad(flexion), (body.people, flexion.size))
    links, at, balanced = on_gripped_hands(body, setting, bend, down, reach, above)
    pulls, gone = help_at_hips(links, at["trunk"], body, setting)
    on = at["shank"] if setting.word("band_on") == "feet" else at["thigh"]
    helped, stored = band(on, links[on].end)
    pulls += helped
    share = carried_by_hands(links, pulls, body)
    shoulder, elbow = links[at["trunk"]].start, links[at["upper arm"]].start
    way = -1.0 if above else 1.0  # whoever hangs extends the shoulder and bends the elbow; a dip the other way
    return Posture(
        lead="elbow-flexion",
        lead_deg=flexion,
        links=spread_over(links, body.people, flexion.size),
        pulls=tuple(pulls),
        working=(
            Working(
                "shoulder-flexion" if above else "shoulder-extension",
                at["trunk"],
                way,
                2,
                raised_deg(shoulder, elbow, down),
            ),
            Working(
                "elbow-extension" if above else "elbow-flexion",
                at["upper arm"],
                -way,
                2,
                np.broadcast_to(flexion, bend.shape),
            ),
        ),
        stored_j=stored,
        possible=balanced & (share > 0.0),
        why_not="The help carries the whole body here: take a weaker band or less help.",
        shares={"hands on the bars" if above else "hands on the bar": share},
        driven_j=gone,
        props=(("bar", np.zeros((1, 2))),),
    )


def pose_pull_up(body: Body, setting: Setting) -> Posture:
    """From bent elbows at the top down to the straight hang; the lean of the trunk goes with the elbows."""
    flexion = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    lean = np.deg2rad(setting["lean_back_deg"]) * np.clip(flexion / LEANT_AT_DEG, 0.0, 1.0)
    down = -np.pi / 2 + lean
    reach = body.forearm.length_m + body.hand.length_m

    def band(on: int, at: Floats) -> Band:
        return band_pull(setting, on, at, point(np.zeros((1, 1)), 0.0))

    return gripped(body, setting, flexion, down, reach, band, above=False)


PULL_UP = Model(
    "pull-up",
    (
        Dial("from_deg", 130.0, "elbow flexion at the top, degrees", 1.0, 150.0, "deg"),
        Dial("to_deg", 0.0, "elbow flexion at the bottom, degrees", 0.0, 149.0, "deg"),
        Dial(
            "lean_back_deg",
            LEAN_BACK_DEG,
            "how far the trunk leans back at the top, degrees",
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
        *BAND,
    ),
    pose_pull_up,
    "Seen from the side and slow: elbows that go out to the sides shift work from elbow to shoulder, and a brisk start"
    " loads the hands well above body weight. Help acts upward at the hips.",
)
