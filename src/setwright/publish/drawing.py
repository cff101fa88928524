"""A person drawn as limbs and things, in SVG: values in metres in, text out.

Two ideas carry this module. One: a scene is what stands there (limbs, bench, bar, plate) in metres, x to the right and
z up; whoever poses it, a lever model or the catalogue, the pencil is the same. Two: the nearer limbs are dark, the
farther grey, loads are rings and discs: it can be read without colour. Same values, same bytes; nothing is fetched.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape
from math import cos, hypot, pi, sin

Point = tuple[float, float]

INK, NEAR, FAR, PAPER = "#1a1a1a", "#2e2e2e", "#9b9b9b", "#ffffff"
THING, THING_FILL, LOAD = "#6a6a6a", "#dcdcdc", "#000000"
# How thick a limb is drawn, m: chosen by eye so that a figure of 12 mm still shows its joints.
THICKNESS = {
    "trunk": 0.155,
    "neck": 0.07,
    "thigh": 0.115,
    "shank": 0.085,
    "foot": 0.055,
    "upper arm": 0.07,
    "forearm": 0.06,
    "hand": 0.05,
    "girdle": 0.10,
    "pelvis": 0.13,
}
OTHER_THICKNESS = 0.06
HEAD_RADIUS = 0.105
HALO = 0.022  # white rim of a limb, m: shows the arm before the trunk
# Radius of a round thing, m, and whether it is a ring.
ROUND = {
    "plate": (0.16, True),
    "dumbbell": (0.07, False),
    "kettlebell": (0.095, False),
    "bar": (0.035, False),
    "grip": (0.035, False),
    "weight": (0.10, False),
    "wheel": (0.10, True),
    "ball": (0.28, True),
    "pulley": (0.05, True),
    "sandbag": (0.15, False),
}
# What is drawn in front of the person; the rest lies behind.
IN_FRONT = ("plate", "dumbbell", "kettlebell", "weight", "band", "cable", "rope", "stick", "sandbag", "wheel", "grip")


@dataclass(frozen=True)
class Limb:
    """One straight part of the body between two joints, m. ``far``: on the side away from who looks."""

    name: str
    start: Point
    end: Point
    far: bool = False

    @property
    def part(self) -> str:
        """What part it is, whatever side it is named after: ``rear thigh`` is a thigh."""
        for name in ("upper arm", "forearm", "thigh", "shank", "trunk", "head", "foot", "hand", "neck"):
            if name in self.name:
                return name
        return self.name


@dataclass(frozen=True)
class Thing:
    """Something besides the body: a round thing at one point, a line, or a closed shape (``box``, ``bench``)."""

    kind: str
    points: tuple[Point, ...]
    far: bool = False


@dataclass(frozen=True)
class Scene:
    """One moment of an exercise: the person and what they use, m."""

    limbs: tuple[Limb, ...]
    things: tuple[Thing, ...] = ()


@dataclass(frozen=True)
class Frame:
    """Where metres land in the picture: px = left + scale x, py = base - scale z."""

    scale: float
    left: float
    base: float

    def at(self, point: Point) -> Point:
        """A point of the scene in the picture."""
        return self.left + self.scale * point[0], self.base - self.scale * point[1]


Box = tuple[float, float, float, float]


def thickness(limb: Limb) -> float:
    """How thick a limb is drawn, m."""
    return THICKNESS.get(limb.part, OTHER_THICKNESS)


def head_centre(limb: Limb) -> Point:
    """The middle of the head: the crown lies on its rim."""
    length = hypot(limb.end[0] - limb.start[0], limb.end[1] - limb.start[1])
    share = 1.0 if length == 0 else max(0.0, 1.0 - HEAD_RADIUS / length)
    return (
        limb.start[0] + share * (limb.end[0] - limb.start[0]),
        limb.start[1] + share * (limb.end[1] - limb.start[1]),
    )


def bounds(scenes: Iterable[Scene]) -> Box:
    """(lowest x, lowest z, highest x, highest z) of what is drawn, with the thickness of limbs, m."""
    xs: list[float] = []
    zs: list[float] = []
    for scene in scenes:
        for limb in scene.limbs:
            room = HEAD_RADIUS if limb.part == "head" else thickness(limb) / 2
            ends = (head_centre(limb),) if limb.part == "head" else (limb.start, limb.end)
            for x, z in ends:
                xs += [x - room, x + room]
                zs += [z - room, z + room]
        for thing in scene.things:
            room = ROUND[thing.kind][0] if thing.kind in ROUND and len(thing.points) == 1 else 0.015
            for x, z in thing.points:
                xs += [x - room, x + room]
                zs += [z - room, z + room]
    return min(xs), min(zs), max(xs), max(zs)


def number(value: float) -> str:
    """A coordinate with at most two decimals, without a minus before nought.

    >>> number(2.50), number(-0.001)
    ('2.5', '0')
    """
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def line(a: Point, b: Point, attributes: str = "") -> str:
    """A straight line of the picture."""
    ends = f'x1="{number(a[0])}" y1="{number(a[1])}" x2="{number(b[0])}" y2="{number(b[1])}"'
    return f"<line {ends}{' ' if attributes else ''}{attributes}/>"


def circle(at: Point, radius: float, attributes: str = "") -> str:
    """A circle of the picture."""
    place = f'cx="{number(at[0])}" cy="{number(at[1])}" r="{number(radius)}"'
    return f"<circle {place}{' ' if attributes else ''}{attributes}/>"


def path(points: Sequence[Point], closed: bool = False, attributes: str = "") -> str:
    """A line through points of the picture."""
    said = "L".join(f"{number(x)} {number(y)}" for x, y in points)
    return f'<path d="M{said}{"Z" if closed else ""}"{" " if attributes else ""}{attributes}/>'


def words(text: str, at: Point, size: float, anchor: str = "middle", attributes: str = "") -> str:
    """Words at a place of the picture."""
    place = f'x="{number(at[0])}" y="{number(at[1])}" font-size="{number(size)}" text-anchor="{anchor}"'
    return f"<text {place}{' ' if attributes else ''}{attributes}>{escape(text)}</text>"


def arrow_head(tip: Point, toward_rad: float, size: float, colour: str) -> str:
    """A filled arrow head at its tip, pointing in a direction of the picture (y down)."""
    wings = [(tip[0] - size * cos(toward_rad + turn), tip[1] - size * sin(toward_rad + turn)) for turn in (0.45, -0.45)]
    return path([tip, *wings], True, f'fill="{colour}"')


def document(width: float, height: float, title: str, desc: str, body: Iterable[str], extra: str = "") -> str:
    """A whole SVG: its title and description say what it shows; it shrinks with a narrow page."""
    said = f"<title>{escape(title)}</title>" + (f"<desc>{escape(desc)}</desc>" if desc else "")
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="0 0 {number(width)} {number(height)}" '
        f'width="{number(width)}" height="{number(height)}" style="max-width:100%;height:auto"{extra}>'
        f"{said}{''.join(body)}</svg>"
    )


def draw(scene: Scene, frame: Frame) -> str:
    """The marks of a scene, in the order that shows what is in front."""
    behind = [one for one in scene.things if one.kind not in IN_FRONT]
    front = [one for one in scene.things if one.kind in IN_FRONT]
    far = [one for one in scene.limbs if one.far]
    near = [one for one in scene.limbs if not one.far]
    order = {"thigh": 1, "shank": 0, "foot": 0, "trunk": 2, "neck": 2, "head": 3}
    near.sort(key=lambda one: order.get(one.part, 4))
    return "".join(
        [
            *(_thing(one, frame) for one in behind),
            *(_thing(one, frame) for one in front if one.far),
            *_limbs(far, frame, FAR),
            *_limbs(near, frame, NEAR),
            *(_thing(one, frame) for one in front if not one.far),
        ]
    )


def _limbs(limbs: Sequence[Limb], frame: Frame, colour: str) -> list[str]:
    """Limbs of one side: each as a rounded line with a white rim, the head as a disc."""
    if not limbs:
        return []
    made = [f'<g stroke="{colour}" fill="none" stroke-linecap="round">']
    for limb in limbs:
        a, b = frame.at(limb.start), frame.at(limb.end)
        wide = max(frame.scale * thickness(limb), 2.0)
        rim = frame.scale * HALO
        mark = f'data-link="{escape(limb.name)}"'
        if limb.part == "head":
            middle = frame.at(head_centre(limb))
            neck = f'stroke-width="{number(max(frame.scale * THICKNESS["neck"], 2.0))}" {mark}'
            made.append(line(a, middle, neck))
            made.append(
                circle(middle, frame.scale * HEAD_RADIUS, f'fill="{colour}" stroke="{PAPER}" stroke-width="{rim:.1f}"')
            )
        else:
            if limb.part in ("upper arm", "forearm", "hand"):
                made.append(line(a, b, f'stroke="{PAPER}" stroke-width="{number(wide + 2 * rim)}"'))
            made.append(line(a, b, f'stroke-width="{number(wide)}" {mark}'))
    return [*made, "</g>"]


def _thing(thing: Thing, frame: Frame) -> str:
    """One thing besides the body."""
    points = [frame.at(one) for one in thing.points]
    mark = f'data-thing="{escape(thing.kind)}"'
    thin = f'stroke="{THING}" stroke-width="{number(max(0.03 * frame.scale, 1.2))}" stroke-linecap="round" fill="none"'
    if len(points) == 1:
        radius, ring = ROUND.get(thing.kind, (0.06, False))
        wide = max(frame.scale * radius, 2.0)
        if ring:
            rim = number(max(0.2 * wide, 1.2))
            inner = circle(points[0], max(0.16 * wide, 1.2), f'fill="{LOAD}"')
            return circle(points[0], 0.9 * wide, f'fill="{PAPER}" stroke="{LOAD}" stroke-width="{rim}" {mark}') + inner
        rim = number(max(0.012 * frame.scale, 0.8))
        return circle(points[0], wide, f'fill="{LOAD}" stroke="{PAPER}" stroke-width="{rim}" {mark}')
    if thing.kind in ("box", "bench", "wedge", "machine", "sled", "pad"):
        outline = number(max(0.02 * frame.scale, 1.0))
        return path(points, True, f'fill="{THING_FILL}" stroke="{THING}" stroke-width="{outline}" {mark}')
    if thing.kind == "band":
        return path(points, False, f'stroke="{LOAD}" stroke-width="1.6" stroke-dasharray="4 2.5" fill="none" {mark}')
    if thing.kind in ("cable", "rope", "stick"):
        return path(points, False, f'stroke="{LOAD}" stroke-width="1.6" fill="none" {mark}')
    if thing.kind == "floor":
        return path(points, False, f'stroke="{THING}" stroke-width="1.4" fill="none" {mark}')
    return path(points, False, f"{thin} {mark}")


def arc_points(middle: Point, radius: float, start_rad: float, sweep_rad: float) -> list[Point]:
    """Points of an arc in the picture; angles as the scene counts them, counter-clockwise."""
    steps = max(2, round(abs(sweep_rad) / (pi / 18)))
    return [
        (
            middle[0] + radius * cos(start_rad + sweep_rad * i / steps),
            middle[1] - radius * sin(start_rad + sweep_rad * i / steps),
        )
        for i in range(steps + 1)
    ]
