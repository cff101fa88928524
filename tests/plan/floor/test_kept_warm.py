"""Who waits, waits before the warm-up: nobody gets cold, and nothing else moves."""

from __future__ import annotations

import pytest
from referee import faults
from test_timetable import NOBODY, PLACE, USUAL_TURNS, floor_of, legs, random_hour, rows

from setwright.catalogue.load import catalogue
from setwright.plan.block import Entry, Part, PlannedSet, Session
from setwright.plan.floor.first import by_order, first_timetable
from setwright.plan.floor.timetable import end_of
from setwright.plan.floor.warm import kept_warm


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("turns", [USUAL_TURNS, NOBODY], ids=["turns", "held"])
def test_warm_ups_only_move_later_and_every_rule_is_kept(seed: int, turns: frozenset[str]) -> None:
    sessions = random_hour(8, seed)
    floor = floor_of(sessions, turns=turns)
    timetable = first_timetable(floor)
    assert timetable is not None

    warm = kept_warm(floor, timetable)

    assert faults(rows(floor, warm), sessions, PLACE, catalogue()) == []
    for key in floor.keys:
        if floor.visit(key).part == "warm-up":
            assert warm[key].starts[0] >= timetable[key].starts[0]
        else:
            assert warm[key] == timetable[key]
    assert any(warm[key].starts[0] > timetable[key].starts[0] for key in floor.keys)


def test_the_warm_up_ends_when_the_machine_is_nearly_free() -> None:
    """By hand: B waits for the leg press; the warm-up ends one change-over before it, not at the start of the hour."""
    drill = Part("warm-up", (Entry("bw_squat", (PlannedSet("work", (8, 8)),), ""),))
    main = Part("main", (legs("leg_press", 4),))
    sessions = {"A": Session("mon", PLACE.id, 0.0, (main,)), "B": Session("mon", PLACE.id, 0.0, (drill, main))}
    floor = floor_of(sessions, turns=NOBODY)
    timetable = by_order(floor, [(0, 0), (1, 0), (1, 1)])
    assert timetable is not None and timetable[(1, 0)].starts[0] < 60

    warm = kept_warm(floor, timetable)

    gap = floor.attendees[1].gaps[(0, 1)]
    assert end_of(floor.visit((1, 0)), warm[(1, 0)].starts) == warm[(1, 1)].starts[0] - gap
    assert warm[(1, 0)].starts[0] > 300
