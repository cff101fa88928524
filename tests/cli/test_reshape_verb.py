"""The verb ``reshape``: what a coach types when something came between."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from made_block import made_block

from setwright.catalogue.load import catalogue
from setwright.cli.main import run
from setwright.publish.block_file import block_from_json, block_to_json
from setwright.services.block_check import block_faults

HOTEL = """id = "hotel"
name = "Invented hotel room"
invented = true
[[bands]]
name = "narrow"
[[dumbbells]]
mass_kg = 10
count = 2
[fixtures]
chair_bench = 1
door = 1
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "block.json").write_bytes(block_to_json(made_block()))
    (tmp_path / "hotel.toml").write_text(HOTEL)
    return tmp_path


def reshaped(folder: Path, capsys: pytest.CaptureFixture[str], *options: str) -> dict[str, Any]:
    """The JSON of a run that has to go well."""
    options = tuple(one.replace("hotel.toml", str(folder / "hotel.toml")) for one in options)
    assert run(["reshape", str(folder / "block.json"), *options, "--json"]) == 0
    return json.loads(capsys.readouterr().out)  # type: ignore[no-any-return]


def refused(folder: Path, capsys: pytest.CaptureFixture[str], *options: str) -> str:
    """The words of a run that has to be refused as wrong input."""
    assert run(["reshape", str(folder / "block.json"), *options]) == 2
    return capsys.readouterr().err


@pytest.mark.parametrize(
    "options",
    [
        ["--bar", "back squat"],
        ["--lose-day", "thu"],
        ["--lose-day", "Thursday", "--weeks", "3"],
        ["--minutes", "45"],
        ["--minutes", "mon=LESS", "--minutes", "thu=LESS", "--sets-only"],
        ["--place", "hotel.toml", "--weeks", "2-3"],
        ["--place", "thu=hotel.toml"],
        ["--bar", "back_squat", "--minutes", "mon=45", "--place", "thu=hotel.toml", "--weeks", "2,4"],
    ],
    ids=" ".join,
)
def test_the_changed_block_is_a_block_and_says_what_changed(
    options: list[str], folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    weeks = made_block().weeks[1:]
    longest = {one.day: max(w.sessions[at].minutes for w in weeks) for at, one in enumerate(weeks[0].sessions)}
    options = [one.replace("LESS", f"{0.95 * longest.get(one[:3], 0.0):.1f}") for one in options]  # type: ignore[call-overload]
    found = reshaped(folder, capsys, *options, "--from-week", "2")

    block = block_from_json(json.dumps(found["block"]).encode(), "block.json")
    assert block_faults(block, "block.json", catalogue()) == []
    rows = [{k: v for k, v in one.items() if k not in ("number", "approval")} for one in found["changes"]]
    assert rows and rows == found["block"]["changes"]
    assert set(found["changes"][0]) >= {"week", "session", "entry", "from", "to", "why"}
    assert block.parent == made_block().id and block.weeks[0] == made_block().weeks[0]


def test_the_result_fits_its_published_schemas(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Referee: jsonschema-rs, with the schemas that ``schema changes`` and ``schema block`` print."""
    import jsonschema_rs

    found = reshaped(folder, capsys, "--bar", "back squat", "--lose-day", "thu", "--place", "hotel.toml")

    for name, value in (("changes", found), ("block", found["block"])):
        assert run(["schema", name]) == 0
        schema = json.loads(capsys.readouterr().out)
        assert [str(one) for one in jsonschema_rs.validator_for(schema).iter_errors(value)] == []
        broken = {**value, "changes": [{"week": "soon"}]}
        assert list(jsonschema_rs.validator_for(schema).iter_errors(broken))


def test_minutes_of_a_day_win_over_those_of_all_days(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = reshaped(folder, capsys, "--minutes", "thu=40", "--minutes", "45")

    caps = {one["day"]: one["minutes_cap"] for one in found["block"]["weeks"][0]["sessions"]}
    assert caps == {"mon": 45, "thu": 40}


def test_nothing_said_changes_nothing(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = reshaped(folder, capsys)

    assert found["block"]["id"] == made_block().id


def test_what_has_no_effect_is_said(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = str(folder / "block.json")
    assert run(["reshape", path, "--bar", "jefferson_curl"]) == 0
    assert "not in the weeks that remain" in " ".join(capsys.readouterr().err.split())


def test_the_words_say_how_few_changes_were_possible(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["reshape", str(folder / "block.json"), "--bar", "back squat", "--from-week", "3"]) == 0

    words = capsys.readouterr().out
    assert "had to change" in words and "Barred from week 3 on." in words and "weeks 3, 4" in words


def test_completed_weeks_are_known_from_the_log(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    log = folder / "log.csv"
    log.write_text("date,week,session,exercise,set,load_kg,reps,rir\n2026-09-14,2,mon,back_squat,1,80,5,3\n")

    found = reshaped(folder, capsys, "--bar", "back squat", "--log", str(log))

    assert {one["week"] for one in found["changes"]} == {3, 4}


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["--bar", "flying carpet"], ["--bar", "flying carpet"]),
        (["--lose-day", "sun"], ["--lose-day", "mon, thu"]),
        (["--minutes", "thu=soon"], ["--minutes", "thu=soon", "5 to 600"]),
        (["--minutes", "sat=40"], ["--minutes", "sat"]),
        (["--minutes", "3"], ["--minutes", "5 to 600"]),
        (["--weeks", "9", "--lose-day", "thu"], ["--weeks", "9"]),
        (["--weeks", "1", "--lose-day", "thu", "--from-week", "3"], ["--weeks", "done"]),
        (["--weeks", "all", "--lose-day", "thu"], ["--weeks", "3,4 or 3-5"]),
        (["--place", "nowhere.toml"], ["nowhere.toml", "no such file"]),
        (["--bar", "back squat", "--sets-only"], ["--sets-only"]),
        (["--lose-day", "thu", "--minutes", "thu=40"], ["--lose-day", "thu"]),
        (["--lift-restriction", "knee"], ["--lift-restriction", "no restriction"]),
    ],
    ids=lambda one: " ".join(one),
)
def test_what_cannot_be_meant_is_refused_by_name(
    options: list[str], words: list[str], folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    said = " ".join(refused(folder, capsys, *options).split())

    assert all(word in said for word in words), said


def test_what_leaves_nothing_is_no_plan(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["reshape", str(folder / "block.json"), "--lose-day", "mon", "--lose-day", "thu"]) == 3
    assert "No training day would be left" in " ".join(capsys.readouterr().err.split())


def sore_knee(folder: Path, capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    """The block under a knee restriction that somebody set, in place of the first one."""
    path = folder / "block.json"
    setting = ["--restriction", "knee flexion over 60", "--set-by", "Dr Invented", "--from-week", "2", "--json"]
    assert run(["restrict", str(path), *setting]) == 0
    block = json.loads(capsys.readouterr().out)["block"]
    path.write_text(json.dumps(block))
    (folder / "first.json").write_bytes(block_to_json(made_block()))
    return block  # type: ignore[no-any-return]


def exercises(block: dict[str, Any], week: int) -> list[tuple[str, str]]:
    return [
        (session["day"], entry["exercise"])
        for session in block["weeks"][week - 1]["sessions"]
        for part in session["parts"]
        for entry in part["entries"]
    ]


def test_a_limit_that_ends_gives_the_old_entries_back(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sore_knee(folder, capsys)
    lifting = ["--lift-restriction", "knee", "--by", "Dr Invented", "--before", str(folder / "first.json")]

    found = reshaped(folder, capsys, *lifting, "--from-week", "3")

    first = json.loads(block_to_json(made_block()))
    for week in (3, 4):
        assert exercises(found["block"], week) == exercises(first, week)
    assert all("lifted by Dr Invented" in one["why"] for one in found["changes"])


def test_a_limit_ends_without_the_first_block_too(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sore = sore_knee(folder, capsys)

    found = reshaped(folder, capsys, "--lift-restriction", "knee", "--by", "Dr Invented", "--from-week", "3")

    first = json.loads(block_to_json(made_block()))
    assert found["block"]["inputs"]["trainee"]["restrictions"] == []
    assert set(exercises(first, 3)) - set(exercises(sore, 3)) <= set(exercises(found["block"], 3))


def test_only_who_set_a_limit_lifts_it(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sore_knee(folder, capsys)

    said = refused(folder, capsys, "--lift-restriction", "knee", "--by", "the coach")

    assert "--by" in said and "Dr Invented" in said


def test_a_limit_ends_and_a_day_is_lost_in_one_revision(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sore = sore_knee(folder, capsys)
    lifting = ["--lift-restriction", "knee", "--by", "Dr Invented", "--before", str(folder / "first.json")]

    found = reshaped(folder, capsys, *lifting, "--lose-day", "thu", "--from-week", "3")

    assert found["block"]["parent"] == sore["id"]
    assert found["block"]["revision"] == sore["revision"] + 1
    assert all(one["day"] != "thu" for one in found["block"]["weeks"][2]["sessions"])
    whys = " ".join(one["why"] for one in found["changes"])
    assert "is lifted" in whys and "Thursday is lost" in whys
