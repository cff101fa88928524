"""The coach's way from an empty installation to a published block, at a desk, with and without a mouse or JavaScript.

Referee: the page of the block and its printed sheet, which hold what was typed.
"""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from screens import DESK, PHONE

from setwright.people.trainee import DAYS
from setwright.records import models
from setwright.records.data_base import current_of

NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
TEXT = """Block: First block
2 weeks
{day}
back squat 3 x 5-6 @ RPE 7, rest 3 min
romanian deads 3 x 8 @ RPE 7
"""


def begin(page: Any) -> None:
    """The first coach of an empty installation."""
    page.goto("/")
    for name, text in {"practice": "Hall", "name": "Berit", "username": "berit", "password": "long word 77 x"}.items():
        page.fill(f"[name={name}]", text)
    page.get_by_role("button", name="Begin").click()


def press(page: Any, role: str, name: str) -> None:
    """Presses the last button or link of a name: the one that can be seen."""
    page.get_by_role(role, name=name).last.click()
    page.wait_for_load_state()


def count_a_place(page: Any) -> None:
    """The first place, from a usual room, with one more plate."""
    press(page, "link", "Count your first place")
    press(page, "link", "Garage")
    page.get_by_role("button", name="One more kind of plate").click()
    page.locator("[name='plates[6].mass']").fill("0.5")
    page.locator("[name='plates[6].pairs']").fill("1")
    press(page, "button", "Keep the place")


def take_in_somebody(page: Any, day: str) -> None:
    """The first trainee, who trains on one weekday."""
    press(page, "link", "Take in your first trainee")
    fields = {"name": "Åsa Invented", "birth_year": "1990", "body_mass": "68.5", "stature": "172"}
    for name, text in {**fields, "training_years": "2", f"days[{day}].minutes": "60"}.items():
        page.fill(f"[name='{name}']", text)
    page.check("[name='screening.active_now'][value=yes]")
    press(page, "button", "Keep the intake")


def test_a_new_coach_gets_from_nothing_to_a_printed_block(transactional_db: Any, opened: Any) -> None:
    page = opened(DESK)
    weekday = date.today().weekday()

    begin(page)
    count_a_place(page)
    take_in_somebody(page, DAYS[weekday])
    press(page, "link", "Write a block")
    page.fill("#text", TEXT.format(day=NAMES[weekday]))
    page.locator("#read li.is-entry").first.wait_for()
    if page.locator("#read .is-wrong").count():
        page.locator("#read .is-wrong button").first.click()
        page.wait_for_load_state()
    press(page, "button", "Dose it and show me the block")
    page.wait_for_url("**/jobs/**")
    press(page, "link", "See what came of it")
    assert "barbell back squat" in page.content().lower()
    press(page, "button", "Put it in force")
    press(page, "link", "Print it")
    sheet = page.request.get(page.get_by_role("link", name="The whole block").get_attribute("href"))

    row = models.Trainee.objects.get()
    block = current_of(row)
    assert block is not None and block.title == "First block" and len(block.weeks) == 2
    assert sheet.status == 200 and sheet.body()[:4] == b"%PDF"
    assert 0.5 in {one.mass_kg for one in block.inputs.places[0].plates}


def test_rows_of_a_form_come_and_go_without_javascript(transactional_db: Any, opened: Any) -> None:
    page = opened(DESK, java_script_enabled=False)

    begin(page)
    count_a_place(page)

    text = models.Document.objects.get(kind="place").text
    assert "mass_kg = 0.5" in text


def test_the_enter_key_keeps_the_form(transactional_db: Any, opened: Any) -> None:
    """By HTML's rule the first button of a form is pressed: that must not be "take out"."""
    page = opened(DESK)
    begin(page)
    press(page, "link", "Count your first place")
    press(page, "link", "Garage")

    page.locator("[name='plates[1].pairs']").press("Enter")
    page.wait_for_url("**/roster/")

    assert models.Document.objects.filter(kind="place").count() == 1


def test_what_hurts_is_said_and_sent_on_a_phone(gym: Any, opened: Any) -> None:
    page = opened(PHONE, gym.coach.user)
    page.goto(f"/t/{gym.trainee.id}/")

    press(page, "link", "Something hurts")
    page.get_by_text("elbow", exact=True).click()
    page.get_by_text("left", exact=True).click()
    page.locator("#heard .note").wait_for()
    assert "Left elbow" in page.locator("#heard").inner_text()
    page.get_by_role("button", name="Change and send").click()
    page.wait_for_url("**/jobs/**")
    press(page, "link", "See what came of it")

    assert "has it" in page.locator("h1").inner_text()
    phone = opened(PHONE, gym.trainee.user)
    phone.goto("/today/")
    named = phone.locator("article strong").all_inner_texts()
    assert "Barbell bench press" not in named and "Dumbbell floor fly" in named


@pytest.mark.long
def test_a_block_is_designed_from_a_first_brief(gym: Any, opened: Any) -> None:
    page = opened(DESK, gym.coach.user)
    page.goto(f"/t/{gym.trainee.id}/design/")

    page.get_by_role("button", name="Add a lift").click()
    page.locator("[name='lifts[1].exercise']").fill("barbell back squat")
    page.fill("[name=weeks]", "4")
    press(page, "button", "Design it")
    page.wait_for_url("**/jobs/**", timeout=120_000)
    press(page, "link", "See what came of it")

    assert "barbell back squat" in page.content().lower()
