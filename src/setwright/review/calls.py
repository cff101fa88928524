"""Whether what is written can be what was done: logs that repeat the plan, and reserves that were not there.

Nobody is accused: the finding says what was seen, and watching one session settles it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import comb
from statistics import fmean

from setwright.catalogue.store import Catalogue
from setwright.plan.block import Block, PlannedSet
from setwright.review.finding import Finding, number_of
from setwright.review.volume import NOT_COUNTED, attendance, least_reps, part_of
from setwright.strength.logged import Log, LoggedSet

WINDOW_WEEKS = 3
SHARE_HARDER = 1.0 / 3.0  # of the calls not easier than planned, that come out harder where people call as they feel
TOO_RARE = 0.001  # chance of so few of them, looked at every week (see docs/rosters.md)
# Repetitions promised and not there, in one set alone and on average over two or more. Invented people who call as most
# do have 0.7, those who call two too many 2 and more (docs/rosters.md).
ONE_GAP, MEAN_GAP = 2.0, 1.5
LOSS_A_SET = 0.05  # of the repetitions, from one set to the next (common practice, no published source)


@dataclass(frozen=True)
class Pair:
    """A planned set that wants a reserve, and the row logged for it with a call or an end by muscle."""

    week: int
    day: date
    planned: PlannedSet
    row: LoggedSet

    @property
    def repeats(self) -> bool:
        """True where repetitions and reserve are those of the plan."""
        reps = self.planned.reps
        return reps is not None and self.row.reps in range(reps[0], reps[1] + 1) and self.row.rir == self.planned.rir

    @property
    def is_harder(self) -> bool:
        """True where it fell short or less was left than planned."""
        short = (self.row.reps or 0) < least_reps(self.planned)
        return short or self.row.ended_by == "muscle" or (self.row.rir or 0.0) < (self.planned.rir or 0.0)


def pairs_of(block: Block, log: Log) -> tuple[Pair, ...]:
    """Every planned working set that wants a reserve with its row, oldest first; rows without a call are left out."""
    found = []
    for week in block.weeks:
        for one in attendance(block, week, log)[0]:
            rows = [row for row in one.sets if part_of(row, one.session) not in NOT_COUNTED]
            for part in one.session.parts if one.is_done else ():
                if part.part in NOT_COUNTED:
                    continue
                for entry in part.entries:
                    working = entry.working_sets
                    mine = [row for row in rows if row.exercise == entry.exercise][: len(working)]
                    rows = [row for row in rows if row not in mine]
                    found += [
                        Pair(week.number, row.date, planned, row)
                        for planned, row in zip(working, mine, strict=False)
                        if planned.reps and planned.rir is not None and row.reps is not None and row.rir is not None
                    ]
    return tuple(sorted(found, key=lambda pair: pair.day))


def chance_of_so_few(harder: int, of: int) -> float:
    """Chance that at most ``harder`` of ``of`` calls come out harder than planned where a third usually does."""
    p = SHARE_HARDER
    return sum(comb(of, n) * p**n * (1.0 - p) ** (of - n) for n in range(harder + 1))


def repeats_the_plan(pairs: Sequence[Pair]) -> list[Finding]:
    """Weeks in which what was written is what was planned, more often than calls by feel ever are."""
    if not pairs:
        return []
    newest = pairs[-1].week
    for weeks in range(1, WINDOW_WEEKS + 1):
        some = [one for one in pairs if one.week > newest - weeks]
        repeats, harder = sum(one.repeats for one in some), sum(one.is_harder for one in some)
        rare = chance_of_so_few(harder, repeats + harder)
        if rare > TOO_RARE:
            continue
        by_day: dict[date, list[Pair]] = {}
        for one in some:
            by_day.setdefault(one.day, []).append(one)
        whole = sum(all(one.repeats for one in rows) for rows in by_day.values())
        if whole == len(by_day) or 2 * whole >= len(by_day):
            first = f"The log repeats the plan to the repetition in {whole} of {number_of(len(by_day), 'session')}"
        else:
            first = f"{repeats} of {len(some)} sets were written as planned"
        evidence = (
            f"{first}, and {harder} of {number_of(len(some), 'set')} came out harder. Days differ more than that."
        )
        asks = (
            "Watch one session, or ask for the last set of each lift as it felt; until then the loads rest on the plan."
        )
        return [Finding("log repeats the plan", number_of(len(some), "set"), evidence, None, asks, 61)]
    return []


def promised_and_missing(pairs: Sequence[Pair]) -> dict[str, list[float]]:
    """By lift: repetitions that the set before had promised, and that were not there when the next one failed."""
    gaps: dict[str, list[float]] = {}
    last: dict[tuple[date, str], LoggedSet] = {}
    for one in pairs:
        key, row = (one.day, one.row.exercise), one.row
        before = last.get(key)
        if before is not None and before.load_kg == row.load_kg and before.ended_by != "muscle" and before.rir:
            promised = (1.0 - LOSS_A_SET) * ((before.reps or 0) + before.rir)
            if row.ended_by == "muscle":
                gaps.setdefault(row.exercise, []).append(promised - (row.reps or 0) - 0.5)
        last[key] = row
    return gaps


def reserves_not_there(pairs: Sequence[Pair], catalogue: Catalogue, off: float = 0.0) -> list[Finding]:
    """Sets that failed right after a set that had called more left, in the newest weeks.

    off : repetitions by which ``adapt`` counts fewer left than called (``review.believed``), 0 for calls taken as said
    """
    if not pairs:
        return []
    newest = pairs[-1].day
    gaps = promised_and_missing([one for one in pairs if newest - one.day < timedelta(weeks=WINDOW_WEEKS)])
    every = [gap for rows in gaps.values() for gap in rows]
    if not every or fmean(every) < (MEAN_GAP if len(every) > 1 else ONE_GAP):
        return []
    names = ", ".join(catalogue.get(slug).name for slug in sorted(gaps))
    evidence = (
        f"{number_of(len(every), 'set')} failed right after one that called more left: "
        f"{fmean(every):.1f} repetitions promised and not there ({names})."
    )
    asks = "One last set to failure with somebody watching, at a load that is safe there; then loads follow the calls."
    if off:
        asks += f" Until then adapt counts {off:g} fewer left."
    return [Finding("less left than called", number_of(len(every), "set"), evidence, None, asks, 63)]
