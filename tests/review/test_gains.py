"""One chance of a gain is called by one word: in the review, in what adapt proposes, and in the next brief."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from week_of_log import HOLDER, block, log_of

from setwright.catalogue.load import catalogue
from setwright.review.findings import review_block
from setwright.review.gains import FALLS, GAINING, NO_GAIN, TREND_DAYS, stands_still, verdict_of
from setwright.review.group_volume import signs_of as group_signs
from setwright.review.signs import signs_of
from setwright.strength.estimates import Estimates, estimate_lifts
from setwright.strength.logged import Log
from setwright.strength.spread import Spread

SLUG, NAME = "rdl_bb", "barbell romanian deadlift"


@cache
def told(weeks: int) -> tuple[Log, Estimates]:
    log = log_of(range(1, weeks + 1))
    return log, estimate_lifts(HOLDER, catalogue(), (), log, max(one.date for one in log.sets))


def with_chance(estimates: Estimates, gained: float) -> Estimates:
    lift = replace(estimates.lifts[SLUG], gained=gained, trend_per_week=Spread(0.0, -0.5, 0.5, 0.4))
    return replace(estimates, lifts={SLUG: lift})


@pytest.mark.parametrize("gained", [0.0, FALLS, 0.1, NO_GAIN, 0.2, 0.25, 0.5, GAINING, 1.0])
@pytest.mark.parametrize("weeks", [3, 7])
def test_what_a_review_calls_no_gain_is_what_changes_call_standing_still(weeks: int, gained: float) -> None:
    """Referee: the findings of the review against the signs that exchanges and sets rest on, chance by chance."""
    log, known = told(weeks)
    estimates = with_chance(known, gained)
    said = {one.kind for one in review_block(block(), log, estimates, catalogue()).findings}
    lift = signs_of(block(), log, estimates, catalogue(), known.today).lifts[SLUG]

    assert lift.stands_still == bool(said & {"no gain", "getting weaker"})
    assert lift.stands_still == (gained <= NO_GAIN and weeks == 7)
    assert ("gaining" in said) == (gained >= GAINING)


@pytest.mark.parametrize("gained", [0.05, NO_GAIN, 0.16, 0.25, 0.9])
def test_the_next_brief_says_not_gained_where_a_review_does(gained: float) -> None:
    assert bool(group_signs((), gained)) == (verdict_of(gained) in ("no gain", "falling"))


def test_bad_news_of_a_lift_waits_for_six_weeks_of_sets() -> None:
    """Common practice, no published source; six weeks are measured in docs/rosters.md."""
    days, fewer = ([one.date for one in told(weeks)[0].sets] for weeks in (7, 6))

    assert (max(days) - min(days)).days >= TREND_DAYS
    assert stands_still(0.1, days) and not stands_still(0.1, fewer) and not stands_still(0.1, ())
    assert not stands_still(None, days)
