"""A block that a coach wrote is held against what is written, not against a brief that nobody wrote."""

from __future__ import annotations

import pytest
from conditioning_floor import block_of
from made_block import estimates_of

from setwright.catalogue.load import catalogue
from setwright.plan.block import Block
from setwright.plan.block_days import session_date
from setwright.publish.block_grid import block_grid
from setwright.publish.page import session_page
from setwright.publish.review_report import review_report
from setwright.publish.sheet import block_data, session_data
from setwright.publish.terminal import block_text
from setwright.review.findings import Review, review_block
from setwright.strength.logged import Log, LoggedSession, LoggedSet

EASY = "Mon\nback squat 3 x 5 @ RPE 6\nbench press 3 x 5 @ RPE 6"


def reviewed(block: Block) -> Review:
    day = session_date(block, 1, block.weeks[0].sessions[0].day)
    lifts = [LoggedSet(day, 1, "mon", "back_squat", n, reps=5, load_kg=60.0, rir=4.0) for n in (1, 2, 3)]
    log = Log(tuple(lifts), (LoggedSession(day, 1, "mon", session_rpe=6.0, minutes=40.0),))
    return review_block(block, log, estimates_of(), catalogue())


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (EASY, "RPE 6"),
        ("Mon\nback squat 3 x 5 @ RPE 6\nbench press 3 x 5 @ RPE 8", "RPE 6 to 8"),
        ("Mon\nback squat 3 x 5 @ RPE 6\nbench press 3 x 5", "RPE 6 to 7.5"),  # a line that says none takes the week's
        ("weeks 1-1 RPE 8\nMon\nback squat 3 x 5", "RPE 8"),
    ],
)
def test_the_effort_of_a_week_is_that_of_its_lines(text: str, says: str) -> None:
    block = block_of(text)

    (head,) = block_grid(block, catalogue()).weeks
    paper = block_data(block, catalogue(), "a4")["sections"][0]["tables"][0]["rows"][0]

    assert head.effort == says and f"1: {says}\n" in block_text(block, catalogue())
    assert paper[2].startswith(f"{says}, about ")


def test_a_week_of_conditioning_alone_claims_no_effort_of_lifts() -> None:
    block = block_of("Mon\nrower 20 min, talk test: whole sentences")

    assert block_grid(block, catalogue()).weeks[0].effort == "" and "RPE" not in block_text(block, catalogue())


def test_the_review_holds_a_written_week_against_what_is_written() -> None:
    """Referee: the lines themselves: RPE 6, and the counted sets of the block."""
    block = block_of(EASY)
    found = reviewed(block)
    report = review_report(block, found, (), found.sets_asked, (), catalogue(), "kg")

    assert found.weeks[0].rpe_planned == 6.0
    assert all(one.high == one.planned for one in found.sets_asked) and any(one.done > 0 for one in found.sets_asked)
    assert "brief" not in " ".join(f"{one.title} {one.caption}" for one in report.pictures)
    assert any(one.title == "Counted sets against what the block asks" for one in report.pictures)


def test_a_letter_is_explained_where_the_first_letter_stands() -> None:
    """Common practice, no published source."""
    block = block_of("Mon\nback squat 3 x 5 @ RPE 6\nA1 biceps curl 2 x 10\nA2 plank 2 x 30 s")
    day, says = block.weeks[0].sessions[0].day, "Letters belong together"
    sections = session_data(block, 1, day, catalogue(), "a4")["sections"]
    told = [(one["letter"], one["hint"]) for section in sections for one in section["entries"]]

    assert [hint.startswith(says) for letter, hint in told if letter] == [True, False]
    assert not any(hint for letter, hint in told if not letter) and not any(one["hint"] for one in sections[1:])
    page = session_page(block, 1, day, catalogue())
    assert page.count(says) == 1 and page.index("3 x 5") < page.index(says) < page.index("2 x 10")
