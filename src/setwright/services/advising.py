"""During a session: the set just logged, and what it says of the next one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from setwright.catalogue.store import Catalogue
from setwright.dose.implements import loads_in
from setwright.faults import Fault, InputFaults
from setwright.plan.block import Block, Entry, PlannedSet, Session
from setwright.review.next_set import NextSet, Table, next_set, next_table
from setwright.review.pain import limit_at
from setwright.review.volume import attendance, sets_of_week
from setwright.services.deeds import block_estimates
from setwright.services.gather import Say, catalogue, silent
from setwright.services.log_fit import block_and_log
from setwright.strength.estimates import Estimates
from setwright.strength.logged import Log, LoggedSet


@dataclass(frozen=True)
class Advice:
    """What comes after the newest set. ``exercise``, ``number``, ``of``: which set it was, of how many.

    ``next``: None where it was the last one, then ``then`` names what follows, or is empty at the end of the session.
    ``table``: every answer for the next set, to travel with the session.
    """

    exercise: str
    number: int
    of: int
    week: int
    day: str
    next: NextSet | None
    table: Table | None
    then: str

    def as_json(self) -> dict[str, object]:
        """The published form of ``next --json``."""
        return {
            "exercise": self.exercise,
            "set": self.number,
            "of": self.of,
            "week": self.week,
            "session": self.day,
            "next": None if self.next is None else self.next.as_json(),
            "then": self.then,
            "table": None if self.table is None else self.table.as_json(),
        }


def advise(block_file: Path, log_files: Sequence[Path], records: Path | None = None, say: Say = silent) -> Advice:
    """What the newest set of a log says of the next one. Raises InputFaults where it belongs to no planned entry."""
    fit = block_and_log(block_file, log_files, records, say)
    return advice_for(fit.block, fit.inside, block_estimates(fit.block, fit.known), catalogue())


def advice_for(block: Block, log: Log, estimates: Estimates, known: Catalogue) -> Advice:
    """What the newest set of a log says of the next one."""
    done = newest_set(log)
    week, session = session_of(block, log, done, known)
    rows = [entry for part in session.parts if part.part != "warm-up" for entry in part.entries]
    mine = [entry for entry in rows if entry.exercise == done.exercise]
    if not mine:
        there = ", ".join(dict.fromkeys(entry.exercise for entry in rows))
        found = f"{done.exercise} on {done.date.isoformat()}"
        raise InputFaults([Fault("log", "exercise", found, f"an exercise of this session: {there}")])
    working = [one for entry in mine for one in entry.sets if one.kind != "ramp"]
    today = [one for one in log.sets if (one.date, one.exercise) == (done.date, done.exercise)]
    number = min(len([one for one in today if one.part not in ("warm-up", "filler")]) or 1, len(working))
    entry = mine[0]
    exercise = known.get(entry.exercise)
    place = next(one for one in block.inputs.places if one.id == session.place)
    last = number >= len(working)
    planned: PlannedSet = working[number - 1] if last else working[number]
    limit = limit_at(done.pain_where, block.inputs.trainee.restrictions, done.date)
    table = next_table(
        planned, loads_in(place, exercise, planned.pieces), estimates.for_exercise(entry.exercise), limit, done.load_kg
    )
    answer = next_set(done, table)
    shown = answer if answer.stop or not last else None
    then = after_it(rows, mine[-1], known) if last and not answer.stop else ""
    return Advice(entry.exercise, number, len(working), week, session.day, shown, None if last else table, then)


def newest_set(log: Log) -> LoggedSet:
    """The set that was logged last: of the newest day the latest time, else the last row."""
    worked = [one for one in log.sets if one.part not in ("warm-up", "filler")]
    if not worked:
        allowed = "a log with at least one working set in the weeks of the block"
        raise InputFaults([Fault("log", "", "no set", allowed)])
    day = max(one.date for one in worked)
    rows = [(one.time, number, one) for number, one in enumerate(worked) if one.date == day]
    return max(rows, key=lambda row: row[:2])[2]


def session_of(block: Block, log: Log, done: LoggedSet, known: Catalogue) -> tuple[int, Session]:
    """The week and the planned session that a set belongs to."""
    for week in block.weeks:
        if not any(one is done for one in sets_of_week(block, week, log)):
            continue
        everyone, _ = attendance(block, week, log)
        for one in everyone:
            if any(row is done for row in one.sets):
                return week.number, one.session
    found = f"{known.get(done.exercise).name} on {done.date.isoformat()}"
    raise InputFaults([Fault("log", "date", found, "a set in a planned session of the block")])


def after_it(rows: Sequence[Entry], entry: Entry, known: Catalogue) -> str:
    """The name of what follows an entry in its session, or an empty text."""
    at = next(number for number, one in enumerate(rows) if one is entry)
    return known.get(rows[at + 1].exercise).name if at + 1 < len(rows) else ""
