"""How well the best lifts of the next meet are foretold, beside the last value and two local-level filters.

    python benchmarks/next_meet.py DATA [--fold 3] [--id-remainder 0] [--peer-lifters 150]

Scored: lifters with id % fold = remainder, meets with all three lifts. The packaged figures are used as they stand; the
pooled heavy-tailed local level is fitted in the same run on other lifters before 2020 (on the same ones where there
are no others). statsmodels' local level is fitted anew before every forecast on that lifter's earlier bests, so it is
run on a random choice of lifters only.
"""

from __future__ import annotations

import argparse
import sys
import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from fit_meets import some_lifters
from meet_data import Results, read_results
from setwright.strength.meets import LIFTS, Forecast, forecasts
from setwright.strength.mixture import LOG_2PI, Floats

Flags = NDArray[np.bool_]
ENOUGH_EARLIER = 6
YEAR_DAYS = 365.25
SHARES = (0.5, 0.8, 0.95)
WIDE_TIMES = 4.0
HEAD = (
    "| lift | weigh-in | n | lifters | last value | running best | pooled local level | ours | ours / last value "
    "| per lifter: last value | per lifter: ours | log score: local level | log score: ours | median bias "
    "| 50 / 80 / 95 % hold |"
)


@dataclass(frozen=True, eq=False)
class Before:
    """What stood before each meet, in the order of the rows, all (n, 3): the last best of each lift, the running
    best, days since the last, on how many earlier days it was shown, and on how many of full meets."""

    last: Floats
    best: Floats
    gap_days: Floats
    shown: Floats
    shown_full: Floats


def before_each(results: Results) -> Before:
    """What stood before each meet; earlier means an earlier day."""
    table = results.table
    order = np.lexsort((table.day, table.lifter))
    count = len(order)
    found = [np.full((count, 3), np.nan), np.full((count, 3), np.nan), np.full((count, 3), np.nan)]
    shown, shown_full = np.zeros((count, 3)), np.zeros((count, 3))
    who, day, best_kg, full = table.lifter[order], table.day[order], table.best_kg[order], results.full[order]
    edges = np.flatnonzero(np.r_[True, (who[1:] != who[:-1]) | (day[1:] != day[:-1])])
    for start, end in zip(edges, np.r_[edges[1:], count], strict=True):
        if start == 0 or who[start] != who[start - 1]:
            last, best, when = np.full(3, np.nan), np.full(3, np.nan), np.full(3, np.nan)
            days, full_days = np.zeros(3), np.zeros(3)
        for kept, value in zip(found, (last, best, day[start] - when), strict=True):
            kept[start:end] = value
        shown[start:end], shown_full[start:end] = days, full_days
        today = np.fmax.reduce(best_kg[start:end])
        has = ~np.isnan(today)
        last, best, when = np.where(has, today, last), np.fmax(best, today), np.where(has, day[start], when)
        days, full_days = days + has, full_days + (has & full[start:end].any())
    back = np.empty(count, dtype=np.intp)
    back[order] = np.arange(count)
    return Before(*(one[back] for one in (*found, shown, shown_full)))


def local_level(results: Results, lift: int, walk: float, reading: float, wide: float) -> tuple[Floats, Floats]:
    """((n,) mean of ln best before each meet, (n,) log score) of a heavy-tailed local level; rows by lifter and day.

    walk : sd of the level in one week; reading : sd of a result about it, ``WIDE_TIMES`` as much with chance ``wide``
    """
    table = results.table
    value = np.log(table.best_kg[:, lift])
    first = np.flatnonzero(np.r_[True, table.lifter[1:] != table.lifter[:-1]])
    size = np.diff(np.r_[first, len(value)])
    mean, score = np.full(len(value), np.nan), np.full(len(value), np.nan)
    level, doubt, when = np.full(len(first), np.nan), np.full(len(first), np.nan), np.zeros(len(first))
    for number in range(int(size.max())):
        who = np.flatnonzero(size > number)
        rows = first[who] + number
        weeks = (table.day[rows] - when[who]) / 7.0
        ahead = doubt[who] + walk**2 * weeks
        seen = value[rows]
        mean[rows], off = level[who], seen - level[who]
        noise = np.array([reading**2, (WIDE_TIMES * reading) ** 2])[:, None]
        gain = ahead / (ahead + noise)
        logs = np.log([[1.0 - wide], [wide]]) - 0.5 * (off**2 / (ahead + noise) + np.log(ahead + noise) + LOG_2PI)
        with np.errstate(invalid="ignore"):  # nan where the lift was not shown
            score[rows] = np.logaddexp(logs[0], logs[1])
        share = np.exp(logs - score[rows])
        moved = (share * gain * off).sum(axis=0)
        left = (share * ((1.0 - gain) * ahead + (gain * off - moved) ** 2)).sum(axis=0)
        has, is_new = ~np.isnan(seen), np.isnan(level[who])
        level[who] = np.where(has, np.where(is_new, seen, level[who] + moved), level[who])
        doubt[who] = np.where(has, np.where(is_new, reading**2, left), ahead)
        when[who] = table.day[rows]
    return mean, score


def fitted_local_level(results: Results, lift: int) -> tuple[float, float, float]:
    """(walk, reading, wide) with the best log score of all results but each lifter's first."""
    from scipy.optimize import minimize

    def figures(vector: Floats) -> tuple[float, float, float]:
        return float(np.exp(vector[0])), float(np.exp(vector[1])), float(1.0 / (1.0 + np.exp(-vector[2])))

    def loss(vector: Floats) -> float:
        return -float(np.nanmean(local_level(results, lift, *figures(vector))[1]))

    start = np.array([np.log(0.01), np.log(0.03), -2.0])
    return figures(minimize(loss, start, method="Nelder-Mead", options={"xatol": 0.01, "fatol": 1e-5}).x)


def statsmodels_level(values: Floats) -> float:
    """The next value that statsmodels' local level expects after these, its variances fitted on them."""
    from statsmodels.tsa.statespace.structural import UnobservedComponents

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        done = UnobservedComponents(values, "local level").fit(disp=False)
        return float(done.forecast(1)[0])


def in_order(results: Results) -> Results:
    """The rows sorted by lifter and day."""
    order = np.lexsort((results.table.day, results.table.lifter))
    return results.where(order)  # type: ignore[arg-type]  # an order serves as well as a choice


def words(values: list[str]) -> str:
    return "| " + " | ".join(values) + " |"


def coverage(below: Floats) -> str:
    """How often the middle 50, 80 and 95 % hold the result, %."""
    return " / ".join(f"{100 * float((np.abs(below - 0.5) < share / 2).mean()):.1f}" for share in SHARES)


def by_lifter(lifter: NDArray[np.generic], error: Floats) -> float:
    """The mean of the lifters' own mean errors."""
    _, who = np.unique(lifter, return_inverse=True)
    return float((np.bincount(who, error) / np.bincount(who)).mean())


@dataclass(frozen=True, eq=False)
class Told:
    """What the forecasts said of each row, all (n, 3)."""

    median: Floats
    below: Floats
    score: Floats


def told(forecast: Forecast, best_kg: Floats) -> Told:
    return Told(forecast.kg_with_share(0.5), forecast.share_below_kg(best_kg), forecast.log_score(best_kg))


def tables(results: Results, others: Results, peer_lifters: int) -> Iterator[str]:
    """The lines of the tables."""
    results, others = in_order(results), in_order(others)
    table, before = results.table, before_each(results)
    ours = {name: told(forecasts(table, use), table.best_kg) for name, use in (("no", False), ("yes", True))}
    has = ~np.isnan(table.best_kg) & (before.shown >= 1)
    scored = has & results.full[:, None] & (before.shown_full >= ENOUGH_EARLIER)
    chosen = np.unique(table.lifter[scored.any(axis=1)])
    chosen = np.random.default_rng(1).permutation(chosen)[:peer_lifters]
    small = np.isin(table.lifter, chosen)
    yield f"Full meets with {ENOUGH_EARLIER} or more earlier full ones; MAE in kg, log score of ln kg, the rest in %."
    yield ""
    yield HEAD
    yield words(["---"] * 15)
    peers = []
    for lift, name in enumerate(LIFTS):
        rows = np.flatnonzero(scored[:, lift])
        if not len(rows):
            yield words([name, "no forecasts", *[""] * 13])
            continue
        best, last = table.best_kg[rows, lift], before.last[rows, lift]
        level, level_score = local_level(results, lift, *fitted_local_level(others, lift))
        last_error = np.abs(last - best)
        for use, one in ours.items():
            error = np.abs(one.median[rows, lift] - best)
            yield words(
                [
                    name,
                    use,
                    str(len(rows)),
                    str(len(np.unique(table.lifter[rows]))),
                    f"{last_error.mean():.2f}",
                    f"{np.abs(before.best[rows, lift] - best).mean():.2f}",
                    f"{np.abs(np.exp(level[rows]) - best).mean():.2f}",
                    f"{error.mean():.2f}",
                    f"{error.mean() / last_error.mean():.3f}",
                    f"{by_lifter(table.lifter[rows], last_error):.2f}",
                    f"{by_lifter(table.lifter[rows], error):.2f}",
                    f"{level_score[rows].mean():.3f}",
                    f"{one.score[rows, lift].mean():.3f}",
                    f"{100 * np.median(np.log(one.median[rows, lift] / best)):+.2f}",
                    coverage(one.below[rows, lift]),
                ]
            )
        few = rows[small[rows]]
        theirs = np.array([peer_says(table.lifter, table.best_kg[:, lift], row) for row in few])
        peers.append(
            words(
                [
                    name,
                    str(len(few)),
                    f"{np.abs(before.last[few, lift] - table.best_kg[few, lift]).mean():.2f}",
                    f"{np.abs(theirs - table.best_kg[few, lift]).mean():.2f}",
                    f"{np.abs(ours['no'].median[few, lift] - table.best_kg[few, lift]).mean():.2f}",
                ]
            )
            if len(few)
            else words([name, "0", "", "", ""])
        )
    if peer_lifters:
        yield ""
        yield f"The same meets of {len(chosen)} lifters at random, with the peer; MAE in kg."
        yield ""
        yield words(["lift", "n", "last value", "statsmodels local level", "ours"])
        yield words(["---"] * 5)
        yield from peers
    yield ""
    yield "By group, without the weigh-in; MAE in kg, bias and coverage in %."
    yield ""
    yield words(["group", "lift", "n", "last value", "ours", "ours / last value", "median bias", "50 / 80 / 95 % hold"])
    yield words(["---"] * 8)
    one = ours["no"]
    for group, which in groups(results, before, has, scored).items():
        for lift, name in enumerate(LIFTS):
            rows = np.flatnonzero(which[:, lift])
            if not len(rows):
                continue
            best = table.best_kg[rows, lift]
            error, last_error = np.abs(one.median[rows, lift] - best), np.abs(before.last[rows, lift] - best)
            bias = 100 * np.median(np.log(one.median[rows, lift] / best))
            yield words(
                [
                    group,
                    name,
                    str(len(rows)),
                    f"{last_error.mean():.2f}",
                    f"{error.mean():.2f}",
                    f"{error.mean() / last_error.mean():.3f}",
                    f"{bias:+.2f}",
                    coverage(one.below[rows, lift]),
                ]
            )


def peer_says(lifter: NDArray[np.generic], best_kg: Floats, row: int) -> float:
    """What statsmodels' local level says in kg of a row, from the earlier rows of its lifter."""
    earlier = best_kg[:row][lifter[:row] == lifter[row]]
    return float(np.exp(statsmodels_level(np.log(earlier[~np.isnan(earlier)]))))


def groups(results: Results, before: Before, has: Flags, scored: Flags) -> dict[str, Flags]:
    """The rows of each group, (n, 3)."""
    table = results.table
    long = before.gap_days > YEAR_DAYS
    return {
        "any meet after the first": has,
        "after one meet": has & (before.shown == 1),
        "after two or three": has & (before.shown > 1) & (before.shown < 4),
        "gap over a year": has & long,
        "gap over a year, 6 earlier": scored & long,
        "gap over two years": has & (before.gap_days > 2 * YEAR_DAYS),
        "2020 on, 6 earlier": scored & (results.year >= 2020)[:, None],
        "women, 6 earlier": scored & (table.female == 1)[:, None],
        "over 50, 6 earlier": scored & (table.age_years > 50)[:, None],
        "under 20, 6 earlier": scored & (table.age_years < 20)[:, None],
    }


def main(arguments: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("data", type=Path)
    parser.add_argument("--fold", type=int, default=3)
    parser.add_argument("--id-remainder", type=int, default=0)
    parser.add_argument("--peer-lifters", type=int, default=150)
    asked = parser.parse_args(arguments)
    results = read_results(asked.data)
    mine = results.table.lifter % asked.fold == asked.id_remainder
    others = results.where(~mine & ~(results.year >= 2020)) if not mine.all() else results
    for line in tables(results.where(mine), some_lifters(others, 2000), asked.peer_lifters):
        print(line)
    return 0


if __name__ == "__main__":
    sys.exit(main())
