"""Files as they come from spreadsheets and full desks: other encodings, files of the wrong kind, rows pasted twice."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from setwright.cli.main import run
from setwright.services.deeds import check_file
from setwright.services.gather import load_log
from setwright.services.templates import template_text

HEADER = "date,week,session,exercise,set,load_kg,reps,rir,note\n"
ROW = "2026-09-07,1,mon,deadlift,1,60,5,2,Zoë was here\n"


def test_a_log_in_utf_16_is_read(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_bytes((HEADER + ROW).encode("utf-16"))

    (found,) = load_log(path).sets
    assert (found.reps, found.note) == (5, "Zoë was here")


def test_utf_16_without_its_mark_is_named(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_bytes((HEADER + ROW).encode("utf-16-le"))

    (fault,) = check_file(path).faults
    assert "found UTF-16" in fault.sentence() and "Save as, CSV UTF-8" in fault.hint


def test_a_latin_1_fault_names_the_row(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_bytes((HEADER + ROW.replace("Zoë", "Ann") + ROW).encode("latin-1"))

    (fault,) = check_file(path).faults
    assert fault.path == "row 3" and "a byte that is no UTF-8" in fault.found


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["design", "person.toml", "person.toml"], "This is a trainee file, a brief was expected"),
        (["design", "brief.toml", "brief.toml"], "This is a brief file, a trainee file was expected"),
        (["design", "person.toml", "brief.toml", "--place", "brief.toml"], "a place file was expected"),
        (["publish", "brief.toml"], "This is a brief file, a block was expected"),
        (["review", "block.json", "brief.toml"], "a block was expected"),
        (["estimate", "person.toml", "brief.toml"], "This is a brief file, a log was expected"),
        (["write", "person.toml", "brief.toml"], "This is a brief file, a written block was expected"),
    ],
)
def test_a_file_of_the_wrong_kind_is_named_in_one_sentence(
    arguments: list[str], sentence: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "person.toml").write_text(template_text("trainee"))
    (tmp_path / "brief.toml").write_text(template_text("brief"))
    (tmp_path / "station.toml").write_text(template_text("place"))
    (tmp_path / "block.json").write_text("[]")
    paths = [str(tmp_path / one) if "." in one else one for one in arguments]

    assert run(paths) == 2

    error = " ".join(capsys.readouterr().err.split())
    if arguments[0] == "review":
        assert "allowed: 'setwright/block/1'" in error
    else:
        assert sentence in error and error.count("; allowed: ") == 1


def test_rows_pasted_twice_are_warned_of_and_count_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "log.csv"
    other = ROW.replace(",1,60", ",2,60")
    path.write_text(HEADER + ROW + other + ROW)

    assert run(["check", str(path)]) == 0

    shown = " ".join(capsys.readouterr().out.split())
    assert "in order" in shown and "row 4 is the same as row 2 and counts once" in shown
    assert len(load_log(path).sets) == 2


def test_a_second_set_alike_in_all_but_its_number_is_a_set(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_text(HEADER + ROW + ROW.replace(",1,60", ",2,60"))

    assert check_file(path).warnings == ()
    assert len(load_log(path).sets) == 2


def test_a_long_list_of_allowed_words_is_cut_to_the_nearest(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = template_text("brief").replace("deload_every", "deload_evry", 1)
    path = tmp_path / "brief.toml"
    path.write_text(text)

    assert run(["check", str(path)]) == 2

    lines = capsys.readouterr().out.splitlines()
    shown = " ".join(" ".join(lines).split())
    assert re.search(r"allowed: deload_every, [a-z_, ]+ and \d\d more\. Did you mean deload_every\?", shown)
    assert max(len(line) for line in lines if str(tmp_path) not in line) <= 80


@pytest.mark.parametrize("arguments", [["check"], ["log", "anna"], ["design"]])
def test_a_folder_in_place_of_a_file_is_one_clear_fault(
    arguments: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    more = [str(tmp_path)] if arguments == ["design"] else []
    assert run([*arguments, str(tmp_path), *more]) == 2
    captured = capsys.readouterr()
    shown = " ".join((captured.out + captured.err).split())
    assert shown.count("found ") == 1 and "found a folder; allowed: a file." in shown


def test_a_big_file_is_one_clear_fault(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_bytes(b"x" * 5_000_001)
    with pytest.raises(ValueError, match=r"^.*log.csv: found 5\.0 MB; allowed: a file of at most 5 MB\.$"):
        load_log(path)
