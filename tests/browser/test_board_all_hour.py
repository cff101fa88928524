"""The board through a whole hour that nobody touches: everybody logs, the clocks of browser and server run together.

Both clocks are the test's own. The referee is what was logged: who has logged two sets of three does the third.
"""

from __future__ import annotations

import sys
import uuid
from datetime import datetime, timedelta
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from django.utils import timezone
from screens import PHONE

sys.path.insert(0, str(Path(__file__).parents[1] / "web"))
from an_hour import eight_people

SCREEN = {"width": 1920, "height": 1080}
STEP_S, MINUTES = 3, 60


class Clock:
    """The time of the server's pages, as the test says."""

    def __init__(self, at: datetime) -> None:
        self.at = at

    def now(self) -> datetime:
        return self.at


def opened_board(opened: Any, hour: Any, gym: Any, size: dict[str, int] = SCREEN) -> Any:
    from setwright.services.desk.hours import open_board

    page = opened(size)
    page.address = f"/board/{open_board(hour, gym.coach.user)}/"
    return page


def made_hour(gym: Any, so_many: int, monkeypatch: pytest.MonkeyPatch, begins: datetime) -> Any:
    from setwright.services.desk import better_hour, hours

    monkeypatch.setattr(better_hour, "TRIES", ())
    return hours.new_hour(gym.coach, eight_people(gym, so_many), "shed", begins, by_number=False)


def log_what_is_over(hour: Any, at: datetime, logged: set[tuple[str, int, int]]) -> None:
    """Everybody logs each working set as the timetable has it over, as a phone does."""
    from setwright.records import models

    people = {f"Person {one.number}": one.trainee for one in hour.people.select_related("trainee")}
    for row in hour.plan["timetable"]["sets"]:
        key = (row["name"], row["entry"], row["set"])
        is_over = hour.begins_at + timedelta(seconds=row["to_s"]) <= at
        if key in logged or row["kind"] == "ramp" or row["part"] == "warm-up" or not is_over:
            continue
        number = sum(1 for name, entry, _ in logged if (name, entry) == key[:2]) + 1
        logged.add(key)
        told = {"exercise": row["exercise"], "set": number, "reps": 5, "date": hour.on.isoformat()}
        told["row"] = str(uuid.uuid4())
        trainee = people[row["name"]]
        made = trainee.log_rows.create(key=told["row"], day=hour.on, data=told, at=at.isoformat())
        models.LogRow.objects.filter(id=made.id).update(arrived=at)


def expected(hour: Any, name: str, logged: set[tuple[str, int, int]]) -> str:
    """What a line has to say of somebody by what they logged: the next working set, or that they are done."""
    work = [
        one
        for one in hour.plan["timetable"]["sets"]
        if one["name"] == name and one["kind"] != "ramp" and one["part"] != "warm-up"
    ]
    left = [one for one in work if (name, one["entry"], one["set"]) not in logged]
    if not left:
        return "done"
    of = [one for one in work if one["entry"] == left[0]["entry"]]
    return f"{hour.plan['names'][left[0]['exercise']]}, set {of.index(left[0]) + 1} of {len(of)}"


@pytest.mark.long
def test_the_board_follows_a_whole_hour_of_logged_sets(gym: Any, opened: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    from setwright.web.views import hours as views

    noon = timezone.localtime().replace(hour=12, minute=0, second=0, microsecond=0)
    hour, clock = made_hour(gym, 3, monkeypatch, noon), Clock(noon)
    monkeypatch.setattr(views, "timezone", SimpleNamespace(now=clock.now, localtime=timezone.localtime))
    page, wrong = opened_board(opened, hour, gym), []
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.clock.install(time=noon)
    page.goto(page.address)
    logged: set[tuple[str, int, int]] = set()
    seen: set[str] = set()
    lines, sizes = page.locator(".board-lines li"), []

    for step in range(1, MINUTES * 60 // STEP_S + 1):
        clock.at = noon + timedelta(seconds=STEP_S * step)
        log_what_is_over(hour, clock.at, logged)
        with page.expect_response("**/now/"):
            page.clock.run_for(1000 * STEP_S)
        if step % (60 // STEP_S):
            continue
        page.wait_for_function(
            "at => Number(document.querySelector('[data-now]').dataset.now) >= at", arg=clock.at.timestamp()
        )
        texts = lines.all_inner_texts()
        assert page.locator("[data-touch]").is_hidden() and len(texts) == 3
        sizes.append(page.evaluate("document.getElementsByTagName('*').length"))
        for number, text in enumerate(texts, 1):
            whole = expected(hour, f"Person {number}", logged)
            seen.add(whole)
            if "ramp" not in text and any(name == f"Person {number}" for name, _, _ in logged):
                assert whole in text, (step, whole, text)

    assert not wrong and max(sizes) <= min(sizes) + 30
    over = [one for one in hour.plan["timetable"]["sets"] if one["to_s"] <= 60 * MINUTES and one["part"] != "warm-up"]
    assert len(logged) == sum(1 for one in over if one["kind"] != "ramp") > 12 and len(seen) > 6


@pytest.mark.long
def test_a_server_that_restarts_is_waited_for(gym: Any, phone: Any, line: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """The line refuses everybody, as while a server starts anew; the board says so and comes back untouched."""
    from setwright.services.desk.hours import open_board

    hour = made_hour(gym, 3, monkeypatch, timezone.now() - timedelta(minutes=5))
    page = phone(gym.coach.user)
    page.goto(f"/board/{open_board(hour, gym.coach.user)}/")
    line.cut()
    page.get_by_text("Out of touch").wait_for(timeout=30_000)
    assert page.locator(".board-lines li").count() == 3

    line.mend()

    page.get_by_text("Out of touch").wait_for(state="hidden", timeout=30_000)


@pytest.mark.long
def test_more_than_eight_people_turn_over_in_even_pages(gym: Any, opened: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    import an_hour

    monkeypatch.setattr(an_hour, "FIRST_NAMES", (*an_hour.FIRST_NAMES, "Hal"))
    hour = made_hour(gym, 9, monkeypatch, timezone.now() - timedelta(minutes=5))
    page = opened_board(opened, hour, gym)
    page.clock.install()
    page.goto(page.address)
    shown = page.locator(".board-lines li:visible")

    first = shown.all_inner_texts()
    told = page.locator("[data-page]").inner_text()
    page.clock.run_for(12_500)
    second = shown.all_inner_texts()
    page.set_viewport_size(PHONE)
    page.clock.run_for(1_500)

    assert (len(first), len(second), told) == (5, 4, "1 of 2")
    assert not {one.split()[0] for one in first} & {one.split()[0] for one in second}
    assert shown.count() == 9
