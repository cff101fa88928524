"""What a person does on the phone, step by step, and what the server then keeps."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from setwright.people.trainee import DAYS


def opened_today(page: Any, address: str = "/today/") -> Any:
    """The page of today, ready, with its worker in charge and the page kept for later."""
    page.goto(address)
    page.locator("html[data-ready]").wait_for(state="attached")
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    in_the_pocket(page, page.evaluate("location.pathname + location.search"))
    return page


def in_the_pocket(page: Any, address: str) -> None:
    """Waits until the phone keeps a page for when there is no network."""
    kept = "one => caches.match(one, { ignoreVary: true }).then(Boolean)"
    assert until(page, lambda: page.evaluate(kept, address)), f"not kept on the phone: {address}"


def until(page: Any, is_so: Callable[[], bool]) -> bool:
    """Waits until something is so, at most some twenty seconds; whether it is."""
    for _ in range(200):
        if is_so():
            return True
        page.wait_for_timeout(100)
    return False


def todays(gym: Any) -> list[Any]:
    """The entries of work planned for today."""
    (session,) = (one for one in gym.block.weeks[0].sessions if one.day == DAYS[gym.today.weekday()])
    return [entry for part in session.parts if part.part != "warm-up" for entry in part.entries]


def to_the_work(page: Any) -> None:
    """Leaves the warm-up behind, where one is planned, and waits for the card of the first set."""
    button = page.get_by_role("button", name="Leave it out")
    page.locator("[data-card] .big").first.wait_for()
    if button.count():
        button.click()
    page.locator("[data-id=log]").wait_for()


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
    until(page, lambda: len(sets_of(gym)) >= count and not page.locator("#kept").is_visible())
    page.wait_for_timeout(300)  # one more than expected would arrive now
    return sets_of(gym)
