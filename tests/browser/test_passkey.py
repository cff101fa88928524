"""A passkey made and used in a real browser, by a virtual authenticator, under the strict content policy.

Referee: Chromium's own WebAuthn and its virtual authenticator (DevTools protocol, domain WebAuthn).
"""

from __future__ import annotations

from typing import Any

import pytest
from practice import PASSWORD
from screens import PHONE

KEY = {
    "protocol": "ctap2",
    "transport": "internal",
    "hasResidentKey": True,
    "hasUserVerification": True,
    "isUserVerified": True,
    "automaticPresenceSimulation": True,
}


@pytest.mark.parametrize("by_enter", [False, True], ids=["pressed", "by Enter"])
def test_a_passkey_is_added_and_opens_the_log_in_without_a_password(gym: Any, opened: Any, by_enter: bool) -> None:
    page = opened(PHONE, gym.trainee.user)
    said: list[str] = []
    page.on("console", lambda one: said.append(one.text) if one.type == "error" else None)
    devtools = page.context.new_cdp_session(page)
    devtools.send("WebAuthn.enable")
    key = devtools.send("WebAuthn.addVirtualAuthenticator", {"options": KEY})["authenticatorId"]

    page.goto("/in/")
    page.get_by_role("link", name="Add a passkey").click()
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Go on").click()
    page.get_by_label("without a password").check()
    page.get_by_label("A name for it").fill("My phone")
    if by_enter:
        page.get_by_label("A name for it").press("Enter")
    else:
        page.get_by_role("button", name="Add it").click()
    page.get_by_role("heading", name="Recovery codes").or_(page.locator("#passkey-said:not(:empty)")).wait_for()
    assert page.get_by_role("heading", name="Recovery codes").is_visible(), page.locator("main").inner_text()
    made = devtools.send("WebAuthn.getCredentials", {"authenticatorId": key})["credentials"]
    page.get_by_role("button", name="Log out").click()
    page.goto("/in/login/")
    page.get_by_role("button", name="Log in with a passkey").click()
    page.wait_for_url("**/today/")
    page.goto("/in/2fa/webauthn/")

    assert len(made) == 1 and made[0]["isResidentCredential"] and made[0]["rpId"] == "localhost"
    assert "My phone" in page.content() and "not used yet" not in page.content()
    assert not said, said


def test_without_a_key_the_page_says_so_and_the_password_still_opens(gym: Any, opened: Any) -> None:
    page = opened(PHONE)
    devtools = page.context.new_cdp_session(page)
    devtools.send("WebAuthn.enable")
    devtools.send("WebAuthn.addVirtualAuthenticator", {"options": {**KEY, "isUserVerified": False}})

    page.goto("/in/login/")
    page.get_by_role("button", name="Log in with a passkey").click()
    page.get_by_text("Try again, or use another way").wait_for()
    page.get_by_label("Log-in name").fill("ode")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Log in", exact=True).click()

    page.wait_for_url("**/today/")


def test_what_asks_for_a_key_waits_for_its_script(gym: Any, opened: Any) -> None:
    page = opened(PHONE)
    page.route("**/passkey*.js", lambda route: route.abort())

    page.goto("/in/login/")

    assert page.get_by_role("button", name="Log in with a passkey").is_disabled()
    assert page.get_by_role("button", name="Log in", exact=True).is_enabled()
