"""Fillers of a session that changed, judged as those of a new one are: by what stands before, around and after them.

A filler stays while it is open and leaves its new neighbours alone; else the rest gets another one, or none. Only what
the change brought is judged: a rest whose filler and neighbours are as they were stays as it was.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from setwright.catalogue.exercise import Exercise
from setwright.plan.block import Entry, Filler, Session
from setwright.plan.compose import Context, filler_pool
from setwright.plan.filler import Around, Pool, around_of, disturbs_nothing, filler_for

IN_THE_WAY = "The old one is in the way of what stands around it now."


@dataclass(frozen=True)
class Refilled:
    """A rest whose filler changed: the exercise of the entry, both fillers, and whether the old one is closed now."""

    exercise: str
    old: Filler
    new: Filler | None
    was_closed: bool


def refilled(
    session: Session,
    before: Session,
    context: Context,
    may_stay: Callable[[str], bool],
    barred: Iterable[str] = (),
) -> tuple[Session, list[Refilled]]:
    """The session with fillers that disturb nothing of it, and each one that changed on an entry that stayed.

    before : the session that it was made from; an entry it did not hold gets its filler chosen anew, without a row
    may_stay : whether an exercise is open in the rests of this session as it stands; barred : slugs never chosen
    The minutes stay: work in the rests takes none.
    """
    known = context.catalogue
    closed = frozenset(barred)
    pool = filler_pool(context.places[session.place], context)
    pool = Pool(tuple(one for one in pool.open_ones if one[0].slug not in closed))
    old = around_fillers(before, context)
    rows: list[Refilled] = []
    made: dict[tuple[str, int], Entry] = {}
    lifts = lifts_of(session)
    day = [known.get(entry.exercise) for _, _, entry in lifts]
    used: list[str] = []
    for number, (part, spot, entry) in enumerate(lifts):
        now = entry.filler
        if now is None:
            continue
        around = around_of(day, number, used, context.brief.emphasis)
        here = old.get((part, entry.exercise))
        is_open = may_stay(now.exercise)
        if (
            here is None
            or here[0] != now
            or not is_open
            or newly_in_the_way(day[number], now, here[1], around, context)
        ):
            now = another(day[number], entry, around, pool, context, session.place)
            if now != entry.filler:
                made[part, spot] = replace(entry, filler=now)
            if here is not None and here[0] is not None and now != here[0]:
                rows.append(Refilled(entry.exercise, here[0], now, not is_open))
        used += [now.exercise] if now else []
    return (with_entries(session, made) if made else session), rows


def lifts_of(session: Session) -> list[tuple[str, int, Entry]]:
    """All entries after the warm-up in the order done, with their part and their spot in it."""
    return [
        (part.part, spot, entry)
        for part in session.parts
        if part.part != "warm-up"
        for spot, entry in enumerate(part.entries)
    ]


def around_fillers(session: Session, context: Context) -> dict[tuple[str, str], tuple[Filler | None, Around]]:
    """For each entry of a session, by part and exercise: its filler, and what stands around its rests."""
    lifts = lifts_of(session)
    day = [context.catalogue.get(entry.exercise) for _, _, entry in lifts]
    return {
        (part, entry.exercise): (entry.filler, around_of(day, number)) for number, (part, _, entry) in enumerate(lifts)
    }


def newly_in_the_way(lift: Exercise, filler: Filler, before: Around, now: Around, context: Context) -> bool:
    """True when a filler is in the way of what stands around it now, and was not before the change."""
    return is_in_the_way(lift, filler, now, context) and not is_in_the_way(lift, filler, before, context)


def is_in_the_way(lift: Exercise, filler: Filler, around: Around, context: Context) -> bool:
    """True when a filler disturbs this lift or its neighbours, or has its own place on the day."""
    other = context.catalogue.get(filler.exercise)
    if any(other.base == one.base for one in around.day):
        return True
    return not disturbs_nothing(lift, other, context.catalogue, around)


def another(lift: Exercise, entry: Entry, around: Around, pool: Pool, context: Context, place: str) -> Filler | None:
    """The filler that a new session would get here, or None."""
    rests = [one.rest_s for one in entry.sets if one.kind != "ramp"] or [one.rest_s for one in entry.sets]
    if not rests or entry.superset:
        return None
    trainee = context.trainee
    tokens = context.tokens(place)
    return filler_for(lift, min(rests), context.offered(), trainee.restrictions, tokens, trainee, around, pool)


def with_entries(session: Session, made: dict[tuple[str, int], Entry]) -> Session:
    """The session with some entries exchanged, by part and spot."""
    parts = tuple(
        replace(part, entries=tuple(made.get((part.part, spot), one) for spot, one in enumerate(part.entries)))
        for part in session.parts
    )
    return replace(session, parts=parts)
