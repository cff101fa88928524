"""The group on one sheet, from the floor: page and paper. Referee: pypdfium2."""

from __future__ import annotations

from typing import Any
from unittest.mock import patch

from setwright.plan.block_days import session_date


def text_of(pdf: bytes) -> str:
    import pypdfium2

    return " ".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(pdf))


def test_whoever_is_asked_for_is_on_the_sheet_with_their_loads(gym: Any) -> None:
    ahead = [(session_date(gym.block, week.number, one.day), one) for week in gym.block.weeks for one in week.sessions]
    _, session = min((day, one) for day, one in ahead if day >= gym.today)
    loads = [one.load_kg for part in session.parts for entry in part.entries for one in entry.sets if one.load_kg]
    with patch("setwright.web.views.floor.today", return_value=gym.today):
        page = gym.as_coach().get(f"/floor/sheet/?who={gym.trainee.id}").content.decode()
        paper = gym.as_coach().get(f"/floor/sheet.pdf?who={gym.trainee.id}&paper=us-letter")

    assert "Ode Invented" in page and f"/floor/sheet.pdf?who={gym.trainee.id}&amp;paper=a4" in page
    assert paper["Content-Type"] == "application/pdf"
    assert loads
    for one in loads:
        assert f"{one:g} kg" in page and f"{one:g} kg" in text_of(paper.content)


def test_nobody_of_another_practice_comes_onto_the_sheet(gym: Any) -> None:
    page = gym.as_stranger().get(f"/floor/sheet/?who={gym.trainee.id}").content.decode()
    paper = gym.as_stranger().get(f"/floor/sheet.pdf?who={gym.trainee.id}")

    assert "Ode Invented" not in page
    assert "Ode Invented" not in text_of(paper.content)


def test_the_floor_leads_to_the_sheet(gym: Any) -> None:
    page = gym.as_coach().get(f"/floor/?who={gym.trainee.id}").content.decode()

    assert f"/floor/sheet/?who={gym.trainee.id}" in page
