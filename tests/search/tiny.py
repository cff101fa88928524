"""Invented tiny problems with every kind of row in them, and a count of all plans: a referee without a solver."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import combinations, product

import numpy as np

from setwright.plan.search.pairs import matchings
from setwright.plan.search.problem import (
    Apart,
    Group,
    Item,
    Need,
    Plan,
    Problem,
    Share,
    Spot,
    Together,
    Week,
    Wish,
)
from setwright.plan.search.worth import broken_by_weeks, broken_limits, sets_range, total_points


def tiny(seed: int) -> Problem:
    """Three items, two days, two or three weeks; what is drawn differs by the seed."""
    rng = np.random.default_rng(seed)
    weeks = (Week("build", 75), Week("build", 100), Week("easy", 55))[: 2 + (seed % 4 == 1)]
    if seed % 5 == 4:
        weeks = (Week("return", 60), Week("build", 100))
    items = []
    for number in range(3):
        credits = {need: int(rng.integers(0, 3)) for need in range(2)}
        credits[number % 2] = 2
        items.append(
            Item(
                key=f"item {number}",
                credits={need: value for need, value in credits.items() if value},
                set_s=int(rng.integers(90, 200)),
                once_s=int(rng.integers(0, 60)),
                saved_s=int(rng.integers(0, 60)),
                cost=int(rng.integers(0, 6)),
                entry_cost=int(rng.integers(0, 3)),
                station=int(rng.integers(0, 2)) if seed % 3 == 0 else -1,
                days=(0, 1) if number or seed % 4 else (0,),
                times=(2, 2) if number == 1 and seed % 3 == 1 else (0, 1 + int(number == 2)),
                sets=(2, 3),
                fixed=number == 1 and seed % 2 == 0,
                cliques=frozenset({f"muscle {int(rng.integers(0, 3))}"}),
                may_pair=number != 1,
                kin="one kind" if number != 1 and seed % 2 == 0 else "",
                marks=frozenset({"big"} if number % 2 else {"goal", "big"} if seed % 2 and number == 0 else ()),
            )
        )
    needs = tuple(
        Need(
            name=f"need {number}",
            target=int(rng.integers(4, 16)),
            least=4,
            most=14,
            band=1,
            under=3,
            over=1,
            below=2,
            beyond=4,
            once=5,
            leap=2,
            given=tuple(int(one) for one in rng.integers(0, 3, size=len(weeks))) if seed % 2 else (),
            session=(3, 2) if seed % 3 == 1 and number else None,
            apart=Apart(4, ((0, 1),), 7) if seed % 5 in (1, 2) and number else None,
        )
        for number in range(2)
    )
    return Problem(
        items=tuple(items),
        needs=needs,
        weeks=weeks,
        seconds=(int(rng.integers(500, 1100)), int(rng.integers(500, 1100)) if seed % 2 else 800),
        entries=(1, 4),
        neighbours=((0, 1),) if seed % 3 else (),
        set_units=2,
        session_units=8,
        session_points=2 if seed % 2 else None,
        hard_units=5,
        hard_points=6 if seed % 4 else None,
        twice_points=5,
        bigless_points=4,
        crowded_points=4,
        station_points=8 if seed % 3 == 0 else 0,
        pair_points=1,
        thin=(4, 3),
        uneven=(60, 100),
        wishes=(Wish("pattern", frozenset({0, 2}), 1, 7),),
        groups=(Group(frozenset({0, 2}), 1 + seed % 2),),
        shares=(Share(frozenset({0, 1}), frozenset({2, 3})),) if seed % 4 == 3 else (),
        daily=(frozenset({0, 2}),) if seed % 6 == 2 else (),
        together=(Together("both", ((frozenset({0}), frozenset({2})),), 9),) if seed % 2 else (),
        easy_near=seed % 3 != 0,
    )


def rows_of_sets(problem: Problem, item: int) -> list[tuple[int, ...]]:
    """Every row of sets by week that an item may have, by itself."""
    ranges = [range(low, high + 1) for low, high in (sets_range(problem, item, w) for w in range(len(problem.weeks)))]
    alone = [Plan(((Spot(item, tuple(row)),),)) for row in product(*ranges)]
    return [
        plan.days[0][0].sets
        for plan in alone
        if not any(problem.items[item].key in line for line in broken_by_weeks(problem, plan))
    ]


@cache
def fewest_points(seed: int) -> int | None:
    """The fewest points of all plans of a tiny problem that keep the limits, by counting; None where there is none."""
    return fewest_points_of(tiny(seed))


def with_day_costs(problem: Problem, seed: int) -> Problem:
    """The same problem with points for each item on each day, drawn by the seed."""
    rng = np.random.default_rng(1000 + seed)
    items = [replace(one, day_costs=tuple(int(cost) for cost in rng.integers(0, 9, size=2))) for one in problem.items]
    return replace(problem, items=tuple(items))


def fewest_points_of(problem: Problem) -> int | None:
    """The fewest points of all plans of a problem, by counting."""
    best: int | None = None
    sets = {item: rows_of_sets(problem, item) for item in range(len(problem.items))}
    places = []
    for item in problem.items:
        low, high = item.times
        places.append([days for count in range(low, high + 1) for days in combinations(item.days, count)])
    for placing in product(*places):
        spots = [(item, day) for item, days in enumerate(placing) for day in days]
        by_day = [[item for item, day in spots if day == number] for number in range(len(problem.seconds))]
        if any(len(day) < problem.entries[0] or len(day) > problem.entries[1] for day in by_day):
            continue
        joins = [
            [one for pairs in range(len(day) // 2 + 1) for one in matchings(problem, day, pairs)] for day in by_day
        ]
        for rows in product(*(sets[item] for item, _ in spots)):
            for joined in product(*joins):
                plan = made_plan(problem, spots, rows, joined)
                points = total_points(problem, plan)
                if (best is None or points < best) and not broken_limits(problem, plan):
                    best = points
    return best


def made_plan(
    problem: Problem,
    spots: list[tuple[int, int]],
    rows: tuple[tuple[int, ...], ...],
    joined: tuple[tuple[tuple[int, int], ...], ...],
) -> Plan:
    """A plan from where the items stand, their sets, and the pairs of each day."""
    days: list[list[Spot]] = [[] for _ in problem.seconds]
    for (item, day), row in zip(spots, rows, strict=True):
        partner = {a: b for pair in joined[day] for a, b in (pair, pair[::-1])}
        days[day].append(Spot(item, row, partner.get(item, -1)))
    return Plan(tuple(tuple(day) for day in days))
