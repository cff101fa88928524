"""The manual of conditioning is read and run: its formats, every line it shows, its scores, its worked efforts."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from setwright.catalogue.load import catalogue
from setwright.plan.formats import packaged_formats
from setwright.plan.shorthand import read_block_text
from setwright.review.log_file import read_log
from setwright.review.score import read_score
from setwright.strength.critical_power import critical_rate
from setwright.strength.endurance import trials_of

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "conditioning.md").read_text(encoding="utf-8")
ROWS = {
    row[0]: row[1:] for row in re.findall(r"^\| `([a-z-]+)` \| (.*) \| (.*) \| (.*) \| (.*) \|$", PAGE, re.MULTILINE)
}
WRITING = PAGE.split("## Writing it")[1].split("## For one person")[0]
SCORES = PAGE.split("## In the log")[1].split("`review` says")[0]


def shown(text: str) -> list[str]:
    rows = [line.split("|")[1] for line in text.splitlines() if line.startswith("| `")]
    return [one for row in rows for one in re.findall(r"`([^`]+)`", row)]


def test_every_format_has_its_row_and_the_rows_say_what_the_files_say() -> None:
    assert set(ROWS) == set(packaged_formats())
    for name, one in packaged_formats().items():
        what, score, fatigue, log = ROWS[name]

        assert what == one.what and log == ", ".join(one.log)
        assert score == (one.score_words if one.score != "none" else "-")
        assert fatigue == f"{one.fatigue:g} hard sets"


@pytest.mark.parametrize("line", shown(WRITING))
def test_each_line_shown_reads_as_a_bout(line: str) -> None:
    entries = read_block_text(line, catalogue()).template.sessions[0].entries

    assert entries and all(entry.bouts and entry.part == "conditioning" for entry in entries)


def test_the_page_shows_enough() -> None:
    assert len(shown(WRITING)) >= 18 and len(shown(SCORES)) >= 7


def test_the_day_of_the_page_reads() -> None:
    (day,) = re.findall(r"```\n(Monday.*?)```", PAGE, re.DOTALL)
    (session,) = read_block_text(day, catalogue()).template.sessions

    assert [(one.exercise, one.superset) for one in session.entries] == [
        ("back_squat", None),
        ("kb_swing", "A"),
        ("pushup", "A"),
        ("run", "A"),
        ("rower", None),
    ]


@pytest.mark.parametrize("score", shown(SCORES))
def test_each_score_shown_is_one(score: str) -> None:
    assert read_score(score) is not None


def test_the_efforts_of_the_page_give_what_it_says() -> None:
    (rows,) = re.findall(r"```\n(2026-09-01,mon,bike.*?)```", PAGE, re.DOTALL)
    log = read_log("date,session,exercise,set,distance_m,time_s,dials\n" + rows, "log.csv", catalogue())
    ((_, measure), trials), *others = trials_of(log.sets, catalogue()).items()
    found = critical_rate("bike", measure, trials)
    fit = found.fits[0]

    assert not others and max(one.date for one in trials) == date(2026, 9, 12)
    said = re.search(r"critical power (\d+) W \((\d+) to (\d+)\), and ([\d.]+) kJ", PAGE)
    assert said is not None
    assert [float(one) for one in said.groups()] == [
        round(fit.critical.mean),
        round(fit.critical.p10),
        round(fit.critical.p90),
        round(fit.reserve.mean / 1000.0, 1),
    ]
