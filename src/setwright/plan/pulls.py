"""Wishes for sets that pull against each other or against the minutes, said only where that is proven.

The proof is the search's own week without days: every block is one of its weeks, so what has no week there has no
block. Only numbers that the coach wrote (``sets_per_muscle``) are looked at, and only where the block misses them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby
from typing import Any

from setwright.plan.block import Unmet
from setwright.plan.conflict import smallest_conflict
from setwright.plan.demand import is_about
from setwright.plan.explain import in_words, join_words
from setwright.plan.fit import Search
from setwright.plan.posing import Posed
from setwright.plan.search.model import Rows, times_of, week_rows, whole_rows
from setwright.plan.search.problem import Plan, Problem
from setwright.plan.search.rank import relaxation
from setwright.plan.search.worth import units_of
from setwright.plan.solver import solve

NEAR = 4  # half sets under a wish that are near enough: as where a block says that it misses one
LIMIT = 0.4  # deterministic solver time of one question
STEP_S, MOST_STEPS = 300, 24


def pulls(search: Search, posed: Posed, plan: Plan) -> list[Unmet]:
    """One line where numbers of sets that the coach wrote are missed and cannot be met together; else nothing."""
    problem = posed.problem
    brief = search.brief
    wanted = [
        index
        for index, row in enumerate(search.demand.muscles)
        if row.target > 0 and any(is_about(row, word) for word in brief.sets_per_muscle)
    ]
    week, spots = problem.hardest, tuple(spot for day in plan.days for spot in day)
    held = {
        index: problem.given(problem.needs[index], week) + units_of(problem, index, spots, week) for index in wanted
    }
    missed = [index for index in wanted if held[index] < problem.needs[index].target - NEAR]
    if not missed:
        return []
    peak = replace(problem, weeks=(replace(problem.weeks[week], sort="build"),), needs=only_week(problem, week))
    members = [*(f"need {index}" for index in wanted), *(f"item {one}" for one in named_items(problem))]
    core = smallest_conflict(members, lambda active: has_week(peak, members, active), most_rounds=12)
    if not core or not is_ruled_out(peak, core, members):
        return []
    return [told(search, posed, peak, core, held)]


def only_week(problem: Problem, week: int) -> tuple[Any, ...]:
    """The needs with what is given in one week only."""
    return tuple(replace(need, given=(problem.given(need, week),)) for need in problem.needs)


def named_items(problem: Problem) -> list[int]:
    """Items that have to be chosen."""
    return [index for index, item in enumerate(problem.items) if item.times[0] > 0]


def released(problem: Problem, members: Sequence[str], active: frozenset[str]) -> Problem:
    """The problem with the wishes for items that do not count set free."""
    gone = {int(one.split()[1]) for one in members if one.startswith("item ") and one not in active}
    items = tuple(
        replace(item, times=(0, 0), days=()) if index in gone else item for index, item in enumerate(problem.items)
    )
    return replace(problem, items=items)


def wants(active: frozenset[str]) -> list[int]:
    """Indexes of the needs that count."""
    return sorted(int(one.split()[1]) for one in active if one.startswith("need "))


def asked_week(peak: Problem, members: Sequence[str], active: frozenset[str]) -> Rows:
    """The rows of a week without days that is to hold what counts."""
    rows = week_rows(released(peak, members, active))
    for need in wants(active):
        add_want(rows, need, {item: rows.variables[f"s_{item}_0"] for item in rows.items})
    return rows


def has_week(peak: Problem, members: Sequence[str], active: frozenset[str]) -> bool:
    """Whether a week without days, with parts of sets too, holds what counts: quick, and a no is a no."""
    return relaxation(asked_week(peak, members, active)) is not None


def is_ruled_out(peak: Problem, core: Sequence[str], members: Sequence[str]) -> bool:
    """True where the solver proves that no week without days holds a conflict."""
    rows = asked_week(peak, members, frozenset(core))
    return solve(rows.model, {}, 0, limit=LIMIT).is_infeasible


def has_plan(peak: Problem, members: Sequence[str], active: frozenset[str]) -> bool:
    """Whether whole days hold what counts; False where that is not settled."""
    problem = released(peak, members, active)
    needed = set(wants(active))
    useful = [
        index
        for index, item in enumerate(problem.items)
        if item.times[0] > 0 or (needed & {need for need, units in item.credits.items() if units})
    ]
    rows = whole_rows(problem, useful)
    sets: dict[int, Any] = {}
    for item in rows.items:
        if times_of(problem.items[item]) <= 1:
            sets[item] = rows.variables[f"s_{item}_0"]
        else:
            sets[item] = sum(rows.variables[f"t_{item}_{day}_0"] for day in problem.items[item].days)
    for need in sorted(needed):
        add_want(rows, need, sets)
    return bool(solve(rows.model, rows.variables, 0, limit=LIMIT).values)


def add_want(rows: Rows, need: int, sets: dict[int, Any]) -> None:
    """A row that asks for nearly all the sets of a need."""
    problem = rows.problem
    units = sum(problem.items[item].credits.get(need, 0) * amount for item, amount in sets.items())
    rows.model.add(units + problem.given(problem.needs[need], 0) >= problem.needs[need].target - NEAR)


def told(search: Search, posed: Posed, peak: Problem, core: Sequence[str], held: dict[int, int]) -> Unmet:
    """The line for a conflict, with the smallest repair."""
    needs = [int(one.split()[1]) for one in core if one.startswith("need ")]
    lifts = [int(one.split()[1]) for one in core if one.startswith("item ")]
    names = {index: in_words(posed.problem.needs[index].name) for index in needs}
    wishes = [f"{posed.problem.needs[one].target / 2:g} sets for {names[one]}" for one in needs]
    wishes += [posed.candidates[one].exercise.name for one in lifts]
    planned = join_words([f"{held[one] / 2:g} for {names[one]}" for one in needs if held[one]])
    fewer = [f"{planned} as planned"] if planned else []
    endless = replace(peak, seconds=tuple(24 * 3600 for _ in peak.seconds))
    if is_ruled_out(endless, core, core):
        why = "No week holds them: at most two exercises of one movement are taken, of two to four sets each."
        return Unmet(join_words(wishes), f"{why} {either(['more of it in include', *fewer])} would do.")
    caps = [f"{len(list(same))} x {cap:g} min" for cap, same in groupby(sorted(search.caps))]
    more = minutes_more(peak, core)
    ways = [*([f"about {more} min more on each day"] if more else []), *fewer]
    why = "They pull against each other: no" if len(wishes) > 1 else "No"
    why = f"{why} week of {join_words(caps)} holds {'both' if len(wishes) == 2 else 'that'}, whatever else goes."
    return Unmet(join_words(wishes), f"{why} {either(ways)} would do." if ways else why)


def either(ways: Sequence[str]) -> str:
    """Ways as a sentence begins: ``A, or b``."""
    text = ", or ".join(ways)
    return text[:1].upper() + text[1:]


def minutes_more(peak: Problem, core: Sequence[str]) -> int:
    """Minutes more on each day, in steps of five, with which whole days hold a conflict; 0 where none was found."""
    active = frozenset(core)

    def works(steps: int) -> bool:
        longer = replace(peak, seconds=tuple(one + STEP_S * steps for one in peak.seconds))
        return has_plan(longer, [*core], active)

    low, high = 0, 1
    while high <= MOST_STEPS and not works(high):
        low, high = high, 2 * high
    if high > MOST_STEPS:
        return 0
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if works(middle) else (middle, high)
    return high * STEP_S // 60
