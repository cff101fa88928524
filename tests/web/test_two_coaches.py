"""Two who set a limit for the same trainee at the same moment: both limits hold in the intake afterwards.

On PostgreSQL each has a transaction of its own that may read before the other has written; the embedded data base
lets one writer in at a time by itself.
"""

from __future__ import annotations

from contextlib import suppress
from threading import Barrier, Thread
from typing import Any

import pytest
from practice import make_gym

from setwright.faults import InputFaults


@pytest.fixture
def open_gym(transactional_db: None) -> Any:
    """The invented practice, seen by every connection."""
    return make_gym()


def test_of_two_limits_put_in_force_at_once_none_is_lost(open_gym: Any) -> None:
    """Each accepted revision leaves its limit in the intake; one that the other's limit closes is refused instead."""
    from django.db import connection

    from setwright.services.desk.blocks import accept, sore
    from setwright.services.desk.people import person_of

    if connection.vendor != "postgresql":
        pytest.skip("one writer at a time anyway: see tests/records/test_two_writers.py")
    row, user, start = open_gym.trainee, open_gym.coach.user, Barrier(2)
    proposals = {joint: sore(row, f"left {joint} is sore", open_gym.today, user) for joint in ("knee", "elbow")}
    taken: list[str] = []

    def put_in_force(joint: str) -> None:
        try:
            start.wait()
            with suppress(InputFaults):
                accept(row, proposals[joint].id, None, user)
                taken.append(joint)
        finally:
            connection.close()

    both = [Thread(target=put_in_force, args=(joint,)) for joint in proposals]
    for one in both:
        one.start()
    for one in both:
        one.join()

    held = {one.joint for one in person_of(row).trainee.restrictions}
    assert taken and set(taken) <= held
    assert {one.joint for one in open_gym.in_force().inputs.trainee.restrictions} <= held
