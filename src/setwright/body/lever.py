"""One scale for every variant: the moment at the working joints over the movement, and what it asks of a person.

Two ideas carry this module. One: a model turns a body and its dials into a posture at each angle of the movement;
everything else (moment, peak, work, demand, break angle) follows from the posture, the same way for all. Two: what is
uncertain (tables, lengths, hand support, bands, strength) is drawn many times and carried through.

The moment is not the load on a tissue: it says nothing of how muscles share it, nor of what a joint or a disc bears.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from setwright.body.chain import Link, Pull, height_energy, joint_moment
from setwright.body.segments import Body, Floats, Segment

LEAST_EFFORT_NM = 1.0  # below it nothing is moved against gravity to speak of
ANGLES = 61  # points of the movement; every 1.5 degrees over 90


@dataclass(frozen=True)
class Dial:
    """One thing that can be set on a model: a number with its limits, or a word out of ``choices``.

    ``spread``: how unsure a set value is, as standard deviation, ``relative`` to the value or in the dial's own unit.
    """

    name: str
    usual: float | str
    says: str
    low: float = 0.0
    high: float = 0.0
    unit: str = ""
    choices: tuple[str, ...] = ()
    spread: float = 0.0
    relative: bool = False


@dataclass(frozen=True)
class Setting:
    """Values of a model's dials: numbers as (people, 1) arrays, words as they are."""

    numbers: Mapping[str, Floats]
    words: Mapping[str, str]

    def __getitem__(self, name: str) -> Floats:
        return self.numbers[name]

    def word(self, name: str) -> str:
        """The word a choice dial stands on."""
        return self.words[name]


@dataclass(frozen=True)
class Working:
    """A joint whose muscles the exercise trains: which action, at the start of which link.

    ``sense`` is 1 where a positive moment of ``joint_moment`` is held by this action, else -1.
    ``limbs`` share the moment. ``angle_deg`` (people, angles): flexion (dorsiflexion) of the joint; for actions the
    table doesn't cover any angle that a coach reads.
    """

    motion: str
    link: int
    sense: float
    limbs: int
    angle_deg: Floats


@dataclass(frozen=True)
class Posture:
    """A movement as postures: (people, angles) throughout, from the start of the effort's range to its end.

    lead_deg : (angles,) the angle the curve is told by; lead : its joint motion (``knee-flexion``)
    stored_j : energy stored in springs, (people, angles)
    possible : (people, angles) False where no balance exists there; ``why_not`` says so in words
    shares : named forces over body weight, (people, angles): ``hands``, ``front foot``...
    driven_j : work against something that gives nothing back (a sled), J, or 0
    props : lines to draw besides the body: (what, points (n, 2) relative to the same origin) for the first person
    """

    lead: str
    lead_deg: Floats
    links: tuple[Link, ...]
    pulls: tuple[Pull, ...]
    working: tuple[Working, ...]
    stored_j: Floats | float = 0.0
    possible: NDArray[np.bool_] | bool = True
    why_not: str = ""
    shares: Mapping[str, Floats] = field(default_factory=lambda: MappingProxyType({}))
    driven_j: Floats | float = 0.0
    props: tuple[tuple[str, Floats], ...] = ()


@dataclass(frozen=True)
class Model:
    """How an exercise is made of a body: its dials, and the posture they give.

    ``note``: what the model leaves out, a sentence for a coach.
    """

    name: str
    dials: tuple[Dial, ...]
    pose: Callable[[Body, Setting], Posture]
    note: str = ""

    def dial(self, name: str) -> Dial:
        """A dial by name. Raises LookupError naming those there are."""
        for one in self.dials:
            if one.name == name:
                return one
        raise LookupError(f"{name!r} can't be set here; there are: {', '.join(one.name for one in self.dials)}")

    def ends(self, one_deg: float, other_deg: float) -> tuple[float, float]:
        """Two angles as start and end of the movement, in the direction in which the model runs."""
        low, high = min(one_deg, other_deg), max(one_deg, other_deg)
        falls = float(self.dial("from_deg").usual) > float(self.dial("to_deg").usual)
        return (high, low) if falls else (low, high)

    def setting(self, given: Mapping[str, float | str], people: int = 1, normal: Floats | None = None) -> Setting:
        """All dials filled in. Raises ValueError where a value is outside its limits, LookupError for unknown dials.

        normal : (people, dials) standard normal numbers by which unsure dials vary; None for none.
        """
        for name, value in given.items():
            check_dial(self.dial(name), value)
        numbers: dict[str, Floats] = {}
        words: dict[str, str] = {}
        for i, dial in enumerate(self.dials):
            value = given.get(dial.name, dial.usual)
            if dial.choices:
                words[dial.name] = str(value)
                continue
            middle = float(value)
            drawn = np.full((people, 1), middle)
            if normal is not None and dial.spread:
                sd = dial.spread * (abs(middle) if dial.relative else 1.0)
                drawn = np.clip(drawn + sd * normal[:, i : i + 1], dial.low, dial.high)
            numbers[dial.name] = drawn
        return Setting(numbers, words)


def check_dial(dial: Dial, value: float | str) -> None:
    """Raises ValueError naming the dial, what was found and what is allowed."""
    if dial.choices:
        if value not in dial.choices:
            raise ValueError(f"{dial.name} is {value!r}, expected {', '.join(dial.choices)}")
        return
    is_number = isinstance(value, (int, float)) and not isinstance(value, bool)  # files hold lists and dates too
    if not is_number or not dial.low <= float(value) <= dial.high:
        unit = f" {dial.unit}" if dial.unit else ""
        raise ValueError(f"{dial.name} is {value!r}, expected a number from {dial.low:g} to {dial.high:g}{unit}")


def degrees(start: float, end: float) -> Floats:
    """The angles of a movement, (ANGLES,), degrees."""
    return np.linspace(start, end, ANGLES)


def working_moment(posture: Posture, joint: Working) -> Floats:
    """Moment one limb must hold at a working joint, N m, (people, angles); negative where others must."""
    found: Floats = joint.sense * joint_moment(posture.links, posture.pulls, joint.link) / joint.limbs
    return found


def turned_rad(joint: Working) -> float:
    """How far a working joint turns over the movement, rad, for the first person."""
    angles = joint.angle_deg[0]
    return float(np.deg2rad(np.fmax.reduce(angles) - np.fmin.reduce(angles)))


def swing_share(posture: Posture, body: Body, seconds: float) -> float:
    """How much stopping and starting adds to the largest effort at a tempo, as a share of it, for the first person.

    A cosine course of the leading angle over ``seconds`` for the range. The inertia that it sees is that of all links,
    as fast as each moves and turns with that angle; the effort is the change of stored energy with it.
    Source: energy of motion, T = 1/2 I q'^2; for a nordic in 2, 4 and 6 s a physics engine gives 15, 4 and 2 %.
    Above some 15 % the postures no longer tell the moment.
    """
    q = np.deg2rad(posture.lead_deg)
    possible = np.broadcast_to(np.asarray(posture.possible, dtype=bool), (body.people, q.size))[0]
    last = q.size if possible.all() else int(np.argmin(possible))
    if last < 3 or float(np.ptp(q[:last])) < 1e-6:
        return 0.0
    q = q[:last]
    shape = (body.people, posture.lead_deg.size)
    inertia = np.zeros(last)
    for link in posture.links:
        com = np.broadcast_to(link.com, (*shape, 2))[0, :last]
        angle = np.unwrap(np.broadcast_to(link.angle_rad, shape)[0, :last])
        segment: Segment | None = getattr(body, link.name.replace(" ", "_"), None)
        radius = float(segment.gyration * segment.length_m[0, 0]) if isinstance(segment, Segment) else 0.0
        moved = np.sum(np.gradient(com, q, axis=0) ** 2, axis=1) + (radius * np.gradient(angle, q)) ** 2
        inertia += float(link.mass_kg[0, 0]) * moved
    energy = np.broadcast_to(stored_energy(posture), shape)[0, :last]
    effort = float(np.abs(np.gradient(energy, q)).max())
    if effort <= LEAST_EFFORT_NM:
        return 0.0
    return float(inertia.max()) * float(np.ptp(q)) / 2.0 * (np.pi / seconds) ** 2 / effort


def stored_energy(posture: Posture) -> Floats:
    """Energy of position and springs, J, (people, angles)."""
    found: Floats = height_energy(posture.links) + posture.stored_j
    return found


def work_of_rep(posture: Posture) -> Floats:
    """Work of one repetition, J, (people,): the highest less the lowest energy of the movement, and what is driven.

    It is the work of the way up; on the way down the same is taken in.
    """
    energy = stored_energy(posture)
    energy = np.where(np.broadcast_to(np.asarray(posture.possible), energy.shape), energy, np.nan)
    rise: Floats = np.fmax.reduce(energy, axis=-1) - np.fmin.reduce(energy, axis=-1)
    driven = np.asarray(posture.driven_j, dtype=float).reshape(-1)
    return rise + np.broadcast_to(driven, rise.shape).astype(np.float64)
