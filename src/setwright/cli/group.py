"""The verb group: one sheet for several people."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from setwright.cli.common import FILE, folder_to_write, json_option, show_json, unit_option

if TYPE_CHECKING:
    from setwright.publish.units import Unit

DAY = click.DateTime(formats=["%Y-%m-%d"])


@click.command("group")
@click.argument("blocks", type=FILE, nargs=-1, required=True, metavar="BLOCK...")
@click.option("--on", type=DAY, help="The day; today when left out.")
@click.option("--paper", type=click.Choice(["a4", "us-letter"]), default="a4", show_default=True)
@click.option(
    "--out",
    type=FILE,
    default=Path("group"),
    show_default=True,
    help="The folder to write into.",
    callback=folder_to_write,
)
@unit_option
@json_option
def group_verb(
    blocks: tuple[Path, ...],
    on: datetime | None,
    paper: Literal["a4", "us-letter"],
    out: Path,
    unit: Unit | None,
    as_json: bool,
) -> None:
    """One sheet for a whole group: the day's session of each BLOCK side by side, with loads, as page and PDF.

    Who does not train that day is left out and named.
    """
    from setwright.services.clock import today
    from setwright.services.group import participants, write_group
    from setwright.services.show import say_files, say_who_rests

    day = today() if on is None else on.date()
    people = participants(blocks, day)
    files = write_group(people, day, out, paper, unit)
    say_files(len(files), out, "group.html")
    say_who_rests(blocks, day)
    if as_json:
        show_json({"folder": str(out), "files": files, "people": [one.label for one in people]})
