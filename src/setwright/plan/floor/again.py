"""The timetable from the current minute on: somebody drops in, somebody is not there, a machine is broken.

What is done or under way stays. The first try keeps the order of the old timetable; another order is taken only where
it gains enough, so that as little as possible changes on a floor that is already moving.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from setwright.plan.floor.first import by_order, order_of
from setwright.plan.floor.solve import Effort, Solved, solve_floor
from setwright.plan.floor.timetable import end_of, end_s, points
from setwright.plan.floor.visit import Attendee, Floor, Key, Placed, Visit

QUICK = Effort(0.1, 0.05, 0.0, before=2, after=12)  # an answer well within two seconds for 20 people
AT_ONCE = Effort(0.0, 0.0, 0.0, before=0, after=0)  # the repaired timetable alone, in milliseconds
WORTH_S = 60  # seconds a head, end and waiting together, for which another order is taken


@dataclass(frozen=True)
class Dropped:
    """Work that is not done: whose, which sets of which visit, and the things that are not there any more."""

    name: str
    visit: Visit
    steps: tuple[int, ...]
    things: tuple[str, ...]


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


def with_visits(person: Attendee, kept: Sequence[int], visits: Mapping[int, Visit] | None = None) -> Attendee:
    """An attendee with some of the visits, perhaps changed ones."""
    place = {old: new for new, old in enumerate(kept)}
    return replace(
        person,
        visits=tuple((visits or {}).get(v, person.visits[v]) for v in kept),
        gaps={(place[i], place[j]): gap for (i, j), gap in person.gaps.items() if i in place and j in place},
        ready_s=tuple(person.ready_s[v] for v in kept),
    )


def cut(
    visit: Visit, placed: Placed, now_s: int, broken: Collection[str]
) -> tuple[Visit | None, Placed, tuple[int, ...]]:
    """A visit that stops now: the sets begun, without what is broken; None where none is; and the sets left."""
    begun = sum(1 for start in placed.starts if start <= now_s)
    left = tuple(range(begun, len(visit.steps)))
    if not begun:
        return None, placed, left
    kept = [
        number
        for number, (use, thing) in enumerate(zip(visit.uses, placed.things, strict=True))
        if use.first < begun and thing not in broken
    ]
    uses = tuple(replace(visit.uses[number], last=min(visit.uses[number].last, begun - 1)) for number in kept)
    rests = tuple(rest for rest in visit.rests if rest.after < begun)
    shorter = replace(visit, steps=visit.steps[:begun], rests=rests, uses=uses)
    return shorter, Placed(placed.starts[:begun], tuple(placed.things[number] for number in kept)), left


def has_begun(visit: Visit, placed: Placed, now_s: int) -> bool:
    """True where a visit is done or under way: its first station is being set up, or more."""
    return placed.starts[0] - max((use.set_up_s for use in visit.uses if use.first == 0), default=0) <= now_s


def old_key(floor: Floor, name: str, visit: Visit) -> Key | None:
    """The same visit on an older floor: of the same person, of the same entries; None where it was not there."""
    for a, person in enumerate(floor.attendees):
        if person.name == name:
            for v, other in enumerate(person.visits):
                if other.entries == visit.entries:
                    return a, v
    return None


@dataclass
class Now:
    """What is put together for the floor as it is now: who attends, what stays, what was planned, what is not done."""

    attendees: list[Attendee]
    fixed: dict[Key, Placed]
    before: dict[Key, Placed]
    dropped: list[Dropped]


@dataclass(frozen=True)
class Left:
    """One visit as it is now: perhaps shorter, what stays of it or what was planned, and what is not done."""

    visit: Visit | None
    fixed: Placed | None = None
    before: Placed | None = None
    dropped: Dropped | None = None


def as_it_is(
    floor: Floor,
    old: Floor,
    timetable: Mapping[Key, Placed],
    now_s: int,
    broken: Collection[str],
    gone: Collection[str],
) -> Now:
    """The attendees with what is left of their visits, and what of them is fixed."""
    made = Now([], {}, {}, [])
    stopped = must_stop(floor, old, timetable, now_s, broken)
    for a, person in enumerate(floor.attendees):
        kept: dict[int, Left] = {}
        for v, visit in enumerate(person.visits):
            key = old_key(old, person.name, visit)
            placed = None if key is None else timetable[key]
            if placed is not None and has_begun(visit, placed, now_s):
                stops = person.name in gone or key in stopped
                one = begun_visit(person.name, visit, placed, now_s, broken, stops)
            else:
                one = open_visit(person.name, visit, placed, floor.stock, person.name in gone)
            if one.dropped is not None:
                made.dropped.append(one.dropped)
            if one.visit is not None:
                kept[v] = one
        visits = {v: one.visit for v, one in kept.items() if one.visit is not None}
        made.attendees.append(with_visits(person, list(kept), visits))
        for place, one in enumerate(kept.values()):
            if one.fixed is not None:
                made.fixed[(a, place)] = one.fixed
            elif one.before is not None:
                made.before[(a, place)] = one.before
    return made


def must_stop(
    floor: Floor, old: Floor, timetable: Mapping[Key, Placed], now_s: int, broken: Collection[str]
) -> set[Key]:
    """Visits under way on what is broken, beyond those for whom enough is left: who began last stops first."""
    found: set[Key] = set()
    for thing in broken:
        users = [
            key
            for key in order_of(timetable)
            if thing in timetable[key].things
            and has_begun(old.visit(key), timetable[key], now_s)
            and end_of(old.visit(key), timetable[key].starts) > now_s
        ]
        found |= set(users[max(0, floor.stock.get(thing, 0)) :])
    return found


def begun_visit(name: str, visit: Visit, placed: Placed, now_s: int, broken: Collection[str], stops: bool) -> Left:
    """A visit that is done or under way: it stays, or stops after the sets that are begun."""
    if not stops or end_of(visit, placed.starts) <= now_s:
        return Left(visit, fixed=placed)
    shorter, stays, left = cut(visit, placed, now_s, broken)
    lost = tuple(thing for thing in placed.things if thing in broken)
    return Left(shorter, fixed=stays, dropped=Dropped(name, visit, left, lost) if left else None)


def open_visit(name: str, visit: Visit, placed: Placed | None, stock: Mapping[str, int], is_gone: bool) -> Left:
    """A visit that is not begun: it stays open unless its trainee is gone, or something it needs is."""
    able, lost = without_lacking(visit, stock)
    if is_gone or lost:
        return Left(None, dropped=Dropped(name, visit, tuple(range(len(visit.steps))), () if is_gone else lost))
    return Left(able, before=placed)


def without_lacking(visit: Visit, stock: Mapping[str, int]) -> tuple[Visit, tuple[str, ...]]:
    """A visit whose uses name only things that are enough, and what it lacks where some use has none left."""
    lost: list[str] = []
    uses = []
    for use in visit.uses:
        things = tuple(thing for thing in use.things if stock.get(thing, use.count) >= use.count)
        if not things:
            lost += use.things
        uses.append(replace(use, things=things or use.things))
    return replace(visit, uses=tuple(uses)), tuple(lost)


def plan_again(
    floor: Floor,
    old: Floor,
    timetable: Mapping[Key, Placed],
    now_s: int,
    broken: Collection[str] = (),
    gone: Collection[str] = (),
    effort: Effort = QUICK,
) -> Again:
    """The timetable from ``now_s`` on: first repaired at once in the old order, then improved with the effort left.

    floor : everybody who attends now, with what the place has left; drop-ins have visits that ``old`` has not
    old, timetable : the floor and timetable that were followed until now, or what was really done in its place
    broken : things that nobody may use from now on; gone : names of those who are not there or leave
    Raises LookupError where what is left can never be placed, which the caller has to rule out.
    """
    made = as_it_is(floor, old, timetable, now_s, broken, gone)
    now = Floor(tuple(made.attendees), floor.stock, made.fixed, now_s)
    kept = repaired(now, made.before)
    found = solve_floor(now, kept, effort)
    assert found is not None
    people = max(1, len(now.attendees))
    if points(now, kept) - found.points < WORTH_S * people:
        found = replace(
            found,
            timetable=kept,
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
    kept = by_order(now, [*order_of(before), *sorted(new, key=lambda key: (now.visit(key).rank, key))])
    if kept is None:
        raise LookupError("what is left of the sessions needs more than there is")
    return kept


def moves(floor: Floor, timetable: Mapping[Key, Placed], before: Mapping[Key, Placed]) -> list[Moved]:
    """The visits that start a minute or more earlier or later, or somewhere else; new ones too."""
    found = []
    for key in order_of(timetable):
        if key in floor.fixed:
            continue
        new, was = timetable[key], before.get(key)
        if was is None or abs(new.starts[0] - was.starts[0]) >= 60 or new.things != was.things:
            name = floor.attendees[key[0]].name
            found.append(Moved(name, floor.visit(key), was.starts[0] if was else None, new.starts[0], new.things))
    return found
