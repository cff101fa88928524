"""The verb season, from files to files."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema_rs
import pytest
from season_case import log_of, plain_block

from setwright.cli.main import run
from setwright.publish.block_file import block_to_json
from setwright.publish.csv_file import log_csv
from setwright.publish.season_json import season_file_schema, season_schema
from setwright.services.templates import template_text

TRAINEE = """id = "invented"
name = "Invented Person"
birth_year = 1990
body_mass_kg = 78
stature_cm = 179
training_years = 3
invented = true
[screening]
active_now = true
[[days]]
day = "mon"
minutes = 60
place = "gym"
[[days]]
day = "thu"
minutes = 60
place = "gym"
[[baselines]]
date = 2026-08-24
exercise = "back squat"
load_kg = 100
reps = 5
rir = 2
"""
SEASON = """id = "invented-season"
trainee = "invented"
title = "Invented year"
[[events]]
name = "Invented meet"
date = 2027-04-17
kind = "meet"
counts = ["back squat"]
[[goals]]
kind = "strength"
about = "back squat"
target = 190
unit = "kg"
by = 2027-04-17
[[blocks]]
file = "block.json"
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "gym.toml").write_text(template_text("place").replace('id = "station"', 'id = "gym"'), encoding="utf-8")
    (tmp_path / "anna.toml").write_text(TRAINEE, encoding="utf-8")
    (tmp_path / "season.toml").write_text(SEASON, encoding="utf-8")
    (tmp_path / "block.json").write_bytes(block_to_json(plain_block()))
    log = log_csv(log_of())
    (tmp_path / "log.csv").write_bytes(log if isinstance(log, bytes) else log.encode())
    return tmp_path


def call(folder: Path, *more: str) -> int:
    return run(["season", str(folder / "anna.toml"), str(folder / "season.toml"), str(folder / "log.csv"), *more])


def test_the_verb_writes_both_pages_and_the_next_brief(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert call(folder, "--out", str(folder / "out"), "--next-brief", str(folder / "next.toml")) == 0
    said = " ".join(capsys.readouterr().out.split())

    assert "Barbell back squat (strength): Behind" in said and "8 times in 10" in said
    assert sorted(one.name for one in (folder / "out").iterdir()) == [
        "season-coach.html",
        "season-coach.pdf",
        "season-coach.svg",
        "season-trainee.html",
        "season-trainee.pdf",
        "season-trainee.svg",
        "season.json",
    ]
    assert run(["check", str(folder / "next.toml")]) == 0
    assert "a brief, in order" in " ".join(capsys.readouterr().out.split())


def test_json_keeps_its_schema_and_so_does_the_file(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    import tomllib

    assert call(folder, "--json") == 0
    found = json.loads(capsys.readouterr().out)
    jsonschema_rs.validator_for(season_schema()).validate(found)
    assert found["goals"][0]["verdict"] == "behind" and found["groups"]

    for text in (SEASON, template_text("season")):
        data = json.loads(json.dumps(tomllib.loads(text), default=str))
        jsonschema_rs.validator_for(season_file_schema()).validate(data)


def test_no_line_is_wider_than_a_terminal(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert call(folder) == 0

    assert max(len(line) for line in capsys.readouterr().out.splitlines()) <= 80


def test_a_season_of_somebody_else_is_refused(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (folder / "season.toml").write_text(SEASON.replace('trainee = "invented"', 'trainee = "other"'), encoding="utf-8")

    assert call(folder) == 2
    assert "trainee: found 'other'; allowed: 'invented'" in " ".join(capsys.readouterr().err.split())


def test_without_a_season_file_the_goals_of_the_trainee_file_count(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    goal = '[[goals]]\nkind = "strength"\nabout = "bench press"\ntarget = 90\nunit = "kg"\n'
    (folder / "anna.toml").write_text(TRAINEE + goal, encoding="utf-8")

    assert run(["season", str(folder / "anna.toml"), str(folder / "log.csv"), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert [one["about"] for one in found["goals"]] == ["bench_bb"]
    assert found["last_block"] is None and len(found["weeks"]) >= 8


def test_no_brief_is_proposed_from_nothing(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (folder / "season.toml").write_text(SEASON.split("[[blocks]]")[0], encoding="utf-8")

    assert call(folder, "--next-brief", str(folder / "next.toml")) == 2
    assert "a block to propose from" in " ".join(capsys.readouterr().err.split())
    assert not (folder / "next.toml").exists()


def test_a_red_flag_in_the_log_stops_every_forecast(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = (folder / "log.csv").read_text(encoding="utf-8").rstrip("\n")
    head, last = text.splitlines()[0].split(","), text.splitlines()[-1].split(",")
    last[head.index("note")] = "chest pain on the stairs"
    (folder / "log.csv").write_text("\n".join([*text.splitlines()[:-1], ",".join(last)]), encoding="utf-8")

    assert call(folder) == 3
    assert "licensed clinician" in " ".join(capsys.readouterr().err.split())


@pytest.mark.long
def test_the_proposed_brief_makes_a_block_within_the_rise(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Referee: IUSCA 2021, at most a fifth or one set more (rule V06), counted on the block that design makes.

    A set of slack: a lift counts for several groups, and no week has half an exercise.
    """
    assert call(folder, "--json", "--next-brief", str(folder / "next.toml")) == 0
    groups = json.loads(capsys.readouterr().out)["groups"]
    assert run(["design", str(folder / "anna.toml"), str(folder / "next.toml"), "--json"]) == 0
    made = json.loads(capsys.readouterr().out)
    most: dict[str, float] = {}
    for one in made["set_credits"]:
        most[one["muscle"]] = max(most.get(one["muscle"], 0.0), one["fractional"])
    quads = next(one for one in groups if one["group"] == "quadriceps")

    assert 0 < most["quads_vasti"] <= max(1.2 * quads["sets_done"], quads["sets_done"] + 1.0) + 1.0


def test_no_brief_is_written_round_strong_pain(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    log = log_csv(log_of(pain={"back_squat": (6, "left knee")}))
    (folder / "log.csv").write_bytes(log if isinstance(log, bytes) else log.encode())

    assert call(folder, "--next-brief", str(folder / "next.toml")) == 3
    said = " ".join(capsys.readouterr().err.split())
    assert "6 of 10 at the left knee" in said and "licensed clinician" in said and "restriction" in said
    assert not (folder / "next.toml").exists()
    assert call(folder) == 0  # the page still says how it stands
