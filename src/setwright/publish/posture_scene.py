"""A posture of a lever model as a scene to draw: the same joints, the load, bands, and what carries the person."""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, hypot, pi

import numpy as np

from setwright.body.lever import Posture
from setwright.body.segments import Floats
from setwright.publish.drawing import Limb, Point, Scene, Thing, thickness

FAR_WORDS = {"rear", "back", "far", "other", "hind", "left", "free"}


def posture_scene(posture: Posture, index: int) -> Scene:
    """The first person of a posture at one angle, with what stands around, m."""
    limbs: list[Limb] = []
    things: list[Thing] = []
    for link in posture.links:
        a, b = point_at(link.start, index), point_at(link.end, index)
        if hypot(b[0] - a[0], b[1] - a[1]) > 0.01:
            if link.name in ("bar", "load", "sled", "rope", "stick"):
                things.append(Thing("stick", (a, b)))
            else:
                limbs.append(Limb(link.name, a, b, not FAR_WORDS.isdisjoint(link.name.split())))
        elif link.name == "load" and float(np.ravel(link.mass_kg)[0]) > 0:
            things.append(Thing("plate", (a,)))
    for what, points in posture.props:
        shape = np.asarray(points, dtype=float)
        if shape.ndim == 3:  # a prop that moves: (angles, n, 2)
            shape = shape[index]
        things.append(Thing(what, tuple((float(x), float(z)) for x, z in shape.reshape(-1, 2))))
    for pull in posture.pulls:
        if pull.kind in ("band", "cable", "rope"):
            things.append(
                _line_of_pull(pull.kind, point_at(pull.at, index), point_at(pull.force_n, index), posture, index)
            )
        elif pull.kind == "load":
            things.append(Thing("weight", (point_at(pull.at, index),)))
        elif pull.kind == "hand":
            things.append(Thing("grip", (point_at(pull.at, index),)))
    return Scene(tuple(limbs), (*_supports(posture, limbs, index), *things))


def point_at(array: Floats, index: int) -> Point:
    """A point (or force) of the first person at one angle; arrays may be broadcast."""
    full = np.asarray(array, dtype=float)
    row = full[0]
    one = row[min(index, row.shape[0] - 1)]
    return float(one[0]), float(one[1])


def _line_of_pull(kind: str, at: Point, force: Point, posture: Posture, index: int) -> Thing:
    """A band or cable as a line along its pull; where two angles of the movement meet is its anchor."""
    size = hypot(*force)
    if size < 1e-6:
        return Thing(kind, (at, at))
    length = 0.6
    for pull in posture.pulls:
        if pull.kind != kind:
            continue
        anchor = _anchor(pull.at, pull.force_n)
        if anchor is not None and point_at(pull.at, index) == at:
            return Thing(kind, (at, anchor))
    return Thing(kind, (at, (at[0] + length * force[0] / size, at[1] + length * force[1] / size)))


def _anchor(at: Floats, force: Floats) -> Point | None:
    """Where all lines of a pull meet, by least squares; None where they don't."""
    p, f = np.asarray(at, dtype=float)[0], np.asarray(force, dtype=float)[0]
    p, f = np.broadcast_arrays(p, f)
    size = np.hypot(f[:, 0], f[:, 1])
    good = size > 1e-6
    if int(good.sum()) < 2:
        return None
    normal = np.column_stack([-f[good, 1], f[good, 0]]) / size[good, None]
    found, _, rank, _ = np.linalg.lstsq(normal, np.sum(normal * p[good], axis=1), rcond=1e-6)
    if rank < 2 or float(np.max(np.abs(normal @ found - np.sum(normal * p[good], axis=1)))) > 0.02:
        return None
    near = float(np.max(np.abs(found - p[good]))) < 4.0
    return (float(found[0]), float(found[1])) if near else None


def _supports(posture: Posture, limbs: Sequence[Limb], index: int) -> list[Thing]:
    """What carries the person where the model doesn't draw it: lines under the roots and under what the floor pushes.

    A root that lies is carried along its length; others at their start. Nothing under who hangs.
    """
    if any(what in ("floor", "ground") for what, _ in posture.props):
        return []
    by_name = {limb.name: limb for limb in limbs}
    lowest = min(min(limb.start[1], limb.end[1]) for limb in limbs)
    made: list[Thing] = []
    spots: list[Point] = []
    for link in posture.links:
        if link.parent != -1 or link.name not in by_name:
            continue
        limb = by_name[link.name]
        a, b = sorted((limb.start, limb.end))
        flat = abs(atan2(b[1] - a[1], b[0] - a[0])) < pi / 5 and limb.part in ("shank", "thigh", "trunk", "forearm")
        low = thickness(limb) / 2
        if flat:
            step = ((b[0] - a[0]) * 0.12, (b[1] - a[1]) * 0.12)
            made.append(
                Thing("floor", ((a[0] - step[0], a[1] - step[1] - low), (b[0] + step[0], b[1] + step[1] - low)))
            )
        elif limb.part == "foot" or limb.start[1] < lowest + 0.4:
            spots.append((limb.start[0], limb.start[1] - (0.03 if limb.part == "foot" else low)))
    for pull in posture.pulls:
        if pull.kind == "ground":
            x, z = point_at(pull.at, index)
            push = point_at(pull.force_n, index)
            if abs(push[0]) > abs(push[1]):  # a wall
                side = -0.03 if push[0] > 0 else 0.03
                made.append(Thing("wall", ((x + side, lowest - 0.05), (x + side, z + 0.45))))
                continue
            spots.append((x, z - 0.02))
    if not spots:
        return made
    heights = [z for _, z in spots]
    if max(heights) - min(heights) < 0.05:
        left, right = min(x for x, _ in spots), max(x for x, _ in spots)
        return [*made, Thing("floor", ((left - 0.2, min(heights)), (right + 0.2, min(heights))))]
    for x, z in spots:
        if z > min(heights) + 0.05:
            base = min(heights)
            made.append(Thing("box", ((x - 0.14, base), (x - 0.14, z), (x + 0.14, z), (x + 0.14, base))))
    left, right = min(x for x, _ in spots), max(x for x, _ in spots)
    return [Thing("floor", ((left - 0.25, min(heights)), (right + 0.25, min(heights)))), *made]
