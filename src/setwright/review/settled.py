"""What a log has changed in a block already, so that the same log does not change it again.

Two ideas. One: a step of a load counts from the load planned, so a log that is read twice would step twice; what it led
to stays with the block, through every revision in between, until another log is read. Two: a log is known by what it
says, not by its file: the same rows in another order are the same log, one corrected set makes it another.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace

from setwright.plan.block import Block, Change, Settled
from setwright.strength.logged import Log

WAY_BACK = "way back"


def log_name(log: Log) -> str:
    """The name of a log, made from its content: ``log-`` and twelve hex digits; row keys and order count for nothing.

    >>> log_name(Log())
    'log-e3b0c44298fc'
    """
    sets = [repr(replace(one, row="")) for one in log.sets]
    sessions = [repr(replace(one, row="")) for one in log.sessions]
    rows = sorted((*sets, *sessions))
    return f"log-{hashlib.sha256(chr(10).join(rows).encode()).hexdigest()[:12]}"


@dataclass(frozen=True)
class SettledBy:
    """What one log has settled in a block so far."""

    log: str
    rows: tuple[Settled, ...]

    def holds(self, row: Change) -> bool:
        """True where a row would change again what the log has changed: the same entry, or what it became."""
        here = [one for one in self.rows if (one.week, one.session) == (row.week, row.session)]
        return any(
            one.entry == row.entry
            or one.to == row.from_
            or one.to.startswith((f"{row.from_}, RPE", f"{row.from_}, other"))
            for one in here
        )

    def entries_of(self, week: int) -> set[tuple[str, str]]:
        """(day, entry) of all that it changed in a week."""
        return {(one.session, one.entry) for one in self.rows if one.week == week}

    def has_way_back(self, words: str) -> bool:
        """True where it has brought the way back after a break, as ``words`` names the break."""
        return any(one.to == WAY_BACK and one.entry == words for one in self.rows)


def settled_by(block: Block, log: Log) -> SettledBy:
    """What a log has settled in a block and the revisions before it."""
    name = log_name(log)
    return SettledBy(name, tuple(one for one in block.settled if one.log == name))


def with_settled(so_far: SettledBy, changes: Sequence[Change], way_back: str = "") -> tuple[Settled, ...]:
    """What the log has settled after some more changes; ``way_back``: the break that brought one, or empty."""
    made = [Settled(so_far.log, one.week, one.session, one.entry, one.to) for one in changes]
    if way_back and not so_far.has_way_back(way_back):
        made.insert(0, Settled(so_far.log, 0, "", way_back, WAY_BACK))
    return (*so_far.rows, *made)
