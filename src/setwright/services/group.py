"""A group on one sheet, from block files and a day."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from setwright.faults import Fault, InputFaults
from setwright.plan.block_days import session_date, session_on
from setwright.publish.group_sheet import Participant, group_data, group_html, group_pdf
from setwright.publish.units import Unit
from setwright.services.files import make_folder, write_all
from setwright.services.gather import catalogue, load_block
from setwright.services.publishing import Paper

MOST_PEOPLE = 40


def participants(paths: Sequence[Path], on: date) -> list[Participant]:
    """Everybody of some block files with their session of a day. Raises InputFaults with all that is wrong at once."""
    found: list[Participant] = []
    faults: list[Fault] = []
    if len(paths) > MOST_PEOPLE:
        faults.append(Fault("BLOCK", "", f"{len(paths)} people", f"at most {MOST_PEOPLE}"))
    for path in paths[:MOST_PEOPLE]:
        try:
            block = load_block(path)
        except InputFaults as error:
            faults += error.faults
            continue
        that_day, name = session_on(block, on), block.inputs.trainee.name
        if any(one.label == name for one in found):
            faults.append(Fault(str(path), "", f"{name} twice", "one block a person, each with a name of their own"))
        elif that_day is None:
            days = [session_date(block, week.number, one.day) for week in block.weeks for one in week.sessions]
            near = sorted(sorted(days, key=lambda day: (abs((day - on).days), day))[:3])
            hint = f"Nearest days: {', '.join(str(day) for day in near)}."
            faults.append(Fault(str(path), "", f"no session on {on}", "a block that trains that day", hint))
        else:
            found.append(Participant(name, block, *that_day))
    if faults:
        raise InputFaults(faults)
    return found


def write_group(
    people: Sequence[Participant], on: date, folder: Path, paper: Paper = "a4", unit: Unit | None = None
) -> list[str]:
    """Writes group.html and group.pdf into a folder; gives their names."""
    data = group_data(people, on, catalogue(), unit)
    files = {"group.html": group_html(data, catalogue()).encode(), "group.pdf": group_pdf(data, catalogue(), paper)}
    make_folder(folder)
    write_all(folder, files)
    return list(files)
