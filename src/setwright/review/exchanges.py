"""A lift that stands still although its dose was varied, or that is left out again and again: another, or it stays.

Both reasons are said. What the brief or a goal names stays, and so does every line of a written block; the coach is
told what could stand there. What is exchanged is exchanged in all weeks that have not begun.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from setwright.catalogue.exercise import PartName
from setwright.plan.block import Change, Entry, Session, Week
from setwright.plan.compose import compose_entry
from setwright.plan.restrict import StandIn, Swap, in_words, open_stand_ins, swapped_template
from setwright.review.proposing import Situation, entries_of, exchanged, fits, most_minutes
from setwright.review.signs import LiftSigns

LEAST_WEEKS, LEAST_DOSES = 4, 2  # weeks of the lift and different doses in them (common practice, no published source)
SKIPPED = 3  # sessions in a row
LIKE_ENOUGH = 0.4


@dataclass(frozen=True)
class Exchanged:
    """The weeks after all exchanges, the rows, and what stays with both reasons."""

    weeks: tuple[Week, ...]
    changes: tuple[Change, ...]
    notes: tuple[str, ...]


def exchanged_lifts(situation: Situation) -> Exchanged:
    """Every lift that asks for it, exchanged by its best alternative, or kept with both reasons."""
    weeks, changes, notes = situation.block.weeks, [], []
    for slug, lift in sorted(situation.signs.lifts.items()):
        told = why_exchange(lift, situation)
        if not told or not any(is_there(week, slug) for week in weeks if week.number >= situation.first):
            continue
        stays = why_it_stays(slug, situation)
        best = None if stays else best_alternative(slug, weeks, situation)
        if best is not None:
            made = with_exchange(slug, best, told, weeks, situation)
            if made is not None:
                weeks, rows = made
                changes += rows
                continue
        other = best or best_alternative(slug, weeks, situation)
        notes.append(stay_note(slug, told, stays, other, situation))
    return Exchanged(weeks, tuple(changes), tuple(notes))


def why_exchange(lift: LiftSigns, situation: Situation) -> str:
    """Why a lift should be exchanged, or an empty text."""
    if lift.skipped >= SKIPPED:
        return f"left out in the last {lift.skipped} sessions that were done"
    weeks = [one for one in lift.weeks if one.sets_done]
    if lift.stands_still and len(weeks) >= LEAST_WEEKS and lift.doses >= LEAST_DOSES:
        sure = round(100 * (1 - (lift.gained or 0.0)))
        return f"no gain over {len(weeks)} weeks ({sure} % sure), though its dose was varied ({lift.doses} doses)"
    return ""


def why_it_stays(slug: str, situation: Situation) -> str:
    """Why a lift stays though it asks for an exchange, or an empty text."""
    if situation.is_sore(slug):
        return "something hurts that it loads, and that comes first"
    if slug in situation.pillars():
        return "the brief or a goal names it, and a lift is learnt by doing it"
    if situation.block.door == "write":
        return "you wrote it, and what you write stays"
    return ""


def is_there(week: Week, slug: str) -> bool:
    """True where a week holds an exercise among its loaded entries, on no step of a progression."""
    return any(
        entry.exercise == slug and entry.progression is None
        for session in week.sessions
        for _, entry in entries_of(session)
    )


def best_alternative(slug: str, weeks: tuple[Week, ...], situation: Situation) -> StandIn | None:
    """The nearest open stand-in that every place of the lift has, on no day of it already; None where none is."""
    context = situation.context
    exercise = context.catalogue.get(slug)
    found: StandIn | None = None
    open_everywhere: set[str] | None = None
    for session in (s for week in weeks if week.number >= situation.first for s in week.sessions):
        rows = entries_of(session)
        part = next((part for part, entry in rows if entry.exercise == slug), None)
        if part is None:
            continue
        taken = {entry.exercise for _, entry in rows}
        place = context.places[session.place]
        options = [
            one
            for one in open_stand_ins(exercise, part, place, context, taken, None)
            if one.score >= LIKE_ENOUGH
            and context.catalogue.get(one.exercise).base != exercise.base
            and not situation.is_sore(one.exercise)
        ]
        names = {one.exercise for one in options}
        open_everywhere = names if open_everywhere is None else open_everywhere & names
        here = [one for one in options if one.exercise in open_everywhere]
        found = max(here, key=lambda one: (one.score, one.exercise), default=None)
        if found is None:
            return None
    return found


def with_exchange(
    slug: str, best: StandIn, told: str, weeks: tuple[Week, ...], situation: Situation
) -> tuple[tuple[Week, ...], list[Change]] | None:
    """The weeks with a lift exchanged wherever it has not begun, and the rows; None where a day has no time for it."""
    other, old = situation.name(best.exercise), situation.name(slug)
    why = (
        f"{told[:1].upper()}{told[1:]}: {other} keeps {best.kept}, loses {best.lost}. "
        f"To stay would keep the skill of {old} and its history of loads."
    )
    swap = Swap(best.exercise, dict(best.dials), None, why, best.eased)
    made, changes = [], []
    for week in weeks:
        if week.number < situation.first:
            made.append(week)
            continue
        sessions = []
        for session in week.sessions:
            new_session, rows = with_exchange_in(session, week, slug, swap, situation)
            if new_session is None:
                return None
            sessions.append(new_session)
            changes += [replace(one, why=why) for one in rows]
        made.append(replace(week, sessions=tuple(sessions)))
    return tuple(made), changes


def with_exchange_in(
    session: Session, week: Week, slug: str, swap: Swap, situation: Situation
) -> tuple[Session | None, list[Change]]:
    """One session with a lift exchanged, and its rows; None where it can't be dosed or has no time."""
    context, changes = situation.context, []
    cap = most_minutes(session)
    for part, entry in entries_of(session):
        if entry.exercise != slug or entry.progression is not None:
            continue
        new = composed(entry, part, swap, week, session, situation)
        if new is None:
            return None, []
        session = situation.timed(exchanged(session, part, entry, new))
        if not fits(session, cap):
            return None, []
        words = in_words(entry, context.catalogue), in_words(new, context.catalogue)
        changes.append(Change(week.number, session.day, situation.name(slug), *words, "", "the log and the estimate"))
    return session, changes


def composed(
    entry: Entry, part: PartName, swap: Swap, week: Week, session: Session, situation: Situation
) -> Entry | None:
    """The stand-in of an entry, dosed for the first time: as in any exchange."""
    made = swapped_template(entry, part, swap, week, situation.context)
    if made is None:
        return None
    with_ramp = any(one.kind == "ramp" for one in entry.sets) and swap.eased != "light"
    return compose_entry(made, 0, situation.context.places[session.place], situation.context, with_ramp)


def stay_note(slug: str, told: str, stays: str, other: StandIn | None, situation: Situation) -> str:
    """Why a lift stays, beside why it could go."""
    name = situation.name(slug)
    because = stays or ("no day has the time for what could stand there" if other else "nothing open is like enough")
    instead = f" {situation.name(other.exercise)[:1].upper()}{situation.name(other.exercise)[1:]}" if other else ""
    could = f"{instead} would keep {other.kept}, lose {other.lost}." if other else ""
    return f"{name[:1].upper()}{name[1:]}: {told}. It stays: {because}.{could}"
