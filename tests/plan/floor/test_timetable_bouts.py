"""A bout of conditioning on a floor: one visit of all its stations, as long as its clock or its work says."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from referee import faults
from test_timetable import assistance, floor_of, legs, rows

from setwright.catalogue.load import catalogue
from setwright.plan.block import Entry, Part, PlannedSet, Session
from setwright.plan.bout import Bout
from setwright.plan.floor.asks import SET_UP_S
from setwright.plan.floor.first import by_order
from setwright.plan.floor.solve import solve_floor
from setwright.plan.floor.timetable import end_of

sys.path.insert(0, str(Path(__file__).resolve().parents[3] / "benchmarks"))
from floor_hours import PLACE

MOVEMENTS = ("goblet_squat", "row_db")
CIRCUIT = Bout("circuit", rounds=3, work_s=40.0, rest_s=20.0)


def circuit(letter: str, bout: Bout = CIRCUIT) -> tuple[Entry, ...]:
    """Three rounds of two movements with the same dumbbell."""
    one = PlannedSet(
        "work", (10, 10), load_kg=12.0, load_means="total", pieces="12 kg dumbbell", time_s=40.0, rest_s=20.0
    )
    return tuple(Entry(slug, (one,) * 3, "", superset=letter, bout=bout) for slug in MOVEMENTS)


def conditioning(*entries: Entry) -> Session:
    return Session("mon", PLACE.id, 0.0, (Part("conditioning", entries),))


@pytest.mark.parametrize(
    ("bout", "seconds"),
    [
        (
            CIRCUIT,
            10 + 6 * 60 - 20,
        ),  # by hand: six stations of 40 s work and 20 s rest, none after the last; 10 s to settle
        (Bout("as-many-rounds", time_s=600.0), 10 + 600),
        (Bout("every-minute", rounds=8, time_s=480.0, every_s=60.0), 10 + 480),
    ],
    ids=["circuit", "as many rounds", "every minute"],
)
def test_a_bout_takes_its_clock_and_no_rest_of_sets(bout: Bout, seconds: int) -> None:
    floor = floor_of({"A": conditioning(*circuit("A", bout))})
    (visit,) = floor.attendees[0].visits

    assert [(step.kind, step.work_s) for step in visit.steps] == [("bout", seconds)] and visit.rests == ()


def test_one_dumbbell_serves_all_movements_of_a_bout() -> None:
    (visit,) = floor_of({"A": conditioning(*circuit("A"))}).attendees[0].visits

    counts = {use.things: use.count for use in visit.uses if any("12 kg" in thing for thing in use.things)}
    assert counts and set(counts.values()) == {1}


def test_a_bout_keeps_its_machine_from_its_start_to_its_end() -> None:
    """By hand: B wants the leg extension that stands in the bout of A, and starts after it, set up anew."""
    one = PlannedSet("work", (12, 12), load_kg=20.0, load_means="total", pieces="pin at 20", rest_s=0.0)
    bout = Bout("as-many-rounds", time_s=300.0)
    mine = tuple(Entry(slug, (one,), "", superset="A", bout=bout) for slug in ("leg_ext", "leg_curl_lying"))
    sessions = {"A": conditioning(*mine), "B": assistance(legs("leg_ext", 2))}
    floor = floor_of(sessions)

    timetable = by_order(floor, [(0, 0), (1, 0)])

    assert timetable is not None
    over = end_of(floor.visit((0, 0)), timetable[(0, 0)].starts)
    assert over - timetable[(0, 0)].starts[0] == 310
    assert timetable[(1, 0)].starts[0] >= over + SET_UP_S - SET_UP_S
    assert faults(rows(floor, timetable), sessions, PLACE, catalogue()) == []


def test_people_with_bouts_and_lifts_share_the_floor_and_every_rule_is_kept() -> None:
    lift = Part("main", (legs("leg_press", 3),))
    both = Session("mon", PLACE.id, 0.0, (lift, Part("conditioning", circuit("C"))))
    sessions = {"A": both, "B": conditioning(*circuit("C")), "C": assistance(legs("leg_press", 3))}
    floor = floor_of(sessions)

    solved = solve_floor(floor)

    assert solved is not None
    found = rows(floor, solved.timetable)
    assert faults(found, sessions, PLACE, catalogue()) == []
    assert [row["name"] for row in found if row["kind"] == "bout"].count("A") == 1
