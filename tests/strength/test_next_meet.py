"""The next competition of a trainee, from the tested singles of file and log."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from setwright.people.trainee import Screening, Trainee, TrainingDay
from setwright.strength.evidence import SetEvidence
from setwright.strength.meets import Shown, forecast
from setwright.strength.next_meet import meets_of, next_bests, shown_on

FIRST, ON = date(2025, 3, 1), date(2026, 11, 26)
LIFTER = Trainee(
    id="invented",
    name="Invented Person",
    birth_year=1990,
    body_mass_kg=80.0,
    stature_m=1.8,
    training_years=5.0,
    days=(TrainingDay("mon", 60, "gym"),),
    screening=Screening(True),
    sex="male",
    invented=True,
)


def single(load: float, months: int = 0) -> SetEvidence:
    return SetEvidence(FIRST + timedelta(days=91 * months), load, 1, "test")


def failed(load: float, months: int = 0) -> SetEvidence:
    return SetEvidence(FIRST + timedelta(days=91 * months), load, 0, "failure")


def test_the_best_and_the_lightest_failed_attempt_above_it_are_what_a_day_shows() -> None:
    assert shown_on([single(180), single(190), failed(200), failed(195), failed(170)]) == Shown(190, 195, True)
    assert shown_on([single(190)]) == Shown(190, None, False)
    assert shown_on([failed(200)]) is None


def test_days_with_training_sets_only_are_no_meets() -> None:
    trained = SetEvidence(FIRST, 150, 5, "called", 2.0)
    slip = replace(single(1900), strange=True)

    assert meets_of({"back_squat": [trained, slip], "curl_db": [single(20)]}) == ()


def test_the_forecast_is_that_of_the_competition_room() -> None:
    """Referee: the room of meets, held beside open results in tests/strength/test_meets.py."""
    rows = {"back_squat": [single(180), single(185, 1), failed(195, 1), single(190, 3)], "deadlift": [single(220, 3)]}

    found = next_bests(LIFTER, rows, ON)
    told = forecast(False, 1990, meets_of(rows), ON)

    assert set(found) == {"back_squat"}
    assert found["back_squat"].tests == 3
    assert found["back_squat"].p50 == pytest.approx(float(told.kg_with_share(0.5)[0, 0]))
    assert 170 < found["back_squat"].p10 < 190 < found["back_squat"].p90 < 225


@pytest.mark.parametrize(
    ("person", "rows"),
    [
        (LIFTER, {"back_squat": [single(180)]}),
        (replace(LIFTER, sex=None), {"back_squat": [single(180), single(185, 1)]}),
        (replace(LIFTER, birth_year=2014), {"back_squat": [single(80), single(85, 1)]}),
        (LIFTER, {"front_squat": [single(150), single(155, 1)]}),
        (LIFTER, {}),
    ],
    ids=["one test", "no sex given", "a child", "another lift", "nothing"],
)
def test_without_enough_to_go_on_nothing_is_foretold(person: Trainee, rows: dict[str, list[SetEvidence]]) -> None:
    assert next_bests(person, rows, ON) == {}
