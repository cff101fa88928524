"""Set schemes as data: what one set of each consists of, what it counts, how tiring it is, whom and what it suits.

Two ideas carry this module. One: the path is the identity, ``schemes/rest-pause.toml`` is ``rest-pause``; a coach's own
file is made of the same pieces as the packaged ones. Two: a scheme only describes; loads come from the strength model
and the place (``compose``), minutes from the pieces themselves (``session_time``).
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from types import MappingProxyType
from typing import Literal, get_args

from setwright.catalogue.exercise import Exercise, LoadMeans, Measure, Mode, Support
from setwright.catalogue.load import is_scheme
from setwright.catalogue.schema import PATTERNS
from setwright.catalogue.store import Catalogue
from setwright.faults import Fault, InputFaults
from setwright.people.toml_file import REQUIRED, Reader, read_toml
from setwright.people.trainee import Trainee
from setwright.plan.block import Entry
from setwright.plan.packaged import packaged_files
from setwright.plan.stretch import Stretch
from setwright.plan.template import BASIC_KINDS, Scheme

FOLDER = "schemes"
NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
Progress = Literal["load", "reps then load", "time", "distance", "rest"]
LogField = Literal["load_kg", "reps", "rir", "hold_s", "distance_m", "time_s"]
MOST_PIECES, MOST_TIMES = 8, 10
TIRING = 1.2  # fatigue above which an easy week has straight sets instead (common practice, no published source)


@dataclass(frozen=True)
class Piece:
    """One piece of a set: repetitions, a hold, metres or seconds, and what comes before it.

    times : how often it is done in a row, each after ``rest_s``; left : as many as the wanted reserve leaves
    load_share : load over that of the first piece
    """

    reps: tuple[int, int] | None = None
    hold_s: float | None = None
    distance_m: float | None = None
    time_s: float | None = None
    times: int = 1
    rest_s: float = 0.0
    load_share: float = 1.0
    left: bool = False


@dataclass(frozen=True)
class Suits:
    """What a scheme suits: exercises by what they are, trainees by age and years of training.

    not_on_a_sore_joint : never where a restriction names a joint that the exercise moves
    """

    modes: tuple[Mode, ...] = ()
    measured_in: tuple[Measure, ...] = ()
    supports: tuple[Support, ...] = ()
    load_means: tuple[LoadMeans, ...] = ()
    not_patterns: tuple[str, ...] = ()
    most_skill: int = 5
    least_load_capacity: int = 0
    least_age: int = 0
    least_years: float = 0.0
    not_on_a_sore_joint: bool = False


@dataclass(frozen=True)
class SetScheme:
    """A way of doing sets.

    pieces : what one set consists of, in order
    counts, each_more, counts_at_most : what a set counts: the first stretch, each later one, and all at most
    fatigue : how tiring a set is beside a straight set of the same first stretch and reserve, which is 1
    back_offs : load of all sets after the first over that of the first, or None where all sets are alike
    log : columns of the log that a set of it fills; progress : what grows from session to session; rule : how, in words
    rir : reserve wanted where nobody says another, or None for the week's
    """

    name: str
    title: str
    also_called: tuple[str, ...]
    what: str
    pieces: tuple[Piece, ...]
    counts: float
    each_more: float
    counts_at_most: float
    counts_source: str
    fatigue: float
    fatigue_source: str
    log: tuple[LogField, ...]
    progress: Progress
    rule: str
    suits: Suits
    back_offs: float | None = None
    rir: float | None = None
    lowering: bool = False
    file: str = ""

    def credit(self, stretches: int) -> float:
        """What one set of so many stretches counts, against a straight set's 1."""
        return min(self.counts + self.each_more * max(0, stretches - 1), self.counts_at_most)


def packaged_schemes() -> Mapping[str, SetScheme]:
    """The packaged schemes by name."""
    return schemes_with(())


def schemes_of(catalogue: Catalogue) -> Mapping[str, SetScheme]:
    """The packaged schemes with the coach's own that travel with a catalogue."""
    own = tuple(sorted((path, text) for path, text in catalogue.own.items() if is_scheme(path, text)))
    return schemes_with(own)


@lru_cache(maxsize=8)
def schemes_with(own: tuple[tuple[str, str], ...]) -> Mapping[str, SetScheme]:
    """The packaged schemes with own ones before them. Raises InputFaults with the faults of all files together."""
    made: dict[str, SetScheme] = {}
    faults: list[Fault] = []
    for is_own, files in ((False, packaged_files(FOLDER)), (True, own)):
        for path, text in files:
            try:
                one = read_scheme(path, text)
                if is_own and one.name in BASIC_KINDS:
                    found = f"{one.name}, which is built in"
                    raise InputFaults([Fault(path, "", found, "a name of its own, or one that may be replaced")])
                made[one.name] = one
            except InputFaults as error:
                faults += error.faults
    faults += [] if faults else double_words(made)
    if faults:
        raise InputFaults(faults)
    return MappingProxyType(dict(sorted(made.items())))


def double_words(schemes: Mapping[str, SetScheme]) -> list[Fault]:
    """A fault for each word that two schemes answer to."""
    first: dict[str, str] = {}
    faults = []
    for name, one in schemes.items():
        for word in words_of(one):
            if first.setdefault(word, name) != name:
                faults.append(
                    Fault(one.file, "also_called", repr(word), f"a word that {first[word]} does not answer to")
                )
    return faults


def words_of(one: SetScheme) -> list[str]:
    """All that a scheme is called, in small letters without signs: its name, its title, and its other names."""
    words = (re.sub(r"[^a-z0-9]+", " ", word.lower()).strip() for word in (one.name, one.title, *one.also_called))
    return list(dict.fromkeys(words))


def read_scheme(path: str, text: str) -> SetScheme:
    """The scheme of a file; its name is the last part of the path. Raises InputFaults with every fault."""
    name = path.replace("\\", "/").rsplit("/", 1)[-1].removesuffix(".toml")
    faults: list[Fault] = []
    if not NAME.fullmatch(name):
        faults.append(Fault(path, "", f"the file name {name!r}", "small letters, digits and hyphens: it is the name"))
    reader = Reader(read_toml(text, path), path, "", faults)
    one = SetScheme(
        name=name,
        title=reader.text("name", REQUIRED),
        also_called=reader.words("also_called"),
        what=reader.text("what", REQUIRED),
        pieces=reader.each("piece", read_piece, required=True),
        counts=reader.number("counts", 0, 3, default=1.0) or 0.0,
        each_more=reader.number("each_more_counts", 0, 1, default=0.0) or 0.0,
        counts_at_most=reader.number("counts_at_most", 0, 3, default=1.0) or 0.0,
        counts_source=reader.text("counts_source", REQUIRED),
        fatigue=reader.number("fatigue", 0, 3, default=REQUIRED) or 0.0,
        fatigue_source=reader.text("fatigue_source", REQUIRED),
        log=reader.words("log", get_args(LogField), "a column of the log: " + ", ".join(get_args(LogField))),  # type: ignore[arg-type]
        progress=reader.text("progress", REQUIRED, get_args(Progress)),  # type: ignore[arg-type]
        rule=reader.text("rule", REQUIRED),
        suits=read_suits(reader),
        back_offs=reader.number("back_offs", 0.4, 1.0, "of the first set's load"),
        rir=reader.number("rir", 0, 6, "repetitions"),
        lowering=reader.flag("lowering"),
        file=path,
    )
    check_pieces(reader, one)
    reader.close()
    if faults:
        raise InputFaults(faults)
    return one


def read_piece(reader: Reader) -> Piece:
    """One piece; what it consists of is checked in ``check_pieces``."""
    reps = reader.pair("reps", 1, 50, (1, 1)) if reader.has("reps") else None
    reader.taken.add("reps")
    reader.known.append("reps")
    return Piece(
        reps=None if reps is None else (int(reps[0]), int(reps[1])),
        hold_s=reader.number("hold_s", 1, 300, "s"),
        distance_m=reader.number("distance_m", 1, 50_000, "m"),
        time_s=reader.number("time_s", 1, 14_400, "s"),
        times=int(reader.number("times", 1, MOST_TIMES, whole=True, default=1) or 1),
        rest_s=reader.number("rest_s", 0, 120, "s", default=0.0) or 0.0,
        load_share=reader.number("load_share", 0.3, 1.0, "of the first piece's load", default=1.0) or 1.0,
        left=reader.flag("as_many_as_are_left"),
    )


def check_pieces(reader: Reader, one: SetScheme) -> None:
    """Faults of pieces that make no set: nothing to do, two things at once, a first piece that takes what is left."""
    if len(one.pieces) > MOST_PIECES:
        reader.fault("piece", f"{len(one.pieces)} pieces", f"1 to {MOST_PIECES}")
    for number, piece in enumerate(one.pieces, start=1):
        kinds = [piece.reps, piece.hold_s, piece.distance_m, piece.time_s, piece.left or None]
        if sum(kind is not None for kind in kinds) != 1:
            allowed = "one of reps, hold_s, distance_m, time_s, as_many_as_are_left"
            reader.fault(f"piece[{number}]", "nothing to do" if not any(kinds) else "several things at once", allowed)
        if number == 1 and (piece.left or piece.load_share != 1.0 or (piece.rest_s and piece.times == 1)):
            reader.fault(
                f"piece[{number}]", "a first piece with a rest, a drop or what is left", "work at the full load"
            )
        if number > 1 and (piece.distance_m or piece.time_s):
            reader.fault(f"piece[{number}]", "metres or seconds of work after the first piece", "reps or hold_s")
    if not one.log and not reader.faults:
        reader.fault("log", "nothing", "at least one column of the log")


def read_suits(reader: Reader) -> Suits:
    """The table ``suits``."""
    table = reader.sub("suits")
    if table is None:
        return Suits()
    made = Suits(
        modes=table.words("modes", get_args(Mode)),  # type: ignore[arg-type]
        measured_in=table.words("measured_in", get_args(Measure)),  # type: ignore[arg-type]
        supports=table.words("supports", get_args(Support)),  # type: ignore[arg-type]
        load_means=table.words("load_means", get_args(LoadMeans)),  # type: ignore[arg-type]
        not_patterns=table.words("not_patterns", PATTERNS),
        most_skill=int(table.number("most_skill", 1, 5, whole=True, default=5) or 5),
        least_load_capacity=int(table.number("least_load_capacity", 0, 5, whole=True, default=0) or 0),
        least_age=int(table.number("least_age", 0, 99, "years", whole=True, default=0) or 0),
        least_years=table.number("least_years_of_training", 0, 20, "years", default=0.0) or 0.0,
        not_on_a_sore_joint=table.flag("not_on_a_sore_joint"),
    )
    table.close()
    return made


SPLIT_STANCE = frozenset({"split_squat"})  # both feet bear, one behind the other: no stand to tire in


def unsuited(one: SetScheme, exercise: Exercise) -> tuple[str, ...]:
    """Why a scheme does not suit an exercise, a sentence each; empty where it does."""
    suits, name = one.suits, exercise.name
    found = []
    if suits.modes and exercise.mode not in suits.modes:
        found.append(f"{name} is {exercise.mode.replace('-', ' ')} work.")
    if suits.measured_in and exercise.measured_in not in suits.measured_in:
        found.append(f"{name} is counted in {exercise.measured_in}.")
    if exercise.skill > suits.most_skill:
        found.append(f"{name} takes too much skill to be done tired.")
    if exercise.load_capacity < suits.least_load_capacity:
        found.append(f"{name} can't be loaded enough.")
    if suits.supports and (exercise.support not in suits.supports or exercise.pattern in SPLIT_STANCE):
        found.append(f"{name} is not stable enough.")
    if suits.load_means and exercise.load_means not in suits.load_means:
        found.append(f"The load of {name} can't be changed in kilograms.")
    if exercise.pattern in suits.not_patterns:
        found.append(f"A {exercise.pattern.replace('_', ' ')} done tired is a risk to the back.")
    return tuple(found)


def sore_joints(one: SetScheme, exercise: Exercise, trainee: Trainee) -> tuple[str, ...]:
    """Joints that a restriction names and the exercise moves, where the scheme may not be used on such."""
    if not one.suits.not_on_a_sore_joint:
        return ()
    moved = {use.joint for use in exercise.actions if use.role != "held"}
    return tuple(dict.fromkeys(rule.joint for rule in trainee.restrictions if rule.joint in moved))


def straight_if_sore(entry: Entry, exercise: Exercise, trainee: Trainee, catalogue: Catalogue) -> Entry:
    """A planned entry without what is inside its sets where its scheme may not be used at a joint; loads stay."""
    one = schemes_of(catalogue).get(entry.scheme)
    if one is None or not any(each.inside for each in entry.sets) or not sore_joints(one, exercise, trainee):
        return entry
    return replace(entry, scheme="straight", sets=tuple(replace(each, inside=()) for each in entry.sets))


def too_early(one: SetScheme, trainee: Trainee, year: int) -> tuple[str, ...]:
    """Why a scheme is not for a trainee yet, a sentence each: the coach may write it all the same."""
    found = []
    if year - trainee.birth_year < one.suits.least_age:
        found.append(f"It is for people of {one.suits.least_age} and older.")
    if trainee.training_years < one.suits.least_years:
        months = round(12 * one.suits.least_years)
        found.append(f"It is for people who have trained {months} months or more.")
    return tuple(found)


def expanded(pieces: Sequence[Piece]) -> list[Piece]:
    """The pieces one by one; the first of all has no rest before it."""
    found = [replace(one, times=1) for one in pieces for _ in range(one.times)]
    return [replace(found[0], rest_s=0.0), *found[1:]]


def stretches_of(pieces: Sequence[Piece]) -> tuple[Stretch, ...]:
    """What follows the first piece of a set."""
    return tuple(
        Stretch(reps=one.reps, hold_s=one.hold_s, rest_s=one.rest_s, load_share=one.load_share, left=one.left)
        for one in expanded(pieces)[1:]
    )


def is_filled(scheme: Scheme) -> bool:
    """True where a scheme holds what its sets consist of, not only the name."""
    return scheme.kind in BASIC_KINDS or bool(scheme.inside) or scheme.back_offs is not None


def eased_for_week(scheme: Scheme, schemes: Mapping[str, SetScheme]) -> Scheme:
    """The scheme of an easy week: straight sets in place of tiring ones."""
    one = schemes.get(scheme.kind)
    return scheme.as_straight() if one is not None and scheme.inside and one.fatigue > TIRING else scheme


def scheme_for_lift(one: SetScheme, base: Scheme, is_easy_week: bool = False, least_rir: float = 0.0) -> Scheme:
    """Straight sets of a lift (sets, repetitions, effort of the week) done in a scheme instead.

    The lift keeps its repetitions where the scheme only adds to them (holds, what is left); a set that is cut in parts
    has those of its file. Where the load is to stay until the repetitions are there, the reserve is the file's in
    all weeks, or ``least_rir`` where that is more. An easy week has straight sets in place of tiring ones.
    """
    if is_easy_week and one.fatigue > TIRING:
        return base
    made = scheme_as_written(one, base)
    only_added = all(piece.reps is None for piece in expanded(one.pieces)[1:]) and one.pieces[0].reps is not None
    stays = one.progress == "reps then load" and not made.inside
    rir = base.rir if not stays or one.rir is None or base.rir is None else max(one.rir, least_rir)
    return replace(made, reps=base.reps if only_added else made.reps, rir=base.rir if is_easy_week else rir)


def scheme_as_written(one: SetScheme, base: Scheme) -> Scheme:
    """A base (sets, effort, rest) done in a scheme, with the pieces of its file."""
    first = one.pieces[0]
    rir = base.rir if one.rir is None else one.rir
    if one.name == "hold-reps-hold":
        hold, middle, after = one.pieces
        return replace(base, kind=one.name, reps=middle.reps, hold_s=hold.hold_s, hold_after_s=after.hold_s, rir=rir)
    return replace(
        base,
        kind=one.name,
        reps=first.reps,
        hold_s=first.hold_s,
        hold_after_s=None,
        distance_m=first.distance_m,
        time_s=first.time_s,
        rir=rir,
        tempo=base.tempo if first.reps else None,
        inside=stretches_of(one.pieces),
        back_offs=one.back_offs,
        lowering=one.lowering,
        to_top_set=one.back_offs is not None,
    )


def counted_sets(entry: Entry, catalogue: Catalogue) -> float:
    """What the working sets of an entry count together, a straight set being 1: before any share for a muscle."""
    scheme = schemes_of(catalogue).get(entry.scheme)
    working = entry.working_sets
    if scheme is None:
        return float(len(working))
    return sum(scheme.credit(1 + len(one.inside)) for one in working)
