"""Open formats on the command line: export --as, and import --into for what a clinic or a calendar says."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, TypeVar

import click

from setwright.cli.common import log_option, say, show_json, unit_option, wrapped

F = TypeVar("F", bound=Callable[..., Any])
KINDS = ("fhir", "parquet", "csv", "ics")


def exchange_options(function: F) -> F:
    """``--as FORMAT`` of export, and what may go out with it."""
    options = (
        click.option(
            "--as", "kind", type=click.Choice(KINDS), help="One open format, into a folder: see docs/exchange."
        ),
        log_option,
        unit_option,
        click.option("--called", default="", help="With --as fhir: the name or pseudonym in the file."),
        click.option("--name", "is_name", is_flag=True, help="With --as fhir: --called is the real name."),
        click.option(
            "--with",
            "may",
            multiple=True,
            type=click.Choice(["pain", "notes"]),
            help="With --as fhir: these go out too; neither when left out.",
        ),
    )
    for option in reversed(options):
        function = option(function)
    return function


def export_as(name: str, records: Path, out: Path | None, as_json: bool, asked: Mapping[str, Any]) -> None:
    """Writes the block and log of somebody in one open format."""
    from setwright.publish.clinic_bundle import Outgoing
    from setwright.services.exchange import block_and_log, exchange_files
    from setwright.services.files import make_folder, write_whole

    kind, may = asked["kind"], asked["may"]
    if kind == "fhir" and not asked["called"]:
        raise click.UsageError("--as fhir needs --called: a pseudonym, or with --name their name")
    if kind != "fhir" and (asked["called"] or asked["is_name"] or may):
        raise click.UsageError("--called, --name and --with are for --as fhir")
    outgoing = Outgoing(asked["called"], asked["is_name"], "pain" in may, "notes" in may)
    block, log, before = block_and_log(name, records, asked["logs"])
    files = exchange_files(block, log, kind, outgoing, asked["unit"], before)
    folder = out or Path(f"{block.trainee}-{kind}")
    make_folder(folder)
    for one, data in files.items():
        write_whole(folder / one, data)
    say(f"{', '.join(files)} written into {folder}.")
    if kind == "fhir":
        left_out = [word for word in ("pain", "notes") if word not in may]
        said = f" Left out: {' and '.join(left_out)}." if left_out else ""
        say(f"The person is called {asked['called']} in it.{said} Look at it before it goes out.")
    if as_json:
        show_json({"folder": str(folder), "files": sorted(files)})


def import_clinic(sources: tuple[Path, ...], into: Path, take: str, out: Path | None, as_json: bool) -> None:
    """Shows what a clinic's file brings for a trainee; writes the rows that the coach takes into a new file."""
    from setwright.people.intake import read_trainee
    from setwright.services.clinic import MOST_BYTES, look_at_clinic, with_rows
    from setwright.services.files import read_text, write_whole
    from setwright.services.gather import catalogue

    if len(sources) != 1:
        raise click.UsageError("--into takes one file at a time")
    if sources[0].suffix.lower() == ".ics":
        if take or out is not None:
            raise click.UsageError("--take and --out are for a clinic's file; a calendar changes nothing by itself")
        import_away(sources[0], into, as_json)
        return
    if bool(take) != (out is not None):
        raise click.UsageError("--take says which rows, --out where the new trainee file goes: give both, or neither")
    intake = read_text(into)
    trainee = read_trainee(intake, str(into), catalogue())
    found = look_at_clinic(read_text(sources[0], MOST_BYTES), str(sources[0]), trainee)
    numbers = [one.number for one in found.rows] if take == "all" else numbers_of(take)
    made = with_rows(intake, found, numbers, str(into)) if take else ""
    if as_json:
        rows = [{"number": one.number, "kind": one.kind, "says": one.says, "there": one.is_there} for one in found.rows]
        taken = [one for one in rows if one["number"] in numbers]
        show_json(
            {
                "called": found.called,
                "rows": rows,
                "taken": taken,
                "told": list(found.told),
                "unread": list(found.unread),
            }
        )
    else:
        show_arrival(found)
    if out is None:
        say("Nothing was changed. Look at each row, then take those that you want: --take 1,3 --out FILE.")
        return
    write_whole(out, made.encode())
    word = "row" if len(numbers) == 1 else "rows"
    say(f"{out}: {into} with {len(numbers)} {word} of it. Comments of the old file are not in it.")


def import_away(source: Path, into: Path, as_json: bool) -> None:
    """Shows which sessions of a block fall on the days away of a calendar, and how to change the block for them."""
    from setwright.plan.away_days import MOST_BYTES, lost_together, read_away, sessions_hit
    from setwright.publish.words import counted
    from setwright.services.files import read_bytes
    from setwright.services.gather import load_block

    block = load_block(into)
    away = read_away(read_bytes(source, MOST_BYTES), str(source))
    hits = sessions_hit(block, away.days)
    commands = [
        " ".join(["setwright reshape", str(into), *(f"--lose-day {day}" for day in lost)])
        + f" --weeks {','.join(map(str, weeks))}"
        for lost, weeks in lost_together(hits)
    ]
    if as_json:
        rows = [{"week": one.week, "day": one.day, "date": one.date.isoformat()} for one in hits]
        days = [one.isoformat() for one in away.days]
        show_json({"away": days, "hit": rows, "reshape": commands, "unread": list(away.unread)})
        return
    for one in hits:
        click.echo(f"Week {one.week}, {one.day}: away on {one.date.isoformat()}")
    if not hits:
        days_away = counted(len(away.days), "day") + " away"
        click.echo(f"No session of the block falls on the {days_away}." if away.days else "No whole day away is in it.")
    for line in away.unread:
        click.echo(wrapped(f"Not read: {line}", "  "))
    if commands:
        say("Nothing was changed. To fit the block to it, one after the other, each on what the one before wrote:")
        for line in commands:
            say(f"  {line} --out FOLDER")


def show_arrival(found: Any) -> None:
    """What a clinic's file brings, in lines."""
    click.echo(f"About: {found.called or 'no name'}")
    for one in found.rows:
        there = "  (already there)" if one.is_there else ""
        click.echo(wrapped(f"{one.number:>3}  {one.kind}: {one.says}{there}", "     "))
        for line in one.more:
            click.echo(wrapped(f"     {line}", "     "))
    if not found.rows:
        click.echo("  No row for the trainee file.")
    for title, lines in (("Told, not taken", found.told), ("Not read", found.unread)):
        if lines:
            click.echo(f"{title}:")
        for line in lines:
            click.echo(wrapped(f"  - {line}", "    "))


def numbers_of(text: str) -> list[int]:
    """The numbers of a text like 1,3-5."""
    found: list[int] = []
    for piece in (one.strip() for one in text.split(",") if one.strip()):
        first, dash, last = piece.partition("-")
        if not (first.isdigit() and (not dash or last.isdigit())) or len(piece) > 12:
            raise click.UsageError(f"--take {text!r}: expected numbers like 1,3-5, or all")
        found += range(int(first), min(int(last), int(first) + 999) + 1) if dash else [int(first)]
    return list(dict.fromkeys(found))
