"""Find your load: safe steps and a stop rule, in loads that the place has."""

from __future__ import annotations

import sys
from datetime import date
from itertools import pairwise
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "publish"))
from made_block import GYM, PERSON

from setwright.catalogue.load import catalogue
from setwright.dose.first_session import LOWER_STEP, MOST_LOADS, UPPER_STEP, FirstSession, find_your_load
from setwright.dose.implements import loads_in
from setwright.strength.estimates import estimate_lifts
from setwright.strength.logged import Log

ON = date(2026, 9, 7)
KNOWN = estimate_lifts(PERSON, catalogue(), PERSON.baselines, Log(), ON)


def found(slug: str, reps: int = 6, rir: float = 2.0, cap_kg: float | None = None) -> FirstSession:
    made = find_your_load(KNOWN.for_exercise(slug), catalogue().get(slug), GYM, reps, rir, cap_kg)
    assert made is not None
    return made


@pytest.mark.parametrize(
    ("slug", "step"), [("front_squat", LOWER_STEP), ("leg_press", LOWER_STEP), ("ohp_bb", UPPER_STEP)]
)
def test_steps_are_those_of_the_published_protocol(slug: str, step: float) -> None:
    """Referee: NSCA 1RM protocol (seen): 5 to 10 % for the upper body, 10 to 20 % for the lower, found in 3 to 5."""
    loads = [one.load_kg for one in found(slug).loads]

    assert 3 <= len(loads) <= MOST_LOADS
    assert loads == sorted(set(loads))
    for low, high in pairwise(loads):
        assert high <= low * (1 + step) + 1e-9


def test_every_load_can_be_built_here() -> None:
    there = {one.load_kg for one in loads_in(GYM, catalogue().get("front_squat"))}

    assert {one.load_kg for one in found("front_squat").loads} <= there


def test_the_first_load_is_safe_and_each_next_less_sure() -> None:
    chances = [one.chance for one in found("front_squat").loads]

    assert chances[0] >= 0.9
    assert chances == sorted(chances, reverse=True) and chances[-1] < 0.5


def test_no_load_crosses_a_cap() -> None:
    assert max(one.load_kg for one in found("front_squat", cap_kg=60.0).loads) <= 60.0


def test_the_stop_rule_names_the_reserve_the_form_and_pain() -> None:
    rule = found("leg_press", rir=3.0).stop_rule()

    assert "leaves 3 or fewer" in rule and "form" in rule and "hurts" in rule


def test_a_cap_below_every_load_leaves_no_first_session() -> None:
    exercise = catalogue().get("front_squat")

    assert find_your_load(KNOWN.for_exercise("front_squat"), exercise, GYM, 6, 2.0, cap_kg=1.0) is None
