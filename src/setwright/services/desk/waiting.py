"""What waits for the coach: revisions that were kept and not decided, and those that others took the place of.

Two ideas carry this module. One: a revision is made from a block, so once another one is in force it can't be taken as
it is: it still waits, as an old one, until it is made again or declined. Two: where a revision takes the place of one
that waited (a change on top of it, the log read again), that is kept as a decision; what was kept stays readable.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from setwright.publish.words import change_groups
from setwright.records import models
from setwright.records.data_base import block_of, in_force_id
from setwright.records.port import Verdict

REPLACED: Verdict = "replaced"


# What a revision is, by the deed of the job that made it; two made from one block have the same number.
FROM_THE_LOG = "what the log proposed"
MADE_BY = {
    "by-hand": "your change by hand",
    "add": "what you added",
    "between": "the plan around what came between",
    "sore": "the change for what hurts",
    "again": "the changes made again",
}


@dataclass(frozen=True)
class Waiting:
    """A revision that waits, and what it is. ``is_old``: it was made from a block that is no longer in force."""

    revision: models.BlockRevision
    is_old: bool
    what: str = ""

    @property
    def on(self) -> date:
        """The day on which it was made."""
        return date.fromisoformat(self.revision.at[:10])


def waiting_revisions(row: models.Trainee) -> list[Waiting]:
    """The revisions that wait for the coach, the newest first.

    Those of a block before the one in force are over with it; of first revisions only the newest waits.
    """
    force = in_force_id(row)
    rows = list(row.revisions.defer("packed").order_by("-id"))
    parents = {one.block: one.parent for one in rows}
    first = first_of(force or "", parents)
    since = next((one.id for one in rows if one.block == first), 0)
    was_in_force = set(row.in_force.values_list("block", flat=True))
    decided = decisions_by_block(row)
    said = made_as(row)
    found: list[Waiting] = []
    for one in rows:
        if one.block in was_in_force or is_over(one, decided.get(one.block, ())):
            continue
        what = said.get(one.block, FROM_THE_LOG)
        if not one.parent:
            if one.id > since and not any(not each.revision.parent for each in found):
                found.append(Waiting(one, False, "a new block"))
        elif one.parent == force:
            found.append(Waiting(one, False, what))
        elif one.parent in was_in_force and first_of(one.block, parents) == first:
            found.append(Waiting(one, True, what))
    return found


def made_as(row: models.Trainee) -> dict[str, str]:
    """What revisions that a job made are, by their ids; one that the log proposed, or that came first, is not in it."""
    jobs = row.jobs.filter(deed__in=MADE_BY).order_by("made_at")
    return {one.result["block"]: MADE_BY[one.deed] for one in jobs if one.result.get("block")}


def first_of(block: str, parents: dict[str, str]) -> str:
    """The first revision that a block came from."""
    while parents.get(block):
        block = parents[block]
    return block


def waiting_revision(row: models.Trainee) -> models.BlockRevision | None:
    """The newest revision that can be taken as it is; None where none waits."""
    return next((one.revision for one in waiting_revisions(row) if not one.is_old), None)


def count_waiting(row: models.Trainee) -> int:
    """How many changes wait for the coach; a first revision counts as one."""
    ids = [one.revision.id for one in waiting_revisions(row)]
    return sum(max(1, len(change_groups(block_of(one)))) for one in models.BlockRevision.objects.filter(id__in=ids))


def decisions_by_block(row: models.Trainee) -> dict[str, list[models.Decision]]:
    """What the coach decided, by the revision it is about."""
    found: dict[str, list[models.Decision]] = {}
    for one in row.decisions.all():
        found.setdefault(one.block, []).append(one)
    return found


def is_over(revision: models.BlockRevision, decided: Iterable[models.Decision]) -> bool:
    """True where some of a revision was taken, all of it declined, or another took its place."""
    decided = list(decided)
    if not decided or any(one.verdict != "declined" for one in decided):
        return bool(decided)
    declined = {number for one in decided for number in one.changes}
    return declined >= set(range(1, len(block_of(revision).changes) + 1))


def is_settled(row: models.Trainee, block_id: str) -> bool:
    """As ``is_over``, of a revision by its id; what is declined in part still waits."""
    return is_over(row.revisions.get(block=block_id), row.decisions.filter(block=block_id))


def went_into(row: models.Trainee, block_id: str) -> str:
    """What became of a revision that another took the place of, in words; empty for any other."""
    found = row.decisions.filter(block=block_id, verdict=REPLACED).order_by("-id").first()
    return "" if found is None else found.reason
