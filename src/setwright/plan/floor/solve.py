"""The best timetable: from the first one on, a few trainees at a time, then all together with proof or a stated gap.

What is minimised is the end of the hour for everybody, when each one is done, and what goes beyond the time of each
(``points``): the end alone leaves needless waiting. The end has a bound of its own, so that a coach reads what no
timetable can beat.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from setwright.plan.floor.bounds import simple_bound, soonest_s
from setwright.plan.floor.first import LOOK_AHEAD, by_order, first_timetable, order_of
from setwright.plan.floor.model import Answer, ask, hint, modelled
from setwright.plan.floor.timetable import OVER, end_s, finish_of, over_s, points
from setwright.plan.floor.visit import Floor, Key, Placed
from setwright.plan.floor.warm import kept_warm

FEW = (3, 5)  # trainees whose visits are set free at a time; more of them when fewer help no longer
PATIENCE = 12  # rounds in vain before more are set free, or the rounds end
LIMIT_OF_A_ROUND = 0.05


@dataclass(frozen=True)
class Effort:
    """Deterministic seconds for the rounds, for the bound of the end, and for the whole; 0 leaves that out.

    ``before``, ``after``: the most rounds before and after the question for the end; the deterministic seconds of a
    small question say little of what it takes to put it.
    """

    rounds: float = 0.8
    end: float = 0.15
    whole: float = 0.15
    before: int = 1000
    after: int = 1000


USUAL = Effort()


@dataclass(frozen=True)
class Solved:
    """A timetable and how good it is known to be.

    ``bound_s``: no timetable ends earlier. ``points``, ``points_bound``: the end for everybody and the finishes of all,
    added up, s; no timetable has fewer than the bound. ``optimal`` where both meet, else ``feasible``.
    """

    timetable: Mapping[Key, Placed]
    status: Literal["optimal", "feasible"]
    end_s: int
    bound_s: int
    points: int
    points_bound: int
    fuse_blown: bool = False


def least_points(floor: Floor) -> int:
    """No timetable has fewer: everybody as alone, and the end by the simple bound."""
    alone = [soonest_s(floor, a) for a in range(len(floor.attendees))]
    over = sum(over_s(one, at) for one, at in zip(floor.attendees, alone, strict=True))
    return len(floor.attendees) * simple_bound(floor).end_s + sum(alone) + OVER * over


def best(floor: Floor, *found: Mapping[Key, Placed] | None) -> Mapping[Key, Placed]:
    """The timetable with the fewest points, the first of equals."""
    return min((one for one in found if one is not None), key=lambda one: points(floor, one))


def packed(floor: Floor, timetable: Mapping[Key, Placed]) -> Mapping[Key, Placed]:
    """The same order with everything as early as it fits, where that is no worse."""
    return best(floor, by_order(floor, order_of(timetable)), timetable)


def in_rounds(floor: Floor, timetable: Mapping[Key, Placed], budget: float, most: int = 1000) -> Mapping[Key, Placed]:
    """A better timetable by setting a few trainees free at a time while all others stay.

    Large neighbourhood search (Shaw 1998, from memory): every second round frees the one who is done last. A group no
    larger than a round is asked about once, all together. Who has nothing left to move is never set free.
    """
    chance = np.random.default_rng(0)
    open_ones = sorted({key[0] for key in floor.keys if key not in floor.fixed})
    people, spent, vain, size, number = len(open_ones), 0.0, 0, 0, 0
    least, tried = least_points(floor), set[frozenset[int]]()
    if 0 < people <= FEW[0] and most and points(floor, timetable) > least:
        found = with_free(floor, timetable, frozenset(open_ones)).timetable
        return timetable if found is None else best(floor, timetable, packed(floor, found))
    while spent < budget and number < most and points(floor, timetable) > least and people > FEW[0]:
        finishes = {a: finish_of(floor, timetable, a) for a in open_ones}
        late = max(open_ones, key=lambda a: (finishes[a], -a))
        first = late if number % 2 == 0 else open_ones[int(chance.integers(people))]
        others = [open_ones[int(i)] for i in chance.permutation(people) if open_ones[int(i)] != first]
        free = frozenset({first, *others[: FEW[size] - 1]})
        number, vain = number + 1, vain + 1
        if free not in tried:
            tried.add(free)
            answer = with_free(floor, timetable, free)
            spent += answer.spent + 0.001
            if answer.timetable is not None and points(floor, answer.timetable) < points(floor, timetable):
                timetable, vain, tried = packed(floor, answer.timetable), 0, set()
        if vain >= PATIENCE:
            size, vain = size + 1, 0
            if size == len(FEW) or people <= FEW[size - 1]:
                break
    return timetable


def with_free(floor: Floor, timetable: Mapping[Key, Placed], free: frozenset[int]) -> Answer:
    """The best timetable in which only some trainees differ."""
    others = {key: placed for key, placed in timetable.items() if key[0] not in free}
    part = replace(floor, fixed={**floor.fixed, **others})
    made = modelled(part, end_s(floor, timetable))
    hint(made, part, timetable)
    return ask(made, part, made.points, LIMIT_OF_A_ROUND)


def solve_floor(floor: Floor, first: Mapping[Key, Placed] | None = None, effort: Effort = USUAL) -> Solved | None:
    """The best timetable found, and what is proven of it; None where some visit needs more than there is."""
    usual = (
        LOOK_AHEAD if effort.rounds else LOOK_AHEAD[:1]
    )  # an answer at once tries the priority that is best most often
    start = first if first is not None else first_timetable(floor, usual)
    if start is None:
        return None
    timetable = in_rounds(floor, start, effort.rounds / 2, effort.before)
    people = len(floor.attendees)
    bound_s, points_bound, fuse_blown = simple_bound(floor).end_s, least_points(floor), False
    if effort.end and end_s(floor, timetable) > bound_s:
        made = modelled(floor, end_s(floor, timetable))
        hint(made, floor, timetable)
        answer = ask(made, floor, made.end, effort.end)
        bound_s, fuse_blown = max(bound_s, answer.bound), answer.fuse_blown
        if answer.timetable is not None:
            timetable = best(floor, timetable, packed(floor, answer.timetable))
        points_bound = max(points_bound, people * (bound_s - simple_bound(floor).end_s) + least_points(floor))
        timetable = in_rounds(floor, timetable, effort.rounds / 2, effort.after)
    if effort.whole and points(floor, timetable) > points_bound:
        made = modelled(floor, floor.horizon_s if floor.fixed else points(floor, timetable) // people)
        hint(made, floor, timetable)
        answer = ask(made, floor, made.points, effort.whole)
        points_bound, fuse_blown = max(points_bound, answer.bound), fuse_blown or answer.fuse_blown
        if answer.timetable is not None:
            timetable = best(floor, timetable, packed(floor, answer.timetable))
    total, timetable = points(floor, timetable), kept_warm(floor, timetable)
    status: Literal["optimal", "feasible"] = "optimal" if total <= points_bound else "feasible"
    return Solved(timetable, status, end_s(floor, timetable), bound_s, total, points_bound, fuse_blown)


def waits_s(floor: Floor, timetable: Mapping[Key, Placed]) -> list[int]:
    """Seconds that each trainee waits: what the session takes longer than alone."""
    return [finish_of(floor, timetable, a) - soonest_s(floor, a) for a in range(len(floor.attendees))]
