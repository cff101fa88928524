"""From today's session of one trainee to visits: what is done in one go, at which stations, with which rests.

The times are those of the time model of a session, so that one who trains alone takes the minutes on the sheet.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import ceil

from setwright.catalogue.exercise import Exercise, PartName
from setwright.catalogue.store import Catalogue
from setwright.dose.minutes import DRILL_CHANGE_S, TURN_S, rest_window
from setwright.people.place import Place
from setwright.plan.block import Entry, PlannedSet, Session
from setwright.plan.bout_time import bout_seconds
from setwright.plan.floor.easy import is_easy_start, with_other_ways
from setwright.plan.floor.things import BARS, Take, stock_of, takes_of
from setwright.plan.floor.visit import Attendee, Rest, Step, Use, Visit
from setwright.plan.session_time import change_over_seconds, groups_of, set_time

# Holding a station starts before the first set and ends after the last; together no more than the shortest
# change-over, so that one may stay at a station. Common practice, no published source.
SET_UP_S, CLEAR_S = 25, 15
DRILL_SET_UP_S, DRILL_CLEAR_S = 5, 5
# What it takes before each set where people take turns: to move a pin, or to change the plates.
PIN_S, PLATES_S = 10, 40
LOADED = frozenset({"rack", *BARS})
# Parts whose entries may be done in any order; those of the others stay as written.
ANY_ORDER = frozenset({"assistance", "finisher", "loaded-mobility"})
# Stations that are let in the rests unless the coach says otherwise: people take turns there (common practice).
USUAL_TURNS = frozenset({"rack", *BARS, "cable", "machine", "pullup_bar", "dip_bars"})


@dataclass(frozen=True)
class Group:
    """Entries of one part that are done in one go, with their places in the session."""

    part: PartName
    entries: tuple[Entry, ...]
    places: tuple[int, ...]


@dataclass(frozen=True)
class Timed:
    """The steps of a visit with their rests, and what each takes."""

    steps: tuple[Step, ...]
    rests: tuple[Rest, ...]
    takes: tuple[tuple[Take, ...], ...]
    done_as: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Lacking:
    """An entry that the floor cannot give: its place in the session, and the tokens that are not there."""

    entry: int
    exercise: str
    tokens: tuple[str, ...]


def takes_turns_at(token: str, turns: Collection[str]) -> bool:
    """True where people take turns at a station; ``machine`` stands for all machines.

    >>> takes_turns_at("machine:leg_press", {"machine"}), takes_turns_at("rack", {"machine"})
    (True, False)
    """
    return token in turns or token.partition(":")[0] in turns


def groups_in(session: Session) -> list[Group]:
    """The groups of a session in the order of the sheet; entries of one exercise in a row are one."""
    found: list[Group] = []
    at = 0
    for part in session.parts:
        for entries in groups_of(part.entries):
            places = tuple(range(at, at + len(entries)))
            at += len(entries)
            last = found[-1] if found else None
            alone = len(entries) == 1 and entries[0].bout is None
            if last and alone and continues(last, entries[0]) and last.part == part.part != "warm-up":
                found[-1] = replace(last, entries=(*last.entries, *entries), places=(*last.places, *places))
            else:
                found.append(Group(part.part, tuple(entries), places))
    return found


def continues(group: Group, entry: Entry) -> bool:
    """True where an entry goes on with the exercise of the group before (a top set and its back-offs)."""
    return (
        all(one.exercise == entry.exercise and one.bout is None and not one.superset for one in group.entries)
        and not entry.superset
    )


def whole(seconds: float) -> int:
    """Whole seconds, rounded up: nobody is asked to be quicker than planned."""
    return ceil(round(seconds, 3))


def timed(group: Group, place: Place, catalogue: Catalogue) -> Timed:
    """The steps of a group: a bout as one, a superset in turn, else set after set."""
    exercises = [catalogue.get(one.exercise) for one in group.entries]
    if group.entries[0].bout is not None:
        step = Step(0, 1, 1, "bout", whole(bout_seconds(group.entries, catalogue)), 0)
        each = [takes_of(exercise, one.sets[0], place) for one, exercise in zip(group.entries, exercises, strict=True)]
        return Timed((step,), (), (takes_of_bout(each),))
    if len({one.superset for one in group.entries}) == 1 and group.entries[0].superset and len(group.entries) > 1:
        return in_turn(group, exercises, place)
    return in_a_row(group, exercises, place)


def takes_of_bout(each: Sequence[Sequence[Take]]) -> tuple[Take, ...]:
    """What a bout takes by its movements: one thing serves them all; another load on a bar is another bar.

    Common practice, no published source: nobody changes plates under the clock.
    """
    most: dict[tuple[str, tuple[str, ...]], int] = {}
    for takes in each:
        for take in takes:
            if take.token != "plates" and take.token not in BARS:
                key = (take.token, take.things)
                most[key] = max(take.count, most.get(key, 0))
    loaded = dict.fromkeys(tuple(one for one in takes if one.token == "plates" or one.token in BARS) for takes in each)
    for takes in loaded:
        for take in takes:
            most[(take.token, take.things)] = most.get((take.token, take.things), 0) + take.count
    return tuple(Take(token, things, count) for (token, things), count in most.items())


def window_of(one: PlannedSet, exercise: Exercise) -> tuple[int, int | None]:
    """(shortest, longest) rest after a set, s: as planned, to the longest that still serves it; drills have no longest.

    Source of the longest: ``dose.minutes.rest_window``, common practice.
    """
    if not one.rest_s:
        return 0, None
    is_big = exercise.load_capacity >= 4
    longest = rest_window(one.reps[1] if one.reps else None, is_big, one.rest_s)[1]
    return whole(one.rest_s), max(whole(one.rest_s), int(longest))


def in_a_row(group: Group, exercises: Sequence[Exercise], place: Place) -> Timed:
    """Set after set, entry after entry."""
    steps: list[Step] = []
    rests: list[Rest] = []
    takes: list[tuple[Take, ...]] = []
    at = 0
    after: tuple[int, int | None] = (0, None)
    for index, (entry, exercise) in enumerate(zip(group.entries, exercises, strict=True)):
        for number, one in enumerate(entry.sets, start=1):
            if steps:
                if number == 1:
                    after = window_of(entry.sets[0], exercise)
                rests.append(Rest(len(steps) - 1, len(steps), *after))
                at += after[0]
            work = whole(set_time(one, exercise).work_s)
            steps.append(Step(index, number, len(entry.sets), one.kind, work, at))
            takes.append(tuple(takes_of(exercise, one, place)))
            at += work
            after = window_of(one, exercise)
    return Timed(tuple(steps), tuple(rests), tuple(takes))


def in_turn(group: Group, exercises: Sequence[Exercise], place: Place) -> Timed:
    """The entries of a superset round by round, with the rests of ``superset_seconds``.

    Where the rhythm itself makes the rest of a member longer than its window, the rhythm is the window's end.
    """
    steps: list[Step] = []
    rests: list[Rest] = []
    takes: list[tuple[Take, ...]] = []
    before: dict[int, tuple[int, PlannedSet]] = {}  # the last step of each member, and its set
    at = 0
    for number in range(max(len(one.sets) for one in group.entries)):
        here = [index for index, one in enumerate(group.entries) if number < len(one.sets)]
        for turn, index in enumerate(here):
            entry, exercise = group.entries[index], exercises[index]
            if turn:
                at += whole(TURN_S)
            if index in before:
                last, done = before[index]
                least, most = window_of(done, exercise)
                taken = at - steps[last].at_s - steps[last].work_s
                rests.append(Rest(last, len(steps), min(least, taken), None if most is None else max(most, taken)))
            one = entry.sets[number]
            work = whole(set_time(one, exercise).work_s)
            before[index] = (len(steps), one)
            steps.append(Step(index, number + 1, len(entry.sets), one.kind, work, at))
            takes.append(tuple(takes_of(exercise, one, place)))
            at += work
        at = next_round(group, exercises, number, steps, before, at)
    return Timed(tuple(steps), tuple(rests), tuple(takes))


def next_round(
    group: Group,
    exercises: Sequence[Exercise],
    number: int,
    steps: Sequence[Step],
    before: Mapping[int, tuple[int, PlannedSet]],
    end_s: int,
) -> int:
    """When the round after round ``number`` of a superset starts, s after the first step.

    As ``superset_seconds`` has it: a member also rests while the others work. Nobody's rest gets shorter than planned
    where the next round of the others is quicker.
    """
    here = [index for index, one in enumerate(group.entries) if number < len(one.sets)]
    starts = [end_s + (whole(TURN_S) if len(here) > 1 else 0)]
    taken = sum(steps[before[index][0]].work_s for index in here) + whole(TURN_S) * (len(here) - 1)
    for index in here:
        last, done = before[index]
        starts.append(end_s + whole(done.rest_s) - (taken - steps[last].work_s))
    coming = 0
    for index, entry in enumerate(group.entries):
        if number + 1 < len(entry.sets):
            last, done = before[index]
            starts.append(steps[last].at_s + steps[last].work_s + whole(done.rest_s) - coming)
            coming += whole(set_time(entry.sets[number + 1], exercises[index]).work_s) + whole(TURN_S)
    return max(starts)


def uses_of(group: Group, one: Timed, turns: Collection[str]) -> tuple[Use, ...]:
    """What a visit holds: the same thing for several steps counts once, from the first to the last of them.

    Weights of several entries add up; a station serves them all. A superset holds all it needs from its first set on:
    it starts when everything is free.
    """
    is_drill = group.part == "warm-up"
    lets = is_let(group, one, turns)
    found: dict[tuple[str, tuple[str, ...]], tuple[int, int, int, tuple[int, ...]]] = {}
    for things, token in dict.fromkeys((take.things, take.token) for takes in one.takes for take in takes):
        where = [i for i, takes in enumerate(one.takes) if any((t.things, t.token) == (things, token) for t in takes)]
        by_entry: dict[int, int] = {}
        for i in where:
            count = sum(t.count for t in one.takes[i] if (t.things, t.token) == (things, token))
            by_entry[one.steps[i].entry] = max(count, by_entry.get(one.steps[i].entry, 0))
        count = sum(by_entry.values()) if token == "plates" else max(by_entry.values())
        in_turn = len(group.entries) > 1 and group.entries[0].superset is not None
        found[(token, things)] = (count, 0 if in_turn else where[0], where[-1], tuple(sorted(by_entry)))
    made: list[Use] = []
    for (_, things), (count, first, last, entries) in found.items():
        if lets:
            least = min(rest.least_s for rest in one.rests)
            made.append(Use(things, count, first, last, min(least, swap_s(group, one)), 0, True, entries))
        else:
            margins = (DRILL_SET_UP_S, DRILL_CLEAR_S) if is_drill else (SET_UP_S, CLEAR_S)
            made.append(Use(things, count, first, last, *margins, entries=entries))
    return tuple(made)


def is_let(group: Group, one: Timed, turns: Collection[str]) -> bool:
    """True where the station of a visit is let in the rests: an entry alone, with rests, at such a station."""
    tokens = {take.token for takes in one.takes for take in takes}
    alone = len(group.entries) == 1 or not group.entries[0].superset
    return (
        alone
        and group.part != "warm-up"
        and bool(one.rests)
        and any(takes_turns_at(token, turns) for token in tokens)
        and all(rest.most_s is not None for rest in one.rests)
    )


def swap_s(group: Group, one: Timed) -> int:
    """Seconds that a change of people takes at the station of a visit."""
    tokens = {take.token for takes in one.takes for take in takes}
    return PLATES_S if tokens & LOADED else PIN_S


def with_units(uses: Sequence[Use], units: Mapping[str, tuple[str, ...]]) -> tuple[Use, ...]:
    """Uses with each thing that people take turns at named by its number, so that one keeps the same one."""
    return tuple(
        replace(use, things=tuple(unit for thing in use.things for unit in units.get(thing, (thing,)))) for use in uses
    )


def floor_stock(place: Place, turns: Collection[str]) -> tuple[dict[str, int], dict[str, tuple[str, ...]]]:
    """The stock of a place, with what people take turns at as single numbered pieces, and those by thing."""
    stock: dict[str, int] = {}
    units: dict[str, tuple[str, ...]] = {}
    for thing, count in stock_of(place).items():
        if takes_turns_at(thing, turns) and count > 1:
            units[thing] = tuple(f"{thing} #{number}" for number in range(1, count + 1))
            stock |= dict.fromkeys(units[thing], 1)
        else:
            stock[thing] = count
    return stock, units


def ranked(groups: Sequence[Group]) -> list[int]:
    """The rank of each group: as written, but entries of one part of ``ANY_ORDER`` share theirs."""
    ranks = [0]
    for before, after in pairwise(groups):
        ranks.append(ranks[-1] + (0 if before.part == after.part and after.part in ANY_ORDER else 1))
    return ranks[: len(groups)]


def gap_s(before: Group, after: Group, catalogue: Catalogue) -> int:
    """Seconds from one group to the next, by the time model."""
    if after.part == "warm-up":
        return whole(DRILL_CHANGE_S)
    rest = after.entries[0].sets[0].rest_s if len(after.entries) == 1 and after.entries[0].sets else None
    first = catalogue.get(before.entries[0].exercise)
    return whole(change_over_seconds(first, catalogue.get(after.entries[0].exercise), rest))


def lacks_of(group: Group, one: Timed) -> list[Lacking]:
    """The entries of a group that need what is not there."""
    tokens: dict[int, list[str]] = {}
    for step, takes in zip(one.steps, one.takes, strict=True):
        tokens.setdefault(step.entry, []).extend(take.token for take in takes if not take.things)
    return [
        Lacking(group.places[index], group.entries[index].exercise, tuple(dict.fromkeys(lacking)))
        for index, lacking in tokens.items()
        if lacking
    ]


def needs_nothing(group: Group, one: Timed) -> bool:
    """True for drills of the warm-up that take nothing counted."""
    return group.part == "warm-up" and not any(one.takes)


def joined(group: Group, one: Timed, after: Group, then: Timed) -> tuple[Group, Timed]:
    """Two groups of drills as one, with the change between them."""
    first, change, entries = len(one.steps), whole(DRILL_CHANGE_S), len(group.entries)
    at = max(step.at_s + step.work_s for step in one.steps) + change
    steps = tuple(replace(step, entry=step.entry + entries, at_s=step.at_s + at) for step in then.steps)
    rests = tuple(replace(rest, before=rest.before + first, after=rest.after + first) for rest in then.rests)
    both = replace(group, entries=(*group.entries, *after.entries), places=(*group.places, *after.places))
    link = Rest(first - 1, first, change, None)
    return both, Timed((*one.steps, *steps), (*one.rests, link, *rests), (*one.takes, *then.takes))


def attendee(
    name: str,
    session: Session,
    place: Place,
    catalogue: Catalogue,
    turns: Collection[str] = USUAL_TURNS,
    arrives_s: int = 0,
    easy: Sequence[Exercise] = (),
) -> tuple[Attendee, tuple[Lacking, ...]]:
    """Today's session as visits on the floor of a place, and the entries that the place cannot give.

    A group with such an entry is left out whole: nothing is exchanged without asking.
    easy : what the easy minutes of the warm-up may also be, the gentlest first
    """
    units = floor_stock(place, turns)[1]
    groups: list[Group] = []
    made: list[Timed] = []
    lacking: list[Lacking] = []
    for group in groups_in(session):
        if not any(one.sets for one in group.entries):
            continue
        one = timed(group, place, catalogue)
        if group.part == "warm-up" and is_easy_start(group.entries[0], catalogue) and len(one.takes) == 1:
            takes, done_as = with_other_ways(one.takes[0], group.entries[0], easy, place)
            one = replace(one, takes=(takes,), done_as=done_as)
        if without := lacks_of(group, one):
            lacking += without
        elif groups and needs_nothing(groups[-1], made[-1]) and needs_nothing(group, one):
            groups[-1], made[-1] = joined(groups[-1], made[-1], group, one)
        else:
            groups.append(group)
            made.append(one)
    visits = tuple(
        Visit(
            tuple(entry.exercise for entry in group.entries),
            group.places,
            group.part,
            rank,
            one.steps,
            one.rests,
            with_units(uses_of(group, one, turns), units),
            one.done_as,
        )
        for group, one, rank in zip(groups, made, ranked(groups), strict=True)
    )
    gaps = {
        (i, j): gap_s(groups[i], groups[j], catalogue)
        for i in range(len(visits))
        for j in range(len(visits))
        if i != j and visits[i].rank <= visits[j].rank
    }
    ready = tuple(whole(DRILL_CHANGE_S) if group.part == "warm-up" else SET_UP_S for group in groups)
    cap = None if session.minutes_cap is None else whole(session.minutes_cap * 60)
    return Attendee(name, visits, gaps, ready, arrives_s, cap), tuple(lacking)
