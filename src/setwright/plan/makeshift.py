"""A block without a search: every wish on the days where it has room, and the shortest exercise where none stands.

The last resort, so that a coach is never left without a block that could be had: what the time model says has room,
stands, and nothing else does. Its gap is large and stated.
"""

from __future__ import annotations

from collections import Counter
from math import inf

from setwright.plan.conflict import Packed
from setwright.plan.posing import Posed
from setwright.plan.search.problem import Plan, Problem, Spot
from setwright.plan.search.run import capped
from setwright.plan.search.solve import Solution, lowest_bound
from setwright.plan.search.worth import sets_range, total_points
from setwright.plan.trial import LEAST_SETS, Room, Trial


def makeshift(posed: Posed, room: Room, trial: Trial, packed: Packed) -> Solution:
    """The wishes of a trial where they were packed, as a solution with the bound of the linear relaxation."""
    plan = plan_of_wishes(posed, room, trial, packed)
    points = total_points(posed.problem, plan)
    least = lowest_bound(posed.problem)
    bound = 0 if least == inf else min(points, capped(least))
    return Solution(plan, points, bound, 0.0, 0, is_makeshift=True)


def plan_of_wishes(posed: Posed, room: Room, trial: Trial, packed: Packed) -> Plan:
    """The wishes of each day with the sets wished, and on a day without one its shortest exercise with two sets."""
    number = {one.slug: index for index, one in enumerate(posed.candidates)}
    used: Counter[str] = Counter()
    days = []
    for day, keys in zip(room.search.days, packed.days, strict=True):
        slugs = sorted(keys)
        if not slugs:
            open_ones = [one.slug for one in room.shortest(trial, day) if one.slug in number]
            slugs = [min(open_ones, key=lambda slug: (used[slug], room.minutes_alone(trial, day, slug)))]
            used[slugs[0]] += 1
        days.append(tuple(Spot(number[slug], sets_by_week(posed.problem, number[slug])) for slug in slugs))
    return Plan(tuple(days))


def sets_by_week(problem: Problem, item: int) -> tuple[int, ...]:
    """Sets of an item in each week: those wished, or two; one on the way back, its share in an easy week."""
    one = problem.items[item]
    top = min(one.sets[1] if one.fixed else LEAST_SETS, sets_range(problem, item, problem.hardest)[1])
    found = []
    for week, kind in enumerate(problem.weeks):
        low, high = sets_range(problem, item, week)
        wanted = {"build": top, "return": 1, "easy": max(1, kind.share * top // 100)}[kind.sort]
        found.append(top if week == problem.hardest else max(low, min(high, wanted)))
    return tuple(found)
