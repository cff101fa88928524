"""What a log is believed to say where reserves were called that were not there, again and again.

Two ideas. One: somebody who calls more left than they have gets loads that are too heavy, because loads follow calls;
so what sets showed to be missing is taken off their calls before anything is dosed. Two: it only ever counts fewer
left, so loads come out lower; and honest sets to failure end it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import fmean

from setwright.plan.block import Block
from setwright.review.calls import MEAN_GAP, Pair, pairs_of, promised_and_missing
from setwright.review.finding import number_of
from setwright.strength.logged import Log

LEAST_GAPS = 2  # sets that failed right after a promise; one alone is a day's luck (docs/rosters.md)
# Repetitions missing in invented people who call as most do: a set that fails is one with bad luck (docs/rosters.md).
USUAL_GAP = 0.7
MOST_OFF = 3.0  # repetitions; past it nobody's calls say anything (common practice, no published source)


@dataclass(frozen=True)
class Believed:
    """How many repetitions fewer are left than called, and why, in words; 0 and empty where calls are taken as said."""

    off: float = 0.0
    words: str = ""

    def of(self, log: Log) -> Log:
        """A log with its calls as believed: fewer left, never below 0; the log itself where they are taken as said."""
        if not self.off:
            return log
        sets = (
            replace(one, rir=max(0.0, one.rir - self.off)) if one.rir and one.ended_by != "muscle" else one
            for one in log.sets
        )
        return Log(tuple(sets), log.sessions)


def believed(block: Block, log: Log) -> Believed:
    """How a log of a block is believed; by its sets that failed right after a promise, from two on."""
    return from_pairs(pairs_of(block, log))


def from_pairs(pairs: Sequence[Pair]) -> Believed:
    """The same from planned sets with their rows, oldest first."""
    every = [gap for rows in promised_and_missing(pairs).values() for gap in rows]
    if len(every) < LEAST_GAPS or fmean(every) < MEAN_GAP:
        return Believed()
    off = min(MOST_OFF, round(2.0 * (fmean(every) - USUAL_GAP)) / 2.0)
    if off <= 0:
        return Believed()
    words = (
        f"calls count {off:g} fewer left: {number_of(len(every), 'set')} failed right after one that had called more, "
        f"{fmean(every):.1f} repetitions missing on average"
    )
    return Believed(off, words)
