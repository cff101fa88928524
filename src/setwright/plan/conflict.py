"""The smallest set of wishes and limits that cannot all hold, and the packing of wished lifts onto days.

Two ideas. Whether a set of wishes can be met is only ever found out by trying (``Possible``), so what is named as a
conflict is one, and dropping any one of it was tried too. And the minutes of a session are no sum (warm-ups and ramp
sets are shared), so packing asks the time model about whole sessions and learns from each answer.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from setwright.plan.solver import solve

Possible = Callable[[frozenset[str]], bool]
MOST_ROUNDS = 60  # of the search for the smallest set; after that a set that is minimal, but perhaps not smallest
NEVER = 10**6  # steps: no number of minutes is enough
LIMIT = 2.0  # deterministic solver time of one question; they take thousandths of it


# Smallest conflicts


def smallest_conflict(members: Sequence[str], is_possible: Possible, most_rounds: int = MOST_ROUNDS) -> tuple[str, ...]:
    """A smallest set of members that is impossible, in their order; empty where all of them are possible together.

    is_possible : whether a set can be met; dropping members never makes a possible set impossible
    Without any one member of the result the rest is possible. Of equally small sets, earlier members are taken.
    Source: a smallest conflict is a least hitting set of the corrections (Ignatiev and others 2015, from memory).
    """
    asked = Asked(is_possible)
    if asked(frozenset(members)):
        return ()
    corrections: list[frozenset[str]] = []
    for _ in range(most_rounds):
        found = least_hitting(members, corrections)
        if not asked(found):
            return in_order(found, members)
        kept = set(found)
        for one in members:
            if one not in kept and asked(frozenset(kept | {one})):
                kept.add(one)
        corrections.append(frozenset(members) - kept)
    return minimal_conflict(members, asked)


def minimal_conflict(members: Sequence[str], is_possible: Possible) -> tuple[str, ...]:
    """An impossible set of which every member is needed, by leaving out one after the other, the last first."""
    kept = list(members)
    for one in reversed(members):
        without = [other for other in kept if other != one]
        if not is_possible(frozenset(without)):
            kept = without
    return tuple(kept)


def in_order(found: Iterable[str], members: Sequence[str]) -> tuple[str, ...]:
    """Some members in the order of all."""
    return tuple(one for one in members if one in set(found))


@dataclass
class Asked:
    """Questions asked once: less than a possible set is possible, more than an impossible one is not."""

    is_possible: Possible
    yes: list[frozenset[str]] = field(default_factory=list)
    no: list[frozenset[str]] = field(default_factory=list)

    def __call__(self, members: frozenset[str]) -> bool:
        """Whether these members can be met."""
        if any(members <= known for known in self.yes):
            return True
        if any(known <= members for known in self.no):
            return False
        answer = self.is_possible(members)
        (self.yes if answer else self.no).append(members)
        return answer


def least_hitting(members: Sequence[str], corrections: Sequence[frozenset[str]]) -> frozenset[str]:
    """The fewest members, then the earliest, with one of each correction among them."""
    if not corrections:
        return frozenset()
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    chosen = {one: model.new_bool_var(one) for one in members}
    for correction in corrections:
        model.add_bool_or([chosen[one] for one in members if one in correction])
    count = len(members)
    weights = {one: count * count + number for number, one in enumerate(members)}
    found = solve(model, chosen, sum(weights[one] * chosen[one] for one in members), limit=LIMIT)
    return frozenset(one for one in members if found.values.get(one))


# Packing


@dataclass(frozen=True)
class Wished:
    """A wish that takes its place in sessions: on ``times`` of the ``days``, with the seconds it takes at the least."""

    key: str
    times: int
    days: tuple[int, ...]
    least_s: int = 0


@dataclass(frozen=True)
class Packed:
    """What stands on each day, and by how many steps each day grew for it."""

    days: tuple[frozenset[str], ...]
    steps: tuple[int, ...]


StepsNeeded = Callable[[int, frozenset[str]], int]


def pack(
    wished: Sequence[Wished],
    seconds: Sequence[float],
    steps_needed: StepsNeeded,
    most_steps: Sequence[int],
    step_s: int = 300,
    most_entries: int = 99,
    crowded: Sequence[tuple[int, frozenset[str], int]] = (),
) -> Packed | None:
    """Wishes put on days so that the days grow by the fewest steps; None where they cannot be put at all.

    seconds : of each day as it is; steps_needed : (day, keys) -> steps by which the day must grow to hold just these
        (0 where it holds them); more keys never need fewer steps
    most_steps : by how many steps each day may grow, 0 for not at all; crowded : answers that are known already
    Of equal sums of steps fewer days grow, then earlier ones. Every day of the result was asked for.
    """
    if any(one.times > len(one.days) for one in wished):
        return None
    from ortools.sat.python import cp_model

    count = range(len(seconds))
    learned = list(crowded)
    while True:
        model = cp_model.CpModel()
        on = {(one.key, day): model.new_bool_var(f"on {one.key} {day}") for one in wished for day in one.days}
        steps = {day: model.new_int_var(0, most_steps[day], f"steps {day}") for day in count}
        grows = {day: model.new_bool_var(f"grows {day}") for day in count}
        for one in wished:
            model.add(sum(on[one.key, day] for day in one.days) == one.times)
        for day in count:
            here = [one for one in wished if day in one.days]
            model.add(sum(on[one.key, day] for one in here) <= most_entries)
            spent = sum(one.least_s * on[one.key, day] for one in here)
            model.add(spent <= int(seconds[day]) + step_s * steps[day])
            model.add(steps[day] <= most_steps[day] * grows[day])
        for day, keys, needed in learned:
            if all((key, day) in on for key in keys):
                missing = len(keys) - sum(on[key, day] for key in sorted(keys))
                if not keys:  # what an empty day needs says nothing of one with a wish on it
                    missing = sum(on[one.key, day] for one in wished if day in one.days)
                model.add(steps[day] >= min(needed, most_steps[day] + 1) * (1 - missing))
        variables = {f"on {key} {day}": made for (key, day), made in on.items()}
        variables |= {f"steps {day}": made for day, made in steps.items()}
        cost = sum(1000 * steps[day] + (20 + day) * grows[day] for day in count)
        found = solve(model, variables, cost, limit=LIMIT)
        if not found.values:
            return None
        stands = [
            frozenset(key for key, day in on if day == here and found.values[f"on {key} {day}"]) for here in count
        ]
        grown = tuple(found.values[f"steps {day}"] for day in count)
        news = [
            (day, *fewest_too_many(day, stands[day], grown[day], steps_needed))
            for day in count
            if steps_needed(day, stands[day]) > grown[day]
        ]
        if not news:
            return Packed(tuple(stands), grown)
        learned += news


def fewest_too_many(
    day: int, keys: frozenset[str], steps: int, steps_needed: StepsNeeded
) -> tuple[frozenset[str], int]:
    """Keys of a day that are too many for it already, every one of them needed for that; with the steps they need."""
    kept = keys
    for key in sorted(keys):
        if steps_needed(day, kept - {key}) > steps and kept - {key}:
            kept -= {key}
    return kept, steps_needed(day, kept)
