"""Long work ends when it is cancelled, and a search that nobody waits for gives way.

The process of a job is played here: what is tested is who is killed, and what becomes of the job.
"""

from __future__ import annotations

from datetime import timedelta
from typing import Any, ClassVar

import pytest
from django.utils import timezone

from setwright.records import models
from setwright.services.desk import jobs


class LongProcess:
    """Works until it is killed, or for two looks."""

    made: ClassVar[list[LongProcess]] = []
    exitcode = 0

    def __init__(self, **_: Any) -> None:
        self.looks, self.killed = 0, False
        LongProcess.made.append(self)

    def start(self) -> None:
        pass

    def is_alive(self) -> bool:
        self.looks += 1
        return not self.killed and self.looks <= 2

    def join(self, _: float = 0.0) -> None:
        pass

    def kill(self) -> None:
        self.killed = True


@pytest.fixture
def queued(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What is put in the queue again."""
    found: list[str] = []

    class Played:
        Process = LongProcess

        def set_forkserver_preload(self, _: Any) -> None:
            pass

    monkeypatch.setattr(jobs.multiprocessing, "get_context", lambda _: Played())
    monkeypatch.setattr(type(jobs.do_job), "enqueue", lambda _, job_id: found.append(job_id))
    LongProcess.made.clear()
    return found


def job(gym: Any, deed: str, **fields: Any) -> models.Job:
    made: models.Job = models.Job.objects.create(practice=gym.coach.practice, deed=deed, asked={}, **fields)
    return made


def worked(one: models.Job) -> str:
    jobs.do_job.func(str(one.id))
    one.refresh_from_db()
    return one.state


def test_a_search_for_a_better_hour_gives_way_to_what_a_coach_waits_for(gym: Any, queued: list[str]) -> None:
    search, _ = job(gym, "hour"), job(gym, "design")

    assert worked(search) == models.Job.WAITING
    assert LongProcess.made[0].killed and queued == [str(search.id)]


@pytest.mark.parametrize("deed", ["hour", "count"])
def test_it_does_not_give_way_to_what_nobody_waits_for(gym: Any, queued: list[str], deed: str) -> None:
    search, _ = job(gym, "hour"), job(gym, deed)

    worked(search)

    assert not LongProcess.made[0].killed and queued == []


def test_it_does_not_give_way_to_a_job_that_was_lost(gym: Any, queued: list[str]) -> None:
    search, lost = job(gym, "hour"), job(gym, "design")
    models.Job.objects.filter(id=lost.id).update(made_at=timezone.now() - timedelta(hours=1))

    worked(search)

    assert not LongProcess.made[0].killed and queued == []


def test_what_a_coach_waits_for_gives_way_to_nothing_and_ends_when_cancelled(gym: Any, queued: list[str]) -> None:
    design, _, search = job(gym, "design"), job(gym, "design"), job(gym, "hour")
    worked(design)
    assert not LongProcess.made[0].killed
    models.Job.objects.filter(id=search.id).update(wants_cancel=True)

    assert worked(search) == models.Job.CANCELLED
    assert LongProcess.made[1].killed and queued == []


def test_a_job_that_failed_says_what_to_do_and_that_the_sheet_is_still_as_it_was(gym: Any) -> None:
    """The caution goes with a sore joint only: there the old sheet may still load it."""
    text = {}
    for deed in ("sore", "design"):
        one = job(gym, deed, trainee=gym.trainee, state=models.Job.FAILED, doing="our own fault: ImportError")
        text[deed] = gym.as_coach().get(f"/jobs/{one.id}/").content.decode()

    assert all("Look whether anything came of it" in one for one in text.values())
    assert "may still hold what hurts" in text["sore"] and "may still hold what hurts" not in text["design"]
