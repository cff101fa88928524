"""The verb climb."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import click

from setwright.cli.common import FILE, json_option, kept_option, out_option, place_option, say, show_json

DAY = click.DateTime(formats=["%Y-%m-%d"])


@click.command("climb")
@click.argument("trainee", type=FILE)
@click.argument("logs", type=FILE, nargs=-1)
@click.option("--progression", "slugs", multiple=True, metavar="SLUG", help="Only this progression, begun or not.")
@click.option("--way", "branch", default="", metavar="NAME", help="Through this branch of the progression.")
@click.option("--by", type=DAY, help="Also the chance to have done each step by this day.")
@click.option("--on", type=DAY, help="As of this date; the log's last when left out.")
@place_option
@kept_option
@out_option
@json_option
def climb_verb(
    trainee: Path,
    logs: tuple[Path, ...],
    slugs: tuple[str, ...],
    branch: str,
    by: datetime | None,
    on: datetime | None,
    places: tuple[Path, ...],
    records: Path | None,
    out: Path | None,
    as_json: bool,
) -> None:
    """Where TRAINEE stands on a progression by the LOGS, what comes next, and when the top is likely."""
    from setwright.services.climbing import climb, climb_json, climbs_text

    found = climb(
        trainee,
        logs,
        slugs,
        branch=branch,
        by=None if by is None else by.date(),
        on=None if on is None else on.date(),
        place_files=places,
        records=records,
        say=say,
    )
    if out is not None:
        from setwright.services.climb_files import write_climbs
        from setwright.services.show import say_files

        say_files(write_climbs(found, out), out, "climb.html")
    if as_json:
        show_json(climb_json(found))
    else:
        click.echo(climbs_text(found))
