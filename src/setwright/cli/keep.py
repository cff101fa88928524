"""The verbs of the records: log, accept, decline, undo, history."""

from __future__ import annotations

from pathlib import Path

import click

from setwright.cli.common import FILE, json_option, say, show_json

RECORDS = click.option(
    "--records", type=FILE, default=Path("setwright-records"), show_default=True, help="The folder of the records."
)


@click.command("log")
@click.argument("trainee")
@click.argument("logs", type=FILE, nargs=-1, required=True)
@RECORDS
def log_verb(trainee: str, logs: tuple[Path, ...], records: Path) -> None:
    """Keep LOGS of TRAINEE (an id) in the records; rows that are kept already are not doubled."""
    from setwright.services.keeping import keep_logs

    new = keep_logs(records, trainee, logs)
    say(f"{new} new rows kept for {trainee}.")


@click.command("accept")
@click.argument("block", type=FILE)
@RECORDS
@click.option("--reason", default="", help="Why, kept with the decision.")
def accept_verb(block: Path, records: Path, reason: str) -> None:
    """Keep BLOCK and put it in force for its trainee."""
    from setwright.services.keeping import accept_block

    made = accept_block(records, block, reason)
    say(f"{made.id} (revision {made.revision}) is in force for {made.trainee}.")


@click.command("decline")
@click.argument("block", type=FILE)
@RECORDS
@click.option("--reason", required=True, help="Why, kept with the decision.")
def decline_verb(block: Path, records: Path, reason: str) -> None:
    """Keep that BLOCK was proposed and declined; the one in force stays."""
    from setwright.services.keeping import decline_block

    made = decline_block(records, block, reason)
    say(f"{made.id} was declined; nothing changes for {made.trainee}.")


@click.command("undo")
@click.argument("trainee")
@RECORDS
@click.option("--out", type=FILE, help="Write the block in force here, as block.json.")
def undo_verb(trainee: str, records: Path, out: Path | None) -> None:
    """Go back to the revision before the one in force; nothing is deleted."""
    from setwright.services.keeping import undo_block

    made = undo_block(records, trainee, out)
    say(f"{made.id} (revision {made.revision}) is in force again for {made.trainee}.")


@click.command("history")
@click.argument("trainee")
@RECORDS
@json_option
def history_verb(trainee: str, records: Path, as_json: bool) -> None:
    """Revisions and decisions of TRAINEE, in order."""
    from setwright.services.keeping import history

    rows = history(records, trainee)
    if as_json:
        show_json(rows)
        return
    for row in rows:
        click.echo(f"{row['at']}  {row['what']}  {row['block']}" + (f"  ({row['reason']})" if row["reason"] else ""))
    if not rows:
        click.echo(f"Nothing is kept for {trainee}.")
