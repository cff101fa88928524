"""Unlike sets of a written line arrive on the plan set by set. Invented texts."""

from __future__ import annotations

from test_written_block import block_of, written_entries


def test_each_set_keeps_its_repetitions_on_the_plan() -> None:
    made = written_entries(block_of("Monday\nbench 5,5,5,3,3 @8\n"))
    work = [one for entry in made for one in entry.sets if one.kind == "work"]

    assert [one.reps for one in work] == [(5, 5)] * 3 + [(3, 3)] * 2
    assert sum(1 for entry in made if any(one.kind == "ramp" for one in entry.sets)) == 1


def test_each_set_keeps_its_own_share_of_the_maximum() -> None:
    made = written_entries(block_of("Monday\nsquat 1x5 65%, 1x5 75%, 1x5+ 85%\n"))
    loads = [one.load_kg or 0.0 for entry in made for one in entry.sets if one.kind == "work"]

    assert len(loads) == 3 and loads == sorted(loads)
    assert abs(loads[0] / loads[2] - 65 / 85) < 0.03


def test_a_guess_is_said_on_the_plan() -> None:
    (entry,) = written_entries(block_of("Monday\nsquat 3x5 @RPE7-8\n"))

    assert "planned at its middle, RPE 7.5" in entry.why
