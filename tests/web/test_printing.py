"""A block on paper: the overview and each session as a PDF, for its coach only."""

from __future__ import annotations

from typing import Any

from setwright.publish.sheet import pages_of


def test_a_block_is_printed_whole_and_by_session(gym: Any) -> None:
    """Referee: the PDF's own page count (ISO 32000: the file begins with %PDF)."""
    browser, start = gym.as_coach(), f"/t/{gym.trainee.id}/print/{gym.block.id}/"
    day = gym.block.weeks[0].sessions[0].day

    page = browser.get(start).content.decode()
    whole = browser.get(f"{start}block.pdf")
    sheet = browser.get(f"{start}1/{day}.pdf?paper=us-letter")

    assert f"{start}1/{day}.pdf" in page
    for answer in (whole, sheet):
        assert answer["Content-Type"] == "application/pdf" and answer.content[:4] == b"%PDF"
        assert pages_of(answer.content) >= 1


def test_a_session_that_is_not_there_has_no_sheet(gym: Any) -> None:
    start = f"/t/{gym.trainee.id}/print/{gym.block.id}/"

    for path in ("9/mon.pdf", "1/someday.pdf"):
        assert gym.as_coach().get(start + path).status_code == 404


def test_a_strangers_block_is_not_printed(gym: Any) -> None:
    start = f"/t/{gym.trainee.id}/print/{gym.block.id}/"
    day = gym.block.weeks[0].sessions[0].day

    for path in ("", "block.pdf", f"1/{day}.pdf"):
        assert gym.as_stranger().get(start + path).status_code == 404
        assert gym.as_trainee().get(start + path).status_code == 404


def test_a_block_that_nobody_has_logged_says_what_to_do_next(gym: Any) -> None:
    page = gym.as_coach().get(f"/t/{gym.trainee.id}/").content.decode()

    assert "Next:" in page and f"/print/{gym.block.id}/" in page
