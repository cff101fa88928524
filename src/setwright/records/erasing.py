"""The end of all that is kept of a person: a tombstone without a name stays, so that the rest goes on counting right.

What belongs to a trainee is found by asking the tables themselves, so that a table that comes later is not forgotten.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterator, Mapping
from typing import Any

from django.db import connection, transaction
from django.db.models import FileField
from django.utils import timezone

from setwright.records import models


def tables_of_a_trainee() -> Iterator[tuple[Any, str]]:
    """Every table with rows that belong to a trainee, with the name of the column that says to whom."""
    for relation in models.Trainee._meta.get_fields(include_hidden=True):
        if relation.is_relation and relation.auto_created and not relation.many_to_many:
            yield relation.related_model, relation.field.name


def erase_trainee(row: models.Trainee) -> Mapping[str, int]:
    """Erases all that is kept of a person; a row without name, user or data stays. Gives what was erased, by kind.

    The audit trail keeps that something was done, by whom and when, and no longer about what.
    """
    counts = {}
    with transaction.atomic():
        for table, column in tables_of_a_trainee():
            rows = table._default_manager.filter(**{column: row})
            if table is models.AuditEntry:
                rows.update(about="")
                continue
            delete_files_of(table, rows)
            counts[str(table._meta.verbose_name)] = rows.count()
            rows.delete()
        user = row.user
        row.user, row.name, row.slug = None, "", f"erased-{uuid.uuid4().hex[:12]}"
        row.is_invented = False
        row.erased_at = timezone.now()
        row.save()
        if user is not None and not user.coaching.exists():
            user.delete()
        transaction.on_commit(forget_old_pages)
    return {kind: count for kind, count in counts.items() if count}


def delete_files_of(table: Any, rows: Any) -> None:
    """Deletes the files that some rows name, once their end is committed."""
    for field in table._meta.concrete_fields:
        if isinstance(field, FileField):
            for one in rows.exclude(**{field.name: ""}):
                file = getattr(one, field.name)
                transaction.on_commit(lambda storage=file.storage, name=file.name: storage.delete(name))


def forget_old_pages() -> None:
    """Empties the log of the embedded data base, which still holds the pages as they were before.

    What others read meanwhile can hold this up; the next one empties it then.
    """
    if connection.vendor == "sqlite" and not connection.in_atomic_block:
        connection.cursor().execute("pragma wal_checkpoint(truncate)")
