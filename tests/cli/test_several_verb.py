"""design --blocks from the command line, on an invented person of the demo who trains with bands."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from setwright.cli.main import run
from setwright.plan.variants import Several
from setwright.publish.block_file import block_from_json, block_to_json
from setwright.publish.sheet import pages_of
from setwright.publish.side_by_side import compared, compared_json, compared_page, compared_text, proof_text
from setwright.services.deeds import design_inputs
from setwright.services.demo import unpack
from setwright.services.gather import catalogue
from setwright.services.own import forget_own
from setwright.services.several import several_files, several_json, write_several


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return unpack(tmp_path_factory.mktemp("demo"))


@pytest.fixture(scope="module")
def found(data: Path) -> Several:
    from setwright.plan.variants import design_blocks

    forget_own()  # what a command before carried in
    asked = design_inputs(data / "people" / "selma.toml", data / "briefs" / "selma.toml")
    who = asked.person
    return design_blocks(
        who.trainee, who.places, asked.brief, catalogue(), asked.estimates, asked.log, limit=0.3, count=2
    )


def test_differ_without_blocks_is_refused(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    files = [str(data / "people" / "selma.toml"), str(data / "briefs" / "selma.toml")]

    assert run(["design", *files, "--differ", "split"]) == 2
    assert "--blocks 2" in capsys.readouterr().err


def test_four_blocks_are_refused(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    files = [str(data / "people" / "selma.toml"), str(data / "briefs" / "selma.toml")]

    assert run(["design", *files, "--blocks", "4"]) == 2
    assert "1<=x<=3" in capsys.readouterr().err


def test_the_words_stand_on_the_numbers(found: Several) -> None:
    """Points, sets and minutes in the words are those of the blocks."""
    made = compared(found, catalogue())
    text = compared_text(made)
    second = found.variants[1]

    assert len(made.blocks) == 2
    assert f"{second.points} points" in made.blocks[1].worth
    assert f"{second.apart[0].others} of its {second.apart[0].of} freely chosen exercises" in made.blocks[1].differs[0]
    minutes = next(rows for title, _, rows in made.tables if title.startswith("Minutes"))
    session = second.block.weeks[0].sessions[0]
    longest = max(one.minutes for week in second.block.weeks for one in week.sessions if one.day == session.day)
    assert minutes[0][2] == f"{longest:.0f}"
    assert max(len(line) for line in text.splitlines()) <= 80
    assert proof_text(second, 1).count("differ so") == 1


def test_what_a_block_does_better_is_better_in_its_table(found: Several) -> None:
    """Every "less load on" of block 2 names fewer sets than block 1 has."""
    sides = [one["side"] for one in compared_json(compared(found, catalogue()), found, catalogue())["blocks"]]
    names = {
        "knees": "knee",
        "hips": "hip",
        "back": "trunk",
        "shoulders": "shoulder",
        "elbows": "elbow",
        "wrists": "wrist",
    }

    for text in compared(found, catalogue()).blocks[1].better:
        if text.startswith("less load on the "):
            joint = names[text.split("less load on the ")[1].split(",")[0]]
            assert sides[1]["joints"][joint] < sides[0]["joints"][joint]
        if text.startswith("fewer exercises"):
            assert len(sides[1]["exercises"]) < len(sides[0]["exercises"])


@pytest.mark.long
def test_the_folder_holds_both_blocks_and_the_comparison(found: Several, tmp_path: Path) -> None:
    write_several(found, tmp_path)

    for number, name in enumerate(("block.json", "block-2.json")):
        data = (tmp_path / name).read_bytes()
        assert data == block_to_json(found.variants[number].block)
        assert block_from_json(data, name).id == found.variants[number].block.id
    assert (tmp_path / "block-2" / "block.json").read_bytes() == (tmp_path / "block-2.json").read_bytes()
    for page in ("index.html", "comparison.html"):
        text = (tmp_path / page).read_text(encoding="utf-8")
        links = [part.split('"')[0] for part in text.split('href="')[1:]]
        assert any("block-2/" in link for link in links)
        assert all((tmp_path / link).exists() for link in links)
    assert pages_of((tmp_path / "notes" / "comparison.pdf").read_bytes()) >= 1
    assert json.loads((tmp_path / "comparison.json").read_text(encoding="utf-8"))["limit"] == found.limit


@pytest.mark.long
def test_the_first_blocks_files_are_those_of_a_plain_design(found: Several) -> None:
    from setwright.services.publishing import block_files

    plain, files = block_files(found.variants[0].block), several_files(found)

    assert {name for name in plain if plain[name] != files[name]} == {"index.html"}


def test_json_gives_blocks_and_comparison(found: Several) -> None:
    made = several_json(found, compared(found, catalogue()))

    assert [one["id"] for one in made["blocks"]] == [one["block"] for one in made["comparison"]["blocks"]]
    assert sum(one["points"] for one in made["comparison"]["blocks"][1]["reasons"]) == found.variants[1].more


def test_the_page_stands_alone(found: Several) -> None:
    page = compared_page(compared(found, catalogue()), ["index.html", "block-2/index.html"])

    assert page.startswith("<!doctype html>")
    assert "http" not in page.replace("http-equiv", "")
