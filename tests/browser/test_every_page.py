"""Every page of coach and trainee, at phone and desk size: nothing for axe-core to find, nothing asked elsewhere.

Referee: axe-core 4 (WCAG 2 A and AA, best practices), through ``axe-playwright-python``.
"""

from __future__ import annotations

from typing import Any

import pytest
from axe import violations
from screens import DESK, PHONE

COACH = (
    *("/roster/", "/trainees/new/", "/t/{}/", "/t/{}/intake/", "/t/{}/design/", "/t/{}/write/", "/t/{}/block/"),
    *("/floor/", "/floor/sheet/?who={}", "/t/{}/notes/", "/t/{}/cues/", "/kept/", "/kept/new/"),
)
TRAINEE = ("/today/", "/me/progress/", "/me/words/")


@pytest.mark.parametrize("size", [PHONE, pytest.param(DESK, marks=pytest.mark.long)], ids=["phone", "desk"])
@pytest.mark.parametrize("scheme", ["light", pytest.param("dark", marks=pytest.mark.long)])
def test_no_page_shuts_anybody_out(gym: Any, opened: Any, size: dict[str, int], scheme: str) -> None:
    coach, trainee = (
        opened(size, gym.coach.user, color_scheme=scheme),
        opened(size, gym.trainee.user, color_scheme=scheme),
    )
    nobody = opened(size, color_scheme=scheme)
    found = {}

    for page, addresses in ((coach, COACH), (trainee, TRAINEE), (nobody, ("/in/login/",))):
        for address in addresses:
            page.goto(address.format(gym.trainee.id))
            found[address] = violations(page)
            wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
            if wide > 0:
                found[address].append(f"wider than the screen by {wide} px")

    assert not {address: some for address, some in found.items() if some}


def test_the_referee_sees_what_is_wrong(opened: Any) -> None:
    page = opened(PHONE)
    page.set_content("<html><body><img src='data:,'><input></body></html>")

    found = " ".join(violations(page))

    assert "image-alt" in found and "label" in found
