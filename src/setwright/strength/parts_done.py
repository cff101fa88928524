"""Sets done in parts, as a log tells them: ``12+5+4`` repetitions, loads that dropped, the rest inside.

The reader of logs keeps the parts among the dials (``parts``, ``loads_kg``, ``holds_s``, ``inside_s``), beside the sum.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from setwright.strength.compound import Piece
from setwright.strength.logged import LoggedSet
from setwright.strength.short_rests import Bout

IN_PARTS = re.compile(r"\s*\d+(?:[.,]\d+)?(?:\s*\+\s*\d+(?:[.,]\d+)?)+\s*")
USUAL_INSIDE_S = 20.0


def numbers_in(value: object) -> tuple[float, ...]:
    """The numbers of ``12+5+4``; empty for anything else.

    >>> numbers_in("12+5+4"), numbers_in(21)
    ((12.0, 5.0, 4.0), ())
    """
    if not isinstance(value, str) or not IN_PARTS.fullmatch(value):
        return ()
    return tuple(float(one.replace(",", ".")) for one in value.split("+"))


def cut_to(parts: Sequence[float], total: float) -> tuple[float, ...]:
    """Parts that add up to no more than a total: the later ones are cut first."""
    left, found = total, []
    for one in parts:
        found.append(min(one, left))
        left -= found[-1]
    return tuple(one for one in found if one > 0)


def reps_by_part(done: LoggedSet) -> tuple[float, ...]:
    """Repetitions of each part of a set; empty where it was done in one go, or nobody wrote the parts.

    Parts as planned are cut where fewer repetitions were done than they say.
    """
    parts = numbers_in(done.dials.get("parts"))
    return cut_to(parts, float(done.reps)) if parts and done.reps is not None else ()


def has_drops(done: LoggedSet) -> bool:
    """True where the load dropped inside the set."""
    return bool(numbers_in(done.dials.get("loads_kg")))


def is_in_parts(done: LoggedSet) -> bool:
    """True for a set with rests or drops inside."""
    return has_drops(done) or "inside_s" in done.dials or bool(numbers_in(done.dials.get("parts")))


def stretches_done(done: LoggedSet) -> int:
    """How many stretches a set had, as far as the log tells; 1 where it tells nothing."""
    return max(1, len(reps_by_part(done)), len(numbers_in(done.dials.get("loads_kg"))))


def inside_s(done: LoggedSet) -> float:
    """The rest inside a set, s."""
    value = done.dials.get("inside_s")
    return float(value) if isinstance(value, (int, float)) and 0 <= value <= 300 else USUAL_INSIDE_S


def bouts_done(done: LoggedSet, slow: float = 1.0) -> list[Bout]:
    """The parts of a set at one load for the strength model; empty where they are not known or the load dropped."""
    if has_drops(done):
        return []
    rest = inside_s(done)
    return [
        Bout(Piece(reps=count, slow=slow), rest if number else 0.0) for number, count in enumerate(reps_by_part(done))
    ]


def what_tells(done: LoggedSet) -> LoggedSet:
    """The set as far as it tells of strength: the first part alone, as a lower bound, where loads dropped.

    So too where nobody wrote the parts (a third of all repetitions), and for a hold at two angles (its first).
    Sets in parts at one load are told whole (``bouts_done``).
    """
    holds = numbers_in(done.dials.get("holds_s"))
    if holds and done.hold_s:
        return replace(done, hold_s=min(holds[0], done.hold_s), rir=None, ended_by="planned")
    if done.reps is None or not is_in_parts(done) or bouts_done(done):
        return done
    parts = reps_by_part(done)
    first = int(parts[0]) if parts else max(1, done.reps // 3) if done.reps else 0
    return replace(done, reps=first, rir=None, ended_by="planned")
