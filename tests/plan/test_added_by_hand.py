"""An entry that a coach adds, and a load that a coach sets: as said where the hard rules let it, else refused.

Referee for the hard rules: the checker in ``hard_rules``, which shares no code with the planner. Referee for a load:
the place of the block, whose bar weighs 20 kg and whose plates are counted in ``made_block``.
"""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from case_runs import stress_of
from hard_rules import Given, check_session
from made_block import BRIEF, GYM, estimates_of, made_block, spot_of

from setwright.catalogue.load import catalogue
from setwright.faults import NoPlan
from setwright.people.restriction_text import parse_restriction
from setwright.plan.block import Block, Entry
from setwright.plan.by_hand import Edit, changed_by_hand
from setwright.plan.clearance import hardest_rpe
from setwright.plan.reshape_options import Spot
from setwright.plan.restrict import restrict_block
from setwright.plan.revisions import with_some
from setwright.publish.block_file import block_to_json

FIRST = 2  # week 1 is done
BENCH, SQUAT = spot_of("bench_bb"), spot_of("back_squat")
CURL = Spot("mon", "assistance", "curl_db")


def edited(edit: Edit, block: Block | None = None, **more: Any) -> Block:
    return changed_by_hand(block or made_block(), edit, catalogue(), estimates_of(), FIRST, limit=1.0, **more)


@cache
def with_curls() -> Block:
    return edited(Edit(CURL, is_new=True, sets=2, reps=(12, 15), rir=3.0, reason="Arms too."))


def found(block: Block, at: Spot, week: int) -> Entry | None:
    session = next(one for one in block.weeks[week - 1].sessions if one.day == at.day)
    rows = [e for part in session.parts if part.part == at.part for e in part.entries if e.exercise == at.exercise]
    return rows[0] if rows else None


def work(block: Block, at: Spot, week: int = FIRST) -> Any:
    entry = found(block, at, week)
    assert entry is not None
    return entry.working_sets[0]


def of_bench() -> Entry:
    entry = found(made_block(), BENCH, FIRST)
    assert entry is not None
    return entry


def test_an_added_entry_stands_on_its_day_from_this_week_on_as_the_coach_says() -> None:
    assert found(made_block(), CURL, FIRST) is None

    for week in range(FIRST, 5):
        entry = found(with_curls(), CURL, week)
        assert entry is not None and len(entry.working_sets) == 2
        assert {(one.reps, one.rir) for one in entry.working_sets} == {((12, 15), 3.0)}
        assert work(with_curls(), CURL, week).load_kg in {4, 6, 8, 10, 12.5, 15, 17.5, 20, 25}
    assert with_curls().weeks[0] == made_block().weeks[0]


def test_an_added_entry_is_told_as_a_change_that_can_be_declined() -> None:
    rows = [one for one in with_curls().changes if one.from_ == "nothing"]

    assert [one.week for one in rows] == [2, 3, 4]
    assert {one.why for one in rows} == {"Arms too."}
    assert all("2 x 12-15" in one.to for one in rows)
    declined = with_some(made_block(), with_curls(), [2, 3], catalogue())
    assert [found(declined, CURL, week) is None for week in (2, 3, 4)] == [True, False, False]


@pytest.mark.parametrize(
    "edit",
    [
        Edit(CURL, is_new=True),
        Edit(replace(CURL, exercise="hip_thrust", part="main"), is_new=True, sets=4),
        Edit(Spot("thu", "conditioning", "bike"), is_new=True, time_s=480.0),
        Edit(Spot("mon", "assistance", "plank"), is_new=True, hold_s=40.0),
    ],
    ids=["curls", "a main lift", "the bike", "a hold"],
)
def test_no_added_entry_crosses_a_hard_rule(edit: Edit) -> None:
    block = edited(edit)
    given = Given(block.inputs.trainee, (GYM,), BRIEF, stress_of)
    caps = {(w.number, s.day): s.minutes_cap for w in made_block().weeks for s in w.sessions}

    assert found(block, edit.at, FIRST) is not None
    for week in json.loads(block_to_json(block))["weeks"]:
        for session in week["sessions"]:
            where = f"{week['number']} {session['day']}"
            assert list(check_session(session, where, given, caps[week["number"], session["day"]])) == []


def test_an_easy_week_gets_fewer_sets_and_its_own_effort() -> None:
    block = edited(Edit(CURL, is_new=True))
    kinds = {week.number: week.kind for week in block.weeks}

    for week in range(FIRST, 5):
        entry = found(block, CURL, week)
        assert entry is not None
        assert len(entry.working_sets) == (2 if kinds[week] == "deload" else 3)
    assert "deload" in kinds.values()


def test_what_a_restriction_or_the_place_closes_is_not_added() -> None:
    limited = restrict_block(made_block(), parse_restriction("my knee is sore"), catalogue(), estimates_of(), FIRST)

    with pytest.raises(NoPlan, match="knee restriction"):
        edited(Edit(replace(CURL, exercise="front_squat"), is_new=True), limited)
    with pytest.raises(NoPlan, match=r"needs .*: not here"):
        edited(Edit(replace(CURL, exercise="leg_curl_lying"), is_new=True))


def test_what_is_there_already_or_counted_otherwise_is_refused_in_plain_words() -> None:
    with pytest.raises(NoPlan, match=r"barbell bench press stands on Monday already, in week 2\."):
        edited(Edit(BENCH, is_new=True))
    with pytest.raises(NoPlan, match="is counted in seconds held, not in repetitions"):
        edited(Edit(replace(CURL, exercise="plank"), is_new=True, reps=(5, 6)))


def test_a_full_day_makes_room_or_says_its_minutes() -> None:
    with pytest.raises(NoPlan, match=r"would take \d+ min, and has 60"):
        edited(Edit(CURL, is_new=True, sets=60))


def test_repetitions_that_the_coach_says_stay_where_the_heaviest_load_is_light() -> None:
    """The heaviest dumbbell there is 25 kg; left to itself the program asks for more repetitions of it."""
    at = Spot("mon", "assistance", "goblet_squat")
    free, said = edited(Edit(at, is_new=True)), edited(Edit(at, is_new=True, reps=(5, 6)))

    assert work(free, at).load_kg == work(said, at).load_kg == 25.0
    assert work(free, at).reps[0] > 8
    assert work(said, at).reps == (5, 6)
    assert "more repetitions instead" in work(free, at).note
    assert "instead" not in work(said, at).note and "more will be left" in work(said, at).note


def test_a_load_set_by_hand_is_the_load_and_all_else_stays() -> None:
    old = work(made_block(), BENCH)
    block = edited(Edit(BENCH, load_kg=50.0))

    for week in range(FIRST, 5):
        new = work(block, BENCH, week)
        assert (new.load_kg, new.pieces) == (50.0, "10 + 5 a side")
        assert (new.reps, new.rir, new.rest_s) == tuple(
            getattr(work(made_block(), BENCH, week), name) for name in ("reps", "rir", "rest_s")
        )
    assert old.load_kg != 50.0
    entry = found(block, BENCH, FIRST)
    assert entry is not None and entry.why.endswith("Load set by the coach.")
    assert entry.cautions == of_bench().cautions


def test_sets_that_lead_up_to_a_load_set_by_hand_stay_below_it() -> None:
    squat = found(edited(Edit(SQUAT, load_kg=60.0)), SQUAT, FIRST)
    assert squat is not None

    ramp = [one.load_kg for one in squat.sets if one.kind == "ramp"]
    assert ramp and all(one < 60.0 for one in ramp)


def test_a_load_over_what_is_known_is_taken_with_a_warning_and_its_chance() -> None:
    high = work(made_block(), BENCH).load_range_kg[1]
    block = edited(Edit(BENCH, load_kg=80.0))
    entry = found(block, BENCH, FIRST)

    assert high < 80.0 and entry is not None
    assert work(block, BENCH).load_kg == 80.0 and work(block, BENCH).chance < 0.3
    assert [one for one in entry.cautions if one.startswith("Heavy: 80 kg is set by the coach;")]
    assert all("Heavy: 80 kg" in one.why for one in block.changes if one.week == FIRST)


def test_no_reserve_is_named_that_the_load_rules_out_and_the_warning_goes_with_the_load() -> None:
    heavy = edited(Edit(BENCH, load_kg=120.0))
    assert (work(heavy, BENCH).rir, work(heavy, BENCH).rpe) == (None, None)
    assert "check this load" in work(heavy, BENCH).note

    lighter = edited(Edit(BENCH, load_kg=50.0, rir=2.0), heavy)
    entry = found(lighter, BENCH, FIRST)
    assert entry is not None and not [one for one in entry.cautions if one.startswith("Heavy")]
    assert entry.why.count("Load set by the coach.") == 1

    dosed = edited(Edit(BENCH, rir=3.0), heavy)
    entry = found(dosed, BENCH, FIRST)
    assert entry is not None and "Load set" not in entry.why and entry.cautions == of_bench().cautions
    assert work(dosed, BENCH).load_kg < 80.0


def test_a_load_that_cannot_be_built_is_refused_with_the_nearest_two() -> None:
    """A bar of 20 kg and pairs of 20, 10, 5, 2.5 and 1.25 kg go up in steps of 2.5 kg."""
    with pytest.raises(NoPlan, match="61 kg of barbell bench press can't be built in Invented gym") as refused:
        edited(Edit(BENCH, load_kg=61.0))
    assert [one.what for one in refused.value.repairs] == ["the nearest: 60 kg and 62.5 kg"]

    with pytest.raises(NoPlan, match="takes no load there that could be set"):
        edited(Edit(replace(CURL, exercise="plank"), is_new=True, load_kg=10.0))


def test_a_load_by_hand_never_goes_over_what_a_limited_joint_may_do() -> None:
    """Decision 0005: such work is done with at least 8 repetitions and 4 left, so that load is the most."""
    moderate = replace(parse_restriction("my shoulder is sore"), level="moderate", positions=(), wanted=(), actions=())
    limited = restrict_block(made_block(), moderate, catalogue(), estimates_of(), FIRST)
    at = next(
        Spot("mon", part.part, one.exercise)
        for part in limited.weeks[1].sessions[0].parts
        if part.part in ("main", "assistance")
        for one in part.entries
        if one.working_sets[0].load_kg and one.working_sets[0].rir == 4.0
    )
    most = max(work(limited, at, week).load_kg for week in range(FIRST, 5))

    with pytest.raises(NoPlan, match=r"moderate work only: .* kg at most"):
        edited(Edit(at, load_kg=80.0 if most > 25 else 25.0), limited)
    assert work(edited(Edit(at, load_kg=min(most, 20.0)), limited), at).load_kg == min(most, 20.0)


def test_a_load_that_rules_out_its_reserve_counts_as_the_hardest_for_the_screen() -> None:
    """Who has no clearance for vigorous effort is not given it by a load: ``plan.clearance`` asks for RPE 10."""
    assert hardest_rpe(made_block().weeks) < 10.0
    assert hardest_rpe(edited(Edit(BENCH, load_kg=120.0)).weeks) == 10.0
