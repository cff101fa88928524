"""The coach's forms at their fullest, on a phone and a desk: nothing for axe-core to find, no wider than the screen.

Referee: axe-core 4 (WCAG 2 A and AA, best practices).
"""

from __future__ import annotations

from typing import Any

import pytest
from screens import DESK, PHONE
from test_every_page import violations

PAGES = (
    "/practice/",
    "/places/",
    "/places/new/",
    "/places/new/?like=gym",
    "/roster/?show=all",
    "/t/{}/sore/",
    "/t/{}/can-do/",
    "/t/{}/history/",
    "/t/{}/import/",
    "/t/{}/clinic/",
    "/t/{}/data/",
    "/t/{}/print/{block}/",
)
ROWS = {
    "/trainees/new/": ("birth_year", ("limit", "goal", "set", "measure", "step")),
    "/t/{}/design/": ("weeks", ("lift", "setting", "rule")),
}
TABLE = "Date\tExercise\tkg\tReps\n2026-02-03\tback squat\t70\t5\n\tno such lift\tmany\t5\n"


def found_on(page: Any) -> list[str]:
    """What is wrong with a page as it stands."""
    wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    return [*violations(page), *([f"wider than the screen by {wide} px"] if wide > 0 else [])]


@pytest.mark.long
@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_no_form_shuts_anybody_out(gym: Any, opened: Any, size: dict[str, int]) -> None:
    page = opened(size, gym.coach.user)
    found: dict[str, list[str]] = {}

    for address in PAGES:
        page.goto(address.format(gym.trainee.id, block=gym.block.id))
        found[address] = found_on(page)
    for address, (spoiled, rows) in ROWS.items():
        page.goto(address.format(gym.trainee.id))
        page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
        for row in rows:
            page.get_by_role("button", name=f"Add a {row}", exact=True).click()
            page.locator("fieldset.entry legend", has_text=f"{row.capitalize()} 1").wait_for(state="attached")
        page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
        found[address] = found_on(page)
        page.fill(f"[name={spoiled}]", "99")
        page.locator("form#form p.stay button").first.click()
        page.locator("[role=alert]").first.wait_for()
        found[f"{address} with faults"] = found_on(page)
    page.goto(f"/t/{gym.trainee.id}/write/")
    page.fill("#text", "Spring\nMonday\nback squat 3 x 5\nno such lift 3 x 5\n")
    page.locator("#read li.is-wrong").first.wait_for()
    page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
    found["write"] = found_on(page)
    page.goto(f"/t/{gym.trainee.id}/import/")
    page.fill("#text", TABLE)
    page.get_by_role("button", name="Look at it").click()
    page.locator("#becomes").wait_for()
    found["import"] = found_on(page)
    page.goto(f"/t/{gym.trainee.id}/sore/")
    page.get_by_text("knee", exact=True).click()
    page.locator("#heard .note").wait_for()
    page.get_by_role("button", name="Change and send").click()
    page.get_by_role("link", name="See what came of it").click()
    page.wait_for_load_state()
    found["sent"] = found_on(page)
    page.goto(f"/t/{gym.trainee.id}/")
    page.get_by_role("link", name="Lift it").first.click()
    page.wait_for_load_state()
    found["limit"] = found_on(page)

    assert not {address: some for address, some in found.items() if some}
