"""What a line of the block says of its efforts, in words that read alike forwards and backwards."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from setwright.plan.block import PlannedSet
from setwright.publish.block_grid import left_of


def weeks(*rirs: float) -> Any:
    """An entry of each week, by what is left at the end of a set."""
    return [SimpleNamespace(working_sets=[PlannedSet("work", (5, 5), rir=rir)]) for rir in rirs]


@pytest.mark.parametrize(
    ("rirs", "says"),
    [((3, 1.5), "3 to 1.5 left"), ((2, 2), "2 left"), ((4.5, 3, 1.5), "1.5 or more left"), ((4, 5), "easy")],
)
def test_the_most_and_the_least_that_is_left(rirs: tuple[float, ...], says: str) -> None:
    assert left_of(weeks(*rirs)) == says
