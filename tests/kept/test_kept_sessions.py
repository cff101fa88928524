"""Kept sessions: a text that reads back to what it was made from, filled in for each person, or one clear fault."""

from __future__ import annotations

import json
import sys
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "publish"))
from made_block import GYM, PERSON, estimates_of, made_block

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.load import catalogue
from setwright.cli.main import run
from setwright.faults import InputFaults
from setwright.people.place import Band, Place
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import StepReached
from setwright.plan.gates import judge
from setwright.plan.kept import For, fill_in, has_placeholders, placeholders, sample_text
from setwright.plan.kept_text import kept_text, template_to_keep
from setwright.plan.master import master_of_block
from setwright.plan.pace import pace_in, pace_of
from setwright.plan.shorthand import read_block_text
from setwright.plan.template import Template
from setwright.publish.kept_schema import keep_schema, kept_schema
from setwright.services.kept import cues_of, kept_in, read_for, read_kept, text_to_keep

ROAD = Place("road", "A guest room", bands=(Band("loop", loop=True), Band("wide", heavy=True)), fixtures={"door": 1})
DAYS = tuple(day.day for day in PERSON.days)
DEMO = Path(__file__).resolve().parents[2] / "src" / "setwright" / "services" / "demo_data" / "blocks"
CLIMBER = replace(
    PERSON, steps=(StepReached("pushup", 2, date(2026, 8, 1)), StepReached("nordic", 1, date(2026, 8, 1)))
)


def what_is_asked(template: Template) -> list[Any]:
    """What a template asks in each week, in order, without reasons and the coach's own words.

    Light work and easy work are one thing; that a set is for each side follows from the exercise where it is left out.
    """
    return [
        [
            (
                entry.exercise,
                entry.part,
                entry.superset,
                replace(
                    scheme, light=False, per_side=bool(scheme.per_side or catalogue().get(entry.exercise).per_side)
                ),
                entry.bout(week),
            )
            for entry in session.entries
            if (scheme := entry.schemes[week]) is not None
        ]
        for session in template.sessions
        for week in range(len(template.week_kinds))
    ]


def written() -> Template:
    text = (DEMO / "station_evening.txt").read_text(encoding="utf-8")
    return read_block_text(text, catalogue()).template


def designed(weeks: tuple[int, ...] = ()) -> Template:
    master = master_of_block(made_block(), catalogue(), estimates_of())
    return template_to_keep(master, weeks)


def without_kilograms(template: Template) -> Template:
    """A written template as it is kept: no kilograms."""
    sessions = tuple(
        replace(
            one,
            entries=tuple(
                replace(e, schemes=tuple(None if s is None else replace(s, load_kg=None) for s in e.schemes))
                for e in one.entries
            ),
        )
        for one in template.sessions
    )
    return replace(template, sessions=sessions)


@pytest.mark.parametrize(
    "made",
    [lambda: without_kilograms(written()), lambda: designed((1,)), lambda: designed((2, 3))],
    ids=["written", "one week", "two weeks"],
)
def test_a_template_reads_back_from_its_text_to_the_same(made: Any) -> None:
    template = made()
    text = kept_text("Evening", template, catalogue(), steps=False)

    again = read_block_text(text, catalogue(), days=[one.day for one in template.sessions]).template

    assert sum(len(one.entries) for one in template.sessions) > 8
    assert what_is_asked(again) == what_is_asked(template)
    assert again.week_rpe == template.week_rpe and again.week_kinds == template.week_kinds
    if len(template.week_kinds) == 1:
        assert kept_text("Evening", again, catalogue(), steps=False) == text


def test_placeholders_read_back_to_what_they_stand_for() -> None:
    """In a place that has everything, for nobody with a limit, a text with placeholders is the text without them."""
    template = designed((1,))
    plain = kept_text("T", template, catalogue(), steps=False)
    marked = kept_text("T", template, catalogue(), steps=False, here=True)

    assert marked.count("{here:") > 8
    filled, _ = read_for(marked, PERSON, (GYM,), days=DAYS)
    assert what_is_asked(filled.template) == what_is_asked(read_block_text(plain, catalogue(), days=DAYS).template)


def test_a_kept_text_holds_no_load_and_nothing_of_the_person() -> None:
    text = text_to_keep(made_block(), title="Invented's legs", here=True, cues=True)

    assert "kg" not in text and "Invented" not in text
    assert text.splitlines()[0] == "Block: {name}'s legs"
    with pytest.raises(InputFaults, match="the birth year"):
        text_to_keep(made_block(), title="For those of 1990")


SESSION = """Block: For {name}
1 week
Day 1
{step: push-up} 3 x 8-10 @ RIR 2
{step: nordic} 3 x 4-6 @ RIR 3
{here: back squat} 3 x 5 @ 75 %; {cue}
A {here: face pull} 2 x 12 @ RIR 3; {cue: elbows high}
"""
CUES = {"back_squat": "knees out; (wide)"}


def filled_for(person: Any, places: tuple[Place, ...], text: str = SESSION, cues: Any = None) -> Any:
    return read_for(text, person, places, days=DAYS, cues=CUES if cues is None else cues)


def test_each_placeholder_becomes_what_it_is_for_this_person() -> None:
    block, fillings = filled_for(CLIMBER, (GYM,))
    entries = block.template.sessions[0].entries

    assert block.title == "For Invented Person"
    steps = {slug: catalogue().progressions[slug].step(step) for slug, step in (("pushup", 2), ("nordic", 1))}
    assert [one.exercise for one in entries[:2]] == [steps["pushup"].exercise, steps["nordic"].exercise]
    assert [(one.progression, one.step) for one in entries[:2]] == [("pushup", 2), ("nordic", 1)]
    assert entries[0].dials["hand_height_cm"] == steps["pushup"].dials["hand_height_cm"]
    assert entries[1].schemes[0].hold_s and entries[1].schemes[0].reps is None  # its first step is a hold
    assert entries[2].exercise == "back_squat" and "knees out wide" in entries[2].why
    assert "elbows high" in entries[3].why and entries[3].superset == "A"
    assert len(fillings) == 7


def test_what_is_not_there_becomes_the_nearest_and_its_sets_can_be_done() -> None:
    block, fillings = filled_for(CLIMBER, (ROAD,), SESSION.replace("; {cue}", ""))
    known, tokens = catalogue(), expand_tokens(ROAD.tokens())

    for entry in block.template.sessions[0].entries:
        exercise = known.get(entry.exercise)
        assert judge(exercise, (), tokens, None).allowed
        assert (entry.schemes[0].reps is None) == (exercise.measured_in == "seconds" or exercise.mode == "isometric")
    (squat,) = [one for one in fillings if one.at.of == "back squat"]
    assert "needs" in squat.why and "Kept:" in squat.why
    assert all(entry.schemes[0].pct is None for entry in block.template.sessions[0].entries)


def test_a_restriction_is_kept_by_every_step_and_variant() -> None:
    limited = replace(CLIMBER, restrictions=(parse_restriction("knee bends to 60 degrees"),))
    block, _ = filled_for(limited, (GYM,))

    for entry in block.template.sessions[0].entries:
        dials = {key: value for key, value in entry.dials.items() if key != "hand_height_cm"}
        assert judge(
            catalogue().get(entry.exercise), limited.restrictions, frozenset(), dials=dials, ignore_equipment=True
        ).allowed


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("{step: nordic} 3 x 5", "no step is on file"),
        ("{step: somersault} 3 x 5", "a progression"),
        ("{here: flying carpet} 3 x 5", "the sure name of an exercise"),
        ("back squat 3 x 5; {cue}", "none is on file"),
        ("; {cue: up}", "behind the exercise"),
        ("{weight} 3 x 5", "{name}, {step: PROGRESSION}"),
        ("back squat {3 x 5", "a brace without a placeholder"),
        ("back squat {name} x 5", "line 2"),
    ],
)
def test_a_placeholder_that_cannot_be_filled_is_one_clear_fault(line: str, says: str) -> None:
    with pytest.raises(InputFaults) as wrong:
        read_for(f"Day 1\n{line}\n", replace(PERSON, steps=()), (GYM,), days=DAYS)

    assert len(wrong.value.faults) == 1
    assert says in str(wrong.value) and "line 2" in str(wrong.value)


def test_nothing_good_near_is_a_fault_with_another_way() -> None:
    with pytest.raises(InputFaults) as wrong:
        read_for("Day 1\n{here: bear-hug carry} 3 x 20 m\n", PERSON, (ROAD,), days=DAYS)

    assert "Nothing near it is good here" in str(wrong.value) and "Another way" in str(wrong.value)


def test_every_fault_comes_at_once() -> None:
    with pytest.raises(InputFaults) as wrong:
        fill_in(SESSION, For(replace(PERSON, steps=()), (GYM,), {}), catalogue())

    assert len(wrong.value.faults) == 3


def test_notes_to_oneself_may_hold_braces() -> None:
    assert not has_placeholders("# {not one}\nback squat 3 x 5")
    assert placeholders("# {not one}\n{here: back squat} 3 x 5", catalogue())[0].line == 2
    assert "{" not in sample_text(SESSION, catalogue())


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    """A folder with two kept sessions, one of them broken."""
    (tmp_path / "evening.txt").write_text(SESSION, encoding="utf-8")
    (tmp_path / "rows.txt").write_text("Block: Rows only\nDay 1\nseated cable row 3 x 10\n", encoding="utf-8")
    return tmp_path


def test_the_shelf_is_searched_by_title_and_by_a_name_of_the_trade(shelf: Path) -> None:
    found = {word: [Path(one.file).stem for one in kept_in(shelf, word)[0]] for word in ("", "rows", "squats", "golf")}

    assert found == {"": ["evening", "rows"], "rows": ["rows"], "squats": ["evening"], "golf": []}


def test_the_verbs_keep_list_and_use_a_session(shelf: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from setwright.publish.block_file import block_to_json
    from setwright.services.demo import unpack

    data = unpack(tmp_path / "demo")
    block = tmp_path / "block.json"
    block.write_bytes(block_to_json(made_block()))

    assert run(["keep", str(block), str(shelf / "mine.txt"), "--day", "mon", "--week", "1", "--here", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    jsonschema_rs.validator_for(keep_schema()).validate(told)
    assert list(jsonschema_rs.validator_for(keep_schema()).iter_errors({**told, "weeks": "one"}))
    assert told["sessions"] == 1 and any(one.startswith("{here:") for one in told["placeholders"])
    assert run(["keep", str(block), str(shelf / "mine.txt")]) == 2
    assert "a file that is there" in " ".join(capsys.readouterr().err.split())
    assert run(["kept", str(shelf), "rows", "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)
    jsonschema_rs.validator_for(kept_schema()).validate(rows)
    assert "Rows only" in [row["title"] for row in rows]
    assert run(["check", str(shelf / "evening.txt")]) == 0
    capsys.readouterr()
    text = SESSION.replace("{step: nordic} 3 x 4-6 @ RIR 3\n", "")
    (shelf / "evening.txt").write_text(text, encoding="utf-8")
    person = str(data / "people" / "selma.toml")
    asked = ["write", person, str(shelf / "evening.txt"), "--start", "2026-09-07", "--cue", "back squat=knees out"]
    assert run([*asked, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["title"] == "For Selma Quist"
    assert run([*asked[:-1], "squat jumpers=up"]) == 2
    assert "EXERCISE=WORDS" in capsys.readouterr().err


def test_cues_are_told_by_exercise() -> None:
    assert cues_of(["back squat=knees out"]) == {"back_squat": "knees out"}


def test_what_is_kept_is_told_without_anybody() -> None:
    told = read_kept(SESSION, "evening.txt")

    assert (told.title, told.weeks, told.sessions) == ("For {name}", 1, 1)
    assert "back_squat" in told.exercises and "{step: nordic}" in told.placeholders


def test_how_hard_conditioning_is_goes_with_a_kept_session() -> None:
    """A brief's pieces have no target: their words are all that says it, there and back again."""
    block = made_block()
    pieces = [
        pace_of(entry, catalogue())
        for session in block.weeks[0].sessions
        for part in session.parts
        if part.part == "conditioning"
        for entry in part.entries
    ]
    template = template_to_keep(master_of_block(block, catalogue(), estimates_of()))
    read = read_block_text(kept_text("All of it", template, catalogue(), steps=False), catalogue()).template
    again = [pace_in(one.why) for session in read.sessions for one in session.entries if one.part == "conditioning"]

    assert pieces and all(pieces)
    assert again == pieces


def test_what_a_kept_session_fills_in_is_said_in_words() -> None:
    text = (
        "Block: For {name}\nDay 1\n{step: pull-up} 3 x 5\n{here: back squat} 3 x 5; {cue: knees out}\n"
        "{here: seated cable row} 3 x 8; {cue}\n"
    )

    said = read_kept(text).asks

    assert said == "their name; their step of the pull-up; their own cues; 2 exercises as their place has them"
    assert read_kept("Block: Rows\nseated cable row 3 x 8\n").asks == ""


def test_only_what_became_another_exercise_is_told_of_a_placeholder_for_a_place() -> None:
    text = "Block: Rows\nDay 1\n{here: seated cable row} 3 x 8\n{here: dead bug} 2 x 8\n"

    there = fill_in(text, For(PERSON, (ROAD,), {}), catalogue()).fillings
    here = fill_in(text, For(PERSON, (GYM,), {}), catalogue()).fillings

    assert [one.is_as_written for one in there] == [False, True]
    assert [one.is_as_written for one in here] == [True, True]
