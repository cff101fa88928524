"""The verbs that learn from a log: estimate, review, adapt."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from setwright.cli.common import FILE, deciding_of, json_option, kept_option, out_option, say, show_json, unit_option

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
@click.option("--forecast", type=click.DateTime(formats=["%Y-%m-%d"]), help="The day to forecast to; in 8 weeks.")
@click.option("--exercise", "asked", multiple=True, metavar="SLUG", help="Only this lift, done before or not.")
@click.option("--paper", type=click.Choice(["a4", "us-letter"]), default="a4", show_default=True)
@out_option
@kept_option
@unit_option
@json_option
def estimate_verb(
    trainee: Path,
    logs: tuple[Path, ...],
    on: datetime | None,
    forecast: datetime | None,
    asked: tuple[str, ...],
    paper: Literal["a4", "us-letter"],
    out: Path | None,
    records: Path | None,
    unit: Unit | None,
    as_json: bool,
) -> None:
    """What the baselines and LOGS say about strength, with spread; with --out as page, PDF and charts too.

    Heart rates measured or logged add the rates to train at; all-out efforts marked as tests add critical power.
    """
    from setwright.publish.endurance_words import endurance_json
    from setwright.publish.strength_json import strength_json
    from setwright.services.deeds import endurance, estimate
    from setwright.services.gather import load_person
    from setwright.services.shelf import slug_of
    from setwright.services.show import endurance_text, estimate_text, person_unit, say_files
    from setwright.services.strength_files import write_strength

    found = estimate(trainee, logs, None if on is None else on.date(), records, say)
    person = load_person(trainee)
    shown, until = unit or person_unit(person), later_day(found.today, forecast)
    slugs = tuple(slug_of(name) for name in asked)
    if out is not None:
        say_files(len(write_strength(found, person.places, out, shown, until, paper)), out, "strength.html")
    beside = endurance(trainee, logs, found.today, records)
    if as_json:
        told = {} if beside is None else {"conditioning": endurance_json(beside)}
        show_json({**strength_json(found, person.places, until, slugs), **told})
    else:
        click.echo(estimate_text(found, shown, person.places, until, slugs))
        if beside is not None:
            click.echo("\n" + endurance_text(beside))


def later_day(today: date, wanted: datetime | None) -> date | None:
    """The day of a forecast; refuses one that is not after the date of the estimates, or over two years away."""
    if wanted is None:
        return None
    if not 0 < (wanted.date() - today).days <= 731:
        from setwright.faults import Fault, InputFaults

        allowed = f"a day after {today} and within two years"
        raise InputFaults([Fault("--forecast", "", wanted.date().isoformat(), allowed)])
    return wanted.date()


@click.command("review")
@click.argument("block", type=FILE)
@click.argument("logs", type=FILE, nargs=-1)
@click.option("--paper", type=click.Choice(["a4", "us-letter"]), default="a4", show_default=True)
@click.option(
    "--half-life",
    "half_lives",
    type=click.FloatRange(0.5, 365),
    multiple=True,
    help="Days after which a day of load weighs half as much; may be said again. 7 and 28 if left out.",
)
@out_option
@kept_option
@unit_option
@json_option
def review_verb(
    block: Path,
    logs: tuple[Path, ...],
    paper: Literal["a4", "us-letter"],
    half_lives: tuple[float, ...],
    out: Path | None,
    records: Path | None,
    unit: Unit | None,
    as_json: bool,
) -> None:
    """Done against planned, and findings ordered by what matters; from LOGS, or from the records.

    With --out also as a page, as one sheet to send on, as JSON, and each chart as SVG.
    """
    from setwright.publish.words import block_unit
    from setwright.review.as_json import review_json
    from setwright.services.review_files import reviewed, write_review
    from setwright.services.show import review_text, say_files

    need_a_log(logs, records)
    found = reviewed(block, logs, records, say, half_lives)
    if out is not None:
        say_files(len(write_review(found, out, unit, paper)), out, "review.html")
    if as_json:
        show_json(review_json(found.review))
    else:
        click.echo(review_text(found.review, unit or block_unit(found.block)))


@click.command("adapt")
@click.argument("block", type=FILE)
@click.argument("logs", type=FILE, nargs=-1)
@click.option("--on", type=click.DateTime(formats=["%Y-%m-%d"]), help="Seen from this day; the log's last if left out.")
@kept_option
@out_option
@unit_option
@json_option
def adapt_verb(
    block: Path,
    logs: tuple[Path, ...],
    on: datetime | None,
    records: Path | None,
    out: Path | None,
    unit: Unit | None,
    as_json: bool,
) -> None:
    """The next revision of BLOCK after what LOGS or the records hold, with the list of changes."""
    from setwright.services.adapting import adapt
    from setwright.services.gather import load_block
    from setwright.services.show import finish_change

    before = load_block(block)
    need_a_log(logs, records)
    found = adapt(block, logs, records, say, None if on is None else on.date())
    if found.finding is not None:
        one = found.finding
        say(f"{one.kind.capitalize()}, {one.about}: {one.evidence} {one.settles_it}")
    for note in found.notes:
        say(note)
    after = found.block
    if after.id == before.id and not as_json:
        say("Nothing has to change: the log agrees with the plan." if found.finding is None else "Nothing was changed.")
        return
    names = deciding_of(block, out, records)
    finish_change(after, out, as_json, unchanged=after.id == before.id, unit=unit, before=before, deciding=names)
