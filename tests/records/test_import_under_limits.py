"""What is brought into records never takes the place of a block in force through a limit that holds."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from made_block import made_block

from setwright.people.restriction_text import parse_restriction
from setwright.plan.identity import with_id
from setwright.plan.restrict import restrict_block
from setwright.records.files import FileRecords
from setwright.services.clock import today
from setwright.services.deeds import block_estimates
from setwright.services.gather import catalogue
from setwright.services.moving import keep_in_force
from setwright.strength.logged import Log

LIMITED_AT = "2026-01-05T00:00:00+00:00"


@pytest.fixture
def records(tmp_path: Path) -> FileRecords:
    """Records in which a sore knee is in force over an invented block that is still ahead."""
    first = made_block()
    brief = replace(first.inputs.brief, start=today() + timedelta(days=7 - today().weekday()))
    first = with_id(replace(first, id="", inputs=replace(first.inputs, brief=brief)))
    sore = parse_restriction("left knee is sore", "what hurts")
    limited = restrict_block(first, sore, catalogue(), block_estimates(first, Log()))
    kept = FileRecords(tmp_path, catalogue())
    for one, at in ((first, "2026-01-01T00:00:00+00:00"), (limited, LIMITED_AT)):
        kept.keep_block(one, at)
        kept.put_in_force(first.trainee, one.id, at, "accepted")
    return kept


@pytest.mark.parametrize("at", ["2026-01-02T00:00:00+00:00", "2026-02-01T00:00:00+00:00"], ids=["older", "newer"])
def test_what_was_in_force_before_a_limit_does_not_come_back_by_import(records: FileRecords, at: str) -> None:
    limited = records.current("invented")
    assert limited is not None and limited.parent is not None
    brought = {"id": "invented", "kept": {"in_force": [{"block": limited.parent, "at": at, "reason": "accepted"}]}}

    assert keep_in_force(records, brought) == 1

    now = records.current("invented")
    assert now is not None and now.id == limited.id
    assert keep_in_force(records, brought) == 0, "brought in twice is kept once"


def test_what_keeps_the_limit_and_is_newer_comes_into_force(records: FileRecords) -> None:
    limited = records.current("invented")
    assert limited is not None
    edited = with_id(replace(limited, id="", title="Edited by hand", revision=3, parent=limited.id))
    records.keep_block(edited, "2026-02-01T00:00:00+00:00")
    row = {"block": edited.id, "at": "2026-02-01T00:00:00+00:00", "reason": "accepted"}

    keep_in_force(records, {"id": "invented", "kept": {"in_force": [row]}})

    now = records.current("invented")
    assert now is not None and now.id == edited.id
