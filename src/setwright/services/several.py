"""Several really different blocks of one trainee: made, compared, shown, and written into one folder."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from setwright.plan.variants import Axis, Several, design_blocks
from setwright.publish.block_file import block_to_dict, block_to_json
from setwright.publish.side_by_side import (
    Compared,
    compared,
    compared_json,
    compared_page,
    compared_pdf,
    compared_text,
    file_of,
)
from setwright.publish.terminal import block_text, fill
from setwright.publish.units import Unit
from setwright.services.deeds import design_inputs
from setwright.services.files import make_folder, write_all
from setwright.services.gather import Say, catalogue, silent
from setwright.services.publishing import Paper, blank_logs_of, block_files, block_index
from setwright.services.show import say_files


def design_several(
    trainee_file: Path,
    brief_file: Path,
    place_files: Sequence[Path] = (),
    log_files: Sequence[Path] = (),
    records: Path | None = None,
    count: int = 2,
    by: Axis = "exercises",
    say: Say = silent,
) -> Several:
    """Up to ``count`` blocks from a trainee, their places and a brief; the first is the one that ``design`` gives."""
    asked = design_inputs(trainee_file, brief_file, place_files, log_files, records, say)
    person = asked.person
    return design_blocks(
        person.trainee, person.places, asked.brief, catalogue(), asked.estimates, asked.log, count=count, by=by
    )


def folder_of(number: int) -> str:
    """The folder with the sheets of a further block, by its number from 2."""
    return f"block-{number}"


def several_json(several: Several, found: Compared) -> dict[str, Any]:
    """The published form of ``design --blocks 3 --json``: the blocks, and what compares them."""
    return {
        "blocks": [block_to_dict(one.block) for one in several.variants],
        "comparison": compared_json(found, several, catalogue()),
    }


def several_files(several: Several, unit: Unit | None = None, paper: Paper = "a4") -> dict[str, bytes]:
    """Every file by its name: the first block's as ``design`` writes them, a folder for each further one, comparison.

    The first block's own files are the same bytes as without further blocks; only its index has more links.
    """
    found = compared(several, catalogue())
    first = several.variants[0].block
    files = block_files(first, paper=paper, unit=unit)
    links = ["index.html"]
    for number, one in enumerate(several.variants[1:], start=2):
        files[file_of(number)] = block_to_json(one.block)
        inner = block_files(one.block, paper=paper, unit=unit)
        files |= {f"{folder_of(number)}/{name}": data for name, data in inner.items()}
        links.append(f"{folder_of(number)}/index.html")
    files["comparison.html"] = compared_page(found, links).encode()
    files["notes/comparison.pdf"] = compared_pdf(found, paper)
    data = compared_json(found, several, catalogue())
    files["comparison.json"] = (json.dumps(data, ensure_ascii=False, indent=1) + "\n").encode()
    others = [
        ("comparison.html", "The blocks compared", "what each is built on, gives up and does better"),
        ("notes/comparison.pdf", "The same to print", "for the coach's notes"),
        *((link, f"Block {number}: everything", "") for number, link in enumerate(links[1:], start=2)),
    ]
    own = {name: data for name, data in files.items() if not name.startswith("block-")}
    files["index.html"] = block_index(first, own, others).encode()
    return files


def write_several(several: Several, folder: Path, unit: Unit | None = None, say: Say = silent) -> int:
    """Writes all files; every one is made before the first is written, logs filled in are kept. Gives how many."""
    make_folder(folder)
    files = several_files(several, unit)
    blanks = dict(blank_logs_of(folder))
    for number in range(2, len(several.variants) + 1):
        inner = blank_logs_of(folder / folder_of(number))
        blanks |= {f"{folder_of(number)}/{name}": data for name, data in inner.items()}
    for name, beside in write_all(folder, files, blanks).items():
        say(f"{folder / name} is kept as it is: it is not the blank log. The blank one is {beside}.")
    for number in range(len(several.variants) + 1, 4):
        if (folder / file_of(number)).exists():
            say(f"{folder / file_of(number)} is of an earlier design, not of this one.")
    return len(files)


def finish_several(several: Several, out: Path | None, as_json: bool, unit: Unit | None = None) -> None:
    """Shows several blocks compared: JSON, or words; and writes their files where a folder is given."""
    found = compared(several, catalogue())
    if out is not None:
        say_files(write_several(several, out, unit, lambda text: click.echo(text, err=True)), out, "comparison.html")
    if as_json:
        click.echo(json.dumps(several_json(several, found), ensure_ascii=False, indent=1))
    elif len(several.variants) == 1:
        click.echo(fill(several.why_fewer) + "\n\n" + block_text(several.variants[0].block, catalogue(), unit))
    else:
        click.echo(compared_text(found))
