"""Why each entry of a block is what it is, as a coach asks it: this, here, so much, what instead."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from setwright.catalogue.names import nearest
from setwright.catalogue.store import Catalogue
from setwright.faults import Fault, InputFaults
from setwright.people.trainee import DAYS
from setwright.plan.block import Block, Change, Entry
from setwright.plan.recount import told_again
from setwright.publish import words
from setwright.publish.reason_words import QUESTIONS, reason_rows
from setwright.publish.terminal import fill
from setwright.publish.units import Unit, in_unit
from setwright.services.deeds import block_estimates
from setwright.services.gather import Say, catalogue, load_block, load_logs, silent
from setwright.services.keeping import kept_log
from setwright.strength.logged import Log


@dataclass(frozen=True)
class Told:
    """One entry with its answers: where it stands, its line of that week, what changed it, and the four answers."""

    week: int
    day: str
    part: str
    entry: Entry
    reasons: dict[str, str]
    changes: tuple[Change, ...] = ()


@dataclass(frozen=True)
class Explained:
    """The asked entries of a block. ``is_counted_anew``: the block carried no answers that still hold."""

    block: Block
    entries: tuple[Told, ...]
    is_counted_anew: bool


def with_answers(block: Block, log: Log | None = None) -> Block:
    """The block with the answers of its entries: its own where it has them, else counted from what stands in it."""
    if any(entry.reasons for _, _, _, entry in entries_of(block)):
        return block
    known = frozenset(one.exercise for one in (log.sets if log else ()))
    return told_again(block, catalogue(), block_estimates(block, log or Log((), ())), known)


def explain(
    block_file: Path,
    exercise: str = "",
    day: str = "",
    week: int = 0,
    log_files: Sequence[Path] = (),
    records: Path | None = None,
    say: Say = silent,
) -> Explained:
    """The answers of the entries asked for: of an exercise, a day, a week; of the first week's when nothing is asked.

    Raises InputFaults where the block has no such entry.
    """
    block = load_block(block_file)
    log = load_logs(log_files, kept=kept_log(records, block.trainee), say=say) if log_files or records else None
    told = with_answers(block, log)
    slug = catalogue().get(exercise).slug if exercise else ""
    faults = asked_faults(block, slug, exercise, day, week)
    if faults:
        raise InputFaults(faults)
    found = tuple(tell(told, slug, day, week))
    return Explained(told, found, told is not block)


def asked_faults(block: Block, slug: str, exercise: str, day: str, week: int) -> list[Fault]:
    """What was asked for and is not in the block."""
    faults = []
    days = [one for one in DAYS if any(one == its for _, its, _, _ in entries_of(block))]
    if day and day not in days:
        faults.append(Fault("--day", "", repr(day), ", ".join(days)))
    weeks = [one.number for one in block.weeks]
    if week and week not in weeks:
        faults.append(Fault("--week", "", str(week), f"{weeks[0]} to {weeks[-1]}"))
    if faults or not slug:
        return faults
    here = {entry.exercise for number, its, _, entry in entries_of(block) if day in ("", its) and week in (0, number)}
    if slug not in here:
        where = " ".join(text for text in (f"on {day}" if day else "", f"in week {week}" if week else "") if text)
        close = ", ".join(nearest(slug, sorted(here), 5)) or ", ".join(sorted(here)[:5])
        hint = f"{catalogue().get(slug).name[:1].upper()}{catalogue().get(slug).name[1:]} does not stand there."
        faults.append(
            Fault("EXERCISE", "", repr(exercise), f"an exercise of the block {where}".strip() + f": {close}", hint)
        )
    return faults


def entries_of(block: Block) -> list[tuple[int, str, str, Entry]]:
    """(week, day, part, entry) of everything in a block."""
    return [
        (week.number, session.day, part.part, entry)
        for week in block.weeks
        for session in week.sessions
        for part in session.parts
        for entry in part.entries
    ]


def tell(block: Block, slug: str, day: str, week: int) -> list[Told]:
    """The entries asked for, each once: in the week asked for, else in the first week that holds it."""
    answers: dict[tuple[str, str, str], dict[str, str]] = {}
    for _, its, part, entry in entries_of(block):
        if entry.reasons:
            answers.setdefault((its, part, entry.exercise), entry.reasons)
    found: dict[tuple[str, str, str], Told] = {}
    for number, its, part, entry in entries_of(block):
        key = (its, part, entry.exercise)
        if key in found or (week and number != week) or (slug and entry.exercise != slug) or (day and its != day):
            continue
        if not slug and part == "warm-up":
            continue
        changes = changes_of(block, its, entry, number, catalogue())
        found[key] = Told(number, its, part, entry, answers.get(key, {}), changes)
    return sorted(found.values(), key=lambda one: DAYS.index(one.day))


def changes_of(block: Block, day: str, entry: Entry, week: int, known: Catalogue) -> tuple[Change, ...]:
    """What changed an entry of a week in this revision."""
    name = known.get(entry.exercise).name
    return tuple(
        one
        for one in block.changes
        if one.session == day
        and one.week in (0, week)
        and not one.entry.startswith("filler")
        and (one.entry == name or one.to == name or one.to.startswith(f"{name},"))
    )


def changed_words(change: Change) -> str:
    """A change in one sentence."""
    return (
        f"Added: {change.why}"
        if change.from_ == "nothing"
        else f"Changed from {change.from_} to {change.to}: {change.why}"
    )


def explained_json(found: Explained) -> dict[str, object]:
    """The answers as JSON values; loads in kg."""
    return {
        "block": found.block.id,
        "title": found.block.title,
        "proof": words.proof_text(found.block),
        "counted_anew": found.is_counted_anew,
        "entries": [
            {
                "week": one.week,
                "day": one.day,
                "part": one.part,
                "exercise": one.entry.exercise,
                "name": words.name_of(one.entry.exercise, catalogue()),
                "changed": [{"from": change.from_, "to": change.to, "why": change.why} for change in one.changes],
                "reasons": {question: one.reasons[question] for question in QUESTIONS if question in one.reasons},
            }
            for one in found.entries
        ],
    }


def explained_text(found: Explained, unit: Unit | None = None) -> str:
    """The answers for people, day by day."""
    block, known = found.block, catalogue()
    lines = [fill(f"{block.title}, for {block.inputs.trainee.name} ({block.id})"), fill(words.proof_text(block))]
    lines.append(fill("Points: what the search adds up; a set missing in one week costs 8 for an ordinary group."))
    if found.is_counted_anew and block.revision > 1:
        lines.append(fill("It was changed since it was made: counted anew from what stands in it now."))
    day = ""
    for one in found.entries:
        shown = unit or words.day_unit(block, one.day)
        if one.day != day:
            day = one.day
            lines += ["", words.DAY_NAMES[one.day]]
        session = words.spoken_session(block, words.find_session(block, one.week, one.day)[1], unit)[0]
        entry = next(
            its
            for part in session.parts
            if part.part == one.part
            for its in part.entries
            if its.exercise == one.entry.exercise
        )
        lines += ["", fill(f"Week {one.week}: {words.entry_text(entry, known, shown)}", "  ")]
        for change in one.changes:
            lines.append(fill(in_unit(changed_words(change), shown), "    "))
        lines += [fill(f"{title}: {text}", "    ") for title, text in reason_rows(one.reasons, shown)]
    return "\n".join(lines)
