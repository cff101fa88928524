"""Back to the revision before, where a limit that holds now stands in the way: without the mistake, or made anew.

A limit is never stepped over. Where the revision in force brought one by mistake, who set it says so, and it goes with
the revision; any other holds, and the revision before is made anew under it.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

from setwright.faults import Fault, InputFaults
from setwright.people.trainee import Restriction
from setwright.plan.block import Block
from setwright.plan.identity import with_id
from setwright.records.files import FileRecords
from setwright.records.port import Records
from setwright.services.ahead import under_all, what_is_ahead
from setwright.services.clock import now_text, today
from setwright.services.gather import catalogue
from setwright.services.keeping import parent_in_force, put_again, records_in, settle, step_back, write_block
from setwright.services.lifting import may_lift
from setwright.services.limits_in_force import require_kept, who_holds

CLI_WAY_OUT = (
    "Who set the limit lifts it with restrict --lift; undo --under-limits makes the revision before anew under it; "
    "undo --mistake --set-by WHO takes back what was set by mistake."
)


def brought_limits(records: Records, trainee: str) -> tuple[Restriction, ...]:
    """The limits that the revision in force brought: its parent was made without them."""
    current = records.current(trainee)
    if current is None or current.parent is None:
        return ()
    old = {one.id for one in records.block(current.parent).inputs.trainee.restrictions}
    return tuple(one for one in current.inputs.trainee.restrictions if one.id not in old)


def undo_mistake(records: Records, trainee: str, said_by: str) -> Block:
    """Takes out the limits that the revision in force brought, and goes back to the one before.

    said_by : who says that it was a mistake; only who set a limit may. Raises InputFaults, and then nothing changes;
    LookupError where there is no revision before.
    """
    brought, before, current = (
        brought_limits(records, trainee),
        parent_in_force(records, trainee),
        records.current(trainee),
    )
    assert current is not None
    if not brought:
        found = "a revision that brought no limit"
        raise InputFaults([Fault("mistake", "", found, "a revision that a limit made")])
    for one in brought:
        may_lift(one, said_by)
    known = who_holds(records, trainee)
    assert known is not None
    names = {one.id for one in brought}
    left = replace(known, restrictions=tuple(one for one in known.restrictions if one.id not in names))
    require_kept(before, left, catalogue(), today())
    take_out(records, trainee, names)
    records.put_in_force(trainee, before.id, now_text(), f"undo of {current.id}, set by mistake"[:500])
    return before


def take_out(records: Records, trainee: str, names: set[str]) -> None:
    """Takes limits out of the intake, where the records keep one."""
    if isinstance(records, FileRecords):
        return
    from setwright.records.data_base import DataBaseRecords
    from setwright.services.desk.limits import limits_of, without

    if isinstance(records, DataBaseRecords):
        row = records.row_of(trainee)
        for one in limits_of(row):
            if one.is_in_intake and one.restriction.id in names:
                without(row, one.restriction.id, records.by)


def under_limits(records: Records, trainee: str, on: date) -> Block:
    """The revision before the one in force, made anew under every limit that holds now, and put in force.

    Raises InputFaults where that gives the sessions that are in force already; NoPlan where it can't be made.
    """
    current, before, known = records.current(trainee), parent_in_force(records, trainee), who_holds(records, trainee)
    assert current is not None and known is not None
    log = records.log(trainee)
    made = under_all(before, known.restrictions, log, what_is_ahead(before, log, on))
    if made.weeks == current.weeks:
        allowed = "a revision that differs from the one in force: lift the limit, if it is over"
        raise InputFaults(
            [Fault("undo", "", "the revision before under the limits, which is in force already", allowed)]
        )
    kept = with_id(replace(made, id="", revision=current.revision + 1, parent=before.id))
    require_kept(kept, known, catalogue(), on)
    records.keep_block(kept, now_text())
    put_again(records, kept, f"undo of {current.id}, under the limits that hold")
    return kept


def undo_in(folder: Path, trainee: str, out: Path | None, mistaken_by: str | None, is_anew: bool) -> Block:
    """Undoes in the records of a folder, in one of three ways, and writes what is in force then.

    mistaken_by : who says that the limit was a mistake, or None; is_anew : the revision before under today's limits
    """
    records = records_in(folder)
    if records.current(trainee) is None:
        known = ", ".join(records.trainees())
        hint = f"; kept there: {known}" if known else ""
        raise LookupError(f"no block is in force for {trainee!r} in {folder}{hint}")
    if mistaken_by is not None:
        made = undo_mistake(records, trainee, mistaken_by)
    elif is_anew:
        made = under_limits(records, trainee, today())
    else:
        made = step_back(records, trainee, CLI_WAY_OUT)
    if out is not None:
        write_block(made, out)
    settle(records, trainee, "undid a revision", made.id)
    return made
