"""The whole hour as one value, for faces: who attends, the timetable, how good it is, what scarcity costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.store import Catalogue
from setwright.people.place import Place
from setwright.people.trainee import Trainee
from setwright.plan.alternatives import alternatives
from setwright.plan.block import Alternative, Entry, Session
from setwright.plan.floor.again import Moved
from setwright.plan.floor.asks import attendee
from setwright.plan.floor.bounds import Bounds
from setwright.plan.floor.easy import easy_starts
from setwright.plan.floor.scarcity import Exchange, Offer, OneMore
from setwright.plan.floor.solve import Solved
from setwright.plan.floor.visit import Floor, Visit
from setwright.plan.gates import judge

OFFERED = 2  # stand-ins of an entry that are tried


@dataclass(frozen=True)
class Comer:
    """One who comes today: the session, whose block it is of, and when they arrive, s.

    ``exchanged``: the exchanges that the coach accepted for today, as (from, to).
    """

    name: str
    number: int
    trainee: Trainee
    session: Session
    arrives_s: int = 0
    exchanged: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class LeftOut:
    """An entry that is not in the timetable: how many of its sets, why, and what the sheet offers instead."""

    name: str
    entry: int
    exercise: str
    sets: int
    why: str
    instead: tuple[Alternative, ...] = ()


@dataclass(frozen=True)
class Hour:
    """An hour on a floor.

    Time 0 is when the hour begins. ``alone_end_s``: the end where nothing is ever short.
    ``over``: (name, seconds beyond the minutes of the session).
    """

    on: date
    place: Place
    comers: tuple[Comer, ...]
    floor: Floor
    solved: Solved
    bounds: Bounds
    held: tuple[str, ...]
    broken: tuple[str, ...]
    absent: tuple[str, ...]
    left_out: tuple[LeftOut, ...]
    alone_end_s: int
    more: tuple[OneMore, ...]
    exchange: Exchange | None
    moved: tuple[Moved, ...] | None = None


def entries_of(session: Session) -> list[Entry]:
    """Every entry through all parts, in the order of the sheet."""
    return [entry for part in session.parts for entry in part.entries]


def with_exchange(session: Session, at: int, slug: str) -> Session:
    """The session with another exercise in the place of one entry: the same sets and rests, no load.

    An exercise in its own place leaves its superset: both halves stay as they are, each done on its own.
    """
    parts, number = [], 0
    for part in session.parts:
        made = []
        for entry in part.entries:
            if number == at and entry.exercise == slug:
                entry = replace(entry, superset=None)
            elif number == at:
                sets = tuple(
                    replace(one, load_kg=None, load_range_kg=None, pieces="", chance=None, inside=())
                    for one in entry.sets
                )
                entry = replace(entry, exercise=slug, sets=sets, dials={}, alternatives=(), filler=None)
            made.append(entry)
            number += 1
        parts.append(replace(part, entries=tuple(made)))
    return replace(session, parts=tuple(parts))


def why_barred(slug: str, comer: Comer, place: Place, catalogue: Catalogue, on: date | None = None) -> str:
    """Why an exercise can't stand in for this trainee here, or nothing: every restriction is asked again."""
    verdict = judge(
        catalogue.get(slug), comer.trainee.restrictions, expand_tokens(place.tokens()), comer.trainee, on=on
    )
    if not verdict.allowed:
        return " ".join(verdict.reasons)
    return "It is open only with changed dials: change the block first." if verdict.dials else ""


def stand_ins(entry: Entry, comer: Comer, place: Place, catalogue: Catalogue, on: date | None) -> list[Alternative]:
    """What may stand in for an entry: the alternatives of its sheet; where it names none, the most alike that are open.

    Whatever crosses a restriction is left out.
    """
    found = list(entry.alternatives)
    if not found:
        tokens = expand_tokens(place.tokens())
        for one in alternatives(entry.exercise, catalogue, tokens, comer.trainee.restrictions, comer.trainee, n=6):
            found.append(Alternative(one.exercise, one.kept, one.lost))
    return [
        one for one in found if one.exercise in catalogue and not why_barred(one.exercise, comer, place, catalogue, on)
    ]


def offers(
    floor: Floor, comers: Sequence[Comer], place: Place, catalogue: Catalogue, turns: frozenset[str], on: date
) -> list[Offer]:
    """Every exchange worth trying: entries at what others want too, and stand-ins that need something else."""
    wanted: dict[str, set[int]] = {}
    for a, person in enumerate(floor.attendees):
        for visit in person.visits:
            for use in visit.uses:
                if all(thing in floor.stock for thing in use.things):  # else it never waits
                    for thing in use.things:
                        wanted.setdefault(thing, set()).add(a)
    crowded = {thing for thing, people in wanted.items() if len(people) > floor.stock[thing]}
    found = []
    for a, comer in enumerate(comers):
        for visit in floor.attendees[a].visits:
            if any(set(use.things) <= crowded for use in visit.uses):
                found += offers_at(a, comer, visit, place, catalogue, turns, on)
    return found


def offers_at(
    a: int, comer: Comer, visit: Visit, place: Place, catalogue: Catalogue, turns: frozenset[str], on: date
) -> list[Offer]:
    """The exchanges of the entries of one visit."""
    found = []
    entries = entries_of(comer.session)
    for at in visit.entries:
        if entries[at].bout is not None and len(visit.exercises) > 1:
            continue
        for one in stand_ins(entries[at], comer, place, catalogue, on)[:OFFERED]:
            session = with_exchange(comer.session, at, one.exercise)
            easy = easy_starts(comer.trainee, place, catalogue)
            person, lacking = attendee(comer.name, session, place, catalogue, turns, comer.arrives_s, easy)
            if not lacking:
                found.append(Offer(a, at, entries[at].exercise, one.exercise, one.kept, one.lost, person))
    return found
