"""A bout of conditioning in a re-plan: whole, less of it, moved or left out; its movements always go the same way.

A movement that is closed where it stands gets a stand-in, and the bout stays one. A closed one without a stand-in
leaves alone, and is told: that is no reason to lose the rest.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from setwright.catalogue.store import Catalogue
from setwright.people.trainee import DAY_NAMES
from setwright.plan.block import Entry
from setwright.plan.bout_less import bout_in_words, bout_name, bout_row, is_shared, size_of, with_share
from setwright.plan.reshape_model import Decision, Option
from setwright.plan.reshape_options import OUT_OTHERS, OUT_POINTS, Frame, Slot, Way, dearness, lost_words, move_way

LESS = (0.75, 0.5)  # of a bout's amounts, where its day has too few minutes (common practice, no published source)


def bouts_of(slots: Sequence[Slot]) -> list[tuple[int, ...]]:
    """The slots of each bout, by number; other conditioning with amounts of its own is alone."""
    found: dict[object, list[int]] = {}
    for number, slot in enumerate(slots):
        if slot.first.bout is not None:
            is_alone = not (is_shared(slot.first) and slot.first.superset)
            found.setdefault(number if is_alone else (slot.day, slot.part, slot.first.superset), []).append(number)
    return [tuple(one) for one in found.values()]


def with_less(slots: Sequence[Slot], ways: Sequence[list[Way]], frame: Frame) -> list[list[Way]]:
    """The ways of all slots, those of bouts on a day that is too short with less of them too."""
    made = [list(own) for own in ways]
    for members in bouts_of(slots):
        if frame.asked.sets_only or not all(may_be_less(slots[number], ways[number], frame) for number in members):
            continue
        for nth, share in enumerate(LESS, start=1):
            less = less_by_week([slots[number] for number in members], share, frame.context.catalogue)
            for number, entries in zip(members, less, strict=True) if less else ():
                made[number].insert(-1, less_way(slots[number], entries, share, nth, frame))
    return made


def with_moves(slots: Sequence[Slot], ways: Sequence[list[Way]], frame: Frame) -> list[list[Way]]:
    """The ways of all slots, those of bouts on a lost day with each day that can take every movement of them.

    They stay one bout there: under one clock, with one letter.
    """
    made = [list(own) for own in ways]
    for members in bouts_of(slots):
        first = slots[members[0]]
        stays = first.part == "main" or not frame.is_lost(first.day) or not first.first.superset
        if stays or any(not ways[number] or slots[number].exercise in frame.asked.barred for number in members):
            continue
        for day in frame.days:
            moved = [
                next(iter(move_way(slots[number], day, slots, frame, lost_words(frame, first.day))), None)
                for number in members
            ]
            for number, way in zip(members, moved, strict=True) if all(moved) else ():
                assert way is not None
                letter = slots[number].first.superset
                entries = {week: replace(entry, superset=letter) for week, entry in way.entries.items()}
                made[number].insert(-1, replace(way, entries=entries))
    return made


def with_shared_times(
    slots: Sequence[Slot], ways: Sequence[tuple[Way, ...]], whole: Callable[[Sequence[Entry]], int]
) -> list[tuple[Way, ...]]:
    """The ways, the time of a bout that moves counted once: at its first movement of each week.

    whole : tenths of a second of a bout with its change-over
    """
    made = [list(own) for own in ways]
    for members in bouts_of(slots):
        if len(members) < 2:
            continue
        for day in {way.option.day for way in ways[members[0]] if way.option.kind == "move"}:
            at = [moved_to(ways[number], day) for number in members]
            entries = [ways[number][o].entries for number, o in zip(members, at, strict=True)]
            for nth, (number, o) in enumerate(zip(members, at, strict=True)):
                option = ways[number][o].option
                tenths = {}
                for week, old in option.tenths.items():
                    is_first = not any(week in one for one in entries[:nth])
                    there = [one[week] for one in entries if week in one]
                    tenths[week] = (whole(there) if is_first else 0,) * len(old)
                made[number][o] = replace(made[number][o], option=replace(option, tenths=tenths))
    return [tuple(own) for own in made]


def moved_to(ways: Sequence[Way], day: str) -> int:
    """The number of the way to a day."""
    return next(o for o, way in enumerate(ways) if way.option.kind == "move" and way.option.day == day)


def may_be_less(slot: Slot, ways: Sequence[Way], frame: Frame) -> bool:
    """True for a movement that could stay as it is, on a day that is pressed for minutes."""
    is_free = frame.is_pressed(slot.day) and not frame.is_kept(slot) and not frame.is_lost(slot.day)
    return is_free and bool(ways) and ways[0].option.kind == "stay" and not ways[0].option.is_change


def less_by_week(slots: Sequence[Slot], share: float, catalogue: Catalogue) -> list[dict[int, Entry]]:
    """For each movement its entry by week in a bout at a share; nothing where no week gets less."""
    found: list[dict[int, Entry]] = [{} for _ in slots]
    is_less = False
    for week in dict.fromkeys(week for slot in slots for week in slot.entries):
        there = [number for number, slot in enumerate(slots) if week in slot.entries]
        before = [slots[number].entries[week] for number in there]
        after = with_share(before, share, catalogue)
        is_less = is_less or size_of(after) < size_of(before)
        for number, entry in zip(there, after, strict=True):
            found[number][week] = entry
    return found if is_less else []


def less_way(slot: Slot, entries: Mapping[int, Entry], share: float, nth: int, frame: Frame) -> Way:
    """The movement in the bout at a share of it: what it loses of the points that leaving it out costs."""
    out = len(entries) * dearness(slot, frame) * OUT_POINTS.get(slot.part, OUT_OTHERS)
    option = Option("stay", slot.day, slot.exercise, True, round((1.0 - share) * out), less=nth)
    return Way(option, entries, "")


def together(slots: Sequence[Slot], ways: Sequence[Sequence[Way]]) -> tuple[tuple[int, ...], ...]:
    """The movements that leave, move or get less only together: those of a bout that could stay in some way."""
    open_ones = [
        tuple(number for number in members if any(way.option.kind != "out" for way in ways[number]))
        for members in bouts_of(slots)
    ]
    return tuple(members for members in open_ones if len(members) > 1)


def counted_once(slots: Sequence[Slot], ways: Sequence[Sequence[Way]]) -> list[tuple[Way, ...]]:
    """The ways, those of bouts so that less of a bout, or none, counts as one change: at its first movement."""
    made = [tuple(own) for own in ways]
    together_ones = together(slots, ways)
    closed = [members for members in bouts_of(slots) if all(len(ways[number]) == 1 for number in members)]
    for members in (*together_ones, *closed):
        for number in members[1:]:
            made[number] = tuple(
                replace(way, option=replace(way.option, is_change=False))
                if way.option.less or way.option.kind in ("out", "move")
                else way
                for way in made[number]
            )
    return made


def bout_rows(
    week: int, slots: Sequence[Slot], ways: Sequence[Sequence[Way]], decision: Decision, catalogue: Catalogue
) -> dict[int, tuple[str, str, str, Way] | None]:
    """For each movement of a shared bout that went one way, by slot: the one row of it, or None where another has it.

    A row is (name, from, to) and the way taken. Movements with stand-ins, or closed ones, keep rows of their own.
    """
    found: dict[int, tuple[str, str, str, Way] | None] = {}
    for members in bouts_of(slots):
        here = [number for number in members if week in slots[number].entries and is_shared(slots[number].first)]
        taken = [ways[number][decision.options[number]] for number in here]
        if not here or len({(way.option.kind, way.option.less) for way in taken}) > 1:
            continue
        is_less, is_out = taken[0].option.less > 0, taken[0].option.kind == "out"
        if taken[0].option.kind == "move" and len(members) > 1:
            found |= dict.fromkeys(here)
            now = bout_in_words([way.entries[week] for way in taken], catalogue)
            before = [slots[number].entries[week] for number in here]
            to = f"to {DAY_NAMES[taken[0].option.day]}: {now}"
            found[here[0]] = (bout_name(before[0]), bout_in_words(before, catalogue), to, taken[0])
            continue
        closed = [all(way.option.kind == "out" for way in ways[number]) for number in here]
        if not (is_less or is_out) or (any(closed) and not all(closed)):
            continue
        before = [slots[number].entries[week] for number in here]
        row = bout_row(before, [way.entries[week] for way in taken] if is_less else [], catalogue)
        found |= dict.fromkeys(here)
        if row is not None:
            found[here[0]] = (*row, taken[0])
    return found
