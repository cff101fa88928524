"""The verbs of the records: log, accept, decline, undo, history."""

from __future__ import annotations

from pathlib import Path

import click

from setwright.cli.common import FILE, json_option, records_option, say, show_json, wrapped


@click.command("log")
@click.argument("trainee")
@click.argument("logs", type=FILE, nargs=-1, required=True)
@records_option
@json_option
def log_verb(trainee: str, logs: tuple[Path, ...], records: Path, as_json: bool) -> None:
    """Keep LOGS of TRAINEE (an id) in the records; rows that are kept already are not doubled."""
    from setwright.services.keeping import keep_logs

    kept = keep_logs(records, trainee, logs, say)
    say(f"{kept.new} new rows kept for {trainee} in {kept.where}; {kept.total} rows in all.")
    if not kept.is_known:
        near = f" Did you mean {kept.near[0]}?" if kept.near else ""
        say(f"No block of {trainee} is kept there yet: check the id, or accept a block.{near}")
    say(f"estimate, review, adapt, restrict, design and write read them with --records {records}.")
    if as_json:
        show_json({"trainee": trainee, "new_rows": kept.new, "rows": kept.total, "known": kept.is_known})


@click.command("accept")
@click.argument("block", type=FILE)
@records_option
@click.option("--reason", default="", help="Why, kept with the decision.")
@click.option("--changes", "wanted", default="", metavar="1,3-5", help="Only these changes, by their numbers.")
@click.option("--without-asking", is_flag=True, help="Only what is less, and small steps where you allow them.")
@click.option("--before", type=FILE, help="The block it was made from; else it is looked for in the records.")
@click.option("--out", type=FILE, help="Write the block now in force here, as block.json.")
@json_option
def accept_verb(
    block: Path,
    records: Path,
    reason: str,
    wanted: str,
    without_asking: bool,
    before: Path | None,
    out: Path | None,
    as_json: bool,
) -> None:
    """Keep BLOCK and put it in force for its trainee, with all of its changes or some."""
    from setwright.services.keeping import accept_block, write_block

    made = accept_block(records, block, reason, say, wanted, before, without_asking)
    say(f"{made.id} (revision {made.revision}) is in force for {made.trainee}.")
    if out is not None:
        write_block(made, out)
    if as_json:
        show_json(
            {
                "block": made.id,
                "revision": made.revision,
                "trainee": made.trainee,
                "decision": "accepted",
                "changes": len(made.changes),
            }
        )


@click.command("decline")
@click.argument("block", type=FILE)
@records_option
@click.option("--reason", required=True, help="Why, kept with the decision.")
@click.option("--changes", "wanted", default="", metavar="1,3-5", help="Only these changes, by their numbers.")
@json_option
def decline_verb(block: Path, records: Path, reason: str, wanted: str, as_json: bool) -> None:
    """Keep that BLOCK, or some of its changes, was declined; the one in force stays."""
    from setwright.services.keeping import decline_block

    made, numbers = decline_block(records, block, reason, say, wanted)
    if len(numbers) == len(made.changes):
        say(f"{made.id} was declined; nothing changes for {made.trainee}.")
    else:
        say(f"Declined: changes {wanted} of {made.id}. setwright accept takes the others.")
    if as_json:
        show_json(
            {
                "block": made.id,
                "revision": made.revision,
                "trainee": made.trainee,
                "decision": "declined",
                "changes": list(numbers),
            }
        )


@click.command("undo")
@click.argument("trainee")
@records_option
@click.option("--out", type=FILE, help="Write the block in force here, as block.json.")
@click.option("--mistake", is_flag=True, help="The limit that this revision brought was set by mistake: it goes too.")
@click.option("--set-by", default="", help="With --mistake: who set the limit, and takes it back.")
@click.option("--under-limits", is_flag=True, help="Make the revision before anew, under the limits that hold now.")
@json_option
def undo_verb(
    trainee: str, records: Path, out: Path | None, mistake: bool, set_by: str, under_limits: bool, as_json: bool
) -> None:
    """Go back to the revision before the one in force; nothing is deleted.

    One that crosses a limit that holds now does not come back.
    """
    from setwright.services.undoing import undo_in

    if mistake and under_limits:
        raise click.UsageError("one of --mistake and --under-limits")
    made = undo_in(records, trainee, out, set_by if mistake else None, under_limits)
    say(f"{made.id} (revision {made.revision}) is in force again for {made.trainee}.")
    if as_json:
        show_json({"block": made.id, "revision": made.revision, "trainee": made.trainee, "decision": "undone"})


@click.command("history")
@click.argument("trainee")
@records_option
@json_option
def history_verb(trainee: str, records: Path, as_json: bool) -> None:
    """Revisions, decisions and logs kept of TRAINEE, in order."""
    from setwright.services.keeping import history

    rows = history(records, trainee)
    if as_json:
        show_json(rows)
        return
    for row in rows:
        reason = f"  ({row['reason']})" if row["reason"] else ""
        click.echo(wrapped(f"{row['at']:<25}  {row['what']}  {row['block']}{reason}".rstrip(), " " * 27))
    if not rows:
        click.echo(f"Nothing is kept for {trainee} in {records}.")
