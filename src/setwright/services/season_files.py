"""A season as files: the coach's page and sheet, the trainee's, and the numbers."""

from __future__ import annotations

import json
from pathlib import Path

from setwright.publish.season_json import season_json
from setwright.publish.season_report import season_html, season_pdf, season_svg
from setwright.publish.season_words import for_coach, for_trainee
from setwright.publish.sheet import Paper
from setwright.publish.units import Unit
from setwright.services.files import write_all
from setwright.services.season import SeasonFound

COACH, TRAINEE = "season-coach", "season-trainee"


def season_files(found: SeasonFound, unit: Unit, paper: Paper = "a4", home: str = "") -> dict[str, bytes]:
    """The files by name; the trainee's hold forecast dates only where the season file says so."""
    files: dict[str, bytes] = {}
    for name, report in ((COACH, for_coach(found.view, unit)), (TRAINEE, for_trainee(found.view, unit))):
        files[f"{name}.html"] = season_html(report, home).encode()
        files[f"{name}.pdf"] = season_pdf(report, paper)
        files[f"{name}.svg"] = season_svg(report).encode()
    files["season.json"] = (json.dumps(season_json(found.view), ensure_ascii=False, indent=1) + "\n").encode()
    return files


def write_season(found: SeasonFound, out: Path, unit: Unit, paper: Paper = "a4") -> int:
    """Writes the files into a folder, all made before the first is written; gives how many."""
    files = season_files(found, unit, paper)
    write_all(out, files)
    return len(files)
