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
        if row.has_linear():
            low, *_, high = list(row.linear.domain)
            columns, weights = list(row.linear.vars), [float(one) for one in row.linear.coeffs]
        else:
            assert row.has_at_most_one(), "a row that the peer cannot read"
            columns, weights, low, high = [], [], -big, 1
            for literal in row.at_most_one.literals:
                assert literal >= 0
                columns.append(literal)
                weights.append(1.0)
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
