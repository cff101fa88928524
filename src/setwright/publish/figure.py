"""A posture of a lever model as a figure: the person from the same joint angles, the load, the arm and the moment.

Two ideas carry this module. One: all that hangs beyond the working joint pulls along one line; its distance from the
joint is the lever arm, and arm times pull is the moment: both are drawn as they are reckoned. Two: three moments tell a
movement: its start, its hardest point and its end.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, copysign, hypot, isfinite, pi

import numpy as np

from setwright.body.chain import beyond, joint_moment
from setwright.body.lever import Posture, Working, working_moment
from setwright.body.segments import STANDARD_GRAVITY, Floats
from setwright.publish.catalogue_figure import entry_figure as entry_figure
from setwright.publish.drawing import (
    INK,
    PAPER,
    Frame,
    Point,
    Scene,
    arc_points,
    arrow_head,
    bounds,
    circle,
    document,
    draw,
    line,
    path,
    words,
)
from setwright.publish.moment_chart import curve_chart as curve_chart
from setwright.publish.posture_scene import point_at, posture_scene

WIDTH = 360.0  # of the strip, px: what a phone of 390 px leaves
# Words of the strip, px: 6 pt where the strip is printed 45 mm wide, 17 px on the phone.
TEXT, LINE = 17.0, 20.0
TALLEST, GAP, EDGE = 190.0, 10.0, 6.0
LEAST_PANEL = 100.0
MOST_SCALE = 125.0
LEAST_SCALE = 85.0  # px a metre; where a row would be smaller, the figures stand one below the other
WORDS_BESIDE = 100.0
ARM, MOMENT = "#0b5394", "#a61c00"  # contrast above 7 to 1 on white
LONGEST_ARM_M = 0.95  # a line of action farther off says nothing in a picture
LEAST_PULL_N = 15.0


@dataclass(frozen=True)
class Action:
    """What hangs beyond a joint as one force: where it acts, N; the foot of the arm on its line; arm and weight.

    ``weight_kg``: mass whose weight equals the force. ``leaning``: the line is not plumb (a floor or band helps).
    """

    at: Point
    force_n: Point
    foot: Point
    arm_m: float
    weight_kg: float
    leaning: bool


@dataclass(frozen=True)
class Moment:
    """One moment of a movement: which angle of the posture, and the words below its figure."""

    index: int
    name: str


def action_beyond(posture: Posture, joint: Working, index: int) -> Action | None:
    """What hangs beyond the working joint as one force, and its arm; None where it is nought or far off.

    The weight of all that hangs beyond, plumb; pushes of floor and hands are added where they act beyond the joint,
    and bands, cables and ropes too: then the line leans. Force times arm is the moment of ``joint_moment``.
    """
    inside = beyond(posture.links, joint.link)
    mass = 0.0
    first = np.zeros(2)
    for i in inside:
        one = float(np.ravel(posture.links[i].mass_kg)[0])
        mass += one
        first += one * np.asarray(point_at(posture.links[i].com, index))
    force = np.array([0.0, -STANDARD_GRAVITY * mass])
    others = [pull for pull in posture.pulls if pull.on in inside]
    for pull in others:
        force = force + np.asarray(point_at(pull.force_n, index))
    size = float(np.hypot(*force))
    if size < LEAST_PULL_N:
        return None
    pivot = np.asarray(point_at(posture.links[joint.link].start, index))
    about = float(np.ravel(joint_moment(posture.links, posture.pulls, joint.link)[0])[index])
    # joint_moment holds against the force: about = -(r x F). The foot of the arm is square to the line of action.
    arm = about / size
    foot = pivot + arm * np.array([-force[1], force[0]]) / size
    if not isfinite(arm) or abs(arm) > LONGEST_ARM_M:
        return None
    at = first / mass if mass > 0 and not others else foot
    return Action(
        (float(at[0]), float(at[1])),
        (float(force[0]), float(force[1])),
        (float(foot[0]), float(foot[1])),
        abs(arm),
        size / STANDARD_GRAVITY,
        abs(float(force[0])) > 0.02 * size,
    )


def reached(posture: Posture) -> int:
    """How many angles of the movement are reached before balance is lost."""
    possible = np.broadcast_to(np.asarray(posture.possible, dtype=bool), (1, posture.lead_deg.size))[0]
    return int(np.argmin(possible)) if not bool(possible.all()) else int(posture.lead_deg.size)


def moment_curve(posture: Posture, joint: Working) -> Floats:
    """Moment of all limbs of the joint together, of the first person over the movement, N m, (angles,)."""
    one: Floats = np.broadcast_to(working_moment(posture, joint)[:1], (1, posture.lead_deg.size))[0]
    found: Floats = one * joint.limbs
    return found


def moments_of(posture: Posture, joint: Working) -> tuple[Moment, Moment, Moment]:
    """Start, hardest point and end; where the hardest is an end, the half way stands between.

    ValueError where no angle can be held at all.
    """
    count = reached(posture)
    if count == 0:
        raise ValueError("no figure: the posture can't be held at any angle")
    moment = moment_curve(posture, joint)[:count]
    hardest = int(np.nanargmax(moment)) if np.isfinite(moment).any() else 0
    last = count - 1
    near = max(1, posture.lead_deg.size // 20)
    stops = "" if count == posture.lead_deg.size else "stops"
    if hardest <= near:
        return Moment(0, "start, hardest"), Moment(last // 2, "half way"), Moment(last, stops or "end")
    if hardest >= last - near:
        return Moment(0, "start"), Moment(last // 2, "half way"), Moment(last, f"{stops or 'end'}, hardest")
    return Moment(0, "start"), Moment(hardest, "hardest"), Moment(last, stops or "end")


def lever_picture(
    posture: Posture,
    joint: Working | None = None,
    captions: Sequence[str] = (),
    title: str = "",
    arm: bool = True,
) -> str:
    """Three figures of a movement in one SVG: start, hardest point, end; each with its angle and moment in words.

    joint : the working joint; the posture's first when None
    captions : words below each figure instead of the usual ones, one text a figure, lines parted by line breaks
    arm : whether the lever arm and the moment are drawn too

    Drawn is the first person of the posture, as the dials stand, without spread.
    Raises ValueError where the posture can't be held at any angle.
    """
    joint = joint or posture.working[0]
    moments = moments_of(posture, joint)
    scenes = [posture_scene(posture, one.index) for one in moments]
    actions = [action_beyond(posture, joint, one.index) if arm else None for one in moments]
    texts = [text.split("\n") for text in captions] or [_caption(posture, joint, one) for one in moments]
    boxes = [_box(scene, action) for scene, action in zip(scenes, actions, strict=True)]
    tallest = max(box[3] for box in boxes) - min(box[1] for box in boxes)
    stacked = _scale([box[2] - box[0] for box in boxes], tallest) < LEAST_SCALE
    places, height = _stack(boxes, texts) if stacked else _row(boxes, texts)
    body = [f'<rect width="{WIDTH:g}" height="{height:.2f}" fill="{PAPER}"/>']
    for scene, action, text, place, one in zip(scenes, actions, texts, places, moments, strict=True):
        body.append(f'<g data-angle="{posture.lead_deg[one.index]:.1f}">{draw(scene, place.frame)}')
        if arm:
            body.append(_lever(posture, joint, one.index, action, place.frame, place.sides))
        body.append("</g>")
        for i, said in enumerate(text):
            style = f'fill="{INK}"' + (' font-weight="bold"' if i == 0 else "")
            spot = (place.words_at[0], place.words_at[1] + LINE * i)
            body.append(words(said, spot, TEXT, "start" if stacked else "middle", style))
    return document(
        WIDTH,
        height,
        title or f"Figure of the movement: {motion_words(posture.lead)}",
        " ".join(_sentence(posture, joint, one, action) for one, action in zip(moments, actions, strict=True)),
        body,
        ' font-family="Open Sans, Arial, sans-serif"',
    )


def motion_words(motion: str) -> str:
    """``knee-flexion`` as a coach says it: ``knee bend``."""
    joint, _, action = motion.partition("-")
    said = {"flexion": "bend", "extension": "straightening", "elevation": "raise"}.get(action, action.replace("-", " "))
    return f"{joint} {said}".strip()


def which_limbs(joint: Working) -> str:
    """Whose moment it is: ``both legs``, ``both arms``; empty where one limb (or the trunk) works alone."""
    if joint.limbs < 2:
        return ""
    return "both arms" if joint.motion.split("-")[0] in ("elbow", "shoulder", "wrist", "scapula") else "both legs"


def _caption(posture: Posture, joint: Working, one: Moment) -> list[str]:
    """The words below a figure: which moment, the angle, what the joint must hold."""
    moment = float(moment_curve(posture, joint)[one.index])
    name, _, hardest = one.name.partition(", ")
    return [
        name if not hardest else "hardest",
        f"{posture.lead.split('-')[0]} {posture.lead_deg[one.index]:.0f}\u00b0",
        f"{round(moment) + 0} N m".replace("-", "\u2212"),
    ]


def _sentence(posture: Posture, joint: Working, one: Moment, action: Action | None) -> str:
    """The same facts as a sentence."""
    moment = float(moment_curve(posture, joint)[one.index])
    limb = which_limbs(joint)
    said = (
        f"{one.name.capitalize()}: {motion_words(posture.lead)} {posture.lead_deg[one.index]:.0f} degrees, "
        f"moment of {motion_words(joint.motion)} {round(moment) + 0} N m" + (f" in {limb}" if limb else "")
    )
    if moment <= -1:
        said += " (held by the muscles of the other side)"
    if action is not None:
        said += f", lever arm {100 * action.arm_m:.0f} cm to a pull of {action.weight_kg:.0f} kg"
    return said + "."


def _box(scene: Scene, action: Action | None) -> tuple[float, float, float, float]:
    """What a panel must show, m: the scene and the arm."""
    box = bounds([scene])
    if action is None:
        return box
    xs, zs = (action.at[0], action.foot[0]), (action.at[1], action.foot[1])
    return min(box[0], *xs), min(box[1], *zs), max(box[2], *xs), max(box[3], *zs)


@dataclass(frozen=True)
class _Place:
    """Where one figure of the strip stands: its frame, the sides of its panel, where its words begin, px."""

    frame: Frame
    sides: tuple[float, float]
    words_at: Point


Extent = tuple[float, float, float, float]


def _row(boxes: Sequence[Extent], texts: Sequence[Sequence[str]]) -> tuple[list[_Place], float]:
    """Figures side by side on one base line, words below; (places, height)."""
    low, high = min(box[1] for box in boxes), max(box[3] for box in boxes)
    scale = _scale([box[2] - box[0] for box in boxes], high - low)
    widths = [max(scale * (box[2] - box[0]), LEAST_PANEL) for box in boxes]
    spare = (WIDTH - 2 * EDGE - GAP * (len(widths) - 1) - sum(widths)) / len(widths)
    foot = EDGE + scale * (high - low) + TEXT  # the length of a low arm stands here
    left, places = EDGE, []
    for box, wide in zip(boxes, widths, strict=True):
        middle = left + (wide + spare) / 2
        frame = Frame(scale, middle - scale * (box[0] + box[2]) / 2, EDGE + scale * high)
        places.append(_Place(frame, (left, left + wide + spare), (middle, foot + LINE)))
        left += wide + spare + GAP
    return places, foot + LINE * max(len(text) for text in texts) + EDGE


def _stack(boxes: Sequence[Extent], texts: Sequence[Sequence[str]]) -> tuple[list[_Place], float]:
    """Figures one below the other for a body that lies, words beside them; (places, height)."""
    room = WIDTH - 2 * EDGE - 2 * GAP - WORDS_BESIDE
    scale = min(
        room / max(box[2] - box[0] for box in boxes), TALLEST / max(box[3] - box[1] for box in boxes), MOST_SCALE
    )
    top, places = EDGE, []
    for box, text in zip(boxes, texts, strict=True):
        tall = max(scale * (box[3] - box[1]) + TEXT, LINE * len(text) + EDGE)
        frame = Frame(scale, EDGE - scale * box[0], top + scale * box[3])
        first = top + (tall - LINE * len(text)) / 2 + 0.8 * LINE
        places.append(_Place(frame, (EDGE, EDGE + room), (EDGE + room + 2 * GAP, first)))
        top += tall + EDGE
    return places, top


def _scale(widths: Sequence[float], height: float) -> float:
    """px a metre at which the panels fill the strip, none narrower than its words."""
    room = WIDTH - 2 * EDGE - GAP * (len(widths) - 1)
    scale = TALLEST / height
    while scale > 10 and sum(max(scale * wide, LEAST_PANEL) for wide in widths) > room:
        scale *= 0.98
    return scale


def _lever(
    posture: Posture, joint: Working, index: int, action: Action | None, frame: Frame, sides: tuple[float, float]
) -> str:
    """The lever arm with its length, the line of action and the moment as an arc at the working joint."""
    pivot = point_at(posture.links[joint.link].start, index)
    at = frame.at(pivot)
    made: list[str] = []
    if action is not None:
        foot, mass = frame.at(action.foot), frame.at(action.at)
        ends = [foot, mass]
        if action.leaning or hypot(foot[0] - mass[0], foot[1] - mass[1]) < 6:
            size = hypot(*action.force_n)
            step = 22.0
            ux, uy = action.force_n[0] / size, -action.force_n[1] / size
            ends = [(foot[0] - step * ux, foot[1] - step * uy), (foot[0] + step * ux, foot[1] + step * uy)]
        thin = f'stroke="{ARM}" stroke-width="1.5" stroke-dasharray="4 3" fill="none"'
        made.append(line(ends[0], ends[1], f'{thin} data-lever="line"'))
        thick = 'stroke-width="3.2" data-lever="arm"'
        made.append(line(at, foot, f'stroke="{PAPER}" stroke-width="6"'))
        made.append(line(at, foot, f'stroke="{ARM}" {thick}'))
        if not action.leaning:
            made.append(circle(mass, 5, f'fill="{PAPER}" stroke="{ARM}" stroke-width="2" data-lever="mass"'))
            made.append(circle(mass, 1.6, f'fill="{ARM}"'))
    moment = float(moment_curve(posture, joint)[index])
    if abs(moment) >= 1:
        made.append(_arc(posture, joint, index, at, max(11.0, 0.13 * frame.scale)))
    made.append(circle(at, 3.2, f'fill="{PAPER}" stroke="{MOMENT}" stroke-width="1.6" data-lever="joint"'))
    if action is not None and action.arm_m >= 0.005:
        said = f"{100 * action.arm_m:.0f} cm"
        wide = 0.58 * TEXT * len(said)
        x = min(max((at[0] + frame.at(action.foot)[0]) / 2, sides[0] + wide / 2), sides[1] - wide / 2)
        y = max(at[1], frame.at(action.foot)[1])
        below = y + TEXT + 4
        halo = f'fill="{ARM}" stroke="{PAPER}" stroke-width="4" paint-order="stroke" font-weight="bold"'
        made.append(words(said, (x, below), TEXT, attributes=halo))
    return "".join(made)


def _arc(posture: Posture, joint: Working, index: int, at: Point, radius: float) -> str:
    """An arrow round the joint, the way the muscles turn what hangs beyond; it lies away from the limb."""
    link = posture.links[joint.link]
    a, b = point_at(link.start, index), point_at(link.end, index)
    holds = float(np.ravel(joint_moment(posture.links, posture.pulls, joint.link)[0])[index])
    sweep = copysign(1.4 * pi / 2, holds)
    middle = atan2(b[1] - a[1], b[0] - a[0]) + pi
    points = arc_points(at, radius, middle - sweep / 2, sweep)
    end, before = points[-1], points[-3]
    toward = atan2(end[1] - before[1], end[0] - before[0])
    stroke = f'fill="none" stroke="{MOMENT}" stroke-width="2.2" data-lever="moment"'
    return path(points[:-1], False, stroke) + arrow_head(end, toward, 8.0, MOMENT)
