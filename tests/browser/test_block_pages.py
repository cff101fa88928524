"""The coach's block in a real browser: an entry exchanged, a link made, opened and withdrawn; each page fit for all.

Referee for the pages: axe-core 4 (WCAG 2 A and AA, best practices), through ``axe-playwright-python``.
"""

from __future__ import annotations

import re
from typing import Any

import pytest
from axe import violations
from playwright.sync_api import expect
from screens import DESK, PHONE
from test_review import log_squats

from setwright.people.trainee import DAYS


def names_on(block: Any, day: str) -> list[str]:
    """The exercises of a day of the first week."""
    (session,) = (one for one in block.weeks[0].sessions if one.day == day)
    return [entry.exercise for part in session.parts for entry in part.entries]


def test_an_entry_is_exchanged_from_the_block_with_what_is_kept_and_lost(gym: Any, opened: Any) -> None:
    page, day = opened(DESK, gym.coach.user), DAYS[gym.today.weekday()]
    page.goto(f"/t/{gym.trainee.id}/block/")

    page.get_by_role("link", name="Barbell back squat").click()
    page.get_by_role("radio", name="another exercise").check()
    stand_in = page.get_by_role("radio", name="Barbell front squat")
    expect(stand_in).to_have_accessible_name(re.compile("Kept: work for quadriceps"))
    stand_in.check()
    page.get_by_role("button", name="Plan it and show me").click()
    page.get_by_role("link", name="See what came of it").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("What changed, and why")
    assert "back_squat" in names_on(gym.in_force(), day)
    page.get_by_role("button", name="Take it").click()

    expect(page.get_by_role("status")).to_contain_text("It is in force now.")
    page.wait_for_load_state("networkidle")  # what the page counts by itself is written before the data go
    assert "front_squat" in names_on(gym.in_force(), day) and "back_squat" not in names_on(gym.in_force(), day)


def test_an_exercise_is_added_from_the_phone_and_its_load_set_by_hand(gym: Any, opened: Any) -> None:
    page, day = opened(PHONE, gym.coach.user), DAYS[gym.today.weekday()]
    page.goto(f"/t/{gym.trainee.id}/block/")

    page.get_by_role("link", name=re.compile("Add an exercise on")).first.click()
    page.goto(re.sub(r"day=\w+", f"day={day}", page.url))
    page.get_by_label("Exercise").fill("goblet squat")
    page.get_by_label("Sets").fill("2")
    assert not violations(page)
    page.get_by_role("button", name="Plan it and put it in force").click()
    page.get_by_role("link", name="See what came of it").click()
    assert "goblet_squat" in names_on(gym.in_force(), day)

    page.goto(f"/t/{gym.trainee.id}/block/")
    page.get_by_role("link", name="Goblet squat").click()
    page.locator("#stand-ins input").first.wait_for(state="attached")  # all that the page asks for is there
    page.locator("#load").fill("9")
    page.get_by_role("button", name="Plan it and put it in force").click()
    expect(page.get_by_text("9 kg of goblet squat can't be built in Invented shed.")).to_be_visible()
    expect(page.get_by_text("the nearest: 8 kg and 10 kg")).to_be_visible()


def test_a_link_is_made_opened_without_a_log_in_and_withdrawn(gym: Any, opened: Any) -> None:
    coach, nobody = opened(DESK, gym.coach.user), opened(PHONE)
    coach.goto(f"/t/{gym.trainee.id}/links/")
    coach.get_by_label("Whom it is for").fill("A physiotherapist")
    coach.get_by_role("button", name="Make the link").click()
    address = coach.locator("code").inner_text()

    nobody.goto(address)
    nobody.locator("main li a").first.click()
    nobody.get_by_text("Notes").first.click()
    expect(nobody.get_by_text("Look at:").first).to_be_visible()
    assert not violations(nobody)

    coach.get_by_role("button", name="Withdraw it").first.click()
    expect(coach.get_by_role("heading", name="Ended")).to_be_visible()
    gone = nobody.goto(address)
    assert gone is not None and gone.status == 404


def test_every_number_of_a_wide_table_is_seen_on_a_phone_beside_the_name_of_its_column(gym: Any, opened: Any) -> None:
    log_squats(gym)
    page = opened(PHONE, gym.coach.user)
    page.goto(f"/t/{gym.trainee.id}/review/")

    weeks = page.locator("#weeks ~ .scroll")

    assert weeks.locator("td").count() > 4
    assert weeks.evaluate("e => e.scrollWidth - e.clientWidth") == 0
    named = "e => getComputedStyle(e, '::before').content"
    assert weeks.locator("td").nth(1).evaluate(named) == '"Sessions "'


def test_plates_stand_in_one_row_beside_what_they_are_on(gym: Any, opened: Any) -> None:
    page = opened(PHONE, gym.coach.user)
    page.goto(f"/floor/sheet/?who={gym.trainee.id}")

    beside = page.locator(".plates + .small").first
    ends = beside.evaluate(
        "e => [e.previousElementSibling.getBoundingClientRect().right, e.getBoundingClientRect().left]"
    )

    assert beside.evaluate("e => e.getClientRects().length") == 1, "the words run on below the plates"
    assert ends[0] < ends[1]


@pytest.mark.long
@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_page_of_a_block_or_the_catalogue_shuts_anybody_out(
    gym: Any, opened: Any, size: dict[str, int], scheme: str
) -> None:
    page = opened(size, gym.coach.user, color_scheme=scheme)
    at, block = f"/t/{gym.trainee.id}", gym.block.id
    (session,) = (one for one in gym.block.weeks[0].sessions if one.day == DAYS[gym.today.weekday()])
    part = next(p.part for p in session.parts if "back_squat" in [e.exercise for e in p.entries])
    addresses = (
        f"{at}/block/",
        f"{at}/block/{block}/entry/?day={session.day}&part={part}&of=back_squat&number=0",
        f"{at}/block/{block}/add/?day={session.day}",
        f"{at}/block/{block}/between/",
        f"{at}/compare/?was={block}&becomes={block}",
        f"{at}/review/",
        f"{at}/links/",
        f"{at}/print/{block}/",
        "/exercises/",
        "/exercises/nordic_band/",
        "/exercises/new/",
    )
    found = {}

    for address in addresses:
        page.goto(address)
        page.wait_for_timeout(300)
        found[address] = violations(page)
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        if wide > 0:
            found[address].append(f"wider than the screen by {wide} px")

    assert not {address: some for address, some in found.items() if some}
