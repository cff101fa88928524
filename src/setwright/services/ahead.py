"""What of a block may still change on a day: what is over stays."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from setwright.faults import Fault, InputFaults
from setwright.people.trainee import Restriction
from setwright.plan.block import Block, Session
from setwright.plan.block_days import session_date
from setwright.plan.done_days import with_done_days, with_sets_done
from setwright.plan.identity import with_id
from setwright.plan.restrict import restrict_block
from setwright.services.deeds import block_estimates
from setwright.services.gather import catalogue
from setwright.services.log_fit import fit_of_log
from setwright.strength.logged import Log


@dataclass(frozen=True)
class Ahead:
    """What may still change of a block: the first week of it, and the sessions (day, week) of that week that are over.

    ``day``: the day of the first session that may change; ``since``: the first day of which no session is over.
    """

    week: int
    done: frozenset[tuple[str, int]]
    day: date
    since: date


def what_is_ahead(block: Block, log: Log, on: date) -> Ahead:
    """What may change from a day on: its own session too, until it is finished. InputFaults where nothing is left.

    A sore joint in the middle of a session still changes the rest of it.
    """
    inside = fit_of_log(block, log).inside
    over = frozenset(
        (session.day, week.number)
        for week in block.weeks
        for session in week.sessions
        if session_date(block, week.number, session.day) < on or is_finished(session, week.number, inside)
    )
    for week in block.weeks:
        left = [one for one in week.sessions if (one.day, week.number) not in over]
        if left:
            first = min(session_date(block, week.number, one.day) for one in left)
            days_over = (session_date(block, number, day) for day, number in over)
            since = max((day + timedelta(days=1) for day in days_over if day < first), default=on)
            return Ahead(week.number, over, first, max(on, since))
    hint = "Every session of the block is over: design the next one."
    raise InputFaults([Fault("block", "", f"{on}", "a day with a session that is still ahead", hint)])


def is_finished(session: Session, week: int, log: Log) -> bool:
    """True where the session was called done, or every planned set of work is logged for it."""
    if any((one.session, one.week) == (session.day, week) and one.session_rpe is not None for one in log.sessions):
        return True
    done = Counter(one.exercise for one in log.sets if (one.session, one.week) == (session.day, week))
    planned = Counter[str]()
    for part in session.parts:
        for entry in part.entries if part.part != "warm-up" else ():
            planned[entry.exercise] += len(entry.working_sets)
    return bool(planned) and planned <= done


def since_open(made: Restriction, ahead: Ahead) -> Restriction:
    """The restriction as the block keeps it: from the first day of which no session is over; what is over stays."""
    return replace(made, since=ahead.since if made.since is None else max(made.since, ahead.since))


def under_all(block: Block, limits: Sequence[Restriction], log: Log, ahead: Ahead) -> Block:
    """The next revision of a block under every one of some limits that it was not made under; itself under none.

    The limits hold from the first day of which no session is over. Raises NoPlan where it can't be made.
    """
    estimates, made, changes = block_estimates(block, log), block, list(block.changes[:0])
    for one in limits:
        if any(replace(kept, since=one.since) == one for kept in block.inputs.trainee.restrictions):
            continue
        made = restrict_block(made, since_open(one, ahead), catalogue(), estimates, ahead.week)
        changes += made.changes
    if made is block:
        return block
    if made.parent != block.id:  # several limits, told as one revision
        made = with_id(replace(made, id="", parent=block.id, revision=block.revision + 1, changes=tuple(changes)))
    made = with_done_days(block, made, ahead.done, catalogue())
    return with_sets_done(block, made, sets_done(block, log, ahead), catalogue())


def sets_done(block: Block, log: Log, ahead: Ahead) -> dict[tuple[str, int], Counter[str]]:
    """What is done so far of each session that was begun and is not over."""
    found: dict[tuple[str, int], Counter[str]] = {}
    for one in fit_of_log(block, log).inside.sets:
        if one.week is not None and (one.session, one.week) not in ahead.done:
            found.setdefault((one.session, one.week), Counter())[one.exercise] += 1
    return found
