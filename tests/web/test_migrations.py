"""The tables of the data base come by one line of migrations, which ends at what the models say."""

from __future__ import annotations

from typing import Any

from django.db.migrations.autodetector import MigrationAutodetector
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.state import ProjectState


def test_migrations_stand_in_one_line(db: Any) -> None:
    loader = MigrationLoader(None)
    ours = [name for app, name in loader.disk_migrations if app == "records"]

    assert len(loader.graph.leaf_nodes("records")) == 1
    assert len({name[:4] for name in ours}) == len(ours) > 1


def test_no_table_waits_for_a_migration(db: Any) -> None:
    from django.apps import apps

    loader = MigrationLoader(None)
    found = MigrationAutodetector(loader.project_state(), ProjectState.from_apps(apps)).changes(graph=loader.graph)

    assert "records" not in found, found.get("records")
