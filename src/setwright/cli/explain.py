"""The verb explain."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from setwright.cli.common import FILE, json_option, kept_option, log_option, say, show_json, unit_option

if TYPE_CHECKING:
    from setwright.publish.units import Unit


@click.command("explain")
@click.argument("block", type=FILE)
@click.argument("exercise", default="")
@click.option("--day", default="", metavar="DAY", help="Only this day: mon.")
@click.option("--week", type=int, default=0, help="As in this week; the first that holds it when left out.")
@log_option
@kept_option
@unit_option
@json_option
def explain_verb(
    block: Path,
    exercise: str,
    day: str,
    week: int,
    logs: tuple[Path, ...],
    records: Path | None,
    unit: Unit | None,
    as_json: bool,
) -> None:
    """Why an entry of BLOCK is there, why there, why so much, and what could stand instead.

    EXERCISE is a slug or a name; every entry but the warm-up when left out.
    """
    from setwright.services.explaining import explain, explained_json, explained_text

    found = explain(block, exercise, day.lower(), week, logs, records, say)
    if as_json:
        show_json(explained_json(found))
    else:
        click.echo(explained_text(found, unit))
