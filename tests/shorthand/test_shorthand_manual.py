"""The shorthand manual is read and run: each line it shows, its headings, and its example block."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from setwright.catalogue.load import catalogue
from setwright.plan.shorthand import read_block_text

TEXT = (Path(__file__).resolve().parents[2] / "docs" / "shorthand.md").read_text(encoding="utf-8")
HEADS_TEXT, LINES_TEXT = TEXT.split("## A line")


def shown(text: str, column: int) -> list[str]:
    rows = [line.split("|") for line in text.splitlines() if line.startswith("| ")]
    return [one for row in rows for one in re.findall(r"`([^`]+)`", row[column])]


def test_the_manual_shows_enough() -> None:
    assert len(shown(LINES_TEXT, 1)) >= 30 and len(shown(HEADS_TEXT, 2)) >= 15


@pytest.mark.parametrize("line", shown(LINES_TEXT, 1))
def test_each_line_shown_reads_as_one_exercise(line: str) -> None:
    entries = read_block_text(line, catalogue()).template.sessions[0].entries

    assert entries and len({one.exercise for one in entries}) == 1


@pytest.mark.parametrize("line", shown(HEADS_TEXT, 2))
def test_each_heading_shown_is_no_exercise(line: str) -> None:
    found = read_block_text(f"{line}\nback squat 3 x 5\npush-up 3 x 8\n", catalogue())

    for session in found.template.sessions:
        assert [one.exercise for one in session.entries] == ["back_squat", "pushup"]


def test_the_block_of_the_manual_reads() -> None:
    (block,) = re.findall(r"```\n(.*?)```", TEXT, re.DOTALL)
    found = read_block_text(block, catalogue(), days=("tue",))
    (session,) = found.template.sessions

    assert (found.weeks, session.title, session.minutes_cap) == (3, "Lower", 60.0)
    assert [(one.exercise, one.superset) for one in session.entries] == [
        ("back_squat", None),
        ("back_squat", None),
        ("rfe_split", "A"),
        ("plank", "A"),
        ("back_ext45", None),
    ]
