"""Results as a coach reads them in a terminal, and as files in a folder."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

import click

from setwright.people.place import Place
from setwright.plan.block import Block
from setwright.publish.block_file import block_to_dict
from setwright.publish.changes_report import Deciding
from setwright.publish.strength_report import LiftReport
from setwright.publish.units import Unit
from setwright.review.findings import Review
from setwright.services.gather import Person, catalogue
from setwright.strength.endurance import Endurance
from setwright.strength.estimates import Estimates


def say_files(count: int, out: Path, first: str = "index.html") -> None:
    """How many files were written, and which to open, on standard error."""
    from setwright.publish.words import counted

    click.echo(f"{counted(count, 'file')} in {out}; open {out / first} first.", err=True)


def say_who_rests(blocks: Sequence[Path], on: date) -> None:
    """Who does not train that day, on standard error."""
    from setwright.services.rest_days import who_rests

    for sentence in who_rests(blocks, on):
        click.echo(sentence, err=True)


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
    block: Block,
    out: Path | None,
    as_json: bool,
    unchanged: bool = False,
    unit: Unit | None = None,
    with_proof: bool = False,
    before: Block | None = None,
    deciding: Deciding | None = None,
) -> None:
    """Shows a changed block with its changes; writes its files where a folder is given.

    before : the block it was made from; then each change says whether it may be used before the coach has looked
    deciding : the files that accept and decline name on the page of the changes
    """
    from setwright.publish.terminal import changes_text, fill
    from setwright.publish.words import change_groups
    from setwright.review.approval import WORDS, approvals, worst
    from setwright.services.publishing import publish_block

    groups = change_groups(block)
    free = () if before is None or unchanged else approvals(before, block, catalogue())

    if out is not None:
        say_files(len(publish_block(block, out, unit=unit, before=before, deciding=deciding)), out)
    if as_json:
        import json

        data = block_to_dict(block)
        changes = [] if unchanged else [dict(one) for one in data["changes"]]
        for number, rows in enumerate(groups if changes else [], start=1):
            for row in rows:
                changes[row - 1]["number"] = number
                if free:
                    changes[row - 1]["approval"] = free[row - 1]
        click.echo(json.dumps({"block": data, "changes": changes}, ensure_ascii=False, indent=1))
    else:
        verdicts = [worst(free[row - 1] for row in rows) for rows in groups] if free else []
        notes = ["" if one == "coach" else f"({WORDS[one]})" for one in verdicts]
        click.echo(changes_text(block, catalogue(), unit, with_proof, notes))
        if verdicts:
            click.echo("\n" + fill(waiting_text(verdicts)))


def waiting_text(verdicts: Sequence[str]) -> str:
    """How many changes wait for the coach, and how they are taken or declined one by one."""
    waiting = sum(1 for one in verdicts if one == "coach")
    many = "All of them wait" if waiting == len(verdicts) else f"{waiting} of {len(verdicts)} wait"
    first = "None waits for the coach." if waiting == 0 else f"{many} for the coach."
    return f"{first} setwright accept FILE takes all, --changes 1,3 some; setwright decline FILE --changes 2 the rest."


def person_unit(person: Person) -> Unit:
    """The unit of the place where a person trains first in the week; kg where they name none."""
    from setwright.publish.words import unit_of

    return unit_of(person.places, person.trainee.days[0].place) if person.trainee.days else "kg"


def endurance_text(found: Endurance) -> str:
    """Heart rates and critical power, for a terminal."""
    from setwright.publish.endurance_words import endurance_lines
    from setwright.publish.terminal import fill

    return "\n".join(fill(line, "  " if line.startswith("- ") else "") for line in endurance_lines(found, catalogue()))


def estimate_text(
    found: Estimates,
    unit: Unit = "kg",
    places: Sequence[Place] = (),
    until: date | None = None,
    asked: Sequence[str] = (),
) -> str:
    """Each lift with its range, what it rests on, its change, its forecast, and what would make it surer."""
    from setwright.publish.strength_words import (
        bias_text,
        gain_text,
        hold_lines,
        hold_text,
        may_be_held,
        most_trained,
        notes_of,
        now_text,
        of_one,
        rests_text,
    )
    from setwright.publish.terminal import fill

    known = catalogue()
    wanted = [known.get(slug).slug for slug in asked]
    slugs = wanted or most_trained(found)
    if not slugs and found.holds:
        return "\n".join(fill(hold_text(one, found, unit)) for _, one in sorted(found.holds.items()))
    if not slugs:
        return fill("No set with a load and repetitions yet: log one, or add baselines to the trainee file.")
    asked_holds = [slug for slug in wanted if known.get(slug).mode == "isometric"]
    slugs = [slug for slug in slugs if slug not in asked_holds]
    lines = ["One-repetition maximum, between (8 times in 10), and what it rests on:"] if slugs else []
    for slug in asked_holds:
        one = found.for_exercise(slug)
        lines.append(fill(f"{known.get(slug).name}, held to the end (8 times in 10); {rests_text(one, found, unit)}:"))
        told = hold_lines(one, found, unit)
        lines += [fill(f"- {load}: {seconds}", "    ", "  ") for load, seconds in told]
        if not told:
            lines.append(fill("- no hold logged yet: start light, end it before the position goes", "    ", "  "))
    for slug in slugs:
        one = found.for_exercise(slug)
        name, rests_on = known.get(slug).name, rests_text(one, found, unit)
        change = gain_text(one, found) if one.gained is not None else ""
        lines.append(
            fill("; ".join(part for part in (f"{name}: {now_text(one, unit)}", rests_on, change) if part), "  ")
        )
        if wanted:
            lines += details(of_one(one, found, places, unit, until))
            if may_be_held(one, known.get(slug)):
                held = hold_lines(one, found, unit)
                lines += [fill(f"- held still, {load}: {seconds}", "    ", "  ") for load, seconds in held]
        else:
            lines += [fill(f"- note: {note}", "    ", "  ") for note in notes_of(one, unit)]
    if not wanted:
        lines += [fill(hold_text(one, found, unit), "  ") for _, one in sorted(found.holds.items())]
        lines.append(fill(bias_text(found.effort_bias_reps())))
        lines.append(fill("One lift whole, done before or not: --exercise. Charts, page and print: --out FOLDER."))
    return "\n".join(lines)


def details(report: LiftReport) -> list[str]:
    """All that a report says of a lift beyond its first line."""
    from setwright.publish.terminal import fill

    rows = [
        ("trend", report.trend_text),
        ("forecast", report.forecast_text),
        ("target", report.target_text),
        ("to be surer", report.sharpen),
        ("first session", ". ".join(report.first_session)),
        *(
            (f"{'with' if load.endswith('of help') else 'at'} {load}", f"{middle} repetitions today ({low_high})")
            for load, middle, low_high in report.reps_rows
        ),
        *(("note", note) for note in report.notes),
    ]
    return [fill(f"- {label}: {text}", "    ", "  ") for label, text in rows if text]


def review_text(found: Review, unit: Unit = "kg") -> str:
    """Weeks and findings for people."""
    from setwright.publish.review_text import review_text as text_of

    return text_of(found, unit)
