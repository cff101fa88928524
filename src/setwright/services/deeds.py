"""One function for each deed of a coach. Each takes paths or values, does the deed, and gives a value to show."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.load import parse_exercise_file, parse_progression_file
from setwright.faults import Fault, InputFaults
from setwright.people.intake import read_place, read_trainee
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import Restriction
from setwright.plan.alternatives import Candidate, alternatives
from setwright.plan.block import Block
from setwright.plan.brief import Brief
from setwright.plan.brief_file import read_brief
from setwright.plan.design import design_block
from setwright.plan.restrict import restrict_block
from setwright.plan.shorthand import read_block_text
from setwright.plan.written import fit_written
from setwright.publish.block_file import block_from_json
from setwright.review.adapt import adapt_block
from setwright.review.findings import Review, review_block
from setwright.review.log_file import read_log
from setwright.services.files import MOST_BLOCK_BYTES, read_bytes, read_text
from setwright.services.gather import (
    catalogue,
    estimates_for,
    kind_of,
    last_date,
    load_block,
    load_brief,
    load_log,
    load_logs,
    load_person,
)
from setwright.strength.estimates import Estimates
from setwright.strength.logged import Log


@dataclass(frozen=True)
class Checked:
    """One checked file: what it is, and its faults (none when it is in order)."""

    file: str
    kind: str
    faults: tuple[Fault, ...]


def check_files(paths: Sequence[Path]) -> tuple[Checked, ...]:
    """Reads files of any kind and gives all faults of each; nothing is written."""
    return tuple(check_file(path) for path in paths)


def check_file(path: Path) -> Checked:
    """Reads one file by what it is."""
    kind = "file"
    known = catalogue()
    name = str(path)
    try:
        if path.suffix == ".json":
            data = read_bytes(path, MOST_BLOCK_BYTES)
            kind = kind_of(data[:400].decode("utf-8", "replace"), path)
            if kind == "block":
                block_from_json(data, name)
            else:
                load_log(path)
            return Checked(name, kind, ())
        text = read_text(path)
        kind = kind_of(text, path)
        if kind == "trainee":
            read_trainee(text, name, known)
            load_person(path)
        elif kind == "place":
            read_place(text, name, known)
        elif kind == "brief":
            read_brief(text, name, known)
        elif kind == "exercise":
            parse_exercise_file(name, text)
        elif kind == "progression":
            parse_progression_file(name, text)
        elif kind == "log":
            read_log(text, name, known)
        else:
            read_block_text(text, known, name)
        return Checked(name, kind, ())
    except InputFaults as error:
        return Checked(name, kind, error.faults)


def design(
    trainee_file: Path, brief_file: Path, place_files: Sequence[Path] = (), log_files: Sequence[Path] = ()
) -> Block:
    """A block from a trainee, their places and a brief; logs so far make its loads surer."""
    person = load_person(trainee_file, place_files)
    brief = load_brief(brief_file)
    log = load_logs(log_files)
    estimates = estimates_for(person.trainee, log, brief.start)
    return design_block(person.trainee, person.places, brief, catalogue(), estimates, log)


def plain_brief(title: str, weeks: int, days: int, start: date) -> Brief:
    """The brief that a written block implies: it wants nothing but what is written."""
    return Brief(
        id="written",
        title=title,
        weeks=max(4, weeks),
        days_a_week=min(6, max(2, days)),
        minutes=240.0,
        start=start,
        rpe=(7.0, 8.0),
        deload_every=0,
    )


def write(
    trainee_file: Path,
    text_file: Path,
    start: date,
    place_files: Sequence[Path] = (),
    log_files: Sequence[Path] = (),
    brief_file: Path | None = None,
    names: Mapping[str, str] | None = None,
) -> Block:
    """A written block, read, dosed and checked for a trainee."""
    person = load_person(trainee_file, place_files)
    days = tuple(day.day for day in person.trainee.days)
    written = read_block_text(read_text(text_file), catalogue(), str(text_file), days=days, names=names)
    log = load_logs(log_files)
    if brief_file is not None:
        brief = load_brief(brief_file)
    else:
        brief = plain_brief(written.title, written.weeks, len(written.template.sessions), start)
    estimates = estimates_for(person.trainee, log, brief.start)
    return fit_written(written, person.trainee, person.places, brief, catalogue(), estimates)


def block_estimates(block: Block, log: Log, on: date | None = None) -> Estimates:
    """What is known of the trainee of a block, with a log."""
    start = block.inputs.brief.start
    return estimates_for(block.inputs.trainee, log, on or last_date(log, start))


def restrict(
    block_file: Path,
    text: str = "",
    restriction: Restriction | None = None,
    from_week: int | None = None,
    log_files: Sequence[Path] = (),
    set_by: str = "",
) -> Block:
    """The changed block after "my elbow is sore": what the restriction touches, nothing else.

    from_week : the first week that may change; the week after the last logged one, or the first, when None
    """
    block = load_block(block_file)
    log = load_logs(log_files)
    made = restriction or parse_restriction(text, "--restriction")
    if set_by:
        made = replace(made, set_by=set_by)
    weeks = [one.week for one in log.sets if one.week is not None]
    first = from_week if from_week is not None else max(weeks, default=0) + 1
    if not 1 <= first <= len(block.weeks):
        allowed = f"1 to {len(block.weeks)}"
        raise InputFaults([Fault("--from-week", "", str(first), allowed, "The block has no such week left.")])
    return restrict_block(block, made, catalogue(), block_estimates(block, log), first)


def estimate(trainee_file: Path, log_files: Sequence[Path], on: date | None = None) -> Estimates:
    """What baselines and logs say about strength."""
    person = load_person(trainee_file)
    log = load_logs(log_files)
    newest = max([base.date for base in person.trainee.baselines], default=date.min)
    return estimates_for(person.trainee, log, on or last_date(log, newest))


def review(block_file: Path, log_files: Sequence[Path]) -> Review:
    """What the log says about the block so far."""
    block = load_block(block_file)
    log = load_logs(log_files)
    return review_block(block, log, block_estimates(block, log), catalogue())


def adapt(block_file: Path, log_files: Sequence[Path]) -> Block:
    """The next revision of the block; the old one unchanged where nothing has to change."""
    block = load_block(block_file)
    log = load_logs(log_files)
    return adapt_block(block, log, block_estimates(block, log), catalogue())


def stand_ins(
    slug: str,
    have: Sequence[str] = (),
    place_file: Path | None = None,
    trainee_file: Path | None = None,
    restriction_texts: Sequence[str] = (),
    count: int = 3,
    with_excluded: bool = False,
) -> list[Candidate]:
    """What can stand in for an exercise."""
    known = catalogue()
    tokens: frozenset[str] | None = None
    if place_file is not None:
        tokens = expand_tokens(read_place(read_text(place_file), str(place_file), known).tokens())
    if have:
        tokens = expand_tokens([*(tokens or ()), *have])
    trainee = None if trainee_file is None else read_trainee(read_text(trainee_file), str(trainee_file), known)
    rules = list(trainee.restrictions) if trainee else []
    rules += [parse_restriction(text, "--restriction") for text in restriction_texts]
    return alternatives(slug, known, tokens, rules, trainee, count, with_excluded)
