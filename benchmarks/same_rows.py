"""HiGHS on exactly the rows of a CP-SAT model: the peer of the planning benchmarks."""

from __future__ import annotations

import time
from typing import Any


def in_highs(proto: Any, limit_s: float) -> tuple[float, float, float]:
    """(seconds, objective, bound) of HiGHS, one thread, on the rows of a CP-SAT model without enforced rows."""
    import highspy
    import numpy as np

    peer = highspy.Highs()
    peer.setOptionValue("output_flag", False)
    peer.setOptionValue("threads", 1)
    peer.setOptionValue("time_limit", limit_s)
    infinity = highspy.kHighsInf
    big = 2**60
    for variable in proto.variables:
        low, *_, high = list(variable.domain)
        peer.addVar(max(low, -big), min(high, big))
    peer.changeColsIntegrality(
        len(proto.variables),
        np.arange(len(proto.variables), dtype=np.int32),
        np.array([highspy.HighsVarType.kInteger] * len(proto.variables)),
    )
    for row in proto.constraints:
        for low, high, columns, weights in linear_rows(row, big):
            merged: dict[int, float] = {}
            for column, weight in zip(columns, weights, strict=True):
                merged[column] = merged.get(column, 0.0) + weight
            peer.addRow(
                -infinity if low <= -big else float(low),
                infinity if high >= big else float(high),
                len(merged),
                np.array(list(merged), dtype=np.int32),
                np.array(list(merged.values())),
            )
    for column, weight in zip(proto.objective.vars, proto.objective.coeffs, strict=True):
        peer.changeColCost(column, float(weight))
    started = time.perf_counter()
    peer.run()
    seconds = time.perf_counter() - started
    assert peer.getModelStatus() != highspy.HighsModelStatus.kInfeasible, "the peer read other rows"
    info = peer.getInfo()
    offset = proto.objective.offset
    return seconds, info.objective_function_value + offset, info.mip_dual_bound + offset


def linear_rows(row: Any, big: int) -> list[tuple[int, int, list[int], list[float]]]:
    """A row as (low, high, columns, weights): sums, at most one, and one yes-or-no that brings others with it."""
    if row.has_linear():
        low, *_, high = list(row.linear.domain)
        return [(low, high, list(row.linear.vars), [float(one) for one in row.linear.coeffs])]
    if row.has_at_most_one():
        literals = list(row.at_most_one.literals)
        assert all(one >= 0 for one in literals)
        return [(-big, 1, literals, [1.0] * len(literals))]
    assert row.has_bool_and(), "a row that the peer cannot read"
    return [
        (-big, 0, [cause, effect], [1.0, -1.0]) for cause in row.enforcement_literal for effect in row.bool_and.literals
    ]
