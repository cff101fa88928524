"""Between two sets on the command line: the newest set decides, and the answer fits its schema."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema_rs
import pytest

from setwright.cli.main import run

HEAD = "date,session,exercise,set,load_kg,reps,rir,ended_by,pain,pain_where\n"


@pytest.fixture
def block_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.syspath_prepend(str(Path(__file__).parent.parent / "review"))
    from week_of_log import block

    from setwright.publish.block_file import block_to_json

    file = tmp_path / "block.json"
    file.write_bytes(block_to_json(block()))
    return file


def asked(block_file: Path, rows: str, *options: str) -> int:
    log = block_file.with_name("today.csv")
    log.write_text(HEAD + rows, encoding="utf-8")
    return run(["next", str(block_file), str(log), *options])


def test_the_newest_set_decides_and_fits_the_published_schema(
    block_file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Referee: jsonschema-rs, with what ``schema next`` prints."""
    rows = "2026-09-07,mon,back_squat,1,97.5,5,2.5,planned,,\n2026-09-07,mon,back_squat,2,97.5,5,6,planned,,\n"
    assert asked(block_file, rows, "--json") == 0
    found = json.loads(capsys.readouterr().out)
    assert run(["schema", "next"]) == 0
    schema = json.loads(capsys.readouterr().out)

    assert [str(one) for one in jsonschema_rs.validator_for(schema).iter_errors(found)] == []
    assert list(jsonschema_rs.validator_for(schema).iter_errors({**found, "set": "two"}))
    assert (found["set"], found["of"]) == (2, 3) and found["next"]["load_kg"] > 97.5
    assert len(found["next"]["why"]) < 120


def test_pain_ends_it_in_words(block_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert asked(block_file, "2026-09-07,mon,back_squat,1,97.5,5,6,planned,6,knee\n") == 0
    shown = " ".join(capsys.readouterr().out.split())

    assert "STOP" in shown and "licensed" in shown and "kg x" not in shown


def test_the_last_set_names_what_follows(block_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rows = "".join(f"2026-09-07,mon,back_squat,{n},97.5,5,2.5,planned,,\n" for n in (1, 2, 3))
    assert asked(block_file, rows) == 0
    assert "set 3 of 3 was the last. Then seated cable row" in " ".join(capsys.readouterr().out.split())


def test_a_set_of_something_else_is_refused_in_one_line(block_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert asked(block_file, "2026-09-07,mon,deadlift,1,100,5,2,planned,,\n") == 2
    said = " ".join(capsys.readouterr().err.split())
    assert "deadlift on 2026-09-07" in said and "back_squat" in said
