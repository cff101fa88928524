"""Results as a coach reads them in a terminal, and as files in a folder."""

from __future__ import annotations

from pathlib import Path

import click

from setwright.plan.block import Block
from setwright.publish.block_file import block_to_dict
from setwright.publish.units import Unit
from setwright.review.findings import Review
from setwright.services.gather import Person, catalogue
from setwright.strength.estimates import Estimates


def say_files(count: int, out: Path) -> None:
    """How many files were written, and which to open, on standard error."""
    from setwright.publish.words import counted

    click.echo(f"{counted(count, 'file')} in {out}; open {out / 'index.html'} first.", err=True)


def finish_block(block: Block, out: Path | None, as_json: bool, unit: Unit | None = None) -> None:
    """Shows a new block: JSON, or words; and writes its files where a folder is given."""
    from setwright.publish.terminal import block_text
    from setwright.services.publishing import publish_block

    if out is not None:
        say_files(len(publish_block(block, out, unit=unit)), out)
    if as_json:
        import json

        click.echo(json.dumps(block_to_dict(block), ensure_ascii=False, indent=1))
    else:
        click.echo(block_text(block, catalogue(), unit))


def finish_change(
    block: Block, out: Path | None, as_json: bool, unchanged: bool = False, unit: Unit | None = None
) -> None:
    """Shows a changed block with its changes; writes its files where a folder is given."""
    from setwright.publish.terminal import changes_text
    from setwright.services.publishing import publish_block

    if out is not None:
        say_files(len(publish_block(block, out, unit=unit)), out)
    if as_json:
        import json

        data = block_to_dict(block)
        changes = [] if unchanged else data["changes"]
        click.echo(json.dumps({"block": data, "changes": changes}, ensure_ascii=False, indent=1))
    else:
        click.echo(changes_text(block, catalogue(), unit))


def person_unit(person: Person) -> Unit:
    """The unit of the place where a person trains first in the week; kg where they name none."""
    from setwright.publish.words import unit_of

    return unit_of(person.places, person.trainee.days[0].place) if person.trainee.days else "kg"


def estimate_text(found: Estimates, unit: Unit = "kg") -> str:
    """Each lift with its range, what it rests on, and its trend."""
    from setwright.publish.page import trend_text
    from setwright.publish.terminal import fill
    from setwright.publish.units import in_unit, range_text
    from setwright.publish.words import singular

    known = catalogue()
    if not found.lifts:
        return fill("No set with a load and repetitions yet: log one, or add baselines to the trainee file.")
    lines = ["One-repetition maximum, between (8 times in 10), and what it rests on:"]
    for slug, one in sorted(found.lifts.items()):
        whole = one.posterior.one_rm()
        between = range_text(whole.p10 - one.body_part_kg, whole.p90 - one.body_part_kg, unit, " to ")
        change = "" if one.trend_per_week is None else "; " + trend_text(one.trend_per_week, unit)
        added = " added to the body" if one.body_part_kg else ""
        rests_on = singular(in_unit(one.rests_on, unit))
        lines.append(fill(f"{known.get(slug).name}: {between}{added}; {rests_on}{change}", "  "))
    bias = found.effort_bias_reps()
    lines.append(
        fill(f"Called reserves are too low by about {bias.mean:.1f} repetitions ({bias.p10:.1f} to {bias.p90:.1f}).")
    )
    return "\n".join(lines)


def review_text(found: Review, unit: Unit = "kg") -> str:
    """Weeks and findings for people."""
    from setwright.publish.terminal import fill
    from setwright.publish.units import in_unit
    from setwright.publish.words import counted

    lines = []
    for week, load in zip(found.weeks, found.loads, strict=True):
        text = f"Week {week.number}: {week.sessions_done} of {counted(week.sessions_planned, 'session')} done"
        if load.load_au:
            text += f", load {load.load_au:.0f} (RPE x minutes)"
        if load.monotony is not None:
            text += f", monotony {load.monotony:.1f}"
        lines.append(fill(text + "."))
    if not found.weeks:
        return "The log holds nothing of this block yet."
    lines.append("")
    many = ", most important first:" if len(found.findings) > 1 else ":"
    lines.append(counted(len(found.findings), "finding") + many if found.findings else "No findings.")
    for number, one in enumerate(found.findings, start=1):
        sure = "" if one.probability is None else f" ({100 * one.probability:.0f} % sure)"
        lines.append(fill(f"{number}. {one.kind}: {one.about}{sure}", hang="   "))
        lines.append(fill(in_unit(one.evidence, unit), "   ", ""))
        lines.append(fill("-> " + in_unit(one.settles_it, unit), "   "))
    return "\n".join(lines)
