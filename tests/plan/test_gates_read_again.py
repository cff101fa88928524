"""What a limit closes and leaves open, read once more: common practice, no published source, where none is named.

The impact of carries is that of the project's own table of exercises: 1 of 3, a step.
"""

from __future__ import annotations

from datetime import date

import pytest
from exercise_facts import all_facts
from hard_restrictions import crossed

from setwright.catalogue.derive import joint_stress
from setwright.catalogue.load import catalogue
from setwright.people.restriction_text import parse_restriction
from setwright.plan.alternatives import stand_ins
from setwright.plan.gates import Verdict, judge


def asked(slug: str, words: str) -> Verdict:
    return judge(catalogue().get(slug), [parse_restriction(words)], frozenset(), ignore_equipment=True)


@pytest.mark.parametrize(
    ("words", "closed", "open_"),
    [
        # who may take no step carries nothing about; what is done with the feet on the floor is open
        ("no impact", "farmer suitcase front_carry toe_walk walk", "farmer_hold side_bend_hold kb_swing push_press"),
        # a landing or a swing can't be held to an angle; a step can
        ("knee only to 60 degrees", "box_jump broad_jump squat_jump snap_down", "step_up leg_press"),
        ("hip is sore", "kb_swing", "glute_bridge_load"),
        # a groin is an adductor: no wide stance
        ("groin is sore", "side_lunge side_lunge_deep add_machine", "add_squeeze copen_hold"),
        ("neck is sore", "power_clean hang_power_clean shrug", "suitcase deadlift"),
        ("no twisting", "arm_bar woodchop", "arm_bar_supine anti_rot_press"),
        ("wrist: isometric only", "forearm_turn wrist_curl", "towel_wring_hold"),
        # upright with a weight in each hand the back has little to do (von Arx 2021), and holds are wanted there
        ("back is sore", "deadlift front_squat row_bb", "split_squat rfe_split row_db side_bend_hold farmer_hold"),
        # the ankle only guides the pedal
        ("ankle is sore", "toe_walk_bw toe_walk run", "bike bike_easy"),
        ("no overhead", "overhead_raise_stick pullover_db ohp_db", "straight_arm_pd"),
        ("ankle dorsiflexion over 15", "rower", "tib_raise"),
    ],
)  # fmt: skip
def test_a_limit_closes_what_loads_the_joint_and_no_more(words: str, closed: str, open_: str) -> None:
    assert [one for one in closed.split() if asked(one, words).allowed] == []
    assert [one for one in open_.split() if not asked(one, words).allowed] == []


def test_a_sore_groin_leaves_the_sore_hip_as_it_is() -> None:
    """What is said of one word of a joint stays with that word."""
    before = parse_restriction("hip is sore")
    groin = parse_restriction("groin is sore")

    assert groin.max_angles == {"hip-flexion": 90.0, "hip-abduction": 30.0}
    assert parse_restriction("hip is sore") == before and "hip-abduction" not in before.max_angles


@pytest.mark.parametrize("slug", ["wrist_curl", "rev_wrist_curl", "forearm_turn"])
def test_work_of_the_hand_under_a_sore_elbow_says_to_watch_it(slug: str) -> None:
    """The muscles that bend and turn hand and fingers start at the elbow (anatomy, any textbook)."""
    assert any("elbow" in one for one in asked(slug, "elbow is sore").cautions)


def test_what_can_stay_says_what_to_watch() -> None:
    found = stand_ins("side_plank", catalogue(), None, [parse_restriction("shoulder is sore")])

    assert found.untouched and any("shoulder" in one for one in found.care)


def test_a_short_range_that_covers_the_whole_loses_only_its_start() -> None:
    """A loaded bridge goes to 55 degrees of hip flexion; the short range of a sore hip is 20 to 60."""
    found = stand_ins("hip_thrust", catalogue(), None, [parse_restriction("hip is sore")], n=8)
    (bridge,) = [one for one in found.rows if one.exercise == "glute_bridge_load"]

    assert bridge.dials == {"range_deg": [20, 55], "range_of": "hip-flexion"}
    assert "the first 20 degrees" in bridge.lost and "beyond" not in bridge.lost


@pytest.mark.parametrize(
    "words", ["no impact", "no overhead", "groin is sore", "back is sore", "ankle is sore", "wrist is sore"]
)
def test_nothing_open_crosses_the_limit_as_the_checker_reads_it(words: str) -> None:
    """Referee: the tests' own reading of restrictions, which shares nothing with the planner."""
    rule, known = parse_restriction(words), catalogue()
    for slug, one in all_facts().items():
        said = asked(slug, words)
        if said.allowed:
            stress = joint_stress(known.get(slug), said.dials)
            assert crossed(one, rule, said.dials, stress, date(2026, 9, 7)) == [], slug
