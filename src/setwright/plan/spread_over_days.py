"""Stage two of designing: on which days the chosen exercises stand, and how many sets each day.

Points: the same group hard on consecutive days 6, more than eight sets of a group in one session 2 a half
set, a wanted group on a single day 5, the same exercise on consecutive days 5, a session without a big
lift 4, uneven sessions 1 for each five minutes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from setwright.people.trainee import DAYS, TrainingDay
from setwright.plan.brief import Brief
from setwright.plan.candidates import SINGLE_JOINT_PATTERNS
from setwright.plan.choose import CHANGE_OVER_S, Pick, half_credit, seconds_of
from setwright.plan.demand import WeekDemand
from setwright.plan.solver import Solved, solve
from setwright.plan.special_schemes import small_for_big

HARD_HALF_SETS = 6
SESSION_HALF_SETS = 16
MOST_ENTRIES = 7


@dataclass(frozen=True)
class DayPlan:
    """What stands on each day: (pick, sets) in no order yet; points and bound as proven for this choice."""

    days: tuple[tuple[tuple[Pick, int], ...], ...]
    objective: float
    bound: float
    is_optimal: bool


def are_consecutive(first: TrainingDay, second: TrainingDay) -> bool:
    """True when the second day follows the first, Sunday to Monday included."""
    return (DAYS.index(second.day) - DAYS.index(first.day)) % 7 == 1


def is_big(pick: Pick) -> bool:
    """True for lifts that a session can be built on."""
    return pick.is_goal_lift or (
        pick.candidate.exercise.pattern not in SINGLE_JOINT_PATTERNS
        and pick.candidate.exercise.load_capacity >= 3
        and pick.candidate.exercise.is_dynamic
    )


def spread_over_days(
    picks: Sequence[Pick],
    demand: WeekDemand,
    brief: Brief,
    days: Sequence[TrainingDay],
    seconds: Sequence[int],
    limit: float = 3.0,
) -> DayPlan | None:
    """The best placing of the picks on the days, or None where none fits.

    seconds : for each day, what is left for these entries
    """
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    count = len(days)
    here: dict[tuple[int, int], Any] = {}
    sets: dict[tuple[int, int], Any] = {}
    variables: dict[str, Any] = {}
    terms: list[Any] = []
    for index, pick in enumerate(picks):
        per_day = -(-pick.weekly_sets // pick.days)
        for day in range(count):
            here[index, day] = model.new_bool_var(f"y_{index}_{day}")
            sets[index, day] = model.new_int_var(0, per_day, f"s_{index}_{day}")
            variables[f"y_{index}_{day}"], variables[f"s_{index}_{day}"] = here[index, day], sets[index, day]
            if days[day].place not in pick.candidate.places:
                model.add(here[index, day] == 0)
            model.add(sets[index, day] <= per_day * here[index, day])
            model.add(sets[index, day] >= max(1, pick.weekly_sets // pick.days) * here[index, day])
        model.add(sum(here[index, day] for day in range(count)) == pick.days)
        model.add(sum(sets[index, day] for day in range(count)) == pick.weekly_sets)

    neighbours = [(a, b) for a in range(count) for b in range(count) if a != b and are_consecutive(days[a], days[b])]
    for index in range(len(picks)):
        for a, b in neighbours:
            both = model.new_bool_var(f"twice_{index}_{a}_{b}")
            model.add(here[index, a] + here[index, b] <= 1 + both)
            terms.append(5 * both)
    loads = []
    for day in range(count):
        spent = sum(
            seconds_of(pick.candidate, pick.is_goal_lift, brief.supersets) * sets[index, day]
            + CHANGE_OVER_S * here[index, day]
            for index, pick in enumerate(picks)
        )
        model.add(spent <= seconds[day])
        load = model.new_int_var(0, 10_000, f"load_{day}")
        model.add(300 * load >= spent)
        loads.append(load)
        model.add(sum(here[index, day] for index in range(len(picks))) >= 1)
        model.add(sum(here[index, day] for index in range(len(picks))) <= MOST_ENTRIES)
        bigs = [here[index, day] for index, pick in enumerate(picks) if is_big(pick)]
        none_big = model.new_bool_var(f"small_{day}")
        model.add(sum(bigs) + none_big >= 1)
        terms.append(4 * none_big)
        goal_lifts = [here[index, day] for index, pick in enumerate(picks) if pick.is_goal_lift]
        if goal_lifts:
            crowded = model.new_int_var(0, 9, f"crowded_{day}")
            model.add(crowded >= sum(goal_lifts) - max(1, -(-sum(p.days for p in picks if p.is_goal_lift) // count)))
            terms.append(4 * crowded)
    heaviest, lightest = model.new_int_var(0, 10_000, "heaviest"), model.new_int_var(0, 10_000, "lightest")
    for load, allowed in zip(loads, seconds, strict=True):
        model.add(heaviest >= load)
        model.add(lightest <= load + max(0, (max(seconds) - allowed) // 300))
    terms.append(heaviest - lightest)

    for need in demand.muscles:
        if need.target <= 0:
            continue
        hard, present = [], []
        for day in range(count):
            total = sum(half_credit(pick.candidate, need) * sets[i, day] for i, pick in enumerate(picks))
            is_hard = model.new_bool_var(f"hard_{need.roll_up}_{day}")
            model.add(total <= HARD_HALF_SETS - 1 + 60 * is_hard)
            hard.append(is_hard)
            excess = model.new_int_var(0, 60, f"excess_{need.roll_up}_{day}")
            model.add(excess >= total - SESSION_HALF_SETS)
            terms.append(2 * excess)
            there = model.new_bool_var(f"there_{need.roll_up}_{day}")
            model.add(there <= total)
            present.append(there)
        for a, b in neighbours:
            both = model.new_bool_var(f"both_{need.roll_up}_{a}_{b}")
            model.add(hard[a] + hard[b] <= 1 + both)
            terms.append(6 * both)
        if need.target >= 4 and count >= 2:
            once = model.new_bool_var(f"once_{need.roll_up}")
            model.add(sum(present) >= 2 - 2 * once)
            terms.append(5 * once)

    if brief.same_muscle_superset:
        together = []
        for a, small in enumerate(picks):
            for b, big in enumerate(picks):
                one, other = small.candidate, big.candidate
                if small.is_goal_lift or big.is_goal_lift:
                    continue
                if small_for_big(one.exercise, one.credits, other.exercise, other.credits) is None:
                    continue
                for day in range(count):
                    both = model.new_bool_var(f"superset_{a}_{b}_{day}")
                    model.add(both <= here[a, day])
                    model.add(both <= here[b, day])
                    together.append(both)
        if together:
            apart = model.new_bool_var("apart")
            model.add(sum(together) + apart >= 1)
            terms.append(8 * apart)

    tie_break = [
        (here[index, day], 1 + (index * 7 + day * 3) % 11 + index + day)
        for index in range(len(picks))
        for day in range(count)
    ]
    solved: Solved = solve(model, variables, sum(terms), tie_break, limit)
    if not solved.values:
        return None
    placed = tuple(
        tuple(
            (pick, solved.values[f"s_{index}_{day}"])
            for index, pick in enumerate(picks)
            if solved.values[f"y_{index}_{day}"]
        )
        for day in range(count)
    )
    return DayPlan(placed, solved.objective, solved.bound, solved.is_optimal)
