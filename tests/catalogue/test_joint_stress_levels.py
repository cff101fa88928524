"""Joint stress is ordinal, follows range and load, and points the way the published studies point."""

from __future__ import annotations

import pytest

from setwright.body.anatomy import joints
from setwright.catalogue.derive import joint_stress, range_motion, warm_up_needs, working_angles
from setwright.catalogue.load import catalogue


def knee(slug: str, low: float, high: float) -> int:
    return joint_stress(catalogue().get(slug), {"range_deg": [low, high]})["knee"]


def test_a_shallow_squat_spares_the_kneecap_and_a_deep_one_does_not() -> None:
    """Powers et al. 2014, JOSPT 44:320 (abstract seen): squat from 45 to 0 degrees."""
    assert knee("back_squat", 0, 45) < knee("back_squat", 0, 60) < knee("back_squat", 0, 90)


def test_leg_extension_spares_the_kneecap_from_ninety_to_fortyfive_not_below() -> None:
    """Powers et al. 2014, JOSPT 44:320 (abstract seen): knee extension from 90 to 45 degrees."""
    assert knee("leg_ext", 45, 90) < knee("leg_ext", 0, 45)
    assert joint_stress(catalogue().get("leg_ext_90_45"))["knee"] == knee("leg_ext", 45, 90)


def test_squat_and_leg_extension_change_places_between_bent_and_nearly_straight() -> None:
    """Powers et al. 2014 (abstract seen): squat higher at 60, 75, 90 degrees; extension higher at 30, 15, 0."""
    assert knee("back_squat", 45, 90) > knee("leg_ext", 45, 90)
    assert knee("back_squat", 0, 30) < knee("leg_ext", 0, 30)


def test_calf_stress_climbs_from_seated_to_two_legs_to_one_leg() -> None:
    """Order of the Silbernagel programme, PMC7249277 (seen)."""
    levels = [
        joint_stress(catalogue().get(slug))["ankle"] for slug in ("calf_seated", "calf_2_floor", "calf_1_floor", "pogo")
    ]

    assert levels == [1, 2, 3, 3]


def test_the_leg_press_asks_nothing_of_the_back_and_the_deadlift_most() -> None:
    """Levels of the project's joint-stress table (von Arx 2021 for the driver: load times lean, seen)."""
    back = {
        slug: joint_stress(catalogue().get(slug))["trunk"]
        for slug in ("leg_press", "goblet_squat", "rdl_band", "deadlift")
    }

    assert back == {"leg_press": 0, "goblet_squat": 1, "rdl_band": 2, "deadlift": 3}


def test_every_exercise_has_a_level_for_every_joint() -> None:
    for exercise in catalogue().values():
        levels = joint_stress(exercise)
        assert tuple(levels) == joints()
        assert set(levels.values()) <= {0, 1, 2, 3}, exercise.slug


def test_half_a_squat_bends_the_hip_less_too() -> None:
    angles = working_angles(catalogue().get("back_squat"), {"range_deg": [0, 60]})

    assert angles["knee-flexion"] == (0.0, 60.0)
    assert angles["hip-flexion"][1] == pytest.approx(55.0)
    assert angles["ankle-dorsiflexion"] == (0.0, 30.0)


def test_a_range_never_raises_the_stress_of_a_joint_that_it_shortens() -> None:
    for exercise in catalogue().values():
        lead = range_motion(exercise)
        if lead is None or not exercise.crop or lead not in ("knee-flexion", "hip-flexion"):
            continue
        if exercise.pattern == "knee_extension" or "range_deg" in exercise.dials or "held_angle_deg" in exercise.dials:
            continue
        cropped = joint_stress(exercise, {"range_deg": [0, exercise.max_angles[lead] / 2]})
        whole = joint_stress(exercise)
        assert all(cropped[joint] <= whole[joint] for joint in ("knee", "hip")), exercise.slug


def test_a_deep_squat_asks_the_warm_up_for_knee_hip_and_ankle() -> None:
    """Common practice, no published source."""
    needs = warm_up_needs(catalogue().get("back_squat"))

    assert needs[:2] == ("knee-extension", "hip-extension")
    assert {"hip-flexion", "ankle-dorsiflexion"} <= set(needs)
