"""Stage one of designing: which exercises, how often, and how many sets in the peak week. No days yet.

A week without days is a relaxation of the week with days, so the bound proven here holds for the whole
template. Points: a missing half set 4, a half set too many 1 (beyond a dead band of one set), a missing
movement pattern 14, a wished scheme without an exercise 16, each step of second choice 6, each entry 1.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from setwright.plan.brief import Brief
from setwright.plan.candidates import Candidate
from setwright.plan.demand import MuscleDemand, WeekDemand
from setwright.plan.solver import Solved, solve
from setwright.plan.special_schemes import is_small, small_for_big, suits_hold_reps_hold

UNDER_POINTS = 4
FLOOR_POINTS = 6
OVER_POINTS = 1
PATTERN_POINTS = 14
PREFERENCE_POINTS = 6
ENTRY_POINTS = 1
THIN_POINTS = 3
SCHEME_POINTS = 16  # a scheme the brief asks for that no chosen exercise can carry
ONCE_ONLY_POINTS = 5  # a wanted group met on a single day (rule V08)
DEAD_BAND_HALF_SETS = 2
PAIRED_REST_SHARE = 0.6  # paired sets give back about 40 % of the rest (Burke 2024: 36 % less time)
CHANGE_OVER_S = 75


@dataclass(frozen=True)
class Pick:
    """One chosen exercise: on how many days, and how many sets in the peak week."""

    candidate: Candidate
    days: int
    weekly_sets: int
    is_goal_lift: bool


@dataclass(frozen=True)
class Choice:
    """The chosen week, with the points and the proven bound, and the patterns nothing could serve."""

    picks: tuple[Pick, ...]
    objective: float
    bound: float
    is_optimal: bool
    missing_patterns: tuple[str, ...]
    fuse_blown: bool


def half_credit(candidate: Candidate, demand: MuscleDemand) -> int:
    """Credit of one set for a demand, in half sets: the largest credit among its muscles."""
    return round(2 * max((candidate.credits.get(muscle, 0.0) for muscle in demand.muscles), default=0.0))


def seconds_of(candidate: Candidate, is_goal_lift: bool, supersets: bool) -> int:
    """Seconds of one set with its rest, rounded up (an allowance is never rounded in our favour)."""
    rest = candidate.rest_s if is_goal_lift or not supersets else candidate.rest_s * PAIRED_REST_SHARE
    return int(candidate.set_s + rest + 0.999) + 8


def choose_exercises(
    candidates: Sequence[Candidate],
    demand: WeekDemand,
    brief: Brief,
    day_places: Sequence[str],
    seconds: int,
    fixed_half_credits: Mapping[str, int],
    wanted_entries: int = 0,
    keep: Mapping[str, tuple[int, int]] | None = None,
    limit: float = 3.0,
    ties: bool = True,
) -> Choice | None:
    """The best selection for a week of ``seconds``, or None where no selection exists.

    candidates : what the gates allow; day_places : the place of each training day
    fixed_half_credits : half sets that skill and wanted work already give, by roll-up
    wanted_entries : entries a week that fill the sessions; each one missing costs 3 points
    ties : whether equally good weeks are told apart by a fixed order, for which the search runs twice
    keep : exercises of an old plan with (days, weekly sets): staying near them costs nothing, leaving 6 points
    """
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    days = len(day_places)
    candidates = without_twins(candidates, brief, keep or {})
    wishes = {wish.exercise: wish for wish in brief.lifts}
    variables: dict[str, Any] = {}
    chosen: dict[str, Any] = {}
    times: dict[str, Any] = {}
    sets: dict[str, Any] = {}
    terms: list[Any] = []
    for one in candidates:
        slug = one.slug
        reachable = sum(1 for place in day_places if place in one.places)
        wish = wishes.get(slug)
        chosen[slug] = model.new_bool_var(f"x_{slug}")
        if wish:
            most = min(wish.times_a_week, reachable)
            times[slug] = model.new_int_var(0, most, f"n_{slug}")
            sets[slug] = model.new_int_var(0, wish.sets * most, f"t_{slug}")
            model.add(chosen[slug] == 1)
            model.add(times[slug] == most)
            model.add(sets[slug] == wish.sets * most)
        else:
            times[slug] = model.new_int_var(0, min(2, reachable), f"n_{slug}")
            sets[slug] = model.new_int_var(0, 4 * min(2, reachable), f"t_{slug}")
            model.add(sets[slug] >= 2 * times[slug])
            model.add(sets[slug] <= 4 * times[slug])
            model.add(times[slug] >= chosen[slug])
            model.add(times[slug] <= 2 * chosen[slug])
            if slug in brief.include:
                model.add(chosen[slug] == 1)
        if one.cost:
            terms.append(PREFERENCE_POINTS * one.cost * chosen[slug])
        terms.append(ENTRY_POINTS * times[slug])
        if keep is not None:
            terms.append(6 * (1 - chosen[slug]) if slug in keep else 6 * chosen[slug])
        for name, made in (("x", chosen), ("n", times), ("t", sets)):
            variables[f"{name}_{slug}"] = made[slug]

    families: dict[str, list[str]] = {}
    patterns: dict[str, list[str]] = {}
    for one in candidates:
        if one.slug not in wishes and one.slug not in brief.include:
            families.setdefault(one.exercise.base, []).append(one.slug)
            patterns.setdefault(one.exercise.pattern, []).append(one.slug)
    for group in families.values():
        if len(group) > 1:
            model.add_at_most_one(chosen[slug] for slug in group)
    for group in patterns.values():
        if len(group) > 2:
            model.add(sum(chosen[slug] for slug in group) <= 2)

    spent = sum(
        seconds_of(one, one.slug in wishes, brief.supersets) * sets[one.slug] + CHANGE_OVER_S * times[one.slug]
        for one in candidates
    )
    model.add(spent <= seconds)
    model.add(sum(times.values()) >= days)
    fewer = model.new_int_var(0, 6 * days, "fewer")
    model.add(fewer >= wanted_entries - sum(times.values()))
    terms.append(THIN_POINTS * fewer)
    model.add(sum(times.values()) <= 6 * days)

    for need in demand.muscles:
        if need.target <= 0:
            continue
        target, floor = round(2 * need.target), round(2 * need.floor)
        given = fixed_half_credits.get(need.roll_up, 0)
        credit = {one.slug: half_credit(one, need) for one in candidates}
        total = sum(value * sets[slug] for slug, value in credit.items() if value)
        under = model.new_int_var(0, target, f"u_{need.roll_up}")
        below = model.new_int_var(0, floor, f"b_{need.roll_up}")
        over = model.new_int_var(0, 200, f"o_{need.roll_up}")
        model.add(under >= target - DEAD_BAND_HALF_SETS - given - total)
        model.add(below >= floor - given - total)
        model.add(over >= total + given - target - DEAD_BAND_HALF_SETS)
        terms += [UNDER_POINTS * under, FLOOR_POINTS * below, OVER_POINTS * over]
        if need.target >= 4 and days >= 2:
            once = model.new_bool_var(f"once_{need.roll_up}")
            direct = sum(times[slug] for slug, value in credit.items() if value >= 2)
            model.add(direct >= 2 - 2 * once)
            terms.append(ONCE_ONLY_POINTS * once)

    missing: dict[str, Any] = {}
    for name, wanted in demand.patterns:
        serving = [chosen[one.slug] for one in candidates if one.exercise.pattern in wanted]
        missing[name] = model.new_bool_var(f"missing_{name}")
        model.add(sum(serving) + missing[name] >= 1)
        terms.append(PATTERN_POINTS * missing[name])
        variables[f"missing_{name}"] = missing[name]

    free = [one for one in candidates if one.slug not in wishes]
    if brief.hold_reps_hold:
        lost = model.new_bool_var("no_hold_reps_hold")
        serving = [chosen[one.slug] for one in free if suits_hold_reps_hold(one.exercise)]
        needed = 2 if brief.same_muscle_superset else 1  # the superset may take one of them
        model.add(sum(serving) + needed * lost >= needed)
        terms.append(SCHEME_POINTS * lost)
    if brief.same_muscle_superset:
        lost = model.new_bool_var("no_same_muscle")
        both_kinds = []
        for muscle, (small, big) in sorted(same_muscle_sides(free).items()):
            both = model.new_bool_var(f"same_{muscle}")
            model.add(both <= sum(chosen[slug] for slug in small))
            model.add(both <= sum(chosen[slug] for slug in big))
            both_kinds.append(both)
        model.add(sum(both_kinds) + lost >= 1)
        terms.append(SCHEME_POINTS * lost)

    order = sorted(chosen)
    tie_break = [(chosen[slug], 3 + 2 * index) for index, slug in enumerate(order)]
    tie_break += [(sets[slug], 1) for slug in order]
    solved: Solved = solve(model, variables, sum(terms), tie_break if ties else (), limit)
    if not solved.values:
        return None
    by_slug = {one.slug: one for one in candidates}
    picks = tuple(
        Pick(by_slug[slug], solved.values[f"n_{slug}"], solved.values[f"t_{slug}"], slug in wishes)
        for slug in order
        if solved.values[f"x_{slug}"] and solved.values[f"n_{slug}"]
    )
    unmet = tuple(name for name, _ in demand.patterns if solved.values[f"missing_{name}"])
    return Choice(picks, solved.objective, solved.bound, solved.is_optimal, unmet, solved.fuse_blown)


TWINS_KEPT = 3


def without_twins(
    candidates: Sequence[Candidate], brief: Brief, keep: Mapping[str, tuple[int, int]]
) -> tuple[Candidate, ...]:
    """The candidates without those that no row of the model can tell from three others.

    At most two of a pattern are chosen, so the first three of different families in the order of the tie-break
    stand for all: the best week is the same, found sooner.
    """
    named = {wish.exercise for wish in brief.lifts} | set(brief.include) | set(keep)
    families: dict[object, set[str]] = {}
    kept = []
    for one in sorted(candidates, key=lambda candidate: candidate.slug):
        exercise = one.exercise
        if one.slug not in named:
            key = (
                exercise.pattern,
                one.cost,
                tuple(sorted(one.credits.items())),
                seconds_of(one, False, brief.supersets),
                one.places,
                (exercise.mode, exercise.measured_in, is_small(exercise), suits_hold_reps_hold(exercise)),
            )
            seen = families.setdefault(key, set())
            if exercise.base in seen or len(seen) >= TWINS_KEPT:
                continue
            seen.add(exercise.base)
        kept.append(one)
    return tuple(kept)


def same_muscle_sides(candidates: Sequence[Candidate]) -> dict[str, tuple[list[str], list[str]]]:
    """For each muscle that a small and a bigger lift both train fully: the small ones and the bigger ones."""
    sides: dict[str, tuple[list[str], list[str]]] = {}
    for small in candidates:
        for big in candidates:
            muscle = small_for_big(small.exercise, small.credits, big.exercise, big.credits)
            if muscle is not None:
                kinds = sides.setdefault(muscle, ([], []))
                if small.slug not in kinds[0]:
                    kinds[0].append(small.slug)
                if big.slug not in kinds[1]:
                    kinds[1].append(big.slug)
    return sides


def least_seconds(candidates: Sequence[Candidate], brief: Brief) -> tuple[tuple[str, int], ...]:
    """Seconds a week that each fixed wish needs at the very least, by exercise slug."""
    wishes = {wish.exercise: wish for wish in brief.lifts}
    needed = []
    for one in candidates:
        if one.slug in wishes:
            wish = wishes[one.slug]
            sets, times = wish.sets * wish.times_a_week, wish.times_a_week
        elif one.slug in brief.include:
            sets, times = 2, 1
        else:
            continue
        needed.append((one.slug, sets * seconds_of(one, one.slug in wishes, brief.supersets) + CHANGE_OVER_S * times))
    return tuple(needed)
