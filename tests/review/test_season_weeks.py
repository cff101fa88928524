"""The weeks of a season: towards days that count, with easier weeks where the published spacing has them."""

from __future__ import annotations

import random
from datetime import date, timedelta

import pytest
from season_case import plain_block

from setwright.people.season import Season, SeasonEvent
from setwright.review.season_weeks import Stretch, stretches, taper_weeks

TODAY = date(2026, 10, 5)  # a Monday


def laid(*events: SeasonEvent, weeks: int = 6, every: int = 4) -> tuple[Stretch, ...]:
    return stretches(Season("s", "invented", events=events), (), TODAY, weeks, every)


def kinds_by_monday(found: tuple[Stretch, ...]) -> dict[date, str]:
    return {week.start: week.kind for one in found for week in one.weeks}


@pytest.mark.parametrize(
    ("day", "first", "last"),
    [
        (date(2027, 4, 17), date(2027, 4, 5), date(2027, 4, 12)),  # a Saturday: its own week and the one before
        (date(2027, 4, 12), date(2027, 3, 29), date(2027, 4, 5)),  # a Monday: the two weeks before
    ],
)
def test_sets_come_down_in_the_two_weeks_before_a_meet(day: date, first: date, last: date) -> None:
    """Referee: Travis et al. 2020, Sports 8:125: about two weeks before (partly seen); the calendar by hand."""
    meet = SeasonEvent("Meet", day, "meet", taper_weeks=2)
    assert taper_weeks(meet) == (first, last)

    kinds = kinds_by_monday(laid(meet))
    assert kinds[first] == kinds[last] == "taper"
    assert kinds[first - timedelta(days=7)] == "build"


def test_no_training_is_laid_into_a_break_and_a_way_back_follows_a_long_one() -> None:
    """Referee: CSCCa/NSCA 2019 (rule D01): after two weeks off and more, four weeks of a ramp."""
    off = SeasonEvent("Holiday", date(2026, 12, 21), "break", until=date(2027, 1, 3))
    kinds = kinds_by_monday(laid(off))

    assert [kinds[date(2026, 12, 21)], kinds[date(2026, 12, 28)]] == ["break", "break"]
    assert [kinds[date(2027, 1, 4) + timedelta(days=7 * n)] for n in range(5)] == ["way back"] * 4 + ["build"]


def test_one_week_off_needs_no_way_back() -> None:
    off = SeasonEvent("Trip", date(2026, 12, 21), "break", until=date(2026, 12, 27))

    assert "way back" not in kinds_by_monday(laid(off)).values()


@pytest.mark.parametrize("seed", range(12))
def test_weeks_follow_each_other_and_hard_weeks_never_outrun_the_spacing(seed: int) -> None:
    """Law, random events: every week once, no block over a brief's 12 weeks, an easier week as often as asked.

    Referee: Bell et al. 2022: an easier week every 4 to 6 weeks (seen); the spacings tried are 4 to 6.
    """
    rng = random.Random(seed)
    every = rng.choice([4, 5, 6])
    events = []
    for number in range(rng.randrange(5)):
        day = TODAY + timedelta(days=rng.randrange(7, 360))
        kind = rng.choice(["meet", "test", "match", "break", "other"])
        until = day + timedelta(days=rng.randrange(5, 30)) if kind == "break" else None
        taper = 0 if kind in ("break", "other") else rng.randrange(4)
        events.append(SeasonEvent(f"event {number}", day, kind, until=until, taper_weeks=taper))  # type: ignore[arg-type]
    found = laid(*events, weeks=rng.choice([4, 6, 8]), every=every)

    weeks = [week for one in found for week in one.weeks]
    assert len(weeks) >= 52, seed
    assert [week.start for week in weeks] == [TODAY + timedelta(days=7 * n) for n in range(len(weeks))], seed
    for one in found:
        assert one.weeks[0].kind == "break" or len(one.weeks) <= 12, seed
        in_row = 0
        for week in one.weeks:
            in_row = in_row + 1 if week.kind == "build" else 0
            assert in_row <= every, (seed, one)


def test_blocks_so_far_keep_their_weeks_and_the_rest_follows() -> None:
    block = plain_block()
    found = stretches(Season("s", "invented"), (block,), date(2026, 9, 20))

    assert found[0].title == block.title and [one.kind for one in found[0].weeks] == ["build", "build", "build", "easy"]
    assert found[1].number == 1 and found[1].start == date(2026, 10, 5)
