"""No week is planned that nobody cleared: clearances that end in mid-block, and effort that the screen never saw.

Referee: Riebe et al. 2015 as tests/people/test_screening.py words it, and days counted on a calendar.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from made_block import BRIEF, GYM, PERSON, START, estimates_of

from setwright.catalogue.load import catalogue
from setwright.faults import NoPlan
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import Clearance, Restriction, Screening
from setwright.plan.block import Block
from setwright.plan.clearance import for_whole_block, require_clearance
from setwright.plan.design import NOVICE_RPE, for_beginner
from setwright.plan.gates import judge
from setwright.plan.shorthand import read_block_text
from setwright.plan.written import fit_written

SIX_WEEKS = replace(BRIEF, start=date(2026, 9, 7), weeks=6, rpe=(6.0, 8.0))  # Monday; the last day is 18 October
GIVEN_ON = date(2026, 8, 1)


def ill(ends: date | None, given_on: date = GIVEN_ON) -> Screening:
    return Screening(True, known_disease=True, clearance=Clearance("Dr Example", given_on, "all efforts", ends))


@pytest.mark.parametrize(
    ("screening", "weeks"),
    [
        (ill(date(2026, 10, 17)), "5 weeks"),  # a day short
        (ill(date(2026, 10, 4)), "4 weeks"),
        (ill(None, date(2025, 10, 10)), "4 weeks"),  # counts for 12 months
        (
            Screening(True, pregnant=True, clearance=Clearance("midwife", GIVEN_ON, "all", date(2026, 10, 12))),
            "5 weeks",
        ),
    ],
)
def test_a_block_does_not_outlast_its_clearance(screening: Screening, weeks: str) -> None:
    person = replace(PERSON, screening=screening)

    with pytest.raises(NoPlan, match="the block runs until 2026-10-18") as refused:
        require_clearance(person, SIX_WEEKS)

    assert f"plan {weeks}" in str(refused.value)


@pytest.mark.parametrize("screening", [ill(date(2026, 10, 18)), ill(None), ill(date(2027, 1, 1))])
def test_a_clearance_to_the_last_day_opens_the_block(screening: Screening) -> None:
    told = require_clearance(replace(PERSON, screening=screening), SIX_WEEKS)

    assert any("Stay within the clearance" in one for one in told)


def written(text: str, person: object = PERSON, rpe: tuple[float, float] = (7.0, 8.0)) -> Block:
    made = read_block_text(text, catalogue())
    brief = replace(BRIEF, start=START, rpe=rpe, weeks=4)
    return fit_written(made, person, (GYM,), brief, catalogue(), estimates_of())  # type: ignore[arg-type]


def knee_until(ends: date) -> object:
    clearance = Clearance("Dr Example", GIVEN_ON, "loaded knee work", ends)
    rule = replace(parse_restriction("knee to 100 degrees"), needs_clearance=True, clearance=clearance)
    return replace(PERSON, restrictions=(rule,))


def test_a_joint_whose_clearance_ends_in_mid_block_stays_closed_and_the_block_says_so() -> None:
    text = "4 weeks\nMonday\nleg press 3 x 8\nbench press 3 x 8\n"

    held, short = (written(text, knee_until(ends)) for ends in (date(2027, 3, 1), date(2026, 9, 20)))

    on_sheet = [
        {entry.exercise for week in block.weeks for s in week.sessions for part in s.parts for entry in part.entries}
        for block in (held, short)
    ]
    assert "leg_press" in on_sheet[0] and "leg_press" not in on_sheet[1]
    assert not any("waits for clearance" in one for one in held.cautions)
    assert any("ends on 2026-09-20, before this block does" in one for one in short.cautions)


def test_a_clearance_holds_on_the_first_day_and_on_the_last() -> None:
    person = knee_until(date(2026, 10, 17))

    assert for_whole_block(person, date(2026, 9, 7), 5).restrictions[0].clearance is not None  # type: ignore[arg-type]
    assert for_whole_block(person, date(2026, 9, 7), 6).restrictions[0].clearance is None  # type: ignore[arg-type]


def test_lines_that_ask_more_than_the_brief_are_screened_by_what_they_ask() -> None:
    """Vigorous effort with a known disease needs clearance, whatever the brief beside the lines says."""
    person = replace(PERSON, screening=Screening(True, known_disease=True))
    gentle = "4 weeks\nMonday\nbench press 3 x 8 @ RPE 6\n"

    assert written(gentle, person, (5.0, 6.0)).weeks
    with pytest.raises(NoPlan, match="asks for RPE 9"):
        written(gentle.replace("RPE 6", "RPE 9"), person, (5.0, 6.0))


def test_the_effort_of_a_beginner_is_never_more_than_the_screen_saw() -> None:
    new = replace(PERSON, training_years=0.1)
    unset = replace(BRIEF, rpe=(6.5, 8.5), rpe_is_default=True)

    assert for_beginner(unset, new).rpe == NOVICE_RPE
    assert for_beginner(replace(unset, rpe=(5.0, 6.0)), new).rpe == (5.0, 6.0)
    assert for_beginner(replace(unset, rpe_is_default=False), new).rpe == (6.5, 8.5)


def test_in_pregnancy_the_front_is_left_to_the_coach_and_the_back_to_nobody() -> None:
    """Referee: ACOG 804 (2020) by way of rule S05: long spells on the back; it says nothing of the front."""
    cleared = Screening(True, pregnant=True, clearance=Clearance("midwife", GIVEN_ON, "moderate strength work"))
    person = replace(PERSON, screening=cleared)
    lying, bench = catalogue().get("leg_curl_lying"), catalogue().get("bench_bb")
    gear = frozenset().union(*lying.equipment, *bench.equipment)

    named = judge(lying, (), gear, person, asked=True)

    assert named.allowed and any("midwife" in one for one in named.cautions)
    assert not judge(lying, (), gear, person).allowed
    assert not judge(bench, (), gear, person, asked=True).allowed
    assert judge(lying, (), gear, PERSON).cautions == ()


def test_a_restriction_bars_the_front_also_where_the_coach_names_it() -> None:
    rules = (Restriction("knee", "knee", level="none", set_by="invented physiotherapist"),)
    person = replace(PERSON, restrictions=rules, screening=Screening(True, pregnant=True))
    lying = catalogue().get("leg_curl_lying")

    assert not judge(lying, person.restrictions, frozenset().union(*lying.equipment), person, asked=True).allowed
