"""Upper body, trunk, carries, neck and upper mobility: complete, written by hand, kind to sore joints."""

from __future__ import annotations

import pytest

from setwright.catalogue.derive import joint_stress, set_credits
from setwright.catalogue.load import catalogue

FAMILIES = {
    "push_horizontal": "bench_bb bench_db floor_press chest_press_m cable_press band_press pushup_wall pushup_incline "
    "pushup_knee pushup pushup_load push_hold press_iso_pins fly_db",
    "push_incline": "incline_db pushup_feet landmine_press",
    "push_vertical": "ohp_bb ohp_db push_press ohp_iso handstand_hold",
    "dip": "dip dip_support bench_dip",
    "shoulder_raise": "lat_raise lat_raise_cable lat_raise_iso front_raise rear_fly face_pull pull_apart",
    "rotator_cuff": "er_band er_iso er_side ir_band ir_iso",
    "scapular": "y_raise scap_pushup shrug scap_pull prone_trap_hold",
    "pull_vertical": "pullup chinup pullup_band pullup_ecc pullup_hold dead_hang lat_pulldown band_pulldown "
    "straight_arm_pd",
    "pull_horizontal": "row_cable row_db row_chest row_bb row_inv row_band row_towel row_iso",
    "elbow_flexion": "curl_db curl_incline curl_band curl_cable curl_hold",
    "elbow_extension": "pushdown pushdown_band oh_triceps_cable oh_triceps_db lying_triceps triceps_hold",
    "grip_wrist": "wrist_curl rev_wrist_curl wrist_iso finger_ext_band towel_hold",
    "anti_extension": "plank plank_long dead_bug rollout_knee rollout_stand body_saw",
    "anti_lateral": "side_plank",
    "anti_rotation": "anti_rot_press",
    "trunk_extension": "bird_dog",
    "trunk_flexion": "hang_knee_raise situp_load crunch toes_to_bar",
    "trunk_rotation": "woodchop",
    "mobility_spine": "roll_down roll_down_seated cat_cow t_rotation",
    "mobility_shoulder": "wall_slide pullover_db dislocate arm_bar",
    "carry": "farmer suitcase front_carry oh_carry rack_carry bottoms_up oh_hold",
    "neck": "neck_iso",
}
PLACES = [(family, slug) for family, slugs in FAMILIES.items() for slug in slugs.split()]
JOINTS = ["hip", "knee", "ankle", "trunk", "scapula", "shoulder", "elbow", "forearm", "wrist", "fingers", "neck"]


@pytest.mark.parametrize(("family", "slug"), PLACES)
def test_exercise_stands_in_its_family(family: str, slug: str) -> None:
    assert catalogue().get(slug).pattern == family


def test_every_exercise_is_written_by_hand() -> None:
    for exercise in catalogue().values():
        said = " ".join((exercise.purpose, *exercise.cues, exercise.effort_cue))
        assert "placeholder" not in said.casefold(), exercise.slug
        assert 2 <= len(exercise.cues) <= 4, exercise.slug


@pytest.mark.parametrize("family", FAMILIES)
def test_purposes_are_not_copied_between_files(family: str) -> None:
    own = [ex for ex in catalogue().values() if ex.pattern == family and ex.slug == ex.base]
    assert len({ex.purpose for ex in own}) == len(own)


@pytest.mark.parametrize("joint", JOINTS)
def test_a_sore_joint_keeps_two_holds_or_carries(joint: str) -> None:
    """Holds first when a joint is sore. Source: common practice; shoulder, Littlewood et al. 2012 (seen)."""
    kept = [
        exercise.slug
        for exercise in catalogue().values()
        if exercise.mode in ("isometric", "carry")
        and any(action.joint == joint and action.role != "held" for action in exercise.actions)
        and joint_stress(exercise)[joint] <= 1
    ]
    assert len(kept) >= 2, kept


@pytest.mark.parametrize("slug", ["curl_hold_self", "triceps_hold_self", "wrist_iso", "elbow_drive_hold", "neck_iso"])
def test_a_sore_hand_can_train_without_a_grip(slug: str) -> None:
    exercise = catalogue().get(slug)
    assert exercise.grip == 0
    assert "weight-on-hands" not in exercise.positions


@pytest.mark.parametrize(
    ("slug", "share"),
    [
        # Ebben et al. 2011, J Strength Cond Res 25:2891; method seen, values second-hand.
        ("pushup_incline", 0.41),
        ("pushup_knee", 0.49),
        ("pushup", 0.64),
        ("pushup_feet", 0.74),
        # Body without forearms and hands, 2 * (1.62 + 0.61) % less; de Leva 1996, male (seen).
        ("pullup", 0.9554),
        ("chinup", 0.9554),
    ],
)
def test_share_of_body_mass_is_the_published_one(slug: str, share: float) -> None:
    assert catalogue().get(slug).body_share == pytest.approx(share, abs=0.006)


@pytest.mark.parametrize("slug", ["pullup", "chinup", "pullup_ecc", "dip", "pushup_load"])
def test_load_on_top_of_the_body_is_called_added(slug: str) -> None:
    assert catalogue().get(slug).load_means == "added"


@pytest.mark.parametrize("slug", ["pullup_band", "chinup_band", "dip_band"])
def test_a_band_that_helps_is_assistance(slug: str) -> None:
    assert catalogue().get(slug).load_means == "assistance"


@pytest.mark.parametrize("slug", ["rollout_knee", "rollout_stand"])
def test_the_bar_of_a_roll_out_is_not_its_load(slug: str) -> None:
    assert catalogue().get(slug).load_means == "body"


def test_the_push_press_is_main_work_only() -> None:
    """Fast lifts come first and fresh. Source: common practice, no published source."""
    assert catalogue().get("push_press").parts == ("main",)


def test_arms_past_120_degrees_say_so() -> None:
    """Upper body only: there the hands are overhead with a load, a bar, or the floor."""
    for exercise in catalogue().values():
        if exercise.pattern in FAMILIES:
            assert exercise.overhead == ("hands-overhead" in exercise.positions), exercise.slug


@pytest.mark.parametrize("slug", ["dip", "bench_dip", "fly_db"])
def test_deep_presses_take_the_arm_behind_the_body(slug: str) -> None:
    assert "arm-behind-body" in catalogue().get(slug).positions


@pytest.mark.parametrize("slug", ["plank", "plank_long", "body_saw", "side_plank"])
def test_forearm_planks_spare_the_wrist(slug: str) -> None:
    assert joint_stress(catalogue().get(slug))["wrist"] == 0


@pytest.mark.parametrize(
    ("slug", "muscle"),
    [
        # Textbook prime movers, common practice; counted full.
        ("bench_bb", "pec_sternal"),
        ("pullup", "lats"),
        ("row_db", "lats"),
        ("curl_db", "elbow_flexors"),
        ("pushdown", "triceps"),
        ("lat_raise", "delt_lateral"),
        ("er_band", "rotator_cuff"),
        ("plank", "abdominals"),
    ],
)
def test_the_prime_mover_gets_a_full_set(slug: str, muscle: str) -> None:
    exercise = catalogue().get(slug)
    assert set_credits(exercise)[muscle] == 1.0
