"""How CP-SAT is run here: one worker, a fixed seed, a deterministic limit, and ties broken by a total order.

A parallel or wall-clock-limited search returns another optimal plan on another machine; a printed sheet
must not. ``max_time_in_seconds`` is only a fuse, far above the deterministic limit, and a blown fuse is reported.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from ortools.sat.python import cp_model


@dataclass(frozen=True)
class Solved:
    """What came out: values by variable name, objective, proven bound, and whether it is proven.

    ``values`` is empty when the model has no solution or none was found.
    """

    values: Mapping[str, int]
    objective: float
    bound: float
    is_optimal: bool
    is_infeasible: bool
    fuse_blown: bool = False


def solve(
    model: cp_model.CpModel,
    variables: Mapping[str, Any],
    objective: Any,
    tie_break: Sequence[tuple[Any, int]] = (),
    limit: float = 4.0,
    fuse_s: float = 60.0,
) -> Solved:
    """Minimise ``objective``, then fix its value and minimise the tie-break, both repeatably.

    limit : deterministic time units for each of the two phases (one unit is about 1 to 2 s)
    tie_break : (variable, weight) pairs; weights should be distinct
    """
    from ortools.sat.python import cp_model

    def run(deterministic_limit: float) -> tuple[Any, Any]:
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 0
        solver.parameters.linearization_level = 2
        solver.parameters.max_deterministic_time = deterministic_limit
        solver.parameters.max_time_in_seconds = fuse_s
        return solver, solver.solve(model)

    model.minimize(objective)
    solver, status = run(limit)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Solved({}, 0.0, 0.0, False, status == cp_model.INFEASIBLE, solver.wall_time >= fuse_s)
    best, bound = round(solver.objective_value), solver.best_objective_bound
    values = {name: int(solver.value(variable)) for name, variable in variables.items()}
    is_optimal = status == cp_model.OPTIMAL
    fuse_blown = solver.wall_time >= fuse_s
    if tie_break and is_optimal:
        model.add(objective <= best)
        model.minimize(sum(weight * variable for variable, weight in tie_break))
        for name, variable in variables.items():
            model.add_hint(variable, values[name])
        second, status = run(limit)
        if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            values = {name: int(second.value(variable)) for name, variable in variables.items()}
    return Solved(values, float(best), float(bound), is_optimal, False, fuse_blown)
