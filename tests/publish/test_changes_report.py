"""The changes of a revision as page and sheet: numbers as in the terminal, verdicts, and commands that work."""

from __future__ import annotations

import re
import shlex
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from made_block import PERSON, made_block

from setwright.catalogue.load import catalogue
from setwright.cli.main import run
from setwright.plan.block import Block, Entry
from setwright.plan.identity import with_id
from setwright.plan.restrict import in_words
from setwright.publish.block_file import block_to_json
from setwright.publish.changes_report import Deciding, changes_page, changes_pdf, changes_report, numbers_text
from setwright.publish.sheet import pages_of
from setwright.publish.terminal import changes_text
from setwright.review.approval import approvals

HOSTILE = "<img src=x onerror=alert(1)> & more"


def scaled(entry: Entry, share: float) -> Entry:
    """An entry with its loads times a share."""
    sets = tuple(one if one.load_kg is None else replace(one, load_kg=one.load_kg * share) for one in entry.sets)
    return replace(entry, sets=sets)


@cache
def revised() -> Block:
    """The made block with small steps allowed: week 2 squats lighter, bench a fifth heavier."""
    from setwright.plan.block import Change

    before, changes = first(), []
    shares = {"back_squat": 0.9, "bench_bb": 1.2}
    weeks = []
    for week in before.weeks:
        sessions = []
        for session in week.sessions:
            parts = []
            for part in session.parts:
                entries = []
                for entry in part.entries:
                    new = entry
                    if week.number == 2 and entry.exercise in shares:
                        new = scaled(entry, shares[entry.exercise])
                        name = catalogue().get(entry.exercise).name
                        changes.append(
                            Change(week.number, session.day, name, in_words(entry, catalogue()),
                                   in_words(new, catalogue()), HOSTILE, "called 2 harder; log to 2026-09-12, 40 sets")
                        )  # fmt: skip
                    entries.append(new)
                parts.append(replace(part, entries=tuple(entries)))
            sessions.append(replace(session, parts=tuple(parts)))
        weeks.append(replace(week, sessions=tuple(sessions)))
    made = replace(before, id="", weeks=tuple(weeks), changes=tuple(changes), revision=2, parent=before.id)
    return with_id(made)


@cache
def first() -> Block:
    return with_id(replace(made_block(), id="", inputs=replace(made_block().inputs, trainee=PERSON)))


def test_numbers_and_words_are_those_of_the_terminal() -> None:
    report = changes_report(revised(), catalogue(), before=first())
    said = " ".join(changes_text(revised(), catalogue()).split())

    assert [one.number for one in report.rows] == list(range(1, len(revised().changes) + 1))
    for one in report.rows:
        assert f"{one.number}. {one.day} {one.weeks}: {one.was}" in said and f"-> {one.becomes}" in said


def test_each_change_says_whether_it_may_be_used_at_once() -> None:
    """Referee: the approvals of the review room, change by change."""
    report = changes_report(revised(), catalogue(), before=first())
    free = approvals(first(), revised(), catalogue())

    assert [one.waits for one in report.rows] == [one == "coach" for one in free]
    assert set(free) == {"coach", "less"}
    (less,) = [number for number, one in enumerate(free, start=1) if one == "less"]
    assert f"Change {less} may be used at once; the other {len(free) - 1} wait for you." in report.lead


def test_what_all_rest_on_is_said_once() -> None:
    report = changes_report(revised(), catalogue(), before=first())

    assert report.rests_on == "All of them rest on the log to 2026-09-12, 40 sets."
    assert {one.evidence for one in report.rows} == {"called 2 harder"}


def test_the_page_escapes_and_holds_every_change_once() -> None:
    page = changes_page(revised(), catalogue(), before=first())

    assert "<img" not in page and "&lt;img" in page and "<script" not in page
    assert len(re.findall(r"<h3[^>]*>\d+\.", page)) == len(revised().changes)


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_the_sheet_is_the_same_bytes(paper: str) -> None:
    made = changes_pdf(revised(), catalogue(), paper, before=first())  # type: ignore[arg-type]

    assert pages_of(made) == 1 and made == changes_pdf(revised(), catalogue(), paper, before=first())  # type: ignore[arg-type]


def test_the_commands_of_the_page_work_as_typed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "a folder's name"
    folder.mkdir()
    (folder / "before.json").write_bytes(block_to_json(first()))
    (folder / "block.json").write_bytes(block_to_json(revised()))
    names = Deciding(str(folder / "block.json"), str(folder / "before.json"), str(tmp_path / "kept"))
    report = changes_report(revised(), catalogue(), before=first(), deciding=names)

    assert len(report.commands) == 4
    for _, command in reversed(report.commands):
        program, *words = shlex.split(command)
        assert program == "setwright" and run(words) == 0, (command, capsys.readouterr().err)
    assert "in force" in " ".join(capsys.readouterr().err.split())


def test_pounds_at_the_face() -> None:
    page = changes_page(revised(), catalogue(), "lb", first())

    assert not re.search(r"\d kg\b", page) and re.search(r"\d lb\b", page)


@pytest.mark.parametrize(("numbers", "text"), [([1], "1"), ([1, 2, 3, 7], "1-3,7"), ([2, 4, 5], "2,4-5"), ([], "")])
def test_numbers_are_written_as_accept_reads_them(numbers: list[int], text: str) -> None:
    assert numbers_text(numbers) == text
