"""What a coach changes by hand: it is done as said, hard rules refuse it, and all else stays or makes room.

Referee for the hard rules: the checker in ``hard_rules``, which shares no code with the planner. What is expected of a
change follows from the block before it, entry by entry.
"""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache

import pytest
from case_runs import stress_of
from hard_rules import Given, check_session
from made_block import BRIEF, GYM, estimates_of, made_block, spot_of

from setwright.catalogue.load import catalogue
from setwright.faults import NoPlan
from setwright.people.restriction_text import parse_restriction
from setwright.plan.block import Block, Entry, Session
from setwright.plan.by_hand import Edit, changed_by_hand
from setwright.plan.reshape_options import Spot
from setwright.plan.restrict import restrict_block
from setwright.publish.block_file import block_to_json

FIRST = 2  # week 1 is done


def session_of(block: Block, week: int, day: str) -> Session:
    return next(one for one in block.weeks[week - 1].sessions if one.day == day)


def spots(block: Block, day: str, *parts: str) -> list[Spot]:
    """Where the entries of some parts of a day stand, as the planner names them."""
    session = session_of(block, FIRST, day)
    return [
        Spot(session.day, part.part, entry.exercise)
        for part in session.parts
        if part.part in parts
        for entry in part.entries
    ]


def entry(block: Block, at: Spot, week: int) -> Entry | None:
    session = session_of(block, week, at.day)
    found = [e for part in session.parts if part.part == at.part for e in part.entries if e.exercise == at.exercise]
    return found[at.number] if len(found) > at.number else None


BENCH, ROW = spot_of("bench_bb"), spot_of("row_cable")
OTHER_DAY = "thu" if ROW.day == "mon" else "mon"
EDITS = {
    "another exercise": Edit(BENCH, exercise="bench_db"),
    "more sets": Edit(BENCH, sets=3, weeks=(2, 4)),
    "fewer sets": Edit(BENCH, sets=1),
    "many sets": Edit(BENCH, sets=6),
    "more repetitions": Edit(BENCH, reps=(12, 15)),
    "less effort": Edit(BENCH, rir=4.0),
    "another day": Edit(ROW, day=OTHER_DAY, weeks=(4,)),
    "out": Edit(ROW, is_out=True),
    "one week": Edit(BENCH, sets=1, weeks=(3,)),
}


@cache
def after(name: str) -> Block:
    return changed_by_hand(made_block(), EDITS[name], catalogue(), estimates_of(), FIRST, limit=1.0)


@pytest.mark.parametrize("name", EDITS)
def test_no_change_by_hand_crosses_a_hard_rule(name: str) -> None:
    given = Given(after(name).inputs.trainee, (GYM,), BRIEF, stress_of)
    caps = {(w.number, s.day): s.minutes_cap for w in made_block().weeks for s in w.sessions}

    for week in json.loads(block_to_json(after(name)))["weeks"]:
        for session in week["sessions"]:
            where = f"{week['number']} {session['day']}"
            assert list(check_session(session, where, given, caps[week["number"], session["day"]])) == []


@pytest.mark.parametrize("name", EDITS)
def test_what_the_coach_says_is_done_in_every_week_meant_and_no_other(name: str) -> None:
    edit, block = EDITS[name], after(name)

    assert block.weeks[0] == made_block().weeks[0]
    assert block.parent == made_block().id
    for week in range(FIRST, len(block.weeks) + 1):
        old, new = entry(made_block(), edit.at, week), entry(block, edit.at, week)
        if old is None or (edit.weeks and week not in edit.weeks):
            assert new == old
            continue
        if edit.exercise or edit.day or edit.is_out:
            assert new is None
            there = replace(edit.at, exercise=edit.exercise or edit.at.exercise, day=edit.day or edit.at.day)
            assert (entry(block, there, week) is None) == edit.is_out
            continue
        assert new is not None
        assert len(new.working_sets) == (edit.sets or len(old.working_sets))
        if edit.sets and not edit.reps:
            assert {(one.load_kg, one.reps) for one in new.working_sets} <= {
                (one.load_kg, one.reps) for one in old.working_sets
            }
        if edit.reps:
            assert new.working_sets[0].load_kg is not None and old.working_sets[0].load_kg is not None
            assert new.working_sets[0].load_kg < old.working_sets[0].load_kg  # more repetitions, less load
        if edit.rir is not None:
            assert all(one.rir == edit.rir for one in new.working_sets)


def as_planned(part: str, one: Entry) -> Entry:
    """An entry without what may follow the change: its partner, its filler, the lift that a drill readies for."""
    return replace(one, superset=None, filler=None, why="" if part == "warm-up" else one.why)


@pytest.mark.parametrize("name", [one for one in EDITS if one != "many sets"])
def test_where_there_is_time_nothing_else_changes(name: str) -> None:
    edit, block = EDITS[name], after(name)
    own = {edit.at.exercise, edit.exercise}

    for old_week, new_week in zip(made_block().weeks, block.weeks, strict=True):
        for old, new in zip(old_week.sessions, new_week.sessions, strict=True):
            rest = [[as_planned(p.part, e) for p in s.parts for e in p.entries] for s in (old, new)]
            kept = [[e for e in some if e.exercise not in own] for some in rest]
            assert kept[0] and kept[0] == kept[1]
    assert {one.entry for one in block.changes if not one.entry.startswith("filler") and one.to != "on its own"} == {
        catalogue().get(edit.at.exercise).name
    }
    assert "Nothing else" in block.proof.note


def test_where_time_is_short_the_fewest_others_make_room_and_the_proof_says_how_many() -> None:
    block = after("many sets")
    lift = catalogue().get(BENCH.exercise).name
    others = {(one.session, one.entry) for one in block.changes} - {(BENCH.day, lift)}

    assert others
    assert block.proof.status == "optimal" and len(others) == int(block.proof.objective)
    assert all(session_of(block, w, BENCH.day).minutes <= 60 + 1e-6 for w in range(FIRST, 5))


def test_what_is_locked_stays_to_the_byte_whoever_makes_room() -> None:
    made = after("many sets")
    moved = {one.entry for one in made.changes if one.session == BENCH.day} - {catalogue().get(BENCH.exercise).name}
    here = spots(made_block(), BENCH.day, "skill", "assistance", "loaded-mobility", "conditioning")
    locked = frozenset([one for one in here if catalogue().get(one.exercise).name in moved][:1])
    assert locked

    block = changed_by_hand(
        made_block(), EDITS["many sets"], catalogue(), estimates_of(), FIRST, locked=locked, limit=1.0
    )

    for at in locked:
        for week in range(FIRST, 5):
            assert entry(block, at, week) == entry(made_block(), at, week)
    assert block.proof.objective >= made.proof.objective  # what may not make room leaves it to others


def test_no_room_is_refused_with_the_day_and_its_minutes() -> None:
    everything = frozenset(
        spot
        for day in ("mon", "thu")
        for spot in spots(made_block(), day, "main", "skill", "assistance", "finisher", "conditioning")
    )
    with pytest.raises(NoPlan, match=r"would take \d+ min, and has 60"):
        changed_by_hand(made_block(), Edit(BENCH, sets=30), catalogue(), estimates_of(), FIRST, everything, limit=1.0)


def test_a_session_that_is_over_stays_to_the_byte() -> None:
    at = BENCH
    done = frozenset({(at.day, FIRST)})

    block = changed_by_hand(made_block(), Edit(at, sets=5), catalogue(), estimates_of(), FIRST, done=done, limit=1.0)

    assert session_of(block, FIRST, at.day) == session_of(made_block(), FIRST, at.day)
    assert {one.week for one in block.changes} == {3, 4}


def test_a_restriction_or_missing_equipment_refuses_what_the_coach_asks() -> None:
    limited = restrict_block(made_block(), parse_restriction("my knee is sore"), catalogue(), estimates_of(), FIRST)
    spot = next(one for day in ("mon", "thu") for one in spots(limited, day, "main", "assistance"))

    with pytest.raises(NoPlan, match="knee restriction"):
        changed_by_hand(limited, Edit(spot, exercise="back_squat"), catalogue(), estimates_of(), FIRST)
    with pytest.raises(NoPlan, match=r"needs .*: not here"):
        changed_by_hand(made_block(), Edit(BENCH, exercise="leg_curl_lying"), catalogue(), estimates_of(), FIRST)


def test_work_of_a_limited_joint_gets_no_harder_by_hand() -> None:
    """Decision 0005: such work is done with at least 8 repetitions and 4 left."""
    moderate = replace(parse_restriction("my shoulder is sore"), level="moderate", positions=(), wanted=())
    limited = restrict_block(made_block(), moderate, catalogue(), estimates_of(), FIRST)
    at = next(
        spot
        for day in ("mon", "thu")
        for spot in spots(limited, day, "main", "assistance")
        if any(use.joint == "shoulder" for use in catalogue().get(spot.exercise).actions)
    )
    easy = entry(limited, at, FIRST)
    assert easy is not None and easy.working_sets[0].rir == 4 and (easy.working_sets[0].reps or (0, 0))[0] >= 8

    for harder in (Edit(at, rir=2.0), Edit(at, reps=(4, 5))):
        with pytest.raises(NoPlan, match="moderate work only: at least 8 repetitions with 4 left"):
            changed_by_hand(limited, harder, catalogue(), estimates_of(), FIRST)

    easier = changed_by_hand(limited, Edit(at, rir=5.0), catalogue(), estimates_of(), FIRST)
    assert entry(easier, at, FIRST).working_sets[0].rir == 5  # type: ignore[union-attr]


def test_the_same_change_gives_the_same_bytes() -> None:
    again = changed_by_hand(made_block(), EDITS["many sets"], catalogue(), estimates_of(), FIRST, limit=1.0)

    assert block_to_json(again) == block_to_json(after("many sets"))


def test_an_entry_that_is_not_there_is_not_found() -> None:
    with pytest.raises(LookupError, match="no leg_press on Monday"):
        changed_by_hand(made_block(), Edit(Spot("mon", "main", "leg_press"), sets=2), catalogue(), estimates_of())


def test_nothing_new_gives_the_block_itself() -> None:
    at = BENCH
    old = entry(made_block(), at, FIRST)
    assert old is not None

    same = Edit(at, sets=len(old.working_sets), weeks=(FIRST,))

    assert changed_by_hand(made_block(), same, catalogue(), estimates_of(), FIRST) is made_block()
