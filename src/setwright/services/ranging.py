"""The deed of looking at a person's range of motion."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from setwright.plan.range_report import RangeReport, range_report
from setwright.services.gather import Say, catalogue, load_person, silent


def look_at_range(
    trainee_file: Path, place_files: Sequence[Path] = (), on: date | None = None, say: Say = silent
) -> RangeReport:
    """What the range measures of a trainee file say, as of ``on`` or of the newest of them."""
    person = load_person(trainee_file, place_files, say=say)
    return range_report(person.trainee, person.places, catalogue(), on)
