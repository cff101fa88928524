"""A restriction goes on to its next stage back: what the stage opens comes back, what it closes stays closed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import get_args

from setwright.catalogue.names import nearest
from setwright.faults import Fault, InputFaults
from setwright.people.trainee import Level, Restriction
from setwright.plan.block import Block
from setwright.plan.gates import said_joint, who_set
from setwright.plan.identity import with_id
from setwright.plan.restrict import restrict_block
from setwright.review.proposing import one_row_each
from setwright.review.stages import STAGES, Stage, cleared, stage_now, stages_of
from setwright.services.block_check import since_week
from setwright.services.deeds import block_estimates, first_open_week
from setwright.services.gather import Say, catalogue, load_block, load_logs, silent
from setwright.services.keeping import kept_log, records_in
from setwright.services.lifting import has_it, lift_restriction, may_lift, named_restriction
from setwright.services.reshaping import OPTIONS

LEVELS: tuple[Level, ...] = get_args(Level)  # from nothing to everything
AS_OLD = "The block was made under this restriction, so nothing comes back: only what the stage asks changes."


def stage_block(
    block_file: Path,
    name: str,
    stage_name: str,
    from_week: int | None,
    set_by: str = "",
    given_on: date | None = None,
    before_file: Path | None = None,
    log_files: Sequence[Path] = (),
    records: Path | None = None,
    say: Say = silent,
) -> Block:
    """The next revision with a restriction in another stage, from a week that people name.

    name : the id or joint of the restriction; set_by : who sets the stage; given_on : the day a clearance was given
    before_file, records : where the block lies as it was before the restriction
    Raises InputFaults without a week, for an unknown stage, or without who must set it.
    """
    block = load_block(block_file)
    restriction = named_restriction(block.inputs.trainee, name)
    stages = stages_of(restriction, catalogue())
    stage = named_stage(stage_name, stages)
    require_people(restriction, stage, from_week, set_by, given_on)
    has_log = records is not None and bool(records_in(records).log(block.trainee).sets)
    log = load_logs(log_files, kept=kept_log(records if has_log else None, block.trainee), say=say)
    first = first_open_week(block, log, from_week)
    estimates = block_estimates(block, log)
    start = opened(block_file, block, restriction, stage, set_by, before_file, first, log_files, records, say)
    for line in stage_lines(restriction, stage, stages):
        say(line)
    if stage.restriction is None:
        return start
    made = stage.restriction
    if restriction.needs_clearance and given_on is not None:
        made = cleared(made, stage.name, set_by, given_on)
    made = since_week(block, replace(made, since=None), first)
    after = restrict_block(start, made, catalogue(), estimates, first)
    earlier = start.changes if start is not block else ()
    lifted, goes_on = f"{who_set(restriction)} is lifted", f"{who_set(restriction)} goes on to stage {stage.name}"
    rows = one_row_each((*earlier, *after.changes))
    rows = tuple(replace(one, why=one.why.replace(lifted, goes_on)) for one in rows)
    return with_id(replace(after, id="", revision=block.revision + 1, parent=block.id, changes=rows))


def opened(
    block_file: Path,
    block: Block,
    restriction: Restriction,
    stage: Stage,
    set_by: str,
    before_file: Path | None,
    first: int,
    log_files: Sequence[Path],
    records: Path | None,
    say: Say,
) -> Block:
    """The block as it would be without the restriction, from which the stage closes what it still closes.

    The block itself where the restriction is as old as the block: then nothing was taken out for it. Raises InputFaults
    where a revision before it is not at hand: its list of changes tells no dials, seconds or partners.
    """
    is_as_old = block.parent is None or (before_file is not None and made_under(before_file, restriction))
    if stage.restriction is not None and is_as_old:
        say(AS_OLD)
        return block
    if before_file is None and records is None:
        hint = "The list of changes tells too little to bring timed work, dials and supersets back as they were."
        allowed = "--before FILE with the block before the restriction, or --records FOLDER"
        raise InputFaults([Fault("--before", "", "none", allowed, hint)])
    try:
        return lift_restriction(block_file, restriction.id, before_file, first, log_files, set_by, records, say)
    except InputFaults as error:
        if before_file is None and stage.restriction is not None and is_first_under(block, restriction, records):
            say(AS_OLD)
            return block
        raise InputFaults([replace(one, file=OPTIONS.get(one.file, one.file)) for one in error.faults]) from None


def made_under(file: Path, restriction: Restriction) -> bool:
    """True for the file of a first revision that knows the restriction."""
    first = load_block(file)
    return first.parent is None and has_it(first, restriction)


def is_first_under(block: Block, restriction: Restriction, records: Path | None) -> bool:
    """True where the records hold every revision back to the first, and each knows the restriction."""
    if records is None:
        return False
    kept, now = records_in(records), block
    while has_it(now, restriction):
        if now.parent is None:
            return True
        try:
            now = kept.block(now.parent)
        except LookupError:
            return False
    return False


def named_stage(name: str, stages: Sequence[Stage]) -> Stage:
    """The stage of a name. Raises InputFaults with all of them and their tests."""
    word = " ".join(name.strip().lower().replace("-", " ").split())
    found = next((one for one in stages if one.name == word), None)
    if found is None:
        close = nearest(word, list(STAGES), 1)
        tests = "; ".join(f"{one.name} ends with {one.ends_when}" for one in stages if one.ends_when)
        hint = f"{f'Did you mean {close[0]}? ' if close else ''}{tests[:1].upper()}{tests[1:]}."
        raise InputFaults([Fault("--stage", "", repr(name), ", ".join(STAGES), hint)])
    return found


def require_people(
    restriction: Restriction, stage: Stage, from_week: int | None, set_by: str, given_on: date | None
) -> None:
    """Refuses a stage that nobody dated, or that nobody who may has set."""
    faults = []
    if from_week is None:
        hint = "The program names the test that ends a stage, never the date: people set it."
        faults.append(Fault("--from-week", "", "none", "the week from which the stage holds", hint))
    if restriction.needs_clearance and not set_by.strip():
        hint = f"The {said_joint(restriction.joint)} waits for clearance."
        faults.append(Fault("--by", "", "nobody", "the licensed clinician who sets the stage", hint))
    has_none = restriction.clearance is None and given_on is None
    if restriction.needs_clearance and has_none and stage.restriction is not None:
        faults.append(Fault("--given-on", "", "none", "the day the clearance was given, like 2026-09-07"))
    if faults:
        raise InputFaults(faults)
    may_lift(restriction, set_by)


def stage_lines(restriction: Restriction, stage: Stage, stages: Sequence[Stage]) -> list[str]:
    """What to say of a stage: the test that ends it, and where steps were left out."""
    lines = []
    before = stage_now(restriction)
    at = STAGES.index(stage.name)
    came_from = -1 if before is None else STAGES.index(before)
    if stage.restriction is not None and LEVELS.index(stage.restriction.level) < LEVELS.index(restriction.level):
        lines.append(
            f"Stage {stage.name} allows less than the limit so far ({restriction.level} work): some work ends."
        )
    left_out = [one for one in stages[came_from + 1 : at] if one.ends_when]
    if left_out:
        lines.append(f"Left out: {', '.join(one.name for one in left_out)}. Who set the restriction answers for that.")
    if stage.ends_when:
        after = stages[at + 1].name
        lines.append(f"Stage {stage.name} ends, and {after} begins on a day that people set, when: {stage.ends_when}.")
        lines.append(f"From: {stage.source}.")
    return lines
