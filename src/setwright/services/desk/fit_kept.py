"""A kept session fitted to several trainees of a coach: a job and a proposal for each, and what came of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any
from uuid import UUID

from setwright.faults import Fault, InputFaults
from setwright.plan.block import Block, Change
from setwright.plan.fit_master import fit_master
from setwright.plan.identity import with_id
from setwright.records import models
from setwright.records.data_base import block_of, log_of
from setwright.services.clock import now_text
from setwright.services.desk import jobs
from setwright.services.desk.blocks import records_of
from setwright.services.desk.cues import cue_words
from setwright.services.desk.people import person_of
from setwright.services.fitting import master_from_text
from setwright.services.gather import catalogue, estimates_for, on_whole_week

DEED = "fit"
MOST_PEOPLE = 40


def fit_for(row: models.Trainee, text: str, start: date, by: Any = None) -> Block:
    """The version of a kept session for one trainee, kept as a proposal.

    Raises InputFaults for what can't be read for anybody, NoPlan where nothing of it is possible for them.
    """
    person, known = person_of(row), catalogue()
    master = master_from_text(text, start, "the kept session")
    trainee = person.trainee
    brief = replace(master.brief, start=on_whole_week(start, [one.day for one in trainee.days]))
    estimates = estimates_for(trainee, log_of(row, known), brief.start, person.places)
    fitted = fit_master(master, trainee, person.places, known, estimates, brief, cues=cue_words(row))
    block = with_id(replace(fitted.block, id="", parent=None))  # the master is a text: there is no revision before it
    records_of(row, by).keep_block(block, now_text())
    return block


def ask_to_fit(rows: Sequence[models.Trainee], text: str, start: str, by: Any) -> list[models.Job]:
    """A job for each trainee. Raises InputFaults where nobody is chosen, a date is none, or the text can't be read."""
    faults = []
    if not 1 <= len(rows) <= MOST_PEOPLE:
        found = f"{len(rows)} people" if rows else "nobody"
        faults.append(Fault("for several", "who", found, f"1 to {MOST_PEOPLE} of your people"))
    try:
        first = date.fromisoformat(start)
    except ValueError:
        raise InputFaults([*faults, Fault("for several", "first day", repr(start), "a date like 2026-09-07")]) from None
    if faults:
        raise InputFaults(faults)
    master_from_text(text, first, "the kept session")
    return [jobs.ask(row, DEED, {"text": text, "start": start}, by) for row in rows]


@dataclass(frozen=True)
class Came:
    """What came of one trainee: the job, and the block with what differs where it is done."""

    job: models.Job
    block: Block | None

    @property
    def lines(self) -> list[str]:
        """Why there is no block; empty where there is one or the work goes on."""
        return list(self.job.result.get("lines", []))

    @property
    def changes(self) -> tuple[Change, ...]:
        """Where it differs, the first week that says so; sessions on another day too."""
        found: dict[tuple[str, str, str], Change] = {}
        for one in self.block.changes if self.block is not None else ():
            found.setdefault((one.session, one.entry, one.why), one)
        return tuple(found.values())


def came_of(coach: models.Coach, wanted: Sequence[UUID]) -> list[Came]:
    """What came of some jobs of the coach's own trainees, in the order of their names; others are left out."""
    rows = models.Job.objects.filter(id__in=wanted, deed=DEED, trainee__coach=coach, trainee__erased_at=None)
    return [Came(job, block_made(job)) for job in rows.select_related("trainee").order_by("trainee__name", "made_at")]


def block_made(job: models.Job) -> Block | None:
    """The block that a job kept, or None."""
    name = job.result.get("block") if job.state == models.Job.DONE else None
    revision = job.trainee.revisions.filter(block=name).first() if name and job.trainee is not None else None
    return None if revision is None else block_of(revision)
