"""An hour on the floor as files: the page, the sheet of the group, and the timetable to go on from."""

from __future__ import annotations

import json
from pathlib import Path

from setwright.plan.floor.hour import Hour
from setwright.publish.floor_json import hour_json
from setwright.publish.floor_report import floor_html, floor_pdf
from setwright.publish.floor_words import FloorReport
from setwright.publish.sheet import Paper
from setwright.services.files import write_all


def write_floor(hour: Hour, report: FloorReport, folder: Path, paper: Paper = "a4") -> list[str]:
    """Writes floor.json, floor.html and floor.pdf into a folder; gives their names."""
    files = {
        "floor.json": json.dumps(hour_json(hour), ensure_ascii=False, indent=1).encode() + b"\n",
        "floor.html": floor_html(report).encode(),
        "floor.pdf": floor_pdf(report, paper),
    }
    write_all(folder, files)
    return list(files)
