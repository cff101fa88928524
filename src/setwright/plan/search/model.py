"""The problem as rows for CP-SAT, in two forms: the week without days, and the whole plan.

The week without days is a relaxation: every plan of the whole form gives one of it with no more points, so what is
proven of its best value holds for the whole. Rows that only the days can tell are left out or added up there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise, permutations
from typing import Any

from setwright.plan.search.problem import Item, Plan, Problem, Spot
from setwright.plan.search.worth import is_full, sets_range


@dataclass
class Rows:
    """A model under construction: its variables by name, and the terms of its points."""

    problem: Problem
    items: tuple[int, ...]
    model: Any
    variables: dict[str, Any] = field(default_factory=dict)
    terms: list[Any] = field(default_factory=list)

    def whole(self, name: str, low: int, high: int) -> Any:
        """A new whole-number variable."""
        made = self.model.new_int_var(low, max(low, high), name)
        self.variables[name] = made
        return made

    def flag(self, name: str) -> Any:
        """A new yes-or-no variable."""
        made = self.model.new_bool_var(name)
        self.variables[name] = made
        return made

    def over(self, amount: Any, points: int | None, most: int, name: str) -> None:
        """``amount`` may pass zero at ``points`` a unit; not at all where points is None."""
        if points is None:
            self.model.add(amount <= 0)
        elif points > 0:
            self.terms.append(points * self.at_least(amount, most, name))

    def at_least(self, amount: Any, most: int, name: str) -> Any:
        """A variable of at least ``amount`` and zero."""
        made = self.whole(name, 0, most)
        self.model.add(made >= amount)
        return made


def new_rows(problem: Problem, items: Iterable[int] | None) -> Rows:
    """An empty model over some of the items (all of them when None)."""
    from ortools.sat.python import cp_model

    picked = tuple(range(len(problem.items))) if items is None else tuple(sorted(set(items)))
    return Rows(problem, picked, cp_model.CpModel())


def times_of(item: Item) -> int:
    """The most days an item can stand on."""
    return min(item.times[1], len(item.days))


def add_amounts(rows: Rows, units: Callable[[int, int], Any]) -> None:
    """Points for what the needs miss; ``units`` gives the units of a need in a week."""
    problem = rows.problem
    for index, need in enumerate(problem.needs):
        if need.target <= 0:
            continue
        amounts = [problem.given(need, week) + units(index, week) for week in range(len(problem.weeks))]
        if need.leap:
            for before, after in pairwise(problem.growing):
                leap = rows.whole(f"leap_{index}_{after}", 0, 400)
                rows.model.add(10 * leap >= 10 * amounts[after] - 12 * amounts[before] - 4)
                rows.terms.append(need.leap * leap)
        for week, made in enumerate(amounts):
            wanted = problem.wanted(need, week)
            most = 2 * need.most + 400
            rows.over(wanted - need.band - made, need.under, max(0, wanted - need.band), f"under_{index}_{week}")
            rows.over(made - wanted - need.band, need.over, most, f"over_{index}_{week}")
            if need.below:
                least = problem.least(need, week)
                rows.over(least - made, need.below, least, f"below_{index}_{week}")
            if need.beyond:
                rows.over(made - need.most, need.beyond, most, f"beyond_{index}_{week}")


def add_choice(rows: Rows, chosen: Mapping[int, Any], times: Mapping[int, Any]) -> None:
    """Groups, shares, wishes, costs of items and entries, and a thin week."""
    problem, here = rows.problem, set(rows.items)
    for item in rows.items:
        one = problem.items[item]
        if one.cost:
            rows.terms.append(one.cost * chosen[item])
        if one.entry_cost:
            rows.terms.append(one.entry_cost * times[item])
    for group in problem.groups:
        members = sorted(group.items & here)
        if len(members) > group.most:
            rows.model.add(sum(chosen[item] for item in members) <= group.most)
    for share in problem.shares:
        few, many = sorted(share.items & here), sorted(share.others & here)
        if few:
            rows.model.add(sum(chosen[item] for item in few) <= sum(chosen[item] for item in many))
    for number, wish in enumerate(problem.wishes):
        short = wish.count - sum(chosen[item] for item in sorted(wish.items & here))
        rows.over(short, wish.points, wish.count, f"wish_{number}")
    entries = sum(times[item] for item in rows.items)
    days = len(problem.seconds)
    rows.model.add(entries >= problem.entries[0] * days)
    rows.model.add(entries <= problem.entries[1] * days)
    if problem.thin[0] and problem.thin[1]:
        rows.over(problem.thin[0] - entries, problem.thin[1], problem.thin[0], "thin")


def add_growth(rows: Rows, item: int, sets: Sequence[Any], there: Any, times: Any, most_times: int) -> None:
    """Sets of an item by week: inside their range where it stands, growing by at most one a session, easy below."""
    problem, one = rows.problem, rows.problem.items[item]
    for week, amount in enumerate(sets):
        low, high = sets_range(problem, item, week)
        rows.model.add(amount >= low * times)
        rows.model.add(amount <= high * times)
    growing, last = problem.growing, problem.hardest
    for before, after in pairwise(growing):
        rows.model.add(sets[after] >= sets[before])
        if not one.fixed:
            rows.model.add(sets[after] - sets[before] <= times)
    for week, kind in enumerate(problem.weeks):
        if kind.sort == "easy":
            rows.model.add(sets[week] <= sets[last])
            if problem.easy_near:
                rows.model.add(100 * sets[week] <= kind.share * sets[last] + 99 * times)
                rows.model.add(100 * sets[week] >= kind.share * sets[last] - 99 * times)


def add_return(rows: Rows, totals: Sequence[Any], entries: Any) -> None:
    """Weeks of a return hold their share of the hardest week's sets, or one set an entry."""
    problem = rows.problem
    for week, kind in enumerate(problem.weeks):
        if kind.sort != "return" or week == problem.hardest:
            continue
        ones = rows.flag(f"ones_{week}")
        room = 100 * 100
        rows.model.add(100 * totals[week] <= kind.share * totals[problem.hardest] + room * ones)
        rows.model.add(totals[week] <= entries + room * (1 - ones))


def clique_members(problem: Problem, items: Iterable[int]) -> dict[str, list[int]]:
    """Items of each clique mark that could be paired; marks with a single item say nothing and are left out."""
    found: dict[str, list[int]] = {}
    for item in items:
        if problem.items[item].may_pair:
            for mark in problem.items[item].cliques:
                found.setdefault(mark, []).append(item)
    distinct: dict[tuple[int, ...], str] = {}
    for mark in sorted(found):
        if len(found[mark]) > 1:
            distinct.setdefault(tuple(found[mark]), mark)
    return {mark: list(members) for members, mark in distinct.items()}


def dominations(problem: Problem, items: Sequence[int]) -> list[tuple[int, int]]:
    """Pairs (better, worse): putting the better in the place of the worse keeps every limit and costs no more.

    So a plan need not use the worse one without the better; ties go by index.
    """
    kinds: dict[object, list[int]] = {}
    memberships = {item: (frozenset(n for n, g in enumerate(problem.groups) if item in g.items)) for item in items}
    wishes = {item: frozenset(n for n, w in enumerate(problem.wishes) if item in w.items) for item in items}
    sides = {
        item: frozenset(
            (n, o, s)
            for n, one in enumerate(problem.together)
            for o, option in enumerate(one.options)
            for s in (0, 1)
            if item in option[s]
        )
        for item in items
    }
    for item in items:
        one = problem.items[item]
        if one.times[0] == 0:
            key = (tuple(sorted(one.credits.items())), one.station, one.sets, one.fixed, one.times, one.marks)
            kinds.setdefault(key, []).append(item)
    found = []
    for members in kinds.values():
        for a in members:
            for b in members:
                if a != b and is_better(problem, a, b) and (not is_better(problem, b, a) or a < b):
                    groups_ok = memberships[a] <= memberships[b]
                    groups_ok = groups_ok and keeps_shares(problem, a, b)
                    if groups_ok and wishes[a] >= wishes[b] and sides[a] >= sides[b]:
                        found.append((a, b))
    return found


def keeps_shares(problem: Problem, a: int, b: int) -> bool:
    """True when item a in the place of b breaks no share, and serves every day that b serves."""
    return all(
        (a in one.items) <= (b in one.items) and (a in one.others) >= (b in one.others) for one in problem.shares
    ) and all((a in items) >= (b in items) for items in problem.daily)


def is_better(problem: Problem, a: int, b: int) -> bool:
    """True when item a is at least as good as b in every number but credits, station and sets, which are equal."""
    one, other = problem.items[a], problem.items[b]
    return (
        one.set_s <= other.set_s
        and one.once_s <= other.once_s
        and one.set_s - one.saved_s <= other.set_s - other.saved_s
        and one.cost <= other.cost
        and one.entry_cost <= other.entry_cost
        and set(one.days) >= set(other.days)
        and all(one.cost_on(day) <= other.cost_on(day) for day in other.days)
        and one.cliques <= other.cliques
        and one.may_pair >= other.may_pair
        and all(one.stress.get(cap, 0) <= other.stress.get(cap, 0) for cap in {*one.stress, *other.stress})
    )


def week_rows(problem: Problem, items: Iterable[int] | None = None) -> Rows:
    """The week without days: which items, on how many days, how many sets in each week."""
    rows = new_rows(problem, items)
    model, weeks = rows.model, len(problem.weeks)
    chosen: dict[int, Any] = {}
    times: dict[int, Any] = {}
    sets: dict[int, list[Any]] = {}
    for item in rows.items:
        one = problem.items[item]
        most = times_of(one)
        chosen[item] = rows.flag(f"x_{item}")
        if most <= 1:
            times[item] = chosen[item]
        else:
            times[item] = rows.whole(f"n_{item}", 0, most)
            model.add(times[item] >= max(1, one.times[0]) * chosen[item])
            model.add(times[item] <= most * chosen[item])
        if one.times[0] > 0:
            model.add(chosen[item] == 1)
        least = min((one.cost_on(day) for day in one.days), default=0)
        if least:
            rows.terms.append(least * times[item])
        sets[item] = [
            rows.whole(f"s_{item}_{week}", 0, sets_range(problem, item, week)[1] * most) for week in range(weeks)
        ]
        add_growth(rows, item, sets[item], chosen[item], times[item], most)
    add_choice(rows, chosen, times)
    credit = by_need(problem, rows.items)
    add_amounts(rows, lambda need, week: sum(value * sets[item][week] for item, value in credit[need]))
    totals = [sum(sets[item][week] for item in rows.items) for week in range(weeks)]
    add_return(rows, totals, sum(times.values()))
    for need_index, need in enumerate(problem.needs):
        full = [item for item in rows.items if is_full(problem, item, need_index)]
        if need.once and need.target > 0:
            once = rows.flag(f"once_{need_index}")
            model.add(sum(times[item] for item in full) >= 2 - 2 * once)
            rows.terms.append(need.once * once)
    for number, wanted in enumerate(problem.together):
        met = []
        for option, (first, second) in enumerate(wanted.options):
            both = rows.flag(f"both_{number}_{option}")
            model.add(both <= sum(chosen[item] for item in sorted(first & set(rows.items))))
            model.add(both <= sum(chosen[item] for item in sorted(second & set(rows.items))))
            met.append(both)
        lost = rows.flag(f"apart_{number}")
        model.add(sum(met) + lost >= 1)
        rows.terms.append(wanted.points * lost)
    for items in problem.daily:
        model.add(sum(times[item] for item in rows.items if item in items) >= len(problem.seconds))
    add_week_days(rows, chosen, times, sets)
    add_open_days(rows, times, sets)
    for better, worse in dominations(problem, rows.items):
        model.add(chosen[worse] <= chosen[better])
    return rows


def add_week_days(
    rows: Rows, chosen: Mapping[int, Any], times: Mapping[int, Any], sets: Mapping[int, Sequence[Any]]
) -> None:
    """Rows of the days, added up over the week: seconds with pairs, stations, budgets, hard needs."""
    problem, model, days, last = rows.problem, rows.model, len(rows.problem.seconds), rows.problem.hardest
    paired: dict[int, Any] = {}
    saved: list[Any] = []
    for item in rows.items:
        one = problem.items[item]
        if one.may_pair and one.saved_s > 0:
            most = times_of(one)
            paired[item] = rows.whole(f"a_{item}", 0, most)
            model.add(paired[item] <= times[item])
            together = rows.whole(f"p_{item}", 0, one.sets[1] * most)
            model.add(together <= sets[item][last])
            model.add(together <= one.sets[1] * paired[item])
            saved.append(one.saved_s * together)
    spent = sum(
        problem.items[item].set_s * sets[item][last] + problem.items[item].once_s * times[item] for item in rows.items
    )
    model.add(spent - sum(saved) <= sum(problem.seconds))
    if paired:
        pairs = rows.whole("pairs", 0, days * (problem.entries[1] // 2))
        model.add(2 * pairs == sum(paired.values()))
        for members in clique_members(problem, paired).values():
            model.add(sum(paired[item] for item in members) <= pairs)
        if problem.pair_points:
            rows.terms.append(problem.pair_points * pairs)
    if problem.station_points:
        used = []
        by_station: dict[int, list[int]] = {}
        for item in rows.items:
            if problem.items[item].station >= 0:
                by_station.setdefault(problem.items[item].station, []).append(item)
        for station, members in sorted(by_station.items()):
            spread = rows.whole(f"z_{station}", 0, days)
            for item in members:
                model.add(spread >= times[item])
            model.add(problem.entries[1] * spread >= sum(times[item] for item in members))
            add_station_room(rows, spread, members, times, sets, paired)
            used.append(spread)
            rows.terms.append(problem.station_points * spread)
        if all(problem.items[item].station >= 0 for item in rows.items):
            model.add(sum(used) >= days)
    for index, cap in enumerate(problem.caps):
        use = sum(problem.items[item].stress.get(index, 0) * sets[item][last] for item in rows.items)
        model.add(use <= cap.most * days)
    if problem.session_points is None or problem.hard_points is None:
        hard_days = most_hard_days(problem)
        for need in range(len(problem.needs)):
            units = sum(value * sets[item][last] for item, value in by_need(problem, rows.items)[need])
            most = days * problem.session_units
            if problem.hard_points is None and problem.session_points is None and problem.needs[need].target > 0:
                most = hard_days * problem.session_units + (days - hard_days) * problem.hard_units
            if problem.session_points is None:
                model.add(units <= most)


def day_classes(problem: Problem) -> list[tuple[int, ...]]:
    """Days on which the very same items may stand, class by class; one class where every item is open on every day."""
    open_on = [
        frozenset(index for index, one in enumerate(problem.items) if day in one.days)
        for day in range(len(problem.seconds))
    ]
    found: dict[frozenset[int], list[int]] = {}
    for day, items in enumerate(open_on):
        found.setdefault(items, []).append(day)
    return [tuple(days) for days in found.values()]


def add_open_days(rows: Rows, times: Mapping[int, Any], sets: Mapping[int, Sequence[Any]]) -> None:
    """Days on which fewer items are open get entries that may stand there, and hold what may stand nowhere else.

    Without it the week takes all its items from the place that has more, and no plan can be made of them.
    """
    problem, model, last = rows.problem, rows.model, rows.problem.hardest
    classes = day_classes(problem)
    if len(classes) < 2:
        return
    for days in classes:
        there = [item for item in rows.items if set(days) & set(problem.items[item].days)]
        model.add(sum(times[item] for item in there) >= problem.entries[0] * len(days))
    for days in sorted({problem.items[item].days for item in rows.items if problem.items[item].days}):
        if len(days) == len(problem.seconds):
            continue
        only = [item for item in rows.items if set(problem.items[item].days) <= set(days)]
        model.add(sum(times[item] for item in only) <= problem.entries[1] * len(days))
        spent = sum(
            problem.items[item].set_s * sets[item][last] + problem.items[item].once_s * times[item] for item in only
        )
        saved = sum(
            problem.items[item].saved_s * rows.variables[f"p_{item}"] for item in only if f"p_{item}" in rows.variables
        )
        model.add(spent - saved <= sum(problem.seconds[day] for day in days))


def add_station_room(
    rows: Rows,
    spread: Any,
    members: Sequence[int],
    times: Mapping[int, Any],
    sets: Mapping[int, Sequence[Any]],
    paired: Mapping[int, Any],
) -> None:
    """Days with a station hold its items: their seconds, and the sets of a need where a session has a most of it."""
    problem, last = rows.problem, rows.problem.hardest
    longest = max(problem.seconds)
    spent = sum(
        problem.items[item].set_s * sets[item][last] + problem.items[item].once_s * times[item] for item in members
    )
    saved = sum(problem.items[item].saved_s * rows.variables[f"p_{item}"] for item in members if item in paired)
    rows.model.add(spent - saved <= longest * spread)
    if problem.session_points is not None:
        return
    for pairs_of in by_need(problem, members):
        if pairs_of:
            units = sum(value * sets[item][last] for item, value in pairs_of)
            rows.model.add(units <= problem.session_units * spread)


def most_hard_days(problem: Problem) -> int:
    """The most days of which no two are neighbours."""
    days = range(len(problem.seconds))
    best = 0
    for mask in range(1 << len(problem.seconds)):
        picked = [day for day in days if mask >> day & 1]
        if all(not (a in picked and b in picked) for a, b in problem.neighbours):
            best = max(best, len(picked))
    return best


def by_need(problem: Problem, items: Sequence[int]) -> list[list[tuple[int, int]]]:
    """For each need, the items that give it units, with the units of a set."""
    found: list[list[tuple[int, int]]] = [[] for _ in problem.needs]
    for item in items:
        for need, value in problem.items[item].credits.items():
            if value:
                found[need].append((item, value))
    return found


def whole_rows(problem: Problem, items: Iterable[int] | None = None) -> Rows:
    """The whole plan: which items, on which days, how many sets there in each week, which in pairs.

    Rows of the days hold for the hardest week, as no other has more sets. So an item that stands on one day at most
    has sets by day for that week only, and sets by week without a day.
    """
    rows = new_rows(problem, items)
    model, days, weeks = rows.model, len(problem.seconds), len(problem.weeks)
    here: dict[tuple[int, int], Any] = {}
    peak: dict[tuple[int, int], Any] = {}
    weekly: dict[int, list[Any]] = {}
    chosen: dict[int, Any] = {}
    times: dict[int, Any] = {}
    for item in rows.items:
        one = problem.items[item]
        for day in one.days:
            here[item, day] = rows.flag(f"y_{item}_{day}")
        times[item] = sum(here[item, day] for day in one.days)
        add_standing(rows, item, here, chosen, times)
        rows.terms += [one.cost_on(day) * here[item, day] for day in one.days if one.cost_on(day)]
        add_sets(rows, item, here, chosen, peak, weekly)
    add_choice(rows, chosen, times)
    credit = by_need(problem, rows.items)
    on = {day: [item for item in rows.items if day in problem.items[item].days] for day in range(days)}
    add_amounts(rows, lambda need, week: sum(value * weekly[item][week] for item, value in credit[need]))
    totals = [sum(weekly[item][week] for item in rows.items) for week in range(weeks)]
    add_return(rows, totals, sum(times.values()))
    for day in range(days):
        add_day(rows, day, on[day], here, peak)
        for items in problem.daily:
            model.add(sum(here[item, day] for item in on[day] if item in items) >= 1)
    add_neighbours(rows, here, peak, credit)
    add_apart(rows, peak, credit)
    for index, need in enumerate(problem.needs):
        if need.once and need.target > 0:
            held = []
            for day in range(days):
                full = [here[item, day] for item in on[day] if is_full(problem, item, index)]
                there = rows.flag(f"held_{index}_{day}")
                model.add(there <= sum(full))
                held.append(there)
            once = rows.flag(f"once_{index}")
            model.add(sum(held) >= 2 - 2 * once)
            rows.terms.append(need.once * once)
    for number, wanted in enumerate(problem.together):
        met = []
        for option, (first, second) in enumerate(wanted.options):
            for day in range(days):
                both = rows.flag(f"both_{number}_{option}_{day}")
                model.add(both <= sum(here[item, day] for item in on[day] if item in first))
                model.add(both <= sum(here[item, day] for item in on[day] if item in second))
                met.append(both)
        lost = rows.flag(f"apart_{number}")
        model.add(sum(met) + lost >= 1)
        rows.terms.append(wanted.points * lost)
    add_evenness(rows, here, peak, on)
    add_order_of_like_days(rows, peak, on)
    for better, worse in dominations(problem, rows.items):
        model.add(chosen[worse] <= chosen[better])
    return rows


def add_standing(
    rows: Rows,
    item: int,
    here: Mapping[tuple[int, int], Any],
    chosen: dict[int, Any],
    times: Mapping[int, Any],
) -> None:
    """On how many days an item stands, and whether it is chosen."""
    model, one = rows.model, rows.problem.items[item]
    if times_of(one) <= 1 and one.times[0] == 0:
        chosen[item] = times[item]
        model.add_at_most_one(here[item, day] for day in one.days)
        return
    chosen[item] = rows.flag(f"x_{item}")
    model.add(times[item] >= max(1, one.times[0]) * chosen[item])
    model.add(times[item] <= times_of(one) * chosen[item])
    for day in one.days:
        model.add(here[item, day] <= chosen[item])
    if one.times[0] > 0:
        model.add(chosen[item] == 1)


def add_sets(
    rows: Rows,
    item: int,
    here: Mapping[tuple[int, int], Any],
    chosen: Mapping[int, Any],
    peak: dict[tuple[int, int], Any],
    weekly: dict[int, list[Any]],
) -> None:
    """Sets of an item: by week, and by day in the hardest week; by both where it can stand on several days."""
    problem, one = rows.problem, rows.problem.items[item]
    weeks, last = range(len(problem.weeks)), problem.hardest
    if times_of(one) <= 1:
        weekly[item] = [rows.whole(f"s_{item}_{week}", 0, sets_range(problem, item, week)[1]) for week in weeks]
        add_growth(rows, item, weekly[item], chosen[item], chosen[item], 1)
        low, high = sets_range(problem, item, last)
        for day in one.days:
            peak[item, day] = rows.whole(f"u_{item}_{day}", 0, high)
            rows.model.add(peak[item, day] >= low * here[item, day])
            rows.model.add(peak[item, day] <= high * here[item, day])
        rows.model.add(sum(peak[item, day] for day in one.days) == weekly[item][last])
        return
    by_day = {}
    for day in one.days:
        by_day[day] = [rows.whole(f"t_{item}_{day}_{week}", 0, sets_range(problem, item, week)[1]) for week in weeks]
        add_growth(rows, item, by_day[day], here[item, day], here[item, day], 1)
        peak[item, day] = by_day[day][last]
    weekly[item] = [sum(amounts[week] for amounts in by_day.values()) for week in weeks]


def like_days(problem: Problem, items: Sequence[int]) -> list[tuple[int, int]]:
    """Pairs (day, later day) such that the earlier one may be asked to have at least as many sets.

    Days that can change places without any row noticing are told apart so: the first day has the most sets of all
    that can stand in its place; with it fixed, the next one, and so on. Source: the stabiliser chain of the group.
    """
    count = len(problem.seconds)
    near = [{frozenset(pair) for pair in problem.neighbours}]
    near += [{frozenset(pair) for pair in need.apart.pairs} for need in problem.needs if need.apart is not None]

    def is_alike(order: tuple[int, ...]) -> bool:
        if any(problem.seconds[order[day]] != problem.seconds[day] for day in range(count)):
            return False
        if any({frozenset(order[day] for day in pair) for pair in one} != one for one in near):
            return False
        kinds = {problem.items[item].days for item in items}
        if any(problem.items[i].cost_on(order[day]) != problem.items[i].cost_on(day) for i in items for day in order):
            return False
        return all({order[day] for day in days} == set(days) for days in kinds)

    group = [order for order in permutations(range(count)) if is_alike(order)]
    found = []
    for day in range(count):
        found += [(day, other) for other in sorted({order[day] for order in group}) if other != day]
        group = [order for order in group if order[day] == day]
    return found


def add_order_of_like_days(rows: Rows, peak: Mapping[tuple[int, int], Any], on: Mapping[int, Sequence[int]]) -> None:
    """Of days that nothing tells apart, the earlier has at least as many sets in the hardest week."""
    for day, other in like_days(rows.problem, rows.items):
        rows.model.add(sum(peak[item, day] for item in on[day]) >= sum(peak[item, other] for item in on[other]))


def add_day(
    rows: Rows,
    day: int,
    on: Sequence[int],
    here: Mapping[tuple[int, int], Any],
    peak: Mapping[tuple[int, int], Any],
) -> None:
    """Rows of one day: entries, seconds with pairs, stations, budgets, big and goal items, sets of a need."""
    problem, model = rows.problem, rows.model
    count = sum(here[item, day] for item in on)
    model.add(count >= problem.entries[0])
    model.add(count <= problem.entries[1])
    paired: dict[int, Any] = {}
    saved: list[Any] = []
    for item in on:
        one = problem.items[item]
        if one.may_pair and one.saved_s > 0:
            paired[item] = rows.flag(f"a_{item}_{day}")
            model.add_implication(paired[item], here[item, day])
            together = rows.whole(f"p_{item}_{day}", 0, one.sets[1])
            model.add(together <= peak[item, day])
            model.add(together <= one.sets[1] * paired[item])
            saved.append(one.saved_s * together)
    spent = sum(
        problem.items[item].set_s * peak[item, day] + problem.items[item].once_s * here[item, day] for item in on
    )
    model.add(spent - sum(saved) <= problem.seconds[day])
    if paired:
        pairs = rows.whole(f"pairs_{day}", 0, problem.entries[1] // 2)
        model.add(2 * pairs == sum(paired.values()))
        for members in clique_members(problem, paired).values():
            model.add(sum(paired[item] for item in members) <= pairs)
        if problem.pair_points:
            rows.terms.append(problem.pair_points * pairs)
    if problem.station_points:
        by_station: dict[int, list[int]] = {}
        for item in on:
            if problem.items[item].station >= 0:
                by_station.setdefault(problem.items[item].station, []).append(item)
        used = []
        for station, members in sorted(by_station.items()):
            taken = rows.flag(f"z_{station}_{day}")
            for item in members:
                model.add_implication(here[item, day], taken)
            used.append(taken)
            rows.terms.append(problem.station_points * taken)
        if all(problem.items[item].station >= 0 for item in on) and problem.entries[0]:
            model.add(sum(used) >= 1)
    for index, cap in enumerate(problem.caps):
        model.add(sum(problem.items[item].stress.get(index, 0) * peak[item, day] for item in on) <= cap.most)
    if problem.bigless_points:
        bigless = rows.flag(f"bigless_{day}")
        model.add(sum(here[item, day] for item in on if "big" in problem.items[item].marks) + bigless >= 1)
        rows.terms.append(problem.bigless_points * bigless)
    goals = [item for item in rows.items if "goal" in problem.items[item].marks]
    if goals and problem.crowded_points:
        fair = max(1, -(-sum(problem.items[item].times[1] for item in goals) // len(problem.seconds)))
        amount = sum(here[item, day] for item in goals if (item, day) in here) - fair
        rows.over(amount, problem.crowded_points, 9, f"crowded_{day}")
    for need, pairs_of in enumerate(by_need(problem, on)):
        units = sum(value * peak[item, day] for item, value in pairs_of)
        most = sum(value * problem.items[item].sets[1] for item, value in pairs_of)
        if most > problem.session_units:
            rows.over(units - problem.session_units, problem.session_points, most, f"excess_{need}_{day}")
        own = problem.needs[need].session
        if own is not None and most > own[0]:
            rows.over(units - own[0], own[1], most, f"own_{need}_{day}")


def add_neighbours(
    rows: Rows,
    here: Mapping[tuple[int, int], Any],
    peak: Mapping[tuple[int, int], Any],
    credit: Sequence[Sequence[tuple[int, int]]],
) -> None:
    """Needs hard on two days in a row, and kin on two days in a row."""
    problem, model = rows.problem, rows.model
    near = sorted({day for pair in problem.neighbours for day in pair})
    if problem.hard_points != 0:
        for index, need in enumerate(problem.needs):
            if need.target <= 0:
                continue
            hard: dict[int, Any] = {}
            for day in near:
                rows_of = [(item, value) for item, value in credit[index] if day in problem.items[item].days]
                most = sum(value * problem.items[item].sets[1] for item, value in rows_of)
                if most <= problem.hard_units:
                    continue
                hard[day] = rows.flag(f"hard_{index}_{day}")
                top = min(most, problem.session_units if problem.session_points is None else most)
                units = sum(value * peak[item, day] for item, value in rows_of)
                model.add(units <= problem.hard_units + (top - problem.hard_units) * hard[day])
            for first, second in problem.neighbours:
                if first in hard and second in hard:
                    rows.over(hard[first] + hard[second] - 1, problem.hard_points, 1, f"hards_{index}_{first}_{second}")
    if problem.twice_points:
        add_kin(rows, here)


def add_kin(rows: Rows, here: Mapping[tuple[int, int], Any]) -> None:
    """Kin on two days in a row."""
    problem, model = rows.problem, rows.model
    by_kin: dict[str, list[int]] = {}
    for item in rows.items:
        by_kin.setdefault(problem.kin(item), []).append(item)
    near = sorted({day for pair in problem.neighbours for day in pair})
    for items in by_kin.values():
        if len(items) == 1 and times_of(problem.items[items[0]]) < 2:
            continue
        there: dict[int, Any] = {}
        for day in near:
            on = [here[item, day] for item in items if (item, day) in here]
            if len(on) > 1:
                there[day] = rows.flag(f"kin_{items[0]}_{day}")
                model.add_max_equality(there[day], on)
            elif on:
                there[day] = on[0]
        for first, second in problem.neighbours:
            if first in there and second in there:
                amount = there[first] + there[second] - 1
                rows.over(amount, problem.twice_points, 1, f"twice_{items[0]}_{first}_{second}")


def add_apart(rows: Rows, peak: Mapping[tuple[int, int], Any], credit: Sequence[Sequence[tuple[int, int]]]) -> None:
    """Days that should not both be hard for a need (``Apart``)."""
    problem = rows.problem
    for index, need in enumerate(problem.needs):
        if need.apart is None or need.apart.points <= 0:
            continue
        hard: dict[int, Any] = {}
        for day in sorted({day for pair in need.apart.pairs for day in pair}):
            rows_of = [(item, value) for item, value in credit[index] if day in problem.items[item].days]
            most = sum(value * problem.items[item].sets[1] for item, value in rows_of)
            if most < need.apart.units:
                continue
            hard[day] = rows.flag(f"apart_{index}_{day}")
            units = sum(value * peak[item, day] for item, value in rows_of)
            rows.model.add(units <= need.apart.units - 1 + (most - need.apart.units + 1) * hard[day])
        for first, second in need.apart.pairs:
            if first in hard and second in hard:
                amount = hard[first] + hard[second] - 1
                rows.over(amount, need.apart.points, 1, f"aparts_{index}_{first}_{second}")


def add_evenness(
    rows: Rows,
    here: Mapping[tuple[int, int], Any],
    peak: Mapping[tuple[int, int], Any],
    on: Mapping[int, Sequence[int]],
) -> None:
    """Points for days that differ much in spare time. Pairs count here too."""
    problem, model = rows.problem, rows.model
    if problem.uneven is None or len(problem.seconds) < 2:
        return
    free, each = problem.uneven
    low, high = rows.whole("spare_low", 0, max(problem.seconds)), rows.whole("spare_high", 0, max(problem.seconds))
    for day, room in enumerate(problem.seconds):
        spent = sum(
            problem.items[item].set_s * peak[item, day] + problem.items[item].once_s * here[item, day]
            for item in on[day]
        )
        saved = sum(
            problem.items[item].saved_s * rows.variables[f"p_{item}_{day}"]
            for item in on[day]
            if f"p_{item}_{day}" in rows.variables
        )
        model.add(low <= room - spent + saved)
        model.add(high >= room - spent + saved)
    steps = rows.whole("uneven", 0, max(problem.seconds) // each)
    model.add(each * steps >= high - low - free - each + 1)
    rows.terms.append(steps)


def plan_from(rows: Rows, values: Mapping[str, int]) -> Plan:
    """The plan of a solved whole form, still without pairs joined (``pairs.join_pairs`` does that)."""
    problem = rows.problem
    days: list[list[Spot]] = [[] for _ in problem.seconds]
    for item in rows.items:
        single = times_of(problem.items[item]) <= 1
        for day in problem.items[item].days:
            if values[f"y_{item}_{day}"]:
                name = f"s_{item}" if single else f"t_{item}_{day}"
                days[day].append(Spot(item, tuple(values[f"{name}_{week}"] for week in range(len(problem.weeks)))))
    return Plan(tuple(tuple(day) for day in days))
