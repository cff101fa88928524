"""Hinges at the hips: on two legs or one, seated, with a rolled spine, on the back-extension bench, against a cable."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from setwright.body.chain import Link, Pull, along, hanging, point
from setwright.body.lever import Dial, Model, Posture, Setting, Working, degrees
from setwright.body.postures.common import (
    LOAD,
    TEMPO,
    arm_length,
    arms,
    band_dials,
    band_pull,
    load_link,
    spread_over,
    weight_n,
)
from setwright.body.postures.spine import rolled_spine, straight_spine
from setwright.body.postures.standing import (
    OVER,
    add_free_leg,
    add_leg,
    ankle_over_heel,
    balancing_lean,
    flat_foot,
    foot_couple,
    leant,
    weight_of,
)
from setwright.body.segments import STANDARD_GRAVITY, Body, Floats

HIP_SD_DEG = 5.0  # how far people are from the knee or hip angle they mean to keep: common practice, no source
BAR_ON_BACK = 0.95  # of hip to shoulder, where a bar on the back lies: from memory, unchecked
CHEST = 0.75  # of hip to shoulder, where a plate is hugged: common practice, no published source
FRONT_LEG = 0.75  # of the moment, in a staggered stance: common practice, no published source
# Even with a flat back the low back gives some of the bend between thigh and trunk, and the strength table counts the
# hip alone: a bend of 120 degrees is some 95 at the hips. From memory, unchecked.
BACK_GIVES = 0.2
CAN_STAND_CM = 6.0  # how far the pressure may wander under the foot before one steps: common practice
# Friction and give of a pulley, as a share of the pull, on the way up: 5 to 15 %, from memory, unchecked.
CARRIED_BY = {"back": "back", "chest": "arms"}  # who bears the load; hands where nothing else is said
PULL_STEPS = 4  # the lean moves by less than a millimetre at the hands in the last
PULLEY_FRICTION, PULLEY_SD = 0.10, 0.04

MOMENT_ONLY = "The moment is not the load on a disc or a muscle."
TWO = {"two": 2, "staggered": 2, "one": 1}
UNDER_FOOT = tuple(one for one in band_dials(0.0, 0.0) if one.name not in ("band_x_cm", "band_z_cm"))


def lean_deg(angle_rad: Floats) -> Floats:
    """Lean of the trunk from plumb by its direction, degrees, forward positive."""
    found: Floats = 90.0 - np.rad2deg(angle_rad)
    return found


def arm_mass(body: Body) -> Floats:
    """Mass of both arms, kg."""
    return 2 * (body.upper_arm.mass_kg + body.forearm.mass_kg + body.hand.mass_kg)


def arm_centre(body: Body) -> Floats:
    """Mass centre of a straight arm from the shoulder, as a share of its length."""
    fore = body.upper_arm.length_m
    total = (
        body.upper_arm.mass_kg * body.upper_arm.com_m
        + body.forearm.mass_kg * (fore + body.forearm.com_m)
        + body.hand.mass_kg * (fore + body.forearm.length_m + body.hand.com_m)
    )
    return total / (arm_mass(body) / 2) / arm_length(body)


def working_hinge(
    thigh: int, pelvis: int, trunk: int, limbs: int, hip_deg: Floats, knee_deg: Floats, back_deg: Floats, share: float
) -> tuple[Working, ...]:
    """Hip, low back and knee. ``share``: what one leg holds of the moment of both in a staggered stance, else 1."""
    return (
        Working("hip-extension", pelvis, share, limbs, (1.0 - BACK_GIVES) * hip_deg),
        Working("trunk-extension", trunk, 1.0, 1, back_deg),
        Working("knee-extension", thigh, -share, limbs, knee_deg),
    )


def pose_hinge(body: Body, setting: Setting) -> Posture:
    """Standing tall to bent over: the hips go back so far that the weight stays over the foot."""
    legs, hold = setting.word("legs"), setting.word("hold")
    sides = TWO[legs]
    hip_deg = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    h = np.broadcast_to(np.deg2rad(hip_deg), (body.people, hip_deg.size))
    k = np.deg2rad(setting["knee_deg"] + setting["knee_per_hip"] * hip_deg)
    ankle = ankle_over_heel(body)
    over = point(setting["over_cm"] / 100, 0.0)
    # Shaped with the shin plumb, then leant.
    links: list[Link] = [flat_foot(body, sides)]
    up = np.full_like(h, np.pi / 2)
    thigh, hip = add_leg(links, 0, ankle, up, up + k, body, sides)
    tilt = up + k - h
    pelvis, trunk, shoulder = straight_spine(links, thigh, hip, tilt, body)
    if legs == "one":
        add_free_leg(links, pelvis, hip, tilt + np.pi, tilt + np.pi, body)
    load, mass = setting["load_kg"], arm_mass(body)
    if hold == "back":
        arms(links, trunk, shoulder, tilt + np.pi, tilt, body)
        links.append(load_link("bar", trunk, hip + BAR_ON_BACK * (shoulder - hip), load))
    elif hold == "chest":
        arms(links, trunk, shoulder, tilt + np.pi, tilt - np.pi / 3, body)
        links.append(load_link("load", trunk, hip + CHEST * (shoulder - hip), load))
    # Arms that hang weigh at the shoulder; those held over the foot partly so, and their load has no arm at all.
    carried = {"hanging": mass + load, "close": mass * (1 - arm_centre(body))}.get(hold, np.zeros_like(mass))
    push = setting["hand_share"] * body.weight_n
    hung = point(np.zeros_like(mass), push - STANDARD_GRAVITY * carried)
    forces = [*(weight_of(one) for one in links[1:]), (shoulder, hung)]
    lean = balancing_lean(forces, ankle, over, foot_couple(links[0], over))
    links = leant(links, ankle, lean)
    hip, shoulder, tilt = links[pelvis].start, links[trunk].end, tilt - lean
    possible: NDArray[np.bool_] = np.isfinite(lean)
    pulls: list[Pull] = []
    stored: Floats | float = 0.0
    share = np.broadcast_to(load / body.mass_kg, h.shape)
    if hold in ("hanging", "close"):
        down = np.full_like(h, -np.pi / 2)
        if hold == "close":
            slant = (over[..., 0] - shoulder[..., 0]) / arm_length(body)
            possible = possible & (np.abs(slant) <= 1.0)
            down = down + np.arcsin(np.clip(slant, -1.0, 1.0))
        fore, grip = arms(links, trunk, shoulder, down, down, body)
        links.append(load_link("load", fore, grip, load))
        band, stored = band_pull(setting, fore, grip, over)
        pulls += band
        for one in band:
            share = share + np.hypot(one.force_n[..., 0], one.force_n[..., 1]) / body.weight_n
    if float(np.max(push)) > 0:
        pulls.append(Pull(trunk, shoulder, point(np.zeros_like(push), push), "support"))
    front = float(setting["front_share"][0, 0]) if legs == "staggered" else 1.0
    limbs = 2 if legs == "two" else 1
    return Posture(
        lead="hip-flexion",
        lead_deg=hip_deg,
        links=spread_over(links, body.people, hip_deg.size),
        pulls=tuple(pulls),
        working=working_hinge(thigh, pelvis, trunk, limbs, np.rad2deg(h), np.rad2deg(k), lean_deg(tilt), front),
        stored_j=stored,
        possible=possible,
        why_not="Cannot balance like this, or the hands do not reach down over the foot: bend less, or bend the knees.",
        shares={CARRIED_BY.get(hold, "hands"): share} if float(np.max(share)) > 0 else {},
    )


def pose_pull_through(body: Body, setting: Setting) -> Posture:
    """A hinge against a cable or band from low and behind, held between the legs; the body leans against it.

    The direction of the pull depends on where the hands are, and these on the lean: the lean is reckoned three times,
    each with the pull of the one before. What is left shows as pressure under the foot a little off its place.
    """
    hip_deg = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    h = np.broadcast_to(np.deg2rad(hip_deg), (body.people, hip_deg.size))
    k = np.deg2rad(setting["knee_deg"] + setting["knee_per_hip"] * hip_deg)
    ankle = ankle_over_heel(body)
    over = point(setting["over_cm"] / 100, 0.0)
    anchor = point(setting["pulley_x_cm"] / 100, setting["pulley_z_cm"] / 100)
    links: list[Link] = [flat_foot(body, 2)]
    up = np.full_like(h, np.pi / 2)
    thigh, hip = add_leg(links, 0, ankle, up, up + k, body, 2)
    tilt = up + k - h
    pelvis, trunk, shoulder = straight_spine(links, thigh, hip, tilt, body)
    arm = tilt + np.pi + np.deg2rad(setting["arm_deg"])
    fore, _ = arms(links, trunk, shoulder, arm, arm, body)
    upright = links
    force = np.zeros((*h.shape, 2))
    for _ in range(PULL_STEPS):
        forces = [*(weight_of(one) for one in upright[1:]), (upright[fore].end, force)]
        lean = balancing_lean(forces, ankle, over, foot_couple(upright[0], over))
        links = leant(upright, ankle, lean)
        pulls, stored = pull_from(setting, fore, links[fore].end, anchor)
        force = sum((one.force_n for one in pulls), np.zeros_like(force))
    # Where the floor presses: the moment that is left, over the force on the floor.
    plumb: Floats = -force[..., 1]
    off: Floats = np.zeros_like(plumb)
    for one in links:
        off = off + weight_n(one.mass_kg) * (one.com[..., 0] - over[..., 0])
        plumb = plumb + weight_n(one.mass_kg)
    reach = links[fore].end - over
    off = off - (reach[..., 0] * force[..., 1] - reach[..., 1] * force[..., 0])
    astray = off / plumb
    tilt = tilt - lean
    return Posture(
        lead="hip-flexion",
        lead_deg=hip_deg,
        links=spread_over(links, body.people, hip_deg.size),
        pulls=tuple(pulls),
        working=working_hinge(thigh, pelvis, trunk, 2, np.rad2deg(h), np.rad2deg(k), lean_deg(tilt), 1.0),
        stored_j=stored,
        possible=np.isfinite(lean) & (np.abs(astray) < CAN_STAND_CM / 100),
        why_not="The pull is too strong to stand against: step closer or take less.",
        shares={"hands": np.hypot(force[..., 0], force[..., 1]) / body.weight_n},
    )


def pull_from(setting: Setting, on: int, at: Floats, anchor: Floats) -> tuple[list[Pull], Floats | float]:
    """(pulls of the cable and the band from one anchor on a body point, the energy the band stores).

    Cable: rope force = stack x ratio, and friction on top, as on the way up.
    """
    pulls, stored = band_pull(setting, on, at, anchor)
    size = weight_n(setting["stack_kg"]) * setting["pulley_ratio"] * (1.0 + setting["pulley_friction"])
    if float(np.max(size)) > 0:
        step = anchor - at
        length = np.hypot(step[..., 0], step[..., 1])
        pulls.append(Pull(on, at, (size / np.maximum(length, 1e-9))[..., None] * step, "cable"))
    return pulls, stored


def pose_seated(body: Body, setting: Setting) -> Posture:
    """Sitting on a bench with the thighs still: the trunk bends forward over the hips, flat or rolled."""
    hip_deg = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    h = np.broadcast_to(np.deg2rad(hip_deg), (body.people, hip_deg.size))
    down = np.deg2rad(setting["thigh_down_deg"])
    hip = point(np.zeros_like(h), 0.0)
    knee = along(hip, -down, body.thigh.length_m)
    links: list[Link] = [hanging("thigh", -1, knee, hip, 1.0 - body.thigh.com, 2 * body.thigh.mass_kg)]
    lower = np.pi - down - h
    done = np.linspace(0.0, 1.0, hip_deg.size)
    bend = np.deg2rad(setting["roll_deg"]) * done
    pelvis, back, upper, shoulder = rolled_spine(links, 0, hip, lower, lower - bend / 2, lower - bend, body)
    tip = lower - bend
    if setting.word("hold") == "chest":
        arms(links, upper, shoulder, tip + np.pi, tip - np.pi / 3, body)
        chest = links[upper].start + 0.3 * (shoulder - links[upper].start)
        links.append(load_link("load", upper, chest, setting["load_kg"]))
    else:
        plumb = np.full_like(h, -np.pi / 2)
        fore, grip = arms(links, upper, shoulder, plumb, plumb, body)
        links.append(load_link("load", fore, grip, setting["load_kg"]))
    return Posture(
        lead="hip-flexion",
        lead_deg=hip_deg,
        links=spread_over(links, body.people, hip_deg.size),
        pulls=(),
        working=(
            Working("hip-extension", pelvis, 1.0, 2, np.rad2deg(h)),
            Working("trunk-extension", back, 1.0, 1, lean_deg(tip)),
        ),
    )


def pose_roll_down(body: Body, setting: Setting) -> Posture:
    """From standing tall the spine rolls and the pelvis leans in step; the legs lean back so far that it balances."""
    bend_deg = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    bend = np.broadcast_to(np.deg2rad(bend_deg), (body.people, bend_deg.size))
    whole = max(float(np.max(np.abs(bend_deg))), 1e-9)
    pelvis_lean = np.deg2rad(setting["hip_deg"]) * bend_deg / whole
    lower = np.pi / 2 - pelvis_lean
    middle = lower - np.deg2rad(bend_deg) * setting["middle_share"]
    upper_rad = lower - bend
    ankle = ankle_over_heel(body)
    over = point(setting["over_cm"] / 100, 0.0)
    links: list[Link] = [flat_foot(body, 2)]
    up = np.full_like(bend, np.pi / 2)
    thigh, hip = add_leg(links, 0, ankle, up, up, body, 2)
    legs = list(links)
    pelvis, back, upper, shoulder = rolled_spine(links, thigh, hip, lower, middle, upper_rad, body)
    load = setting["load_kg"]
    fore, grip = arms(links, upper, shoulder, -up, -up, body)
    links.append(load_link("load", fore, grip, load))
    # Only the legs lean; the trunk keeps its directions and rides on the hips.
    above = links[len(legs) :]
    couple = foot_couple(links[0], over)
    weight = np.zeros_like(bend)
    for one in above:
        couple = couple - weight_n(one.mass_kg) * (one.com[..., 0] - hip[..., 0])
        weight = weight + weight_n(one.mass_kg)
    riding = (hip, point(np.zeros_like(weight), -weight))
    lean = balancing_lean([*(weight_of(one) for one in legs[1:]), riding], ankle, over, couple)
    legs = leant(legs, ankle, lean)
    step = legs[thigh].end - hip
    moved = [Link(one.name, one.parent, one.start + step, one.end + step, one.com + step, one.mass_kg) for one in above]
    share = np.broadcast_to(load / body.mass_kg, bend.shape)
    return Posture(
        lead="trunk-flexion",
        lead_deg=bend_deg,
        links=spread_over([*legs, *moved], body.people, bend_deg.size),
        pulls=(),
        working=(
            Working("trunk-extension", back, 1.0, 1, lean_deg(upper_rad)),
            Working("hip-extension", pelvis, 1.0, 2, np.rad2deg(pelvis_lean - lean)),
        ),
        possible=np.isfinite(lean),
        why_not="Cannot balance like this: roll less far.",
        shares={"hands": share} if float(np.max(share)) > 0 else {},
    )


def pose_back_extension(body: Body, setting: Setting) -> Posture:
    """Thighs on the pad of a bench, heels held: the trunk goes down from the line of the legs."""
    hip_deg = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    h = np.broadcast_to(np.deg2rad(hip_deg), (body.people, hip_deg.size))
    slope = np.deg2rad(setting["bench_deg"])
    sides = TWO[setting.word("legs")]
    hip = point(np.zeros_like(h), 0.0)
    knee = along(hip, slope + np.pi, body.thigh.length_m)
    ankle = along(knee, slope + np.pi, body.shank.length_m)
    links: list[Link] = [
        hanging("shank", -1, ankle, knee, 1.0 - body.shank.com, 2 * body.shank.mass_kg),
        hanging("thigh", 0, knee, hip, 1.0 - body.thigh.com, 2 * body.thigh.mass_kg),
    ]
    tilt = slope - h
    pelvis, trunk, shoulder = straight_spine(links, 1, hip, tilt, body)
    if setting.word("arms") == "overhead":
        arms(links, trunk, shoulder, tilt, tilt, body)
    else:
        arms(links, trunk, shoulder, tilt + np.pi, tilt - np.pi / 3, body)
    links.append(load_link("load", trunk, hip + CHEST * (shoulder - hip), setting["load_kg"]))
    angle = np.broadcast_to(hip_deg, h.shape)
    return Posture(
        lead="hip-flexion",
        lead_deg=hip_deg,
        links=spread_over(links, body.people, hip_deg.size),
        pulls=(),
        working=(
            Working("hip-extension", pelvis, 1.0, sides, angle),
            Working("trunk-extension", trunk, 1.0, 1, lean_deg(tilt)),
        ),
    )


def pose_leg_raise(body: Body, setting: Setting) -> Posture:
    """The trunk lies on a bench, the straight legs hang over its edge: from the line of the body down."""
    hip_deg = degrees(float(setting["from_deg"][0, 0]), float(setting["to_deg"][0, 0]))
    h = np.broadcast_to(np.deg2rad(hip_deg), (body.people, hip_deg.size))
    hip = point(np.zeros_like(h), 0.0)
    shoulder = along(hip, np.full_like(h, np.pi), body.trunk.length_m)
    links: list[Link] = [hanging("trunk", -1, shoulder, hip, 1.0 - body.trunk.com, body.trunk.mass_kg)]
    knee = along(hip, -h, body.thigh.length_m)
    links.append(hanging("thigh", 0, hip, knee, body.thigh.com, 2 * body.thigh.mass_kg))
    ankle = along(knee, -h, body.shank.length_m)
    links.append(hanging("shank", 1, knee, ankle, body.shank.com, 2 * body.shank.mass_kg))
    toes = along(ankle, -h, body.heel_to_ball_m - body.heel_to_ankle_m)
    links.append(hanging("foot", 2, ankle, toes, 0.5, 2 * body.foot.mass_kg))
    links.append(load_link("load", 2, ankle, setting["load_kg"]))
    crown = along(shoulder, np.full_like(h, np.pi), body.head.length_m)
    links.append(hanging("head", 0, shoulder, crown, body.head.com, body.head.mass_kg))
    angle = np.broadcast_to(hip_deg, h.shape)
    return Posture(
        lead="hip-flexion",
        lead_deg=hip_deg,
        links=spread_over(links, body.people, hip_deg.size),
        pulls=(),
        working=(Working("hip-extension", 1, 1.0, 2, angle),),
    )


def hip_range(start: float, end: float, low: float = 0.0, high: float = 130.0) -> tuple[Dial, Dial]:
    """Dials of the hip's range."""
    return (
        Dial("from_deg", start, "hip flexion (thigh to trunk) at the start, degrees", low, high, "deg"),
        Dial("to_deg", end, "hip flexion at the bottom, degrees", low, high, "deg"),
    )


KNEES = (
    Dial("knee_deg", 10.0, "knee flexion when standing tall, degrees", 0.0, 60.0, "deg", spread=HIP_SD_DEG),
    Dial("knee_per_hip", 0.15, "degrees that the knees bend for each degree of the hips", 0.0, 1.2, spread=0.05),
)

HINGE = Model(
    "hinge",
    (
        *hip_range(0.0, 90.0),
        *KNEES,
        Dial("legs", "two", "on two legs, one, or most of it on the front leg", choices=("two", "one", "staggered")),
        Dial(
            "hold",
            "hanging",
            "the load: arms hanging, close over the foot, bar on the back, hugged to the chest",
            choices=("hanging", "close", "back", "chest"),
        ),
        Dial("front_share", FRONT_LEG, "share of the moment in the front leg of a staggered stance", 0.5, 1.0),
        Dial("hand_share", 0.0, "push of a supporting hand over body weight", 0.0, 0.4, spread=0.4, relative=True),
        OVER,
        LOAD,
        *TEMPO,
        *UNDER_FOOT,
    ),
    pose_hinge,
    f"The hand supports plumb below the shoulder; the floor below the plates is not looked at. {MOMENT_ONLY}",
)
PULL_THROUGH = Model(
    "pull-through",
    (
        *hip_range(0.0, 80.0),
        *KNEES,
        Dial("arm_deg", 20.0, "how far the arms are off the trunk, degrees", 0.0, 60.0, "deg", spread=5.0),
        Dial("stack_kg", 0.0, "mass lifted at the stack, kg", 0.0, 200.0, "kg"),
        Dial("pulley_ratio", 1.0, "rope force over stack weight: 1, or 0.5 with a running pulley", 0.2, 2.0),
        Dial(
            "pulley_friction", PULLEY_FRICTION, "friction on the way up, share of the pull", 0.0, 0.4, spread=PULLEY_SD
        ),
        Dial("pulley_x_cm", -120.0, "pulley or band anchor forward of the ankles, cm", -300.0, 0.0, "cm", spread=10.0),
        Dial("pulley_z_cm", 15.0, "its height, cm", 0.0, 250.0, "cm"),
        OVER,
        *TEMPO,
        *UNDER_FOOT,
    ),
    pose_pull_through,
    f"The arms keep their angle to the trunk and do no work. {MOMENT_ONLY}",
)
SEATED = Model(
    "seated hinge",
    (
        *hip_range(80.0, 115.0, 40.0, 150.0),
        Dial("thigh_down_deg", 10.0, "how far the thighs slope down to the knees", -20.0, 60.0, "deg", spread=4.0),
        Dial("roll_deg", 0.0, "how far the spine rolls at the bottom, degrees; 0 for a flat back", 0.0, 110.0, "deg"),
        Dial("hold", "chest", "the load: hugged to the chest, or arms hanging", choices=("chest", "hanging")),
        LOAD,
        *TEMPO,
    ),
    pose_seated,
    f"Legs and pelvis do not slide. {MOMENT_ONLY} Loaded rounding is closed with a history of back trouble.",
)
ROLL_DOWN = Model(
    "roll-down",
    (
        Dial("from_deg", 0.0, "bend of the spine at the start, degrees", 0.0, 130.0, "deg"),
        Dial("to_deg", 60.0, "bend of the spine at the bottom, pelvis to upper back, degrees", 0.0, 130.0, "deg"),
        Dial("hip_deg", 60.0, "lean of the pelvis at the bottom, degrees", 0.0, 110.0, "deg", spread=HIP_SD_DEG),
        Dial("middle_share", 0.5, "share of the bend below the middle of the back", 0.0, 1.0, spread=0.1),
        OVER,
        LOAD,
        *TEMPO,
    ),
    pose_roll_down,
    f"{MOMENT_ONLY} Rolling changes what is stretched far more than the moment. "
    "Loaded rounding is closed with a history of back trouble.",
)
BACK_EXTENSION = Model(
    "back extension",
    (
        *hip_range(0.0, 80.0, -20.0),
        Dial("bench_deg", 45.0, "slope of the bench, degrees; 0 for level", 0.0, 60.0, "deg"),
        Dial("legs", "two", "on two legs or one", choices=("two", "one")),
        Dial("arms", "folded", "where the arms are", choices=("folded", "overhead")),
        LOAD,
        *TEMPO,
    ),
    pose_back_extension,
    f"The pad ends at the hips. {MOMENT_ONLY}",
)
LEG_RAISE = Model(
    "prone leg raise",
    (*hip_range(0.0, 70.0, -20.0), LOAD, *TEMPO),
    pose_leg_raise,
    "Trunk and pelvis lie still; the knees stay straight.",
)
