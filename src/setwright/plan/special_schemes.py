"""Which exercises suit the two schemes a brief may ask for: hold-reps-hold, and the same-muscle superset.

One idea: the search, the placing on days and the ordering must agree on what suits, or the wish gets lost
between them.
"""

from __future__ import annotations

from collections.abc import Mapping

from setwright.catalogue.exercise import Exercise
from setwright.plan.candidates import SINGLE_JOINT_PATTERNS

HOLD_REPS_HOLD_PATTERNS = frozenset(
    {
        "knee_extension",
        "knee_flexion",
        "split_squat",
        "hip_extension",
        "hip_adduction",
        "hip_abduction",
        "calf",
        "elbow_flexion",
        "elbow_extension",
        "shoulder_raise",
    }
)


def suits_hold_reps_hold(exercise: Exercise) -> bool:
    """True for simple, loadable movements that can be stopped and held (common practice, no published source)."""
    return (
        exercise.skill <= 2
        and exercise.load_capacity >= 2
        and exercise.mode == "dynamic"
        and exercise.measured_in == "reps"
        and exercise.pattern in HOLD_REPS_HOLD_PATTERNS
    )


# Straight-arm pulldowns and flies stand in these patterns beside multi-joint lifts.
UPPER_PATTERNS = frozenset({"pull_vertical", "pull_horizontal", "push_horizontal", "push_incline", "push_vertical"})
TOO_HEAVY_TO_RUSH = frozenset({"hinge"})


def is_small(exercise: Exercise) -> bool:
    """True for single-joint lifts.

    A lat machine held with straight arms is one; a lat machine pulled to the chest is not.
    """
    joints = {use.joint for use in exercise.actions if use.role == "prime"}
    return exercise.pattern in SINGLE_JOINT_PATTERNS or (len(joints) == 1 and exercise.pattern in UPPER_PATTERNS)


def small_for_big(
    small: Exercise, small_credits: Mapping[str, float], big: Exercise, big_credits: Mapping[str, float]
) -> str | None:
    """The muscle that a single-joint and a bigger lift both train fully, or None where they are no such pair.

    Hinges and squats with a bar are left out: nobody should hurry into one tired (common practice, no published
    source).
    """
    if not (is_small(small) and small.mode == big.mode == "dynamic" and small.measured_in == "reps"):
        return None
    is_barred = {"bar-on-back", "front-rack"} & set(big.positions) and big.pattern == "squat"
    if is_small(big) or big.pattern in TOO_HEAVY_TO_RUSH or is_barred or big.measured_in != "reps":
        return None
    shared = sorted(m for m, credit in small_credits.items() if credit == 1 and big_credits.get(m) == 1)
    return shared[0] if shared else None
