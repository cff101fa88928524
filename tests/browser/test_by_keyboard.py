"""The coach's and the trainee's way by keyboard alone.

WCAG 2.2, 2.1.1 (all by keyboard), 2.1.2 (no trap) and 2.4.7 (the focus can be seen).
"""

from __future__ import annotations

import re
from typing import Any

from playwright.sync_api import expect
from practice import PASSWORD
from screens import DESK, PHONE
from steps import arrived, opened_today, todays

from setwright.publish.words import name_of
from setwright.services.gather import catalogue

WHERE = """() => {
  const one = document.activeElement;
  const words = one.labels?.length ? one.labels[0].innerText : one.innerText || one.getAttribute('aria-label') || '';
  const seen = [one, one.closest('label')].filter(Boolean).some(it => getComputedStyle(it).outlineStyle !== 'none');
  return {words: words.trim(), tag: one.tagName, seen};
}"""
MOST_STOPS = 80


def go_to(page: Any, words: str) -> None:
    """Presses Tab until the focus stands on what these words begin; it can be seen there and at every stop before."""
    for _ in range(MOST_STOPS):
        page.keyboard.press("Tab")
        here = page.evaluate(WHERE)
        assert here["tag"] == "BODY" or here["seen"], f"the focus on {here} can't be seen"
        if here["words"].lower().startswith(words.lower()):
            return
    raise AssertionError(f"no way to {words} by keyboard on {page.url}")


def test_a_coach_logs_in_and_spares_a_sore_elbow(gym: Any, opened: Any) -> None:
    page = opened(DESK)
    page.goto("/in/login/")

    go_to(page, "Log-in name")
    page.keyboard.type(gym.coach.user.username)
    go_to(page, "password")
    page.keyboard.type(PASSWORD)
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile("/roster/$"))
    go_to(page, gym.trainee.name)
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile(f"/t/{gym.trainee.id}/$"))
    go_to(page, "Something hurts")
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile("/sore/$"))
    go_to(page, "elbow")
    page.keyboard.press("Space")
    go_to(page, "Change and send")
    page.keyboard.press("Enter")

    expect(page.locator("h1")).not_to_have_text("Where does it hurt?", timeout=60_000)
    documents = gym.trainee.documents.filter(kind="trainee").order_by("id")
    assert "elbow" in documents.last().text


def test_the_first_stop_leads_past_the_menu(gym: Any, opened: Any) -> None:
    page = opened(DESK, gym.coach.user)
    page.goto("/roster/")

    page.keyboard.press("Tab")
    assert page.evaluate(WHERE)["words"] == "To the content"
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")

    assert page.evaluate("document.querySelector('main').contains(document.activeElement)")


def test_a_trainee_logs_a_set(gym: Any, phone: Any) -> None:
    page = opened_today(phone(gym.trainee.user))
    first = todays(gym)[0]
    assert page.viewport_size == PHONE

    if page.get_by_role("button", name="Leave it out").count():
        go_to(page, "Leave it out")
        page.keyboard.press("Enter")
    page.locator("[data-id=log]").wait_for()
    go_to(page, "2")
    page.keyboard.press("Enter")
    go_to(page, page.locator("[data-id=log]").inner_text())
    page.keyboard.press("Enter")

    (row,) = arrived(page, gym, 1)
    assert row["exercise"] == first.exercise, name_of(first.exercise, catalogue())
    assert row["rir"] == 2
