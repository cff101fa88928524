"""A coach's own rules of order and rest are planned by, not only checked.

Referees: the independent checker of hard rules (``hard_rules``), and the check of own rules on the block as it stands.
"""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from case_runs import stress_of
from hard_rules import Given, check_block
from made_block import BRIEF, GYM, PERSON, estimates_of

from setwright.catalogue.load import catalogue
from setwright.people.trainee import TrainingDay
from setwright.plan.block import Block
from setwright.plan.brief import RuleSetting
from setwright.plan.design import design_block
from setwright.plan.own_order import in_own_order
from setwright.plan.own_rules import OwnRule
from setwright.plan.template import Scheme, TemplateEntry
from setwright.publish.block_file import block_to_json

ROWS_FIRST = OwnRule("own-1", "Rows before presses.", "before", what="pull_horizontal", then="push_horizontal")
LONG_RESTS = OwnRule("own-2", "Nobody hurries here.", "rest-at-least", rest_s=150.0)


def designed(*rules: OwnRule) -> Block:
    brief = replace(BRIEF, own_rules=rules)
    return design_block(PERSON, (GYM,), brief, catalogue(), estimates_of(), limit=0.3)


def broken(block: Block) -> list[str]:
    return [one.rule for one in block.unmet if one.rule.startswith("own-")]


@pytest.mark.parametrize("weight", [1.0, pytest.param(0.0, marks=pytest.mark.long)])
def test_a_designed_block_keeps_the_order_and_the_rest_that_the_coach_asks(weight: float) -> None:
    rules = (replace(ROWS_FIRST, weight=weight), replace(LONG_RESTS, weight=weight))
    block = designed(*rules)

    given = Given(PERSON, (GYM,), block.inputs.brief, stress_of)
    rests = [
        one.rest_s
        for week in block.weeks
        for session in week.sessions
        for part in session.parts
        if part.part in ("main", "skill", "assistance", "finisher")
        for entry in part.entries
        for one in entry.sets
        if one.kind != "ramp"
    ]
    assert not check_block(json.loads(block_to_json(block)), given)
    assert bool(broken(block)) is (weight == 0)  # what weighs nothing is told of, not planned by
    assert (min(rests) >= 150.0) is (weight > 0)


@pytest.mark.parametrize(("weight", "apart"), [pytest.param(0.0, False, marks=pytest.mark.long), (3.0, True)])
def test_hard_days_of_a_muscle_get_the_free_days_that_the_coach_asks(weight: float, apart: bool) -> None:
    """Monday, Tuesday and Thursday; the chest is hard from two counted sets on."""
    days = tuple(TrainingDay(day, 60, "gym") for day in ("mon", "tue", "thu"))
    rule = OwnRule("own-1", "A day off.", "days-between", muscle="chest", days_between=1, sets=2.0, weight=weight)
    alone = (RuleSetting("X07", "This rule is tried alone.", off=True),)
    brief = replace(BRIEF, days_a_week=3, skill=None, own_rules=(rule,), rules=alone)

    block = design_block(replace(PERSON, days=days), (GYM,), brief, catalogue(), estimates_of(), limit=0.5)

    assert (not broken(block)) is apart


def entry(exercise: str, part: str, superset: str | None = None) -> TemplateEntry:
    return TemplateEntry(exercise, part, (Scheme("straight", 2, reps=(8, 10)),), "", superset=superset)  # type: ignore[arg-type]


def order(*entries: TemplateEntry, rules: tuple[OwnRule, ...] = (ROWS_FIRST,)) -> list[tuple[str, str, str | None]]:
    done = in_own_order(entries, replace(BRIEF, own_rules=rules), catalogue())
    return [(one.exercise, one.part, one.superset) for one in done]


def test_what_moves_forward_comes_into_the_earlier_part() -> None:
    found = order(entry("back_squat", "main"), entry("bench_bb", "main"), entry("row_cable", "assistance"))

    assert found == [("back_squat", "main", None), ("row_cable", "main", None), ("bench_bb", "main", None)]


def test_a_superset_moves_as_one_and_turns_where_it_holds_both() -> None:
    found = order(
        entry("bench_bb", "main", "A"),
        entry("row_cable", "main", "A"),
        entry("pushup", "assistance"),
        entry("row_db", "assistance", "B"),
        entry("er_cable", "assistance", "B"),
    )

    names = [one[0] for one in found]
    assert names[:2] == ["row_db", "er_cable"] and names.index("row_cable") < names.index("bench_bb")
    assert len({one[2] for one in found[:2]}) == 1 and found[0][2] is not None


def test_two_rules_that_contradict_each_other_end_and_the_last_holds() -> None:
    other = OwnRule("own-3", "Presses before rows.", "before", what="push_horizontal", then="pull_horizontal")

    found = order(entry("bench_bb", "main"), entry("row_cable", "main"), rules=(ROWS_FIRST, other))

    assert [one[0] for one in found] == ["bench_bb", "row_cable"]


def test_a_warm_up_stays_where_it_is() -> None:
    found = order(entry("bench_bb", "main"), entry("row_cable", "loaded-mobility"))

    assert [one[0] for one in found] == ["bench_bb", "row_cable"]
