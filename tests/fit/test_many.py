"""The port that does the same work for many: order, pieces, and workers that die."""

from __future__ import annotations

import os
import signal
from collections.abc import Sequence

import pytest

from setwright.services.many import InProcesses, InThisProcess, Workers


def squares(shared: int, items: Sequence[int]) -> list[int]:
    return [shared + item * item for item in items]


def dies_elsewhere(shared: int, items: Sequence[int]) -> list[int]:
    """Kills its own process unless that is ``shared``, the one that asked, once it comes to the item 5."""
    if 5 in items and os.getpid() != shared:
        os.kill(os.getpid(), signal.SIGKILL)
    return [item + 1 for item in items]


def fails(shared: int, items: Sequence[int]) -> list[int]:
    raise ValueError(f"item {items[0]}")


@pytest.mark.parametrize("workers", [InThisProcess(chunk=3), InProcesses(2, chunk=3), InProcesses(1, chunk=50)])
def test_results_come_in_the_order_of_the_items(workers: Workers) -> None:
    assert list(workers.each(squares, 100, range(10))) == [100 + n * n for n in range(10)]
    assert list(workers.each(squares, 100, [])) == []


def test_a_worker_that_dies_costs_no_result() -> None:
    assert list(InProcesses(2, chunk=2).each(dies_elsewhere, os.getpid(), range(12))) == list(range(1, 13))


def test_a_fault_in_the_work_is_not_hidden() -> None:
    with pytest.raises(ValueError, match="item 0"):
        list(InProcesses(2, chunk=2).each(fails, 0, range(4)))
