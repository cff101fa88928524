"""The physics engine as referee: MuJoCo's inverse dynamics on a posture, link by link."""

from __future__ import annotations

from collections.abc import Sequence

import mujoco
import numpy as np

from setwright.body.chain import Link, Pull
from setwright.body.segments import STANDARD_GRAVITY

LEAST_MASS_KG = 1e-13  # a moving body of the engine must weigh something


def pick(values: np.ndarray, person: int, angle: int) -> np.ndarray:
    """One person and angle of an array that may be broadcast over either."""
    people, angles = values.shape[0], values.shape[1]
    return values[person if people > 1 else 0, angle if angles > 1 else 0]


def engine_of(links: Sequence[Link], person: int, angle: int) -> mujoco.MjModel:
    """The links of one posture as bodies on hinges across the plane; at rest the engine stands in that posture."""
    spec = mujoco.MjSpec()
    spec.option.gravity = [0.0, 0.0, -STANDARD_GRAVITY]
    made = []
    for i, link in enumerate(links):
        start, com = pick(link.start, person, angle), pick(link.com, person, angle)
        parent = spec.worldbody if link.parent < 0 else made[link.parent]
        origin = np.zeros(2) if link.parent < 0 else pick(links[link.parent].start, person, angle)
        body = parent.add_body(name=f"b{i}", pos=[start[0] - origin[0], 0.0, start[1] - origin[1]])
        body.explicitinertial = True
        body.mass = max(float(link.mass_kg[person if link.mass_kg.shape[0] > 1 else 0, 0]), LEAST_MASS_KG)
        body.ipos = [com[0] - start[0], 0.0, com[1] - start[1]]
        body.inertia = [1e-4, 1e-4, 1e-4]
        body.add_joint(name=f"j{i}", type=mujoco.mjtJoint.mjJNT_HINGE, axis=[0.0, -1.0, 0.0])
        made.append(body)
    return spec.compile()


def engine_moments(links: Sequence[Link], pulls: Sequence[Pull], person: int = 0, angle: int = 0) -> np.ndarray:
    """Moment at the start of every link by inverse dynamics less the outside forces, N m, (links,)."""
    model = engine_of(links, person, angle)
    data = mujoco.MjData(model)
    mujoco.mj_inverse(model, data)
    found = np.array(data.qfrc_inverse)
    place = np.zeros((3, model.nv))
    for pull in pulls:
        at, force = pick(pull.at, person, angle), pick(pull.force_n, person, angle)
        body = mujoco.mj_name2id(model, mujoco.mjtObj.mjOBJ_BODY, f"b{pull.on}")
        mujoco.mj_jac(model, data, place, None, np.array([at[0], 0.0, at[1]]), body)
        found = found - place.T @ np.array([force[0], 0.0, force[1]])
    order = [mujoco.mj_name2id(model, mujoco.mjtObj.mjOBJ_JOINT, f"j{i}") for i in range(len(links))]
    return found[[model.jnt_dofadr[one] for one in order]]
