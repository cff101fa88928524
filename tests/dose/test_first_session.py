"""Find your load: safe steps and a stop rule, in loads that the place has."""

from __future__ import annotations

import sys
from dataclasses import replace
from datetime import date
from itertools import pairwise
from math import log
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "publish"))
from made_block import GYM, PERSON

from setwright.catalogue.load import catalogue
from setwright.dose.first_session import MOST_LOADS, STEP, FirstSession, find_your_load
from setwright.dose.implements import loads_in
from setwright.strength.estimates import estimate_lifts
from setwright.strength.logged import Log

ON = date(2026, 9, 7)
KNOWN = estimate_lifts(PERSON, catalogue(), PERSON.baselines, Log(), ON)


def found(slug: str, reps: int = 6, rir: float = 2.0, cap_kg: float | None = None) -> FirstSession:
    made = find_your_load(KNOWN.for_exercise(slug), catalogue().get(slug), GYM, reps, rir, cap_kg)
    assert made is not None
    return made


@pytest.mark.parametrize("slug", ["front_squat", "leg_press", "ohp_bb"])
def test_steps_are_the_small_end_of_the_published_protocol(slug: str) -> None:
    """Referee: NSCA 1RM protocol (seen): 5 to 10 % for the upper body, 10 to 20 % for the lower, found in 3 to 5."""
    loads = [one.load_kg for one in found(slug).loads]

    assert 2 <= len(loads) <= MOST_LOADS
    assert loads == sorted(set(loads))
    assert all(high <= low * (1 + STEP) + 1e-9 for low, high in pairwise(loads))


def test_a_step_that_is_allowed_never_asks_for_more_than_can_be_done() -> None:
    """Referee: arithmetic: with k = 0.03 a tenth more load takes ln 1.1 / 0.03 = 3.2 repetitions, less than four."""
    rule = found("front_squat", rir=2.0).stop_rule()

    assert "Go on only where 6 or more were left" in rule
    assert log(1 + STEP) / 0.03 < 4


def test_nobody_begins_with_a_load_that_may_be_too_heavy() -> None:
    """Invented: a frail beginner of 50 kg, to whom the empty bar of 20 kg may be too much."""
    frail = replace(PERSON, birth_year=1950, body_mass_kg=50.0, sex="female", training_years=0.0, baselines=())
    nothing = estimate_lifts(frail, catalogue(), (), Log(), ON)

    assert find_your_load(nothing.for_exercise("ohp_bb"), catalogue().get("ohp_bb"), GYM, 8, 4.0) is None


def test_every_load_can_be_built_here() -> None:
    there = {one.load_kg for one in loads_in(GYM, catalogue().get("front_squat"))}

    assert {one.load_kg for one in found("front_squat").loads} <= there


def test_the_first_load_is_safe_and_each_next_less_sure() -> None:
    chances = [one.chance for one in found("front_squat").loads]

    assert chances[0] >= 0.9
    assert chances == sorted(chances, reverse=True) and 0.2 < chances[-1] < 0.6


def test_no_load_crosses_a_cap() -> None:
    assert max(one.load_kg for one in found("front_squat", cap_kg=60.0).loads) <= 60.0


def test_the_stop_rule_names_the_reserve_the_form_and_pain() -> None:
    rule = found("leg_press", rir=3.0).stop_rule()

    assert "leaves 3 or fewer" in rule and "form" in rule and "hurts" in rule


def test_a_cap_below_every_load_leaves_no_first_session() -> None:
    exercise = catalogue().get("front_squat")

    assert find_your_load(KNOWN.for_exercise("front_squat"), exercise, GYM, 6, 2.0, cap_kg=1.0) is None
