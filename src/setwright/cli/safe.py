"""The verbs that keep records safe: backup, restore."""

from __future__ import annotations

from pathlib import Path

import click

from setwright.cli.common import FILE, json_option, records_option, say, show_json


@click.command("backup")
@records_option
@click.option("--out", type=FILE, help="The file; setwright-backup-<time>.zip here when left out.")
@click.option("--portable", is_flag=True, help="Rows as text, to move between SQLite and PostgreSQL.")
@json_option
def backup_verb(records: Path, out: Path | None, portable: bool, as_json: bool) -> None:
    """Write all records, with pictures, into one file with checksums; the pages may be in use meanwhile."""
    from setwright.services.backing_up import back_up, usual_backup_name

    made = back_up(records, out or Path(usual_backup_name()), portable)
    total = sum(size for size, _ in made.manifest.files.values())
    say(f"{made.file}: {len(made.manifest.files)} files, {total} bytes before packing, read again and whole.")
    say("It holds all that is known of your trainees: keep it where only you can read it.")
    if as_json:
        kept = made.manifest
        show_json({"file": str(made.file), "kind": kept.kind, "made_at": kept.made_at, "rows": dict(kept.rows)})


@click.command("restore")
@click.argument("backup", type=FILE)
@records_option
@click.option("--replace", is_flag=True, help="Also where records are there; those are kept beside.")
@click.option("--dry-run", is_flag=True, help="Check everything, change nothing.")
@json_option
def restore_verb(backup: Path, records: Path, replace: bool, dry_run: bool, as_json: bool) -> None:
    """Put the records of a BACKUP in the place of those of a folder; a damaged file is refused before that."""
    from setwright.services.restoring import Asked, restore

    done = restore(Asked(backup, records, replace, dry_run), say)
    manifest = done.manifest
    say(f"{backup} is whole: {manifest.kind} of {manifest.made_at}, written by version {manifest.version}.")
    if dry_run:
        say("Nothing was changed.")
    else:
        say(f"Its records are in {records} now. Everybody logs in anew.")
    if done.before is not None:
        say(f"What was there before is in {done.before}.")
    if done.erased_again:
        say(f"{done.erased_again} of it were erased meanwhile, and are erased again.")
    if as_json:
        before = None if done.before is None else str(done.before)
        show_json(
            {
                "records": str(records),
                "kind": manifest.kind,
                "made_at": manifest.made_at,
                "rows": dict(manifest.rows),
                "before": before,
                "erased_again": done.erased_again,
                "changed": not dry_run,
            }
        )
