"""The verb demo."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import click

from setwright.cli.common import FILE, json_option, say, show_json


@click.command("demo")
@click.argument("out", type=FILE, default=Path("out"))
@json_option
def demo_verb(out: Path, as_json: bool) -> None:
    """The whole job on the invented roster, into the folder OUT."""
    from setwright.services.demo import run_demo

    started = datetime.now()
    names = run_demo(out, say)
    seconds = (datetime.now() - started).total_seconds()
    say(f"{len(names)} files in {out}, in {seconds:.0f} s. Open {out / 'index.html'}, or: setwright serve {out}")
    if as_json:
        show_json({"folder": str(out), "files": names})
