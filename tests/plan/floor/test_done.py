"""The hour goes on by the log: what is logged is done, what is not is to do, whatever the timetable had."""

from __future__ import annotations

import random
import sys
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from referee import faults_from_now
from test_again import by_entries, going_on
from test_timetable import NOBODY, USUAL_TURNS, assistance, floor_of, legs, random_hour, rows

from setwright.catalogue.load import catalogue
from setwright.plan.block import Part, PlannedSet, Session
from setwright.plan.floor.again import AT_ONCE, plan_again
from setwright.plan.floor.asks import attendee
from setwright.plan.floor.done import Done, sets_done
from setwright.plan.floor.first import by_order
from setwright.strength.logged import Log, LoggedSession, LoggedSet

sys.path.insert(0, str(Path(__file__).resolve().parents[3] / "benchmarks"))
from floor_hours import PLACE

DAY = date(2026, 9, 7)
RAMP = PlannedSet("ramp", (5, 5), load_kg=10.0, load_means="total", pieces="pin at 10", rest_s=60.0)


def done(exercise: str, number: int, **more: object) -> LoggedSet:
    return LoggedSet(DAY, 1, "mon", exercise, number, reps=8, **more)  # type: ignore[arg-type]


def test_numbers_of_a_log_count_working_sets_and_other_days_say_nothing() -> None:
    entry = replace(legs("leg_ext", 2), sets=(RAMP, *legs("leg_ext", 2).sets))
    session = assistance(legs("leg_curl_lying", 1), entry)

    log = Log((done("leg_ext", 1), replace(done("leg_ext", 2), date=date(2026, 9, 6)), done("leg_curl_lying", 4)))

    assert sets_done(session, log, DAY) == {(1, 2)}


def test_an_exercise_that_stands_twice_is_done_entry_by_entry_or_counted_through() -> None:
    session = assistance(legs("leg_ext", 2), legs("leg_curl_lying", 1), legs("leg_ext", 2))
    twice = Log(tuple(done("leg_ext", number) for number in (1, 2, 1)))
    through = Log(tuple(done("leg_ext", number) for number in (1, 2, 3)))

    assert sets_done(session, twice, DAY) == sets_done(session, through, DAY) == {(0, 1), (0, 2), (2, 1)}


def test_a_filler_is_no_set_of_its_exercise() -> None:
    assert sets_done(assistance(legs("leg_ext", 2)), Log((done("leg_ext", 1, part="filler"),)), DAY) == set()


def drawn(session: Session, timetable_done: set[tuple[int, int]], chance: random.Random) -> Done:
    """A log by chance: some of what the timetable had is missing, some is done ahead."""
    entries = [(at, entry) for at, entry in enumerate(e for part in session.parts for e in part.entries)]
    every = {(at, n) for at, one in entries for n, s in enumerate(one.sets, 1) if s.kind != "ramp"}
    missing = set(chance.sample(sorted(timetable_done), min(len(timetable_done), chance.randrange(3))))
    ahead = sorted(every - timetable_done)[: chance.randrange(3)]
    return frozenset((timetable_done - missing) | set(ahead)) & frozenset(every)


@pytest.mark.parametrize("minute", [5, 20, 40])
@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("turns", [USUAL_TURNS, NOBODY], ids=["turns", "held"])
def test_whatever_the_log_says_every_rule_is_kept_from_now_on(minute: int, seed: int, turns: frozenset[str]) -> None:
    """Referee: ``faults_from_now``. Logs by chance, seeded: people ahead, behind, and out of order."""
    sessions, now = random_hour(6, seed), 60 * minute
    floor = floor_of(sessions, turns=turns)
    timetable = by_order(floor, sorted(floor.keys, key=lambda key: (floor.visit(key).rank, key)))
    assert timetable is not None
    planned = rows(floor, timetable)
    chance = random.Random(f"{minute} {seed}")
    logged = {}
    for name in ("P1", "P2", "P3", "P4"):
        over = {(row["entry"], row["set"]) for row in planned if row["name"] == name and row["to_s"] <= now}
        logged[name] = drawn(sessions[name], over, chance)
    assert any(logged.values())

    for effort in (AT_ONCE, None):
        again = plan_again(floor, floor, timetable, now, logged=logged, **({"effort": effort} if effort else {}))
        made = rows(again.floor, again.solved.timetable)
        assert faults_from_now(made, sessions, PLACE, catalogue(), now, logged) == []
        assert again.solved.bound_s <= again.solved.end_s and again.solved.points_bound <= again.solved.points


@pytest.mark.parametrize("seed", range(2))
def test_a_log_that_agrees_with_the_timetable_changes_nothing(seed: int) -> None:
    floor, timetable = going_on(5, seed)
    now = 20 * 60
    over = {
        name: frozenset(
            (row["entry"], row["set"]) for row in rows(floor, timetable) if row["name"] == name and row["to_s"] <= now
        )
        for name in random_hour(5, seed)
    }
    assert all(over.values())

    by_log = plan_again(floor, floor, timetable, now, logged=over, effort=AT_ONCE)

    followed = plan_again(floor, floor, timetable, now, effort=AT_ONCE)
    assert by_entries(by_log) == by_entries(followed)


def test_a_set_that_was_missed_is_still_to_do_at_the_same_machine_and_the_next_one_waits_for_it() -> None:
    """By hand: A's third set was over at ``now`` and is not logged; B would be setting up next."""
    sessions = {"A": assistance(legs("leg_ext", 3)), "B": assistance(legs("leg_ext", 2))}
    floor = floor_of(sessions, turns=NOBODY)
    timetable = by_order(floor, [(0, 0), (1, 0)])
    assert timetable is not None
    now = timetable[(0, 0)].starts[2] + 40

    again = plan_again(floor, floor, timetable, now, logged={"A": frozenset({(0, 1), (0, 2)}), "B": frozenset()})

    made = rows(again.floor, again.solved.timetable)
    third = next(row for row in made if row["name"] == "A" and row["set"] == 3)
    assert third["from_s"] == now + 120  # a rest from now: nobody knows when the second set ended
    assert min(row["from_s"] for row in made if row["name"] == "B") >= third["to_s"]


def test_who_is_done_ahead_of_the_timetable_goes_home() -> None:
    floor = floor_of({"A": assistance(legs("leg_ext", 2)), "B": assistance(legs("leg_curl_lying", 3))})
    timetable = by_order(floor, floor.keys)
    assert timetable is not None
    now = timetable[(1, 0)].starts[0] + 60

    again = plan_again(floor, floor, timetable, now, logged={"B": frozenset({(0, 1), (0, 2), (0, 3)})})

    assert max(row["to_s"] for row in rows(again.floor, again.solved.timetable) if row["name"] == "B") <= now


def test_a_drop_in_whose_first_sets_are_logged_already_does_the_others() -> None:
    floor, timetable = going_on(4, 1)
    late, _ = attendee("Late", assistance(legs("leg_curl_lying", 3)), PLACE, catalogue(), USUAL_TURNS, 600)
    now = replace(floor, attendees=(*floor.attendees, late))

    again = plan_again(now, floor, timetable, 900, logged={"Late": frozenset({(0, 1)})})

    sessions = {**random_hour(4, 1), "Late": assistance(legs("leg_curl_lying", 3))}
    made = rows(again.floor, again.solved.timetable)
    assert faults_from_now(made, sessions, PLACE, catalogue(), 900, {"Late": frozenset({(0, 1)})}) == []


def test_of_one_who_left_what_is_not_logged_is_not_done() -> None:
    floor = floor_of({"A": assistance(legs("leg_ext", 3)), "B": assistance(legs("leg_curl_lying", 3))})
    timetable = by_order(floor, floor.keys)
    assert timetable is not None
    now = timetable[(0, 0)].starts[2] + 200

    again = plan_again(floor, floor, timetable, now, gone=["A"], logged={"A": frozenset({(0, 1)})})

    assert [(one.name, one.steps) for one in again.dropped] == [("A", (1, 2))]
    assert [row["set"] for row in rows(again.floor, again.solved.timetable) if row["name"] == "A"] == [1]


def test_a_second_change_keeps_what_the_first_has_cut() -> None:
    """A machine breaks in the second set; ten minutes later somebody leaves."""
    sessions = {"A": assistance(legs("leg_ext", 4)), "B": assistance(legs("leg_curl_lying", 4))}
    floor = floor_of(sessions)
    timetable = by_order(floor, floor.keys)
    assert timetable is not None
    at = timetable[(0, 0)].starts[1] + 5
    broken = replace(floor, stock={**floor.stock, "machine:leg_extension": 0})
    first = plan_again(broken, floor, timetable, at, broken=["machine:leg_extension"])

    second = plan_again(broken, first.floor, first.solved.timetable, at + 60, ["machine:leg_extension"], ["B"])

    assert [row["set"] for row in rows(second.floor, second.solved.timetable) if row["name"] == "A"] == [1, 2]
    assert ("A", (2, 3)) in {(one.name, one.steps) for one in second.dropped}


def test_a_bout_is_done_with_its_score_and_not_with_a_part_of_its_sets() -> None:
    import test_timetable_bouts as bouts

    session = Session("mon", PLACE.id, 0.0, (Part("conditioning", bouts.circuit("A")),))
    scored = Log((), (LoggedSession(DAY, 1, "mon", None, None, bout="A", score="3 rounds"),))
    part = Log((done(bouts.MOVEMENTS[0], 1),))

    assert sets_done(session, scored, DAY) == {(0, 1)}
    assert (0, 1) not in sets_done(session, part, DAY)
