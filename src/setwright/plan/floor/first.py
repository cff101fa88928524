"""The first timetable, at once: visits are put in one after another, each as early as it fits.

Serial schedule generation with a priority (Kolisch 1996, for projects with scarce resources; from memory): the next
visit is the one that can start earliest, and of those that start about together the one with the most still to come.
"""

from __future__ import annotations

import heapq
from collections.abc import Mapping, Sequence

from setwright.plan.floor.draft import Draft
from setwright.plan.floor.spans import NEVER
from setwright.plan.floor.timetable import points
from setwright.plan.floor.visit import Floor, Key, Placed

LOOK_AHEAD = (0.3, 0.0, 0.1, 0.6, 1.0, 3.0)  # seconds of start given up for a second that is still to come


def to_come_s(floor: Floor) -> dict[Key, int]:
    """Seconds of work from each visit to the end of the trainee's session: itself, its rank and all after it."""
    return {
        (a, v): sum(other.length_s + 60 for other in person.visits if other.rank >= visit.rank)
        for a, person in enumerate(floor.attendees)
        for v, visit in enumerate(person.visits)
    }


def open_keys(floor: Floor, placed: Mapping[Key, Placed], attendee: int) -> list[Key]:
    """The visits of a trainee that may come next: those of the lowest rank not put in."""
    left = [(attendee, v) for v in range(len(floor.attendees[attendee].visits)) if (attendee, v) not in placed]
    lowest = min((floor.visit(key).rank for key in left), default=0)
    return [key for key in left if floor.visit(key).rank == lowest]


def build(floor: Floor, look_ahead: float) -> dict[Key, Placed] | None:
    """A timetable by one priority; None where some visit can never be placed.

    Starts only get later as things are taken, so a priority is worked out anew only when its turn seems to have come.
    """
    draft, to_come = Draft(floor), to_come_s(floor)
    queue: list[tuple[float, Key, int]] = []
    rounds = [0] * len(floor.attendees)

    def offer(attendee: int) -> None:
        for key in open_keys(floor, draft.placed, attendee):
            heapq.heappush(queue, (-NEVER, key, rounds[attendee]))

    for a in range(len(floor.attendees)):
        offer(a)
    while queue:
        priority, key, number = heapq.heappop(queue)
        if key in draft.placed or number != rounds[key[0]]:
            continue
        found = draft.fit(key)
        if found is None:
            return None
        now = found.starts[0] - look_ahead * to_come[key]
        if now > priority + 1e-9 and queue and (now, key) > (queue[0][0], queue[0][1]):
            heapq.heappush(queue, (now, key, number))
            continue
        draft.put(key, found)
        rounds[key[0]] += 1
        offer(key[0])
    return draft.placed


def by_order(floor: Floor, order: Sequence[Key]) -> dict[Key, Placed] | None:
    """A timetable that puts visits in by a given order, each as early as it fits."""
    draft = Draft(floor)
    for key in order:
        if key not in draft.placed:
            found = draft.fit(key)
            if found is None:
                return None
            draft.put(key, found)
    return draft.placed


def order_of(timetable: Mapping[Key, Placed]) -> list[Key]:
    """The visits of a timetable by their starts."""
    return sorted(timetable, key=lambda key: (timetable[key].starts[0], key))


def first_timetable(floor: Floor, look_ahead: Sequence[float] = LOOK_AHEAD) -> dict[Key, Placed] | None:
    """The best of some priorities; None where some visit needs more than there is."""
    best: dict[Key, Placed] | None = None
    for one in look_ahead:
        found = build(floor, one)
        if found is not None and (best is None or points(floor, found) < points(floor, best)):
            best = found
    return best
