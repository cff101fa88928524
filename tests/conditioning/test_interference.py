"""What conditioning does to the leg day near it, as a cost of the plan and a rule. Referee beside each check."""

from __future__ import annotations

from dataclasses import replace

import pytest
from conditioning_floor import GYM, block_of
from made_block import BRIEF, PERSON, estimates_of

from setwright.catalogue.load import catalogue
from setwright.people.trainee import TrainingDay
from setwright.plan.block import Block
from setwright.plan.brief import Brief, ConditioningWish, LiftWish, RuleSetting
from setwright.plan.design import design_block
from setwright.plan.interference import Weight, day_points, felt_on, felt_share, on_lift, weight_of
from setwright.plan.rules import check_rules

HEAD = "Mon\n{}\nTue\n{}\nThu\n{}"
SQUATS = "back squat 6 x 5 @ 7"
PRESSES = "bench press 3 x 5 @ 7"
RUN = "run 8 x 3 min, rest 90 s, at 4:30 per km"


def weights(text: str) -> Weight:
    (session,) = block_of(text).weeks[0].sessions
    return weight_of([entry for part in session.parts for entry in part.entries], catalogue())


def warnings(block: Block) -> list[str]:
    return [one.why for one in check_rules(block, catalogue()) if one.rule == "X06"]


@pytest.mark.parametrize(
    ("bout", "lift", "share"),
    [("mon", "mon", 1.0), ("mon", "tue", 0.5), ("mon", "wed", 0.2), ("tue", "mon", 0.25), ("mon", "fri", 0.0)],
)
def test_the_nearer_the_more_is_felt(bout: str, lift: str, share: float) -> None:
    """Referee: Robineau 2016 (abstract seen) for the direction: 0 h costs most, 24 h little; sizes common practice."""
    assert felt_share(bout, lift) == pytest.approx(share)


def test_the_week_goes_round() -> None:
    assert felt_share("sun", "mon") == felt_share("mon", "tue")


def test_a_bout_weighs_by_its_minutes_its_format_and_its_muscles() -> None:
    """Referee: by hand: 20 min of intervals with no rest between are 10 s + 20 min; 3 hard sets for ten minutes, a
    machine 0.7; the bike drives the quadriceps fully.
    """
    found = weights("bike 4 x 5 min, rest 0 s, 200 watts")

    assert found.sets["quads_vasti"] == pytest.approx(3.0 * (1200 + 10) / 600 * 0.7)
    assert "lats" not in found.sets


def test_landing_weighs_more_than_a_machine_and_hard_work_more_than_steady_work() -> None:
    """Referee: Lundberg 2022 (abstract seen): running, not cycling, cost type I fibre size; the 1.5 is ours."""
    calves = "gastrocnemius"
    hard, easy = weights("run 30 min at 4:30 per km"), weights("bike 30 min, 150 watts")
    intervals = weights("run 10 x 3 min, rest 0 s, at 4:30 per km")

    assert hard.sets[calves] / easy.sets[calves] == pytest.approx(1.5 / 0.7 / 0.5)
    assert intervals.sets[calves] == pytest.approx(6.0 * hard.sets[calves], rel=0.02)


def test_a_lift_that_shares_no_muscle_is_left_alone() -> None:
    run = weights(RUN)

    assert on_lift(catalogue().get("bench_bb"), run) == 0.0
    assert on_lift(catalogue().get("back_squat"), run) > 2.0


def test_a_shared_hard_joint_adds_a_fifth() -> None:
    squat = catalogue().get("back_squat")
    bare = Weight({"quads_vasti": 2.0}, frozenset())

    assert on_lift(squat, replace(bare, joints=frozenset({"knee"}))) == pytest.approx(1.2 * on_lift(squat, bare))


def test_the_search_pays_for_a_leg_lift_beside_hard_running_by_the_weight_that_the_coach_gives() -> None:
    squat, run = catalogue().get("back_squat"), {"tue": weights(RUN)}
    days = ("mon", "tue", "wed", "sat")
    costs = day_points(squat, days, run, 4, 1.0)

    assert costs[1] > costs[2] > costs[0] > costs[3] == 0
    assert costs == tuple(round(4 * felt_on(day, run, squat)) for day in days)
    assert day_points(squat, days, run, 4, 0.0) == ()
    assert max(day_points(squat, days, run, 4, 2.0)) >= 2 * max(costs) - 1


def test_hard_running_the_day_before_heavy_squats_is_warned_of() -> None:
    found = warnings(block_of(HEAD.format(RUN, SQUATS, PRESSES)))

    assert any(text.startswith("Quadriceps on tue") or "on tue" in text for text in found) and "mon" in found[0]


def test_far_enough_apart_nothing_is_said() -> None:
    assert warnings(block_of(HEAD.format(SQUATS, PRESSES, RUN))) == []


def test_easy_riding_beside_heavy_squats_is_no_matter() -> None:
    assert warnings(block_of(HEAD.format("bike 20 min, talk test: whole sentences", SQUATS, PRESSES))) == []


def test_conditioning_without_a_format_is_judged_as_before() -> None:
    """Blocks from before formats keep their list of what is bent."""
    assert warnings(block_of(HEAD.format("run 8 x 3 min, rest 90 s", SQUATS, PRESSES))) == []


def test_the_coach_can_switch_the_rule_off() -> None:
    block = block_of(HEAD.format(RUN, SQUATS, PRESSES))
    brief = replace(block.inputs.brief, rules=(RuleSetting("X06", "A race is near.", off=True),))

    assert warnings(block) and not warnings(replace(block, inputs=replace(block.inputs, brief=brief)))


DAYS = tuple(TrainingDay(day, 60, "gym") for day in ("mon", "tue", "thu", "fri"))  # type: ignore[arg-type]


def squat_days(brief: Brief) -> list[str]:
    person = replace(PERSON, days=DAYS)
    block = design_block(person, (GYM,), brief, catalogue(), estimates_of(person), limit=0.5)
    return [
        session.day
        for session in block.weeks[0].sessions
        for part in session.parts
        for entry in part.entries
        if entry.exercise == "back_squat"
    ]


@pytest.mark.long
@pytest.mark.parametrize(("run_on", "near"), [("mon", {"mon", "tue"}), ("thu", {"thu", "fri"})])
def test_a_designed_block_keeps_the_squats_away_from_the_running(run_on: str, near: set[str]) -> None:
    """The squats go to the other half of the week, whichever it is."""
    wish = ConditioningWish("run 6 x 3 min, rest 1 min, at 4:30 per km", days=(run_on,))  # type: ignore[arg-type]
    brief = replace(
        BRIEF, days_a_week=4, skill=None, conditioning="none", bouts=(wish,), lifts=(LiftWish("back_squat", (4, 6), 5),)
    )

    assert not near & set(squat_days(brief))
