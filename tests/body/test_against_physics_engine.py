"""Closed form against a physics engine (MuJoCo, from PyPI), and the energy balance, for every modelled exercise."""

from __future__ import annotations

import numpy as np
import pytest
from tests.body.engine import engine_moments
from tests.body.variants import VARIANTS

from setwright.body.bands import Band
from setwright.body.chain import Link, Pull, along, cross, hanging, joint_moment, point, turns
from setwright.body.lever import stored_energy
from setwright.body.models import models
from setwright.body.segments import body_of

LARGEST_NM = 1e-9


def random_chain(seed: int) -> tuple[list[Link], list[Pull]]:
    """A chain of two to seven links with branches, point forces, and springs to fixed points."""
    rng = np.random.default_rng(seed)
    count = int(rng.integers(2, 8))
    links: list[Link] = []
    for i in range(count):
        parent = -1 if i == 0 else int(rng.integers(max(0, i - 2), i))
        start = point(np.zeros((1, 1)), 0.0) if i == 0 else links[parent].end
        end = along(start, rng.uniform(-np.pi, np.pi, (1, 1)), rng.uniform(0.1, 0.8))
        links.append(hanging(f"link {i}", parent, start, end, rng.uniform(0.1, 0.9), rng.uniform(0.5, 40.0, (1, 1))))
    pulls = [
        Pull(int(rng.integers(0, count)), rng.uniform(-1, 1, (1, 1, 2)), rng.uniform(-300, 300, (1, 1, 2)), "load")
        for _ in range(int(rng.integers(0, 3)))
    ]
    for _ in range(int(rng.integers(0, 3))):
        on = int(rng.integers(0, count))
        anchor, at = rng.uniform(-2, 2, (1, 1, 2)), links[on].end
        band = Band.hung(rng.uniform(0.3, 1.2), rng.uniform(2, 40), 1.25 * rng.uniform(1.2, 2.0))
        step = anchor - at
        length = np.hypot(step[..., 0], step[..., 1])
        pulls.append(Pull(on, at, (band.force_n(length) / length)[..., None] * step, "band"))
    return links, pulls


def test_two_hundred_random_chains_agree_with_inverse_dynamics():
    """Referee: mj_inverse less J^T F. 200 seeded chains with forces and springs; the worst joint counts."""
    worst = 0.0
    pulled = 0
    for seed in range(200):
        links, pulls = random_chain(seed)
        ours = np.array([joint_moment(links, pulls, i)[0, 0] for i in range(len(links))])
        theirs = engine_moments(links, pulls)
        assert np.abs(theirs).max() > 0.0
        pulled += len(pulls)
        worst = max(worst, float(np.abs(ours - theirs).max()))
    assert pulled > 200
    assert worst < LARGEST_NM


@pytest.mark.parametrize("name,dials", VARIANTS)
def test_every_model_agrees_with_inverse_dynamics(name: str, dials: dict[str, float | str]):
    """Referee: MuJoCo on the same links and forces, two people, five angles of the movement."""
    model = models()[name]
    body = body_of([58.0, 96.0], [1.58, 1.88], None)
    posture = model.pose(body, model.setting(dials, 2))
    compared = 0
    for person in range(2):
        for angle in np.linspace(0, posture.lead_deg.size - 1, 5).astype(int):
            possible = np.broadcast_to(np.asarray(posture.possible), (2, posture.lead_deg.size))
            if not possible[person, angle]:
                continue
            theirs = engine_moments(posture.links, posture.pulls, person, int(angle))
            for i in range(len(posture.links)):
                ours = joint_moment(posture.links, posture.pulls, i)
                assert np.broadcast_to(ours, (2, posture.lead_deg.size))[person, angle] == pytest.approx(
                    theirs[i], abs=LARGEST_NM
                ), (posture.links[i].name, angle)
                compared += 1
    assert compared >= 4 or "cannot" in str(dials)


@pytest.mark.parametrize("name,dials", VARIANTS)
def test_work_is_the_integral_of_the_moments(name: str, dials: dict[str, float | str]):
    """Virtual work: sum of moments times turns = change of stored energy less the work of outside forces.

    Trapezoids over the angles of the movement; springs count as outside forces here, so stored energy is checked too.
    """
    model = models()[name]
    body = body_of(75.0, 1.75, "male")
    posture = model.pose(body, model.setting(dials))
    possible = np.broadcast_to(np.asarray(posture.possible), (1, posture.lead_deg.size))[0]
    last = posture.lead_deg.size if possible.all() else int(np.argmin(possible))
    if last < 10:
        pytest.skip("no movement is possible with these dials")
    inner = np.zeros(posture.lead_deg.size - 1)
    scale = 0.0
    for i, turned in enumerate(turns(posture.links)):
        moment = np.broadcast_to(joint_moment(posture.links, posture.pulls, i), (1, posture.lead_deg.size))[0]
        step = np.diff(np.broadcast_to(turned, (1, posture.lead_deg.size))[0])
        inner += (moment[1:] + moment[:-1]) / 2 * step
        scale += float(np.abs(moment).max() * np.abs(step).sum())
    outside = np.zeros_like(inner)
    for pull in posture.pulls:
        if pull.kind == "band":
            continue  # its work is the stored energy
        at = np.broadcast_to(pull.at, (1, posture.lead_deg.size, 2))[0]
        force = np.broadcast_to(pull.force_n, (1, posture.lead_deg.size, 2))[0]
        outside += np.sum((force[1:] + force[:-1]) / 2 * np.diff(at, axis=0), axis=1)
    roots = np.zeros_like(inner)  # a chain that hangs on the ground by a moving start
    stored = np.broadcast_to(stored_energy(posture), (1, posture.lead_deg.size))[0]
    gained = np.diff(stored)
    for link in posture.links:
        if link.parent >= 0:
            continue
        start = np.broadcast_to(link.start, (1, posture.lead_deg.size, 2))[0]
        roots += np.abs(np.diff(start, axis=0)).sum(axis=1)
    assert np.allclose(roots, 0.0, atol=1e-12), "roots stand still, or the balance below is not whole"
    assert scale > 0
    assert np.nansum(inner[: last - 1]) == pytest.approx(np.nansum((gained - outside)[: last - 1]), abs=2e-3 * scale)


def test_the_cross_product_is_that_of_the_plane():
    """x cross z of unit vectors: one way 1, the other way -1. Referee: the definition."""
    assert cross(np.array([1.0, 0.0]), np.array([0.0, 1.0])) == 1.0
    assert cross(np.array([0.0, 1.0]), np.array([1.0, 0.0])) == -1.0
