"""A revision that waits made again on what is in force, by the same deeds that made it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from setwright.faults import Fault, InputFaults, NoPlan
from setwright.plan.block import Block
from setwright.records import models
from setwright.records.port import Decision
from setwright.services.clock import now_text
from setwright.services.desk.adding import add_said
from setwright.services.desk.blocks import (
    adapt_for,
    from_the_log,
    limit,
    own_block,
    put_in_place_of,
    records_of,
    require_block,
)
from setwright.services.desk.changing import ahead_of, change_said, come_between
from setwright.services.desk.limits import limit_asked
from setwright.services.keeping import key_of

Said = Callable[[models.Trainee, str, Mapping[str, Any], date, Any], Block]
BY_HAND: Mapping[str, Said] = {"by-hand": change_said, "add": add_said, "between": come_between}


def steps_of(row: models.Trainee, block_id: str) -> list[tuple[str, dict[str, Any]]]:
    """What was asked for to make a revision, from the block that was in force on; empty where that is not known."""
    deeds = (*BY_HAND, "adapt", "sore")
    done = row.jobs.filter(state=models.Job.DONE, deed__in=deeds).order_by("made_at")
    made_by = {one.result.get("block"): one for one in done}
    steps: list[tuple[str, dict[str, Any]]] = []
    while block_id in made_by:
        job = made_by.pop(block_id)
        steps.insert(0, (job.deed, job.asked))
        block_id = job.asked.get("block", "") if job.deed in BY_HAND else ""
    if any(block_id == one.block for one in from_the_log(row)):
        steps.insert(0, ("adapt", {}))
    return steps


def make_again(row: models.Trainee, block_id: str, on: date, by: Any = None) -> Block:
    """The changes of a revision that waits, made anew from a day on from the block in force; they wait in its place.

    Gives the block in force where none of them is left to do. Raises InputFaults and NoPlan where one can't be made,
    LookupError where it is not known how they were made; the revision then waits as before.
    """
    steps, block = steps_of(row, block_id), require_block(row)
    if not steps:
        raise LookupError("It is not known how these changes were made: make them by hand on the block in force.")
    kept: list[Block] = []
    try:
        for deed, asked in steps:
            made = step_again(row, block, deed, asked, on, by)
            kept += [made] if made.id != block.id else []
            block = made
    except (InputFaults, NoPlan, LookupError):
        put_in_place_of(row, row.revisions.filter(block__in=[one.id for one in kept]), "could not be made whole", by)
        raise
    if kept:
        decline_as_before(row, own_block(row, block_id), block, by)
    what = f"revision {block.revision}, made again, took its place" if kept else "nothing of it was left to do"
    put_in_place_of(row, row.revisions.filter(block=block_id).exclude(block=block.id), what, by)
    return block


def decline_as_before(row: models.Trainee, old: Block, made: Block, by: Any) -> None:
    """What the coach declined of a revision stays declined in the one made again."""
    decisions = row.decisions.filter(block=old.id, verdict="declined")
    declined = {key_of(old.changes[number - 1]) for one in decisions for number in one.changes}
    rows = tuple(number for number, one in enumerate(made.changes, start=1) if key_of(one) in declined)
    if rows:
        reason = f"declined in revision {old.revision}"
        records_of(row, by).decide(Decision(row.slug, made.id, "declined", rows, now_text(), reason))


def step_again(
    row: models.Trainee, block: Block, deed: str, asked: Mapping[str, Any], on: date, by: Any = None
) -> Block:
    """One of the deeds that made a revision, done on another block, in the weeks of it that are still ahead."""
    if deed == "adapt":
        return adapt_for(row, by).block
    if deed == "sore":
        return limit(row, limit_asked(row, asked, on), on, by)
    if not asked.get("weeks"):
        return BY_HAND[deed](row, block.id, asked, on, by)
    first = ahead_of(row, block, on).week
    weeks = [one for one in asked["weeks"] if int(one) >= first]
    if not weeks:
        raise InputFaults([Fault("weeks", "", "weeks that are over", f"weeks from {first} on")])
    return BY_HAND[deed](row, block.id, {**asked, "weeks": weeks}, on, by)
