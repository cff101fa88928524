"""One bout of conditioning in a block: its format with its numbers, and how hard it is meant to be.

Two ideas carry this module. One: a bout belongs to all its movements alike; entries of one bout share a letter, and
each carries the same bout. Two: what a format is (score, columns of the log, fatigue) stands in its file
(``formats``); a bout only holds the numbers.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

TargetBy = Literal["pace", "watts", "heart rate", "talk"]


@dataclass(frozen=True)
class Target:
    """How hard a bout is meant to be.

    by : what is watched; low, high : pace in s per ``per_m`` (low is the faster), watts, or beats a minute
    of : what the coach wrote shares of (``maximum``, ``threshold``, ``reserve``), or empty where the numbers are plain;
        ``share`` are those shares, and low and high what they come to for this person, or None where nothing tells
    says : the words of the talk test; note : where the numbers are from, with their error
    """

    by: TargetBy
    low: float | None = None
    high: float | None = None
    per_m: float | None = None
    of: str = ""
    share: tuple[float, float] | None = None
    says: str = ""
    note: str = ""


@dataclass(frozen=True)
class Bout:
    """A format with its numbers. Times s; None where the format has no such number.

    format : the name of a format (``plan/data/formats``, and the coach's own)
    rounds : rounds, minutes of an every-minute bout, or pieces; time_s : the time there is, or the cap where the work
        ends it; every_s : a start every so often; work_s, rest_s : at a station or in a piece, and to the next
    ladder : repetitions of each round where they change; empty where every round is the same
    likely_s : from and to, how long the work likely takes where the work ends it
    """

    format: str
    rounds: int | None = None
    time_s: float | None = None
    every_s: float | None = None
    work_s: float | None = None
    rest_s: float | None = None
    ladder: tuple[int, ...] = ()
    target: Target | None = None
    likely_s: tuple[float, float] | None = None
