"""The review on a page: drawn in a job, kept as drawn, told where the log went on; pictures each with their numbers."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from test_pages import finish_jobs

from setwright.plan.block_days import session_on
from setwright.records import models
from setwright.records.data_base import keep_rows
from setwright.records.erasing import erase_trainee
from setwright.services import program
from setwright.services.clock import now_text
from setwright.services.desk import ability, kept_days, reviewing


def log_squats(gym: Any, days: int = 4) -> None:
    """Some days of squats in the weeks before today, heavier each time."""
    rows = [
        {
            "row": f"squat-{back}-{number}",
            "date": (gym.today - timedelta(days=back)).isoformat(),
            "session": "",
            "exercise": "back_squat",
            "set": number,
            "load_kg": 60 + 2.5 * (days - at),
            "reps": 5,
            "rir": 2,
        }
        for at, back in enumerate(range(0, 3 * days, 3))
        for number in (1, 2, 3)
    ]
    keep_rows(gym.trainee, rows, now_text())


def review_of(gym: Any) -> str:
    """The page of the review, once it is drawn."""
    browser, at = gym.as_coach(), f"/t/{gym.trainee.id}/review/"
    browser.get(at)
    finish_jobs()
    return str(browser.get(at).content.decode())


def test_the_first_look_asks_for_the_review_once_and_says_so(gym: Any) -> None:
    browser, at = gym.as_coach(), f"/t/{gym.trainee.id}/review/"

    first, second = browser.get(at), browser.get(at)

    assert first.status_code == 200 and "being read and the pictures drawn" in second.content.decode()
    assert [one.deed for one in models.Job.objects.all()] == ["review"]


def test_every_picture_stands_above_its_own_numbers_and_allows_no_style_from_within(gym: Any) -> None:
    log_squats(gym)

    page = review_of(gym)

    pictures = re.findall(r'<img class="chart"[^>]*src="([^"]+)" alt="([^"]+)"', page)
    assert pictures and "How strong: barbell back squat" in page
    assert 'style="' not in page and "<svg" not in page
    for address, alt in pictures:
        answer = gym.as_coach().get(address)
        drawn = answer.content.decode()
        assert answer["Content-Type"] == "image/svg+xml" and len(alt) > 40
        assert ElementTree.fromstring(drawn).tag.endswith("svg")
        assert "style=" not in drawn and "<script" not in drawn
    strength = page[page.index("How strong: barbell back squat") :]
    assert len(re.findall(r"<td>\d+\.\d</td>", strength)) >= 3  # low, middle and high of at least one day


def test_a_log_that_went_on_is_told_and_drawn_anew(gym: Any) -> None:
    log_squats(gym)
    review_of(gym)
    browser, at = gym.as_coach(), f"/t/{gym.trainee.id}/review/"
    assert "The log went on" not in browser.get(at).content.decode()

    log_squats(gym, 6)

    assert "The log went on" in browser.get(at).content.decode()
    finish_jobs()
    assert "The log went on" not in browser.get(at).content.decode()
    assert models.Drawn.objects.count() == 1


def test_a_review_that_an_older_program_counted_is_counted_anew(gym: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    log_squats(gym)
    review_of(gym)
    seen = reviewing.seen_review(gym.trainee)
    assert seen is not None and seen.is_newest

    monkeypatch.setattr(reviewing, "program_mark", lambda: "an older program")

    seen = reviewing.seen_review(gym.trainee)
    assert seen is not None and not seen.is_newest


def test_an_update_of_the_program_makes_all_that_was_counted_old(gym: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    log_squats(gym)
    review_of(gym)
    ability.count_ability(gym.trainee, gym.today)
    week, session = session_on(gym.block, gym.today)
    kept_days.count_session(gym.trainee, gym.block, week, session, gym.today)
    marks = (ability.mark_of(gym.trainee), reviewing.mark_of(gym.trainee))
    assert kept_days.kept_values(gym.trainee, gym.block, gym.today) is not None

    for module in (ability, reviewing, kept_days):
        monkeypatch.setattr(module, "program_mark", lambda: "0.1.0+another")

    seen = reviewing.seen_review(gym.trainee)
    assert seen is not None and not seen.is_newest
    assert kept_days.kept_values(gym.trainee, gym.block, gym.today) is None
    assert (ability.mark_of(gym.trainee), reviewing.mark_of(gym.trainee)) != marks


def test_the_mark_of_a_program_changes_with_what_counts_and_not_with_a_page(tmp_path: Path) -> None:
    for room in program.ROOMS:
        (tmp_path / room).mkdir()
    (tmp_path / "dose" / "rule.py").write_text("A = 1")
    first = program.digest_of(tmp_path)

    (tmp_path / "web").mkdir()
    (tmp_path / "web" / "page.py").write_text("B = 1")
    assert program.digest_of(tmp_path) == first
    (tmp_path / "dose" / "rule.py").write_text("A = 2")
    assert program.digest_of(tmp_path) != first


@pytest.mark.parametrize("end", ["review/", "review/strength-back_squat.svg"])
def test_nobody_else_sees_a_review_or_a_picture_of_it(gym: Any, end: str) -> None:
    log_squats(gym)
    review_of(gym)

    for browser in (gym.as_stranger(), gym.as_trainee()):
        assert browser.get(f"/t/{gym.trainee.id}/{end}").status_code == 404


def test_erasing_a_person_erases_what_was_drawn_of_them(gym: Any) -> None:
    log_squats(gym)
    review_of(gym)
    assert models.Drawn.objects.filter(trainee=gym.trainee).exists()

    erase_trainee(gym.trainee)

    assert not models.Drawn.objects.filter(trainee=gym.trainee).exists()
