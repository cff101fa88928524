"""Sessions that are over stay as they were, also in a week of which other days still change."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from setwright.catalogue.store import Catalogue
from setwright.plan.block import Block
from setwright.plan.compose import count_credits
from setwright.plan.next_revision import with_rules


def with_done_days(before: Block, after: Block, done: Collection[tuple[str, int]], catalogue: Catalogue) -> Block:
    """The revision ``after`` of ``before`` with the sessions that are over as they were, and no change told of them.

    done : (day, week) of each; the revision itself where none of them differs
    """
    old = {(one.day, week.number): one for week in before.weeks for one in week.sessions}
    weeks = tuple(
        replace(
            week,
            sessions=tuple(
                old.get((one.day, week.number), one) if (one.day, week.number) in done else one for one in week.sessions
            ),
        )
        for week in after.weeks
    )
    if weeks == after.weeks:
        return after
    changes = tuple(one for one in after.changes if (one.session, one.week) not in done)
    made = replace(after, id="", weeks=weeks, changes=changes, set_credits=count_credits(weeks, catalogue))
    return with_rules(made, catalogue)
