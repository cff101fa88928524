"""The pre-exercise screen against the published algorithm, and clearances that end."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from setwright.people.screening import is_cleared, screen, without_expired
from setwright.people.trainee import Clearance, Restriction, Screening, Trainee, TrainingDay

ON = date(2026, 9, 7)
PERSON = Trainee(
    id="invented",
    name="Invented Person",
    birth_year=1968,
    body_mass_kg=80.0,
    stature_m=1.8,
    training_years=3.0,
    days=(TrainingDay("mon", 60, "gym"),),
    screening=Screening(True),
    invented=True,
)
LETTER = Clearance("Dr Example", date(2026, 8, 1), "strength training, all efforts", date(2027, 2, 1))

# Referee: Riebe et al. 2015, "Updating ACSM's recommendations for exercise preparticipation health screening", Med Sci
# Sports Exerc 47(11):2473-2479, the figure. Seen: the figure's words as study pages repeat them, not the article.
# Regular exercise there: 30 min of moderate effort on 3 days a week for the last 3 months.
#   not active, no disease, no signs: "clearance not necessary; light to moderate, may progress to vigorous"
#   not active, known disease, no signs: "clearance recommended; following it light to moderate"
#   not active, any signs or symptoms, regardless of disease: "clearance recommended; following it light to moderate"
#   active, no disease, no signs: "clearance not necessary; continue moderate or vigorous"
#   active, known disease, no signs: "clearance for moderate not necessary; clearance (within the last 12 months if no
#       change in signs or symptoms) recommended before vigorous"
#   active, any signs or symptoms, regardless of disease: "discontinue exercise and seek clearance"
NOTHING = Screening(True)
DISEASE = Screening(True, known_disease=True)
SIGNS = Screening(True, signs_or_symptoms=True)
BOTH = Screening(True, known_disease=True, signs_or_symptoms=True)
TABLE = [
    # active, state, light, moderate, vigorous
    (False, NOTHING, "go", "go", "go"),
    (False, DISEASE, "clearance-first", "clearance-first", "clearance-first"),
    (False, SIGNS, "clearance-first", "clearance-first", "clearance-first"),
    (False, BOTH, "clearance-first", "clearance-first", "clearance-first"),
    (True, NOTHING, "go", "go", "go"),
    (True, DISEASE, "go", "go", "light-only"),
    (True, SIGNS, "clearance-first", "clearance-first", "clearance-first"),
    (True, BOTH, "clearance-first", "clearance-first", "clearance-first"),
]
CASES = [
    pytest.param(
        replace(state, active_now=active),
        wanted,
        answer,
        id=f"{'active' if active else 'not active'}-{name}-{wanted}",
    )
    for (active, state, *answers), name in zip(
        TABLE, ["no disease", "disease", "signs", "disease and signs"] * 2, strict=True
    )
    for wanted, answer in zip(("light", "moderate", "vigorous"), answers, strict=True)
]


def asked(screening: Screening, wanted: str = "vigorous", on: date = ON):
    return screen(replace(PERSON, screening=screening), wanted, on)


@pytest.mark.parametrize(("screening", "wanted", "answer"), CASES)
def test_the_screen_answers_as_the_published_algorithm(screening: Screening, wanted: str, answer: str) -> None:
    found = asked(screening, wanted)

    assert found.verdict == answer
    assert answer == "go" or found.why


@pytest.mark.parametrize(("screening", "wanted", "answer"), CASES)
def test_a_standing_clearance_opens_every_branch(screening: Screening, wanted: str, answer: str) -> None:
    """Referee: the same figure: each "clearance recommended" goes on with "following clearance ... may progress"."""
    found = asked(replace(screening, clearance=LETTER), wanted)

    assert found.verdict == "go"
    if answer != "go":  # the clearance opened it: its words must reach the coach, no program can read a scope
        assert "strength training, all efforts, by Dr Example on 2026-08-01, until 2027-02-01" in found.why[0]


@pytest.mark.parametrize(
    "clearance",
    [
        pytest.param(replace(LETTER, expires_on=ON - timedelta(days=1)), id="ended yesterday"),
        pytest.param(replace(LETTER, given_on=ON + timedelta(days=1)), id="given tomorrow"),
    ],
)
@pytest.mark.parametrize(("screening", "wanted", "answer"), CASES)
def test_a_clearance_out_of_its_time_changes_nothing(
    screening: Screening, wanted: str, answer: str, clearance: Clearance
) -> None:
    assert asked(replace(screening, clearance=clearance), wanted).verdict == answer


def test_a_clearance_counts_on_its_first_and_its_last_day() -> None:
    assert not is_cleared(LETTER, date(2026, 7, 31))
    assert is_cleared(LETTER, date(2026, 8, 1))
    assert is_cleared(LETTER, date(2027, 2, 1))
    assert not is_cleared(LETTER, date(2027, 2, 2))
    assert not is_cleared(None, ON)


def test_a_clearance_without_an_end_opens_vigorous_effort_for_twelve_months() -> None:
    """Referee: the same figure, "medical clearance (within the last 12 months ...) before vigorous". Seen as above."""

    def given(days_ago: int) -> Screening:
        return replace(DISEASE, clearance=replace(LETTER, given_on=ON - timedelta(days=days_ago), expires_on=None))

    assert asked(given(364)).verdict == "go"
    assert asked(given(366)).verdict == "light-only"
    assert asked(given(366), "moderate").verdict == "go"


def test_moderate_effort_of_an_active_person_with_a_known_disease_is_said_to_be_open() -> None:
    (why,) = asked(DISEASE).why

    assert "before vigorous effort" in why and "12 months" in why and "moderate effort may go on" in why


def test_who_was_not_active_starts_light_even_when_vigorous_is_wanted() -> None:
    """Referee: the same figure, "light to moderate intensity recommended; may gradually progress to vigorous"."""
    assert any("light to moderate" in line for line in asked(replace(NOTHING, active_now=False)).why)
    assert asked(NOTHING).why == ()


def test_a_red_flag_stops_everything_a_clearance_too() -> None:
    """Referee: common practice, no published source."""
    for wanted in ("light", "moderate", "vigorous"):
        found = asked(Screening(True, red_flags=("saddle numbness",), clearance=LETTER), wanted)
        assert found.verdict == "stop" and "saddle numbness" in found.why[0]


def test_pregnancy_asks_the_midwife_or_doctor_first() -> None:
    """Referee: common practice, no published source (the algorithm doesn't name pregnancy)."""
    assert asked(Screening(True, pregnant=True), "light").verdict == "clearance-first"
    assert asked(Screening(True, pregnant=True, clearance=LETTER), "light").verdict == "go"


def test_a_restriction_keeps_its_clearance_only_while_it_stands() -> None:
    knee = Restriction("knee", "knee", needs_clearance=True, clearance=LETTER)
    elbow = Restriction("elbow", "elbow", needs_clearance=True, clearance=replace(LETTER, expires_on=date(2026, 9, 1)))
    hip = Restriction("hip", "hip", needs_clearance=True, clearance=replace(LETTER, given_on=date(2026, 9, 8)))
    back = Restriction("trunk", "trunk", clearance=replace(LETTER, expires_on=None))
    wrist = Restriction("wrist", "wrist")
    person = replace(PERSON, restrictions=(knee, elbow, hip, back, wrist))

    found = without_expired(person, ON)

    kept = {one.joint: one.clearance for one in found.restrictions}
    assert kept == {"knee": LETTER, "elbow": None, "hip": None, "trunk": back.clearance, "wrist": None}
    assert [replace(one, clearance=None) for one in found.restrictions] == [
        replace(one, clearance=None) for one in person.restrictions
    ]


def test_a_person_whose_clearances_all_stand_is_unchanged() -> None:
    person = replace(PERSON, restrictions=(Restriction("knee", "knee", clearance=LETTER),))

    assert without_expired(person, ON) is person
