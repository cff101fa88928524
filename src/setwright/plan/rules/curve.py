"""Rules on the curve of effort and volume over the weeks: easier weeks, rises of effort, what came down."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from setwright.plan.rules.book import rule
from setwright.plan.rules.view import View
from setwright.plan.weeks import RETURN_SHARES

MOST_HARD_WEEKS = 8
RISE_RPE = 1.0


@rule(
    "D05",
    "an easier week about every four to eight weeks: fewer sets, less effort, the same days",
    "Rogerson 2024 survey, 246 people: 6.4 +- 1.7 days every 5.6 +- 2.3 weeks (practice, not proof)",
    "practice",
    "seen",
)
def no_easy_week(view: View) -> Iterable[str]:
    """More than eight hard weeks in a row, and easier weeks that are not easier or drop days."""
    run = 0
    for week in view.block.weeks:
        run = 0 if week.kind == "deload" else run + 1
        if run > MOST_HARD_WEEKS:
            yield f"Weeks {week.number - run + 1} to {week.number} have none."
            break
    for before, after in pairwise(view.block.weeks):
        if after.kind != "deload" or before.kind == "deload":
            continue
        if after.rpe >= before.rpe and view.total_sets(after.number) >= view.total_sets(before.number):
            yield f"Week {after.number} is called easier, but is no easier than week {before.number}."
        if len(after.sessions) < len(before.sessions):
            yield f"Week {after.number} has {len(after.sessions)} days, week {before.number} {len(before.sessions)}."


@rule(
    "C01",
    "effort climbs by one RPE a week at most",
    "common practice, no published source",
    "practice",
    "ours",
)
def effort_leaps(view: View) -> Iterable[str]:
    """Hard weeks more than one RPE over the hard week before; a planned rise within it is no jump of load."""
    for before, after in pairwise(view.hard_weeks):
        if after.rpe - before.rpe > RISE_RPE + 1e-9:
            yield f"RPE {before.rpe:g} in week {before.number}, {after.rpe:g} in week {after.number}."


@rule(
    "C02",
    "the curve of the brief holds, but for a way back and a first start",
    "what came down follows CSCCa/NSCA 2019 (rule D01) and Riebe 2015 (rule S01)",
    "published",
    "seen second-hand",
)
def curve_came_down(view: View) -> Iterable[str]:
    """Weeks of a designed block that ask for less than the brief's own curve, with the reason."""
    inputs = view.block.inputs
    returns = inputs.trainee.weeks_off >= 2
    if view.block.door != "design" or (inputs.trainee.screening.active_now and not returns):
        return
    why = "after weeks off" if returns else "for somebody not active so far"
    for week, wanted in zip(view.block.weeks, inputs.brief.rpe_by_week, strict=False):
        if week.rpe < wanted - 1e-9:
            yield f"Week {week.number} is RPE {week.rpe:g}, not {wanted:g}, {why}."
    for week, share in zip(view.block.weeks, inputs.brief.sets_by_week, strict=False):
        most = RETURN_SHARES[week.number - 1] if week.number <= len(RETURN_SHARES) else 1.0
        if returns and share > most:
            yield f"Week {week.number} holds {100 * most:.0f} % of the sets, not {100 * share:.0f}, {why}."
