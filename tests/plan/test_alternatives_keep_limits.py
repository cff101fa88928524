"""Alternatives under every limit: no gate crossed, the same answer twice, reasons said, numbers that add up.

Referee for the gates: ``hard_restrictions``, the checker's own reading, which shares nothing with the planner. The
quick suite asks a seeded sample; ``-m long`` asks for every exercise under every limit.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from datetime import date
from functools import cache
from itertools import product

import pytest
from exercise_facts import all_facts
from hard_restrictions import crossed

from setwright.catalogue.derive import joint_stress
from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.load import catalogue
from setwright.people.trainee import Restriction
from setwright.plan.alternatives import StandIns, stand_ins
from setwright.plan.gates import judge
from setwright.plan.likeness import total

SEED = 20260907
ON = date(2026, 9, 7)
EVERYTHING = {token for one in catalogue().values() for option in one.equipment for token in option}
PLACES = (
    EVERYTHING,
    {"dumbbell", "bench", "step", "band"},
    {"cable", "machine:leg_press", "machine:leg_curl", "bike", "treadmill", "sled"},
    {"towel", "door", "chair_bench"},
    set(),
)
JOINTS = (
    "hip",
    "knee",
    "ankle",
    "trunk",
    "scapula",
    "shoulder",
    "elbow",
    "forearm",
    "wrist",
    "fingers",
    "neck",
    "toes",
)
POSITIONS = (
    *("bar-on-back", "front-rack", "grip", "hang", "hands-overhead", "weight-on-hands"),
    *("arm-behind-body", "kneeling", "deep-squat", "load-at-hips"),
)
LIMITS = (
    *(("knee-flexion", 60.0), ("hip-flexion", 90.0), ("shoulder-elevation", 90.0), ("elbow-flexion", 100.0)),
    *(("ankle-dorsiflexion", 15.0), ("wrist-extension", 30.0), ("shoulder-external-rotation", 30.0)),
)


@cache
def single_restrictions() -> tuple[Restriction, ...]:
    """Every joint at every level, with and without wanted work and one side; each position; ranges; backs; grips."""
    found = [Restriction("r", joint, level=level) for joint in JOINTS for level in ("none", "light", "moderate")]  # type: ignore[arg-type]
    found += [Restriction("r", joint, level="none", wanted=("holds",)) for joint in JOINTS]
    found += [Restriction("r", joint, level="light", wanted=("short-range", "carries")) for joint in JOINTS]
    found += [Restriction("r", joint, side="left", level="light") for joint in ("knee", "elbow", "shoulder", "ankle")]
    found += [Restriction("r", "shoulder", level="hard", positions=(position,)) for position in POSITIONS]  # type: ignore[arg-type]
    found += [
        Restriction("r", motion.split("-")[0], level="hard", max_angles={motion: most}) for motion, most in LIMITS
    ]
    found += [Restriction("r", "trunk", level="hard", spine=(shape,)) for shape in ("flexed", "rotating")]
    found += [Restriction("r", "fingers", level="hard", grip_max=most) for most in (0, 1, 2)]
    found += [Restriction("r", "ankle", level="hard", impact_max=most) for most in (0, 1, 2)]
    return tuple(found)


def crossings(answer: StandIns, rule: Restriction) -> list[str]:
    """What the checker's own reading finds wrong in the open rows of an answer."""
    found = []
    for row in answer.rows:
        if not row.excluded:
            exercise = catalogue().get(row.exercise)
            dials = {**exercise.dials, **row.dials}
            found += crossed(all_facts()[row.exercise], rule, dials, joint_stress(exercise, dials), ON)
    return found


def check_answers(cases: Sequence[tuple[str, Restriction, frozenset[str]]]) -> int:
    """Checks every law on every case; how many open rows there were."""
    rows = 0
    for slug, rule, place in cases:
        case = f"seed {SEED}: {slug}, {rule}, {len(place)} tokens"
        answer = stand_ins(slug, catalogue(), place, [rule], n=8, include_excluded=True)
        assert crossings(answer, rule) == [], case
        open_rows = [row for row in answer.rows if not row.excluded]
        assert [row.likeness for row in open_rows] == sorted((row.likeness for row in open_rows), reverse=True), case
        for row in open_rows:
            assert row.kept and row.lost, case
            assert row.parts and row.likeness == total(row.parts), (case, row)
            options = catalogue().get(row.exercise).equipment
            assert not options or any(option <= place for option in options), case
        assert all(row.why for row in answer.rows if row.excluded), case
        if answer.nothing_good:
            assert answer.ways and all(way.open_ones or way.why_none for way in answer.ways), case
        rows += len(open_rows)
    return rows


def test_a_sample_of_answers_keeps_every_limit() -> None:
    r = random.Random(SEED)
    places = [expand_tokens(place) for place in PLACES]
    slugs = sorted(catalogue().exercises)
    cases = [(r.choice(slugs), r.choice(single_restrictions()), r.choice(places)) for _ in range(120)]

    assert check_answers(cases) > 250


def test_the_same_question_has_the_same_answer() -> None:
    rule = Restriction("r", "shoulder", level="light", wanted=("holds",))

    first, second = (stand_ins("ohp_bb", catalogue(), None, [rule], include_excluded=True) for _ in range(2))

    assert first.rows and first == second


@pytest.mark.long
@pytest.mark.parametrize("place", range(len(PLACES)))
def test_no_exercise_that_is_open_under_a_limit_crosses_it(place: int) -> None:
    """What is open does not hang on the target: so this is every target x every limit x every place at once."""
    tokens = expand_tokens(PLACES[place])
    open_ones = 0
    for slug, rule in product(sorted(catalogue().exercises), single_restrictions()):
        exercise = catalogue().get(slug)
        verdict = judge(exercise, [rule], tokens)
        if verdict.allowed:
            dials = {**exercise.dials, **verdict.dials}
            wrong = crossed(all_facts()[slug], rule, dials, joint_stress(exercise, dials), ON)
            assert wrong == [], (slug, rule, wrong)
            open_ones += 1
        else:
            assert verdict.reasons and all(verdict.reasons), (slug, rule)

    assert open_ones > 1000


@pytest.mark.long
@pytest.mark.parametrize("share", range(8))
def test_every_exercise_under_every_limit_has_an_honest_answer(share: int) -> None:
    """Every target under every limit, the places in turn, in eight shares."""
    places = [expand_tokens(place) for place in PLACES]
    every = list(product(sorted(catalogue().exercises), single_restrictions()))[share::8]
    cases = [(slug, rule, places[number % len(places)]) for number, (slug, rule) in enumerate(every)]

    assert check_answers(cases) > len(cases) / 2
