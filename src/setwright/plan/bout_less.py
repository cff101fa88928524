"""Less of a bout: all its movements together, by its amounts (minutes, rounds, pieces), never one movement alone.

What ends by the clock loses minutes, what goes by rounds loses rounds, one single piece or round gets smaller. Amounts
are rounded down, so that a share is never passed; a minute, a round, a repetition is the least.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import floor

from setwright.catalogue.store import Catalogue
from setwright.plan.block import Entry, PlannedSet
from setwright.plan.bout import Bout
from setwright.plan.bout_lines import heading_line, round_words
from setwright.plan.bout_sets import timed
from setwright.plan.bout_time import like
from setwright.plan.formats import SHARED
from setwright.plan.template import Scheme

MINUTE_S = 60.0
STEPS: Mapping[str, tuple[float, float]] = {
    "s": (60.0, 5.0),
    "m": (50.0, 10.0),
}  # coarse, and fine below three of these
SAME = 1e-9


def is_shared(entry: Entry) -> bool:
    """True for a movement of a bout that several can share: under one clock and one score."""
    return entry.bout is not None and like(entry.bout) in SHARED


def size_of(group: Sequence[Entry]) -> float:
    """How much a bout asks, in its own measure: seconds of the clock, else repetitions, metres and seconds in all."""
    bout = group[0].bout
    kind = "" if bout is None else like(bout)
    if bout is not None and kind in ("as-many-rounds", "every-minute") and bout.time_s is not None:
        return bout.time_s
    if kind == "circuit":
        return float(sum(len(entry.working_sets) for entry in group))
    return sum(amount_of(one) for entry in group for one in entry.working_sets)


def amount_of(one: PlannedSet) -> float:
    """Repetitions, metres and seconds of one round or piece, added up: only for holding like against like."""
    reps = (one.reps[0] + one.reps[1]) / 2.0 if one.reps else 0.0
    return reps + (one.distance_m or 0.0) + (one.time_s or 0.0) + (one.hold_s or 0.0)


def at_most(group: Sequence[Entry], size: float, catalogue: Catalogue) -> list[Entry]:
    """The bout with no more than a size, or the same entries where it asks no more."""
    now = size_of(group)
    return list(group) if now <= size + SAME or now <= 0 else with_share(group, size / now, catalogue)


def with_share(group: Sequence[Entry], share: float, catalogue: Catalogue) -> list[Entry]:
    """The bout at a share of its amounts, 0 to 1; every movement stays in it.

    group : the entries of one bout in their order, or one entry of plain conditioning
    """
    bout = group[0].bout
    kind = "" if bout is None else like(bout)
    if bout is None or kind not in SHARED:
        return [pieces_at(entry, share) for entry in group]
    if kind == "as-many-rounds":
        return with_bout(group, replace(bout, time_s=less_time(bout.time_s or 0.0, share)))
    if kind == "every-minute":
        return minutes_at(group, bout, share)
    rounds = max((len(entry.working_sets) for entry in group), default=1)
    cap = None if bout.time_s is None else less_time(bout.time_s, share)
    if rounds == 1:
        smaller = [with_sets_as(entry, [smaller_set(one, share) for one in entry.working_sets]) for entry in group]
        return timed(with_bout(smaller, replace(bout, time_s=cap)), catalogue)
    left = max(1, floor(share * rounds + SAME))
    fewer = replace(bout, time_s=cap, rounds=left if bout.rounds is not None else None, ladder=bout.ladder[-left:])
    return timed(with_bout([last_sets(entry, left) for entry in group], fewer), catalogue)


def minutes_at(group: Sequence[Entry], bout: Bout, share: float) -> list[Entry]:
    """An every-minute bout with fewer minutes; movements that took turns still do."""
    rounds = bout.rounds or sum(len(entry.working_sets) for entry in group)
    left = max(min(len(group), rounds), floor(share * rounds + SAME))
    turns = [len(range(number, rounds, len(group))) for number in range(len(group))]
    in_turn = turns == [len(entry.working_sets) for entry in group]
    made = []
    for number, entry in enumerate(group):
        usual = max(1, floor(len(entry.working_sets) * left / rounds + SAME))
        made.append(last_sets(entry, len(range(number, left, len(group))) if in_turn else usual))
    return with_bout(made, replace(bout, rounds=left, time_s=left * (bout.every_s or MINUTE_S)))


def pieces_at(entry: Entry, share: float) -> Entry:
    """Pieces on one machine or on foot: fewer of them; one alone gets shorter."""
    pieces = len(entry.working_sets)
    if pieces > 1:
        return last_sets(entry, max(1, floor(share * pieces + SAME)))
    return with_sets_as(entry, [smaller_set(one, share) for one in entry.working_sets])


def smaller_set(one: PlannedSet, share: float) -> PlannedSet:
    """A round or a piece at a share of its repetitions, metres and seconds."""
    reps = None if one.reps is None else (max(1, floor(share * one.reps[0])), max(1, floor(share * one.reps[1])))
    return replace(
        one,
        reps=reps,
        distance_m=None if one.distance_m is None else less_of(one.distance_m, share, "m"),
        time_s=None if one.time_s is None else less_of(one.time_s, share, "s"),
        hold_s=None if one.hold_s is None else less_of(one.hold_s, share, "s"),
    )


def less_of(amount: float, share: float, unit: str) -> float:
    """A length at a share of it, on its usual steps, rounded down; a fine step at least, never above what it was."""
    coarse, fine = STEPS[unit]
    step = coarse if share * amount >= 3 * coarse else fine
    return min(amount, max(step, step * floor(share * amount / step + SAME)))


def less_time(seconds: float, share: float) -> float:
    """A clock at a share of it, in whole minutes rounded down; a minute at least, never above what it was."""
    return min(seconds, max(MINUTE_S, MINUTE_S * floor(share * seconds / MINUTE_S + SAME)))


def last_sets(entry: Entry, count: int) -> Entry:
    """The entry with its last so many rounds or pieces: where rounds get smaller, the small ones stay."""
    return with_sets_as(entry, entry.working_sets[-count:])


def with_sets_as(entry: Entry, working: Sequence[PlannedSet]) -> Entry:
    """The entry with other working sets; its ramp sets stay."""
    return replace(entry, sets=(*(one for one in entry.sets if one.kind == "ramp"), *working))


def with_bout(group: Sequence[Entry], bout: Bout) -> list[Entry]:
    """The entries with the numbers of a bout; a target stays where it stood."""
    return [
        replace(entry, bout=replace(bout, target=None if entry.bout is None else entry.bout.target)) for entry in group
    ]


def bout_name(entry: Entry) -> str:
    """How a change names a shared bout: ``as many rounds as possible in 12 min``; empty for what is none."""
    return heading_line(entry.bout).removesuffix(":") if entry.bout is not None and is_shared(entry) else ""


def bout_in_words(group: Sequence[Entry], catalogue: Catalogue) -> str:
    """A shared bout in one line: its heading and what a round asks of each movement."""
    bout = group[0].bout
    assert bout is not None
    moves = []
    for entry in group:
        first = entry.working_sets[0]
        asks = round_words(scheme_like(first), bout)
        moves.append(f"{catalogue.get(entry.exercise).name}{' ' + asks if asks else ''}")
    return f"{bout_name(group[0])}: {', '.join(moves)}"


def scheme_like(one: PlannedSet) -> Scheme:
    """What a set asks, as a scheme, for its words."""
    return Scheme("straight", 1, one.reps, None, one.hold_s, None, one.distance_m, one.time_s)


def bout_row(old: Sequence[Entry], new: Sequence[Entry], catalogue: Catalogue) -> tuple[str, str, str] | None:
    """(name, from, to) of one change of a whole shared bout: less of it, or gone; None where it stays as it was.

    A change of one bout is one decision, so that nobody takes half of it.
    """
    name = bout_name(old[0])
    if not new:
        return name, bout_in_words(old, catalogue), "left out"
    if [(one.bout, one.sets) for one in old] == [(one.bout, one.sets) for one in new]:
        return None
    now = bout_name(new[0])
    return (name, name, now) if now != name else (name, bout_in_words(old, catalogue), bout_in_words(new, catalogue))
