"""The verb range."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import click

from setwright.cli.common import FILE, json_option, say, show_json


@click.command("range")
@click.argument("trainee", type=FILE)
@click.option("--place", "places", type=FILE, multiple=True, help="A place file; as for design.")
@click.option("--on", type=click.DateTime(formats=["%Y-%m-%d"]), help="As of this date; the newest measure's else.")
@json_option
def range_verb(trainee: Path, places: tuple[Path, ...], on: datetime | None, as_json: bool) -> None:
    """Whether the range of TRAINEE changed beyond measuring error, what it limits, what trains it."""
    from setwright.publish.range_words import range_json, range_text
    from setwright.services.gather import catalogue
    from setwright.services.ranging import look_at_range

    found = look_at_range(trainee, places, None if on is None else on.date(), say)
    if as_json:
        show_json(range_json(found))
    else:
        click.echo(range_text(found, catalogue()))
