"""Where a trainee stands on goals, and where nothing may be forecast."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from made_block import PERSON
from scipy import stats
from season_case import LAST, MEET, SEASON, log_of, usual, viewed

from setwright.body.range_of_motion import range_tests
from setwright.people.restriction_text import parse_restriction
from setwright.people.season import Season
from setwright.people.trainee import Goal, RangeMeasure
from setwright.review.season_goals import GoalStanding, verdict_by


def standing(about: str, *goals: Goal, **changes: object) -> GoalStanding:
    person = replace(PERSON, **changes)  # type: ignore[arg-type]
    season = replace(SEASON, goals=goals or SEASON.goals)
    view, _ = viewed(log_of(), season, person)
    return next(one for one in view.standings if one.goal.about == about)


def test_the_chance_on_the_day_lies_with_the_range_on_the_day() -> None:
    """Referee: the estimator's own 10 and 90 % points: a target there has a chance of 90 and 10 %."""
    view, _ = usual()
    squat = next(one for one in view.standings if one.goal.about == "back_squat")
    assert squat.ahead is not None and squat.likely is not None

    for target, chance in ((squat.ahead.low, 0.9), (squat.ahead.high, 0.1)):
        goal = Goal("strength", "back_squat", 1, target, "kg", MEET.date)
        assert standing("back_squat", goal).chance == pytest.approx(chance, abs=0.005)


def test_a_heavier_target_is_never_more_likely_and_never_earlier() -> None:
    found = [standing("back_squat", Goal("strength", "back_squat", 1, kg, "kg", MEET.date)) for kg in (130, 150, 190)]
    chances = [one.chance for one in found]

    assert chances == sorted(chances, reverse=True) and chances[0] > chances[-1]
    early = [one.likely[0] or date.max for one in found if one.likely]
    assert early == sorted(early) and len(early) == 3


@pytest.mark.parametrize(
    ("now", "later", "verdict"),
    [(0.95, None, "there"), (0.2, 0.75, "likely"), (0.2, 0.5, "open"), (0.2, 0.1, "behind"), (0.2, None, "no date")],
)
def test_a_verdict_says_in_a_word_what_the_chances_say(now: float, later: float | None, verdict: str) -> None:
    """Bounds 90, 70 and 30 %: common practice, no published source."""
    assert verdict_by(now, later) == verdict


def test_a_restriction_at_the_joint_silences_the_forecast_and_no_other() -> None:
    knee = parse_restriction("left knee flexion over 60", "test")
    goals = (
        Goal("strength", "bench_bb", 1, 90, "kg", MEET.date),
        Goal("strength", "back_squat", 1, 150, "kg", MEET.date),
    )
    view, _ = viewed(log_of(), replace(SEASON, goals=goals), replace(PERSON, restrictions=(knee,)))
    press, squat = view.standings

    assert squat.verdict == "no forecast" and "restriction at the knee" in squat.why
    assert squat.chance is None and squat.likely is None and squat.ahead is None
    assert press.goal.about == "bench_bb" and press.chance is not None and press.likely is not None


@pytest.mark.parametrize("where", ["left knee", "somewhere", ""])
def test_a_trainee_in_pain_gets_no_forecast_of_what_may_load_it(where: str) -> None:
    view, _ = viewed(log_of(pain={"back_squat": (4, where)}))
    squat = next(one for one in view.standings if one.goal.about == "back_squat")

    assert squat.verdict == "no forecast" and "pain of 4 of 10" in squat.why
    assert squat.chance is None and squat.likely is None
    (meet,) = view.events
    assert meet.counts[0].likely is None


def test_mild_pain_that_ended_silences_nothing_any_more() -> None:
    hurt = log_of(pain={"back_squat": (2, "left knee")})
    sets = tuple(
        replace(one, pain=0, pain_where="")
        if one.exercise == "back_squat" and one.date >= LAST - timedelta(days=4)
        else one
        for one in hurt.sets
    )
    assert any(one.pain == 2 for one in sets)
    view, _ = viewed(replace(hurt, sets=sets))

    assert next(one for one in view.standings if one.goal.about == "back_squat").chance is not None


def test_a_range_goal_is_held_against_the_error_of_measuring() -> None:
    """Referee: scipy's Student's t with the published error of the test (its worth as degrees of freedom)."""
    test = range_tests()["knee-to-wall"]
    goal = Goal("range", "knee-to-wall", 2, 12.0, "cm", MEET.date)
    rows = (
        RangeMeasure(LAST, "knee-to-wall", 10.0, "cm", "left"),
        RangeMeasure(LAST, "knee-to-wall", 12.5, "cm", "right"),
    )
    found = standing("knee-to-wall", goal, range_measures=rows)
    assert test.sem is not None

    assert found.now is not None and found.now.middle == 10.0  # the side that reaches less
    assert found.chance == pytest.approx(stats.t.cdf(-2.0 / test.sem, test.worth), abs=1e-6)
    half = stats.t.ppf(0.9, test.worth) * test.sem
    assert found.now.high - found.now.low == pytest.approx(2.0 * half, abs=1e-6)
    assert found.verdict == "short" and found.likely is None


def test_size_is_counted_in_sets_against_the_band_and_never_forecast() -> None:
    """Six bench sets a week by hand; referee of the band: ACSM 2026, at least 10 a week (second-hand)."""
    found = standing("chest")

    assert found.now is not None and found.now.middle == 6.0
    assert found.target is not None and found.target.low == 10.0
    assert found.verdict == "short" and found.chance is None and found.likely is None


def test_without_a_log_or_a_target_nothing_is_made_up() -> None:
    view, _ = viewed(log_of(), Season("s", "invented", goals=(Goal("strength", "deadlift", 1, 200, "kg", MEET.date),)))
    deadlift, squat = (
        next(one for one in view.standings if one.goal.about == slug) for slug in ("deadlift", "back_squat")
    )

    assert (deadlift.verdict, deadlift.why) == ("no forecast", "nothing of it is logged")
    assert squat.verdict == "no forecast" and squat.likely is None and "no target" in squat.why
