"""The packaged catalogue: complete, of one mind with itself, quick to read."""

from __future__ import annotations

import json
import time

import pytest

from setwright.catalogue.derive import catalogue_json
from setwright.catalogue.equipment import equipment, expand_tokens
from setwright.catalogue.load import catalogue

LOWER_BODY = [
    "back_squat",
    "front_squat",
    "goblet_squat",
    "heel_elev_squat",
    "bw_squat",
    "box_squat",
    "leg_press",
    "hack_squat",
    "belt_squat",
    "spanish_squat",
    "spanish_squat_hold",
    "wall_sit",
    "split_squat",
    "split_squat_hand",
    "split_squat_asym",
    "split_squat_ffe",
    "rfe_split",
    "rfe_split_bw",
    "rev_lunge",
    "walk_lunge",
    "step_up",
    "step_down",
    "sl_box_squat",
    "pistol",
    "leg_ext",
    "band_leg_ext",
    "rev_nordic",
    "slr",
    "quad_set",
    "quad_iso90",
    "deadlift",
    "trapbar_dl",
    "rdl_bb",
    "rdl_db",
    "rdl_band",
    "good_morning",
    "kb_swing",
    "hip_hinge_dowel",
    "sl_rdl",
    "sl_rdl_hand",
    "bstance_rdl",
    "hip_thrust",
    "glute_bridge",
    "sl_bridge",
    "sl_hip_thrust",
    "back_ext45",
    "rev_leg_raise_bench",
    "pull_through",
    "leg_curl_lying",
    "leg_curl_seated",
    "leg_curl_band",
    "slide_curl",
    "ball_curl",
    "nordic_band",
    "nordic_ecc",
    "nordic",
    "ham_iso_bridge",
    "copen_short",
    "copen_long",
    "copen_hold",
    "sl_add",
    "add_squeeze",
    "add_machine",
    "side_lunge_deep",
    "abd_machine",
    "band_walk",
    "sl_abd",
    "clam",
    "hip_9090",
    "hip_flexor_lunge",
    "psoas_march",
    "calf_2_floor",
    "calf_1_floor",
    "calf_2_step",
    "calf_1_step",
    "calf_1_step_load",
    "calf_ecc",
    "calf_iso",
    "calf_seated",
    "tib_raise",
    "short_foot",
    "knee_to_wall",
    "pogo",
    "box_jump",
    "seated_gm_neutral",
    "deep_squat_hold",
    "sled_push",
    "sled_drag_back",
    "sled_drag_fwd",
    "treadmill_push",
    "hill_back_walk",
    "bike",
    "rower",
    "double_pole",
    "arm_bike",
    "rope_skip",
    "run",
    "incline_walk",
]


@pytest.mark.parametrize("slug", LOWER_BODY)
def test_every_lower_body_id_of_the_draft_answers(slug: str) -> None:
    assert catalogue().get(slug).slug == slug


def test_every_entry_can_be_said_on_a_gym_floor() -> None:
    for exercise in catalogue().values():
        for sentence in (exercise.purpose, exercise.effort_cue, *exercise.cues, *exercise.cautions):
            assert len(sentence.split()) <= 26, (exercise.slug, sentence)
            assert sentence[0].isupper() or sentence[0].isdigit(), (exercise.slug, sentence)
            assert sentence.endswith((".", "?", "!")), (exercise.slug, sentence)
        assert 2 <= len(exercise.cues) <= 4, exercise.slug


def test_a_hold_is_measured_in_seconds_and_a_carried_or_pushed_thing_never_in_repetitions() -> None:
    for exercise in catalogue().values():
        if exercise.mode == "isometric":
            assert exercise.measured_in == "seconds", exercise.slug
        if exercise.mode in ("carry", "cyclic"):
            assert exercise.measured_in != "reps", exercise.slug


def test_a_bar_a_bell_or_a_dumbbell_in_the_hands_is_a_grip_or_rests_on_the_body() -> None:
    """What restrictions read must be there: no dumbbell hangs from an arm without a word about the hand."""
    for exercise in catalogue().values():
        if exercise.load_means == "each hand":
            assert exercise.grip >= 1, exercise.slug


def test_deep_loaded_squats_say_so() -> None:
    """Level from the project's contract: 110 degrees of knee bend under load."""
    for exercise in catalogue().values():
        if exercise.pattern == "squat" and exercise.load_capacity >= 3 and exercise.max_angles["knee-flexion"] >= 110:
            assert "deep-squat" in exercise.positions, exercise.slug


@pytest.mark.parametrize("slug", ["leg_press", "sled_push", "sled_drag_back", "bike", "leg_ext", "leg_curl_seated"])
def test_light_sled_and_machine_work_is_there_for_the_warm_up(slug: str) -> None:
    assert "warm-up" in catalogue().get(slug).parts


@pytest.mark.parametrize(
    ("slug", "position"),
    [
        ("back_squat", "bar-on-back"),
        ("good_morning", "bar-on-back"),
        ("front_squat", "front-rack"),
        ("nordic", "kneeling"),
        ("hip_thrust", "load-at-hips"),
        ("deadlift", "grip"),
        ("split_squat", "grip"),
    ],
)
def test_held_positions_that_restrictions_read_are_written_down(slug: str, position: str) -> None:
    assert position in catalogue().get(slug).positions


@pytest.mark.parametrize(
    "slug", ["split_squat_bw", "rev_lunge_bw", "sl_rdl_bw", "sled_drag_back_harness", "calf_1_step"]
)
def test_there_is_leg_work_for_a_hand_that_must_not_grip(slug: str) -> None:
    exercise = catalogue().get(slug)

    assert exercise.grip == 0
    assert "grip" not in exercise.positions
    assert not any(action.joint == "fingers" for action in exercise.actions)


def test_a_bench_is_a_chair_a_box_is_a_step_and_a_wall_is_everywhere() -> None:
    """Common practice, no published source."""
    assert "chair_bench" in expand_tokens({"bench"})
    assert "step" in expand_tokens({"box"})
    assert {"wall", "none"} <= expand_tokens(())
    assert "bench" not in expand_tokens({"chair_bench"})


def test_what_equipment_implies_is_itself_known_equipment() -> None:
    words = equipment()

    assert set(words.implies) <= set(words.words)
    assert {token for more in words.implies.values() for token in more} <= set(words.words)


def test_the_whole_catalogue_becomes_plain_json() -> None:
    found = [catalogue_json(exercise, catalogue()) for exercise in catalogue().values()]

    assert json.loads(json.dumps(found)) == found
    assert {
        "exercise",
        "name",
        "also_called",
        "pattern",
        "equipment",
        "actions",
        "positions",
        "mode",
        "laterality",
    } | {"spine", "overhead", "max_angles", "joint_stress", "credits", "progression", "parts"} <= set(found[0])


def test_reading_the_whole_catalogue_takes_less_than_a_quarter_second() -> None:
    """Best of five processor times, so that a busy machine does not decide."""
    taken = []
    for _ in range(5):
        begin = time.process_time()
        catalogue.__wrapped__()
        taken.append(time.process_time() - begin)

    assert min(taken) < 0.25
