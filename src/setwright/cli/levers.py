"""The verb levers."""

from __future__ import annotations

from math import isfinite
from pathlib import Path
from typing import Literal

import click

from setwright.cli.common import FILE, json_option, out_option, say, show_json


@click.command("levers")
@click.argument("slug", required=False)
@click.option("--trainee", type=FILE, help="A trainee file: body, age, graded sets, measured lengths and bands.")
@click.option("--mass", "mass_kg", type=float, help="Body mass in kg, without a trainee file.")
@click.option("--stature", type=float, help="Stature in cm (or in m), without a trainee file.")
@click.option("--sex", type=click.Choice(["female", "male"]), help="For the tables; the middle of both when left out.")
@click.option("--age", type=click.FloatRange(5, 110), help="Age in years; 30 when left out.")
@click.option("--dial", "dials", multiple=True, metavar="NAME=VALUE", help="Set a dial: hand_height_cm=45.")
@click.option("--band", help="A measured band of the trainee's places, by its name.")
@click.option("--length", "lengths", multiple=True, metavar="NAME=CM", help="A measured length: thigh=43.")
@click.option("--table", type=click.Choice(["de-leva", "winter"]), default="de-leva", show_default=True)
@click.option("--reps", type=click.FloatRange(1, 60), help="A graded set of this very variant: repetitions,")
@click.option("--rir", type=click.FloatRange(0, 10), help="and how many more there were.")
@click.option("--reached", type=click.FloatRange(0, 180), help="The last joint angle of a controlled lowering.")
@out_option
@click.option("--models", is_flag=True, help="List the models and their dials.")
@json_option
def levers_verb(
    slug: str | None,
    trainee: Path | None,
    mass_kg: float | None,
    stature: float | None,
    sex: Literal["female", "male"] | None,
    age: float | None,
    dials: tuple[str, ...],
    band: str | None,
    lengths: tuple[str, ...],
    table: Literal["de-leva", "winter"],
    reps: float | None,
    rir: float | None,
    reached: float | None,
    out: Path | None,
    models: bool,
    as_json: bool,
) -> None:
    """How hard the exercise SLUG is for a body: moment over the range, demand, work, how far it is controlled."""
    from setwright.services import levers

    if models or slug is None:
        if slug is None and not models:
            raise click.UsageError("name an exercise, as nordic, or --models for what can be set")
        found = levers.models_json()
        if as_json:
            show_json(found)
        else:
            click.echo(levers.models_text(found))
        return
    if trainee is not None and (mass_kg is not None or stature is not None or sex is not None or age is not None):
        raise click.UsageError("--trainee says the body already: leave out --mass, --stature, --sex and --age")
    for name, number in (("--reps", reps), ("--rir", rir), ("--reached", reached), ("--age", age)):
        if number is not None and not isfinite(number):
            raise click.UsageError(f"{name} is {number}, expected a number")
    if rir is not None and reps is None:
        raise click.UsageError("--rir says how many more there were after --reps: name both")
    if trainee is None and (mass_kg is None or stature is None):
        say("No body stated: 75 kg and 175 cm stand in. Name --mass and --stature, or --trainee FILE.")
    answer = levers.ask(
        slug,
        mass_kg=mass_kg,
        stature_m=None if stature is None else stature if stature < 3 else stature / 100,
        sex=sex,
        age_years=age,
        trainee=trainee,
        dials=dials,
        band=band,
        table=table,
        lengths=lengths,
        reps=reps,
        rir=rir or 0.0,
        reached_deg=reached,
    )
    if out is not None:
        from setwright.services.show import say_files

        say_files(levers.write_levers(answer, out), out, "levers.html")
    if as_json:
        show_json(answer.as_json())
    else:
        click.echo(levers.answer_text(answer))
