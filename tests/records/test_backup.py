"""Backup and restore: everything comes back, a damaged file is refused before anything is touched."""

from __future__ import annotations

import hashlib
import json
import os
import random
from dataclasses import dataclass, replace
from pathlib import Path

import pytest
from installation import Installation, new_data_base

from setwright.faults import InputFaults
from setwright.records.backup_file import checked, unpack, write_backup
from setwright.services.serving_lock import hold_shared

ON_SERVER = bool(os.environ.get("SETWRIGHT_DATABASE"))
LOG = "date,session,exercise,set,load_kg,reps,rir\n2026-11-23,mon,back_squat,1,60,5,3\n"
BEGIN = """
from django.core.files.base import ContentFile
from django.test import Client
row = models.Trainee.objects.get(slug="ode")
cue = models.Cue(practice=row.practice, trainee=row, exercise="back_squat", text="knees out")
cue.file.save("squat.png", ContentFile(b"picture"))
Client().force_login(row.user)
"""
CHANGE = """
from setwright.records.data_base import keep_rows
row = models.Trainee.objects.get(slug="ode")
keep_rows(row, [{"row": "k1", "date": "2026-11-23", "exercise": "back_squat", "set": 1, "reps": 5}], "2026-11-23")
"""
PICTURE = Path("media", "cues", "squat.png")


@dataclass(frozen=True)
class BackedUp:
    """An installation with a photo and an open log-in, its backup, its rows then; one set was logged since."""

    hall: Installation
    backup: Path
    rows: dict[str, list[str]]


@pytest.fixture(scope="module")
def model(model_hall: Installation, tmp_path_factory: pytest.TempPathFactory) -> BackedUp:
    """Made once; tests work on copies."""
    folder = tmp_path_factory.mktemp("backed-up")
    hall = model_hall.copy(folder / "data")
    hall.python(BEGIN)
    rows = hall.rows()
    told = hall.setwright("backup", "--out", folder / "backup.zip", "--json")
    assert json.loads(told.stdout)["rows"], told.stderr
    hall.python(CHANGE)
    (hall.folder / PICTURE).write_bytes(b"another")
    assert hall.rows() != rows
    return BackedUp(hall, folder / "backup.zip", rows)


@pytest.fixture
def backed(model: BackedUp, tmp_path: Path) -> BackedUp:
    """The same in an installation of its own."""
    return replace(model, hall=model.hall.copy(tmp_path / "data"))


def test_a_backup_brings_everything_back_but_log_ins(backed: BackedUp) -> None:
    hall = backed.hall
    assert hall.count("django_session") == 1

    told = hall.setwright("restore", backed.backup, "--replace", "--json")

    assert told.returncode == 0, told.stderr
    assert hall.rows() == backed.rows
    assert (hall.folder / PICTURE).read_bytes() == b"picture"
    assert hall.count("django_session") == 0, "a log-in that was ended since must not come back to life"
    assert (Path(json.loads(told.stdout)["before"]) / PICTURE).read_bytes() == b"another"


def test_what_a_restore_replaced_can_be_brought_back(backed: BackedUp) -> None:
    hall, lost = backed.hall, backed.hall.rows()

    aside = Path(json.loads(hall.setwright("restore", backed.backup, "--replace", "--json").stdout)["before"])

    assert hall.rows() != lost
    if ON_SERVER:
        (kept,) = aside.glob("*.zip")
        told = hall.setwright("restore", kept, "--replace")
        assert told.returncode == 0, told.stderr
    else:
        os.replace(aside / "setwright.sqlite3", hall.folder / "setwright.sqlite3")
    assert hall.rows() == lost


def test_a_portable_backup_goes_from_one_kind_of_data_base_to_the_other(backed: BackedUp, tmp_path: Path) -> None:
    files = [tmp_path / f"{number}.zip" for number in range(3)]
    other = Installation(tmp_path / "other", "")
    back = Installation(tmp_path / "back", new_data_base(backed.hall.database) if ON_SERVER else "")

    told = [
        backed.hall.setwright("backup", "--out", files[0], "--portable"),
        other.setwright("restore", files[0]),
        other.setwright("backup", "--out", files[1], "--portable"),
        back.setwright("restore", files[1]),
        back.setwright("backup", "--out", files[2], "--portable"),
    ]

    assert [one.returncode for one in told] == [0] * 5, "\n".join(one.stderr for one in told)
    first, second, third = (checked(one).files for one in files)
    assert first == second == third and len(first) > 15
    assert back.rows() == backed.hall.rows()
    back.python(CHANGE.replace('"k1"', '"k2"'))  # the next row gets a number of its own
    assert back.count("records_logrow") == backed.hall.count("records_logrow") + 1


@pytest.mark.skipif(not ON_SERVER, reason="asks a server")
def test_a_backup_of_a_file_is_refused_on_a_server(backed: BackedUp, tmp_path: Path) -> None:
    file = small_backup(tmp_path, kind="sqlite")
    before = backed.hall.rows()

    told = backed.hall.setwright("restore", file, "--replace")

    assert told.returncode == 2 and "--portable" in told.stderr
    assert backed.hall.rows() == before


def test_records_are_replaced_only_where_that_was_said(backed: BackedUp) -> None:
    hall, before = backed.hall, backed.hall.rows()

    unasked = hall.setwright("restore", backed.backup)
    tried = hall.setwright("restore", backed.backup, "--replace", "--dry-run")

    assert unasked.returncode == 2 and "--replace" in unasked.stderr
    assert tried.returncode == 0 and "Nothing was changed" in tried.stderr
    assert hall.rows() == before
    assert not list(hall.folder.glob("before-restore-*"))


def test_nothing_is_restored_under_a_server_at_work(backed: BackedUp) -> None:
    before, held = backed.hall.rows(), hold_shared(backed.hall.folder)

    told = backed.hall.setwright("restore", backed.backup, "--replace")
    os.close(held)

    assert told.returncode == 2 and "a server at work" in told.stderr
    assert backed.hall.rows() == before


def test_who_was_erased_stays_erased_when_an_older_backup_comes_back(backed: BackedUp) -> None:
    erase = "from setwright.records.erasing import erase_trainee\n"
    backed.hall.python(erase + "erase_trainee(models.Trainee.objects.get(slug='ode'))")

    told = backed.hall.setwright("restore", backed.backup, "--replace", "--json")

    assert json.loads(told.stdout)["erased_again"] == 1, told.stderr
    people = " ".join(backed.hall.rows()["records_trainee"])
    assert "Pim Invented" in people and "Ode Invented" not in people
    assert not (backed.hall.folder / PICTURE).exists()


def test_a_backup_never_overwrites_a_file_and_is_read_by_its_owner_only(backed: BackedUp, tmp_path: Path) -> None:
    (tmp_path / "b.zip").write_text("mine")

    told = backed.hall.setwright("backup", "--out", tmp_path / "b.zip")

    assert told.returncode == 2 and "a new name" in told.stderr
    assert (tmp_path / "b.zip").read_text() == "mine"
    assert backed.backup.stat().st_mode & 0o777 == 0o600


def small_backup(folder: Path, **about: object) -> Path:
    """A backup of a few files of known content."""
    chance = random.Random(7)
    members = {}
    for name, size in (("events.jsonl", 90), ("blocks/one.json", 300), ("blocks/empty.json", 0)):
        path = folder / name.replace("/", "-")
        path.write_bytes(bytes(chance.choices(b"abcdef\n", k=size)))
        members[name] = path
    given = {"kind": "files", "made_at": "2026-11-27", "version": "0", "steps": (), "rows": {}, **about}
    write_backup(folder / "small.zip", members, **given)  # type: ignore[arg-type]
    return folder / "small.zip"


def digests(folder: Path) -> dict[str, str]:
    """What lies below a folder."""
    found = {one.relative_to(folder).as_posix(): one for one in folder.rglob("*") if one.is_file()}
    return {name: hashlib.sha256(path.read_bytes()).hexdigest() for name, path in found.items()}


def test_a_backup_with_any_one_byte_changed_is_refused_or_says_the_same(tmp_path: Path) -> None:
    """Law, over every third byte. Most are refused; dates in the index of the archive change nothing."""
    file = small_backup(tmp_path)
    whole, manifest = file.read_bytes(), checked(file)
    unpack(file, manifest, tmp_path / "first")
    expected, refused = digests(tmp_path / "first"), 0
    spoiled = tmp_path / "spoiled.zip"

    for place in range(0, len(whole), 3):
        changed = bytearray(whole)
        changed[place] ^= 1 << place % 8
        spoiled.write_bytes(changed)
        try:
            found = checked(spoiled)
        except InputFaults as error:
            refused += 1
            assert str(spoiled) in str(error)
            continue
        assert found == manifest, place
        unpack(spoiled, found, tmp_path / "again")
        assert digests(tmp_path / "again") == expected, place
    assert refused > 0.7 * len(whole) / 3


def test_a_backup_that_was_cut_off_is_refused(tmp_path: Path) -> None:
    file = small_backup(tmp_path)
    whole = file.read_bytes()

    for size in range(0, len(whole), 17):
        file.write_bytes(whole[:size])
        with pytest.raises(InputFaults):
            checked(file)


@pytest.mark.parametrize("name", ["../out.json", "/out.json", "a/../../out.json"])
def test_no_member_leads_out_of_the_folder(tmp_path: Path, name: str) -> None:
    (tmp_path / "m").write_text("x")

    with pytest.raises(InputFaults, match="leads out"):
        write_backup(tmp_path / "b.zip", {name: tmp_path / "m"}, "files", "", "0", (), {})
    assert not (tmp_path / "b.zip").exists()


def test_a_damaged_backup_touches_nothing(backed: BackedUp, tmp_path: Path) -> None:
    whole = bytearray(backed.backup.read_bytes())
    whole[len(whole) // 3] ^= 1
    (tmp_path / "spoiled.zip").write_bytes(whole)
    before, rows = digests(backed.hall.folder), backed.hall.rows()

    told = backed.hall.setwright("restore", tmp_path / "spoiled.zip", "--replace")

    assert told.returncode == 2 and "spoiled.zip" in told.stderr and "Nothing was changed" in told.stderr
    assert before and digests(backed.hall.folder) == before and backed.hall.rows() == rows


def test_a_backup_of_a_newer_version_is_refused(backed: BackedUp, tmp_path: Path) -> None:
    manifest = checked(backed.backup)
    unpack(backed.backup, manifest, tmp_path / "out")
    later = replace(manifest, steps=(*manifest.steps, "records.9999_later"))
    members = {name: tmp_path / "out" / name for name in manifest.files}
    write_backup(tmp_path / "later.zip", members, later.kind, "", "9.9", later.steps, later.rows)
    before = backed.hall.rows()

    told = backed.hall.setwright("restore", tmp_path / "later.zip", "--replace")

    assert told.returncode == 2 and "records.9999_later" in told.stderr and "9.9" in told.stderr
    assert backed.hall.rows() == before


def test_records_in_files_come_back_too(tmp_path: Path) -> None:
    (tmp_path / "log.csv").write_text(LOG)
    files = Installation(tmp_path / "kept", "")
    files.setwright("log", "ode", tmp_path / "log.csv")
    before = digests(files.folder)
    files.setwright("backup", "--out", tmp_path / "b.zip")
    (tmp_path / "log.csv").write_text(LOG.replace(",1,60", ",2,70"))
    files.setwright("log", "ode", tmp_path / "log.csv")

    unasked = files.setwright("restore", tmp_path / "b.zip")
    told = files.setwright("restore", tmp_path / "b.zip", "--replace")

    assert unasked.returncode == 2 and told.returncode == 0, told.stderr
    assert before and before.items() <= digests(files.folder).items()
    assert len(list(files.folder.glob("before-restore-*/events.jsonl"))) == 1


def test_a_folder_without_records_has_no_backup(tmp_path: Path) -> None:
    told = Installation(tmp_path, "").setwright("backup", "--out", tmp_path / "b.zip")

    assert told.returncode == 2 and "no records" in told.stderr
    assert not (tmp_path / "b.zip").exists()
