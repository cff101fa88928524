"""What random cases found, each as a small case of its own."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from case_runs import stress_of
from hard_rules import Given, check_block
from made_block import BRIEF, GYM, PERSON, START, estimates_of, made_block
from random_people import SAYINGS

from setwright.catalogue.load import catalogue
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import Clearance, Restriction, Screening, StepReached
from setwright.plan.fixed_parts import skill_part
from setwright.plan.pairing import can_pair
from setwright.plan.restrict import restrict_block
from setwright.plan.template import Scheme
from setwright.plan.weeks import week_shapes
from setwright.publish.block_file import block_to_json

ONE_OF_EACH = [saying.format(side="").strip() for saying in SAYINGS] + ["left knee is sore", "right shoulder is sore"]


@pytest.mark.parametrize("saying", ONE_OF_EACH)
def test_a_later_restriction_leaves_nothing_barred_on_any_sheet(saying: str) -> None:
    """Alternatives that passed only with less range or one side used to stay, as a bare name."""
    rule = replace(parse_restriction(saying), id="later")

    changed = restrict_block(made_block(), rule, catalogue(), estimates_of(), from_week=2)

    given = Given(changed.inputs.trainee, (GYM,), BRIEF, stress_of)
    before = json.loads(block_to_json(made_block()))
    assert [str(one) for one in check_block(json.loads(block_to_json(changed)), given, before, from_week=2)] == []


@pytest.mark.parametrize("level", ["light", "moderate"])
@pytest.mark.parametrize("joint", ["knee", "hip", "ankle", "shoulder", "elbow", "trunk"])
def test_what_still_works_a_sore_joint_becomes_easy(joint: str, level: str) -> None:
    """Referee: decision 0005, point 3: 8 to 12 with 4 left."""
    rule = Restriction("later", joint, level=level)  # type: ignore[arg-type]

    changed = restrict_block(made_block(), rule, catalogue(), estimates_of())

    given = Given(changed.inputs.trainee, (GYM,), BRIEF, stress_of)
    before = json.loads(block_to_json(made_block()))
    assert [str(one) for one in check_block(json.loads(block_to_json(changed)), given, before)] == []


@pytest.mark.parametrize(
    ("facts", "top_rpe", "least_rir"),
    [
        ({"screening": Screening(True, pregnant=True, clearance=Clearance("midwife", START, "all"))}, 6.0, 4.0),
        ({"birth_year": 2014}, 7.0, 3.0),
        ({}, 9.0, 2.0),
    ],
)
def test_skill_work_is_never_harder_than_the_hardest_week(
    facts: dict[str, object], top_rpe: float, least_rir: float
) -> None:
    person = replace(PERSON, **facts)  # type: ignore[arg-type]
    brief = replace(BRIEF, rpe=(6.0, top_rpe))

    made = skill_part(catalogue(), person, brief, (GYM, GYM), week_shapes(brief))

    left = [scheme.rir for day in made.by_day for entry in day for scheme in entry.schemes if scheme]
    assert left and min(one or 0.0 for one in left) == least_rir


def test_skill_work_of_a_sore_joint_is_easy() -> None:
    rule = Restriction("shoulder", "shoulder", level="light")
    person = replace(PERSON, restrictions=(rule,), steps=(StepReached("pushup", 2, START),))

    made = skill_part(catalogue(), person, replace(BRIEF, skill="pushup"), (GYM, GYM), week_shapes(BRIEF))

    schemes = [scheme for day in made.by_day for entry in day for scheme in entry.schemes if scheme]
    assert schemes and all((scheme.rir or 0.0) >= 4.0 for scheme in schemes)


@pytest.mark.parametrize("first_rpe", [4.0, 4.5, 5.0, 6.5])
def test_an_easier_week_is_no_harder_than_a_light_first_one(first_rpe: float) -> None:
    shapes = week_shapes(replace(BRIEF, rpe=(first_rpe, first_rpe)))

    assert shapes[3].kind == "deload" and shapes[3].rpe <= shapes[2].rpe


def test_an_exercise_that_is_left_out_is_no_conditioning_and_no_range_work() -> None:
    from setwright.plan.fixed_parts import conditioning_part, mobility_part

    brief = replace(BRIEF, conditioning="long")
    shapes = week_shapes(brief)
    for part in (conditioning_part, mobility_part):
        usual = {entry.exercise for day in part(catalogue(), PERSON, brief, (GYM, GYM), shapes).by_day for entry in day}
        without = replace(brief, exclude=tuple(sorted(usual)))
        found = {
            entry.exercise for day in part(catalogue(), PERSON, without, (GYM, GYM), shapes).by_day for entry in day
        }
        assert usual and found and not usual & found


def test_plates_that_hang_on_a_bar_are_not_free_for_a_sled() -> None:
    scheme = Scheme("straight", 3, reps=(8, 10), rest_s=120.0)
    place = replace(GYM, fixtures={**GYM.fixtures, "sled": 1, "strap": 1})
    names = ("good_morning", "sled_drag_back")

    first, second = (catalogue().get(name) for name in names)

    assert can_pair(first, second, scheme, scheme, place) == (False, "both need plates on a bar or a sled")
