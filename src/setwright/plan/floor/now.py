"""The floor as it is now: of every visit what stays, what is left, and what is not done any more.

Who has no log is believed to have followed the timetable. Who has one has done what it says, and the rest is to do.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from setwright.plan.floor.done import (
    Done,
    backwards,
    is_behind,
    is_logged,
    part_of,
    rest_before,
    steps_done,
    what_is_left,
)
from setwright.plan.floor.draft import Draft
from setwright.plan.floor.first import order_of
from setwright.plan.floor.timetable import end_of
from setwright.plan.floor.visit import Attendee, Floor, Key, Placed, Use, Visit


@dataclass(frozen=True)
class Dropped:
    """Work that is not done: whose, which sets of which visit, and the things that are not there any more."""

    name: str
    visit: Visit
    steps: tuple[int, ...]
    things: tuple[str, ...]


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
    """What is put together for the floor as it is now: who attends, what stays, what was planned, what is not done.

    ``goes_on``: visits under way that keep their stations, of which the log says what is left.
    """

    attendees: list[Attendee]
    fixed: dict[Key, Placed]
    before: dict[Key, Placed]
    dropped: list[Dropped]
    goes_on: list[Key]


@dataclass(frozen=True)
class Left:
    """One visit as it is now: perhaps shorter, what stays of it or what was planned, and what is not done.

    ``of``: the visit's place in the session. ``ready_s``: seconds from now to its first step, where not the usual.
    """

    of: int
    visit: Visit | None
    fixed: Placed | None = None
    before: Placed | None = None
    dropped: Dropped | None = None
    ready_s: int | None = None
    goes_on: bool = False


@dataclass(frozen=True)
class Change:
    """What is different from now on: the minute, what is broken, who is gone, what the log says of whom.

    ``stock``: what is left on the floor.
    """

    now_s: int
    broken: Collection[str]
    gone: Collection[str]
    logged: Mapping[str, Done]
    stock: Mapping[str, int]


def as_it_is(floor: Floor, old: Floor, timetable: Mapping[Key, Placed], change: Change) -> Now:
    """The attendees with what is left of their visits, and what of them is fixed."""
    made = Now([], {}, {}, [], [])
    stopped = must_stop(floor, old, timetable, change.now_s, change.broken)
    for a, person in enumerate(floor.attendees):
        keys = {v: old_key(old, person.name, visit) for v, visit in enumerate(person.visits)}
        placed = {v: timetable[key] for v, key in keys.items() if key is not None}
        was = {v: old.visit(key) for v, key in keys.items() if key is not None}
        stops = {v for v, key in keys.items() if person.name in change.gone or key in stopped}
        if person.name in change.logged:
            lefts = by_log(person, placed, change, stops, was)
        else:
            lefts = [
                left
                for v in range(len(person.visits))
                for left in by_timetable(person, v, placed.get(v), change, v in stops, was.get(v, person.visits[v]))
            ]
        made.dropped += [one.dropped for one in lefts if one.dropped is not None]
        kept = [one for one in lefts if one.visit is not None]
        is_told = person.name in change.logged or any(one.of_another_shape for one in placed.values())
        made.attendees.append(with_lefts(person, kept, is_told))
        for place, one in enumerate(kept):
            if one.fixed is not None:
                made.fixed[(a, place)] = one.fixed
            elif one.before is not None:
                made.before[(a, place)] = one.before
            if one.goes_on:
                made.goes_on.append((a, place))
    return made


def with_lefts(person: Attendee, kept: Sequence[Left], is_logged: bool) -> Attendee:
    """An attendee with what is left; a visit that is partly done is two."""
    gaps: dict[tuple[int, int], int] = {}
    for i, one in enumerate(kept):
        for j, other in enumerate(kept):
            between = person.gaps.get((one.of, other.of))
            if between is None and (
                one.fixed is not None or one.goes_on
            ):  # done before its turn: the change-over is that of the turn
                between = person.gaps.get((other.of, one.of))
            if i != j and one.of == other.of:
                between = max(one.ready_s or 0, other.ready_s or 0)
            if i != j and between is not None:
                gaps[(i, j)] = between
    ready = tuple(person.ready_s[one.of] if one.ready_s is None else one.ready_s for one in kept)
    visits = tuple(one.visit for one in kept if one.visit is not None)
    return replace(person, visits=visits, gaps=gaps, ready_s=ready, is_logged=is_logged)


def by_timetable(
    person: Attendee, v: int, placed: Placed | None, change: Change, stops: bool, was: Visit
) -> list[Left]:
    """One visit as it is now, when the timetable was followed; ``was``: as the timetable had it."""
    visit = person.visits[v]
    if placed is not None and placed.of_another_shape:
        return in_a_new_shape(person.name, v, visit, placed, change, was)
    if placed is not None and has_begun(visit, placed, change.now_s):
        return [begun_visit(person.name, v, visit, placed, change, stops)]
    return [open_visit(person.name, v, visit, placed, change)]


def in_a_new_shape(name: str, v: int, visit: Visit, placed: Placed, change: Change, was: Visit) -> list[Left]:
    """A visit whose shape has changed: the steps that are begun as they were, then the others.

    What was held is held only by a step that is not over.
    """
    begun = [i for i, start in enumerate(placed.starts) if start <= change.now_s]
    if not begun:
        return [open_visit(name, v, visit, None, change)]
    part, numbers = part_of(was, begun)
    held = [(use, placed.things[n]) for use, n in zip(part.uses, numbers, strict=True)]
    held = [(use, thing) for use, thing in held if thing not in change.broken]
    stays = Placed(tuple(placed.starts[i] for i in begun), tuple(thing for _, thing in held))
    found = [Left(v, replace(part, uses=tuple(use for use, _ in held)), fixed=stays)]
    if len(begun) < len(visit.steps):
        left = what_goes_on(name, v, visit, frozenset(begun), replace(placed, things=()), change)
        found.append(replace(left, ready_s=rest_since(visit, begun, placed, change.now_s)))
    return found


def rest_since(visit: Visit, begun: Sequence[int], placed: Placed, now_s: int) -> int:
    """Seconds to the first step that is left, from now or from the end of the step under way, so that no rest is short.

    When each step that is begun ends is known.
    """
    rest = part_of(visit, [i for i in range(len(visit.steps)) if i not in begun])[0]
    longest = 0
    for entry in {visit.steps[i].entry for i in begun}:
        over_s = max(placed.starts[i] + visit.steps[i].work_s for i in begun if visit.steps[i].entry == entry)
        planned = max((one.least_s for one in visit.rests if visit.steps[one.before].entry == entry), default=0)
        soonest = min((step.at_s for step in rest.steps if step.entry == entry), default=planned)
        longest = max(longest, planned - soonest - max(0, now_s - over_s))
    return longest


def by_log(
    person: Attendee,
    placed: Mapping[int, Placed],
    change: Change,
    stops: Collection[int],
    was: Mapping[int, Visit],
) -> list[Left]:
    """Every visit of one whose log is there: what is done, then what is left of it.

    A visit that is where the timetable has it stays as it is.
    """
    done = steps_done(person, placed, change.logged[person.name], change.now_s)
    on_time = not is_behind(person, placed, done, change.now_s)
    begun = {v: frozenset(i for i, start in enumerate(at.starts) if start <= change.now_s) for v, at in placed.items()}
    early = {
        v: {i for i in steps if is_early(person.visits[v], i, placed.get(v), change.logged[person.name], change.now_s)}
        if steps != begun.get(v)
        else set[int]()
        for v, steps in done.items()
    }
    busy = [
        (start, start + person.visits[v].steps[i].work_s)
        for v, at in placed.items()
        for i, start in enumerate(at.starts)
        if i in done[v] - early[v]
    ]
    found: list[Left] = []
    for v, visit in enumerate(person.visits):
        at, steps = placed.get(v), done[v]
        if at is not None and at.of_another_shape and steps == begun[v]:
            found += in_a_new_shape(person.name, v, visit, at, change, was[v])
            continue
        if at is not None and at.of_another_shape:
            at = replace(at, things=()) if steps else None
        if at is not None and not steps and on_time and has_begun(visit, at, change.now_s):
            found.append(begun_visit(person.name, v, visit, at, change, v in stops))
        elif not steps:
            found.append(open_visit(person.name, v, visit, at, change))
        elif at is not None and steps == begun[v]:
            found.append(begun_visit(person.name, v, visit, at, change, v in stops))
        else:
            found.append(what_was_done(v, visit, steps, early[v], at, change.now_s, busy))
            if len(steps) < len(visit.steps):
                found.append(what_goes_on(person.name, v, visit, steps, at, change))
    return found


def is_early(visit: Visit, step: int, placed: Placed | None, done: Done, now_s: int) -> bool:
    """True for a step that is done, and that the timetable has not over yet."""
    if placed is None or step >= len(placed.starts) or placed.starts[step] > now_s:
        return True
    return placed.starts[step] + visit.steps[step].work_s > now_s and is_logged(visit, visit.steps[step], done)


def what_was_done(
    v: int,
    visit: Visit,
    steps: frozenset[int],
    early: Collection[int],
    placed: Placed | None,
    now_s: int,
    busy: list[tuple[int, int]],
) -> Left:
    """The steps that are done, when the timetable had them; those it had not yet, in the last time free before now.

    Where those were done nobody knows: then nothing is held.
    """
    keep = sorted(steps)
    part, numbers = part_of(visit, keep)
    ahead = [i for i in keep if i in early]
    starts = dict(zip(ahead, backwards([visit.steps[i].work_s for i in ahead], now_s, busy), strict=True))
    if placed is not None:
        starts |= {i: placed.starts[i] for i in keep if i not in starts}
    if ahead or placed is None or len(placed.things) < len(visit.uses):
        return Left(v, replace(part, uses=()), fixed=Placed(tuple(starts[i] for i in keep), ()))
    return Left(v, part, fixed=Placed(tuple(starts[i] for i in keep), tuple(placed.things[n] for n in numbers)))


def what_goes_on(
    name: str,
    v: int,
    visit: Visit,
    steps: frozenset[int],
    placed: Placed | None,
    change: Change,
) -> Left:
    """The steps that are still to do: a rest from now, since the last set may just have ended."""
    left = tuple(i for i in range(len(visit.steps)) if i not in steps)
    rest, lost = without_lacking(what_is_left(visit, steps, placed, change.stock), change.stock)
    if name in change.gone or lost:
        return Left(v, None, dropped=Dropped(name, visit, left, () if name in change.gone else lost))
    before = None
    was_planned = placed is not None and left[-1] < len(placed.starts) and not placed.of_another_shape
    if placed is not None and was_planned and len(placed.things) == len(visit.uses):
        numbers = part_of(visit, left)[1]
        before = Placed(tuple(placed.starts[i] for i in left), tuple(placed.things[n] for n in numbers))
    ends = {} if placed is None else {i: at + visit.steps[i].work_s for i, at in enumerate(placed.starts)}
    ready = rest_before(visit, steps, all(ends.get(i, change.now_s + 1) <= change.now_s for i in steps))
    return Left(v, rest, before=before, ready_s=ready, goes_on=not rest.takes_turns)


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


def begun_visit(name: str, v: int, visit: Visit, placed: Placed, change: Change, stops: bool) -> Left:
    """A visit that is done or under way: it stays, or stops after the sets that are begun.

    What an earlier change has cut from it stays cut.
    """
    if len(placed.starts) < len(visit.steps):
        missed = tuple(range(len(placed.starts), len(visit.steps)))
        lacks = without_lacking(visit, change.stock)[1]
        begun, _ = part_of(visit, range(len(placed.starts)))
        begun = replace(begun, uses=uses_of_things(begun.uses, placed.things))
        return Left(v, begun, fixed=placed, dropped=Dropped(name, visit, missed, lacks))
    if len(placed.things) < len(visit.uses):  # done nobody knows where, or on what broke since
        visit = replace(visit, uses=uses_of_things(visit.uses, placed.things))
    if not stops or end_of(visit, placed.starts) <= change.now_s:
        return Left(v, visit, fixed=placed)
    shorter, stays, left = cut(visit, placed, change.now_s, change.broken)
    lost = tuple(thing for thing in placed.things if thing in change.broken)
    return Left(v, shorter, fixed=stays, dropped=Dropped(name, visit, left, lost) if left else None)


def uses_of_things(uses: Sequence[Use], things: Sequence[str]) -> tuple[Use, ...]:
    """The uses that some things were given to, in order; what broke is not held any more."""
    left = iter(uses)
    return tuple(next(use for use in left if thing in use.things) for thing in things)


def open_visit(name: str, v: int, visit: Visit, placed: Placed | None, change: Change) -> Left:
    """A visit that is not begun: it stays open unless its trainee is gone, or something it needs is."""
    able, lost = without_lacking(visit, change.stock)
    is_gone = name in change.gone
    if is_gone or lost:
        return Left(v, None, dropped=Dropped(name, visit, tuple(range(len(visit.steps))), () if is_gone else lost))
    return Left(v, able, before=placed)


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


def going_on(now: Floor, made: Now) -> Floor:
    """The floor with every visit that keeps its stations going on as soon as it can, in the order that was planned."""
    draft = Draft(now)
    fixed = dict(now.fixed)
    for key in sorted(made.goes_on, key=lambda one: (made.before[one].starts[0] if one in made.before else 0, one)):
        found = draft.fit(key)
        if found is not None:
            draft.put(key, found)
            fixed[key] = found
    return replace(now, fixed=fixed)
