"""Two revisions compared: what changed in words, counted sets and minutes before and after, page and sheet."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path

import jsonschema_rs
import pytest
from made_block import made_block
from test_changes_report import first, revised

from setwright.body.anatomy import muscle_groups
from setwright.catalogue.load import catalogue
from setwright.cli.main import run
from setwright.plan.block import Block, Entry, Filler
from setwright.plan.changed_words import changed_words
from setwright.plan.compose import count_credits
from setwright.publish.block_file import block_to_json
from setwright.publish.compare_report import CompareReport, compare_html, compare_pdf, compare_report
from setwright.publish.sheet import pages_of
from setwright.publish.units import Unit
from setwright.services.comparing import before_and_after_text, compare_blocks, comparison_files, comparison_text


def squat() -> Entry:
    found = next(
        entry
        for session in made_block().weeks[0].sessions
        for part in session.parts
        for entry in part.entries
        if entry.exercise == "back_squat"
    )
    return replace(found, filler=None)


def with_sets(**changes: object) -> Entry:
    return replace(squat(), sets=tuple(replace(one, **changes) for one in squat().sets))  # type: ignore[arg-type]


def without_last() -> Block:
    """The block without the last working set of the squat in week 1, counted anew, its day a little shorter."""
    block = made_block()
    week = block.weeks[0]
    sessions = []
    for session in week.sessions:
        parts = tuple(
            replace(
                part,
                entries=tuple(
                    replace(one, sets=one.sets[:-1]) if one.exercise == "back_squat" else one for one in part.entries
                ),
            )
            for part in session.parts
        )
        changed = parts != session.parts
        sessions.append(replace(session, parts=parts, minutes=session.minutes - 4 if changed else session.minutes))
    weeks = (replace(week, sessions=tuple(sessions)), *block.weeks[1:])
    return replace(block, weeks=weeks, set_credits=count_credits(weeks, catalogue()), revision=2, parent=block.id)


def report(second: Block, unit: Unit = "kg") -> CompareReport:
    return compare_report(made_block(), second, compare_blocks(made_block(), second), ("a.json", "<b>.json"), unit)


@pytest.mark.parametrize(
    ("new", "said"),
    [
        (squat(), ()),
        (None, ("taken out",)),
        (replace(squat(), why="another reason", cautions=("x",)), ()),
        (replace(squat(), exercise="front_squat"), ("another exercise",)),
        (with_sets(rest_s=240.0), ("rest 240 s",)),
        (with_sets(rpe=9.5), ("RPE 9.5",)),
        (with_sets(tempo="4-0-1-0"), ("tempo 4-0-1-0",)),
        (replace(squat(), filler=Filler("bird_dog")), ("filler bird dog",)),
    ],
)
def test_what_changed_is_said(new: Entry | None, said: tuple[str, ...]) -> None:
    found = changed_words(squat(), new, catalogue())

    assert len(found) == len(said) and all(one.startswith(start) for one, start in zip(found, said, strict=True))


def test_loads_sets_and_repetitions_are_told_by_how_much() -> None:
    heavier = tuple(
        replace(one, load_kg=None if one.load_kg is None else one.load_kg + 2.5, reps=(2, 3)) for one in squat().sets
    )
    more = replace(squat(), sets=(*heavier, heavier[-1]))
    low, high = squat().sets[-1].reps or (0, 0)
    reps = f"2-3 reps, not {low}-{high}"

    assert changed_words(squat(), more, catalogue()) == ("1 set more", reps, "2.5 kg more")


def test_rows_keep_their_form_and_say_what_changed() -> None:
    rows = compare_blocks(first(), revised())

    assert compare_blocks(first(), first()) == []
    assert all({"week", "session", "entry", "from", "to", "part", "changed"} == set(row) for row in rows)
    assert len(rows) == len(revised().changes) and {row["week"] for row in rows} == {2}


def test_a_change_of_rest_alone_is_a_difference() -> None:
    block = made_block()
    longer = replace(
        block,
        weeks=tuple(
            replace(week, sessions=tuple(
                replace(session, parts=tuple(
                    replace(part, entries=tuple(
                        replace(one, sets=tuple(replace(each, rest_s=300.0) for each in one.sets))
                        if one.exercise == "back_squat" else one for one in part.entries))
                    for part in session.parts))
                for session in week.sessions))
            for week in block.weeks),
    )  # fmt: skip
    text = comparison_text(compare_blocks(block, longer))

    assert "-> rest 300 s, not" in text


def test_counted_sets_and_minutes_before_and_after() -> None:
    """Referee: the counted sets of both blocks, and the minutes as planned."""
    second = without_last()
    found = report(second)
    before, after = (
        {one.week: one.fractional for one in block.set_credits if one.muscle == "quads_vasti"}
        for block in (made_block(), second)
    )
    quads = next(row for row in found.sets.rows if row[0] == muscle_groups()["quads_vasti"].label)

    assert quads[1] == f"{before[1]:g} to {after[1]:g}"
    assert quads[2] == f"{before[2]:g}"
    changed = [cell for row in found.minutes.rows for cell in row[1:] if " to " in cell]
    assert len(changed) == 1 and int(changed[0].split(" to ")[0]) - int(changed[0].split(" to ")[1]) == 4
    assert "1 entry differs, in week 1." in found.lead and "the minutes of 1 day change" in found.lead


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_page_and_sheet_are_the_same_bytes(paper: str) -> None:
    found = report(without_last())
    page = compare_html(found)

    assert "<b>.json" not in page and "&lt;b&gt;.json" in page and "<script" not in page
    assert page == compare_html(found)
    made = compare_pdf(found, paper)  # type: ignore[arg-type]
    assert pages_of(made) == 1 and made == compare_pdf(found, paper)  # type: ignore[arg-type]


def test_pounds_at_the_face_and_kilograms_in_the_numbers() -> None:
    files = comparison_files(first(), revised(), ("a.json", "b.json"), "lb")

    assert not re.search(r"\d kg\b", files["compare.html"].decode())
    assert all("kg" in str(row["from"]) for row in json.loads(files["compare.json"]))


def test_compare_writes_files_and_keeps_its_list(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    paths = []
    for name, block in (("a", first()), ("b", revised())):
        (tmp_path / f"{name}.json").write_bytes(block_to_json(block))
        paths.append(str(tmp_path / f"{name}.json"))

    assert run(["compare", *paths, "--out", str(tmp_path / "out"), "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)
    assert isinstance(rows, list) and rows == json.loads((tmp_path / "out" / "compare.json").read_text())
    assert (tmp_path / "out" / "compare.pdf").read_bytes().startswith(b"%PDF")
    assert run(["compare", *paths, paths[0], "--out", str(tmp_path / "out")]) == 2


def test_the_terminal_tells_sets_and_minutes_that_change() -> None:
    text = before_and_after_text(made_block(), without_last())
    cell = next(row[1] for row in report(without_last()).sets.rows if row[0] == muscle_groups()["quads_vasti"].label)

    assert f"{muscle_groups()['quads_vasti'].label}: {cell} in week 1" in text and "Minutes that change:" in text
    assert max(map(len, text.splitlines())) <= 80
    assert before_and_after_text(made_block(), made_block()) == ""


def test_equal_blocks_say_so() -> None:
    found = report(made_block())

    assert found.lead == "The two blocks plan the same." and pages_of(compare_pdf(found)) == 1


def test_the_published_schema_takes_every_comparison_and_no_other_key(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Referee: another library reads the schema that `setwright schema compare` prints."""
    assert run(["schema", "compare"]) == 0
    validator = jsonschema_rs.validator_for(json.loads(capsys.readouterr().out))
    for name, one in (("old.json", first()), ("new.json", revised())):
        (tmp_path / name).write_bytes(block_to_json(one))
    old, new = str(tmp_path / "old.json"), str(tmp_path / "new.json")

    for files, least in (([old, new], 1), ([old, old], 0), ([old, new, old], 1)):
        assert run(["compare", *files, "--json"]) == 0
        rows = json.loads(capsys.readouterr().out)
        validator.validate(rows)
        assert (len(rows) >= 1) == bool(least)
        assert all(("block" in row) == (len(files) == 3) for row in rows)
        assert not validator.is_valid([{**rows[0], "more": 1}] if rows else [{}])
