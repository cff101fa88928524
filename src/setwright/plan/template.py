"""The common ground of both doors: a week of sessions before loads are put on it.

Designing from a brief and reading a written block both end here; ``compose`` turns a template into a block.
Fields that change over the weeks are tuples with one value a week.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from setwright.catalogue.exercise import Exercise, PartName
from setwright.people.trainee import Day
from setwright.plan.bout import Bout
from setwright.plan.stretch import Stretch

# Kinds of sets that the rest of the program knows by name; every other scheme does as one of them (``Scheme.basic``).
MOST_IN_A_ROW = 20  # repetitions of a set in parts that are done in a row instead
BASIC_KINDS = frozenset({"straight", "ramp", "hold-reps-hold", "lowering", "hold", "carry", "interval", "drill"})


@dataclass(frozen=True)
class Scheme:
    """How the sets of one entry are done, in one week.

    kind : the name of a scheme (``schemes``): straight, cluster, top-and-back-offs, hold, carry...
    sets : working sets; reps (from, to) or None; rir wanted or None; holds, distances and times in s and m
    hold_after_s : second hold of a hold-reps-hold set
    load_kg : a load the coach wrote, or None (then it is dosed); pct : share of 1RM the coach wrote, or None
    light : work that a restriction or a range goal wants easy, whatever the trainee could do
    steps_up : range work only: so many loads of the place above the light one, where they are still light
    inside : what follows in the same set, in order: parts after short rests, drops, holds
    back_offs : load of all sets after the first over that of the first; None where all sets are alike
    back_reps : repetitions of those sets, where they are others than the first set's
    lowering : only the way down is done
    """

    kind: str
    sets: int
    reps: tuple[int, int] | None = None
    rir: float | None = None
    hold_s: float | None = None
    hold_after_s: float | None = None
    distance_m: float | None = None
    time_s: float | None = None
    tempo: str | None = None
    rest_s: float = 120.0
    load_kg: float | None = None
    pct: float | None = None
    per_side: bool | None = None
    to_top_set: bool = False
    light: bool = False
    steps_up: int = 0
    inside: tuple[Stretch, ...] = ()
    back_offs: float | None = None
    back_reps: tuple[int, int] | None = None
    lowering: bool = False

    @property
    def basic(self) -> str:
        """The basic kind that sets of this scheme are dosed, timed and shown as."""
        if self.kind in BASIC_KINDS:
            return self.kind
        if self.lowering:
            return "lowering"
        if self.distance_m is not None:
            return "carry"
        if self.time_s is not None:
            return "interval"
        if self.reps is None and self.hold_s is not None and all(one.hold_s for one in self.inside):
            return "hold"
        return "straight"

    def is_each_side(self, exercise: Exercise) -> bool:
        """Whether its numbers are meant for each side: as it says, else as its exercise counts."""
        return exercise.is_counted_each_side(self.reps is not None) if self.per_side is None else self.per_side

    def as_straight(self) -> Scheme:
        """The same sets without what is done inside them, and all with one load.

        Repetitions that were said part by part are done in a row, so the load is never heavier than that of the parts;
        a load that the coach wrote is done for the first part only.
        """
        if self.basic == "straight" and self.reps is None:
            reps = next((one.reps for one in self.inside if one.reps), None)
            return replace(self, kind="straight", reps=reps, hold_s=None, inside=(), back_offs=None, back_reps=None)
        said = [self.reps] if self.reps else []
        if self.load_kg is None and self.pct is None:
            said += [one.reps for one in self.inside if one.reps and not one.left and one.load_share == 1.0]
        most = max(MOST_IN_A_ROW, self.reps[1] if self.reps else 0)
        low, high = (min(most, sum(reps[end] for reps in said)) for end in (0, 1))
        reps = (low, high) if said else None
        return replace(self, kind=self.basic, reps=reps, inside=(), back_offs=None, back_reps=None)


@dataclass(frozen=True)
class TemplateEntry:
    """One exercise of the week template. ``schemes`` has one scheme a week, None where it is left out.

    bouts : the bout of conditioning of each week, empty for work that is none
    """

    exercise: str
    part: PartName
    schemes: tuple[Scheme | None, ...]
    why: str
    superset: str | None = None
    dials: dict[str, object] = field(default_factory=dict)
    filler_wanted: bool = False
    progression: str | None = None
    step: int | None = None
    written: str = ""
    locked: bool = False
    cautions: tuple[str, ...] = ()
    bouts: tuple[Bout | None, ...] = field(default=(), repr=False)  # no part of names made from older texts

    def bout(self, week: int) -> Bout | None:
        """The bout of conditioning of a week, or None."""
        return self.bouts[week] if self.bouts else None


@dataclass(frozen=True)
class TemplateSession:
    """One day of the template, entries in the order they are done, warm-up not yet added unless written.

    label : how it is called where the text names no weekday, ``Day 1``; empty where ``day`` is what was meant
    """

    day: Day
    place: str
    minutes_cap: float | None
    entries: tuple[TemplateEntry, ...]
    title: str = ""
    label: str = ""


@dataclass(frozen=True)
class Template:
    """The sessions of a week, and what each week is: its kind and the effort of the main lifts."""

    sessions: tuple[TemplateSession, ...]
    week_kinds: tuple[str, ...]
    week_rpe: tuple[float, ...]
