"""Formats of conditioning as data: how the work is arranged, how it is scored, logged, and how tiring it is.

The path is the identity, ``formats/steady.toml`` is ``steady``; a coach's own file is made of the same keys. A format
of one's own, or one with a name of its own in the trade, is like one of the seven that are built in (``like``).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import Literal, get_args

from setwright.catalogue.load import is_format
from setwright.catalogue.store import Catalogue
from setwright.faults import Fault, InputFaults
from setwright.people.toml_file import REQUIRED, Reader, read_toml
from setwright.plan.packaged import packaged_files

FOLDER = "formats"
NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
Like = Literal[
    "rounds-for-time", "as-many-rounds", "every-minute", "circuit", "intervals", "steady", "carries-and-sled"
]
Score = Literal["time", "rounds and reps", "rounds", "none"]
BoutField = Literal["score", "time_s", "distance_m", "load_kg", "reps", "heart_rate"]
Growth = Literal["time", "rounds", "pace", "distance", "load"]
BUILT_IN: tuple[Like, ...] = get_args(Like)
# Formats in which several movements share one bout.
SHARED: frozenset[str] = frozenset({"rounds-for-time", "as-many-rounds", "every-minute", "circuit"})


@dataclass(frozen=True)
class Usual:
    """Numbers of a format that need not be written; None where the coach must say them. Times s."""

    rounds: int | None = None
    time_s: float | None = None
    every_s: float | None = None
    work_s: float | None = None
    rest_s: float | None = None


@dataclass(frozen=True)
class Format:
    """A way of arranging conditioning.

    like : which of the seven it behaves as; score : what is written down at its end
    log : columns of the log that it fills; fatigue : hard sets for the same muscles that ten minutes of it tire like
    growth, rule : what grows from week to week, and how, in words
    activity : activity codes of a mix of movements, gentlest first, or empty where each movement has its own
    usual : numbers that need not be written
    """

    name: str
    title: str
    also_called: tuple[str, ...]
    what: str
    like: Like
    score: Score
    score_words: str
    log: tuple[BoutField, ...]
    fatigue: float
    fatigue_source: str
    growth: Growth
    rule: str
    activity: tuple[str, ...] = ()
    usual: Usual = Usual()
    file: str = ""


def formats_of(catalogue: Catalogue) -> Mapping[str, Format]:
    """The packaged formats with the coach's own that travel with a catalogue."""
    own = tuple(sorted((path, text) for path, text in catalogue.own.items() if is_format(path)))
    return formats_with(own)


def packaged_formats() -> Mapping[str, Format]:
    """The packaged formats by name."""
    return formats_with(())


@lru_cache(maxsize=8)
def formats_with(own: tuple[tuple[str, str], ...]) -> Mapping[str, Format]:
    """The packaged formats with own ones. Raises InputFaults with the faults of all files together."""
    made: dict[str, Format] = {}
    faults: list[Fault] = []
    for is_own, files in ((False, packaged_files(FOLDER)), (True, own)):
        for path, text in files:
            try:
                one = read_format(path, text)
            except InputFaults as error:
                faults += error.faults
                continue
            if is_own and one.name in BUILT_IN:
                faults.append(Fault(path, "", f"{one.name}, which is built in", "a name of its own"))
            made[one.name] = one
    faults += [] if faults else double_words(made)
    if faults:
        raise InputFaults(faults)
    return MappingProxyType(dict(sorted(made.items())))


def double_words(formats: Mapping[str, Format]) -> list[Fault]:
    """A fault for each word that two formats answer to."""
    first: dict[str, str] = {}
    faults = []
    for name, one in formats.items():
        for word in words_of(one):
            if first.setdefault(word, name) != name:
                allowed = f"a word that {first[word]} does not answer to"
                faults.append(Fault(one.file, "also_called", repr(word), allowed))
    return faults


def words_of(one: Format) -> list[str]:
    """All that a format is called, in small letters without signs."""
    words = (re.sub(r"[^a-z0-9]+", " ", word.lower()).strip() for word in (one.name, one.title, *one.also_called))
    return list(dict.fromkeys(words))


def read_format(path: str, text: str) -> Format:
    """The format of a file; its name is the last part of the path. Raises InputFaults with every fault."""
    name = path.replace("\\", "/").rsplit("/", 1)[-1].removesuffix(".toml")
    faults: list[Fault] = []
    if not NAME.fullmatch(name):
        faults.append(Fault(path, "", f"the file name {name!r}", "small letters, digits and hyphens: it is the name"))
    reader = Reader(read_toml(text, path), path, "", faults)
    like = reader.text("like", name if name in BUILT_IN else REQUIRED, BUILT_IN)
    columns = "a column of the log: " + ", ".join(get_args(BoutField))
    one = Format(
        name=name,
        title=reader.text("name", REQUIRED),
        also_called=reader.words("also_called"),
        what=reader.text("what", REQUIRED),
        like=like,  # type: ignore[arg-type]
        score=reader.text("score", REQUIRED, get_args(Score)),  # type: ignore[arg-type]
        score_words=reader.text("score_words", ""),
        log=reader.words("log", get_args(BoutField), columns),  # type: ignore[arg-type]
        fatigue=reader.number("fatigue", 0, 10, "hard sets for ten minutes", default=REQUIRED) or 0.0,
        fatigue_source=reader.text("fatigue_source", REQUIRED),
        growth=reader.text("growth", REQUIRED, get_args(Growth)),  # type: ignore[arg-type]
        rule=reader.text("rule", REQUIRED),
        activity=reader.words("activity"),
        usual=read_usual(reader),
        file=path,
    )
    if name in BUILT_IN and like != name:
        reader.fault("like", like, name)
    if not one.log and not faults:
        reader.fault("log", "nothing", "at least one column of the log")
    reader.close()
    if faults:
        raise InputFaults(faults)
    return one


def read_usual(reader: Reader) -> Usual:
    """The table ``usual``."""
    table = reader.sub("usual")
    if table is None:
        return Usual()
    rounds = table.number("rounds", 1, 100, whole=True)
    made = Usual(
        rounds=None if rounds is None else int(rounds),
        time_s=table.number("time_s", 10, 14_400, "s"),
        every_s=table.number("every_s", 10, 1200, "s"),
        work_s=table.number("work_s", 5, 3600, "s"),
        rest_s=table.number("rest_s", 0, 1200, "s"),
    )
    table.close()
    return made
