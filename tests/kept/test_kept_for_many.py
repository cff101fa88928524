"""A kept session for several people at once: to each the own step, exercise, cue and name, behind the same gates."""

from __future__ import annotations

import json
import pickle
import re
import sys
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "publish"))
from made_block import GYM, PERSON

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.load import catalogue
from setwright.cli.main import run
from setwright.faults import InputFaults
from setwright.people.place import Band, Place
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import StepReached, TrainingDay
from setwright.plan.fit_master import Fitted, fit_master
from setwright.plan.gates import judge
from setwright.plan.written import fit_written
from setwright.publish.fit_table import column_of, table_of
from setwright.services.demo import unpack
from setwright.services.fitting import master_from_text
from setwright.services.gather import estimates_for
from setwright.services.kept import read_for
from setwright.strength.logged import Log

START = date(2026, 9, 7)
ROAD = Place("road", "A guest room", bands=(Band("loop", loop=True), Band("wide", heavy=True)), fixtures={"door": 1})
CLIMBER = replace(PERSON, steps=(StepReached("pushup", 2, date(2026, 8, 1)),))
SESSION = """Block: For {name}
1 week
Day 1
{step: push-up} 3 x 8-10 @ RIR 2
{here: back squat} 3 x 5 @ RIR 2; {cue: knees out}
{here: seated cable row} 3 x 8 @ RIR 2; {cue}
as many rounds as possible in 6 min:
- {here: kettlebell swing} 10 reps
- {step: push-up} 8 reps
"""


def fitted(person: Any, place: Place = GYM, text: str = SESSION, cues: Any = None) -> Fitted:
    person = replace(person, days=tuple(replace(day, place=place.id) for day in person.days))
    estimates = estimates_for(person, Log(), START, (place,))
    return fit_master(
        master_from_text(text, START), person, (place,), catalogue(), estimates, cues={} if cues is None else cues
    )


def work_of(block: Any) -> list[Any]:
    return [
        entry
        for session in block.weeks[0].sessions
        for part in session.parts
        if part.part != "warm-up"
        for entry in part.entries
    ]


def test_everybody_gets_their_own_step_name_and_cue() -> None:
    two = fitted(CLIMBER, cues={"back_squat": "chest up"}).block
    five = replace(CLIMBER, name="Other", steps=(StepReached("pushup", 5, date(2026, 8, 1)),))
    other = fitted(five).block
    steps = catalogue().progressions["pushup"]

    assert (two.title, other.title) == ("For Invented Person", "For Other")
    for block, number in ((two, 2), (other, 5)):
        asked = [one for one in work_of(block) if one.progression == "pushup"]
        assert [one.exercise for one in asked] == [steps.step(number).exercise] * 2
        assert [one.step for one in asked] == [number] * 2
    (squat,), (as_usual,) = ([one for one in work_of(made) if one.exercise == "back_squat"] for made in (two, other))
    assert "chest up" in squat.why and "knees out" not in squat.why
    assert "knees out" in as_usual.why
    assert "a cue for the seated cable row on Mon" in {one.wish for one in two.unmet}
    assert {one.entry for one in two.changes} == {"kettlebell swing"}, (
        "this gym has no kettlebells; a step is no change"
    )
    assert two.proof.objective == 1.0


def test_for_one_person_it_is_what_write_makes_of_it() -> None:
    """Referee: the other door to the same text; exercises, sets, repetitions and effort."""
    text = SESSION.replace("; {cue}", "")
    written, _ = read_for(text, CLIMBER, (GYM,), days=("mon",))
    estimates = estimates_for(CLIMBER, Log(), START, (GYM,))
    alone = fit_written(written, CLIMBER, (GYM,), master_from_text(text, START).brief, catalogue(), estimates)

    def asked(block: Any) -> list[Any]:
        return [
            (one.exercise, one.step, [(each.reps, each.rir, each.load_kg) for each in one.working_sets])
            for one in work_of(block)
        ]

    assert len(asked(alone)) == 5
    assert asked(fitted(CLIMBER, text=text).block) == asked(alone)


def test_a_step_that_is_not_on_file_is_the_first_and_it_is_said() -> None:
    made = fitted(replace(PERSON, steps=()))

    first = catalogue().progressions["pushup"].steps[0].exercise
    assert [one.exercise for one in work_of(made.block)].count(first) == 2
    (said, *_) = [change for change in made.block.changes if "no step" in change.why]
    assert said.entry == "own step, push-up to dip" and "Invented Person" in said.why
    told = [note.short for cell in made.cells[0] for note in cell.notes]
    assert sum(one.endswith("no step on file, the first (1 of 8)") for one in told) == 2


@pytest.mark.parametrize("place", [GYM, ROAD], ids=["gym", "road"])
@pytest.mark.parametrize("limit", ["knee bends to 60 degrees", "no pressing with the elbow", "no elbow pulling"])
def test_nothing_crosses_a_limit_or_needs_what_is_missing(place: Place, limit: str) -> None:
    limited = replace(CLIMBER, restrictions=(parse_restriction(limit),))
    made = fitted(limited, place)

    assert work_of(made.block)
    for entry in work_of(made.block):
        dials = {key: value for key, value in entry.dials.items() if key != "hand_height_cm"}
        tokens = expand_tokens(place.tokens())
        assert judge(catalogue().get(entry.exercise), limited.restrictions, tokens, limited, dials).allowed, entry


def test_a_short_day_keeps_its_minutes() -> None:
    short = replace(CLIMBER, days=(TrainingDay("mon", 25, GYM.id),))

    (session,) = fitted(short).block.weeks[0].sessions
    assert session.minutes <= 25.0


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("{step: somersault} 3 x 5", "a progression"),
        ("as many rounds as possible in 6 min: {step: push-up} 8 reps, 10 kettlebell swings", "on the line of its"),
    ],
)
def test_what_cannot_be_read_for_anybody_is_a_fault_of_its_line(line: str, says: str) -> None:
    with pytest.raises(InputFaults) as wrong:
        master_from_text(f"Day 1\n{line}\n", START)

    assert says in str(wrong.value) and "line 2" in str(wrong.value)


def test_lines_for_some_weeks_are_one_entry_of_the_master() -> None:
    """What a coach reads as one exercise is one row of the table, with what each week asks."""
    text = (
        "Block: Squats\n3 weeks\nDay 1\n{here: back squat}; {cue: knees out}\n"
        "- week 1: 4 x 5 @ RIR 3\n- weeks 2-3: 4 x 3 @ RIR 2\n"
        "bike\n- week 1: 4 x 40 s, rest 60 s, talk test: a few words\n"
        "- weeks 2-3: 6 x 40 s, rest 60 s, talk test: a few words\n"
    )
    (session,) = master_from_text(text, START).sessions

    assert [one.exercise for one in session.slots] == ["back_squat", "bike"]
    assert [one.reps for one in session.slots[0].schemes if one] == [(5, 5), (3, 3), (3, 3)]
    assert (
        [one.sets for one in session.slots[1].schemes if one]
        == [4, 6, 6]
        == [one.rounds for one in session.slots[1].bouts if one]
    )
    made = fitted(CLIMBER, text=text)
    assert [work_of(replace(made.block, weeks=(week,)))[0].working_sets[0].reps for week in made.block.weeks] == [
        (5, 5),
        (3, 3),
        (3, 3),
    ]
    assert all("knees out" in work_of(replace(made.block, weeks=(week,)))[0].why for week in made.block.weeks)


def test_two_texts_are_two_masters_and_one_can_be_sent_to_another_process() -> None:
    master = master_from_text(SESSION, START)

    assert pickle.loads(pickle.dumps(master)) == master
    assert master.id != master_from_text(SESSION.replace("{cue: knees out}", "{cue: chest up}"), START).id


def test_the_verb_fits_a_kept_session_to_each(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data = unpack(tmp_path / "demo")
    kept = tmp_path / "evening.txt"
    kept.write_text(SESSION, encoding="utf-8")
    people = [str(data / "people" / f"{name}.toml") for name in ("marit", "selma")]

    code = run(["fit", str(kept), *people, "--start", "2026-09-07", "--cue", "back squat=chest up", "--json"])

    made = json.loads(capsys.readouterr().out)
    assert code == 0
    assert [one["block"]["title"] for one in made["fitted"]] == ["For Marit Oldekop", "For Selma Quist"]
    assert made["table"]["title"] == "For everybody"
    row = next(one for one in made["table"]["sessions"][0]["rows"] if one["asks"].startswith("own step"))
    assert {name: cell["kind"] for name, cell in row["cells"].items()} == dict.fromkeys(
        ("marit", "selma"), "step asked for"
    )
    assert "(2 of 8)" in row["cells"]["marit"]["words"] and "(4 of 8)" in row["cells"]["selma"]["words"]


def test_a_day_with_a_number_is_called_by_it_and_moves_from_no_weekday() -> None:
    """The text says no weekday: each trains Day 1 on their own first day, and nobody is told that it was a Monday."""
    text = "Block: Two days\nDay 1\nback squat 3 x 5 @ RIR 2\nDay 2 - Upper\nbench press 3 x 6 @ RIR 2\n"
    master = master_from_text(text, START)
    days = (TrainingDay("wed", 60, GYM.id), TrainingDay("sat", 60, GYM.id))
    made = fitted(replace(PERSON, days=days), text=text)
    table = table_of(master, [column_of(master, made, catalogue())], (), catalogue())

    assert table.sessions == ("Day 1", "Day 2: Upper")
    said = [*table.notes, *(f"{one.kind} {one.words} {one.why}" for one in table.columns[0].days)]
    told = [
        *said,
        *(entry.why for entry in work_of(made.block)),
        *(f"{one.from_} {one.to}" for one in made.block.changes),
    ]
    assert [one.kind for one in table.columns[0].days] == ["same", "same"]
    assert not [one for one in told if re.search(r"\b(Mon|Thu)", one)]


def test_a_numbered_day_that_is_lost_is_named_by_its_number() -> None:
    text = "Block: Two days\nDay 1\nback squat 5 x 5 @ RIR 2\nDay 2\nbench press 3 x 6 @ RIR 2\n"
    made = fitted(replace(PERSON, days=(TrainingDay("wed", 60, GYM.id),)), text=text).block

    assert ("Day 2", "lost") in [(one.from_, one.to) for one in made.changes]
    assert "the Day 2 session" in [one.wish for one in made.unmet]
