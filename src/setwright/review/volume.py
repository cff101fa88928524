"""What was done against what was planned, week by week."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from setwright.catalogue.derive import set_credits
from setwright.catalogue.store import Catalogue
from setwright.people.trainee import DAYS
from setwright.plan.block import Block, Entry, PlannedSet, Week
from setwright.plan.schemes import SetScheme, schemes_of
from setwright.strength.logged import Log, LoggedSet
from setwright.strength.parts_done import stretches_done


@dataclass(frozen=True)
class EntryDone:
    """One planned entry against the log: sets and repetitions planned and done, load and effort.

    ``reps_short``: repetitions under the lower end of the range, summed over the sets done.
    ``rir_gap``: reserve called less reserve planned, mean over sets that hold both, or None.
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


@dataclass(frozen=True)
class WeekDone:
    """One week: sessions planned and done, entries, counted sets by muscle (direct, fractional)."""

    number: int
    start: date
    sessions_planned: int
    sessions_done: int
    missed: tuple[str, ...]
    entries: tuple[EntryDone, ...]
    credits: dict[str, tuple[float, float]]
    minutes_planned: float
    minutes_done: float | None


def week_start(block: Block, number: int) -> date:
    """The Monday of a week of the block."""
    start = block.inputs.brief.start
    monday = start - timedelta(days=start.weekday())
    return date.fromordinal(monday.toordinal() + 7 * (number - 1))


def session_date(block: Block, number: int, day: str) -> date:
    """The date of a session by its weekday."""
    offset = [str(name) for name in DAYS].index(day)
    return date.fromordinal(week_start(block, number).toordinal() + offset)


def sets_of_week(block: Block, week: Week, log: Log) -> tuple[LoggedSet, ...]:
    """Logged sets that belong to a week: by their own week number, else by date."""
    start = week_start(block, week.number)
    end = start + timedelta(days=7)
    return tuple(
        one for one in log.sets if (one.week == week.number if one.week is not None else start <= one.date < end)
    )


def day_of(one: LoggedSet) -> str:
    """The weekday a set was logged under: its session where that is a weekday, else its date."""
    name = one.session.strip().lower()[:3]
    return name if name in DAYS else DAYS[one.date.weekday()]


def least_reps(planned: PlannedSet) -> int:
    """The fewest repetitions that a planned set asks, all parts that are said together."""
    later = sum(one.reps[0] for one in planned.inside if one.reps and not one.left)
    return later + (planned.reps[0] if planned.reps else 0)


def credit_of(one: LoggedSet, week: Week, schemes: Mapping[str, SetScheme]) -> float:
    """What a logged set counts, against a straight set's 1, by the scheme of its entry in the plan."""
    entries = [
        entry
        for session in week.sessions
        if session.day == day_of(one)
        for part in session.parts
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


def compare_entry(week: Week, day: str, entry: Entry, done: list[LoggedSet]) -> EntryDone:
    """One entry against its logged sets."""
    working = [one for one in entry.sets if one.kind != "ramp"]
    short = 0
    gaps = []
    for planned, one in zip(working, done, strict=False):
        if planned.reps and one.reps is not None:
            short += max(0, least_reps(planned) - one.reps)
        if planned.rir is not None and one.rir is not None:
            gaps.append(one.rir - planned.rir)
    loads = [one.load_kg for one in done if one.load_kg is not None]
    pains = [one.pain for one in done if one.pain is not None]
    return EntryDone(
        week.number,
        day,
        entry.exercise,
        len(working),
        len(done),
        short,
        working[0].load_kg if working else None,
        max(loads) if loads else None,
        sum(gaps) / len(gaps) if gaps else None,
        max(pains) if pains else None,
    )


def done_by_week(block: Block, log: Log, catalogue: Catalogue) -> tuple[WeekDone, ...]:
    """Every week of the block that has begun by the log's last date, planned against done."""
    if not log.sets and not log.sessions:
        return ()
    last = max([one.date for one in log.sets] + [one.date for one in log.sessions])
    found = []
    schemes = schemes_of(catalogue)
    for week in block.weeks:
        start = week_start(block, week.number)
        if start > last:
            break
        sets = sets_of_week(block, week, log)
        by_day: dict[str, list[LoggedSet]] = {}
        for one in sets:
            by_day.setdefault(day_of(one), []).append(one)
        entries = []
        due = [s for s in week.sessions if session_date(block, week.number, s.day) <= last]
        for session in due:
            here = by_day.get(session.day, [])
            for part in session.parts:
                if part.part in ("warm-up", "loaded-mobility", "conditioning"):
                    continue
                for entry in part.entries:
                    logged = [one for one in here if one.exercise == entry.exercise]
                    entries.append(compare_entry(week, session.day, entry, logged))
        credits: dict[str, tuple[float, float]] = {}
        for one in sets:
            counts = credit_of(one, week, schemes)
            for muscle, credit in set_credits(catalogue.get(one.exercise)).items():
                direct, fractional = credits.get(muscle, (0.0, 0.0))
                credits[muscle] = (direct + (counts if credit >= 1 else 0), fractional + counts * credit)
        minutes = [one.minutes for one in log.sessions if one.week == week.number and one.minutes is not None]
        missed = tuple(session.day for session in due if session.day not in by_day)
        found.append(
            WeekDone(
                week.number,
                start,
                len(due),
                len(due) - len(missed),
                missed,
                tuple(entries),
                credits,
                sum(session.minutes for session in due),
                sum(minutes) if minutes else None,
            )
        )
    return tuple(found)
