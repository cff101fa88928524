"""The search against a count of every plan of tiny problems, and against another solver on the same rows."""

from __future__ import annotations

from dataclasses import replace

import highspy
import numpy as np
import pytest
from tiny import fewest_points, fewest_points_of, tiny, with_day_costs

from setwright.plan.search.model import week_rows, whole_rows
from setwright.plan.search.problem import Item, Need, Problem, Week
from setwright.plan.search.rank import relaxation
from setwright.plan.search.run import run
from setwright.plan.search.solve import Effort, days_without_room, solve_block
from setwright.plan.search.worth import broken_limits, total_points

SEEDS = range(16)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_best_plan_is_the_best_of_all_plans(seed: int) -> None:
    """Brute force: every placing, every row of sets, every pairing of a tiny problem."""
    problem = tiny(seed)
    found = solve_block(problem)
    best = fewest_points(seed)
    if best is None:
        assert found is None
        return
    assert found is not None
    assert found.is_optimal
    assert found.points == found.bound == best
    assert total_points(problem, found.plan) == best
    assert broken_limits(problem, found.plan) == []


@pytest.mark.parametrize("seed", SEEDS)
def test_days_that_cost_points_are_counted_like_all_else(seed: int) -> None:
    """What conditioning weighs on a day (rule X06). Brute force: every placing, row of sets and pairing."""
    problem = with_day_costs(tiny(seed), seed)
    found = solve_block(problem)
    best = fewest_points_of(problem)

    assert (found is None) == (best is None)
    if found is not None:
        assert found.is_optimal and found.points == found.bound == best == total_points(problem, found.plan)
        assert broken_limits(problem, found.plan) == []


def test_some_tiny_problems_have_no_plan_and_most_have_one() -> None:
    """The referee sees both kinds, else the test above would say less than it seems to."""
    plans = [fewest_points(seed) for seed in SEEDS]
    assert sum(one is None for one in plans) >= 1
    assert sum(one is not None for one in plans) >= 8


@pytest.mark.parametrize("seed", SEEDS)
def test_relaxation_week_and_whole_stand_in_their_order(seed: int) -> None:
    """The linear relaxation is below the week without days, and that below the whole plan."""
    problem = tiny(seed)
    whole = run(whole_rows(problem), 5.0)
    linear = relaxation(week_rows(problem))
    week = run(week_rows(problem), 5.0)
    if whole.is_empty:
        return
    assert linear is not None
    assert linear[0] <= week.points + 1e-6
    assert week.points <= whole.points


@pytest.mark.parametrize("seed", range(8))
def test_another_solver_finds_the_same_best_week(seed: int) -> None:
    """HiGHS on the very rows of the week without days."""
    rows = week_rows(tiny(seed))
    ours = run(rows, 5.0)
    theirs = in_highs(rows.model.proto)
    if ours.is_empty:
        assert theirs is None
    else:
        assert theirs == pytest.approx(ours.points, abs=1e-6)


def in_highs(proto: object) -> float | None:
    """Best value of a CP-SAT model's rows in HiGHS, or None where it says that there is none."""
    peer = highspy.Highs()
    peer.setOptionValue("output_flag", False)
    peer.setOptionValue("threads", 1)
    peer.setOptionValue("mip_rel_gap", 0.0)
    variables = proto.variables  # type: ignore[attr-defined]
    for one in variables:
        peer.addVar(min(one.domain), max(one.domain))
    kinds = np.array([highspy.HighsVarType.kInteger] * len(variables))
    peer.changeColsIntegrality(len(variables), np.arange(len(variables), dtype=np.int32), kinds)
    for row in proto.constraints:  # type: ignore[attr-defined]
        for low, high, columns, weights in linear_rows(row):
            peer.addRow(low, high, len(columns), np.array(columns, dtype=np.int32), np.array(weights, dtype=float))
    objective = proto.objective  # type: ignore[attr-defined]
    for column, weight in zip(objective.vars, objective.coeffs, strict=True):
        peer.changeColCost(column, float(weight))
    peer.run()
    if peer.getModelStatus() == highspy.HighsModelStatus.kInfeasible:
        return None
    assert peer.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return float(peer.getInfo().objective_function_value + objective.offset)


def linear_rows(row: object) -> list[tuple[float, float, list[int], list[float]]]:
    """A row of a CP-SAT model as linear rows with merged columns."""
    if row.has_linear():  # type: ignore[attr-defined]
        linear = row.linear  # type: ignore[attr-defined]
        merged: dict[int, float] = {}
        for column, weight in zip(linear.vars, linear.coeffs, strict=True):
            merged[column] = merged.get(column, 0.0) + weight
        low, high = min(linear.domain), max(linear.domain)
        infinity = highspy.kHighsInf
        low, high = (-infinity if low < -(2**40) else low), (infinity if high > 2**40 else high)
        return [(low, high, list(merged), list(merged.values()))]
    if row.has_at_most_one():  # type: ignore[attr-defined]
        literals = list(row.at_most_one.literals)  # type: ignore[attr-defined]
        return [(-highspy.kHighsInf, 1.0, literals, [1.0] * len(literals))]
    assert row.has_bool_and()  # type: ignore[attr-defined]
    causes = list(row.enforcement_literal)  # type: ignore[attr-defined]
    effects = list(row.bool_and.literals)  # type: ignore[attr-defined]
    return [(-highspy.kHighsInf, 0.0, [a, b], [1.0, -1.0]) for a in causes for b in effects]


@pytest.mark.parametrize("seed", range(6))
def test_any_seed_of_the_solver_gives_the_same_plan_once_proven(seed: int) -> None:
    """Ties are settled by a fixed order, so the plan does not hang on the solver's luck."""
    problem = tiny(seed)
    plans = [solve_block(problem, seed=luck) for luck in (0, 1, 7, 42)]
    assert all(one is None for one in plans) or all(one is not None and one.ties_settled for one in plans)
    assert len({None if one is None else one.plan for one in plans}) == 1


def test_a_gap_is_stated_where_the_limit_comes_first() -> None:
    """With hardly any time there is a plan or nothing, and never a bound above the best value."""
    problem = tiny(1)
    best = fewest_points(1)
    hurried = solve_block(problem, Effort(week=0.001, whole=0.001, proof=0.001, tie=0.001))
    assert best is not None
    if hurried is not None:
        assert hurried.bound <= best <= hurried.points


@pytest.mark.parametrize("seed", range(8))
def test_items_named_twice_count_once(seed: int) -> None:
    """A short list may name an item twice; its points and seconds count once all the same."""
    problem = tiny(seed)
    once, twice = run(week_rows(problem, [0, 1, 2]), 5.0), run(week_rows(problem, [0, 1, 2, 2, 0]), 5.0)
    assert (once.is_empty, once.points) == (twice.is_empty, twice.points)


def of_two_rooms(short: int = 700, **changes: object) -> Problem:
    """Two days: many cheap items on the first, one dear item on the second; each item takes 300 s at the least."""
    cheap = [Item(f"here {n}", {0: 2}, 120, 60, days=(0,), may_pair=False) for n in range(8)]
    dear = Item("there", {}, 120, 60, cost=50, days=(1,), may_pair=False)
    need = Need("need", target=8, least=4, most=20, band=1, under=3, over=1)
    usual = Problem((*cheap, dear), (need,), (Week("build", 100),), (2000, short), entries=(1, 4))
    return replace(usual, **changes)  # type: ignore[arg-type]


def test_a_day_with_few_open_exercises_gets_one_of_them_at_once() -> None:
    """The week without days used to take all from the other room, and every plan made of it left a day empty."""
    found = solve_block(of_two_rooms(), Effort(rounds=1))

    assert found is not None and found.is_optimal
    assert [spot.item for spot in found.plan.days[1]] == [8]


@pytest.mark.parametrize("effort", [Effort(rounds=1), Effort(rounds=1, proof=0.0)])
def test_a_week_that_fits_no_day_is_not_the_last_word(effort: Effort) -> None:
    """Two long items fill the week's seconds together but not the short day; the short item makes a plan of it."""
    long = [Item(f"long {n}", {0: 2}, 250, 0, days=(0, 1), may_pair=False) for n in range(9)]
    brief = Item("brief", {}, 60, 60, cost=200, days=(0, 1), may_pair=False)
    problem = of_two_rooms(items=(*long, brief), seconds=(300, 700))

    found = solve_block(problem, effort)

    assert run(week_rows(problem), 5.0).values["x_9"] == 0
    assert found is not None and broken_limits(problem, found.plan) == []
    assert [spot.item for spot in found.plan.days[0]] == [9]


@pytest.mark.parametrize(("seconds", "days"), [(299, [1]), (300, [])])
def test_a_day_too_short_for_any_exercise_is_told_by_arithmetic(seconds: int, days: list[int]) -> None:
    """Two sets of 120 s and 60 s for the way there: 300 s."""
    problem = of_two_rooms(seconds)

    assert days_without_room(problem) == days
    assert (solve_block(problem) is None) is bool(days)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_day_called_too_short_holds_no_plan(seed: int) -> None:
    """Referee: the solver on the whole plan, with less and less time on the second day."""
    for short in (0, 200, 350, 500):
        problem = replace(tiny(seed), seconds=(800, short))
        if days_without_room(problem):
            assert run(whole_rows(problem), 5.0).is_empty
    assert days_without_room(replace(tiny(seed), seconds=(800, 0))) == [1]
