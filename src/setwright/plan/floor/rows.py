"""A timetable as rows: one a set, with what it holds and from when to when. What faces and referees read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from setwright.plan.floor.timetable import spans_of
from setwright.plan.floor.visit import Floor, Key, Placed


@dataclass(frozen=True)
class Hold:
    """A thing held: how many, from when to when, s; ``use`` tells the uses of one visit apart.

    ``for_partner``: only the other half of the superset needs it.
    """

    use: int
    thing: str
    count: int
    from_s: int
    to_s: int
    for_partner: bool = False


@dataclass(frozen=True)
class Row:
    """One set in a timetable. ``entry``: its place in the session, from 0. ``visit``: the visit it belongs to.

    ``done_as``: what is done in the stead of ``exercise`` where that is something else, else nothing.
    """

    name: str
    visit: int
    entry: int
    exercise: str
    done_as: str
    part: str
    set: int
    of: int
    kind: str
    from_s: int
    to_s: int
    holds: tuple[Hold, ...]


def rows_of(floor: Floor, timetable: Mapping[Key, Placed]) -> list[Row]:
    """Every set by its start, then by the order of the attendees."""
    found: list[tuple[int, Key, Row]] = []
    for key, placed in timetable.items():
        visit = floor.visit(key)
        for i, step in enumerate(visit.steps):
            start, planned = placed.starts[i], visit.exercises[step.entry]
            done_as = visit.exercise_at(step.entry, placed.things)
            row = Row(
                floor.attendees[key[0]].name,
                key[1],
                visit.entries[step.entry],
                planned,
                "" if done_as == planned else done_as,
                visit.part,
                step.number,
                step.of,
                step.kind,
                start,
                start + step.work_s,
                holds_at(floor, key, placed, i),
            )
            found.append((start, key, row))
    return [row for _, _, row in sorted(found, key=lambda one: one[:2])]


def holds_at(floor: Floor, key: Key, placed: Placed, step: int) -> tuple[Hold, ...]:
    """What is held while one step is done; things that nobody counts are left out."""
    visit = floor.visit(key)
    found: list[Hold] = []
    for number, (use, thing) in enumerate(zip(visit.uses, placed.things, strict=True)):
        if thing in floor.stock and use.first <= step <= use.last:
            spans = spans_of(visit, use, placed.starts)
            from_s, to_s = spans[step - use.first] if use.between else spans[0]
            for_partner = bool(use.entries) and visit.steps[step].entry not in use.entries
            found.append(Hold(number, thing, use.count, from_s, to_s, for_partner))
    return tuple(found)
