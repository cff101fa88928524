"""The verbs for what comes into records and goes out of them: import, export, erase, rebuild."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from setwright.cli.common import FILE, json_option, records_option, say, show_json
from setwright.cli.exchange import exchange_options


@click.command("import")
@click.argument("sources", type=FILE, nargs=-1, required=True)
@records_option
@click.option("--coach", default="", metavar="LOG-IN", help="Who is responsible for new trainees; the owner.")
@click.option("--into", type=FILE, metavar="FILE", help="Show what a clinic's bundle (or a calendar) means for it.")
@click.option("--take", default="", metavar="1,3-5", help="With --into: take these rows of it; all takes every row.")
@click.option("--out", type=FILE, help="With --take: write the trainee file with them here.")
@json_option
def import_verb(
    sources: tuple[Path, ...], records: Path, coach: str, into: Path | None, take: str, out: Path | None, as_json: bool
) -> None:
    """Take SOURCES into the records: exports of trainees, folders of records, intakes and places.

    What is kept already stays as it is; a log in a file of its own: setwright log. With --into, SOURCES is a bundle
    from a clinic (FHIR R4, JSON) for a trainee file: its limits and measures are shown, and only those of --take are
    written. Or it is a calendar (.ics) of days away for a block file: the sessions that fall on them are shown.
    """
    if into is not None:
        from setwright.cli.exchange import import_clinic

        import_clinic(sources, into, take, out, as_json)
        return
    if take or out is not None:
        raise click.UsageError("--take and --out need --into")
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
@exchange_options
@json_option
def export_verb(trainee: str, records: Path, out: Path | None, as_json: bool, **exchange: Any) -> None:
    """Write all that is kept of TRAINEE as JSON and CSV, every version; with --json alone, the JSON only.

    With --as: the block in force and the log in one open format. TRAINEE may then be a block file.
    """
    if exchange["kind"]:
        from setwright.cli.exchange import export_as

        export_as(trainee, records, out, as_json, exchange)
        return
    given = [key for key in ("logs", "called", "is_name", "may", "unit") if exchange[key]]
    if given:
        raise click.UsageError("--log, --called, --name, --with and --unit need --as")
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
