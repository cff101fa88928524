"""What several verbs share: options, and how a result is shown."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

F = TypeVar("F", bound=Callable[..., Any])
FILE = click.Path(path_type=Path)


def json_option(function: F) -> F:
    """``--json``: the result as JSON on standard output, and nothing else there."""
    return click.option("--json", "as_json", is_flag=True, help="Print the result as JSON.")(function)


def place_option(function: F) -> F:
    """``--place FILE``, repeatable."""
    text = "A place file; else <id>.toml is looked for beside the trainee file."
    return click.option("--place", "places", type=FILE, multiple=True, help=text)(function)


def log_option(function: F) -> F:
    """``--log FILE``, repeatable."""
    return click.option("--log", "logs", type=FILE, multiple=True, help="A log file (CSV or JSON).")(function)


def out_option(function: F) -> F:
    """``--out FOLDER``."""
    return click.option("--out", "out", type=FILE, default=None, help="Write into this folder.")(function)


def unit_option(function: F) -> F:
    """``--unit kg|lb``."""
    text = "Loads in kg or lb; as the plates of the place say when left out. JSON stays in kg."
    return click.option("--unit", type=click.Choice(["kg", "lb"]), default=None, help=text)(function)


def show_json(value: object) -> None:
    """A value as JSON on standard output."""
    click.echo(json.dumps(value, ensure_ascii=False, indent=1))


def say(text: str) -> None:
    """Words for people, on standard error."""
    click.echo(text, err=True)
