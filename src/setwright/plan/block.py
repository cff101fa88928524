"""A block: weeks, sessions, parts, entries, sets. The value that every later room reads.

Field names are those of the published format ``setwright/block/1``; ``publish.schema`` prints its JSON Schema.
A block carries the inputs it was made from, so that it can be changed and explained from itself alone.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from setwright.catalogue.exercise import LoadMeans, PartName
from setwright.people.place import Place
from setwright.people.trainee import Day, Trainee
from setwright.plan.bout import Bout
from setwright.plan.brief import Brief
from setwright.plan.stretch import Stretch

SetKind = Literal["ramp", "work", "hold", "hold-reps-hold", "lowering"]
WeekKind = Literal["build", "deload", "test", "return"]


@dataclass(frozen=True)
class PlannedSet:
    """One set as planned. Loads kg, times s, distances m; None where the field does not apply.

    ``load_range_kg`` is the 10 to 90 % range of the load that fits the wanted effort;
    ``chance`` that of completing the top of ``reps`` with at least ``rir`` left.
    ``pieces`` says what to put on or take (plates per side ``20 + 5 + 2.5``, ``2 x 16``, ``pin 45 + 2.5``).
    ``inside`` is what follows in the same set (``reps``, ``hold_s`` and ``load_kg`` are those of its first stretch);
    ``load_share`` the share of the first set's load that a back-off set was wanted at. Files leave empty ones out.
    """

    kind: SetKind
    reps: tuple[int, int] | None = None
    hold_s: float | None = None
    hold_after_s: float | None = None
    distance_m: float | None = None
    time_s: float | None = None
    rir: float | None = None
    rpe: float | None = None
    chance: float | None = None
    tempo: str | None = None
    load_kg: float | None = None
    load_range_kg: tuple[float, float] | None = None
    load_means: LoadMeans = "body"
    per_side: bool = False
    rest_s: float = 0.0
    pieces: str = ""
    note: str = ""
    inside: tuple[Stretch, ...] = ()
    load_share: float | None = None


@dataclass(frozen=True)
class Alternative:
    """An exercise that can stand in: for which case, what is kept, what is lost."""

    exercise: str
    kept: str
    lost: str
    case: str = ""  # "no such bar", "no such machine", "sore joint", "travelling"


@dataclass(frozen=True)
class Filler:
    """Easy work in the rest of an entry that disturbs nothing."""

    exercise: str
    reps: tuple[int, int] | None = None
    hold_s: float | None = None
    per_side: bool = False
    why: str = ""


@dataclass(frozen=True)
class Entry:
    """One exercise on the sheet.

    ``bout``: the bout of conditioning it is done in; its sets are then those of each round. Entries of one bout share
    the letter of a superset and stand together. Files leave it out where there is none.
    ``reasons`` answer ``this``, ``here``, ``much``, ``instead`` in the first week that holds the entry of a day; they
    are counted from the rest of the block, so they are no part of what makes two entries equal.
    """

    exercise: str
    sets: tuple[PlannedSet, ...]
    why: str
    superset: str | None = None
    scheme: str = "straight"  # the name of a set scheme: see plan/data/schemes, and the coach's own
    cautions: tuple[str, ...] = ()
    dials: dict[str, object] = field(default_factory=dict)
    alternatives: tuple[Alternative, ...] = ()
    filler: Filler | None = None
    progression: str | None = None
    step: int | None = None
    written: str = ""  # the coach's own line, when the block was written
    reasons: dict[str, str] = field(default_factory=dict, compare=False)  # see plan.reasons
    bout: Bout | None = None

    @property
    def working_sets(self) -> list[PlannedSet]:
        """The sets that are no ramp sets."""
        return [one for one in self.sets if one.kind != "ramp"]


@dataclass(frozen=True)
class Part:
    """A part of a session, in the order it is done."""

    part: PartName
    entries: tuple[Entry, ...]


@dataclass(frozen=True)
class Session:
    """One day. ``minutes`` is what it takes by the time model; ``minutes_cap`` what there is, or None."""

    day: Day
    place: str
    minutes: float
    parts: tuple[Part, ...]
    minutes_cap: float | None = None
    title: str = ""


@dataclass(frozen=True)
class Week:
    """One week; ``rpe`` is the effort wanted of the main lifts."""

    number: int
    kind: WeekKind
    rpe: float
    sessions: tuple[Session, ...]


@dataclass(frozen=True)
class SetCredit:
    """Counted sets of one muscle group in one week."""

    week: int
    muscle: str
    direct: float
    fractional: float


@dataclass(frozen=True)
class Unmet:
    """A wish that could not be met, or a rule that is bent, and why; ``rule`` is its id where there is one."""

    wish: str
    why: str
    rule: str = ""


@dataclass(frozen=True)
class Proof:
    """What the solver proved. ``status`` optimal or feasible; gap = objective - bound, in points."""

    status: Literal["optimal", "feasible", "written"]
    objective: float
    bound: float
    gap: float
    note: str = ""


@dataclass(frozen=True)
class Change:
    """One difference between two revisions, with its reason."""

    week: int
    session: str
    entry: str
    from_: str
    to: str
    why: str
    evidence: str = ""


@dataclass(frozen=True)
class Settled:
    """One thing that a log has changed, by the name of the log's content; what came of it, in a line.

    It stays with the revisions that follow, so that the same log is not answered twice.
    """

    log: str
    week: int
    session: str
    entry: str
    to: str


@dataclass(frozen=True)
class Inputs:
    """What the block was made from. ``own``: texts of the coach's own exercises and progressions, by path."""

    trainee: Trainee
    places: tuple[Place, ...]
    brief: Brief
    log: tuple[dict[str, object], ...] = ()
    own: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Block:
    """The whole block. ``id`` is made from the content (``plan.identity``)."""

    id: str
    title: str
    trainee: str
    place: str
    weeks: tuple[Week, ...]
    set_credits: tuple[SetCredit, ...]
    unmet: tuple[Unmet, ...]
    proof: Proof
    inputs: Inputs
    revision: int = 1
    parent: str | None = None
    door: Literal["design", "write"] = "design"
    cautions: tuple[str, ...] = ()
    changes: tuple[Change, ...] = ()
    format: str = "setwright/block/1"
    settled: tuple[Settled, ...] = ()
