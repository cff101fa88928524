"""A group on one floor: every rule is kept, tiny hours are the best possible, and a broken timetable is seen."""

from __future__ import annotations

import sys
from collections.abc import Mapping, Sequence
from dataclasses import asdict, replace
from functools import cache
from itertools import pairwise, permutations, product
from pathlib import Path
from typing import Any

import pytest
from referee import faults

from setwright.catalogue.load import catalogue
from setwright.people.place import Place
from setwright.plan.block import Entry, Part, PlannedSet, Session
from setwright.plan.floor.asks import USUAL_TURNS, attendee, floor_stock
from setwright.plan.floor.bounds import alone_s, simple_bound
from setwright.plan.floor.draft import Draft
from setwright.plan.floor.first import by_order, first_timetable, order_of
from setwright.plan.floor.rows import rows_of
from setwright.plan.floor.solve import Effort, solve_floor, waits_s
from setwright.plan.floor.timetable import end_s, points
from setwright.plan.floor.visit import Floor, Key, Placed
from setwright.plan.session_time import session_minutes_of

sys.path.insert(0, str(Path(__file__).resolve().parents[3] / "benchmarks"))
from floor_hours import PLACE, hour

QUICK = Effort(0.02, 0.02, 0.05)
NOBODY = frozenset[str]()


def floor_of(sessions: Mapping[str, Session], place: Place = PLACE, turns: frozenset[str] = USUAL_TURNS) -> Floor:
    people = [attendee(name, one, place, catalogue(), turns) for name, one in sessions.items()]
    assert not [lacking for _, lacking in people if lacking]
    return Floor(tuple(person for person, _ in people), floor_stock(place, turns)[0])


def rows(floor: Floor, timetable: Mapping[Key, Placed]) -> list[dict[str, Any]]:
    return [asdict(row) for row in rows_of(floor, timetable)]


@cache
def random_hour(people: int, seed: int) -> dict[str, Session]:
    return dict(hour(people, seed, catalogue()))


def legs(name: str, sets: int, rest_s: float = 120.0) -> Entry:
    one = PlannedSet("work", (8, 8), load_kg=20.0, load_means="total", pieces="pin at 20", rest_s=rest_s)
    return Entry(name, (one,) * sets, "")


def assistance(*entries: Entry) -> Session:
    return Session("mon", PLACE.id, 0.0, (Part("assistance", entries),))


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("people", [2, 5, 8])
@pytest.mark.parametrize("turns", [USUAL_TURNS, NOBODY], ids=["turns", "held"])
def test_the_first_timetable_keeps_every_rule(people: int, seed: int, turns: frozenset[str]) -> None:
    sessions = random_hour(people, seed)
    floor = floor_of(sessions, turns=turns)

    timetable = first_timetable(floor)

    assert timetable is not None and len(timetable) == len(floor.keys) > people
    assert faults(rows(floor, timetable), sessions, PLACE, catalogue()) == []


@pytest.mark.parametrize("short", [0, 1])
def test_of_two_alike_who_has_less_time_does_not_wait(short: int) -> None:
    """One machine, the same three sets for both: only one can begin, and only one has time to wait."""
    floor = floor_of({"Ode": assistance(legs("leg_ext", 3)), "Ana": assistance(legs("leg_ext", 3))}, turns=NOBODY)
    caps = [alone_s(one) if a == short else 2 * alone_s(one) + 120 for a, one in enumerate(floor.attendees)]
    people = tuple(replace(one, cap_s=cap) for one, cap in zip(floor.attendees, caps, strict=True))

    solved = solve_floor(replace(floor, attendees=people), effort=QUICK)

    assert solved is not None and solved.status == "optimal"
    assert [wait > 0 for wait in waits_s(floor, solved.timetable)] == [short == 1, short == 0]


@pytest.mark.parametrize("seed", range(3))
def test_the_improved_timetable_keeps_every_rule_and_is_no_worse(seed: int) -> None:
    sessions = random_hour(6, seed)
    floor = floor_of(sessions)
    first = first_timetable(floor)
    assert first is not None

    solved = solve_floor(floor, first, QUICK)

    assert solved is not None and solved.points <= points(floor, first)
    assert faults(rows(floor, solved.timetable), sessions, PLACE, catalogue()) == []
    assert simple_bound(floor).end_s <= solved.bound_s <= solved.end_s and solved.points_bound <= solved.points
    assert all(wait >= 0 for wait in waits_s(floor, solved.timetable))


def test_the_same_hour_gives_the_same_timetable() -> None:
    floor = floor_of(random_hour(5, 1))

    assert solve_floor(floor, None, QUICK) == solve_floor(floor, None, QUICK)


@pytest.mark.parametrize("seed", range(6))
def test_one_who_trains_alone_takes_the_minutes_of_the_sheet(seed: int) -> None:
    """Referee: the time model of a session. A set may be a second longer here, by rounding up; in the order written."""
    ((name, session),) = random_hour(1, seed).items()
    floor = floor_of({name: session})
    sets = sum(len(entry.sets) for part in session.parts for entry in part.entries)

    timetable = by_order(floor, floor.keys)

    assert timetable is not None
    written = 60 * session_minutes_of(session.parts, catalogue(), PLACE)
    assert written - 3 <= end_s(floor, timetable) <= written + 3 + sets
    assert 0.9 * written < alone_s(floor.attendees[0]) <= end_s(floor, timetable)


def every_timetable(floor: Floor) -> int:
    """The fewest points by brute force: every order of putting the visits in, and every whole pattern left-packed."""
    fewest = 10**9
    for order in permutations(floor.keys):
        if all(
            floor.visit(a).rank <= floor.visit(b).rank
            for i, a in enumerate(order)
            for b in order[i + 1 :]
            if a[0] == b[0]
        ):
            made = by_order(floor, order)
            assert made is not None
            fewest = min(fewest, points(floor, made))
    return fewest


TINY = [
    {
        "A": assistance(legs("leg_ext", 2)),
        "B": assistance(legs("leg_ext", 2)),
        "C": assistance(legs("leg_curl_lying", 2)),
    },
    {"A": assistance(legs("leg_ext", 2), legs("leg_curl_lying", 1)), "B": assistance(legs("leg_curl_lying", 3))},
    {
        "A": assistance(legs("leg_ext", 1), legs("leg_curl_lying", 2)),
        "B": assistance(legs("leg_curl_lying", 1), legs("leg_ext", 2)),
        "C": assistance(legs("leg_press", 1), legs("leg_ext", 1)),
    },
    {
        "A": assistance(*(replace(one, superset="A") for one in (legs("leg_ext", 2), legs("leg_curl_lying", 2)))),
        "B": assistance(legs("leg_curl_lying", 2), legs("leg_press", 1)),
        "C": assistance(legs("leg_ext", 1)),
    },
]


@pytest.mark.parametrize("sessions", TINY, ids=["queue", "swap", "three", "pair"])
def test_a_tiny_hour_with_held_stations_is_the_best_of_all(sessions: dict[str, Session]) -> None:
    """Referee: every order of entries, each as early as it fits. With stations held throughout one of them is best."""
    floor = floor_of(sessions, turns=NOBODY)

    solved = solve_floor(floor)

    assert solved is not None and solved.status == "optimal"
    assert solved.points == every_timetable(floor)


def best_by_seconds(floor: Floor, step_s: int) -> int:
    """The fewest points of two like visits that take turns at one station: all starts and all rests on a grid.

    One of the two is first, and as early as can be; they are alike, so it may be the first.
    """
    fewest = 10**9
    first, second = floor.keys
    options = {}
    for key in (first, second):
        visit, ready = floor.visit(key), floor.attendees[key[0]].ready_s[key[1]]
        options[key] = [
            starts
            for start in (range(ready, ready + 300, step_s) if key == second else [ready])
            for rests in product(*(range(r.least_s, (r.most_s or r.least_s) + 1, step_s) for r in visit.rests))
            for starts in [spread(start, [s.work_s for s in visit.steps], rests)]
        ]
    for one, other in product(options[first], options[second]):
        spans = sorted(
            (start - use.set_up_s, start + step.work_s)
            for key, starts in ((first, one), (second, other))
            for use in floor.visit(key).uses
            for start, step in zip(starts, floor.visit(key).steps, strict=True)
        )
        if all(a[1] <= b[0] for a, b in pairwise(spans)):
            made = {first: Placed(one, ("machine:leg_extension",)), second: Placed(other, ("machine:leg_extension",))}
            fewest = min(fewest, points(floor, made))
    return fewest


def spread(start: int, works: Sequence[int], rests: Sequence[int]) -> tuple[int, ...]:
    starts = [start]
    for work, rest in zip(works, rests, strict=False):
        starts.append(starts[-1] + work + rest)
    return tuple(starts)


def test_two_who_take_turns_at_one_machine_are_done_as_early_as_can_be() -> None:
    """Referee: every start and rest on a grid of 2 s, which all times of this case lie on."""
    floor = floor_of({"A": assistance(legs("leg_ext", 2, 60.0)), "B": assistance(legs("leg_ext", 2, 60.0))})
    assert all(step.work_s % 2 == 0 for key in floor.keys for step in floor.visit(key).steps)

    solved = solve_floor(floor)

    assert solved is not None and solved.points <= best_by_seconds(floor, 2)
    assert solved.status == "optimal"


def test_taking_turns_ends_earlier_than_waiting_for_the_machine() -> None:
    both = {"A": assistance(legs("leg_ext", 3)), "B": assistance(legs("leg_ext", 3))}

    turns, held = (solve_floor(floor_of(both, turns=one)) for one in (USUAL_TURNS, NOBODY))

    assert turns is not None and held is not None and turns.end_s < held.end_s


def test_a_superset_starts_only_when_both_its_stations_are_free() -> None:
    pair = tuple(replace(one, superset="A") for one in (legs("leg_ext", 3), legs("leg_curl_lying", 3)))
    sessions = {"A": assistance(*pair), "B": assistance(legs("leg_curl_lying", 3))}
    floor = floor_of(sessions)

    timetable = by_order(floor, [(1, 0), (0, 0)])

    assert timetable is not None
    done = max(row["to_s"] for row in rows(floor, timetable) if row["name"] == "B")
    assert min(row["from_s"] for row in rows(floor, timetable) if row["name"] == "A") > done
    assert faults(rows(floor, timetable), sessions, PLACE, catalogue()) == []


def test_more_than_there_is_can_never_be_placed() -> None:
    floor = floor_of({"A": assistance(legs("leg_ext", 2))})

    assert first_timetable(replace(floor, stock={**floor.stock, "machine:leg_extension": 0})) is None


def test_what_is_under_way_stays_and_nothing_starts_before_now() -> None:
    floor = floor_of(random_hour(4, 2))
    timetable = first_timetable(floor)
    assert timetable is not None
    now = end_s(floor, timetable) // 3
    begun = {key: placed for key, placed in timetable.items() if placed.starts[0] <= now}
    assert begun and len(begun) < len(timetable)

    again = solve_floor(replace(floor, fixed=begun, now_s=now), None, QUICK)

    assert again is not None
    assert all(again.timetable[key] == placed for key, placed in begun.items())
    assert all(placed.starts[0] >= now for key, placed in again.timetable.items() if key not in begun)
    assert faults(rows(floor, again.timetable), random_hour(4, 2), PLACE, catalogue()) == []


def shifted(floor: Floor, timetable: Mapping[Key, Placed], key: Key, seconds: int) -> dict[Key, Placed]:
    moved = replace(timetable[key], starts=tuple(start + seconds for start in timetable[key].starts))
    return {**timetable, key: moved}


def test_the_referee_sees_two_people_on_one_machine() -> None:
    sessions = {"A": assistance(legs("leg_ext", 2)), "B": assistance(legs("leg_ext", 2))}
    floor = floor_of(sessions, turns=NOBODY)
    timetable = first_timetable(floor)
    assert timetable is not None
    late = max(floor.keys, key=lambda key: timetable[key].starts[0])

    wrong = shifted(floor, timetable, late, -30)

    assert any("machine:leg_extension" in fault for fault in faults(rows(floor, wrong), sessions, PLACE, catalogue()))


def test_the_referee_sees_a_rest_that_is_too_short_and_one_that_is_too_long() -> None:
    sessions = {"A": assistance(legs("leg_ext", 2, 60.0))}
    floor = floor_of(sessions)
    timetable = first_timetable(floor)
    assert timetable is not None
    first, second = timetable[(0, 0)].starts

    for change in (-1, 61):
        wrong = {(0, 0): replace(timetable[(0, 0)], starts=(first, second + change))}
        assert any("rests" in fault for fault in faults(rows(floor, wrong), sessions, PLACE, catalogue()))


def test_the_referee_sees_a_pair_that_loses_a_station_and_no_time_to_change() -> None:
    pair = tuple(replace(one, superset="A") for one in (legs("leg_ext", 2), legs("leg_curl_lying", 2)))
    sessions = {"A": assistance(*pair, legs("leg_press", 2))}
    floor = floor_of(sessions)
    timetable = by_order(floor, floor.keys)
    assert timetable is not None and faults(rows(floor, timetable), sessions, PLACE, catalogue()) == []
    late = rows(floor, timetable)
    second = next(row for row in late if row["exercise"] == "leg_curl_lying")
    second["holds"] = [{**hold, "from_s": second["from_s"]} for hold in second["holds"]]
    end = max(row["to_s"] for row in rows(floor, timetable) if row["exercise"] != "leg_press")
    close = shifted(floor, timetable, (0, 1), end + 10 - timetable[(0, 1)].starts[0])

    assert any("a superset without" in fault for fault in faults(late, sessions, PLACE, catalogue()))
    assert any("no time to change" in f for f in faults(rows(floor, close), sessions, PLACE, catalogue()))


def test_the_referee_sees_somebody_in_two_places_and_work_left_out() -> None:
    sessions = {"A": assistance(legs("leg_ext", 2), legs("leg_press", 2))}
    floor = floor_of(sessions)
    timetable = first_timetable(floor)
    assert timetable is not None
    at = timetable[(0, 0)].starts[0] - timetable[(0, 1)].starts[0]

    twice = shifted(floor, timetable, (0, 1), at)
    part = {(0, 0): timetable[(0, 0)]}

    assert any("at once" in fault for fault in faults(rows(floor, twice), sessions, PLACE, catalogue()))
    assert any("sets wanted" in fault for fault in faults(rows(floor, part), sessions, PLACE, catalogue()))


def test_main_lifts_come_first_and_assistance_may_change_places() -> None:
    """Order as written but inside assistance: common practice, no published source for the freedom there."""
    main = Part("main", (legs("leg_press", 2),))
    rest = Part("assistance", (legs("leg_ext", 2), legs("leg_curl_lying", 2)))
    session = Session("mon", PLACE.id, 0.0, (main, rest))
    floor = floor_of({"A": session, "B": assistance(legs("leg_ext", 3))}, turns=NOBODY)
    assert [visit.rank for visit in floor.attendees[0].visits] == [0, 1, 1]

    timetable = by_order(floor, [(1, 0), (0, 0), (0, 2), (0, 1)])

    assert timetable is not None and order_of(timetable).index((0, 2)) < order_of(timetable).index((0, 1))
    assert faults(rows(floor, timetable), {"A": session}, PLACE, catalogue()) == []


def test_a_draft_takes_what_a_visit_holds_and_no_more() -> None:
    floor = floor_of({"A": assistance(legs("leg_ext", 2))}, turns=NOBODY)
    draft = Draft(floor)
    placed = draft.fit((0, 0))
    assert placed is not None

    draft.put((0, 0), placed)

    taken = {thing: calendar.taken for thing, calendar in draft.calendars.items() if calendar.taken}
    (start, end, count) = taken.pop("machine:leg_extension")[0]
    assert taken == {} and count == 1 and start < placed.starts[0] < placed.starts[1] < end
