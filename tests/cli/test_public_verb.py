"""``publish --public``: its files, its faults, and that nothing is half-written."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from setwright.cli.main import run
from setwright.services.deeds import design
from setwright.services.demo import unpack


@pytest.fixture(scope="module")
def station(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The invented files, with the block of Tarek, whose finger closes every hang."""
    from setwright.publish.block_file import block_to_json

    data = unpack(tmp_path_factory.mktemp("public"))
    block = design(data / "people" / "tarek.toml", data / "briefs" / "tarek.toml")
    (data / "block.json").write_bytes(block_to_json(block))
    return data


def ask(station: Path, *more: str) -> int:
    return run(["publish", str(station / "block.json"), "--public", *more])


def test_the_files_are_listed_and_there(station: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    places = [part for one in ("garage", "hotel") for part in ("--place", str(station / "places" / f"{one}.toml"))]

    assert ask(station, *places, "--week", "1", "--out", str(tmp_path), "--json") == 0

    told = json.loads(capsys.readouterr().out)
    assert told["files"] == ["public.html", "public.pdf", "public.txt"] == sorted(p.name for p in tmp_path.iterdir())
    text = (tmp_path / "public.txt").read_text(encoding="utf-8")
    assert "Garage with a bar" in text and "Hotel room with bands" in text and "THE TALK, IN 20 MINUTES" in text
    assert "Tarek" not in text and "finger" not in text.split("IN EACH PLACE")[0].split("Instead")[0]
    assert max(len(line) for line in text.splitlines()) <= 80


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        (("--title", "Tarek's legs"), "the trainee's name"),
        (("--talk", "2"), "minutes or more here"),
        (("--talk", "0"), "1 to 180 minutes"),
        (("--day", "someday"), "mon, tue"),
        (("--day", "sun"), "a training day of the block"),
        (("--week", "40"), "a week of the block"),
        (("--place", "nowhere.toml"), "nowhere.toml"),
        (("--format", "ics"), "html, pdf, txt"),
    ],
)
def test_what_can_not_be_is_one_clear_fault_and_nothing_is_written(
    station: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], asked: tuple[str, ...], says: str
) -> None:
    out = tmp_path / "out"

    assert ask(station, *asked, "--out", str(out)) == 2
    assert says in " ".join(capsys.readouterr().err.split())
    assert not out.exists()


def test_options_of_the_public_edition_need_it(station: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["publish", str(station / "block.json"), "--talk", "20"]) == 2
    assert "--talk needs --public" in capsys.readouterr().err
