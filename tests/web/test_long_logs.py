"""Logs of years: what is read in part or kept as counted says the same as the whole log, counted anew."""

from __future__ import annotations

import importlib
import json
import random
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from django.apps import apps

from setwright.plan.block_days import session_on
from setwright.records import models
from setwright.records.data_base import keep_rows, log_of, log_of_days
from setwright.services.clock import now_text
from setwright.services.desk import ability, jobs
from setwright.services.desk.blocks import accept, put_back
from setwright.services.desk.kept_days import count_ahead, day_values
from setwright.services.gather import catalogue
from setwright.strength.logged import Log


def a_row(key: str, on: date, reps: int = 5, corrects: str | None = None) -> dict[str, Any]:
    """A set of squats on a day."""
    told = {"row": key, "date": on.isoformat(), "session": on.strftime("%a").lower(), "exercise": "back_squat"}
    return told | {"set": 1, "load_kg": 72.5, "reps": reps, "rir": 2} | ({"corrects": corrects} if corrects else {})


def keep(gym: Any, *rows: dict[str, Any]) -> None:
    """Rows of the invented trainee."""
    keep_rows(gym.trainee, rows, now_text(), gym.trainee.user)


def of_today(gym: Any) -> str:
    """What the phone gets for today, without what is logged already and how far that reaches."""
    found = session_on(gym.block, gym.today)
    assert found is not None
    values = day_values(gym.trainee, gym.block, *found, gym.today)
    return json.dumps({**values, "done": [], "told": ""}, sort_keys=True)


def counted_anew(gym: Any) -> str:
    """The same with nothing kept."""
    gym.trainee.drawn.all().delete()
    return of_today(gym)


def test_a_session_that_is_opened_again_in_the_middle_says_what_it_said(gym: Any) -> None:
    before = of_today(gym)
    (kept,) = gym.trainee.drawn.values_list("at", flat=True)

    keep(gym, a_row("one", gym.today, reps=3), a_row("two", gym.today, reps=9))
    keep(gym, a_row("three", gym.today, reps=4, corrects="one"))

    assert of_today(gym) == before
    assert list(gym.trainee.drawn.values_list("at", flat=True)) == [kept], "counted once"
    assert counted_anew(gym) == before, "what is kept is what would be counted"


def test_what_is_kept_of_a_session_follows_the_log_of_the_days_before(gym: Any) -> None:
    """A new row, a correction, one that moves a row to another day; each is held against a count with nothing kept."""
    last_week, later = gym.today - timedelta(days=4), gym.today + timedelta(days=1)
    said = [of_today(gym)]
    for row in (
        a_row("one", last_week, reps=12),
        a_row("two", last_week, reps=3, corrects="one"),
        a_row("three", later, reps=3, corrects="two"),
    ):
        keep(gym, row)
        said.append(of_today(gym))
        assert said[-1] == counted_anew(gym)

    assert said[0] != said[1] != said[2] != said[3]
    assert said[3] == said[0], "a row that went to another day says nothing of the days before"


def test_the_next_session_is_counted_ahead_once(gym: Any) -> None:
    ahead = min(2, gym.trainee.planned_days.filter(date__gte=gym.today).count())
    assert ahead

    assert count_ahead(gym.trainee) == ahead
    assert count_ahead(gym.trainee) == 0
    keep(gym, a_row("one", gym.today - timedelta(days=4)))
    assert count_ahead(gym.trainee) == ahead


def test_a_block_that_comes_into_force_after_years_has_its_next_session_counted_ahead(
    gym: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    put_back(gym.trainee, gym.block.id, gym.coach.user)
    accept(gym.trainee, gym.block.id, None, gym.coach.user)
    assert not gym.trainee.jobs.exists(), "a short log is counted when it is asked for"

    monkeypatch.setattr(jobs, "LONG_LOG", 0)
    keep(gym, a_row("one", gym.today))
    accept(gym.trainee, gym.block.id, None, gym.coach.user)

    assert [one.deed for one in gym.trainee.jobs.all()] == ["count"]


@pytest.mark.parametrize("seed", range(12))
def test_the_log_of_some_days_stands_as_in_the_whole_log(gym: Any, seed: int) -> None:
    """Rows and corrections at random, also across days; referee: the whole log, cut."""
    chance, start = random.Random(seed), gym.today - timedelta(days=20)
    keys: list[str] = []
    free: list[str] = []
    for number in range(25):
        old = free.pop(chance.randrange(len(free))) if free and chance.random() < 0.4 else None
        key = f"row-{number}"
        keep(gym, a_row(key, start + timedelta(days=chance.randrange(10)), chance.randint(1, 12), old))
        keys.append(key)
        free.append(key)
    first, last = start + timedelta(days=3), start + timedelta(days=6)

    found = log_of_days(gym.trainee, catalogue(), first, last)

    whole = log_of(gym.trainee, catalogue())
    assert whole.sets and found.sets and len(found.sets) < len(whole.sets)
    assert any(one.corrects for one in whole.sets)
    assert found == Log(tuple(one for one in whole.sets if first <= one.date <= last))
    open_end = log_of_days(gym.trainee, catalogue(), first)
    assert open_end == replace(whole, sets=tuple(one for one in whole.sets if one.date >= first))


def test_progress_after_years_shows_the_newest_days_at_once_and_has_the_rest_counted(
    gym: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(jobs, "LONG_LOG", 0)
    old, new = gym.today - timedelta(days=30), gym.today - timedelta(days=2)
    keep(gym, a_row("old", old, reps=7), a_row("gone", gym.today), a_row("new", new, reps=4, corrects="gone"))

    page = gym.as_trainee().get("/me/progress/").content.decode()
    again = gym.as_trainee().get("/me/progress/").content.decode()

    assert "is being counted" in page and "is being counted" in again
    assert gym.trainee.jobs.filter(deed="count").count() == 1
    assert page.index("72.5 kg x 4") < page.index("72.5 kg x 7")
    assert page.count("<article>") == 2, "a day whose only row was corrected away is no day"
    ability.count_ability(gym.trainee, gym.today - timedelta(days=1))
    counted = gym.as_trainee().get("/me/progress/").content.decode()
    assert "Barbell back squat:" in counted and "is being counted" not in counted and "As of" in counted


def test_history_tells_how_much_was_logged_on_a_day_in_one_line(gym: Any) -> None:
    keep(gym, a_row("one", gym.today), a_row("two", gym.today - timedelta(days=1)))
    keep(gym, a_row("three", gym.today))

    page = gym.as_coach().get(f"/t/{gym.trainee.id}/history/").content.decode()

    before = gym.today - timedelta(days=1)
    assert f"3 log rows kept, {before.day} {before:%B %Y} to {gym.today.day} {gym.today:%B %Y}" in page


def test_rows_of_an_older_version_are_told_what_they_correct(gym: Any) -> None:
    keep(gym, a_row("one", gym.today), a_row("two", gym.today, reps=6, corrects="one"))
    models.LogRow.objects.update(corrects=None)

    importlib.import_module("setwright.records.migrations.0006_large_logs_are_read_in_part").fill(apps, None)

    assert dict(models.LogRow.objects.values_list("key", "corrects")) == {"one": None, "two": "one"}
