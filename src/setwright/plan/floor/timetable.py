"""A timetable: when every step of every visit starts, and what follows from it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from setwright.plan.floor.visit import Attendee, Floor, Key, Placed, Use, Visit

Span = tuple[int, int]  # from, to, s
OVER = 1  # common practice, no published source
Timetable = Mapping[Key, Placed]


def as_planned(visit: Visit, start_s: int) -> tuple[int, ...]:
    """The starts of a visit whose rests are as planned."""
    return tuple(start_s + step.at_s for step in visit.steps)


def end_of(visit: Visit, starts: tuple[int, ...]) -> int:
    """When the last step of a visit ends."""
    return max(start + step.work_s for start, step in zip(starts, visit.steps, strict=True))


def spans_of(visit: Visit, use: Use, starts: tuple[int, ...]) -> list[Span]:
    """From when to when a use holds its thing: once through the rests, or step by step where it is let in them."""
    steps = visit.steps
    inside = range(use.first, use.last + 1)
    if use.between:
        return [(starts[i] - use.set_up_s, starts[i] + steps[i].work_s + use.clear_s) for i in inside]
    return [(starts[use.first] - use.set_up_s, max(starts[i] + steps[i].work_s for i in inside) + use.clear_s)]


def finish_of(floor: Floor, timetable: Timetable, attendee: int) -> int:
    """When one trainee is done; the arrival where there is nothing to do."""
    person = floor.attendees[attendee]
    ends = [end_of(visit, timetable[(attendee, v)].starts) for v, visit in enumerate(person.visits)]
    return max([person.arrives_s, *ends])


def end_s(floor: Floor, timetable: Timetable) -> int:
    """The end of the hour: when the last one is done."""
    return max((finish_of(floor, timetable, a) for a in range(len(floor.attendees))), default=0)


def finishes_s(floor: Floor, timetable: Timetable) -> int:
    """The finishes of all, added up."""
    return sum(finish_of(floor, timetable, a) for a in range(len(floor.attendees)))


def over_s(person: Attendee, finish_s: int) -> int:
    """Seconds that a trainee stays beyond what there is of their time."""
    return 0 if person.cap_s is None else max(0, finish_s - person.arrives_s - person.cap_s)


def points(floor: Floor, timetable: Timetable) -> int:
    """What a timetable is judged by, less is better: the end of the hour for each trainee, and when each is done.

    A second beyond what somebody has counts that much more, so that who has least time is not the one who waits.
    """
    over = sum(over_s(one, finish_of(floor, timetable, a)) for a, one in enumerate(floor.attendees))
    return len(floor.attendees) * end_s(floor, timetable) + finishes_s(floor, timetable) + OVER * over


def held(floor: Floor, timetable: Timetable) -> Iterator[tuple[str, int, Span, Key]]:
    """Everything that is held: thing, count, from when to when, by whose visit."""
    for key, placed in timetable.items():
        visit = floor.visit(key)
        for use, thing in zip(visit.uses, placed.things, strict=True):
            for span in spans_of(visit, use, placed.starts):
                yield thing, use.count, span, key
