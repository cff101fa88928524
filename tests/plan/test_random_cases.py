"""Every hard rule on every plan: random people, places, restrictions and briefs against an independent checker.

``python tests/plan/case_runs.py whole 21`` prints what one case breaks, and the smallest case that still breaks it.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from case_runs import failures, run
from made_block import BRIEF, GYM, PERSON, estimates_of
from random_people import case_of

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.load import catalogue
from setwright.catalogue.store import Catalogue
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import Restriction
from setwright.plan.design import design_block
from setwright.plan.filler import filler_for

SMALL, WHOLE = 200, 2000
STEP = 20


def hard_failures(first: int, is_small: bool) -> list[str]:
    found = failures(range(first, first + STEP), is_small)
    return [line for _, line in found]


@pytest.mark.parametrize("first", range(0, SMALL, STEP))
def test_small_random_cases_keep_every_hard_rule(first: int) -> None:
    found = hard_failures(first, is_small=True)

    assert not found, "\n".join(found)


@pytest.mark.long
@pytest.mark.parametrize("first", range(0, WHOLE, STEP))
def test_whole_random_cases_keep_every_hard_rule(first: int) -> None:
    found = hard_failures(first, is_small=False)

    assert not found, "\n".join(found)


@pytest.mark.parametrize("seed", [3, 27])
def test_a_random_case_gives_the_same_bytes_again(seed: int) -> None:
    first, again = run(case_of(seed, is_small=True)), run(case_of(seed, is_small=True))

    assert first.data or first.refusal
    assert (first.data, first.refusal) == (again.data, again.refusal)


@pytest.mark.long
@pytest.mark.parametrize("seed", [49, 59, 60, 68, 84])
def test_a_refusal_gives_a_true_reason(seed: int) -> None:
    found = [one for one in run(case_of(seed)).breaches if one.rule == "no plan"]

    assert not found, "\n".join(str(one) for one in found)


@pytest.mark.parametrize("kind", ["warm-up", pytest.param("wanted", marks=pytest.mark.long)])
def test_what_the_brief_leaves_out_is_on_no_sheet(kind: str) -> None:
    sore = replace(PERSON, restrictions=(parse_restriction("elbow is sore"),))
    brief = replace(BRIEF, skill=None, lifts=())

    def planned(exclude: tuple[str, ...]) -> set[str]:
        given = replace(brief, exclude=exclude)
        block = design_block(sore, (GYM,), given, catalogue(), estimates_of(sore), limit=0.1)
        return {
            entry.exercise
            for week in block.weeks
            for session in week.sessions
            for part in session.parts
            for entry in part.entries
            if (part.part == "warm-up" if kind == "warm-up" else "restriction wants" in entry.why)
        }

    usual = planned(())

    assert not usual or not planned(tuple(sorted(usual))) & usual


def test_a_filler_is_open_as_it_stands_on_the_sheet() -> None:
    """The gates open a curl hold against the own hand on the right side only; the filler has no side to say."""
    elbow = Restriction("elbow", "elbow", "left", max_angles={"elbow-flexion": 45.0}, wanted=("holds",))
    known = Catalogue({slug: catalogue().get(slug) for slug in ("leg_press", "curl_hold_self")})
    person = replace(PERSON, restrictions=(elbow,))

    found = filler_for(known.get("leg_press"), 180.0, known, (elbow,), expand_tokens(GYM.tokens()), person)

    assert found is None
