"""The page on publishing, tried as a coach would: its commands run as they stand, its placeholders are the program's."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "publish"))
from made_block import PERSON, made_block

from setwright.cli.main import run
from setwright.plan.kept import KINDS
from setwright.publish.block_file import block_to_json
from setwright.publish.talk_outline import USUAL_MINUTES, WORDS_A_MINUTE
from setwright.services.demo import unpack

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "publishing.md").read_text(encoding="utf-8")
COMMANDS = re.findall(r"^setwright (.*)$", PAGE, re.MULTILINE)


def write_folder(folder: Path) -> None:
    """What the page presumes: blocks of Anna, Bela and Cleo, trainee files of Bela and Cleo, three places."""
    from dataclasses import replace

    from setwright.plan.identity import with_id

    data = unpack(folder / "demo")
    for name in ("anna", "bela", "cleo"):
        block = made_block()
        person = replace(PERSON, id=name, name=f"{name.capitalize()} Invented")
        made = with_id(replace(block, trainee=name, inputs=replace(block.inputs, trainee=person)))
        (folder / name).mkdir()
        (folder / name / "block.json").write_bytes(block_to_json(made))
    for name, place in (("gym", "station"), ("garage", "garage"), ("hotel", "hotel")):
        (folder / f"{name}.toml").write_bytes((data / "places" / f"{place}.toml").read_bytes())
    (folder / "bela.toml").write_bytes((data / "people" / "dunja.toml").read_bytes())
    (folder / "cleo.toml").write_bytes((data / "people" / "marit.toml").read_bytes())
    (folder / "station.toml").write_bytes((data / "places" / "station.toml").read_bytes())


@pytest.mark.long
def test_every_command_of_the_page_runs_in_its_order(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    write_folder(tmp_path)
    monkeypatch.chdir(tmp_path)

    assert len(COMMANDS) >= 5
    for one in COMMANDS:
        words = one.split()
        assert run(words) == 0, (one, capsys.readouterr().err)
    for name in (
        "public/public.html",
        "public/public.pdf",
        "public/public.txt",
        "kept/legs.txt",
        "bela-legs/block.json",
        "legs/table.pdf",
    ):
        assert (tmp_path / name).is_file()
    assert (tmp_path / "monday" / "group.pdf").is_file()
    text = (tmp_path / "public" / "public.txt").read_text(encoding="utf-8")
    assert "THE TALK, IN 30 MINUTES" in text and "Anna" not in text


def test_the_page_names_the_placeholders_and_figures_of_the_program() -> None:
    assert set(re.findall(r"\{(\w+)", PAGE)) == set(KINDS)
    assert f"{USUAL_MINUTES} where you don't" in PAGE and f"{WORDS_A_MINUTE} words a minute" in PAGE
