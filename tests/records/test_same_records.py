"""The command line works on the records of the pages: the folder that holds their data base names them."""

from __future__ import annotations

import json
from pathlib import Path

from installation import Installation

LOG = """date,session,exercise,set,load_kg,reps,rir
2026-11-23,mon,back_squat,1,60,5,3
2026-11-23,mon,back_squat,2,60,5,2
"""
COUNT = "print(models.LogRow.objects.filter(trainee__slug='ode').count())"


def test_a_log_from_the_command_line_is_what_the_pages_show(hall: Installation, tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    file.write_text(LOG)

    first = hall.setwright("log", "ode", file, "--json")
    again = hall.setwright("log", "ode", file, "--json")

    assert json.loads(first.stdout) == {"trainee": "ode", "new_rows": 2, "rows": 2, "known": True}, first.stderr
    assert json.loads(again.stdout)["new_rows"] == 0
    last = "print(models.Overview.objects.get(trainee__slug='ode').last_logged)"
    assert hall.python(COUNT + "\n" + last).split() == ["2", "2026-11-23"]
    assert "2 log rows kept" in hall.setwright("history", "ode").stdout


def test_a_sore_elbow_is_accepted_and_undone_on_the_same_records(hall: Installation, tmp_path: Path) -> None:
    block = tmp_path / "block.json"
    taken = (
        "from setwright.records.data_base import current_of\nfrom setwright.publish.block_file import block_to_json\n"
    )
    taken += "row = models.Trainee.objects.get(slug='ode')\n"
    block.write_text(hall.python(taken + "print(block_to_json(current_of(row)).decode())"))
    changed = tmp_path / "changed"
    made = hall.setwright("restrict", block, "--restriction", "elbow is sore", "--out", changed)
    assert made.returncode == 0, made.stderr

    accepted = json.loads(hall.setwright("accept", changed / "block.json", "--json").stdout)

    show = (
        taken + "print(current_of(row).id)\nprint('elbow' in row.documents.filter(kind='trainee').latest('id').text)\n"
    )
    show += "print(models.AuditEntry.objects.filter(trainee=row).latest('id').deed)"
    assert hall.python(show).splitlines() == [accepted["block"], "True", "put a block in force"]
    refused = hall.setwright("undo", "ode", "--json")
    assert refused.returncode == 2 and "elbow restriction" in refused.stderr and "--under-limits" in refused.stderr
    assert hall.python(show).splitlines()[0] == accepted["block"]
    undone = json.loads(hall.setwright("undo", "ode", "--mistake", "--json").stdout or "{}")
    assert undone["block"] == json.loads(block.read_text())["id"] == hall.python(show).splitlines()[0]


def test_a_person_whom_the_records_do_not_know_is_a_sentence(hall: Installation, tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    file.write_text(LOG)

    told = hall.setwright("log", "odd", file)

    assert told.returncode == 2
    assert "no trainee 'odd'" in told.stderr and "Traceback" not in told.stderr


def test_a_data_base_without_a_practice_says_how_one_begins(without_people: Installation) -> None:
    told = without_people.setwright("history", "ode")

    assert told.returncode == 2 and "without a practice" in told.stderr and "setwright serve" in told.stderr


def test_of_two_practices_the_one_meant_is_named(hall: Installation) -> None:
    unnamed, unknown = hall.setwright("history", "ode", practice=""), hall.setwright("history", "ode", practice="A")

    for told in (unnamed, unknown):
        assert told.returncode == 2
        assert "SETWRIGHT_PRACTICE" in told.stderr and "Invented hall, Another roof" in told.stderr
