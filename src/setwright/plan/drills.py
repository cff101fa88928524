"""Drills and easy work: which region a joint belongs to, what a drill moves, and what a day works.

Warm-ups and fillers choose from the same drills, so they ask the same questions of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from setwright.body.anatomy import joint_actions
from setwright.catalogue.derive import WIDE_RANGE
from setwright.catalogue.exercise import ROLE_SHARE, Exercise
from setwright.people.trainee import Restriction, Trainee
from setwright.plan.gates import ARM, judge, open_positions

REHAB_DRILLS = frozenset({"pendulum"})  # drills of a sore shoulder, odd for a healthy one (common practice)
# Joints whose actions belong together when a drill is chosen.
REGIONS = {"scapula": "shoulder", "toes": "ankle", "forearm": "elbow", "fingers": "wrist"}
# Actions by which a drill works towards the end of a motion that exercises state as an angle.
SAME_MOTION = {
    "shoulder-elevation": ("shoulder-flexion", "shoulder-abduction", "scapula-upward-rotation"),
    "hip-flexion-straight": ("hip-flexion",),
}


def region(joint: str) -> str:
    """The region a joint belongs to when drills are chosen."""
    return REGIONS.get(joint, joint)


def in_a_word(where: str) -> str:
    """A region as one says it."""
    return "back" if where == "trunk" else where


def worked_regions(day: Iterable[Exercise]) -> dict[str, float]:
    """How much each region works on a day: the largest role of each lift, heavier lifts more."""
    found: dict[str, float] = {}
    for one in day:
        here: dict[str, float] = {}
        for use in one.actions:
            where = region(use.joint)
            here[where] = max(here.get(where, 0.0), ROLE_SHARE[use.role])
        for where, share in here.items():
            found[where] = found.get(where, 0.0) + share * (1 + one.load_capacity)
    return found


def moves(drill: Exercise, motion: str) -> bool:
    """True when a drill moves towards the end of a motion (``hip-flexion``, ``shoulder-elevation``) by its own action.

    A raise to shoulder height is no drill for arms overhead: where an angle is stated, it must come near the usual
    range.
    """
    actions = {use.slug for use in drill.actions if use.role != "held"}
    if not actions & {motion, *SAME_MOTION.get(motion, ())}:
        return False
    usual, reaches = usual_range(motion), drill.max_angles.get(motion.removesuffix("-straight"))
    return drill.mode == "active-mobility" or usual is None or reaches is None or reaches >= WIDE_RANGE * usual


def usual_range(motion: str) -> float | None:
    """The usual range of a motion, degrees, or None where the anatomy table has none."""
    slug = {"shoulder-elevation": "shoulder-flexion"}.get(motion, motion)
    known = joint_actions().get(slug)
    return None if known is None or known.usual_range_deg is None else max(known.usual_range_deg)


def may_be_asked(
    drill: Exercise, restrictions: Sequence[Restriction], tokens: frozenset[str], trainee: Trainee | None
) -> bool:
    """True when easy work passes every gate, in a position the person may take, or sitting where that does as well."""
    sore_shoulder = any(rule.joint in ("shoulder", "scapula") for rule in restrictions)
    if drill.slug in REHAB_DRILLS and not sore_shoulder:
        return False
    taken = drill.body_position in open_positions(restrictions, trainee)
    if not taken and not done_sitting(drill, restrictions, trainee):
        return False
    if goes_deep_where_closed(drill, restrictions):
        return False
    return judge(drill, restrictions, tokens, trainee).allowed


def goes_deep_where_closed(drill: Exercise, restrictions: Sequence[Restriction]) -> bool:
    """True for easy work that takes a closed joint near the end of its range: no deep squat on sore knees."""
    closed = {rule.joint for rule in restrictions if rule.level == "none" and not rule.actions}
    return any(
        motion.split("-")[0] in closed and deg >= WIDE_RANGE * (usual_range(motion) or 999.0)
        for motion, deg in drill.max_angles.items()
    )


def done_sitting(drill: Exercise, restrictions: Sequence[Restriction], trainee: Trainee | None) -> bool:
    """True when a standing drill is to be done sitting: the person may not stand, and only the arms work."""
    may_stand = drill.body_position in open_positions(restrictions, trainee)
    arms_only = all(use.joint in ARM for use in drill.actions)
    leans = "weight-on-hands" in drill.positions or all(option == {"wall"} for option in drill.equipment if option)
    has_gear = any(drill.equipment)
    return not may_stand and drill.body_position == "stand" and arms_only and not (leans and has_gear)


def how_done(drill: Exercise, restrictions: Sequence[Restriction], trainee: Trainee | None) -> str:
    """``Do it sitting.`` where that is so, else empty."""
    return "Do it sitting." if done_sitting(drill, restrictions, trainee) else ""
