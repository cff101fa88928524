"""What is believed about each lift as files: a page, a PDF, one chart a lift, and the numbers."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Literal

from setwright.people.place import Place
from setwright.publish.units import Unit
from setwright.services.files import make_folder, write_all
from setwright.strength.estimates import Estimates


def strength_files(
    found: Estimates,
    places: Sequence[Place],
    unit: Unit,
    until: date | None = None,
    paper: Literal["a4", "us-letter"] = "a4",
    home: str = "",
    charts: bool = True,
) -> dict[str, bytes]:
    """The files by name.

    until : the day to forecast to; home : where the page's way back leads, none where empty
    charts : whether each chart is a file of its own too
    """
    from setwright.publish.strength_chart import chart_spec, chart_svg
    from setwright.publish.strength_json import strength_json
    from setwright.publish.strength_report import report_html, report_pdf
    from setwright.publish.strength_words import most_trained, of_all

    report = of_all(found, places, unit, until)
    numbers = strength_json(found, places, until)
    files = {
        "strength.html": report_html(report, home).encode(),
        "strength.pdf": report_pdf(report, paper),
        "strength.json": (json.dumps(numbers, ensure_ascii=False, indent=1) + "\n").encode(),
    }
    for slug, one in zip(most_trained(found), report.lifts, strict=True):
        if charts and one.chart is not None:
            files[f"charts/{slug}.svg"] = chart_svg(chart_spec(one.chart)).encode()
    return files


def write_strength(
    found: Estimates,
    places: Sequence[Place],
    out: Path,
    unit: Unit,
    until: date | None = None,
    paper: Literal["a4", "us-letter"] = "a4",
) -> tuple[str, ...]:
    """Writes the files below a folder, all made before the first is written; gives their names."""
    files = strength_files(found, places, unit, until, paper)
    make_folder(out)
    write_all(out, files)
    return tuple(files)
