"""All modelled exercises of the catalogue for 1,000 people, beside a physics engine doing the same in the same run.

Ours: postures, the moments of every link over 61 angles, in closed form. Peer: MuJoCo's inverse dynamics (mj_inverse
less J^T F) on the same links, forces and angles, called from Python, for a few of the people; its models are built
beforehand and that time stands by itself. Also the whole answer with its 400 draws. Invented people (drawn).
Run: make bench. Nothing here asserts a time.
"""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path
from typing import Any

for _threads in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[_threads] = "1"  # before numpy is loaded

import mujoco  # noqa: E402
import numpy as np  # noqa: E402

sys.path.insert(0, str(Path(__file__).parent.parent))

from tests.body.engine import engine_of, pick  # noqa: E402

from setwright.body.chain import joint_moment, turns  # noqa: E402
from setwright.body.demand import Person, assess  # noqa: E402
from setwright.body.lever import Posture  # noqa: E402
from setwright.body.models import models  # noqa: E402
from setwright.body.segments import body_of  # noqa: E402
from setwright.catalogue.load import catalogue  # noqa: E402

PEOPLE, WITH_ENGINE = 1_000, 3


def variants() -> list[tuple[str, dict[str, float | str]]]:
    """Every different model with dials that the catalogue uses."""
    found = {
        (one.lever.model, tuple(sorted(one.lever.dials.items()))): None
        for one in catalogue().values()
        if one.lever is not None
    }
    return [(name, dict(dials)) for name, dials in found]


def closed_form(people: int, cases: list[tuple[str, dict[str, Any]]]) -> tuple[float, list[Posture], list[list[Any]]]:
    """(seconds, postures, moments of every link) for all people and cases."""
    rng = np.random.default_rng(7)
    body = body_of(rng.uniform(50, 110, people), rng.uniform(1.5, 2.0, people), "female")
    began = time.perf_counter()
    postures, moments = [], []
    for name, dials in cases:
        model = models()[name]
        posture = model.pose(body, model.setting(dials, people))
        postures.append(posture)
        moments.append([joint_moment(posture.links, posture.pulls, i) for i in range(len(posture.links))])
    return time.perf_counter() - began, postures, moments


def by_engine(postures: list[Posture], moments: list[list[Any]]) -> tuple[float, float, float]:
    """(seconds of inverse dynamics, seconds of building, largest difference in N m) for the first people."""
    building = running = worst = 0.0
    for posture, ours in zip(postures, moments, strict=True):
        bent = [np.broadcast_to(one, (PEOPLE, posture.lead_deg.size)) for one in turns(posture.links)]
        moving = {i for i, one in enumerate(bent) if float(np.nanmax(np.ptp(one[:WITH_ENGINE], axis=1))) > 0}
        rigid = all(_keeps_length(posture, i) for i in moving)
        for person in range(WITH_ENGINE):
            angles = range(posture.lead_deg.size)
            began = time.perf_counter()
            # A point that slides along its link can't be turned into place: then each angle is a model of its own.
            engines = (
                [engine_of(posture.links, person, 0)]
                if rigid
                else [engine_of(posture.links, person, angle) for angle in angles]
            )
            building += time.perf_counter() - began
            began = time.perf_counter()
            bodies, joints = in_our_order(engines[0], len(posture.links))
            place = np.zeros((3, engines[0].nv))
            datas = [mujoco.MjData(engine) for engine in engines]
            for angle in angles:
                engine, data = (engines[0], datas[0]) if rigid else (engines[angle], datas[angle])
                if rigid:
                    for i in moving:
                        data.qpos[joints[i]] = bent[i][person, angle] - bent[i][person, 0]
                mujoco.mj_inverse(engine, data)
                found = data.qfrc_inverse.copy()
                for pull in posture.pulls:
                    at, force = pick(pull.at, person, angle), pick(pull.force_n, person, angle)
                    mujoco.mj_jac(engine, data, place, None, np.array([at[0], 0.0, at[1]]), bodies[pull.on])
                    found -= place.T @ np.array([force[0], 0.0, force[1]])
                same = [np.broadcast_to(one, (PEOPLE, posture.lead_deg.size))[person, angle] for one in ours]
                if np.all(np.isfinite(same)):
                    worst = max(worst, float(np.abs(found[joints] - same).max()))
            running += time.perf_counter() - began
    return running, building, worst


def in_our_order(engine: Any, links: int) -> tuple[list[int], list[int]]:
    """(bodies, joint addresses) of the engine in the order of our links: it sorts its own way."""
    bodies = [mujoco.mj_name2id(engine, mujoco.mjtObj.mjOBJ_BODY, f"b{i}") for i in range(links)]
    joints = [mujoco.mj_name2id(engine, mujoco.mjtObj.mjOBJ_JOINT, f"j{i}") for i in range(links)]
    return bodies, [int(engine.jnt_dofadr[one]) for one in joints]


def _keeps_length(posture: Posture, i: int) -> bool:
    """Whether a link is a rigid piece over the movement, and hangs at one point of its parent."""
    link = posture.links[i]
    length = np.hypot(*(np.moveaxis(link.end - link.start, -1, 0)))
    if float(np.nanmax(np.ptp(length[:WITH_ENGINE], axis=1))) > 1e-9:
        return False
    return link.parent < 0 or bool(np.allclose(link.start, posture.links[link.parent].end, equal_nan=True))


def main() -> None:
    """Prints the figures."""
    cases = variants()
    closed_form(10, cases)
    seconds, postures, moments = closed_form(PEOPLE, cases)
    running, building, worst = by_engine(postures, moments)
    per_person = running / WITH_ENGINE
    print(f"{len(cases)} variants of {len({name for name, _ in cases})} models, 61 angles, {PEOPLE} people")
    each = 1e6 * seconds / PEOPLE / len(cases)
    print(f"closed form: {seconds:.2f} s for {PEOPLE} people, {each:.1f} us a variant and person")
    print(
        f"MuJoCo {mujoco.__version__}: {per_person:.2f} s a person ({WITH_ENGINE} measured), "
        f"{1e6 * per_person / len(cases):.0f} us a variant and person, building {building / WITH_ENGINE:.2f} s a person"
    )
    print(f"ratio ours over MuJoCo: {seconds / PEOPLE / per_person:.5f}; largest difference {worst:.1e} N m")
    began = time.perf_counter()
    for name, dials in cases:
        assess(models()[name], dials, Person(75.0, 1.75, "male"))
    print(f"whole answer with 400 draws: {1e3 * (time.perf_counter() - began) / len(cases):.0f} ms a variant")


if __name__ == "__main__":
    main()
