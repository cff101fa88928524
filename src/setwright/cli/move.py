"""The verbs for what comes into records and goes out of them: import, export, erase, rebuild."""

from __future__ import annotations

from pathlib import Path

import click

from setwright.cli.common import FILE, json_option, records_option, say, show_json


@click.command("import")
@click.argument("sources", type=FILE, nargs=-1, required=True)
@records_option
@click.option("--coach", default="", metavar="LOG-IN", help="Who is responsible for new trainees; the owner.")
@json_option
def import_verb(sources: tuple[Path, ...], records: Path, coach: str, as_json: bool) -> None:
    """Take SOURCES into the records: exports of trainees, folders of records, intakes and places.

    What is kept already stays as it is; a log in a file of its own: setwright log.
    """
    from setwright.services.moving import import_into

    done = import_into(records, sources, coach, say)
    new = ", ".join(f"{count} {kind}" for kind, count in done.counts.items() if count)
    say(f"New in {records}: {new}." if new else f"Nothing new: {records} holds all of it.")
    if as_json:
        show_json({"records": str(records), "new": done.counts, "trainees": list(done.trainees)})


@click.command("export")
@click.argument("trainee")
@records_option
@click.option("--out", type=FILE, help="A ZIP file, or a folder for its files; <trainee>.zip here when left out.")
@json_option
def export_verb(trainee: str, records: Path, out: Path | None, as_json: bool) -> None:
    """Write all that is kept of TRAINEE as JSON and CSV, every version; with --json alone, the JSON only."""
    from setwright.services.moving import everything_in, export_person, written_export

    data = export_person(records, trainee)
    if out is not None or not as_json:
        files = written_export(data, out or Path(f"{trainee}.zip"))
        say(f"{len(files)} files: {out}" if len(files) > 1 else f"{files[0]}: {len(data)} bytes.")
        say("It holds all that is known of a person: keep it where only they and you can read it.")
    if as_json:
        show_json(everything_in(data))


@click.command("erase")
@click.argument("trainee")
@records_option
@click.option("--yes", is_flag=True, help="Do it: nothing brings it back.")
@click.option("--dry-run", is_flag=True, help="Say what is kept, change nothing.")
@json_option
def erase_verb(trainee: str, records: Path, yes: bool, dry_run: bool, as_json: bool) -> None:
    """Erase all that is kept of TRAINEE; a tombstone without a name stays."""
    from setwright.faults import Fault, InputFaults
    from setwright.services.record_deeds import erase_person, kept_counts

    counts = kept_counts(records, trainee)
    if not yes and not dry_run:
        kept = ", ".join(f"{count} {kind}" for kind, count in counts.items()) or "nothing but their name"
        hint = f"Kept of them: {kept}. Take an export first: setwright export {trainee}."
        raise InputFaults([Fault("erase", "", "neither --yes nor --dry-run", "one of them", hint)])
    erased = yes and not dry_run
    if erased:
        counts = erase_person(records, trainee)
        say(f"All that was kept of {trainee} is erased; a tombstone without a name stays.")
        say("Backups and folders before-restore-... still hold it: delete those that you need no more.")
    else:
        say(f"Kept of {trainee}: {', '.join(f'{count} {kind}' for kind, count in counts.items())}.")
    if as_json:
        show_json({"trainee": trainee, "erased": erased, "counts": dict(counts)})


@click.command("rebuild")
@records_option
@json_option
def rebuild_verb(records: Path, as_json: bool) -> None:
    """Count everything that is derived from the log and the decisions anew, and say where that changed something."""
    from setwright.services.record_deeds import rebuild_records

    done = rebuild_records(records)
    word = "trainee" if done.trainees == 1 else "trainees"
    say(f"Counted anew: {done.trainees} {word}; the same as before for {done.trainees - len(done.changed)}.")
    if done.changed:
        say(f"Changed: {', '.join(done.changed)}.")
    if as_json:
        show_json({"records": str(records), "trainees": done.trainees, "changed": list(done.changed)})
