"""Sessions that are over stay as they were, also in a week of which other days still change."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace

from setwright.catalogue.store import Catalogue
from setwright.plan.block import Block, Change, Session
from setwright.plan.compose import count_credits
from setwright.plan.fit_minutes import with_sets
from setwright.plan.next_revision import with_rules
from setwright.plan.restrict import in_words
from setwright.plan.session_time import session_minutes_of


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


Started = Mapping[tuple[str, int], Mapping[str, int]]


def with_sets_done(before: Block, after: Block, started: Started, catalogue: Catalogue) -> Block:
    """The revision ``after`` of ``before`` where what stands in, in a session that is on, has only the sets left.

    started : by (day, week), how many working sets of each exercise are done
    An exercise that stays counts its own sets; one that all sets are done of needs nothing in its stead.
    """
    old = {(one.day, week.number): one for week in before.weeks for one in week.sessions}
    changes = list(after.changes)
    weeks = tuple(
        replace(
            week,
            sessions=tuple(
                only_what_is_left(
                    old[one.day, week.number],
                    one,
                    week.number,
                    started[one.day, week.number],
                    changes,
                    after,
                    catalogue,
                )
                if (one.day, week.number) in started and (one.day, week.number) in old
                else one
                for one in week.sessions
            ),
        )
        for week in after.weeks
    )
    if weeks == after.weeks:
        return after
    made = replace(after, id="", weeks=weeks, changes=tuple(changes), set_credits=count_credits(weeks, catalogue))
    return with_rules(made, catalogue)


def only_what_is_left(
    old: Session,
    new: Session,
    week: int,
    done: Mapping[str, int],
    changes: list[Change],
    block: Block,
    catalogue: Catalogue,
) -> Session:
    """One session with fewer sets of what stands in for an exercise that was begun; the changes say so."""
    parts = list(new.parts)
    stays = {entry.exercise for part in parts if part.part != "warm-up" for entry in part.entries}
    begun = [
        entry
        for part in old.parts
        if part.part != "warm-up"
        for entry in part.entries
        if done.get(entry.exercise) and entry.exercise not in stays
    ]
    for entry in begun:
        spot = (week, old.day, catalogue.get(entry.exercise).name, in_words(entry, catalogue))
        row = next((n for n, one in enumerate(changes) if (one.week, one.session, one.entry, one.from_) == spot), None)
        if row is None:
            continue
        planned, count = len(entry.working_sets), done[entry.exercise]
        for number, part in enumerate(parts):
            here = [one for one in part.entries if in_words(one, catalogue) == changes[row].to]
            if not here:
                continue
            left = with_sets(here[0], planned - count) if count < planned else None
            kept = [left if one is here[0] else one for one in part.entries]
            parts[number] = replace(part, entries=tuple(one for one in kept if one is not None))
            changes[row] = replace(
                changes[row],
                to="rests" if left is None else in_words(left, catalogue),
                why=f"{changes[row].why} {min(count, planned)} of {planned} sets are done already.",
            )
            break
    parts = [part for part in parts if part.entries]
    if tuple(parts) == new.parts:
        return new
    place = next(one for one in block.inputs.places if one.id == new.place)
    return replace(new, parts=tuple(parts), minutes=session_minutes_of(tuple(parts), catalogue, place))
