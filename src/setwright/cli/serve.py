"""The verb serve."""

from __future__ import annotations

from pathlib import Path

import click

from setwright.cli.common import FILE


@click.command("serve")
@click.argument("folder", type=FILE, default=Path("out"))
@click.option("--port", default=8321, show_default=True, help="The port; another free one is taken if it is busy.")
def serve_verb(folder: Path, port: int) -> None:
    """Show FOLDER in the browser, on this machine only. Stop with Ctrl-C."""
    from setwright.services.serving import serve_folder

    serve_folder(folder, port)
