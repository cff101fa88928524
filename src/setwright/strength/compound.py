"""Sets made of pieces (hold, repetitions, hold; lowering, then hold): how hard the whole is, and which load allows it.

One idea: at one load every piece uses up a share of what there is, repetitions n of N possible, a hold t of T possible;
the set fails when the shares sum to 1. Order doesn't matter in it: at one demand throughout the three-compartment model
of fatigue (Xia and Frey Law 2008) says the same; where places differ by a fifth it is off by up to a fifth, and the
easier place first costs more than is said here (tests). That the shares of holds and of repetitions add up is this
project's assumption, no published source; the old rule of the trade, one repetition for every four seconds held, lies
in the middle of what it gives.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, hypot, inf, log

from setwright.strength.curve import reps_at_share
from setwright.strength.holds import Endurance, HoldBelief, hold_figures, usual_belief
from setwright.strength.spread import Spread
from setwright.strength.tempo import doubt_of_reps, share_of_reps

HALVINGS = 40  # exact to 1e-11 of a share
LIGHTEST, HEAVIEST = log(0.02), log(2.0)  # ln of shares of the 1RM between which a load is looked for
SUMMING_DOUBT = 0.1  # spread of ln of what holds use up of the repetitions, for adding unlike pieces (a guess)
Z10 = 1.2815515655446004


@dataclass(frozen=True)
class Piece:
    """Repetitions or a hold, one of the two; a set is a sequence of these, at one load.

    reps, slow : repetitions, and how many times slower than usual each is (1 as usual)
    seconds, demand : a hold, and how hard its position is beside the hardest place of the lift, 1 there
    """

    reps: float = 0.0
    slow: float = 1.0
    seconds: float = 0.0
    demand: float = 1.0

    def __post_init__(self) -> None:
        if self.reps < 0 or self.seconds < 0 or self.slow < 1 or self.demand <= 0:
            raise ValueError(f"{self}: expected reps and seconds >= 0, slow >= 1, demand > 0")


@dataclass(frozen=True)
class Body:
    """What one person brings to a lift: curve parameter ``k`` of repetitions, the joint's endurance, the own offset."""

    k: float
    curve: Endurance
    own: HoldBelief


def usual_body(k: float, curve: Endurance) -> Body:
    """A person of whom no hold is known."""
    return Body(k, curve, usual_belief())


def used(pieces: Sequence[Piece], reserve: float, share: float, body: Body, offset: float | None = None) -> float:
    """Share of what there is that a set uses at a share of the 1RM; 1 to the last repetition or second, more fails.

    reserve : repetitions (as slow as those of the set) to be left; they count as if they were done
    offset : of log time, in place of what is believed of the person
    """
    possible = reps_at_share(share, body.k)
    if possible <= 0.0:
        return inf
    slow = max((one.slow for one in pieces if one.reps), default=1.0)
    total = reserve / (possible * share_of_reps(slow))
    longer = exp(body.own.mean if offset is None else offset)
    for one in pieces:
        total += one.reps / (possible * share_of_reps(one.slow))
        if one.seconds:
            held = body.curve.seconds_at(share * one.demand / hold_figures().over_lifted)
            total += one.seconds / (held * longer)
    return total


def share_for(pieces: Sequence[Piece], reserve: float, body: Body, offset: float | None = None) -> float:
    """The share of the 1RM at which a set leaves just ``reserve`` repetitions, by halving."""
    low, high = LIGHTEST, HEAVIEST
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        is_too_heavy = used(pieces, reserve, exp(middle), body, offset) > 1.0
        low, high = (low, middle) if is_too_heavy else (middle, high)
    return exp(0.5 * (low + high))


@dataclass(frozen=True)
class PlainSet:
    """The plain set to the last repetition that asks as much: ``reps`` at the usual pace; ``share`` of the 1RM;
    ``log_sd``: doubt about the share, in log, that holds and slow repetitions bring (beside that about the 1RM)."""

    reps: float
    share: float
    log_sd: float


def as_plain(pieces: Sequence[Piece], reserve: float, body: Body) -> PlainSet:
    """What a set of pieces with ``reserve`` left comes to.

    Without holds and slow repetitions it is the set itself: reps + reserve.

    >>> from setwright.strength.holds import curves
    >>> as_plain([Piece(reps=6)], 2.0, usual_body(0.03, curves()["knee"])).reps
    8.0
    """
    has_holds = any(one.seconds for one in pieces)
    if not has_holds and all(one.slow == 1.0 for one in pieces):
        reps = sum(one.reps for one in pieces) + reserve
        return PlainSet(reps, exp(-body.k * (reps - 1.0)), 0.0)
    share = share_for(pieces, reserve, body)
    figures = hold_figures()
    own = of_position = summing = slowing = 0.0
    if has_holds:
        own = log(share_for(pieces, reserve, body, body.own.mean + body.own.sd) / share)
        # A harder position shortens every hold by power x its doubt, so it acts as an offset of time.
        shift = body.curve.power * figures.over_lifted_sd
        of_position = log(share_for(pieces, reserve, body, body.own.mean + shift) / share)
        summing = log(share_for(pieces, reserve, body, body.own.mean + SUMMING_DOUBT) / share)
    slow = max((one.slow for one in pieces if one.reps), default=1.0)
    if slow > 1.0:
        reps = reps_at_share(share, body.k)
        part = sum(one.reps / (reps * share_of_reps(one.slow)) for one in pieces) + reserve / (
            reps * share_of_reps(slow)
        )
        slowing = body.k * reps * part * doubt_of_reps(slow)
    return PlainSet(reps_at_share(share, body.k), share, hypot(hypot(own, of_position), hypot(summing, slowing)))


def left_in(pieces: Sequence[Piece], share: float, body: Body, share_log_sd: float = 0.0) -> Spread:
    """Repetitions left after a set at a share of the 1RM, as slow as its own; below 0 where it can't be finished.

    share_log_sd : doubt about the share, in log
    The spread is that of the share, of the person's holds, of the position and of the tempo, each by its slope.
    """
    slow = max((one.slow for one in pieces if one.reps), default=1.0)

    def left(ln: float, offset: float) -> float:
        done = sum(one.reps * share_of_reps(slow) / share_of_reps(one.slow) for one in pieces)
        return possible_reps(pieces, exp(ln), body, offset) - done

    at, own = log(share), body.own.mean
    middle = left(at, own)
    step = 0.02
    by_share = (left(at + step, own) - left(at - step, own)) / (2.0 * step)
    by_offset = (left(at, own + step) - left(at, own - step)) / (2.0 * step)
    figures = hold_figures()
    of_time = hypot(hypot(body.own.sd, SUMMING_DOUBT), body.curve.power * figures.over_lifted_sd)
    total = max(0.0, reps_at_share(share, body.k)) * share_of_reps(slow)
    sd = hypot(hypot(by_share * share_log_sd, by_offset * of_time), total * doubt_of_reps(slow))
    return Spread(middle, middle - Z10 * sd, middle + Z10 * sd, sd)


def possible_reps(pieces: Sequence[Piece], share: float, body: Body, offset: float | None = None) -> float:
    """Repetitions possible at a share of the 1RM in a set whose holds are done too, at the pace of its repetitions.

    Below 0 where the holds alone, or the load, are too much.
    """
    fresh = reps_at_share(share, body.k)
    slow = max((one.slow for one in pieces if one.reps), default=1.0)
    if fresh > 0.0:
        fresh *= 1.0 - used([Piece(seconds=one.seconds, demand=one.demand) for one in pieces], 0.0, share, body, offset)
    return fresh * share_of_reps(slow)
