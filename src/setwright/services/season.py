"""The deed behind ``season``: where a trainee stands on the goals of a year, and the next brief that follows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from setwright.faults import Fault, InputFaults, NoPlan
from setwright.people.screening import without_expired
from setwright.people.season import Season, plain_season, read_season
from setwright.plan.block import Block
from setwright.plan.brief_file import read_brief
from setwright.publish.brief_toml import brief_toml
from setwright.review.adapt import require_no_red_flag
from setwright.review.climb import ClimbAhead
from setwright.review.no_forecast import limits_of, pain_words
from setwright.review.season import SeasonView, last_block, next_brief_of, view_season
from setwright.review.season_goals import goals_of
from setwright.review.volume import WeekDone, done_by_week
from setwright.services.climbing import LATEST, climbs_of, require_screen
from setwright.services.clock import today as clock_today
from setwright.services.files import read_text, write_whole
from setwright.services.gather import (
    Person,
    Say,
    catalogue,
    estimates_for,
    expect,
    last_date,
    load_block,
    load_logs,
    load_person,
    silent,
)
from setwright.services.keeping import kept_log, records_in
from setwright.services.log_fit import fit_of_log
from setwright.strength.estimates import Estimates
from setwright.strength.logged import Log

FARTHEST = timedelta(weeks=208)  # a climb is forecast so far


@dataclass(frozen=True)
class SeasonFound:
    """A season with what it was reckoned from."""

    view: SeasonView
    person: Person
    estimates: Estimates
    climbs: dict[str, ClimbAhead]
    notes: tuple[str, ...] = ()


def season(
    trainee_file: Path,
    season_file: Path | None = None,
    log_files: Sequence[Path] = (),
    block_files: Sequence[Path] = (),
    *,
    on: date | None = None,
    place_files: Sequence[Path] = (),
    records: Path | None = None,
    say: Say = silent,
) -> SeasonFound:
    """The season of a trainee as of a day: the log's last, or that of the newest baseline, when None.

    Raises InputFaults for files of somebody else; NoPlan where the screen or a red flag in the log says that a licensed
    clinician comes first.
    """
    person = load_person(trainee_file, place_files, say=say)
    wanted = load_season(season_file, person.trainee.id)
    blocks = blocks_of(wanted, season_file, block_files, records, person.trainee.id)
    log = load_logs(log_files, kept=kept_log(records, person.trainee.id), say=say)
    return season_of(person, wanted, blocks, log, on, say)


def season_of(
    person: Person, wanted: Season, blocks: Sequence[Block], log: Log, on: date | None = None, say: Say = silent
) -> SeasonFound:
    """The season of a trainee from values; ``blocks``: the oldest first. Raises as ``season`` does."""
    newest = [one.date for one in person.trainee.baselines] + [one.date for one in person.trainee.steps]
    now = on or last_date(log, max(newest, default=clock_today()))
    if now > LATEST:
        raise InputFaults([Fault("--on", "", now.isoformat(), f"a day before {LATEST.isoformat()}")])
    log = Log(tuple(one for one in log.sets if one.date <= now), tuple(one for one in log.sessions if one.date <= now))
    require_no_red_flag(log)
    notes = require_screen(person.trainee, now)
    trainee = without_expired(person.trainee, now)
    estimates = estimates_for(trainee, log, now, person.places)
    climbs = climbs_for(wanted, person, log, now, estimates)
    block = last_block(blocks, now)
    weeks = weeks_done(block, log, say)
    limits = limits_of(trainee, log, catalogue(), now)
    view = view_season(wanted, trainee, now, blocks, weeks, climbs, estimates, limits, catalogue())
    return SeasonFound(view, person, estimates, climbs, notes)


def load_season(path: Path | None, trainee: str) -> Season:
    """The season in a file, or the plain one of the trainee file. Raises InputFaults where it is somebody else's."""
    if path is None:
        return plain_season(trainee)
    text = read_text(path)
    expect("season", text, path)
    found = read_season(text, str(path), catalogue())
    if found.trainee != trainee:
        raise InputFaults([Fault(str(path), "trainee", repr(found.trainee), f"{trainee!r}, as the trainee file says")])
    return found


def blocks_of(
    wanted: Season, season_file: Path | None, block_files: Sequence[Path], records: Path | None, trainee: str
) -> tuple[Block, ...]:
    """The blocks of a season: named files, those of the season file, and the one in force in the records.

    Of revisions that start on the same day the newest counts. Raises InputFaults for a block of somebody else.
    """
    found = [(str(path), load_block(path)) for path in block_files]
    beside = Path() if season_file is None else season_file.parent
    kept = None if records is None else records_in(records)
    for number, one in enumerate(wanted.blocks, start=1):
        where = f"blocks[{number}]"
        if one.file:
            found.append((str(beside / one.file), load_block(beside / one.file)))
            continue
        if kept is None:
            hint = "Name the records with --records FOLDER."
            raise InputFaults([Fault(str(season_file), f"{where}.id", repr(one.id), "a block that can be found", hint)])
        try:
            found.append((f"{records}", kept.block(one.id)))
        except LookupError:
            known = ", ".join(row.block for row in kept.revisions(trainee)) or "none of this trainee"
            raise InputFaults([Fault(str(season_file), f"{where}.id", repr(one.id), f"kept: {known}")]) from None
    if kept is not None:
        in_force = kept.current(trainee)
        found += [] if in_force is None else [(f"{records}", in_force)]
    strange = [
        Fault(file, "trainee", repr(one.trainee), f"a block of {trainee}")
        for file, one in found
        if one.trainee != trainee
    ]
    if strange:
        raise InputFaults(strange)
    by_start: dict[date, Block] = {}
    for _, block in sorted(found, key=lambda pair: pair[1].revision):
        by_start[block.inputs.brief.start] = block
    return tuple(by_start[start] for start in sorted(by_start))


def climbs_for(wanted: Season, person: Person, log: Log, now: date, estimates: Estimates) -> dict[str, ClimbAhead]:
    """The climb on each progression that a goal is about, each to its own day."""
    ways = {one.progression: one.way for one in wanted.climbs}
    found = {}
    for goal in goals_of(wanted, person.trainee):
        if goal.kind == "skill" and goal.about not in found:
            by = goal.by if goal.by is not None and timedelta(0) < goal.by - now <= FARTHEST else None
            slugs, branch = (goal.about,), ways.get(goal.about, "")
            (found[goal.about],) = climbs_of(person, log, now, slugs, branch=branch, by=by, estimates=estimates)
    return found


def weeks_done(block: Block | None, log: Log, say: Say) -> tuple[WeekDone, ...]:
    """The weeks of a block against the log; none without either."""
    if block is None or not log.sets:
        return ()
    fit = fit_of_log(block, log)
    if not fit.inside.sets:
        say(f"No row of the log lies in {block.title} ({block.id}), so the block shows nothing yet.")
        return ()
    return done_by_week(block, fit.inside, catalogue())


ANSWER = (
    "ask a licensed clinician, then write what is decided as a restriction at that joint into the trainee file. "
    "Where the log has no place for the pain, write it there first"
)


def next_brief_text(found: SeasonFound) -> str:
    """The proposed next brief as text, read back and found in order.

    Raises InputFaults without a block and a log of it; NoPlan where pain rests work that nobody has decided on yet.
    """
    if found.view.block is None:
        hint = "Name it with --block, under [[blocks]] of the season file, or with --records."
        raise InputFaults([Fault("--next-brief", "", "no block that has begun", "a block to propose from", hint)])
    if not found.view.weeks:
        hint = "Name the log files, or --records."
        raise InputFaults([Fault("--next-brief", "", "no log of the block", "a log of it to propose from", hint)])
    unanswered = found.view.limits.unanswered()
    if unanswered:
        raise NoPlan(tuple(f"{pain_words(one).capitalize()}: the work there rests." for one in unanswered), ANSWER)
    text = brief_toml(next_brief_of(found.view, found.climbs, found.estimates, catalogue()))
    read_brief(text, "next brief", catalogue())
    return text


def write_next_brief(found: SeasonFound, path: Path) -> str:
    """Writes the proposed next brief; gives its text. Raises as ``next_brief_text`` does."""
    text = next_brief_text(found)
    write_whole(path, text.encode())
    return text
