"""The verb for what comes between: a day lost, minutes cut, another place, a machine gone, a limit lifted."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from setwright.cli.common import FILE, deciding_of, json_option, kept_option, log_option, out_option, say, unit_option

if TYPE_CHECKING:
    from setwright.publish.units import Unit


@click.command("reshape")
@click.argument("block", type=FILE)
@click.option("--bar", "bars", multiple=True, metavar="SLUG", help="An exercise that is not to be had, or not wanted.")
@click.option("--lose-day", "lost_days", multiple=True, metavar="DAY", help="A day without training: thu.")
@click.option("--minutes", "minutes", multiple=True, metavar="[DAY=]MIN", help="Minutes there are now: 45, thu=40.")
@click.option("--place", "places", multiple=True, metavar="[DAY=]FILE", help="Another place: a file, thu=FILE.")
@click.option("--weeks", default="", help="Only in these weeks: 3,4 or 3-5; all that remain when left out.")
@click.option("--lift-restriction", "lift", default="", metavar="ID", help="A restriction that ends, by id or joint.")
@click.option("--by", "lifted_by", default="", help="Who lifts it: only who set it may.")
@click.option("--stage", default="", metavar="NAME", help="With it: isometric, short range, light; full lifts it.")
@click.option("--given-on", type=click.DateTime(formats=["%Y-%m-%d"]), help="With --stage: the day of the clearance.")
@click.option("--before", type=FILE, help="With --lift-restriction: the block as it was before it.")
@click.option("--sets-only", is_flag=True, help="Every exercise stays; only sets change.")
@click.option("--from-week", type=int, help="First week that may change; the one after the last logged when left out.")
@log_option
@kept_option
@out_option
@unit_option
@json_option
def reshape_verb(
    block: Path,
    bars: tuple[str, ...],
    lost_days: tuple[str, ...],
    minutes: tuple[str, ...],
    places: tuple[str, ...],
    weeks: str,
    lift: str,
    lifted_by: str,
    stage: str,
    given_on: datetime | None,
    before: Path | None,
    sets_only: bool,
    from_week: int | None,
    logs: tuple[Path, ...],
    records: Path | None,
    out: Path | None,
    unit: Unit | None,
    as_json: bool,
) -> None:
    """The block after something came between: as few entries changed as can be, each with its reason.

    Several things may be said at once. Weeks that are done stay as they are.
    """
    from setwright.services.gather import load_block
    from setwright.services.reshaping import Disturbance, reshape_after
    from setwright.services.show import finish_change

    happened = Disturbance(bars, lost_days, minutes, places, weeks, sets_only)
    if stage:
        from setwright.services.staging import stage_block

        if not lift or happened != Disturbance():
            raise click.UsageError("--stage goes with --lift-restriction alone: one thing at a time")
        day = None if given_on is None else given_on.date()
        changed = stage_block(block, lift, stage, from_week, lifted_by, day, before, logs, records, say)
    else:
        changed = reshape_after(block, happened, lift, lifted_by, before, from_week, logs, records, say)
    names = deciding_of(block, out, records)
    finish_change(changed, out, as_json, unit=unit, with_proof=True, before=load_block(block), deciding=names)
