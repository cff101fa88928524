"""The verbs catalogue and alternatives."""

from __future__ import annotations

from pathlib import Path

import click

from setwright.cli.common import FILE, json_option, say, show_json


@click.command("catalogue")
@click.argument("slug", required=False)
@click.option("--pattern", help="Only this movement pattern, like squat or pull_vertical.")
@click.option("--muscle", help="Only exercises that count for this muscle group.")
@click.option("--with", "have", help="Only what can be done with this equipment, comma-separated.")
@click.option("--part", help="Only exercises for this part, like warm-up or main.")
@click.option("--find", help="Search by name; the trade's other names count.")
@click.option("--progressions", is_flag=True, help="List the progressions with their steps.")
@click.option("--schemes", is_flag=True, help="List the ways of doing sets, and what each counts.")
@click.option("--formats", is_flag=True, help="List the formats of conditioning, and how each is scored.")
@json_option
def catalogue_verb(
    slug: str | None,
    pattern: str | None,
    muscle: str | None,
    have: str | None,
    part: str | None,
    find: str | None,
    progressions: bool,
    schemes: bool,
    formats: bool,
    as_json: bool,
) -> None:
    """List exercises, or show one SLUG with what is derived from it."""
    from setwright.services import shelf

    if progressions:
        from setwright.services.step_demand import demand_port

        found = shelf.progressions(demand_port())
        if as_json:
            show_json(found)
        else:
            click.echo(shelf.progressions_text(found))
        return
    if schemes:
        from setwright.services import scheme_shelf

        rows = scheme_shelf.schemes()
        if as_json:
            show_json(rows)
        else:
            click.echo(scheme_shelf.schemes_text(rows))
        return
    if formats:
        from setwright.services import format_shelf

        rows = format_shelf.formats()
        if as_json:
            show_json(rows)
        else:
            click.echo(format_shelf.formats_text(rows))
        return
    if slug is not None:
        one = shelf.show(slug)
        if as_json:
            show_json([one])
        else:
            click.echo(shelf.entry_text(one))
        return
    wanted = [piece.strip() for piece in have.split(",")] if have else None
    rows = shelf.listing(pattern, muscle, wanted, part, find)
    if as_json:
        show_json(rows)
    else:
        if find is not None and rows and not shelf.is_called(rows[0], find):
            say(f"Nothing is called {find!r}; these are most like it.")
        click.echo(shelf.listing_text(rows))


@click.command("alternatives")
@click.argument("slug")
@click.option("--have", help="Equipment there is, comma-separated.")
@click.option("--place", "place", type=FILE, help="A place file.")
@click.option("--trainee", "trainee", type=FILE, help="A trainee file: restrictions and history count.")
@click.option("--restriction", "restrictions", multiple=True, help='In plain words: "elbow pulling".')
@click.option("--brief", "brief", type=FILE, help="A brief: what it excludes is not offered.")
@click.option("--block", "block", type=FILE, help="A block: its brief, its trainee and its places count.")
@click.option("--part", help="Only what fits this part, like warm-up or main.")
@click.option("-n", "count", type=int, help="How many; 5 for people and 12 as JSON when left out.")
@click.option("--all", "with_all", is_flag=True, help="Also those that are closed, with the reason.")
@json_option
def alternatives_verb(
    slug: str,
    have: str | None,
    place: Path | None,
    trainee: Path | None,
    restrictions: tuple[str, ...],
    brief: Path | None,
    block: Path | None,
    part: str | None,
    count: int | None,
    with_all: bool,
    as_json: bool,
) -> None:
    """What can stand in for the exercise SLUG, best first."""
    from setwright.services import shelf
    from setwright.services.deeds import stand_ins

    name = shelf.slug_of(slug)
    tokens = [piece.strip() for piece in have.split(",") if piece.strip()] if have else []
    shelf.check_tokens(tokens, "--have")
    shelf.check_part(part)
    most = (12 if as_json else 5) if count is None else count
    found = stand_ins(name, tokens, place, trainee, restrictions, most, with_all, part, brief, block)
    if as_json:
        show_json([one.as_json() for one in found.rows])
        if found.nothing_good:
            say(shelf.nothing_good_text(found))
    else:
        click.echo(shelf.alternatives_text(found, most))
