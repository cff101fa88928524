"""An hour on the floor in a coach's words: ready sentences and rows, for the terminal, the page and the sheet."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from setwright.catalogue.equipment import in_words
from setwright.catalogue.store import Catalogue
from setwright.plan.bout import Bout
from setwright.plan.floor.again import Moved
from setwright.plan.floor.bounds import soonest_s
from setwright.plan.floor.hour import Hour, entries_of
from setwright.plan.floor.scarcity import Exchange
from setwright.plan.floor.timetable import end_of, finish_of, over_s
from setwright.plan.floor.visit import Key, Visit
from setwright.publish.bout_words import bout_text
from setwright.publish.words import counted, date_text, name_of

WEIGHTS = ("plate ", "dumbbell ", "kettlebell ", "band ")
LATE_S = 180  # who starts later than that after coming is told when
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@dataclass(frozen=True)
class Line:
    """One visit: its letter in the picture, when, what, where; ``part`` for its colour. Times s."""

    letter: str
    from_s: int
    to_s: int
    what: str
    sets: str
    where: str
    part: str


@dataclass(frozen=True)
class PersonLines:
    """One trainee: how to call them, a sentence, and the visits in order."""

    label: str
    sentence: str
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class FloorReport:
    """Everything a coach reads, ready to be shown."""

    title: str
    subtitle: str
    lead: str
    facts: tuple[str, ...]
    people: tuple[PersonLines, ...]
    changes: tuple[str, ...]
    end_s: int
    from_s: int


def clock(seconds: int) -> str:
    """Minutes and seconds of the hour.

    >>> clock(754)
    '12:34'
    """
    return f"{seconds // 60}:{seconds % 60:02d}"


def thing_words(thing: str) -> str:
    """A thing as one would say it: ``machine:leg_press`` is "leg press", ``cable #2`` is "cable machine 2"."""
    kind, mark, number = thing.partition(" #")
    if mark:
        return f"{in_words(kind)} {number}"
    word, space, mass = thing.partition(" ")
    return f"{mass} {word}" if space and mass.endswith(" kg") else in_words(thing)


def length_words(seconds: int) -> str:
    """How long an hour takes: ``52 min``, ``2 h 28 min``."""
    hours, minutes = divmod(-(-seconds // 60), 60)
    return f"{hours} h {minutes} min" if hours else f"{minutes} min"


def minutes_words(seconds: int) -> str:
    """A length of time to half a minute: ``4 min``, ``1.5 min``."""
    return f"{round(seconds / 30) / 2:g} min"


def floor_report(hour: Hour, catalogue: Catalogue, by_number: bool = False) -> FloorReport:
    """The report of an hour, by names or by numbers."""
    numbers = {one.name: one.number for one in hour.comers}

    def label(name: str) -> str:
        return str(numbers[name]) if by_number else name

    here = [a for a, person in enumerate(hour.floor.attendees) if person.visits]
    since = f", from minute {hour.floor.now_s // 60} on" if hour.moved is not None else ""
    people = tuple(person_lines(hour, a, label(hour.floor.attendees[a].name), catalogue) for a in here)
    facts = [proof_words(hour, label), waiting_words(hour, label), *scarcity_words(hour, catalogue, label)]
    facts += believed_words(hour, label)
    facts += left_out_words(hour, catalogue, label) + over_words(hour, label)
    return FloorReport(
        f"{hour.place.name}: {counted(len(here), 'person', 'people')} on the floor",
        f"{date_text(hour.on)}{since}",
        f"Done {length_words(hour.solved.end_s)} after the start. Times are minutes and seconds from the start.",
        tuple(one for one in facts if one),
        people,
        tuple(change_words(hour, catalogue, label)),
        hour.solved.end_s,
        hour.floor.now_s,
    )


def first_names(names: Sequence[str]) -> list[str]:
    """First names, whole ones where two share the first.

    >>> first_names(["Ida Brunnhold", "Lea Tannfeld", "Lea Ohm", "4"])
    ['Ida', 'Lea Tannfeld', 'Lea Ohm', '4']
    """
    firsts = [(name.split() or [""])[0] for name in names]
    return [first if firsts.count(first) == 1 else name for first, name in zip(firsts, names, strict=True)]


def person_lines(hour: Hour, a: int, label: str, catalogue: Catalogue) -> PersonLines:
    """The visits of one trainee in the order they are done."""
    person, timetable = hour.floor.attendees[a], hour.solved.timetable
    keys = sorted(((a, v) for v in range(len(person.visits))), key=lambda key: timetable[key].starts[0])
    lines = tuple(line_of(hour, key, LETTERS[at % len(LETTERS)], catalogue) for at, key in enumerate(keys))
    end = finish_of(hour.floor, timetable, a)
    waits = max(0, end - soonest_s(hour.floor, a))
    comes = f"comes at {clock(person.arrives_s)}, " if person.arrives_s else ""
    if lines and lines[0].from_s - max(person.arrives_s, hour.floor.now_s) >= LATE_S:
        comes += f"starts at {clock(lines[0].from_s)}, "
    return PersonLines(label, f"{comes}done at {clock(end)}, waits {minutes_words(waits)} in all", lines)


def line_of(hour: Hour, key: Key, letter: str, catalogue: Catalogue) -> Line:
    """One visit as a line."""
    visit, placed = hour.floor.visit(key), hour.solved.timetable[key]
    done = [visit.exercise_at(entry, placed.things) for entry in range(len(visit.exercises))]
    names = [
        name_of(slug, catalogue) if slug == planned else easy_words(name_of(slug, catalogue))
        for slug, planned in zip(done, visit.exercises, strict=True)
    ]
    what = " + ".join(dict.fromkeys(names))
    bout = bout_of(hour, key)
    if bout is not None:
        what = f"{bout_text(bout, catalogue)}: {what}"
    return Line(
        letter,
        placed.starts[0],
        end_of(visit, placed.starts),
        what,
        sets_words(visit),
        where_words(hour, key),
        visit.part,
    )


def bout_of(hour: Hour, key: Key) -> Bout | None:
    """The bout of conditioning that a visit is, None for any other."""
    name, visit = hour.floor.attendees[key[0]].name, hour.floor.visit(key)
    comer = next((one for one in hour.comers if one.name == name), None)
    return None if comer is None else entries_of(comer.session)[visit.entries[0]].bout


def easy_words(name: str) -> str:
    """What is done in the place of easy minutes at a machine that is taken.

    >>> easy_words("rowing machine"), easy_words("easy stationary bike")
    ('easy rowing machine', 'easy stationary bike')
    """
    return name if name.startswith("easy ") else f"easy {name}"


def sets_words(visit: Visit) -> str:
    """How many sets, ramp sets apart: ``3 ramp + 4 sets``; of a superset each entry's; nothing for drills and bouts."""
    if visit.part == "warm-up" or visit.steps[0].kind == "bout":
        return ""
    by_entry: dict[str, list[int]] = {}
    for step in visit.steps:
        counts = by_entry.setdefault(visit.exercises[step.entry], [0, 0])
        counts[step.kind != "ramp"] += 1
    each = [f"{ramps} ramp + {work}" if ramps else str(work) for ramps, work in by_entry.values()]
    if len(each) > 1 and len(set(each)) == 1:
        return f"{each[0]} sets each"
    return f"{' and '.join(each)} {'set' if len(each) == 1 and each[0].split()[-1] == '1' else 'sets'}"


def where_words(hour: Hour, key: Key) -> str:
    """The stations of a visit; weights and bars only where there is nothing else."""
    turns = " (take turns)" if hour.floor.visit(key).takes_turns and is_shared(hour, key) else ""
    return station_words(hour, hour.solved.timetable[key].things) + turns


def station_words(hour: Hour, things: Sequence[str]) -> str:
    """The stations among some things; bars and weights only where there are none."""
    limited = [thing for thing in dict.fromkeys(things) if thing in hour.floor.stock]
    stations = [one for one in limited if not one.startswith(WEIGHTS) and " kg" not in one]
    shown = stations or [one for one in limited if " kg" in one and not one.startswith("plate ")]
    return ", ".join(thing_words(one) for one in shown)


def is_shared(hour: Hour, key: Key) -> bool:
    """True where somebody else has a set at the same single station between the first and the last of a visit."""
    mine, start = set(hour.solved.timetable[key].things), hour.solved.timetable[key].starts[0]
    end = end_of(hour.floor.visit(key), hour.solved.timetable[key].starts)
    return any(
        other[0] != key[0]
        and any(thing in mine and hour.floor.stock.get(thing) == 1 for thing in placed.things)
        and any(start <= at < end for at in placed.starts)
        for other, placed in hour.solved.timetable.items()
    )


def proof_words(hour: Hour, label: object) -> str:
    """What is known of the end, plainly."""
    solved = hour.solved
    if solved.end_s <= solved.bound_s:
        text = "No timetable ends earlier with this equipment."
    else:
        soonest = minutes_words(solved.bound_s)
        text = f"None can end before {soonest}; whether any ends sooner than this one is not known yet."
    if solved.fuse_blown:
        text += " The search was stopped by the clock: on another machine it may find another timetable."
    return text


def waiting_words(hour: Hour, label: object) -> str:
    """How long people wait."""
    waits = [
        (max(0, finish_of(hour.floor, hour.solved.timetable, a) - soonest_s(hour.floor, a)), one.name)
        for a, one in enumerate(hour.floor.attendees)
        if one.visits
    ]
    if not waits or max(waits)[0] < 30:
        return "Nobody waits."
    longest = max(waits, key=lambda one: one[0])
    mean = sum(one[0] for one in waits) // len(waits)
    return f"Waiting, longer rests included: {minutes_words(mean)} a head, {minutes_words(longest[0])} at most."


def scarcity_words(hour: Hour, catalogue: Catalogue, label: object) -> list[str]:
    """What scarcity costs, and the one exchange that would save most; asked for, never made."""
    called = label if callable(label) else str
    found = []
    cost = hour.solved.end_s - hour.alone_end_s
    if cost >= 30:
        found.append(f"With all equipment free the group would be done {minutes_words(cost)} earlier.")
    people = len(hour.floor.attendees)
    for one in [more for more in hour.more if more.saves_s >= 60 or more.waits_saved_s >= 60 * people][:2]:
        found.append(f"One more {thing_words(one.thing)} {saving_words(one.saves_s, one.waits_saved_s)}.")
    if hour.exchange is not None:
        found.append(f"{exchange_words(hour.exchange, catalogue, called)} Nothing is exchanged unless you say so.")
    return found


def exchange_words(one: Exchange, catalogue: Catalogue, called: Callable[[str], str]) -> str:
    """The one exchange that saves most, what it saves and what it loses."""
    loses = f" It loses {one.offer.lost}." if one.offer.lost and one.offer.lost != "little" else ""
    return (
        f"The one exchange that saves most: {called(one.offer.person.name)}, {name_of(one.offer.instead, catalogue)} "
        f"for {name_of(one.offer.exercise, catalogue)}, {saving_words(one.saves_s, one.waits_saved_s)}.{loses}"
    )


def saving_words(saves_s: int, waits_s: int) -> str:
    """What is saved at the end and in waiting."""
    pieces = []
    if saves_s >= 30:
        pieces.append(f"ends {minutes_words(saves_s)} earlier")
    if waits_s >= 30:
        pieces.append(f"saves {minutes_words(waits_s)} of waiting in all")
    return " and ".join(pieces) or "saves nothing"


def believed_words(hour: Hour, label: object) -> list[str]:
    """Of an hour that goes on: who has left, and of whom a log says what is done."""
    called = label if callable(label) else str
    if hour.moved is None:
        return []
    logged = [called(one.name) for one in hour.floor.attendees if one.is_logged]
    found = [f"Not there any more: {', '.join(called(one) for one in hour.absent)}."] if hour.absent else []
    if logged:
        found.append(f"What {', '.join(logged)} did is as it was logged or told; of others it is as it was planned.")
    return found


def left_out_words(hour: Hour, catalogue: Catalogue, label: object) -> list[str]:
    """What is not done because something is broken, with what the coach may ask for instead."""
    called = label if callable(label) else str
    found = []
    for one in hour.left_out:
        names = " or ".join(name_of(other.exercise, catalogue) for other in one.instead)
        instead = f" Could stand in: {names}." if names else " Nothing of the sheet can stand in."
        if [other.exercise for other in one.instead] == [one.exercise]:
            instead = " Could be done on its own."
        name = name_of(one.exercise, catalogue)
        found.append(f"{called(one.name)} misses {counted(one.sets, 'set')} of {name}: {one.why}.{instead}")
    return found


def over_words(hour: Hour, label: object) -> list[str]:
    """Who needs longer here than the minutes of the session."""
    called = label if callable(label) else str
    found = []
    for a, one in enumerate(hour.floor.attendees):
        finish = finish_of(hour.floor, hour.solved.timetable, a)
        if one.cap_s is not None and one.visits and over_s(one, finish) > 30:
            found.append((called(one.name), one.cap_s // 60, minutes_words(finish - one.arrives_s)))
    if len(found) < 2:
        return [f"{name} has {cap} min and needs {takes} here." for name, cap, takes in found]
    return [f"Longer than they have: {', '.join(f'{name} {takes} of {cap}' for name, cap, takes in found)}."]


def change_words(hour: Hour, catalogue: Catalogue, label: object) -> list[str]:
    """What is different from the timetable before, in the order of time; the drills of one warm-up are one."""
    called = label if callable(label) else str
    found, warming = [], set()
    for one in hour.moved or ():
        what = " + ".join(dict.fromkeys(name_of(slug, catalogue) for slug in one.visit.exercises))
        if one.visit.part == "warm-up":
            if one.name in warming:
                continue
            warming.add(one.name)
            what = "warm-up"
        found.append(f"{clock(one.to_s)} {called(one.name)}: {what} ({was_words(hour, one)})")
    return found


def was_words(hour: Hour, moved: Moved) -> str:
    """When something was planned before; where it is now, if only that is different."""
    if moved.from_s is None:
        return "new"
    if abs(moved.to_s - moved.from_s) >= 60:
        return f"was {clock(moved.from_s)}"
    where = station_words(hour, moved.things)
    return f"now at {where}" if where else f"was {clock(moved.from_s)}"
