"""An hour that runs is planned on at any minute, whatever has come between, also when sessions take another shape.

Referee: ``referee``, which reads the sessions and the place anew and knows nothing of the planner.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest
from referee import (
    everything_needed_is_held,
    faults_from_now,
    nobody_is_in_two_places,
    nothing_is_taken_twice,
    rests_are_inside_their_windows,
    rests_from_now_are_no_shorter,
    sets_take_their_time,
    the_past_is_kept,
)
from test_done import drawn
from test_timetable import NOBODY, USUAL_TURNS, assistance, floor_of, legs, random_hour, rows
from test_timetable_bouts import PLACE, circuit

from setwright.catalogue.load import catalogue
from setwright.plan.block import Entry, Filler, Part, Session
from setwright.plan.bout import Bout
from setwright.plan.floor.again import AT_ONCE, QUICK, Again, plan_again
from setwright.plan.floor.done import Done
from setwright.plan.floor.first import first_timetable
from setwright.services.floor import followed, lowered

EVERY_MINUTE = Bout("every-minute", rounds=6, time_s=360.0, every_s=60.0)
Rows = Sequence[Mapping[str, Any]]


def joined(part: Part) -> Part | None:
    """The first two entries of a part that stand alone become a superset; None where there are no two."""
    for at, (a, b) in enumerate(pairwise(part.entries)):
        if a.superset is None and b.superset is None and a.exercise != b.exercise:
            pair = (replace(a, superset="J"), replace(b, superset="J"))
            return replace(part, entries=(*part.entries[:at], *pair, *part.entries[at + 2 :]))
    return None


def parted(part: Part) -> Part | None:
    """A superset becomes entries one after another; None where there is none."""
    free = tuple(replace(one, superset=None) if one.bout is None else one for one in part.entries)
    return None if free == part.entries else replace(part, entries=free)


def in_another_shape(session: Session, chance: random.Random) -> Session:
    """A session with two entries joined to a superset, or one parted, wherever that can be."""
    parts = [at for at, part in enumerate(session.parts) if part.part in ("main", "assistance", "finisher")]
    chance.shuffle(parts)
    for at in parts:
        for change in chance.sample((joined, parted), 2):
            part = change(session.parts[at])
            if part is not None:
                return replace(session, parts=(*session.parts[:at], part, *session.parts[at + 1 :]))
    return session


def mixed_hour(seed: int) -> dict[str, Session]:
    """Six sessions: supersets, a circuit, an every-minute piece, rests filled with easy work."""
    sessions = dict(random_hour(6, seed))
    for name, entries in (("P1", circuit("C")), ("P2", circuit("E", EVERY_MINUTE))):
        sessions[name] = replace(sessions[name], parts=(*sessions[name].parts, Part("conditioning", entries)))
    pair = tuple(replace(legs(slug, 3, 60.0), superset="A") for slug in ("leg_ext", "leg_curl_lying"))
    filled: Entry = replace(legs("leg_press", 3), filler=Filler("hip_flexor_stretch", hold_s=20.0))
    sessions["P3"] = assistance(*pair, filled)
    return sessions


def read_back(made: Rows, planned_s: int) -> dict[str, Any]:
    return {"sets": made, "from_s": planned_s}


def wrong_with(
    again: Again, sessions: Mapping[str, Session], now: int, logged: Mapping[str, Done] | None = None
) -> list[str]:
    """What the referee finds from now on; of who misses something, all but that everything is done and in order."""
    made, known = rows(again.floor, again.solved.timetable), catalogue()
    missing = {one.name for one in again.dropped}
    whole = {name: one for name, one in sessions.items() if name not in missing}
    found = faults_from_now(made, whole, PLACE, known, now, logged or {})
    for name in missing:
        mine = [row for row in made if row["name"] == name]
        later = [row for row in mine if row["from_s"] >= now]
        found += nobody_is_in_two_places(name, mine) + sets_take_their_time(name, sessions[name], mine, known)
        found += everything_needed_is_held(name, sessions[name], later, known)
        found += rests_are_inside_their_windows(name, sessions[name], later, known)
        found += rests_from_now_are_no_shorter(name, sessions[name], mine, now)
    return found + nothing_is_taken_twice(
        [{**row, "holds": [one for one in row["holds"] if one["to_s"] > now]} for row in made], PLACE
    )


def without_holds(made: Rows) -> list[dict[str, Any]]:
    return [{**row, "holds": []} for row in made]


def changed_hour(
    minute: int, turns: frozenset[str], chance: random.Random
) -> tuple[dict[str, Session], list[dict[str, Any]], dict[str, Session]]:
    """The sessions of a mixed hour, their first timetable, and the same sessions in another shape."""
    sessions = mixed_hour(minute % 4)
    before = floor_of(sessions, turns=turns)
    first = first_timetable(before)
    assert first is not None
    changed = {name: in_another_shape(one, chance) for name, one in sessions.items()}
    return sessions, rows(before, first), changed


@pytest.mark.parametrize("minute", range(0, 62, 2))
@pytest.mark.parametrize("turns", [USUAL_TURNS, NOBODY], ids=["turns", "held"])
def test_a_session_in_another_shape_is_planned_on_at_every_minute(minute: int, turns: frozenset[str]) -> None:
    chance, now = random.Random(f"{minute} {len(turns)}"), 60 * minute
    sessions, planned, changed = changed_hour(minute, turns, chance)
    assert changed != sessions

    floor = floor_of(changed, turns=turns)
    was, timetable = followed(read_back(planned, 0), floor.attendees, floor.stock, "hour", now)
    again = plan_again(floor, was, timetable, now, effort=AT_ONCE)

    assert wrong_with(again, changed, now) == []
    after = rows(again.floor, again.solved.timetable)
    assert the_past_is_kept(without_holds(planned), without_holds(after), now - 1) == []


@pytest.mark.parametrize("minute", range(4, 62, 4))
@pytest.mark.parametrize("turns", [USUAL_TURNS, NOBODY], ids=["turns", "held"])
def test_in_another_shape_what_is_logged_is_done_and_a_search_keeps_every_rule(
    minute: int, turns: frozenset[str]
) -> None:
    """Three people log, by chance one set or two ahead or behind; the other three are believed to follow."""
    chance, now = random.Random(f"{minute} {len(turns)}"), 60 * minute
    _, planned, changed = changed_hour(minute, turns, chance)
    logged = {}
    for name in ("P3", "P4", "P5"):
        over = {(row["entry"], row["set"]) for row in planned if row["name"] == name and row["to_s"] <= now}
        logged[name] = drawn(changed[name], over, chance)

    floor = floor_of(changed, turns=turns)
    was, timetable = followed(read_back(planned, 0), floor.attendees, floor.stock, "hour", now)
    again = plan_again(floor, was, timetable, now, effort=QUICK, logged=logged)

    assert wrong_with(again, changed, now, logged) == []
    assert again.solved.bound_s <= again.solved.end_s and again.solved.points_bound <= again.solved.points


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("turns", [USUAL_TURNS, NOBODY], ids=["turns", "held"])
def test_an_hour_in_which_something_comes_every_other_minute_is_planned_on(seed: int, turns: frozenset[str]) -> None:
    """Seeded: sessions change their shape, somebody drops in, somebody leaves, machines break, also in a superset."""
    chance = random.Random(seed)
    everybody = mixed_hour(seed)
    sessions = {name: everybody[name] for name in ("P1", "P2", "P3", "P4", "P5")}
    floor = floor_of(sessions, turns=turns)
    first = first_timetable(floor)
    assert first is not None
    made, planned_s = rows(floor, first), 0
    gone: list[str] = []
    broken: list[str] = []
    arrives: dict[str, int] = {}
    for minute in range(2, 60, 2):
        now = 60 * minute
        deed = chance.choice(("shape", "shape", "shape", "nothing", "leaves", "breaks", "drops in"))
        if deed == "shape":
            name = chance.choice(sorted(sessions))
            sessions[name] = in_another_shape(sessions[name], chance)
        elif deed == "drops in" and "P6" not in sessions:
            sessions["P6"], arrives["P6"] = everybody["P6"], now
        elif deed == "leaves" and len(gone) < 2:
            gone.append(chance.choice(sorted(sessions.keys() - set(gone))))
        elif deed == "breaks" and len(broken) < 2:
            in_use = [one["thing"] for row in made for one in row["holds"] if row["from_s"] <= now < row["to_s"]]
            stations = sorted({one for one in in_use if one.startswith(("machine:", "rack", "cable", "bench"))})
            broken += chance.sample(stations, min(1, len(stations)))
        whole = floor_of(sessions, turns=turns)
        people = tuple(replace(one, arrives_s=arrives.get(one.name, 0)) for one in whole.attendees)
        whole = replace(whole, attendees=people, stock=lowered(whole.stock, broken))

        was, timetable = followed(read_back(made, planned_s), people, whole.stock, "hour", now)
        again = plan_again(whole, was, timetable, now, broken, gone, AT_ONCE)

        assert wrong_with(again, sessions, now) == [], (minute, deed)
        after = rows(again.floor, again.solved.timetable)
        assert the_past_is_kept(without_holds(made), without_holds(after), now - 1) == [], (minute, deed)
        made, planned_s = after, now
    assert gone or broken
