"""The page of formats: its commands run, its codes and units are those of the program."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest
from quick_block import quick_block

from setwright.cli.main import run
from setwright.people.clinic_codes import ANGLES_DEG, BODY_MASS, LENGTHS_CM, MASSES_KG, PAIN
from setwright.publish.block_file import block_to_json
from setwright.services.demo import unpack

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "exchange.md").read_text(encoding="utf-8")
COMMANDS = re.findall(r"^setwright (.*)$", PAGE, re.MULTILINE)


@pytest.fixture(scope="module")
def anna(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The files that the page names, of an invented person."""
    folder = tmp_path_factory.mktemp("page")
    data = unpack(folder / "data")
    (folder / "anna").mkdir()
    (folder / "anna" / "block.json").write_bytes(block_to_json(quick_block("joris")))
    (folder / "anna" / "log.csv").write_text(
        "date,week,session,exercise,set,load_kg,load_means,reps,rir,session_rpe,minutes\n"
        "2026-09-07,1,mon,back_squat,1,40,total,8,3,,\n2026-09-07,1,mon,,,,,,,6,55\n"
    )
    (folder / "away.ics").write_text(
        "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//Invented//EN\r\nBEGIN:VEVENT\r\nUID:1@invented.invalid\r\n"
        "DTSTAMP:20260901T000000Z\r\nDTSTART;VALUE=DATE:20260914\r\nDTEND;VALUE=DATE:20260921\r\nEND:VEVENT\r\n"
        "END:VCALENDAR\r\n"
    )
    (folder / "anna.toml").write_text((data / "people" / "tarek.toml").read_text())
    (folder / "places").mkdir()
    for place in (data / "places").glob("*.toml"):
        (folder / "places" / place.name).write_text(place.read_text())
    return folder


@pytest.mark.long
def test_every_command_of_the_page_runs(anna: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(anna)
    assert len(COMMANDS) >= 3

    for line in COMMANDS:
        assert run(shlex.split(line)) == 0, line
        made = anna / "for-the-clinic" / "clinic.json"
        if made.exists():
            (anna / "from-the-clinic.json").write_bytes(made.read_bytes())


def test_the_codes_and_units_of_the_page_are_those_of_the_program() -> None:
    assert set(re.findall(r"LOINC (\d+-\d)", PAGE)) == {BODY_MASS[0], PAIN[0]}
    read = PAGE.split("named in words")[1].split("\n")[0]
    units = {*MASSES_KG, *ANGLES_DEG, *LENGTHS_CM}
    assert set(read.rpartition(", in ")[2].rstrip(".").split(", ")) == units
