"""Light upper days while the legs are trained hard, and the reverse. Referee beside each check."""

from __future__ import annotations

from dataclasses import replace

import pytest
from conditioning_floor import GYM
from made_block import BRIEF, PERSON, estimates_of

from setwright.catalogue.load import catalogue
from setwright.people.trainee import TrainingDay
from setwright.plan.block import Block
from setwright.plan.brief import Brief, LiftWish
from setwright.plan.brief_file import read_brief
from setwright.plan.demand import week_demand
from setwright.plan.design import design_block
from setwright.plan.halves import LIGHT_RIR, half_of_lift

BIG = replace(BRIEF, days_a_week=3, minutes=90, skill=None, conditioning="none", lifts=())
UPPER_ROWS = {"chest", "lats", "upper back", "side shoulders", "rear shoulders", "elbow flexors", "triceps"}
LEG_ROWS = {"quadriceps", "hamstrings", "glutes", "calves"}


def targets(brief: Brief) -> dict[str, float]:
    bare = replace(PERSON, goals=())
    return {row.roll_up: row.target for row in week_demand(bare, brief, (), catalogue()).muscles}


@pytest.mark.parametrize(
    ("slug", "half"),
    [("back_squat", "legs"), ("deadlift", "legs"), ("bench_bb", "upper"), ("row_cable", "upper"), ("plank", "")],
)
def test_a_lift_belongs_to_the_half_that_it_leads_with(slug: str, half: str) -> None:
    """Referee: common practice, no published source."""
    assert half_of_lift(catalogue().get(slug)) == half


@pytest.mark.parametrize(("hard", "light", "kept"), [("legs", UPPER_ROWS, LEG_ROWS), ("upper", LEG_ROWS, UPPER_ROWS)])
def test_the_light_half_is_asked_no_more_than_keeping_takes(hard: str, light: set[str], kept: set[str]) -> None:
    """Five sets a week. Referee: Pelland 2025 as the rule on keeping has it (tier second-hand)."""
    usual, asked = targets(BIG), targets(replace(BIG, hard_half=hard))  # type: ignore[arg-type]

    assert max(usual[name] for name in light) > 5.0
    assert all(asked[name] <= 5.0 for name in light)
    assert all(asked[name] == usual[name] for name in kept)


def test_what_the_coach_wants_besides_keeps_its_sets() -> None:
    asked = targets(replace(BIG, hard_half="legs", emphasis=("chest",), sets_per_muscle={"lats": 12.0}))

    assert asked["chest"] > 5.0 and asked["lats"] == 12.0


def designed(hard: str) -> Block:
    days = tuple(TrainingDay(day, 60, "gym") for day in ("mon", "wed", "fri"))  # type: ignore[arg-type]
    person = replace(PERSON, days=days, goals=())
    brief = replace(BIG, minutes=60, hard_half=hard, lifts=(LiftWish("bench_bb", (4, 6), 3),))  # type: ignore[arg-type]
    return design_block(person, (GYM,), brief, catalogue(), estimates_of(person), limit=0.5)


@pytest.mark.long
def test_a_designed_block_keeps_the_light_half_easy_and_the_named_lift_as_it_is() -> None:
    block = designed("legs")
    light, hard, named = [], [], []
    for session in block.weeks[2].sessions:
        for part in session.parts:
            if part.part not in ("main", "assistance", "finisher"):
                continue
            for entry in part.entries:
                half = half_of_lift(catalogue().get(entry.exercise))
                rirs = [one.rir for one in entry.working_sets if one.rir is not None]
                rows = named if entry.exercise == "bench_bb" else light if half == "upper" else hard
                rows += rirs

    assert light and hard and named
    assert min(light) >= LIGHT_RIR and min(hard) < LIGHT_RIR and max(named) < LIGHT_RIR


def test_the_brief_file_asks_for_it() -> None:
    text = 'id = "x"\nweeks = 4\ndays_a_week = 3\nminutes = 60\nstart = 2026-09-07\nhard_half = "legs"\n'

    assert read_brief(text, "brief.toml").hard_half == "legs"
