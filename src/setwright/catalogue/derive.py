"""What follows from an exercise's joint actions: muscles, set credits, joint stress, warm-up needs.

None of this is typed beside an exercise. Levels of joint stress are ordinal (0 none, 1 low, 2 medium, 3 high)
and say where to look when a joint is irritable; they are never a diagnosis and forbid nothing by themselves.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from setwright.body.anatomy import joint_actions, joints
from setwright.body.movers import ROLE_VALUE, muscle_values
from setwright.catalogue.exercise import ActionUse, Exercise
from setwright.catalogue.store import Catalogue

FULL_CREDIT_FROM = 0.75
HALF_CREDIT_FROM = 0.375
TRUNK_ALONE = ("anti_rotation",)  # arms that only bring the handle out are no set for them; common practice

# Share of the usual range from which a range counts as a need of its own in the warm-up.
WIDE_RANGE = 0.8
# From here on a wrist under a bar counts as bent back (common practice, no published source).
WRIST_BENT_BACK_DEG = 40.0


@lru_cache(maxsize=4096)
def _vector(actions: tuple[ActionUse, ...], knee_deg: float | None) -> Mapping[str, float]:
    return muscle_values(actions, knee_deg)


def muscle_vector(ex: Exercise) -> dict[str, float]:
    """How much each muscle group works in one set, 0 to 1 (rules A to C, see ``body.movers``)."""
    return dict(_vector(ex.actions, _kept_knee_angle(ex)))


def set_credits(ex: Exercise) -> dict[str, float]:
    """What one set counts for each muscle group: 1 (direct) or 0.5 (indirect); others are left out.

    Drills that carry no load to speak of (capacity 0, active mobility) count for nothing, and cyclic work
    (bike, run, rowing) counts in minutes, not in sets.

    Source: fractional counting, half for indirect sets, Pelland et al. (67 studies, 2,058 people);
    the thresholds 0.75 and 0.375 are the project's own.
    """
    if ex.mode in ("active-mobility", "cyclic") or ex.load_capacity == 0:
        return {}
    found: dict[str, float] = {}
    for muscle, value in muscle_vector(ex).items():
        if value >= FULL_CREDIT_FROM:
            found[muscle] = 1.0
        elif value >= HALF_CREDIT_FROM and ex.pattern not in TRUNK_ALONE:
            found[muscle] = 0.5
    return found


def is_open_chain_knee(ex: Exercise) -> bool:
    """True when the knee straightens with the foot free (leg extension), not against the floor or a plate."""
    roles = _roles(ex)
    return (
        ex.pattern == "knee_extension"
        and "knee-extension" in roles
        and "hip-extension" not in roles
        and ex.body_position in ("sit", "supine")
    )


def range_motion(ex: Exercise) -> str | None:
    """The motion that the dials ``range_deg`` and ``held_angle_deg`` speak about; None when there is none.

    It is the first motion that may be cropped, else the flexion angle of the first prime joint.
    """
    if ex.crop:
        return ex.crop[0]
    for action in ex.actions:
        for motion in (action.slug, f"{action.joint}-flexion", f"{action.joint}-elevation"):
            if action.role == "prime" and motion in ex.max_angles:
                return motion
    return None


def working_angles(ex: Exercise, dials: Mapping[str, object] | None = None) -> dict[str, tuple[float, float]]:
    """The smallest and largest angle of each motion, degrees, after the dials of the prescription.

    ``range_deg`` and ``held_angle_deg`` set the angles of ``range_motion(ex)``. The other motions that may be
    cropped shrink in the same proportion: half a squat bends the hip less too.
    """
    set_to = {**ex.dials, **(dials or {})}
    low_high = _dialled(set_to)
    found = {motion: (0.0, deg) for motion, deg in ex.max_angles.items()}
    lead = range_motion(ex)
    if low_high is None or lead is None:
        return found
    low, high = low_high
    share = min(1.0, high / ex.max_angles[lead]) if ex.max_angles.get(lead) else 1.0
    for motion in ex.crop:
        found[motion] = (0.0, ex.max_angles[motion] * share)
    found[lead] = (low, high)
    return found


def joint_stress(ex: Exercise, dials: Mapping[str, object] | None = None) -> dict[str, int]:
    """How much an exercise asks of each joint, 0 to 3 (ordinal), after its range dials.

    Source: the drivers and levels of the project's joint-stress table. Knee: Powers et al. 2014
    (JOSPT 44:320). Calf: order of the Silbernagel programme. Back: von Arx et al. 2021. Shoulder: Littlewood
    2012. The step from their findings to four levels is the project's own.
    """
    angles = {motion: high for motion, (_, high) in working_angles(ex, dials).items()}
    levels = {
        "hip": _hip(ex, angles),
        "knee": _knee(ex, dials),
        "ankle": _ankle(ex),
        "toes": max(_role_level(ex, "toes", 1), 2 if ex.impact == 3 else 0),
        "trunk": _trunk(ex),
        "scapula": _role_level(ex, "scapula", 1),
        "shoulder": _shoulder(ex, angles),
        "elbow": _elbow(ex),
        "forearm": _role_level(ex, "forearm", 1),
        "wrist": _wrist(ex),
        "fingers": ex.grip,
        "neck": _neck(ex),
    }
    return {joint: min(3, max(0, levels.get(joint, 0))) for joint in joints()}


def warm_up_needs(ex: Exercise) -> tuple[str, ...]:
    """Joint actions that the warm-up should cover, the most needed first.

    Prime actions, then secondary ones, then the motions whose range comes near the usual limit
    (a deep squat needs the ankle and the hip, an overhead press the shoulder).
    """
    known = joint_actions()
    by_role = sorted(
        (action for action in ex.actions if action.role != "held"), key=lambda action: -ROLE_VALUE[action.role]
    )
    needs = [action.slug for action in by_role]
    for motion, deg in ex.max_angles.items():
        slug = {"shoulder-elevation": "shoulder-flexion"}.get(motion, motion)
        usual = known[slug].usual_range_deg if slug in known else None
        if usual is not None and deg >= WIDE_RANGE * max(usual):
            needs.append(slug)
    return tuple(dict.fromkeys(needs))


def catalogue_json(ex: Exercise, catalogue: Catalogue | None = None) -> dict[str, object]:
    """An exercise as plain JSON values, with what is derived.

    With ``catalogue`` the step of the progression is looked up; without it ``progression`` is null.
    """
    step = catalogue.step_of(ex.slug) if catalogue is not None else None
    return {
        "exercise": ex.slug,
        "name": ex.name,
        "also_called": list(ex.also_called),
        "base": ex.base,
        "dials": dict(ex.dials),
        "pattern": ex.pattern,
        "equipment": [sorted(tokens) for tokens in ex.equipment],
        "actions": [{"joint": action.joint, "action": action.action, "role": action.role} for action in ex.actions],
        "positions": list(ex.positions),
        "mode": ex.mode,
        "laterality": ex.laterality,
        "body_position": ex.body_position,
        "support": ex.support,
        "spine": ex.spine,
        "length_bias": ex.length_bias,
        "overhead": ex.overhead,
        "max_angles": dict(ex.max_angles),
        "crop": list(ex.crop),
        "skill": ex.skill,
        "grip": ex.grip,
        "impact": ex.impact,
        "load_means": ex.load_means,
        "load_capacity": ex.load_capacity,
        "measured_in": ex.measured_in,
        "joint_stress": joint_stress(ex),
        "credits": set_credits(ex),
        "warm_up_needs": list(warm_up_needs(ex)),
        "progression": None if step is None else {"progression": step[0], "step": step[1]},
        "parts": list(ex.parts),
        "purpose": ex.purpose,
        "cues": list(ex.cues),
        "effort_cue": ex.effort_cue,
        "cautions": list(ex.cautions),
        "sources": list(ex.sources),
    }


def _roles(ex: Exercise) -> dict[str, float]:
    return {action.slug: ROLE_VALUE[action.role] for action in ex.actions}


def _role_level(ex: Exercise, joint: str, base: int) -> int:
    """``base`` when the joint works as prime or secondary, one more when it is prime under a real load."""
    best = max((ROLE_VALUE[action.role] for action in ex.actions if action.joint == joint), default=0.0)
    if best < 0.5:
        return 0
    return base + (1 if best == 1.0 and ex.load_capacity >= 3 else 0)


def _kept_knee_angle(ex: Exercise) -> float | None:
    """The angle in which the knee stays while other joints work; None when it moves itself."""
    if ex.is_dynamic and any(action.joint == "knee" and action.role != "held" for action in ex.actions):
        return None
    return ex.max_angles.get("knee-flexion")


def _dialled(dials: Mapping[str, object]) -> tuple[float, float] | None:
    held = dials.get("held_angle_deg")
    if isinstance(held, (int, float)):
        return float(held), float(held)
    between = dials.get("range_deg")
    if isinstance(between, (list, tuple)) and len(between) == 2:
        return float(between[0]), float(between[1])
    return None


def _knee(ex: Exercise, dials: Mapping[str, object] | None) -> int:
    roles = _roles(ex)
    level = 0
    if "knee-extension" in roles:
        low, high = working_angles(ex, dials).get("knee-flexion", (0.0, 0.0))
        if is_open_chain_knee(ex):
            # Less patellofemoral stress from 90 to 45 degrees, more from 45 to straight (Powers 2014).
            level = 1 if low >= 45.0 else 3
            light = 2 if ex.load_capacity <= 1 else 1 if ex.load_capacity == 2 else 0
        else:
            level = 1 if high <= 45.0 else 2 if high <= 60.0 else 3
            light = 1 if ex.load_capacity <= 1 or ex.mode in ("cyclic", "active-mobility") else 0
        if roles["knee-extension"] < 1.0:
            light += 1 if roles["knee-extension"] == 0.5 else 2
        level = max(1, level - light)
    if "knee-flexion" in roles and roles["knee-flexion"] >= 0.5:
        level = max(level, 2 if ex.load_capacity >= 4 else 1)
    if "kneeling" in ex.positions:
        level = max(level, 1)
    return max(level, 2 if ex.impact == 2 else 3 if ex.impact == 3 else 0)


def _hip(ex: Exercise, angles: Mapping[str, float]) -> int:
    used = max((ROLE_VALUE[action.role] for action in ex.actions if action.joint == "hip"), default=0.0)
    if used == 0.0:
        return 0
    flexion = angles.get("hip-flexion", 0.0)
    level = 3 if flexion > 100.0 else 2 if flexion > 60.0 else 1
    if "hip-adduction" in _roles(ex) and used == 1.0 and ex.load_capacity >= 3:
        level = max(level, 2)
    light = (1 if ex.load_capacity <= 1 else 0) + (0 if used >= 0.5 else 1)
    return max(1, level - light)


def _ankle(ex: Exercise) -> int:
    roles = _roles(ex)
    level = 0
    if "ankle-plantar-flexion" in roles:
        if ex.pattern in ("sled", "jump_land") or ex.laterality == "one" or ex.impact == 3:
            level = 3
        else:
            level = 1 if ex.body_position == "sit" else 2
        if roles["ankle-plantar-flexion"] < 1.0 and ex.impact < 3:
            level -= 1
    elif any(action.joint == "ankle" for action in ex.actions):
        level = 1
    if ex.max_angles.get("ankle-dorsiflexion", 0.0) >= 25.0:
        level = max(level, 1)
    return max(level, 2 if ex.impact == 2 else 0)


def _trunk(ex: Exercise) -> int:
    roles = _roles(ex)
    if ex.spine in ("flexed", "rotating"):
        level = 3 if ex.load_capacity >= 4 else 2
    elif roles.get("trunk-extension", 0.0) >= 0.5 and roles.get("hip-extension", 0.0) >= 0.5:
        level = 3 if ex.load_capacity >= 4 and ex.support != "full" else 2
    elif ex.spine == "neutral" or any(action.joint == "trunk" and action.role == "prime" for action in ex.actions):
        level = 2 if "bar-on-back" in ex.positions and ex.load_capacity >= 4 else 1
    else:
        level = 0
    return min(level, 1) if ex.load_capacity <= 1 else level


def _shoulder(ex: Exercise, angles: Mapping[str, float]) -> int:
    used = max((ROLE_VALUE[action.role] for action in ex.actions if action.joint == "shoulder"), default=0.0)
    elevation = angles.get("shoulder-elevation", 0.0)
    level = 0
    if used >= 0.5:
        level = 3 if elevation > 90.0 else 2 if elevation >= 60.0 else 1
        if ex.load_capacity <= 1:
            level -= 1
        level = max(level, 1)
    if "arm-behind-body" in ex.positions:
        level = max(level, 3 if ex.load_capacity >= 2 else 1)
    if "hang" in ex.positions or ("hands-overhead" in ex.positions and ex.load_capacity >= 2):
        level = max(level, 2)
    if any(position in ex.positions for position in ("bar-on-back", "front-rack", "weight-on-hands")):
        level = max(level, 1)
    return level


def _elbow(ex: Exercise) -> int:
    roles = _roles(ex)
    level = 1 if ex.grip == 3 else 0
    if "elbow-flexion" in roles:
        level = max(level, ex.grip, 1)
    if roles.get("elbow-extension", 0.0) >= 0.5:
        level = max(level, 2 if ex.load_capacity >= 3 else 1)
    return level


def _wrist(ex: Exercise) -> int:
    level = _role_level(ex, "wrist", 1)
    if "weight-on-hands" in ex.positions:
        level = max(level, 1 if ex.load_capacity <= 1 else 3 if ex.load_capacity >= 4 else 2)
    if "front-rack" in ex.positions and ex.max_angles.get("wrist-extension") != 0:
        level = max(level, 2)
    if ex.load_capacity >= 4 and ex.max_angles.get("wrist-extension", 0.0) >= WRIST_BENT_BACK_DEG:
        level = max(level, 2)  # a heavy bar behind the wrist bends it back all the time
    return max(level, 1 if ex.grip >= 2 else 0)


def _neck(ex: Exercise) -> int:
    level = _role_level(ex, "neck", 1)
    lifts_shoulders = _roles(ex).get("scapula-elevation", 0.0)
    if lifts_shoulders >= 0.5 and ex.load_capacity >= 3:
        # The upper trapezius hangs on the neck; a shrug pulls there, and so does the jerk of a clean.
        level = max(level, 2 if lifts_shoulders == 1.0 or ex.mode == "concentric" else 1)
    if any(use.joint == "neck" for use in ex.actions) or "bar-on-back" in ex.positions:
        level = max(level, 1)
    return level
