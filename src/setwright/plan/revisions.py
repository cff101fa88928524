"""Two revisions of a block side by side, and a revision with only some of its changes taken.

A change is named by its number in the list of the revision, from 1. What no change names (a superset that a taken
change parted, answers that no longer hold) follows the changes of its session.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace

from setwright.catalogue.store import Catalogue
from setwright.people.place import Place
from setwright.people.trainee import DAY_NAMES, DAYS, Day
from setwright.plan.block import Block, Change, Entry, Part, Session, Settled, Week
from setwright.plan.bout_less import bout_name
from setwright.plan.compose import count_credits
from setwright.plan.next_revision import with_rules
from setwright.plan.restrict import in_words
from setwright.plan.session_time import session_minutes_of

Pair = tuple[Entry | None, Entry | None]


def pairs(old: Sequence[Entry], new: Sequence[Entry]) -> list[Pair]:
    """Entries of one part side by side, in the order of the old ones; added ones last.

    An exercise is held against itself first; what is left is paired in order.
    """
    left = list(new)
    found: list[Pair] = []
    for entry in old:
        same = next((one for one in left if one.exercise == entry.exercise), None)
        if same is not None:
            left.remove(same)
        found.append((entry, same))
    made = [(entry, same if same is not None else left.pop(0) if left else None) for entry, same in found]
    return [*made, *((None, one) for one in left)]


class Changed:
    """The changes of one session of a revision, by number, each pair of entries with those that speak of it."""

    def __init__(self, changes: Mapping[int, Change], catalogue: Catalogue) -> None:
        self.changes = changes
        self.catalogue = catalogue

    def of(self, pair: Pair) -> frozenset[int]:
        """Numbers of the changes that speak of a pair of entries: by its words, else by its name."""
        old, new = pair
        words = {in_words(one, self.catalogue) for one in pair if one is not None}
        names = {self.catalogue.get(one.exercise).name for one in pair if one is not None}
        lines = {one.written for one in (old, new) if one is not None and one.written}
        by_name = {number for number, one in self.changes.items() if one.entry in names | lines}
        by_words = {n for n in by_name if self.changes[n].from_ in words or self.changes[n].to in words}
        bouts = {bout_name(one) for one in pair if one is not None} - {""}
        of_bout = {number for number, one in self.changes.items() if one.entry in bouts}
        return frozenset((by_words or by_name) | of_bout)

    def is_guest(self, entry: Entry, old: Session) -> bool:
        """True for an entry that a change moves here from another day: it stands for none that was here."""
        names = {self.catalogue.get(entry.exercise).name, bout_name(entry)} - {""}
        was_here = any(one.exercise == entry.exercise for part in old.parts for one in part.entries)
        return not was_here and any(one.entry in names and is_move_to(one, old.day) for one in self.changes.values())

    def of_filler(self, pair: Pair) -> frozenset[int]:
        """Numbers of the changes that speak of what is done in the rests of an entry."""
        names = {filler_label(self.catalogue.get(one.exercise).name) for one in pair if one is not None}
        return frozenset(number for number, one in self.changes.items() if one.entry in names)

    def taken(self, pair: Pair, chosen: set[int], unnamed: frozenset[int]) -> Entry | None:
        """What becomes of a pair: the new entry or the old one, its filler by the changes that speak of it."""
        old, new = pair
        if old == new:
            return old
        fillers = self.of_filler(pair)
        if old is not None and new is not None and fillers and old.exercise == new.exercise:
            filler = new.filler if fillers <= chosen else old.filler
            bare_old, bare_new = replace(old, filler=None), replace(new, filler=None)
            numbers = self.of(pair) or unnamed
            takes = bare_old == bare_new or not numbers or numbers <= chosen
            return replace(new if takes else with_side_words(old, new), filler=filler)
        numbers = self.of(pair) or fillers or unnamed
        if numbers <= chosen or old is None:
            return new if numbers <= chosen else None
        same = new is not None and old.exercise == new.exercise
        return with_side_words(old, new) if same and new is not None else old


def with_side_words(old: Entry, new: Entry) -> Entry:
    """The old entry with the alternatives and cautions of the new one: what a restriction closes is not offered."""
    return replace(old, alternatives=new.alternatives, cautions=new.cautions)


def filler_label(name: str) -> str:
    """How a change names what is done in the rests of an exercise."""
    return f"filler in the rest of {name}"


def with_some(before: Block, after: Block, taken: Collection[int], catalogue: Catalogue) -> Block:
    """The revision ``after`` of ``before`` with only the changes ``taken``, by number.

    All of them give ``after`` itself, none gives ``before``. Minutes, counted sets and the rules that are bent are
    reckoned anew; the proof of the whole proposal no longer holds and says so.
    """
    taken = set(taken)
    everything = set(range(1, len(after.changes) + 1))
    if taken >= everything:
        return after
    if not taken:
        return before
    weeks = tuple(merged_weeks(before, after, taken, catalogue))
    kept = tuple(one for number, one in enumerate(after.changes, start=1) if number in taken)
    left_out = {spot_of(one) for number, one in enumerate(after.changes, start=1) if number not in taken}
    note = f"{len(kept)} of {len(everything)} proposed changes were taken; the proof was about all of them."
    made = replace(
        after,
        id="",
        weeks=weeks,
        changes=kept,
        settled=tuple(one for one in after.settled if one in before.settled or spot_of(one) not in left_out),
        set_credits=count_credits(weeks, catalogue),
        proof=replace(after.proof, status="written" if after.proof.status == "written" else "feasible", note=note),
    )
    return with_rules(made, catalogue)


def spot_of(one: Change | Settled) -> tuple[int, str, str, str]:
    """Where a change is and what it leads to; the same for what it settles."""
    return (one.week, one.session, one.entry, one.to)


def merged_weeks(before: Block, after: Block, taken: set[int], catalogue: Catalogue) -> Iterable[Week]:
    """The weeks, each session with the changes of it that are taken."""
    places = {place.id: place for place in (*before.inputs.places, *after.inputs.places)}
    for old_week, new_week in zip(before.weeks, after.weeks, strict=False):
        old = {one.day: one for one in old_week.sessions}
        new = {one.day: one for one in new_week.sessions}
        sessions = []
        for day in dict.fromkeys((*(one.day for one in new_week.sessions), *old)):
            here = {
                number: change
                for number, change in enumerate(after.changes, start=1)
                if change.week in (0, new_week.number) and (change.session == day or is_move_to(change, day))
            }
            chosen = set(here) & taken
            if day in old and day not in new and chosen and not set(here) <= taken:
                sessions += what_stays(old[day], Changed(here, catalogue), chosen, catalogue, places)
            elif day not in old or day not in new:
                kept = new.get(day) if chosen or not here else old.get(day)
                sessions += [] if kept is None else [kept]
            elif set(here) <= taken:
                sessions.append(new[day])
            else:
                mixed = merged_session(old[day], new[day], Changed(here, catalogue), chosen)
                minutes = session_minutes_of(mixed.parts, catalogue, places[mixed.place])
                sessions.append(replace(mixed, minutes=minutes))
        order = in_order(old_week, new_week)
        sessions.sort(key=lambda one: order.index(one.day))
        kind, rpe = (new_week.kind, new_week.rpe)
        if not week_numbers(after, new_week.number) <= taken:
            kind, rpe = old_week.kind, old_week.rpe
        yield replace(new_week, kind=kind, rpe=rpe, sessions=tuple(sessions))
    yield from after.weeks[len(before.weeks) :]


def is_move_to(change: Change, day: Day) -> bool:
    """True for a change that takes an entry to this day: it speaks of both days, so both follow it."""
    return change.to.startswith(f"to {DAY_NAMES[day]}:")


def what_stays(
    old: Session, changed: Changed, chosen: set[int], catalogue: Catalogue, places: Mapping[str, Place]
) -> list[Session]:
    """A session of a day that is lost, with the entries whose change was not taken; none where all were."""
    parts = []
    for part in old.parts:
        rows = [one for one in part.entries if not (changed.of((one, None)) and changed.of((one, None)) <= chosen)]
        parts += [Part(part.part, tuple(whole_supersets(rows, old, old)))] if rows else []
    if not any(part.part != "warm-up" for part in parts):
        return []
    minutes = session_minutes_of(tuple(parts), catalogue, places[old.place])
    return [replace(old, parts=tuple(parts), minutes=minutes)]


def week_numbers(after: Block, week: int) -> set[int]:
    """Numbers of the changes that speak of a whole week, its kind and effort: those that name no session."""
    return {number for number, one in enumerate(after.changes, start=1) if not one.session and one.week == week}


def in_order(old: Week, new: Week) -> list[Day]:
    """The days of both weeks: as the old one has them, in the order of the week where one is new."""
    days = [one.day for one in old.sessions]
    added = [one.day for one in new.sessions if one.day not in days]
    return sorted([*days, *added], key=DAYS.index) if added else days


def merged_session(old: Session, new: Session, changed: Changed, chosen: set[int]) -> Session:
    """A session of which some changes are taken: entry by entry the new one or the old one."""
    before = {part.part: part.entries for part in old.parts}
    after = {part.part: part.entries for part in new.parts}
    names = list(dict.fromkeys((*(part.part for part in new.parts), *(part.part for part in old.parts))))
    unnamed = unnamed_numbers(old, new, changed)
    parts = []
    for name in names:
        entries = []
        guests = [one for one in after.get(name, ()) if changed.is_guest(one, old)]
        stays = [one for one in after.get(name, ()) if one not in guests]
        for pair in [*pairs(before.get(name, ()), stays), *((None, one) for one in guests)]:
            entries.append(changed.taken(pair, chosen, unnamed))
        rows = whole_supersets([one for one in entries if one is not None], old, new)
        if rows:
            parts.append(Part(name, tuple(rows)))
    return replace(new, parts=tuple(parts))


def unnamed_numbers(old: Session, new: Session, changed: Changed) -> frozenset[int]:
    """Numbers of changes that speak of no entry (the warm-up, the day): what no change names goes with these."""
    spoken: set[int] = set()
    for name in {part.part for part in (*old.parts, *new.parts)}:
        first = next((part.entries for part in old.parts if part.part == name), ())
        second = next((part.entries for part in new.parts if part.part == name), ())
        for pair in pairs(first, second):
            spoken |= changed.of(pair) | changed.of_filler(pair)
    return frozenset(set(changed.changes) - spoken)


def whole_supersets(entries: Sequence[Entry], old: Session, new: Session) -> list[Entry]:
    """The entries, those in a superset of which not all members are left on their own."""
    known = [members(old), members(new)]
    here: dict[str, frozenset[str]] = {}
    for entry in entries:
        if entry.superset:
            here[entry.superset] = here.get(entry.superset, frozenset()) | {entry.exercise}
    whole = {label for label, names in here.items() if any(one.get(label) == names for one in known)}
    return [replace(one, superset=None) if one.superset and one.superset not in whole else one for one in entries]


def members(session: Session) -> dict[str, frozenset[str]]:
    """Exercises of each superset of a session, by its label."""
    found: dict[str, frozenset[str]] = {}
    for part in session.parts:
        for entry in part.entries:
            if entry.superset:
                found[entry.superset] = found.get(entry.superset, frozenset()) | {entry.exercise}
    return found
