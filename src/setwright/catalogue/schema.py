"""The keys of a catalogue file: what each may hold, and what is said when it holds something else."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from typing import Protocol, get_args

from setwright.body.anatomy import joint_actions
from setwright.body.lever import check_dial
from setwright.body.models import models
from setwright.catalogue import exercise as words
from setwright.catalogue.equipment import equipment
from setwright.faults import Fault

SLUG = re.compile(r"^[a-z0-9]+(_[a-z0-9]+)*$")
PATTERNS = (
    "squat",
    "split_squat",
    "knee_extension",
    "hinge",
    "single_leg_hinge",
    "hip_extension",
    "knee_flexion",
    "hip_adduction",
    "hip_abduction",
    "hip_rotation",
    "hip_flexion",
    "calf",
    "shin",
    "foot",
    "mobility_hip",
    "mobility_ankle",
    "jump_land",
    "sled",
    "conditioning",
    "push_horizontal",
    "push_incline",
    "push_vertical",
    "dip",
    "pull_horizontal",
    "pull_vertical",
    "shoulder_raise",
    "rotator_cuff",
    "scapular",
    "elbow_flexion",
    "elbow_extension",
    "grip_wrist",
    "anti_extension",
    "anti_lateral",
    "anti_rotation",
    "trunk_extension",
    "trunk_flexion",
    "trunk_rotation",
    "carry",
    "neck",
    "mobility_spine",
    "mobility_shoulder",
)


class FaultBook:
    """Collects the faults of one file."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.faults: list[Fault] = []

    def add(self, path: str, found: object, allowed: str, hint: str = "") -> None:
        shown = found if isinstance(found, str) else repr(found)
        self.faults.append(Fault(self.file, path, shown if len(shown) <= 80 else shown[:77] + "...", allowed, hint))


def nearest_hint(word: str, known: Sequence[str]) -> str:
    """A proposal for a misspelt word, or nothing."""
    near = get_close_matches(word, known, n=1, cutoff=0.6)
    return f"Did you mean {near[0]!r}?" if near else ""


class Kind(Protocol):
    """What a key may hold; ``check`` writes its faults into the book and says whether the value is good."""

    def check(self, value: object, path: str, book: FaultBook) -> bool: ...


@dataclass(frozen=True)
class Text:
    """A sentence or a name: at least one sign that is not a blank."""

    longest: int = 300

    def check(self, value: object, path: str, book: FaultBook) -> bool:
        if not isinstance(value, str) or not value.strip() or len(value) > self.longest:
            book.add(path, value, f"a text of 1 to {self.longest} signs")
            return False
        return True


@dataclass(frozen=True)
class Slug:
    """A slug: small letters, digits and single underscores."""

    def check(self, value: object, path: str, book: FaultBook) -> bool:
        if not isinstance(value, str) or not SLUG.match(value):
            book.add(path, value, "small letters, digits and single underscores")
            return False
        return True


@dataclass(frozen=True)
class Choice:
    """One of a list of words."""

    allowed: tuple[str, ...]

    def check(self, value: object, path: str, book: FaultBook) -> bool:
        if not isinstance(value, str):
            book.add(path, value, "a word in quotes")
            return False
        if value not in self.allowed:
            few = ", ".join(self.allowed) if len(self.allowed) <= 15 else f"one of {len(self.allowed)} known words"
            book.add(path, value, few, nearest_hint(value, self.allowed))
            return False
        return True


@dataclass(frozen=True)
class Number:
    """A number between two ends; ``whole`` refuses fractions."""

    low: float
    high: float
    whole: bool = False

    def check(self, value: object, path: str, book: FaultBook) -> bool:
        is_number = isinstance(value, (int, float)) and not isinstance(value, bool)
        if not is_number or (self.whole and not isinstance(value, int)) or not self.low <= value <= self.high:  # type: ignore[operator]
            kind = "a whole number" if self.whole else "a number"
            book.add(path, value, f"{kind} from {self.low:g} to {self.high:g}")
            return False
        return True


@dataclass(frozen=True)
class Flag:
    """true or false."""

    def check(self, value: object, path: str, book: FaultBook) -> bool:
        if not isinstance(value, bool):
            book.add(path, value, "true or false")
            return False
        return True


@dataclass(frozen=True)
class ListOf:
    """A list without repeats."""

    of: Kind
    least: int = 0
    most: int = 30

    def check(self, value: object, path: str, book: FaultBook) -> bool:
        if not isinstance(value, list) or not self.least <= len(value) <= self.most:
            book.add(path, value, f"a list of {self.least} to {self.most}")
            return False
        checked = [self.of.check(item, f"{path}[{i}]", book) for i, item in enumerate(value)]
        good = all(checked)
        if good and any(item in value[:i] for i, item in enumerate(value)):
            book.add(path, value, "each entry once")
            return False
        return good


@dataclass(frozen=True)
class MapOf:
    """A table from known keys to one kind of value."""

    keys: tuple[str, ...]
    of: Kind

    def check(self, value: object, path: str, book: FaultBook) -> bool:
        if not isinstance(value, dict):
            book.add(path, value, "a table { key = value }")
            return False
        good = True
        for key, item in value.items():
            if key not in self.keys:
                book.add(f"{path}.{key}", "an unknown key", "a known joint motion", nearest_hint(key, self.keys))
                good = False
            else:
                good &= self.of.check(item, f"{path}.{key}", book)
        return good


@dataclass(frozen=True)
class Dials:
    """A table of dials: JSON values under the known names."""

    def check(self, value: object, path: str, book: FaultBook) -> bool:
        if not isinstance(value, dict):
            book.add(path, value, "a table { dial = value }")
            return False
        good = True
        for key, item in value.items():
            if key not in DIALS:
                book.add(f"{path}.{key}", "an unknown dial", ", ".join(DIALS), nearest_hint(key, DIALS))
                good = False
            else:
                good &= DIALS_KIND[key].check(item, f"{path}.{key}", book)
        return good


@dataclass(frozen=True)
class LeverOf:
    """A model of ``body.models``, the dials set on it, and the phase; model ``none`` for no model."""

    def check(self, value: object, path: str, book: FaultBook) -> bool:
        table = Table(
            {"model": Choice((*models(), "none")), "phase": Choice(("raise", "lower", "hold")), "dials": AnyTable()},
            frozenset({"model"}),
        )
        if not table.check(value, path, book, partly=True):
            return False
        assert isinstance(value, dict)
        if value.get("model", "none") == "none":
            return True
        model = models()[value["model"]]
        good = True
        for name, set_to in value.get("dials", {}).items():
            known = [one.name for one in model.dials]
            if name not in known:
                book.add(f"{path}.dials.{name}", "an unknown dial", ", ".join(known), nearest_hint(name, known))
                good = False
                continue
            try:
                check_dial(model.dial(name), set_to)
            except ValueError as error:
                book.add(f"{path}.dials.{name}", set_to, str(error))
                good = False
        return good


@dataclass(frozen=True)
class AnyTable:
    """A table whose keys are checked elsewhere."""

    def check(self, value: object, path: str, book: FaultBook) -> bool:
        if not isinstance(value, dict):
            book.add(path, value, "a table { dial = value }")
            return False
        return True


@dataclass(frozen=True)
class RangeDeg:
    """Two angles, from the smaller to the larger."""

    def check(self, value: object, path: str, book: FaultBook) -> bool:
        angle = Number(-30, 180)
        if not isinstance(value, list) or len(value) != 2:
            book.add(path, value, "two angles [from, to] in degrees")
            return False
        checked = [angle.check(item, f"{path}[{i}]", book) for i, item in enumerate(value)]
        if not all(checked):
            return False
        if value[0] >= value[1]:
            book.add(path, value, "the smaller angle first")
            return False
        return True


DIALS_KIND: Mapping[str, Kind] = {
    "variant": Text(60),
    "support": Text(60),
    "assistance": Text(60),
    "range_deg": RangeDeg(),
    "held_angle_deg": Number(-30, 180),
    "heel_mm": Number(0, 100),
    "deficit_mm": Number(0, 300),
    "step_cm": Number(1, 100),
    "tempo": Text(20),
    "distance_m": Number(0.1, 10_000),
    "time_s": Number(1, 7200),
    "hand_height_cm": Number(0, 200),
    "foot_height_cm": Number(0, 200),
    "load_share": Number(0, 3),
    "grip": Text(60),
    "stance": Text(60),
    "incline_deg": Number(-30, 90),
    "speed": Text(40),
}
DIALS = tuple(DIALS_KIND)


@dataclass(frozen=True)
class Table:
    """A table of named keys; ``needed`` ones may not be missing (unless only part of it is given)."""

    keys: Mapping[str, Kind]
    needed: frozenset[str] = frozenset()

    def check(self, value: object, path: str, book: FaultBook, partly: bool = False) -> bool:
        if not isinstance(value, dict):
            book.add(path, value, "a table")
            return False
        good = True
        known = tuple(self.keys)
        for key, item in value.items():
            at = f"{path}.{key}" if path else key
            kind = self.keys.get(key)
            if kind is None:
                book.add(at, "an unknown key", ", ".join(known), nearest_hint(key, known))
                good = False
            elif isinstance(kind, Table):
                good &= kind.check(item, at, book, partly)
            else:
                good &= kind.check(item, at, book)
        for key in sorted(self.needed - set(value)) if not partly else ():
            book.add(f"{path}.{key}" if path else key, "nothing", "this key is needed")
            good = False
        return good


def _literals(kind: object) -> tuple[str, ...]:
    return tuple(get_args(kind))


@cache
def motions() -> tuple[str, ...]:
    """The motions whose largest angle may be given: every joint action, and elevation of the arm."""
    return (*joint_actions(), "shoulder-elevation")


@cache
def exercise_table() -> Table:
    """The keys of an exercise file, without its variants."""
    action = Choice(tuple(joint_actions()))
    names = ListOf(Text(80))
    token = Choice(tuple(equipment().words))
    return Table(
        {
            "name": Text(80),
            "also_called": names,
            "pattern": Choice(PATTERNS),
            "actions": Table(
                {"prime": ListOf(action, 1), "secondary": ListOf(action), "held": ListOf(action)},
                frozenset({"prime"}),
            ),
            "form": Table(
                {
                    "mode": Choice(_literals(words.Mode)),
                    "laterality": Choice(_literals(words.Laterality)),
                    "body_position": Choice(_literals(words.BodyPosition)),
                    "support": Choice(_literals(words.Support)),
                    "spine": Choice(_literals(words.Spine)),
                    "length_bias": Choice(_literals(words.LengthBias)),
                    "positions": ListOf(Choice(_literals(words.HeldPosition))),
                    "max_angles": MapOf(motions(), Number(0, 180)),
                    "crop": ListOf(Choice(motions())),
                    "skill": Number(1, 5, whole=True),
                    "grip": Number(0, 3, whole=True),
                    "impact": Number(0, 3, whole=True),
                    "rep_s": Number(0.2, 60),
                },
                frozenset({"mode", "laterality", "body_position", "support", "skill"}),
            ),
            "load": Table(
                {
                    "means": Choice(_literals(words.LoadMeans)),
                    "capacity": Number(0, 5, whole=True),
                    "measured_in": Choice(_literals(words.Measure)),
                    "body_share": Number(0, 1),
                    "equipment": ListOf(ListOf(token)),
                },
                frozenset({"means", "capacity", "measured_in", "equipment"}),
            ),
            "use": Table(
                {"parts": ListOf(Choice(_literals(words.PartName)), 1), "progression": Slug()},
                frozenset({"parts"}),
            ),
            "lever": LeverOf(),
            "talk": Table(
                {
                    "purpose": Text(),
                    "cues": ListOf(Text(160), 1, 6),
                    "effort_cue": Text(),
                    "cautions": ListOf(Text()),
                    "sources": ListOf(Text()),
                },
                frozenset({"purpose", "cues", "effort_cue", "sources"}),
            ),
        },
        frozenset({"name", "pattern", "actions", "form", "load", "use", "talk"}),
    )


@cache
def variant_table() -> Table:
    """The keys of a variant: any key of the exercise, its slug, and the dials that make it."""
    return Table({"slug": Slug(), "dials": Dials(), **exercise_table().keys}, frozenset({"slug", "name"}))


@cache
def progression_table() -> Table:
    """The keys of a progression file, without its steps."""
    return Table(
        {
            "title": Text(80),
            "pain_limit": Number(0, 5, whole=True),  # pain above 5 stops an exercise everywhere else (review.findings)
            "source": Text(500),
            "caution": Text(),
            "closed_with_back_trouble": Flag(),
        },
        frozenset({"title", "pain_limit", "source"}),
    )


@cache
def inside_table() -> Table:
    """The keys of a small step taken inside an entry."""
    return Table(
        {
            "dial": Choice(_literals(words.DialOfStep)),
            "from": Text(80),
            "to": Text(80),
            "when": Text(160),
            "set": Dials(),
        },
        frozenset({"dial", "from", "to", "when"}),
    )


@cache
def step_table() -> Table:
    """The keys of one step of a progression."""
    return Table(
        {
            "exercise": Slug(),
            "dials": Dials(),
            "entry_test": Text(),
            "exit_test": Text(),
            "way_back": Text(),
            "exit_sets": Number(1, 20, whole=True),
            "exit_reps": Number(1, 200, whole=True),
            "exit_hold_s": Number(1, 600),
            "exit_distance_m": Number(1, 5000),
            "exit_load_share": Number(0.01, 3),
            "exit_help_share": Number(0.01, 0.9),
            "exit_sessions": Number(1, 10, whole=True),
            "sideways": ListOf(Slug(), 1, 8),
            "inside": ListOf(inside_table(), 1, 8),
            "order_why": Text(),
            "branch": Text(40),
            "after": Slug(),
            "leads_to": Slug(),
        },
        frozenset({"exercise", "entry_test", "exit_test", "way_back"}),
    )
