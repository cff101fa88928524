"""A block file that anybody may have edited: what no trainee may be given is refused, with its path."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from made_block import GYM, made_block

from setwright.catalogue.load import catalogue
from setwright.cli.main import run
from setwright.people.restriction_text import parse_restriction
from setwright.plan.block import Block
from setwright.publish.block_file import block_to_dict
from setwright.services.block_check import block_faults

Edit = Callable[[dict[str, Any]], None]


def main_entry(block: dict[str, Any]) -> dict[str, Any]:
    """The first entry of the main part of the first session."""
    parts = block["weeks"][0]["sessions"][0]["parts"]
    entry: dict[str, Any] = next(one for one in parts if one["part"] == "main")["entries"][0]
    return entry


def work_set(block: dict[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = main_entry(block)["sets"][-1]
    return found


def restricted(block: dict[str, Any]) -> None:
    rule = {"id": "knee", "joint": "knee", "level": "none"}
    block["inputs"]["trainee"]["restrictions"] = [rule]


def without(token: str) -> Edit:
    def edit(block: dict[str, Any]) -> None:
        block["inputs"]["places"][0]["fixtures"].pop(token)

    return edit


CASES: list[tuple[str, Edit, tuple[str, ...]]] = [
    ("no exercise of that name", lambda b: main_entry(b).update(exercise="unicorn_squat"), (".exercise: found 'unicorn_squat'; allowed: an exercise of the catalogue",)),
    ("a load below nothing", lambda b: work_set(b).update(load_kg=-5), ("load_kg: found -5; allowed: a number from 0 to 1500 kg",)),
    ("a load that is no number", lambda b: work_set(b).update(load_kg=float("nan")), ("load_kg: found nan",)),
    ("falling repetitions", lambda b: work_set(b).update(reps=[8, 4]), ("reps: found 8 to 4; allowed: two rising numbers",)),
    ("a reserve of 40", lambda b: work_set(b).update(rir=40), ("rir: found 40; allowed: a number from 0 to 20",)),
    ("no weeks", lambda b: b.update(weeks=[]), ("weeks: found no weeks; allowed: 1 to 60 weeks",)),
    ("weeks out of order", lambda b: b["weeks"][1].update(number=7), ("weeks[2].number: found 7; allowed: 2",)),
    ("an empty week", lambda b: b["weeks"][1].update(sessions=[]), ("weeks[2].sessions: found no sessions",)),
    ("a name that is a path", lambda b: b.update(id="../../evil"), ("id: found '../../evil'; allowed: letters, digits, - and _",)),
    ("another trainee", lambda b: b.update(trainee="somebody"), ("trainee: found 'somebody'; allowed: 'invented'",)),
    ("a place that is not there", lambda b: b["weeks"][0]["sessions"][0].update(place="moon"), ("weeks[1].sessions[1].place: found 'moon'; allowed: gym",)),
    ("a range in words", lambda b: main_entry(b)["dials"].update(range_deg=["a", "b"]), (".dials.range_deg: found ['a', 'b']",)),
    ("a range that falls", lambda b: main_entry(b)["dials"].update(range_deg=[60, 0]), ("allowed: two rising angles",)),
    ("a start at the end of time", lambda b: b["inputs"]["brief"].update(start="9999-12-31"), ("inputs.brief.start: found 9999-12-31",)),
    ("a joint that nobody has", lambda b: b["inputs"]["trainee"].update(restrictions=[{"id": "k", "joint": "kneee"}]), ("restrictions[1].joint: found 'kneee'", "Did you mean knee?")),
    ("a plate of less than nothing", lambda b: b["inputs"]["places"][0]["plates"][0].update(mass_kg=-3), ("inputs.places[1]: found",)),
    ("an empty session", lambda b: b["weeks"][0]["sessions"][0].update(parts=[]), ("sessions[1].parts: found nothing to do",)),
    ("a missing key", lambda b: b.pop("title"), ("title: found nothing; allowed: a value: this key is required",)),
    ("a knee that must not work", restricted, ("entries[1].exercise: found", "knee restriction", "an exercise that the restrictions")),
    ("a rack that is gone", without("rack"), ("entries[1].exercise: found", "needs rack: not here")),
]  # fmt: skip


@pytest.mark.parametrize(("edit", "expected"), [one[1:] for one in CASES], ids=[one[0] for one in CASES])
def test_a_spoilt_block_is_refused_with_its_path(
    edit: Edit, expected: tuple[str, ...], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data = block_to_dict(made_block())
    edit(data)
    path = tmp_path / "block.json"
    path.write_text(json.dumps(data))
    out, records = tmp_path / "out", tmp_path / "records"

    for verb in (
        ["check", str(path)],
        ["publish", str(path), "--out", str(out), "--format", "json"],
        ["accept", str(path), "--records", str(records)],
    ):
        assert run(verb) == 2, verb
        captured = capsys.readouterr()
        shown = " ".join((captured.out + captured.err).split())
        for piece in expected:
            assert piece in shown, (verb, piece, shown)
    assert not out.exists() and not records.exists()


def test_a_block_as_made_is_in_order() -> None:
    assert block_faults(made_block(), "block.json", catalogue()) == []


def test_an_uncropped_range_is_refused() -> None:
    rule = parse_restriction("knee flexion over 60")
    block = made_block()
    spoilt = replace(block, inputs=replace(block.inputs, trainee=replace(block.inputs.trainee, restrictions=(rule,))))

    faults = block_faults(spoilt, "block.json", catalogue())

    assert any(one.path.endswith(".dials") and "0 to 60 degrees" in one.allowed for one in faults)


def test_weeks_before_a_restriction_are_done(tmp_path: Path) -> None:
    from setwright.publish.block_file import block_to_json
    from setwright.services.deeds import restrict
    from setwright.services.gather import load_block

    path = tmp_path / "block.json"
    path.write_bytes(block_to_json(made_block()))
    changed = restrict(path, "my elbow is sore", from_week=3)
    path.write_bytes(block_to_json(changed))

    assert changed.weeks[:2] == made_block().weeks[:2]
    assert load_block(path) == changed
    undone: Block = replace(changed, weeks=made_block().weeks)
    crossed = block_faults(undone, "block.json", catalogue())
    assert crossed and all(one.path.startswith(("weeks[3]", "weeks[4]")) for one in crossed)


def test_no_equipment_goes_missing_in_the_made_place() -> None:
    """Guards the cases above: the made block needs its rack."""
    assert "rack" in GYM.fixtures
