"""What review --json says of its own numbers is what they are: equations, scales, days and weeks, bands."""

from __future__ import annotations

import json
import re
from datetime import date, timedelta
from functools import cache
from typing import Any

import jsonschema_rs
import pytest
from week_of_log import HOLDER, block, log_of, monday

from setwright.catalogue.load import catalogue
from setwright.publish.review_schema import review_schema
from setwright.review.as_json import review_json
from setwright.review.energy import (
    arm_cycling_uptake,
    leg_cycling_uptake,
    running_uptake,
    stepping_uptake,
    walking_uptake,
)
from setwright.review.findings import Review, review_block
from setwright.review.load_monitoring import half_life_of
from setwright.review.wellness_scales import scales
from setwright.strength.estimates import estimate_lifts
from setwright.strength.logged import Log, LoggedSession, Wellness


@cache
def review_of(weeks: int = 2) -> Review:
    return reviewed(log_of(range(1, weeks + 1)))


def reviewed(log: Log) -> Review:
    dates = [one.date for one in log.sets] + [one.date for one in log.sessions]
    known = estimate_lifts(HOLDER, catalogue(), HOLDER.baselines, log, max(dates))
    return review_block(block(), log, known, catalogue())


@cache
def told() -> dict[str, Any]:
    data: dict[str, Any] = json.loads(json.dumps(review_json(review_of())))
    jsonschema_rs.validator_for(review_schema()).validate(data)
    return data


def value_of(equation: str, **letters: float) -> float:
    """The value of a printed equation, reckoned from its text alone."""
    python = re.sub(r"(?<=[\w.]) (?=[A-Za-z]\b)(?!x )", " * ", equation.replace(" x ", " * "))
    return float(eval(python, {"__builtins__": {}}, dict(letters)))


@pytest.mark.parametrize(
    ("name", "reckoned", "letters"),
    [
        ("walking", walking_uptake(80, 0.05), {"S": 80, "G": 0.05}),
        ("running", running_uptake(160, 0.02), {"S": 160, "G": 0.02}),
        ("leg cycling", leg_cycling_uptake(600, 75), {"W": 600, "M": 75}),
        ("arm cycling", arm_cycling_uptake(300, 75), {"W": 300, "M": 75}),
        ("stepping", stepping_uptake(24, 0.25), {"f": 24, "H": 0.25}),
    ],
)
def test_the_printed_equation_gives_the_printed_uptake(name: str, reckoned: float, letters: dict[str, float]) -> None:
    """Referee: the equation as text, reckoned by nothing of ours."""
    text = told()["conventions_in_full"]["energy"]["uptake_ml_kg_min"][name]

    assert value_of(text, **letters) == pytest.approx(reckoned, abs=1e-9)


def test_the_smoothing_is_told_in_both_usual_ways() -> None:
    """Referee: half life by logarithms, and N of 2 / (N + 1) (Williams et al. 2017 write it so, from memory)."""
    rows = told()["weighted_load"]
    assert [one["half_life_days"] for one in rows] == [7.0, 28.0]

    for one in rows:
        days = 2 / one["smoothing"] - 1
        assert half_life_of(2 / (days + 1)) == pytest.approx(one["half_life_days"], abs=1e-3)


@pytest.mark.parametrize("name", sorted(scales()))
def test_a_worse_morning_lies_on_the_side_that_the_output_names(name: str) -> None:
    """Both published questionnaires, each to its bad end: the named direction and the verdict agree."""
    scale = scales()[name]
    good, bad = (scale.high, scale.low) if scale.good_is_high else (scale.low, scale.high)
    start = monday(1)

    def morning(day: int, answer: float) -> LoggedSession:
        answers = Wellness(name, dict.fromkeys(scale.questions, answer))
        return LoggedSession(start + timedelta(days=day), None, "", None, None, wellness=answers)

    a_step_worse = scale.step if bad > good else -scale.step
    rows = tuple(morning(day, good + (day % 2) * a_step_worse) for day in range(10))
    data = review_json(reviewed(Log(log_of([1]).sets, (*rows, morning(10, bad)))))
    words = data["conventions_in_full"]["scales"]["wellness"][name]
    last = data["wellness"][-1]

    assert ("high is good" in words) == scale.good_is_high == last["good_is_high"]
    assert last["against_usual"] == "clearly worse" and last["worse_by_spreads"] > 0
    assert last["score"] == (last["score_from"] if scale.good_is_high else last["score_to"])


def test_two_sessions_of_one_date_are_one_day() -> None:
    first = monday(1)
    rows = tuple(LoggedSession(first, 1, "mon", 5.0, 60.0, time=time) for time in ("07:00", "18:00"))
    data = review_json(reviewed(Log(log_of([1]).sets, rows)))

    assert data["weeks"][0]["days_au"] == [600.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0]
    assert date.fromisoformat(data["days"][0]["date"]).weekday() == 0  # a week runs from Monday


def test_each_group_has_the_band_that_is_asked_for() -> None:
    """Referee: the arithmetic of the counted sets of the same output: the best served muscle of each group."""
    for week in told()["weeks"]:
        done = {one["muscle"]: one["fractional"] for one in week["set_credits"]}
        assert week["sets_asked"] and any(one["most"] > 0 for one in week["sets_asked"])
        for one in week["sets_asked"]:
            assert one["done"] == max(done.get(muscle, 0.0) for muscle in one["muscles"])
            assert 0 <= one["least"] <= one["most"]
