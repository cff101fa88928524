"""How long a session takes: work, rests, change-overs, pairs, ramp sets, warm-up.

An 8 to 12 rep set takes 47 to 52 s all in (work and settling), the figure with which the published 36 % saving of
paired sets comes out (Burke 2024, derived in the reference table). Rests overlap inside a superset: while one
muscle works the other rests.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from setwright.strength.tempo import read_tempo

SETTLE_S = 10.0  # to take position, unrack, put down
TURN_S = 10.0  # from one station of a superset to the other
CHANGE_OVER_S = 75.0  # to the next exercise: clear, walk, set up
SAME_STATION_S = 40.0
DRILL_CHANGE_S = 10.0


@dataclass(frozen=True)
class SetTime:
    """One set: seconds of work with settling, and the rest after it."""

    work_s: float
    rest_s: float


def tempo_seconds(tempo: str | None, usual_s: float) -> float:
    """Seconds of one repetition by a tempo as lower-pause-lift-pause; ``usual_s`` where none is given.

    An ``x`` (as fast as can be) counts half a second.

    >>> tempo_seconds("3-1-1-0", 4.0), tempo_seconds("3-0-x-1", 4.0)
    (5.0, 4.5)
    """
    read = read_tempo(tempo)
    return usual_s if read is None else read.rep_s


def work_seconds(
    reps: float | None = None,
    rep_s: float = 4.0,
    hold_s: float = 0.0,
    distance_m: float = 0.0,
    time_s: float = 0.0,
    sides: int = 1,
    speed_m_s: float = 1.0,
) -> float:
    """Seconds of one set: repetitions, holds, metres at walking pace and timed work, each side, and settling."""
    return ((reps or 0.0) * rep_s + hold_s + distance_m / speed_m_s + time_s) * sides + SETTLE_S


def straight_seconds(sets: Sequence[SetTime]) -> float:
    """Sets one after another; the rest after the last one is spent on the change-over and not counted."""
    if not sets:
        return 0.0
    return sum(one.work_s + one.rest_s for one in sets) - sets[-1].rest_s


def superset_seconds(members: Sequence[Sequence[SetTime]]) -> float:
    """Entries done in turn, round by round.

    A round is the work of all members with the turns between; the rest after it is what the longest wish still
    needs after the others' work. Rounds that only some members have count those alone.
    """
    rounds = max((len(one) for one in members), default=0)
    total = 0.0
    for number in range(rounds):
        here = [one[number] for one in members if number < len(one)]
        work = sum(one.work_s for one in here) + TURN_S * (len(here) - 1)
        last = number == rounds - 1
        rest = max((max(0.0, one.rest_s - (work - one.work_s)) for one in here), default=0.0)
        total += work + (0.0 if last else max(rest, TURN_S if len(here) > 1 else rest))
    return total


def rest_window(reps_to: int | None, is_big: bool, rest_s: float) -> tuple[float, float]:
    """(shortest, longest) rest that still serves a set, around the one wanted.

    Rule T01: two minutes and more for heavy multi-joint sets, three to five at 1 to 6 repetitions; rule T02:
    one minute and more for others. The longest is three minutes more than wanted at most (common practice).
    """
    if is_big and reps_to is not None and reps_to <= 6:
        shortest = min(rest_s, 120.0)
    else:
        shortest = min(rest_s, 60.0)
    return shortest, max(rest_s * 1.5, rest_s + 60.0)


def can_alternate(work_a: float, window_a: tuple[float, float], work_b: float, window_b: tuple[float, float]) -> bool:
    """True when two entries fit one cycle: max(work + shortest rest) <= min(work + longest rest).

    Source: this project's trials of shared timetables; a heavy lift and a small exercise can fail it.

    >>> can_alternate(40, (150, 240), 40, (60, 90))
    False
    """
    shortest = max(work_a + window_a[0], work_b + window_b[0])
    longest = min(work_a + window_a[1], work_b + window_b[1])
    return shortest <= longest
