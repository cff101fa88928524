"""Time of designing a block, and the week of the same problem in HiGHS in the same run, as a ratio with both bounds.

Cases: the five invented trainees of the demo, and 200 exercises for four days and six weeks. The week is the model
without days over all items (``plan.search.model.week_rows``), from which the bound comes. Peer: HiGHS on exactly its
rows, one thread. Clock and processor seconds; on a busy machine only the latter compare.
Run: make bench. Nothing here asserts a time.
"""

from __future__ import annotations

import statistics
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from same_rows import in_highs
from setwright.plan.design import Designed, Ready, get_ready, search_block
from setwright.plan.search.model import week_rows
from setwright.plan.search.problem import Problem
from setwright.plan.search.run import run
from setwright.services.deeds import design_inputs
from setwright.services.demo import GUESTS, unpack
from setwright.services.gather import catalogue

PEER_LIMIT_S = 120.0
LIMIT = 60.0  # deterministic units for our week
REPEATS = 3


def timed(deed: Callable[[], Any]) -> tuple[Any, float, float]:
    """What a deed gives, its seconds by the clock, and its seconds of the processor."""
    clock, spent = time.perf_counter(), time.process_time()
    made = deed()
    return made, time.perf_counter() - clock, time.process_time() - spent


def compared(problem: Problem) -> tuple[float, float, float, float, float, float]:
    """(our processor seconds, the peer's, our points, our bound, the peer's points, its bound) on the same rows."""
    theirs = week_rows(problem)
    theirs.model.minimize(sum(theirs.terms))
    (_, value, bound), _, peer_s = timed(lambda: in_highs(theirs.model.proto, PEER_LIMIT_S))
    rows = week_rows(problem)
    ran, _, ours_s = timed(lambda: run(rows, LIMIT))
    return ours_s, peer_s, ran.points, ran.bound, value, bound


def line(name: str, ready: Ready, repeats: int) -> None:
    """One row of the table."""
    clocks, spents, found = [], [], None
    for _ in range(repeats):
        found, clock, spent = timed(lambda: search_block(ready))
        clocks.append(clock)
        spents.append(spent)
    assert isinstance(found, Designed)
    ours_s, peer_s, *points = compared(found.posed.problem)
    proof = found.block.proof
    numbers = (statistics.median(clocks), statistics.median(spents), proof.objective, proof.gap)
    week = (ours_s, peer_s, ours_s / peer_s if peer_s else float("nan"), *points)
    print(f"{name:<28}" + "".join(f" {one:8.2f}" for one in (*numbers, *week)), flush=True)


def main() -> None:
    """Prints the table."""
    print("design: seconds by the clock and of the processor, points and gap of the block")
    print(
        "week: processor seconds of CP-SAT and HiGHS on the same rows, one worker each; ratio of the two; points, bound"
    )
    heads = ("clock", "cpu", "points", "gap", "CP-SAT", "HiGHS", "ratio", "points", "bound", "points", "bound")
    print(f"{'case':<28}" + "".join(f" {head:>8}" for head in heads))
    with tempfile.TemporaryDirectory() as scratch:
        data = unpack(Path(scratch))
        for guest in GUESTS:
            line(guest.id, ready_for(data, guest.id, guest.id), REPEATS)
        big(data)


def ready_for(data: Path, person: str, brief: str) -> Ready:
    """What a design of the demo starts its search from."""
    asked = design_inputs(data / "people" / f"{person}.toml", data / "briefs" / f"{brief}.toml")
    who = asked.person
    return get_ready(who.trainee, who.places, asked.brief, catalogue(), asked.estimates, asked.log)


def big(data: Path) -> None:
    """200 exercises, four days, six weeks."""
    text = (data / "briefs" / "dunja.toml").read_text().replace("weeks = 7", "weeks = 6")
    (data / "briefs" / "big.toml").write_text(text.replace('id = "dunja-autumn"', 'id = "big"'))
    ready = ready_for(data, "dunja", "big")
    found = ready.search.candidates
    wished = {wish.exercise for wish in ready.search.brief.lifts} | set(ready.search.brief.include)
    kept = [one for one in found if one.slug in wished] + [one for one in found if one.slug not in wished]
    print(f"# {len(found)} candidates pass the gates, {min(200, len(found))} kept")
    search = replace(ready.search, candidates=tuple(sorted(kept[:200], key=lambda one: one.slug)))
    line("200 exercises, 4 d, 6 w", replace(ready, search=search), 1)


if __name__ == "__main__":
    main()
