"""The twelve progressions: order, top steps, tests and sources."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise
from math import sqrt

import pytest
from made_block import PERSON

from setwright.body.anatomy import joint_actions
from setwright.catalogue.exercise import Progression
from setwright.catalogue.load import catalogue, parse_progression_file
from setwright.catalogue.step_sizes import Demand, in_between, out_of_order, step_sizes
from setwright.faults import InputFaults
from setwright.plan.gates import judge

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
    # The last three are the branch of holds and carries.
    "ohcarry": "er_iso ohp_iso er_band farmer front_carry landmine_press oh_carry rack_carry bottoms_up oh_hold",
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
        share = None if step.exit_load_share is None else 100 * step.exit_load_share
        for number in (step.exit_sets, step.exit_reps, step.exit_hold_s, step.exit_distance_m, share):
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
    steps = catalogue().progressions[slug].way()
    first, last = (catalogue().get(step.exercise) for step in (steps[0], steps[-1]))
    assert last.skill > first.skill


@pytest.mark.parametrize("slug", ORDER)
def test_every_exit_test_is_met_in_two_sessions_and_counts_something(slug: str) -> None:
    """The knee-to-wall test is a measure, not a set: it alone has no number of sets."""
    for step in catalogue().progressions[slug].steps:
        assert step.exit_sessions == 2
        counts = (step.exit_reps, step.exit_hold_s, step.exit_distance_m)
        assert sum(one is not None for one in counts) == (0 if step.exercise == "knee_to_wall" else 1), step.exercise


@pytest.mark.parametrize("slug", ORDER)
def test_sideways_works_a_joint_that_the_step_works(slug: str) -> None:
    """Referee: the joint actions of the catalogue: something that is prime or second in both."""
    known = catalogue()
    for step in known.progressions[slug].steps:
        own = {use.joint for use in known.get(step.exercise).actions if use.role != "held"}
        for other in step.sideways:
            shared = own & {use.joint for use in known.get(other).actions}
            assert shared, (step.exercise, other)
    assert joint_actions()


def test_almost_every_step_has_a_way_sideways() -> None:
    """Without one: two drills that need nothing but a wall or the floor."""
    steps = [step for climb in catalogue().progressions.values() for step in climb.steps]

    assert {step.exercise for step in steps if not step.sideways} == {"knee_to_wall", "cat_cow"}


def test_support_depth_assistance_angle_and_load_move_one_at_a_time() -> None:
    """Each dial of a step has its own ladder: where one small step ends the next of the same dial begins."""
    dials = set()
    for climb in catalogue().progressions.values():
        for step in climb.steps:
            for kind in {one.dial for one in step.inside}:
                rows = [one for one in step.inside if one.dial == kind]
                dials.add(kind)
                assert all(a.to == b.from_ for a, b in pairwise(rows)), (step.exercise, kind)

    assert dials == {"support", "depth", "assistance", "angle", "load"}


def test_a_hand_is_given_up_between_two_sets() -> None:
    climb = catalogue().progressions["split"]
    first = climb.steps[0].inside[0]

    assert (first.dial, first.from_, first.to) == ("support", "two hands on the support", "one hand")
    assert "in the set before" in first.when


def test_the_overhead_carry_has_a_way_of_holds_and_carries_without_a_press() -> None:
    climb = catalogue().progressions["ohcarry"]
    way = [step.exercise for step in climb.way("holds and carries")]

    assert way[-1] == "oh_carry" and way[4:8] == ["front_carry", "rack_carry", "bottoms_up", "oh_hold"]
    moved = [catalogue().get(slug) for slug in way if catalogue().get(slug).is_dynamic]
    assert [one.slug for one in moved] == ["er_band"], "holds and carries, and the band rotation before them"
    assert {one.exercise for one in climb.next_of(5)} == {"landmine_press", "rack_carry"}
    assert [one.exercise for one in climb.up_to(8)][-2:] == ["front_carry", "rack_carry"]
    assert "ask a licensed clinician" in climb.caution


def test_loaded_bending_is_open_without_back_trouble_and_closed_with_it() -> None:
    """Rule S06 of the trade: a history of back trouble closes loaded end-range bending until a clinician opens it."""
    climb = catalogue().progressions["lmob"]
    everything = frozenset({"bench", "dumbbell", "step", "barbell", "kettlebell", "plates"})
    bending = [step for step in climb.steps if catalogue().get(step.exercise).spine == "flexed"]
    assert [step.exercise for step in bending] == ["roll_down_seated", "roll_down"]

    for step in climb.steps:
        assert judge(catalogue().get(step.exercise), (), everything, PERSON).allowed, step.exercise
    with_trouble = replace(PERSON, back_trouble=True)
    for step in bending:
        verdict = judge(catalogue().get(step.exercise), (), everything, with_trouble)
        assert not verdict.allowed and "licensed clinician" in verdict.reasons[0]
    assert climb.closed_with_back_trouble and "licensed clinician" in climb.caution


# Share of body mass on the hands by Ebben et al. 2011 (method seen, values second-hand); hand heights between them
# lie on the line through 0, 30 and 60 cm (64, 55, 41 %), which is the test's own.
def ebben(slug: str, dials: Mapping[str, object]) -> Demand | None:
    """A stand-in for the mechanics, on one scale for push-ups and on none for the rest."""
    if slug in ("pushup", "pushup_incline"):
        height = float(dials.get("hand_height_cm", 60 if slug == "pushup_incline" else 0))  # type: ignore[arg-type]
        share = 64 - 0.3 * height if height <= 30 else 55 - (height - 30) * 14 / 30
    elif slug == "pushup_knee":
        share = 49
    elif slug == "pushup_feet":
        share = 74
    else:
        return None
    return Demand(share / 100, 0.95 * share / 100, 1.05 * share / 100, "share of body weight on the hands")


def test_the_order_of_push_ups_is_the_computed_one_and_the_rest_is_said_to_be_practice() -> None:
    sizes = {(one.from_, one.to): one for one in step_sizes(catalogue().progressions["pushup"], ebben)}

    assert out_of_order(catalogue().progressions["pushup"], ebben) == ()
    assert sizes[2, 3].ratio == pytest.approx(49 / 41)
    assert sizes[4, 5].ratio == pytest.approx(64 / 55)
    assert sizes[1, 2].ratio is None and sizes[7, 8].ratio is None


def test_a_step_that_asks_less_than_the_one_before_is_found() -> None:
    climb = catalogue().progressions["pushup"]
    steps = list(climb.steps)
    swapped = [replace(steps[4], number=4), replace(steps[3], number=5)]
    wrong = Progression("wrong", "wrong", (*steps[:3], *swapped, *steps[5:]), 3, "made up here")

    (found,) = out_of_order(wrong, ebben)
    assert (found.from_, found.to) == (4, 5)
    said = replace(swapped[1], order_why="Because.")
    assert out_of_order(replace(wrong, steps=(*steps[:3], swapped[0], said, *steps[5:])), ebben) == ()


def test_between_two_steps_too_far_apart_stands_one_half_way() -> None:
    """64 over 41 % is a step of 56 %; its middle is 51 %, which the line reaches with hands on 38 cm."""
    steps = catalogue().progressions["pushup"].steps

    best = in_between(steps[1], steps[4], catalogue(), ebben)[0]

    assert best.dial == "angle"
    assert best.sets in ({"hand_height_cm": 35.0}, {"hand_height_cm": 40.0})
    assert best.demand.mean == pytest.approx(sqrt(0.41 * 0.64), rel=0.04)
    assert in_between(steps[2], steps[3], catalogue(), ebben) == (), "49 to 55 % is 12 %: one step"


def test_two_scales_are_never_compared() -> None:
    def mixed(slug: str, dials: Mapping[str, object]) -> Demand | None:
        found = ebben(slug, dials)
        return found if slug != "pushup_knee" or found is None else replace(found, of="something else")

    sizes = {(one.from_, one.to): one.ratio for one in step_sizes(catalogue().progressions["pushup"], mixed)}
    assert sizes[2, 3] is None and sizes[3, 4] is None and sizes[4, 5] is not None


STEP = """
[[step]]
exercise = "{}"
entry_test = "None."
exit_test = "3 sets of 8."
way_back = "Less."
{}
"""
HEAD = 'title = "x"\npain_limit = 3\nsource = "common practice, no published source"\n'


@pytest.mark.parametrize(
    ("steps", "path"),
    [
        ([("plank", 'branch = "b"\nafter = "dip"')], "step[0].after"),
        ([("plank", ""), ("dip", 'branch = "b"\nafter = "plank"\nleads_to = "plank"')], "step[1].leads_to"),
        ([("plank", ""), ("dip", 'branch = "b"\nafter = "plank"'), ("pushup", "")], "step[2]"),
        ([("plank", 'after = "dip"')], "step[0].after"),
        ([("plank", 'inside = [{ dial = "hand", from = "a", to = "b", when = "c" }]')], "step[0].inside[0].dial"),
        ([("plank", 'inside = [{ dial = "support", to = "b", when = "c" }]')], "step[0].inside[0].from"),
        ([("plank", "exit_sessions = 0")], "step[0].exit_sessions"),
        ([("plank", 'sideways = "dip"')], "step[0].sideways"),
    ],
)
def test_a_way_that_leads_nowhere_is_a_fault_with_its_path(steps: list[tuple[str, str]], path: str) -> None:
    text = HEAD + "".join(STEP.format(*step) for step in steps)

    with pytest.raises(InputFaults) as caught:
        parse_progression_file("own.toml", text)
    assert path in [fault.path for fault in caught.value.faults]


def test_steps_are_ordered_by_what_the_levers_reckon_or_say_why_not():
    """For the usual person no step asks clearly less than the one before, unless its file says why it comes later.

    Referee: the levers, which know nothing of progressions. At least a third of the steps can be compared at all.
    """
    from setwright.catalogue.step_sizes import out_of_order, step_sizes
    from setwright.services.step_demand import demand_port

    port = demand_port()
    climbs = catalogue().progressions.values()
    sizes = [size for climb in climbs for size in step_sizes(climb, port)]

    assert {climb.slug: out_of_order(climb, port) for climb in climbs if out_of_order(climb, port)} == {}
    assert sum(size.ratio is not None for size in sizes) > len(sizes) / 3


def test_a_step_that_is_too_big_gets_something_in_between():
    """Wall push-up to hands on 60 cm more than doubles what the hands carry; what is proposed lies between."""
    from setwright.catalogue.step_sizes import in_between, step_size
    from setwright.services.step_demand import demand_port

    port = demand_port()
    climb = catalogue().progressions["pushup"]
    now, later = climb.step(1), climb.step(2)
    first, last = port(now.exercise, now.dials), port(later.exercise, later.dials)

    assert first is not None and last is not None
    assert step_size(now, later, port).is_too_big
    found = in_between(now, later, catalogue(), port)
    assert found and all(first.mean < one.demand.mean < last.mean for one in found)
