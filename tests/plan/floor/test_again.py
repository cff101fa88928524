"""An hour that goes on: a drop-in, a no-show, a broken machine; and what scarcity costs."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import pytest
from referee import faults, the_past_is_kept
from test_timetable import QUICK, USUAL_TURNS, assistance, floor_of, legs, random_hour, rows

from setwright.catalogue.load import catalogue
from setwright.plan.block import Part, Session
from setwright.plan.floor.again import AT_ONCE, Again, plan_again
from setwright.plan.floor.asks import attendee
from setwright.plan.floor.bounds import alone_s
from setwright.plan.floor.first import first_timetable
from setwright.plan.floor.scarcity import Offer, best_exchange, one_more, unlimited_end_s
from setwright.plan.floor.solve import solve_floor
from setwright.plan.floor.timetable import end_s
from setwright.plan.floor.visit import Floor, Placed

sys.path.insert(0, str(Path(__file__).resolve().parents[3] / "benchmarks"))
from floor_hours import PLACE

NOW_S = 20 * 60


def going_on(people: int, seed: int) -> tuple[Floor, dict[tuple[int, int], Placed]]:
    floor = floor_of(random_hour(people, seed))
    timetable = first_timetable(floor)
    assert timetable is not None
    return floor, timetable


def begun(timetable: dict[tuple[int, int], Placed]) -> dict[tuple[int, int], Placed]:
    return {key: placed for key, placed in timetable.items() if placed.starts[0] <= NOW_S}


def by_entries(again: Again) -> dict[tuple[str, tuple[int, ...]], Placed]:
    floor = again.floor
    return {
        (floor.attendees[key[0]].name, floor.visit(key).entries): placed
        for key, placed in again.solved.timetable.items()
    }


@pytest.mark.parametrize("seed", range(3))
def test_where_nothing_happened_nothing_changes(seed: int) -> None:
    floor, timetable = going_on(5, seed)
    solved = solve_floor(floor, timetable, QUICK)
    assert solved is not None

    again = plan_again(floor, floor, solved.timetable, NOW_S)

    done = {key: placed for key, placed in solved.timetable.items() if placed.starts[0] <= NOW_S}
    assert done and all(again.solved.timetable[key] == placed for key, placed in done.items())
    assert again.dropped == () and again.solved.end_s <= solved.end_s


@pytest.mark.parametrize("seed", range(3))
def test_a_drop_in_starts_after_now_and_what_is_under_way_stays(seed: int) -> None:
    floor, timetable = going_on(5, seed)
    more = dict(random_hour(1, 7 + seed))
    late, lacking = attendee("Late", more["P1"], PLACE, catalogue(), USUAL_TURNS, NOW_S)
    assert lacking == ()

    again = plan_again(replace(floor, attendees=(*floor.attendees, late)), floor, timetable, NOW_S)

    assert all(again.solved.timetable[key] == placed for key, placed in begun(timetable).items())
    sessions = {**random_hour(5, seed), "Late": more["P1"]}
    assert faults(rows(again.floor, again.solved.timetable), sessions, PLACE, catalogue(), {"Late": NOW_S}) == []
    assert any(one.name == "Late" and one.from_s is None for one in again.moved)


@pytest.mark.parametrize("minute", [3, 20, 45])
@pytest.mark.parametrize("seed", range(2))
def test_a_repair_at_once_keeps_every_rule_and_the_search_after_it_is_no_worse(seed: int, minute: int) -> None:
    floor, timetable = going_on(6, seed)
    late, _ = attendee("Late", random_hour(1, 7 + seed)["P1"], PLACE, catalogue(), USUAL_TURNS, 60 * minute)
    now = replace(floor, attendees=(*floor.attendees, late))

    at_once = plan_again(now, floor, timetable, 60 * minute, effort=AT_ONCE)
    again = plan_again(now, floor, timetable, 60 * minute)

    sessions = {**random_hour(6, seed), "Late": random_hour(1, 7 + seed)["P1"]}
    arrives = {"Late": 60 * minute}
    assert faults(rows(at_once.floor, at_once.solved.timetable), sessions, PLACE, catalogue(), arrives) == []
    assert faults(rows(again.floor, again.solved.timetable), sessions, PLACE, catalogue(), arrives) == []
    assert again.solved.points <= at_once.solved.points
    for one in (at_once, again):
        made = rows(one.floor, one.solved.timetable)
        # a visit goes on where it is begun or being set up, so a set may begin in the same second
        assert the_past_is_kept(rows(floor, timetable), made, 60 * minute - 1) == []


def test_the_referee_sees_a_past_that_is_changed() -> None:
    floor, timetable = going_on(3, 0)
    was = rows(floor, timetable)
    other = [{**row, "from_s": row["from_s"] + 5} if row["from_s"] < 300 else row for row in was]

    assert the_past_is_kept(was, was, 600) == []
    assert any("lost" in one for one in the_past_is_kept(was, other, 600))
    assert any("lost" in one for one in the_past_is_kept(was, [r for r in was if r["from_s"] > 60], 600))


def test_who_is_not_there_takes_nothing_and_the_others_are_done_no_later() -> None:
    floor, timetable = going_on(6, 1)
    name = floor.attendees[2].name

    again = plan_again(floor, floor, timetable, 0, gone=[name])

    assert again.floor.attendees[2].visits == ()
    left = {name: one for name, one in random_hour(6, 1).items() if name != floor.attendees[2].name}
    assert faults(rows(again.floor, again.solved.timetable), left, PLACE, catalogue()) == []
    assert again.solved.end_s <= end_s(floor, timetable)
    assert {one.name for one in again.dropped} == {name}


def test_a_broken_machine_is_not_used_again_and_what_was_planned_there_is_named() -> None:
    parts = (Part("main", (legs("leg_press", 5),)), Part("assistance", (legs("leg_ext", 3),)))
    sessions = {"A": Session("mon", PLACE.id, 0.0, parts), "B": assistance(legs("leg_ext", 4))}
    floor = floor_of(sessions)
    timetable = first_timetable(floor)
    assert timetable is not None
    at = timetable[(1, 0)].starts[1] + 5  # B is in the second set of four
    now = replace(floor, stock={**floor.stock, "machine:leg_extension": 0})

    again = plan_again(now, floor, timetable, at, broken=["machine:leg_extension"])

    dropped = {(one.name, one.visit.exercises, one.steps) for one in again.dropped}
    assert dropped == {("A", ("leg_ext",), (0, 1, 2)), ("B", ("leg_ext",), (2, 3))}
    later = [row for row in rows(again.floor, again.solved.timetable) if row["from_s"] > at]
    assert later and not any(hold["thing"] == "machine:leg_extension" for row in later for hold in row["holds"])
    assert any(row["exercise"] == "leg_press" for row in rows(again.floor, again.solved.timetable))


def test_one_of_four_benches_breaks_and_those_under_way_go_on() -> None:
    floor, timetable = going_on(6, 2)
    now = replace(floor, stock={**floor.stock, "bench": 3})

    again = plan_again(now, floor, timetable, NOW_S, broken=["bench"])

    place = replace(PLACE, fixtures={**PLACE.fixtures, "bench": 3})
    later = [row for row in rows(again.floor, again.solved.timetable) if row["from_s"] > NOW_S]
    assert later and not any("bench" in one for one in faults(later, {}, place, catalogue()))
    assert len([one for one in again.dropped if one.things]) <= 1


def test_a_cable_that_breaks_by_its_number_leaves_the_other_one() -> None:
    floor, timetable = going_on(6, 0)
    now = replace(floor, stock={**floor.stock, "cable #1": 0})

    again = plan_again(now, floor, timetable, NOW_S, broken=["cable #1"])

    taken = {h["thing"] for r in rows(again.floor, again.solved.timetable) if r["from_s"] > NOW_S for h in r["holds"]}
    assert "cable #1" not in taken


def test_the_end_without_scarcity_is_that_of_the_longest_alone() -> None:
    floor, timetable = going_on(5, 3)

    assert unlimited_end_s(floor) == max(alone_s(one) for one in floor.attendees) <= end_s(floor, timetable)


def test_one_more_machine_saves_what_a_new_plan_says_it_does() -> None:
    """Referee: the hour planned anew with two machines."""
    sessions = {name: assistance(legs("leg_ext", 3)) for name in "ABCDEF"}
    floor = floor_of(sessions, turns=frozenset())
    solved = solve_floor(floor)
    assert solved is not None

    found = one_more(floor, solved.timetable)

    two = solve_floor(replace(floor, stock={**floor.stock, "machine:leg_extension": 2}))
    assert two is not None and found[0].thing == "machine:leg_extension"
    assert found[0].end_s == two.end_s and found[0].saves_s == solved.end_s - two.end_s > 0


def test_the_exchange_that_saves_most_is_the_one_off_the_busy_machine() -> None:
    """Referee: brute force, every offered exchange planned anew to proof."""
    sessions = {name: assistance(legs("leg_ext", 3)) for name in "ABC"} | {"D": assistance(legs("leg_curl_lying", 3))}
    floor = floor_of(sessions, turns=frozenset())
    solved = solve_floor(floor)
    assert solved is not None
    offers = []
    for a, slug in ((0, "leg_press"), (1, "leg_curl_lying"), (3, "leg_ext")):
        was = floor.attendees[a]
        person, _ = attendee(was.name, assistance(legs(slug, 3)), PLACE, catalogue(), frozenset())
        offers.append(Offer(a, 0, was.visits[0].exercises[0], slug, "", "", person))

    found = best_exchange(floor, solved.timetable, offers)

    ends = {}
    for offer in offers:
        people = list(floor.attendees)
        people[offer.attendee] = offer.person
        new = solve_floor(replace(floor, attendees=tuple(people)))
        assert new is not None and new.status == "optimal"
        ends[offer.instead] = new.end_s
    assert found is not None and found.offer.instead == "leg_press" == min(ends, key=lambda one: ends[one])
    assert found.end_s == ends["leg_press"]
    assert floor.attendees[0].visits[0].exercises == ("leg_ext",)  # nothing is exchanged without asking
