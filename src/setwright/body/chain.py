"""Plane statics of linked segments: where they are, what pulls on them, and the moment each joint must hold.

Two ideas carry this module. One: a posture is a tree of straight links drawn in the sagittal plane, x forward and
z up, with known point forces; the moment at a joint is the sum over all that hangs beyond it. Two: all arrays are
(people, angles), points (people, angles, 2), so one call answers for many people and a whole movement.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.body.segments import STANDARD_GRAVITY, Floats

GROUND = -1


def point(x: ArrayLike, z: ArrayLike) -> Floats:
    """A point, or points, (..., 2), from coordinates that broadcast."""
    return np.stack(np.broadcast_arrays(np.asarray(x, dtype=float), np.asarray(z, dtype=float)), axis=-1)


def along(start: Floats, angle_rad: ArrayLike, length_m: ArrayLike) -> Floats:
    """The point at a distance from ``start`` in a direction: 0 is forward, pi/2 is up."""
    angle = np.asarray(angle_rad, dtype=float)
    length = np.asarray(length_m, dtype=float)
    return start + point(length * np.cos(angle), length * np.sin(angle))


def cross(a: Floats, b: Floats) -> Floats:
    """a_x b_z - a_z b_x, over the last axis."""
    found: Floats = a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]
    return found


def solve_lean(a: ArrayLike, b: ArrayLike, c: ArrayLike) -> tuple[Floats, Floats]:
    """The two angles with a cos(angle) + b sin(angle) = c, rad; not a number where there is none.

    Used for balance: the lean at which the mass centre stands over its support. The first answer is nearer to the
    angle where the left side is greatest, atan2(b, a), from above, the second from below.
    """
    first, second, third = (np.asarray(one, dtype=float) for one in (a, b, c))
    size = np.hypot(first, second)
    middle = np.arctan2(second, first)
    with np.errstate(invalid="ignore", divide="ignore"):
        half = np.arccos(np.where(np.abs(third) <= size, third / size, np.nan))
    return middle + half, middle - half


@dataclass(frozen=True)
class Link:
    """One straight part of the body or a thing fixed to it. ``parent`` is the index of the link it hangs on, or -1.

    ``start`` is the joint with the parent, ``end`` the far joint, ``com`` the mass centre: (people, angles, 2), m.
    ``mass_kg`` (people, 1) counts both sides where the link stands for two.
    """

    name: str
    parent: int
    start: Floats
    end: Floats
    com: Floats
    mass_kg: Floats

    @property
    def angle_rad(self) -> Floats:
        """Direction from start to end, rad."""
        step = self.end - self.start
        found: Floats = np.arctan2(step[..., 1], step[..., 0])
        return found


@dataclass(frozen=True)
class Pull:
    """A force from outside on a link: a hand support, a band, a cable, the ground, a weight in the hand. N and m.

    ``kind``: what it is, for pictures and words (``band``, ``cable``, ``hand``, ``ground``, ``load``, ``rope``).
    """

    on: int
    at: Floats
    force_n: Floats
    kind: str


def hanging(name: str, parent: int, start: Floats, end: Floats, com_share: ArrayLike, mass_kg: Floats) -> Link:
    """A link whose mass centre lies on the line from start to end, at a share of its length."""
    share = np.asarray(com_share, dtype=float)[..., None]
    return Link(name, parent, start, end, start + share * (end - start), mass_kg)


def beyond(links: Sequence[Link], first: int) -> tuple[int, ...]:
    """Indices of a link and all that hangs on it; parents stand before their children.

    >>> beyond([], 0)
    ()
    """
    found: set[int] = set()
    for i, link in enumerate(links):
        if i == first or link.parent in found:
            found.add(i)
    return tuple(sorted(found))


def joint_moment(links: Sequence[Link], pulls: Sequence[Pull], joint: int) -> Floats:
    """Moment that the muscles at the start of a link must hold, N m, (people, angles).

    Positive: what hangs beyond would fall forward (clockwise, x forward and z up) without them.
    Source: statics; M = g sum m (x_com - x_joint) - sum (S - P) x F, checked against inverse dynamics in the tests.
    """
    pivot = links[joint].start
    inside = beyond(links, joint)
    moment: Floats = np.zeros(np.broadcast_shapes(pivot.shape[:-1], links[joint].mass_kg.shape))
    for i in inside:
        moment = moment + STANDARD_GRAVITY * links[i].mass_kg * (links[i].com[..., 0] - pivot[..., 0])
    for pull in pulls:
        if pull.on in inside:
            moment = moment - cross(pull.at - pivot, pull.force_n)
    return moment


def mass_centre(links: Sequence[Link]) -> tuple[Floats, Floats]:
    """(mass in kg, mass centre (people, angles, 2)) of all links together."""
    mass = sum((link.mass_kg for link in links), np.zeros_like(links[0].mass_kg))
    summed = sum((link.mass_kg[..., None] * link.com for link in links), np.zeros_like(links[0].com))
    return mass, summed / mass[..., None]


def height_energy(links: Sequence[Link]) -> Floats:
    """Energy of position of all links, J, (people, angles); only differences mean anything."""
    found: Floats = sum(
        (STANDARD_GRAVITY * link.mass_kg * link.com[..., 1] for link in links), np.zeros_like(links[0].com[..., 1])
    )
    return found


def turns(links: Sequence[Link]) -> list[NDArray[np.float64]]:
    """Angle of each link against its parent along the movement, rad, without jumps, each (people, angles)."""
    whole = [np.unwrap(link.angle_rad, axis=-1) for link in links]
    return [
        angle if link.parent == GROUND else angle - whole[link.parent] for link, angle in zip(links, whole, strict=True)
    ]
