"""Poses of trunk work, carries, mobility and conditioning."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import asin, degrees
from types import MappingProxyType

from setwright.catalogue.exercise import Exercise
from setwright.publish.drawing import Scene, Thing
from setwright.publish.mannequin import Build, Figure, away, front, front_limbs, heading, on_feet, pose, shifted
from setwright.publish.poses.arms import hang, lying
from setwright.publish.poses.kit import (
    BENCH,
    Poser,
    angle,
    bench,
    box,
    floor,
    in_hands,
    post,
    pull_line,
    scene,
    solve,
    wall,
)
from setwright.publish.poses.legs import bends, hold_or_both, squat

ON_BACK = floor(-1.1, 1.1)


def straight_body(b: Build, shoulder_z: float, on_knees: bool = False) -> Figure:
    """In one line from the toes (or the knees) to the head, face down, the shoulder at a height."""
    foot_z, length = (0.06, b.trunk + b.thigh) if on_knees else (0.16, b.trunk + b.leg)
    tilt = degrees(asin((shoulder_z - foot_z) / length))
    one = pose(b, trunk=tilt, knee=tilt if on_knees else 0.0, ankle=-80.0 if on_knees else 0.0)
    if on_knees:
        return one.put("knee", -0.6, foot_z)
    one = one.put("ankle", -0.8, foot_z)
    return one.foot_to(-0.8, foot_z, -80.0)


def all_fours(b: Build, **more: float) -> Figure:
    """On hands and knees, the back flat."""
    lift = degrees(asin((b.arm - b.thigh - 0.02) / b.trunk))
    one = pose(b, trunk=lift, hip=90.0 - lift, knee=90.0, ankle=-70.0, shoulder=90.0 - lift, **more)
    return one.put("knee", -0.25, 0.06)


def front_trunk(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Planks, rollouts, dead bugs, hollow holds."""
    around: list[Thing] = [floor(-1.2, 1.1)]
    if e.base.startswith("plank"):
        one = straight_body(b, b.upper_arm + 0.04, "knee" in e.slug)
        ahead = 0.16 if "long" in e.slug else 0.0
        elbow = (one["shoulder"][0] + ahead, 0.035)
        hand = (elbow[0] + b.forearm, 0.035)
        one = one.with_points(elbow=elbow, far_elbow=elbow, hand=hand, far_hand=hand)
        return (scene(one, around),)
    if e.slug == "body_saw":
        made = []
        for back in (0.0, 0.14):
            one = straight_body(b, b.upper_arm + 0.04 - back * 0.3)
            elbow = (one["shoulder"][0], 0.035)
            one = one.moved(-back, 0.0)
            hand = (elbow[0] + b.forearm, 0.035)
            one = one.with_points(elbow=elbow, far_elbow=elbow, hand=hand, far_hand=hand)
            slide = Thing("board", ((one["toe"][0] - 0.08, 0.012), (one["toe"][0] + 0.1, 0.012)))
            made.append(scene(one, around, slide))
        return made
    if e.slug == "bear_hold":
        start = all_fours(b)
        one = pose(b, trunk=start.trunk_deg - 9.0).put("shoulder", *start["shoulder"])
        one = one.hand_to(one["shoulder"][0], 0.035).foot_to(-0.62, 0.15, -70.0)
        return (scene(one, around),)
    if e.base.startswith("dead_bug"):
        arms = e.slug == "dead_bug"
        start = pose(b, trunk=180.0, hip=90.0, knee=90.0, shoulder=90.0).grounded(name="hip")
        far = {"far_shoulder": 160.0} if arms else {"far_shoulder": 90.0}
        end = pose(b, trunk=180.0, hip=20.0, knee=10.0, far_hip=90.0, far_knee=90.0, shoulder=90.0, **far)
        return scene(start, ON_BACK), scene(end.put("hip", *start["hip"]), ON_BACK)
    if e.slug == "hollow_hold":
        one = pose(b, trunk=180.0, bend=18.0, hip=22.0, knee=3.0, shoulder=155.0, ankle=-30.0).put("hip", 0.0, 0.085)
        return (scene(one, ON_BACK),)
    if e.base.startswith("rollout"):
        return rollout(e, b)
    return None


def rollout(e: Exercise, b: Build) -> Sequence[Scene]:
    """Kneeling or standing, the hands on a wheel that rolls ahead."""
    made = []
    radius = 0.10
    if e.slug == "rollout_stand":
        start = on_feet(b, 5.0, 10.0, 125.0, shoulder=60.0)
        hand = (start["hand"][0] + 0.1, radius + 0.02)
        start = start.hand_to(*hand)
        end = straight_body(b, 0.25).moved(-0.25, 0.0)
        poses = [start, end.hand_to(end["shoulder"][0] + b.arm * 0.98, radius + 0.02)]
    else:
        start = pose(b, trunk=35.0, hip=55.0, knee=90.0, ankle=-70.0, shoulder=60.0).put("knee", -0.35, 0.06)
        start = start.hand_to(start["shoulder"][0] + 0.02, radius + 0.02)
        end = pose(b, trunk=10.0, hip=15.0, knee=25.0, ankle=-70.0).put("knee", -0.35, 0.06)
        end = end.foot_to(-0.35 - b.shank, 0.1, -160.0)
        reach = 0.98 * b.arm
        drop = end["shoulder"][1] - radius - 0.02
        end = end.hand_to(end["shoulder"][0] + max(reach**2 - drop**2, 0.04) ** 0.5, radius + 0.02)
        poses = [start, end]
    for one in poses:
        around = [floor(-0.95, 1.3)]
        if e.slug == "rollout_wall":
            around.append(wall(poses[1]["hand"][0] + 0.12, 0.8))
        made.append(scene(one, around, Thing("wheel", (one["hand"],))))
    return made


def side_trunk(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Side planks, from the front."""
    straight_arm = angle(e, "elbow-flexion", 90) < 45
    on_knees = "knee" in e.slug
    height = b.arm if straight_arm else b.upper_arm + 0.04
    length = b.trunk + (b.thigh if on_knees else b.leg)
    tilt = degrees(asin((height + 0.05) / length))
    one = front(b, trunk=180.0 - tilt, arms=((270.0, 270.0), (90.0 if straight_arm else 350.0, 80.0)))
    leg = -tilt
    for key in ("l_", "r_"):
        one[f"{key}knee"] = away(one[f"{key}hip"], leg, b.thigh)
        one[f"{key}ankle"] = away(one[f"{key}knee"], leg, 0.1 if on_knees else b.shank)
    low = min(one["l_ankle"][1], one["l_knee"][1])
    one = shifted(one, 0.0, 0.05 - low)
    x = one["l_shoulder"][0]
    if straight_arm:
        one["l_elbow"], one["l_hand"] = (x, 0.5 * one["l_shoulder"][1]), (x, 0.03)
    else:
        one["l_elbow"], one["l_hand"] = (x, 0.035), (x - 0.2, 0.035)
        one["r_elbow"], one["r_hand"] = away(one["r_shoulder"], -tilt, b.upper_arm), away(one["r_hip"], 70.0, 0.06)
    return (Scene(front_limbs(one, feet=False), (floor(-1.0, 1.0),)),)


def press_out(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Hands before the chest, the pull from the side: drawn from the front."""
    one = shifted(front(b, arms=((300.0, 30.0), (240.0, 150.0)), short_arms=0.85), 0.0, b.leg + b.ankle)
    z = one["l_shoulder"][1] - 0.16
    for key, side in (("l_", -1), ("r_", 1)):
        one[f"{key}hand"] = (0.03 * side, z)
        one[f"{key}elbow"] = (0.21 * side, z - 0.1)
    return (Scene(front_limbs(one), (floor(-0.5, 1.1), *pull_line(e, (0.03, z), (1.0, z)))),)


def back_trunk(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Bird dogs and lifts face down."""
    if e.slug == "prone_ext_hold":
        one = pose(b, trunk=10.0, bend=-10.0, hip=-8.0, shoulder=10.0, ankle=-40.0).put("hip", 0.0, 0.085)
        return (scene(one, floor(-1.1, 1.0)),)
    start = all_fours(b)
    lift = start.trunk_deg
    arms = {"far_shoulder": angle(e, "shoulder-elevation", 150) + 15.0} if e.slug == "bird_dog" else {}
    end = pose(
        b,
        trunk=lift,
        hip=-lift - 2.0,
        knee=3.0,
        ankle=-20.0,
        shoulder=90.0 - lift,
        far_hip=90.0 - lift,
        far_knee=90.0,
        far_ankle=-70.0,
        **arms,
    ).put("far_knee", *start["far_knee"])
    return scene(start, floor(-1.1, 1.0)), scene(end, floor(-1.1, 1.0))


def trunk_bend(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Curl-ups, sit-ups, and knees or legs raised hanging."""
    if e.body_position == "hang":
        return hang(e, b)
    flat = lying(b, 0.0, 0.48, shoulder=40.0, elbow=100.0, nod=5.0)
    if e.slug.startswith("situp"):
        up = pose(b, trunk=110.0, bend=30.0, shoulder=60.0, elbow=80.0).put("hip", 0.0, 0.085).foot_to(0.48, b.ankle)
    else:
        bend = angle(e, "trunk-flexion", 30)
        up = pose(b, trunk=180.0, bend=bend, shoulder=40.0, elbow=100.0, nod=bend * 0.4).put("hip", 0.0, 0.085)
        up = up.foot_to(0.48, b.ankle)
    if e.slug == "situp_load":
        flat, up = flat.hand_to(*flat.front_of("shoulder", 0.2)), up.hand_to(*up.front_of("shoulder", 0.2))
        return scene(flat, ON_BACK, in_hands(e, flat)), scene(up, ON_BACK, in_hands(e, up))
    return hold_or_both(e, scene(flat, ON_BACK), scene(up, ON_BACK))


def trunk_turn(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Chops and turns, from the front: both hands go from one side to the other."""
    height = {"woodchop": (0.45, -0.45), "woodchop_low": (-0.45, 0.45)}.get(e.slug, (0.02, 0.02))
    made = []
    anchor_z = {"woodchop": 2.0, "woodchop_low": 0.15}.get(e.slug, 1.35)
    for side, dz in ((1, height[0]), (-1, height[1])):
        one = shifted(front(b, legs=((262.0, 268.0), (278.0, 272.0))), 0.0, b.leg + b.ankle - 0.01)
        z = one["neck"][1] + dz - 0.05
        hand = (0.5 * side if abs(dz) < 0.3 else 0.42 * side, z)
        for key in ("l_", "r_"):
            at = one[f"{key}shoulder"]
            one[f"{key}elbow"] = ((at[0] + hand[0]) / 2, (at[1] + hand[1]) / 2)
            one[f"{key}hand"] = hand
        made.append(Scene(front_limbs(one), (floor(-0.7, 1.1), *pull_line(e, hand, (1.05, anchor_z)))))
    return made


def carry(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Walking (or standing) with the load where it is carried."""
    still = e.mode == "isometric"
    arms: dict[str, float] = {"shoulder": 2.0, "elbow": 3.0}
    one_side = e.laterality == "one-side-load"
    if "oh_" in e.slug:
        arms = {"shoulder": 175.0}
    elif "front-rack" in e.positions or "bottoms_up" in e.slug:
        arms = {"shoulder": 40.0, "elbow": 130.0}
    elif e.slug == "bear_hug_carry":
        arms = {"shoulder": 45.0, "elbow": 75.0}
    if one_side:
        arms |= {"far_shoulder": -12.0, "far_elbow": 8.0}
    toes = {"ankle": -30.0} if e.slug.startswith("toe_walk") else {}
    if still:
        one = pose(b, **arms).grounded()
    else:
        one = pose(
            b, hip=22.0, knee=8.0, far_hip=-14.0, far_knee=22.0, **(toes or {"ankle": 3.0, "far_ankle": -15.0}), **arms
        )
        one = one.grounded(x=0.2)
    load = in_hands(e, one)
    if e.slug == "bear_hug_carry":
        load = (Thing("sandbag", (one.front_of("waist", 0.26),)),)
    return (scene(one, floor(), load),)


def ankles(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Knee to the wall."""
    ankle = angle(e, "ankle-dorsiflexion", 35)
    if e.slug == "knee_to_wall":
        made = []
        x_wall = b.shank * 0.64 + 0.07

        def kneeling(hip_x: float) -> Figure:
            one = pose(b, trunk=88.0, far_hip=0.0, far_knee=90.0, far_ankle=-70.0).put("hip", hip_x, 0.06 + b.thigh)
            return one.foot_to(0.0, b.ankle, 0.0, "near")

        for lean in (0.0, ankle):
            # The hip goes ahead until the shin leans as far as the ankle bends.
            def short_of(hip_x: float, lean: float = lean) -> float:
                return 90.0 - heading((0.0, b.ankle), kneeling(hip_x)["knee"]) - lean

            one = kneeling(solve(short_of, -0.5, 0.1))
            one = one.hand_to(x_wall - 0.02, one["shoulder"][1] - 0.05)
            made.append(scene(one, floor(-0.9, 0.5), wall(x_wall, 1.4)))
        return made
    one = on_feet(b, ankle, angle(e, "knee-flexion", 60), angle(e, "hip-flexion", 40), shoulder=70.0)
    one = one.foot_to(one["hip"][0] - 0.32, 0.12, -35.0, "far")
    x_wall = one["knee"][0] + 0.07
    start = on_feet(b, 8.0, 15.0, 10.0).foot_to(-0.35, 0.1, -30.0, "far")
    made = []
    for figure in (start, one):
        made.append(scene(figure.hand_to(x_wall - 0.02, figure["shoulder"][1] - 0.1), floor(), wall(x_wall)))
    return made


def hip_range(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Deep squats held, lunges for the hip, leg swings, seated bends."""
    if e.base.startswith("deep_squat"):
        low = squat(e, b)
        if e.slug == "deep_squat_pry" and low:
            one = on_feet(b, **bends(e), shoulder=80.0)
            x = one["shoulder"][0] + 0.5
            return (scene(one.hand_to(x, one["shoulder"][1]), floor(), post(x, 1.1)),)
        return low[1:] if low else None
    if e.slug == "leg_swing":
        made = []
        for hip in (angle(e, "hip-flexion", 80), -angle(e, "hip-extension", 15)):
            one = pose(b, hip=hip, knee=8.0, far_hip=0.0).put("far_ankle", 0.0, b.ankle)
            made.append(scene(one.hand_to(0.28, 1.0, "far"), floor(), post(0.28, 1.05)))
        return made
    if e.slug == "hip_flexor_lunge":
        one = pose(b, trunk=90.0, far_hip=-angle(e, "hip-extension", 15), far_knee=75.0, far_ankle=-60.0, shoulder=10.0)
        one = one.put("far_knee", -0.3, 0.06)
        one = one.foot_to(one["hip"][0] + b.thigh, b.ankle, 0.0, "near")
        return (scene(one, floor(-1.0, 0.8), box(-0.42, -0.15, 0.01, kind="pad")),)
    if e.slug == "seated_gm_neutral":
        made = []
        for trunk in (90.0, 180.0 - angle(e, "hip-flexion", 110) - 30.0):
            one = pose(b, trunk=trunk, shoulder=35.0, elbow=130.0).put("hip", 0.0, BENCH + 0.085).foot_to(0.45, b.ankle)
            made.append(scene(one, floor(-0.7, 0.9), *bench(-0.6, 0.25), in_hands(e, one)))
        return made
    return None


def shoulder_range(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Raises with a stick, wall slides, pullovers, a bell held up."""
    if e.slug == "overhead_raise_stick" or e.slug == "dislocate":
        end = 170.0 if e.slug == "overhead_raise_stick" else 215.0
        start, over = on_feet(b, shoulder=15.0), on_feet(b, shoulder=end)
        return scene(start, floor(), Thing("grip", (start["hand"],))), scene(
            over, floor(), Thing("grip", (over["hand"],))
        )
    if e.slug == "pendulum":
        one = on_feet(b, 5.0, 15.0, angle(e, "hip-flexion", 70), arm_deg=275.0)
        x = one["shoulder"][0] + 0.25
        return (scene(one.hand_to(x, 0.75, "far"), floor(-0.6, 1.1), box(x - 0.08, x + 0.4, 0.72)),)
    if e.slug == "wall_slide":
        made = []
        for arms in (((190.0, 95.0), (350.0, 85.0)), ((120.0, 98.0), (60.0, 82.0))):
            seen = shifted(front(b, arms=arms), 0.0, b.leg + b.ankle)
            made.append(
                Scene(front_limbs(seen), (floor(), Thing("wall", ((-0.7, 0.0), (-0.7, 2.1), (0.7, 2.1), (0.7, 0.0)))))
            )
        return made
    if e.slug == "pullover_db":
        made = []
        for arm in (90.0, min(angle(e, "shoulder-elevation", 180), 178.0)):
            one = lying(b, BENCH, 0.48, shoulder=arm, elbow=12.0)
            made.append(scene(one, floor(-1.3, 0.8), *bench(-0.85, 0.2), in_hands(e, one)))
        return made
    if e.slug in ("arm_bar_supine",):
        one = lying(b, 0.0, 0.48, shoulder=90.0, far_shoulder=10.0)
        return (scene(one, ON_BACK, in_hands(e, one, both=False)),)
    return None


def spine_range(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Rolling down, and rounding and arching on all fours or seated."""
    bend, arch = angle(e, "trunk-flexion", 50), angle(e, "trunk-extension", 25)
    if e.slug == "roll_down":
        start = on_feet(b)
        low = pose(b, trunk=90.0 - 70.0, bend=bend, hip=70.0, knee=5.0, nod=20.0)
        low = low.put("ankle", 0.0, b.ankle)
        low = low.hand_to(low["shoulder"][0] - 0.02, low["shoulder"][1] - 0.97 * b.arm)
        up = 0.3
        start, low = start.moved(0.0, up), low.moved(0.0, up)
        around = [floor(), box(-0.25, 0.3, up)]
        return scene(start, around, in_hands(e, start)), scene(low, around, in_hands(e, low))
    if e.slug == "roll_down_seated":
        made = []
        for trunk, curl in ((92.0, 0.0), (55.0, bend)):
            one = pose(b, trunk=trunk, bend=curl, nod=curl * 0.3).put("hip", 0.0, BENCH + 0.085).foot_to(0.42, b.ankle)
            one = one.hand_to(one["shoulder"][0] + 0.02, max(one["shoulder"][1] - 0.97 * b.arm, 0.1))
            made.append(scene(one, floor(-0.6, 0.9), *bench(-0.55, 0.22)))
        return made
    if e.slug == "cat_cow":
        made = []
        start = all_fours(b)
        for rise in (0.10, -0.07):
            waist = start["waist"][0], start["waist"][1] + rise
            nod = -35.0 if rise > 0 else 25.0
            crown = away(start["shoulder"], start.trunk_deg + nod, b.head)
            made.append(scene(start.with_points(waist=waist, crown=crown), floor(-0.9, 0.9)))
        return made
    if e.slug == "cat_cow_sit":
        made = []
        for lean, curl in ((105.0, bend), (82.0, -arch)):
            one = pose(b, trunk=lean, bend=curl, nod=curl * 0.4).put("hip", 0.0, BENCH + 0.085).foot_to(0.42, b.ankle)
            one = one.hand_to(one["knee"][0] - 0.08, one["knee"][1] + 0.08)
            made.append(scene(one, floor(-0.6, 0.8), *bench(-0.5, 0.22)))
        return made
    return None


def neck(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """The hand against the forehead."""
    if e.slug != "neck_iso":
        return None
    one = pose(b, hip=90.0, knee=90.0).grounded()
    head = away(one["crown"], 270.0, 0.1)
    one = one.hand_to(head[0] + 0.12, head[1] + 0.02)
    return (scene(one, floor(), box(one["hip"][0] - 0.2, one["hip"][0] + 0.2, one["hip"][1] - 0.09)),)


def conditioning(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """One moment of what goes round and round."""
    hip, knee = angle(e, "hip-flexion", 50), angle(e, "knee-flexion", 60)
    if e.base in ("bike", "bike_easy"):
        one = pose(b, trunk=60.0, hip=60.0, knee=90.0).put("hip", 0.0, 0.98)
        one = one.foot_to(0.28, 0.52, -10.0, "near").foot_to(0.18, 0.22, -15.0, "far").hand_to(0.68, 1.15)
        frame = [
            Thing("frame", ((0.0, 0.88), (0.22, 0.38))),
            Thing("frame", ((0.22, 0.38), (0.62, 0.95))),
            Thing("frame", ((0.62, 0.95), (0.68, 1.12))),
            Thing("frame", ((0.22, 0.38), (-0.05, 0.02))),
            Thing("frame", ((0.4, 0.64), (0.62, 0.02))),
            Thing("wheel", ((0.23, 0.37),)),
            box(-0.14, 0.1, 0.9, 0.86, "bench"),
        ]
        return (scene(one, floor(-0.5, 0.9), frame),)
    if e.slug == "rower":
        made = []
        for x, lean, reach in ((0.28, 65.0, None), (-0.12, 112.0, 0.22)):
            one = pose(b, trunk=lean).put("hip", x, 0.42).foot_to(0.72, 0.28, 60.0)
            hand = (x + 0.86, 0.7) if reach is None else (x + 0.06, 0.72)
            one = one.hand_to(*hand)
            rail = Thing("post", ((-0.7, 0.3), (1.25, 0.3)))
            made.append(
                scene(
                    one,
                    floor(-0.8, 1.3),
                    rail,
                    box(x - 0.12, x + 0.12, 0.34, 0.3, "bench"),
                    Thing("frame", ((-0.6, 0.3), (-0.6, 0.0))),
                    Thing("frame", ((1.1, 0.3), (1.1, 0.0))),
                    Thing("wheel", ((1.2, 0.45),)),
                    Thing("cable", (one["hand"], (1.2, 0.5))),
                )
            )
        return made
    if e.slug == "double_pole":
        made = []
        for figure in (
            on_feet(b, 5.0, 10.0, 12.0, shoulder=150.0, elbow=20.0),
            on_feet(b, 12.0, 35.0, 70.0, shoulder=10.0),
        ):
            made.append(
                scene(figure, floor(-0.6, 1.0), post(0.85, 2.1), Thing("cable", (figure["hand"], (0.85, 2.05))))
            )
        return made
    if e.slug == "arm_bike":
        one = pose(b, trunk=88.0, hip=88.0, knee=90.0).grounded()
        x, z = one["shoulder"][0] + 0.42, one["shoulder"][1] - 0.1
        one = one.hand_to(x + 0.1, z, "near").hand_to(x - 0.1, z, "far")
        seat = box(one["hip"][0] - 0.2, one["hip"][0] + 0.2, one["hip"][1] - 0.09)
        return (scene(one, floor(-0.8, 0.9), seat, post(x, z), Thing("wheel", ((x, z),))),)
    if e.slug == "rope_skip":
        one = pose(b, hip=8.0, knee=18.0, ankle=-25.0, shoulder=5.0, elbow=70.0).put("toe", 0.1, 0.1)
        hand = one["hand"]
        # The rope on its way under the feet: a bow from the hand.
        bow = tuple(
            (hand[0] + 0.5 * (1 - (1 - t / 8) ** 2) - 0.75 * (t / 8) ** 2, hand[1] * (1 - (t / 8) ** 1.5) + 0.03)
            for t in range(9)
        )
        return (scene(one, floor(), Thing("rope", bow)),)
    if e.slug == "march":
        one = pose(
            b,
            hip=90.0,
            knee=90.0,
            far_hip=0.0,
            far_knee=2.0,
            shoulder=-30.0,
            elbow=70.0,
            far_shoulder=45.0,
            far_elbow=70.0,
        )
        return (scene(one.put("far_ankle", 0.0, b.ankle), floor()),)
    if e.slug == "step_cardio":
        height = 0.2
        one = on_feet(b, 15.0, knee, hip, shoulder=-25.0, elbow=60.0).put("ankle", 0.1, b.ankle + height)
        one = one.foot_to(one["hip"][0] - 0.25, 0.13, -40.0, "far")
        return (scene(one, floor(), box(-0.05, 0.45, height)),)
    run = e.slug in ("run", "jog_easy")
    lean, swing = (82.0, 90.0) if run else (88.0, 25.0)
    one = pose(
        b,
        trunk=lean,
        hip=hip if run else 28.0,
        knee=knee if run else 10.0,
        far_hip=-12.0,
        far_knee=70.0 if run else 28.0,
        far_ankle=-15.0,
        shoulder=-30.0 if run else -20.0,
        elbow=swing,
        far_shoulder=35.0 if run else 22.0,
        far_elbow=swing,
    )
    if run:
        one = pose(
            b,
            trunk=lean,
            hip=hip,
            knee=knee + 20,
            far_hip=-18.0,
            far_knee=12.0,
            far_ankle=-35.0,
            shoulder=-45.0,
            elbow=85.0,
            far_shoulder=40.0,
            far_elbow=85.0,
        ).put("far_toe", -0.2, 0.04)
        return (scene(one, floor()),)
    one = one.grounded(x=0.2)
    if e.slug == "incline_walk":
        one = pose(
            b,
            trunk=80.0,
            hip=50.0,
            knee=40.0,
            ankle=15.0,
            far_hip=5.0,
            far_knee=15.0,
            far_ankle=-10.0,
            shoulder=-20.0,
            elbow=40.0,
            far_shoulder=25.0,
            far_elbow=40.0,
        ).put("heel", 0.15, 0.20)
        one = one.foot_to(one["hip"][0] - 0.34, 0.17, -25.0, "far").foot_to(0.22, 0.27, 12.0, "near")
        return (scene(one, Thing("floor", ((-0.7, 0.0), (0.8, 0.32)))),)
    return (scene(one, floor()),)


PATTERNS: Mapping[str, Poser] = MappingProxyType(
    {
        "anti_extension": front_trunk,
        "anti_lateral": side_trunk,
        "anti_rotation": press_out,
        "trunk_extension": back_trunk,
        "trunk_flexion": trunk_bend,
        "trunk_rotation": trunk_turn,
        "carry": carry,
        "mobility_ankle": ankles,
        "mobility_hip": hip_range,
        "mobility_shoulder": shoulder_range,
        "mobility_spine": spine_range,
        "neck": neck,
        "conditioning": conditioning,
    }
)
