"""Conditioning that a brief asks for in shorthand, in a designed block. Referee beside each check."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from conditioning_floor import GYM
from made_block import BRIEF, PERSON, START, estimates_of

from setwright.catalogue.load import catalogue
from setwright.faults import InputFaults
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import Trainee, TrainingDay
from setwright.plan.block import Block, Entry
from setwright.plan.brief import Brief, ConditioningWish
from setwright.plan.brief_file import read_brief
from setwright.plan.design import design_block
from setwright.plan.gates import judge
from setwright.plan.weeks import week_shapes
from setwright.plan.wished_bouts import wished_bouts

DAYS = (TrainingDay("mon", 60, "gym"), TrainingDay("wed", 60, "gym"), TrainingDay("sat", 60, "gym"))
MIX = ConditioningWish("as many rounds as possible in 10 min: 10 kettlebell swings, 8 push-ups, 200 m run")
RIDE = ConditioningWish("bike 20 min so that you can talk in whole sentences", days=("sat",))
ASKS = replace(BRIEF, days_a_week=3, skill=None, conditioning="none", bouts=(MIX, RIDE))


def parts_of(brief: Brief, person: Trainee = PERSON) -> tuple[tuple[Entry, ...], ...]:
    shapes = week_shapes(brief, person.weeks_off, True)
    return wished_bouts(catalogue(), person, brief, DAYS, {"gym": GYM}, shapes).by_day  # type: ignore[return-value]


@cache
def designed() -> Block:
    person = replace(PERSON, days=DAYS)
    return design_block(person, (GYM,), ASKS, catalogue(), estimates_of(person), limit=0.5)


def test_a_bout_stands_on_the_days_that_the_brief_names() -> None:
    by_day = parts_of(ASKS)

    assert [[one.exercise for one in day] for day in by_day] == [["kb_swing", "pushup", "run"], [], ["bike"]]


def test_a_bout_without_a_day_takes_free_days_as_far_apart_as_they_go() -> None:
    by_day = parts_of(replace(ASKS, bouts=(RIDE, replace(MIX, times_a_week=2))))

    assert [bool(day) for day in by_day] == [True, True, True]
    assert [one.exercise for one in by_day[2]] == ["bike"]


def test_a_movement_of_a_brief_passes_the_same_gates_as_strength_work() -> None:
    """Referee: the gate itself, asked of every movement that stands there."""
    person = replace(PERSON, restrictions=(parse_restriction("no impact on the knee"),))
    movements = [one for day in parts_of(ASKS, person) for one in day]

    assert "run" not in [one.exercise for one in movements] and len(movements) == 4
    for one in movements:
        exercise = catalogue().get(one.exercise)
        assert judge(exercise, person.restrictions, frozenset(), dials=one.dials, ignore_equipment=True).allowed


@pytest.mark.long
def test_a_designed_block_holds_the_bouts_within_its_minutes() -> None:
    block = designed()
    found = {
        (session.day, entry.exercise)
        for session in block.weeks[0].sessions
        for part in session.parts
        for entry in part.entries
        if entry.bout is not None
    }

    assert {exercise for _, exercise in found} == {"kb_swing", "pushup", "run", "bike"} and ("sat", "bike") in found
    assert all(session.minutes <= 60 + 1e-6 for week in block.weeks for session in week.sessions)


FILE = """
id = "engine"
weeks = 4
days_a_week = 3
minutes = 60
start = 2026-09-07
[[bouts]]
{}
"""


def test_the_brief_file_reads_a_bout_in_shorthand() -> None:
    found = read_brief(FILE.format('work = "rower 6 x 500 m, rest 2 min"\ndays = ["sat"]'), "brief.toml")

    assert found.bouts == (ConditioningWish("rower 6 x 500 m, rest 2 min", 1, ("sat",)),)
    assert found.start == START


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        ('work = "AMRAP: 10 push-ups"', "bouts[1].work: found 'AMRAP'"),
        ('work = "back squat 3 x 5"', "bouts[1].work: found 'back squat 3 x 5'; allowed: bouts of conditioning"),
        ('work = "bike 20 min, 150 watts"\ndays = ["someday"]', "bouts[1].days[1]: found 'someday'"),
        ("times_a_week = 1", "bouts[1].work: found nothing"),
    ],
)
def test_a_bout_that_cannot_be_read_is_one_clear_fault(lines: str, expected: str) -> None:
    with pytest.raises(InputFaults) as caught:
        read_brief(FILE.format(lines), "brief.toml")

    assert expected in str(caught.value) and len(caught.value.faults) == 1
