"""A person to pose by joint angles, seen from the side (facing right) or from the front.

Two ideas carry this module. One: angles are those of the catalogue (flexion positive, nought standing straight), laid
on a trunk whose direction is given: 90 upright, 0 face down with the head to the right, 180 on the back with the head
to the left. Two: a pose is put where it belongs by one point (a foot on the floor, a hand on the bar), and arms and
legs can be led to a point. Lengths come from the body tables.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from math import acos, atan2, cos, degrees, hypot, radians, sin

from setwright.body.segments import Sex, body_of
from setwright.publish.drawing import Limb, Point

USUAL_STATURE_M = 1.72
GRIP = 0.6  # of the hand, from wrist to the middle of the grip
# How far a joint's skin lies from its centre where it rests on something, m: half of the drawn thickness.
SKIN = {"hip": 0.085, "waist": 0.08, "shoulder": 0.08, "knee": 0.055, "crown": 0.0, "elbow": 0.035, "hand": 0.03}
SOLE = 0.028
SIDES = ("", "far_")


@dataclass(frozen=True)
class Build:
    """Lengths of a person, m."""

    thigh: float
    shank: float
    trunk: float
    head: float
    upper_arm: float
    forearm: float
    foot: float
    ankle: float
    heel: float

    @property
    def arm(self) -> float:
        """Shoulder to grip."""
        return self.upper_arm + self.forearm

    @property
    def leg(self) -> float:
        """Hip to ankle."""
        return self.thigh + self.shank


@cache
def build_of(stature_m: float = USUAL_STATURE_M, sex: Sex | None = None) -> Build:
    """The lengths of a person by the body tables; body mass plays no part in them."""
    body = body_of(70.0, stature_m, sex)

    def of(name: str) -> float:
        return float(getattr(body, name).length_m[0, 0])

    return Build(
        of("thigh"),
        of("shank"),
        of("trunk"),
        of("head"),
        of("upper_arm"),
        of("forearm") + GRIP * of("hand"),
        of("foot"),
        float(body.ankle_height_m[0, 0]),
        float(body.heel_to_ankle_m[0, 0]),
    )


def away(start: Point, angle_deg: float, length: float) -> Point:
    """The point at a distance in a direction: 0 to the right, 90 up."""
    return start[0] + length * cos(radians(angle_deg)), start[1] + length * sin(radians(angle_deg))


def heading(start: Point, end: Point) -> float:
    """Direction from one point to another, degrees."""
    return degrees(atan2(end[1] - start[1], end[0] - start[0]))


def bent(start: Point, end: Point, first: float, second: float, turn: float) -> tuple[Point, Point]:
    """(joint between two limbs, their far end) led from ``start`` to ``end``, or as near as they reach.

    turn : 1 where the second limb turns counter-clockwise against the first (elbows), -1 clockwise (knees)
    """
    far = max(hypot(end[0] - start[0], end[1] - start[1]), 1e-6)
    span = min(max(far, abs(first - second) + 1e-6), first + second - 1e-6)
    off = degrees(acos(max(-1.0, min(1.0, (first**2 + span**2 - second**2) / (2 * first * span)))))
    toward = heading(start, end)
    return away(start, toward - turn * off, first), away(start, toward, span)


@dataclass(frozen=True)
class Figure:
    """A posed person: joints by name, m; those of the farther side begin with ``far_``."""

    build: Build
    points: Mapping[str, Point]
    trunk_deg: float

    def __getitem__(self, name: str) -> Point:
        return self.points[name]

    def moved(self, dx: float, dz: float) -> Figure:
        """The same pose elsewhere."""
        return Figure(self.build, {name: (x + dx, z + dz) for name, (x, z) in self.points.items()}, self.trunk_deg)

    def put(self, name: str, x: float, z: float) -> Figure:
        """The same pose with one joint at a place."""
        at = self.points[name]
        return self.moved(x - at[0], z - at[1])

    def grounded(self, x: float = 0.0, name: str = "ankle", floor: float = 0.0) -> Figure:
        """The same pose with its lowest part on the floor and one joint at ``x``."""
        low = min(z - _skin(key) for key, (_, z) in self.points.items())
        return self.moved(x - self.points[name][0], floor - low)

    def with_points(self, **points: Point) -> Figure:
        """The same pose with some joints elsewhere."""
        return Figure(self.build, {**self.points, **points}, self.trunk_deg)

    def hand_to(self, x: float, z: float, side: str = "both") -> Figure:
        """With the hand (``near``, ``far`` or both) led to a place."""
        made = dict(self.points)
        for key in _sides(side):
            made[f"{key}elbow"], made[f"{key}hand"] = bent(
                self.points["shoulder"], (x, z), self.build.upper_arm, self.build.forearm, 1.0
            )
        return Figure(self.build, made, self.trunk_deg)

    def foot_to(self, x: float, z: float, foot_deg: float = 0.0, side: str = "both") -> Figure:
        """With the ankle (``near``, ``far`` or both) led to a place and the foot in a direction."""
        made = dict(self.points)
        for key in _sides(side):
            made[f"{key}knee"], ankle = bent(self.points["hip"], (x, z), self.build.thigh, self.build.shank, -1.0)
            made[f"{key}ankle"] = ankle
            made[f"{key}heel"], made[f"{key}toe"] = _foot(self.build, ankle, foot_deg)
        return Figure(self.build, made, self.trunk_deg)

    def front_of(self, name: str, distance: float) -> Point:
        """The point before (or behind, where negative) a joint of the trunk."""
        return away(self.points[name], self.trunk_deg - 90.0, distance)

    def angle(self, first: str, joint: str, last: str) -> float:
        """How far a joint is bent, degrees: 0 where the two limbs are in line."""
        one, other = heading(self.points[first], self.points[joint]), heading(self.points[joint], self.points[last])
        return abs((other - one + 180.0) % 360.0 - 180.0)

    def limbs(self) -> tuple[Limb, ...]:
        """The limbs to draw; the farther side only where it differs from the nearer."""
        p = self.points
        made = [
            *self._side("far_", True),
            Limb("trunk", p["hip"], p["waist"]),
            Limb("upper trunk", p["waist"], p["shoulder"]),
            Limb("head", p["shoulder"], p["crown"]),
            *self._side("", False),
        ]
        return tuple(made)

    def _side(self, key: str, far: bool) -> Iterable[Limb]:
        p = self.points
        for name, first, last in (
            ("thigh", "hip", f"{key}knee"),
            ("shank", f"{key}knee", f"{key}ankle"),
            ("foot", f"{key}heel", f"{key}toe"),
            ("upper arm", "shoulder", f"{key}elbow"),
            ("forearm", f"{key}elbow", f"{key}hand"),
        ):
            if far and _same(p[last], p[last.removeprefix("far_")]):
                continue
            yield Limb(name, p[first], p[last], far)


def _same(a: Point, b: Point) -> bool:
    return hypot(a[0] - b[0], a[1] - b[1]) < 0.02


def _sides(side: str) -> tuple[str, ...]:
    return {"near": ("",), "far": ("far_",), "both": SIDES}[side]


def _skin(name: str) -> float:
    bare = name.removeprefix("far_")
    return SOLE if bare in ("heel", "toe") else SKIN.get(bare, 0.0)


def _foot(build: Build, ankle: Point, foot_deg: float) -> tuple[Point, Point]:
    """(heel, toe) of a foot in a direction: the middle of its drawn line."""
    down = away(ankle, foot_deg - 90.0, build.ankle - SOLE)
    return away(down, foot_deg + 180.0, 0.6 * build.heel), away(down, foot_deg, build.foot - build.heel - SOLE)


def pose(
    build: Build,
    trunk: float = 90.0,
    hip: float = 0.0,
    knee: float = 0.0,
    ankle: float = 0.0,
    shoulder: float = 0.0,
    elbow: float = 0.0,
    bend: float = 0.0,
    nod: float = 0.0,
    far_hip: float | None = None,
    far_knee: float | None = None,
    far_ankle: float | None = None,
    far_shoulder: float | None = None,
    far_elbow: float | None = None,
) -> Figure:
    """A person seen from the side, hip at the origin; the farther limbs as the nearer where nothing is said.

    trunk : direction from hip to shoulder, degrees; bend : how far the upper trunk is bent forward against the lower
    nod : how far the head is bent forward; other angles: flexion, dorsiflexion and elevation in front positive
    """
    points: dict[str, Point] = {"hip": (0.0, 0.0)}
    upper = trunk - bend
    points["waist"] = away(points["hip"], trunk, 0.5 * build.trunk)
    points["shoulder"] = away(points["waist"], upper, 0.5 * build.trunk)
    points["crown"] = away(points["shoulder"], upper - nod, build.head)
    legs = {"": (hip, knee, ankle)}
    legs["far_"] = (
        hip if far_hip is None else far_hip,
        knee if far_knee is None else far_knee,
        ankle if far_ankle is None else far_ankle,
    )
    arms = {"": (shoulder, elbow)}
    arms["far_"] = (shoulder if far_shoulder is None else far_shoulder, elbow if far_elbow is None else far_elbow)
    for key in SIDES:
        thigh = trunk + 180.0 + legs[key][0]
        shank = thigh - legs[key][1]
        points[f"{key}knee"] = away(points["hip"], thigh, build.thigh)
        points[f"{key}ankle"] = away(points[f"{key}knee"], shank, build.shank)
        points[f"{key}heel"], points[f"{key}toe"] = _foot(build, points[f"{key}ankle"], shank + 90.0 + legs[key][2])
        arm = upper + 180.0 + arms[key][0]
        points[f"{key}elbow"] = away(points["shoulder"], arm, build.upper_arm)
        points[f"{key}hand"] = away(points[f"{key}elbow"], arm + arms[key][1], build.forearm)
    return Figure(build, points, upper)


def on_feet(
    build: Build,
    ankle: float = 0.0,
    knee: float = 0.0,
    hip: float = 0.0,
    foot_deg: float = 0.0,
    arm_deg: float | None = None,
    **more: float,
) -> Figure:
    """A person on flat feet, the trunk where ankle, knee and hip angles put it; the sole on the floor, ankle at x = 0.

    foot_deg : direction of the sole, negative with the heel higher
    arm_deg : direction of a straight arm (270 hangs plumb), instead of a shoulder angle
    """
    trunk = 90.0 + foot_deg - ankle + knee - hip
    if arm_deg is not None:
        more["shoulder"] = arm_deg - (trunk - more.get("bend", 0.0)) - 180.0
    return pose(build, trunk=trunk, hip=hip, knee=knee, ankle=ankle, **more).grounded()


def front(
    build: Build,
    trunk: float = 90.0,
    legs: tuple[tuple[float, float], tuple[float, float]] = ((270.0, 270.0), (270.0, 270.0)),
    arms: tuple[tuple[float, float], tuple[float, float]] = ((270.0, 270.0), (270.0, 270.0)),
    short_legs: float = 1.0,
    short_arms: float = 1.0,
) -> dict[str, Point]:
    """A person seen from the front, pelvis at the origin: joints by name, left in the picture first (``l_``, ``r_``).

    legs, arms : for the left and the right of the picture, directions of thigh and shank, of upper arm and forearm
    short_legs, short_arms : how much of their length shows where they point towards who looks
    """
    points: dict[str, Point] = {"pelvis": (0.0, 0.0)}
    points["neck"] = away(points["pelvis"], trunk, build.trunk)
    points["crown"] = away(points["neck"], trunk, build.head)
    for key, side, leg, arm in (("l_", 1, legs[0], arms[0]), ("r_", -1, legs[1], arms[1])):
        points[f"{key}hip"] = away(points["pelvis"], trunk + 90.0 * side, 0.085)
        points[f"{key}knee"] = away(points[f"{key}hip"], leg[0], short_legs * build.thigh)
        points[f"{key}ankle"] = away(points[f"{key}knee"], leg[1], short_legs * build.shank)
        points[f"{key}shoulder"] = away(points["neck"], trunk + 90.0 * side, 0.16)
        points[f"{key}elbow"] = away(points[f"{key}shoulder"], arm[0], short_arms * build.upper_arm)
        points[f"{key}hand"] = away(points[f"{key}elbow"], arm[1], short_arms * build.forearm)
    return points


def front_limbs(points: Mapping[str, Point], feet: bool = True) -> tuple[Limb, ...]:
    """The limbs of a person seen from the front."""
    made = [
        Limb("pelvis", points["l_hip"], points["r_hip"]),
        Limb("trunk", points["pelvis"], points["neck"]),
        Limb("girdle", points["l_shoulder"], points["r_shoulder"]),
        Limb("head", points["neck"], points["crown"]),
    ]
    for key, side in (("l_", -1.0), ("r_", 1.0)):
        made += [
            Limb("thigh", points[f"{key}hip"], points[f"{key}knee"]),
            Limb("shank", points[f"{key}knee"], points[f"{key}ankle"]),
        ]
        if feet:
            x, z = points[f"{key}ankle"]
            made.append(Limb("foot", (x, z - 0.035), (x + 0.06 * side, z - 0.04)))
        made += [
            Limb("upper arm", points[f"{key}shoulder"], points[f"{key}elbow"]),
            Limb("forearm", points[f"{key}elbow"], points[f"{key}hand"]),
        ]
    return tuple(made)


def shifted(points: Mapping[str, Point], dx: float, dz: float) -> dict[str, Point]:
    """The same joints elsewhere."""
    return {name: (x + dx, z + dz) for name, (x, z) in points.items()}
