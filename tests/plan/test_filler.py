"""Work in the rests: it disturbs nothing before or after, serves what is wanted, fits, and takes turns.

Which purpose goes first: common practice, no published source. Interference of the handed-over pairs: tests/outside.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from datetime import date

import pytest

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.load import catalogue
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import Goal, RangeMeasure, Restriction, Screening, Trainee
from setwright.plan.block import Entry, Filler, PlannedSet
from setwright.plan.drills import moves
from setwright.plan.filler import (
    LEFT_OVER_S,
    MOST,
    WALK_S,
    around_of,
    filler_for,
    interference,
    is_calf_raise,
    lengthened_rest,
    open_fillers,
    with_longer_rests,
    work_s,
)
from setwright.plan.gates import judge

SEED = 20260907
TOKENS = expand_tokens({token for one in catalogue().values() for option in one.equipment for token in option})
PERSON = Trainee(
    id="invented",
    name="Invented Person",
    birth_year=1990,
    body_mass_kg=80.0,
    stature_m=1.78,
    training_years=3.0,
    days=(),
    screening=Screening(True),
    invented=True,
)
LIFTS = ("back_squat", "bench_bb", "row_cable", "deadlift", "ohp_bb", "pullup", "leg_press", "hip_thrust", "curl_db")


def fillers_of(
    day: Sequence[str], person: Trainee = PERSON, rest_s: float = 150.0, wished: Sequence[str] = ()
) -> list[Filler | None]:
    """The fillers of a day, in order."""
    lifts = [catalogue().get(slug) for slug in day]
    found: list[Filler | None] = []
    used: list[str] = []
    for number, lift in enumerate(lifts):
        around = around_of(lifts, number, used, wished)
        one = filler_for(lift, rest_s, catalogue(), person.restrictions, TOKENS, person, around)
        used += [one.exercise] if one else []
        found.append(one)
    return found


def test_a_filler_leaves_the_lifts_before_and_after_alone() -> None:
    r = random.Random(SEED)
    count = 0
    for _ in range(25):
        day = r.sample(LIFTS, 4)
        rest_s = r.choice((75.0, 90.0, 120.0, 180.0))
        for number, one in enumerate(fillers_of(day, rest_s=rest_s)):
            if one is None:
                continue
            other = catalogue().get(one.exercise)
            for near in day[max(0, number - 1) : number + 2]:
                assert interference(catalogue().get(near), other, other.mode == "carry") < MOST, (SEED, day, one)
            assert work_s(one, other) + 2 * WALK_S + LEFT_OVER_S <= rest_s + 1e-9, (SEED, day, one)
            assert one.why
            count += 1

    assert count > 50


@pytest.mark.parametrize("limit", ["elbow is sore", "knee is sore", "shoulder is sore", "back is sore", "no kneeling"])
def test_a_filler_passes_every_gate_and_a_sore_joint_works_only_as_wanted(limit: str) -> None:
    rule = parse_restriction(limit)
    person = replace(PERSON, restrictions=(rule,))

    for one in fillers_of(("leg_press", "row_chest", "hip_thrust"), person):
        assert one is not None
        other = catalogue().get(one.exercise)
        assert judge(other, (rule,), TOKENS, person).allowed
        at_joint = any(use.joint == rule.joint and use.role != "held" for use in other.actions)
        assert rule.level == "hard" or not at_joint or other.mode in ("isometric", "carry")


def test_wanted_holds_come_first_then_goals_of_range() -> None:
    sore = replace(PERSON, restrictions=(parse_restriction("elbow is sore"),), goals=(Goal("range", "hip-flexion"),))

    first, *others = fillers_of(("leg_press", "leg_curl_lying", "calf_seated"), sore)

    assert first is not None and catalogue().get(first.exercise).mode in ("isometric", "carry")
    assert "wants kept" in first.why
    goals = [one for one in others if one is not None and "goal" in one.why]
    assert goals and all(moves(catalogue().get(one.exercise), "hip-flexion") for one in goals)


def test_a_range_that_a_lift_of_the_day_asks_for_goes_before_the_least_worked_joint() -> None:
    stiff = replace(PERSON, range_measures=(RangeMeasure(date(2026, 9, 1), "shoulder-flexion", 130.0),))

    one = fillers_of(("leg_press", "leg_curl_lying", "ohp_bb"), stiff)[0]

    assert one is not None and "short of what the barbell overhead press asks" in one.why
    assert moves(catalogue().get(one.exercise), "shoulder-elevation")


@pytest.mark.parametrize("wish", ["goal", "brief"])
def test_calves_are_worked_in_rests_only_where_they_are_wanted(wish: str) -> None:
    day = ("bench_bb", "row_cable", "lat_raise")
    person = replace(PERSON, goals=(Goal("size", "calf"),)) if wish == "goal" else PERSON

    wanted = fillers_of(day, person, wished=("calf",) if wish == "brief" else ())
    plain = fillers_of(day)

    assert any(one is not None and is_calf_raise(catalogue().get(one.exercise)) for one in wanted)
    assert not any(one is not None and is_calf_raise(catalogue().get(one.exercise)) for one in plain)


@pytest.mark.parametrize("day", [LIFTS[:5], LIFTS[3:8], ("bench_bb", "row_db", "pushdown", "face_pull", "lat_raise")])
def test_two_or_three_fillers_take_turns_over_a_day(day: tuple[str, ...]) -> None:
    made = [one.exercise for one in fillers_of(day) if one]

    assert len(made) >= 4
    assert 2 <= len({catalogue().get(slug).base for slug in made}) <= 3


def test_a_short_rest_stays_empty_and_a_tight_one_gets_fewer_repetitions() -> None:
    assert fillers_of(("bench_bb",), rest_s=60.0) == [None]
    tight, wide = (fillers_of(("bench_bb",), rest_s=rest_s)[0] for rest_s in (80.0, 180.0))
    assert tight is not None and wide is not None and tight.reps and wide.reps
    assert tight.reps[1] * (2 if tight.per_side else 1) <= wide.reps[1] * (2 if wide.per_side else 1)


def test_who_may_not_stand_is_asked_for_nothing_on_the_feet() -> None:
    rules = tuple(Restriction(joint, joint, level="none") for joint in ("hip", "knee", "ankle"))
    person = replace(PERSON, restrictions=rules)

    pool = open_fillers(catalogue(), rules, TOKENS, person)
    made = fillers_of(("bench_db", "curl_db"), person)

    assert pool.open_ones
    for one in made:
        if one is not None:
            assert catalogue().get(one.exercise).body_position == "sit" or one.why.endswith("Do it sitting.")


def test_a_rest_grows_only_as_far_as_a_whole_turn_needs_and_minutes_allow() -> None:
    """Two sides of six repetitions of 4 s are 48 s, there and back 20 s, free 30 s: 98 s, so 100 s."""
    drill = catalogue().get("knee_to_wall")

    longer = lengthened_rest(90.0, 4, drill, 60.0)

    assert longer is not None and longer.rest_s == 100.0 and longer.extra_s == 30.0
    assert "10 s longer" in longer.why
    assert lengthened_rest(90.0, 4, drill, 29.0) is None  # no time for three rests of 10 s more
    assert lengthened_rest(120.0, 4, drill, 600.0) is None  # it fits already
    assert lengthened_rest(60.0, 4, drill, 600.0) is None  # more than half as long again
    assert lengthened_rest(90.0, 1, drill, 600.0) is None  # no rest between sets


def test_only_filler_that_was_asked_for_lengthens_a_rest() -> None:
    work = PlannedSet("work", reps=(8, 10), rest_s=90.0)
    entry = Entry("bench_bb", (work, work, work), "", filler=Filler("knee_to_wall", reps=(3, 4), per_side=True))
    keen = replace(PERSON, goals=(Goal("range", "ankle-dorsiflexion"),))

    plain, none_s = with_longer_rests(entry, catalogue(), open_fillers(catalogue(), (), TOKENS, PERSON), 120.0)
    made, taken_s = with_longer_rests(entry, catalogue(), open_fillers(catalogue(), (), TOKENS, keen), 120.0)

    assert plain == entry and none_s == 0.0
    assert [one.rest_s for one in made.sets] == [100.0] * 3 and taken_s == 20.0
    assert made.filler is not None and made.filler.reps == (5, 6)
    written = replace(entry, written="bench 3 x 8-10, rest 90 s")
    assert with_longer_rests(written, catalogue(), open_fillers(catalogue(), (), TOKENS, keen), 120.0) == (written, 0.0)


def test_an_entry_of_the_warm_up_stands_before_the_first_lift_only() -> None:
    day = [catalogue().get(slug) for slug in ("back_squat", "bench_bb")]

    assert around_of(day, -5).before is None and around_of(day, -5).after is None
    last_drill = around_of(day, -1)
    assert last_drill.before is None and last_drill.after is not None and last_drill.after.slug == "back_squat"
