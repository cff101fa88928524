"""Results as a coach reads them in a terminal, and as files in a folder."""

from __future__ import annotations

import textwrap
from pathlib import Path

import click

from setwright.plan.block import Block
from setwright.publish.block_file import block_to_dict
from setwright.review.findings import Review
from setwright.services.gather import catalogue
from setwright.strength.estimates import Estimates


def finish_block(block: Block, out: Path | None, as_json: bool) -> None:
    """Shows a new block: JSON, or words; and writes its files where a folder is given."""
    from setwright.publish.terminal import block_text
    from setwright.services.publishing import publish_block

    if out is not None:
        files = publish_block(block, out)
        click.echo(f"{len(files)} files in {out}; open {out / 'index.html'} first.", err=True)
    if as_json:
        import json

        click.echo(json.dumps(block_to_dict(block), ensure_ascii=False, indent=1))
    else:
        click.echo(block_text(block, catalogue()))


def finish_change(block: Block, out: Path | None, as_json: bool, unchanged: bool = False) -> None:
    """Shows a changed block with its changes; writes its files where a folder is given."""
    from setwright.publish.terminal import changes_text
    from setwright.services.publishing import publish_block

    if out is not None:
        files = publish_block(block, out)
        click.echo(f"{len(files)} files in {out}; open {out / 'index.html'} first.", err=True)
    if as_json:
        import json

        data = block_to_dict(block)
        changes = [] if unchanged else data["changes"]
        click.echo(json.dumps({"block": data, "changes": changes}, ensure_ascii=False, indent=1))
    else:
        click.echo(changes_text(block, catalogue()))


def estimate_text(found: Estimates) -> str:
    """Each lift with its range, what it rests on, and its trend."""
    known = catalogue()
    if not found.lifts:
        return "No set with a load and repetitions yet: log one, or add baselines to the trainee file."
    lines = ["One-repetition maximum, between (8 times in 10), and what it rests on:"]
    for slug, one in sorted(found.lifts.items()):
        whole = one.posterior.one_rm()
        low, high = whole.p10 - one.body_part_kg, whole.p90 - one.body_part_kg
        trend = one.trend_per_week
        change = "" if trend is None else f"; {trend.mean:+.1f} kg a week ({trend.p10:+.1f} to {trend.p90:+.1f})"
        added = " added to the body" if one.body_part_kg else ""
        lines.append(f"  {known.get(slug).name}: {low:.0f} to {high:.0f} kg{added}; {one.rests_on}{change}")
    bias = found.effort_bias_reps()
    lines.append(
        f"Called reserves are too low by about {bias.mean:.1f} repetitions ({bias.p10:.1f} to {bias.p90:.1f})."
    )
    return "\n".join(lines)


def review_text(found: Review) -> str:
    """Weeks and findings for people."""
    lines = []
    for week, load in zip(found.weeks, found.loads, strict=True):
        text = f"Week {week.number}: {week.sessions_done} of {week.sessions_planned} sessions done"
        if load.load_au:
            text += f", load {load.load_au:.0f} (RPE x minutes)"
        if load.monotony is not None:
            text += f", monotony {load.monotony:.1f}"
        lines.append(text + ".")
    if not found.weeks:
        return "The log holds nothing of this block yet."
    lines.append("")
    lines.append(f"{len(found.findings)} findings, most important first:" if found.findings else "No findings.")
    for number, one in enumerate(found.findings, start=1):
        sure = "" if one.probability is None else f" ({100 * one.probability:.0f} % sure)"
        lines.append(f"{number}. {one.kind}: {one.about}{sure}")
        lines.append(textwrap.fill(one.evidence, 80, initial_indent="   ", subsequent_indent="   "))
        lines.append(textwrap.fill("-> " + one.settles_it, 80, initial_indent="   ", subsequent_indent="   "))
    return "\n".join(lines)
