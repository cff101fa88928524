"""The options of a re-plan as the numbers of its problem: times, room, supersets, what is wanted.

Times are never more than the true time model gives, so what is proven here holds for the true sessions.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import product
from math import floor

from setwright.catalogue.exercise import PartName
from setwright.catalogue.store import Catalogue
from setwright.dose.minutes import (
    CHANGE_OVER_S,
    DRILL_CHANGE_S,
    SAME_STATION_S,
    SetTime,
    straight_seconds,
    superset_seconds,
)
from setwright.plan.arrange import PART_ORDER
from setwright.plan.block import Entry
from setwright.plan.bout_time import bout_seconds
from setwright.plan.reshape_bouts import bouts_of, counted_once, together, with_less, with_moves, with_shared_times
from setwright.plan.reshape_model import Item, Option, Problem, State, Superset, Unit
from setwright.plan.reshape_options import (
    DEAR_SET_POINTS,
    LEAST_DRILLS,
    MOST_ENTRIES,
    OWN_LINE,
    SET_POINTS,
    STRENGTH,
    Frame,
    Slot,
    Way,
    comes_first,
    half_sets,
    is_pillar,
    slots_of,
    ways_of,
    working_sets,
)
from setwright.plan.session_time import entry_times


@dataclass(frozen=True)
class Prepared:
    """The problem with what its numbers stand for: the slots, and for each the ways of its options."""

    problem: Problem
    slots: tuple[Slot, ...]
    ways: tuple[tuple[Way, ...], ...]


def prepare(frame: Frame) -> Prepared:
    """The whole problem of one re-plan."""
    every = slots_of(frame)
    slots = [one for one in every if not (frame.is_lost(one.day) and one.part == "warm-up")]
    own_ways = with_moves(slots, [ways_of(slot, every, frame) for slot in slots], frame)
    bare_ways = counted_once(slots, with_less(slots, own_ways, frame))
    timed_ways = [
        tuple(replace(way, option=timed(way, slot, frame)) for way in own)
        for slot, own in zip(slots, bare_ways, strict=True)
    ]

    def whole_bout(entries: Sequence[Entry]) -> int:
        return floor(10 * (CHANGE_OVER_S + bout_seconds(entries, frame.context.catalogue)) + 1e-6)

    ways = with_shared_times(slots, timed_ways, whole_bout)
    items = tuple(item_of(slot, own, frame) for slot, own in zip(slots, ways, strict=True))
    return Prepared(
        Problem(
            items=items,
            weeks=frame.weeks,
            room=room_of(frame),
            order=order_of(slots, ways, frame),
            change_over=int(10 * CHANGE_OVER_S),
            shorter=int(10 * (CHANGE_OVER_S - SAME_STATION_S)),
            no_first=no_first(slots, frame),
            supersets=tuple(supersets_of(slots, ways, frame)),
            wanted=wanted_of(slots, frame),
            most_items={day: max(MOST_ENTRIES, entries_on(day, slots)) for day in frame.days},
            least_drills=least_drills(slots, frame),
            together=together(slots, ways),
        ),
        tuple(slots),
        tuple(ways),
    )


def timed(way: Way, slot: Slot, frame: Frame) -> Option:
    """The option of a way with its times."""
    if not way.entries:
        return way.option
    equipment = frame.context.catalogue.get(way.option.exercise).equipment
    is_alone = not slot.first.superset or (way.option.kind == "move" and slot.first.bout is None)
    most = float("inf") if is_alone else SAME_STATION_S  # what has a partner changes over as to the same station
    return replace(
        way.option,
        tenths=tenths_of(way, slot, frame),
        implement=equipment[0] if equipment else frozenset(),
        wait={
            week: floor(10 * min(most, entry.sets[0].rest_s) + 1e-6)
            for week, entry in way.entries.items()
            if entry.sets
        },
    )


def item_of(slot: Slot, ways: Sequence[Way], frame: Frame) -> Item:
    """The numbers of one slot."""
    sets = {week: max(1, working_sets(entry)) for week, entry in slot.entries.items()}
    pillar = is_pillar(slot, frame)
    is_whole = frame.is_kept(slot) or slot.first.bout is not None  # a bout is done whole or not at all
    least = sets if is_whole else {week: min(2, most) if pillar else 1 for week, most in sets.items()}
    points = DEAR_SET_POINTS if pillar else SET_POINTS * (OWN_LINE if slot.first.written else 1)
    return Item(
        name=slot.exercise,
        day=slot.day,
        is_warm_up=slot.part == "warm-up",
        is_strength=slot.part in STRENGTH,
        sets=sets,
        least=least,
        options=tuple(way.option for way in ways),
        set_points=points,
        is_pillar=pillar,
    )


def tenths_of(way: Way, slot: Slot, frame: Frame) -> dict[int, tuple[int, ...]]:
    """By week, the time of 1, 2, ... sets on their own, in tenths of a second, with a whole change-over."""
    change = DRILL_CHANGE_S if slot.part == "warm-up" else CHANGE_OVER_S
    known = frame.context.catalogue
    found = {}
    for week, entry in way.entries.items():
        most = max(1, working_sets(slot.entries[week]))
        if entry.bout is not None:
            whole = floor(10 * (change + bout_seconds([entry], known)) + 1e-6)
            found[week] = (whole,) * most
            continue
        found[week] = tuple(
            floor(10 * (change + straight_seconds(times)) + 1e-6) for times in times_by_count(entry, most, known)
        )
    return found


def times_by_count(entry: Entry, most: int, catalogue: Catalogue) -> list[list[SetTime]]:
    """The times of an entry with its first 1, 2, ... ``most`` working sets."""
    times = list(zip(entry.sets, entry_times(entry, catalogue), strict=True))
    found = []
    for count in range(1, most + 1):
        left, kept = count, []
        for one, time in times:
            if one.kind == "ramp" or left > 0:
                kept.append(time)
                left -= one.kind != "ramp"
        found.append(kept)
    return found


def order_of(slots: Sequence[Slot], ways: Sequence[Sequence[Way]], frame: Frame) -> dict[str, tuple[Unit, ...]]:
    """For each day, what may stand there in the order done; guests at the end of their part."""
    found: dict[str, tuple[Unit, ...]] = {}
    for day in frame.days:
        units: list[Unit] = []
        for part in PART_ORDER:
            groups: dict[str, list[int]] = {}
            for index, slot in enumerate(slots):
                if slot.day == day and slot.part == part:
                    groups.setdefault(slot.first.superset or f"alone {index}", []).append(index)
            natives: list[Unit] = [(tuple(members), False) for members in groups.values()]
            guests = [
                index
                for index, (slot, own) in enumerate(zip(slots, ways, strict=True))
                if slot.part == part and any(way.option.kind == "move" and way.option.day == day for way in own)
            ]
            first = [index for index in guests if comes_first(slots[index], day, slots, frame)]
            units += [((index,), True) for index in reversed(first)]
            units += natives
            units += [(one, True) for one in guest_units([index for index in guests if index not in first], slots)]
        found[day] = tuple(units)
    return found


def guest_units(guests: Sequence[int], slots: Sequence[Slot]) -> list[tuple[int, ...]]:
    """What comes from other days, in order: the movements of a bout together, all else one by one."""
    bout_by_member = {index: members for members in bouts_of(slots) for index in members}
    return list(dict.fromkeys(bout_by_member.get(index, (index,)) for index in guests))


def room_of(frame: Frame) -> dict[tuple[str, int], int | None]:
    """Tenths of a second of each session that stays; its minutes are rounded to a tenth by the time model."""
    caps = {(day, week): frame.cap(day, week) for day, week in frame.sessions if not frame.is_lost(day)}
    return {key: None if cap is None else floor(10 * (60 * cap + 3.0) + 1e-6) for key, cap in caps.items()}


def no_first(slots: Sequence[Slot], frame: Frame) -> dict[str, int]:
    """What the first entry saves on days without a warm-up: it needs no change-over."""
    warm = {slot.day for slot in slots if slot.part == "warm-up"}
    return {day: int(10 * CHANGE_OVER_S) for day in frame.days if day not in warm}


def wanted_of(slots: Sequence[Slot], frame: Frame) -> dict[tuple[int, str], int]:
    """Half sets a week that a re-plan should keep: what the demand wants, at most what the week held."""
    held: dict[tuple[int, str], int] = {}
    for slot in slots:
        for row, half in half_sets(slot, slot.exercise, frame).items():
            for week, entry in slot.entries.items():
                held[week, row] = held.get((week, row), 0) + half * working_sets(entry)
    targets = {need.roll_up: round(2 * need.target) for need in frame.demand.muscles}
    return {key: min(most, targets[key[1]]) for key, most in sorted(held.items()) if targets[key[1]] > 0}


def entries_on(day: str, slots: Sequence[Slot]) -> int:
    """Strength entries of a day."""
    return sum(1 for slot in slots if slot.day == day and slot.part in STRENGTH)


def least_drills(slots: Sequence[Slot], frame: Frame) -> dict[str, int]:
    """Warm-up entries that each day keeps."""
    found: dict[str, int] = {}
    for day in frame.days:
        open_ones = [slot for slot in slots if slot.day == day and slot.part == "warm-up"]
        closed = sum(1 for slot in open_ones if slot.exercise in frame.asked.barred or day in frame.asked.places)
        found[day] = max(0, min(LEAST_DRILLS, len(open_ones) - closed))
    return found


def supersets_of(slots: Sequence[Slot], ways: Sequence[Sequence[Way]], frame: Frame) -> Iterable[Superset]:
    """The supersets of the week, with what each way of standing saves."""
    groups: dict[tuple[str, PartName, str], list[int]] = {}
    for index, slot in enumerate(slots):
        if slot.first.superset and not frame.is_lost(slot.day):
            groups.setdefault((slot.day, slot.part, slot.first.superset), []).append(index)
    for (day, _, _), members in groups.items():
        if len(members) < 2:
            continue
        saved = {
            week: saved_in(week, day, members, slots, ways, frame)
            for week in frame.weeks
            if any(week in slots[index].entries for index in members)
        }
        yield Superset(day, tuple(members), saved)


def saved_in(
    week: int,
    day: str,
    members: Sequence[int],
    slots: Sequence[Slot],
    ways: Sequence[Sequence[Way]],
    frame: Frame,
) -> dict[tuple[State, ...], int]:
    """Tenths that each way of standing in a superset saves against one by one."""
    possible: list[list[State]] = []
    times: dict[tuple[int, int], list[list[SetTime]]] = {}
    for index in members:
        here: list[State] = [None]
        if week in slots[index].entries:
            most = max(1, working_sets(slots[index].entries[week]))
            times |= {
                (index, o): times_by_count(way.entries[week], most, frame.context.catalogue)
                for o, way in enumerate(ways[index])
                if week in way.entries
            }
            here += [
                (o, n)
                for o, way in enumerate(ways[index])
                if way.option.day == day and way.option.kind != "move"
                for n in ((most,) if slots[index].first.bout is not None else range(1, most + 1))
            ]
        possible.append(here)
    found = {}
    for states in product(*possible):
        there = [(index, state) for index, state in zip(members, states, strict=True) if state is not None]
        if len(there) < 2:
            continue
        in_turn = [times[index, o][n - 1] for index, (o, n) in there]
        alone = sum(ways[index][o].option.tenths[week][n - 1] for index, (o, n) in there)
        entries = [ways[index][o].entries[week] for index, (o, _) in there]
        is_bout = all(entry.bout is not None for entry in entries)
        seconds = bout_seconds(entries, frame.context.catalogue) if is_bout else superset_seconds(in_turn)
        found[states] = alone - floor(10 * (CHANGE_OVER_S + seconds) + 1e-6)
    return found
