"""The verb fit: one master block for many trainees."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from setwright.cli.common import FILE, json_option, kept_option, out_option, place_option, say, show_json, unit_option

if TYPE_CHECKING:
    from setwright.publish.units import Unit


@click.command("fit")
@click.argument("block", type=FILE)
@click.argument("trainees", type=FILE, nargs=-1, required=True)
@click.option("--start", type=click.DateTime(formats=["%Y-%m-%d"]), help="First day; the block's own when left out.")
@click.option("--name", "names", multiple=True, help='What an unsure name means: --name "bench press=bench_bb".')
@click.option("--cue", "cues", multiple=True, help='For {cue} of a kept session: --cue "front squat=knees out".')
@click.option("--sheets", is_flag=True, help="With --out: everybody's sheets, pages and notes too.")
@click.option("--paper", type=click.Choice(["a4", "us-letter"]), default="a4", show_default=True)
@click.option("--processes", type=click.IntRange(1, 64), help="How many work at once; the result is the same.")
@place_option
@kept_option
@out_option
@unit_option
@json_option
@click.pass_context
def fit_verb(
    ctx: click.Context,
    block: Path,
    trainees: tuple[Path, ...],
    start: datetime | None,
    names: tuple[str, ...],
    cues: tuple[str, ...],
    sheets: bool,
    paper: str,
    processes: int | None,
    places: tuple[Path, ...],
    records: Path | None,
    out: Path | None,
    unit: Unit | None,
    as_json: bool,
) -> None:
    """Fit the master BLOCK to every TRAINEE: the nearest version each, and a table of who differs where and why.

    BLOCK is a block.json, its folder, a block in shorthand, or a kept session.
    With --out, a folder for each trainee and the table.
    """
    from setwright.cli.plan import answers_of
    from setwright.publish.fit_table import table_text
    from setwright.services.fitting import fit, fitting_json, write_fitting
    from setwright.services.kept import cues_of
    from setwright.services.show import say_files

    if sheets and out is None:
        raise click.UsageError("--sheets needs --out FOLDER to write into")
    begin = None if start is None else start.date()
    said = cues_of(cues)
    found = fit(block, trainees, places, begin, answers_of(names), records, unit, processes, say, said)
    if out is not None and found.table.columns:
        say_files(write_fitting(found, out, sheets, paper, unit), out)
    if as_json:
        show_json(fitting_json(found))
    else:
        click.echo(table_text(found.table))
    if not found.is_whole:
        for one in found.table.refused:
            say(f"{one.name}: no block. {one.why_words}")
        ctx.exit(3)
