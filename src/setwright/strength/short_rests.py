"""Sets with short rests inside and with loads that drop: what the whole asks, and how many repetitions are left in it.

Two ideas. One: work takes strength off, in shares of the 1RM; a set ends when what is left is no more than its load. So
one account serves stretches at one load and at lighter ones. Two: what was taken comes back in two ways, a fast one
within seconds and the slow one that is felt from set to set (``tiring``). The fast one is fitted to squats with an 8RM
and a minute between sets to the end: 7.9, 5.9, 4.5 and 4.2 repetitions (Willardson and Burkett, seen second-hand in a
trade magazine's report; the model says 7.9, 5.3, 4.4 and 4.0); phosphocreatine comes back as fast at first (Forbes
2008, a part under 15 s in most people, abstract seen). Rests under half a minute are an extrapolation, and so are sets
of dozens of single repetitions: with 45 s between singles at a 4RM people did 45 with a spread of 32 (Iglesias-Soler
2014, abstract seen), the account never ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, hypot, inf, log

from setwright.strength.compound import HALVINGS, HEAVIEST, LIGHTEST, Body, Piece, PlainSet, as_plain
from setwright.strength.curve import reps_at_share
from setwright.strength.holds import hold_figures
from setwright.strength.population import population
from setwright.strength.tempo import share_of_reps

FAST_S = 20.0  # time constant of the fast recovery, fitted as above
DOUBT_OF_RESTS = 0.3  # spread of what inside rests give, as a share of it (this project's guess)


@dataclass(frozen=True)
class Bout:
    """One stretch of a set: repetitions or a hold, the rest before it, and its load beside the first one's.

    piece : what is done; rest_s : seconds of rest before it; load : its load over that of the first stretch
    """

    piece: Piece
    rest_s: float = 0.0
    load: float = 1.0


@dataclass
class Account:
    """Strength taken so far, in shares of the 1RM: the part that comes back fast, and the slow one."""

    fast: float = 0.0
    slow: float = 0.0

    @property
    def taken(self) -> float:
        """All that is taken."""
        return self.fast + self.slow

    def work(self, cost: float) -> None:
        """Takes the cost of a stretch, split as ``slow_share`` says."""
        self.fast += cost * (1.0 - slow_share())
        self.slow += cost * slow_share()

    def rest(self, seconds: float) -> None:
        """Gives back what a rest gives."""
        self.fast *= exp(-seconds / FAST_S)
        self.slow *= exp(-seconds / population().recovery_s)


def slow_share() -> float:
    """The part of a set to failure that comes back slowly: what is lost after two minutes, traced back to its end."""
    people = population()
    return people.loss * exp(120.0 / people.recovery_s)


def room(share: float, k: float) -> float:
    """Strength that may be taken before a load can't be lifted once more, in shares of the 1RM."""
    return max(0.0, 1.0 - share * exp(-k))


def cost_of(piece: Piece, share: float, body: Body) -> float:
    """Strength that a stretch takes at a share of the 1RM, in shares of the 1RM; infinite where it is impossible."""
    possible = reps_at_share(share, body.k)
    if possible <= 0.0:
        return inf
    part = piece.reps / (possible * share_of_reps(piece.slow))
    if piece.seconds:
        held = body.curve.seconds_at(share * piece.demand / hold_figures().over_lifted) * exp(body.own.mean)
        part += piece.seconds / held
    return part * room(share, body.k)


def hardest_moment(bouts: Sequence[Bout], reserve: float, share: float, body: Body) -> float:
    """How near the set comes to failure at its hardest moment, 1 at failure; ``reserve`` must be left at its end.

    share : of the 1RM, the load of the first stretch
    """
    account, worst = Account(), 0.0
    for number, one in enumerate(bouts):
        here = share * one.load
        account.rest(one.rest_s)
        account.work(cost_of(one.piece, here, body))
        kept = reserve if number == len(bouts) - 1 else 0.0
        slow = one.piece.slow if one.piece.reps else 1.0
        more = cost_of(Piece(reps=kept, slow=slow), here, body)
        limit = room(here, body.k)
        worst = max(worst, inf if limit <= 0.0 else (account.taken + more) / limit)
    return worst


def share_for_bouts(bouts: Sequence[Bout], reserve: float, body: Body) -> float:
    """The share of the 1RM at which a set of stretches leaves just ``reserve`` repetitions, by halving."""
    low, high = LIGHTEST, HEAVIEST
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        is_too_heavy = hardest_moment(bouts, reserve, exp(middle), body) > 1.0
        low, high = (low, middle) if is_too_heavy else (middle, high)
    return exp(0.5 * (low + high))


def is_plain(bouts: Sequence[Bout]) -> bool:
    """True for a set without inside rests and drops: ``compound`` says what it comes to."""
    return all((one.rest_s == 0.0 or number == 0) and one.load == 1.0 for number, one in enumerate(bouts))


def bouts_as_plain(bouts: Sequence[Bout], reserve: float, body: Body) -> PlainSet:
    """The plain set to the last repetition that asks as much as a set of stretches; its doubt as in ``as_plain``.

    Six repetitions as 2 + 2 + 2 with 20 s inside ask less than six in a row:

    >>> from setwright.strength.compound import usual_body
    >>> from setwright.strength.holds import curves
    >>> two, body = Piece(reps=2), usual_body(0.032, curves()["knee"])
    >>> made = bouts_as_plain([Bout(two), Bout(two, 20.0), Bout(two, 20.0)], 2.0, body)
    >>> 5.0 < made.reps < 7.0
    True
    """
    pieces = [one.piece for one in bouts]
    if is_plain(bouts):
        return as_plain(pieces, reserve, body)
    share = share_for_bouts(bouts, reserve, body)
    in_one_go = as_plain(pieces, reserve, body)
    of_rests = DOUBT_OF_RESTS * abs(log(share) - log(in_one_go.share))
    return PlainSet(reps_at_share(share, body.k), share, hypot(in_one_go.log_sd, of_rests))


def reps_left(bouts: Sequence[Bout], reserve: float, share: float, body: Body) -> float:
    """Repetitions that the last stretch allows with ``reserve`` left; those in its own piece are not counted.

    0 where the stretches before it leave nothing.
    """
    account = Account()
    for one in bouts[:-1]:
        account.rest(one.rest_s)
        account.work(cost_of(one.piece, share * one.load, body))
    last = bouts[-1]
    account.rest(last.rest_s)
    here = share * last.load
    limit, possible = room(here, body.k), reps_at_share(here, body.k) * share_of_reps(last.piece.slow)
    if limit <= 0.0 or possible <= 0.0:
        return 0.0
    return max(0.0, (limit - account.taken) / limit * possible - reserve)
