"""How long a load can be held still: the endurance curve of the joint, and what a person's own holds say about it.

Two ideas. One: endurance falls as a power of the share of the greatest load that could be held, and joints differ by
a factor of three. Two: people differ by about 30 % in time at the same share; that is one number a person (an offset
in log time), and every hold of a load whose share is known tells something about it.

Leaves out: heat, blood flow in raised limbs, will; holds that rest on bones and ligaments rather than on muscle.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from math import exp, log, pi, sqrt
from types import MappingProxyType

from setwright.catalogue.exercise import Exercise, Role
from setwright.strength.population import priors

LEAST_SHARE = 0.15  # below it the line is not followed: Rohmert's curve has no end there, the power line has
SHORTEST_S = 5.0  # seconds under which a hold says no more about the load (the line is weak next to the maximum)
ROLE_ORDER: tuple[Role, ...] = ("prime", "secondary", "held")
# Joints with a curve of their own. Hip, neck and toes have none in the source: the general curve stands for them.
REGION_OF_JOINT: Mapping[str, str] = MappingProxyType(
    {
        "ankle": "ankle",
        "knee": "knee",
        "trunk": "trunk",
        "shoulder": "shoulder",
        "scapula": "shoulder",
        "elbow": "elbow",
        "forearm": "grip",
        "wrist": "grip",
        "fingers": "grip",
    }
)


@dataclass(frozen=True)
class Endurance:
    """Seconds to the end of a hold: ``seconds`` x share^-``power``, share of the greatest load that could be held.

    Source: Frey Law and Avin 2010, table 2, power models (seen in two transcriptions that agree).

    >>> round(Endurance("knee", 19.38, 1.88).seconds_at(0.5), 1)
    71.3
    """

    region: str
    seconds: float
    power: float

    def seconds_at(self, share: float) -> float:
        """Seconds that a share (> 0) can be held by the middle of people."""
        if share <= 0:
            raise ValueError(f"share is {share}, expected a number > 0")
        return float(self.seconds * max(share, LEAST_SHARE) ** -self.power)

    def share_at(self, seconds: float) -> float:
        """The share that can just be held for ``seconds``; above 1 for holds shorter than the line's end."""
        longest = self.seconds * LEAST_SHARE**-self.power
        return float((min(max(seconds, SHORTEST_S), longest) / self.seconds) ** (-1.0 / self.power))

    def strain(self, seconds: float) -> float:
        """ln of the greatest load over the load held, from the seconds it could be held; below 0 for short holds.

        >>> Endurance("knee", 19.38, 1.88).strain(19.38)
        0.0
        """
        return -log(self.share_at(seconds)) + 0.0


@cache
def curves() -> Mapping[str, Endurance]:
    """The curves by region: ankle, trunk, grip, elbow, knee, shoulder, general."""
    table = priors()["endurance"]["region"]
    return MappingProxyType(
        {name: Endurance(name, float(row["seconds"]), float(row["power"])) for name, row in table.items()}
    )


@dataclass(frozen=True)
class HoldFigures:
    """people : sd of log time between people at one share; same : of one person from day to day, at one load;
    over_lifted, over_lifted_sd : greatest load held over greatest load lifted, its mean and its spread in log."""

    people: float
    same: float
    over_lifted: float
    over_lifted_sd: float


@cache
def hold_figures() -> HoldFigures:
    """The packaged figures of holds."""
    table = priors()["endurance"]
    return HoldFigures(
        *(float(table[name]["value"]) for name in ("people", "same", "over_lifted", "over_lifted_sd")),
    )


def curve_of(exercise: Exercise) -> Endurance:
    """The curve of the joint that does the work: the first prime action's, else the first of the next role."""
    for role in ROLE_ORDER:
        for use in exercise.actions:
            if use.role == role:
                return curves()[REGION_OF_JOINT.get(use.joint, "general")]
    return curves()["general"]


@dataclass(frozen=True)
class LoggedHold:
    """One hold as it tells about endurance: ``load_kg`` (whole), ``seconds``, and whether it went to the end."""

    load_kg: float
    seconds: float
    to_the_end: bool


@dataclass(frozen=True)
class HeldLift:
    """What holds of one lift leave: ln of the seconds per share of 1 kg, that is the person's offset and ``power`` x ln
    of the greatest load taken together (normal), because the holds tell of their sum more than of either."""

    mean: float
    sd: float


@dataclass(frozen=True)
class HoldBelief:
    """What is believed of one person: an offset of log time, the same at every joint (normal).

    At mean 0 the person is as the published curve; +0.3 holds about a third longer.
    """

    mean: float
    sd: float

    def after(
        self, curve: Endurance, log_greatest: float, log_greatest_sd: float, holds: Iterable[LoggedHold]
    ) -> tuple[HoldBelief, HeldLift]:
        """The belief after holds of one lift, and what they leave of that lift, in closed form.

        log_greatest, log_greatest_sd : ln of the greatest load, kg, that could be held, as it is believed; its doubt
            is common to all these holds, so many of them do not make up for not knowing the greatest load
        A hold to the end reads log time with the scatter of one person from day to day. One that ended otherwise says
        "at least": a soft half-line, matched in mean and variance.
        """
        same, power = hold_figures().same, curve.power
        mean, shared = self.mean, power * log_greatest
        a, x, both = self.sd**2, (power * log_greatest_sd) ** 2, 0.0
        for one in holds:
            # The hold speaks of the sum of offset and of what the greatest load adds; both learn by regression.
            line, variance = mean + shared, a + x + 2.0 * both
            seen = log(max(one.seconds, SHORTEST_S) / curve.seconds) + power * log(one.load_kg)
            off = seen - line
            if one.to_the_end:
                first, second = off / (variance + same**2), -1.0 / (variance + same**2)
            else:
                width = sqrt(variance + same**2)
                first, second = half_line(off / width, width)
            to_a, to_x = a + both, x + both
            mean, shared = mean + to_a * first, shared + to_x * first
            a, x, both = a + to_a**2 * second, x + to_x**2 * second, both + to_a * to_x * second
        return HoldBelief(mean, sqrt(max(a, 1e-6))), HeldLift(mean + shared, sqrt(max(a + x + 2.0 * both, 1e-6)))


def half_line(off: float, width: float) -> tuple[float, float]:
    """First and second derivative, in the mean, of ln of the chance to pass a bound ``off`` widths over the mean."""
    from scipy.special import log_ndtr

    ratio = exp(-0.5 * off**2 - 0.5 * log(2.0 * pi) - float(log_ndtr(-off)))
    return ratio / width, -ratio * (ratio - off) / width**2


def usual_belief() -> HoldBelief:
    """The belief about somebody who has held nothing yet."""
    return HoldBelief(0.0, hold_figures().people)
