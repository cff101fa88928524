"""The trunk in parts: a straight back with a joint at L5/S1, or a spine that rolls in three parts."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from setwright.body.chain import Link, along, hanging
from setwright.body.segments import Body, Floats, trunk_parts

# Height of L5/S1 above the hips, share of stature: 10 cm at 1.75 m. From memory, unchecked.
L5_OVER_HIP = 0.057


def below_l5(body: Body) -> tuple[Floats, Floats]:
    """(mass below L5/S1 that moves with the pelvis, kg; height of L5/S1 over the hips along the trunk, m).

    The lower trunk of the table is cut at L5/S1 as if it were even.
    """
    lower = trunk_parts()["lower"]
    up = L5_OVER_HIP * body.stature_m
    share = np.clip(up / (lower["length"] * body.trunk.length_m), 0.0, 1.0)
    return lower["mass"] * share * body.trunk.mass_kg, up


def straight_spine(
    links: list[Link],
    parent: int,
    hip: Floats,
    angle_rad: ArrayLike,
    body: Body,
    pelvis_rad: ArrayLike | None = None,
) -> tuple[int, int, Floats]:
    """Adds pelvis, trunk above L5/S1 and head; (index of the pelvis, of the trunk, the shoulder).

    pelvis_rad : direction of the pelvis where it isn't that of the trunk
    In one line they weigh and balance like the trunk and head of the table.
    """
    mass, up = below_l5(body)
    l5 = along(hip, angle_rad if pelvis_rad is None else pelvis_rad, up)
    shoulder = along(l5, angle_rad, body.trunk.length_m - up)
    links.append(hanging("pelvis of trunk", parent, hip, l5, 0.5, mass))
    pelvis = len(links) - 1
    rest = body.trunk.mass_kg - mass
    com = (body.trunk.mass_kg * body.trunk.com_m - mass * up / 2) / rest - up
    links.append(hanging("trunk", pelvis, l5, shoulder, com / (body.trunk.length_m - up), rest))
    _head(links, pelvis + 1, shoulder, angle_rad, body)
    return pelvis, pelvis + 1, shoulder


def rolled_spine(
    links: list[Link], parent: int, hip: Floats, lower_rad: Floats, middle_rad: Floats, upper_rad: Floats, body: Body
) -> tuple[int, int, int, Floats]:
    """Adds pelvis, lower, middle and upper trunk and head; (pelvis, trunk above L5/S1, upper trunk, the shoulder).

    Pelvis and lower trunk share a direction, so do upper trunk and head. With all directions alike it is
    ``straight_spine``: the mass centres of the parts are moved along their parts by one distance for that.
    """
    parts = trunk_parts()
    mass, up = below_l5(body)
    length, whole = body.trunk.length_m, body.trunk.mass_kg
    ends = [parts["lower"]["length"], parts["lower"]["length"] + parts["middle"]["length"], 1.0]
    starts = [0.0, *ends[:2]]
    at = [
        (start + part["com"] * part["length"]) * length
        for start, part in zip(starts, (parts["lower"], parts["middle"], parts["upper"]), strict=True)
    ]
    masses = [parts[name]["mass"] * whole for name in ("lower", "middle", "upper")]
    at[0] = (masses[0] * at[0] - mass * up / 2) / np.maximum(masses[0] - mass, 1e-9)
    masses[0] = masses[0] - mass
    total = sum((one * where for one, where in zip(masses, at, strict=True)), mass * up / 2)
    shift = (whole * body.trunk.com_m - total) / (whole - mass)
    l5 = along(hip, lower_rad, up)
    links.append(hanging("pelvis of trunk", parent, hip, l5, 0.5, mass))
    pelvis, start, low = len(links) - 1, l5, up
    for i, (name, angle) in enumerate((("lower", lower_rad), ("middle", middle_rad), ("upper", upper_rad))):
        high = ends[i] * length
        end = along(start, angle, high - low)
        com = (at[i] + shift - low) / (high - low)
        links.append(hanging(f"{name} trunk", len(links) - 1, start, end, com, masses[i]))
        start, low = end, high
    _head(links, pelvis + 3, start, upper_rad, body)
    return pelvis, pelvis + 1, pelvis + 3, start


def _head(links: list[Link], trunk: int, shoulder: Floats, angle_rad: ArrayLike, body: Body) -> None:
    crown = along(shoulder, angle_rad, body.head.length_m)
    links.append(hanging("head", trunk, shoulder, crown, body.head.com, body.head.mass_kg))
