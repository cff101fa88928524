"""What a plan would be like with one thing changed: an entry out, moved, exchanged, a set more or less.

No solver here: every answer is a recount of points and limits (``search.worth``), told apart by what they are for.
The two ideas: a change is judged with everything else as it stands; and minutes are those of the dosed sessions.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

import numpy as np

from setwright.plan.search.pairs import may_join
from setwright.plan.search.problem import Plan, Problem, Spot
from setwright.plan.search.worth import apart_points, broken_limits, kin_of, seconds_of, sets_range

Cause = tuple[str | int, ...]
Whole = np.ndarray[tuple[int, ...], np.dtype[np.int64]]


def units_by_week(problem: Problem, plan: Plan) -> list[list[int]]:
    """Units of each need in each week, with what is given."""
    weeks = range(len(problem.weeks))
    found = [[problem.given(need, week) for week in weeks] for need in problem.needs]
    for day in plan.days:
        for spot in day:
            for need, credit in problem.items[spot.item].credits.items():
                row = found[need]
                for week, sets in enumerate(spot.sets):
                    row[week] += credit * sets
    return found


def causes_of(problem: Problem, plan: Plan) -> dict[Cause, int]:
    """The points of a plan by what each is for; they add up to ``worth.total_points``.

    Keys start with a word: ``under``, ``over``, ``below``, ``beyond``, ``leap`` (need, week); ``cost`` and ``entry``
    (item); ``wish``, ``together`` (number); ``once`` (need); ``thin``; ``station``, ``bigless``, ``crowded`` (day);
    ``session`` (need, day); ``hard`` (need, day, day); ``twice`` (kin, day, day); ``uneven``; ``pairs``.
    """
    found = {**amount_causes(problem, units_by_week(problem, plan)), **choice_causes(problem, plan)}
    found |= day_causes(problem, plan)
    return {cause: points for cause, points in found.items() if points}


def amount_causes(problem: Problem, units: Sequence[Sequence[int]]) -> dict[Cause, int]:
    """Points for amounts that miss what the needs want."""
    found: dict[Cause, int] = {}
    steps = tuple(pairwise(problem.growing))
    for index, need in enumerate(problem.needs):
        if need.target <= 0:
            continue
        row = units[index]
        for before, after in steps:
            leap = 10 * row[after] - 12 * row[before] - 4
            found["leap", index, after] = need.leap * max(0, -(-leap // 10))
        for week, made in enumerate(row):
            wanted = problem.wanted(need, week)
            found["under", index, week] = need.under * max(0, wanted - need.band - made)
            found["over", index, week] = need.over * max(0, made - wanted - need.band)
            found["below", index, week] = need.below * max(0, problem.least(need, week) - made)
            found["beyond", index, week] = need.beyond * max(0, made - need.most)
    return found


def choice_causes(problem: Problem, plan: Plan) -> dict[Cause, int]:
    """Points for what was chosen."""
    chosen = plan.chosen()
    found: dict[Cause, int] = {("cost", item): problem.items[item].cost for item in chosen}
    for day in plan.days:
        for spot in day:
            found["entry", spot.item] = found.get(("entry", spot.item), 0) + problem.items[spot.item].entry_cost
    for number, wish in enumerate(problem.wishes):
        found["wish", number] = (wish.points or 0) * max(0, wish.count - len(wish.items & chosen))
    here = [{spot.item for spot in day} for day in plan.days]
    for number, one in enumerate(problem.together):
        is_met = any(first & items and second & items for first, second in one.options for items in here)
        found["together", number] = 0 if is_met else one.points
    found["thin",] = problem.thin[1] * max(0, problem.thin[0] - sum(len(day) for day in plan.days))
    full = [
        {n for item in items for n, value in problem.items[item].credits.items() if value >= problem.set_units}
        for items in here
    ]
    for index, need in enumerate(problem.needs):
        if need.once and need.target > 0:
            found["once", index] = need.once if sum(index in needs for needs in full) < 2 else 0
    return found


def day_causes(problem: Problem, plan: Plan) -> dict[Cause, int]:
    """Points for how the items stand on the days."""
    found: dict[Cause, int] = {}
    week = problem.hardest
    goals = [sum(1 for spot in day if "goal" in problem.items[spot.item].marks) for day in plan.days]
    fair = max(1, -(-sum(goals) // len(plan.days)))
    units = [units_on(problem, day, week) for day in plan.days]
    for number, day in enumerate(plan.days):
        for spot in day:
            if problem.items[spot.item].cost_on(number):
                found["conditioning", spot.item, number] = problem.items[spot.item].cost_on(number)
        stations = {problem.items[spot.item].station for spot in day} - {-1}
        found["station", number] = problem.station_points * len(stations)
        is_bigless = not any("big" in problem.items[spot.item].marks for spot in day)
        found["bigless", number] = problem.bigless_points if is_bigless else 0
        found["crowded", number] = problem.crowded_points * max(0, goals[number] - fair)
        for index, amount in units[number].items():
            over = max(0, amount - problem.session_units)
            found["session", index, number] = (problem.session_points or 0) * over
            own = problem.needs[index].session
            found["own session", index, number] = 0 if own is None else own[1] * max(0, amount - own[0])
    for index, need in enumerate(problem.needs):
        found["own apart", index] = apart_points(problem, plan, index, need)
    for first, second in problem.neighbours:
        for index, amount in units[first].items():
            both = min(amount, units[second].get(index, 0))
            if both > problem.hard_units and problem.needs[index].target > 0:
                found["hard", index, first, second] = problem.hard_points or 0
        for kin in sorted(kin_of(problem, plan, first) & kin_of(problem, plan, second)):
            found["twice", kin, first, second] = problem.twice_points
    if problem.uneven is not None and len(plan.days) > 1:
        free, each = problem.uneven
        spare = [room - seconds_of(problem, day, week) for room, day in zip(problem.seconds, plan.days, strict=True)]
        found["uneven",] = max(0, max(spare) - min(spare) - free) // each
    found["pairs",] = problem.pair_points * sum(1 for day in plan.days for spot in day if spot.partner > spot.item)
    return found


def units_on(problem: Problem, day: Sequence[Spot], week: int) -> dict[int, int]:
    """Units of each need that a day gives in a week."""
    found: dict[int, int] = {}
    for spot in day:
        for need, credit in problem.items[spot.item].credits.items():
            found[need] = found.get(need, 0) + credit * spot.sets[week]
    return found


@dataclass(frozen=True)
class Effect:
    """What a change does: points more (negative: fewer) by cause; where fewer, the limits that it breaks anew.

    plan : the plan after it; uses_margin : whether it fits the true minutes, but not those that the search allowed
    """

    plan: Plan
    points: int
    causes: Mapping[Cause, int]
    broken: tuple[str, ...]
    uses_margin: bool = False

    @property
    def is_allowed(self) -> bool:
        """True when no limit that was kept before is broken."""
        return not self.broken


@dataclass(frozen=True)
class Exchange:
    """Another item in the place of one, with the same sets as far as it may have them, and what that does."""

    item: int
    effect: Effect


@dataclass(frozen=True)
class Counted:
    """A plan with its points, to ask what a change would do.

    problem : as it was searched, which the points are counted with; seconds : for each day what there truly is, by the
    dosed sessions, in the reckoning of the search
    """

    problem: Problem
    plan: Plan
    seconds: tuple[int, ...]

    @cached_property
    def causes(self) -> dict[Cause, int]:
        """Points of the plan by cause."""
        return causes_of(self.problem, self.plan)

    @cached_property
    def points(self) -> int:
        """All points of the plan."""
        return sum(self.causes.values())

    @cached_property
    def units(self) -> list[list[int]]:
        """Units of each need in each week."""
        return units_by_week(self.problem, self.plan)

    @cached_property
    def room(self) -> Problem:
        """The problem with the seconds that there truly are."""
        return replace(self.problem, seconds=self.seconds)

    @cached_property
    def bent(self) -> frozenset[str]:
        """Limits that the plan bends already (sets that were taken out for the minutes)."""
        return frozenset(broken_limits(self.room, self.plan))

    def effect(self, plan: Plan, but: str = "") -> Effect:
        """What another plan does against this one. Limits are looked at where it has fewer points.

        Limits whose words start with ``but`` do not count.
        """
        changed = self.change(plan)
        points = sum(changed.values())
        broken = self.breaks(self.room, plan, but) if points < 0 else ()
        uses_margin = points < 0 and not broken and bool(self.breaks(self.problem, plan, but))
        return Effect(plan, points, changed, broken, uses_margin)

    def change(self, plan: Plan) -> dict[Cause, int]:
        """Points that another plan has more or less, by cause."""
        made = causes_of(self.problem, plan)
        return {
            cause: made.get(cause, 0) - self.causes.get(cause, 0)
            for cause in sorted({*made, *self.causes}, key=str)
            if made.get(cause, 0) != self.causes.get(cause, 0)
        }

    def breaks(self, problem: Problem, plan: Plan, but: str = "") -> tuple[str, ...]:
        """Limits that a plan breaks and this one keeps."""
        found = (one for one in broken_limits(problem, plan) if one not in self.bent)
        return tuple(one for one in found if not but or not one.startswith(but))

    def spot(self, day: int, item: int) -> Spot:
        """The spot of an item on a day."""
        return next(spot for spot in self.plan.days[day] if spot.item == item)

    def without(self, day: int, item: int) -> Effect:
        """An entry out; what shared its rests stays, alone."""
        return self.effect(changed_day(self.plan, day, alone(self.plan.days[day], item)))

    def moved(self, day: int, item: int, to: int) -> Effect:
        """An entry on another day with the same sets, its rests its own."""
        spot = replace(self.spot(day, item), partner=-1)
        plan = changed_day(self.plan, day, alone(self.plan.days[day], item))
        return self.effect(changed_day(plan, to, (*plan.days[to], spot)))

    def with_top(self, day: int, item: int, top: int) -> Effect:
        """An entry with ``top`` sets in the hardest week, other weeks only as far as they must follow."""
        sets = sets_with_top(self.problem, item, self.spot(day, item).sets, top)
        spots = tuple(replace(one, sets=sets) if one.item == item else one for one in self.plan.days[day])
        return self.effect(changed_day(self.plan, day, spots))

    def added(self, day: int, item: int) -> Plan:
        """The plan with an item more on a day: the fewest sets that it may have in each week, its rests its own."""
        weeks = range(len(self.problem.weeks))
        sets = [sets_range(self.problem, item, week)[0] for week in weeks]
        top = max(sets)
        spot = Spot(item, sets_with_top(self.problem, item, sets, top))
        return changed_day(self.plan, day, (*self.plan.days[day], spot))

    def exchanged(self, day: int, item: int, other: int) -> Plan:
        """The plan with another item in the place of one; it shares rests with the same partner where it may."""
        old = self.spot(day, item)
        partner = old.partner if old.partner >= 0 and may_join(self.problem, other, old.partner) else -1
        weeks = range(len(old.sets))
        ranges = [sets_range(self.problem, other, week) for week in weeks]
        sets = tuple(min(max(old.sets[week], low), high) for week, (low, high) in zip(weeks, ranges, strict=True))
        spots = []
        for one in self.plan.days[day]:
            if one.item == item:
                spots.append(Spot(other, sets, partner))
            elif one.partner == item:
                spots.append(replace(one, partner=other if partner >= 0 else -1))
            else:
                spots.append(one)
        return changed_day(self.plan, day, tuple(spots))

    def exchanges(self, day: int, item: int, count: int = 2, only_alike: bool = False) -> list[Exchange]:
        """The best exchanges that keep every limit, fewest points first; ties by the order of the items.

        Limits that only say that this very item is wanted do not count.
        only_alike : only items that serve what this one serves fully, at least by half
        """
        wanted = f"{self.problem.items[item].key} stands on"
        best: list[tuple[int, int, Plan]] = []
        for floor, other in self.floors(day, item):
            if len(best) == count and floor > best[-1][0]:
                break
            if only_alike and not self.is_alike(item, other):
                continue
            plan = self.exchanged(day, item, other)
            points = sum(causes_of(self.problem, plan).values()) - self.points
            if len(best) == count and (points, other) > best[-1][:2]:
                continue
            if not self.breaks(self.room, plan, wanted):
                best = sorted([*best, (points, other, plan)], key=lambda one: one[:2])[:count]
        return [Exchange(other, self.effect(plan, wanted)) for _, other, plan in best]

    def is_alike(self, item: int, other: int) -> bool:
        """True when an item serves every need that another serves fully, and one of them fully too."""
        mine, its = self.problem.items[item].credits, self.problem.items[other].credits
        full = [need for need, credit in mine.items() if credit >= self.problem.set_units] or list(mine)
        served = [its.get(need, 0) for need in full]
        return bool(served) and min(served) > 0 and max(served) >= min(self.problem.set_units, max(mine.values()))

    def floors(self, day: int, item: int) -> list[tuple[int, int]]:
        """(points that an exchange comes to at least, item), rising: what can be told without counting it whole."""
        problem, spot = self.problem, self.spot(day, item)
        here = {one.item for one in self.plan.days[day]}
        open_ones = [
            other for other, one in enumerate(problem.items) if other not in here and day in one.days and not one.fixed
        ]
        if not open_ones:
            return []
        sets, chosen = np.array(spot.sets), self.plan.chosen()
        base = np.array(self.units) - np.outer(self.table[item], sets)
        units = base[None, :, :] + self.table[open_ones][:, :, None] * sets[None, None, :]
        total = amount_points(problem, units) + self.left_without(day, item)[open_ones]
        total += np.array(
            [
                problem.items[other].entry_cost + (0 if other in chosen else problem.items[other].cost)
                for other in open_ones
            ]
        )
        return sorted((int(points) - self.points, other) for points, other in zip(total, open_ones, strict=True))

    def left_without(self, day: int, item: int) -> Whole:
        """(items,) points at least that remain beside the amounts when each item takes the place of one."""
        problem = self.problem
        plan = changed_day(self.plan, day, alone(self.plan.days[day], item))
        left = np.zeros(len(problem.items), dtype=np.int64)
        for cause, points in {**choice_causes(problem, plan), **day_causes(problem, plan)}.items():
            if cause[0] in ("cost", "entry"):
                left += points
            elif cause[0] == "wish":
                wish = problem.wishes[int(cause[1])]
                left += points
                left[sorted(wish.items)] -= min(points, wish.points or 0)
            elif cause[0] == "once":
                left += np.where(self.table[:, int(cause[1])] >= problem.set_units, 0, points)
            elif cause[0] == "bigless":
                is_big = np.array(["big" in one.marks for one in problem.items])
                left += np.where(is_big, 0, points) if cause[1] == day else points
        return left

    @cached_property
    def table(self) -> Whole:
        """(items, needs) units that one set gives."""
        made = np.zeros((len(self.problem.items), len(self.problem.needs)), dtype=np.int64)
        for index, one in enumerate(self.problem.items):
            for need, credit in one.credits.items():
                made[index, need] = credit
        return made


def amount_points(problem: Problem, units: Whole) -> Whole:
    """(n,) points for amounts of n plans at once. units : (n, needs, weeks)."""
    total = np.zeros(len(units), dtype=np.int64)
    for index, need in enumerate(problem.needs):
        if need.target <= 0:
            continue
        rows = units[:, index, :]
        for before, after in pairwise(problem.growing):
            leap = 10 * rows[:, after] - 12 * rows[:, before] - 4
            total += need.leap * np.maximum(0, -(-leap // 10))
        for week in range(len(problem.weeks)):
            made, wanted = rows[:, week], problem.wanted(need, week)
            total += need.under * np.maximum(0, wanted - need.band - made)
            total += need.over * np.maximum(0, made - wanted - need.band)
            total += need.below * np.maximum(0, problem.least(need, week) - made)
            total += need.beyond * np.maximum(0, made - need.most)
    return total


def alone(day: Sequence[Spot], item: int) -> tuple[Spot, ...]:
    """The spots of a day without one item; what was paired with it stands alone."""
    return tuple(replace(one, partner=-1) if one.partner == item else one for one in day if one.item != item)


def changed_day(plan: Plan, day: int, spots: Sequence[Spot]) -> Plan:
    """A plan with other spots on one day."""
    return Plan(tuple(tuple(spots) if number == day else one for number, one in enumerate(plan.days)))


def sets_with_top(problem: Problem, item: int, sets: Sequence[int], top: int) -> tuple[int, ...]:
    """The sets of an item with ``top`` in the hardest week; other weeks change as little as the rules of growth ask."""
    made = list(sets)
    made[problem.hardest] = top
    is_fixed = problem.items[item].fixed
    for before, after in reversed(list(pairwise(problem.growing))):
        low = made[before] if is_fixed else max(made[before], made[after] - 1)
        made[before] = made[after] if is_fixed else min(low, made[after])
    for week, kind in enumerate(problem.weeks):
        if kind.sort == "easy":
            least, most = 0, top
            if problem.easy_near:
                least = kind.share * top // 100
                most = min(top, max(1, -(-kind.share * top // 100)))
            made[week] = min(max(made[week], least), most)
    return tuple(made)
