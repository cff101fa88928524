"""The verbs that learn from a log: estimate, review, adapt."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from setwright.cli.common import FILE, json_option, kept_option, out_option, say, show_json, unit_option

if TYPE_CHECKING:
    from setwright.publish.units import Unit


def need_a_log(logs: tuple[Path, ...], records: Path | None) -> None:
    """Refuses to look at nothing."""
    if not logs and records is None:
        raise click.UsageError("no log: name log files, or --records with the folder that keeps them")


@click.command("estimate")
@click.argument("trainee", type=FILE)
@click.argument("logs", type=FILE, nargs=-1)
@click.option("--on", type=click.DateTime(formats=["%Y-%m-%d"]), help="As of this date; the log's last when left out.")
@kept_option
@unit_option
@json_option
def estimate_verb(
    trainee: Path,
    logs: tuple[Path, ...],
    on: datetime | None,
    records: Path | None,
    unit: Unit | None,
    as_json: bool,
) -> None:
    """What the baselines and LOGS say about strength, with spread."""
    from setwright.services.deeds import estimate
    from setwright.services.gather import load_person
    from setwright.services.show import estimate_text, person_unit

    found = estimate(trainee, logs, None if on is None else on.date(), records, say)
    if as_json:
        show_json(found.as_json())
    else:
        click.echo(estimate_text(found, unit or person_unit(load_person(trainee))))


@click.command("review")
@click.argument("block", type=FILE)
@click.argument("logs", type=FILE, nargs=-1)
@kept_option
@unit_option
@json_option
def review_verb(block: Path, logs: tuple[Path, ...], records: Path | None, unit: Unit | None, as_json: bool) -> None:
    """Done against planned, and findings ordered by what matters; from LOGS, or from the records."""
    from setwright.publish.words import block_unit
    from setwright.services.deeds import review
    from setwright.services.gather import load_block
    from setwright.services.show import review_text

    need_a_log(logs, records)
    found = review(block, logs, records, say)
    if as_json:
        show_json(found.as_json())
    else:
        click.echo(review_text(found, unit or block_unit(load_block(block))))


@click.command("adapt")
@click.argument("block", type=FILE)
@click.argument("logs", type=FILE, nargs=-1)
@kept_option
@out_option
@unit_option
@json_option
def adapt_verb(
    block: Path,
    logs: tuple[Path, ...],
    records: Path | None,
    out: Path | None,
    unit: Unit | None,
    as_json: bool,
) -> None:
    """The next revision of BLOCK after what LOGS or the records hold, with the list of changes."""
    from setwright.services.deeds import adapt
    from setwright.services.gather import load_block
    from setwright.services.show import finish_change

    before = load_block(block)
    need_a_log(logs, records)
    after = adapt(block, logs, records, say)
    if after.id == before.id and not as_json:
        say("Nothing has to change: the log agrees with the plan.")
        return
    finish_change(after, out, as_json, unchanged=after.id == before.id, unit=unit)
