"""Installations of the application for a test: each with data of its own, on the data base of this run."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from installation import Installation, new_installation


@pytest.fixture(scope="session")
def model_hall(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Installation]:
    """The invented practice, made once; tests work on copies."""
    folder = tmp_path_factory.mktemp("model") / "data"
    yield new_installation(folder)
    shutil.rmtree(folder.parent, ignore_errors=True)


@pytest.fixture(scope="session")
def model_without_people(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Installation]:
    """An installation with nothing but its tables, made once; tests work on copies."""
    folder = tmp_path_factory.mktemp("empty") / "data"
    yield new_installation(folder, filled=False)
    shutil.rmtree(folder.parent, ignore_errors=True)


@pytest.fixture
def without_people(model_without_people: Installation, tmp_path: Path) -> Installation:
    """An installation of its own with nothing but its tables."""
    return model_without_people.copy(tmp_path / "without-people")


@pytest.fixture
def hall(model_hall: Installation, tmp_path: Path) -> Installation:
    """The invented practice in an installation of its own."""
    return model_hall.copy(tmp_path / "data")
