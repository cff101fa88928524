"""What coaches call a muscle group is understood in briefs and goals, whatever its capitals.

Referee: the Latin names of the groups (Terminologia Anatomica); which word means which muscle: common practice, no
published source.
"""

from __future__ import annotations

import pytest

from setwright.body.anatomy import TRADE_WORDS, muscle_groups, muscle_named
from setwright.catalogue.load import catalogue
from setwright.faults import InputFaults
from setwright.people.intake import read_goal
from setwright.people.toml_file import Reader
from setwright.plan.brief_file import read_brief
from setwright.plan.demand import muscles_of

HEAD = 'id = "x"\nweeks = 6\ndays_a_week = 2\nminutes = 60\nstart = 2026-09-07\n'
LATIN = {
    "Biceps": "biceps brachii",
    "CALVES": "gastrocnemius",
    "quads": "vastus lateralis",
    "abs": "rectus abdominis",
    "rear delts": "deltoideus",
    "lower back": "erector spinae",
}


@pytest.mark.parametrize("word", LATIN)
def test_a_brief_understands_what_a_coach_calls_a_group(word: str) -> None:
    (found,) = read_brief(f'{HEAD}emphasis = ["{word}"]\n', "brief.toml").emphasis

    assert any(LATIN[word] in muscle_groups()[slug].latin for slug in muscles_of(found))


def test_every_word_names_a_group() -> None:
    rolls = {group.roll_up for group in muscle_groups().values()}

    assert {muscle_named(word) for word in TRADE_WORDS} <= {*muscle_groups(), *rolls}


def test_a_goal_and_an_own_rule_understand_it_too() -> None:
    goal = read_goal(Reader({"kind": "size", "about": "Side delts"}, "anna.toml", "goals[1]", []), catalogue())
    rule = '[[own_rules]]\nsays = "Arms"\nkind = "at-least-sets"\nmuscle = "Biceps"\nsets = 6\n'

    assert goal is not None and goal.about == "delt_lateral"
    assert read_brief(HEAD + rule, "brief.toml").own_rules[0].muscle == "elbow_flexors"


def test_a_word_for_no_muscle_is_a_fault_with_the_nearest() -> None:
    with pytest.raises(InputFaults, match="bicepz"):
        read_brief(f'{HEAD}emphasis = ["bicepz"]\n', "brief.toml")
