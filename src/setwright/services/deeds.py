"""One function for each deed of a coach. Each takes paths or values, does the deed, and gives a value to show."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path

from setwright.body.range_of_motion import range_tests
from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.load import parse_exercise_file, parse_progression_file, unknown_steps
from setwright.catalogue.names import nearest
from setwright.faults import Fault, InputFaults
from setwright.people.intake import read_place, read_trainee
from setwright.people.restriction_text import parse_restriction
from setwright.people.screening import without_expired
from setwright.people.season import read_season
from setwright.people.trainee import Restriction, Trainee
from setwright.plan.alternatives import StandIns
from setwright.plan.alternatives import stand_ins as find_stand_ins
from setwright.plan.block import Block, Change
from setwright.plan.brief import IMPLIED, Brief
from setwright.plan.brief_file import read_brief
from setwright.plan.design import design_block
from setwright.plan.formats import read_format
from setwright.plan.kept import has_placeholders
from setwright.plan.restrict import restrict_block
from setwright.plan.revisions import with_some
from setwright.plan.schemes import read_scheme
from setwright.plan.shorthand import read_block_text
from setwright.plan.written import fit_written
from setwright.review.log_file import read_log_and_repeats
from setwright.review.pain import unread_figures
from setwright.services.block_check import since_week
from setwright.services.clock import today
from setwright.services.files import MOST_BLOCK_BYTES, read_bytes, read_text
from setwright.services.gather import (
    Person,
    Say,
    catalogue,
    checked_block,
    estimates_for,
    expect,
    kind_of,
    last_date,
    load_block,
    load_brief,
    load_log,
    load_logs,
    load_person,
    on_whole_week,
    silent,
)
from setwright.services.keeping import kept_log, key_of
from setwright.services.kept import places_named, read_for, read_kept
from setwright.services.log_fit import fit_of_log
from setwright.strength.endurance import Endurance, endurance_of
from setwright.strength.estimates import Estimates
from setwright.strength.logged import Log


@dataclass(frozen=True)
class Checked:
    """One checked file: what it is, its faults (none when it is in order), and what is odd but taken."""

    file: str
    kind: str
    faults: tuple[Fault, ...]
    warnings: tuple[str, ...] = ()


def check_files(paths: Sequence[Path]) -> tuple[Checked, ...]:
    """Reads files of any kind and gives all faults of each; nothing is written."""
    return tuple(check_file(path) for path in paths)


def check_file(path: Path) -> Checked:
    """Reads one file by what it is."""
    kind = "file"
    known = catalogue()
    name = str(path)
    odd: list[str] = []
    try:
        if path.suffix == ".json":
            data = read_bytes(path, MOST_BLOCK_BYTES)
            kind = kind_of(data[:400].decode("utf-8", "replace"), path)
            if kind == "block":
                checked_block(data, name)
            else:
                load_log(path, say=odd.append)
            return Checked(name, kind, (), tuple(odd))
        text = read_text(path)
        kind = kind_of(text, path)
        if kind == "trainee":
            trainee = read_trainee(text, name, known)
            odd += [*own_measures(trainee), *pain_in_words(trainee)]
            load_person(path)
        elif kind == "place":
            read_place(text, name, known)
        elif kind == "brief":
            read_brief(text, name, known)
        elif kind == "season":
            read_season(text, name, known)
        elif kind == "exercise":
            parse_exercise_file(name, text)
        elif kind == "progression":
            faults = unknown_steps(name, parse_progression_file(name, text), known)
            if faults:
                raise InputFaults(faults)
        elif kind == "scheme":
            read_scheme(name, text)
        elif kind == "format":
            read_format(name, text)
        elif kind == "log":
            odd += read_log_and_repeats(text, name, known)[1]
        elif has_placeholders(text):
            read_kept(text, name)
        else:
            read_block_text(text, known, name)
        return Checked(name, kind, (), tuple(odd))
    except InputFaults as error:
        return Checked(name, kind, error.faults)


def own_measures(trainee: Trainee) -> list[str]:
    """A line for each range measure that is no known test, with the nearest ones."""
    names = dict.fromkeys(one.measure for one in trainee.range_measures if one.measure not in range_tests())
    return [
        f"{name} is no range test with a known error; taken as your own, repeats tell its error. "
        f"Nearest: {', '.join(nearest(name, list(range_tests()), 3)) or ', '.join(range_tests())}."
        for name in names
    ]


def pain_in_words(trainee: Trainee) -> list[str]:
    """A line for each clearance that tells of pain in words alone: words are not read, a key is."""
    return [
        f"restriction {one.id}: its clearance tells of pain in words, which are not read, so the strictest published "
        "limit holds there. If the clinician allows a figure, write it as pain_up_to = 4 below scope."
        for one in unread_figures(trainee.restrictions)
    ]


def design(
    trainee_file: Path,
    brief_file: Path,
    place_files: Sequence[Path] = (),
    log_files: Sequence[Path] = (),
    records: Path | None = None,
    say: Say = silent,
) -> Block:
    """A block from a trainee, their places and a brief; logs so far make its loads surer."""
    asked = design_inputs(trainee_file, brief_file, place_files, log_files, records, say)
    return design_block(asked.person.trainee, asked.person.places, asked.brief, catalogue(), asked.estimates, asked.log)


@dataclass(frozen=True)
class DesignInputs:
    """What a design starts from: the person with places, the brief on a whole week, the log, the estimates."""

    person: Person
    brief: Brief
    log: Log
    estimates: Estimates


def design_inputs(
    trainee_file: Path,
    brief_file: Path,
    place_files: Sequence[Path] = (),
    log_files: Sequence[Path] = (),
    records: Path | None = None,
    say: Say = silent,
) -> DesignInputs:
    """The files of a design, read; logs so far make its loads surer."""
    person = load_person(trainee_file, place_files, say=say)
    brief = load_brief(brief_file)
    brief = replace(brief, start=on_whole_week(brief.start, [day.day for day in person.trainee.days], say))
    log = load_logs(log_files, kept=kept_log(records, person.trainee.id), say=say)
    estimates = estimates_for(person.trainee, log, brief.start, person.places)
    return DesignInputs(person, brief, log, estimates)


def plain_brief(title: str, weeks: int, days: int, start: date) -> Brief:
    """The brief that a written block implies: it wants nothing but what is written."""
    return Brief(
        id=IMPLIED,
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
    records: Path | None = None,
    say: Say = silent,
    cues: Mapping[str, str] | None = None,
) -> Block:
    """A written block, or a kept session with its placeholders, read, dosed and checked for a trainee.

    cues : the trainee's own cues by exercise, for a kept session that asks for them
    """
    text = read_text(text_file)
    expect("written block", text, text_file)
    trainee = read_trainee(read_text(trainee_file), str(trainee_file), catalogue())
    days = tuple(day.day for day in trainee.days)
    named = places_named(text, str(text_file), names)
    person = load_person(trainee_file, place_files, named, say)
    written, fillings = read_for(text, person.trainee, person.places, str(text_file), days, names, cues)
    for one in fillings:
        if one.at.kind in ("step", "here"):
            say(f"Line {one.at.line}, {one.at.text}: {one.became}. {one.why}".rstrip())
    log = load_logs(log_files, kept=kept_log(records, trainee.id), say=say)
    if brief_file is not None:
        brief = load_brief(brief_file)
    else:
        brief = plain_brief(written.title, written.weeks, len(written.template.sessions), start)
    brief = replace(brief, start=on_whole_week(brief.start, [one.day for one in written.template.sessions], say))
    estimates = estimates_for(person.trainee, log, brief.start, person.places)
    return fit_written(written, person.trainee, person.places, brief, catalogue(), estimates)


def block_estimates(block: Block, log: Log, on: date | None = None) -> Estimates:
    """What is known of the trainee of a block, with a log."""
    start = block.inputs.brief.start
    return estimates_for(block.inputs.trainee, log, on or last_date(log, start), block.inputs.places)


def restrict(
    block_file: Path,
    text: str = "",
    restriction: Restriction | None = None,
    from_week: int | None = None,
    log_files: Sequence[Path] = (),
    set_by: str = "",
    records: Path | None = None,
    say: Say = silent,
) -> Block:
    """The changed block after "my elbow is sore": what the restriction touches, nothing else.

    from_week : the first week that may change; the week after the last logged one, or the first, when None
    """
    block = load_block(block_file)
    log = load_logs(log_files, kept=kept_log(records, block.trainee), say=say)
    made = restriction or parse_restriction(text, "--restriction")
    if set_by:
        made = replace(made, set_by=set_by)
    first = first_open_week(block, log, from_week)
    made = since_week(block, made, first)
    return restrict_block(block, made, catalogue(), block_estimates(block, log), first)


def first_open_week(block: Block, log: Log, from_week: int | None = None) -> int:
    """The first week that may change: the one asked for, else the one after the last logged, else the first."""
    weeks = [one.week for one in fit_of_log(block, log).inside.sets if one.week is not None]
    first = from_week if from_week is not None else max(weeks, default=0) + 1
    if not 1 <= first <= len(block.weeks):
        allowed = f"1 to {len(block.weeks)}"
        raise InputFaults([Fault("--from-week", "", str(first), allowed, "The block has no such week left.")])
    return first


def estimate(
    trainee_file: Path,
    log_files: Sequence[Path],
    on: date | None = None,
    records: Path | None = None,
    say: Say = silent,
) -> Estimates:
    """What baselines and logs say about strength."""
    person = load_person(trainee_file)
    log = load_logs(log_files, kept=kept_log(records, person.trainee.id), say=say)
    newest = max([base.date for base in person.trainee.baselines], default=date.min)
    latest = last_date(log, newest)
    if on is None and latest > today() + timedelta(days=1):
        say(f"The newest set is of {latest.isoformat()}, a day to come: check the dates, or ask --on a day.")
    return estimates_for(person.trainee, log, on or latest, person.places)


def endurance(
    trainee_file: Path, log_files: Sequence[Path], today: date, records: Path | None = None
) -> Endurance | None:
    """What the file and the logs say about heart rates and critical power; None where they say nothing of it."""
    person = load_person(trainee_file)
    log = load_logs(log_files, kept=kept_log(records, person.trainee.id), say=silent)
    until = Log(tuple(one for one in log.sets if one.date <= today), log.sessions)
    return endurance_of(person.trainee, until, today, catalogue())


def without_declined(before: Block, after: Block, declined: Sequence[Change], say: Say = silent) -> Block:
    """The revision without what the coach declined before; what stops for pain is proposed each time."""
    if after.id == before.id or not declined:
        return after
    known = {key_of(one) for one in declined if one.to != "rests"}
    again = [row for row, one in enumerate(after.changes, start=1) if key_of(one) in known]
    if not again:
        return after
    names = ", ".join(dict.fromkeys(after.changes[row - 1].entry for row in again))
    say(f"Declined before, so not proposed again: {names}.")
    return with_some(before, after, set(range(1, len(after.changes) + 1)) - set(again), catalogue())


def stand_ins(
    slug: str,
    have: Sequence[str] = (),
    place_file: Path | None = None,
    trainee_file: Path | None = None,
    restriction_texts: Sequence[str] = (),
    count: int = 3,
    with_excluded: bool = False,
    part: str | None = None,
    brief_file: Path | None = None,
    block_file: Path | None = None,
) -> StandIns:
    """What can stand in for an exercise; ``part`` keeps only what fits that part of a session.

    What the brief, or the brief of the block, excludes is not offered. A block's trainee and places count too, where no
    file of their own is given.
    """
    known = catalogue()
    if count < 1:
        raise InputFaults([Fault("-n", "", str(count), "a whole number from 1")])
    tokens: frozenset[str] | None = None
    if place_file is not None:
        tokens = expand_tokens(read_place(read_text(place_file), str(place_file), known).tokens())
    inputs = None if block_file is None else load_block(block_file).inputs
    if inputs is not None and tokens is None and not have:
        tokens = expand_tokens([token for place in inputs.places for token in place.tokens()])
    if have:
        tokens = expand_tokens([*(tokens or ()), *have])
    trainee = None if trainee_file is None else read_trainee(read_text(trainee_file), str(trainee_file), known)
    if inputs is not None and trainee is None:
        trainee = without_expired(inputs.trainee, inputs.brief.start)
    rules = list(trainee.restrictions) if trainee else []
    rules += [parse_restriction(text, "--restriction") for text in restriction_texts]
    left_out = [*(inputs.brief.exclude if inputs else ()), *(load_brief(brief_file).exclude if brief_file else ())]
    return find_stand_ins(known.get(slug).slug, known, tokens, rules, trainee, count, with_excluded, part, left_out)
