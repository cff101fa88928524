"""A stall is said with what else changed in its weeks, as facts side by side; that nothing did is said too."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from week_of_log import block, log_of, monday

from setwright.catalogue.load import catalogue
from setwright.people.trainee import Restriction
from setwright.plan.block import Block
from setwright.review.changed_then import NOTHING, STALLS, changed_then, with_what_changed
from setwright.review.finding import Finding
from setwright.review.volume import done_by_week
from setwright.review.wellness import wellness_days
from setwright.review.wellness_scales import scales
from setwright.strength.logged import Log, LoggedSession, Wellness

LATER = (4, 5, 7)  # week 6 is an easy one


def told(log: Log, plan: Block | None = None) -> str:
    made = plan or block()
    return changed_then(made, done_by_week(made, log, catalogue()), wellness_days(log.sessions))


def sessions(log: Log, **more: object) -> Log:
    """The log with fields of the sessions of the later weeks."""
    rows = tuple(replace(one, **more) if one.week in LATER else one for one in log.sessions)  # type: ignore[arg-type]
    return Log(log.sets, rows)


def mornings(scale: str, step: int) -> tuple[LoggedSession, ...]:
    """Two mornings a week, worse by some steps in the later weeks; every other morning one step off."""
    one = scales()[scale]
    way = -one.step if one.good_is_high else one.step
    start = one.high - 2 * one.step if one.good_is_high else one.low + 2 * one.step
    rows = []
    for week in range(1, 8):
        for nth in (0, 3):
            level = start + way * ((nth > 0) + (step if week in LATER else 0))
            answers = Wellness(scale, dict.fromkeys(one.questions, level))
            rows.append(LoggedSession(monday(week) + timedelta(days=nth), week, "", None, None, wellness=answers))
    return tuple(rows)


def test_where_nothing_changed_that_is_said() -> None:
    assert told(log_of(range(1, 8))) == f"{NOTHING} (weeks 4 to 7)."


@pytest.mark.parametrize(
    ("log", "said"),
    [
        (log_of(range(1, 8), missed=[(4, "thu"), (5, "mon")]), "2 of 6 sessions missed, 0 of 6 before"),
        (
            log_of(range(1, 8), lambda week, entry: {"skip": week in LATER and entry.exercise == "row_cable"}),
            "sets 9 a week, 12 before",
        ),
        (log_of(range(1, 8), lambda week, _: {"rir_off": -1.5 if week in LATER else 0.0}), "RPE 9"),
        (sessions(log_of(range(1, 8)), minutes=50.0), "50 minutes a session, "),
        (
            log_of(range(1, 8), lambda week, _: {"time": "19:00" if week in LATER else "07:00"}),
            "trained about 19 o'clock, 7 before",
        ),
        (
            log_of(range(1, 8), lambda week, _: {"pain": 2 if week == 5 else 0, "pain_where": ""}),
            "pain up to 2 of 10, 0 before",
        ),
    ],
)
def test_each_thing_that_changed_is_said_with_both_figures(log: Log, said: str) -> None:
    """By hand: three later hard weeks of two sessions and twelve sets against three before."""
    assert said in told(log) and told(log).startswith("In weeks 4 to 7, against those before: ")


@pytest.mark.parametrize("scale", sorted(scales()))
def test_worse_mornings_are_worse_on_either_scale(scale: str) -> None:
    log = log_of(range(1, 8))

    assert "mornings worse by" in told(Log(log.sets, (*log.sessions, *mornings(scale, 1))))
    assert "mornings" not in told(Log(log.sets, (*log.sessions, *mornings(scale, 0))))


def test_a_limit_that_began_then_is_said() -> None:
    rule = Restriction("knee", "knee", since=monday(4))
    trainee = replace(block().inputs.trainee, restrictions=(rule,))

    found = told(log_of(range(1, 8)), replace(block(), inputs=replace(block().inputs, trainee=trainee)))
    assert "a limit at the knee began" in found


def test_too_few_weeks_say_nothing() -> None:
    assert told(log_of(range(1, 5))) == "" == told(Log())


def test_only_a_stall_is_told_what_else_changed() -> None:
    found = [Finding(kind, "x", "Evidence.", None, "", 1) for kind in (*STALLS, "gaining", "pain")]
    made = with_what_changed(found, "Told.")

    assert [one.evidence for one in made] == ["Evidence. Told."] * len(STALLS) + ["Evidence."] * 2
    assert with_what_changed(found, "") == found
