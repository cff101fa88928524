"""Every page that links lead to, found by following them, so that a new page is tried without being named here.

Referee: axe-core 4 (WCAG 2 A and AA, best practices). WCAG 2.2, 1.4.4 and 1.4.10: readable at 200 % zoom, which is
half of the width, without a second direction to scroll in.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any
from urllib.parse import urlsplit

import pytest
from axe import violations
from screens import DESK, PHONE

MOST = 120
FEWEST = {"coach": 25, "trainee": 6}


def is_page(answer: Any) -> bool:
    return answer.ok and answer.headers.get("content-type", "").startswith("text/html")


def pages_from(page: Any, first: str) -> Iterator[tuple[str, str]]:
    """Name and address of one page for each kind of address that links lead to, the page opened."""
    from django.urls import Resolver404, resolve

    seen: set[str] = set()
    waiting = [first]
    while waiting and len(seen) < MOST:
        address = waiting.pop(0)
        try:
            name = resolve(urlsplit(address).path).view_name
        except Resolver404:
            continue
        if name in seen or not is_page(page.request.get(address)):
            continue
        seen.add(name)
        page.goto(address)
        page.wait_for_timeout(150)
        waiting += page.eval_on_selector_all("a[href^='/']", "all => all.map(one => one.getAttribute('href'))")
        yield name, address


def too_wide(page: Any, size: dict[str, int]) -> list[str]:
    """At full width and at 200 % zoom: what sticks out of the screen."""
    found = []
    for width in (size["width"], size["width"] // 2):
        page.set_viewport_size({**size, "width": width})
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        found += [f"wider than {width} px by {wide} px"] if wide > 0 else []
    page.set_viewport_size(size)
    return found


@pytest.mark.parametrize(
    ("who", "size", "scheme"),
    [
        pytest.param("trainee", PHONE, "light", id="trainee-phone"),
        pytest.param("coach", PHONE, "light", id="coach-phone", marks=pytest.mark.long),
        pytest.param("coach", DESK, "light", id="coach-desk", marks=pytest.mark.long),
        pytest.param("coach", DESK, "dark", id="coach-desk-dark", marks=pytest.mark.long),
        pytest.param("trainee", PHONE, "dark", id="trainee-phone-dark", marks=pytest.mark.long),
    ],
)
def test_no_page_that_links_lead_to_shuts_anybody_out(
    gym: Any, opened: Any, who: str, size: dict[str, int], scheme: str
) -> None:
    user, first = (gym.coach.user, "/roster/") if who == "coach" else (gym.trainee.user, "/today/")
    page = opened(size, user, color_scheme=scheme)
    found = {}

    for name, address in pages_from(page, first):
        found[f"{name} {address}"] = violations(page) + too_wide(page, size)

    assert len(found) >= FEWEST[who], sorted(found)
    assert not {one: some for one, some in found.items() if some}


@pytest.mark.long
@pytest.mark.parametrize("who", ["coach", "trainee"])
def test_the_first_view_can_be_read_without_scripts(gym: Any, opened: Any, who: str) -> None:
    user, first = (gym.coach.user, "/roster/") if who == "coach" else (gym.trainee.user, "/today/")
    page = opened(PHONE, user, java_script_enabled=False)
    empty = []

    count = 0
    for name, _address in pages_from(page, first):
        count += 1
        words = page.locator("main").inner_text().split()
        if not page.locator("main h1").first.is_visible() or len(words) < 5:
            empty.append(name)

    assert count >= FEWEST[who]
    assert not empty
