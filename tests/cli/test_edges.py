"""What a hurried coach does to the command line: nothing filled in is lost, every fault is one clear sentence."""

from __future__ import annotations

import json
import socket
from datetime import date
from pathlib import Path

import pytest
from made_block import made_block

from setwright.cli.main import VERBS, run
from setwright.plan.block import Block
from setwright.plan.block_days import session_date
from setwright.publish.block_file import block_to_json
from setwright.services.gather import load_person, on_whole_week
from setwright.services.publishing import publish_block
from setwright.services.templates import template_text


@pytest.fixture
def block_file(tmp_path: Path) -> str:
    path = tmp_path / "block.json"
    path.write_bytes(block_to_json(made_block()))
    return str(path)


def words(capsys: pytest.CaptureFixture[str]) -> str:
    captured = capsys.readouterr()
    return " ".join((captured.out + captured.err).split())


def publish_logs(block: Block, folder: Path) -> list[str]:
    said: list[str] = []
    publish_block(block, folder, formats=("csv", "json"), say=said.append)
    return said


def test_a_filled_in_log_is_never_overwritten(tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert publish_logs(made_block(), out) == []
    log = out / "logs" / "week-01.csv"
    blank = log.read_bytes()
    log.write_bytes(blank.replace(b"\n", b"\r\n") + b"2026-09-07,1,mon\r\n")
    filled = log.read_bytes()

    said = publish_logs(made_block(), out)

    assert log.read_bytes() == filled
    assert (out / "logs" / "week-01-2.csv").read_bytes() == blank
    assert len(said) == 1 and "week-01.csv is kept as it is" in said[0]
    publish_logs(made_block(), out)
    assert not (out / "logs" / "week-01-3.csv").exists(), "a blank log that is there is used again"


def test_a_blank_log_follows_a_new_plan(tmp_path: Path) -> None:
    from dataclasses import replace

    block = made_block()
    later = replace(block, inputs=replace(block.inputs, brief=replace(block.inputs.brief, start=date(2026, 10, 5))))
    publish_logs(block, tmp_path)

    assert publish_logs(later, tmp_path) == []
    assert b"2026-10-05" in (tmp_path / "logs" / "week-01.csv").read_bytes()
    assert sorted(one.name for one in (tmp_path / "logs").iterdir()) == [f"week-0{n}.csv" for n in (1, 2, 3, 4)]


@pytest.mark.parametrize("verb", ["publish", "restrict"])
def test_a_file_in_place_of_the_folder_is_one_clear_fault(
    verb: str, block_file: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    taken = tmp_path / "file.txt"
    taken.write_text("mine")
    more = ["--restriction", "elbow"] if verb == "restrict" else []

    assert run([verb, block_file, *more, "--out", str(taken)]) == 2

    assert "found a file; allowed: a folder to write into" in words(capsys)
    assert taken.read_text() == "mine"


def test_a_folder_that_cannot_be_made_is_one_clear_fault(block_file: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["publish", block_file, "--out", "/proc/x"]) == 2
    assert "/proc/x: found a folder that can't be made" in words(capsys)


@pytest.mark.parametrize("port", ["99999", "0", "-1"])
def test_a_port_that_is_none_is_refused(port: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "index.html").write_text("<p>here</p>")
    assert run(["serve", str(tmp_path), "--port", port]) == 2
    assert f"--port: found {port}; allowed: a whole number from 1 to 65535" in words(capsys)


def test_a_port_in_use_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "index.html").write_text("<p>here</p>")
    with socket.socket() as busy:
        busy.bind(("127.0.0.1", 0))
        busy.listen()
        port = busy.getsockname()[1]

        assert run(["serve", str(tmp_path), "--port", str(port)]) == 2

    assert f"--port: found {port}, which is in use; allowed: a free port" in words(capsys)


def with_two_places(tmp_path: Path) -> Path:
    """The template trainee at station, and two other places."""
    (tmp_path / "anna.toml").write_text(template_text("trainee"))
    (tmp_path / "brief.toml").write_text(template_text("brief"))
    station = template_text("place")
    (tmp_path / "station.toml").write_text(station)
    (tmp_path / "other.toml").write_text(station.replace('name = "', 'name = "Other ', 1))
    (tmp_path / "hotel.toml").write_text('id = "hotel"\nname = "Hotel"\n[fixtures]\nbench = 1\n')
    return tmp_path / "anna.toml"


def test_a_place_that_is_given_wins_over_the_one_beside_the_trainee(tmp_path: Path) -> None:
    anna = with_two_places(tmp_path)

    person = load_person(anna, [tmp_path / "other.toml"])

    assert [place.name.startswith("Other ") for place in person.places] == [True]


def test_a_place_that_is_given_wins_over_the_one_in_the_trainee_file(tmp_path: Path) -> None:
    anna = with_two_places(tmp_path)
    anna.write_text(anna.read_text() + '\n[[place]]\nid = "station"\nname = "Inline"\n[place.fixtures]\nbench = 1\n')
    said: list[str] = []

    assert [place.name for place in load_person(anna).places] == ["Inline"]
    person = load_person(anna, [tmp_path / "other.toml"], say=said.append)

    assert person.places[0].name.startswith("Other ")
    assert "station" in said[0] and "is used" in said[0]


def test_a_place_that_no_day_names_takes_every_day(tmp_path: Path) -> None:
    anna = with_two_places(tmp_path)
    said: list[str] = []

    person = load_person(anna, [tmp_path / "hotel.toml"], say=said.append)

    assert {day.place for day in person.trainee.days} == {"hotel"}
    assert [place.id for place in person.places] == ["hotel"]
    assert said == [f"Every day is planned for hotel, as --place says, not for station of {anna}."]


def test_one_of_several_places_that_no_day_names_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    anna = with_two_places(tmp_path)
    places = ["--place", str(tmp_path / "hotel.toml"), "--place", str(tmp_path / "other.toml")]

    assert run(["design", str(anna), str(tmp_path / "brief.toml"), *places]) == 2

    assert "--place: id: found 'hotel'; allowed: places that a day of the trainee names: station" in words(capsys)


def test_no_session_is_dated_before_the_start(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The template trains on Monday and Thursday: a start on a Thursday moves to the Monday after."""
    anna = with_two_places(tmp_path)
    (tmp_path / "text.txt").write_text("Monday\ndeadlift 3 x 5\n\nThursday\ndead bug 2 x 8\n")

    assert run(["write", str(anna), str(tmp_path / "text.txt"), "--start", "2026-09-10", "--json"]) == 0

    captured = capsys.readouterr()
    assert "week 1 begins on Monday 2026-09-14" in " ".join(captured.err.split())
    assert json.loads(captured.out)["inputs"]["brief"]["start"] == "2026-09-14"


@pytest.mark.parametrize(
    ("start", "days", "expected"),
    [
        (date(2026, 9, 7), ("mon", "thu"), date(2026, 9, 7)),
        (date(2026, 9, 10), ("mon", "thu"), date(2026, 9, 14)),
        (date(2026, 9, 10), ("thu", "sat"), date(2026, 9, 10)),
        (date(2026, 9, 13), ("wed",), date(2026, 9, 14)),
    ],
)
def test_a_start_in_mid_week_waits_where_a_day_is_over(start: date, days: tuple[str, ...], expected: date) -> None:
    """Referee: the calendar of 2026 (7 September is a Monday), common knowledge."""
    from dataclasses import replace

    block = made_block()
    begin = on_whole_week(start, days)
    moved = replace(block, inputs=replace(block.inputs, brief=replace(block.inputs.brief, start=begin)))

    assert begin == expected
    assert all(session_date(moved, 1, day) >= start for day in days)


def test_a_misspelt_name_is_found_by_likeness(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["catalogue", "--find", "hip thurst"]) == 0
    captured = capsys.readouterr()
    assert "hip_thrust" in captured.out and "Nothing is called 'hip thurst'" in captured.err


def test_what_is_like_nothing_finds_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["catalogue", "--find", "zzqqy", "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == []


@pytest.mark.parametrize(
    ("arguments", "pieces"),
    [
        (["catalogue", "--with", "dumbell"], ["--with: found 'dumbell'", "Nearest: dumbbell"]),
        (["alternatives", "back_squat", "--have", "dumbell"], ["--have: found 'dumbell'", "dumbbell"]),
        (["alternatives", "back_squat", "-n", "-5"], ["-n: found -5; allowed: a whole number from 1"]),
        (["alternatives", "back_squat", "-n", "0"], ["-n: found 0"]),
        (["alternatives", "back_squat", "--part", "foo"], ["--part: found 'foo'; allowed: assistance,", "main"]),
        (["catalogue", "--part", "foo"], ["--part: found 'foo'; allowed: assistance,"]),
        (["catalogue", "--muscle", "hamstrngs"], ["allowed: hamstrings,", "and 41 more"]),
        (["desing"], ["Did you mean design?", f"and {len(VERBS) - 5} more"]),
    ],
)
def test_a_wrong_word_is_answered_with_the_nearest(
    arguments: list[str], pieces: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(arguments) == 2

    error = capsys.readouterr().err
    assert max(len(line) for line in error.splitlines()) <= 80
    for piece in pieces:
        assert piece in " ".join(error.split())


def test_stand_ins_can_be_asked_for_one_part(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["alternatives", "back_squat", "--part", "main", "-n", "3", "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)

    assert len(rows) == 3
    assert run(["catalogue", "--part", "main", "--json"]) == 0
    mains = {row["exercise"] for row in json.loads(capsys.readouterr().out)}
    assert {row["exercise"] for row in rows} <= mains


def test_an_entry_taken_out_is_one_difference() -> None:
    from dataclasses import replace

    from setwright.services.comparing import compare_blocks

    block = made_block()
    week, session = block.weeks[0], block.weeks[0].sessions[0]
    at = next(number for number, part in enumerate(session.parts) if len(part.entries) > 2)
    part = session.parts[at]
    parts = [*session.parts[:at], replace(part, entries=part.entries[1:]), *session.parts[at + 1 :]]
    shorter = replace(week, sessions=(replace(session, parts=tuple(parts)), *week.sessions[1:]))

    (row,) = compare_blocks(block, replace(block, weeks=(shorter, *block.weeks[1:])))

    assert row["to"] == "-" and compare_blocks(block, block) == []
