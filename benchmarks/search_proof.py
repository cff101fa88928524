"""Whole blocks with proof on the frozen instances, against one model of everything and against HiGHS.

Peers in the same run: CP-SAT on the whole plan of all items at once (two workers, five times the wall time that the
search took), and HiGHS on exactly the rows of the week without days (one thread each, to proof or its limit).
Run: ``python benchmarks/search_proof.py`` or ``make bench``. Nothing here asserts a time.
"""

from __future__ import annotations

import statistics
import sys
import time
from dataclasses import replace

from same_rows import in_highs
from search_instances import instance
from setwright.plan.search.model import week_rows, whole_rows
from setwright.plan.search.problem import Problem, Week
from setwright.plan.search.rank import ranked
from setwright.plan.search.run import Ran, run
from setwright.plan.search.solve import WIDTHS, Effort, solve_block
from setwright.plan.search.worth import broken_limits, total_points

SEEDS = range(5)
SMALL = Effort(week=4.0, whole=8.0, proof=12.0, rounds=20, tie=4.0)
BIG = Effort(week=8.0, whole=10.0, proof=30.0, rounds=20, enough=6)
PEER_LIMIT_S = 120.0


def monolith(problem: Problem, seconds: float) -> tuple[float, float]:
    """(value, bound) of the whole plan over all items in one model, two workers; infinite where nothing was found."""
    from ortools.sat.python import cp_model

    rows = whole_rows(problem)
    rows.model.minimize(sum(rows.terms))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(rows.model)
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return (solver.objective_value if found else float("inf")), solver.best_objective_bound


def small() -> None:
    """60 exercises: proven or not."""
    print("60 exercises, 4 days, 6 weeks, 60 min: points, bound, seconds, ties settled")
    proven = 0
    for seed in SEEDS:
        problem = instance(seed, 60)
        started = time.perf_counter()
        found = solve_block(problem, SMALL)
        seconds = time.perf_counter() - started
        assert found is not None and not broken_limits(problem, found.plan)
        assert total_points(problem, found.plan) == found.points
        proven += found.is_optimal
        print(f"  seed {seed}: {found.points:5d} {found.bound:5d} {seconds:7.1f} {found.ties_settled}", flush=True)
    print(f"  proven {proven} of {len(SEEDS)}")


def big() -> None:
    """200 exercises: the gap, and what one model of everything finds in five times the time."""
    print("200 exercises, 4 days, 6 weeks, 60 min: points, bound, gap, seconds; one model: points, bound, ratio")
    gaps, ratios, fine = [], [], 0
    for seed in SEEDS:
        problem = instance(seed, 200)
        started = time.perf_counter()
        found = solve_block(problem, BIG, ties=False)
        seconds = time.perf_counter() - started
        assert found is not None and not broken_limits(problem, found.plan)
        value, bound = monolith(problem, 5 * seconds)
        gap = found.points - found.bound
        fine += gap <= max(6.0, 0.03 * found.points)
        gaps.append(gap)
        ratios.append(found.points / value)
        numbers = f"{found.points:5d} {found.bound:5d} {gap:4d} {seconds:7.1f} {value:8.0f} {bound:6.0f}"
        print(f"  seed {seed}: {numbers} {ratios[-1]:6.3f}", flush=True)
    print(f"  gap at most 6 points or 3 %: {fine} of {len(SEEDS)}; largest {max(gaps)}; worst ratio {max(ratios):.3f}")


def selected(problem: Problem) -> tuple[int, Ran]:
    """The week without days as the search goes about it: from its short lists to all items, each time for less than
    the best so far; its points, and the run over all items."""
    order = ranked(week_rows(problem))
    needed = [item for item in order if problem.items[item].times[0] > 0]
    points = None
    for width in (*WIDTHS, None):
        items = None if width is None else [*needed, *order[:width]]
        ran = run(week_rows(problem, items), 60.0, None if points is None else points - 1)
        points = points if ran.is_empty else ran.points
    assert points is not None, "nothing was found"
    return points, ran


def selection() -> None:
    """The week without days against HiGHS on its rows: the hardest week alone, and all weeks."""
    print("selection, 200 exercises, one thread each: seconds, HiGHS seconds, ratio; values; bound of HiGHS")
    for name, weeks in (("hardest week", (Week("build", 110),)), ("all weeks", None)):
        ratios = []
        for seed in SEEDS:
            problem = instance(seed, 200)
            problem = problem if weeks is None else replace(problem, weeks=weeks)
            rows = week_rows(problem)
            rows.model.minimize(sum(rows.terms))
            theirs = in_highs(rows.model.proto, PEER_LIMIT_S)
            started = time.perf_counter()
            points, last = selected(problem)
            seconds = time.perf_counter() - started
            ratios.append(seconds / theirs[0])
            closed = "proven" if last.is_closed else f"bound {last.bound:.0f}"
            numbers = f"{seconds:7.2f} {theirs[0]:7.2f} {ratios[-1]:6.2f} {points:6d} {theirs[1]:8.0f} {theirs[2]:7.1f}"
            print(f"  {name} seed {seed}: {numbers} {closed}", flush=True)
        print(f"  {name}: median ratio {statistics.median(ratios):.2f}")


def main() -> None:
    """Prints the tables; ``small``, ``big`` or ``selection`` prints one."""
    tables = {"small": small, "big": big, "selection": selection}
    for name in sys.argv[1:] or tables:
        tables[name]()


if __name__ == "__main__":
    main()
