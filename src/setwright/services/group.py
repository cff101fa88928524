"""A group on one sheet, from block files and a day."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from setwright.faults import Fault, InputFaults
from setwright.plan.block_days import session_on
from setwright.publish.group_sheet import Participant, group_data, group_html, group_pdf
from setwright.publish.units import Unit
from setwright.services.files import make_folder, write_all
from setwright.services.gather import catalogue, load_block
from setwright.services.publishing import Paper
from setwright.services.rest_days import rest_fault

MOST_PEOPLE = 40


def participants(paths: Sequence[Path], on: date) -> list[Participant]:
    """Everybody of some block files who trains on a day, with their session.

    Raises InputFaults with all that is wrong at once, and where nobody trains.
    """
    found: list[Participant] = []
    faults: list[Fault] = []
    resting: list[Fault] = []
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
            resting.append(rest_fault(path, block, on))
        else:
            found.append(Participant(name, block, *that_day))
    if faults or not found:
        raise InputFaults([*faults, *([] if found else resting)])
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
