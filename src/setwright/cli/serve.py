"""The verb serve."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from setwright.cli.common import FILE, json_option


@click.command("serve")
@click.argument("folder", type=FILE, required=False)
@click.option("--data", type=FILE, default=Path("setwright-data"), help="The folder of the data; setwright-data.")
@click.option(
    "--demo", type=FILE, help="A folder that setwright demo wrote: its invented roster fills an empty data base."
)
@click.option("--port", type=int, help="The port; 8321 or the next free one when left out.")
@json_option
def serve_verb(folder: Path | None, data: Path, demo: Path | None, port: int | None, as_json: bool) -> None:
    """Start the web application on this machine, or show the pages of a FOLDER that setwright wrote.

    Stop with Ctrl-C.
    """
    if folder is not None:
        from setwright.services.serving import serve_folder

        serve_folder(folder, port, as_json)
        return
    from setwright.services.serving import free_port
    from setwright.web.running import fill_if_empty, prepare, run

    def say(text: str) -> None:
        click.echo(text, err=as_json)

    found = free_port(port)
    prepare(data)
    if demo is not None:
        fill_if_empty(demo, say)
    if as_json:
        import json

        click.echo(json.dumps({"address": f"http://127.0.0.1:{found}/", "data": str(data)}))
    sys.exit(run(data, found, say))
