"""The season as picture, page and sheet: what the coach sees, and what a trainee is spared."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from itertools import pairwise

import pytest
from season_case import MEET, SEASON, log_of, usual, viewed

from setwright.people.season import SeasonEvent
from setwright.publish.season_chart import FULL, ChartGoal, ChartWeek, SeasonChart, event_rows, label_span, season_spec
from setwright.publish.season_report import season_html, season_pdf, season_svg
from setwright.publish.season_words import SeasonReport, for_coach, for_trainee
from setwright.publish.sheet import pages_of
from setwright.publish.strength_chart import short_date
from setwright.review.season import SeasonView


@cache
def possible() -> SeasonView:
    """The season with a target that is likely within two years."""
    return viewed(log_of(), replace(SEASON, goals=(replace(SEASON.goals[0], target=152.0), SEASON.goals[1])))[0]


def shown(show_dates: bool) -> tuple[SeasonReport, SeasonReport, list[str]]:
    """(the coach's report, the trainee's, every forecast date as it would be printed)."""
    view = possible()
    view = replace(view, season=replace(view.season, show_dates=show_dates))
    facts = {event.date for event in view.season.events} | {one.goal.by for one in view.standings}
    facts |= {day for one in view.stretches for day in (one.start, one.end)} | {view.today}
    dates = {day for one in view.standings for day in (one.likely or ()) if day is not None} - facts
    return for_coach(view, "kg"), for_trainee(view, "kg"), [short_date(day) for day in sorted(dates)]


def test_the_coach_always_sees_the_dates_and_the_trainee_only_where_the_coach_says_so() -> None:
    coach, hidden, dates = shown(show_dates=False)
    _, open_page, _ = shown(show_dates=True)
    assert dates

    assert all(day in season_html(coach) for day in dates)
    assert all(day in season_html(open_page) for day in dates)
    assert not any(day in season_html(hidden) for day in dates)


def test_a_trainee_without_dates_reads_words_and_no_chances() -> None:
    coach, hidden, _ = shown(show_dates=False)
    words = re.sub(r"<style.*?</style>|<svg.*?</svg>", "", season_html(hidden), flags=re.DOTALL)

    assert "17 Apr 2027" in words  # the day of the meet is a fact
    assert not re.search(r"\d %(?! less| of the)", words)
    assert "8 times in 10" in season_html(coach) and "8 times in 10" not in words


def test_a_trainee_reads_nothing_that_the_coach_has_not_approved() -> None:
    coach, hidden, _ = shown(show_dates=True)

    assert "More sets: " in season_html(coach)
    assert "More sets: " not in season_html(hidden) and "Behind: " not in season_html(hidden)


def test_the_picture_is_the_same_bytes_and_asks_nobody() -> None:
    coach, _, _ = shown(show_dates=False)
    svg = season_svg(coach)

    assert svg == season_svg(coach)
    assert "http" not in re.sub(r'xmlns(:\w+)?="[^"]*"', "", svg) and "id=" not in svg
    assert "Invented meet on 17 Apr 2027" in svg


def test_each_forecast_bar_begins_and_ends_on_its_days() -> None:
    """Referee: the share of the days by hand: day 90 and day 270 of 360 stand at a quarter and three quarters."""
    first = date(2027, 1, 1)
    likely = (first + timedelta(90), first + timedelta(180), first + timedelta(270))
    chart = SeasonChart("s", first, first + timedelta(360), first, (), (), (ChartGoal("goal", None, likely),))

    layers = season_spec(chart)["layer"]
    bars = [one["encoding"] for one in layers if (one["mark"]["type"], one["mark"].get("opacity")) == ("rect", 0.35)]
    assert (bars[0]["x"]["value"], bars[0]["x2"]["value"]) == (FULL / 4, 3 * FULL / 4)


@pytest.mark.parametrize("count", [0, 1, 9, 25])
def test_words_of_events_never_touch(count: int) -> None:
    first = date(2027, 1, 4)
    events = tuple((f"Event number {n}", first + timedelta(days=13 * n)) for n in range(count))
    weeks = tuple(ChartWeek(first + timedelta(days=7 * n), "build", False) for n in range(52))
    chart = SeasonChart("s", first, first + timedelta(364), first, weeks, events, ())
    rows = event_rows(chart)

    assert len(rows) == count
    spans = sorted((rows[n], *label_span(chart, *event)) for n, event in enumerate(events))
    assert all(a[0] != b[0] or a[2] <= b[1] for a, b in pairwise(spans))
    json.dumps(season_spec(chart))


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_the_sheet_is_one_page_and_the_same_bytes(paper: str) -> None:
    coach, _, _ = shown(show_dates=False)
    made = season_pdf(coach, paper)  # type: ignore[arg-type]

    assert pages_of(made) == 1
    assert made == season_pdf(coach, paper)  # type: ignore[arg-type]


@pytest.mark.long
def test_a_full_season_still_fits_one_sheet() -> None:
    events = tuple(
        SeasonEvent(f"Invented event {n}", MEET.date + timedelta(days=40 * n), "meet", ("bench_bb",), taper_weeks=2)
        for n in range(4)
    )
    view, _ = viewed(log_of(), replace(SEASON, events=(MEET, *events)))
    goal = next(one for one in view.standings if one.goal.about == "back_squat")
    many = tuple(replace(goal, name=f"goal {n}") for n in range(9))

    assert pages_of(season_pdf(for_coach(replace(view, standings=many), "lb"))) == 1


def test_pounds_where_they_are_asked_for() -> None:
    view, _ = usual()
    words = season_html(for_coach(view, "lb"))

    assert "418.9 lb" in words  # 190 kg / 0.45359237
    assert " kg" not in re.sub(r"<style.*?</style>", "", words, flags=re.DOTALL)
