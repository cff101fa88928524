"""What else changed in the weeks in which a lift did not gain: facts of the log side by side, and no cause.

Two ideas. One: the newest hard weeks against the hard weeks before them, each thing in its own unit, and only what
moved by more than weeks do anyway. Two: nothing found is an answer too, and is said.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import timedelta
from statistics import fmean, median

from setwright.plan.block import Block
from setwright.review.finding import Finding
from setwright.review.shown_strength import EASY_KINDS
from setwright.review.tired import MORNING_SD, against_earlier
from setwright.review.volume import WeekDone
from setwright.review.wellness import WellnessDay
from setwright.review.wellness_scales import scales

STALLS = ("no gain", "getting weaker", "standing still")
NEW_WEEKS, LEAST_BEFORE = 3, 2  # hard weeks
# From how much on a thing is said (common practice, no published source): of all sessions; of sets and minutes; RPE;
# hours; spreads of the mornings.
MISSED_MORE, BY_SHARE, BY_RPE, BY_HOURS, BY_SPREADS = 0.15, 0.20, 0.75, 3.0, 1.3
NOTHING = "Nothing else that the log tells changed then"


def with_what_changed(findings: Sequence[Finding], told: str) -> list[Finding]:
    """The findings, those of a stall with what else changed then; ``told``: in a sentence, or empty."""
    return [replace(one, evidence=f"{one.evidence} {told}") if told and one.kind in STALLS else one for one in findings]


def changed_then(block: Block, weeks: Sequence[WeekDone], mornings: Sequence[WellnessDay]) -> str:
    """What else changed in the newest hard weeks, in a sentence; empty where too few weeks tell."""
    hard = {week.number for week in block.weeks if week.kind not in EASY_KINDS}
    whole = {week.number: len(week.sessions) for week in block.weeks}
    told = [one for one in weeks if one.number in hard and one.sessions_planned == whole[one.number] > 0]
    new, old = told[-NEW_WEEKS:], told[:-NEW_WEEKS]
    if len(new) < NEW_WEEKS or len(old) < LEAST_BEFORE:
        return ""
    found = [
        missed(new, old),
        by_share(new, old, sets_a_week, "sets {new:.0f} a week, {old:.0f} before"),
        by_effort(new, old),
        by_share(new, old, minutes_a_session, "{new:.0f} minutes a session, {old:.0f} before"),
        by_hour(new, old),
        by_mornings(new, mornings),
        by_pain(new, old),
        by_limits(block, new),
    ]
    said = "; ".join(one for one in found if one)
    span = f"weeks {new[0].number} to {new[-1].number}"
    return f"In {span}, against those before: {said}." if said else f"{NOTHING} ({span})."


def missed(new: Sequence[WeekDone], old: Sequence[WeekDone]) -> str:
    """More sessions missed, or fewer."""
    rows = [(sum(len(one.missed) for one in some), sum(one.sessions_planned for one in some)) for some in (new, old)]
    (now, of), (then, of_then) = rows
    if abs(now / of - then / of_then) < MISSED_MORE:
        return ""
    return f"{now} of {of} sessions missed, {then} of {of_then} before"


def sets_a_week(weeks: Sequence[WeekDone]) -> float | None:
    """Working sets done a week."""
    return fmean(one.sets_done for one in weeks)


def minutes_a_session(weeks: Sequence[WeekDone]) -> float | None:
    """Minutes of a session that was done; None where nobody wrote them."""
    told = [row.minutes_done for one in weeks for row in one.sessions if row.minutes_done]
    return fmean(told) if told else None


def by_share(
    new: Sequence[WeekDone],
    old: Sequence[WeekDone],
    amount: Callable[[Sequence[WeekDone]], float | None],
    words: str,
) -> str:
    """An amount that moved by a fifth or more."""
    now, then = amount(new), amount(old)
    if now is None or not then or abs(now / then - 1.0) < BY_SHARE:
        return ""
    return words.format(new=now, old=then)


def by_effort(new: Sequence[WeekDone], old: Sequence[WeekDone]) -> str:
    """Effort called harder or easier, beyond what the plan asked more or less."""
    rows = []
    for some in (new, old):
        told = [(one.rpe_called, one.rpe_planned or 0.0) for one in some if one.rpe_called is not None]
        if not told:
            return ""
        rows.append((fmean(called for called, _ in told), fmean(planned for _, planned in told)))
    (now, planned), (then, planned_then) = rows
    if abs((now - planned) - (then - planned_then)) < BY_RPE:
        return ""
    return f"RPE {now:.1f} called for {planned:.1f} planned, {then:.1f} for {planned_then:.1f} before"


def by_hour(new: Sequence[WeekDone], old: Sequence[WeekDone]) -> str:
    """Another time of day, by the middle of all sessions."""
    hours = []
    for some in (new, old):
        told = [hours_of(row.time) for one in some for row in one.sessions if row.time]
        if not told:
            return ""
        hours.append(median(told))
    if abs(hours[0] - hours[1]) < BY_HOURS:
        return ""
    return f"trained about {hours[0]:.0f} o'clock, {hours[1]:.0f} before"


def hours_of(time: str) -> float:
    """Hours of ``18:30``.

    >>> hours_of("18:30")
    18.5
    """
    hour, _, minute = time.partition(":")
    return int(hour) + int(minute or 0) / 60.0


def by_mornings(new: Sequence[WeekDone], mornings: Sequence[WellnessDay]) -> str:
    """Mornings that were clearly worse or better as a whole, on one scale."""
    if not mornings:
        return ""
    scale = mornings[-1].scale
    way = -1.0 if scales()[scale].good_is_high else 1.0
    start, end = new[0].start, new[-1].start + timedelta(days=7)
    told = [(one.date, way * one.score) for one in mornings if one.scale == scale and one.date < end]
    now = [score for day, score in told if day >= start]
    spreads = against_earlier(now, [score for day, score in told if day < start], MORNING_SD)
    if spreads is None or abs(spreads) < BY_SPREADS:
        return ""
    return f"mornings {'worse' if spreads > 0 else 'better'} by {abs(spreads):.1f} spreads"


def by_pain(new: Sequence[WeekDone], old: Sequence[WeekDone]) -> str:
    """Pain where there was less."""
    worst = [max((entry.worst_pain or 0 for one in some for entry in one.entries), default=0) for some in (new, old)]
    return f"pain up to {worst[0]} of 10, {worst[1]} before" if worst[0] > worst[1] else ""


def by_limits(block: Block, new: Sequence[WeekDone]) -> str:
    """Limits that began in these weeks."""
    start, end = new[0].start, new[-1].start + timedelta(days=7)
    names = [
        one.joint for one in block.inputs.trainee.restrictions if one.since is not None and start <= one.since < end
    ]
    return f"a limit at the {' and the '.join(dict.fromkeys(names))} began" if names else ""
