"""Rest-fill pairs handed over by practitioners: ok under 0.12, caution or pair to 0.28, no above.

Referee: the hand-over table of the project's brief, all twelve rows, typed in. Source: common practice (memory).
The rows after them are our own.
"""

from __future__ import annotations

import pytest

from setwright.catalogue.load import catalogue
from setwright.plan.filler import MOST, PAIR_MOST, interference

PAIRS = [
    ("back_squat", "t_rotation", "ok"),
    ("back_squat", "rdl_db", "no"),
    ("deadlift", "farmer", "no"),
    ("deadlift", "knee_to_wall", "ok"),
    ("bench_bb", "knee_to_wall", "ok"),
    ("bench_bb", "pushup", "no"),
    ("pullup", "curl_db", "no"),
    ("pullup", "tib_raise", "ok"),
    ("ohp_bb", "plank", "caution"),
    ("rdl_bb", "plank_long", "caution"),
    ("bench_bb", "row_chest", "caution"),
    ("leg_curl_lying", "leg_ext", "caution"),
]
# Common practice, no published source.
OURS = [
    ("bench_bb", "pushdown", "no"),
    ("bench_bb", "ohp_db", "no"),
    ("bench_bb", "front_raise", "no"),
    ("dip", "triceps_hold", "no"),
    ("deadlift", "pullup", "no"),
    ("box_jump", "calf_1_floor", "no"),
    ("deadlift", "hip_flexor_lunge", "ok"),
    ("rfe_split", "hip_flexor_lunge", "ok"),
    ("back_squat", "hip_9090", "ok"),
    ("pullup", "wrist_circle", "ok"),
    ("back_squat", "band_walk", "caution"),
    ("landmine_press", "side_plank", "caution"),
]


@pytest.mark.parametrize(("main", "filler", "verdict"), PAIRS + OURS)
def test_a_pair_is_judged_as_coaches_do(main: str, filler: str, verdict: str) -> None:
    score = interference(catalogue().get(main), catalogue().get(filler))

    judged = "ok" if score < MOST else "caution" if score <= PAIR_MOST else "no"
    assert judged == verdict, f"interference {score:.2f}"
