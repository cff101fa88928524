"""The climb proposes nothing that a restriction, the screen, or pain in the log closes."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from made_block import GYM, PERSON

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.load import catalogue
from setwright.faults import NoPlan
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import Clearance, StepReached, Trainee
from setwright.plan.gates import judge
from setwright.review.climb import ClimbAhead
from setwright.services.climbing import climb_json, climbs_of, climbs_text
from setwright.services.gather import Person
from setwright.strength.logged import Log, LoggedSession, LoggedSet

START = date(2026, 9, 7)
SAYINGS = (
    "no knee bending over 60 degrees",
    "elbow is sore",
    "no overhead",
    "grip is weak",
    "left knee is sore",
    "back is sore",
    "shoulder is sore",
)


def row(day: int, exercise: str, reps: int = 12, number: int = 1, **more: object) -> LoggedSet:
    when = START + timedelta(days=day)
    return LoggedSet(date=when, week=None, session="x", exercise=exercise, set=number, reps=reps, **more)  # type: ignore[arg-type]


def climb(slug: str, step: int, *rows: LoggedSet, who: Trainee = PERSON, notes: str = "") -> ClimbAhead:
    who = replace(who, steps=(StepReached(slug, step, START - timedelta(days=7)),))
    note = (LoggedSession(START, None, "x", 6.0, 40.0, notes),) if notes else ()
    return climbs_of(Person(who, (GYM,)), Log(rows, note), START + timedelta(days=10), (slug,))[0]


MET = tuple(row(day, "pushup_knee", number=number) for day in (0, 3) for number in (1, 2, 3))


@pytest.mark.parametrize("saying", SAYINGS)
def test_no_dose_and_nothing_in_between_is_closed(saying: str) -> None:
    """Every step of every progression: what is proposed is open, with the range that the restriction sets."""
    rules = (parse_restriction(saying, "test"),)
    who, here = replace(PERSON, restrictions=rules), expand_tokens(GYM.tokens())
    for slug, one in catalogue().progressions.items():
        for step in one.steps:
            found = climb(slug, step.number, who=who)
            if found.dose is not None:
                verdict = judge(catalogue().get(found.dose.exercise), rules, here, who)
                assert verdict.allowed, (slug, step.number, found.dose.words)
                assert {**found.dose.dials, **verdict.dials} == found.dose.dials
                if "range_deg" in verdict.dials:
                    assert "degrees" in found.dose.words
            for ahead in found.steps:
                for between in ahead.between:
                    verdict = judge(catalogue().get(between.exercise), rules, here, who)
                    assert verdict.allowed and not verdict.dials, (slug, between.words)
                    assert between.dial != "load", "no load is put on beside a restriction"
                assert not (ahead.closed and ahead.between)


@pytest.mark.parametrize(
    "answers",
    [
        {"red_flags": ("chest-pain",)},
        {"signs_or_symptoms": True},
        {"pregnant": True},
        {"known_disease": True, "active_now": False},
        {"known_disease": True, "active_now": True},
    ],
    ids=["red flag", "symptoms", "pregnant", "disease, not active", "disease, active"],
)
def test_a_missing_clearance_refuses_the_climb_as_it_refuses_a_block(answers: dict[str, object]) -> None:
    screening = replace(PERSON.screening, clearance=None, **answers)  # type: ignore[arg-type]

    with pytest.raises(NoPlan, match=r"clinician|clearance"):
        climb("pushup", 3, *MET, who=replace(PERSON, screening=screening))


def test_a_clearance_opens_the_climb_and_is_said_in_text_and_numbers() -> None:
    given = Clearance("Dr. Invented", START + timedelta(days=30), "moderate strength training")
    who = replace(PERSON, screening=replace(PERSON.screening, pregnant=True, clearance=given))
    found = climb("pushup", 3, *MET, who=who)

    assert "moderate strength training" in " ".join(climbs_text([found]).split())
    assert "moderate strength training" in climb_json([found])[0]["caution"]


@pytest.mark.parametrize(
    ("rows", "notes"),
    [((*MET, row(6, "pushup_knee", pain=1, pain_kind="numb")), ""), (MET, "chest pain on the stairs")],
    ids=["numb", "a note"],
)
def test_a_red_flag_in_the_log_refuses_the_climb(rows: tuple[LoggedSet, ...], notes: str) -> None:
    with pytest.raises(NoPlan, match="clinician"):
        climb("pushup", 3, *rows, notes=notes)


def test_strong_pain_brings_no_dose() -> None:
    """Neither at the step, nor at the lowest one, where nothing lies below."""
    for step, slug in ((1, "pushup_wall"), (3, "pushup_knee")):
        found = climb("pushup", step, row(0, slug, pain=8))
        assert found.standing.verdict == "step back" and found.dose is None
        assert "rests until a licensed clinician" in " ".join(climbs_text([found]).split())


def test_pain_over_the_limit_on_the_lowest_step_asks_less_of_it() -> None:
    calm, hurt = climb("pushup", 1, row(0, "pushup_wall", 15)), climb("pushup", 1, row(0, "pushup_wall", 15, pain=4))

    assert calm.dose is not None and hurt.dose is not None
    assert hurt.dose.high < 0.7 * calm.dose.high


def test_strong_pain_elsewhere_closes_what_loads_the_joint() -> None:
    """Pain of 7 at the elbow in a curl: no push-up until somebody decides, and none of its steps."""
    found = climb("pushup", 3, *MET, row(6, "curl_db", pain=7, pain_where="left elbow"))

    assert found.dose is None and "elbow" in " ".join(found.standing.closed)
    assert climb("pushup", 3, *MET, row(6, "curl_db", pain=2, pain_where="left elbow")).standing.verdict == "step up"


def test_dials_of_a_new_step_do_not_contradict_its_words() -> None:
    """It begins with the hands on 45 cm; 30 cm are the exit test."""
    found = climb("pushup", 3, *MET)

    assert found.dose is not None and "hands on 45 cm" in found.dose.words
    assert "hand_height_cm" not in found.dose.dials
