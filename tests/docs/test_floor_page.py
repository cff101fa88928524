"""The manual of the floor: its commands are run, its options and numbers are those of the program."""

from __future__ import annotations

import re
import shlex
import sys
from pathlib import Path

import pytest

from setwright.catalogue.load import catalogue
from setwright.cli.floor import floor_verb
from setwright.cli.main import run
from setwright.plan.floor import asks

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests" / "plan" / "floor"))
from old_mill_hall import DAY, build_hall  # noqa: E402

PAGE = (ROOT / "docs" / "floor.md").read_text(encoding="utf-8")
COMMANDS = [line for block in re.findall(r"```\n(.*?)```", PAGE, re.DOTALL) for line in block.splitlines()]


@pytest.fixture(scope="module")
def hall(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("hall")
    build_hall(folder)
    for log in (folder / "edda" / "log.csv", folder / "falk.csv"):
        log.write_text(f"date,week,session,exercise,set,reps,load_kg,load_means\n{DAY},1,mon,back_squat,1,5,60,total\n")
    return folder


@pytest.mark.long
def test_every_command_of_the_manual_runs_in_its_order(
    hall: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(hall)
    assert len(COMMANDS) >= 6 and all(line.startswith("setwright floor ") for line in COMMANDS)

    for line in COMMANDS:
        capsys.readouterr()
        assert run(shlex.split(line)[1:]) == 0, line
        assert "on the floor" in capsys.readouterr().out

    assert {one.name for one in (hall / "hour").iterdir()} == {"floor.html", "floor.pdf", "floor.json"}


def test_every_option_of_the_verb_stands_in_the_manual_or_everywhere() -> None:
    everywhere = {"--json", "--paper", "--own", "--help"}
    options = {one for param in floor_verb.params for one in param.opts if one.startswith("--")}

    assert options - everywhere and [one for one in sorted(options - everywhere) if one not in PAGE] == []


def test_the_seconds_of_the_manual_are_those_of_the_program() -> None:
    assert f"takes {asks.SET_UP_S} s and {asks.CLEAR_S} s, drills {asks.DRILL_SET_UP_S} s" in PAGE
    assert f"{asks.PIN_S} s to move a pin and {asks.PLATES_S} s to change plates" in PAGE


def test_the_exercises_of_the_manual_are_in_the_catalogue() -> None:
    named = re.findall(r"--exchange \w+:(\w+)=(\w+)", PAGE)

    assert named and all(slug in catalogue() for pair in named for slug in pair)
