"""The verb season."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from setwright.cli.common import (
    FILE,
    json_option,
    kept_option,
    out_option,
    place_option,
    say,
    show_json,
    unit_option,
)

if TYPE_CHECKING:
    from setwright.publish.units import Unit

DAY = click.DateTime(formats=["%Y-%m-%d"])


def parted(files: tuple[Path, ...]) -> tuple[Path | None, tuple[Path, ...]]:
    """The season file, which is TOML and comes first, and the logs."""
    if files and files[0].suffix == ".toml":
        return files[0], files[1:]
    return None, files


@click.command("season")
@click.argument("trainee", type=FILE)
@click.argument("files", type=FILE, nargs=-1, metavar="[SEASON] [LOG]...")
@click.option("--block", "blocks", type=FILE, multiple=True, help="A block so far (block.json or its folder).")
@click.option("--next-brief", type=FILE, metavar="FILE", help="Write the next brief, proposed from the last block.")
@click.option("--on", type=DAY, help="As of this date; the log's last when left out.")
@click.option("--paper", type=click.Choice(["a4", "us-letter"]), default="a4", show_default=True)
@place_option
@kept_option
@out_option
@unit_option
@json_option
def season_verb(
    trainee: Path,
    files: tuple[Path, ...],
    blocks: tuple[Path, ...],
    next_brief: Path | None,
    on: datetime | None,
    paper: Literal["a4", "us-letter"],
    places: tuple[Path, ...],
    records: Path | None,
    out: Path | None,
    unit: Unit | None,
    as_json: bool,
) -> None:
    """Where TRAINEE stands on the goals and dates of a year, by the LOGs; and the next brief.

    SEASON is a TOML file (setwright template season); without it the goals of the trainee file count. With --out the
    coach's page and sheet and the trainee's; with --next-brief the brief that the last block speaks for.
    """
    from setwright.publish.season_json import season_json
    from setwright.publish.season_text import season_text
    from setwright.publish.season_words import for_coach
    from setwright.services.season import season, write_next_brief
    from setwright.services.show import person_unit, say_files

    season_file, logs = parted(files)
    day = None if on is None else on.date()
    found = season(trainee, season_file, logs, blocks, on=day, place_files=places, records=records, say=say)
    shown = unit or person_unit(found.person)
    if next_brief is not None:
        write_next_brief(found, next_brief)
        say(f"{next_brief} holds the next brief: read it, change it, then setwright design {trainee} {next_brief}.")
    if out is not None:
        from setwright.services.season_files import COACH, write_season

        say_files(write_season(found, out, shown, paper), out, f"{COACH}.html")
    for note in found.notes:
        say(note)
    if as_json:
        show_json(season_json(found.view))
    else:
        click.echo(season_text(for_coach(found.view, shown)))
