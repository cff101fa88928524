"""From a wanted effort to a load that exists, ramp sets on the way, and the minutes it all takes."""

from __future__ import annotations

from math import log

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.catalogue.load import catalogue
from setwright.dose.implements import loads_in
from setwright.dose.minutes import (
    SetTime,
    can_alternate,
    rest_window,
    straight_seconds,
    superset_seconds,
    tempo_seconds,
    work_seconds,
)
from setwright.dose.prescribe import prescribe, step_is_usual
from setwright.dose.ramp import ramp_sets
from setwright.people.place import Bar, Counted, Place
from setwright.strength.estimates import LiftEstimate
from setwright.strength.posterior import prior

SQUAT = catalogue().get("back_squat")
GYM = Place(
    "gym",
    "Gym",
    bars=(Bar("barbell", 20.0),),
    plates=tuple(Counted(mass, 4) for mass in (20, 10, 5, 2.5, 1.25)),
    dumbbells=tuple(Counted(mass, 2) for mass in (5, 7.5, 10, 15, 20)),
    fixtures={"rack": 1, "bench": 1},
)


def belief(one_rm: float = 100.0, sd: float = 0.03) -> LiftEstimate:
    return LiftEstimate("back_squat", prior(log(one_rm), sd, log(0.032), 0.08), 10, "sets")


def test_the_load_is_near_the_handbook_chart() -> None:
    """Referee: handbook load chart, variant A (seen): 5 repetitions with 2 left are 7 to failure, 83 % of 1RM."""
    dose = prescribe(belief(), SQUAT, GYM, (5, 5), 2.0, 0.5)

    assert dose.range_kg is not None
    assert dose.range_kg[0] <= 83 <= dose.range_kg[1]
    assert dose.load_kg is not None
    assert 83 - 2 * 2.5 < dose.load_kg <= 83  # the next load down, never up: steps here are 2.5 kg


def test_being_surer_costs_load() -> None:
    bold = prescribe(belief(), SQUAT, GYM, (5, 6), 2.0, 0.5).load_kg
    careful = prescribe(belief(), SQUAT, GYM, (5, 6), 2.0, 0.95).load_kg

    assert careful is not None and bold is not None
    assert careful < bold


@settings(max_examples=30, deadline=None, derandomize=True)
@given(
    one_rm=st.floats(40, 180),
    low=st.integers(2, 12),
    rir=st.sampled_from([0.0, 1.0, 2.0, 3.5]),
    risk=st.floats(0.5, 0.95),
)
def test_a_printed_load_can_always_be_built(one_rm: float, low: int, rir: float, risk: float) -> None:
    dose = prescribe(belief(one_rm), SQUAT, GYM, (low, low + 2), rir, risk)

    assert dose.load_kg in {one.load_kg for one in loads_in(GYM, SQUAT)}
    assert dose.range_kg is not None and dose.range_kg[0] <= dose.range_kg[1]
    assert dose.chance is not None and 0 <= dose.chance <= 1


def test_a_step_that_is_too_coarse_becomes_repetitions() -> None:
    """Referee: rule L04, steps of 2 to 10 % (ACSM 2009, seen): from 10 to 15 kg is 50 %."""
    curl = catalogue().get("curl_db")
    estimate = LiftEstimate("curl_db", prior(log(19.0), 0.03, log(0.032), 0.05), 9, "sets")

    dose = prescribe(estimate, curl, GYM, (8, 10), 2.0, 0.7)

    assert dose.load_kg == 10
    assert dose.reps is not None and dose.reps[0] > 8
    assert "more reps" in dose.note


def test_a_wide_belief_says_find_your_load() -> None:
    dose = prescribe(belief(sd=0.3), SQUAT, GYM, (5, 6), 2.0, 0.8)

    assert dose.note.startswith("Find your load")
    assert dose.range_kg is not None and dose.range_kg[1] > 1.4 * dose.range_kg[0]


def test_a_load_too_heavy_for_long_sets_makes_ordinary_ones_before_short_ones() -> None:
    """16 kg at a maximum of 24: far over 15 to 20 with 4 left, near 8 to 12; a wide belief used to leave 4 of them.

    Referee: common practice, no published source.
    """
    place = Place("p", "p", kettlebells=(Counted(16, 1),))
    swing, unsure = catalogue().get("kb_swing"), belief(24.0, 0.25)

    long, short = (prescribe(unsure, swing, place, reps, 4.0, 0.7) for reps in ((15, 20), (8, 12)))
    heavier = prescribe(belief(18.0, 0.25), swing, place, (15, 20), 4.0, 0.7)

    assert long.reps == short.reps == (8, 12)
    assert long.note == "The lightest there is: fewer repetitions."
    assert heavier.reps is None or heavier.reps != (8, 12)


@pytest.mark.parametrize("reps", [(8, 19), (5, 19), (10, 19)])
def test_a_wide_range_loses_its_upper_end_first(reps: tuple[int, int]) -> None:
    """A range that began at 8 or below was cut to 4 repetitions where 8 to 12 of the same load would do.

    Referee: common practice, no published source.
    """
    place = Place("p", "p", kettlebells=(Counted(16, 1),))

    dose = prescribe(belief(22.0, 0.3), catalogue().get("kb_swing"), place, reps, 4.0, 0.7)

    assert dose.reps == (min(reps[0], 8), 12)


def test_a_cap_is_never_passed() -> None:
    assert prescribe(belief(150), SQUAT, GYM, (5, 5), 2, 0.8, cap_kg=60).load_kg == 60


def test_a_written_load_is_built_as_near_as_can_be() -> None:
    dose = prescribe(belief(), SQUAT, GYM, (5, 5), 2, 0.8, written_kg=71.0)

    assert dose.load_kg == 70.0
    assert "71 kg as written can't be built here" in dose.note


def test_ramp_sets_rise_to_the_working_load_by_published_shares() -> None:
    """Referee: College 1RM protocol (seen): 50 %, 70 %, 80 %, 90 % before the attempt; ours within a plate of it."""
    top = prescribe(belief(120), SQUAT, GYM, (2, 3), 1.0, 0.6)
    steps = ramp_sets(SQUAT, top, GYM)
    assert top.load_kg is not None

    loads = [one.load_kg for one in steps]
    assert loads == sorted(set(loads))
    assert loads[-1] < top.load_kg
    for share, load in zip((0.5, 0.7, 0.85, 0.93), loads, strict=False):
        assert load == pytest.approx(share * top.load_kg, abs=2.5)
    assert [one.reps for one in steps] == sorted((one.reps for one in steps), reverse=True)


def test_body_weight_needs_no_ramp() -> None:
    dose = prescribe(belief(), SQUAT, Place("x", "X"), (5, 5), 2, 0.8)

    assert dose.load_kg is None
    assert ramp_sets(SQUAT, dose, GYM) == ()


def test_a_rise_of_more_than_a_tenth_is_unusual() -> None:
    """Referee: rule L04 (ACSM 2009, seen)."""
    assert step_is_usual(109, 100)
    assert not step_is_usual(111, 100)
    assert step_is_usual(50, 100)


def test_a_set_of_eight_to_twelve_takes_about_fifty_seconds() -> None:
    """Referee: derived in the reference table: 47 to 52 s all in reproduces the 36 % of Burke 2024."""
    assert 47 <= work_seconds(10, 4.0) <= 52


def test_pairs_save_the_published_share_of_time() -> None:
    """Referee: Burke 2024 (seen): six exercises of four sets of 8 to 12, supersets took 36 % less time; Iversen 2024

    nearly half. Rule T05: paired over unpaired between 0.5 and 0.65, 0.64 measured.
    """
    sets = [SetTime(work_seconds(10, 4.0), 120.0)] * 4
    change = 75.0
    alone = 6 * straight_seconds(sets) + 5 * change
    paired = 3 * superset_seconds([sets, sets]) + 2 * change

    assert 0.5 <= paired / alone <= 0.68


def test_rest_windows_keep_the_published_minimum() -> None:
    """Referee: T01 at least 120 s on heavy multi-joint sets, T02 at least 60 s (ACSM 2009, Singer 2024; seen)."""
    assert rest_window(5, True, 180)[0] >= 120
    assert rest_window(12, False, 90)[0] >= 60


def test_a_heavy_lift_and_a_small_exercise_can_fail_one_cycle() -> None:
    assert not can_alternate(40, (150, 240), 40, (60, 90))
    assert can_alternate(40, (90, 150), 50, (60, 120))


def test_a_tempo_says_how_long_a_repetition_takes() -> None:
    assert tempo_seconds("3-1-1-0", 4.0) == 5.0
    assert tempo_seconds(None, 4.0) == 4.0
