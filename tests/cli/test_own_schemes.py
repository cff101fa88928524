"""A coach's own scheme: checked, used on a line, carried by the block, and published from it alone."""

from __future__ import annotations

import json
from importlib import resources
from pathlib import Path

import pytest

from setwright.cli.main import run
from setwright.publish.block_file import block_from_json, block_to_json

SCHEME = resources.files("setwright.plan").joinpath("data", "scheme.template.toml").read_text(encoding="utf-8")
PERSON = resources.files("setwright.people").joinpath("data", "trainee.template.toml").read_text(encoding="utf-8")
PLACE = resources.files("setwright.people").joinpath("data", "place.template.toml").read_text(encoding="utf-8")
TEXT = "Block: Invented\n4 weeks\nMonday, 60 min\ndumbbell row 3 sets, six and hold\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "own" / "schemes").mkdir(parents=True)
    (tmp_path / "own" / "schemes" / "six-and-hold.toml").write_text(SCHEME, encoding="utf-8")
    (tmp_path / "block.txt").write_text(TEXT, encoding="utf-8")
    (tmp_path / "person.toml").write_text(PERSON, encoding="utf-8")
    (tmp_path / "place.toml").write_text(PLACE, encoding="utf-8")
    return tmp_path


def write(folder: Path, *more: str) -> int:
    files = [str(folder / name) for name in ("person.toml", "block.txt")]
    return run(["write", *files, "--place", str(folder / "place.toml"), "--out", str(folder / "out"), *more])


def test_an_own_scheme_is_used_and_travels(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert write(folder, "--own", str(folder / "own")) == 0
    data = (folder / "out" / "block.json").read_bytes()
    raw = json.loads(data)
    (entry,) = [e for p in raw["weeks"][0]["sessions"][0]["parts"] for e in p["entries"] if e["written"]]

    assert entry["scheme"] == "six-and-hold" and entry["sets"][-1]["reps"] == [6, 6]
    assert [one["hold_s"] for one in entry["sets"][-1]["inside"]] == [8.0, None]
    assert raw["inputs"]["own"] == {"schemes/six-and-hold.toml": SCHEME}
    assert "the last one held 8 s" in capsys.readouterr().out
    assert block_to_json(block_from_json(data, "block.json")) == data

    assert run(["publish", str(folder / "out" / "block.json"), "--out", str(folder / "again")]) == 0
    assert run(["schema", "block"]) == 0


def test_without_the_folder_its_words_stay_a_note(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert write(folder) == 0
    assert "'six and hold' stays a note" in capsys.readouterr().out.replace("\n", " ").replace("  ", " ")


def test_a_broken_own_scheme_is_named_with_its_path(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = folder / "own" / "schemes" / "six-and-hold.toml"
    file.write_text(SCHEME.replace("rule =", "rul ="), encoding="utf-8")

    assert run(["check", str(file)]) == 2
    told = capsys.readouterr()
    assert "Did you mean rule?" in told.out + told.err
    assert write(folder, "--own", str(folder / "own")) == 2
    told = capsys.readouterr()
    assert str(file) in told.out + told.err


def test_the_list_of_schemes_has_the_own_one(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["catalogue", "--schemes", "--json", "--own", str(folder / "own")]) == 0
    rows = {row["scheme"]: row for row in json.loads(capsys.readouterr().out)}
    assert rows["six-and-hold"]["name"] == "six and hold"
    assert "leg_ext" in rows["drop"]["suits_exercises"] and "deadlift" not in rows["drop"]["suits_exercises"]

    assert run(["catalogue", "--schemes", "--own", str(folder / "own")]) == 0
    assert "six and hold  (six-and-hold)" in capsys.readouterr().out


def test_a_scheme_file_is_known_as_one(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["check", str(folder / "own" / "schemes" / "six-and-hold.toml")]) == 0
    assert "a scheme, in order" in capsys.readouterr().out
    assert run(["template", "scheme"]) == 0
    assert capsys.readouterr().out.strip() == SCHEME.strip()
