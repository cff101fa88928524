"""Undo on the command line, with records in plain files: no way back through a limit that holds."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from made_block import made_block

from setwright.catalogue.equipment import expand_tokens
from setwright.cli.main import run
from setwright.plan.block import Block
from setwright.plan.gates import judge
from setwright.plan.identity import with_id
from setwright.publish.block_file import block_from_json, block_to_json
from setwright.services.clock import today
from setwright.services.gather import catalogue


def barred(block: Block, restrictions: tuple[object, ...]) -> list[str]:
    """Entries of a block that the gates bar under some restrictions, from their first day on; asked one by one."""
    tokens = {place.id: expand_tokens(place.tokens()) for place in block.inputs.places}
    found = []
    for week in block.weeks:
        for session in week.sessions:
            for part in session.parts:
                for one in part.entries:
                    exercise = catalogue().get(one.exercise)
                    verdict = judge(exercise, restrictions, tokens[session.place], None, one.dials, asked=True)  # type: ignore[arg-type]
                    is_whole = any(one.dials.get(name) != value for name, value in verdict.dials.items())
                    found += [one.exercise] if is_whole or not verdict.allowed else []
    return found


@pytest.fixture
def sore(tmp_path: Path) -> tuple[Path, Path]:
    """Records in which a sore knee is in force over an invented block that starts on a day to come; the two blocks."""
    start = today() + timedelta(days=7 - today().weekday())
    first = made_block()
    brief = replace(first.inputs.brief, start=start)
    first = with_id(replace(first, id="", inputs=replace(first.inputs, brief=brief)))
    (tmp_path / "block.json").write_bytes(block_to_json(first))
    kept = ["--records", str(tmp_path / "kept")]
    assert run(["accept", str(tmp_path / "block.json"), *kept]) == 0
    said = ["--restriction", "left knee is sore", "--set-by", "Dr Invented", "--out", str(tmp_path / "sore")]
    assert run(["restrict", str(tmp_path / "block.json"), *said]) == 0
    assert run(["accept", str(tmp_path / "sore" / "block.json"), *kept]) == 0
    return tmp_path / "kept", tmp_path


def in_force(records: Path, capsys: pytest.CaptureFixture[str]) -> str:
    """The id of the block in force."""
    capsys.readouterr()
    assert run(["history", "invented", "--records", str(records), "--json"]) == 0
    return str(json.loads(capsys.readouterr().out)[-1]["block"])


def test_undo_through_a_limit_is_refused_with_what_can_be_done(
    sore: tuple[Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    records, folder = sore
    old, new = (block_from_json((folder / one).read_bytes(), one) for one in ("block.json", "sore/block.json"))
    assert barred(old, new.inputs.trainee.restrictions), "the case has something to refuse"
    assert not barred(new, new.inputs.trainee.restrictions)
    force = in_force(records, capsys)

    code = run(["undo", "invented", "--records", str(records), "--out", str(folder / "back.json")])

    told = " ".join(capsys.readouterr().err.split())
    assert code == 2 and "knee restriction (set by Dr Invented)" in told
    assert all(one in told for one in ("restrict --lift", "--under-limits", "--mistake"))
    assert in_force(records, capsys) == force == new.id and not (folder / "back.json").exists()


def test_a_limit_set_by_mistake_goes_with_its_revision_where_who_set_it_says_so(
    sore: tuple[Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    records, folder = sore
    old = block_from_json((folder / "block.json").read_bytes(), "block.json")

    assert run(["undo", "invented", "--records", str(records), "--mistake"]) == 2
    assert run(["undo", "invented", "--records", str(records), "--mistake", "--set-by", "the coach"]) == 2
    assert in_force(records, capsys) != old.id
    assert run(["undo", "invented", "--records", str(records), "--mistake", "--set-by", "Dr Invented"]) == 0

    assert in_force(records, capsys) == old.id


def test_under_the_limits_that_hold_only_the_last_change_is_undone(
    sore: tuple[Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    """An edit over the sore block, then back under the limit: what was sore stays closed, the edit is gone."""
    records, folder = sore
    new = block_from_json((folder / "sore/block.json").read_bytes(), "sore")
    edited = with_id(replace(new, id="", title="Edited by hand", revision=new.revision + 1, parent=new.id))
    (folder / "edited.json").write_bytes(block_to_json(edited))
    assert run(["accept", str(folder / "edited.json"), "--records", str(records)]) == 0

    assert run(["undo", "invented", "--records", str(records)]) == 0, "the revision before keeps the limit"

    assert in_force(records, capsys) == new.id
    assert run(["undo", "invented", "--records", str(records), "--under-limits"]) == 2
    assert "in force already" in " ".join(capsys.readouterr().err.split())
    assert in_force(records, capsys) == new.id
