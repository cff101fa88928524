"""The verbs keep and kept: sessions to be used again."""

from __future__ import annotations

from pathlib import Path

import click

from setwright.cli.common import FILE, json_option, say, sentence_of, show_json


@click.command("keep")
@click.argument("block", type=FILE)
@click.argument("file", type=FILE)
@click.option("--week", "weeks", multiple=True, type=int, help="Only these weeks; all when left out.")
@click.option("--day", default="", help="Only this weekday, like mon.")
@click.option("--title", default="", help="Its title; the first lifts when left out.")
@click.option("--here", is_flag=True, help="Each exercise as {here: ...}: what stands in for it in the place is found.")
@click.option("--cues", is_flag=True, help="A {cue: ...} at each main lift, the usual cue behind its colon.")
@json_option
def keep_verb(
    block: Path, file: Path, weeks: tuple[int, ...], day: str, title: str, here: bool, cues: bool, as_json: bool
) -> None:
    """Keep a session or all of BLOCK as a text in FILE, with loads as effort or share, to use again for anybody.

    Steps of a progression become {step: ...}. Use it with: setwright write TRAINEE FILE.
    """
    from setwright.services.gather import load_block
    from setwright.services.kept import keep_in_file, read_kept, text_to_keep

    text = text_to_keep(load_block(block), weeks, day, title, here, cues)
    keep_in_file(text, file)
    say(f"Kept in {file}. Change it as you like; use it with: setwright write TRAINEE {file}")
    say(f"For several people at once: setwright fit {file} TRAINEE...")
    if as_json:
        show_json(read_kept(text, str(file)).as_json())


@click.command("kept")
@click.argument("folder", type=FILE)
@click.argument("words", nargs=-1)
@json_option
@click.pass_context
def kept_verb(ctx: click.Context, folder: Path, words: tuple[str, ...], as_json: bool) -> None:
    """List the kept sessions of FOLDER whose title or exercises hold all WORDS."""
    from setwright.publish.words import counted
    from setwright.services.kept import kept_in

    found, faults = kept_in(folder, " ".join(words))
    for fault in faults:
        click.echo(sentence_of(fault), err=True)
    if as_json:
        show_json([one.as_json() for one in found])
    else:
        for one in found:
            length = f"{counted(one.sessions, 'session')}, {counted(one.weeks, 'week')}"
            click.echo(f"{Path(one.file).name}: {one.title} ({length})")
            if one.asks:
                click.echo(f"  fills in: {one.asks}")
        if not found:
            say(f"Nothing kept in {folder}" + (f" with {' '.join(words)}." if words else "."))
    if faults:
        ctx.exit(2)
