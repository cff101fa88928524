"""What several models share: bands, loads, arms, and elbows from two lengths."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from setwright.body.bands import SPREAD_MEASURED, SPREAD_STATED, Band
from setwright.body.chain import Link, Pull, along, hanging, point
from setwright.body.lever import Dial, Setting
from setwright.body.segments import STANDARD_GRAVITY, Body, Floats

BAND_KNOWN = ("measured", "stated")
LOAD = Dial("load_kg", 0.0, "added load, kg", 0.0, 400.0, "kg")
# A repetition that is all one can do is slow: some three to five seconds (common practice, no published source).
RAISE_S = 4.0
TEMPO = (
    Dial("lower_s", 3.0, "seconds on the way down", 0.5, 30.0, "s"),
    Dial("raise_s", RAISE_S, "seconds on the way up", 0.3, 30.0, "s"),
)


def band_dials(anchor_x_cm: float, anchor_z_cm: float) -> tuple[Dial, ...]:
    """Dials of an elastic band between an anchor and the body; no band while ``band_test_kg`` is 0."""
    return (
        Dial("band_rest_cm", 100.0, "length of the band at rest, cm", 10.0, 400.0, "cm"),
        Dial("band_test_kg", 0.0, "mass hung on it once, kg; 0 for no band", 0.0, 150.0, "kg"),
        Dial("band_test_cm", 150.0, "its length under that mass, cm", 10.0, 900.0, "cm"),
        Dial("band_strands", 1.0, "1, or 2 when doubled", 1.0, 4.0),
        Dial("band_x_cm", anchor_x_cm, "anchor forward of the pivot, cm", -400.0, 400.0, "cm"),
        Dial("band_z_cm", anchor_z_cm, "anchor above the pivot, cm", -100.0, 400.0, "cm"),
        Dial("band_known", "measured", "measured: its force within 10 %; stated, by a label: 20 %", choices=BAND_KNOWN),
        Dial(
            "band_share", 1.0, "how much of that force it truly gives", 0.2, 2.0, spread=SPREAD_MEASURED, relative=True
        ),
    )


def band_pull(setting: Setting, on: int, at: Floats, anchor: Floats | None = None) -> tuple[list[Pull], Floats | float]:
    """(the pull of the band on a body point, the energy it stores); nothing where no band is set.

    at : (people, angles, 2) the point of the body; anchor : the fixed end, from the dials when None
    Raises ValueError when rest length, mass and length make no band.
    """
    band = set_band(setting)
    if band is None:
        return [], 0.0
    if anchor is None:
        anchor = point(setting["band_x_cm"] / 100, setting["band_z_cm"] / 100)
    step = anchor - at
    length = np.hypot(step[..., 0], step[..., 1])
    share = band_share(setting)
    force = band.force_n(length, share)
    size = np.where(length > 0, force / np.maximum(length, 1e-9), 0.0)
    return [Pull(on, at, size[..., None] * step, "band")], band.energy_j(length, share)


def set_band(setting: Setting) -> Band | None:
    """The band of the dials, or None where none is set. Raises ValueError when the three figures make no band."""
    if float(setting["band_test_kg"][0, 0]) <= 0:
        return None
    return Band.hung(
        float(setting["band_rest_cm"][0, 0]) / 100,
        float(setting["band_test_kg"][0, 0]),
        float(setting["band_test_cm"][0, 0]) / 100,
        round(float(setting["band_strands"][0, 0])),
    )


def band_share(setting: Setting) -> Floats:
    """How much of its reckoned force the band gives: less sure where it was never measured."""
    share = setting["band_share"]
    if setting.word("band_known") == "measured":
        return share
    doubtful: Floats = np.maximum(1.0 + SPREAD_STATED / SPREAD_MEASURED * (share - 1.0), 0.2)
    return doubtful


def weight_n(mass_kg: ArrayLike) -> Floats:
    """Weight of a mass, N."""
    found: Floats = np.asarray(mass_kg, dtype=float) * STANDARD_GRAVITY
    return found


def load_link(name: str, parent: int, at: Floats, mass_kg: Floats) -> Link:
    """A load as a point fixed to a link: it counts in moments and in energy."""
    return Link(name, parent, at, at, at, mass_kg)


def trunk_and_head(links: list[Link], parent: int, hip: Floats, angle_rad: ArrayLike, body: Body) -> tuple[int, Floats]:
    """Adds trunk and head as one straight line from the hip; (index of the trunk, the shoulder point)."""
    shoulder = along(hip, angle_rad, body.trunk.length_m)
    crown = along(shoulder, angle_rad, body.head.length_m)
    links.append(hanging("trunk", parent, hip, shoulder, body.trunk.com, body.trunk.mass_kg))
    trunk = len(links) - 1
    links.append(hanging("head", trunk, shoulder, crown, body.head.com, body.head.mass_kg))
    return trunk, shoulder


def arms(
    links: list[Link],
    trunk: int,
    shoulder: Floats,
    upper_rad: ArrayLike,
    fore_rad: ArrayLike,
    body: Body,
    sides: int = 2,
) -> tuple[int, Floats]:
    """Adds upper arms and forearms with hands (both sides in one); (index of the forearm, the point of the hands)."""
    elbow = along(shoulder, upper_rad, body.upper_arm.length_m)
    links.append(hanging("upper arm", trunk, shoulder, elbow, body.upper_arm.com, sides * body.upper_arm.mass_kg))
    upper = len(links) - 1
    return forearm_and_hand(links, upper, elbow, fore_rad, body, sides)


def forearm_and_hand(
    links: list[Link], upper: int, elbow: Floats, angle_rad: ArrayLike, body: Body, sides: int = 2
) -> tuple[int, Floats]:
    """Adds a forearm with its hand as one link to the grip (half a hand beyond the wrist)."""
    reach = body.forearm.length_m + body.hand.length_m
    grip = along(elbow, angle_rad, reach)
    mass = sides * (body.forearm.mass_kg + body.hand.mass_kg)
    links.append(hanging("forearm", upper, elbow, grip, forearm_com(body) / reach, mass))
    return len(links) - 1, grip


def forearm_com(body: Body) -> Floats:
    """Distance of the mass centre of forearm and hand from the elbow, m."""
    mass = body.forearm.mass_kg + body.hand.mass_kg
    hand = body.forearm.length_m + body.hand.com_m
    found: Floats = (body.forearm.mass_kg * body.forearm.com_m + body.hand.mass_kg * hand) / mass
    return found


def arm_length(body: Body) -> Floats:
    """Shoulder to grip with straight elbows, m."""
    return body.upper_arm.length_m + body.forearm.length_m + body.hand.length_m


def bent_reach(first_m: ArrayLike, second_m: ArrayLike, flexion_rad: ArrayLike) -> Floats:
    """Distance between the ends of two links with a flexed joint between them, m (law of cosines)."""
    a, b = np.asarray(first_m, dtype=float), np.asarray(second_m, dtype=float)
    found: Floats = np.sqrt(a**2 + b**2 + 2 * a * b * np.cos(flexion_rad))
    return found


def bend_between(start: Floats, end: Floats, first_m: ArrayLike, second_m: ArrayLike, side: float) -> Floats:
    """The joint between two links that run from ``start`` to ``end``, on one side of the line between them.

    side : 1 turns the first link counter-clockwise off the line, -1 clockwise
    """
    a, b = np.asarray(first_m, dtype=float), np.asarray(second_m, dtype=float)
    step = end - start
    distance = np.hypot(step[..., 0], step[..., 1])
    cosine = (a**2 + distance**2 - b**2) / (2 * a * np.maximum(distance, 1e-9))
    off = np.arccos(np.clip(cosine, -1.0, 1.0))
    return along(start, np.arctan2(step[..., 1], step[..., 0]) + side * off, a)


def direction(start: Floats, end: Floats) -> Floats:
    """Direction from one point to another, rad."""
    step = end - start
    found: Floats = np.arctan2(step[..., 1], step[..., 0])
    return found


def spread_over(links: Sequence[Link], people: int, angles: int) -> tuple[Link, ...]:
    """Links with every point as a full (people, angles, 2) array."""
    shape = (people, angles, 2)
    return tuple(
        Link(
            one.name,
            one.parent,
            np.broadcast_to(one.start, shape),
            np.broadcast_to(one.end, shape),
            np.broadcast_to(one.com, shape),
            one.mass_kg,
        )
        for one in links
    )
