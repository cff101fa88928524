"""Poses of presses, dips, pulls, rows, raises and arm work."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from setwright.catalogue.exercise import Exercise
from setwright.publish.drawing import Point, Scene, Thing
from setwright.publish.mannequin import Build, Figure, away, front, front_limbs, on_feet, pose, shifted
from setwright.publish.poses.kit import (
    BAR_HIGH,
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
    tokens,
    wall,
)
from setwright.publish.poses.legs import hold_or_both


def upright(trunk: float, arm_deg: float) -> float:
    """The shoulder angle at which the upper arm has a direction."""
    return arm_deg - trunk - 180.0


def pressed(trunk: float, elbow: float, forearm_deg: float) -> dict[str, float]:
    """Shoulder and elbow with the forearm in a direction and the elbow bent."""
    return {"shoulder": upright(trunk, forearm_deg - elbow), "elbow": elbow}


def lying(b: Build, top: float, foot_x: float = 0.55, **arms: float) -> Figure:
    """On the back with the feet on the floor."""
    one = pose(b, trunk=180.0, **arms).put("hip", 0.0, top + 0.085)
    return one.foot_to(foot_x, b.ankle)


def press_flat(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Presses lying, standing and in a machine, and the held push-up."""
    elbow = angle(e, "elbow-flexion", 100)
    if "fly" in e.slug:
        return None
    if e.body_position == "supine":
        on_floor = "bench" not in tokens(e)
        top = 0.0 if on_floor else BENCH
        low, high = lying(b, top, 0.48, **pressed(180.0, elbow, 90.0)), lying(b, top, 0.48, shoulder=90.0)
        around: list[Thing] = [floor(-1.1, 0.8)] + ([] if on_floor else list(bench(-0.85, 0.2)))
        if e.slug == "press_iso_pins":
            pin = (Thing("plate", (low["hand"],)), post(low["hand"][0] + 0.08, low["hand"][1] + 0.3))
            return (scene(low, around, pin),)
        return hold_or_both(e, scene(high, around, in_hands(e, high)), scene(low, around, in_hands(e, low)))
    if e.body_position == "plank":
        one = pose(b, trunk=8.0, ankle=-70.0, **pressed(8.0, elbow, 270.0)).put("hand", 0.5, 0.035)
        one = one.foot_to(one["ankle"][0], 0.15, -80.0)
        return (scene(one, floor(-1.3, 0.9)),)
    trunk = 90.0
    if e.slug == "chest_press_m":
        made = []
        for arms in (pressed(95.0, elbow, 0.0), {"shoulder": upright(95.0, 0.0)}):
            one = pose(b, trunk=95.0, hip=90.0, knee=90.0, **arms).grounded()
            seat = one["hip"]
            handle = Thing("post", ((one["hand"][0], one["hand"][1] + 0.1), (one["hand"][0], one["hand"][1] - 0.12)))
            rod = Thing("frame", ((one["hand"][0], one["hand"][1] - 0.12), (0.75, 0.0)))
            back = Thing("board", ((seat[0] - 0.1, seat[1]), (seat[0] - 0.16, seat[1] + 0.62)))
            made.append(
                scene(one, floor(-0.9, 0.8), box(seat[0] - 0.2, seat[0] + 0.2, seat[1] - 0.1), back, handle, rod)
            )
        return made
    made = []
    for arms in (pressed(trunk, elbow, 0.0), {"shoulder": 88.0}):
        one = on_feet(b, **arms).foot_to(-0.22, 0.1, -25.0, "far").foot_to(0.18, b.ankle, 0.0, "near")
        made.append(scene(one, floor(), pull_line(e, one["hand"], (-0.95, one["hand"][1] + 0.02))))
    return made


def press_up(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Presses on an incline and with the bar that turns about the floor."""
    elbow = angle(e, "elbow-flexion", 120)
    if e.slug == "incline_db":
        made = []
        for arms in ({"shoulder": upright(135.0, 90.0)}, pressed(135.0, elbow, 90.0)):
            one = pose(b, trunk=135.0, **arms).put("hip", 0.0, 0.5).foot_to(0.5, b.ankle)
            made.append(scene(one, floor(-0.8, 0.8), *incline(one), in_hands(e, one)))
        return made[::-1]
    made = []
    for arms in (pressed(90.0, elbow, 70.0), {"shoulder": angle(e, "shoulder-elevation", 120) - 5.0, "elbow": 5.0}):
        if e.body_position == "half-kneel":
            one = pose(b, hip=90.0, knee=90.0, far_hip=0.0, far_knee=90.0, far_ankle=-60.0, **arms)
            one = one.grounded(name="far_knee").hand_to(-0.05, 0.5, "far")
        else:
            one = on_feet(b, 5.0, 10.0, 5.0, **arms).hand_to(-0.02, 0.9, "far")
        bar = Thing("stick", (one["hand"], (1.35, 0.04)))
        tip = Thing("plate", (away(one["hand"], 0.0, 0.08),))
        made.append(scene(one, floor(-0.7, 1.4), bar, tip))
    return made


def incline(one: Figure) -> tuple[Thing, ...]:
    """The board behind the back of somebody who leans, and the seat."""
    hip, shoulder = one.front_of("hip", -0.1), one.front_of("shoulder", -0.1)
    seat = one["hip"]
    return (
        Thing("frame", (((hip[0] + shoulder[0]) / 2, (hip[1] + shoulder[1]) / 2), (hip[0] - 0.25, 0.0))),
        Thing("board", (hip, shoulder)),
        Thing("frame", ((seat[0] + 0.1, seat[1] - 0.1), (seat[0] + 0.1, 0.0))),
        box(seat[0] - 0.05, seat[0] + 0.25, seat[1] - 0.09, seat[1] - 0.15, "bench"),
    )


def press_overhead(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """From the shoulders to overhead; a handstand; a push against what does not move."""
    elbow = min(angle(e, "elbow-flexion", 130), 140.0)
    up = min(angle(e, "shoulder-elevation", 175), 178.0)
    one_arm = {"far_shoulder": 5.0, "far_elbow": 5.0} if e.laterality == "one" else {}
    if e.slug == "handstand_hold":
        one = pose(b, trunk=276.0, shoulder=174.0, ankle=-40.0).put("hand", 0.0, 0.03)
        return (scene(one, floor(), wall(one["heel"][0] + (0.03 if one["heel"][0] > 0 else -0.03), 2.1)),)
    if e.mode == "isometric":
        low = e.slug.endswith("low")
        one = on_feet(b, **pressed(90.0, 100.0 if low else 90.0, 80.0), **one_arm)
        return (scene(one, floor(), wall(one["hand"][0] + 0.05, 2.0)),)
    low_arms, high_arms = pressed(90.0, elbow, 85.0), {"shoulder": up, "elbow": 3.0}
    if e.body_position == "sit":
        made = []
        for arms in (low_arms, high_arms):
            one = pose(b, hip=90.0, knee=90.0, **arms).grounded()
            made.append(scene(one, floor(), *incline(one), in_hands(e, one)))
        return made
    ankle, knee, hip = (12.0, 30.0, 15.0) if e.slug == "push_press" else (0.0, 0.0, 0.0)
    start = on_feet(b, ankle, knee, hip, **low_arms, **one_arm)
    end = on_feet(b, **high_arms, **one_arm)
    loads = [(Thing("plate", (one["hand"],)),) if "barbell" in tokens(e) else in_hands(e, one) for one in (start, end)]
    return scene(start, floor(), loads[0]), scene(end, floor(), loads[1])


def dip(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """On bars, on a bench, or lifting off a seat."""
    elbow, back = angle(e, "elbow-flexion", 100), angle(e, "shoulder-extension", 50)
    if e.slug == "bench_dip":
        made = []
        for arms in ({"shoulder": -12.0}, pressed(88.0, elbow, 275.0)):
            one = pose(b, trunk=88.0, hip=75.0, knee=20.0, **arms).put("hand", 0.0, BENCH + 0.03)
            one = one.foot_to(0.95, b.ankle, 30.0)
            made.append(scene(one, floor(-0.6, 1.2), *bench(-0.5, 0.08)))
        return made
    if e.slug == "dip_seat_lift":
        one = pose(b, trunk=88.0, hip=80.0, knee=80.0, shoulder=-8.0, elbow=15.0).put("hand", 0.0, BENCH + 0.03)
        one = one.foot_to(0.5, b.ankle)
        return (scene(one, floor(-0.6, 0.9), *bench(-0.5, 0.12)),)
    bar: Point = (0.0, 1.15)
    high = pose(b, trunk=84.0, hip=10.0, knee=60.0, shoulder=upright(84.0, 270.0)).put("hand", *bar)
    low = pose(b, trunk=70.0, hip=10.0, knee=60.0, shoulder=-back, elbow=elbow).put("hand", *bar)
    bars = (Thing("post", ((-0.35, 1.12), (0.35, 1.12))), post(-0.3, 1.12), post(0.3, 1.12), floor())
    made = [scene(high, bars), scene(low, bars)]
    if "band" in tokens(e):
        made = [scene(one, bars, Thing("band", ((-0.1, 1.12), one["knee"], (0.1, 1.12)))) for one in (high, low)]
    return made[:1] if e.mode == "isometric" else made


def hang(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Pull-ups and hangs, pulldowns, and what is done hanging."""
    bar: Point = (0.0, BAR_HIGH)
    rod = Thing("grip", (bar,))
    top = (Thing("post", ((-0.35, BAR_HIGH), (0.35, BAR_HIGH))), floor())
    if e.body_position == "sit" or e.slug == "band_pulldown":
        return pulldown(e, b)
    if e.slug.startswith("straight_arm_pd"):
        made = []
        for arm in (angle(e, "shoulder-elevation", 150) - 10.0, 15.0):
            one = on_feet(b, 5.0, 15.0, 30.0, shoulder=arm, elbow=5.0)
            made.append(scene(one, floor(-0.6, 1.1), pull_line(e, one["hand"], (0.95, 2.0))))
        return made
    low = pose(b, trunk=90.0, knee=12.0, shoulder=angle(e, "shoulder-elevation", 175), ankle=-25.0).put("hand", *bar)
    high = pose(b, trunk=97.0, knee=25.0, ankle=-25.0, **pressed(97.0, angle(e, "elbow-flexion", 130), 88.0))
    high = high.put("hand", *bar)
    knee, hip, bend = angle(e, "knee-flexion", 10), angle(e, "hip-flexion", 0), angle(e, "trunk-flexion", 0)
    if e.pattern == "trunk_flexion":
        # The hips come forward as the pelvis turns under: the lower trunk leans back about the hands.
        end = pose(b, trunk=90.0 + 0.9 * bend, bend=bend, hip=hip, knee=knee, shoulder=172.0, ankle=-20.0)
        return scene(low, top, rod), scene(end.put("hand", *bar), top, rod)
    if "feet" in e.slug:
        low = low.foot_to(0.12, 0.56 + b.ankle)
        support = box(-0.05, 0.45, 0.56)
        if e.mode == "isometric" or e.pattern == "scapular":
            return (scene(low, top, rod, support),)
        return scene(low, top, rod, support), scene(high.foot_to(0.12, 0.7, -50.0), top, rod, support)
    if e.pattern == "scapular":
        # The arms stay long: the body rises between the shoulders.
        kept = (*ARM_POINTS, "shoulder")
        raised = low.with_points(**{k: (x, z + 0.08) for k, (x, z) in low.points.items() if k not in kept})
        return scene(low, top, rod), scene(raised, top, rod)
    bands = ("band" in tokens(e) and "pullup_bar" in tokens(e)) and e.load_means == "assistance"
    made = []
    for one in (low, high):
        band = (Thing("band", (bar, one["knee"])),) if bands else ()
        made.append(scene(one, top, rod, band))
    if e.mode == "isometric":
        return made[1:] if angle(e, "elbow-flexion") > 60 else made[:1]
    return made[::-1] if e.mode == "lowering" else made


ARM_POINTS = ("elbow", "hand", "far_elbow", "far_hand")


def pulldown(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Seated (or kneeling) under a pulley: from overhead to the chest."""
    made = []
    high_arm = min(angle(e, "shoulder-elevation", 170), 172.0)
    for arms in ({"shoulder": high_arm, "elbow": 3.0}, pressed(98.0, angle(e, "elbow-flexion", 130), 86.0)):
        if e.body_position == "kneel":
            one = pose(b, trunk=94.0, knee=90.0, ankle=-60.0, **arms).grounded(name="knee")
            around: list[Thing] = [floor()]
        else:
            one = pose(b, trunk=94.0, hip=88.0, knee=92.0, **arms).grounded()
            around = [floor(), box(one["hip"][0] - 0.2, one["hip"][0] + 0.18, one["hip"][1] - 0.09)]
        made.append(scene(one, around, pull_line(e, one["hand"], (one["hip"][0] + 0.12, 2.05))))
    return made


def row(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Rows bent over, seated, lying under a bar, against a bench."""
    elbow = angle(e, "elbow-flexion", 110)
    if e.base.startswith("row_inv"):
        return inverted_row(e, b, elbow)
    if e.slug == "row_chest":
        made = []
        for arms in ({"shoulder": upright(40.0, 270.0)}, pressed(40.0, elbow, 270.0)):
            one = pose(b, trunk=40.0, hip=10.0, knee=20.0, ankle=-20.0, **arms).put("hip", 0.0, 0.6)
            one = one.foot_to(-0.5, 0.14, -50.0)
            pad = (one.front_of("hip", 0.11), one.front_of("shoulder", 0.11))
            leg = Thing("frame", (((pad[0][0] + pad[1][0]) / 2, (pad[0][1] + pad[1][1]) / 2), (0.35, 0.0)))
            made.append(scene(one, floor(-0.9, 0.9), leg, Thing("board", pad), in_hands(e, one)))
        return made
    if e.body_position == "sit":
        made = []
        for arms in ({"shoulder": upright(90.0, 355.0)}, pressed(94.0, elbow, 0.0)):
            one = pose(b, trunk=92.0, hip=88.0, knee=angle(e, "knee-flexion", 30), ankle=10.0, **arms)
            one = one.put("hip", 0.0, 0.12 if "cable" not in tokens(e) else 0.42)
            top = one["hip"][1] - 0.09
            one = one.foot_to(0.72, max(top, 0.0) + 0.12, 70.0)
            pull = pull_line(e, one["hand"], (1.15, one["hand"][1] - 0.05))
            if e.slug == "row_iso":
                pull = (Thing("rope", (one["hand"], one["toe"])),)
            around: list[Thing] = [floor(-0.5, 1.2)]
            if top > 0.1:
                around += bench(-0.3, 0.55, top)
            else:
                around.append(box(-0.2, 0.2, top))
            made.append(scene(one, around, pull))
        return made[1:] if e.mode == "isometric" else made
    if e.slug == "elbow_drive_hold":
        one = on_feet(b, shoulder=-8.0, elbow=90.0)
        return (scene(one, floor(), wall(one["elbow"][0] - 0.06)),)
    if e.slug in ("row_band", "row_towel"):
        made = []
        lean = 12.0 if e.slug == "row_towel" else 0.0
        for arms in ({"shoulder": upright(90.0 + lean, 0.0)}, pressed(90.0 + lean, elbow, 0.0)):
            one = pose(b, trunk=90.0 + lean, hip=8.0, knee=20.0, ankle=15.0 - lean, **arms).put("ankle", 0.0, b.ankle)
            one = one.foot_to(0.05 + 0.012 * lean, b.ankle)
            end = (1.0, 1.25)
            line = (Thing("rope", (one["hand"], end)), post(1.0, 1.6)) if lean else pull_line(e, one["hand"], end)
            made.append(scene(one, floor(-0.7, 1.1), line))
        return made
    deep = {"ankle": 5.0, "knee": angle(e, "knee-flexion", 25), "hip": angle(e, "hip-flexion", 75)}
    trunk = 90.0 - deep["ankle"] + deep["knee"] - deep["hip"]
    made = []
    for arms in ({"shoulder": upright(trunk, 270.0)}, pressed(trunk, elbow, 270.0)):
        one = on_feet(b, **deep, **arms)
        around = [floor(-0.7, 1.0)]
        if e.slug == "row_db":
            one = one.hand_to(one["shoulder"][0] + 0.12, BENCH + 0.04, "far")
            around += bench(one["shoulder"][0] - 0.1, one["shoulder"][0] + 0.6)
        made.append(scene(one, around, in_hands(e, one, both=False)))
    return made


def inverted_row(e: Exercise, b: Build, elbow: float) -> Sequence[Scene]:
    """Under a bar, the body straight from the heels (or the bent knees) up."""
    bent_knees = "bent" in e.slug
    bar_z = 1.0
    made = []
    x_bar: float | None = None
    for arms, drop in (({"shoulder": 90.0}, b.arm), (None, 0.30)):
        target = bar_z - drop
        base = b.trunk + (b.thigh if bent_knees else b.leg)
        foot_z = b.ankle + (b.shank if bent_knees else 0.0)
        from math import asin, degrees

        tilt = degrees(asin(max(-1.0, min(1.0, (target - foot_z) / base))))
        knee = 90.0 - tilt if bent_knees else 0.0
        one = pose(b, trunk=180.0 - tilt, knee=max(knee, 0.0), ankle=20.0, **(arms or {}))
        if bent_knees:
            one = one.put("knee", 0.7, foot_z).foot_to(0.7, b.ankle)
        else:
            one = one.put("ankle", 0.8, b.ankle)
        if x_bar is None:
            x_bar = one["shoulder"][0] + 0.03
        one = one.hand_to(x_bar, bar_z)
        rods = Thing("grip", ((x_bar, bar_z),)), Thing("frame", ((x_bar, bar_z), (x_bar, 0.0)))
        made.append(scene(one, floor(-0.9, 1.2), rods))
    return made


def raise_arms(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Raises to the front from the side, to the side from the front; pulls to the face."""
    up = angle(e, "shoulder-elevation", 90)
    if e.slug == "front_raise":
        start, end = on_feet(b, shoulder=5.0), on_feet(b, shoulder=up, elbow=8.0)
        return scene(start, floor(), in_hands(e, start)), scene(end, floor(), in_hands(e, end))
    if e.slug.startswith("face_pull"):
        made = []
        for hand in (None, (0.18, 0.0)):
            one = on_feet(b, shoulder=100.0, elbow=3.0)
            if hand:
                one = pose(b, shoulder=35.0).put("ankle", 0.0, b.ankle)
                one = one.hand_to(one["shoulder"][0] + 0.16, one["shoulder"][1] + 0.2)
                one = one.with_points(
                    elbow=(one["shoulder"][0] + 0.03, one["shoulder"][1] + 0.03),
                    far_elbow=(one["shoulder"][0] + 0.03, one["shoulder"][1] + 0.03),
                )
                return_arm = away(one["elbow"], 40.0, b.forearm * 0.8)
                one = one.with_points(hand=return_arm, far_hand=return_arm)
            made.append(scene(one, floor(-0.6, 1.1), pull_line(e, one["hand"], (1.05, 1.6))))
        return made
    if e.slug.startswith("lat_raise") or e.slug == "pull_apart":
        return side_raise(e, b, up)
    return None


def side_raise(e: Exercise, b: Build, up: float) -> Sequence[Scene]:
    """Arms out to the sides, from the front."""
    made = []
    single = e.laterality == "one"
    for lift in (up,) if e.mode == "isometric" or e.slug == "pull_apart" else (8.0, up):
        right = (270.0 + lift, 270.0 + lift + 6.0)
        left = (268.0, 268.0) if single else (270.0 - lift, 270.0 - lift - 6.0)
        one = shifted(front(b, arms=(left, right)), 0.0, b.leg + b.ankle)
        things: list[Thing] = [floor(-0.8, 0.8)]
        if "dumbbell" in tokens(e):
            things += [Thing("dumbbell", (one[f"{k}hand"],)) for k in ("l_", "r_")]
        elif e.slug == "pull_apart":
            things.append(Thing("band", (one["l_hand"], one["r_hand"])))
        elif e.mode == "isometric":
            things.append(wall(one["r_hand"][0] + 0.04))
        else:
            anchor = (-0.75, 0.12) if "cable" in tokens(e) else (-0.1, 0.02)
            things += pull_line(e, one["r_hand"], anchor)
        made.append(Scene(front_limbs(one), tuple(things)))
    return made


def turn_arms(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """The forearm turned out or in with the elbow at the side, seen from the front; what pulls is on the other side."""
    if e.mode == "isometric" or e.body_position != "stand":
        return None
    out, across = (0.0, 0.8), (180.0, 0.9)  # direction of the forearm, and how much of its length shows
    outward = "shoulder-external-rotation" in e.max_angles
    made = []
    for direction, shows in (across, out) if outward else (out, across):
        one = shifted(front(b, arms=((268.0, 268.0), (276.0, 276.0))), 0.0, b.leg + b.ankle)
        one["r_hand"] = away(one["r_elbow"], direction, shows * b.forearm)
        anchor = (-0.75 if outward else 0.85, one["r_hand"][1])
        made.append(Scene(front_limbs(one), (floor(-0.8, 0.9), *pull_line(e, one["r_hand"], anchor))))
    return made


def scapula(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Shrugs, push-up plus, raises face down on an inclined bench."""
    if e.body_position == "hang":
        return hang(e, b)
    if e.slug.startswith("shrug"):
        start = on_feet(b)
        lifted = {k: (x, z + 0.06) for k, (x, z) in start.points.items() if k in (*ARM_POINTS, "shoulder")}
        end = start.with_points(**lifted)
        return scene(start, floor(), in_hands(e, start)), scene(end, floor(), in_hands(e, end))
    if e.slug in ("scap_pushup", "scap_pushup_wall"):
        made = []
        for low in (0.0, 0.05):
            if e.slug == "scap_pushup":
                one = pose(b, trunk=14.0, shoulder=76.0).put("hand", 0.6, 0.035)
                waist, crown = one["waist"], one["crown"]
                one = one.foot_to(one["ankle"][0], 0.15, -75.0)
                one = one.with_points(waist=(waist[0], waist[1] - low), crown=(crown[0], crown[1] - low))
                made.append(scene(one, floor(-1.2, 0.9)))
            else:
                one = pose(b, trunk=78.0, shoulder=85.0).put("ankle", -0.35 + low, b.ankle)
                one = one.foot_to(-0.35, b.ankle)
                x = -0.35 + 1.327 * 0.21 + b.arm * 0.99
                made.append(scene(one.hand_to(x, one["shoulder"][1] - 0.03), floor(-0.7, 0.8), wall(x + 0.02)))
        return made
    if e.slug == "y_raise":
        made = []
        for arm in (upright(35.0, 270.0), 158.0):
            one = pose(b, trunk=35.0, hip=5.0, knee=10.0, shoulder=arm).put("hip", 0.0, 0.62)
            one = one.foot_to(-0.55, 0.14, -50.0)
            pad = (one.front_of("hip", 0.11), one.front_of("shoulder", 0.11))
            leg = Thing("frame", (((pad[0][0] + pad[1][0]) / 2, (pad[0][1] + pad[1][1]) / 2), (0.35, 0.0)))
            made.append(scene(one, floor(-0.9, 1.1), leg, Thing("board", pad)))
        return made
    return None


def elbow_bend(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Curls."""
    bend = angle(e, "elbow-flexion", 140)
    if e.slug == "curl_incline":
        made = []
        for elbow in (0.0, bend):
            one = pose(b, trunk=125.0, shoulder=-35.0, elbow=elbow).put("hip", 0.0, 0.5).foot_to(0.5, b.ankle)
            made.append(scene(one, floor(-0.8, 0.8), *incline(one), in_hands(e, one)))
        return made
    if e.slug == "curl_hold_self":
        one = on_feet(b, shoulder=0.0, elbow=bend, far_shoulder=5.0, far_elbow=5.0)
        x, z = one["hand"]
        table = box(x - 0.06, x + 0.5, z + 0.1, z + 0.04, "bench"), post(x + 0.42, z + 0.04)
        return (scene(one, floor(-0.5, 1.0), table),)
    made = []
    for elbow in (0.0, bend):
        one = on_feet(b, shoulder=4.0 if elbow == 0 else 0.0, elbow=elbow)
        pull: tuple[Thing, ...] = in_hands(e, one)
        if "cable" in tokens(e):
            pull = pull_line(e, one["hand"], (0.75, 0.12))
        elif "band" in tokens(e):
            pull = (Thing("band", (one["hand"], (0.05, 0.02))),)
        made.append(scene(one, floor(-0.5, 0.9), pull))
    return hold_or_both(e, made[0], made[1])


def elbow_straight(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """Pushdowns and extensions."""
    bend = angle(e, "elbow-flexion", 110)
    if e.slug == "lying_triceps":
        made = []
        for elbow in (3.0, bend):
            one = lying(b, 0.0, 0.48, shoulder=95.0, elbow=elbow)
            made.append(scene(one, floor(-1.1, 0.8), in_hands(e, one)))
        return made
    if e.slug.startswith("oh_triceps"):
        made = []
        for elbow in (bend, 3.0):
            if e.body_position == "sit":
                one = pose(b, hip=90.0, knee=90.0, shoulder=170.0, elbow=elbow).grounded()
                seat = box(one["hip"][0] - 0.2, one["hip"][0] + 0.2, one["hip"][1] - 0.09)
                made.append(scene(one, floor(), seat, in_hands(e, one)))
            else:
                one = on_feet(b, 5.0, 10.0, 20.0, shoulder=160.0, elbow=elbow)
                made.append(scene(one, floor(-1.1, 0.7), pull_line(e, one["hand"], (-1.0, 0.9))))
        return made
    if e.slug == "triceps_hold_self":
        return None
    made = []
    for elbow in (bend, 3.0):
        one = on_feet(b, 3.0, 5.0, 8.0, shoulder=5.0, elbow=elbow)
        made.append(scene(one, floor(-0.5, 0.9), pull_line(e, one["hand"], (0.6, 1.95))))
    return made[:1] if e.mode == "isometric" else made


def wrist(e: Exercise, b: Build) -> Sequence[Scene] | None:
    """The forearm on the thigh, the wrist beyond the knee: only where a dumbbell shows what is done."""
    if e.slug not in ("wrist_curl", "rev_wrist_curl", "rev_wrist_curl_ecc", "wrist_ext_hold"):
        return None
    one = pose(b, trunk=70.0, hip=110.0, knee=90.0).grounded()
    one = one.hand_to(one["knee"][0] + 0.1, one["knee"][1] + 0.1)
    seat = box(one["hip"][0] - 0.2, one["hip"][0] + 0.2, one["hip"][1] - 0.09)
    made = []
    for lift in (-0.05, 0.05):
        hand = one["hand"][0] + 0.06, one["hand"][1] + lift
        made.append(scene(one.with_points(hand=hand, far_hand=hand), floor(), seat, Thing("dumbbell", (hand,))))
    if e.mode == "isometric":
        return made[1:]
    return made[::-1] if e.mode == "lowering" else made


PATTERNS: Mapping[str, Poser] = MappingProxyType(
    {
        "push_horizontal": press_flat,
        "push_incline": press_up,
        "push_vertical": press_overhead,
        "dip": dip,
        "pull_vertical": hang,
        "pull_horizontal": row,
        "shoulder_raise": raise_arms,
        "scapular": scapula,
        "rotator_cuff": turn_arms,
        "elbow_flexion": elbow_bend,
        "elbow_extension": elbow_straight,
        "grip_wrist": wrist,
    }
)
