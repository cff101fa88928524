"""The gates and the loads against the checker's own law, on every exercise: random limits and rooms, no solver."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest
from case_runs import stress_of
from exercise_facts import all_facts
from hard_loads import buildable, grams, wrong_load
from hard_restrictions import can_be_set_up, closed_by_person, crossed, there
from made_block import PERSON, START
from random_people import some_place, some_restriction

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.load import catalogue
from setwright.dose.implements import loads_in
from setwright.people.screening import without_expired
from setwright.people.trainee import Restriction, Screening
from setwright.plan.gates import judge

LIMITS, MANY_LIMITS, ROOMS = 150, 4070, 40


def slips_through(seed: int) -> list[str]:
    """Exercises that the gates open under the random limits of a seed although the law closes them."""
    r = Random(f"limits {seed}")
    rules = tuple(some_restriction(r, f"rule{index}") for index in range(r.choice((1, 1, 2))))
    person = replace(
        PERSON,
        restrictions=rules,
        back_trouble=r.random() < 0.2,
        screening=Screening(True, pregnant=r.random() < 0.2),
    )
    place = some_place(r, "place")
    tokens, in_force = expand_tokens(place.tokens()), without_expired(person, START)
    found = []
    for exercise in catalogue().values():
        verdict = judge(exercise, in_force.restrictions, tokens, in_force)
        if not verdict.allowed:
            continue
        one, dials = all_facts()[exercise.slug], {**exercise.dials, **verdict.dials}
        stress = stress_of(exercise.slug, dials)
        wrong = [what for rule in rules for what in crossed(one, rule, dials, stress, START)]
        wrong += closed_by_person(one, person)
        wrong += [] if can_be_set_up(one, there(place)) else ["equipment"]
        found += [f"limits {seed}: {exercise.slug} {dials}: {what} {rules}" for what in wrong]
    return found


def test_the_gates_let_nothing_through_that_random_limits_close() -> None:
    found = [line for seed in range(LIMITS) for line in slips_through(seed)]

    assert not found, "\n".join(found[:20])


def test_less_range_at_one_joint_opens_nothing_at_another() -> None:
    """A squat that is kept shallow for the knee is no short-range work of a back that may carry nothing."""
    back = Restriction("back", "trunk", level="none", positions=("deep-squat",), wanted=("short-range",))

    verdict = judge(catalogue().get("goblet_squat"), (back,), expand_tokens({"dumbbell"}), PERSON)

    assert not verdict.allowed


@pytest.mark.long
@pytest.mark.parametrize("first", range(LIMITS, MANY_LIMITS, 490))
def test_the_gates_let_nothing_through_that_many_random_limits_close(first: int) -> None:
    found = [line for seed in range(first, first + 490) for line in slips_through(seed)]

    assert not found, "\n".join(found[:20])


def test_every_load_of_a_random_room_can_be_built_from_what_is_counted() -> None:
    wrong, seen = [], 0
    for seed in range(ROOMS):
        place = some_place(Random(f"room {seed}"), "place")
        for exercise in catalogue().values():
            one = all_facts()[exercise.slug]
            if not can_be_set_up(one, there(place)):
                continue
            built = buildable(one, place)
            for option in loads_in(place, exercise):
                seen += 1
                planned = {"load_kg": option.load_kg, "pieces": option.pieces}
                what = "not built" if grams(option.load_kg) not in built else ""
                if what or (seen % 7 == 0 and (what := wrong_load(one, planned, place))):
                    wrong.append(f"room {seed}: {exercise.slug} {option.load_kg} {option.pieces!r}: {what}")

    assert seen > 10_000 and not wrong, "\n".join(wrong[:20])
