"""The verb serve."""

from __future__ import annotations

from pathlib import Path

import click

from setwright.cli.common import FILE, json_option


@click.command("serve")
@click.argument("folder", type=FILE, default=Path("out"))
@click.option("--port", type=int, help="The port; 8321 or the next free one when left out.")
@json_option
def serve_verb(folder: Path, port: int | None, as_json: bool) -> None:
    """Show FOLDER in the browser, on this machine only. Stop with Ctrl-C."""
    from setwright.services.serving import serve_folder

    serve_folder(folder, port, as_json)
