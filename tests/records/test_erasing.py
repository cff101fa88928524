"""Erasing a person: nothing of them is left in any table or file, the tombstone has no name, others lose nothing."""

from __future__ import annotations

import os
import sys
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from installation import Installation

sys.path.insert(0, str(Path(__file__).parents[1] / "web"))
from practice import make_gym, plain

from setwright.records import models
from setwright.records.data_base import keep_rows
from setwright.records.erasing import erase_trainee, tables_of_a_trainee

SECRET = "Zwetschgenmus-4711"
FILL = f"""
from django.core.files.base import ContentFile
from setwright.services.desk.people import keep_document, newest
row = models.Trainee.objects.get(slug="ode")
for number in range(40):
    row.notes.create(id=__import__("uuid").uuid4(), day="2026-11-23", text="{SECRET} " * 90, is_from_coach=False)
row.name = "{SECRET}"
row.save()
text = newest(row.practice, "trainee", "ode", row)
keep_document(row.practice, "trainee", "ode", text.replace("Ode Invented", "{SECRET}"), None, row)
row.overview.findings = [{{"evidence": "{SECRET}"}}]
row.overview.save()
cue = models.Cue(practice=row.practice, trainee=row, exercise="back_squat", text="{SECRET}")
cue.file.save("squat.png", ContentFile(b"{SECRET}"))
"""


def value_for(field: Any, row: models.Trainee) -> Any:
    """Something for a column that wants something, by its type."""
    if field.related_model is models.FloorHour:
        begins = {"place": "yard", "on": date(2026, 11, 23), "begins_at": row.made_at}
        return models.FloorHour.objects.create(practice=row.practice, coach=row.coach, **begins)
    if field.is_relation:
        return row.practice if field.related_model is models.Practice else row
    kinds = {"DateField": date(2026, 11, 23), "JSONField": [], "BinaryField": b"x", "DateTimeField": row.made_at}
    return kinds.get(field.get_internal_type(), "1")


def one_row_in(table: Any, column: str, row: models.Trainee) -> None:
    """A row of a trainee in a table."""
    if table._default_manager.filter(**{column: row}).exists():
        return
    wants = [one for one in table._meta.concrete_fields if not one.null and not one.has_default() and not one.blank]
    values = {one.name: value_for(one, row) for one in wants if not getattr(one, "auto_now_add", False)}
    values.pop("id", None)
    table._default_manager.create(**{**values, column: row})


@pytest.fixture
def gym(db: None, settings: Any) -> Any:
    """The invented practice."""
    plain(settings)
    return make_gym()


def test_no_table_forgets_to_erase(gym: Any) -> None:
    """Every table that names a trainee, also one that comes later."""
    tables = list(tables_of_a_trainee())
    assert {one for one, _ in tables} >= {models.LogRow, models.Document, models.PlannedDay, models.Overview}
    for table, column in tables:
        one_row_in(table, column, gym.trainee)
        assert table._default_manager.filter(**{column: gym.trainee}).exists()
    user = gym.trainee.user

    erase_trainee(gym.trainee)

    left = {one for one, column in tables if one._default_manager.filter(**{column: gym.trainee}).exists()}
    assert left == {models.AuditEntry}
    assert not models.AuditEntry.objects.filter(trainee=gym.trainee).exclude(about="").exists()
    stone = models.Trainee.objects.get(id=gym.trainee.id)
    assert (stone.name, stone.user, stone.erased_at is None) == ("", None, False)
    assert stone.slug.startswith("erased-") and "ode" not in stone.slug
    assert not type(user).objects.filter(pk=user.pk).exists()


def test_the_log_of_others_stays_and_the_name_is_free_again(gym: Any) -> None:
    from setwright.services.desk.people import trainee_slugs

    for row in (gym.trainee, gym.strangers_trainee):
        keep_rows(row, [{"row": f"k-{row.slug}", "date": "2026-11-23", "exercise": "back_squat", "reps": 5}], "now")

    erase_trainee(gym.trainee)

    assert gym.strangers_trainee.log_rows.count() == 1
    assert gym.strangers_trainee.documents.exists() and gym.strangers_trainee.revisions.exists()
    assert "ode" not in trainee_slugs(gym.coach.practice)


@pytest.mark.skipif(bool(os.environ.get("SETWRIGHT_DATABASE")), reason="a server keeps its own files")
def test_no_file_of_the_data_holds_what_was_erased(hall: Installation) -> None:
    """Referee: the bytes of all files. What SQLite only takes out of an index stays readable in the file otherwise."""
    hall.python(FILL)
    assert any(SECRET.encode() in one.read_bytes() for one in hall.folder.rglob("*") if one.is_file())

    told = hall.setwright("erase", "ode", "--yes")

    assert told.returncode == 0, told.stderr
    holding = [one.name for one in hall.folder.rglob("*") if one.is_file() and SECRET.encode() in one.read_bytes()]
    assert holding == []


def test_erasing_asks_first_and_can_be_tried(hall: Installation) -> None:
    before = hall.rows()

    tried, unasked = hall.setwright("erase", "ode", "--dry-run", "--json"), hall.setwright("erase", "ode")

    assert tried.returncode == 0 and '"erased": false' in tried.stdout, tried.stderr
    assert unasked.returncode == 2 and "--yes" in unasked.stderr
    assert hall.rows() == before
