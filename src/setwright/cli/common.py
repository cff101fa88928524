"""What several verbs share: options, and how a result is shown, in 80 columns."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    from setwright.faults import Fault
    from setwright.publish.changes_report import Deciding

F = TypeVar("F", bound=Callable[..., Any])
FILE = click.Path(path_type=Path)
WIDTH = 80
MOST_ALLOWED = 7  # a longer list of allowed values is shortened
SHOWN_ALLOWED = 5


def json_option(function: F) -> F:
    """``--json``: the result as JSON on standard output, and nothing else there."""
    return click.option("--json", "as_json", is_flag=True, help="Print the result as JSON.")(function)


def place_option(function: F) -> F:
    """``--place FILE``, repeatable."""
    text = "A place file: wins over the trainee file; else <id>.toml is looked for beside it."
    return click.option("--place", "places", type=FILE, multiple=True, help=text)(function)


def log_option(function: F) -> F:
    """``--log FILE``, repeatable."""
    return click.option("--log", "logs", type=FILE, multiple=True, help="A log file (CSV or JSON).")(function)


def kept_option(function: F) -> F:
    """``--records FOLDER`` of a verb that reads the kept log."""
    text = "Read the log kept in these records too."
    return click.option("--records", type=FILE, default=None, help=text)(function)


def usual_records() -> Path:
    """The folder of the records where none is named: the application's data where they are here, else plain files."""
    from setwright.services.opening import holds_data_base

    served = Path("setwright-data")
    return served if holds_data_base(served) else Path("setwright-records")


def records_option(function: F) -> F:
    """``--records FOLDER`` of a verb that works on records."""
    text = "The records: the data folder of serve, or a folder of files."
    shown = "setwright-data where it is there, else setwright-records"
    return click.option("--records", type=FILE, default=usual_records, show_default=shown, help=text)(function)


def folder_to_write(ctx: click.Context, param: click.Parameter, value: Path | None) -> Path | None:
    """Refuses a file where a folder is wanted, before anything is worked out."""
    if value is not None and value.is_file():
        from setwright.faults import Fault, InputFaults

        raise InputFaults([Fault(f"--out {value}", "", "a file", "a folder to write into")])
    return value


def out_option(function: F) -> F:
    """``--out FOLDER``."""
    text = "Write into this folder."
    return click.option("--out", "out", type=FILE, default=None, help=text, callback=folder_to_write)(function)


def unit_option(function: F) -> F:
    """``--unit kg|lb``."""
    text = "Loads in kg or lb; as the plates of the place say when left out. JSON stays in kg."
    return click.option("--unit", type=click.Choice(["kg", "lb"]), default=None, help=text)(function)


def deciding_of(block: Path, out: Path | None, records: Path | None) -> Deciding | None:
    """The files that accept and decline will name for a block changed into a folder; None without one.

    A block that its own revision overwrites can't be named as the one before.
    """
    if out is None:
        return None
    from setwright.publish.changes_report import Deciding

    made = out / "block.json"
    before = "" if made.resolve() == block.resolve() else str(block)
    return Deciding(str(made), before, "" if records is None else str(records))


def show_json(value: object) -> None:
    """A value as JSON on standard output."""
    click.echo(json.dumps(value, ensure_ascii=False, indent=1))


def wrapped(text: str, indent: str = "  ") -> str:
    """Text in 80 columns, lines after the first indented; words, paths and numbers stay whole."""
    return "\n".join(
        textwrap.fill(line, WIDTH, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False)
        for line in text.splitlines()
    )


def say(text: str) -> None:
    """Words for people, on standard error."""
    click.echo(wrapped(text), err=True)


def sentence_of(fault: Fault) -> str:
    """A fault in 80 columns, a long list of allowed values cut to the nearest ones."""
    from dataclasses import replace

    return wrapped(replace(fault, allowed=nearest_allowed(fault)).sentence())


def nearest_allowed(fault: Fault) -> str:
    """What is allowed, a long list cut to the five nearest to what was found and how many more there are."""
    lead, colon, listed = fault.allowed.rpartition(": ")
    values = listed.split(", ")
    if len(values) <= MOST_ALLOWED:
        return fault.allowed
    word = fault.path if fault.found.startswith(("an unknown", "nothing")) else fault.found
    return f"{lead}{colon}{few_of(word.rsplit('.', 1)[-1], values)}"


def few_of(word: str, values: list[str]) -> str:
    """The five values most like a word, then how many more there are."""
    from setwright.catalogue.names import nearest

    close = nearest(word.strip("'\"").split("'")[-1], values, SHOWN_ALLOWED)
    shown = [*close, *(one for one in values if one not in close)][:SHOWN_ALLOWED]
    return f"{', '.join(shown)} and {len(values) - len(shown)} more"
