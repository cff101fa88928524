"""The benchmarks run apart from the tests: what they take from the program must still be there."""

from __future__ import annotations

import ast
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path

import django
import pytest

django.setup()
ROOT = Path(__file__).resolve().parents[2]
FILES = sorted((ROOT / "benchmarks").glob("*.py"))


def taken_from_the_program(file: Path) -> list[tuple[str, str]]:
    """Each name that a file imports from the program: module and name."""
    return [
        (one.module, name.name)
        for one in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(one, ast.ImportFrom) and one.module and one.module.split(".")[0] == "setwright"
        for name in one.names
    ]


def is_there(module: str, name: str) -> bool:
    """Whether a module, or its package, has a name."""
    found = import_module(module)
    return hasattr(found, name) or (hasattr(found, "__path__") and find_spec(f"{module}.{name}") is not None)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_what_a_benchmark_imports_is_there(file: Path) -> None:
    names = taken_from_the_program(file)

    assert [one for one in names if not is_there(*one)] == []


def test_the_check_finds_a_name_that_is_gone(tmp_path: Path) -> None:
    (tmp_path / "old.py").write_text("def f():\n    from setwright.plan.block import Block, NoSuchThing\n")

    names = taken_from_the_program(tmp_path / "old.py")
    assert [is_there(*one) for one in names] == [True, False]
