"""A session that was missed this week: moved to a free day, else its goal lifts spread, else dropped, and why.

A free day is one that the trainee file names, later in the week, without a session, whose neighbours are no hard days
for the same muscles. A week that is over catches nothing up.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from setwright.people.trainee import DAY_NAMES, DAYS, Day
from setwright.plan.arrange import PART_ORDER
from setwright.plan.block import Block, Change, Entry, Session, Week
from setwright.plan.block_days import session_date, week_start
from setwright.plan.gates import judge
from setwright.plan.reshape_options import built_at, with_sets
from setwright.plan.restrict import in_words
from setwright.plan.rules.rest_and_order import HARD_DAY_SETS
from setwright.plan.rules.view import View
from setwright.review.proposing import Situation, entries_of, fits, most_minutes, with_added
from setwright.review.volume import attendance
from setwright.strength.logged import Log

LEAST_SETS = 1


@dataclass(frozen=True)
class Caught:
    """The week that runs after what was missed in it, the rows, what is said of the rest, reasons of whole sessions."""

    week: Week
    changes: tuple[Change, ...]
    notes: tuple[str, ...]
    whys: frozenset[str]


def caught_up(situation: Situation, log: Log) -> Caught | None:
    """What becomes of sessions missed in the week that runs; None where none was."""
    week = running_week(situation)
    if week is None:
        return None
    everyone, _ = attendance(situation.block, week, log)
    missed = [one.session for one in everyone if not one.is_done and one.date < situation.today]
    left = [one.session.day for one in everyone if not one.is_done and one.date >= situation.today]
    changes: list[Change] = []
    notes: list[str] = []
    whys: set[str] = set()
    for session in missed:
        moved = None if any_sore(session, situation) else moved_to_a_free_day(week, session, situation)
        if moved is not None:
            week, rows = moved
            changes += rows
            whys.add(rows[0].why)
            continue
        week, rows = spread(week, session, left, situation)
        changes += rows
        if not rows:
            notes.append(dropped_note(week, session, left, situation))
    return Caught(week, tuple(changes), tuple(notes), frozenset(whys)) if missed else None


def any_sore(session: Session, situation: Situation) -> bool:
    """True where a session loads a place that hurts more than is allowed."""
    return any(situation.is_sore(entry.exercise) for _, entry in entries_of(session))


def running_week(situation: Situation) -> Week | None:
    """The week that has begun and is not over; None between blocks."""
    today = situation.today
    return next(
        (one for one in situation.block.weeks if 0 <= (today - week_start(situation.block, one.number)).days < 7), None
    )


def moved_to_a_free_day(week: Week, session: Session, situation: Situation) -> tuple[Week, list[Change]] | None:
    """The week with a missed session on the first free later day, and the rows; None where no day is free."""
    taken = {one.day for one in week.sessions}
    for day in situation.context.trainee.days:
        when = session_date(situation.block, week.number, day.day)
        if day.day in taken or when < situation.today or day.place not in situation.context.places:
            continue
        there_are = min(day.minutes, situation.context.brief.minutes)
        moved = at_place(replace(session, day=day.day, minutes_cap=there_are), day.place, situation)
        if moved is None or not fits(moved, there_are):
            continue
        sessions = [one for one in week.sessions if one is not session]
        sessions = sorted([*sessions, moved], key=lambda one: DAYS.index(one.day))
        made = replace(week, sessions=tuple(sessions))
        if is_beside_a_hard_day(made, day.day, situation):
            continue
        was, to = DAY_NAMES[session.day], DAY_NAMES[day.day]
        why = f"{was} was missed; {to} is free, long enough, and no neighbour of a hard day for the same muscles."
        days = [", ".join(one.day for one in some.sessions) for some in (week, made)]
        evidence = f"nothing logged for {session_date(situation.block, week.number, session.day).isoformat()}"
        return made, [
            Change(week.number, "", "the days of the week", days[0], days[1], why, evidence),
            Change(week.number, session.day, "the session", was, f"on {to}", why, evidence),
            Change(week.number, day.day, "the session", "free", f"{was}'s session", why, evidence),
        ]
    return None


def at_place(session: Session, place_id: str, situation: Situation) -> Session | None:
    """A session in a place: the same one, or each entry as it can be built there; None where one can't be."""
    if session.place == place_id:
        return situation.timed(session)
    context, place = situation.context, situation.context.places[place_id]
    parts = []
    for part in session.parts:
        entries = []
        for entry in part.entries:
            verdict = judge(
                context.catalogue.get(entry.exercise),
                context.trainee.restrictions,
                context.tokens(place_id),
                context.trainee,
                entry.dials,
                asked=True,
            )
            here = built_at(entry, part.part, place, context) if verdict.allowed else None
            if here is None:
                return None
            entries.append(here)
        parts.append(replace(part, entries=tuple(entries)))
    return situation.timed(replace(session, place=place_id, parts=tuple(parts)))


def is_beside_a_hard_day(week: Week, day: Day, situation: Situation) -> bool:
    """True where a day before or after, the next week's Monday too, is hard for a muscle that is hard on this one."""
    following = situation.week(week.number + 1)
    weeks = (week,) if following is None else (week, following)
    view = View(block_of(weeks, situation.block), situation.context.catalogue)
    hard = {(w, d, m) for (w, d, m), sets in view.sets_by_session.items() if sets >= HARD_DAY_SETS}
    mine = {m for w, d, m in hard if (w, d) == (week.number, day)}
    at = DAYS.index(day)
    near = [(week.number, DAYS[at - 1])] if at else []
    near.append((week.number, DAYS[at + 1]) if at < 6 else (week.number + 1, DAYS[0]))
    return any((w, d) in near and m in mine for w, d, m in hard)


def block_of(weeks: tuple[Week, ...], block: Block) -> Block:
    """The block with these weeks only, to be looked at."""
    return replace(block, weeks=weeks)


def spread(week: Week, session: Session, left: list[Day], situation: Situation) -> tuple[Week, list[Change]]:
    """The week with the goal lifts of a missed session in the sessions that are left, within their minutes."""
    changes: list[Change] = []
    pillars = situation.pillars()
    for part, entry in entries_of(session):
        if entry.exercise not in pillars or situation.is_sore(entry.exercise):
            continue
        for number, other in enumerate(week.sessions):
            if other.day not in left or any(one.exercise == entry.exercise for _, one in entries_of(other)):
                continue
            guest = as_guest(entry, other, situation)
            longer = None if guest is None else with_guest(other, part, guest, situation)
            if longer is None:
                continue
            rows = (*week.sessions[:number], longer[0], *week.sessions[number + 1 :])
            week = replace(week, sessions=rows)
            was = DAY_NAMES[session.day]
            why = f"{was} was missed and no free day is left for it: its goal lift is done here, within the minutes."
            words = f"on {was}, missed", in_words(longer[1], situation.context.catalogue)
            evidence = f"{longer[0].minutes:g} of {longer[0].minutes_cap or longer[0].minutes:g} min"
            changes.append(Change(week.number, other.day, situation.name(entry.exercise), *words, why, evidence))
            break
    return week, changes


def as_guest(entry: Entry, session: Session, situation: Situation) -> Entry | None:
    """The entry as it can be done in another session, alone; None where restrictions or the place close it."""
    context, place = situation.context, situation.context.places[session.place]
    exercise = context.catalogue.get(entry.exercise)
    rules, tokens = context.trainee.restrictions, context.tokens(place.id)
    if not judge(exercise, rules, tokens, context.trainee, entry.dials, asked=True).allowed:
        return None
    here = built_at(entry, "main", place, context)
    return None if here is None else replace(here, superset=None, filler=None)


def with_guest(session: Session, part: str, guest: Entry, situation: Situation) -> tuple[Session, Entry] | None:
    """(session with a lift from another day, the lift), as many sets as there is time for; None where none has any."""
    for sets in range(len(guest.working_sets), LEAST_SETS - 1, -1):
        entry = with_sets(guest, sets)
        longer = situation.timed(with_added(session, part, entry, PART_ORDER))  # type: ignore[arg-type]
        if fits(longer, most_minutes(session)):
            return longer, entry
    return None


def dropped_note(week: Week, session: Session, left: list[Day], situation: Situation) -> str:
    """Why a missed session is dropped."""
    goal = any(entry.exercise in situation.pillars() for _, entry in entries_of(session))
    if not goal:
        because = "it holds no goal lift"
    elif any_sore(session, situation):
        because = "it loads what hurts"
    elif not left:
        because = "no session is left this week"
    else:
        because = "what is left has its goal lifts already, or no minutes for them"
    was = DAY_NAMES[session.day]
    return f"{was} of week {week.number} was missed and is dropped: no free day, and {because}. Nothing is caught up."
