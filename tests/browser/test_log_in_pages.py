"""The pages of one's own log-in, at phone and desk size, light and dark: nothing for axe-core to find.

Referee: axe-core 4 (WCAG 2 A and AA, best practices).
"""

from __future__ import annotations

from typing import Any

import pytest
from axe import violations
from practice import PASSWORD
from screens import DESK, PHONE

PAGES = (
    "/in/",
    "/in/password/change/",
    "/in/2fa/totp/activate/",
    "/in/2fa/webauthn/",
    "/in/2fa/webauthn/add/",
    "/in/logout/",
    "/in/reauthenticate/",
)


@pytest.mark.parametrize(("size", "scheme"), [(PHONE, "light"), (DESK, "dark")], ids=["phone-light", "desk-dark"])
def test_no_page_of_a_log_in_shuts_anybody_out(gym: Any, opened: Any, size: dict[str, int], scheme: str) -> None:
    page = opened(size, gym.coach.user, color_scheme=scheme)
    page.goto("/in/reauthenticate/")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Go on").click()
    page.wait_for_url("**/roster/")
    found = {}

    for address in PAGES:
        page.goto(address)
        assert page.url.endswith(address)
        found[address] = violations(page)
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        if wide > 0:
            found[address].append(f"wider than the screen by {wide} px")

    assert not {address: some for address, some in found.items() if some}
