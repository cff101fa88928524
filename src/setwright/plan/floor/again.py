"""The timetable from the current minute on: somebody drops in, somebody is not there, a machine is broken.

What is done or under way stays. The first try keeps the order of the old timetable; another order is taken only where
it gains enough, so that as little as possible changes on a floor that is already moving.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from setwright.plan.floor.done import Done
from setwright.plan.floor.first import by_order, order_of
from setwright.plan.floor.now import Change, Dropped, as_it_is, going_on
from setwright.plan.floor.solve import Effort, Solved, solve_floor
from setwright.plan.floor.timetable import end_s, points
from setwright.plan.floor.visit import Floor, Key, Placed, Visit
from setwright.plan.floor.warm import kept_warm

QUICK = Effort(0.1, 0.05, 0.0, before=2, after=12)  # an answer well within two seconds for 20 people
AT_ONCE = Effort(0.0, 0.0, 0.0, before=0, after=0)  # the repaired timetable alone, in milliseconds
WORTH_S = 60  # seconds a head, end and waiting together, for which another order is taken


@dataclass(frozen=True)
class Moved:
    """A visit that starts at another time or somewhere else than before, s; None where it was not planned before."""

    name: str
    visit: Visit
    from_s: int | None
    to_s: int
    things: tuple[str, ...]


@dataclass(frozen=True)
class Again:
    """The floor as it is now, the new timetable, what is not done, and what moved."""

    floor: Floor
    solved: Solved
    dropped: tuple[Dropped, ...]
    moved: tuple[Moved, ...]


def plan_again(
    floor: Floor,
    old: Floor,
    timetable: Mapping[Key, Placed],
    now_s: int,
    broken: Collection[str] = (),
    gone: Collection[str] = (),
    effort: Effort = QUICK,
    logged: Mapping[str, Done] | None = None,
) -> Again:
    """The timetable from ``now_s`` on: first repaired at once in the old order, then improved with the effort left.

    floor : everybody who attends now, with what the place has left; drop-ins have visits that ``old`` has not
    old, timetable : the floor and timetable that were followed until now, or what was really done in its place
    broken : things that nobody may use from now on; gone : names of those who are not there or leave
    logged : by name, the sets that are done; of who is not in it the timetable is believed
    Raises LookupError where what is left can never be placed, which the caller has to rule out.
    """
    made = as_it_is(floor, old, timetable, Change(now_s, broken, gone, logged or {}, floor.stock))
    now = going_on(Floor(tuple(made.attendees), floor.stock, made.fixed, now_s), made)
    kept = repaired(now, made.before)
    found = solve_floor(now, kept, effort)
    assert found is not None
    people = max(1, len(now.attendees))
    if points(now, kept) - found.points < WORTH_S * people:
        found = replace(
            found,
            timetable=kept_warm(now, kept),
            end_s=end_s(now, kept),
            points=points(now, kept),
            status="optimal" if points(now, kept) <= found.points_bound else "feasible",
        )
    return Again(now, found, tuple(made.dropped), tuple(moves(now, found.timetable, made.before)))


def repaired(now: Floor, before: Mapping[Key, Placed]) -> dict[Key, Placed]:
    """What is left in the order it had, each as early as it fits; what is new comes after, in the gaps.

    Raises LookupError where something can never be placed.
    """
    new = [key for key in now.keys if key not in before and key not in now.fixed]
    listed = [*order_of(before), *sorted(new, key=lambda key: (now.visit(key).rank, key))]
    kept = by_order(now, in_rank(now, listed))
    if kept is None:
        raise LookupError("what is left of the sessions needs more than there is")
    return kept


def in_rank(floor: Floor, order: Sequence[Key]) -> list[Key]:
    """The same order with everybody's own visits rank by rank: what is new may come before what was planned."""
    own = {
        a: iter(sorted((key for key in order if key[0] == a), key=lambda key: floor.visit(key).rank)) for a, _ in order
    }
    return [next(own[a]) for a, _ in order]


def moves(floor: Floor, timetable: Mapping[Key, Placed], before: Mapping[Key, Placed]) -> list[Moved]:
    """The visits that start a minute or more earlier or later, or somewhere else; new ones too."""
    found = []
    for key in order_of(timetable):
        if key in floor.fixed and key not in before:
            continue
        new, was = timetable[key], before.get(key)
        if was is None or abs(new.starts[0] - was.starts[0]) >= 60 or new.things != was.things:
            name = floor.attendees[key[0]].name
            found.append(Moved(name, floor.visit(key), was.starts[0] if was else None, new.starts[0], new.things))
    return found
