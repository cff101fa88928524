"""Crunches, sit-ups and the hollow hold: a trunk that bends at one place and is lifted off the floor.

Two ideas carry this module. One: the upper part rises first and the spine bends at one hinge; only when it is bent as
far as it goes does the lower part leave the floor and turn about the hips. Two: the floor pushes the lying part where
balance wants it, up to the hinge; beyond that the hip flexors, and the weight of the legs or a strap, must hold.
Lying on the back, the head points to negative x.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from setwright.body.chain import GROUND, Link, Pull, along, hanging, mass_centre, point
from setwright.body.lever import Dial, Model, Posture, Setting, Working, degrees
from setwright.body.postures.common import (
    LOAD,
    TEMPO,
    arms,
    bend_between,
    bent_reach,
    direction,
    load_link,
    spread_over,
    weight_n,
)
from setwright.body.postures.hanging import add_foot
from setwright.body.postures.hinges import CHEST
from setwright.body.postures.leg_raises import FOLDED, doubled, one_leg, read_at_deg
from setwright.body.postures.planks import HIPS_ONLY
from setwright.body.segments import Body, Floats, trunk_parts

# Where the spine bends, from the hips 0 to the shoulders 1: some way up the loins in a sit-up or a hollow hold, below
# the shoulder blades in a crunch. Common practice, no published source.
BEND_SHARE, BEND_SD = 0.4, 0.08
FLAT_FOOT_DEG = 30.0  # from this knee bend on the soles stand on the floor: common practice, no published source
ARMS = ("chest", "head", "overhead", "along")


def cut_trunk(body: Body, share: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """The trunk below and above a cut: (share of mass below, its mass centre, mass above, its mass centre).

    share : place of the cut from the hips, of the trunk's length; mass centres from the hips, of the trunk's length
    Each part of the table is taken as even; both together weigh and balance as the whole.
    """
    below, moment, start = np.zeros_like(share), np.zeros_like(share), 0.0
    for name in ("lower", "middle", "upper"):
        part = trunk_parts()[name]
        inside = np.clip(share - start, 0.0, part["length"])
        mass = part["mass"] * inside / part["length"]
        below, moment = below + mass, moment + mass * (start + inside / 2)
        start += part["length"]
    above = 1.0 - below
    return below, moment / below, above, (body.trunk.com - moment) / above


def lying_body(
    body: Body, setting: Setting, lower_rad: Floats, upper_rad: Floats, thigh_rad: Floats, knee_rad: Floats
) -> tuple[list[Link], dict[str, int], Floats, Floats]:
    """Trunk from the hips at the origin, head, arms, load on the chest and legs: (links, indices, hinge, ankle).

    lower_rad, upper_rad : how far both parts of the trunk are off the floor
    """
    share = setting["bend_share"]
    below, below_com, above, above_com = cut_trunk(body, share)
    length, mass = body.trunk.length_m, body.trunk.mass_kg
    hip = point(np.zeros_like(upper_rad), 0.0)
    up = np.pi - upper_rad
    hinge = along(hip, np.pi - lower_rad, share * length)
    shoulder = along(hinge, up, (1.0 - share) * length)
    crown = along(shoulder, up, body.head.length_m)
    links: list[Link] = [
        hanging("lower trunk", GROUND, hip, hinge, below_com / share, below * mass),
        hanging("upper trunk", 0, hinge, shoulder, (above_com - share) / (1.0 - share), above * mass),
        hanging("head", 1, shoulder, crown, body.head.com, body.head.mass_kg),
    ]
    where = setting.word("arms")
    if where == "head":
        ear = along(shoulder, up, body.head.com_m)
        reach = body.forearm.length_m + body.hand.length_m
        elbow = bend_between(shoulder, ear, body.upper_arm.length_m, reach, -1.0)
        arms(links, 1, shoulder, direction(shoulder, elbow), direction(elbow, ear), body)
    else:
        upper, fore = {"chest": (np.pi, -FOLDED), "overhead": (0.0, 0.0), "along": (np.pi, np.pi)}[where]
        arms(links, 1, shoulder, up + upper, up + fore, body)
    chest = along(hinge, up, np.maximum(CHEST - share, 0.0) * length)
    links.append(load_link("load", 1, chest, setting["load_kg"]))
    thigh, ankle = one_leg(links, "", 0, hip, thigh_rad, knee_rad, body)
    doubled(links, thigh)
    return links, {"lower": 0, "upper": 1, "thigh": thigh}, hinge, ankle


def weigh(links: list[Link]) -> tuple[Floats, Floats]:
    """(weight, N; its moment about the hips, positive towards the feet, N m)."""
    mass, centre = mass_centre(links)
    return weight_n(mass) + 0.0 * centre[..., 0], weight_n(mass) * centre[..., 0]


def pose_sit_up(body: Body, setting: Setting) -> Posture:
    """From the top down to the floor: first the hips open, then the spine unrolls; the feet are held."""
    raised = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    upper = np.broadcast_to(np.deg2rad(raised), (body.people, raised.size))
    lower = np.maximum(upper - np.deg2rad(setting["curl_deg"]), 0.0)
    knee_rad = np.deg2rad(setting["knee_deg"]) + 0.0 * upper
    away = bent_reach(body.thigh.length_m, body.shank.length_m, knee_rad)
    foot = point(away, 0.0)
    thigh_rad = direction(0.0 * foot, bend_between(0.0 * foot, foot, body.thigh.length_m, body.shank.length_m, 1.0))
    links, at, hinge, ankle = lying_body(body, setting, lower, upper, thigh_rad, knee_rad)
    if float(setting["knee_deg"][0, 0]) >= FLAT_FOOT_DEG:
        flat: list[Link] = []
        add_foot(flat, at["thigh"] + 1, ankle, np.zeros_like(upper), body)
        links[at["thigh"] + 2] = replace(flat[0])
    whole, about = weigh(links)
    _, legs = weigh(links[at["thigh"] :])
    trunk = legs - about  # how much the trunk pulls to the head side
    # The floor's push on the lying part, so far up that the hips are at ease, at most where the spine still lies:
    # it peels off the floor from the hinge to the hips while it bends.
    eased = legs / away
    bend = np.deg2rad(setting["curl_deg"])
    lies = np.where(bend > 0.0, np.clip(1.0 - upper / np.maximum(bend, 1e-9), 0.0, 1.0), 0.0)
    edge = -hinge[..., 0] * lies
    rests = np.clip(trunk / (whole - eased), 0.0, edge)
    on_feet = (about + whole * rests) / (away + rests)
    none = np.zeros_like(on_feet)
    pulls = (
        Pull(at["lower"], point(-rests, 0.0), point(none, whole - on_feet), "ground"),
        Pull(at["thigh"] + 1, ankle, point(none, on_feet), "ground"),
    )
    working = [Working("trunk-flexion", at["upper"], -1.0, 1, np.rad2deg(upper - lower))]
    if float(np.max(lower)) > 0.0:  # in a crunch the hips rest, and their strength would tell nothing
        working.append(Working("hip-flexion", at["thigh"], 1.0, 2, read_at_deg(np.rad2deg(thigh_rad + lower))))
    return Posture(
        lead="trunk-flexion",
        lead_deg=raised,
        links=spread_over(links, body.people, raised.size),
        pulls=pulls,
        working=tuple(working),
        shares={"trunk": trunk_share(links, at["upper"], body)},
    )


def trunk_share(links: list[Link], upper: int, body: Body) -> Floats:
    """The moment about the hinge as a push at the shoulders over the trunk's length, over body weight."""
    above, about = weigh([one for one in links[upper:] if not {"thigh", "shank", "foot"} & set(one.name.split())])
    found: Floats = (above * links[upper].start[..., 0] - about) / body.trunk.length_m / body.weight_n
    return found


def pose_hollow(body: Body, setting: Setting) -> Posture:
    """On the low back: the legs go from high down to where they are held, straight arms and chest stay lifted."""
    legs_deg = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    thigh_rad = np.broadcast_to(np.deg2rad(legs_deg), (body.people, legs_deg.size))
    upper = np.deg2rad(setting["chest_deg"]) + 0.0 * thigh_rad
    knee_rad = np.deg2rad(setting["knee_deg"]) + 0.0 * thigh_rad
    links, at, hinge, _ = lying_body(body, setting, 0.0 * upper, upper, thigh_rad, knee_rad)
    whole, about = weigh(links)
    middle = about / whole
    return Posture(
        lead="hip-flexion",
        lead_deg=legs_deg,
        links=spread_over(links, body.people, legs_deg.size),
        pulls=(Pull(at["lower"], point(middle, 0.0), point(np.zeros_like(whole), whole), "ground"),),
        working=(
            Working("hip-flexion", at["thigh"], 1.0, 2, read_at_deg(np.broadcast_to(legs_deg, thigh_rad.shape))),
            Working("trunk-flexion", at["upper"], -1.0, 1, np.rad2deg(upper)),
        ),
        possible=(middle <= setting["seat_cm"] / 100) & (middle >= hinge[..., 0]),
        why_not="The body tips over the hips or onto the shoulders here: lift the legs or lower the arms.",
        shares={"trunk": trunk_share(links, at["upper"], body)},
    )


ARMS_DIAL = Dial("arms", "chest", "where the arms are; along: beside the trunk, off the floor", choices=ARMS)
BEND = Dial(
    "bend_share", BEND_SHARE, "where the spine bends, from the hips 0 to the shoulders 1", 0.2, 0.75, spread=BEND_SD
)
SIT_UP = Model(
    "sit-up",
    (
        Dial("from_deg", 80.0, "chest off the floor at the top, degrees", 1.0, 110.0, "deg"),
        Dial("to_deg", 0.0, "chest off the floor at the bottom, degrees", 0.0, 110.0, "deg"),
        Dial("curl_deg", 40.0, "spine bent before the low back lifts; 0 for a stiff back", 0.0, 70.0, "deg"),
        Dial("knee_deg", 90.0, "knee flexion, degrees", 0.0, 130.0, "deg"),
        ARMS_DIAL,
        BEND,
        LOAD,
        *TEMPO,
    ),
    pose_sit_up,
    "The spine bends at one place. Feet that nothing holds let the hips use no more than the legs weigh: then curl up "
    f"further first. {HIPS_ONLY} A load lies on the chest.",
)
HOLLOW = Model(
    "hollow hold",
    (
        Dial("from_deg", 45.0, "legs above the floor at the start, degrees", 0.0, 90.0, "deg"),
        Dial("to_deg", 15.0, "legs above the floor at the end, degrees", 0.0, 90.0, "deg"),
        Dial("chest_deg", 20.0, "chest off the floor, degrees", 0.0, 45.0, "deg", spread=5.0),
        Dial("knee_deg", 0.0, "knee flexion, degrees", 0.0, 130.0, "deg"),
        replace(ARMS_DIAL, usual="overhead"),
        replace(BEND, usual=BEND_SHARE),
        Dial("seat_cm", 8.0, "seat beyond the hips towards the feet, cm", 0.0, 20.0, "cm", spread=2.0),
        LOAD,
        *TEMPO,
    ),
    pose_hollow,
    "The low back lies flat; where it lifts, the exercise is over. " + HIPS_ONLY,
)
