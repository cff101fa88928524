"""What scarcity costs: the end with all one could want against the real one, one more of a thing, one exchange."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from setwright.plan.floor.bounds import loads, soonest_s
from setwright.plan.floor.first import by_order, order_of
from setwright.plan.floor.solve import best, in_rounds
from setwright.plan.floor.timetable import end_s, finishes_s, points
from setwright.plan.floor.visit import Attendee, Floor, Key, Placed

TRIED = 4  # things, and exchanges, that look best and are worked out
LIMIT = 0.05  # deterministic seconds of the search for each


@dataclass(frozen=True)
class OneMore:
    """With one more of a thing: the end found, and the seconds it saves at the end and in waiting, all together."""

    thing: str
    end_s: int
    saves_s: int
    waits_saved_s: int


@dataclass(frozen=True)
class Offer:
    """One exchange that may be asked for: whose entry, what would stand in, and the attendee with it."""

    attendee: int
    entry: int
    exercise: str
    instead: str
    kept: str
    lost: str
    person: Attendee


@dataclass(frozen=True)
class Exchange:
    """What one exchange saves: the end found with it, and seconds at the end and in waiting, all together."""

    offer: Offer
    end_s: int
    saves_s: int
    waits_saved_s: int


def unlimited_end_s(floor: Floor) -> int:
    """The end where nobody ever waits for anything."""
    return max((soonest_s(floor, a) for a in range(len(floor.attendees))), default=0)


def gained(
    floor: Floor, timetable: Mapping[Key, Placed], other: Floor, new: Mapping[Key, Placed]
) -> tuple[int, int, int]:
    """(end, seconds saved at the end, waiting saved by all) of another floor against this one."""
    end = end_s(other, new)
    return end, end_s(floor, timetable) - end, waiting(floor, timetable) - waiting(other, new)


def waiting(floor: Floor, timetable: Mapping[Key, Placed]) -> int:
    """Seconds waited by all."""
    alone = sum(soonest_s(floor, a) for a in range(len(floor.attendees)))
    return finishes_s(floor, timetable) - alone


def from_order(floor: Floor, timetable: Mapping[Key, Placed], was: Floor) -> Mapping[Key, Placed] | None:
    """A timetable in the order of that of another floor, visits known by their entries; every rank in its turn."""
    at: dict[tuple[int, int], int] = {}  # attendee and entry: where it stands in the old order
    for place, key in enumerate(order_of(timetable)):
        at |= {(key[0], entry): place for entry in was.visit(key).entries}
    last = len(timetable)
    places = {key: min(at.get((key[0], entry), last) for entry in floor.visit(key).entries) for key in floor.keys}
    listed = sorted(floor.keys, key=lambda key: (places[key], key))
    own = {
        a: iter(
            sorted((key for key in listed if key[0] == a), key=lambda key: (floor.visit(key).rank, places[key], key))
        )
        for a in range(len(floor.attendees))
    }
    return by_order(floor, [next(own[key[0]]) for key in listed])


def one_more(floor: Floor, timetable: Mapping[Key, Placed]) -> list[OneMore]:
    """What one more of a busy thing would save, the most first; only what saves something."""
    busy = sorted(loads(floor).items(), key=lambda one: -one[1] / max(1, sum(floor.stock[t] for t in one[0])))
    things = list(dict.fromkeys(sorted(one[0])[0] for one in busy))[: 2 * TRIED]
    tried = []
    for thing in things:
        more = replace(floor, stock={**floor.stock, thing: floor.stock[thing] + 1})
        start = from_order(more, timetable, floor)
        tried.append((points(more, start) if start else 10**9, thing, more, start))
    found = []
    for _, thing, more, start in sorted(tried, key=lambda one: one[:2])[:TRIED]:
        new = in_rounds(more, best(more, start, timetable), LIMIT)
        end, saves, waits = gained(floor, timetable, more, new)
        if saves >= 60 or waits >= 60:
            found.append(OneMore(thing, end, saves, waits))
    return sorted(found, key=lambda one: (-one.saves_s, -one.waits_saved_s, one.thing))


def best_exchange(floor: Floor, timetable: Mapping[Key, Placed], offers: Sequence[Offer]) -> Exchange | None:
    """The one exchange that saves most at the end, then in waiting; None where none saves a minute.

    The others' sessions stay as they are. Those that look best by the old order are worked out by a short search.
    """
    tried = []
    for number, offer in enumerate(offers):
        attendees = list(floor.attendees)
        attendees[offer.attendee] = offer.person
        other = replace(floor, attendees=tuple(attendees))
        start = from_order(other, timetable, floor)
        if start is not None:
            tried.append((points(other, start), number, other, start))
    found: list[Exchange] = []
    for _, number, other, start in sorted(tried, key=lambda one: one[:2])[:TRIED]:
        end, saves, waits = gained(floor, timetable, other, in_rounds(other, start, LIMIT))
        if saves >= 60 or (saves >= 0 and waits >= 60):
            found.append(Exchange(offers[number], end, saves, waits))
    return min(found, key=lambda one: (-one.saves_s, -one.waits_saved_s, one.offer.instead), default=None)
