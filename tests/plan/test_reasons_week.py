"""Asked about one week, "why so much" speaks of that week. Referee: the sets as they stand in the block."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from made_block import made_block

from setwright.publish.block_file import block_to_json
from setwright.services.explaining import explain


@pytest.mark.parametrize("week", [1, 2, 3])
def test_the_sets_effort_and_load_are_those_of_the_week(tmp_path: Path, week: int) -> None:
    path = tmp_path / "block.json"
    path.write_bytes(block_to_json(made_block()))
    loads = []
    for one in explain(path, week=week).entries:
        much = one.reasons["much"]
        working = [planned for planned in one.entry.sets if planned.kind != "ramp"]
        loads += re.findall(r"([\d.]+) kg in week (\d+)", much)

        assert one.week == week
        if week > 1:
            assert re.match(rf"{len(working)} sets? in week {week}\b", much)
            assert all(number == str(week) for number in re.findall(r"(?:effort of|kg in) week (\d+)", much))
        if "kg in week" in much and one.week == week:
            assert f"{working[0].load_kg:g} kg in week {week}" in much
        if week > 1 and one.part != "warm-up" and working[0].rpe is not None:
            assert f"RPE {working[0].rpe:g}:" in much
    assert loads and all(number == str(week) for _, number in loads)
