"""What was done against what was planned, week by week."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Literal

from setwright.catalogue.derive import set_credits
from setwright.catalogue.store import Catalogue
from setwright.plan.asked_effort import asked_effort
from setwright.plan.block import Block, Entry, PlannedSet, Session, Week
from setwright.plan.block_days import session_date, week_start
from setwright.plan.schemes import SetScheme, schemes_of
from setwright.review.attendance import Attended, Visit, attended, visits_of
from setwright.strength.logged import Log, LoggedSession, LoggedSet
from setwright.strength.parts_done import stretches_done

PlannedOrDone = Literal["done", "moved", "missed"]
NOT_COUNTED = ("warm-up", "loaded-mobility", "conditioning", "filler")  # parts whose sets count for no muscle


@dataclass(frozen=True)
class EntryDone:
    """One planned entry against the log: sets and repetitions planned and done, load and effort.

    ``reps_short``: repetitions under the lower end of the range, summed over the sets done.
    ``rir_gap``: reserve called less reserve planned, mean over sets that hold both, or None.
    ``reps_planned``: lower and upper end, summed over the planned sets; ``rir_planned``, ``rir_called``: means.
    """

    week: int
    day: str
    exercise: str
    sets_planned: int
    sets_done: int
    reps_short: int
    load_planned_kg: float | None
    load_done_kg: float | None
    rir_gap: float | None
    worst_pain: int | None
    part: str = "main"
    reps_planned: tuple[int, int] | None = None
    reps_done: int | None = None
    rir_planned: float | None = None
    rir_called: float | None = None


@dataclass(frozen=True)
class SessionDone:
    """One planned session against the log: done on its day, moved to another, or missed.

    ``done_on``, ``time``, ``minutes_done``, ``session_rpe``: None, or empty, where nobody wrote them.
    ``warm_up``, ``fillers``: planned ones that were logged, of those planned; None where the log never tells of them.
    """

    week: int
    day: str
    date: dt.date
    status: PlannedOrDone
    done_on: dt.date | None
    time: str
    minutes_planned: float
    minutes_done: float | None
    session_rpe: float | None
    sets_planned: int
    sets_done: int
    warm_up_planned: int
    warm_up: int | None
    fillers_planned: int
    fillers: int | None


@dataclass(frozen=True)
class WeekDone:
    """One week: sessions planned and done, entries, counted sets by muscle (direct, fractional).

    Only sessions count whose day has come by the last date of the log, or that were done before it. ``missed``: their
    weekdays; ``moved``: those done on another day of the week. ``is_over``: the log reaches past the week's last day.
    """

    number: int
    start: date
    sessions_planned: int
    sessions_done: int
    missed: tuple[str, ...]
    entries: tuple[EntryDone, ...]
    credits: dict[str, tuple[float, float]]
    minutes_planned: float
    minutes_done: float | None
    moved: tuple[str, ...] = ()
    sessions: tuple[SessionDone, ...] = ()
    credits_planned: dict[str, tuple[float, float]] = field(default_factory=dict)
    rpe_planned: float | None = None
    extra_sets: int = 0
    is_over: bool = False

    @property
    def sets_planned(self) -> int:
        """Working sets planned in the sessions that were due."""
        return sum(one.sets_planned for one in self.sessions)

    @property
    def sets_done(self) -> int:
        """Planned working sets that were logged, and sets that were not planned."""
        return sum(one.sets_done for one in self.sessions) + self.extra_sets

    @property
    def reps_planned(self) -> tuple[int, int] | None:
        """Repetitions planned, lower and upper end, of entries that count them."""
        told = [one.reps_planned for one in self.entries if one.reps_planned is not None]
        return (sum(low for low, _ in told), sum(high for _, high in told)) if told else None

    @property
    def reps_done(self) -> int:
        """Repetitions logged in planned entries."""
        return sum(one.reps_done or 0 for one in self.entries)

    @property
    def rpe_called(self) -> float | None:
        """Effort called, RPE = 10 - RIR, mean over the entries with a call, weighed by their sets; None without."""
        told = [(one.rir_called, one.sets_done) for one in self.entries if one.rir_called is not None]
        weight = sum(sets for _, sets in told)
        return 10.0 - sum(rir * sets for rir, sets in told) / weight if weight else None

    @property
    def warm_up(self) -> tuple[int, int] | None:
        """Warm-up drills done and planned in the sessions that were done, or None where the log never tells."""
        there = [one for one in self.sessions if one.warm_up is not None and one.status != "missed"]
        return (sum(one.warm_up or 0 for one in there), sum(one.warm_up_planned for one in there)) if there else None

    @property
    def fillers(self) -> tuple[int, int] | None:
        """Fillers done and planned in the sessions that were done, or None where the log never tells of them."""
        there = [one for one in self.sessions if one.fillers is not None and one.status != "missed"]
        return (sum(one.fillers or 0 for one in there), sum(one.fillers_planned for one in there)) if there else None


def sets_of_week(block: Block, week: Week, log: Log) -> tuple[LoggedSet, ...]:
    """Logged sets that belong to a week: by their own week number, else by date."""
    start = week_start(block, week.number)
    end = start + timedelta(days=7)
    return tuple(
        one for one in log.sets if (one.week == week.number if one.week is not None else start <= one.date < end)
    )


def least_reps(planned: PlannedSet) -> int:
    """The fewest repetitions that a planned set asks, all parts that are said together."""
    later = sum(one.reps[0] for one in planned.inside if one.reps and not one.left)
    return later + (planned.reps[0] if planned.reps else 0)


def credit_of(one: LoggedSet, session: Session | None, schemes: Mapping[str, SetScheme]) -> float:
    """What a logged set counts, against a straight set's 1, by the scheme of its entry in the planned session."""
    entries = [
        entry
        for part in (session.parts if session else ())
        for entry in part.entries
        if entry.exercise == one.exercise and entry.scheme in schemes and schemes[entry.scheme].each_more
    ]
    if not entries:
        return 1.0
    if stretches_done(one) > 1:
        return schemes[entries[0].scheme].credit(stretches_done(one))
    sets = [planned for entry in entries for planned in entry.sets if planned.kind != "ramp"]
    alone = len(entries) == 1 and all(planned.inside for planned in sets) and "inside_s" in one.dials
    return schemes[entries[0].scheme].credit(1 + len(sets[0].inside)) if alone else 1.0


def part_of(one: LoggedSet, session: Session | None) -> str:
    """The part a set was done in: as written, else where the planned session has it, the loaded parts first."""
    if one.part is not None or session is None:
        return one.part or "main"
    parts = [part.part for part in session.parts if any(entry.exercise == one.exercise for entry in part.entries)]
    loaded = [name for name in parts if name not in NOT_COUNTED]
    if parts:
        return (loaded or parts)[0]
    entries = (entry for part in session.parts for entry in part.entries)
    return "filler" if any(entry.filler and entry.filler.exercise == one.exercise for entry in entries) else "main"


def mean_of(values: Sequence[float]) -> float | None:
    """The mean, or None of nothing."""
    return sum(values) / len(values) if values else None


def most_reps(planned: PlannedSet) -> int:
    """The most repetitions that a planned set asks, all parts that are said together."""
    later = sum(one.reps[1] for one in planned.inside if one.reps and not one.left)
    return later + (planned.reps[1] if planned.reps else 0)


def compare_entry(week: Week, day: str, entry: Entry, done: Sequence[LoggedSet], part: str = "main") -> EntryDone:
    """One entry against its logged sets."""
    working = entry.working_sets
    short = 0
    gaps = []
    for planned, one in zip(working, done, strict=False):
        if planned.reps and one.reps is not None:
            short += max(0, least_reps(planned) - one.reps)
        if planned.rir is not None and one.rir is not None:
            gaps.append(one.rir - planned.rir)
    loads = [one.load_kg for one in done if one.load_kg is not None]
    pains = [one.pain for one in done if one.pain is not None]
    reps = [one.reps for one in done if one.reps is not None]
    counted = [one for one in working if one.reps]
    return EntryDone(
        week.number,
        day,
        entry.exercise,
        len(working),
        len(done),
        short,
        working[0].load_kg if working else None,
        max(loads) if loads else None,
        mean_of(gaps),
        max(pains) if pains else None,
        part,
        (sum(map(least_reps, counted)), sum(map(most_reps, counted))) if counted else None,
        sum(reps) if reps else None,
        mean_of([one.rir for one in working if one.rir is not None]),
        mean_of([one.rir for one in done if one.rir is not None]),
    )


def last_day(log: Log) -> date | None:
    """The last day that the log tells of; a row that only tells of a morning tells of the day before."""
    days = [one.date for one in log.sets]
    days += [one.date if one.is_work else one.date - timedelta(days=1) for one in log.sessions]
    return max(days, default=None)


def sessions_of_week(block: Block, week: Week, log: Log) -> tuple[LoggedSession, ...]:
    """Rows without an exercise that belong to a week: by their own week number, else by date."""
    start = week_start(block, week.number)
    end = start + timedelta(days=7)
    return tuple(
        one for one in log.sessions if (one.week == week.number if one.week is not None else start <= one.date < end)
    )


def attendance(block: Block, week: Week, log: Log) -> tuple[tuple[Attended, ...], tuple[Visit, ...]]:
    """The planned sessions of a week with what was logged for each, and every visit of the week."""
    visits = visits_of(sets_of_week(block, week, log), sessions_of_week(block, week, log))
    dates = {session.day: session_date(block, week.number, session.day) for session in week.sessions}
    return attended(week, dates, visits), visits


def done_by_week(block: Block, log: Log, catalogue: Catalogue) -> tuple[WeekDone, ...]:
    """Every week of the block that has begun by the log's last date, planned against done."""
    last = last_day(log)
    if last is None:
        return ()
    parts_told = {one.part for one in log.sets}
    begun = [week for week in block.weeks if week_start(block, week.number) <= last]
    return tuple(week_done(block, week, log, catalogue, last, parts_told) for week in begun)


def week_done(
    block: Block, week: Week, log: Log, catalogue: Catalogue, last: date, parts_told: Collection[str | None]
) -> WeekDone:
    """One week, planned against done. ``parts_told``: the parts that rows of the whole log name."""
    everyone, visits = attendance(block, week, log)
    due = [one for one in everyone if one.is_done or one.date <= last]
    entries: list[EntryDone] = []
    sessions = []
    for one in due:
        made = entries_done(week, one)
        entries += made
        sessions.append(session_done(week, one, made, parts_told))
    of_visit = {id(visit): one.session for one in due for visit in one.visits}
    counted = [
        (one, of_visit.get(id(visit)))
        for visit in visits
        for one in visit.sets
        if part_of(one, of_visit.get(id(visit))) not in NOT_COUNTED
    ]
    minutes = [row.minutes for visit in visits for row in visit.rows if row.minutes is not None]
    start = week_start(block, week.number)
    asked = asked_effort(block, week)
    return WeekDone(
        week.number,
        start,
        len(due),
        sum(one.is_done for one in due),
        tuple(one.session.day for one in due if not one.is_done),
        tuple(entries),
        credits_done(counted, schemes_of(catalogue), catalogue),
        sum(one.session.minutes for one in due),
        sum(minutes) if minutes else None,
        tuple(one.session.day for one in due if one.moved_to is not None),
        tuple(sessions),
        {one.muscle: (one.direct, one.fractional) for one in block.set_credits if one.week == week.number},
        week.rpe if asked is None else (asked[0] + asked[1]) / 2,
        len(counted) - sum(one.sets_done for one in sessions),
        last >= start + timedelta(days=6),
    )


def entries_done(week: Week, one: Attended) -> list[EntryDone]:
    """The loaded entries of a session against its logged sets; entries of one exercise share them out in order."""
    logged = [row for row in one.sets if part_of(row, one.session) not in NOT_COUNTED]
    planned = [
        (part.part, entry) for part in one.session.parts if part.part not in NOT_COUNTED for entry in part.entries
    ]
    found = []
    for place, (part, entry) in enumerate(planned):
        mine = [row for row in logged if row.exercise == entry.exercise]
        if any(later.exercise == entry.exercise for _, later in planned[place + 1 :]):
            mine = mine[: sum(planned_set.kind != "ramp" for planned_set in entry.sets)]
        logged = [row for row in logged if not any(row is own for own in mine)]
        found.append(compare_entry(week, one.session.day, entry, mine, part))
    return found


def session_done(
    week: Week, one: Attended, entries: Sequence[EntryDone], parts_told: Collection[str | None]
) -> SessionDone:
    """One planned session against the log."""
    drills = {entry.exercise for part in one.session.parts if part.part == "warm-up" for entry in part.entries}
    fillers = {entry.filler.exercise for part in one.session.parts for entry in part.entries if entry.filler}
    done = {name: {row.exercise for row in one.sets if row.part == name} for name in ("warm-up", "filler")}
    return SessionDone(
        week.number,
        one.session.day,
        one.date,
        "missed" if not one.is_done else "done" if one.moved_to is None else "moved",
        one.moved_to or (one.date if one.is_done else None),
        one.time,
        one.session.minutes,
        one.minutes,
        one.session_rpe,
        sum(entry.sets_planned for entry in entries),
        sum(entry.sets_done for entry in entries),
        len(drills),
        len(drills & done["warm-up"]) if "warm-up" in parts_told else None,
        len(fillers),
        len(fillers & done["filler"]) if "filler" in parts_told else None,
    )


def credits_done(
    counted: Sequence[tuple[LoggedSet, Session | None]], schemes: Mapping[str, SetScheme], catalogue: Catalogue
) -> dict[str, tuple[float, float]]:
    """Counted sets by muscle, direct and fractional, of sets with the planned session of each."""
    credits: dict[str, tuple[float, float]] = {}
    for one, session in counted:
        counts = credit_of(one, session, schemes)
        for muscle, credit in set_credits(catalogue.get(one.exercise)).items():
            direct, fractional = credits.get(muscle, (0.0, 0.0))
            credits[muscle] = (direct + (counts if credit >= 1 else 0), fractional + counts * credit)
    return credits
