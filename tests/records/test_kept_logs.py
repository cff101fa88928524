"""A log that is kept: whose it is, where it went, what reads it, and what history and undo say."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from made_block import START, made_block

from setwright.cli.main import run
from setwright.plan.identity import with_id
from setwright.publish.block_file import block_to_json
from setwright.publish.csv_file import log_csv
from setwright.strength.logged import Log, LoggedSet


def squats(start: date = START, reps: int = 5) -> Log:
    """Two weeks of squats as planned, three sets a session."""
    days = [start, start + timedelta(days=7)]
    return Log(
        tuple(
            LoggedSet(day, week, "mon", "back_squat", number, 80.0, "total", reps, 3.0)
            for week, day in enumerate(days, start=1)
            for number in (1, 2, 3)
        )
    )


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "block.json").write_bytes(block_to_json(made_block()))
    (tmp_path / "log.csv").write_bytes(log_csv(squats()))
    return tmp_path


def words(capsys: pytest.CaptureFixture[str]) -> str:
    captured = capsys.readouterr()
    return " ".join((captured.out + captured.err).split())


def test_the_kept_log_is_read_by_the_verbs_that_learn(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    records = ["--records", str(folder / "records")]
    block, log = str(folder / "block.json"), str(folder / "log.csv")
    assert run(["accept", block, *records]) == 0
    assert run(["log", "invented", log, *records]) == 0
    said = words(capsys)
    assert "6 new rows kept for invented" in said and "events.jsonl" in said and "estimate, review, adapt" in said

    assert run(["review", block, *records, "--json"]) == 0
    kept = json.loads(capsys.readouterr().out)
    assert run(["review", block, log, "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == kept
    assert run(["review", block, log, *records, "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == kept, "rows of the file and of the records count once"


def test_review_without_any_log_is_refused(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["review", str(folder / "block.json")]) == 2
    assert "name log files, or --records" in words(capsys)


def test_a_row_is_kept_once(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = (folder / "log.csv").read_text()
    (folder / "log.csv").write_text(text + text.splitlines()[1] + "\n")

    assert run(["log", "invented", str(folder / "log.csv"), "--records", str(folder / "records")]) == 0

    said = words(capsys)
    assert "row 8 is the same as row 2 and counts once" in said and "6 new rows kept" in said


def test_two_files_with_the_same_rows_count_once(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    log = str(folder / "log.csv")
    assert run(["log", "invented", log, log, "--records", str(folder / "records")]) == 0
    assert "6 rows stand in more than one of the log files" in words(capsys)


@pytest.mark.parametrize("name", ["../../evil", "", "a b", "x" * 101, "zo\u00eb"])
def test_a_name_that_could_be_a_path_is_refused(name: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["log", name, str(folder / "log.csv"), "--records", str(folder / "records")]) == 2
    assert "letters, digits, - and _" in words(capsys)
    assert not (folder / "records").exists()


def test_a_trainee_without_a_block_is_doubted(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    records = ["--records", str(folder / "records")]
    assert run(["accept", str(folder / "block.json"), *records]) == 0
    assert run(["log", "inventd", str(folder / "log.csv"), *records]) == 0
    said = words(capsys)
    assert "No block of inventd is kept there yet" in said and "Did you mean invented?" in said


def test_history_says_what_is_kept_and_undone(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    records = ["--records", str(folder / "records")]
    first = made_block()
    second = with_id(replace(first, revision=2, parent=first.id))
    (folder / "second.json").write_bytes(block_to_json(second))
    for verb in (
        ["accept", str(folder / "block.json"), *records],
        ["log", "invented", str(folder / "log.csv"), *records],
        ["accept", str(folder / "second.json"), *records],
        ["undo", "invented", *records],
    ):
        assert run(verb) == 0
    capsys.readouterr()

    assert run(["history", "invented", *records, "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)

    assert [row["what"] for row in rows] == [
        "revision 1 kept",
        "accepted",
        f"6 log rows kept, {START} to {START + timedelta(days=7)}",
        "revision 2 kept",
        "accepted",
        "put back in force",
        "in force",
    ]
    assert rows[-2]["reason"] == f"undo of {second.id}" and rows[-1]["block"] == first.id
    assert run(["history", "invented", *records]) == 0
    assert max(len(line) for line in capsys.readouterr().out.splitlines()) <= 80


def test_an_edited_block_is_kept_as_a_revision_of_its_own(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    records = ["--records", str(folder / "records")]
    assert run(["accept", str(folder / "block.json"), *records]) == 0
    edited = replace(made_block(), title="Edited by hand")
    (folder / "block.json").write_bytes(block_to_json(edited))

    assert run(["accept", str(folder / "block.json"), *records]) == 0

    assert "it is revision 2" in words(capsys)
    titles = [json.loads(one.read_text())["title"] for one in (folder / "records" / "blocks").glob("*.json")]
    assert sorted(titles) == ["Edited by hand", "Invented block"]
    assert run(["undo", "invented", *records, "--out", str(folder / "undone.json")]) == 0
    assert json.loads((folder / "undone.json").read_text())["title"] == "Invented block"


@pytest.mark.parametrize("verb", ["review", "adapt"])
def test_a_log_of_another_time_is_refused(verb: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (folder / "log.csv").write_bytes(log_csv(squats(date(2031, 3, 3))))
    assert run([verb, str(folder / "block.json"), str(folder / "log.csv")]) == 2
    said = words(capsys)
    assert "found rows from 2031-03-03 to 2031-03-10; allowed: dates of the block, 2026-09-07 to 2026-10-04" in said


def test_rows_outside_the_block_are_named(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    late = squats(date(2027, 1, 4))
    both = Log((*squats(START - timedelta(days=7)).sets, *late.sets))
    (folder / "log.csv").write_bytes(log_csv(both))

    assert run(["review", str(folder / "block.json"), str(folder / "log.csv"), "--json"]) == 0

    captured = capsys.readouterr()
    said = " ".join(captured.err.split())
    assert "3 rows lie before the block" in said and "6 rows lie after the block" in said
    assert json.loads(captured.out)["weeks"][0]["week"] == 1


def test_a_log_of_other_exercises_is_doubted(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    strange = Log(tuple(replace(one, exercise="run") for one in squats().sets))
    (folder / "log.csv").write_bytes(log_csv(strange))

    assert run(["review", str(folder / "block.json"), str(folder / "log.csv")]) == 0

    assert "only 0 of 6 sets are of exercises that stand in this block. Is it the log of invented?" in words(capsys)


@pytest.mark.parametrize("verb", ["accept", "log", "history", "review"])
def test_a_file_in_place_of_the_records_is_one_clear_fault(
    verb: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    taken = folder / "file.txt"
    taken.write_text("mine")
    block, log = str(folder / "block.json"), str(folder / "log.csv")
    arguments = {"accept": [block], "log": ["invented", log], "history": ["invented"], "review": [block]}[verb]

    assert run([verb, *arguments, "--records", str(taken)]) == 2

    assert "found a file; allowed:" in words(capsys) and taken.read_text() == "mine"


def test_records_that_cannot_be_made_are_one_clear_fault(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["log", "invented", str(folder / "log.csv"), "--records", "/proc/zz"]) == 2
    assert "--records /proc/zz: found" in words(capsys)


def test_another_story_of_a_kept_set_is_named(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    records = ["--records", str(folder / "records")]
    assert run(["log", "invented", str(folder / "log.csv"), *records]) == 0
    assert "other numbers" not in words(capsys)
    (folder / "log.csv").write_bytes(log_csv(squats(reps=6)))

    assert run(["log", "invented", str(folder / "log.csv"), *records]) == 0

    said = words(capsys)
    assert "6 sets are kept already with other numbers, like back_squat set 1 on 2026-09-07" in said
    key = said.split("write its key (")[1].split(")")[0]
    header, row = (folder / "log.csv").read_text().splitlines()[:2]
    cells = row.split(",")
    cells[header.split(",").index("corrects")] = key
    (folder / "log.csv").write_text("\n".join((header, ",".join(cells))))
    assert run(["log", "invented", str(folder / "log.csv"), *records]) == 0
    assert "1 new rows kept" in words(capsys)
