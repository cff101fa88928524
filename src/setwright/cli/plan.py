"""The verbs that make and change blocks: design, write, restrict, compare."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from setwright.cli.common import (
    FILE,
    deciding_of,
    json_option,
    kept_option,
    log_option,
    out_option,
    place_option,
    say,
    show_json,
    unit_option,
)

if TYPE_CHECKING:
    from setwright.publish.units import Unit


@click.command("design")
@click.argument("trainee", type=FILE)
@click.argument("brief", type=FILE)
@click.option("--blocks", type=click.IntRange(1, 3), default=1, help="So many really different blocks, compared.")
@click.option("--differ", type=click.Choice(["exercises", "loading", "split"]), help="By what; exercises at first.")
@place_option
@log_option
@kept_option
@out_option
@unit_option
@json_option
def design_verb(
    trainee: Path,
    brief: Path,
    blocks: int,
    differ: Literal["exercises", "loading", "split"] | None,
    places: tuple[Path, ...],
    logs: tuple[Path, ...],
    records: Path | None,
    out: Path | None,
    unit: Unit | None,
    as_json: bool,
) -> None:
    """Make a block for TRAINEE from BRIEF; with --out, block.json, sheets and pages go into a folder.

    With --blocks 2 or 3, further blocks of nearly the same worth that really differ: in most of their exercises, in
    what they are loaded with, or in the split of the week (--differ); and what each gives up and does better.
    """
    from setwright.services.deeds import design
    from setwright.services.several import design_several, finish_several
    from setwright.services.show import finish_block

    if differ is not None and blocks == 1:
        raise click.UsageError("--differ says by what several blocks differ: ask for --blocks 2 or --blocks 3 with it")
    started = datetime.now()
    if blocks == 1:
        finish_block(design(trainee, brief, places, logs, records, say), out, as_json, unit)
    else:
        several = design_several(trainee, brief, places, logs, records, blocks, differ or "exercises", say)
        finish_several(several, out, as_json, unit)
    say(f"Made in {(datetime.now() - started).total_seconds():.1f} s.")


def answers_of(names: tuple[str, ...]) -> dict[str, str]:
    """What unsure names mean, from ``--name "bench press=bench_bb"``."""
    answers: dict[str, str] = {}
    for pair in names:
        name, equals, slug = pair.partition("=")
        if not equals:
            raise click.UsageError(f"--name {pair!r}: expected the written name, =, and a slug")
        answers[name.strip()] = slug.strip()
    return answers


@click.command("write")
@click.argument("trainee", type=FILE)
@click.argument("text", type=FILE)
@click.option("--start", type=click.DateTime(formats=["%Y-%m-%d"]), help="First day; next Monday when left out.")
@click.option("--brief", "brief", type=FILE, help="A brief whose efforts and settings count.")
@click.option("--name", "names", multiple=True, help='What an unsure name means: --name "bench press=bench_bb".')
@click.option(
    "--cue", "cues", multiple=True, help='Their own cue, for {cue} of a kept session: "front squat=knees out".'
)
@place_option
@log_option
@kept_option
@out_option
@unit_option
@json_option
def write_verb(
    trainee: Path,
    text: Path,
    start: datetime | None,
    brief: Path | None,
    names: tuple[str, ...],
    cues: tuple[str, ...],
    places: tuple[Path, ...],
    logs: tuple[Path, ...],
    records: Path | None,
    out: Path | None,
    unit: Unit | None,
    as_json: bool,
) -> None:
    """Read a block in the trade's shorthand from TEXT; dose, check and fit it to TRAINEE.

    TEXT is a file, or - to type or paste it; a kept session is filled in for TRAINEE first.
    """
    from setwright.services.clock import next_monday
    from setwright.services.deeds import write
    from setwright.services.kept import cues_of
    from setwright.services.show import finish_block

    answers = answers_of(names)
    begin = start.date() if start is not None else next_monday()
    block = write(trainee, text, begin, places, logs, brief, answers, records, say, cues_of(cues))
    finish_block(block, out, as_json, unit)


@click.command("restrict")
@click.argument("block", type=FILE)
@click.option("--restriction", "text", default="", help='In plain words: "elbow", "left knee flexion over 60".')
@click.option("--lift", default="", help="The restriction that ends, by its id or joint: the block goes back.")
@click.option("--before", type=FILE, help="With --lift: the block as it was; else it is looked for in --records.")
@click.option("--from-week", type=int, help="First week that may change; the one after the last logged when left out.")
@click.option("--set-by", default="", help="Who set it, or lifts it: trainee, coach, physiotherapist...")
@log_option
@kept_option
@out_option
@unit_option
@json_option
def restrict_verb(
    block: Path,
    text: str,
    lift: str,
    before: Path | None,
    from_week: int | None,
    set_by: str,
    logs: tuple[Path, ...],
    records: Path | None,
    out: Path | None,
    unit: Unit | None,
    as_json: bool,
) -> None:
    """The changed block after "my elbow is sore": what it touches, nothing else, each change with its reason.

    With --lift, a restriction ends and the block goes back towards what it was, lighter at first.
    """
    from setwright.services.deeds import restrict
    from setwright.services.gather import load_block
    from setwright.services.lifting import lift_restriction
    from setwright.services.show import finish_change

    if bool(text) == bool(lift):
        raise click.UsageError('one of --restriction "my elbow is sore" and --lift elbow')
    if lift:
        changed = lift_restriction(block, lift, before, from_week, logs, set_by, records, say)
    else:
        changed = restrict(block, text, None, from_week, logs, set_by, records, say)
    names = deciding_of(block, out, records)
    finish_change(changed, out, as_json, unit=unit, before=load_block(block), deciding=names)


@click.command("compare")
@click.argument("first", type=FILE)
@click.argument("second", type=FILE)
@click.argument("third", type=FILE, required=False)
@click.option("--paper", type=click.Choice(["a4", "us-letter"]), default="a4", show_default=True)
@out_option
@unit_option
@json_option
def compare_verb(
    first: Path,
    second: Path,
    third: Path | None,
    paper: Literal["a4", "us-letter"],
    out: Path | None,
    unit: Unit | None,
    as_json: bool,
) -> None:
    """What differs between two or three blocks, in a coach's words.

    Blocks of which none is a revision of another stand side by side first: what each is built on, does better and
    takes. Of two blocks every entry that differs follows; with --out as a page and on paper too, with the counted sets
    and the minutes before and after.
    """
    from setwright.publish.words import block_unit
    from setwright.services.comparing import (
        before_and_after_text,
        compare_blocks,
        comparison_text,
        side_by_side_text,
        write_comparison,
    )
    from setwright.services.gather import load_block
    from setwright.services.show import say_files

    if third is not None and out is not None:
        raise click.UsageError("--out takes two blocks: the page of three is what design --blocks writes")

    files = [one for one in (first, second, third) if one is not None]
    blocks = [load_block(one) for one in files]
    rows = [compare_blocks(blocks[0], one) for one in blocks[1:]]
    if out is not None:
        names = (str(first), str(second))
        say_files(len(write_comparison(blocks[0], blocks[1], names, out, unit, paper)), out, "compare.html")
    if as_json:
        numbered = [[{**row, "block": number} for row in some] for number, some in enumerate(rows, start=2)]
        show_json(rows[0] if third is None else [row for some in numbered for row in some])
        return
    beside = side_by_side_text(blocks, [str(one) for one in files])
    texts = [beside] if beside else []
    if third is None or not beside:
        told = [comparison_text(one, unit or block_unit(after)) for one, after in zip(rows, blocks[1:], strict=True)]
        heads = [""] if third is None else ["Block 2 against block 1. ", "Block 3 against block 1. "]
        texts += [head + text for head, text in zip(heads, told, strict=True)]
    if third is None and not beside:
        texts += [text] if (text := before_and_after_text(blocks[0], blocks[1])) else []
    click.echo("\n\n".join(texts))
