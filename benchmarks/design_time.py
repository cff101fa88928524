"""Time of designing a block, and the same selection model in HiGHS in the same run, as a ratio with both bounds.

Cases: the five invented trainees of the demo (whole design, and stage one against the peer), and 200 exercises
for four days and six weeks. Peer: HiGHS on exactly the rows of stage one, one thread, read from the CP-SAT model.
Run: make bench. Nothing here asserts a time.
"""

from __future__ import annotations

import statistics
import tempfile
import time
from pathlib import Path
from typing import Any

import setwright.plan.choose as choose_room
import setwright.plan.design as design_room
from setwright.plan.solver import Solved, solve
from setwright.services.deeds import design
from setwright.services.demo import GUESTS, unpack

PEER_LIMIT_S = 20.0
REPEATS = 3


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


class Watch:
    """Stands in for ``solve`` in stage one: solves as always, and keeps model, time and result of the first call."""

    def __init__(self, most: int | None = None) -> None:
        self.model: Any = None
        self.proto: Any = None
        self.seconds = 0.0
        self.solved: Solved | None = None

    def __call__(self, model: Any, variables: Any, objective: Any, tie_break: Any = (), limit: float = 4.0) -> Solved:
        model.minimize(objective)
        copy = model.clone()
        started = time.perf_counter()
        solved = solve(model, variables, objective, (), limit)
        if self.proto is None:
            self.model = copy  # the proto is only a view: it lives as long as its model
            self.proto, self.seconds, self.solved = copy.proto, time.perf_counter() - started, solved
        return solve(model, variables, objective, tie_break, limit) if tie_break else solved


def line(name: str, design_s: float, watch: Watch) -> None:
    """One row of the table."""
    assert watch.solved is not None
    peer_s, value, bound = in_highs(watch.proto, PEER_LIMIT_S)
    ratio = watch.seconds / peer_s if peer_s else float("nan")
    numbers = (design_s, watch.seconds, peer_s, ratio, watch.solved.objective, watch.solved.bound, value, bound)
    print(f"{name:<28}" + "".join(f" {one:8.2f}" for one in numbers), flush=True)


def main() -> None:
    """Prints the table."""
    print("seconds; objective and bound in points; ratio = CP-SAT over HiGHS on the same rows, one worker each")
    heads = ("design", "stage 1", "HiGHS", "ratio", "obj", "bound", "obj", "bound")
    print(f"{'case':<28}" + "".join(f" {head:>8}" for head in heads))
    with tempfile.TemporaryDirectory() as scratch:
        data = unpack(Path(scratch))
        for guest in GUESTS:
            files = (data / "people" / f"{guest.id}.toml", data / "briefs" / f"{guest.id}.toml")
            times = []
            for _ in range(REPEATS):
                started = time.perf_counter()
                design(*files)
                times.append(time.perf_counter() - started)
            watch = Watch()
            choose_room.solve = watch  # type: ignore[assignment]
            try:
                design(*files)
            finally:
                choose_room.solve = solve
            line(guest.id, statistics.median(times), watch)
        big(data)


def big(data: Path) -> None:
    """200 exercises, four days, six weeks."""
    brief = data / "briefs" / "big.toml"
    text = (data / "briefs" / "dunja.toml").read_text().replace("weeks = 7", "weeks = 6")
    brief.write_text(text.replace('id = "dunja-autumn"', 'id = "big"'))
    whole = design_room.find_candidates

    def two_hundred(*arguments: Any) -> Any:
        found, refused = whole(*arguments)
        wished = {"back_squat", "bench_bb"}
        kept = [one for one in found if one.slug in wished] + [one for one in found if one.slug not in wished]
        print(f"# {len(found)} candidates pass the gates, {min(200, len(found))} kept")
        return tuple(sorted(kept[:200], key=lambda one: one.slug)), refused

    watch = Watch()
    design_room.find_candidates = two_hundred
    choose_room.solve = watch  # type: ignore[assignment]
    try:
        started = time.perf_counter()
        design(data / "people" / "dunja.toml", brief)
        seconds = time.perf_counter() - started
    finally:
        design_room.find_candidates = whole
        choose_room.solve = solve
    line("200 exercises, 4 d, 6 w", seconds, watch)


if __name__ == "__main__":
    main()
