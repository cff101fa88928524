"""What the log says is done: which sets of a session, what of a visit is left, and when what is done was done.

A log knows sets, the timetable knows times. A set that is logged is done, whenever it was planned; one that is not
logged is still to do, even where the timetable had it in the past. Warm-ups and ramp sets are seldom logged: they
follow the timetable, and are done when a set after them is.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date

from setwright.plan.block import Entry, Session
from setwright.plan.floor.timetable import Span
from setwright.plan.floor.visit import Attendee, Placed, Rest, Step, Visit
from setwright.plan.session_time import groups_of
from setwright.strength.logged import Log, LoggedSet

Done = frozenset[tuple[int, int]]  # (the entry's place in the session, the number of the set, ramp sets included)


def sets_done(session: Session, log: Log, on: date) -> Done:
    """The sets of a session that a log has on a day.

    The numbers of a log count working sets. A bout of conditioning is done with its score, or with every set of it.
    """
    rows = [one for one in log.sets if one.date == on and one.part != "filler"]
    found: set[tuple[int, int]] = set()
    for slug in dict.fromkeys(one.exercise for one in rows):
        found |= matched(entries_for(session, slug), [one for one in rows if one.exercise == slug])
    scored = {one.bout for one in log.sessions if one.date == on and one.bout and one.score}
    scored_slugs = {one.exercise for one in rows if one.score}
    return with_bouts(session, found, scored, scored_slugs)


def entries_for(session: Session, slug: str) -> list[tuple[int, str, Entry]]:
    """(place, part, entry) of every entry of an exercise."""
    everything = [(part.part, entry) for part in session.parts for entry in part.entries]
    return [(at, part, entry) for at, (part, entry) in enumerate(everything) if entry.exercise == slug]


def matched(entries: Sequence[tuple[int, str, Entry]], rows: Sequence[LoggedSet]) -> set[tuple[int, int]]:
    """The sets that some rows of one exercise stand for: by their number in an entry, else in all of them in a row."""
    found: set[tuple[int, int]] = set()
    for row in sorted(rows, key=lambda one: one.set):
        here = [one for one in entries if (one[1] == "warm-up") == (row.part == "warm-up")] or list(entries)
        slots = [
            (number, (at, place))
            for at, _, entry in here
            for number, place in enumerate((n for n, one in enumerate(entry.sets, 1) if one.kind != "ramp"), 1)
        ]
        free = [slot for number, slot in slots if number == row.set and slot not in found]
        free += [slot for number, (_, slot) in enumerate(slots, 1) if number == row.set and slot not in found]
        found |= set(free[:1])
    return found


def with_bouts(session: Session, found: set[tuple[int, int]], letters: set[str], slugs: set[str]) -> Done:
    """The sets with each bout as the first set of its first entry, where it is done: so it stands in a timetable.

    letters, slugs : bouts by letter and movements that have a score
    """
    done, at = set(found), 0
    for part in session.parts:
        for group in groups_of(part.entries):
            first, at = at, at + len(group)
            if group[0].bout is None:
                continue
            has_score = group[0].superset in letters or any(one.exercise in slugs for one in group)
            everything = {(first + i, n) for i, one in enumerate(group) for n in range(1, len(one.sets) + 1)}
            done -= everything
            if has_score or everything <= found:
                done.add((first, 1))
    return frozenset(done)


def steps_done(person: Attendee, placed: Mapping[int, Placed], done: Done, now_s: int) -> dict[int, frozenset[int]]:
    """The steps of each visit that are done or under way, by its place in the session.

    placed : where the timetable that was followed has each visit
    """
    logged = {
        v: {i for i, step in enumerate(visit.steps) if is_logged(visit, step, done)}
        for v, visit in enumerate(person.visits)
    }
    ranks = [person.visits[v].rank for v, steps in logged.items() if steps]
    owed = first_rank_owed(person, placed, logged, now_s)
    found: dict[int, frozenset[int]] = {}
    for v, visit in enumerate(person.visits):
        at = placed.get(v)
        begun = set() if at is None else {i for i, start in enumerate(at.starts) if start <= now_s}
        steps = set(logged[v])
        if visit.part == "warm-up":
            steps |= set(range(len(visit.steps))) if any(rank > visit.rank for rank in ranks) else begun
        else:
            steps |= {i for i, step in enumerate(visit.steps) if step.kind == "ramp" and ramp_is_done(visit, i, steps)}
            steps |= ramps_begun(visit, steps, at, begun, now_s) if visit.rank <= owed else set()
        found[v] = frozenset(steps)
    if not is_behind(person, placed, found, now_s):
        for v, at in placed.items():
            works = [step.work_s for step in person.visits[v].steps]
            under_way = {i for i, (s, w) in enumerate(zip(at.starts, works, strict=False)) if s <= now_s < s + w}
            found[v] |= under_way
    return found


def first_rank_owed(
    person: Attendee, placed: Mapping[int, Placed], logged: Mapping[int, set[int]], now_s: int
) -> float:
    """The lowest rank with a working set that the timetable had over by now and that is not done; else infinity.

    Nobody has done the ramp sets of what comes after it.
    """
    owed = [
        person.visits[v].rank
        for v, at in placed.items()
        for i, start in enumerate(at.starts)
        if person.visits[v].part != "warm-up" and person.visits[v].steps[i].kind != "ramp"
        if start + person.visits[v].steps[i].work_s <= now_s and i not in logged[v]
    ]
    return min(owed, default=math.inf)


def is_logged(visit: Visit, step: Step, done: Done) -> bool:
    """True where a step stands in the log."""
    return (visit.entries[step.entry], step.number) in done


def ramp_is_done(visit: Visit, at: int, logged: set[int]) -> bool:
    """True where a later set of the same entry is done."""
    return any(i > at and visit.steps[i].entry == visit.steps[at].entry for i in logged)


def ramps_begun(visit: Visit, done: set[int], at: Placed | None, begun: set[int], now_s: int) -> set[int]:
    """Ramp sets that the timetable has begun, of entries none of whose working sets is overdue."""
    if at is None:
        return set()
    overdue = {
        visit.steps[i].entry
        for i in begun - done
        if visit.steps[i].kind != "ramp" and at.starts[i] + visit.steps[i].work_s <= now_s
    }
    return {i for i in begun if visit.steps[i].kind == "ramp" and visit.steps[i].entry not in overdue}


def is_behind(person: Attendee, placed: Mapping[int, Placed], done: Mapping[int, frozenset[int]], now_s: int) -> bool:
    """True where the timetable had a step over by now that is not done."""
    return any(
        start + person.visits[v].steps[i].work_s <= now_s and i not in done[v]
        for v, at in placed.items()
        for i, start in enumerate(at.starts)
    )


def part_of(visit: Visit, keep: Sequence[int]) -> tuple[Visit, tuple[int, ...]]:
    """Some steps of a visit as a visit, and the numbers of the uses that it keeps.

    Of sets done in a row each keeps the rest before it; a superset keeps its rhythm.
    """
    place = {old: new for new, old in enumerate(keep)}
    before = {rest.after: rest for rest in visit.rests}
    in_a_row = is_in_a_row(visit)
    if in_a_row:
        rests = tuple(
            Rest(new - 1, new, before[old].least_s, before[old].most_s)
            for old, new in place.items()
            if new and old in before
        )
    else:
        rests = tuple(
            replace(rest, before=place[rest.before], after=place[rest.after])
            for rest in visit.rests
            if rest.before in place and rest.after in place
        )
    steps: list[Step] = []
    at = 0
    for new, old in enumerate(keep):
        step = visit.steps[old]
        if not in_a_row:
            at = step.at_s - visit.steps[keep[0]].at_s
        elif new:
            at = steps[-1].at_s + steps[-1].work_s + (before[old].least_s if old in before else 0)
        steps.append(replace(step, at_s=at))
    uses, numbers = [], []
    for number, use in enumerate(visit.uses):
        inside = [place[i] for i in range(use.first, use.last + 1) if i in place]
        if inside:
            uses.append(replace(use, first=min(inside), last=max(inside)))
            numbers.append(number)
    return replace(visit, steps=tuple(steps), rests=rests, uses=tuple(uses)), tuple(numbers)


def what_is_left(visit: Visit, done: frozenset[int], placed: Placed | None, stock: Mapping[str, int]) -> Visit:
    """The steps of a visit that are still to do, at the stations where the others were done."""
    left = [i for i in range(len(visit.steps)) if i not in done]
    rest, numbers = part_of(visit, left)
    if placed is None or not done:
        return rest
    uses = []
    for use, number in zip(rest.uses, numbers, strict=True):
        whole, thing = visit.uses[number], placed.things[number] if number < len(placed.things) else ""
        if any(whole.first <= i <= whole.last for i in done):
            things = (thing,) if thing in use.things and stock.get(thing, use.count) >= use.count else use.things
            use = replace(use, things=things, set_up_s=use.set_up_s if use.between else 0)
        uses.append(use)
    return replace(rest, uses=tuple(uses))


def rest_before(visit: Visit, done: frozenset[int], are_over: bool) -> int:
    """Seconds from now to the first set that is left, so that no rest is shorter than planned.

    The last set may just have ended; where all were over by the timetable (``are_over``), those before it one after
    another, else any of them: a log tells no rests.
    """
    left = [i for i in range(len(visit.steps)) if i not in done]
    in_order = done == frozenset(range(left[0]))
    if in_order and is_in_a_row(visit):
        return next((rest.least_s for rest in visit.rests if rest.after == left[0]), 0)
    gap, rest = 0, part_of(visit, left)[0]
    for entry in {visit.steps[i].entry for i in done}:
        last = max(i for i in done if visit.steps[i].entry == entry)
        since = sum(visit.steps[i].work_s for i in done if i > last and in_order and are_over)
        planned = max((one.least_s for one in visit.rests if visit.steps[one.before].entry == entry), default=0)
        soonest = min((step.at_s for step in rest.steps if step.entry == entry), default=planned)
        gap = max(gap, planned - soonest - since)
    return gap


def is_in_a_row(visit: Visit) -> bool:
    """True where each set rests from the one before it: no superset."""
    return all(rest.after == rest.before + 1 for rest in visit.rests)


def backwards(works: Sequence[int], now_s: int, busy: list[Span]) -> list[int]:
    """Starts of sets of which only is known that they are done: the last ones before now that are free.

    busy : when the person did something else; what is placed is added
    """
    starts: list[int] = []
    at = now_s
    for work in reversed(works):
        at -= work
        while over := [span for span in busy if span[0] < at + work and at < span[1]]:
            at = min(span[0] for span in over) - work
        busy.append((at, at + work))
        starts.insert(0, at)
    return starts
