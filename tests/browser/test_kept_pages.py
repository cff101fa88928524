"""Kept sessions and public editions on screen. Referee: axe-core 4, through ``axe-playwright-python``."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

import pytest
from axe import violations
from screens import DESK, PHONE

from setwright.records import models
from setwright.services.desk.fit_kept import ask_to_fit, fit_for
from setwright.services.desk.kept_sessions import keep_session
from setwright.services.desk.public_links import make_public_link

TEXT = "Block: Legs for {name}\nDay 1\n{here: back squat} 3 x 5 @ RIR 2\ndead bug 2 x 8\n"


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_pages_shut_nobody_out_and_fit_the_screen(gym: Any, opened: Any, size: Any, scheme: str) -> None:
    slug = keep_session(gym.coach, TEXT)
    said = {"week": "1", "day": "", "talk": "30", "days": "7", "places": []}
    secret = make_public_link(gym.trainee, gym.block, said, gym.coach.user).secret
    (waits,) = ask_to_fit([gym.trainee], TEXT, "2026-09-07", gym.coach.user)
    done = models.Job.objects.create(
        practice=gym.coach.practice,
        trainee=gym.trainee,
        deed=waits.deed,
        asked=waits.asked,
        state=models.Job.DONE,
        result={"block": fit_for(gym.trainee, TEXT, date(2026, 9, 7)).id},
    )
    page = opened(size, gym.coach.user, color_scheme=scheme)
    block = f"/t/{gym.trainee.id}/block/{gym.block.id}"
    found = {}

    for address in (
        *("/kept/", f"/kept/{slug}/", f"/t/{gym.trainee.id}/write/?kept={slug}"),
        f"/kept/{slug}/fit/?job={waits.id}&job={done.id}",
        *(f"{block}/keep/", f"{block}/publish/", f"/p/{secret}/"),
    ):
        page.goto(address)
        found[address] = violations(page)
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        if wide > 0:
            found[address].append(f"wider than the screen by {wide} px")

    assert not {address: some for address, some in found.items() if some}


def test_a_coach_keeps_a_session_and_uses_it_again(gym: Any, opened: Any) -> None:
    page = opened(DESK, gym.coach.user)

    page.goto(f"/t/{gym.trainee.id}/block/{gym.block.id}/")
    page.get_by_role("link", name="Keep a session").click()
    page.get_by_label("Title").fill("Wednesday strength")
    page.get_by_role("button", name="Keep it").click()
    assert page.get_by_role("heading", name="Wednesday strength").is_visible()
    page.get_by_role("button", name="Fill it in and show me").click()

    assert page.get_by_text("Everything was understood").is_visible()
    assert re.search(r"\{here: ", page.get_by_label("The block", exact=True).input_value())


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_files_of_a_public_edition_and_a_group_fit_every_screen(
    gym: Any, opened: Any, size: Any, scheme: str, tmp_path: Any
) -> None:
    from setwright.people.place import Band, Place
    from setwright.services.group import participants, write_group
    from setwright.services.public_edition import public_files

    path = tmp_path / "block.json"
    from setwright.publish.block_file import block_to_json

    path.write_bytes(block_to_json(gym.block))
    places = (Place("hotel", "A hotel room", bands=(Band("loop", loop=True),)), Place("field", "A field"))
    write_group(participants([path], gym.today), gym.today, tmp_path)
    files = {"group": (tmp_path / "group.html").read_text(encoding="utf-8")}
    files["block"] = public_files(gym.block, places, formats=("html",))["public.html"].decode()
    files["session"] = public_files(gym.block, places, (1,), gym.block.weeks[0].sessions[0].day, formats=("html",))[
        "public.html"
    ].decode()
    page = opened(size, color_scheme=scheme)
    found = {}

    for name, text in files.items():
        page.set_content(text)
        found[name] = violations(page)
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        if wide > 0:
            found[name].append(f"wider than the screen by {wide} px")

    assert not {name: some for name, some in found.items() if some}
