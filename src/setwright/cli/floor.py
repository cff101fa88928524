"""The verb floor: a group that trains at the same time with one set of equipment."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Literal

import click

from setwright.cli.common import FILE, json_option, out_option, show_json

DAY = click.DateTime(formats=["%Y-%m-%d"])


@click.command("floor")
@click.argument("blocks", type=FILE, nargs=-1, required=True, metavar="BLOCK...")
@click.option("--on", type=DAY, help="The day; today when left out.")
@click.option("--place", type=FILE, help="The place file; the place of the sessions when left out.")
@click.option("--late", multiple=True, metavar="NAME=MIN", help="Who comes later, and how many minutes.")
@click.option("--absent", multiple=True, metavar="NAME", help="Who does not come, or leaves now.")
@click.option("--broken", multiple=True, metavar="TOKEN", help="Equipment that nobody may use: rack, 'cable #2'.")
@click.option("--hold", "held", multiple=True, metavar="TOKEN", help="No turns there: a station is kept in the rests.")
@click.option("--exchange", "exchanges", multiple=True, metavar="NAME:SLUG=SLUG", help="An exchange that you accept.")
@click.option("--again", type=FILE, help="The timetable that was followed so far (of --json or --out).")
@click.option("--from-minute", type=float, help="With --again: the minute of the hour it is now.")
@click.option(
    "--log", "logs", multiple=True, metavar="[NAME=]FILE", help="With --again: what somebody has done so far."
)
@click.option("--numbers", is_flag=True, help="Numbers in the place of names.")
@click.option("--no-costs", is_flag=True, help="Don't work out what scarcity costs.")
@click.option("--paper", type=click.Choice(["a4", "us-letter"]), default="a4", show_default=True)
@out_option
@json_option
def floor_verb(
    blocks: tuple[Path, ...],
    on: datetime | None,
    place: Path | None,
    late: tuple[str, ...],
    absent: tuple[str, ...],
    broken: tuple[str, ...],
    held: tuple[str, ...],
    exchanges: tuple[str, ...],
    again: Path | None,
    from_minute: float | None,
    logs: tuple[str, ...],
    numbers: bool,
    no_costs: bool,
    paper: Literal["a4", "us-letter"],
    out: Path | None,
    as_json: bool,
) -> None:
    """Who does which set where, from when to when: the day's sessions of several BLOCKs on one floor.

    People may be named or numbered, in the order of the files. With --again the hour goes on from a minute: what is
    done or under way stays; with --log what is logged is done, and what is not logged is still to do. Who does not
    train that day is left out and named. Nothing is exchanged without asking.
    """
    from setwright.publish.floor_json import hour_json
    from setwright.publish.floor_text import floor_text
    from setwright.publish.floor_words import floor_report
    from setwright.services.clock import today
    from setwright.services.floor import Asked, hold_hour
    from setwright.services.gather import catalogue
    from setwright.services.show import say_files, say_who_rests

    day = today() if on is None else on.date()
    asked = Asked(blocks, day, place, late, absent, broken, held, exchanges, again, from_minute, not no_costs, logs)
    hour = hold_hour(asked)
    say_who_rests(blocks, day)
    report = floor_report(hour, catalogue(), numbers)
    if out is not None:
        from setwright.services.floor_files import write_floor

        say_files(len(write_floor(hour, report, out, paper)), out, "floor.html")
    if as_json:
        show_json(hour_json(hour))
    else:
        click.echo(floor_text(report))
