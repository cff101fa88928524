"""Which day of the master falls on which of a trainee's training days, and which is lost.

Every way is looked at: at most 7 sessions on 7 days give a few thousand, so the best one is proven.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import combinations

from setwright.people.trainee import DAYS, Day, TrainingDay

MINUTES_THAT_MATTER = 10.0  # fewer minutes too short than this are worth no worse spacing (common practice)


@dataclass(frozen=True)
class DayPlan:
    """Sessions of the master by index with the training day they fall on, in order; ``lost``: those without one."""

    placed: tuple[tuple[int, TrainingDay], ...]
    lost: tuple[int, ...]


def gaps(days: Sequence[Day]) -> list[int]:
    """Days from each session to the next one, the last to the first of next week."""
    at = [DAYS.index(day) for day in days]
    return [(at[(one + 1) % len(at)] - at[one]) % 7 or 7 for one in range(len(at))]


def place_days(
    sessions: Sequence[Day],
    days: Sequence[TrainingDay],
    worth: Sequence[float],
    minutes: Sequence[float],
    closed: Callable[[int, str], int],
) -> DayPlan:
    """The nearest placing: first the least worth lost, then the fewest closed entries, missing minutes, other spacing.

    sessions : weekdays of the master; worth : of each session; minutes : what each takes
    closed : entries of a session that are not open at a place
    The order of the sessions stays. Among equals the same weekday wins, then the earlier one.
    """
    open_days = sorted(days, key=lambda day: DAYS.index(day.day))
    order = sorted(range(len(sessions)), key=lambda one: DAYS.index(sessions[one]))
    count = min(len(order), len(open_days))
    if not count:
        return DayPlan((), tuple(order))
    best: tuple[tuple[object, ...], DayPlan] | None = None
    for kept in combinations(order, count):
        lost = tuple(one for one in order if one not in kept)
        wanted = gaps([sessions[one] for one in kept])
        for chosen in combinations(open_days, count):
            pairs = tuple(zip(kept, chosen, strict=True))
            key = (
                round(sum(worth[one] for one in lost), 6),
                sum(closed(one, day.place) for one, day in pairs),
                round(sum(max(0.0, minutes[one] - day.minutes) for one, day in pairs) / MINUTES_THAT_MATTER),
                sum(abs(a - b) for a, b in zip(wanted, gaps([day.day for day in chosen]), strict=True)),
                sum(sessions[one] != day.day for one, day in pairs),
                tuple(-one for one in lost),
                tuple(DAYS.index(day.day) for day in chosen),
            )
            if best is None or key < best[0]:
                best = (key, DayPlan(pairs, lost))
    assert best is not None
    return best[1]
