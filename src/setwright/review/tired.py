"""Tired all round: strength that all lifts share, mornings, and how hard sessions were rated, together.

One idea: each sign alone is noise in somebody well once in a while, so each is put on the scale of its own noise and a
finding needs two of them. It names no cause.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import sqrt
from statistics import fmean, stdev

from setwright.plan.block import Block
from setwright.review.finding import Finding, number_of
from setwright.review.shown_strength import BEFORE_WEEKS, Moves, Shown, moves_of, sd_of
from setwright.review.volume import WeekDone
from setwright.review.wellness import WellnessDay
from setwright.review.wellness_scales import scales

CLEAR, TOGETHER = 1.3, 4.5  # spreads: of two signs each, and of all signs summed (tuned on invented people)
LEAST_EARLIER = 6  # mornings, or sessions, that a week is held against
RPE_SD, MORNING_SD = 0.7, 1.0  # least spreads of one session's rating and of one morning's sum
ONE_BAD_MORNING, A_BAD_WEEK = 2.5, 2.0  # spreads, from which one morning alone, or a week with it, is said


@dataclass(frozen=True)
class Sign:
    """One sign: how far on the bad side, in its own spreads, and in words."""

    spreads: float
    words: str


def of_strength(shown: Mapping[str, Sequence[Shown]]) -> Sign | None:
    """What all lifts of the newest hard week lost together against the hard weeks before; two lifts at least."""
    moves: Moves | None = moves_of(shown)
    if moves is None or len(moves.by_lift) < 2:
        return None
    days = len({day for slug in moves.by_lift for day in shown[slug][-1].dates})
    before = min(BEFORE_WEEKS, *(len(shown[slug]) - 1 for slug in moves.by_lift))
    sd = sd_of(days) * sqrt(1.0 + 1.0 / before)
    percent = 100.0 * moves.middle
    return Sign(-moves.middle / sd, f"{len(moves.by_lift)} lifts together {percent:+.0f} % in week {moves.week}")


def against_earlier(new: Sequence[float], earlier: Sequence[float], least_sd: float) -> float | None:
    """How many spreads the mean of new numbers lies over that of earlier ones; None with too few."""
    if not new or len(earlier) < LEAST_EARLIER:
        return None
    sd = max(least_sd, stdev(earlier)) * sqrt(1.0 / len(new) + 1.0 / len(earlier))
    return (fmean(new) - fmean(earlier)) / sd


def of_mornings(mornings: Sequence[WellnessDay], today: date) -> Sign | None:
    """The mornings of the last seven days against the earlier ones of the same scale."""
    if not mornings:
        return None
    scale = mornings[-1].scale
    way = -1.0 if scales()[scale].good_is_high else 1.0
    told = [(one.date, way * one.score) for one in mornings if one.scale == scale]
    edge = today - timedelta(days=7)
    new = [score for day, score in told if edge < day <= today]
    spreads = against_earlier(new, [score for day, score in told if day <= edge], MORNING_SD)
    if spreads is None:
        return None
    return Sign(spreads, f"{number_of(len(new), 'morning')} worse than the earlier ones by {spreads:.1f} spreads")


def morning_counts(mornings: Sequence[WellnessDay]) -> bool:
    """True where a worse newest morning is news: far off, the second in a row, or of a week that is worse as a whole.

    One morning in fifteen is worse than usual by 1.5 spreads in somebody well.
    """
    if not mornings:
        return False
    last, before = mornings[-1], mornings[-2:-1]
    week = of_mornings(mornings, last.date)
    again = bool(before) and before[0].against == "clearly worse"
    return (last.worse_by or 0.0) >= ONE_BAD_MORNING or again or (week is not None and week.spreads >= A_BAD_WEEK)


def of_ratings(weeks: Sequence[WeekDone]) -> Sign | None:
    """The ratings of the newest week's sessions, less what the week was planned at, against the earlier weeks."""
    by_week = [
        (
            one.number,
            [row.session_rpe - (one.rpe_planned or 0.0) for row in one.sessions if row.session_rpe is not None],
        )
        for one in weeks
    ]
    by_week = [(number, rows) for number, rows in by_week if rows]
    if len(by_week) < 2:
        return None
    new = by_week[-1][1]
    spreads = against_earlier(new, [row for _, rows in by_week[:-1] for row in rows], RPE_SD)
    if spreads is None:
        return None
    words = f"sessions of week {by_week[-1][0]} rated harder than planned by {spreads:.1f} spreads more than before"
    return Sign(spreads, words)


def signs_together(
    shown: Mapping[str, Sequence[Shown]], mornings: Sequence[WellnessDay], weeks: Sequence[WeekDone], today: date
) -> tuple[Sign, ...]:
    """The signs that can be told; what all three say of the newest week."""
    told = (of_strength(shown), of_mornings(mornings, today), of_ratings(weeks))
    return tuple(one for one in told if one is not None)


def tired_all_round(
    shown: Mapping[str, Sequence[Shown]], mornings: Sequence[WellnessDay], weeks: Sequence[WeekDone], today: date
) -> list[Finding]:
    """A finding where two signs are clear and all of them together are rare in somebody well."""
    signs = signs_together(shown, mornings, weeks, today)
    clear = [one for one in signs if one.spreads >= CLEAR]
    total = sum(max(0.0, one.spreads) for one in signs)
    if len(clear) < 2 or total < TOGETHER:
        return []
    words = "; ".join(one.words for one in sorted(clear, key=lambda one: -one.spreads))
    evidence = words[:1].upper() + words[1:] + "."
    asks = (
        "Ask about sleep, illness and what else is going on; an easier week now is cheap. If strength stays down for "
        "two weeks in spite of it, a doctor (Meeusen 2013). This is no diagnosis."
    )
    return [Finding("tired all round", number_of(len(clear), "sign"), evidence, None, asks, 74)]


def time_away(block: Block, weeks: Sequence[WeekDone], mornings: Sequence[WellnessDay]) -> list[Finding]:
    """A whole week or more in which no planned session was done, in the newest two weeks of the log."""
    planned = {week.number: len(week.sessions) for week in block.weeks}
    away = [one for one in weeks[-2:] if one.sessions_planned == planned[one.number] > 0 == one.sessions_done]
    if not away:
        return []
    numbers = " and ".join(str(one.number) for one in away)
    first, last = away[0].start, away[-1].start + timedelta(days=6)
    worse = sum(one.against == "clearly worse" and first <= one.date <= last for one in mornings)
    also = f"; {number_of(worse, 'morning')} clearly worse than usual" if worse else ""
    evidence = f"No session of week {numbers} was done{also}."
    asks = (
        "Ask whether it was illness, travel or no log. After illness come back with fewer sets at the loads before, "
        "and a doctor decides after fever, chest pain or breathlessness."
    )
    return [Finding("a week away", f"week {numbers}", evidence, None, asks, 68)]
