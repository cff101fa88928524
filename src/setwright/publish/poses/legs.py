"""Poses of squats, lunges, hinges, bridges, calf and leg work, jumps and sleds."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from setwright.catalogue.exercise import Exercise
from setwright.publish.drawing import Scene, Thing
from setwright.publish.mannequin import Build, Figure, away, bent, front, front_limbs, heading, on_feet, pose, shifted
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
    slope,
    solve,
    tokens,
    wall,
)


def bends(e: Exercise, knee: float = 90.0, hip: float = 90.0, ankle: float = 15.0) -> dict[str, float]:
    """Ankle, knee and hip of the deepest point."""
    return {
        "ankle": angle(e, "ankle-dorsiflexion", ankle),
        "knee": angle(e, "knee-flexion", knee),
        "hip": angle(e, "hip-flexion", hip),
    }


def arms_of(e: Exercise, trunk_deg: float) -> dict[str, float]:
    """Where the arms of a squat are: under the bar, at the chest, or reaching forward."""
    what = tokens(e)
    if "bar-on-back" in e.positions:
        return {"shoulder": -35.0, "elbow": 140.0}
    if "front-rack" in e.positions and "barbell" in what:
        return {"shoulder": 80.0, "elbow": 145.0}
    if angle(e, "elbow-flexion") >= 100 and ("dumbbell" in what or "kettlebell" in what):
        return {"shoulder": 30.0, "elbow": 130.0}
    if e.load_means == "each hand" and "grip" in e.positions:
        return {"shoulder": 90.0 - trunk_deg}
    if "grip" in e.positions or "load-at-hips" in e.positions:
        return {"shoulder": 90.0 - trunk_deg + 10.0}
    return {"shoulder": 175.0 - trunk_deg}


def squat(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Standing, and the deepest point on flat feet."""
    if "machine:leg_press" in tokens(e):
        return leg_press(e, b)
    if "machine:hack_squat" in tokens(e):
        return hack_squat(e, b)
    foot = -14.0 if "wedge" in tokens(e) else 0.0
    deep = bends(e)
    trunk = 90.0 + foot - deep["ankle"] + deep["knee"] - deep["hip"]
    if trunk > 88.0:
        deep["hip"] += trunk - 85.0
        trunk = 85.0
    low = on_feet(b, **deep, foot_deg=foot, **arms_of(e, trunk))
    upright = arms_of(e, 90.0) if arms_of(e, 90.0)["shoulder"] < 80 or "front-rack" in e.positions else {"shoulder": 10}
    high = on_feet(b, ankle=foot, foot_deg=foot, **upright)
    around: list[Thing] = [floor()]
    if foot:
        around.append(Thing("wedge", ((-0.12, 0.0), (-0.12, 0.05), (0.1, 0.0))))
    if "box" in e.slug and ("box" in tokens(e) or "chair_bench" in tokens(e)):
        around.append(box(low["hip"][0] - 0.28, low["hip"][0] + 0.12, low["hip"][1] - 0.09))
    if e.slug == "bw_squat_hand":
        x = low["shoulder"][0] + 0.5
        around.append(post(x))
        low, high = low.hand_to(x, 0.95), high.hand_to(x, 0.95)
    if e.base.startswith("spanish_squat"):
        low = on_feet(b, 0.0, deep["knee"], deep["knee"] - 2.0, shoulder=80.0)
        pulls = [pull_line(e, (one["knee"][0] - 0.05, one["knee"][1]), (0.75, 0.5)) for one in (high, low)]
        return hold_or_both(e, scene(high, around, pulls[0]), scene(low, around, pulls[1]))
    if e.slug == "belt_squat":
        ropes = [Thing("rope", (one["hip"], (one["hip"][0], 0.2))) for one in (high, low)]
        weights = [Thing("plate", ((one["hip"][0], 0.16),)) for one in (high, low)]
        return scene(high, around, ropes[0], weights[0]), scene(low, around, ropes[1], weights[1])
    loads = [in_hands(e, one) for one in (high, low)]
    return hold_or_both(e, scene(high, around, loads[0]), scene(low, around, loads[1]))


def hold_or_both(e: Exercise, start: Scene, end: Scene) -> Sequence[Scene]:
    """Only the end for a hold, start and end for what moves."""
    return (end,) if e.mode == "isometric" else (start, end)


def leg_press(e: Exercise, b: Build) -> Sequence[Scene]:
    """Leaning back in the machine, feet on the plate; the knees come to the chest."""
    deep_knee, hip = angle(e, "knee-flexion", 100), angle(e, "hip-flexion", 100)
    one_leg = {"far_hip": 40.0, "far_knee": 70.0} if e.laterality == "one" else {}
    made: list[Scene] = []
    calf = e.pattern == "calf"
    for knee, hip_now in ((10.0, hip if calf else hip - 35.0), (10.0 if calf else deep_knee, hip)):
        ankle = 0.0
        if calf:
            ankle = 15.0 if not made else -angle(e, "ankle-plantar-flexion", 40)
        one = pose(b, trunk=140.0, hip=hip_now, knee=knee, ankle=ankle, shoulder=15.0, elbow=30.0, **one_leg)
        one = one.put("hip", 0.0, 0.42)
        foot = one["toe"]
        sole = heading(one["heel"], one["toe"])
        if calf:
            sole = 70.0

        down = away(foot, sole - 90.0, 0.06)
        plate = Thing("board", (away(down, sole + 180.0, 0.32), away(down, sole, 0.1)))
        seat = slope((-0.55, 0.80), (0.1, 0.26))
        made.append(scene(one, floor(-0.8, 1.0), seat, plate))
    return made


def hack_squat(e: Exercise, b: Build) -> Sequence[Scene]:
    """Back on the sled that runs along a slope, feet ahead on the plate."""
    made = []
    for knee, hip in ((5.0, 5.0), (angle(e, "knee-flexion"), angle(e, "hip-flexion"))):
        one = pose(b, trunk=120.0, hip=hip, knee=knee, ankle=20.0, shoulder=20.0, elbow=100.0)
        one = one.put("ankle", 0.35, 0.16)
        back = one.front_of("hip", -0.13), one.front_of("shoulder", -0.13)
        made.append(scene(one, floor(-1.0, 0.8), Thing("board", back), box(0.15, 0.65, 0.06)))
    return made


def split_stand(b: Build, spread: float = 0.62, rear: float = 0.15, **arms: float) -> Figure:
    """Standing with one foot ahead and the rear heel up."""
    one = pose(b, trunk=90.0, **arms).put("hip", 0.0, 0.80 + b.ankle - 0.067)
    return one.foot_to(0.45 * spread, b.ankle, 0.0, "near").foot_to(-0.55 * spread, rear, -55.0, "far")


def split(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Lunges, split squats, step-ups and the one-legged squat."""
    if e.base in ("side_lunge", "side_lunge_deep"):
        return side_lunge(e, b)
    if "step" in e.base:
        return step(e, b)
    if e.base.startswith(("pistol", "sl_box_squat")):
        return one_leg_squat(e, b)
    deep = bends(e, ankle=25.0)
    trunk = 90.0 - deep["ankle"] + deep["knee"] - deep["hip"]
    arms = {"shoulder": 90.0 - min(trunk, 88.0)}
    if trunk > 88.0:
        deep["hip"] += trunk - 85.0
    rear_up = "rfe" in e.base
    front_up = 0.1 if "ffe" in e.base else 0.0
    low = on_feet(b, **deep, **arms).put("ankle", 0.0, b.ankle + front_up)
    hip = low["hip"]
    if rear_up:
        low = low.foot_to(hip[0] - 0.5, BENCH + 0.1, 205.0, "far")
        high = split_stand(b, 0.9, BENCH + 0.1).foot_to(-0.5, BENCH + 0.1, 205.0, "far").foot_to(0.18, b.ankle)
        high = pose(b, trunk=86.0, shoulder=4.0).put("hip", -0.05, 0.83)
        high = high.foot_to(0.1, b.ankle, 0.0, "near").foot_to(-0.55, BENCH + 0.1, 205.0, "far")
        around_high = [floor(-1.0, 0.6), *bench(-0.95, -0.5)]
        around_low = [floor(-1.1, 0.5), *bench(hip[0] - 0.92, hip[0] - 0.46)]
    else:
        knee_back = min(0.78, b.leg - 0.04)
        low = low.foot_to(hip[0] - (knee_back * 0.75), 0.16, -60.0, "far")
        around_high, around_low = [floor(-0.9, 0.7)], [floor(-1.0, 0.6)]
        high = split_stand(b)
        if front_up:
            high = high.moved(0.0, 0.06).foot_to(0.28, b.ankle + front_up, 0.0, "near").foot_to(-0.34, 0.15, -55, "far")
            around_high.append(box(0.14, 0.52, front_up))
            around_low.append(box(-0.14, 0.26, front_up))
        if e.base in ("rev_lunge", "rev_lunge_bw", "walk_lunge", "walk_lunge_bw"):
            high = on_feet(b)
    if e.slug == "split_squat_hand" or e.slug == "split_squat_asym":
        x_high, x_low = high["shoulder"][0] + 0.45, low["shoulder"][0] + 0.45
        around_high.append(post(x_high, 1.0))
        around_low.append(post(x_low, 1.0))
        high, low = high.hand_to(x_high, 0.95, "far"), low.hand_to(x_low, 0.85, "far")
    return hold_or_both(e, scene(high, around_high, in_hands(e, high)), scene(low, around_low, in_hands(e, low)))


def one_leg_squat(e: Exercise, b: Build) -> Sequence[Scene]:
    """On one leg, the other held ahead."""
    deep = bends(e)
    trunk = 90.0 - deep["ankle"] + deep["knee"] - deep["hip"]
    low = on_feet(
        b, **deep, shoulder=175.0 - trunk, far_hip=max(190.0 - trunk, 85.0), far_knee=8.0, far_ankle=10.0
    ).put("ankle", 0.0, b.ankle)
    high = pose(b, shoulder=60.0, far_hip=35.0, far_knee=5.0).put("ankle", 0.0, b.ankle)
    around: list[Thing] = [floor()]
    if "box" in e.base:
        around.append(box(low["hip"][0] - 0.28, low["hip"][0] + 0.1, low["hip"][1] - 0.09))
    if e.slug.endswith("_hand"):
        x = low["shoulder"][0] + 0.48
        around.append(post(x))
        low, high = low.hand_to(x, 0.8), high.hand_to(x, 1.0)
    return scene(high, around), scene(low, around)


def side_lunge(e: Exercise, b: Build) -> Sequence[Scene]:
    """From the front: one leg bends, the other stays long."""
    deep = "deep" in e.base
    arms = ((255.0, 300.0), (285.0, 240.0))
    high = front(b, arms=arms)
    stand = shifted(high, 0.0, -min(high["l_ankle"][1], high["r_ankle"][1]) + b.ankle)
    height = 0.42 if deep else 0.56
    low = front(b, trunk=84.0, arms=arms)
    low = shifted(low, 0.0, height)

    foot = (0.36, b.ankle)
    low["r_knee"], low["r_ankle"] = bent(low["r_hip"], foot, 0.8 * b.thigh, 0.85 * b.shank, -1.0)
    reach = (b.leg**2 - (height - b.ankle) ** 2) ** 0.5
    low["l_knee"], low["l_ankle"] = bent(low["l_hip"], (-reach - 0.06, b.ankle), b.thigh, b.shank, 1.0)
    made = []
    for one in (stand, low):
        middle = ((one["l_hand"][0] + one["r_hand"][0]) / 2, (one["l_hand"][1] + one["r_hand"][1]) / 2)
        bell = (Thing("kettlebell", (middle,)),) if "kettlebell" in tokens(e) else ()
        made.append(Scene(front_limbs(one), (floor(-1.0, 0.7), *bell)))
    return made


def step(e: Exercise, b: Build) -> Sequence[Scene]:
    """Up on a step from the floor, or down from it."""
    deep = bends(e)
    trunk = 90.0 - deep["ankle"] + deep["knee"] - deep["hip"]
    if trunk > 88.0:
        deep["hip"] += trunk - 86.0
        trunk = 86.0
    arms = {"shoulder": 90.0 - trunk}
    down = "down" in e.base
    low = on_feet(b, **deep, **arms).put("ankle", 0.0, b.ankle)
    # The step is as high as lets the free foot just reach the floor.
    drop = min(0.97 * b.leg, 0.8) + 0.11
    ahead = 0.42 if e.base == "step_down_fwd" else -0.12
    height = max(0.1, (drop**2 - (ahead if down else 0.12) ** 2) ** 0.5 - low["hip"][1])
    low = low.moved(0.0, height)
    x = low["hip"][0] + (ahead + 0.1 if down else -0.1)
    tip = (x, 0.11, 12.0) if e.base == "step_down_fwd" else (x, 0.12, -35.0)
    low = low.foot_to(tip[0], tip[1], tip[2], "far")
    high = on_feet(b).moved(0.0, height)
    if down:
        high = pose(b, far_hip=15.0, far_knee=5.0).put("ankle", 0.0, b.ankle + height)
    around = [floor(-0.8, 0.7), box(-0.14 if not down else -0.3, 0.4 if not down else 0.24, height)]
    first, second = scene(low, around, in_hands(e, low)), scene(high, around, in_hands(e, high))
    return (second, first) if down else (first, second)


def hinge(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Standing, and bent forward at the hips with a long back."""
    deep = bends(e, knee=25.0, hip=90.0, ankle=5.0)
    around: list[Thing] = [floor()]
    stand = on_feet(b, **arms_of(e, 90.0))
    if e.slug == "hip_hinge_dowel":
        low = on_feet(b, **deep, shoulder=-35.0, elbow=110.0)
        high = on_feet(b, shoulder=-35.0, elbow=110.0)
        sticks = [Thing("stick", (one.front_of("crown", -0.14), one.front_of("hip", -0.12))) for one in (high, low)]
        return scene(high, around, sticks[0]), scene(low, around, sticks[1])
    if e.slug == "bw_hinge":
        return scene(on_feet(b, shoulder=5.0), around), scene(on_feet(b, **deep, arm_deg=270.0), around)
    if e.slug == "good_morning":
        low = on_feet(b, **deep, **arms_of(e, 90.0))
        return scene(stand, around, in_hands(e, stand)), scene(low, around, in_hands(e, low))
    if e.slug.startswith("pull_through"):
        low, high = on_feet(b, **deep, arm_deg=235.0), on_feet(b, shoulder=12.0)
        lines = [pull_line(e, one["hand"], (-0.95, 0.25)) for one in (high, low)]
        return scene(low, around, lines[1]), scene(high, around, lines[0])
    if e.slug == "kb_swing":
        low, high = on_feet(b, **deep, arm_deg=230.0), on_feet(b, shoulder=85.0)
        return scene(low, around, in_hands(e, low)), scene(high, around, in_hands(e, high))
    if e.slug == "rdl_band":
        low, high = on_feet(b, **deep, arm_deg=270.0), on_feet(b, arm_deg=270.0)
        bands = [Thing("band", (one["hand"], (0.03, 0.02))) for one in (high, low)]
        return scene(high, around, bands[0]), scene(low, around, bands[1])
    low = on_feet(b, **deep, arm_deg=270.0)
    high = on_feet(b, arm_deg=270.0)
    if {"barbell", "hexbar"} & tokens(e) or e.slug == "kb_deadlift":
        low = down_to_bar(e, b, deep)
    if e.slug in ("power_clean", "hang_power_clean"):
        high = on_feet(b, shoulder=80.0, elbow=145.0)
        start = low if e.slug == "power_clean" else on_feet(b, **deep, arm_deg=270.0)
        rack = Thing("plate", (high.front_of("shoulder", 0.09),))
        return scene(start, around, Thing("plate", (start["hand"],))), scene(high, around, rack)
    if e.slug == "deadlift_block":
        around_low = [*around, box(low["hand"][0] - 0.2, low["hand"][0] + 0.2, low["hand"][1] - 0.19)]
        return scene(low, around_low, in_hands(e, low)), scene(high, around, in_hands(e, high))
    first, second = scene(low, around, in_hands(e, low)), scene(high, around, in_hands(e, high))
    return (second, first) if e.slug.startswith("rdl") else (first, second)


LIFTED_FROM = {"deadlift": 0.22, "power_clean": 0.22, "trapbar_dl": 0.25, "kb_deadlift": 0.22, "deadlift_sumo": 0.24}


def down_to_bar(e: Exercise, b: Build, deep: Mapping[str, float]) -> Figure:
    """Bent down until the hands are at what lies on the floor; else as the angles of the entry say.

    The printed largest hip angle of a pull from the floor is cautious: the hips bend on until the hand is there.
    """
    if e.slug not in LIFTED_FROM:
        return on_feet(b, **deep, arm_deg=270.0)
    ankle = max(deep["ankle"], 12.0)

    def height(hip: float) -> float:
        made = on_feet(b, ankle, deep["knee"], hip, arm_deg=270.0)
        return made["hand"][1] - LIFTED_FROM[e.slug]

    return on_feet(b, ankle, deep["knee"], solve(height, 60.0, 135.0), arm_deg=270.0)


def one_leg_hinge(e: Exercise, b: Build) -> Sequence[Scene]:
    """On one leg: the trunk comes down as the free leg goes back."""
    deep = bends(e, knee=20.0, ankle=5.0)
    around: list[Thing] = [floor(-0.9, 0.8)]
    if e.slug == "bstance_rdl":
        low = on_feet(b, **deep, arm_deg=270.0)
        low = low.foot_to(-0.25, 0.14, -45.0, "far")
        high = on_feet(b).foot_to(-0.22, 0.13, -40.0, "far")
        return scene(high, around, in_hands(e, high)), scene(low, around, in_hands(e, low))
    trunk = 90.0 - deep["ankle"] + deep["knee"] - deep["hip"]
    low = pose(b, trunk=trunk, **deep, shoulder=90.0 - trunk, far_hip=0.0, far_knee=8.0, far_ankle=-10.0)
    low = low.put("ankle", 0.0, b.ankle)
    high = pose(b, far_hip=10.0, far_knee=40.0).put("ankle", 0.0, b.ankle)
    if e.slug == "sl_rdl_hand":
        around.append(post(0.72, 0.95))
        low, high = low.hand_to(0.72, 0.9, "far"), high.hand_to(0.72, 0.95, "far")
    return scene(high, around, in_hands(e, high)), scene(low, around, in_hands(e, low))


def bridge_pose(b: Build, knee: float, hip: float, shoulder_z: float, foot_z: float, **far: float) -> Figure:
    """On the back of the shoulders with the feet down: the trunk turns until the foot is at its height."""

    def made(trunk: float) -> Figure:
        return pose(b, trunk=trunk, hip=hip, knee=knee, shoulder=10.0, nod=8.0, **far).put("shoulder", 0.0, shoulder_z)

    trunk = solve(lambda one: made(one)["ankle"][1] - foot_z, 165.0, 225.0)
    return made(trunk)


def hip_extension(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Bridges, thrusts, back extensions, kickbacks."""
    if e.base.startswith(("back_ext45",)):
        return back_extension(e, b)
    if e.base == "rev_leg_raise_bench":
        around: list[Thing] = [floor(-1.0, 0.8), *bench(-0.08, 0.75, 0.75)]
        low = pose(b, trunk=0.0, hip=angle(e, "hip-flexion"), knee=5.0).put("hip", 0.0, 0.86).hand_to(0.42, 0.62)
        high = pose(b, trunk=0.0, hip=0.0, knee=5.0).put("hip", 0.0, 0.86).hand_to(0.42, 0.62)
        return scene(low, around), scene(high, around)
    if e.base == "cable_kickback":
        start = pose(b, trunk=80.0, hip=30.0, knee=20.0, far_hip=0.0, far_knee=5.0).put("far_ankle", 0.0, b.ankle)
        end = pose(b, trunk=75.0, hip=-angle(e, "hip-extension", 15), knee=10.0, far_hip=-5.0, far_knee=5.0)
        end = end.put("far_ankle", 0.0, b.ankle)
        made = []
        for one in (start, end):
            held = one.hand_to(0.62, 1.0)
            made.append(scene(held, floor(-0.7, 0.9), post(0.62, 1.3), pull_line(e, held["ankle"], (0.75, 0.15))))
        return made
    thrust = "thrust" in e.base
    high_z = BENCH if thrust else 0.085
    one_leg = {"far_hip": 20.0, "far_knee": 10.0} if e.base.startswith("sl_") else {}
    high = bridge_pose(b, angle(e, "knee-flexion", 90), 0.0, high_z, b.ankle, **one_leg)
    ankle = high["ankle"]
    low = pose(b, trunk=180.0, shoulder=5.0, nod=8.0).put("shoulder", 0.0, 0.085)
    if thrust:
        low = pose(b, trunk=145.0, shoulder=5.0, nod=10.0).put("shoulder", 0.03, high_z - 0.02)
    low = low.foot_to(ankle[0], ankle[1])
    if one_leg:
        free = pose(b, trunk=180.0 if not thrust else 145.0, hip=60.0, knee=10.0).put("shoulder", *low["shoulder"])
        low = low.with_points(**{name: free[name.removeprefix("far_")] for name in FAR_LEG})
    if thrust:
        low, high = low.hand_to(*low.front_of("hip", 0.14)), high.hand_to(*high.front_of("hip", 0.14))
    around = [floor(-0.5, 1.4)]
    if thrust:
        around.append(box(-0.3, 0.06, BENCH - 0.08, kind="bench"))
    return hold_or_both(e, scene(low, around, in_hands(e, low)), scene(high, around, in_hands(e, high)))


FAR_LEG = ("far_knee", "far_ankle", "far_heel", "far_toe")


def back_extension(e: Exercise, b: Build) -> Sequence[Scene]:
    """Hips on the pad of a 45-degree bench."""
    made = []
    for hip in (angle(e, "hip-flexion"), 0.0):
        one = pose(b, trunk=225.0 - 180.0 - hip, hip=hip, shoulder=40.0, elbow=130.0).put("hip", 0.0, 0.95)
        thigh = one["knee"]
        middle = ((one["hip"][0] + thigh[0]) / 2, (one["hip"][1] + thigh[1]) / 2)
        pad = ((middle[0] + 0.16, middle[1] + 0.02), (middle[0] - 0.02, middle[1] - 0.16))
        frame = Thing("frame", (((pad[0][0] + pad[1][0]) / 2, (pad[0][1] + pad[1][1]) / 2), (0.05, 0.0)))
        heel = Thing("grip", ((one["ankle"][0] - 0.06, one["ankle"][1] + 0.05),))
        made.append(scene(one, floor(-0.9, 0.8), frame, Thing("board", pad), heel))
    return made if e.mode != "isometric" else made[1:]


def knee_flexion(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Leg curls and sliding curls."""
    knee = angle(e, "knee-flexion", 90)
    far = {"far_knee": 5.0} if e.laterality == "one" else {}
    if e.slug == "leg_curl_seated":
        return machine_seat(e, b, 5.0, knee)
    if e.body_position == "prone":
        band = "band" in tokens(e)
        top = 0.0 if band else 0.5
        start = pose(b, trunk=0.0, knee=4.0, ankle=-20.0, shoulder=150.0, elbow=60.0).put("hip", 0.0, top + 0.085)
        end = pose(b, trunk=0.0, knee=knee, shoulder=150.0, elbow=60.0, **far).put("hip", 0.0, top + 0.085)
        around: list[Thing] = [floor(-1.2, 1.0)]
        if not band:
            around += bench(-0.45, 0.9, top)
        made = []
        for one in (start, end):
            pull: tuple[Thing, ...] = (Thing("wheel", (_behind_ankle(one),)),)
            if band:
                pull = pull_line(e, one["ankle"], (-1.5, 0.25))
            made.append(scene(one, around, pull))
        return made
    foot_z = b.ankle
    if e.slug == "ball_curl":
        foot_z = 0.56 + 0.05
    far = {"far_hip": 60.0, "far_knee": 60.0} if e.laterality == "one" else {}
    if e.mode == "isometric":
        one = bridge_pose(b, knee, 0.0, 0.085, b.ankle, ankle=15.0, **far)
        return (scene(one, floor(-0.5, 1.5)),)
    long = bridge_pose(b, 8.0, 0.0, 0.085, foot_z, ankle=10.0)
    short = bridge_pose(b, knee, 0.0, 0.085, foot_z)
    made = []
    for one in (long, short):
        under = Thing("board", ((one["ankle"][0] - 0.1, 0.01), (one["ankle"][0] + 0.12, 0.01)))
        if e.slug == "ball_curl":
            under = Thing("ball", ((one["heel"][0], 0.28),))
        made.append(scene(one, floor(-0.5, 1.5), under))
    return made[::-1] if e.mode == "lowering" else made


def _behind_ankle(one: Figure) -> tuple[float, float]:

    return away(one["ankle"], heading(one["knee"], one["ankle"]) - 90.0, -0.12)


def machine_seat(e: Exercise, b: Build, first: float, last: float) -> Sequence[Scene]:
    """On the seat of a machine, the shanks swing; the roller lies on the side that they push."""

    made = []
    one_leg = e.laterality == "one"
    for knee in (first, last):
        far = {"far_knee": 90.0} if one_leg else {}
        one = pose(b, trunk=100.0, hip=angle(e, "hip-flexion", 85) + 2.0, knee=knee, shoulder=5.0, elbow=20.0, **far)
        one = one.put("hip", 0.0, 0.62)
        side = 0.11 if e.pattern == "knee_extension" else -0.11
        roller = away(one["ankle"], heading(one["knee"], one["ankle"]) + 90.0, side)
        pull: tuple[Thing, ...] = (Thing("wheel", (roller,)),)
        if "band" in tokens(e):
            pull = pull_line(e, one["ankle"], (-0.7, 0.2))
        seat = box(-0.2, 0.3, 0.53, 0.46, "bench")
        back = Thing("board", ((-0.15, 0.55), (-0.26, 1.1)))
        leg = Thing("frame", ((0.05, 0.46), (0.05, 0.0)))
        made.append(scene(one, floor(-0.6, 1.0), leg, seat, *(() if "band" in tokens(e) else (back,)), pull))
    return made


def knee_extension(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Leg extension, wall sit, straight-leg work, squats with a band behind the knees."""
    knee = angle(e, "knee-flexion", 90)
    if e.slug == "wall_sit":
        one = pose(b, trunk=90.0, hip=90.0, knee=90.0, shoulder=20.0).grounded()
        return (scene(one, floor(), wall(one["hip"][0] - 0.1, 1.6)),)
    if e.base.startswith("spanish"):
        return squat(e, b)
    if e.slug in ("quad_set", "slr"):
        lie = pose(b, trunk=180.0, shoulder=12.0, far_hip=45.0, far_knee=90.0).grounded(name="hip")
        if e.slug == "quad_set":
            return (scene(lie, floor(-1.0, 1.0), box(0.3, 0.48, 0.045, kind="pad")),)
        up = pose(b, trunk=180.0, hip=angle(e, "hip-flexion"), shoulder=12.0, far_hip=45.0, far_knee=90.0)
        return scene(lie, floor(-1.0, 1.0)), scene(up.put("hip", *lie["hip"]), floor(-1.0, 1.0))
    if e.mode == "isometric":
        return machine_seat(e, b, knee, knee)[:1]
    return machine_seat(e, b, knee, 5.0)


def open_legs(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Abduction and adduction, from the front."""
    out = angle(e, "hip-abduction", 30)
    if e.slug in ("abd_machine", "add_machine"):
        made = []
        for spread in (12.0, 50.0):
            one = front(b, legs=((270.0 - spread, 268.0), (270.0 + spread, 272.0)), short_legs=0.8, arms=DOWN_BENT)
            one = shifted(one, 0.0, 0.62)
            for key, side in (("l_", -1), ("r_", 1)):
                one[f"{key}knee"] = away(one[f"{key}hip"], 270.0 + side * (spread + 20), 0.26)
                one[f"{key}ankle"] = away(one[f"{key}knee"], 270.0, 0.36)
            made.append(Scene(front_limbs(one), (floor(-0.6, 0.6), box(-0.25, 0.25, 0.54, 0.45, "bench"))))
        return made if e.slug == "abd_machine" else made[::-1]
    if e.slug in ("cable_abd", "cable_add"):
        made = []
        away_side = e.slug == "cable_abd"
        for spread in (5.0, out) if away_side else (out, 0.0):
            one = front(b, legs=((270.0, 270.0), (270.0 + spread, 270.0 + spread)))
            one = shifted(one, 0.0, b.leg + b.ankle)
            anchor = (-0.8, 0.12) if away_side else (0.9, 0.12)
            made.append(Scene(front_limbs(one), (floor(-0.9, 0.9), *pull_line(e, one["r_ankle"], anchor))))
        return made
    if e.slug == "sl_abd":
        made = []
        for spread in (0.0, out):
            one = front(b, trunk=180.0, legs=((0.0, 0.0), (spread, spread)), arms=((200.0, 150.0), (10.0, 0.0)))
            made.append(Scene(front_limbs(shifted(one, 0.0, 0.17), feet=False), (floor(-1.0, 1.0),)))
        return made
    if e.base.startswith("copen"):
        return copenhagen(e, b)
    if e.slug == "add_squeeze":
        lie = pose(b, trunk=180.0, shoulder=12.0).grounded(name="hip").foot_to(0.46, b.ankle)
        return (scene(lie, floor(-0.8, 0.8), Thing("weight", (lie["knee"],))),)
    if e.slug == "band_walk":
        made = []
        for left, right in ((-0.14, 0.14), (-0.14, 0.38)):
            one = shifted(front(b, arms=DOWN_BENT), (left + right) / 2, 0.82)

            one["l_knee"], one["l_ankle"] = bent(one["l_hip"], (left, b.ankle), b.thigh, b.shank, 1.0)
            one["r_knee"], one["r_ankle"] = bent(one["r_hip"], (right, b.ankle), b.thigh, b.shank, -1.0)
            made.append(Scene(front_limbs(one), (floor(-0.5, 0.7), Thing("band", (one["l_knee"], one["r_knee"])))))
        return made
    return None


DOWN_BENT = ((255.0, 300.0), (285.0, 240.0))


def copenhagen(e: Exercise, b: Build) -> Sequence[Scene]:
    """On one forearm, the upper leg on the bench, from the front."""
    short = "short" in e.base
    made = []
    for up in (False, True):
        tilt = 176.0 if up else 160.0
        one = front(b, trunk=tilt, arms=((270.0, 180.0), (80.0 if up else 20.0, 70.0)))
        z = 0.52 if up else 0.40
        one = shifted(one, 0.0, z)
        x, shoulder_z = one["l_shoulder"]
        one["l_elbow"], one["l_hand"] = (x, 0.04), (x - 0.26, 0.04)
        one["l_shoulder"] = (x, min(shoulder_z, 0.04 + b.upper_arm))

        reach = 0.0 if up else 12.0
        one["r_knee"] = away(one["r_hip"], reach - 2, b.thigh)
        one["r_ankle"] = away(one["r_knee"], reach - 2, 0.12 if short else b.shank)
        one["l_knee"] = away(one["l_hip"], 352.0 if up else 340.0, b.thigh)
        one["l_ankle"] = away(one["l_knee"], 352.0 if up else 350.0, 0.14 if short else b.shank)
        end = one["r_knee"] if short else one["r_ankle"]
        around = (floor(-0.9, 1.2), *bench(end[0] - 0.1, end[0] + 0.28, end[1] - 0.06))
        made.append(Scene(front_limbs(one, feet=False), around))
    return made[1:] if e.mode == "isometric" else made


def hip_flexion(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Knee up, standing or on the back."""
    hip = angle(e, "hip-flexion", 100)
    if e.body_position == "stand":
        high = pose(b, hip=hip, knee=90.0, far_hip=0.0, far_knee=2.0).put("far_ankle", 0.0, b.ankle)
        return scene(on_feet(b), floor()), scene(high, floor())
    start = pose(b, trunk=180.0, hip=90.0, knee=90.0, shoulder=12.0).grounded(name="hip")
    end = pose(b, trunk=180.0, hip=hip, knee=90.0, far_hip=15.0, far_knee=10.0, shoulder=12.0).put("hip", *start["hip"])
    lines = [Thing("band", (one["toe"], one["far_toe"])) for one in (end,)]
    return scene(start, floor(-0.9, 0.9)), scene(end, floor(-0.9, 0.9), lines)


def calf(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Heels low, then high; on the floor, on a step, or seated."""
    up, down = angle(e, "ankle-plantar-flexion", 40), angle(e, "ankle-dorsiflexion", 0)
    if e.slug == "calf_leg_press":
        return leg_press(e, b)
    made = []
    seated = e.body_position == "sit"
    one_leg = e.laterality == "one"
    on_step = "step" in tokens(e)
    for tilt in (down if on_step or seated else 0.0, -up):
        foot = tilt
        if seated:
            one = pose(b, trunk=90.0, hip=90.0, knee=90.0, ankle=foot, shoulder=15.0, elbow=40.0)
        else:
            far = {"far_hip": 5.0, "far_knee": 60.0} if one_leg else {}
            one = pose(b, ankle=foot, **far)
        base = 0.12 if on_step else (0.06 if seated else 0.0)
        one = one.put("toe", 0.1, base + 0.028)
        around: list[Thing] = [floor(-0.6, 0.6)]
        if base:
            around.append(box(-0.02, 0.35, base))
        if seated:
            seat = one["hip"]
            around += [box(seat[0] - 0.2, seat[0] + 0.2, seat[1] - 0.1)]
            around.append(Thing("dumbbell", ((one["knee"][0], one["knee"][1] + 0.12),)))
        elif one_leg and "shoulder-elevation" in e.max_angles:
            around.append(wall(0.55))
            one = one.hand_to(0.53, 1.3, "far")
        made.append(scene(one, around, () if seated else in_hands(e, one)))
    if e.mode == "isometric":
        return made[1:]
    return made[::-1] if e.mode == "lowering" else made


def shin(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Back at the wall, heels ahead: the toes come up."""
    made = []
    for tilt in (0.0, angle(e, "ankle-dorsiflexion", 20)):
        one = pose(b, trunk=100.0, hip=0.0, knee=0.0).put("ankle", 0.25, b.ankle)
        one = one.foot_to(0.25, b.ankle, tilt)
        made.append(scene(one, floor(-0.4, 0.7), wall(one["hip"][0] - 0.14, 1.8)))
    return made


def foot(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Standing on one leg."""
    if e.slug != "single_leg_stand":
        return None
    one = pose(b, far_hip=35.0, far_knee=75.0, knee=5.0, hip=3.0, ankle=3.0).put("ankle", 0.0, b.ankle)
    return (scene(one, floor()),)


def jump(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Dip and flight, or the landing."""
    deep = bends(e, ankle=20.0)
    around: list[Thing] = [floor(-0.6, 1.0)]
    low = on_feet(b, **deep, shoulder=-40.0, elbow=10.0)
    air = pose(b, trunk=88.0, ankle=-35.0, shoulder=angle(e, "shoulder-elevation", 20), elbow=10.0)
    air = air.put("toe", 0.1, 0.22)
    if e.slug == "box_jump":
        top = 0.5
        land = on_feet(b, 20.0, 70.0, 70.0, shoulder=60.0).put("ankle", 0.75, b.ankle + top)
        around = [floor(-0.6, 1.2), box(0.5, 1.1, top)]
        return scene(low, around), scene(land, around)
    if e.slug == "broad_jump":
        air = pose(b, trunk=60.0, hip=20.0, knee=25.0, ankle=-20.0, shoulder=120.0).put("toe", 0.35, 0.25)
        return scene(low, around), scene(air, around)
    if e.slug == "snap_down":
        tall = pose(b, ankle=-30.0, shoulder=angle(e, "shoulder-elevation", 160)).grounded()
        return scene(tall, around), scene(low, around)
    if e.slug == "pogo":
        low = on_feet(b, 10.0, 20.0, 15.0, shoulder=0.0, elbow=40.0)
        air = pose(b, ankle=-35.0, shoulder=5.0, elbow=50.0).put("toe", 0.1, 0.16)
    return scene(low, around), scene(air, around)


def sled(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Pushing low, dragging forward, dragging back."""
    knee = angle(e, "knee-flexion", 80)
    cart = box(0.85, 1.45, 0.12, 0.02, "sled")
    disc = Thing("plate", ((1.15, 0.28),))
    if "push" in e.slug:
        lean = 40.0 if e.slug == "sled_push" else 55.0
        one = pose(b, trunk=lean, hip=angle(e, "hip-flexion", 90), knee=knee, ankle=20.0, far_hip=5.0, far_knee=12.0)
        one = one.put("far_toe", -0.55, 0.05)
        hand = (one["shoulder"][0] + 0.5, one["shoulder"][1] - 0.06)
        one = one.hand_to(*hand)
        if "treadmill" in tokens(e):
            return (scene(one, box(-0.9, hand[0] + 0.1, 0.0, -0.1), post(hand[0] + 0.03, hand[1] + 0.05)),)
        x = hand[0] + 0.03
        frame = [
            post(x, hand[1] + 0.05),
            box(x - 0.05, x + 0.55, 0.12, 0.02, "sled"),
            Thing("plate", ((x + 0.3, 0.3),)),
        ]
        return (scene(one, floor(-0.9, x + 0.6), frame),)
    if e.slug == "sled_drag_fwd":
        one = pose(b, trunk=68.0, hip=angle(e, "hip-flexion", 60), knee=knee - 10, far_hip=-5.0, far_knee=8.0)
        one = one.put("far_toe", -0.15, 0.03)
        rope = Thing("rope", (one["hip"], (-1.0, 0.1)))
        return (
            scene(one, floor(-1.7, 0.9), box(-1.6, -1.0, 0.12, 0.02, "sled"), Thing("plate", ((-1.3, 0.28),)), rope),
        )
    if "back_walk" in e.slug:
        return None
    arms = {"shoulder": 60.0} if "harness" not in e.slug else {"shoulder": 10.0, "elbow": 60.0}
    # Between two steps: neither leg is at its largest angle.
    one = pose(
        b, trunk=102.0, hip=0.6 * angle(e, "hip-flexion", 60), knee=0.6 * knee, far_hip=35.0, far_knee=70.0, **arms
    )
    one = one.put("heel", 0.05, 0.03).foot_to(-0.28, 0.12, -35.0, "far")
    start = one["hand"] if "harness" not in e.slug else one["hip"]
    rope = Thing("rope", (start, (0.85, 0.1)))
    return (scene(one, floor(-0.8, 1.5), cart, disc, rope),)


PATTERNS: Mapping[str, Poser] = MappingProxyType(
    {
        "squat": squat,
        "split_squat": split,
        "knee_extension": knee_extension,
        "hinge": hinge,
        "single_leg_hinge": one_leg_hinge,
        "hip_extension": hip_extension,
        "knee_flexion": knee_flexion,
        "hip_adduction": open_legs,
        "hip_abduction": open_legs,
        "hip_flexion": hip_flexion,
        "calf": calf,
        "shin": shin,
        "foot": foot,
        "jump_land": jump,
        "sled": sled,
    }
)
