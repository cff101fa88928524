"""Done against planned: moved and missed sessions, warm-up and fillers, times, effort, and the published JSON."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import jsonschema_rs
from made_block import PERSON, START, made_block

from setwright.catalogue.load import catalogue
from setwright.plan.block import Filler, Session
from setwright.publish.review_schema import review_schema
from setwright.publish.review_text import review_text
from setwright.review.as_json import review_json
from setwright.review.findings import Review, review_block
from setwright.review.volume import WeekDone, done_by_week
from setwright.strength.estimates import estimate_lifts
from setwright.strength.logged import Log, LoggedSession, LoggedSet, Wellness

MON, THU = made_block().weeks[0].sessions
TUE_DATE = START + timedelta(days=1)


def as_planned(session: Session, when: date, name: str, time: str = "", week: int | None = 1) -> Log:
    """Every working set of a session as planned, to the lower end and with 3 left."""
    rows = [
        LoggedSet(when, week, name, entry.exercise, number, one.load_kg, reps=one.reps[0] if one.reps else None,
                  rir=3 if one.reps else None, hold_s=one.hold_s)
        for part in session.parts
        if part.part not in ("warm-up", "conditioning")
        for entry in part.entries
        for number, one in enumerate((planned for planned in entry.sets if planned.kind != "ramp"), start=1)
    ]  # fmt: skip
    return Log(tuple(rows), (LoggedSession(when, week, name, 7, 60, time=time),))


def both(*logs: Log) -> Log:
    return Log(tuple(s for log in logs for s in log.sets), tuple(s for log in logs for s in log.sessions))


def first_week(log: Log) -> WeekDone:
    return done_by_week(made_block(), log, catalogue())[0]


def reviewed(log: Log) -> Review:
    estimates = estimate_lifts(PERSON, catalogue(), PERSON.baselines, log, START + timedelta(days=14))
    return review_block(made_block(), log, estimates, catalogue())


def test_a_week_done_as_planned_counts_all_of_it() -> None:
    """Referee: the block's own counted sets and working sets."""
    week = first_week(both(as_planned(MON, START, "mon"), as_planned(THU, START + timedelta(days=3), "thu")))

    assert (week.sessions_done, week.missed, week.moved) == (2, (), ())
    assert week.sets_done == week.sets_planned > 0 and week.extra_sets == 0
    assert week.reps_planned is not None and week.reps_done == week.reps_planned[0] and week.rpe_called == 7
    assert week.credits_planned and all(
        week.credits[muscle] == planned for muscle, planned in week.credits_planned.items()
    )


def test_a_session_on_another_day_is_moved_not_missed() -> None:
    named_by_plan = first_week(as_planned(MON, TUE_DATE, "mon", "06:45"))
    named_by_day = first_week(as_planned(MON, TUE_DATE, "tue", "06:45"))
    without_week = first_week(as_planned(MON, TUE_DATE, "", "06:45", week=None))

    for week in (named_by_plan, named_by_day, without_week):
        (session,) = week.sessions
        assert (session.status, session.done_on, session.time) == ("moved", TUE_DATE, "06:45")
        assert (week.moved, week.missed, session.sets_done) == (("mon",), (), session.sets_planned)
        assert week.minutes_done == 60


def test_two_swapped_days_are_told_apart_by_what_was_done() -> None:
    week = first_week(both(as_planned(THU, START, ""), as_planned(MON, START + timedelta(days=3), "")))

    assert [one.status for one in week.sessions] == ["moved", "moved"] and week.missed == ()


def test_a_day_that_has_passed_without_a_row_is_missed_and_one_to_come_is_not() -> None:
    only_monday = first_week(as_planned(MON, START, "mon"))
    on = START + timedelta(days=3)
    thursday_morning = both(
        as_planned(MON, START, "mon"), Log((), (LoggedSession(on, None, "", None, None, morning_pain=0),))
    )
    later = both(as_planned(MON, START, "mon"), as_planned(MON, START + timedelta(days=7), "mon", week=2))

    assert only_monday.missed == () and first_week(thursday_morning).missed == ()
    assert first_week(later).missed == ("thu",)
    assert any(one.kind == "missed sessions" and "thu of week 1" in one.evidence for one in reviewed(later).findings)


def test_warm_up_and_filler_are_counted_apart_and_for_no_muscle() -> None:
    plain = as_planned(MON, START, "mon")
    drills = [entry.exercise for part in MON.parts if part.part == "warm-up" for entry in part.entries]
    part = next(part for part in MON.parts if part.part == "main")
    filled = replace(part.entries[0], filler=Filler("glute_bridge", (8, 8)))
    session = replace(
        MON, parts=tuple(replace(one, entries=(filled, *part.entries[1:])) if one is part else one for one in MON.parts)
    )
    week = made_block().weeks[0]
    block = replace(made_block(), weeks=(replace(week, sessions=(session, THU)), *made_block().weeks[1:]))
    extra = (
        LoggedSet(START, 1, "mon", drills[0], 1, reps=8, part="warm-up"),
        LoggedSet(START, 1, "mon", "glute_bridge", 1, reps=8, part="filler"),
    )

    without, found = (
        done_by_week(block, Log((*plain.sets, *rows), plain.sessions), catalogue())[0] for rows in ((), extra)
    )

    assert (without.warm_up, without.fillers) == (None, None)
    assert found.warm_up == (1, len(drills)) and found.fillers is not None and found.fillers[0] == 1
    assert found.credits == without.credits and found.sets_done == without.sets_done


def test_the_published_json_is_whole_and_names_its_conventions() -> None:
    """Referee: the JSON Schema that `setwright schema review` prints, read by another library."""
    morning = Wellness("bad-is-high", {"sleep": 2, "stress": 2, "fatigue": 3, "soreness": 2})
    days = Log(
        (LoggedSet(START, 1, "mon", "bike", 1, time_s=600, dials={"power_w": 75}, part="conditioning"),),
        (LoggedSession(START, None, "", None, None, wellness=morning, morning_pain=2, pain_where="knee"),),
    )
    found = reviewed(both(as_planned(MON, START, "mon", "18:30"), days))
    data = review_json(found)

    jsonschema_rs.validator_for(review_schema()).validate(data)
    told = data["conventions_in_full"]
    assert isinstance(told, dict) and set(told) == {
        "calendar", "scales", "gains", "load", "weighted_load", "sets", "energy", "wellness", "pain", "slow_and_fast"
    }  # fmt: skip
    assert "n-1" in str(data["conventions"])
    text = review_text(found)
    assert "conditioning 10 min" in " ".join(text.lower().split()) and "mon 18:30" in text and "high is bad" in text
    assert max(map(len, text.splitlines())) <= 80


def test_a_return_faster_than_the_published_ramp_is_found() -> None:
    """Referee: 50, 70, 80, 90 % of the usual sets after a break (CSCCa/NSCA 2019, digest), counted by hand."""
    person = replace(PERSON, weeks_off=3.0)
    back = replace(made_block(), inputs=replace(made_block().inputs, trainee=person))
    week = both(as_planned(MON, START, "mon"), as_planned(THU, START + timedelta(days=3), "thu"))
    estimates = estimate_lifts(PERSON, catalogue(), PERSON.baselines, week, START + timedelta(days=7))
    totals = [
        sum(
            one.kind != "ramp"
            for session in each.sessions
            for part in session.parts
            if part.part not in ("warm-up", "loaded-mobility", "conditioning")
            for entry in part.entries
            for one in entry.sets
        )
        for each in made_block().weeks
    ]
    usual = max(*totals, totals[3] / 0.9)

    found = review_block(back, week, estimates, catalogue())

    assert found.return_shares == {1: (0.5, found.weeks[0].sets_done / usual)}
    assert found.weeks[0].sets_done > 0.5 * usual + 2
    assert [one.about for one in found.findings if one.kind == "return too fast"] == ["week 1"]
    half = Log(week.sets[: int(0.5 * usual)], week.sessions)
    slow = review_block(back, half, estimates, catalogue())
    assert not [one for one in slow.findings if one.kind == "return too fast"]
    assert review_block(made_block(), week, estimates, catalogue()).return_shares == {}


def test_a_muscle_left_out_is_found() -> None:
    """Referee: rule V02, four counted sets a week at least (Iversen et al. 2021)."""
    whole = both(as_planned(MON, START, "mon"), as_planned(MON, START + timedelta(days=7), "mon", week=2))
    (finding,) = [one for one in reviewed(whole).findings if one.kind == "too few sets"]
    planned = {one.muscle for one in made_block().set_credits if one.week == 1 and one.fractional >= 4}

    assert planned and "in week 1" in finding.evidence and "in week 2" not in finding.evidence
