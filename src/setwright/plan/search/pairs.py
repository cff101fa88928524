"""Which entries of a day share their rests: the fewest pairs with which the day fits, found exactly."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from setwright.plan.search.problem import Plan, Problem, Spot
from setwright.plan.search.worth import seconds_of


def may_join(problem: Problem, a: int, b: int) -> bool:
    """True when two items can be a pair."""
    one, other = problem.items[a], problem.items[b]
    return one.may_pair and other.may_pair and not one.cliques & other.cliques


def matchings(problem: Problem, items: Sequence[int], pairs: int) -> Iterator[tuple[tuple[int, int], ...]]:
    """All ways to join exactly ``pairs`` pairs among some items, in the order of the items."""
    if pairs == 0:
        yield ()
        return
    for index, first in enumerate(items):
        rest = items[index + 1 :]
        for other in rest:
            if may_join(problem, first, other):
                for more in matchings(problem, [one for one in rest if one != other], pairs - 1):
                    yield ((first, other), *more)


def join_day(problem: Problem, day: Sequence[Spot], seconds: int) -> tuple[Spot, ...] | None:
    """The spots of a day with the fewest pairs that make it fit its seconds, or None where none do.

    Among equally few pairs the one that saves most wins, then the first.
    """
    able = [spot.item for spot in day if problem.items[spot.item].may_pair and problem.items[spot.item].saved_s > 0]
    week = problem.hardest
    for pairs in range(len(able) // 2 + 1):
        best: tuple[int, tuple[Spot, ...]] | None = None
        for joined in matchings(problem, able, pairs):
            partner = dict(joined) | {b: a for a, b in joined}
            made = tuple(replace(spot, partner=partner.get(spot.item, -1)) for spot in day)
            spent = seconds_of(problem, made, week)
            if spent <= seconds and (best is None or spent < best[0]):
                best = (spent, made)
        if best is not None:
            return best[1]
    return None


def join_pairs(problem: Problem, plan: Plan) -> tuple[Plan | None, tuple[int, ...]]:
    """The plan with its pairs joined, or None with the items of the first day that no pairs make fit."""
    days = []
    for day, room in zip(plan.days, problem.seconds, strict=True):
        joined = join_day(problem, day, room)
        if joined is None:
            return None, tuple(spot.item for spot in day)
        days.append(joined)
    return Plan(tuple(days)), ()
