"""The written door: every exercise stays, loads come to it, too long is reported, a gate says why it exchanges."""

from __future__ import annotations

from dataclasses import replace

from made_block import GYM, PERSON, START, estimates_of

from setwright.catalogue.load import catalogue
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import Trainee
from setwright.plan.block import Block, Entry
from setwright.plan.shorthand import read_block_text
from setwright.plan.written import fit_written
from setwright.services.deeds import plain_brief

TEXT = """
Block: Invented evening
4 weeks
weeks 1 to 3 RPE 7, week 4 easy
Monday, 60 min
front squat 4 x 5-6 @ RPE 8, rest 3 min, tempo 3-1-1-0
A romanian deadlift 3 x 8 @ RIR 2, rest 2 min
A push-up 3 x 10-12, rest 90 s
deadlift ramp to a top set of 5 @ RPE 8, then 2 x 5
farmer's carry 4 x 20 m with 2 x 20 kg
split squat hold 12 s, 6 reps, hold 12 s, 2 sets each side
"""


def block_of(text: str = TEXT, person: Trainee = PERSON) -> Block:
    written = read_block_text(text, catalogue())
    brief = plain_brief(written.title, written.weeks, 1, START)
    return fit_written(written, person, (GYM,), brief, catalogue(), estimates_of(person))


def written_entries(block: Block, week: int = 1) -> list[Entry]:
    return [e for s in block.weeks[week - 1].sessions for p in s.parts for e in p.entries if e.written]


def test_every_written_exercise_stays_in_its_order() -> None:
    names = [entry.exercise for entry in written_entries(block_of())]

    assert sorted(names) == sorted(["front_squat", "rdl_bb", "pushup", "deadlift", "deadlift", "farmer", "split_squat"])


def test_what_was_written_is_what_is_planned() -> None:
    squat = next(entry for entry in written_entries(block_of()) if entry.exercise == "front_squat")
    work = [one for one in squat.sets if one.kind == "work"]

    assert len(work) == 4
    assert (work[0].reps, work[0].rpe, work[0].rest_s, work[0].tempo) == ((5, 6), 8.0, 180.0, "3-1-1-0")
    assert work[0].load_kg and any(one.kind == "ramp" for one in squat.sets)


def test_back_off_sets_need_no_second_ramp() -> None:
    first, second = [entry for entry in written_entries(block_of()) if entry.exercise == "deadlift"]

    assert any(one.kind == "ramp" for one in first.sets)
    assert all(one.kind == "work" for one in second.sets) and len(second.sets) == 2


def test_a_written_carry_keeps_its_load() -> None:
    carry = next(entry for entry in written_entries(block_of()) if entry.exercise == "farmer")

    assert {one.load_kg for one in carry.sets} == {20.0}
    assert all(one.distance_m == 20 and not one.note for one in carry.sets)


def test_the_easy_week_is_easier() -> None:
    hard, easy = written_entries(block_of(), 3), written_entries(block_of(), 4)

    assert sum(len(e.sets) for e in easy) < sum(len(e.sets) for e in hard)


def test_too_long_is_reported_and_not_cut() -> None:
    block = block_of(TEXT.replace("60 min", "20 min"))

    assert len(written_entries(block)) == 7
    assert any(one.rule == "T06" and "left as you wrote it" in one.why for one in block.unmet)


def test_only_a_gate_exchanges_and_it_says_why() -> None:
    person = replace(PERSON, restrictions=(parse_restriction("my elbow is sore"),))

    block = block_of(person=person)

    changed = {one.entry for one in block.changes}
    assert "barbell front squat" in changed and "barbell romanian deadlift" not in changed
    assert all("restriction" in one.why for one in block.changes)
    assert block.proof.status == "written"
