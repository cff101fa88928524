"""Plates are in one place at a time: a superset whose loads would need the same ones twice is none.

Which plates a load takes is known only once it is dosed, so pairs are first made without asking, and parted here.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from setwright.catalogue.store import Catalogue
from setwright.dose.implements import loads_in
from setwright.people.place import Place
from setwright.plan.block import Entry, Week
from setwright.plan.compose import Context, compose_weeks
from setwright.plan.template import Template, TemplateEntry, TemplateSession

PAIRED_NOTE = re.compile(r" ?Same-muscle superset:[^.]*\.")


def plates_taken(entry: Entry, place: Place, catalogue: Catalogue) -> Counter[float]:
    """How many plates of each mass (kg) an entry holds at once at most, in its working sets."""
    exercise = catalogue.get(entry.exercise)
    most: Counter[float] = Counter()
    for pieces in dict.fromkeys(one.pieces for one in entry.working_sets):
        known = {load.pieces: load for load in loads_in(place, exercise, pieces)}
        if pieces in known:
            most |= Counter(known[pieces].plates_kg)
    return most


def are_plates_short(entries: Sequence[Entry], place: Place, catalogue: Catalogue) -> bool:
    """True when entries done in turn would take more plates of a mass than the place has."""
    taken: Counter[float] = Counter()
    for entry in entries:
        taken += plates_taken(entry, place, catalogue)
    owned: Counter[float] = Counter()
    for piece in place.plates:
        owned[piece.mass_kg] += piece.count
    return any(count > owned[mass] for mass, count in taken.items())


def dosed(template: Template, context: Context) -> tuple[Template, tuple[Week, ...]]:
    """A template with its weeks; supersets that are short of plates in some week are parted in all of them."""
    weeks = compose_weeks(template, context)
    short = supersets_short_of_plates(weeks, context)
    if not short:
        return template, weeks
    sessions = tuple(
        replace(session, entries=tuple(parted(one, session, short) for one in session.entries))
        for session in template.sessions
    )
    template = replace(template, sessions=sessions)
    return template, compose_weeks(template, context)


def supersets_short_of_plates(weeks: Sequence[Week], context: Context) -> set[tuple[str, str]]:
    """(day, letter) of every superset of some weeks that is short of plates in one of them."""
    found: set[tuple[str, str]] = set()
    for week in weeks:
        for session in week.sessions:
            groups: dict[str, list[Entry]] = {}
            for part in session.parts:
                for entry in part.entries:
                    if entry.superset:
                        groups.setdefault(entry.superset, []).append(entry)
            for letter, entries in groups.items():
                if are_plates_short(entries, context.places[session.place], context.catalogue):
                    found.add((session.day, letter))
    return found


def parted(entry: TemplateEntry, session: TemplateSession, short: set[tuple[str, str]]) -> TemplateEntry:
    """An entry on its own where its superset is short of plates, without the sentence that spoke of one."""
    if entry.superset is None or (session.day, entry.superset) not in short:
        return entry
    return replace(entry, superset=None, why=PAIRED_NOTE.sub("", entry.why))
