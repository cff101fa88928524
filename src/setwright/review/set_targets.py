"""Counted sets of each group by week: done, planned, and the band that the brief asks for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from setwright.catalogue.store import Catalogue
from setwright.plan.block import Block
from setwright.plan.demand import week_demand
from setwright.plan.weeks import week_shapes
from setwright.review.volume import WeekDone


@dataclass(frozen=True)
class GroupWeek:
    """One group in one week, in counted sets (direct + half of the indirect; Pelland 2025).

    muscles : the groups whose counted sets tell of it: the best served one of them
    low, high : the band asked for: from the least that keeps the group (rule V02, at most what is asked) to what the
        brief asks of its hardest week times this week's share of it; without a brief, what is written
    planned, done : of the sessions that were due; is_over : the log reaches past the week
    """

    group: str
    week: int
    low: float
    high: float
    planned: float
    done: float
    is_over: bool
    muscles: tuple[str, ...] = ()


def sets_against_target(block: Block, weeks: Sequence[WeekDone], catalogue: Catalogue) -> tuple[GroupWeek, ...]:
    """Every group that the brief asks something of or the log counts, by group, then week."""
    trainee, brief = block.inputs.trainee, block.inputs.brief
    shares = {one.number: one.share for one in week_shapes(brief, trainee.weeks_off, trainee.screening.active_now)}
    found = []
    for group in week_demand(trainee, brief, trainee.restrictions, catalogue).muscles:
        rows = []
        for week in weeks:
            planned = most_of(week.credits_planned, group.muscles)
            asked = planned if brief.is_implied else group.target * shares.get(week.number, 1.0)
            rows.append(
                GroupWeek(
                    group.roll_up,
                    week.number,
                    min(group.floor, asked),
                    asked,
                    planned,
                    most_of(week.credits, group.muscles),
                    week.is_over,
                    group.muscles,
                )
            )
        if any(one.high > 0 or one.done > 0 for one in rows):
            found += rows
    return tuple(found)


def most_of(credits: Mapping[str, tuple[float, float]], muscles: Sequence[str]) -> float:
    """Counted sets of the best served of some muscles, as the plan counts a group."""
    return max((credits.get(muscle, (0.0, 0.0))[1] for muscle in muscles), default=0.0)
