"""The values of a floor: steps, rests, uses, visits, who attends, and the whole of it. Times are whole seconds."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from setwright.catalogue.exercise import PartName


@dataclass(frozen=True)
class Step:
    """One set (a drill, or a whole bout): whose entry it is, its number there, how long it takes.

    ``entry``: index into the visit's exercises. ``at_s``: when it starts after the first step of the visit, by the time
    model. ``kind`` is that of the set, or ``bout``.
    """

    entry: int
    number: int
    of: int
    kind: str
    work_s: int
    at_s: int


@dataclass(frozen=True)
class Rest:
    """The time from the end of one step to the start of a later one: its window, s. ``most_s`` None: no longest."""

    before: int
    after: int
    least_s: int
    most_s: int | None


@dataclass(frozen=True)
class Use:
    """``count`` of any one of ``things``, from the first step that needs it to the last, set-up and clearing included.

    ``between``: others may use them in the rests; then it is held for each step by itself, with ``set_up_s`` before.
    ``entries``: whose sets need them, by their place in the visit; in a superset the others only hold them meanwhile.
    """

    things: tuple[str, ...]
    count: int
    first: int
    last: int
    set_up_s: int
    clear_s: int
    between: bool = False
    entries: tuple[int, ...] = ()


@dataclass(frozen=True)
class Visit:
    """One entry, or one superset, from its first set to its last.

    ``rank``: visits of a lower rank come before; those of one rank may be done in any order.
    ``entries``: places of its entries in the session, counted from 0 through all parts.
    ``done_as``: what is done in its stead at some things, as (thing, exercise); only easy minutes of a warm-up have it.
    """

    exercises: tuple[str, ...]
    entries: tuple[int, ...]
    part: PartName
    rank: int
    steps: tuple[Step, ...]
    rests: tuple[Rest, ...]
    uses: tuple[Use, ...]
    done_as: tuple[tuple[str, str], ...] = ()

    def exercise_at(self, entry: int, things: Sequence[str]) -> str:
        """What is done of an entry at the things given: the exercise itself, or what it is at another thing."""
        return next((slug for thing, slug in self.done_as if thing in things), self.exercises[entry])

    @property
    def takes_turns(self) -> bool:
        """True where a station is let in the rests, so that rests may be longer than planned."""
        return any(use.between for use in self.uses)

    @property
    def length_s(self) -> int:
        """Seconds from the first step to the end of the last, with the rests as planned."""
        return max(step.at_s + step.work_s for step in self.steps)


@dataclass(frozen=True)
class Attendee:
    """One who trains in this hour.

    ``gaps``: least seconds from the end of one visit to the start of another, by their indexes, for each pair of which
    the first may come before. ``ready_s``: least seconds from arriving to the first step of each visit.
    ``cap_s``: what there is of time, or None. ``is_logged``: the log says what is done, not the timetable, so that
    nothing of the past tells when the rest can be done.
    """

    name: str
    visits: tuple[Visit, ...]
    gaps: Mapping[tuple[int, int], int]
    ready_s: tuple[int, ...]
    arrives_s: int = 0
    cap_s: int | None = None
    is_logged: bool = False


def with_visits(person: Attendee, kept: Sequence[int], visits: Mapping[int, Visit] | None = None) -> Attendee:
    """An attendee with some of the visits, perhaps changed ones."""
    place = {old: new for new, old in enumerate(kept)}
    return replace(
        person,
        visits=tuple((visits or {}).get(v, person.visits[v]) for v in kept),
        gaps={(place[i], place[j]): gap for (i, j), gap in person.gaps.items() if i in place and j in place},
        ready_s=tuple(person.ready_s[v] for v in kept),
    )


Key = tuple[int, int]  # an attendee's place on the floor, and the visit's place in the attendee's session


@dataclass(frozen=True)
class Placed:
    """A visit in a timetable: when each step starts, s, and the thing each use is given.

    ``of_another_shape``: it was planned otherwise than its session has it now, as before it became a superset; then
    steps that have not begun start NEVER, and the things are only those of a step under way.
    """

    starts: tuple[int, ...]
    things: tuple[str, ...]
    of_another_shape: bool = False


@dataclass(frozen=True)
class Floor:
    """The whole question: who attends, and what there is.

    ``stock`` counts each thing; one that is not in it is never short. ``fixed``: visits that are done or under way. All
    others start at ``now_s`` or later.
    """

    attendees: tuple[Attendee, ...]
    stock: Mapping[str, int]
    fixed: Mapping[Key, Placed] = field(default_factory=dict)
    now_s: int = 0

    @property
    def keys(self) -> list[Key]:
        """Every visit, attendee by attendee."""
        return [(a, v) for a, person in enumerate(self.attendees) for v in range(len(person.visits))]

    def visit(self, key: Key) -> Visit:
        """The visit of a key."""
        return self.attendees[key[0]].visits[key[1]]

    @property
    def horizon_s(self) -> int:
        """Seconds after which everybody is surely done: all visits one after another, rests as long as they may be."""
        late = [self.now_s, *(person.arrives_s for person in self.attendees)]
        late += [placed.starts[-1] + self.visit(key).steps[-1].work_s for key, placed in self.fixed.items()]
        total = sum(
            visit.length_s + sum((rest.most_s or rest.least_s) - rest.least_s for rest in visit.rests)
            for person in self.attendees
            for visit in person.visits
        )
        between = sum(
            len(person.visits) * (max([*person.gaps.values(), *person.ready_s], default=0) + 60)
            for person in self.attendees
        )
        return max(late) + total + between
