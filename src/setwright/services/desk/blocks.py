"""Blocks of a trainee in the data base: design, write, change for a sore joint, decide, undo.

A proposal is a revision that is kept and not decided yet (``desk.waiting``).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from django.db import transaction

from setwright.faults import Fault, InputFaults
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import Restriction
from setwright.plan.block import Block
from setwright.plan.brief_file import read_brief
from setwright.plan.design import design_block
from setwright.plan.written import fit_written
from setwright.publish.words import change_groups
from setwright.records import models
from setwright.records.data_base import DataBaseRecords, block_of, current_of, in_force_id, log_of
from setwright.records.port import Decision
from setwright.review.proposals import Proposal
from setwright.services.adapting import proposal_of
from setwright.services.ahead import under_all, what_is_ahead
from setwright.services.block_check import block_faults
from setwright.services.clock import now_text
from setwright.services.deeds import plain_brief, without_declined
from setwright.services.desk import jobs
from setwright.services.desk.cues import cue_words
from setwright.services.desk.people import keep_document, newest, one_at_a_time, person_of, with_restriction
from setwright.services.desk.practice import note
from setwright.services.desk.waiting import REPLACED, waiting_revisions
from setwright.services.gather import catalogue, estimates_for, last_date, on_whole_week
from setwright.services.keeping import declined_in, not_declined, parent_of, put_again, step_back, take_changes
from setwright.services.kept import read_for
from setwright.services.limits_in_force import intake_in
from setwright.services.log_fit import fit_of_log
from setwright.services.undoing import under_limits, undo_mistake


def records_of(row: models.Trainee, by: Any = None) -> DataBaseRecords:
    """The records that a trainee belongs to."""
    return DataBaseRecords(row.practice, catalogue(), by)


def design_for(row: models.Trainee, brief_text: str, by: Any = None) -> Block:
    """A block from the trainee's intake, their places and a brief; kept as a proposal."""
    person = person_of(row)
    brief = read_brief(brief_text, "brief", catalogue())
    brief = replace(brief, start=on_whole_week(brief.start, [day.day for day in person.trainee.days]))
    log = log_of(row, catalogue())
    estimates = estimates_for(person.trainee, log, brief.start, person.places)
    block = design_block(person.trainee, person.places, brief, catalogue(), estimates, log)
    with transaction.atomic():
        keep_document(row.practice, "brief", brief.id or "brief", brief_text, by, row)
        records_of(row, by).keep_block(block, now_text())
    return block


def write_for(row: models.Trainee, text: str, start: date, by: Any = None) -> Block:
    """A written block, read, dosed and checked; kept as a proposal."""
    person, known = person_of(row), catalogue()
    days = tuple(day.day for day in person.trainee.days)
    written, _ = read_for(text, person.trainee, person.places, "the block", days, cues=cue_words(row))
    brief = plain_brief(written.title, written.weeks, len(written.template.sessions), start)
    brief = replace(brief, start=on_whole_week(brief.start, [one.day for one in written.template.sessions]))
    estimates = estimates_for(person.trainee, log_of(row, known), brief.start, person.places)
    block = fit_written(written, person.trainee, person.places, brief, known, estimates)
    records_of(row, by).keep_block(block, now_text())
    return block


def sore(row: models.Trainee, words: str, on: date, by: Any = None, set_by: str = "") -> Block:
    """What "my elbow is sore" changes from this day on; kept as a proposal. LookupError where no block is in force."""
    return limit(row, replace(parse_restriction(words, "what hurts"), set_by=set_by), on, by)


def limit(row: models.Trainee, made: Restriction, on: date, by: Any = None) -> Block:
    """What a new limit changes from this day on; kept as a proposal. LookupError where no block is in force.

    A limit of the intake that the block was not made under yet is kept with it: what stands in for one must not
    cross the other.
    """
    block = require_block(row)
    log = log_of(row, catalogue())
    intake = intake_in(records_of(row), row.slug)
    others = () if intake is None else tuple(one for one in intake.restrictions if one.id != made.id)
    changed = under_all(block, (*others, made), log, what_is_ahead(block, log, on))
    records_of(row, by).keep_block(changed, now_text())
    return changed


def require_block(row: models.Trainee) -> Block:
    """The block in force; LookupError where there is none."""
    block = current_of(row)
    if block is None:
        raise LookupError(f"no block is in force for {row.name}")
    return block


def adapt_for(row: models.Trainee, by: Any = None, on: date | None = None) -> Proposal:
    """What the log proposes for the weeks that remain; the revision is kept as a proposal where it changes anything."""
    block, log = require_block(row), log_of(row, catalogue())
    fit = fit_of_log(block, log)
    seen = None if on is None else max(on, last_date(fit.known, on))
    found = proposal_of(fit, seen)
    records = records_of(row, by)
    after = without_declined(block, found.block, declined_in(records, row.slug))
    earlier = [one for one in from_the_log(row) if one.block != after.id]
    if after.id != block.id:
        records.keep_block(after, now_text())
        put_in_place_of(row, earlier, f"the log was read again: revision {after.revision} took its place", by)
    return replace(found, block=after)


def put_in_place_of(row: models.Trainee, old: Iterable[models.BlockRevision], reason: str, by: Any = None) -> None:
    """Keeps that another revision took the place of some that waited; the reason says what became of them."""
    for one in old:
        records_of(row, by).decide(Decision(row.slug, one.block, REPLACED, (), now_text(), reason))


def from_the_log(row: models.Trainee) -> list[models.BlockRevision]:
    """The revisions that wait and hold nothing but what the log proposed."""
    found = []
    for one in waiting_revisions(row):
        parent = row.revisions.filter(block=one.revision.parent).first()
        if parent is None or row.jobs.filter(result__block=one.revision.block).exclude(deed="adapt").exists():
            continue
        if own_block(row, one.revision.block).settled != block_of(parent).settled:
            found.append(one.revision)
    return found


@transaction.atomic
def accept(row: models.Trainee, block_id: str, numbers: Sequence[int] | None, by: Any, reason: str = "") -> Block:
    """Puts a kept revision in force, with all of its changes or those that a coach reads under some numbers.

    numbers : from 1, as ``publish.words.change_groups`` counts them; None for all that were not declined
    The intake takes over a new restriction of the block. Raises InputFaults where the block is no longer the next one.
    """
    one_at_a_time(row)
    records = records_of(row, by)
    block = own_block(row, block_id)
    force = in_force_id(row)
    if block.parent is not None and block.parent != force:
        found = "a revision of a block that is no longer in force"
        raise InputFaults([Fault("changes", "", found, f"changes of {force}", "Have the changes counted again.")])
    taken = not_declined(records, block) if numbers is None else rows_named(block, numbers)
    before = parent_of(records, block, None) if len(taken) < len(block.changes) else None
    old = None if block.parent is None else current_of(row)
    faults = block_faults(block, "block", catalogue())
    if faults:
        raise InputFaults(faults)
    made = take_changes(records, block, taken, before, reason)
    keep_restrictions(row, made, by, old)
    note(row.practice, by, "put a block in force", row, made.id)
    jobs.ask_count_of_long_log(row, by)
    return made


def rows_named(block: Block, numbers: Sequence[int]) -> tuple[int, ...]:
    """The rows of the changes that a coach reads under some numbers, from 1. InputFaults for none or unknown ones."""
    groups = change_groups(block)
    odd = [one for one in numbers if not 1 <= one <= len(groups)]
    if odd or not numbers:
        found = f"change {odd[0]}" if odd else "none ticked"
        raise InputFaults([Fault("changes", "", found, f"one or more of changes 1 to {len(groups)}")])
    return tuple(sorted({row for number in numbers for row in groups[number - 1]}))


def own_block(row: models.Trainee, block_id: str) -> Block:
    """A kept revision of this trainee; LookupError for any other."""
    found = row.revisions.filter(block=block_id).first()
    if found is None:
        raise LookupError(f"no block {block_id} of {row.name}")
    return block_of(found)


def keep_restrictions(row: models.Trainee, block: Block, by: Any, before: Block | None = None) -> None:
    """Writes restrictions that a block brought into the intake, so that the next block knows them.

    before : the block it was made from; only what is new since then is written, so that one that ended stays ended
    """
    text = newest(row.practice, "trainee", row.slug, row)
    if not text:
        return
    known = {one.id: one for one in person_of(row).trainee.restrictions}
    old = () if before is None else before.inputs.trainee.restrictions
    for one in block.inputs.trainee.restrictions:
        kept = known.get(one.id)
        if one not in old and (kept is None or replace(kept, since=one.since) != one):
            text = with_restriction(text, one)
    keep_document(row.practice, "trainee", row.slug, text, by, row)


@transaction.atomic
def decline(row: models.Trainee, block_id: str, numbers: Sequence[int] | None, by: Any, reason: str = "") -> None:
    """Keeps that a revision was declined, whole or some of its changes."""
    one_at_a_time(row)
    block = own_block(row, block_id)
    rows = tuple(range(1, len(block.changes) + 1)) if numbers is None else rows_named(block, numbers)
    records_of(row, by).decide(Decision(row.slug, block_id, "declined", rows, now_text(), reason))
    note(row.practice, by, "declined changes", row, block_id)


@transaction.atomic
def undo(row: models.Trainee, by: Any, mistaken_by: str | None = None) -> Block:
    """Puts the revision before the one in force back; LookupError where there is none.

    mistaken_by : who says that the limit of the revision in force was a mistake: it goes with the revision
    Raises InputFaults where it does not keep a limit that holds now.
    """
    one_at_a_time(row)
    records = records_of(row, by)
    before = step_back(records, row.slug) if mistaken_by is None else undo_mistake(records, row.slug, mistaken_by)
    note(row.practice, by, "undid a revision", row, before.id)
    jobs.ask_count_of_long_log(row, by)
    return before


@transaction.atomic
def undo_under_limits(row: models.Trainee, on: date, by: Any) -> Block:
    """Puts the revision before the one in force back, made anew from a day on under the limits that hold now.

    LookupError where there is none; InputFaults where it is in force already; NoPlan where it can't be made.
    """
    one_at_a_time(row)
    made = under_limits(records_of(row, by), row.slug, on)
    note(row.practice, by, "undid a revision under the limits that hold", row, made.id)
    return made


@transaction.atomic
def put_back(row: models.Trainee, block_id: str, by: Any) -> Block:
    """Puts a revision that was in force once in force again. LookupError for one that never was.

    Raises InputFaults where it does not keep a limit that holds now: that one is lifted first, or the block changed.
    """
    one_at_a_time(row)
    block = own_block(row, block_id)
    if not row.in_force.filter(block=block_id).exists():
        raise LookupError(f"revision {block.revision} was never in force")
    if in_force_id(row) == block_id:
        return block
    put_again(records_of(row, by), block, f"revision {block.revision} put back")
    note(row.practice, by, "put an earlier revision back", row, block_id)
    jobs.ask_count_of_long_log(row, by)
    return block
