"""The verb explain, and the fold in the coach's notes."""

from __future__ import annotations

import json
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from made_block import estimates_of, made_block

from setwright.catalogue.load import catalogue
from setwright.cli.main import run
from setwright.people.restriction_text import parse_restriction
from setwright.plan.restrict import restrict_block
from setwright.publish.block_file import block_to_json
from setwright.publish.page import notes_page, session_page
from setwright.services.publishing import block_files

SAID_OF_ONE = ("back squat", "bakc squat", "back_squat")


@pytest.fixture
def block_file(tmp_path: Path) -> Path:
    path = tmp_path / "block.json"
    path.write_bytes(block_to_json(made_block()))
    return path


def restricted(tmp_path: Path) -> Path:
    sore = parse_restriction("knee flexion over 60", "test")
    path = tmp_path / "restricted.json"
    path.write_bytes(block_to_json(restrict_block(made_block(), sore, catalogue(), estimates_of(), 1)))
    return path


@pytest.mark.parametrize("name", SAID_OF_ONE)
def test_one_exercise_answers_four_questions(name: str, block_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["explain", str(block_file), name]) == 0
    said = capsys.readouterr().out

    for question in ("Why this:", "Why here:", "Why so much:", "What instead:"):
        assert question in said
    assert max(len(line) for line in said.splitlines()) <= 80


def test_a_later_week_speaks_of_its_own_dose_with_the_other_answers_the_same(
    block_file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["explain", str(block_file), "back_squat", "--week", "3", "--json"]) == 0
    (later,) = json.loads(capsys.readouterr().out)["entries"]
    assert run(["explain", str(block_file), "back_squat", "--json"]) == 0
    (first,) = json.loads(capsys.readouterr().out)["entries"]

    assert later["week"] == 3 and first["week"] == 1
    others = [key for key in first["reasons"] if key != "much"]
    assert others and all(later["reasons"][key] == first["reasons"][key] for key in others)
    squat = next(
        entry
        for session in made_block().weeks[2].sessions
        for part in session.parts
        for entry in part.entries
        if entry.exercise == "back_squat"
    )
    work = [one for one in squat.sets if one.kind == "work"]
    assert f"{len(work)} sets in week 3" in later["reasons"]["much"] != first["reasons"]["much"]
    assert f"{work[0].load_kg:g} kg" in later["reasons"]["much"]


def test_a_day_is_told_whole_but_for_its_warm_up(block_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["explain", str(block_file), "--day", "mon", "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)["entries"]

    here = next(one for one in made_block().weeks[0].sessions if one.day == "mon")
    wanted = [entry.exercise for part in here.parts if part.part != "warm-up" for entry in part.entries]
    assert [row["exercise"] for row in rows] == wanted
    assert {row["day"] for row in rows} == {"mon"}


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (["--day", "sun"], "mon, thu"),
        (["--week", "9"], "1 to 4"),
        (["flump"], "an exercise of the catalogue"),
    ],
)
def test_what_is_not_there_is_named(
    block_file: Path, asked: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["explain", str(block_file), *asked]) == 2
    shown = capsys.readouterr()
    assert said in shown.err and shown.out == ""


def test_a_changed_entry_says_first_what_changed_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = restricted(tmp_path)
    assert run(["explain", str(path), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    changed = [row for row in told["entries"] if row["changed"]]
    assert told["counted_anew"] and changed

    assert run(["explain", str(path), changed[0]["exercise"], "--day", changed[0]["day"]]) == 0
    shown = capsys.readouterr().out
    first = next(line for line in shown.split("Week 1: ")[1].splitlines()[1:] if line.startswith("    "))
    assert first.strip().startswith(("Changed from", "Added:")) or "Changed from" in shown.split("Why this")[0]
    assert "counted anew" in shown


def test_answers_of_a_file_edited_by_hand_are_counted_anew(
    block_file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    raw = json.loads(block_file.read_text(encoding="utf-8"))
    for week in raw["weeks"]:
        for session in week["sessions"]:
            for part in session["parts"]:
                for entry in part["entries"]:
                    if entry["exercise"] == "back_squat":
                        entry["sets"] = entry["sets"][:-1]
    block_file.write_text(json.dumps(raw), encoding="utf-8")
    assert run(["explain", str(block_file), "back_squat", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)

    assert told["counted_anew"]
    assert "Sets: 2 in weeks 1 to 3" in told["entries"][0]["reasons"]["much"]  # three as planned, one taken off


def test_what_is_not_there_says_why_not(block_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["explain", str(block_file), "kb_swing"]) == 0
    assert "not here" in capsys.readouterr().out  # the gym has no kettlebell

    here = {e.exercise for w in made_block().weeks for s in w.sessions for p in s.parts for e in p.entries}
    assert "leg_press" not in here
    assert run(["explain", str(block_file), "leg press", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["missing"]["exercise"] == "leg_press" and told["entries"] == []
    assert re.match(r"Best in the place of the .* on \w+day", told["missing"]["why_not"])


class Folds(HTMLParser):
    """How many folds there are, which are open, and how deep scripts go."""

    def __init__(self) -> None:
        super().__init__()
        self.folds: list[bool] = []
        self.scripts = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.scripts += tag == "script"
        if tag == "details":
            self.folds.append(any(name == "open" for name, _ in attrs))


def test_the_notes_fold_the_reasons_away_without_a_script() -> None:
    page = notes_page(made_block(), 1, "mon", catalogue())
    folds = Folds()
    folds.feed(page)

    here = next(one for one in made_block().weeks[0].sessions if one.day == "mon")
    assert len(folds.folds) == sum(len(part.entries) for part in here.parts)
    assert not any(folds.folds) and folds.scripts == 0
    assert "Without it" in page


def test_the_trainees_own_pages_hold_no_reasons() -> None:
    assert "Without it" not in session_page(made_block(), 1, "mon", catalogue())
    files = block_files(made_block(), weeks=(1,), formats=("html", "csv", "ics"))
    assert files and not any(b"points worse" in data for data in files.values())


def test_notes_of_a_changed_block_are_counted_anew(tmp_path: Path) -> None:
    from setwright.services.gather import load_block

    block = load_block(restricted(tmp_path))
    files = block_files(block, formats=("notes", "json"))

    assert b"Without it" in files["notes/mon.html"]
    assert b'"reasons"' not in files["block.json"]


def test_loads_speak_pounds_when_asked(block_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["explain", str(block_file), "back_squat", "--unit", "lb"]) == 0
    said = capsys.readouterr().out
    assert re.search(r"1RM\s+between\s+\d+\s+and\s+\d+\s+lb", said)
    assert " kg" not in said
