"""Joints that bear a load though no muscle of theirs is named: the ankle in a squat, the wrist under a bar, the neck.

Angles are worked by hand from those of the catalogue. What a sore joint closes is common practice, no published source.
"""

from __future__ import annotations

from datetime import date

import pytest
from exercise_facts import all_facts
from hard_restrictions import crossed

from setwright.catalogue.derive import joint_stress
from setwright.catalogue.load import catalogue
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import Restriction
from setwright.plan.gates import Verdict, judge

ON = date(2026, 9, 7)


def asked(slug: str, *rules: Restriction | str) -> Verdict:
    said = [parse_restriction(one) if isinstance(one, str) else one for one in rules]
    return judge(catalogue().get(slug), said, frozenset(), ignore_equipment=True)


def limit(motion: str, most: float) -> Restriction:
    return Restriction("r", motion.split("-")[0], level="hard", max_angles={motion: most})


@pytest.mark.parametrize(
    ("slug", "most", "to"),
    [
        ("back_squat", 15, 60),  # 30 degrees of ankle at 120 of knee: half the bend is half the squat
        ("front_squat", 28, 100),  # 35 at 125: four fifths
        ("split_squat", 15, 55),  # 30 at 110
        ("heel_elev_squat", 15, 97),  # 20 at 130, heels raised: three quarters, rounded down
    ],
)
def test_an_ankle_limit_makes_a_squat_shallower(slug: str, most: float, to: int) -> None:
    assert asked(slug, limit("ankle-dorsiflexion", most)).dials == {"range_deg": [0, to], "range_of": "knee-flexion"}


def test_an_ankle_limit_closes_what_can_t_be_made_shallow_enough() -> None:
    """A pistol asks 40 degrees at 130 of knee: 15 would leave 48, under 40 % of it; nobody lands to an angle."""
    for slug in ("pistol", "deep_squat_hold", "broad_jump", "snap_down"):
        assert not asked(slug, limit("ankle-dorsiflexion", 15)).allowed, slug
    assert asked("leg_press", limit("ankle-dorsiflexion", 15)).dials == {}


def test_a_wrist_limit_closes_hands_that_carry_the_body_or_a_bar() -> None:
    for slug in ("pushup", "handstand_hold", "ohp_bb", "bench_bb", "power_clean", "cat_cow"):
        assert not asked(slug, limit("wrist-extension", 30)).allowed, slug
    for slug in ("bench_db", "row_db", "cat_cow_sit", "front_squat_cross"):
        assert asked(slug, limit("wrist-extension", 30)).allowed, slug


def test_a_shoulder_limit_counts_under_a_bar_and_in_a_hang() -> None:
    assert not asked("back_squat", limit("shoulder-external-rotation", 30)).allowed
    assert not asked("hang_knee_raise", limit("shoulder-elevation", 120)).allowed
    assert asked("hack_squat", limit("shoulder-elevation", 120)).allowed


def test_bent_knees_that_do_nothing_are_still_no_knee_work() -> None:
    assert asked("crunch", limit("knee-flexion", 60)).allowed
    assert asked("lat_pulldown", limit("knee-flexion", 60)).allowed


def test_a_sore_wrist_presses_with_handles_not_with_a_straight_bar() -> None:
    """A bar lies behind the wrist and bends it back; dumbbells and handles let it stay straight."""
    for slug in ("bench_bb", "bench_close", "ohp_bb", "back_squat_low_bar", "front_squat", "pushup", "press_iso_pins"):
        assert not asked(slug, "my wrist is sore").allowed, slug
    for slug in ("bench_db", "chest_press_m", "ohp_db", "back_squat", "front_squat_cross", "lat_pulldown"):
        assert asked(slug, "my wrist is sore").allowed, slug


def test_a_wrist_that_may_only_work_lightly_takes_no_heavy_bar_either() -> None:
    assert not asked("bench_bb", Restriction("r", "wrist", level="light")).allowed
    assert asked("bench_db", Restriction("r", "wrist", level="light")).allowed


def test_a_sore_neck_shrugs_nothing_heavy_and_leaves_the_head_down() -> None:
    for slug in ("shrug", "crunch", "situp", "hollow_hold", "back_squat"):
        assert not asked(slug, "sore neck").allowed, slug
    for slug in ("dead_bug", "plank", "leg_press", "row_chest", "bench_bb"):
        assert asked(slug, "sore neck").allowed, slug


def test_a_sore_ankle_squats_shallower_or_with_raised_heels() -> None:
    """20 of 30 degrees of ankle is two thirds of 120 of knee; raised heels ask 20 anyway."""
    assert asked("back_squat", "ankle is sore").dials["range_deg"] == [0, 80]
    assert asked("heel_elev_squat", "ankle is sore").dials == {}


def test_a_sore_hand_carries_no_body_a_sore_finger_may() -> None:
    assert not asked("pushup", "my left hand hurts").allowed
    assert asked("pushup", "sore finger").allowed
    assert not asked("deadlift", "my left hand hurts").allowed and not asked("deadlift", "sore finger").allowed


def test_a_sore_knee_keeps_its_holds_at_a_smaller_bend() -> None:
    for slug in ("wall_sit", "quad_iso90", "spanish_squat_hold", "split_squat_hold"):
        assert asked(slug, "knee is sore").dials["range_deg"] == [0, 60], slug


def test_what_only_passes_through_a_sore_joint_is_said() -> None:
    for slug, sore, word in (("deadlift", "elbow is sore", "elbow"), ("row_db", "wrist is sore", "wrist")):
        cautions = asked(slug, sore).cautions
        assert any(f"oes through the {word}" in one for one in cautions), (slug, cautions)
    assert asked("leg_ext", "elbow is sore").cautions == ()


SAYINGS = (
    *("neck", "hip", "ankle", "shoulder", "elbow", "lower back", "knee", "wrist", "hand", "finger"),
    *("left shoulder", "right wrist"),
)


@pytest.mark.parametrize("sore", SAYINGS)
def test_no_exercise_that_a_sore_joint_leaves_open_crosses_it(sore: str) -> None:
    """Referee: the checker's own reading of the catalogue files."""
    rule, open_ones = parse_restriction(f"{sore} is sore"), 0
    for slug, facts in all_facts().items():
        verdict = asked(slug, rule)
        if verdict.allowed:
            open_ones += 1
            dials = {**catalogue().get(slug).dials, **verdict.dials}
            assert crossed(facts, rule, dials, joint_stress(catalogue().get(slug), dials), ON) == [], slug
    assert 100 < open_ones < len(all_facts())
