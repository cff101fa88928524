"""Intervals, steady work and carries against what was logged of them: pace, watts and heart rate on average."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean
from typing import Literal

from setwright.catalogue.store import Catalogue
from setwright.plan.block import Block, Entry, Session
from setwright.plan.bout import Bout
from setwright.plan.bout_time import like
from setwright.plan.formats import SHARED
from setwright.plan.session_time import groups_of
from setwright.review.attendance import Attended
from setwright.review.conditioning import LEG_CYCLED, RUN, WALKED
from setwright.review.volume import attendance
from setwright.strength.logged import Log

Against = Literal["as asked", "faster than asked", "slower than asked", "more than asked", "less than asked", ""]


@dataclass(frozen=True)
class PiecesDone:
    """One planned bout of one movement, and what was logged of its pieces; None where nothing tells.

    ``pace_s``: seconds for each ``per_m`` metres, over all pieces with metres and a time. ``power_w``, ``heart_rate``:
    the mean of the pieces that tell it. ``against``: the target's own measure beside the target.
    """

    week: int
    day: str
    date: dt.date
    exercise: str
    name: str
    bout: Bout
    planned: int
    done: int
    pace_s: float | None
    per_m: float
    power_w: float | None
    heart_rate: float | None

    @property
    def against(self) -> Against:
        """How the mean stands to the target; empty without either."""
        target = self.bout.target
        if target is None or target.low is None or target.high is None:
            return ""
        mean = {"pace": self.pace_s, "watts": self.power_w, "heart rate": self.heart_rate}.get(target.by)
        if mean is None:
            return ""
        if target.low - 0.5 <= mean <= target.high + 0.5:
            return "as asked"
        if target.by == "pace":
            return "faster than asked" if mean < target.low else "slower than asked"
        return "less than asked" if mean < target.low else "more than asked"


def pieces_done(block: Block, log: Log, catalogue: Catalogue) -> tuple[PiecesDone, ...]:
    """Every bout by pieces of the sessions that were done, in order, those of which something was logged."""
    found = []
    for week in block.weeks:
        for one in attendance(block, week, log)[0]:
            entries = pieces_of(one.session) if one.is_done else []
            found += [done for entry in entries if (done := told_of(week.number, one, entry, catalogue)) is not None]
    return tuple(found)


def pieces_of(session: Session) -> list[Entry]:
    """The entries of conditioning that are logged piece by piece."""
    groups = [group for part in session.parts for group in groups_of(part.entries)]
    return [group[0] for group in groups if group[0].bout is not None and like(group[0].bout) not in SHARED]


def told_of(week: int, one: Attended, entry: Entry, catalogue: Catalogue) -> PiecesDone | None:
    """What was logged of one bout by pieces; None for nothing."""
    bout = entry.bout
    rows = [row for row in one.sets if row.exercise == entry.exercise and row.part in ("conditioning", None)]
    if bout is None or not rows:
        return None
    usual = 1000.0 if entry.exercise in (*WALKED, *RUN, *LEG_CYCLED) else 500.0
    per_m = (bout.target.per_m if bout.target is not None else None) or usual
    timed = [(row.time_s, row.distance_m) for row in rows if row.time_s and row.distance_m]
    metres = sum(distance for _, distance in timed)
    return PiecesDone(
        week,
        one.session.day,
        one.visits[0].date,
        entry.exercise,
        catalogue.get(entry.exercise).name,
        bout,
        len(entry.working_sets),
        len(rows),
        per_m * sum(time for time, _ in timed) / metres if metres else None,
        per_m,
        mean_of([float(str(row.dials["power_w"])) for row in rows if "power_w" in row.dials]),
        mean_of([row.heart_rate for row in rows if row.heart_rate is not None]),
    )


def mean_of(told: Sequence[float]) -> float | None:
    """The mean; None for nothing."""
    return fmean(told) if told else None
