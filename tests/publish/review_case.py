"""A full review of an invented person: five weeks logged, pain, mornings, range, a climb; made once for its tests."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from functools import cache

from made_block import PERSON, START, made_block

from setwright.catalogue.load import catalogue
from setwright.people.trainee import RangeMeasure
from setwright.plan.block import Block
from setwright.plan.block_days import session_date
from setwright.publish.review_report import ReviewReport, review_report
from setwright.publish.units import Unit
from setwright.review.climb_days import climbs_so_far
from setwright.review.findings import review_block
from setwright.review.set_targets import sets_against_target
from setwright.review.wellness_scales import scales
from setwright.services.review_files import Reviewed, lift_charts
from setwright.strength.estimates import estimate_lifts
from setwright.strength.logged import Log, LoggedSession, LoggedSet, Wellness

HOSTILE = "<script>alert('knee')</script> & \"behind\" it"
RANGES = tuple(
    RangeMeasure(START + timedelta(days=day), "knee-to-wall", value, "cm", side)
    for day, left, right in ((-20, 8.0, 11.0), (8, 9.5, 11.0), (25, 12.0, 11.5))
    for side, value in (("left", left), ("right", right))
)


def block() -> Block:
    """The made block with range measures of its person."""
    person = replace(PERSON, range_measures=RANGES)
    return replace(made_block(), inputs=replace(made_block().inputs, trainee=person))


def sets_of(where: str) -> list[LoggedSet]:
    """Every working set as planned, a little stronger each week; squats hurt at a place, more each week."""
    rows = []
    for week in block().weeks:
        for session in week.sessions:
            day = session_date(block(), week.number, session.day)
            for part in session.parts:
                for entry in part.entries:
                    work = [one for one in entry.sets if one.kind == "work" and one.reps is not None]
                    for number, one in enumerate(work if part.part not in ("warm-up", "conditioning") else [], start=1):
                        hurts = entry.exercise == "back_squat"
                        rows.append(
                            LoggedSet(
                                day, week.number, session.day, entry.exercise, number, one.load_kg,
                                reps=(one.reps or (5, 5))[1], rir=2.0 + 0.5 * week.number, part=part.part,
                                pain=week.number + 1 if hurts else None, pain_where=where if hurts else "",
                            )
                        )  # fmt: skip
    return rows


def days_of(where: str) -> list[LoggedSession]:
    """Rated sessions, one of them without RPE, and a questionnaire every morning, the last clearly worse."""
    questions = scales()["good-is-high"].questions
    rows = []
    for week in block().weeks:
        for session in week.sessions:
            day = session_date(block(), week.number, session.day)
            rpe = None if (week.number, session.day) == (2, "thu") else 6.0 + 0.25 * week.number
            rows.append(LoggedSession(day, week.number, session.day, rpe, session.minutes))
            rows.append(
                LoggedSession(day + timedelta(days=1), None, "", None, None, morning_pain=week.number, pain_where=where)
            )
    last = 7 * len(block().weeks) - 1
    for day in range(last + 1):
        answer = 1.0 if day == last else 3.0 + (day % 3 == 0)
        told = Wellness("good-is-high", dict.fromkeys(questions, answer))
        rows.append(LoggedSession(START + timedelta(days=day), None, "", None, None, wellness=told))
    return rows


@cache
def reviewed(where: str = "knee") -> Reviewed:
    """The block with its log, estimates and review; ``where``: the words of the log for the place that hurts."""
    log = Log(tuple(sets_of(where)), tuple(days_of(where)))
    person = block().inputs.trainee
    estimates = estimate_lifts(person, catalogue(), person.baselines, log, max(one.date for one in log.sessions))
    return Reviewed(block(), log, estimates, review_block(block(), log, estimates, catalogue()))


@cache
def report(where: str = "knee", unit: Unit = "kg") -> ReviewReport:
    """The report on it."""
    found, known = reviewed(where), catalogue()
    return review_report(
        found.block,
        found.review,
        lift_charts(found.block, found.estimates, unit),
        sets_against_target(found.block, found.review.weeks, known),
        climbs_so_far(found.block, found.log, known),
        known,
        unit,
    )
