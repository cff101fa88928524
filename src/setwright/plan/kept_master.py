"""A kept session as a master for many: what its placeholders ask is kept beside each entry, and filled in person by
person when the master is fitted.

``{here: ...}`` needs no mark: in a fit every exercise stays where it is open and gives way where it is not.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.exercise import Progression
from setwright.catalogue.store import Catalogue
from setwright.faults import Fault, InputFaults
from setwright.people.place import Place
from setwright.people.trainee import Trainee
from setwright.plan.brief import Brief
from setwright.plan.kept import (
    Filling,
    Placeholder,
    as_a_note,
    as_written,
    exercise_named,
    in_its_place,
    name_that_reads,
    open_step,
    placeholders,
    progression_named,
    readable,
    with_words,
)
from setwright.plan.master import Asked, Master, master_of_text
from setwright.plan.shorthand import WrittenBlock, read_block_text
from setwright.plan.template import TemplateEntry

NAME_MARK = "Thisperson"  # a word that the reader takes as a name, and nobody writes


def master_of_kept(
    text: str,
    brief_of: Callable[[WrittenBlock], Brief],
    catalogue: Catalogue,
    file: str = "text",
    names: Mapping[str, str] | None = None,
) -> Master:
    """The master in a kept session. Raises InputFaults with every placeholder and line that can't be read."""
    found = placeholders(text, catalogue, file)
    lines = text.split("\n")
    sayings = {(one.line, one.text): words_for(one, lines[one.line - 1], catalogue) for one in found}
    filled = with_words(text, sayings)
    written = read_block_text(filled, catalogue, file, names=names)
    master = master_of_text(written, brief_of(written), catalogue)
    by_line = {line.strip(): number for number, line in enumerate(filled.split("\n"), start=1)}
    asked: dict[int, Asked] = {}
    for one in found:
        asked[one.line] = with_asked(asked.get(one.line, Asked()), one, catalogue)
    sessions = []
    met: set[int] = set()
    for session in master.sessions:
        slots, asks = [], []
        for slot in session.slots:
            number = by_line.get(slot.written) or by_line.get(slot.written.split(" / ")[0], 0)
            ask = asked.get(number)
            met.add(number)
            asks.append(ask)
            slots.append(slot if ask is None else begun(slot, ask, lines[number - 1].strip(), catalogue))
        sessions.append(replace(session, slots=tuple(slots), asks=tuple(asks)))
    faults = [
        Fault(file, f"line {number}", repr(lines[number - 1].strip()), "a placeholder on the line of its exercise")
        for number, ask in asked.items()
        if ask != Asked() and number not in met
    ]
    if faults:
        raise InputFaults(faults)
    content = repr((master.id, lines))
    return replace(
        master,
        id=f"mst-{hashlib.sha256(content.encode()).hexdigest()[:12]}",
        sessions=tuple(sessions),
        name_mark=NAME_MARK if any(one.kind == "name" for one in found) else "",
    )


def words_for(one: Placeholder, line: str, catalogue: Catalogue) -> str:
    """What stands on a line in the place of a placeholder while nobody is meant yet."""
    if one.kind == "name":
        return NAME_MARK
    if one.kind == "cue":
        return ""
    if one.kind == "here":
        exercise = exercise_named(one.of, catalogue)
        assert exercise is not None
        before, _, after = line.partition(one.text)
        return name_that_reads(exercise, before, after, catalogue)
    progression = progression_named(one.of, catalogue)
    assert progression is not None
    return readable(one, line, progression.steps[0].exercise, progression, catalogue)


def with_asked(before: Asked, one: Placeholder, catalogue: Catalogue) -> Asked:
    """What a line asks, with one placeholder more."""
    if one.kind == "cue":
        return replace(before, cue=as_a_note(one.of))
    if one.kind == "step":
        progression = progression_named(one.of, catalogue)
        assert progression is not None
        return replace(before, step=progression.slug)
    return before


def begun(slot: TemplateEntry, ask: Asked, line: str, catalogue: Catalogue) -> TemplateEntry:
    """An entry with the line as it was written; at the first step where one is asked for."""
    slot = replace(slot, written=line)
    if not ask.step:
        return slot
    first = catalogue.progressions[ask.step].steps[0]
    return at_step(slot, catalogue.progressions[ask.step], first.exercise, first.number, "", catalogue)


def at_step(
    slot: TemplateEntry, progression: Progression, exercise: str, step: int | None, why: str, catalogue: Catalogue
) -> TemplateEntry:
    """An entry with a step of a progression in its place; its sets as that step can carry them.

    step : None for an exercise beside the way
    """
    asked = Placeholder(0, "step", progression.title, slot.written)
    of = progression.slug if step is not None else ""
    filling = Filling(asked, as_written(catalogue.get(exercise)), why, "", exercise, of, step)
    return in_its_place(slot, filling, catalogue)


@dataclass(frozen=True)
class OwnStep:
    """An entry at somebody's own step, short words and the reason; ``is_known``: whether a step is on file."""

    entry: TemplateEntry
    short: str
    why: str
    is_known: bool


def own_step_of(slot: TemplateEntry, ask: Asked, trainee: Trainee, place: Place, catalogue: Catalogue) -> OwnStep:
    """An entry at the step that somebody has reached.

    Where the step is closed, one beside it, else one lower down; where all are closed the step stays, to be exchanged
    as any other exercise. Where no step is on file it is the first, and that is said.
    """
    progression = catalogue.progressions[ask.step]
    on_file = [(one.date, one.step) for one in trainee.steps if one.progression == ask.step]
    reached = max(on_file)[1] if on_file else progression.steps[0].number
    found = open_step(progression, reached, trainee, expand_tokens(place.tokens()), catalogue)
    exercise, number = found.exercise, found.step
    if not exercise:
        exercise, number = progression.step(reached).exercise, reached
    short = f"{catalogue.get(exercise).name}: {'own step' if on_file else 'no step on file, the first'}"
    if number is not None:
        way = [one.number for one in progression.way(progression.step(reached).branch)]
        short += f" ({way.index(number) + 1} of {len(way)})"
    why = f"Step {found.near} of the {progression.title}."
    if not on_file:
        why = f"{trainee.name} has no step of the {progression.title} on file: the first."
    if found.exercise and found.closed:
        why += f" {found.closed[0]}"
    return OwnStep(at_step(slot, progression, exercise, number, why, catalogue), short, why, bool(on_file))


def is_open_somewhere(ask: Asked, trainee: Trainee, tokens: frozenset[str], catalogue: Catalogue) -> bool:
    """True where somebody's own step, or one beside or below it, is open with some equipment."""
    progression = catalogue.progressions[ask.step]
    on_file = [(one.date, one.step) for one in trainee.steps if one.progression == ask.step]
    reached = max(on_file)[1] if on_file else progression.steps[0].number
    return bool(open_step(progression, reached, trainee, tokens, catalogue).exercise)


def asked_name(ask: Asked, exercise: str, catalogue: Catalogue) -> str:
    """What a line asks for: an exercise by its name, or everybody's own step."""
    return f"own step, {catalogue.progressions[ask.step].title}" if ask.step else catalogue.get(exercise).name


def for_somebody(master: Master, name: str) -> Master:
    """The master with somebody's name in its titles and notes where it asks for it."""
    if not master.name_mark:
        return master
    sessions = tuple(
        replace(
            one,
            title=master.named(one.title, name),
            slots=tuple(replace(slot, why=master.named(slot.why, name)) for slot in one.slots),
        )
        for one in master.sessions
    )
    return replace(master, title=master.named(master.title, name), sessions=sessions)


def own_cue_of(slot: TemplateEntry, ask: Asked, exercise: str, cues: Mapping[str, str], catalogue: Catalogue) -> str:
    """Somebody's own cue for what they do, else the usual words where that is what was written; empty for none."""
    base = catalogue.get(exercise).base
    usual = (ask.cue or "") if exercise == slot.exercise or ask.step else ""
    return as_a_note(cues.get(exercise) or cues.get(base) or usual)
