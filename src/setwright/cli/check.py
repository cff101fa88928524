"""The verbs check and template."""

from __future__ import annotations

from pathlib import Path

import click

from setwright.cli.common import FILE, json_option, say, sentence_of, show_json, wrapped

MOST_FAULTS = 20


@click.command("check")
@click.argument("files", type=FILE, nargs=-1, required=True)
@json_option
@click.pass_context
def check_verb(ctx: click.Context, files: tuple[Path, ...], as_json: bool) -> None:
    """Read trainee, place, brief, season, log, block and catalogue FILES and report all faults at once."""
    from setwright.services.deeds import check_files

    checked = check_files(files)
    if as_json:
        show_json(
            [
                {
                    "warnings": list(one.warnings),
                    "file": one.file,
                    "kind": one.kind,
                    "faults": [
                        {"path": f.path, "found": f.found, "allowed": f.allowed, "hint": f.hint} for f in one.faults
                    ],
                }
                for one in checked
            ]
        )
    else:
        for one in checked:
            article = "an" if one.kind == "exercise" else "a"
            if not one.faults:
                click.echo(wrapped(f"{one.file}: {article} {one.kind}, in order."))
            for text in one.warnings:
                click.echo(wrapped(f"{one.file}: {text}" if not text.startswith(one.file) else text))
            for fault in one.faults[:MOST_FAULTS]:
                click.echo(sentence_of(fault))
            if len(one.faults) > MOST_FAULTS:
                click.echo(wrapped(f"{one.file}: and {len(one.faults) - MOST_FAULTS} more faults; --json lists all."))
    count = sum(len(one.faults) for one in checked)
    if count:
        word = "fault" if count == 1 else "faults"
        say(f"{count} {word} in {len(checked)} {'file' if len(checked) == 1 else 'files'}.")
        ctx.exit(2)


KINDS = ["trainee", "place", "brief", "season", "exercise", "progression", "scheme", "format"]


@click.command("template")
@click.argument("kind", type=click.Choice(KINDS))
@json_option
def template_verb(kind: str, as_json: bool) -> None:
    """Print the annotated template of a KIND of file: it is the manual."""
    from setwright.services.templates import template_text

    if as_json:
        show_json({"kind": kind, "text": template_text(kind)})
        return
    click.echo(template_text(kind), nl=False)
