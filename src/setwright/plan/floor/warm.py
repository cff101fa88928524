"""Nobody gets cold: warm-ups as late as they can be, so that who has to wait waits before them and not after."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from setwright.plan.floor.draft import Draft, ways
from setwright.plan.floor.easy import ON_FOOT
from setwright.plan.floor.spans import latest, outside
from setwright.plan.floor.timetable import as_planned
from setwright.plan.floor.visit import Floor, Key, Placed


def kept_warm(floor: Floor, timetable: Mapping[Key, Placed]) -> Mapping[Key, Placed]:
    """The timetable with every warm-up that is not begun as late as the rest allows; nothing else moves.

    At other things alike where that is later and leaves room for all, else at those it has.
    """
    try:
        return moved_late(floor, timetable, True)
    except LookupError:
        return moved_late(floor, timetable, False)


def moved_late(floor: Floor, timetable: Mapping[Key, Placed], anywhere: bool) -> Mapping[Key, Placed]:
    """The last warm-up first: at its own things, those before it stay free to be where they were.

    Raises LookupError where, at other things, one takes the room of another.
    """
    movable = [key for key in timetable if key not in floor.fixed and floor.visit(key).part == "warm-up"]
    stays = {key: placed for key, placed in timetable.items() if key not in movable}
    draft = Draft(replace(floor, fixed=stays))
    for key in sorted(movable, key=lambda one: (timetable[one].starts[0], one), reverse=True):
        own = timetable[key].things
        options = [own, *(one for one in ways(floor.visit(key), floor) if one != own)] if anywhere else [own]
        draft.put(key, as_late_as_can_be(floor, timetable, draft, key, options, anywhere))
    return {key: draft.placed[key] for key in timetable}


def as_late_as_can_be(
    floor: Floor,
    timetable: Mapping[Key, Placed],
    draft: Draft,
    key: Key,
    options: Sequence[tuple[str, ...]],
    anywhere: bool,
) -> Placed:
    """One warm-up before all that comes after it, no earlier than it was; at the first of the latest options.

    Nobody goes on foot whose machine is free.
    """
    visit, start, gaps = floor.visit(key), timetable[key].starts[0], floor.attendees[key[0]].gaps
    after = [
        placed.starts[0] - gaps.get((key[1], v), 0) - visit.length_s
        for (a, v), placed in draft.placed.items()
        if a == key[0] and timetable[(a, v)].starts[0] > start
    ]
    last = max(start, min(after, default=start))
    found: list[Placed] = []
    for things in options:
        free = outside(draft.barred(visit, things, None), start)
        if free and free[0][0] <= last:
            found.append(Placed(as_planned(visit, latest(free, start, last)), things))
    if not found and anywhere:
        raise LookupError(f"no room left for {visit.exercises}")
    if not found:  # a draft counts two uses of one thing together, the solver each by itself
        return timetable[key]
    return max(found, key=lambda one: (one.starts[0], ON_FOOT not in one.things))
