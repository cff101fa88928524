"""The questionnaire of the morning against the person's own earlier days: score, direction, clearly worse or not.

Two ideas: the two published scales run in opposite directions, so ``worse_by`` is turned until more is always worse;
and only the person's own days say what is usual. It names no cause and predicts nothing.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean, stdev
from typing import Literal

from setwright.review.finding import Finding
from setwright.review.wellness_scales import scales
from setwright.strength.logged import LoggedSession

BASELINE_DAYS = 28  # the newest earlier days that count (common practice, no published source)
LEAST_DAYS = 7  # under this many there is no baseline yet
CLEARLY = 1.5  # spreads from the own mean, from which a day is clearly worse (common practice, no published source)

Against = Literal["not yet", "as usual", "clearly worse", "clearly better"]


@dataclass(frozen=True)
class WellnessDay:
    """One morning: the sum of its answers and how it stands against the own earlier days of the same scale.

    ``usual``, ``spread``: mean and deviation (n - 1) of up to 28 earlier days, None under 7.
    ``worse_by``: distance from the usual in spreads, above 0 is worse on either scale; never less than half a point
    counts as a spread. ``worst_answers``: the questions furthest on the bad side.
    """

    date: dt.date
    scale: str
    score: float
    lowest: float
    highest: float
    good_is_high: bool
    earlier_days: int
    usual: float | None
    spread: float | None
    worse_by: float | None
    against: Against
    worst_answers: tuple[str, ...]


def wellness_days(rows: Sequence[LoggedSession]) -> tuple[WellnessDay, ...]:
    """Every morning that was answered, by date; of several of one day and scale the last counts."""
    told = {(one.date, one.wellness.scale): one.wellness for one in rows if one.wellness is not None}
    scores: dict[str, list[float]] = {}
    found = []
    for (day, name), answers in sorted(told.items(), key=lambda one: one[0]):
        scale = scales()[name]
        score = sum(answers.answers.values())
        earlier = scores.setdefault(name, [])[-BASELINE_DAYS:]
        usual = spread = worse_by = None
        against: Against = "not yet"
        if len(earlier) >= LEAST_DAYS:
            usual, spread = fmean(earlier), stdev(earlier)
            worse_by = (usual - score if scale.good_is_high else score - usual) / max(spread, 0.5)
            against = (
                "clearly worse" if worse_by >= CLEARLY else "clearly better" if worse_by <= -CLEARLY else "as usual"
            )
        scores[name].append(score)
        bad = {
            key: (scale.high - one if scale.good_is_high else one - scale.low) for key, one in answers.answers.items()
        }
        worst = tuple(key for key in scale.questions if bad[key] == max(bad.values()) and bad[key] > 0)
        found.append(
            WellnessDay(
                day,
                name,
                score,
                scale.lowest_sum,
                scale.highest_sum,
                scale.good_is_high,
                len(earlier),
                usual,
                spread,
                worse_by,
                against,
                worst,
            )
        )
    return tuple(found)


def wellness_findings(days: Sequence[WellnessDay]) -> list[Finding]:
    """A finding where the newest morning is clearly worse than the person's own usual, or several of late were."""
    if not days or days[-1].against != "clearly worse":
        return []
    last = days[-1]
    run = 0
    for one in reversed(days):
        if one.against != "clearly worse":
            break
        run += 1
    way = "high is good" if last.good_is_high else "high is bad"
    worst = ", ".join(last.worst_answers)
    evidence = (
        f"{last.score:g} on {last.date.isoformat()} ({way}, {last.lowest:g} to {last.highest:g}); usual for this one "
        f"{last.usual:.1f}, spread {last.spread:.1f}, over {last.earlier_days} earlier days. Worst: {worst}."
    )
    about = "this morning" if run == 1 else f"{run} mornings in a row"
    asks = "Ask what is behind it before the next hard session; another morning tells a bad night from a bad week."
    return [Finding("feels worse than usual", about, evidence, None, asks, 66 if run > 1 else 48)]
