"""Why each entry of a block is what it is, as a coach asks it: this, here, so much, what instead."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from setwright.catalogue.names import match_name, nearest
from setwright.catalogue.store import Catalogue
from setwright.faults import Fault, InputFaults
from setwright.people.trainee import DAY_NAMES, DAYS
from setwright.plan.block import Block, Change, Entry
from setwright.plan.identity import with_id, without_reasons
from setwright.plan.reasons_week import much_in_week
from setwright.plan.recount import frame_again, told_again
from setwright.plan.why_not import why_not
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
    """The asked entries of a block. ``is_counted_anew``: the block carried no answers that still hold.

    ``missing``: the slug of an exercise asked for that the block does not hold, and ``why_not`` it does not
    """

    block: Block
    entries: tuple[Told, ...]
    is_counted_anew: bool
    missing: str = ""
    why_not: str = ""


def with_answers(block: Block, log: Log | None = None) -> Block:
    """The block with the answers of its entries: its own where it has them, else counted from what stands in it.

    A file that was edited by hand no longer has the id of its content: its answers are counted anew.
    """
    if any(entry.reasons for _, _, _, entry in entries_of(block)) and with_id(block).id == block.id:
        return block
    block = without_reasons(block)
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

    An exercise that does not stand there is answered with why not. Raises InputFaults for an unknown one, day or week.
    """
    block = load_block(block_file)
    log = load_logs(log_files, kept=kept_log(records, block.trainee), say=say) if log_files or records else None
    told = with_answers(block, log)
    slug = named_slug(block, exercise) if exercise else ""
    faults = asked_faults(block, day, week)
    if faults:
        raise InputFaults(faults)
    found = tuple(tell(told, slug, day, week))
    if week and found:
        found = much_of_week(block, log or Log((), ()), found)
    if found or not slug:
        return Explained(told, found, told is not block)
    known = frozenset(one.exercise for one in (log.sets if log else ()))
    frame = frame_again(block, catalogue(), block_estimates(block, log or Log((), ())), known, frozenset({slug}))
    elsewhere = sorted({(its, number) for number, its, _, entry in entries_of(block) if entry.exercise == slug})
    if elsewhere:
        its, number = elsewhere[0]
        return Explained(told, (), told is not block, slug, f"It stands on {DAY_NAMES[its]} of week {number}.")
    return Explained(told, (), told is not block, slug, why_not(frame, slug))


def much_of_week(block: Block, log: Log, entries: Sequence[Told]) -> tuple[Told, ...]:
    """The entries with "why so much" about their own week, where the answers speak of an earlier one."""
    first: dict[tuple[str, str, str], int] = {}
    for number, day, part, entry in entries_of(block):
        first.setdefault((day, part, entry.exercise), number)
    if all(first[one.day, one.part, one.entry.exercise] == one.week for one in entries):
        return tuple(entries)
    known = frozenset(one.exercise for one in log.sets)
    frame = frame_again(block, catalogue(), block_estimates(block, log), known)
    weeks = {week.number: week for week in block.weeks}
    found = []
    for one in entries:
        if first[one.day, one.part, one.entry.exercise] != one.week:
            session = words.find_session(block, one.week, one.day)[1]
            much = much_in_week(frame, weeks[one.week], session, one.part, one.entry)
            one = replace(one, reasons={**one.reasons, "much": much})
        found.append(one)
    return tuple(found)


def named_slug(block: Block, text: str) -> str:
    """The exercise that a slug or a name means; where a name is unsure, the one of its likely ones in the block.

    Raises InputFaults with the nearest where it stays unsure.
    """
    known = catalogue()
    if text in known:
        return known.get(text).slug
    here = {entry.exercise for _, _, _, entry in entries_of(block)}
    found = match_name(text, known)
    likely = [slug for slug in (found.slug, *found.proposals) if slug in here]
    if found.slug is not None and found.sure:
        return found.slug
    if likely and len(set(likely)) == 1:
        return str(likely[0])
    near = ", ".join(found.proposals) or ", ".join(nearest(text, sorted(here), 3))
    raise InputFaults([Fault("EXERCISE", "", repr(text), "an exercise of the catalogue", f"Nearest: {near}.")])


def asked_faults(block: Block, day: str, week: int) -> list[Fault]:
    """A day or week that was asked for and is not in the block."""
    faults = []
    days = [one for one in DAYS if any(one == its for _, its, _, _ in entries_of(block))]
    if day and day not in days:
        faults.append(Fault("--day", "", repr(day), ", ".join(days)))
    weeks = [one.number for one in block.weeks]
    if week and week not in weeks:
        faults.append(Fault("--week", "", str(week), f"{weeks[0]} to {weeks[-1]}"))
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
        "missing": {"exercise": found.missing, "why_not": found.why_not} if found.missing else None,
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
    if found.is_counted_anew and block.door == "design":
        lines.append(fill("It was changed since it was made: counted anew from what stands in it now."))
    if found.missing:
        name = words.name_of(found.missing, known)
        shown = unit or words.block_unit(block)
        lines += ["", fill(f"Why not {name}: {in_unit(found.why_not, shown)}", "  ")]
    day = ""
    for one in found.entries:
        shown = unit or words.day_unit(block, one.day)
        if one.day != day:
            day = one.day
            lines += ["", DAY_NAMES[one.day]]
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
