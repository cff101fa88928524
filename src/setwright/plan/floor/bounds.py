"""What no timetable can beat: each trainee alone, and the load of each station over its places."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby

from setwright.plan.floor.timetable import as_planned, end_of, spans_of
from setwright.plan.floor.visit import Attendee, Floor, Use, Visit, with_visits

MOST_IN_ANY_ORDER = 9  # beyond this many of one rank the change-overs between them are taken at their shortest


@dataclass(frozen=True)
class Bounds:
    """The simple bound of the end of the hour. ``thing``: the station with the most work for its places, if any."""

    longest_s: int
    who: str
    load_s: int
    thing: str

    @property
    def end_s(self) -> int:
        """The greater of the two."""
        return max(self.longest_s, self.load_s)


@lru_cache(maxsize=1024)
def alone_of(visits: tuple[Visit, ...], gaps: tuple[tuple[tuple[int, int], int], ...], ready: tuple[int, ...]) -> int:
    """See ``alone_s``."""
    gap = dict(gaps)
    ways: dict[int | None, int] = {None: 0}  # by the visit that came last: the earliest end
    for _, same in groupby(range(len(visits)), key=lambda v: visits[v].rank):
        ways = after_rank(tuple(same), ways, visits, gap, ready)
    return min(ways.values())


def after_rank(
    these: tuple[int, ...],
    ways: dict[int | None, int],
    visits: tuple[Visit, ...],
    gap: dict[tuple[int, int], int],
    ready: tuple[int, ...],
) -> dict[int | None, int]:
    """The earliest ends after the visits of one rank, by the last of them: all orders, subset by subset."""

    def add(last: int | None, end: int, v: int) -> int:
        start = ready[v] if last is None else max(end + gap[(last, v)], ready[v])
        return start + visits[v].length_s

    if len(these) > MOST_IN_ANY_ORDER:
        least = min(gap[(i, j)] for i in these for j in these if i != j)
        first = min(add(last, end, v) - visits[v].length_s for last, end in ways.items() for v in these)
        total = first + sum(visits[v].length_s for v in these) + least * (len(these) - 1)
        return dict.fromkeys(these, total)
    best: dict[tuple[frozenset[int], int], int] = {}
    for v in these:
        best[(frozenset({v}), v)] = min(add(last, end, v) for last, end in ways.items())
    for _ in range(len(these) - 1):
        longer: dict[tuple[frozenset[int], int], int] = {}
        for (done, last), end in best.items():
            for v in these:
                if v not in done:
                    key = (done | {v}, v)
                    longer[key] = min(longer.get(key, 10**9), add(last, end, v))
        best = longer
    return {last: end for (_, last), end in best.items()}


def alone_s(person: Attendee) -> int:
    """Seconds that a trainee takes alone, from arriving to the end, in the shortest order that is allowed."""
    if not person.visits:
        return 0
    return alone_of(person.visits, tuple(sorted(person.gaps.items())), person.ready_s)


def soonest_s(floor: Floor, attendee: int) -> int:
    """When one trainee is done at the earliest, were nothing ever short.

    Where the log says what is done, only what is left counts, from now on.
    """
    person = floor.attendees[attendee]
    if not person.is_logged:
        return person.arrives_s + alone_s(person)
    stays = {v: floor.fixed[(attendee, v)] for v in range(len(person.visits)) if (attendee, v) in floor.fixed}
    left = [v for v in range(len(person.visits)) if v not in stays]
    done = max((end_of(person.visits[v], placed.starts) for v, placed in stays.items()), default=person.arrives_s)
    return max(done, max(person.arrives_s, floor.now_s) + alone_s(with_visits(person, left))) if left else done


def load_of(visit: Visit, use: Use) -> int:
    """Seconds that a use holds one thing at least, times how many it takes."""
    spans = spans_of(visit, use, as_planned(visit, 0))
    return use.count * sum(to_s - from_s for from_s, to_s in spans)


def loads(floor: Floor) -> dict[frozenset[str], int]:
    """Seconds of work for each set of things that serve alike: of everything that must be done on one of them.

    Where a log says what is done, only of what is left.
    """
    asked: dict[frozenset[str], int] = {}
    for key in floor.keys:
        if key in floor.fixed and has_log(floor):
            continue
        visit = floor.visit(key)
        for use in visit.uses:
            if use.things and all(thing in floor.stock for thing in use.things):
                things = frozenset(use.things)
                asked[things] = asked.get(things, 0) + load_of(visit, use)
    return {wide: sum(load for narrow, load in asked.items() if narrow <= wide) for wide in asked}


def has_log(floor: Floor) -> bool:
    """True where of somebody the log says what is done."""
    return any(person.is_logged for person in floor.attendees)


def places_of(floor: Floor, things: Collection[str]) -> int:
    """How many there are of some things together."""
    return sum(floor.stock[thing] for thing in things)


def simple_bound(floor: Floor) -> Bounds:
    """The longest trainee alone, from arriving; and the greatest load of a station over its places."""
    longest = max(((soonest_s(floor, a), one.name) for a, one in enumerate(floor.attendees)), default=(0, ""))
    since = floor.now_s if has_log(floor) else 0
    by_load = [
        (since - (-load // places_of(floor, things)), min(sorted(things)))
        for things, load in loads(floor).items()
        if places_of(floor, things)
    ]
    load_s, thing = max(by_load, default=(0, ""))
    return Bounds(longest[0], longest[1], load_s, thing)
