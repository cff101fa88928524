"""Nothing comes into force through a limit that holds now, whenever the revision was made.

Two ideas carry this module. One: what holds is what is known of the person today (restrictions, clearances, answers
before training), not what the revision was made under. Two: only sessions that are still ahead are asked; what is
over is over.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.store import Catalogue
from setwright.faults import Fault, InputFaults
from setwright.people.screening import screen
from setwright.people.trainee import Trainee
from setwright.plan.block import Block, Session, Week
from setwright.plan.block_days import session_date
from setwright.plan.clearance import for_whole_block, hardest_rpe, intensity_of, is_open
from setwright.records.files import FileRecords
from setwright.records.port import Records
from setwright.services.block_check import entries_of, limit_faults


def intake_in(records: Records, trainee: str) -> Trainee | None:
    """A person as their intake says now; None where the records keep no intake of them."""
    if isinstance(records, FileRecords):
        return None
    from setwright.records.data_base import DataBaseRecords
    from setwright.services.desk.people import newest, person_of

    if not isinstance(records, DataBaseRecords):
        return None
    row = records.row_of(trainee)
    return person_of(row).trainee if newest(row.practice, "trainee", row.slug, row) else None


def who_holds(records: Records, trainee: str) -> Trainee | None:
    """A person with every limit that holds now; None where nothing is known of them.

    The data base knows the intake; a folder of files only what the block in force was made under.
    """
    intake, current = intake_in(records, trainee), records.current(trainee)
    if intake is None:
        return None if current is None else current.inputs.trainee
    from setwright.records.data_base import DataBaseRecords
    from setwright.services.desk.limits import trainee_now

    assert isinstance(records, DataBaseRecords)
    return trainee_now(records.row_of(trainee))


def newly_crossed(records: Records, block: Block, catalogue: Catalogue, on: date) -> list[Fault]:
    """What a block that comes into force crosses of the intake as it stands, beyond what its parent does already.

    A change that closes one limit is not held up by another that the block in force never kept.
    """
    intake, current = intake_in(records, block.trainee), records.current(block.trainee)
    if intake is None:
        return []
    label = f"revision {block.revision}"
    found = crossings(block, intake, catalogue, on, label)
    if not found or current is None or block.parent != current.id:
        return found
    known = crossings(current, intake, catalogue, on, label)
    return [one for one in found if one not in known]


def require_kept(block: Block, trainee: Trainee, catalogue: Catalogue, on: date, label: str = "") -> None:
    """Refuses a block of which a session from this day on crosses what holds for a person now. Raises InputFaults."""
    faults = crossings(block, trainee, catalogue, on, label or f"revision {block.revision}")
    if faults:
        raise InputFaults(faults)


def crossings(block: Block, trainee: Trainee, catalogue: Catalogue, on: date, label: str) -> list[Fault]:
    """What in the sessions from a day on crosses what holds for a person now, each once.

    What may stand in for an entry is told only where no entry crosses anything.
    """
    ahead = list(sessions_from(block, on))
    as_of = for_whole_block(trainee, block.inputs.brief.start, len(block.weeks))
    tokens = {place.id: expand_tokens(place.tokens()) for place in block.inputs.places}
    planned: dict[Fault, None] = {}
    beside: dict[Fault, None] = {}
    for week, session in ahead:
        day = session_date(block, week.number, session.day)
        rules = [one for one in as_of.restrictions if one.since is None or one.since <= day]
        for at, entry in entries_of(session, ""):
            for one in limit_faults(entry, at, label, rules, tokens[session.place], as_of, catalogue):
                kind = planned if one.path in (f"{at}.exercise", f"{at}.dials") else beside
                kind[replace(one, path="")] = None
    return [*screen_faults(ahead, trainee, on, label), *(planned or beside)]


def sessions_from(block: Block, on: date) -> Iterator[tuple[Week, Session]]:
    """The sessions of a block from a day on, each with its week."""
    for week in block.weeks:
        for session in week.sessions:
            if session_date(block, week.number, session.day) >= on:
                yield week, session


def screen_faults(ahead: list[tuple[Week, Session]], trainee: Trainee, on: date, label: str) -> list[Fault]:
    """What the questions before training and a clearance that ended close of the sessions ahead."""
    if not ahead:
        return []
    weeks = {week.number: week for week, _ in ahead}
    intensity = intensity_of(hardest_rpe(list(weeks.values())))
    told = screen(trainee, intensity, on)
    if is_open(told, intensity):
        return []
    return [Fault(label, "", f"{intensity} effort", "what a clearance covers today", " ".join(told.why))]
