"""A coach decides change by change: taken ones are in force, declined ones are remembered, undo gives the old bytes."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from made_block import PERSON, START, made_block

from setwright.catalogue.load import catalogue
from setwright.cli.main import run
from setwright.plan.block import Block
from setwright.plan.identity import with_id
from setwright.publish.block_file import block_from_json, block_to_json
from setwright.publish.csv_file import log_csv
from setwright.services.simulation import Story, simulate_log
from setwright.strength.estimates import estimate_lifts
from setwright.strength.logged import Log


def allowing(block: Block) -> Block:
    person = replace(block.inputs.trainee, small_steps=True)
    return with_id(replace(block, id="", inputs=replace(block.inputs, trainee=person)))


@pytest.fixture(params=[False, True], ids=["each is asked", "small steps are free"])
def folder(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    block = allowing(made_block()) if request.param else made_block()
    estimates = estimate_lifts(PERSON, catalogue(), PERSON.baselines, Log(), START)
    log, _ = simulate_log(block, estimates, catalogue(), 2, 7, Story(strength_factor=1.01))
    read = block_from_json(block_to_json(block), "block.json")  # whole kilograms are floats in a file
    (tmp_path / "block.json").write_bytes(block_to_json(read))
    (tmp_path / "log.csv").write_bytes(log_csv(log))
    assert run(["accept", str(tmp_path / "block.json"), "--records", str(tmp_path / "kept")]) == 0
    assert run(["log", "invented", str(tmp_path / "log.csv"), "--records", str(tmp_path / "kept")]) == 0
    return tmp_path


def asked(folder: Path, capsys: pytest.CaptureFixture[str], *words: str) -> Any:
    capsys.readouterr()
    assert run([*words, "--records", str(folder / "kept"), "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def proposed(folder: Path, capsys: pytest.CaptureFixture[str], name: str = "block.json") -> dict[str, Any]:
    found = asked(folder, capsys, "adapt", str(folder / name))
    (folder / "next.json").write_text(json.dumps(found["block"]))
    return found


def test_one_by_one_then_undone(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = proposed(folder, capsys)
    numbers = sorted({one["number"] for one in found["changes"]})
    assert len(numbers) >= 2, "the log asks for several changes"
    first = [one for one in found["changes"] if one["number"] == 1]
    others = [one for one in found["changes"] if one["number"] != 1]

    refused = asked(folder, capsys, "decline", str(folder / "next.json"), "--changes", "1", "--reason", "meet soon")
    assert len(refused["changes"]) == len(first)
    taken = asked(folder, capsys, "accept", str(folder / "next.json"), "--out", str(folder / "now.json"))
    assert taken["changes"] == len(others)
    now = json.loads((folder / "now.json").read_text())
    assert now["parent"] == found["block"]["parent"] and now["id"] not in (now["parent"], found["block"]["id"])
    assert [(one["week"], one["entry"], one["to"]) for one in now["changes"]] == [
        (one["week"], one["entry"], one["to"]) for one in others
    ]

    again = proposed(folder, capsys)
    known = {(one["week"], one["session"], one["entry"], one["to"]) for one in first}
    assert not [one for one in again["changes"] if (one["week"], one["session"], one["entry"], one["to"]) in known]

    assert run(["undo", "invented", "--records", str(folder / "kept"), "--out", str(folder / "old.json")]) == 0
    assert (folder / "old.json").read_bytes() == (folder / "block.json").read_bytes()


def test_what_is_taken_without_asking_is_less_or_an_allowed_small_step(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    found = proposed(folder, capsys)
    free = [one for one in found["changes"] if one["approval"] != "coach"]
    allows = found["block"]["inputs"]["trainee"].get("small_steps", False)
    assert allows or all(one["approval"] != "small step" for one in found["changes"])

    taken = asked(folder, capsys, "accept", str(folder / "next.json"), "--without-asking")

    assert taken["changes"] == len(free)
    if not free:
        assert taken["block"] == found["block"]["parent"]
    assert bool(free) is allows, "this log asks for more, not for less"


@pytest.mark.parametrize(("wanted", "said"), [("0", "'0'"), ("2-1", "'2-1'"), ("99", "'99'"), ("squat", "'squat'")])
def test_a_number_that_is_no_change_is_one_clear_fault(
    wanted: str, said: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    proposed(folder, capsys)
    before = (folder / "kept" / "events.jsonl").read_bytes()

    code = run(["accept", str(folder / "next.json"), "--changes", wanted, "--records", str(folder / "kept")])

    words = " ".join(capsys.readouterr().err.split())
    assert code == 2 and "--changes" in words and said in words and "numbers from 1 to" in words
    assert (folder / "kept" / "events.jsonl").read_bytes() == before, "nothing is half kept"


def test_a_change_that_a_restriction_forces_cannot_be_left_out_alone(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    assert run(["restrict", str(folder / "block.json"), "--restriction", "elbow", "--from-week", "3", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    (folder / "sore.json").write_text(json.dumps(found["block"]))
    last = max(one["number"] for one in found["changes"])
    code = run(["accept", str(folder / "sore.json"), "--changes", str(last), "--records", str(folder / "kept")])

    words = " ".join(capsys.readouterr().err.split())
    assert code == 2 and "left out" in words and "a hard rule closes" in words and "elbow" in words
