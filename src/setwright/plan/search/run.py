"""One repeatable run of CP-SAT over the rows of a form, with a cutoff, hints and a way to lean towards the bound."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from setwright.plan.search.model import Rows

FUSE_S = 600.0
# More cuts at a time than the solver takes by itself: most weeks close sooner, some later, and the whole plans gain
# (decision 0056); the proof by lower bounds does better without.
CUTS_AT_ONCE = 200


@dataclass(frozen=True)
class Ran:
    """What a run gave. ``values`` is empty where nothing was found; ``bound`` holds for what the rows allow.

    is_closed : the best is proven, or it is proven that nothing keeps the rows and the cutoff
    spent : deterministic time used; fuse_blown : the wall clock ended it, so it may differ elsewhere
    """

    values: Mapping[str, int]
    points: int
    bound: float
    is_closed: bool
    spent: float
    fuse_blown: bool = False

    @property
    def is_empty(self) -> bool:
        """True when nothing was found."""
        return not self.values


def run(
    rows: Rows,
    limit: float,
    cutoff: int | None = None,
    hint: Mapping[str, int] | None = None,
    proving: bool = False,
    seed: int = 0,
    objective: Sequence[tuple[str, int]] | None = None,
    is_first_enough: bool = False,
) -> Ran:
    """The fewest points of the rows.

    limit : deterministic time units; cutoff : only plans of at most so many points count
    hint : values by variable name to start from; proving : search for the bound rather than for plans
    objective : (variable name, weight) to minimise instead of the points
    is_first_enough : stop at the first plan under the cutoff
    """
    from ortools.sat.python import cp_model

    model = rows.model
    points = sum(rows.terms)
    if cutoff is not None:
        model.add(points <= cutoff)
    if objective is None:
        model.minimize(points)
    else:
        model.minimize(sum(weight * rows.variables[name] for name, weight in objective))
    model.clear_hints()
    for name, value in (hint or {}).items():
        if name in rows.variables:
            model.add_hint(rows.variables[name], value)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.linearization_level = 2
    if not proving:
        solver.parameters.new_constraints_batch_size = CUTS_AT_ONCE
    solver.parameters.optimize_with_lb_tree_search = proving
    solver.parameters.stop_after_first_solution = is_first_enough
    solver.parameters.max_deterministic_time = limit
    solver.parameters.max_time_in_seconds = FUSE_S
    status = solver.solve(model)
    spent = float(solver.response_proto.deterministic_time)
    blown = solver.wall_time >= FUSE_S
    if status == cp_model.INFEASIBLE:
        floor = float("inf") if cutoff is None else float(cutoff + 1)
        return Ran({}, 0, floor, True, spent, blown)
    bound = float(solver.best_objective_bound)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Ran({}, 0, bound, False, spent, blown)
    values = {name: int(solver.value(variable)) for name, variable in rows.variables.items()}
    return Ran(values, round(solver.objective_value), bound, status == cp_model.OPTIMAL, spent, blown)


def capped(value: Any) -> int:
    """A bound in whole points: points are whole, so a bound between two of them is the upper one."""
    whole = int(value)
    return whole + 1 if value > whole + 1e-6 else whole
