"""How many logged sets a minute the filter takes in, beside two named peers in the same run, as ratios.

Cases: rosters of 200 and 1000 trainees with 3 and 8 lifts, one set of each trainee at a time, on one and two
processes; one trainee with 3, 10 and 30 lifts. Peers: the local level filter of statsmodels, one filter a trainee,
which knows one number and one bell curve; and the plain Kalman update of a state of the same size with numpy.
Invented sets. Run: make bench. Nothing here asserts a time.
"""

from __future__ import annotations

import os
import statistics
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from typing import Any

for _threads in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[_threads] = "1"  # before numpy is loaded, here and in every worker

import numpy as np  # noqa: E402

from setwright.strength.evidence import KINDS  # noqa: E402
from setwright.strength.mixture import shared  # noqa: E402
from setwright.strength.roster import Sets, Start, begin, later, with_sets  # noqa: E402

ROSTERS = ((200, 3), (200, 8), (1000, 3), (1000, 8))
LIFTS_OF_ONE = (3, 10, 30)
SETS_A_DAY, DAYS = 6, 3
REPEATS = 5


def start_of(lifts: int) -> Start:
    """A trainee of some years."""
    return Start(
        np.full(lifts, np.log(100.0)),
        np.full(lifts, 0.45),
        shared(lifts, 0.5),
        np.full(lifts, 0.03),
        np.full(lifts, 0.009),
        3.0,
    )


def sets_of(count: int, lifts: int, seed: int) -> Sets:
    """One invented set of each trainee, mostly called, some to failure, some without a number."""
    draw = np.random.default_rng(seed)
    kinds = draw.choice(len(KINDS), size=count, p=[0.6, 0.1, 0.2, 0.05, 0.05])
    reps = draw.integers(3, 10, size=count).astype(np.float64)
    rir = draw.integers(0, 4, size=count).astype(np.float64)
    log_load = np.log(100.0) - 0.03 * (reps + rir) + draw.normal(0, 0.04, size=count)
    nothing = np.zeros(count)
    return Sets(
        draw.integers(lifts, size=count).astype(np.intp),
        log_load,
        reps,
        rir,
        kinds.astype(np.intp),
        np.full(count, 180.0),
        nothing,
        nothing,
        nothing,
    )


def some_days(count: int, lifts: int) -> int:
    """Some days of sets of a roster; gives how many sets were taken in."""
    roster = begin([start_of(lifts)] * count)
    for day in range(DAYS):
        roster = later(roster, np.full(count, 3.0 * (day > 0)))
        for number in range(SETS_A_DAY):
            roster, _, _ = with_sets(roster, sets_of(count, lifts, 100 * day + number))
    return count * DAYS * SETS_A_DAY


def timed(work: Callable[[], Any], repeats: int = REPEATS) -> float:
    """Median seconds of some work, after one run that does not count."""
    work()
    found = []
    for _ in range(repeats):
        started = time.perf_counter()
        work()
        found.append(time.perf_counter() - started)
    return statistics.median(found)


def in_statsmodels(sets: int) -> float:
    """Seconds a set of one local level filter of statsmodels over ``sets`` numbers of one trainee."""
    from statsmodels.tsa.statespace.structural import UnobservedComponents

    loads = np.log(100.0) + np.random.default_rng(1).normal(0, 0.03, size=sets)

    def one() -> None:
        peer = UnobservedComponents(loads, "local level")
        peer.ssm.initialize_known(np.array([np.log(100.0)]), np.array([[0.2]]))
        peer.filter([0.001, 0.0001])

    return timed(one, 20) / sets


def in_numpy(count: int, lifts: int) -> float:
    """Seconds a set of the plain Kalman update, all trainees at once, same size of state, one bell curve."""
    size = 4 * lifts + 3
    mean, cov = np.zeros((count, size)), np.tile(np.eye(size), (count, 1, 1))
    line = np.random.default_rng(2).normal(size=(count, size))

    def one() -> None:
        along = np.einsum("nij,nj->ni", cov, line)
        total = (along * line).sum(axis=1) + 0.01
        gain = along / total[:, None]
        mean + gain * (1.0 - (mean * line).sum(axis=1))[:, None]
        cov - gain[:, :, None] * along[:, None, :]

    return timed(one) / count


def one_set(lifts: int) -> float:
    """Seconds of one set of one trainee, as when a set is typed in on the floor."""
    roster = begin([start_of(lifts)])
    sets = sets_of(1, lifts, 7)
    return timed(lambda: with_sets(roster, sets), 50)


def main() -> None:
    """Prints the tables."""
    peer_s = in_statsmodels(DAYS * SETS_A_DAY)
    print(f"statsmodels local level, one number a trainee: {60 / peer_s:,.0f} sets a minute, building it included")
    heads = ("1 process", "2 processes", "speed-up", "x statsmodels", "x numpy")
    print(f"{'sets a minute':<24}" + "".join(f" {head:>14}" for head in heads))
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        for count, lifts in ROSTERS:
            alone_s = timed(lambda n=count, m=lifts: some_days(n, m), 3)  # type: ignore[misc]
            halves = [count // 2, count - count // 2]
            both_s = timed(lambda h=halves, m=lifts: list(pool.map(some_days, h, [m, m])), 3)  # type: ignore[misc]
            total = count * DAYS * SETS_A_DAY
            numbers = (f"{60 * total / alone_s:,.0f}", f"{60 * total / both_s:,.0f}", f"{alone_s / both_s:.2f}")
            ratios = (f"{peer_s / (alone_s / total):.2f}", f"{in_numpy(count, lifts) / (alone_s / total):.3f}")
            print(
                f"{f'{count} trainees, {lifts} lifts':<24}" + "".join(f" {one:>14}" for one in (*numbers, *ratios)),
                flush=True,
            )
    print("x: how many times as many sets a minute as the peer, one process; days between sets included in ours")
    print(f"{'one set of one trainee':<24}" + "".join(f" {head:>14}" for head in ("ms", "numpy ms", "over numpy")))
    for lifts in LIFTS_OF_ONE:
        ours, plain = one_set(lifts), in_numpy(1, lifts)
        print(f"{f'{lifts} lifts':<24} {1000 * ours:14.3f} {1000 * plain:14.3f} {ours / plain:14.1f}", flush=True)


if __name__ == "__main__":
    main()
