"""The next competition of a trainee, foretold from the tested singles that the file and the log hold.

Only singles count here: a best of a test or competition, and failed attempts of the same day. What training says about
strength is the estimate's; what such days have shown so far, and how people who compete go on, is this file's.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from setwright.people.trainee import Trainee
from setwright.strength.evidence import SetEvidence
from setwright.strength.meets import LIFTS, Meet, Shown, forecast

CONTESTED = dict(zip(("back_squat", "bench_bb", "deadlift"), LIFTS, strict=True))
LEAST_TESTS = 2  # days with a tested single of the lift, before its next best is foretold (this project's line)
LEAST_AGE = 14


@dataclass(frozen=True)
class NextBest:
    """The best of a lift at a meet on a day: kg, 8 times in 10 between p10 and p90; from ``tests`` days."""

    on: date
    p10: float
    p50: float
    p90: float
    tests: int


def shown_on(rows: Sequence[SetEvidence]) -> Shown | None:
    """What one lift showed on one day: the best tested single, and the lightest failed one above it; None without any.

    Failed attempts alone are taken for training.
    """
    best = max((one.load_kg for one in rows if one.kind == "test" and one.reps == 1), default=None)
    if best is None:
        return None
    failed = [one.load_kg for one in rows if one.kind == "failure" and one.reps == 0 and one.load_kg > best]
    return Shown(best, min(failed, default=None), bool(failed))


def meets_of(evidence: Mapping[str, Sequence[SetEvidence]]) -> tuple[Meet, ...]:
    """The days with a tested single of a contested lift, as meets; rows that wait for a check are left out."""
    days: dict[date, dict[str, list[SetEvidence]]] = {}
    for slug, name in CONTESTED.items():
        for one in evidence.get(slug, ()):
            if not one.strange:
                days.setdefault(one.date, {}).setdefault(name, []).append(one)
    made = []
    for day in sorted(days):
        lifts = {name: shown for name, rows in days[day].items() if (shown := shown_on(rows)) is not None}
        if lifts:
            made.append(Meet(day, None, lifts))
    return tuple(made)


def next_bests(trainee: Trainee, evidence: Mapping[str, Sequence[SetEvidence]], on: date) -> dict[str, NextBest]:
    """The next best of each contested lift with enough tests, by slug; empty where sex is not given (the figures know
    two), under 14, or where nothing lies before ``on``."""
    if trainee.sex is None or on.year - trainee.birth_year < LEAST_AGE:
        return {}
    meets = tuple(one for one in meets_of(evidence) if one.on < on)
    counts = {name: sum(1 for one in meets if name in one.lifts) for name in LIFTS}
    if max(counts.values()) < LEAST_TESTS:
        return {}
    told = forecast(trainee.sex == "female", trainee.birth_year, meets, on)
    low, middle, high = (told.kg_with_share(share)[0] for share in (0.1, 0.5, 0.9))
    return {
        slug: NextBest(on, float(low[n]), float(middle[n]), float(high[n]), counts[name])
        for n, (slug, name) in enumerate(CONTESTED.items())
        if counts[name] >= LEAST_TESTS
    }
