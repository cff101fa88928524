"""The verb range, and what check says of range measures."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema_rs
import pytest

from setwright.body.range_of_motion import range_tests
from setwright.cli.main import run
from setwright.publish.schemas import range_schema
from setwright.services.templates import template_text

PLACE = """id = "station"
name = "Invented room"
invented = true
[[dumbbells]]
mass_kg = 4
pairs = 1
[[bars]]
kind = "barbell"
mass_kg = 20
[[plates]]
mass_kg = 10
pairs = 2
[fixtures]
rack = 1
"""


def measure(day: str, name: str, value: float, side: str = "left", more: str = "") -> str:
    return f'[[range_measures]]\ndate = {day}\nmeasure = "{name}"\nvalue = {value}\nside = "{side}"\n{more}\n'


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "station.toml").write_text(PLACE, encoding="utf-8")
    return tmp_path


def person(folder: Path, *rows: str) -> str:
    text = template_text("trainee")
    head, _, tail = text.partition("[[range_measures]]")
    steps = tail[tail.index("[[steps]]") :]
    (folder / "anna.toml").write_text(head + "".join(rows) + steps, encoding="utf-8")
    return str(folder / "anna.toml")


def said(capsys: pytest.CaptureFixture[str]) -> str:
    captured = capsys.readouterr()
    return " ".join((captured.out + captured.err).split())


def test_the_person_of_the_template_is_read(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (folder / "anna.toml").write_text(template_text("trainee"), encoding="utf-8")

    assert run(["range", str(folder / "anna.toml")]) == 0
    text = said(capsys)
    assert "9 cm on 28 August 2026" in text and "a change counts from 1.9" in text and "no diagnosis" in text


def test_a_change_its_error_what_it_limits_and_what_trains_it(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """By hand: 8 of 6.65 degrees is a change, 4 is not; 58 + 3.9 + 15 + 2.5 = 79, so the hinge goes to 75."""
    anna = person(
        folder,
        measure("2026-05-01", "straight-leg-raise", 52),
        measure("2026-08-20", "SLR", 60),
        measure("2026-05-01", "straight-leg-raise", 54, "right"),
        measure("2026-08-20", "straight-leg-raise", 58, "right"),
    )

    assert run(["range", anna]) == 0
    text = said(capsys)
    assert "8 more. More range: beyond the measuring error of 6.7" in text
    assert "4 more. Not told apart from measuring error, 6.7 here" in text
    assert "less deep: " in text and "to 75 degrees of the hip" in text
    assert "trains it: " in text and "Neto et al. 2015" in text


def test_the_same_as_json(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    anna = person(
        folder,
        measure("2026-05-01", "knee-to-wall", 4),
        measure("2026-08-20", "knee-to-wall", 3),
        measure("2026-08-20", "shoulder-flexion", 110, "both"),
    )

    assert run(["range", anna, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    jsonschema_rs.validator_for(range_schema()).validate(found)
    wall = found["tests"][0]
    assert (wall["test"], wall["unit"], wall["verdict"], wall["change"]) == (
        "knee-to-wall", "cm", "not told apart", -1.0
    )  # fmt: skip
    assert 0 < wall["probability_of_more_range"] < 0.5 and wall["how_had"] == "seen"
    assert {row["motion"] for row in found["reached"]} == {"ankle-dorsiflexion", "shoulder-elevation"}
    assert {row["default"] for row in found["limits"]} >= {"left out"}
    assert all({"exercise", "motion", "asked_deg", "dials", "why"} <= set(row) for row in found["limits"])


def test_a_day_in_the_past_leaves_later_measures_out(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    anna = person(folder, measure("2026-05-01", "straight-leg-raise", 52), measure("2026-08-20", "SLR", 60))

    assert run(["range", anna, "--on", "2026-06-01", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["tests"][0]["verdict"] == "one occasion"


def test_who_measured_nothing_is_told_how(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    anna = person(folder)

    assert run(["range", anna]) == 0
    assert "[[range_measures]]" in said(capsys)
    assert run(["range", anna, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["as_of"] is None


def test_a_straddle_asks_for_repeats_until_they_tell_its_error(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    rows = [measure("2026-05-01", "straddle", 90, "both"), measure("2026-08-20", "straddle", 100, "both")]
    assert run(["range", person(folder, *rows)]) == 0
    assert "No published error: 3 more repeats within a week give your own." in said(capsys)

    more = [measure("2026-08-21", "straddle", value, "both") for value in (101, 99, 100)]
    assert run(["range", person(folder, *rows, *more)]) == 0
    text = said(capsys)
    assert "More range" in text and "3 repeats of your own" in text


def test_the_unit_of_a_known_test_is_fixed(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    anna = person(folder, measure("2026-05-01", "knee-to-wall", 40, more='unit = "deg"'))

    assert run(["check", anna]) == 2
    text = said(capsys)
    assert "range_measures[1].unit" in text and "cm" in text and "knee-to-wall-angle" in text


def test_an_own_measure_is_taken_and_the_nearest_test_named(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    anna = person(folder, measure("2026-05-01", "knee-to-wal", 9, more='unit = "cm"'))

    assert run(["check", anna]) == 0
    text = said(capsys)
    assert "taken as your own" in text and "Nearest: knee-to-wall" in text


def test_the_template_names_every_test() -> None:
    text = template_text("trainee")

    assert range_tests() and all(slug in text for slug in range_tests())


def test_a_goal_may_be_a_range_test(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = Path(person(folder))
    goal = '[[goals]]\nkind = "range"\nabout = "{}"\n\n[[steps]]'
    text = path.read_text()
    path.write_text(text.replace("[[steps]]", goal.format("knee to wall")))
    assert run(["check", str(path)]) == 0
    path.write_text(text.replace("[[steps]]", goal.format("nonsense")))
    assert run(["check", str(path)]) == 2
    assert "range test" in said(capsys)
