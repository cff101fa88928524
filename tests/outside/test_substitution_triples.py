"""Substitution triples handed over by practitioners: A replaces T better than B.

Referee: the hand-over table of the project's brief, all twenty rows, typed in here.
Source of each row: common practice (memory), handed over; row 25 also Maeo et al. 2022 (seen by the table's author).
"""

from __future__ import annotations

import pytest

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.load import catalogue
from setwright.people.trainee import Restriction
from setwright.plan.alternatives import alternatives

KNEE_30 = Restriction(id="knee", joint="knee", level="hard", max_angles={"knee-flexion": 30})
NO_OVERHEAD = Restriction(
    id="overhead", joint="shoulder", level="hard", max_angles={"shoulder-elevation": 120}, positions=("hands-overhead",)
)
NO_FLEXED_SPINE = Restriction(id="back", joint="trunk", level="hard", spine=("flexed",))
SHOULDER_HOLDS = Restriction(id="shoulder", joint="shoulder", level="none", wanted=("holds",))
NO_IMPACT = Restriction(id="impact", joint="ankle", level="hard", impact_max=0)

# (row, target, better, worse, restriction or None, equipment taken away, worse is barred outright)
TRIPLES = [
    (1, "sled_push", "step_up", "back_ext45", None, {"sled"}, False),
    (3, "leg_ext", "band_leg_ext", "hip_thrust", None, {"machine:leg_extension"}, False),
    (5, "back_squat", "rdl_bb", "front_squat", KNEE_30, set(), True),
    (7, "ohp_db", "landmine_press", "push_press", NO_OVERHEAD, set(), True),
    (8, "pullup", "row_inv", "curl_db", NO_OVERHEAD, set(), False),
    (9, "roll_down", "rdl_db", "roll_down_seated", NO_FLEXED_SPINE, set(), True),
    (11, "back_squat", "rfe_split", "bw_squat", None, {"barbell"}, False),
    (12, "bench_bb", "bench_db", "pushup_knee", None, {"barbell"}, False),
    (14, "row_cable", "row_chest", "pull_apart", None, {"cable"}, False),
    (16, "lat_pulldown", "band_pulldown", "pull_apart", None, "bands", False),
    (17, "leg_curl_lying", "leg_curl_band", "rdl_band", None, "bands", False),
    (19, "row_cable", "row_towel", "y_raise", None, "hotel", False),
    (21, "ohp_db", "ohp_iso", "lat_raise", SHOULDER_HOLDS, set(), True),
    (23, "row_db", "row_iso", "suitcase", SHOULDER_HOLDS, set(), False),
    (25, "oh_triceps_cable", "oh_triceps_db", "pushdown_band", None, {"cable"}, False),
    (26, "back_squat", "hack_squat", "wall_sit", None, {"rack"}, False),
    (27, "bench_bb", "pushup_load", "press_iso_pins", None, set(), False),
    (29, "row_cable", "row_db", "row_iso", None, {"cable"}, False),
    (31, "hip_thrust", "sl_hip_thrust", "rdl_db", None, {"barbell"}, False),
    (33, "rope_skip", "bike", "box_jump", NO_IMPACT, set(), True),
]
EVERYTHING = {token for one in catalogue().values() for option in one.equipment for token in option}
PLACES = {
    "bands": {"band", "band_heavy", "loop_band", "anchor", "chair_bench"},
    "hotel": {"towel", "door", "chair_bench"},
}


def test_every_handed_over_triple_is_here() -> None:
    assert len(TRIPLES) == 20


@pytest.mark.parametrize("triple", TRIPLES, ids=lambda one: f"row-{one[0]}-{one[1]}")
def test_the_better_stand_in_ranks_first(triple: tuple) -> None:
    _, target, better, worse, restriction, taken, worse_is_barred = triple
    have = PLACES[taken] if isinstance(taken, str) else EVERYTHING - taken
    rules = [restriction] if restriction else []

    found = alternatives(
        target, catalogue(), expand_tokens(have), rules, n=500, include_excluded=True, among=[better, worse]
    )

    by_slug = {one.exercise: one for one in found}
    assert not by_slug[better].excluded, by_slug[better].why
    if worse_is_barred:
        assert by_slug[worse].excluded
        assert "restriction" in by_slug[worse].why
    elif not by_slug[worse].excluded:
        assert by_slug[better].likeness > by_slug[worse].likeness
