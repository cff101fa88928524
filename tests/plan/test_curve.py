"""The curve of effort and volume: what the brief says holds, gentle limits bind, wrong curves are plain faults.

Referees: CSCCa/NSCA 2019 (50, 70, 80, 90 % after a break; seen in a digest); Riebe 2015 (light to moderate first for
people not active so far; seen); Lloyd 2014 and ACOG 804 for whom effort stays moderate (digests; the RPE figures are
common practice).
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from made_block import BRIEF, GYM, PERSON, estimates_of

from setwright.catalogue.load import catalogue
from setwright.faults import InputFaults
from setwright.people.trainee import Screening
from setwright.plan.brief import Brief, LiftWish
from setwright.plan.brief_file import read_brief
from setwright.plan.design import design_block, made_gentle
from setwright.plan.weeks import easier_than_before, easy_weeks_of, week_shapes

HEAD = 'id = "x"\nweeks = 6\ndays_a_week = 2\nminutes = 60\nstart = 2026-09-07\n'
SIX_TO_EIGHT = (6.0, 6.5, 7.0, 7.5, 8.0, 6.0)
SIX_WEEKS = replace(BRIEF, weeks=6, lifts=(), skill=None)
CURVED = replace(SIX_WEEKS, rpe=(6.0, 8.0), rpe_by_week=SIX_TO_EIGHT)


def rpe_of(brief: Brief, weeks_off: float = 0.0, is_active: bool = True) -> list[float]:
    return [one.rpe for one in week_shapes(brief, weeks_off, is_active)]


def share_of(brief: Brief, weeks_off: float = 0.0) -> list[float]:
    return [round(one.share, 3) for one in week_shapes(brief, weeks_off)]


def faults_of(text: str) -> str:
    with pytest.raises(InputFaults) as caught:
        read_brief(HEAD + text, "brief.toml")
    return str(caught.value)


def test_the_effort_of_each_week_is_what_the_coach_wrote() -> None:
    assert rpe_of(CURVED) == list(SIX_TO_EIGHT)


def test_a_curve_that_ends_easy_has_an_easy_week_without_saying_so() -> None:
    kinds = [one.kind for one in week_shapes(CURVED)]

    assert kinds == ["build"] * 5 + ["deload"]
    assert share_of(CURVED)[-1] < share_of(CURVED)[0] < share_of(CURVED)[4] == 1.0


def test_the_sets_of_each_week_are_what_the_coach_wrote() -> None:
    shares = (0.7, 0.8, 0.9, 0.5, 1.0, 0.6)
    brief = replace(SIX_WEEKS, sets_by_week=shares)

    assert share_of(brief) == list(shares)
    assert [one.number for one in week_shapes(brief) if one.kind == "deload"] == [4, 6]


def test_named_easy_weeks_are_the_only_ones() -> None:
    brief = replace(SIX_WEEKS, weeks=8, easy_weeks=(3, 7))

    assert [one.number for one in week_shapes(brief) if one.kind == "deload"] == [3, 7]
    assert easy_weeks_of(replace(brief, easy_weeks=())) == frozenset()


def test_a_named_easy_week_stays_though_the_block_ends_with_a_test() -> None:
    tested = replace(SIX_WEEKS, rpe=(7.0, 9.0), lifts=(LiftWish("back_squat", aim="1rm"),), easy_weeks=(6,))

    assert [one.kind for one in week_shapes(tested)][-2:] == ["test", "deload"]


def test_a_week_is_easier_from_one_rpe_or_three_tenths_of_the_sets_less() -> None:
    assert easier_than_before((7, 6.5, 7, 6), ()) == (4,)
    assert easier_than_before((), (1.0, 0.71, 0.7, 0.49)) == (4,)
    assert easier_than_before((7, 7, 6), (0.8, 0.5, 1.0)) == (2, 3)


def test_the_line_from_first_to_last_week_is_as_before() -> None:
    assert rpe_of(replace(SIX_WEEKS, rpe=(6.0, 8.0), deload_every=0)) == [6.0, 6.5, 7.0, 7.0, 7.5, 8.0]


def test_a_returner_keeps_the_published_ramp_under_any_curve() -> None:
    """CSCCa/NSCA 2019: at most 50, 70, 80 and 90 % of the usual in the first four weeks."""
    full = replace(CURVED, sets_by_week=(1.0,) * 6, easy_weeks=())

    assert share_of(full, weeks_off=4.0) == [0.5, 0.7, 0.8, 0.9, 1.0, 1.0]
    assert rpe_of(replace(full, rpe_by_week=(8.0,) * 6), weeks_off=4.0)[:4] == [6.0, 6.5, 7.0, 7.5]


def test_a_curve_under_the_ramp_of_a_returner_stays_as_it_is() -> None:
    low = replace(SIX_WEEKS, sets_by_week=(0.4, 0.5, 0.6, 0.7, 0.9, 1.0), easy_weeks=())

    assert share_of(low, weeks_off=4.0) == [0.4, 0.5, 0.6, 0.7, 0.9, 1.0]


def test_somebody_not_active_starts_moderate_under_any_curve() -> None:
    hard = replace(CURVED, rpe_by_week=(8.0,) * 6, easy_weeks=())

    assert rpe_of(hard, is_active=False) == [6.0, 6.5, 7.0, 7.5, 8.0, 8.0]


@pytest.mark.parametrize(
    ("facts", "most"),
    [
        ({"birth_year": 2012}, 7.0),
        ({"birth_year": 1950, "training_years": 0.1}, 7.0),
        ({"screening": Screening(True, pregnant=True)}, 6.0),
    ],
)
def test_a_gentle_limit_holds_under_a_curve_by_week(facts: dict[str, object], most: float) -> None:
    hard = replace(CURVED, rpe=(7.0, 9.0), rpe_by_week=(7.0, 8.0, 9.0, 9.0, 9.0, 5.0))
    gentle, unmet = made_gentle(hard, replace(PERSON, **facts))  # type: ignore[arg-type]

    shapes = week_shapes(gentle)
    assert max(one.rpe for one in shapes) == most and shapes[0].rpe == 6.0 and shapes[-1].rpe == 5.0
    assert shapes[-1].kind == "deload"  # the coach's easier week stays one under the lowered curve
    assert len(unmet) == 1 and str(int(most)) in unmet[0].why


def test_a_curve_that_is_gentle_already_is_left_alone() -> None:
    mild = replace(CURVED, rpe=(5.0, 6.0), rpe_by_week=(5.0, 5.5, 5.5, 6.0, 6.0, 5.0))
    gentle, _ = made_gentle(mild, replace(PERSON, birth_year=2012))

    assert gentle.rpe_by_week == mild.rpe_by_week


@pytest.mark.long
def test_a_designed_way_back_says_what_came_down_and_keeps_the_ramp() -> None:
    """CSCCa/NSCA 2019: 50, 70, 80 and 90 %; the coach wrote the whole from the first week."""
    person = replace(PERSON, weeks_off=4.0)
    wished = replace(BRIEF, skill=None, rpe=(7.0, 8.0), rpe_by_week=(7.0, 7.5, 8.0, 8.0), sets_by_week=(1.0,) * 4)
    block = design_block(person, (GYM,), replace(wished, easy_weeks=()), catalogue(), estimates_of(person), limit=0.2)
    said = {rule: [one.why for one in block.unmet if one.rule == rule] for rule in ("C02", "D01")}

    assert [week.rpe for week in block.weeks] == [6.0, 6.5, 7.0, 7.5]
    assert not said["D01"]
    assert "Week 1 is RPE 6, not 7, after weeks off." in said["C02"]
    assert "Week 1 holds 50 % of the sets, not 100, after weeks off." in said["C02"]


def test_the_brief_file_reads_a_curve() -> None:
    brief = read_brief(
        HEAD + "rpe_by_week = [6, 6.5, 7, 7.5, 8, 6]\nsets_by_week = [0.75, 0.8, 0.85, 0.9, 1, 0.6]\n", "b"
    )

    assert brief.rpe_by_week == SIX_TO_EIGHT and brief.rpe == (6.0, 8.0) and not brief.rpe_is_default
    assert brief.sets_by_week[-1] == 0.6 and brief.easy_weeks == (6,)
    assert read_brief(HEAD + "easy_weeks = []", "b").easy_weeks == ()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("rpe_by_week = [6, 7]", "6 numbers from 1 to 10, one for each week"),
        ("rpe_by_week = [6, 7, 8, 9, 10, 11]", "6 numbers from 1 to 10"),
        ("rpe_by_week = 7", "6 numbers from 1 to 10"),
        ('rpe_by_week = ["6", 6, 6, 6, 6, 6]', "6 numbers from 1 to 10"),
        ("rpe_by_week = [6, true, 7, 7, 7, 7]", "6 numbers from 1 to 10"),
        ("rpe_by_week = [6, nan, 7, 7, 7, 7]", "6 numbers from 1 to 10"),
        ("rpe = [6, 8]\nrpe_by_week = [6, 6, 7, 7, 8, 8]", "rpe or rpe_by_week, not both"),
        ("sets_by_week = [75, 80, 85, 90, 100, 60]", "Write 0.75 for three quarters"),
        ("sets_by_week = [0.5, 0.6, 0.7, 0.8, 0.9, 0.6]", "so one of them is 1"),
        ("easy_weeks = [7]", "numbers of weeks from 1 to 6"),
        ("easy_weeks = [4, 4]", "each once"),
        ("easy_weeks = 4", "like [4]"),
        ("easy_weeks = [1, 2, 3, 4, 5, 6]", "at least one week that is not easier"),
        ("easy_weeks = [4]\ndeload_every = 3", "easy_weeks = [4] names the easier weeks"),
        ("deload_every = 3\nrpe_by_week = [6, 6, 7, 7, 8, 8]", "A curve by week says itself"),
        ("rpe_by_weeks = [6, 6, 7, 7, 8, 8]", "Did you mean rpe_by_week?"),
    ],
)
def test_a_curve_that_does_not_fit_is_one_plain_fault(text: str, said: str) -> None:
    found = faults_of(text)

    assert said in found and len(found.splitlines()) == 1
