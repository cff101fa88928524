"""Bouts in a block that is restricted, fitted to others, printed. Referee beside each check."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, time

from conditioning_floor import GYM, block_of, bouts_in
from made_block import PERSON, START, estimates_of

from setwright.catalogue.load import catalogue
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import StepReached, TrainingDay
from setwright.plan.bout import Target
from setwright.plan.fit_master import Fitted, fit_master
from setwright.plan.gates import judge
from setwright.plan.master import master_of_block
from setwright.plan.reshape import reshape_block
from setwright.plan.reshape_options import Asked
from setwright.plan.restrict import restrict_block
from setwright.plan.session_time import session_minutes_of
from setwright.publish.calendar_file import block_calendar
from setwright.publish.csv_file import planned_csv
from setwright.publish.page import session_page
from setwright.publish.sheet import session_data
from setwright.publish.terminal import session_text

MIX = "as many rounds as possible in 12 min: 10 kettlebell swings @ 16 kg, 5 pull-ups, 200 m run"
TEXT = f"Mon\nback squat 4 x 5 @ 7\n\n{MIX}\n\nrower 4 x 500 m, rest 2 min @ 2:05/500 m"


def fitted(**facts: object) -> Fitted:
    person = replace(PERSON, id="another", name="Another Person", **facts)  # type: ignore[arg-type]
    master = master_of_block(block_of(TEXT), catalogue(), estimates_of())
    return fit_master(master, person, (GYM,), catalogue(), estimates_of(person))


def test_a_sore_knee_changes_the_movement_that_it_closes_and_the_bout_stays_one() -> None:
    """Referee: the gate, asked of every movement after the change."""
    rule = parse_restriction("no impact on the knee")
    made = restrict_block(block_of(TEXT), rule, catalogue(), estimates_of(), 1)
    shared = [one for one in bouts_in(made) if one.superset]

    assert "run" not in [one.exercise for one in shared] and len(shared) == 3
    assert len({one.superset for one in shared}) == 1 and {one.bout.format for one in shared if one.bout} == {
        "as-many-rounds"
    }
    assert all(
        judge(catalogue().get(one.exercise), (rule,), frozenset(), dials=one.dials, ignore_equipment=True).allowed
        for one in shared
    )


def test_what_a_restriction_leaves_alone_stays_as_it_was() -> None:
    before = block_of(TEXT)
    after = restrict_block(before, parse_restriction("no impact on the knee"), catalogue(), estimates_of(), 1)
    kept = {one.exercise: one.bout for one in bouts_in(after)}

    assert kept["kb_swing"] == next(one.bout for one in bouts_in(before) if one.exercise == "kb_swing")
    assert kept["rower"] is not None and kept["rower"].target == Target("pace", 125.0, 125.0, per_m=500.0)


def test_a_master_keeps_its_bouts_for_everybody() -> None:
    entries = bouts_in(fitted().block)

    assert [one.exercise for one in entries] == ["kb_swing", "pullup", "run", "rower"]
    assert [one.bout for one in entries] == [one.bout for one in bouts_in(block_of(TEXT))]


def test_another_person_does_the_own_step_of_a_movement() -> None:
    """Referee: the progression file: step 3 of the pull-up is the inverted row."""
    entries = bouts_in(fitted(steps=(StepReached("pullup", 3, START),)).block)

    assert [one.exercise for one in entries] == ["kb_swing", "row_inv", "run", "rower"]
    assert entries[1].sets[0].reps == (5, 5) and entries[1].bout == entries[0].bout


def test_sheet_page_terminal_calendar_and_table_say_the_format() -> None:
    block, known = block_of(TEXT), catalogue()
    day = block.weeks[0].sessions[0].day
    said = "As many rounds as possible in 12 min"
    sheet = session_data(block, 1, day, known, "a4")
    entries = [one for section in sheet["sections"] for one in section["entries"]]

    assert [one["bout"] for one in entries if one["bout"]] == [said, "Intervals, at 2:05 per 500 m"]
    assert [one["score"] for one in entries if one["score"]] == ["Score: ____ rounds + ____ reps"]
    assert said in session_page(block, 1, day, known)
    assert said in session_text(block, 1, day, known) and "kettlebell swing: 10 reps, 16 kg" in session_text(
        block, 1, day, known
    )
    calendar = block_calendar(block, known, time(18, 0), datetime(2026, 9, 1, tzinfo=UTC)).replace(b"\r\n ", b"")
    assert said.encode() in calendar
    assert b"kb_swing" in planned_csv(block, known)


def test_a_short_day_keeps_a_bout_whole_or_leaves_it_out() -> None:
    """Minutes are hard. Referee: the time model, asked of the whole session as it stands."""
    whole = len(bouts_in(fitted().block))
    kept = set()
    for minutes in (25.0, 30.0, 35.0, 40.0, 60.0):
        block = fitted(days=(TrainingDay("mon", minutes, "gym"),)).block
        for week in block.weeks:
            for session in week.sessions:
                assert session_minutes_of(session.parts, catalogue(), GYM) == session.minutes <= minutes + 1e-6
        kept.add(len(bouts_in(block)))

    assert kept <= {0, 1, 3, whole} and len(kept) >= 2


def test_a_day_cut_short_never_sends_one_movement_of_a_bout_elsewhere() -> None:
    """Minutes are hard. Referee: the time model, asked of every session, and the place of each movement before."""
    before = block_of(f"{TEXT}\n\nWed\nbench press 4 x 6 @ 7")
    for minutes in (25.0, 35.0, 45.0):
        made = reshape_block(before, Asked(minutes={"mon": minutes}), catalogue(), estimates_of(), 1)
        for session in made.weeks[0].sessions:
            shared = [e for p in session.parts for e in p.entries if e.bout and e.bout.format == "as-many-rounds"]
            assert session_minutes_of(session.parts, catalogue(), GYM) == session.minutes
            assert session.day == "mon" or not shared
            assert session.day != "mon" or session.minutes <= minutes + 1e-6
