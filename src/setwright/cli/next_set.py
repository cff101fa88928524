"""The verb during a session: what the set just done says of the next one."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from setwright.cli.common import FILE, json_option, kept_option, say, show_json, unit_option, wrapped

if TYPE_CHECKING:
    from setwright.publish.units import Unit


@click.command("next")
@click.argument("block", type=FILE)
@click.argument("logs", type=FILE, nargs=-1)
@kept_option
@unit_option
@json_option
def next_verb(block: Path, logs: tuple[Path, ...], records: Path | None, unit: Unit | None, as_json: bool) -> None:
    """The next set of BLOCK after the newest one in LOGS or the records: load or repetitions, and why."""
    from setwright.cli.learn import need_a_log
    from setwright.publish.next_set_words import advice_text
    from setwright.publish.words import block_unit
    from setwright.services.advising import advise
    from setwright.services.gather import catalogue, load_block

    need_a_log(logs, records)
    found = advise(block, logs, records, say)
    if as_json:
        show_json(found.as_json())
        return
    name = catalogue().get(found.exercise).name
    shown = advice_text(name, found.number, found.of, found.next, found.then, unit or block_unit(load_block(block)))
    click.echo(wrapped(shown, "  "))
