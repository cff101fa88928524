"""A standing body in balance: shaped with the shins plumb, then leant as a whole about the ankles until it balances.

The lean is a closed form: every force of constant direction on a rigid shape has a moment that is linear in the cosine
and the sine of the lean.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from setwright.body.chain import Link, along, hanging, point, solve_lean
from setwright.body.lever import Dial
from setwright.body.segments import STANDARD_GRAVITY, Body, Floats

# Where the weight stands, forward of the ankle: about the middle of the foot. Common practice, no published source;
# people sway by a centimetre or two.
OVER = Dial("over_cm", 5.0, "where the weight stands forward of the ankle, cm", -4.0, 12.0, "cm", spread=1.5)


def flat_foot(body: Body, sides: int) -> Link:
    """The foot (or both) flat on the floor: the ankle stands over x = 0; the link starts at the heel."""
    heel = point(-body.heel_to_ankle_m, 0.0)
    toes = point(body.foot.length_m - body.heel_to_ankle_m, 0.0)
    return hanging("foot", -1, heel, toes, body.foot.com, sides * body.foot.mass_kg)


def ankle_over_heel(body: Body) -> Floats:
    """The ankle joint over a flat foot, (people, 1, 2)."""
    return point(np.zeros_like(body.mass_kg), body.ankle_height_m)


def add_leg(
    links: list[Link], foot: int, ankle: Floats, shank_rad: ArrayLike, thigh_rad: ArrayLike, body: Body, sides: int
) -> tuple[int, Floats]:
    """Adds shank and thigh from the ankle up; (index of the thigh, the hip)."""
    knee = along(ankle, shank_rad, body.shank.length_m)
    links.append(hanging("shank", foot, ankle, knee, 1.0 - body.shank.com, sides * body.shank.mass_kg))
    hip = along(knee, thigh_rad, body.thigh.length_m)
    links.append(hanging("thigh", len(links) - 1, knee, hip, 1.0 - body.thigh.com, sides * body.thigh.mass_kg))
    return len(links) - 1, hip


def add_free_leg(
    links: list[Link],
    parent: int,
    hip: Floats,
    thigh_rad: ArrayLike,
    shank_rad: ArrayLike,
    body: Body,
    foot_rad: ArrayLike | None = None,
) -> None:
    """Adds the leg that doesn't stand: thigh, shank and foot of one side, hanging on the pelvis."""
    knee = along(hip, thigh_rad, body.thigh.length_m)
    links.append(hanging("free thigh", parent, hip, knee, body.thigh.com, body.thigh.mass_kg))
    ankle = along(knee, shank_rad, body.shank.length_m)
    links.append(hanging("free shank", len(links) - 1, knee, ankle, body.shank.com, body.shank.mass_kg))
    ahead = np.asarray(shank_rad, dtype=float) + np.pi / 2 if foot_rad is None else foot_rad
    toes = along(ankle, ahead, body.foot.length_m - body.heel_to_ankle_m)
    links.append(hanging("free foot", len(links) - 1, ankle, toes, 0.3, body.foot.mass_kg))


def weight_of(link: Link) -> tuple[Floats, Floats]:
    """The weight of a link as (where it acts, force in N)."""
    return link.com, point(np.zeros_like(link.mass_kg), -STANDARD_GRAVITY * link.mass_kg)


def foot_couple(foot: Link, over: Floats) -> Floats:
    """Moment of a foot's own weight about the point of balance, counter-clockwise, N m: the foot doesn't lean along."""
    found: Floats = -STANDARD_GRAVITY * foot.mass_kg * (foot.com[..., 0] - over[..., 0])
    return found


def balancing_lean(
    forces: Sequence[tuple[Floats, Floats]], hinge: Floats, over: Floats, couple_nm: ArrayLike = 0.0
) -> Floats:
    """Forward lean about ``hinge`` at which forces on a rigid shape have no moment about ``over``, rad.

    forces : (point of the shape before it leans, force that keeps its direction, N); couple_nm : moment that stays
    the same, counter-clockwise. Not a number where nothing balances.
    """
    by_cos: Floats = np.zeros(1)
    by_sin: Floats = np.zeros(1)
    fixed: Floats = np.asarray(couple_nm, dtype=float)
    arm = hinge - over
    for at, force in forces:
        off = at - hinge
        by_cos = by_cos + off[..., 0] * force[..., 1] - off[..., 1] * force[..., 0]
        by_sin = by_sin + off[..., 1] * force[..., 1] + off[..., 0] * force[..., 0]
        fixed = fixed + arm[..., 0] * force[..., 1] - arm[..., 1] * force[..., 0]
    return solve_lean(-by_cos, -by_sin, fixed)[1]


def turned(at: Floats, hinge: Floats, lean_rad: Floats) -> Floats:
    """A point after the shape has leant forward about ``hinge``."""
    off = at - hinge
    cos, sin = np.cos(lean_rad), np.sin(lean_rad)
    return hinge + point(off[..., 0] * cos + off[..., 1] * sin, off[..., 1] * cos - off[..., 0] * sin)


def leant(links: Sequence[Link], hinge: Floats, lean_rad: Floats, first: int = 1) -> list[Link]:
    """Links after the lean; those before ``first`` (the foot) stay."""
    return [
        one
        if i < first
        else Link(
            one.name,
            one.parent,
            turned(one.start, hinge, lean_rad),
            turned(one.end, hinge, lean_rad),
            turned(one.com, hinge, lean_rad),
            one.mass_kg,
        )
        for i, one in enumerate(links)
    ]
