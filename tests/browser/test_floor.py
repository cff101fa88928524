"""The trainee's phone on the gym floor, in Chromium: a set in two taps, no network, two phones, pain, timers.

Referee of what is kept: the rows in the data base, read without the page.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any
from urllib.parse import urlsplit

import pytest
from cookies import log_in_cookie
from line import Line
from screens import PHONE

from setwright.people.trainee import DAYS


@pytest.fixture
def line(live_server: Any) -> Iterator[Line]:
    """The line to the server; it can be cut."""
    at = urlsplit(live_server.url)
    made = Line("127.0.0.1" if at.hostname == "localhost" else str(at.hostname), int(at.port or 80))
    yield made
    made.cut()


@pytest.fixture
def phone(chromium: Any, line: Line) -> Iterator[Callable[..., Any]]:
    """A phone with somebody logged in: ``phone(user)``; each is a browser of its own."""
    contexts = []

    def take(user: Any, **more: Any) -> Any:
        context = chromium.new_context(viewport=PHONE, base_url=line.url, has_touch=True, **more)
        contexts.append(context)
        context.add_cookies([log_in_cookie(user, line.url)])
        page = context.new_page()
        page.set_default_timeout(8000)
        return page

    yield take
    for one in contexts:
        one.close()


def opened_today(page: Any) -> Any:
    """The page of today, ready, with its worker in charge and the page kept for later."""
    page.goto("/today/")
    page.locator("html[data-ready]").wait_for(state="attached")
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.wait_for_timeout(600)  # the worker fetches the page once more, to keep it
    return page


def todays(gym: Any) -> list[Any]:
    """The entries of work planned for today."""
    (session,) = (one for one in gym.block.weeks[0].sessions if one.day == DAYS[gym.today.weekday()])
    return [entry for part in session.parts if part.part != "warm-up" for entry in part.entries]


def to_the_work(page: Any) -> None:
    """Leaves the warm-up behind, where one is planned."""
    button = page.get_by_role("button", name="Leave it out")
    if button.count():
        button.click()


def log_set(page: Any, left: int = 2) -> None:
    """Two taps: how many were left, and the set."""
    page.locator(f"[data-id=left-{left}]").tap()
    page.locator("[data-id=log]").tap()


def sets_of(gym: Any) -> list[dict[str, Any]]:
    """Every row of work that the server keeps, oldest first."""
    rows = gym.trainee.log_rows.order_by("id").values_list("data", flat=True)
    return [one for one in rows if one.get("exercise") and one.get("part") != "warm-up"]


def arrived(page: Any, gym: Any, count: int) -> list[dict[str, Any]]:
    """The rows of work, once so many have arrived."""
    for _ in range(60):
        if len(sets_of(gym)) >= count and not page.locator("#kept").is_visible():
            break
        page.wait_for_timeout(100)
    page.wait_for_timeout(300)  # one more than expected would arrive now
    return sets_of(gym)


def test_a_set_is_logged_in_two_taps_as_planned(gym: Any, phone: Any) -> None:
    page = opened_today(phone(gym.trainee.user))
    to_the_work(page)
    first = todays(gym)[0].working_sets[0]

    log_set(page, left=2)

    (row,) = arrived(page, gym, 1)
    assert (row["load_kg"], row["load_means"], row["rir"], row["set"]) == (first.load_kg, first.load_means, 2, 1)
    assert first.reps[0] <= row["reps"] <= first.reps[1]
    assert (row["week"], row["session"], row["date"]) == (1, DAYS[gym.today.weekday()], gym.today.isoformat())
    assert page.locator(".count").inner_text() == "Set 2 of 3"


def test_a_session_without_a_network_arrives_exactly_once(gym: Any, phone: Any, line: Line) -> None:
    page = opened_today(phone(gym.trainee.user))
    to_the_work(page)

    line.cut()
    log_set(page)
    log_set(page)
    page.locator("#kept").get_by_text("2 entries are kept here on this phone").wait_for()
    page.reload()
    page.locator("html[data-ready]").wait_for(state="attached")
    assert page.locator(".count").inner_text() == "Set 3 of 3"
    log_set(page)
    page.locator("#kept").get_by_text("3 entries are kept here").wait_for()
    assert sets_of(gym) == []

    line.mend()
    page.evaluate("dispatchEvent(new Event('online'))")
    page.evaluate("dispatchEvent(new Event('online'))")

    rows = arrived(page, gym, 3)
    assert [one["set"] for one in rows] == [1, 2, 3]
    assert len({one["row"] for one in rows}) == 3
    page.reload()
    page.locator("html[data-ready]").wait_for(state="attached")
    assert len(arrived(page, gym, 3)) == 3
