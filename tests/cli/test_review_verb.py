"""review, adapt and compare from the command line: the files they write, and what stays on standard output."""

from __future__ import annotations

import html
import json
import re
import shlex
from datetime import timedelta
from pathlib import Path

import pytest
from made_block import START
from review_case import reviewed

from setwright.cli.common import deciding_of
from setwright.cli.main import run
from setwright.publish.block_file import block_to_json
from setwright.publish.changes_report import Deciding
from setwright.publish.csv_file import log_csv
from setwright.publish.sheet import pages_of
from setwright.services.sealed_charts import sealed
from setwright.strength.logged import Log


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, str]:
    folder = tmp_path_factory.mktemp("case")
    (folder / "block.json").write_bytes(block_to_json(reviewed().block))
    (folder / "log.csv").write_bytes(log_csv(reviewed().log))
    end = START + timedelta(days=14)
    early = Log(
        *(tuple(one for one in rows if one.date < end) for rows in (reviewed().log.sets, reviewed().log.sessions))
    )
    (folder / "early.csv").write_bytes(log_csv(early))
    return str(folder / "block.json"), str(folder / "log.csv")


def test_review_writes_page_sheet_numbers_and_charts(
    files: tuple[str, str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["review", *files, "--out", str(tmp_path), "--paper", "us-letter", "--json"]) == 0

    told = capsys.readouterr()
    assert json.loads(told.out) == json.loads((tmp_path / "review.json").read_text(encoding="utf-8"))
    assert "review.html" in told.err
    assert pages_of((tmp_path / "review.pdf").read_bytes()) == 1
    charts = sorted(one.stem for one in (tmp_path / "charts").glob("*.svg"))
    page = (tmp_path / "review.html").read_text(encoding="utf-8")
    assert "pain-knee" in charts and page.count("<figure") == len(charts)


def test_a_later_review_takes_away_its_own_old_charts_and_nothing_else(files: tuple[str, str], tmp_path: Path) -> None:
    """What a coach altered, renamed or put there stays, byte for byte."""
    charts = tmp_path / "charts"
    assert run(["review", *files, "--out", str(tmp_path)]) == 0
    old = {one.name for one in charts.glob("*.svg")}
    drawn = (charts / "pain-knee.svg").read_bytes()
    (charts / "strength-gone.svg").write_bytes(sealed("strength-gone", "<svg>an earlier lift</svg>"))
    foreign = {"my-copy.svg": drawn, "notes.svg": b"<svg/>", "strength-was.svg": drawn.replace(b"svg", b"SVG", 1)}
    for name, data in foreign.items():
        (charts / name).write_bytes(data)

    assert run(["review", files[0], files[1].replace("log.csv", "early.csv"), "--out", str(tmp_path)]) == 0

    page = (tmp_path / "review.html").read_text(encoding="utf-8")
    left = {one.name for one in charts.glob("*.svg")} - set(foreign)
    assert "strength-gone.svg" not in left and left <= old and page.count("<figure") == len(left)
    assert {name: (charts / name).read_bytes() for name in foreign} == foreign


def test_a_file_in_the_way_of_the_folder_is_named(files: tuple[str, str], capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["review", *files, "--out", files[1]]) == 2
    assert "log.csv" in capsys.readouterr().err


def test_adapt_writes_changes_that_can_be_declined_as_typed(
    files: tuple[str, str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out, kept = tmp_path / "next", tmp_path / "kept"
    assert run(["log", "invented", files[1].replace("log.csv", "early.csv"), "--records", str(kept)]) == 0
    assert run(["adapt", files[0], "--out", str(out), "--records", str(kept)]) == 0
    capsys.readouterr()

    page = (out / "changes.html").read_text(encoding="utf-8")
    assert f"setwright accept {out / 'block.json'} --records {kept}" in page and files[0] in page
    numbers = [int(one) for one in re.findall(r"<h3[^>]*>(\d+)\.", page)]
    assert numbers == list(range(1, len(numbers) + 1))
    assert (out / "changes.pdf").read_bytes().startswith(b"%PDF")
    decline = re.findall(r"setwright (decline [^<]*)</code>", page)[0]
    assert run(shlex.split(html.unescape(decline))) == 0
    assert all((out / href).exists() for href in re.findall(r'href="([^"#:]+)"', page))


def test_a_block_that_is_overwritten_is_not_named_as_the_one_before(tmp_path: Path) -> None:
    block, records = tmp_path / "block.json", tmp_path / "kept"

    assert deciding_of(block, None, None) is None
    assert deciding_of(block, tmp_path / "next", records) == Deciding(
        str(tmp_path / "next" / "block.json"), str(block), str(records)
    )
    assert deciding_of(block, tmp_path, None) == Deciding(str(block))
