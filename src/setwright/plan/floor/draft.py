"""A timetable in the making: what is put in, what is left of each thing, and the earliest that a visit fits.

A visit is one or more *blocks* that start when they like inside the windows of the rests between them: a visit whose
stations are held throughout is a single block, one that lets its station in the rests has a block for each step. The
earliest end is exact: the starts that a block may have are carried forward as sets of seconds (``spans``).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import product

from setwright.plan.floor.spans import NEVER, Spans, common, latest, merged, moved, outside
from setwright.plan.floor.timetable import as_planned, end_of, spans_of
from setwright.plan.floor.visit import Floor, Key, Placed, Use, Visit

MOST_WAYS = 24  # of choosing things for the uses of one visit


@dataclass
class Calendar:
    """What is taken of one thing: (from, to, count)."""

    count: int
    taken: list[tuple[int, int, int]] = field(default_factory=list)
    known: dict[int, Spans] = field(default_factory=dict)

    def short(self, count: int) -> Spans:
        """When less than ``count`` are left, as (from, to) with ``to`` not included."""
        if count not in self.known:
            self.known[count] = self.worked_out(self.count - count)
        return self.known[count]

    def worked_out(self, room: int) -> Spans:
        """When more than ``room`` are taken."""
        if self.count == 1:
            return sorted((from_s, to_s) for from_s, to_s, _ in self.taken)
        events: Counter[int] = Counter()
        for from_s, to_s, number in self.taken:
            events[from_s] += number
            events[to_s] -= number
        found: Spans = []
        level, since = 0, None
        for at in sorted(events):
            level += events[at]
            if level > room and since is None:
                since = at
            elif level <= room and since is not None:
                found.append((since, at))
                since = None
        return found

    def take(self, from_s: int, to_s: int, count: int) -> None:
        """Takes some."""
        self.taken.append((from_s, to_s, count))
        self.known.clear()


class Draft:
    """What is put in so far."""

    def __init__(self, floor: Floor) -> None:
        self.floor = floor
        self.calendars = {thing: Calendar(count) for thing, count in floor.stock.items()}
        self.placed: dict[Key, Placed] = {}
        self.ends: list[dict[int, int]] = [{} for _ in floor.attendees]
        for key, placed in floor.fixed.items():
            self.put(key, placed)

    def put(self, key: Key, placed: Placed) -> None:
        """Puts a visit in."""
        visit = self.floor.visit(key)
        self.placed[key] = placed
        self.ends[key[0]][key[1]] = end_of(visit, placed.starts)
        for use, thing in zip(visit.uses, placed.things, strict=True):
            if thing in self.calendars:
                for from_s, to_s in spans_of(visit, use, placed.starts):
                    self.calendars[thing].take(from_s, to_s, use.count)

    def ready_s(self, key: Key) -> int:
        """The earliest start by arrival, by now, and by the change-over from what is put in before."""
        person = self.floor.attendees[key[0]]
        ready = max(person.arrives_s, self.floor.now_s) + person.ready_s[key[1]]
        return max([ready, *(end + person.gaps[(v, key[1])] for v, end in self.ends[key[0]].items())])

    def fit(self, key: Key) -> Placed | None:
        """The earliest end of a visit after what is put in; None where it never fits."""
        visit, ready = self.floor.visit(key), self.ready_s(key)
        best: Placed | None = None
        for things in ways(visit, self.floor):
            starts = self.starts_with(visit, things, ready)
            if starts is not None and (best is None or end_of(visit, starts) < end_of(visit, best.starts)):
                best = Placed(starts, things)
        return best

    def starts_with(self, visit: Visit, things: Sequence[str], ready: int) -> tuple[int, ...] | None:
        """The starts with the earliest end, and of those the shortest rests, at given things."""
        if not visit.takes_turns:
            found = outside(self.barred(visit, things, None), ready)
            return as_planned(visit, found[0][0]) if found[0][0] < NEVER else None
        reachable: list[Spans] = []
        for i in range(len(visit.steps)):
            free = outside(self.barred(visit, things, i), ready)
            if i:
                rest, work = visit.rests[i - 1], visit.steps[i - 1].work_s
                most = None if rest.most_s is None else work + rest.most_s
                free = common(free, moved(reachable[-1], work + rest.least_s, most))
            if not free or free[0][0] >= NEVER:
                return None
            reachable.append(free)
        return traced(visit, reachable)

    def barred(self, visit: Visit, things: Sequence[str], step: int | None) -> Spans:
        """Starts of a visit (``step`` None) or of one of its steps at which something it needs is short."""
        found: list[tuple[int, int]] = []
        zero = as_planned(visit, 0)
        taken: Counter[str] = Counter()  # two uses of one visit may take of the same thing
        for use, thing in zip(visit.uses, things, strict=True):
            taken[thing] += use.count
        for use, thing in zip(visit.uses, things, strict=True):
            calendar = self.calendars.get(thing)
            if calendar is None or (step is not None and not use.first <= step <= use.last):
                continue
            if taken[thing] > calendar.count:
                return [(-NEVER, NEVER)]
            if step is None:
                spans = spans_of(visit, use, zero)
            else:
                spans = [(-use.set_up_s, visit.steps[step].work_s + use.clear_s)]
            short = calendar.short(taken[thing])
            found += [(a - to_s + 1, b - from_s - 1) for from_s, to_s in spans for a, b in short]
        return merged(found)


def traced(visit: Visit, reachable: Sequence[Spans]) -> tuple[int, ...]:
    """From the earliest last start back: each step as late as the one after it allows."""
    starts = [reachable[-1][0][0]]
    for i in range(len(visit.steps) - 2, -1, -1):
        rest, work = visit.rests[i], visit.steps[i].work_s
        first = -NEVER if rest.most_s is None else starts[0] - work - rest.most_s
        starts.insert(0, latest(reachable[i], first, starts[0] - work - rest.least_s))
    return tuple(starts)


def ways(visit: Visit, floor: Floor) -> list[tuple[str, ...]]:
    """The ways of choosing a thing for each use, the usual ones first, that take no more than there is."""
    found: list[tuple[str, ...]] = []
    for things in product(*(use.things for use in visit.uses)):
        if are_enough(visit.uses, things, floor):
            found.append(things)
        if len(found) == MOST_WAYS:
            break
    return found


def are_enough(uses: Sequence[Use], things: Sequence[str], floor: Floor) -> bool:
    """True when the uses of one visit together take no more of a thing than there is."""
    taken: Counter[str] = Counter()
    for use, thing in zip(uses, things, strict=True):
        taken[thing] += use.count
    return all(count <= floor.stock[thing] for thing, count in taken.items() if thing in floor.stock)
