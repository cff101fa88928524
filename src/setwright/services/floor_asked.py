"""What a coach asks of an hour on the floor, in words and files, read and checked: who comes, where, what is broken."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from setwright.catalogue.equipment import in_words
from setwright.catalogue.names import nearest
from setwright.faults import Fault, InputFaults, NoPlan
from setwright.people.intake import read_place
from setwright.people.place import Place
from setwright.plan.block import Block
from setwright.plan.block_days import session_on
from setwright.plan.floor.asks import USUAL_TURNS, floor_stock, takes_turns_at
from setwright.plan.floor.hour import Comer, entries_of, why_barred, with_exchange
from setwright.publish.floor_words import thing_words
from setwright.services.files import read_text
from setwright.services.gather import catalogue, expect, load_logs
from setwright.services.rest_days import rest_fault
from setwright.strength.logged import Log

MOST_PEOPLE, MOST_MINUTES = 40, 600.0


@dataclass(frozen=True)
class Asked:
    """What a coach asks for, in the words of the command line.

    late : ``NAME=MINUTES``; absent : names; broken : equipment; held : stations for one at a time
    exchanges : ``NAME:EXERCISE=OTHER``; again : the timetable that was followed; from_minute : of the hour, with it
    logs : with it, ``NAME=FILE`` or a file beside that person's block: what is logged is done, what is not is to do
    """

    blocks: tuple[Path, ...]
    on: date
    place: Path | None = None
    late: tuple[str, ...] = ()
    absent: tuple[str, ...] = ()
    broken: tuple[str, ...] = ()
    held: tuple[str, ...] = ()
    exchanges: tuple[str, ...] = ()
    again: Path | None = None
    from_minute: float | None = None
    with_costs: bool = True
    logs: tuple[str, ...] = ()


def the_place(asked: Asked, blocks: Sequence[Block]) -> Place:
    """The place of a file; without one, the place that all of the day's sessions name."""
    if asked.place is not None:
        text = read_text(asked.place)
        expect("place", text, asked.place)
        return read_place(text, str(asked.place), catalogue())
    named = {}
    for block in blocks:
        found = session_on(block, asked.on)
        places = {one.id: one for one in block.inputs.places}
        if found is not None and found[1].place in places:
            named[found[1].place] = places[found[1].place]
    if len(named) != 1:
        wrong = "no place" if not named else f"several places: {', '.join(sorted(named))}"
        raise InputFaults([Fault("--place", "", wrong, "one place file for the whole group")])
    return next(iter(named.values()))


def who_comes(asked: Asked, blocks: Sequence[Block], faults: list[Fault]) -> list[Comer]:
    """Everybody with a session that day, numbered by the order of the files; a fault for each where nobody has one."""
    found: list[Comer] = []
    resting: list[Fault] = []
    if len(blocks) > MOST_PEOPLE:
        faults.append(Fault("BLOCK", "", f"{len(blocks)} people", f"at most {MOST_PEOPLE}"))
    for number, (path, block) in enumerate(zip(asked.blocks, blocks, strict=True), start=1):
        that_day = session_on(block, asked.on)
        name = block.inputs.trainee.name
        if that_day is None:
            resting.append(rest_fault(path, block, asked.on))
        elif any(one.name == name for one in found):
            faults.append(Fault(str(path), "", f"{name} twice", "one block a person, each with a name of their own"))
        else:
            found.append(Comer(name, number, block.inputs.trainee, that_day[1]))
    if not found:
        faults += resting
    return found


def named(text: str, comers: Sequence[Comer], option: str, faults: list[Fault]) -> Comer | None:
    """The one whom a name or number means; a fault where it is nobody."""
    word = text.strip()
    for one in comers:
        if word.lower() == one.name.lower() or word == str(one.number):
            return one
    first = [one for one in comers if one.name.lower().split()[0] == word.lower()]
    if len(first) == 1:
        return first[0]
    near = nearest(word, [one.name for one in comers], 3)
    hint = f"Nearest: {', '.join(near)}." if near else ""
    faults.append(Fault(option, "", repr(word), f"who comes: {', '.join(one.name for one in comers)}", hint))
    return None


def names_of(texts: Sequence[str], comers: Sequence[Comer], option: str, faults: list[Fault]) -> tuple[str, ...]:
    """The names that some words mean."""
    found = [named(text, comers, option, faults) for text in texts]
    return tuple(dict.fromkeys(one.name for one in found if one is not None))


def with_lates(asked: Asked, comers: Sequence[Comer], old: dict[str, Any] | None, faults: list[Fault]) -> list[Comer]:
    """Everybody with their arrival: at the start, as late as said, or now for who drops in."""
    arrives: dict[str, float] = {}
    if old is not None:
        known = {one["name"]: one["arrives_s"] / 60.0 for one in old["people"]}
        arrives = {one.name: known.get(one.name, asked.from_minute or 0.0) for one in comers}
    for text in asked.late:
        name, equals, value = text.rpartition("=")
        try:
            minutes = float(value) if equals else -1.0
        except ValueError:
            minutes = -1.0
        if not 0.0 <= minutes <= MOST_MINUTES:
            faults.append(Fault("--late", "", repr(text), f"NAME=MINUTES, 0 to {MOST_MINUTES:g}, like Dunja=10"))
        elif (one := named(name, comers, "--late", faults)) is not None:
            arrives[one.name] = minutes
    return [replace(one, arrives_s=round(60 * arrives.get(one.name, 0.0))) for one in comers]


def with_exchanges(
    asked: Asked, comers: Sequence[Comer], place: Place, faults: list[Fault], old: dict[str, Any] | None
) -> list[Comer]:
    """Everybody with the exchanges that the coach accepted; each is held against every restriction again."""
    found = list(comers)
    earlier = [] if old is None else [f"{one['name']}:{one['exercise']}={one['instead']}" for one in old["exchanged"]]
    for text in [*earlier, *asked.exchanges]:
        who, colon, what = text.partition(":")
        slug, equals, other = what.partition("=")
        if not (colon and equals):
            faults.append(Fault("--exchange", "", repr(text), "NAME:EXERCISE=OTHER, like Dunja:back_squat=leg_press"))
            continue
        one = named(who, found, "--exchange", faults)
        if one is None:
            continue
        entries = entries_of(one.session)
        slugs = [entry.exercise for entry in entries]
        if slug not in slugs:
            faults.append(Fault("--exchange", "", repr(slug), f"an exercise of {one.name} today: {', '.join(slugs)}"))
        elif other not in catalogue():
            near = ", ".join(nearest(other, list(catalogue()), 3))
            faults.append(Fault("--exchange", "", repr(other), "an exercise of the catalogue", f"Nearest: {near}."))
        elif other == slug and not entries[slugs.index(slug)].superset and (slug, slug) not in one.exchanged:
            faults.append(Fault("--exchange", "", repr(text), "another exercise; itself only to leave a superset"))
        elif other != slug and (why := why_barred(other, one, place, catalogue(), asked.on)):
            raise NoPlan([f"{one.name}, {other} for {slug}: {why}"])
        else:
            session = with_exchange(one.session, slugs.index(slug), other)
            done = (*one.exchanged, (slug, other))
            found[found.index(one)] = replace(one, session=session, exchanged=done)
    return found


def logs_of(asked: Asked, comers: Sequence[Comer], faults: list[Fault]) -> dict[str, Log]:
    """The logs by name. A file without a name is of the one whose block lies in the same folder."""
    if asked.logs and asked.again is None:
        hint = "A log says what of a timetable is done."
        faults.append(Fault("--log", "", "no timetable to go on from", "--again FILE --from-minute M", hint))
        return {}
    files: dict[str, list[Path]] = {}
    for text in asked.logs:
        name, equals, file = text.partition("=")
        path = Path(file if equals else text)
        beside = [one for one in comers if asked.blocks[one.number - 1].resolve().parent == path.resolve().parent]
        if equals:
            one = named(name, comers, "--log", faults)
        elif len(beside) == 1:
            one = beside[0]
        else:
            one = None
            faults.append(Fault("--log", "", repr(text), "NAME=FILE, like Dunja=dunja/log.csv"))
        if one is not None:
            files.setdefault(one.name, []).append(path)
    found = {name: load_logs(paths) for name, paths in files.items()}
    for one in comers:
        if one.name in found and not belongs(found[one.name], one, asked.on):
            file = ", ".join(str(path) for path in files[one.name])
            hint = f"Is it the log of {one.name}?"
            faults.append(Fault(file, "exercise", f"no set of {one.name}'s session of {asked.on}", "its log", hint))
    return found


def belongs(log: Log, comer: Comer, on: date) -> bool:
    """False where a log has sets of the day, and none of them is of the session."""
    today = {one.exercise for one in log.sets if one.date == on}
    return not today or bool(today & {entry.exercise for entry in entries_of(comer.session)})


def turns_left(held: Sequence[str], old: dict[str, Any] | None, faults: list[Fault]) -> frozenset[str]:
    """Where people take turns in the rests: the usual stations without those that the coach wants held."""
    wanted = [*(old["held"] if old else []), *held]
    for token in held:
        if not takes_turns_at(token, USUAL_TURNS):
            faults.append(
                Fault("--hold", "", repr(token), f"where people take turns: {', '.join(sorted(USUAL_TURNS))}")
            )
    taken = set(USUAL_TURNS)
    for token in wanted:
        taken -= {token, "barbell" if token == "rack" else token}
    return frozenset(taken)


def broken_things(asked: Asked, place: Place, turns: frozenset[str], faults: list[Fault]) -> list[str]:
    """The things that are broken, by key: a token, a key with its number, or its words."""
    stock, units = floor_stock(place, turns)
    by_words = {thing_words(thing).lower(): thing for thing in stock}
    found = []
    for text in asked.broken:
        word = text.strip()
        thing = word if word in stock else by_words.get(word.lower(), "")
        if not thing and (word in units or word.lower() in {in_words(one) for one in units}):
            one = word if word in units else next(one for one in units if in_words(one) == word.lower())
            allowed = " or ".join(repr(thing_words(unit)) for unit in units[one])
            faults.append(Fault("--broken", "", repr(word), f"which of them: {allowed}"))
        elif not thing:
            near = nearest(word, [*by_words, *stock], 4)
            hint = f"Nearest: {', '.join(near)}." if near else ""
            faults.append(Fault("--broken", "", repr(word), f"what {place.name} has", hint))
        else:
            found.append(thing)
    return found
