"""From the paths a coach gives to values: the trainee with the places they train in, briefs, blocks, logs."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from setwright.catalogue.load import catalogue as load_catalogue
from setwright.catalogue.names import nearest
from setwright.catalogue.store import Catalogue
from setwright.faults import Fault, InputFaults
from setwright.people.intake import read_place, read_trainee_and_places
from setwright.people.place import Place
from setwright.people.trainee import Trainee
from setwright.plan.block import Block
from setwright.plan.brief import Brief
from setwright.plan.brief_file import read_brief
from setwright.publish.block_file import block_from_json
from setwright.review.log_file import MOST_BYTES as MOST_LOG_BYTES
from setwright.review.log_file import apply_corrections, read_log
from setwright.services.files import MOST_BLOCK_BYTES, read_bytes, read_text
from setwright.strength.estimates import Estimates, estimate_lifts
from setwright.strength.logged import Log


@dataclass(frozen=True)
class Person:
    """A trainee with every place that their days name."""

    trainee: Trainee
    places: tuple[Place, ...]


def catalogue() -> Catalogue:
    """The packaged catalogue."""
    return load_catalogue()


def load_person(path: Path, place_files: Sequence[Path] = ()) -> Person:
    """The trainee in a file and their places.

    A place is looked for in this order: the same file, ``place_files``, ``<id>.toml`` beside the file, in a folder
    ``places`` beside it or one level up. Raises InputFaults where one is missing.
    """
    known = catalogue()
    trainee, inline = read_trainee_and_places(read_text(path), str(path), known)
    found = {place.id: place for place in inline}
    for file in place_files:
        place = read_place(read_text(file), str(file), known)
        found.setdefault(place.id, place)
    faults = []
    for number, day in enumerate(trainee.days, start=1):
        if day.place in found:
            continue
        beside = next((one for one in place_paths(path, day.place) if one.is_file()), None)
        if beside is None:
            near = nearest(day.place, found, 3)
            hint = f"Known: {', '.join(near)}." if near else f"Give it with --place, or put {day.place}.toml beside."
            faults.append(Fault(str(path), f"days[{number}].place", repr(day.place), "the id of a place", hint))
            continue
        place = read_place(read_text(beside), str(beside), known)
        if place.id != day.place:
            faults.append(Fault(str(beside), "id", repr(place.id), f"{day.place!r}, as its file name says"))
            continue
        found[place.id] = place
    if faults:
        raise InputFaults(dict.fromkeys(faults))
    used = dict.fromkeys(day.place for day in trainee.days)
    return Person(trainee, tuple(found[one] for one in used))


def place_paths(trainee_file: Path, place: str) -> tuple[Path, ...]:
    """Where the file of a place may lie."""
    folder = trainee_file.parent
    name = f"{place}.toml"
    return (folder / name, folder / "places" / name, folder.parent / "places" / name)


def load_brief(path: Path) -> Brief:
    """The brief in a file."""
    return read_brief(read_text(path), str(path), catalogue())


def load_block(path: Path) -> Block:
    """The block in a file, or in ``block.json`` of a folder."""
    if path.is_dir():
        path = path / "block.json"
    return block_from_json(read_bytes(path, MOST_BLOCK_BYTES), str(path))


def load_log(path: Path, whole: bool = True) -> Log:
    """The log in a file; ``whole`` False where it may correct rows of other files."""
    return read_log(read_text(path, MOST_LOG_BYTES), str(path), catalogue(), whole)


def load_logs(paths: Sequence[Path], whole: bool = True) -> Log:
    """Several log files as one; a file may correct rows of another."""
    logs = [load_log(path, whole and len(paths) == 1) for path in paths]
    return apply_corrections(
        Log(tuple(one for log in logs for one in log.sets), tuple(one for log in logs for one in log.sessions))
    )


def last_date(log: Log, otherwise: date) -> date:
    """The newest date of a log."""
    return max([one.date for one in log.sets] + [one.date for one in log.sessions] + [otherwise])


def estimates_for(trainee: Trainee, log: Log, on: date) -> Estimates:
    """What baselines and log say on a date."""
    return estimate_lifts(trainee, catalogue(), trainee.baselines, log, on)


def kind_of(text: str, path: Path) -> str:
    """What a file is: trainee, place, brief, exercise, progression, log, block or written block."""
    if path.suffix == ".json":
        head = text.lstrip()[:400]
        return "block" if '"setwright/block/' in head else "log"
    if path.suffix in (".csv", ".tsv"):
        return "log"
    if path.suffix in (".txt", ".md"):
        return "written block"
    try:
        keys = set(tomllib.loads(text))
    except tomllib.TOMLDecodeError:
        return "trainee"
    if {"step", "pain_limit"} & keys:
        return "progression"
    if {"pattern", "actions", "talk"} & keys:
        return "exercise"
    if {"weeks", "days_a_week", "rpe", "lifts"} & keys:
        return "brief"
    if {
        "plates",
        "bars",
        "dumbbells",
        "fixtures",
        "kettlebells",
        "stacks",
        "bands",
    } & keys and "birth_year" not in keys:
        return "place"
    return "trainee"
