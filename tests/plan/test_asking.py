"""What may be asked of whom: no question about strength is worth a load through a restriction."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from made_person import GROWN

from setwright.catalogue.load import catalogue
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import Screening, Trainee
from setwright.plan.asking import ASSISTANCE_REPS, GENTLE_REPS, GENTLE_RIR, HARD_REPS, Asking, asking

ON = date(2026, 11, 26)
FREE = GROWN


def of(person: Trainee, slug: str = "back_squat") -> Asking:
    return asking(catalogue().get(slug), person, ON)


def test_a_grown_trained_person_may_be_asked_for_a_tested_single() -> None:
    assert of(FREE) == Asking(True, True, HARD_REPS, 1.0)


@pytest.mark.parametrize(
    ("person", "gently"),
    [
        (replace(FREE, training_years=0.5), False),
        (replace(FREE, birth_year=2012), True),
        (replace(FREE, birth_year=1955, training_years=0.2), True),
        (replace(FREE, weeks_off=6.0), True),
        (replace(FREE, screening=Screening(False)), True),
        (replace(FREE, restrictions=(parse_restriction("no hangs"),)), False),
    ],
    ids=["first year", "under 16", "new and old", "back from a break", "not active", "restricted elsewhere"],
)
def test_others_are_not_asked_for_one(person: Trainee, gently: bool) -> None:
    """Referee: rules L08 and L09 of the book (NSCA 2019, Lloyd 2014); the rest common practice, no published source."""
    may = of(person)

    assert may.is_open and not may.may_test
    assert (may.reps, may.rir) == ((GENTLE_REPS, GENTLE_RIR) if gently else (HARD_REPS, 1.0))


@pytest.mark.parametrize("slug", ["curl_db", "leg_ext", "lat_raise", "row_cable"])
def test_assistance_is_asked_for_sets_of_six_and_more(slug: str) -> None:
    assert of(FREE, slug) == Asking(True, False, ASSISTANCE_REPS, 1.0)


def test_what_a_restriction_closes_is_asked_for_nothing() -> None:
    sore = replace(FREE, restrictions=(parse_restriction("no bar on the back"),))

    closed = of(sore)
    assert not closed.is_open and closed.reps == ()
    assert "restriction" in closed.why_not
    assert of(sore, "leg_press").is_open


def test_a_limited_range_is_asked_for_gently() -> None:
    assert of(replace(FREE, restrictions=(parse_restriction("knee to 70 degrees"),)), "leg_press").rir == GENTLE_RIR


def test_after_a_gap_in_the_log_the_first_sets_are_gentle() -> None:
    squat = catalogue().get("back_squat")

    assert asking(squat, FREE, ON, date(2026, 8, 1)).rir == GENTLE_RIR
    assert asking(squat, FREE, ON, date(2026, 11, 20)).may_test


def test_at_an_eased_joint_no_load_is_searched_by_climbing() -> None:
    sore = replace(FREE, restrictions=(parse_restriction("my elbow is sore"),))

    may = of(sore, "curl_db")
    assert not may.is_open or not may.may_search


@pytest.mark.parametrize(
    "answers",
    [Screening(True, signs_or_symptoms=True), Screening(True, pregnant=True), Screening(True, red_flags=("numbness",))],
    ids=["signs", "pregnant without clearance", "red flag"],
)
def test_before_clearance_nothing_is_asked(answers: Screening) -> None:
    may = of(replace(FREE, screening=answers))

    assert not may.is_open and may.why_not
