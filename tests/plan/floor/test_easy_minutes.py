"""Easy minutes of a warm-up wait for no machine, pass every limit, and stay what they are when the hour goes on."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from referee import faults, the_past_is_kept
from test_timetable import PLACE, rows

from setwright.catalogue.load import catalogue
from setwright.people.trainee import Restriction, Screening, Trainee
from setwright.plan.block import Entry, Part, PlannedSet, Session
from setwright.plan.floor.again import AT_ONCE, plan_again
from setwright.plan.floor.asks import USUAL_TURNS, attendee, floor_stock
from setwright.plan.floor.easy import easy_starts
from setwright.plan.floor.first import first_timetable
from setwright.plan.floor.solve import USUAL, solve_floor
from setwright.plan.floor.timetable import end_s
from setwright.plan.floor.visit import Floor
from setwright.services.floor import followed

BARE = replace(PLACE, fixtures={"bike": 1}, stacks=())
EASY = Entry("bike_easy", (PlannedSet("work", None, time_s=240.0, rest_s=0.0),), "")
CURLS = Entry("pushup", (PlannedSet("work", (8, 8), load_means="body", rest_s=0.0),) * 2, "")
FREE = Trainee("ada", "Ada", 1990, 70.0, 1.7, 3.0, (), Screening(True))
NO_IMPACT = replace(FREE, restrictions=(Restriction("r", "ankle", level="light", impact_max=0),))


def session() -> Session:
    return Session("mon", BARE.id, 0.0, (Part("warm-up", (EASY,)), Part("main", (CURLS,))))


def floor_with(*people: Trainee) -> tuple[Floor, dict[str, Session]]:
    """Everybody begins with four easy minutes on the one bike."""
    sessions = {f"P{number}": session() for number in range(1, len(people) + 1)}
    made = [
        attendee(name, one, BARE, catalogue(), USUAL_TURNS, 0, easy_starts(person, BARE, catalogue()))
        for (name, one), person in zip(sessions.items(), people, strict=True)
    ]
    assert not [lacking for _, lacking in made if lacking]
    return Floor(tuple(person for person, _ in made), floor_stock(BARE, USUAL_TURNS)[0]), sessions


def ways(found: list[dict[str, Any]]) -> list[str]:
    return sorted(row["done_as"] or row["exercise"] for row in found if row["part"] == "warm-up")


def test_of_five_people_at_one_bike_one_rides_and_four_march_and_nobody_waits() -> None:
    """Referee: alone each takes the same time, so five together can't be quicker; common practice."""
    floor, sessions = floor_with(*[FREE] * 5)
    alone, _ = floor_with(FREE)

    first = first_timetable(floor)
    solved = solve_floor(floor, first, USUAL)

    assert first is not None and solved is not None
    ends = end_s(floor, first), solved.end_s
    lone = first_timetable(alone)
    assert lone is not None and ends == (end_s(alone, lone),) * 2 and solved.status == "optimal"
    for timetable in (first, solved.timetable):
        found = rows(floor, timetable)
        assert ways(found) == ["bike_easy", "march", "march", "march", "march"]
        assert faults(found, sessions, BARE, catalogue()) == []


def test_who_may_not_land_waits_for_the_bike_while_the_other_marches() -> None:
    floor, sessions = floor_with(FREE, NO_IMPACT, NO_IMPACT)

    solved = solve_floor(floor)

    assert solved is not None
    found = rows(floor, solved.timetable)
    assert [(row["name"], row["done_as"]) for row in found if row["done_as"]] == [("P1", "march")]
    assert faults(found, sessions, BARE, catalogue()) == []


def test_nobody_marches_whose_bike_is_free() -> None:
    floor, _ = floor_with(FREE)

    solved = solve_floor(floor)

    assert solved is not None and ways(rows(floor, solved.timetable)) == ["bike_easy"]


def test_who_marches_goes_on_marching_when_somebody_leaves() -> None:
    """The timetable is read back from its rows, as a page keeps it; at minute 2 all five are under way."""
    floor, _ = floor_with(*[FREE] * 5)
    first = first_timetable(floor)
    assert first is not None
    before = rows(floor, first)

    old = {"sets": before, "from_s": 0}
    was, timetable = followed(old, floor.attendees, floor.stock, "hour.json", 120)
    again = plan_again(floor, was, timetable, 120, gone=["P5"], effort=AT_ONCE)

    after = rows(again.floor, again.solved.timetable)
    assert the_past_is_kept(before, after, 120) == []
    assert ways(after).count("march") == 4


def test_a_piece_with_metres_to_keep_stays_at_its_machine() -> None:
    """500 m on the rower are no easy minutes: what is asked for by distance is done where it can be counted."""
    rowed = replace(BARE, fixtures={"rower": 1})
    piece = Entry("rower", (PlannedSet("work", None, distance_m=500.0, rest_s=0.0),), "")
    asked = Session("mon", rowed.id, 0.0, (Part("warm-up", (piece,)),))

    person, _ = attendee("P1", asked, rowed, catalogue(), USUAL_TURNS, 0, easy_starts(FREE, rowed, catalogue()))

    assert [use.things for visit in person.visits for use in visit.uses] == [("rower",)]
