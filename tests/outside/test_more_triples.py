"""More "A replaces T better than B", as coaches would say it on a gym floor.

Every row: common practice, no published source. A reason stands beside each; rows with ``barred`` say that a limit
closes the worse one, and that the better one stays open.
"""

from __future__ import annotations

import pytest

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.load import catalogue
from setwright.people.restriction_text import parse_restriction
from setwright.plan.alternatives import alternatives, stand_ins

EVERYTHING = {token for one in catalogue().values() for option in one.equipment for token in option}
PLACES = {
    "all": EVERYTHING,
    "bands": {"band", "band_heavy", "loop_band", "anchor", "chair_bench"},
    "hotel": {"towel", "door", "chair_bench"},
    "nothing": set(),
    "dumbbells": {"dumbbell", "bench", "step"},
    "machines": {"cable", "machine:leg_press", "machine:leg_curl", "machine:leg_extension", "machine:chest_press"},
}

# (target, better, worse, place or equipment taken away, limit, why)
RANKED = [
    ("pullup", "lat_pulldown", "row_cable", "-pullup_bar", "", "the pull from above stays"),
    ("pullup", "row_chest", "curl_db", "dumbbells", "", "a row keeps the back, a curl only the arm"),
    ("pullup", "band_pulldown", "row_band", "bands", "", "the pull from above stays"),
    ("pullup", "straight_arm_pd", "curl_cable", "all", "elbow is sore", "the lats work with a still elbow"),
    ("chinup", "lat_pulldown_neutral", "row_bb", "-pullup_bar", "", "the pull from above stays"),
    ("back_squat", "rfe_split_bw", "wall_sit", "hotel", "", "moving one-leg work before a light hold"),
    ("back_squat", "goblet_squat", "kb_deadlift", "-barbell", "", "a squat stays a squat"),
    ("back_squat", "leg_press", "leg_ext", "-rack", "", "knee and hip together before the knee alone"),
    ("back_squat", "spanish_squat", "band_leg_ext", "bands", "", "more muscles, more load"),
    ("bench_bb", "floor_press", "fly_db", "-rack", "", "a press that can be made heavy"),
    ("bench_bb", "pushup", "pushup_wall", "hotel", "", "the heavier push-up"),
    ("bench_bb", "pushup_load", "pushup_knee", "bands", "", "the heavier push-up"),
    ("deadlift", "trapbar_dl", "back_ext45", "-barbell", "", "heavy lift from the floor"),
    ("deadlift", "kb_deadlift", "goblet_squat", "dumbbells,kettlebell", "", "a hinge from the floor"),
    ("deadlift", "good_morning", "leg_press", "all", "no hard grip", "the hinge without the hands"),
    ("ohp_bb", "ohp_db", "incline_db", "-barbell", "", "the press stays overhead"),
    ("ohp_bb", "ohp_iso", "pushup", "hotel", "", "the same line of push"),
    ("hip_thrust", "glute_bridge_load", "rdl_bb", "-bench", "", "short-length hip work stays"),
    ("hip_thrust", "sl_bridge", "bw_hinge", "nothing", "", "one leg makes the bridge heavy enough"),
    ("calf_1_step_load", "calf_1_floor", "pogo", "nothing", "", "a raise before landings"),
    ("calf_seated", "calf_1_step", "tib_raise", "-machine:calf_seated,dumbbell,plates,kettlebell", "", "same joint"),
    ("nordic", "slide_curl", "rdl_db", "-nordic_anchor", "", "knee flexion is the point"),
    ("nordic", "leg_curl_lying", "back_ext45", "-nordic_anchor", "", "knee flexion is the point"),
    ("leg_curl_seated", "leg_curl_lying", "rdl_bb", "-machine:leg_curl_seated", "", "knee flexion is the point"),
    ("dip", "bench_close", "pushdown", "-dip_bars", "", "a press before an arm exercise"),
    ("row_cable", "straight_arm_pd", "curl_cable", "all", "elbow is sore", "the back works, the elbow rests"),
    ("farmer", "farmer_hexbar", "shrug_bb", "-dumbbell,kettlebell", "", "a carry stays a carry"),
    ("suitcase", "farmer_hexbar", "deadlift", "-dumbbell,kettlebell", "", "a carry stays a carry"),
    ("leg_press", "hack_squat", "leg_ext", "-machine:leg_press", "", "knee and hip together, heavy and held"),
    ("leg_press", "split_squat_bw", "glute_bridge", "nothing", "", "the knee still works"),
    ("lat_raise", "lat_raise_cable", "ohp_bb", "-dumbbell", "", "the same single joint"),
    ("pushdown", "pushdown_band", "pushup", "bands", "", "the same single joint"),
    ("copen_long", "sl_add", "side_plank", "nothing", "", "the adductors still work"),
    ("dead_hang", "farmer_hold", "wrist_curl", "-pullup_bar", "", "a heavy held grip"),
    ("sled_drag_back", "hill_back_walk", "hip_thrust", "-sled", "", "knee drive without lowering"),
    ("sled_push", "treadmill_push", "back_squat", "-sled", "", "leg drive without lowering"),
    ("face_pull", "face_pull_band", "lat_raise", "-cable", "", "same line of pull"),
    ("rope_skip", "jog_easy", "calf_2_floor", "-rope", "", "work capacity stays"),
    ("cable_abd", "sl_abd", "split_squat_bw", "nothing", "", "the abductors first of all"),
    ("leg_ext", "spanish_squat", "hip_thrust", "-machine:leg_extension", "", "the quadriceps stay"),
    ("hang_leg_raise", "situp", "plank", "-pullup_bar", "", "the trunk bends, under effort"),
    ("split_squat", "split_squat_bw", "glute_bridge", "nothing", "", "one leg, knee and hip"),
    ("woodchop", "anti_rot_press", "straight_arm_pd", "all", "back is sore", "turning is held, not given up"),
    ("power_clean", "kb_swing", "back_squat", "all", "wrist is sore", "fast stays fast; a grind is no clean"),
    ("power_clean", "squat_jump", "back_squat_half", "-barbell", "", "fast stays fast; a grind is no clean"),
    ("ohp_bb", "pike_pushup", "ohp_iso", "nothing", "", "the body is pressed where there is nothing else"),
    ("ohp_bb", "ohp_band", "pushup_feet", "bands", "", "the press stays overhead"),
    ("row_bb", "row_band_feet", "elbow_drive_hold", "band", "", "a band round the feet is a row anywhere"),
    ("bench_bb", "bench_db", "cable_press", "all", "wrist is sore", "a handle that lets the wrist stay straight"),
    ("back_squat", "front_squat_cross", "goblet_squat", "all", "shoulder is sore", "heavy, and nothing on the back"),
    ("rdl_bb", "sl_rdl_bw", "glute_bridge", "nothing", "", "one leg makes the hinge heavy enough"),
    ("rower", "bike", "box_squat", "-rower", "", "work capacity stays"),
    ("crunch", "dead_bug", "plank", "all", "neck is sore", "the trunk works with the head down"),
    ("leg_ext", "quad_iso90", "hip_thrust", "all", "knee is sore", "the quadriceps held at a bend that is allowed"),
    ("hang_power_clean", "box_jump", "deadlift", "-barbell", "", "fast stays fast; a grind is no clean"),
    ("bird_dog", "prone_ext_hold", "deadlift", "all", "no kneeling", "a drill is no place for a heavy lift"),
    ("bird_dog", "prone_ext_hold", "roll_down_seated", "all", "wrist is sore", "the back stays still"),
    ("back_ext45", "rdl_db", "glute_bridge_load", "dumbbells", "", "a straight knee, the trunk held"),
    ("back_ext45", "bw_hinge", "sl_bridge", "nothing", "", "a straight knee, the trunk held"),
    ("hip_thrust", "hip_thrust_db", "glute_bridge_load", "dumbbell,chair_bench", "", "the hip goes as far"),
    ("rollout_knee", "plank_long", "crunch", "nothing", "", "the trunk resists, it does not bend"),
    ("rollout_knee", "plank_long", "dead_bug", "nothing", "", "the long lever stays"),
    ("sled_push", "rev_lunge", "side_lunge", "nothing", "", "straight ahead stays straight ahead"),
    ("leg_press", "split_squat_bw", "side_lunge", "nothing", "", "straight ahead stays straight ahead"),
    ("goblet_squat", "bw_squat", "side_lunge", "nothing", "", "a squat stays a squat"),
    ("hip_flexor_lunge", "leg_swing", "hip_hinge_dowel", "all", "no kneeling", "the front of the hip opens"),
    ("oh_carry", "rack_carry", "farmer", "all", "no overhead", "the shoulder still holds the weight up"),
    ("deadlift", "hip_thrust_db", "box_squat", "dumbbell,bench", "finger is sore", "the hip leads, not the knee"),
    ("deadlift", "hip_thrust", "back_squat", "all", "no hard grip", "the hip leads, not the knee"),
]
BARRED = [
    ("pullup", "lat_pulldown", "chinup", "no hangs", "a pulldown needs no hang"),
    ("back_squat", "leg_press", "front_squat", "wrist is sore", "no front rack on a sore wrist"),
    ("back_squat", "leg_press", "back_squat_low_bar", "shoulder is sore", "no bar on the back"),
    ("back_squat", "belt_squat", "good_morning", "back is sore", "the load hangs at the hips"),
    ("back_squat", "belt_squat", "leg_ext", "knee is sore", "closed chain to 60 degrees; near straight asks most"),
    ("back_squat", "front_squat", "back_squat_pause", "no bar on the back", "the bar in front"),
    ("bench_bb", "press_iso_pins", "dip", "shoulder is sore", "held at a tolerated angle"),
    ("bench_bb", "floor_press", "pushup", "wrist is sore", "no weight on the bent wrist"),
    ("deadlift", "hip_thrust", "rdl_bb", "back is sore", "hip extension without leaning on the back"),
    ("deadlift", "good_morning", "rdl_db", "no hard grip", "nothing in the hands"),
    ("bench_bb", "chest_press_m", "bench_close", "wrist is sore", "a bar bends the wrist back, a handle need not"),
    ("ohp_bb", "ohp_db", "push_press", "wrist is sore", "a bar bends the wrist back, a handle need not"),
    ("front_squat", "front_squat_cross", "power_clean", "wrist is sore", "crossed arms leave the wrist alone"),
    ("back_squat", "heel_elev_squat", "deep_squat_hold", "ankle is sore", "raised heels bend the ankle less"),
    ("back_squat", "leg_press", "box_squat_bar", "neck is sore", "nothing on the neck"),
    ("row_bb", "row_chest", "shrug_bb", "neck is sore", "the back works, the neck rests"),
    ("situp", "dead_bug", "crunch", "neck is sore", "the head stays down"),
    ("pushup", "band_press", "bear_hold", "my hand is sore", "the hand carries nothing"),
    ("copen_long", "copen_short", "add_machine", "groin is sore", "short lever, light"),
    ("leg_ext", "quad_iso90", "leg_ext_single", "knee is sore", "held at a bend that is allowed"),
    ("ohp_bb", "landmine_press", "ohp_db", "no overhead", "the slanted press stays below the limit"),
    ("ohp_bb", "ohp_iso", "lat_raise", "shoulder is sore", "held at a tolerated angle"),
    ("dip", "pushup_incline", "bench_dip", "shoulder is sore", "nothing behind the body"),
    ("farmer", "bear_hug_carry", "suitcase", "no hard grip", "the arms carry, not the fingers"),
    ("situp", "dead_bug", "situp_load", "back is sore", "the trunk works without bending"),
    ("box_jump", "sled_push", "squat_jump", "no jumps", "drive without landing"),
    ("run", "bike", "rope_skip", "no impact", "no landing"),
    ("woodchop", "anti_rot_press", "band_rotation", "back is sore", "turning is held"),
    ("rev_nordic", "leg_ext", "nordic", "no kneeling", "sitting instead of kneeling"),
    ("row_bb", "row_chest", "deadlift", "back is sore", "the bench carries the trunk"),
]


def place_of(words: str) -> frozenset[str]:
    """The equipment of a row: a place, places joined, or everything but what stands after a minus."""
    if words.startswith("-"):
        return expand_tokens(EVERYTHING - set(words[1:].split(",")))
    return expand_tokens({token for name in words.split(",") for token in PLACES.get(name, {name})})


@pytest.mark.parametrize("row", RANKED, ids=lambda row: f"{row[0]}-{row[1]}-{row[3]}-{row[4]}")
def test_the_better_stand_in_ranks_higher(row: tuple[str, ...]) -> None:
    target, better, worse, where, limit, why = row
    rules = [parse_restriction(limit)] if limit else []

    found = alternatives(target, catalogue(), place_of(where), rules, n=9, include_excluded=True, among=[better, worse])

    by_slug = {one.exercise: one for one in found}
    assert not by_slug[better].excluded, by_slug[better].why
    assert by_slug[worse].excluded or by_slug[better].likeness > by_slug[worse].likeness, why


@pytest.mark.parametrize("row", BARRED, ids=lambda row: f"{row[0]}-{row[1]}-{row[3]}")
def test_a_limit_closes_the_worse_and_leaves_the_better(row: tuple[str, ...]) -> None:
    target, better, worse, limit, why = row

    found = alternatives(
        target, catalogue(), None, [parse_restriction(limit)], n=9, include_excluded=True, among=[better, worse]
    )

    by_slug = {one.exercise: one for one in found}
    assert not by_slug[better].excluded and by_slug[better].likeness >= 0.4, (why, by_slug[better])
    assert by_slug[worse].excluded and "restriction" in by_slug[worse].why


@pytest.mark.parametrize(
    ("target", "limit", "dials"),
    [
        ("back_squat", "knee to 60 degrees", {"range_deg": [0, 60], "range_of": "knee-flexion"}),
        ("split_squat", "knee is sore", None),
        ("curl_db", "elbow is sore", {"range_deg": [60, 100], "range_of": "elbow-flexion"}),
        ("leg_ext_90_45", "knee is sore", {"range_deg": [45, 60], "range_of": "knee-flexion"}),
        ("row_db", "left elbow is sore", {"side": "right"}),
    ],
)
def test_what_cropping_keeps_is_kept_first(target: str, limit: str, dials: dict[str, object] | None) -> None:
    """Crop before exchange. Common practice, no published source; 90 to 45 in the chair: Powers 2014, seen."""
    found = stand_ins(target, catalogue(), None, [parse_restriction(limit)])

    first = found.rows[0]
    assert first.exercise == target and first.is_itself and first.likeness == 1.0
    assert first.kept.startswith("keep it") and first.dials
    assert dials is None or dict(first.dials) == dials


@pytest.mark.parametrize(
    ("target", "other", "where", "limit"),
    [
        ("hip_ir_band", "sl_abd", "nothing", ""),  # the abductors work, and the hip does not turn
        ("bird_dog", "deadlift_block", "all", "no kneeling"),
        ("hip_flexor_lunge", "glute_bridge", "all", "no kneeling"),
    ],
)
def test_what_only_shares_muscles_is_no_good_stand_in(target: str, other: str, where: str, limit: str) -> None:
    """Common practice, no published source."""
    rules = [parse_restriction(limit)] if limit else []

    [found] = alternatives(target, catalogue(), place_of(where), rules, among=[other])

    assert not found.excluded and not found.is_good


@pytest.mark.parametrize(
    ("target", "where", "limit", "muscle", "way"),
    [
        ("pushdown", "nothing", "", "triceps", "triceps_hold_self"),
        ("row_bb", "nothing", "", "lats", "elbow_drive_hold"),
        ("push_press", "all", "shoulder is sore", "delt_anterior", "ohp_iso"),
    ],
)
def test_where_nothing_is_like_enough_a_muscle_is_trained_another_way(
    target: str, where: str, limit: str, muscle: str, way: str
) -> None:
    rules = [parse_restriction(limit)] if limit else []

    found = stand_ins(target, catalogue(), place_of(where), rules)

    assert found.nothing_good
    open_ones = {one.exercise for each in found.ways if each.muscle == muscle for one in each.open_ones}
    assert way in open_ones, found.ways
    assert any(row.exercise == way and row.way for row in found.rows)


def test_where_no_way_is_open_the_reason_is_said() -> None:
    found = stand_ins("bench_bb", catalogue(), place_of("hotel"), [parse_restriction("wrist is sore")])

    assert found.nothing_good
    closed = [way for way in found.ways if not way.open_ones]
    assert closed and all("wrist restriction" in way.why_none for way in closed)
