"""A coach's own exercises, progressions and schemes: a folder of catalogue files that stand before the packaged ones.

The folder is named by ``--own`` or by the environment variable ``SETWRIGHT_OWN`` and read once a run. A block carries
the own files it was made with, so it can be changed and explained where the folder is not at hand; a folder that is
named wins file by file.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path

VARIABLE = "SETWRIGHT_OWN"
MOST_FILES = 300
NOTHING: Mapping[str, str] = {}
# What is in force in this run: texts by their path below the folder; None where nothing was asked for yet.
_in_force: ContextVar[Mapping[str, str] | None] = ContextVar("own", default=None)


def forget_own() -> None:
    """Back to the packaged catalogue, or to what the environment names."""
    _in_force.set(None)


def use_own(folder: Path, option: str = "--own") -> None:
    """Takes the files of a folder into force. Raises InputFaults with every fault of them, each with its path."""
    _in_force.set(read_own(folder, option))


def use_carried(files: Mapping[str, str]) -> None:
    """Takes files that a block carries into force, behind those that are in force by name."""
    if files:
        _in_force.set({**files, **own_files()})


@contextmanager
def only_here(files: Mapping[str, str]) -> Iterator[None]:
    """Own files in force for what is done inside and nothing else, before those that the environment names.

    What a block inside brings with it (``use_carried``) ends with it too.
    """
    token = _in_force.set(None)
    try:
        _in_force.set({**own_files(), **files})
        yield
    finally:
        _in_force.reset(token)


def own_files() -> Mapping[str, str]:
    """The own files in force, read from the folder of the environment where none was named."""
    found = _in_force.get()
    if found is None:
        named = os.environ.get(VARIABLE, "")
        found = read_own(Path(named), VARIABLE) if named else NOTHING
        _in_force.set(found)
    return found


def read_own(folder: Path, option: str) -> dict[str, str]:
    """The texts of all catalogue files of a folder, by path below it; every fault at once."""
    from dataclasses import replace

    from setwright.catalogue.load import catalogue_with
    from setwright.faults import Fault, InputFaults
    from setwright.plan.formats import formats_of
    from setwright.plan.schemes import schemes_of
    from setwright.services.files import read_text

    at = f"{option} {folder}"
    if not folder.is_dir():
        found = "a file" if folder.is_file() else "no such folder"
        raise InputFaults([Fault(at, "", found, "a folder with exercise, progression, scheme and format files, TOML")])
    paths = sorted(one for one in folder.rglob("*.toml") if one.is_file())
    if not paths or len(paths) > MOST_FILES:
        found = f"{len(paths)} TOML files" if paths else "no TOML file"
        raise InputFaults([Fault(at, "", found, f"1 to {MOST_FILES} exercise, progression, scheme and format files")])
    texts = {path.relative_to(folder).as_posix(): read_text(path) for path in paths}
    raise_doubles(texts, folder)
    try:
        made = catalogue_with(tuple(sorted(texts.items())))
        schemes_of(made)
        formats_of(made)
    except InputFaults as error:
        known = set(texts)
        raise InputFaults(
            [replace(one, file=str(folder / one.file)) if one.file in known else one for one in error.faults]
        ) from None
    return texts


def raise_doubles(texts: Mapping[str, str], folder: Path) -> None:
    """Raises InputFaults for files of one name and kind in two folders: one of them would win without a word."""
    from setwright.catalogue.load import is_format, is_progression, is_scheme
    from setwright.faults import Fault, InputFaults

    first: dict[tuple[str, bool, bool, bool], str] = {}
    faults = []
    for path, text in texts.items():
        kind = (path.rsplit("/", 1)[-1], is_progression(text), is_scheme(path, text), is_format(path))
        before = first.setdefault(kind, path)
        if before != path:
            found = f"the same name as {folder / before}"
            faults.append(
                Fault(
                    str(folder / path),
                    "",
                    found,
                    "one file for each exercise, progression, scheme and format of a name",
                )
            )
    if faults:
        raise InputFaults(faults)
