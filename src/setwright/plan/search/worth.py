"""The points of a plan and the limits it breaks, counted straight from the words of the problem. No solver here."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

from setwright.plan.search.problem import Need, Plan, Problem, Spot


def units_of(problem: Problem, need: int, spots: tuple[Spot, ...], week: int) -> int:
    """Units that some spots give a need in a week."""
    return sum(problem.items[spot.item].credits.get(need, 0) * spot.sets[week] for spot in spots)


def seconds_of(problem: Problem, spots: tuple[Spot, ...], week: int) -> int:
    """Seconds that the spots of a day take in a week."""
    total = 0
    for spot in spots:
        item = problem.items[spot.item]
        total += spot.sets[week] * (item.set_s - (item.saved_s if spot.partner >= 0 else 0)) + item.once_s
    return total


def points_of(problem: Problem, plan: Plan) -> dict[str, int]:
    """Points by what they are for: ``week`` (amounts of needs), ``choice`` (items, wishes), ``days``, ``pairs``."""
    return {
        "week": week_points(problem, plan),
        "choice": choice_points(problem, plan),
        "days": day_points(problem, plan),
        "pairs": problem.pair_points * sum(1 for day in plan.days for spot in day if spot.partner > spot.item),
    }


def total_points(problem: Problem, plan: Plan) -> int:
    """All points of a plan."""
    return sum(points_of(problem, plan).values())


def week_points(problem: Problem, plan: Plan) -> int:
    """Points for amounts that miss what the needs want, over all weeks."""
    total = 0
    every = tuple(spot for day in plan.days for spot in day)
    for index, need in enumerate(problem.needs):
        if need.target <= 0:
            continue
        units_by_week = [
            problem.given(need, week) + units_of(problem, index, every, week) for week in range(len(problem.weeks))
        ]
        for before, after in pairwise(problem.growing):
            leap = 10 * units_by_week[after] - 12 * units_by_week[before] - 4
            total += need.leap * max(0, -(-leap // 10))
        for week, units in enumerate(units_by_week):
            wanted = problem.wanted(need, week)
            total += need.under * max(0, wanted - need.band - units)
            total += need.over * max(0, units - wanted - need.band)
            total += need.below * max(0, problem.least(need, week) - units)
            total += need.beyond * max(0, units - need.most)
    return total


def choice_points(problem: Problem, plan: Plan) -> int:
    """Points for what was chosen: second choices, entries, wishes left out, a thin week, needs met once only."""
    chosen = plan.chosen()
    total = sum(problem.items[item].cost for item in chosen)
    total += sum(problem.items[spot.item].entry_cost for day in plan.days for spot in day)
    for wish in problem.wishes:
        total += (wish.points or 0) * max(0, wish.count - len(wish.items & chosen))
    for one in problem.together:
        met = any(
            any(first & {spot.item for spot in day} and second & {spot.item for spot in day} for day in plan.days)
            for first, second in one.options
        )
        total += 0 if met else one.points
    entries = sum(len(day) for day in plan.days)
    total += problem.thin[1] * max(0, problem.thin[0] - entries)
    for index, need in enumerate(problem.needs):
        held = sum(1 for day in plan.days if any(is_full(problem, spot.item, index) for spot in day))
        total += need.once if held < 2 and need.target > 0 else 0
    return total


def is_full(problem: Problem, item: int, need: int) -> bool:
    """True when a set of an item is a full set for a need."""
    return problem.items[item].credits.get(need, 0) >= problem.set_units


def kin_of(problem: Problem, plan: Plan, day: int) -> frozenset[str]:
    """The kin of what stands on a day."""
    return frozenset(problem.kin(spot.item) for spot in plan.days[day])


def day_points(problem: Problem, plan: Plan) -> int:
    """Points for how the items stand on the days, with the hardest week's sets."""
    total, week = 0, problem.hardest
    goals = sum(1 for day in plan.days for spot in day if "goal" in problem.items[spot.item].marks)
    fair = max(1, -(-goals // len(plan.days)))
    total += sum(problem.items[spot.item].cost_on(day) for day, spots in enumerate(plan.days) for spot in spots)
    for day in plan.days:
        stations = {problem.items[spot.item].station for spot in day} - {-1}
        total += problem.station_points * len(stations)
        if not any("big" in problem.items[spot.item].marks for spot in day):
            total += problem.bigless_points
        here = sum(1 for spot in day if "goal" in problem.items[spot.item].marks)
        total += problem.crowded_points * max(0, here - fair)
        for index in range(len(problem.needs)):
            over = units_of(problem, index, day, week) - problem.session_units
            total += (problem.session_points or 0) * max(0, over)
            own = problem.needs[index].session
            total += 0 if own is None else own[1] * max(0, over + problem.session_units - own[0])
    for index, need in enumerate(problem.needs):
        total += apart_points(problem, plan, index, need)
    for first, second in problem.neighbours:
        for index, need in enumerate(problem.needs):
            if need.target > 0 and both_hard(problem, plan, index, first, second):
                total += problem.hard_points or 0
        total += problem.twice_points * len(kin_of(problem, plan, first) & kin_of(problem, plan, second))
    if problem.uneven is not None and len(plan.days) > 1:
        free, each = problem.uneven
        spare = [room - seconds_of(problem, day, week) for room, day in zip(problem.seconds, plan.days, strict=True)]
        total += max(0, max(spare) - min(spare) - free) // each
    return total


def apart_points(problem: Problem, plan: Plan, index: int, need: Need) -> int:
    """Points for days that are both hard for a need and should not be, in the hardest week."""
    if need.apart is None:
        return 0
    hard = [units_of(problem, index, day, problem.hardest) >= need.apart.units for day in plan.days]
    return need.apart.points * sum(1 for first, second in need.apart.pairs if hard[first] and hard[second])


def both_hard(problem: Problem, plan: Plan, need: int, first: int, second: int) -> bool:
    """True when a need is hard on two days, in the hardest week."""
    week = problem.hardest
    return all(units_of(problem, need, plan.days[day], week) > problem.hard_units for day in (first, second))


def broken_limits(problem: Problem, plan: Plan) -> list[str]:
    """Every limit of the problem that a plan breaks, one line each; empty for a sound plan."""
    return [*broken_by_days(problem, plan), *broken_by_weeks(problem, plan), *broken_by_choice(problem, plan)]


def broken_by_choice(problem: Problem, plan: Plan) -> list[str]:
    """Times, groups, shares, what every day holds, and wishes that are limits."""
    found = []
    chosen = plan.chosen()
    times = Counter(spot.item for day in plan.days for spot in day)
    for index, item in enumerate(problem.items):
        count = times.get(index, 0)
        if (count and not max(1, item.times[0]) <= count <= item.times[1]) or count < item.times[0]:
            found.append(f"{item.key} stands on {count} days")
    for group in problem.groups:
        if len(group.items & chosen) > group.most:
            found.append(f"{len(group.items & chosen)} of a group of at most {group.most}")
    for share in problem.shares:
        few, many = len(share.items & chosen), len(share.others & chosen)
        if few > many:
            found.append(f"{few} of a share against {many} of the others")
    for items in problem.daily:
        for number, day in enumerate(plan.days):
            if not items & {spot.item for spot in day}:
                found.append(f"day {number} holds none of what every day holds")
    for wish in problem.wishes:
        if wish.points is None and len(wish.items & chosen) < wish.count:
            found.append(f"{wish.name} is missing")
    return found


def broken_by_days(problem: Problem, plan: Plan) -> list[str]:
    """Seconds, entries, places, pairs, caps and hard needs."""
    found = []
    for number, day in enumerate(plan.days):
        items = [spot.item for spot in day]
        if not problem.entries[0] <= len(day) <= problem.entries[1]:
            found.append(f"day {number} has {len(day)} entries")
        if len(set(items)) < len(items):
            found.append(f"day {number} has an item twice")
        for spot in day:
            if number not in problem.items[spot.item].days:
                found.append(f"{problem.items[spot.item].key} may not stand on day {number}")
            found += broken_pair(problem, day, spot)
        for week in range(len(problem.weeks)):
            if seconds_of(problem, day, week) > problem.seconds[number]:
                found.append(f"day {number} is too long in week {week}")
            for index, cap in enumerate(problem.caps):
                used = sum(problem.items[spot.item].stress.get(index, 0) * spot.sets[week] for spot in day)
                if used > cap.most:
                    found.append(f"{cap.name} is over its budget on day {number} in week {week}")
            if problem.session_points is None:
                for index, need in enumerate(problem.needs):
                    if units_of(problem, index, day, week) > problem.session_units:
                        found.append(f"too much for {need.name} on day {number} in week {week}")
    if problem.hard_points is None:
        for first, second in problem.neighbours:
            for index, need in enumerate(problem.needs):
                if need.target > 0 and both_hard(problem, plan, index, first, second):
                    found.append(f"{need.name} is hard on days {first} and {second}")
    return found


def broken_pair(problem: Problem, day: tuple[Spot, ...], spot: Spot) -> list[str]:
    """What is wrong with the pair of a spot."""
    if spot.partner < 0:
        return []
    mine = problem.items[spot.item]
    partner = next((one for one in day if one.item == spot.partner), None)
    if partner is None or partner.partner != spot.item or spot.partner == spot.item:
        return [f"{mine.key} has no partner on its day"]
    other = problem.items[partner.item]
    if not (mine.may_pair and other.may_pair) or mine.cliques & other.cliques:
        return [f"{mine.key} and {other.key} may not be a pair"]
    return []


def broken_by_weeks(problem: Problem, plan: Plan) -> list[str]:
    """Sets out of their range, and growth that is too fast or backwards."""
    found = []
    growing, last = problem.growing, problem.hardest
    for day in plan.days:
        for spot in day:
            item = problem.items[spot.item]
            for week, sort in enumerate(one.sort for one in problem.weeks):
                low, high = sets_range(problem, spot.item, week)
                if not low <= spot.sets[week] <= high:
                    found.append(f"{item.key} has {spot.sets[week]} sets in week {week}")
                if sort == "easy" and not is_easy_enough(problem, spot, week):
                    found.append(f"{item.key} has {spot.sets[week]} of {spot.sets[last]} sets in the easy week {week}")
            for before, after in pairwise(growing):
                grown = spot.sets[after] - spot.sets[before]
                if grown < 0 or (grown > 1 and not item.fixed):
                    found.append(f"{item.key} goes from {spot.sets[before]} to {spot.sets[after]} sets")
    for week, one in enumerate(problem.weeks):
        if one.sort == "return" and week != last:
            every = [spot for day in plan.days for spot in day]
            total, top = sum(spot.sets[week] for spot in every), sum(spot.sets[last] for spot in every)
            if 100 * total > max(one.share * top, 100 * len(every)):
                found.append(f"week {week} of the return has {total} sets of {top}")
    return found


def is_easy_enough(problem: Problem, spot: Spot, week: int) -> bool:
    """True when the sets of an easy week are near the item's share of the hardest week, or at most as many."""
    sets, top = spot.sets[week], spot.sets[problem.hardest]
    if not problem.easy_near:
        return sets <= top
    share = problem.weeks[week].share
    return share * top // 100 <= sets <= min(top, max(1, -(-share * top // 100)))


def sets_range(problem: Problem, item: int, week: int) -> tuple[int, int]:
    """Fewest and most sets of an item in a session of a week."""
    low, high = problem.items[item].sets
    kind = problem.weeks[week]
    high = min(high, kind.most)
    if kind.sort == "build":
        return (high, high) if problem.items[item].fixed else (min(low, high), high)
    return 1 if problem.easy_near else min(low, high), high
