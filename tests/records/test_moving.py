"""One trainee's whole data as files, and into other records again; what is derived, counted anew."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from contextlib import closing
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest
from installation import Installation

from setwright.publish.own_data_schema import own_data_schema

MORE = """
import uuid
from setwright.records.data_base import keep_rows
row = models.Trainee.objects.get(slug="ode")
row.notes.create(id=uuid.uuid4(), day="2026-11-23", text="knees ache", is_from_coach=False, needs_coach=True)
rows = [{"row": f"k{n}", "date": "2026-11-23", "session": "mon", "exercise": "back_squat", "set": n, "load_kg": 60.0,
         "load_means": "total", "reps": 5, "rir": 2.0} for n in (1, 2)]
keep_rows(row, rows, "2026-11-23T18:00:00+00:00", None, "b:1")
keep_rows(row, [{**rows[0], "row": "k3", "reps": 4, "corrects": "k1"}], "2026-11-23T18:05:00+00:00")
models.Decision.objects.create(trainee=row, block=row.revisions.get().block, verdict="declined", changes=[],
                               reason="not now", at="2026-11-24T00:00:00+00:00")
"""
FIRST_COACH = """
from setwright.services.desk.practice import found_practice
found_practice("Second hall", "Solvej", "solvej", "a long word for nobody 7")
found_practice("Third hall", "Tjark", "tjark", "a long word for nobody 7")
"""


@pytest.fixture(scope="module")
def full_hall(model_hall: Installation, tmp_path_factory: pytest.TempPathFactory) -> Installation:
    """The invented practice with a log, a correction, a note and a decision of Ode. Tests only read it."""
    hall = model_hall.copy(tmp_path_factory.mktemp("full") / "data")
    hall.python(MORE)
    return hall


@pytest.fixture(scope="module")
def export(full_hall: Installation, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The export of Ode."""
    file = tmp_path_factory.mktemp("export") / "ode.zip"
    told = full_hall.setwright("export", "ode", "--out", file)
    assert told.returncode == 0, told.stderr
    return file


@pytest.fixture(scope="module")
def model_second(model_without_people: Installation, tmp_path_factory: pytest.TempPathFactory) -> Installation:
    """An installation of another practice, with a coach and nobody to train; made once, tests work on copies."""
    made = model_without_people.copy(tmp_path_factory.mktemp("model-second") / "data")
    made.python(FIRST_COACH)
    return made


@pytest.fixture
def second(model_second: Installation, tmp_path: Path) -> Installation:
    """The installation of another practice, of the test's own."""
    return model_second.copy(tmp_path / "second")


def everything(file: Path) -> Any:
    """The JSON of an export."""
    with zipfile.ZipFile(file) as archive:
        return json.loads(archive.read("everything.json"))


def test_an_export_is_of_its_published_schema_and_a_table(export: Path) -> None:
    """Referee: JSON Schema 2020-12, by jsonschema-rs."""
    value = everything(export)
    with zipfile.ZipFile(export) as archive:
        table = list(csv.DictReader(io.StringIO(archive.read("log.csv").decode("utf-8-sig"))))

    jsonschema_rs.Draft202012Validator(own_data_schema()).validate(value)
    assert len(value["log"]) == 3 and len(value["notes"]) == 1 and len(value["decisions"]) == 2
    assert sorted(int(one["reps"]) for one in table) == [4, 5], "the row that was corrected is not in the table"


def test_a_trainee_moves_to_another_practice_with_all_that_was_kept(
    export: Path, second: Installation, tmp_path: Path
) -> None:
    told = second.setwright("import", export, "--json", practice="Second hall")
    again = second.setwright("import", export, "--json", practice="Second hall")
    second.setwright("export", "ode", "--out", tmp_path / "again.zip", practice="Second hall")

    assert told.returncode == 0, told.stderr
    assert json.loads(told.stdout)["new"]["log rows"] == 3
    assert set(json.loads(again.stdout)["new"].values()) == {0}
    before, after = everything(export), everything(tmp_path / "again.zip")
    for moved in (before, after):
        assert moved.pop("practice") and moved.pop("deeds")
        moved.pop("asked"), moved.pop("links")
    assert after == before and before["log"]


def test_records_in_files_move_into_the_data_base_with_an_intake(
    export: Path, second: Installation, tmp_path: Path
) -> None:
    files = Installation(tmp_path / "files", "")
    assert files.setwright("import", export).returncode == 0
    with zipfile.ZipFile(export) as archive:
        (tmp_path / "ode.toml").write_bytes(archive.read("documents/trainee-001.toml"))
    intake = tmp_path / "ode.toml"

    alone = second.setwright("import", files.folder, practice="Second hall")
    told = second.setwright("import", files.folder, intake, "--json", practice="Second hall")

    assert alone.returncode == 2 and "without an intake" in alone.stderr
    new = json.loads(told.stdout)["new"]
    assert (new["log rows"], new["blocks"], new["decisions"]) == (3, 1, 2), told.stderr
    assert "3 log rows kept" not in second.setwright("history", "ode", practice="Third hall").stdout


def test_a_fault_in_one_source_keeps_nothing_of_the_others(second: Installation, export: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(export) as archive:
        intake = archive.read("documents/trainee-001.toml").decode()
    (tmp_path / "wrong.toml").write_text(
        intake.replace("birth_year = 1990", "birth_year = 90").replace('"ode"', '"odo"')
    )
    before = second.rows()

    told = second.setwright("import", export, tmp_path / "wrong.toml", practice="Second hall")

    assert told.returncode == 2
    assert "wrong.toml: birth_year" in told.stderr.replace("\n  ", " ")
    assert second.rows() == before


def spoiled(export: Path, folder: Path) -> dict[str, tuple[Path, str]]:
    """Exports that are wrong, each with what has to be said of it."""
    value = everything(export)
    wrong: dict[str, tuple[Any, str]] = {
        "another format": ({**value, "format": "else/1"}, "format: found 'else/1'"),
        "a list": ([], "format: found a list"),
        "no log": ({key: one for key, one in value.items() if key != "log"}, "log: found nothing; allowed: a list"),
        "a row": ({**value, "log": [{**value["log"][0], "reps": "many"}]}, "reps"),
        "a block": ({**value, "blocks": [{"id": "x"}]}, "blocks"),
        "a decision": ({**value, "decisions": [{"block": "x"}]}, "decisions[1].verdict: found nothing"),
        "a key": ({**value, "kept": {**value["kept"], "rows": []}}, "kept.rows: found no row"),
    }
    files = {}
    for name, (content, said) in wrong.items():
        path = folder / f"{name.replace(' ', '-')}.json"
        path.write_text(json.dumps(content))
        files[name] = (path, said)
    (folder / "cut.zip").write_bytes(export.read_bytes()[:500])
    files["a cut file"] = (folder / "cut.zip", "can't be read")
    return files


NAMES = ("another format", "a list", "no log", "a row", "a block", "a decision", "a key", "a cut file")


@pytest.mark.parametrize("name", NAMES)
def test_a_wrong_export_is_refused_by_file_and_field(
    name: str, export: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from setwright.cli.main import run

    path, said = spoiled(export, tmp_path)[name]

    code = run(["import", str(path), "--records", str(tmp_path / "kept")])

    told = capsys.readouterr().err.replace("\n  ", " ")
    assert code == 2
    assert path.name in told and said in told and "Traceback" not in told


def derived(hall: Installation) -> list[Any]:
    """Overviews and planned days as they stand, without the time of counting and without numbers of rows."""
    with closing(hall.connect()) as connection:
        cursor = connection.cursor()
        cursor.execute(
            "select trainee_id, block, last_logged, waiting, weight, findings from records_overview order by 1"
        )
        found = list(cursor.fetchall())
        cursor.execute("select trainee_id, date, week, day, title, minutes from records_plannedday order by 1, 2")
        return [*found, *cursor.fetchall()]


def test_what_is_derived_is_counted_anew_and_comes_out_the_same(hall: Installation) -> None:
    """What stands derived is thrown away; log and decisions give it back."""
    hall.python(MORE + "from setwright.services.desk.overview import count_anew\ncount_anew(row)")
    before = derived(hall)

    first = json.loads(hall.setwright("rebuild", "--json").stdout)
    same = derived(hall)
    with closing(hall.connect()) as connection:
        for table in ("records_overview", "records_plannedday"):
            connection.cursor().execute(f"delete from {table} where trainee_id in ({ODE})")
        connection.commit()
    lost = derived(hall)
    again = json.loads(hall.setwright("rebuild", "--json").stdout)

    assert (first["trainees"], first["changed"], again["changed"]) == (1, [], ["ode"])
    assert len(lost) == 3 and len(before) == 6, "an overview and two planned days of each of two trainees"
    assert derived(hall) == same == before


ODE = "select id from records_trainee where slug = 'ode'"


def test_a_damaged_line_of_records_in_files_is_named(tmp_path: Path) -> None:
    files = Installation(tmp_path, "")
    (tmp_path / "events.jsonl").write_text("00000000 {}\n")

    told = files.setwright("rebuild")

    assert told.returncode == 2 and "events.jsonl line 1" in told.stderr


def test_an_unknown_person_or_coach_is_a_sentence(hall: Installation, export: Path) -> None:
    unknown, erased = hall.setwright("export", "odd"), hall.setwright("erase", "odd", "--yes")
    coach = hall.setwright("import", export, "--coach", "nobody")

    assert unknown.returncode == erased.returncode == coach.returncode == 2
    assert "no trainee 'odd'" in unknown.stderr and "no trainee 'odd'" in erased.stderr
    assert "--coach: found 'nobody'" in coach.stderr and "berit" in coach.stderr
