"""The twelve progressions: order, top steps, tests and sources."""

from __future__ import annotations

import re

import pytest

from setwright.catalogue.load import catalogue

ORDER = {
    "nordic": "ham_iso_bridge slide_curl nordic_band nordic_ecc nordic",
    "split": "split_squat_hand split_squat_asym split_squat split_squat_ffe rfe_split",
    "pullup": "dead_hang scap_pull row_inv pullup_ecc pullup_band pullup",
    "pushup": "pushup_wall pushup_incline pushup_knee pushup_incline pushup pushup_feet dip_support dip",
    "pistol": "step_down step_down sl_box_squat pistol",
    "slhinge": "hip_hinge_dowel rdl_db bstance_rdl sl_rdl_hand sl_rdl",
    # Silbernagel programme as tabulated in PMC7249277, table 2 (seen): two legs before one, floor before step.
    "calf": "calf_iso calf_2_floor calf_1_floor calf_2_step calf_1_step calf_1_step_load",
    # Levels of PMC9872240, table 1 (seen): squeeze, side-lying, short lever, long lever.
    "copenhagen": "add_squeeze sl_add copen_short copen_long",
    # Calatayud et al. 2017 and Schoenfeld et al. 2014 (seen): the long lever asks more than the plain plank.
    "plank": "dead_bug plank plank_long body_saw rollout_knee rollout_stand",
    "lmob": "cat_cow seated_gm_neutral roll_down_seated roll_down",
    "deepsquat": "knee_to_wall bw_squat deep_squat_hold side_lunge_deep",
    # Littlewood et al. 2012, table 1 (seen): holds first, low angles before high ones.
    "ohcarry": "er_iso ohp_iso er_band farmer front_carry landmine_press oh_carry",
}


def test_there_are_these_twelve() -> None:
    assert set(catalogue().progressions) == set(ORDER)


@pytest.mark.parametrize("slug", ORDER)
def test_steps_come_in_this_order(slug: str) -> None:
    climb = catalogue().progressions[slug]
    assert [step.exercise for step in climb.steps] == ORDER[slug].split()
    assert [step.number for step in climb.steps] == list(range(1, len(climb.steps) + 1))


@pytest.mark.parametrize("slug", ORDER)
def test_every_step_is_an_exercise_with_tests_and_a_way_back(slug: str) -> None:
    climb = catalogue().progressions[slug]
    assert climb.source
    for step in climb.steps:
        assert step.exercise in catalogue()
        for sentence in (step.entry_test, step.exit_test, step.way_back):
            assert sentence.endswith("."), sentence


@pytest.mark.parametrize("slug", ORDER)
def test_exit_numbers_stand_in_the_exit_sentence(slug: str) -> None:
    """What a program checks and what a coach reads are the same numbers."""
    for step in catalogue().progressions[slug].steps:
        said = re.findall(r"[\d.]*\d", step.exit_test.replace("One hang", "1 hang"))
        for number in (step.exit_sets, step.exit_reps, step.exit_hold_s):
            single_set = number == 1 and step.exit_reps is not None
            assert number is None or single_set or f"{number:g}" in said, (step.exercise, number)


def test_push_ups_grow_heavier_step_by_step() -> None:
    """Share of body mass: Ebben et al. 2011, J Strength Cond Res 25:2891 (method seen, values second-hand).

    Hands on 60 cm 41 %, knees 49, hands on 30 cm 55, floor 64, feet on 60 cm 74.
    """
    published = {
        ("pushup_incline", 60): 41,
        ("pushup_knee", None): 49,
        ("pushup_incline", 30): 55,
        ("pushup", None): 64,
        ("pushup_feet", None): 74,
    }
    steps = [s for s in catalogue().progressions["pushup"].steps if s.exercise in {e for e, _ in published}]
    shares = [published[step.exercise, step.dials.get("hand_height_cm")] for step in steps]
    assert shares == [41, 49, 55, 64, 74]


def test_pain_limits_are_the_published_ones() -> None:
    """Tendon programme for the calf: 5 of 10 (Silbernagel, seen); groin: 3 of 10 (Haroy et al. 2019, seen)."""
    climbs = catalogue().progressions
    assert climbs["calf"].pain_limit == 5
    assert climbs["copenhagen"].pain_limit == 3
    assert climbs["ohcarry"].pain_limit == 3
    assert climbs["nordic"].pain_limit == 3


@pytest.mark.parametrize("slug", ["nordic", "pullup", "pushup", "pistol", "copenhagen", "plank", "ohcarry"])
def test_the_top_asks_more_skill_than_the_start(slug: str) -> None:
    steps = catalogue().progressions[slug].steps
    first, last = (catalogue().get(step.exercise) for step in (steps[0], steps[-1]))
    assert last.skill > first.skill
