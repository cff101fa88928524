"""From the paths a coach gives to values: the trainee with the places they train in, briefs, blocks, logs."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path

from setwright.catalogue.load import catalogue as load_catalogue
from setwright.catalogue.load import catalogue_with
from setwright.catalogue.names import nearest
from setwright.catalogue.store import Catalogue
from setwright.faults import Fault, InputFaults
from setwright.people.intake import read_place, read_trainee_and_places
from setwright.people.place import Place
from setwright.people.trainee import DAYS, Trainee
from setwright.plan.block import Block
from setwright.plan.brief import Brief
from setwright.plan.brief_file import read_brief
from setwright.publish.block_file import block_from_json
from setwright.review.log_file import MOST_BYTES as MOST_LOG_BYTES
from setwright.review.log_file import apply_corrections, merged, read_log_and_repeats, with_row_keys, without_repeats
from setwright.review.log_parquet import log_text_of
from setwright.services.block_check import block_faults
from setwright.services.files import MOST_BLOCK_BYTES, read_bytes, read_text
from setwright.services.own import own_files, use_carried
from setwright.strength.estimates import Estimates, estimate_lifts
from setwright.strength.logged import Log
from setwright.strength.measured_bands import with_measured_bands

Say = Callable[[str], None]
TEMPLATED = ("trainee", "place", "brief", "season", "exercise", "progression")


def silent(text: str) -> None:
    """Says nothing: the default where nobody listens."""


@dataclass(frozen=True)
class Person:
    """A trainee with every place that their days name."""

    trainee: Trainee
    places: tuple[Place, ...]


def catalogue() -> Catalogue:
    """The packaged catalogue, with a coach's own files before it where there are any (``services.own``)."""
    own = own_files()
    return catalogue_with(tuple(sorted(own.items()))) if own else load_catalogue()


def load_person(path: Path, place_files: Sequence[Path] = (), named: Collection[str] = (), say: Say = silent) -> Person:
    """The trainee in a file and their places.

    A place is looked for in this order: ``place_files``, the same file, ``<id>.toml`` beside the file, in a folder
    ``places`` beside it or one level up. One place file that no day names takes the place of all of them; places that
    a written block names (``named``: ids or names) need no day. ``say`` takes a sentence for each place that was
    replaced. Raises InputFaults where a place is missing, or one of several place files would not be used.
    """
    known = catalogue()
    text = read_text(path)
    expect("trainee", text, path)
    trainee, inline = read_trainee_and_places(text, str(path), known)
    found = {place.id: place for place in inline}
    given: dict[str, Place] = {}
    for file in place_files:
        text = read_text(file)
        expect("place", text, file)
        place = read_place(text, str(file), known)
        if place.id in given:
            raise InputFaults([Fault(str(file), "id", f"{place.id!r} twice", "each --place with an id of its own")])
        if place.id in found:
            say(f"{place.id}: {file} is used, not the place of that id in {path}.")
        given[place.id] = place
    trainee = trained_at(trainee, given, named, path, say)
    found.update(given)
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
    used = dict.fromkeys([*(day.place for day in trainee.days), *given])
    return Person(trainee, tuple(found[one] for one in used))


def trained_at(trainee: Trainee, given: dict[str, Place], named: Collection[str], path: Path, say: Say) -> Trainee:
    """The trainee with every day at the given place where no day names it; a fault where there are several."""
    by_days = {day.place for day in trainee.days}
    words = {one.strip().lower() for one in named}
    loose = [one for one in given.values() if one.id not in by_days and not {one.id.lower(), one.name.lower()} & words]
    if not loose:
        return trainee
    if len(given) > 1:
        allowed = "places that a day of the trainee names: " + ", ".join(sorted(by_days))
        hint = f"Name it under [[days]] in {path}, or give one --place for all days."
        raise InputFaults([Fault("--place", "id", repr(one.id), allowed, hint) for one in loose])
    (place,) = loose
    old = ", ".join(sorted(by_days))
    say(f"Every day is planned for {place.id}, as --place says, not for {old} of {path}.")
    return replace(trainee, days=tuple(replace(day, place=place.id) for day in trainee.days))


def place_paths(trainee_file: Path, place: str) -> tuple[Path, ...]:
    """Where the file of a place may lie."""
    folder = trainee_file.parent
    name = f"{place}.toml"
    return (folder / name, folder / "places" / name, folder.parent / "places" / name)


def load_brief(path: Path) -> Brief:
    """The brief in a file."""
    text = read_text(path)
    expect("brief", text, path)
    return read_brief(text, str(path), catalogue())


def on_whole_week(start: date, days: Collection[str], say: Say = silent) -> date:
    """The start itself, or the Monday after it where a training day would fall before it.

    Weeks run from Monday to Sunday, so a block that starts in the middle of one would date sessions before it.
    """
    if all(DAYS.index(day) >= start.weekday() for day in days):
        return start
    monday = start + timedelta(days=-start.weekday() % 7)
    say(f"{start} is no Monday and some training days of its week are over: week 1 begins on Monday {monday}.")
    return monday


def load_block(path: Path) -> Block:
    """The block in a file, or in ``block.json`` of a folder, held against the gates (``services.block_check``)."""
    if path.is_dir():
        path = path / "block.json"
    data = read_bytes(path, MOST_BLOCK_BYTES)
    if path.suffix != ".json":
        expect("block", read_text(path, MOST_BLOCK_BYTES), path)
    return checked_block(data, str(path))


def checked_block(data: bytes, file: str) -> Block:
    """The block in the bytes of a file. Raises InputFaults with every fault.

    Own exercises and progressions that it carries are in force from here on, behind those of a folder that is named.
    """
    block = block_from_json(data, file)
    use_carried(block.inputs.own)
    faults = block_faults(block, file, catalogue())
    if faults:
        raise InputFaults(faults)
    return block


def load_log(path: Path, whole: bool = True, say: Say = silent) -> Log:
    """The log in a file; ``whole`` False where it may correct rows of other files."""
    if path.suffix == ".parquet":
        text = log_text_of(read_bytes(path, MOST_LOG_BYTES), str(path))
    else:
        text = read_text(path, MOST_LOG_BYTES)
        expect("log", text, path)
    log, repeats = read_log_and_repeats(text, str(path), catalogue(), whole)
    for one in repeats[:MOST_REPEATS]:
        say(f"{path}: {one}")
    if len(repeats) > MOST_REPEATS:
        say(f"{path}: and {len(repeats) - MOST_REPEATS} more rows that repeat an earlier one; each counts once.")
    return log


MOST_REPEATS = 3


def load_logs(paths: Sequence[Path], whole: bool = True, kept: Log | None = None, say: Say = silent) -> Log:
    """Several log files as one, with what is kept already; a file may correct rows of another.

    Rows that are the same count once; ``say`` takes a sentence about them.
    """
    logs = [load_log(path, whole and len(paths) == 1 and kept is None, say) for path in paths]
    both = Log(tuple(one for log in logs for one in log.sets), tuple(one for log in logs for one in log.sessions))
    both, again = without_repeats(both)
    if again:
        say(f"{again} rows stand in more than one of the log files; each counts once.")
    if kept is None:
        return apply_corrections(both)
    return merged(kept, with_row_keys(both))


def last_date(log: Log, otherwise: date) -> date:
    """The newest date of a log."""
    return max([one.date for one in log.sets] + [one.date for one in log.sessions] + [otherwise])


def estimates_for(trainee: Trainee, log: Log, on: date, places: Sequence[Place] = ()) -> Estimates:
    """What baselines and log say on a date; ``places`` hold the bands that were measured."""
    return estimate_lifts(trainee, catalogue(), trainee.baselines, with_measured_bands(log, places), on)


SIGNS = {  # keys that only one kind of file has
    "format": {"growth", "like"},
    "scheme": {"piece", "fatigue", "counts_source"},
    "season": {"events", "show_dates", "blocks", "progressions"},
    "progression": {"step", "pain_limit"},
    "exercise": {"pattern", "actions", "talk"},
    "brief": {"weeks", "days_a_week", "rpe", "lifts", "deload_every", "reps_main", "start"},
    "trainee": {"birth_year", "body_mass_kg", "body_mass_lb", "stature_cm", "stature_m", "training_years", "screening"},
    "place": {"plates", "bars", "dumbbells", "fixtures", "kettlebells", "stacks", "bands", "unit"},
}


def kind_of(text: str, path: Path) -> str:
    """What a file is: trainee, place, brief, season, exercise, progression, scheme, format, log, block, text."""
    if path.suffix == ".json":
        return "block" if '"setwright/block/' in text.lstrip()[:400] else "log"
    if path.suffix in (".csv", ".tsv"):
        return "log"
    if path.suffix in (".txt", ".md"):
        return "written block"
    return sure_kind_of(text) or "trainee"


def sure_kind_of(text: str) -> str:
    """The kind of a TOML file by the keys that only it has; empty where it has none, or is no TOML."""
    try:
        keys = set(tomllib.loads(text))
    except tomllib.TOMLDecodeError:
        return ""
    return next((kind for kind, signs in SIGNS.items() if signs & keys), "")


def expect(kind: str, text: str, path: Path) -> None:
    """Refuses a file that is surely of another kind, in one sentence."""
    found = kind_of(text, path) if path.suffix == ".json" else sure_kind_of(text)
    if kind == "log" and path.suffix != ".json" and not found:
        return
    if not found or found == kind or kind in also_of(text):
        return
    article = "an" if found == "exercise" else "a"
    name = f"{article} {found}" if "block" in found else f"{article} {found} file"
    wanted = f"a {kind}" if kind in ("brief", "block", "log", "written block") else f"a {kind} file"
    template = f": see setwright template {kind}" if kind in TEMPLATED else ""
    hint = f"This is {name}, {wanted} was expected{template}."
    raise InputFaults([Fault(str(path), "", name, wanted, hint)])


def also_of(text: str) -> set[str]:
    """Every kind that a TOML text has keys of: a file with keys of two kinds is read as what is wanted."""
    try:
        keys = set(tomllib.loads(text))
    except tomllib.TOMLDecodeError:
        return set()
    return {kind for kind, signs in SIGNS.items() if signs & keys}
