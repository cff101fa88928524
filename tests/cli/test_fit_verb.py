"""The verb fit from the command line, on the invented people of the demo."""

from __future__ import annotations

import json
import re
from pathlib import Path

import jsonschema_rs
import pytest

from setwright.cli.main import run
from setwright.publish.block_file import block_schema
from setwright.publish.fit_table import table_data
from setwright.publish.schemas import fit_schema
from setwright.publish.sheet import pages_of
from setwright.services.demo import unpack
from setwright.services.fitting import InProcesses, fit_many, fitting_files, fitting_of, load_master, load_tasks
from setwright.services.many import InThisProcess

WHO = ("marit", "joris", "selma", "dunja", "tarek")


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return unpack(tmp_path_factory.mktemp("demo"))


def master(data: Path) -> str:
    return str(data / "blocks" / "station_evening.txt")


def people(data: Path, *names: str) -> list[str]:
    return [str(data / "people" / f"{name}.toml") for name in names or WHO]


def ill(data: Path, folder: Path) -> str:
    """An invented person who answered signs and symptoms and has no clearance."""
    text = (data / "people" / "dunja.toml").read_text().replace('id = "dunja"', 'id = "waits"')
    path = folder / "waits.toml"
    path.write_text(text.replace("active_now = true", "active_now = true\nsigns_or_symptoms = true"))
    (folder / "places").mkdir(exist_ok=True)
    (folder / "places" / "station.toml").write_bytes((data / "places" / "station.toml").read_bytes())
    return str(path)


def test_the_group_gets_its_table_and_everybody_a_block(
    data: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code = run(["fit", master(data), *people(data), "--start", "2026-09-07", "--out", str(tmp_path / "group")])

    shown = capsys.readouterr()
    assert code == 0, shown.err
    assert all(len(line) <= 80 for line in shown.out.splitlines())
    assert "Joris Henkamp: knee flexion 0 to 60 degrees: left knee limitation" in " ".join(shown.out.split())
    assert "at Road" in shown.out and "Same for everybody who trains this day" in shown.out
    written = {str(one.relative_to(tmp_path / "group")) for one in (tmp_path / "group").rglob("*") if one.is_file()}
    assert written == {"index.html", "table.html", "table.pdf", "table.json", *(f"{who}/block.json" for who in WHO)}
    page = (tmp_path / "group" / "table.html").read_text()
    assert all(name in page for name in ("Marit Oldekop", "Tarek Lindqvist", "front squat, 4 x 5-6"))
    assert not re.search(r"<script|https?://", page)
    assert pages_of((tmp_path / "group" / "table.pdf").read_bytes()) >= 1


def test_what_was_written_can_be_published_changed_and_fitted_again(
    data: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "group"
    assert run(["fit", master(data), *people(data, "dunja", "joris"), "--start", "2026-09-07", "--out", str(out)]) == 0
    block = str(out / "dunja" / "block.json")

    assert run(["publish", block, "--out", str(tmp_path / "sheets"), "--format", "html"]) == 0
    assert run(["restrict", block, "--restriction", "my elbow is sore", "--from-week", "2"]) == 0
    assert run(["check", block]) == 0
    capsys.readouterr()
    assert run(["fit", block, *people(data, "dunja", "joris"), "--json"]) == 0
    again = json.loads(capsys.readouterr().out)
    assert {one["block"]["parent"] for one in again["fitted"]} == {json.loads(Path(block).read_text())["id"]}
    assert again["fitted"][0]["changes"] == []


def test_json_is_as_published(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["fit", master(data), *people(data, "marit", "selma"), "--start", "2026-09-07", "--json"]) == 0

    made = json.loads(capsys.readouterr().out)
    jsonschema_rs.validator_for(fit_schema()).validate(made)
    for one in made["fitted"]:
        jsonschema_rs.validator_for(block_schema()).validate(one["block"])
    row = made["table"]["sessions"][0]["rows"][0]
    assert row["exercise"] == "barbell front squat" and set(row["cells"]) == {"marit", "selma"}
    assert row["cells"]["selma"]["kind"] == "other exercise" and "at Road" in row["cells"]["selma"]["words"]
    loads = made["table"]["sessions"][0]["loads"][0]["of"]["marit"]["weeks"]
    assert len(loads) == 6 and all(re.search(r"\d kg$", one) for one in loads)


def test_who_lacks_clearance_is_named_and_the_others_are_written(
    data: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    files = [ill(data, tmp_path), *people(data, "marit")]

    code = run(["fit", master(data), *files, "--out", str(tmp_path / "group")])

    shown = capsys.readouterr()
    assert code == 3
    assert "Dunja Veltar: no block." in shown.err and "clinician" in shown.err
    assert (tmp_path / "group" / "marit" / "block.json").is_file()
    assert not (tmp_path / "group" / "waits").exists()


def test_where_nobody_can_be_fitted_nothing_is_written(data: Path, tmp_path: Path) -> None:
    assert run(["fit", master(data), ill(data, tmp_path), "--out", str(tmp_path / "group")]) == 3

    assert not (tmp_path / "group").exists()


def test_wrong_files_are_named_at_once_and_nothing_is_written(
    data: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    broken = tmp_path / "broken.toml"
    broken.write_text('id = "x"\nname = 3\n')
    files = [*people(data, "marit", "marit"), str(broken), str(data / "places" / "road.toml")]

    code = run(["fit", master(data), *files, "--out", str(tmp_path / "group")])

    shown = " ".join(capsys.readouterr().err.split())
    assert code == 2 and not (tmp_path / "group").exists()
    assert "an id of its own" in " ".join(shown.split()) and "broken.toml" in shown and "road.toml" in shown


@pytest.mark.parametrize(
    ("first", "words"),
    [("people/marit.toml", "a trainee file"), ("briefs/marit.toml", "brief"), ("nowhere.json", "no such file")],
)
def test_a_master_that_is_none_is_refused(
    data: Path, capsys: pytest.CaptureFixture[str], first: str, words: str
) -> None:
    code = run(["fit", str(data / first), *people(data, "marit")])

    assert code == 2 and words in " ".join(capsys.readouterr().err.split())


def test_one_and_two_processes_and_any_order_give_the_same_bytes(data: Path) -> None:
    known = load_master(Path(master(data)), None)
    tasks = load_tasks([Path(one) for one in people(data)])

    here = list(fit_many(known, tasks, InThisProcess(chunk=2)))
    apart = list(fit_many(known, tasks, InProcesses(2, chunk=2)))
    backwards = list(fit_many(known, tasks[::-1], InThisProcess()))

    assert [one.trainee for one in here] == list(WHO) and all(one.block for one in here)
    assert here == apart == backwards[::-1]
    assert fitting_files(fitting_of(known, here)) == fitting_files(fitting_of(known, apart))


def test_twenty_people_stand_five_abreast_on_paper(data: Path) -> None:
    """Each column keeps a readable width; every name stands in some table."""
    from dataclasses import replace

    known = load_master(Path(master(data)), None)
    tasks = load_tasks([Path(one) for one in people(data)])
    crowd = [
        replace(
            task, person=replace(task.person, trainee=replace(task.person.trainee, id=f"{task.person.trainee.id}{n}"))
        )
        for n in range(4)
        for task in tasks
    ]

    table = fitting_of(known, list(fit_many(known, crowd, InThisProcess()))).table
    sections = [one for one in table_data(table)["sections"] if one["title"].startswith("Who differs")]

    assert len(sections) == 4
    assert all(len(made["columns"]) <= 6 for one in sections for made in one["tables"])
    heads = {name for one in sections for made in one["tables"] for name in made["head"][1:]}
    assert heads == {one.name for one in table.columns} and len(heads) == 20
