"""Tempo: seconds of a repetition, time under load of a set, and what slow repetitions take from their number.

Two ideas. One: slower repetitions are fewer, but the time under load still grows: their number falls with a power of
the seconds that is below 1. Two: only what is slower than usual counts; nothing is claimed for haste, because quick
repetitions bounce, and what they gain was not told apart from that.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import log

from setwright.strength.population import priors

FAST_S = 0.5  # an x in a tempo: as fast as can be (common practice)
TOP_SHARE = 0.5  # of a pause at the end of the lift: a rest in some lifts, the hardest place in others (a guess)


@dataclass(frozen=True)
class Tempo:
    """Seconds of one repetition: lowering, pause, lifting, pause; each >= 0."""

    lower_s: float
    low_pause_s: float
    lift_s: float
    top_pause_s: float

    def __post_init__(self) -> None:
        if min(self.lower_s, self.low_pause_s, self.lift_s, self.top_pause_s) < 0:
            raise ValueError(f"{self} has seconds below 0, expected seconds >= 0")

    @property
    def rep_s(self) -> float:
        """Seconds of one repetition, pauses included."""
        return self.lower_s + self.low_pause_s + self.lift_s + self.top_pause_s

    @property
    def effort_s(self) -> float:
        """Seconds of one repetition that tire: the pause at the top counts half."""
        return self.rep_s - (1.0 - TOP_SHARE) * self.top_pause_s


def read_tempo(text: object) -> Tempo | None:
    """A tempo as ``3-1-1-0``, lower-pause-lift-pause, ``x`` for as fast as can be; None for anything else.

    >>> read_tempo("3-1-1-0").rep_s, read_tempo("30x1").rep_s, read_tempo("slow")
    (5.0, 4.5, None)
    """
    if not isinstance(text, str):
        return None
    words = text.strip().lower().replace("/", "-")
    pieces = words.split("-") if "-" in words else list(words)
    if len(pieces) == 3:
        pieces = [*pieces, "0"]
    if len(pieces) != 4:
        return None
    seconds = []
    for piece in pieces:
        if piece.strip() == "x":
            seconds.append(FAST_S)
        elif piece.replace(".", "", 1).strip().isdigit():
            seconds.append(float(piece))
        else:
            return None
    return Tempo(*seconds)


def time_under_load(reps: float, tempo: str | None, usual_s: float) -> float:
    """Seconds that a set takes from the first repetition to the last.

    usual_s : seconds of a repetition where no tempo is given

    >>> time_under_load(6, "3-1-1-0", 4.0)
    30.0
    """
    read = read_tempo(tempo)
    return reps * (usual_s if read is None else read.rep_s)


@cache
def slowing() -> tuple[float, float]:
    """(exponent with which repetitions fall as they get slower, its spread)."""
    table = priors()["tempo"]
    return float(table["slowing"]["value"]), float(table["slowing_sd"]["value"])


def slowness(tempo: object, usual_s: float) -> float:
    """How many times slower than usual a repetition is, never below 1; 1 without a tempo.

    >>> slowness("2-0-1-0", 4.0), slowness("4-0-4-0", 4.0), slowness(None, 4.0)
    (1.0, 2.0, 1.0)
    """
    read = read_tempo(tempo)
    return 1.0 if read is None else max(1.0, read.effort_s / usual_s)


def share_of_reps(slow: float, exponent: float | None = None) -> float:
    """Repetitions possible at a tempo ``slow`` times slower than usual, over those possible as usual.

    Source: this project's power line through published counts, see ``tempo.slowing`` in ``priors.toml``.

    >>> round(share_of_reps(2.0), 3)
    0.637
    """
    return float(slow ** -(slowing()[0] if exponent is None else exponent))


def doubt_of_reps(slow: float) -> float:
    """Spread of ln of ``share_of_reps``.

    >>> doubt_of_reps(1.0)
    0.0
    """
    return slowing()[1] * log(slow)
