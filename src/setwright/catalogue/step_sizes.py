"""How much harder the next step of a progression is, whether that is too much at once, and what lies between.

The demand comes in through a port, so that this file knows no mechanics: ask it for an exercise with its dials, and it
gives a number with its spread and the scale it is on, or None where nothing can be reckoned. Two demands are compared
only on the same scale. Where one is missing the order of two steps rests on practice, and that is said.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from math import log, sqrt

from setwright.body.models import models
from setwright.catalogue.exercise import DialOfStep, Exercise, Progression, ProgressionStep
from setwright.catalogue.store import Catalogue

# A step of 15 % costs ln 1.15 / 0.030 = 4.7 repetitions by the middle curve of people: who has the 8 of an exit test
# gets 3 on the next step. A step of load is 2 to 10 % (ACSM 2009, seen); the 15 % themselves are this project's choice.
TOO_BIG = 1.15
SAME = 1.02  # demands closer than this are told apart by nothing a coach could see (this project's choice)
MOST_SHOWN = 3
LEAST_RANGE_DEG = 15.0  # less range than this is nothing to propose (as the gates have it, common practice)


@dataclass(frozen=True)
class Demand:
    """What a variant asks, with its spread; ``of`` names the scale, as ``share of body weight on the hands``."""

    mean: float
    p10: float
    p90: float
    of: str


DemandOf = Callable[[str, Mapping[str, object]], Demand | None]


def nothing_known(slug: str, dials: Mapping[str, object]) -> Demand | None:
    """The port where no mechanics are at hand: every order rests on practice."""
    return None


@dataclass(frozen=True)
class StepSize:
    """How one step follows another: ``ratio`` of their demands, or None where their order rests on practice."""

    from_: int
    to: int
    ratio: float | None
    of: str = ""

    @property
    def is_too_big(self) -> bool:
        """True when the next step asks more than 15 % more."""
        return self.ratio is not None and self.ratio > TOO_BIG

    @property
    def is_easier(self) -> bool:
        """True when the next step asks clearly less: then the file must say why it comes later."""
        return self.ratio is not None and self.ratio < 1.0 / SAME


@dataclass(frozen=True)
class Between:
    """A way to halve a step: an exercise with one dial moved, and where its demand lies between the two (0 to 1)."""

    exercise: str
    dial: DialOfStep
    sets: Mapping[str, object]
    words: str
    demand: Demand
    share_of_step: float


@dataclass(frozen=True)
class Try:
    """A dial that can be moved in steps: which dial of a step it is, its words, and from where to where."""

    kind: DialOfStep
    words: str
    low: float
    high: float
    by: float
    times: float = 1.0  # of the value when it is said


# What a coach can set in a gym, in steps that can be set. Limits of the model hold where they are tighter.
TRIES: Mapping[str, Try] = {
    "band_test_kg": Try("assistance", "another band: one that {:g} kg stretches by half", 2.5, 40.0, 2.5),
    "to_deg": Try("depth", "less range: to {:g} degrees", 0.0, 150.0, 10.0),
    "step_cm": Try("depth", "a step of {:g} cm", 5.0, 60.0, 5.0),
    "hand_height_cm": Try("angle", "hands on {:g} cm", 5.0, 100.0, 5.0),
    "foot_height_cm": Try("angle", "feet on {:g} cm", 10.0, 80.0, 10.0),
    "bar_height_cm": Try("angle", "the bar at {:g} cm", 50.0, 150.0, 10.0),
    "body_angle_deg": Try("angle", "the body at {:g} degrees", 10.0, 80.0, 5.0),
    "wall_cm": Try("angle", "feet {:g} cm from the wall", 50.0, 150.0, 10.0),
    "elbows_ahead_cm": Try("angle", "elbows {:g} cm ahead", 5.0, 30.0, 5.0),
    "hip_flexion_deg": Try("angle", "hips bent {:g} degrees", 10.0, 60.0, 10.0),
    "incline_deg": Try("angle", "knees raised, a slope of {:g} degrees", 5.0, 40.0, 5.0),
    "help_share": Try("support", "feet or partner carry {:.0f} % of the body", 0.05, 0.5, 0.05, 100.0),
    "hand_share": Try("support", "a hand carries {:.0f} % of the body", 0.05, 0.3, 0.05, 100.0),
    "load_kg": Try("load", "a load of {:g} kg", 2.5, 40.0, 2.5),
}
ORDER: tuple[DialOfStep, ...] = ("assistance", "depth", "angle", "support", "load")


def ratio_of(now: Demand | None, later: Demand | None) -> float | None:
    """The second demand over the first; None where one is missing, is not above 0, or is on another scale."""
    if now is None or later is None or now.of != later.of or not (now.mean > 0 and later.mean > 0):
        return None
    return later.mean / now.mean


def step_size(now: ProgressionStep, later: ProgressionStep, demand: DemandOf) -> StepSize:
    """How much harder one step is than another."""
    first = demand(now.exercise, now.dials)
    ratio = ratio_of(first, demand(later.exercise, later.dials))
    return StepSize(now.number, later.number, ratio, first.of if first is not None and ratio is not None else "")


def step_sizes(climb: Progression, demand: DemandOf = nothing_known) -> tuple[StepSize, ...]:
    """Every pair of steps that follow each other, on the main way and on the branches."""
    found: dict[tuple[int, int], StepSize] = {}
    for branch in ("", *climb.branches):
        way = climb.way(branch)
        for now, later in pairwise(way):
            found.setdefault((now.number, later.number), step_size(now, later, demand))
    return tuple(found.values())


def out_of_order(climb: Progression, demand: DemandOf) -> tuple[StepSize, ...]:
    """Pairs in which the later step asks less, and the file does not say why."""
    return tuple(one for one in step_sizes(climb, demand) if one.is_easier and not climb.step(one.to).order_why)


def in_between(
    now: ProgressionStep, later: ProgressionStep, catalogue: Catalogue, demand: DemandOf
) -> tuple[Between, ...]:
    """What could be put between two steps that lie too far apart, best first, one of a kind; empty where they don't.

    The middle is the geometric mean of the two demands: from there both halves are the same ratio. First the dials of
    the later step are moved, then those of the step now.
    """
    first, last = demand(now.exercise, now.dials), demand(later.exercise, later.dials)
    ratio = ratio_of(first, last)
    if ratio is None or ratio <= TOO_BIG or first is None or last is None:
        return ()
    middle, whole = sqrt(first.mean * last.mean), log(ratio)
    found: dict[DialOfStep, Between] = {}
    for step in (later, now):
        best: dict[DialOfStep, Between] = {}
        for kind, words, sets in settings(catalogue.get(step.exercise), step.dials):
            asked = demand(step.exercise, {**step.dials, **sets})
            if asked is None or asked.of != first.of:
                continue
            if not first.mean * SAME < asked.mean < last.mean / SAME:
                continue
            share = log(asked.mean / first.mean) / whole
            old = best.get(kind)
            if old is None or abs(log(asked.mean / middle)) < abs(log(old.demand.mean / middle)) - 1e-9:
                best[kind] = Between(step.exercise, kind, sets, words, asked, share)
        for kind, one in best.items():
            found.setdefault(kind, one)
    ranked = sorted(found.values(), key=lambda one: (round(abs(one.share_of_step - 0.5), 1), ORDER.index(one.dial)))
    return tuple(ranked[:MOST_SHOWN])


def is_offered(name: str, exercise: Exercise, dials: Mapping[str, object]) -> bool:
    """Whether a coach would set this dial on an exercise: bands where one helps, loads where one is lifted, and a
    hand or a foot raised only where the exercise is about that.
    """
    own = exercise.lever.dials if exercise.lever is not None else {}
    if name == "band_test_kg":
        return exercise.load_means == "assistance"
    if name == "load_kg":
        return exercise.load_means in ("added", "each hand", "total")
    if name in ("hand_height_cm", "foot_height_cm"):
        return name in own or name in dials
    return True


def least_range(start: float, ends: tuple[float, float]) -> tuple[float, float]:
    """Where a movement may end, at ``LEAST_RANGE_DEG`` at least from where it starts."""
    low, high = ends
    return (low, min(high, start - LEAST_RANGE_DEG)) if start > low else (max(low, start + LEAST_RANGE_DEG), high)


def settings(exercise: Exercise, dials: Mapping[str, object]) -> Iterator[tuple[DialOfStep, str, dict[str, object]]]:
    """Every setting of one dial that a coach could try: (kind of dial, words, the dial with its value)."""
    limits: dict[str, tuple[float, float]] = {}
    if exercise.lever is not None:
        model = models()[exercise.lever.model]
        limits = {one.name: (one.low, one.high) for one in model.dials if not one.choices}
        if "to_deg" in limits:
            usual = {one.name: one.usual for one in model.dials}
            usual.update(exercise.lever.dials)
            ends = sorted((float(usual["from_deg"]), float(usual["to_deg"])))
            limits["to_deg"] = (max(ends[0], limits["to_deg"][0]), min(ends[1], limits["to_deg"][1]))
            start = float(usual["from_deg"])  # no range at all is a hold, another exercise
            limits["to_deg"] = least_range(start, limits["to_deg"])
    limits |= {name: (one.low, one.high) for name, one in TRIES.items() if name in dials and name not in limits}
    for name, (low, high) in sorted(limits.items()):
        one = TRIES.get(name)
        if one is None or not is_offered(name, exercise, dials):
            continue
        count = round((one.high - one.low) / one.by)
        for number in range(count + 1):
            value = round(one.low + number * one.by, 6)
            if low <= value <= high and value != dials.get(name):
                yield one.kind, one.words.format(value * one.times), {name: value}
