"""``export --as`` and ``import --into``: one open format out, a clinic's file shown first and taken by rows."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from quick_block import quick_block

from setwright.catalogue.load import catalogue
from setwright.cli.main import run
from setwright.people.intake import read_trainee
from setwright.publish.block_file import block_to_json
from setwright.services.demo import unpack

Said = pytest.CaptureFixture[str]


@pytest.fixture(scope="module")
def case(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The invented files, the block of Joris, and what a clinic got of it."""
    data = unpack(tmp_path_factory.mktemp("exchange"))
    (data / "block.json").write_bytes(block_to_json(quick_block("joris")))
    (data / "log.csv").write_text(
        "date,week,session,exercise,set,load_kg,load_means,reps,rir,pain,pain_where,session_rpe,minutes\n"
        "2026-09-07,1,mon,back_squat,1,60,total,8,3,2,knee,,\n2026-09-07,1,mon,,,,,,,,,6,55\n"
    )
    asked = ["export", str(data / "block.json"), "--as", "fhir", "--called", "P-17", "--log", str(data / "log.csv")]
    assert run([*asked, "--with", "pain", "--out", str(data / "out")]) == 0
    return data


def bring(case: Path, *more: str, file: Path | None = None) -> int:
    sources = str(file or case / "out" / "clinic.json")
    return run(["import", sources, "--into", str(case / "people" / "joris.toml"), *more])


def test_the_file_for_the_clinic_holds_the_pseudonym_and_what_was_allowed(case: Path) -> None:
    text = (case / "out" / "clinic.json").read_text(encoding="utf-8")

    assert json.loads(text)["resourceType"] == "Bundle"
    assert "P-17" in text and "72514-3" in text and "oris" not in text


def test_it_is_shown_first_and_changes_nothing(case: Path, capsys: Said) -> None:
    before = sorted(one.name for one in case.rglob("*"))

    assert bring(case) == 0

    told = capsys.readouterr()
    assert "limitation: Left knee" in told.out and "(already there)" in told.out and "Not read" in told.out
    assert "Nothing was changed" in told.err
    assert max(len(line) for line in told.out.splitlines()) <= 80
    assert sorted(one.name for one in case.rglob("*")) == before


def test_rows_that_are_taken_make_a_new_trainee_file(case: Path, tmp_path: Path) -> None:
    mass = {
        "resourceType": "Observation",
        "status": "final",
        "code": {"coding": [{"system": "http://loinc.org", "code": "29463-7"}]},
        "effectiveDateTime": "2026-09-01",
        "valueQuantity": {"value": 84.2, "system": "http://unitsofmeasure.org", "code": "kg"},
    }
    limit = {"resourceType": "ServiceRequest", "status": "active", "doNotPerform": True, "code": {"text": "No hangs"}}
    bundle = {"resourceType": "Bundle", "type": "collection", "entry": [{"resource": mass}, {"resource": limit}]}
    file, made = tmp_path / "clinic.json", tmp_path / "new.toml"
    file.write_text(json.dumps(bundle))
    old = read_trainee((case / "people" / "joris.toml").read_text(), "old", catalogue())

    assert bring(case, "--take", "1", "--out", str(made), file=file) == 0

    new = read_trainee(made.read_text(), "new", catalogue())
    assert [one.positions for one in new.restrictions[len(old.restrictions) :]] == [("hang",)]
    assert new.restrictions[-1].set_by == "the clinic"
    assert new.body_mass_kg == old.body_mass_kg
    assert bring(case, "--take", "all", "--out", str(made), file=file) == 0
    assert read_trainee(made.read_text(), "new", catalogue()).body_mass_kg == 84.2


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (("--take", "9", "--out", "x.toml"), "numbers from 1 to"),
        (("--take", "1"), "give both, or neither"),
        (("--take", "one", "--out", "x.toml"), "1,3-5"),
    ],
)
def test_a_wrong_wish_is_one_sentence_and_writes_nothing(
    case: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Said, more: tuple[str, ...], says: str
) -> None:
    monkeypatch.chdir(tmp_path)

    assert bring(case, *more) == 2

    assert says in " ".join(capsys.readouterr().err.split())
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (("--as", "fhir"), "--called"),
        (("--as", "csv", "--called", "P"), "for --as fhir"),
        (("--called", "P"), "need --as"),
    ],
)
def test_what_may_go_out_has_to_be_said(case: Path, capsys: Said, more: tuple[str, ...], says: str) -> None:
    assert run(["export", str(case / "block.json"), *more]) == 2

    assert says in " ".join(capsys.readouterr().err.split())


def test_a_trainee_of_records_is_exported_by_their_name(case: Path, tmp_path: Path, capsys: Said) -> None:
    records = str(tmp_path / "records")
    assert run(["accept", str(case / "block.json"), "--records", records]) == 0
    assert run(["export", "joris", "--as", "csv", "--records", records, "--out", str(tmp_path / "out")]) == 0

    assert sorted(one.name for one in (tmp_path / "out").iterdir()) == ["log.csv", "planned.csv"]
    assert run(["export", "nobody", "--as", "csv", "--records", records]) == 2
    assert "joris" in capsys.readouterr().err
