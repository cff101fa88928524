"""Who of several people does not train on a day: they are left out and told, unless nobody trains."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from setwright.faults import Fault
from setwright.plan.block import Block
from setwright.plan.block_days import session_date, session_on
from setwright.services.gather import load_block

NEAREST = 3


def nearest_days(block: Block, on: date) -> list[date]:
    """The days nearest to a day that have a session, in their order."""
    days = [session_date(block, week.number, one.day) for week in block.weeks for one in week.sessions]
    return sorted(sorted(days, key=lambda day: (abs((day - on).days), day))[:NEAREST])


def rest_fault(path: Path, block: Block, on: date) -> Fault:
    """That a block has no session on a day, for where nobody has one."""
    hint = f"Nearest days: {', '.join(str(day) for day in nearest_days(block, on))}."
    return Fault(str(path), "", f"no session on {on}", "a block that trains that day", hint)


def who_rests(paths: Sequence[Path], on: date) -> list[str]:
    """A sentence for each block without a session that day."""
    blocks = [load_block(path) for path in paths]
    return [
        f"Left out, no session that day: {one.inputs.trainee.name}; nearest "
        f"{', '.join(f'{day.day} {day:%B}' for day in nearest_days(one, on))}."
        for one in blocks
        if session_on(one, on) is None
    ]
