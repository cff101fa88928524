"""A whole group on one sheet: everybody's every load is on one page. Referee: pypdfium2 reads the paper back."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest
from made_block import PERSON, made_block

from setwright.catalogue.load import catalogue
from setwright.cli.main import run
from setwright.plan.block import Entry, PlannedSet
from setwright.plan.block_days import session_on
from setwright.plan.bout import Bout
from setwright.publish.block_file import block_to_json
from setwright.publish.group_sheet import Participant, group_data, group_html, group_pdf, is_ticked, on_one_page
from setwright.publish.kept_schema import group_schema
from setwright.publish.units import mass_text

MONDAY = date(2026, 9, 7)
NAMES = ("Ada", "Bo", "Cy", "Di", "Ed", "Fay", "Gus", "Hal")


def group(count: int) -> list[Participant]:
    """So many invented people with the same session, which is the longest of the block."""
    found = session_on(made_block(), MONDAY)
    assert found is not None
    return [Participant(name, made_block(), *found) for name in NAMES[:count]]


def page_texts(pdf: bytes) -> list[str]:
    import pypdfium2

    return [" ".join(page.get_textpage().get_text_range().split()) for page in pypdfium2.PdfDocument(pdf)]


def loads(people: list[Participant], unit: Any = "kg") -> set[str]:
    return {
        mass_text(one.load_kg, unit)
        for part in people[0].session.parts
        if part.part != "warm-up"
        for entry in part.entries
        for one in entry.sets
        if one.load_kg
    }


@pytest.mark.parametrize("count", [1, 2, 4, 5, 6, 8])
@pytest.mark.parametrize(("paper", "short_side"), [("a4", 595.28), ("us-letter", 612.0)])
def test_up_to_eight_sessions_are_on_one_page_with_every_load(count: int, paper: Any, short_side: float) -> None:
    """Referees: ISO 216 and ANSI Letter for the size (from memory)."""
    import pypdfium2

    people = group(count)
    made = group_pdf(group_data(people, MONDAY, catalogue()), catalogue(), paper)
    (text,) = page_texts(made)

    assert min(pypdfium2.PdfDocument(made)[0].get_size()) == pytest.approx(short_side, abs=0.6)
    assert len(loads(people)) > 3
    for one in loads(people):
        assert text.count(one) >= count
    assert all(name in text for name in NAMES[:count])


def test_twenty_take_more_pages_and_nobody_is_lost() -> None:
    people = [replace(one, label=f"{one.label} {number}") for number in range(3) for one in group(8)][:20]

    text = " ".join(page_texts(group_pdf(group_data(people, MONDAY, catalogue()), catalogue())))

    assert all(one.label in text for one in people)


def test_the_page_says_the_same_in_pounds_where_asked() -> None:
    people = group(3)
    data = group_data(people, MONDAY, catalogue(), "lb")
    page = group_html(data, catalogue())

    assert all(one in page for one in loads(people, "lb"))
    said = " ".join(e["load"] + e["ramp"] for one in data["people"] for e in one["entries"])
    assert " lb" in said and not re.search(r"\d kg\b", said)


def test_each_piece_has_a_box_and_a_bout_with_a_score_has_its_score() -> None:
    sets = tuple(PlannedSet("work", distance_m=500.0) for _ in range(4))
    pieces = Entry("rower", sets, why="", bout=Bout("intervals", rounds=4))

    assert is_ticked(pieces, True)
    assert not is_ticked(replace(pieces, bout=Bout("as-many-rounds", time_s=600.0)), True)
    assert not is_ticked(replace(pieces, bout=None), True) and is_ticked(replace(pieces, bout=None), False)


def test_each_working_set_has_a_box_and_easy_work_has_none() -> None:
    (person,) = group_data(group(1), MONDAY, catalogue())["people"]
    entries = [entry for part in group(1)[0].session.parts if part.part != "warm-up" for entry in part.entries]

    assert len(person["entries"]) == len(entries) > 4
    for shown, entry in zip(person["entries"], entries, strict=True):
        assert shown["boxes"] in (0, len(entry.working_sets))
    assert sum(one["boxes"] for one in person["entries"]) > 8


def shapes(pdf: bytes) -> int:
    """How many drawn shapes the pages hold, those within pictures too. Referee: pypdfium2."""
    import pypdfium2

    return sum(1 for page in pypdfium2.PdfDocument(pdf) for one in page.get_objects(max_depth=8) if one.type == 2)


def test_page_and_paper_show_figures_and_plates_with_what_to_take() -> None:
    """Plates alone say nothing where a place has bars of several masses."""
    data = group_data(group(4), MONDAY, catalogue())
    page, paper = group_html(data, catalogue()), group_pdf(data, catalogue())
    entries = [e for one in data["people"] for e in one["entries"]]
    loaded = [e for e in entries if e["plates"]]

    assert loaded and all(" a side" in e["take"] for e in loaded)
    assert page.count('class="plates"') == len(loaded)
    for text in (page, page_texts(paper)[0]):
        assert all(e["take"] in text for e in loaded)
    assert page.count('<use href="#fig-') > len(entries) / 2
    assert shapes(paper) > shapes(on_one_page(data, "a4")[2]) + len(entries)


@pytest.fixture
def files(tmp_path: Path) -> list[str]:
    """Block files of two invented people."""
    made = []
    for name in ("Ada", "Bo"):
        block = made_block()
        other = replace(block, inputs=replace(block.inputs, trainee=replace(PERSON, name=name, id=name.lower())))
        from setwright.plan.identity import with_id

        path = tmp_path / f"{name}.json"
        path.write_bytes(block_to_json(with_id(replace(other, trainee=name.lower()))))
        made.append(str(path))
    return made


def test_the_verb_writes_page_and_paper(files: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:

    out = tmp_path / "out"

    assert run(["group", *files, "--on", "2026-09-07", "--out", str(out), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    jsonschema_rs.validator_for(group_schema()).validate(told)
    assert told["people"] == ["Ada", "Bo"] and told["files"] == ["group.html", "group.pdf"]
    assert len(page_texts((out / "group.pdf").read_bytes())) == 1


def test_the_verb_names_who_does_not_train_that_day(
    files: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"

    assert run(["group", *files, files[0], "--on", "2026-09-08", "--out", str(out)]) == 2
    said = " ".join(capsys.readouterr().err.split())
    assert said.count("no session on 2026-09-08") == 3 and "Nearest days: 2026-09-07" in said
    assert run(["group", files[0], files[0], "--on", "2026-09-07", "--out", str(out)]) == 2
    assert "Ada twice" in " ".join(capsys.readouterr().err.split()) and not out.exists()


def test_who_does_not_train_that_day_is_left_out_and_named(
    files: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Cyd begins a week after the others."""
    from setwright.plan.identity import with_id

    block = made_block()
    brief = replace(block.inputs.brief, start=block.inputs.brief.start + timedelta(days=7))
    later = replace(block.inputs, brief=brief, trainee=replace(PERSON, name="Cyd", id="cyd"))
    path = tmp_path / "cyd.json"
    path.write_bytes(block_to_json(with_id(replace(block, inputs=later, trainee="cyd"))))

    assert run(["group", *files, str(path), "--on", "2026-09-07", "--out", str(tmp_path / "out"), "--json"]) == 0

    shown = capsys.readouterr()
    assert json.loads(shown.out)["people"] == ["Ada", "Bo"]
    assert "Left out, no session that day: Cyd; nearest 14 September, " in " ".join(shown.err.split())
