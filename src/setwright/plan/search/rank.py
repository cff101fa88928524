"""Which items a good plan is likely made of: those that the linear relaxation of the week uses, then the nearest.

The relaxation is solved by GLOP on the very rows of the week without days. An item's price is what choosing it with
its cheapest sets would add to the relaxation's value; items with a low price are tried first. Nothing is lost by
a wrong guess: the bound is proven over all items.
"""

from __future__ import annotations

from typing import Any

from setwright.plan.search.model import Rows

USED = 1e-6


def relaxation(rows: Rows) -> tuple[float, dict[str, tuple[float, float]]] | None:
    """Value of the linear relaxation, and (value, reduced cost) by variable name; None where it has no solution."""
    from ortools.linear_solver.python import model_builder

    rows.model.minimize(sum(rows.terms))
    proto = rows.model.proto
    linear = model_builder.Model()
    columns = [linear.new_num_var(float(min(one.domain)), float(max(one.domain)), "") for one in proto.variables]
    for row in proto.constraints:
        add_row(linear, columns, row)
    weights = list(proto.objective.coeffs)
    linear.minimize(
        sum(weight * columns[index] for index, weight in zip(proto.objective.vars, weights, strict=True))
        + proto.objective.offset
    )
    solver = model_builder.Solver("glop")
    if not solver.solver_is_supported() or solver.solve(linear) != model_builder.SolveStatus.OPTIMAL:
        return None
    names = {name: variable.index for name, variable in rows.variables.items()}
    found = {
        name: (round(solver.value(columns[index]), 7), round(solver.reduced_cost(columns[index]), 7))
        for name, index in names.items()
    }
    return solver.objective_value, found


def add_row(linear: Any, columns: list[Any], row: Any) -> None:
    """One row of a CP-SAT model as a linear one: sums, at most one, and implications."""
    if row.has_linear():
        low, high = min(row.linear.domain), max(row.linear.domain)
        amount = sum(weight * columns[at] for at, weight in zip(row.linear.vars, row.linear.coeffs, strict=True))
        if low > -(2**40):
            linear.add(amount >= float(low))
        if high < 2**40:
            linear.add(amount <= float(high))
    elif row.has_at_most_one():
        linear.add(sum(columns[at] for at in row.at_most_one.literals) <= 1.0)
    elif row.has_bool_and():
        for cause in row.enforcement_literal:
            for effect in row.bool_and.literals:
                linear.add(columns[cause] <= columns[effect])
    else:
        raise ValueError("a row that a linear relaxation cannot read")


def ranked(rows: Rows) -> list[int]:
    """The items of a week without days, the most promising first; ties by index."""
    found = relaxation(rows)
    if found is None:
        return list(rows.items)
    _, values = found
    problem = rows.problem

    def price(item: int) -> float:
        total = values[f"x_{item}"][1]
        for week in range(len(problem.weeks)):
            cost = values[f"s_{item}_{week}"][1]
            total += min(cost, 0.0) * problem.items[item].sets[1] + max(cost, 0.0) * problem.items[item].sets[0]
        return round(total, 5)

    return sorted(rows.items, key=lambda item: (values[f"x_{item}"][0] <= USED, price(item), item))
