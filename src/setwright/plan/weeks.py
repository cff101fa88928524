"""Stage three of designing: what each week is, how hard it is, and how many sets each entry gets in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from setwright.plan.block import WeekKind
from setwright.plan.brief import Brief

FIRST_WEEK_SHARE = 0.75
DELOAD_SHARE = 0.55
RETURN_SHARES = (0.5, 0.7, 0.8, 0.9)  # rule D01: the first four weeks after two weeks off or more
LEAST_RPE = 5.0
INACTIVE_RPE = 6.0
EASY_FALL_RPE, EASY_FALL_SETS = 1.0, 0.3
MOST_SETS, ANY_SETS = 4, 99  # of one entry: the most that is planned, and no limit


@dataclass(frozen=True)
class WeekShape:
    """One week: its kind, the effort of the main lifts, and its share of the peak week's sets."""

    number: int
    kind: WeekKind
    rpe: float
    share: float


def week_shapes(brief: Brief, weeks_off: float = 0.0, is_active: bool = True) -> tuple[WeekShape, ...]:
    """The curve of effort and volume that the brief sets.

    Effort is ``brief.rpe_by_week`` as written; else it climbs in a straight line over the building weeks from
    ``brief.rpe[0]`` to ``brief.rpe[1]``, in half points, and is half a point under the first week in easier ones.
    Sets are ``brief.sets_by_week`` as written; else they climb from three quarters to the whole, and easier weeks
    hold a little over half (rule D05: fewer sets, less effort, same days).
    Only these come down from what the coach wrote, and rule C02 says so: after two weeks off or more, the first
    four weeks hold at most 50, 70, 80 and 90 % (rule D01, CSCCa/NSCA 2019) and start at RPE 6; somebody not active
    so far starts at RPE 6 too and rises by half a point a week (Riebe 2015: light to moderate first; the half
    points are common practice).
    """
    easy = easy_weeks_of(brief, weeks_off)
    building = [week for week in range(1, brief.weeks + 1) if week not in easy]
    last_test = building[-1] if is_tested(brief) and building else None
    shapes = []
    for week in range(1, brief.weeks + 1):
        step = building.index(week) / max(1, len(building) - 1) if week in building else 0.0
        rpe, share = written_week(brief, week, step, week in easy)
        returns = weeks_off >= 2 and week <= len(RETURN_SHARES)
        if returns:
            share = min(share, RETURN_SHARES[week - 1])
        if returns or not is_active:
            rpe = min(rpe, INACTIVE_RPE + 0.5 * (week - 1))
        kind: WeekKind = "test" if week == last_test else "build"
        if week in easy:
            kind = "deload"
        elif returns:
            kind = "return"
        shapes.append(WeekShape(week, kind, rpe, share))
    return tuple(shapes)


def most_on_the_way_back(shape: WeekShape, most: int = MOST_SETS) -> int:
    """The most sets of one entry in a week after a break: no lift is spared the share that the week gives up.

    Rule D01 speaks of the week; that each entry gives up its part of it is common practice, no published source.
    """
    return max(1, ceil(shape.share * most - 1e-9)) if shape.kind == "return" else ANY_SETS


def written_week(brief: Brief, week: int, step: float, is_easy: bool) -> tuple[float, float]:
    """(RPE, share of the hardest week's sets) that the brief gives a week; ``step`` 0 to 1 through building weeks."""
    rpe = max(min(LEAST_RPE, brief.rpe[0]), brief.rpe[0] - 0.5)
    share = DELOAD_SHARE
    if not is_easy:
        rpe = round(2 * (brief.rpe[0] + step * (brief.rpe[1] - brief.rpe[0]))) / 2
        share = FIRST_WEEK_SHARE + (1 - FIRST_WEEK_SHARE) * step
    if brief.rpe_by_week:
        rpe = brief.rpe_by_week[week - 1]
    if brief.sets_by_week:
        share = brief.sets_by_week[week - 1]
    return rpe, share


def is_tested(brief: Brief) -> bool:
    """True when the last building week tries a single."""
    return any(wish.aim == "1rm" for wish in brief.lifts) and brief.rpe[1] >= 8.0


def easy_weeks_of(brief: Brief, weeks_off: float = 0.0) -> frozenset[int]:
    """The easier weeks: those the coach names, those a curve by week makes easier, or every so many.

    Where the program sets them, the last week is easier when none fell in the three before it, a block that ends
    with a test eases the week before, and a way back needs none in its first four weeks. What the coach names
    stays where it is.
    """
    if brief.easy_weeks is not None:
        return frozenset(brief.easy_weeks)
    if brief.rpe_by_week or brief.sets_by_week:
        return frozenset(easier_than_before(brief.rpe_by_week, brief.sets_by_week))
    if not brief.deload_every:
        return frozenset()
    easy = {week for week in range(1, brief.weeks + 1) if week % brief.deload_every == 0}
    if brief.weeks - max(easy, default=0) >= 3:
        easy.add(brief.weeks)
    if weeks_off >= 2:
        easy = {week for week in easy if week > len(RETURN_SHARES)}  # the way back is easy enough
    if is_tested(brief) and brief.weeks in easy:
        # The single is tried in the last week, rested: the easier week moves before it.
        easy = {week for week in easy if week < brief.weeks - 2} | {brief.weeks - 1}
    return frozenset(easy)


def easier_than_before(rpe_by_week: Sequence[float], sets_by_week: Sequence[float]) -> tuple[int, ...]:
    """Weeks that a curve makes easier than the one before: an RPE less or more, or 30 % of the sets less or more.

    Both figures are common practice, no published source.
    """
    falls = {
        week + 1 for week in range(1, len(rpe_by_week)) if rpe_by_week[week - 1] - rpe_by_week[week] >= EASY_FALL_RPE
    }
    falls |= {
        week + 1
        for week in range(1, len(sets_by_week))
        if sets_by_week[week] <= (1 - EASY_FALL_SETS) * sets_by_week[week - 1] + 1e-9
    }
    return tuple(sorted(falls))


def curve_within(rpe_by_week: Sequence[float], most: tuple[float, float]) -> tuple[float, ...]:
    """A curve of effort held under a limit that rises in a straight line from ``most[0]`` to ``most[1]``."""
    last = max(1, len(rpe_by_week) - 1)
    limits = [round(2 * (most[0] + week / last * (most[1] - most[0]))) / 2 for week in range(len(rpe_by_week))]
    return tuple(min(wanted, limit) for wanted, limit in zip(rpe_by_week, limits, strict=True))
