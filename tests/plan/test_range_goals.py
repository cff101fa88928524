"""Goals of range: which entry, how long at end range, how it grows. Referees: published doses."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from made_block import BRIEF, GYM, PERSON, START, estimates_of, with_person

from setwright.body.range_of_motion import trained_by
from setwright.catalogue.load import catalogue
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import Goal, RangeMeasure, Trainee, TrainingDay
from setwright.plan.block import Block, Entry
from setwright.plan.design import design_block
from setwright.plan.fixed_parts import mobility_part
from setwright.plan.range_goals import phases, range_wishes, time_of, weekly_schemes
from setwright.plan.template import TemplateEntry
from setwright.plan.weeks import week_shapes
from setwright.publish.block_file import block_to_json

LONG = replace(BRIEF, weeks=8, lifts=(), skill=None)
SHAPES = week_shapes(LONG)


def goal(about: str, **facts: object) -> Goal:
    return replace(Goal("range", about, 1), **facts)  # type: ignore[arg-type]


def parts(person: Trainee, days: int = 2) -> list[TemplateEntry]:
    made = mobility_part(catalogue(), person, LONG, [GYM] * days, SHAPES)
    return [entry for day in made.by_day for entry in day]


@cache
def designed() -> Block:
    person = with_person(goals=(goal("hip-flexion-straight"),))
    return design_block(person, (GYM,), LONG, catalogue(), estimates_of(person), limit=0.2)


def mobility(block: Block) -> list[tuple[int, Entry]]:
    return [
        (week.number, entry)
        for week in block.weeks
        for session in week.sessions
        for part in session.parts
        if part.part == "loaded-mobility"
        for entry in part.entries
    ]


@pytest.mark.parametrize("about", ["hip-abduction", "shoulder-flexion", "knee-to-wall", "straight-leg-raise", "hip"])
def test_a_goal_of_range_is_served_by_what_trains_it_on_every_day(about: str) -> None:
    wishes = range_wishes(with_person(goals=(goal(about),)))
    found = parts(with_person(goals=(goal(about),)), 3)

    assert wishes and len(found) == 3
    for day, entry in enumerate(found):
        assert entry.exercise in trained_by(wishes[day % len(wishes)].motion)
        assert "Your goal" in entry.why and "never a sharp one" in entry.why


def test_what_can_be_loaded_goes_first() -> None:
    """Referee: Alizadeh 2023: range grew with resistance training, except with body mass alone."""
    (entry, *_) = parts(with_person(goals=(goal("ankle-dorsiflexion"),)))
    without = replace(GYM, dumbbells=(), plates=(), bars=())
    bare = mobility_part(catalogue(), with_person(goals=(goal("ankle-dorsiflexion"),)), LONG, [without], SHAPES).by_day[
        0
    ]

    assert catalogue().get(entry.exercise).load_means != "body"
    assert bare[0].exercise == "deep_squat_hold_bw" and "Without a load" in bare[0].why


def test_time_grows_first_then_range_then_load() -> None:
    assert phases(8, True) == ("time",) * 4 + ("range",) * 2 + ("load",) * 2
    assert phases(3, True) == ("time",) * 3
    hold = weekly_schemes(catalogue().get("deep_squat_hold"), SHAPES, 60, True)
    building = [one for one, shape in zip(hold, SHAPES, strict=True) if shape.kind != "deload"]
    easy = [one for one, shape in zip(hold, SHAPES, strict=True) if shape.kind == "deload"]

    assert [(one.sets, one.hold_s, one.steps_up) for one in building] == [
        (2, 30, 0),
        (3, 30, 0),
        (3, 45, 0),
        (4, 45, 0),
        (4, 45, 0),
        (3, 45, 1),
    ]
    assert easy and all((one.sets, one.hold_s, one.steps_up) == (2, 30, 0) for one in easy)


def test_no_session_holds_a_goal_longer_than_the_published_use() -> None:
    """Referee: Ingram 2024, nothing more was found beyond 4 min a session."""
    for minutes in (30, 60, 120):
        for slug in ("deep_squat_hold", "seated_gm_neutral", "pullover_db"):
            for weeks in (4, 8, 12):
                shapes = week_shapes(replace(LONG, weeks=weeks))
                for scheme in weekly_schemes(catalogue().get(slug), shapes, minutes, True):
                    assert 20 <= time_of(scheme) <= 240


def test_the_load_of_the_last_weeks_is_one_step_up_and_still_light() -> None:
    rows = mobility(designed())
    loads = {week: entry.sets[0].load_kg for week, entry in rows if entry.exercise == "seated_gm_neutral"}

    assert len(loads) == 8 and all(load is not None for load in loads.values())
    values = [load or 0.0 for load in loads.values()]
    assert [value > values[0] for value in values] == [False] * 6 + [True, False]  # week 7; week 8 is easy
    assert max(values) <= 0.12 * PERSON.body_mass_kg


def test_a_range_goal_under_load_no_longer_bends_the_rule_on_it() -> None:
    assert not [one for one in designed().unmet if one.rule == "W05"]


LONG_ONES = [pytest.param(one, marks=pytest.mark.long) for one in ("hip-abduction", "shoulder-elevation")]


@pytest.mark.parametrize("about", ["knee-to-wall", *LONG_ONES])
def test_what_serves_a_goal_counts_for_the_rule_on_it(about: str) -> None:
    person = with_person(goals=(goal(about),))
    block = design_block(person, (GYM,), replace(LONG, weeks=4), catalogue(), estimates_of(person), limit=0.2)

    assert not [one for one in block.unmet if one.rule == "W05"]


def test_the_measured_motion_is_the_one_trained() -> None:
    """A hip goal means the hip with straight knees where the straight-leg raise was measured."""
    person = with_person(
        goals=(goal("hip-flexion"),), range_measures=(RangeMeasure(START, "straight-leg-raise", 62, "deg", "left"),)
    )
    wishes = range_wishes(person)
    entry = parts(person)[0]

    assert [one.motion for one in wishes] == ["hip-flexion-straight"]
    assert "Now 62 degrees (straight-leg raise, left); a change counts from 6.7." in entry.why


def test_the_side_with_less_starts() -> None:
    rows = (
        RangeMeasure(START, "straight-leg-raise", 62, "deg", "left"),
        RangeMeasure(START, "straight-leg-raise", 75, "deg", "right"),
    )
    entry = parts(with_person(goals=(goal("straight-leg-raise", target=80.0, unit="deg"),), range_measures=rows))[0]

    assert "The left side has less: start with it." in entry.why and "Goal 80 degrees." in entry.why


def test_two_goals_take_turns_and_a_third_is_named_as_left_out() -> None:
    goals = (goal("knee-to-wall"), goal("shoulder-elevation", priority=2), goal("hip-abduction", priority=3))
    made = mobility_part(catalogue(), with_person(goals=goals), LONG, [GYM, GYM], SHAPES)

    assert [day[0].exercise for day in made.by_day] == ["deep_squat_hold", "pullover_db"]
    assert [one.wish for one in made.unmet] == ["range: hip abduction"]


def test_a_goal_nothing_trains_is_said() -> None:
    made = mobility_part(catalogue(), with_person(goals=(goal("wrist-extension"),)), LONG, [GYM], SHAPES)

    assert made.by_day[0] and [one.wish for one in made.unmet] == ["range: wrist extension"]


def test_a_restriction_goes_before_a_goal() -> None:
    person = with_person(goals=(goal("shoulder-elevation"),), restrictions=(parse_restriction("nothing overhead"),))
    made = mobility_part(catalogue(), person, LONG, [GYM], SHAPES)

    assert all(entry.exercise != "pullover_db" for day in made.by_day for entry in day)
    assert any("within the limits" in one.why for one in made.unmet)


@pytest.mark.long
def test_a_short_day_keeps_its_goal_with_less_time() -> None:
    days = (TrainingDay("mon", 35, "gym"), TrainingDay("thu", 35, "gym"))
    person = with_person(goals=(goal("hip-abduction"),), days=days)
    brief = replace(LONG, minutes=35, skill="nordic")
    block = design_block(person, (GYM,), brief, catalogue(), estimates_of(person), limit=0.2)

    assert {entry.exercise for _, entry in mobility(block)} <= set(trained_by("hip-abduction"))
    assert mobility(block)
    for week in block.weeks:
        assert all(session.minutes <= 35 + 1e-6 for session in week.sessions)


def test_without_a_goal_of_range_nothing_changes_from_week_to_week() -> None:
    found = parts(PERSON)

    assert found and all(len(set(entry.schemes)) == 1 for entry in found)
    assert all("Your goal" not in entry.why for entry in found)


@pytest.mark.long
def test_the_same_goal_gives_the_same_bytes() -> None:
    person = with_person(goals=(goal("hip-flexion-straight"),))
    again = design_block(person, (GYM,), LONG, catalogue(), estimates_of(person), limit=0.2)

    assert block_to_json(again) == block_to_json(designed())
