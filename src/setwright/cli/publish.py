"""The verbs publish and schema."""

from __future__ import annotations

from datetime import time
from pathlib import Path
from typing import TYPE_CHECKING

import click

from setwright.cli.common import FILE, json_option, show_json, unit_option

if TYPE_CHECKING:
    from setwright.publish.units import Unit

FORMAT_NAMES = ("pdf", "html", "ics", "csv", "json", "notes", "txt")
PUBLIC_FORMAT_NAMES = ("html", "pdf", "txt")


@click.command("publish")
@click.argument("block", type=FILE)
@click.option("--out", type=FILE, default=Path("published"), show_default=True, help="The folder to write into.")
@click.option(
    "--format", "formats", multiple=True, type=click.Choice(FORMAT_NAMES), help="Only these; all when left out."
)
@click.option("--week", "weeks", multiple=True, type=int, help="Only the sheets of these weeks.")
@click.option("--paper", type=click.Choice(["a4", "us-letter"]), default="a4", show_default=True)
@unit_option
@click.option("--at", "start", default="18:00", show_default=True, help="When sessions start, for the calendar.")
@click.option("--no-figures", is_flag=True, help="Sheets, pages and notes without drawn figures.")
@click.option("--public", "is_public", is_flag=True, help="The public edition: no loads, nothing of the person.")
@click.option("--place", "places", type=FILE, multiple=True, help="With --public: fitted to this place, side by side.")
@click.option("--day", default="", help="With --public: only this weekday, like mon.")
@click.option("--talk", type=float, default=None, help="With --public: minutes of the talk through it; 20 if left out.")
@click.option("--title", default="", help="With --public: its title; its first lifts when left out.")
@json_option
def publish_verb(
    block: Path,
    out: Path,
    formats: tuple[str, ...],
    weeks: tuple[int, ...],
    paper: str,
    unit: Unit | None,
    start: str,
    no_figures: bool,
    is_public: bool,
    places: tuple[Path, ...],
    day: str,
    talk: float | None,
    title: str,
    as_json: bool,
) -> None:
    """Sheets, notes, pages, calendar and exchange formats of BLOCK; with --public, its public edition.

    The public edition has efforts in the place of loads, nothing of the person, and the outline of a talk.
    """
    from setwright.services.gather import load_block
    from setwright.services.publishing import FORMATS, publish_block
    from setwright.services.show import say_files

    if is_public:
        from setwright.publish.talk_outline import USUAL_MINUTES
        from setwright.services.public_edition import load_places, public_files, publish_public

        wrong = [one for one in formats if one not in PUBLIC_FORMAT_NAMES]
        if wrong:
            raise click.UsageError(f"--format {wrong[0]} with --public: there are {', '.join(PUBLIC_FORMAT_NAMES)}")
        minutes = USUAL_MINUTES if talk is None else talk
        wanted = formats or PUBLIC_FORMAT_NAMES
        made = public_files(
            load_block(block),
            load_places(places),
            weeks,
            day,
            title,
            minutes,
            paper,  # type: ignore[arg-type]
            wanted,
            not no_figures,
        )
        publish_public(out, made)
        say_files(len(made), out, next(iter(made)))
        if as_json:
            show_json({"folder": str(out), "files": sorted(made)})
        return
    for name, value in (("--place", places), ("--day", day), ("--talk", talk is not None), ("--title", title)):
        if value:
            raise click.UsageError(f"{name} needs --public")
    if "txt" in formats:
        raise click.UsageError("--format txt needs --public")
    hour, colon, minute = start.partition(":")
    if not (colon and hour.isdigit() and minute.isdigit() and int(hour) < 24 and int(minute) < 60):
        raise click.UsageError(f"--at {start!r}: expected a time like 18:00")
    loaded = load_block(block)
    known = [week.number for week in loaded.weeks]
    for week in weeks:
        if week not in known:
            raise click.UsageError(f"--week {week}: the block has weeks {known[0]} to {known[-1]}")
    files = publish_block(
        loaded,
        out,
        weeks or None,
        paper,  # type: ignore[arg-type]
        unit,
        time(int(hour), int(minute)),
        formats or FORMATS,
        not no_figures,
    )
    say_files(len(files), out)
    if as_json:
        show_json({"folder": str(out), "files": sorted(str(one) for one in files)})


@click.command("schema")
@click.argument(
    "name",
    type=click.Choice(
        [
            "block",
            "changes",
            "compare",
            "no-plan",
            "log",
            "estimate",
            "review",
            "next",
            "levers",
            "range",
            "climb",
            "fit",
            "several",
            "season",
            "season-file",
            "floor",
            "own-data",
            "keep",
            "kept",
            "group",
        ]
    ),
)
@json_option
def schema_verb(name: str, as_json: bool) -> None:
    """Print the JSON Schema of the NAMEd format; it is JSON with or without --json."""
    if name == "block":
        from setwright.publish.block_file import block_schema

        show_json(block_schema())
    else:
        from setwright.publish import (
            compare_schema,
            floor_json,
            kept_schema,
            next_set_schema,
            own_data_schema,
            review_schema,
            schemas,
            season_json,
        )

        made = {
            "log": schemas.log_schema,
            "estimate": schemas.estimate_schema,
            "review": review_schema.review_schema,
            "next": next_set_schema.next_schema,
            "levers": schemas.levers_schema,
            "range": schemas.range_schema,
            "climb": schemas.climb_schema,
            "fit": schemas.fit_schema,
            "changes": schemas.changes_schema,
            "compare": compare_schema.compare_schema,
            "season": season_json.season_schema,
            "season-file": season_json.season_file_schema,
            "no-plan": schemas.no_plan_schema,
            "several": schemas.several_schema,
            "floor": floor_json.floor_schema,
            "own-data": own_data_schema.own_data_schema,
            "keep": kept_schema.keep_schema,
            "kept": kept_schema.kept_schema,
            "group": kept_schema.group_schema,
        }
        show_json(made[name]())
