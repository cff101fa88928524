"""All tables as JSON lines, for every kind of data base: how a backup leaves PostgreSQL, or moves between the two.

Left out is what belongs to one server only: log-ins that are open, the queue of jobs, what the framework makes itself.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from itertools import islice
from pathlib import Path
from typing import Any

from django.apps import apps
from django.core import serializers
from django.core.management.color import no_style
from django.core.serializers.json import DjangoJSONEncoder
from django.db import connection, transaction

from setwright.faults import Fault, InputFaults

LEFT_OUT = {"sessions", "contenttypes", "django_tasks_db"}
LEFT_OUT_MODELS = {"auth.permission"}
AT_ONCE = 500


class Exact(DjangoJSONEncoder):
    """Values as they are; the framework's own encoder cuts times to milliseconds."""

    def default(self, o: Any) -> Any:
        """A value that JSON has no form for."""
        return o.isoformat() if isinstance(o, datetime) else super().default(o)


def kept_models() -> Sequence[Any]:
    """The models of all tables that a backup holds, in a fixed order; many-to-many rows go with their owner."""
    found = [one for one in apps.get_models() if one._meta.app_label not in LEFT_OUT and one._meta.managed]
    found = [one for one in found if one._meta.label_lower not in LEFT_OUT_MODELS and not one._meta.proxy]
    return sorted(found, key=lambda one: one._meta.label_lower)


def dump_tables(folder: Path) -> Mapping[str, int]:
    """Writes one file of JSON lines for each table, all as of one moment; gives how many rows each has."""
    counts: dict[str, int] = {}
    folder.mkdir(parents=True, exist_ok=True)
    with transaction.atomic():
        if connection.vendor == "postgresql":
            connection.cursor().execute("set transaction isolation level repeatable read")
        for model in kept_models():
            rows = model._default_manager.order_by("pk").iterator(chunk_size=AT_ONCE)
            with open(folder / f"{model._meta.label_lower}.jsonl", "w", encoding="utf-8") as file:
                serializers.serialize("jsonl", counted(rows, counts, model._meta.label_lower), stream=file, cls=Exact)
    return counts


def counted(rows: Iterable[Any], counts: dict[str, int], name: str) -> Iterator[Any]:
    """The same rows, counted on their way."""
    counts[name] = 0
    for one in rows:
        counts[name] += 1
        yield one


def load_tables(folder: Path, counts: Mapping[str, int], file: Path) -> None:
    """Puts the rows of a backup into the tables in the place of all that is there, in one transaction.

    Raises InputFaults where a row can't be taken or the counts do not fit; everything is as it was then.
    """
    models = kept_models()
    known = {one._meta.label_lower for one in models}
    for name in sorted(known ^ {*counts}):
        found = f"the table {name} missing" if name in known else f"a table {name} that nobody knows"
        raise InputFaults([Fault(str(file), f"tables/{name}.jsonl", found, "the tables of this version")])
    with transaction.atomic():
        if connection.vendor == "postgresql":
            connection.cursor().execute("set constraints all deferred")  # tables made in the same breath check at once
        empty_all()
        for model in models:
            name = model._meta.label_lower
            load_one(model, folder / f"{name}.jsonl", file)
            there = model._default_manager.count()
            if there != counts[name]:
                found = f"{there} rows, not {counts[name]}"
                raise InputFaults([Fault(str(file), f"tables/{name}.jsonl", found, "all rows of the manifest")])
        connection.check_constraints()
        for line in connection.ops.sequence_reset_sql(no_style(), list(models)):
            connection.cursor().execute(line)


def empty_all() -> None:
    """Deletes every row of every table but what the framework makes itself."""
    kept = {one._meta.db_table for one in apps.get_models() if is_made_by_framework(one)} | {"django_migrations"}
    tables = [one for one in connection.introspection.table_names() if one not in kept]
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("truncate " + ", ".join(connection.ops.quote_name(one) for one in tables))
            return
        for one in tables:
            cursor.execute(f"delete from {connection.ops.quote_name(one)}")


def is_made_by_framework(model: Any) -> bool:
    """True for tables that the framework fills from the code."""
    return model._meta.app_label == "contenttypes" or model._meta.label_lower in LEFT_OUT_MODELS


def load_one(model: Any, path: Path, file: Path) -> None:
    """The rows of one table, as they were: times that the framework would set anew are kept."""
    fields = model._meta.concrete_fields
    try:
        with open(path, encoding="utf-8") as lines:
            found = serializers.deserialize("jsonl", lines)
            while batch := list(islice(found, AT_ONCE)):
                rows = [one.object for one in batch]
                for some in in_pieces(rows, connection.ops.bulk_batch_size(fields, rows)):
                    # what save(raw=True) does for one row, for many at once
                    model._base_manager._insert(some, fields=fields, using=connection.alias, raw=True)
                for one in batch:
                    for name, values in (one.m2m_data or {}).items():
                        getattr(one.object, name).set(values)
    except (serializers.base.DeserializationError, json.JSONDecodeError, UnicodeDecodeError) as error:
        raise InputFaults([Fault(str(file), f"tables/{path.name}", str(error)[:200], "rows of this version")]) from None


def in_pieces(rows: Sequence[Any], size: int) -> Iterator[Sequence[Any]]:
    """The rows in pieces of at most some size."""
    for start in range(0, len(rows), max(1, size)):
        yield rows[start : start + max(1, size)]


def steps_taken() -> tuple[str, ...]:
    """The steps of its tables that the data base has taken, in order."""
    from django.db.migrations.recorder import MigrationRecorder

    return tuple(f"{one.app}.{one.name}" for one in MigrationRecorder.Migration.objects.order_by("id"))
