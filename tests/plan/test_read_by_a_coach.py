"""What a coach strikes out on a printed block, one small rule each. All of it common practice, no published source."""

from __future__ import annotations

from dataclasses import replace

import pytest
from made_block import BRIEF, GYM, PERSON, estimates_of, made_block, with_person

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.load import catalogue
from setwright.people.restriction_text import parse_restriction
from setwright.plan.alternatives import alternatives_for_entry
from setwright.plan.arrange import suits_fives
from setwright.plan.brief import Brief
from setwright.plan.candidates import Candidate, bodily_reps, cost_of, find_candidates
from setwright.plan.cautions import cautions_for
from setwright.plan.fit import gather_fixed
from setwright.plan.fixed_parts import conditioning_part, wanted_part
from setwright.plan.gates import judge
from setwright.plan.pairing import can_pair
from setwright.plan.posing import whole_ones
from setwright.plan.reasons_frame import parts_without
from setwright.plan.template import Scheme
from setwright.plan.weeks import week_shapes

STRAIGHT = Scheme("straight", 3, reps=(8, 12), rir=2.0, rest_s=120.0)
"""One everyday scheme, so that only the exercises decide."""


def paired(one: str, other: str) -> tuple[bool, str]:
    return can_pair(catalogue().get(one), catalogue().get(other), STRAIGHT, STRAIGHT, GYM)


def open_ones(brief: Brief = BRIEF, **person: object) -> tuple[Candidate, ...]:
    trainee = with_person(**person)
    return find_candidates(catalogue(), trainee, (GYM,), brief, estimates_of(trainee), frozenset())[0]


def test_the_lower_back_rests_while_a_hinge_rests() -> None:
    assert paired("deadlift", "rear_fly") == (False, "both lean on the lower back")
    assert paired("deadlift", "rear_fly_chest")[0]
    assert paired("rdl_db", "row_bb")[1] == "both lean on the lower back"


def test_trunk_work_rests_where_a_heavy_lift_leans_on_the_trunk() -> None:
    """Common practice, no published source."""
    for heavy in ("trapbar_dl", "deadlift", "back_squat"):
        for trunk in ("situp_load", "plank", "side_plank"):
            assert paired(heavy, trunk) == (False, "both need the trunk rested"), (heavy, trunk)
    assert paired("lat_pulldown", "situp_load")[0]


def test_two_presses_are_not_done_in_turn_a_press_and_a_pull_are() -> None:
    """Common practice, no published source: both ask the triceps and the front of the shoulder."""
    assert paired("bench_bb", "ohp_db") == (False, "both press")
    assert paired("bench_bb", "row_cable")[0] and paired("ohp_db", "lat_pulldown")[0]


def test_two_fast_lifts_are_not_done_in_turn() -> None:
    assert paired("push_press", "kb_swing") == (False, "both are fast lifts, which are done rested")


@pytest.mark.parametrize(("pattern", "whole", "still"), [("pull_vertical", "lat_pulldown", "straight_arm_pd")])
def test_a_pulldown_with_straight_arms_is_no_pull_where_a_pull_is_open(pattern: str, whole: str, still: str) -> None:
    found = open_ones()
    names = {found[index].slug for index in whole_ones(found, frozenset({pattern}))}
    sore = open_ones(restrictions=(parse_restriction("elbow is sore"),))
    left = {sore[index].slug for index in whole_ones(sore, frozenset({pattern}))}

    assert whole in names and still not in names
    assert still in left


def test_who_never_did_a_pull_up_is_given_no_twelve() -> None:
    """88 kg and a bench of 95 for five tell of some pull-ups, not of sixteen: 8 to 12 with four left would be that."""
    heavy = with_person(body_mass_kg=88.0, baselines=(replace(PERSON.baselines[1], load_kg=95.0, reps=5),))
    estimates = estimates_of(heavy)
    found = bodily_reps(catalogue().get("pullup_neutral"), estimates, (8, 12))
    mean = estimates.for_exercise("pullup_neutral").posterior.reps_at(
        estimates.for_exercise("pullup_neutral").body_part_kg
    )

    assert found is None or found[1] <= mean.mean


def test_after_a_long_break_a_fast_lift_that_was_never_done_waits() -> None:
    def cost(weeks_off: float) -> int:
        return cost_of(catalogue().get("push_press"), with_person(weeks_off=weeks_off), BRIEF, frozenset())

    assert cost(10) > cost(0)


def test_a_sore_hand_holds_no_bell_over_the_face() -> None:
    """A hold that a restriction wants works the joint itself; where nothing does, that is said."""
    hand = parse_restriction("my right hand is sore")
    found = wanted_part(catalogue(), with_person(restrictions=(hand,)), (GYM,), week_shapes(BRIEF), room_s=(1200.0,))
    entries = [entry for day in found.by_day for entry in day]

    for entry in entries:
        uses = catalogue().get(entry.exercise).actions
        assert any(use.joint == "fingers" and use.role != "held" for use in uses), entry.exercise
    assert entries or found.unmet


def test_a_sore_back_carries_at_the_side_not_upside_down() -> None:
    trainee = with_person(restrictions=(parse_restriction("lower back is sore"),))
    found = wanted_part(catalogue(), trainee, (GYM, GYM), week_shapes(BRIEF), room_s=(1200.0, 1200.0))
    slugs = [entry.exercise for day in found.by_day for entry in day]
    carries = [slug for slug in slugs if catalogue().get(slug).mode == "carry"]

    assert carries == ["farmer", "farmer"]


def test_a_caution_is_said_once() -> None:
    wrist = parse_restriction("wrist is sore")
    trainee, row = with_person(restrictions=(wrist,)), catalogue().get("row_db")
    said = (*judge(row, (wrist,), frozenset(), ignore_equipment=True).cautions, *cautions_for(row, trainee, ()))

    assert sum("wrist" in one for one in dict.fromkeys(said)) == 1


def test_long_conditioning_that_became_short_is_said() -> None:
    brief = replace(BRIEF, conditioning="long", minutes=45, skill="")
    days = tuple(replace(day, minutes=45) for day in PERSON.days)
    fixed = gather_fixed(catalogue(), with_person(days=days), brief, days, {"gym": GYM}, week_shapes(brief))

    assert any(one.wish.startswith("long conditioning on") for one in fixed.unmet)


def test_an_easy_ride_is_not_called_brisk() -> None:
    part = conditioning_part(catalogue(), PERSON, BRIEF, (GYM, GYM), week_shapes(BRIEF))
    for entry in (one for day in part.by_day for one in day):
        is_one_piece = all(scheme.sets == 1 for scheme in entry.schemes if scheme is not None)
        assert ("whole sentences" in entry.why) == is_one_piece and ("Brisk" in entry.why) != is_one_piece


def test_sets_of_five_are_for_bars_and_leg_machines() -> None:
    for slug, fits in (("back_squat", True), ("row_bb", True), ("leg_press", True), ("lat_pulldown", False)):
        assert suits_fives(catalogue().get(slug)) == fits, slug
    assert not suits_fives(catalogue().get("split_squat"))


@pytest.mark.parametrize("slug", ["bike", "walk", "pullover_db", "straddle_lift", "deep_squat_hold_bw", "rower"])
def test_range_and_conditioning_are_exchanged_for_their_own_kind(slug: str) -> None:
    """No hold of the thigh for a bike, no row for a pullover, no run for a walk."""
    one = catalogue().get(slug)
    kind = "conditioning" if one.mode == "cyclic" else "loaded-mobility"
    for other in alternatives_for_entry(one, catalogue(), expand_tokens(GYM.tokens()), ()):
        assert kind in catalogue().get(other.exercise).parts, other
        assert catalogue().get(other.exercise).impact <= max(1, one.impact), other


def test_no_bike_is_weighed_against_a_lift() -> None:
    assert not [one.slug for one in open_ones() if one.exercise.mode == "cyclic"]


def test_what_conditioning_takes_leaves_the_warm_up_where_it_is() -> None:
    """The same easy ride raises the pulse first: taking out the last part is no reason to take out the first."""
    session = next(
        one for week in made_block().weeks for one in week.sessions if {part.part for part in one.parts} >= {"warm-up"}
    )
    first = session.parts[0].entries[0]
    left = parts_without(session, "conditioning", first.exercise)

    assert session.parts[0].part == "warm-up" and left[0] == session.parts[0]
    assert first not in [entry for part in parts_without(session, "warm-up", first.exercise) for entry in part.entries]
