"""What an exercise is.

Two ideas carry this module. One: an exercise is its joint actions, the positions it is held in, and the
equipment it needs; set credits, joint stress and warm-up needs follow from those (``derive``).
Two: what varies it (support, assistance, range, tempo, distance) is a dial, so a trade name that is only
a setting of the dials is a *variant* in the same file, with a slug of its own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal

Role = Literal["prime", "secondary", "held"]
Mode = Literal[
    "dynamic",
    "concentric",
    "lowering",
    "isometric",
    "carry",
    "cyclic",
    "active-mobility",
    "loaded-mobility",
]
Laterality = Literal["both", "one", "alternating", "one-side-load"]
Spine = Literal["unloaded", "neutral", "flexed", "rotating"]
LengthBias = Literal["lengthened", "middle", "shortened"]
Support = Literal["full", "part", "two-feet", "one-foot", "hang"]
LYING = {"supine": "lying-on-back", "prone": "lying-on-front"}
BodyPosition = Literal["stand", "sit", "supine", "prone", "side", "kneel", "half-kneel", "hang", "plank", "quadruped"]
HeldPosition = Literal[
    "bar-on-back",
    "front-rack",
    "grip",  # a hard grip is part of the exercise (grip demand 2 or 3)
    "hang",
    "hands-overhead",
    "weight-on-hands",
    "arm-behind-body",
    "kneeling",
    "deep-squat",
    "load-at-hips",
]
Phase = Literal["raise", "lower", "hold"]
LoadMeans = Literal["total", "each hand", "added", "assistance", "body"]
Measure = Literal["reps", "seconds", "metres"]
PartName = Literal["warm-up", "main", "skill", "assistance", "finisher", "loaded-mobility", "conditioning"]

ROLE_SHARE: Mapping[Role, float] = MappingProxyType({"prime": 1.0, "secondary": 0.5, "held": 0.25})


@dataclass(frozen=True)
class ActionUse:
    """One joint action inside an exercise, with its role."""

    joint: str
    action: str
    role: Role

    @property
    def slug(self) -> str:
        """The key of the joint action in ``body.anatomy`` (``knee-extension``)."""
        return f"{self.joint}-{self.action}"


@dataclass(frozen=True)
class Lever:
    """How an exercise is reckoned as a lever: a model of ``body.models`` and the dials that make it this exercise.

    ``phase``: which way its demand is reckoned (``raise``, ``lower``, ``hold``).
    """

    model: str
    phase: Phase
    dials: Mapping[str, float | str]


@dataclass(frozen=True)
class Exercise:
    """One exercise, all defaults filled in; a variant is a whole exercise too.

    ``base`` is the slug of the file's own exercise (equal to ``slug`` unless this is a variant).
    ``equipment`` is a tuple of sets of tokens, any one of which is enough; an empty set means nothing needed.
    ``max_angles`` maps a joint motion (``knee-flexion``, ``hip-flexion``, ``shoulder-elevation``,
    ``elbow-flexion``, ``ankle-dorsiflexion``) to the largest angle reached in the full range, degrees.
    ``crop`` names the motions whose range may be shortened by a dial without losing the exercise.
    ``load_means`` says what a printed load is. ``load_capacity`` 0 to 5: how heavy it can be made (ordinal).
    ``body_share``: share of body mass moved, for lifts where that matters, or None where unknown.
    ``rep_s``: seconds one repetition usually takes.
    ``lever``: how its demand is reckoned from the body, or None where no model fits.
    """

    slug: str
    base: str
    name: str
    also_called: tuple[str, ...]
    pattern: str
    actions: tuple[ActionUse, ...]
    mode: Mode
    laterality: Laterality
    equipment: tuple[frozenset[str], ...]
    positions: tuple[HeldPosition, ...]
    body_position: BodyPosition
    support: Support
    spine: Spine
    length_bias: LengthBias
    max_angles: Mapping[str, float]
    load_means: LoadMeans
    load_capacity: int
    skill: int
    grip: int
    impact: int
    parts: tuple[PartName, ...]
    measured_in: Measure
    purpose: str
    cues: tuple[str, ...]
    effort_cue: str
    dials: Mapping[str, object] = field(default_factory=lambda: MappingProxyType({}))
    crop: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    progression: str | None = None
    body_share: float | None = None
    rep_s: float = 4.0
    lever: Lever | None = None
    sources: tuple[str, ...] = ()

    @property
    def is_dynamic(self) -> bool:
        """True when joints move under effort (holds, drills and carries are not dynamic)."""
        return self.mode in ("dynamic", "concentric", "lowering", "cyclic", "loaded-mobility")

    @property
    def held_positions(self) -> tuple[str, ...]:
        """Everything held that a restriction may bar: the listed positions, and lying on the back or the front."""
        lying = LYING.get(self.body_position)
        return (*self.positions, lying) if lying else tuple(self.positions)

    @property
    def overhead(self) -> bool:
        """True when the arm is raised past 120 degrees. Level from the project's knowledge model."""
        return self.max_angles.get("shoulder-elevation", 0.0) > 120.0

    @property
    def per_side(self) -> bool:
        """True when the sets are counted for each side."""
        return self.is_counted_each_side(self.measured_in == "reps")

    def is_counted_each_side(self, in_reps: bool) -> bool:
        """True when a number of repetitions, or of seconds or metres, is meant for each side.

        Ten lunges are ten for each leg: that is what tires it. Seconds and metres of sides in turn are those of both
        together (common practice, no published source).
        """
        return in_reps if self.laterality == "alternating" else self.laterality in ("one", "one-side-load")

    @property
    def is_held_in_both_hands(self) -> bool:
        """True when a load said for each hand means two things."""
        return self.load_means == "each hand" and self.laterality in ("both", "alternating")


DialOfStep = Literal["support", "depth", "assistance", "angle", "load"]


@dataclass(frozen=True)
class InsideStep:
    """A small step taken inside an entry, between two sets: a hand given up, a thinner band, a lower box.

    ``dial`` is what moves (support, depth, assistance, angle or load: one at a time), ``from_`` and ``to`` say it in a
    coach's words, ``when`` is the sign for it. ``sets`` are the dials of the catalogue that ``to`` means, or empty.
    """

    dial: DialOfStep
    from_: str
    to: str
    when: str
    sets: Mapping[str, object] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True)
class ProgressionStep:
    """One step of the way from assisted to unassisted.

    ``exercise`` is a catalogue slug; ``dials`` what is set on it; tests are sentences for a coach.
    ``exit_sets``, ``exit_reps``, ``exit_hold_s``, ``exit_distance_m``: the exit test as numbers where it is one, else
    None; ``exit_load_share``: the least load of it as a share of body mass, as the exercise prints its load (each hand
    where it is so); ``exit_help_share``: the most help, where kilograms of help are logged. The exit test must be met
    in ``exit_sessions`` sessions.
    ``sideways``: exercises that train the same where equipment or a restriction closes the step, best first.
    ``inside``: small steps taken inside its entries, in order. ``order_why``: why it stands here although the step
    before asks more, or empty.
    ``branch``: the name of the side way the step is on, empty for the main way. The first step of a branch says
    ``after`` which exercise of the main way it leaves; the last may say to which one it ``leads_to``.
    """

    number: int
    exercise: str
    entry_test: str
    exit_test: str
    way_back: str
    dials: Mapping[str, object] = field(default_factory=lambda: MappingProxyType({}))
    exit_sets: int | None = None
    exit_reps: int | None = None
    exit_hold_s: float | None = None
    exit_distance_m: float | None = None
    exit_load_share: float | None = None
    exit_help_share: float | None = None
    exit_sessions: int = 2
    sideways: tuple[str, ...] = ()
    inside: tuple[InsideStep, ...] = ()
    order_why: str = ""
    branch: str = ""
    after: str = ""
    leads_to: str = ""


@dataclass(frozen=True)
class Progression:
    """A climb of steps; ``pain_limit`` is 0 to 10, the level above which one steps back.

    ``steps`` stand by number. A branch is a second way between two steps of the main way: its numbers come after all
    others, so that the numbers of the main way stay when a branch is added.
    ``caution`` goes with every step; ``closed_with_back_trouble``: not for people with a history of back trouble.
    """

    slug: str
    title: str
    steps: tuple[ProgressionStep, ...]
    pain_limit: int
    source: str
    caution: str = ""
    closed_with_back_trouble: bool = False

    @property
    def branches(self) -> tuple[str, ...]:
        """The names of the side ways."""
        return tuple(dict.fromkeys(step.branch for step in self.steps if step.branch))

    def step(self, number: int) -> ProgressionStep:
        """The step of a number. Raises LookupError where there is none."""
        for one in self.steps:
            if one.number == number:
                return one
        raise LookupError(f"{self.slug} has no step {number}; there are 1 to {len(self.steps)}")

    def way(self, branch: str = "") -> tuple[ProgressionStep, ...]:
        """The steps from the first to the top, on the main way or through a branch."""
        main = tuple(step for step in self.steps if not step.branch)
        aside = tuple(step for step in self.steps if branch and step.branch == branch)
        if not aside:
            return main
        leaves = max((i for i, step in enumerate(main) if step.exercise == aside[0].after), default=-1)
        back = next((i for i, step in enumerate(main) if i > leaves and step.exercise == aside[-1].leads_to), len(main))
        return (*main[: leaves + 1], *aside, *main[back:])

    def up_to(self, number: int, branch: str = "") -> tuple[ProgressionStep, ...]:
        """The steps up to a number, it included, on the branch of that step or on the way that is named."""
        way = self.way(self.step(number).branch or branch)
        return way[: [step.number for step in way].index(number) + 1]

    def next_of(self, number: int, branch: str = "") -> tuple[ProgressionStep, ...]:
        """What can follow a step: the next one of its way, then the first one of each branch that leaves there."""
        found: dict[int, ProgressionStep] = {}
        own = self.step(number).branch
        for name in (own or branch,) if own or branch else ("", *self.branches):
            way = self.way(name)
            numbers = [step.number for step in way]
            if number in numbers and numbers.index(number) + 1 < len(way):
                one = way[numbers.index(number) + 1]
                found.setdefault(one.number, one)
        return tuple(found.values())
