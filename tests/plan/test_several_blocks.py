"""Several blocks of one trainee: as different as they claim by our own count, near in worth, safe, and repeatable."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from itertools import permutations
from typing import Any

import jsonschema_rs
import pytest
from case_runs import stress_of
from exercise_facts import counted
from hard_rules import Given, check_block
from made_block import BRIEF, GYM, PERSON, estimates_of

from setwright.catalogue.load import catalogue
from setwright.people.place import Place
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import Trainee, TrainingDay
from setwright.plan.brief import Brief
from setwright.plan.design import design_block, get_ready
from setwright.plan.side_by_side import side_of
from setwright.plan.variants import AXES, Axis, Several, design_blocks, split_days, worth_limit
from setwright.publish.block_file import block_to_json
from setwright.publish.schemas import several_schema
from setwright.publish.side_by_side import compared
from setwright.services.comparing import side_by_side_text
from setwright.services.several import several_json

LIMIT = 0.5
FOUR_DAYS = replace(PERSON, days=tuple(TrainingDay(day, 60, "gym") for day in ("mon", "tue", "thu", "fri")))  # type: ignore[arg-type]
FOUR_BRIEF = replace(BRIEF, days_a_week=4)
KNEE = replace(parse_restriction("left knee flexion over 60"), id="knee")
EMPTY_ROOM = replace(GYM, bars=(), plates=(), dumbbells=(), stacks=(), bands=(), fixtures={})
Json = dict[str, Any]


def made(person: Trainee, place: Place, brief: Brief, by: Axis, count: int) -> Several:
    return design_blocks(person, (place,), brief, catalogue(), estimates_of(person), limit=LIMIT, count=count, by=by)


@cache
def on_other_exercises() -> Several:
    return made(PERSON, GYM, BRIEF, "exercises", 2)


@cache
def three() -> Several:
    return made(PERSON, GYM, BRIEF, "exercises", 3)


@cache
def split_otherwise() -> Several:
    return made(FOUR_DAYS, GYM, FOUR_BRIEF, "split", 2)


@cache
def loaded_otherwise() -> Several:
    return made(FOUR_DAYS, GYM, FOUR_BRIEF, "loading", 2)


MADE = [
    on_other_exercises,
    pytest.param(split_otherwise, marks=pytest.mark.long),
    pytest.param(loaded_otherwise, marks=pytest.mark.long),
]


def as_read(found: Several, number: int) -> Json:
    return json.loads(block_to_json(found.variants[number].block))  # type: ignore[no-any-return]


def strength_entries(block: Json) -> list[tuple[str, str, int]]:
    """(day, exercise, working sets) of main, assistance and finisher in the last week that is no easier one."""
    week = [one for one in block["weeks"] if one["kind"] != "deload"][-1]
    return [
        (session["day"], entry["exercise"], sum(one["kind"] != "ramp" for one in entry["sets"]))
        for session in week["sessions"]
        for part in session["parts"]
        if part["part"] in ("main", "assistance", "finisher")
        for entry in part["entries"]
    ]


def families(block: Json) -> set[str]:
    """Families of what is not named in the brief; read from the catalogue's files, without the planner."""
    named = {one["exercise"] for one in block["inputs"]["brief"]["lifts"]}
    return {catalogue().get(slug).base for _, slug, _ in strength_entries(block) if slug not in named}


def check_exercises(found: Several) -> None:
    """Our own count of families against what is promised and what is stated, each block against every earlier one."""
    blocks = [as_read(found, number) for number in range(len(found.variants))]
    for number, later in enumerate(blocks):
        mine = families(later)
        assert mine
        for earlier, apart in zip(blocks[:number], found.variants[number].apart, strict=True):
            assert 2 * len(mine - families(earlier)) >= len(mine)
            assert (apart.others, apart.of) == (len(mine - families(earlier)), len(mine))


def test_half_of_the_exercises_are_others_and_the_stated_count_is_true() -> None:
    assert len(on_other_exercises().variants) == 2
    check_exercises(on_other_exercises())


@pytest.mark.long
def test_a_third_block_differs_from_both_before() -> None:
    found = three()

    assert len(found.variants) == 3 or found.why_fewer
    check_exercises(found)


def counted_by_day(block: Json) -> dict[str, dict[str, float]]:
    """Counted sets of each muscle group on each day, by the published credits of the catalogue."""
    table: dict[str, dict[str, float]] = {}
    for day, slug, sets in strength_entries(block):
        for muscle, credit in counted(slug).items():
            row = table.setdefault(muscle, {})
            row[day] = row.get(day, 0.0) + credit * sets
    return table


def share_elsewhere(first: Mapping[str, Mapping[str, float]], second: Mapping[str, Mapping[str, float]]) -> float:
    """Share of the counted sets on another day, with the days of the second in their kindest order."""
    days = sorted({day for row in (*first.values(), *second.values()) for day in row})
    best = 1.0
    for order in permutations(days):
        moved = total = 0.0
        for muscle in first.keys() & second.keys():
            one, other = first[muscle], second[muscle]
            a, b = sum(one.values()), sum(other.values())
            apart = sum(abs(one.get(x, 0) / a - other.get(y, 0) / b) for x, y in zip(days, order, strict=True)) / 2
            moved, total = moved + apart * (a + b), total + a + b
        best = min(best, moved / total)
    return best


@pytest.mark.long
def test_another_split_moves_a_fifth_of_the_sets_to_other_days() -> None:
    """Our own count goes by muscle groups, the planner's by what a coach names: so a fifth here for a quarter there."""
    found = split_otherwise()
    first, second = as_read(found, 0), as_read(found, 1)

    assert found.variants[0].split != found.variants[1].split
    assert found.variants[1].apart[0].moved >= 0.25
    assert share_elsewhere(counted_by_day(first), counted_by_day(second)) >= 0.2


LEG_LIFTS = {"squat", "split_squat", "hinge", "single_leg_hinge", "hip_extension", "knee_flexion", "calf"}
PRESSES = {"push_horizontal", "push_vertical", "push_incline", "dip", "elbow_extension"}
ROWS = {"pull_horizontal", "pull_vertical", "elbow_flexion"}


@pytest.mark.long
def test_the_split_is_what_it_says() -> None:
    """By the patterns of the catalogue: every day holds all, or no leg lift and no press meet on a day."""
    found = split_otherwise().variants[1]
    on: dict[str, set[str]] = {}
    for day, slug, _ in strength_entries(as_read(split_otherwise(), 1)):
        on.setdefault(day, set()).add(catalogue().get(slug).pattern)

    assert len(on) == 4
    assert found.split in ("full body", "upper and lower days")
    for kind, patterns in zip(found.day_kinds, on.values(), strict=True):
        if found.split == "full body":
            assert patterns & LEG_LIFTS
            assert patterns & PRESSES
            assert patterns & ROWS
        else:
            assert not patterns & (PRESSES | ROWS if kind == "legs" else LEG_LIFTS)


def test_each_way_to_give_the_days_their_kinds_keeps_legs_and_presses_apart() -> None:
    """Of four days two are for the legs, never two such days in a row where that can be, and the squat has one."""
    ready = get_ready(FOUR_DAYS, (GYM,), FOUR_BRIEF, catalogue(), estimates_of(FOUR_DAYS))
    ways = split_days(ready, ("legs", "upper"))

    assert [(one.days["back_squat"], one.days["bench_bb"]) for one in ways] == [
        ((0, 2), (1, 3)),
        ((0, 3), (1, 2)),
        ((1, 2), (0, 3)),
        ((1, 3), (0, 2)),
    ]


@pytest.mark.long
def test_another_loading_leads_in_the_second_block() -> None:
    """Counted from the equipment in the catalogue's files."""
    found = loaded_otherwise()
    second = found.variants[1]
    first_use = [next(iter(catalogue().get(slug).equipment), frozenset()) for slug in second.free]
    machines = sum(any(one == "cable" or one.startswith("machine:") for one in tokens) for tokens in first_use)

    assert (found.variants[0].loading, second.loading) == ("free weights", "machines and cables")
    assert set(second.free) <= {slug for _, slug, _ in strength_entries(as_read(found, 1))}
    assert 2 * machines >= len(second.free)


@pytest.mark.parametrize("made_of", MADE)
def test_each_block_is_of_nearly_the_same_worth(made_of: Any) -> None:
    found = made_of()
    first = found.variants[0]

    assert found.limit == worth_limit(first.points) == max(40, round(0.15 * first.points))
    assert first.points == first.block.proof.objective
    for one in found.variants[1:]:
        assert one.more == one.points - first.points
        assert one.more <= found.limit


@pytest.mark.parametrize("made_of", MADE)
def test_what_a_block_gives_up_adds_up_to_its_points(made_of: Any) -> None:
    for one in made_of().variants[1:]:
        assert sum(reason.points for reason in one.reasons) == one.more


@pytest.mark.long
def test_the_first_block_is_the_one_that_design_gives() -> None:
    plain = design_block(PERSON, (GYM,), BRIEF, catalogue(), estimates_of(), limit=LIMIT)

    assert block_to_json(on_other_exercises().variants[0].block) == block_to_json(plain)


@pytest.mark.long
def test_the_same_wish_gives_the_same_blocks() -> None:
    again = made(PERSON, GYM, BRIEF, "exercises", 2)

    for one, other in zip(again.variants, on_other_exercises().variants, strict=False):
        assert block_to_json(one.block) == block_to_json(other.block)
        assert replace(one, block=other.block) == other


@pytest.mark.long
def test_a_limited_knee_is_kept_by_every_block() -> None:
    """The independent checker, with a limited knee, on every block."""
    person = replace(PERSON, restrictions=(KNEE,))
    brief = replace(BRIEF, skill=None)
    found = made(person, GYM, brief, "exercises", 2)

    assert len(found.variants) == 2
    for one in found.variants:
        block = json.loads(block_to_json(one.block))
        assert check_block(block, Given(person, (GYM,), brief, stress_of)) == []


@pytest.mark.parametrize("made_of", MADE)
def test_every_further_block_keeps_the_hard_rules(made_of: Any) -> None:
    person, brief = (PERSON, BRIEF) if made_of is on_other_exercises else (FOUR_DAYS, FOUR_BRIEF)
    found = made_of()

    assert len(found.variants) == 2
    assert check_block(as_read(found, 1), Given(person, (GYM,), brief, stress_of)) == []


def test_where_nothing_else_is_there_no_block_is_forced() -> None:
    """In an empty room everything is body weight: no other loading exists, and one sentence says so."""
    person = replace(PERSON, goals=())
    found = made(person, EMPTY_ROOM, replace(BRIEF, lifts=(), skill=None), "loading", 3)

    assert len(found.variants) == 1
    assert found.why_fewer == (
        "Nothing else to load with serves the week here: the place or the limits leave only this way."
    )


@pytest.mark.long
def test_a_block_that_costs_too_much_is_refused_with_its_price() -> None:
    """With two days, upper and lower days train the chest once a week: too dear, and said so."""
    found = made(PERSON, GYM, BRIEF, "split", 2)

    assert len(found.variants) == 1
    assert "another split of the week" in found.why_fewer
    assert f"{found.limit} are allowed" in found.why_fewer


def test_blocks_are_one_to_three() -> None:
    assert AXES == ("exercises", "loading", "split")
    with pytest.raises(ValueError, match="count is 4, expected 1 to 3"):
        made(PERSON, GYM, BRIEF, "exercises", 4)


def test_several_blocks_obey_their_schema_and_compare_says_what_their_numbers_say() -> None:
    """Referee: the published schema by an independent validator; and sets counted again from the entries."""
    several = on_other_exercises()
    data = json.loads(json.dumps(several_json(several, compared(several, catalogue()))))
    validator = jsonschema_rs.validator_for(several_schema())
    validator.validate(data)
    del data["comparison"]["blocks"][0]["side"]["skill"]
    assert not validator.is_valid(data)

    blocks = [one.block for one in several.variants]
    text = side_by_side_text(blocks, ["a.json", "b.json"])
    week = max((one for one in blocks[1].weeks if one.kind != "deload"), key=lambda one: one.number)
    lift = side_of(blocks[1], catalogue()).built_on[0]
    entries = [
        (session.day, entry)
        for session in week.sessions
        for part in session.parts
        for entry in part.entries
        if entry.exercise == lift.exercise and part.part in ("main", "assistance", "finisher")
    ]
    assert lift.days == len({day for day, _ in entries})
    assert lift.sets == sum(one.kind != "ramp" for _, entry in entries for one in entry.sets)
    assert "Block 1 (a.json)" in text and "Block 2 (b.json)" in text and "Counted sets in the hardest week" in text
    assert side_by_side_text([blocks[0], replace(blocks[1], parent=blocks[0].id)], ["a.json", "b.json"]) == ""
