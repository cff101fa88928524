"""What happened, as a coach types it, and the block after it: days lost, minutes cut, another place, a machine gone."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from setwright.catalogue.names import match_name
from setwright.faults import Fault, InputFaults
from setwright.people.intake import read_place
from setwright.people.place import Place
from setwright.people.trainee import DAY_NAMES, DAYS, Day
from setwright.plan.block import Block, Proof
from setwright.plan.identity import with_id
from setwright.plan.reshape import reshape_block
from setwright.plan.reshape_back import block_before
from setwright.plan.reshape_options import Asked
from setwright.services.deeds import block_estimates, first_open_week
from setwright.services.files import read_text
from setwright.services.gather import Say, catalogue, expect, load_block, load_logs, silent
from setwright.services.keeping import kept_log, records_in
from setwright.services.lifting import lift_restriction, lifted_block, may_lift, named_restriction
from setwright.strength.estimates import Estimates

OPTIONS = {"--set-by": "--by", "--lift": "--lift-restriction"}  # what lifting calls them, and what it is called here
LEAST_MINUTES, MOST_MINUTES = 5.0, 600.0


@dataclass(frozen=True)
class Disturbance:
    """What happened, in the words of the command line.

    bars : slugs or trade names; lost_days : weekdays; minutes, places : ``45`` or ``thu=45``, a file or ``thu=FILE``
    weeks : ``3,4`` or ``3-5``; empty for all that remain
    """

    bars: tuple[str, ...] = ()
    lost_days: tuple[str, ...] = ()
    minutes: tuple[str, ...] = ()
    places: tuple[str, ...] = ()
    weeks: str = ""
    sets_only: bool = False


def reshape_after(
    block_file: Path,
    happened: Disturbance,
    lift: str = "",
    lifted_by: str = "",
    before_file: Path | None = None,
    from_week: int | None = None,
    log_files: Sequence[Path] = (),
    records: Path | None = None,
    say: Say = silent,
) -> Block:
    """The next revision after a disturbance, or the block itself where nothing has to change.

    lift, lifted_by, before_file : a restriction that ends, who ends it, and the block as it was before it
    Raises InputFaults for words that can't be read, NoPlan where the hard rules leave nothing.
    """
    block = load_block(block_file)
    has_log = records is not None and bool(records_in(records).log(block.trainee).sets)
    log = load_logs(log_files, kept=kept_log(records if has_log else None, block.trainee), say=say)
    first = first_open_week(block, log, from_week)
    asked = read_disturbance(block, happened, first)
    start = block
    if lift:
        try:
            if before_file is not None or records is not None:
                start = lift_restriction(block_file, lift, before_file, first, log_files, lifted_by, records, say)
            else:
                start = lifted_from_changes(block, lift, lifted_by, block_estimates(block, log), first, say)
        except InputFaults as error:
            raise InputFaults([replace(one, file=OPTIONS.get(one.file, one.file)) for one in error.faults]) from None
    after = reshape_block(start, asked, catalogue(), block_estimates(block, log), first)
    if after is start:
        for line in nothing_to_do(block, asked, first):
            say(line)
        return after
    return joined(block, start, after) if lift else after


def lifted_from_changes(block: Block, name: str, lifted_by: str, estimates: Estimates, first: int, say: Say) -> Block:
    """The block without a restriction where no earlier revision is at hand: its own list of changes tells what was."""
    restriction = named_restriction(block.inputs.trainee, name)
    may_lift(restriction, lifted_by)
    before = block_before(block, restriction, catalogue(), estimates)
    if before is None:
        hint = "Give it with --before FILE, or --records with the folder where it was accepted."
        allowed = "a block whose changes tell of it, or whose revision before is at hand"
        raise InputFaults([Fault("--lift-restriction", "", restriction.id, allowed, hint)])
    say("Without --before or --records: what stood there is read from the list of changes and dosed anew.")
    return lifted_block(block, before, restriction, estimates, first, lifted_by)


def joined(block: Block, lifted: Block, after: Block) -> Block:
    """A lifted restriction and what came on top of it, as one revision of the block."""
    proof, first = after.proof, lifted.proof
    return with_id(
        replace(
            after,
            id="",
            revision=block.revision + 1,
            parent=block.id,
            changes=(*lifted.changes, *after.changes),
            proof=Proof(proof.status, proof.objective, proof.bound, proof.gap, f"{first.note} {proof.note}"),
        )
    )


def nothing_to_do(block: Block, asked: Asked, first: int) -> list[str]:
    """Why nothing had to change, for each thing that was asked."""
    known = catalogue()
    weeks = [week for week in block.weeks if week.number >= first and (not asked.weeks or week.number in asked.weeks)]
    there = {entry.exercise for w in weeks for s in w.sessions for part in s.parts for entry in part.entries}
    lines = [f"{known.get(slug).name} is not in the weeks that remain." for slug in asked.barred if slug not in there]
    if asked.minutes and not lines:
        lines.append("The sessions fit into these minutes as they are.")
    return lines


def read_disturbance(block: Block, happened: Disturbance, first: int) -> Asked:
    """The disturbance as the planner takes it. Raises InputFaults with every fault."""
    faults: list[Fault] = []
    last = len(block.weeks)
    weeks = read_weeks(happened.weeks, first, last, faults)
    counted = [week for week in block.weeks if week.number >= first and (weeks is None or week.number in weeks)]
    days = [day for day in DAYS if any(session.day == day for week in counted for session in week.sessions)]
    lost = tuple(dict.fromkeys(day for text in happened.lost_days for day in read_day(text, days, faults)))
    asked = Asked(
        barred=tuple(dict.fromkeys(slug for text in happened.bars for slug in read_exercise(text, faults))),
        lost_days=lost,
        minutes=read_minutes(happened.minutes, days, lost, faults),
        places=read_places(happened.places, days, lost, block, faults),
        weeks=weeks,
        sets_only=happened.sets_only,
    )
    if happened.sets_only and (asked.barred or asked.lost_days):
        option = "--bar" if asked.barred else "--lose-day"
        hint = "An exercise that is barred, or stands on a lost day, can't stay: leave out --sets-only."
        faults.append(Fault(option, "", "with --sets-only", "one or the other", hint))
    for day in asked.lost_days:
        if day in asked.minutes or day in asked.places:
            faults.append(Fault("--lose-day", "", day, "a day that is not given minutes or a place as well"))
    if faults:
        raise InputFaults(faults)
    return asked


def read_exercise(text: str, faults: list[Fault]) -> list[str]:
    """The slug that a slug or trade name means, as a list of one; nothing and a fault where it is none for sure."""
    known = catalogue()
    if text in known:
        return [known.get(text).slug]
    found = match_name(text, known)
    if found.slug is not None and found.sure:
        return [found.slug]
    near = ", ".join(found.proposals)
    faults.append(Fault("--bar", "", repr(text), "an exercise of the catalogue", f"Nearest: {near}." if near else ""))
    return []


def read_day(text: str, days: Sequence[Day], faults: list[Fault], option: str = "--lose-day") -> list[Day]:
    """The weekday that a word means, as a list of one; nothing and a fault where the block has no such day."""
    word = text.strip().lower()
    for day in days:
        if word in (day, DAY_NAMES[day].lower()):
            return [day]
    faults.append(Fault(option, "", repr(text), f"a day of this block: {', '.join(days)}"))
    return []


def read_weeks(text: str, first: int, last: int, faults: list[Fault]) -> tuple[int, ...] | None:
    """Week numbers from ``3``, ``3,4`` or ``3-5``; None for all that remain."""
    if not text.strip():
        return None
    numbers: set[int] = set()
    for piece in text.split(","):
        read = re.fullmatch(r"\s*(\d{1,2})\s*(?:-\s*(\d{1,2})\s*)?", piece)
        if read is None:
            faults.append(Fault("--weeks", "", repr(piece.strip()), "numbers of weeks, like 3,4 or 3-5"))
            return None
        numbers |= set(range(int(read[1]), int(read[2] or read[1]) + 1)) or {int(read[1])}
    wrong = sorted(number for number in numbers if not first <= number <= last)
    if wrong:
        hint = "Weeks that are done stay as they are." if wrong[0] < first else ""
        faults.append(Fault("--weeks", "", ", ".join(map(str, wrong)), f"{first} to {last}", hint))
    return tuple(sorted(numbers))


def by_day(
    text: str, days: Sequence[Day], lost: Sequence[Day], option: str, faults: list[Fault]
) -> tuple[list[Day], str]:
    """The days an answer is for, and the answer: ``thu=45`` is for one, ``45`` for all that are not lost."""
    day, equals, value = text.partition("=")
    if not equals:
        return [one for one in days if one not in lost], text.strip()
    return read_day(day, days, faults, option), value.strip()


def read_minutes(
    texts: Sequence[str], days: Sequence[Day], lost: Sequence[Day], faults: list[Fault]
) -> dict[str, float]:
    """Minutes by weekday; a day of its own wins over all days."""
    found: dict[str, float] = {}
    for text in sorted(texts, key=lambda one: "=" in one):
        wanted, value = by_day(text, days, lost, "--minutes", faults)
        try:
            minutes = float(value)
        except ValueError:
            minutes = -1.0
        if not LEAST_MINUTES <= minutes <= MOST_MINUTES:
            allowed = f"{LEAST_MINUTES:g} to {MOST_MINUTES:g} min, like 45 or thu=45"
            faults.append(Fault("--minutes", "", repr(text), allowed))
            continue
        found |= dict.fromkeys(wanted, minutes)
    return {day: found[day] for day in days if day in found}


def read_places(
    texts: Sequence[str], days: Sequence[Day], lost: Sequence[Day], block: Block, faults: list[Fault]
) -> Mapping[str, Place]:
    """Places by weekday, from files or by the id of a place that the block knows."""
    found: dict[str, Place] = {}
    known = {place.id: place for place in block.inputs.places}
    for text in sorted(texts, key=lambda one: "=" in one):
        wanted, value = by_day(text, days, lost, "--place", faults)
        if value in known:
            place = known[value]
        else:
            try:
                words = read_text(Path(value))
                expect("place", words, Path(value))
                place = read_place(words, value, catalogue())
            except InputFaults as error:
                faults += error.faults
                continue
            if place.id in known and place != known[place.id]:
                hint = "Weeks that are done were trained in the old one: give the new one an id of its own."
                faults.append(Fault(value, "id", repr(place.id), "an id that this block does not use yet", hint))
                continue
        found |= dict.fromkeys(wanted, place)
    return {day: found[day] for day in days if day in found}
