"""A session kept to be used again: the trade's shorthand with placeholders for whom it is used for.

Two ideas carry this module. One: a kept session is a text as a coach types it; ``{name}``, ``{step: pull-up}``,
``{here: barbell row}`` and ``{cue}`` stand where the person differs. Two: filling one in changes words only, line by
line, so that the reader of written blocks stays the only judge of what is left.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal, get_args

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.exercise import Exercise, Progression
from setwright.catalogue.names import match_name, nearest, plain
from setwright.catalogue.store import Catalogue
from setwright.faults import Fault, InputFaults
from setwright.people.place import Place
from setwright.people.trainee import Trainee
from setwright.plan.alternatives import stand_ins
from setwright.plan.as_template import scheme_as
from setwright.plan.bout_amounts import as_stand_in, without_old_target
from setwright.plan.gates import judge
from setwright.plan.shorthand import WrittenBlock, is_note, read_block_text
from setwright.plan.shorthand_head import read_days
from setwright.plan.shorthand_line import Unreadable, read_line, tidy
from setwright.plan.template import Scheme, TemplateEntry, TemplateSession
from setwright.plan.written import place_for

Kind = Literal["name", "step", "here", "cue"]
KINDS: tuple[Kind, ...] = get_args(Kind)
PLACEHOLDER = re.compile(r"\{\s*([A-Za-z]+)\s*(?::\s*([^{}]*?)\s*)?\}")
ALLOWED = "{name}, {step: PROGRESSION}, {here: EXERCISE}, {cue} or {cue: usual words}"
SAMPLE_NAME, SAMPLE_CUE = "Somebody", "as agreed"


@dataclass(frozen=True)
class Placeholder:
    """One placeholder of a text: its line, its kind, what stands behind its colon, and as it was written."""

    line: int
    kind: Kind
    of: str
    text: str


@dataclass(frozen=True)
class Filling:
    """What a placeholder became, in the words for it. ``why`` says where that is not plain.

    typed : the words that go onto the line, where they are others: sets are read for the exercise they were written
        for, then handed on to the one that takes its place
    exercise : the slug of a step or variant; progression, step : of a step
    """

    at: Placeholder
    became: str
    why: str = ""
    typed: str = ""
    exercise: str = ""
    progression: str = ""
    step: int | None = None

    @property
    def is_as_written(self) -> bool:
        """True where an exercise stays the one that stands there."""
        return self.at.kind == "here" and not self.why and plain(self.at.of) == plain(self.became)


@dataclass(frozen=True)
class Filled:
    """A kept text filled in for somebody: the same lines with other words, and what became of each placeholder."""

    text: str
    fillings: tuple[Filling, ...]


@dataclass(frozen=True)
class For:
    """For whom a text is filled in: the person, their places, their own cues by exercise."""

    trainee: Trainee
    places: Sequence[Place]
    cues: Mapping[str, str]


def has_placeholders(text: str) -> bool:
    """True for a text with a brace on a line that is no note."""
    return any(("{" in line or "}" in line) and not line.strip().startswith("#") for line in text.splitlines())


def placeholders(text: str, catalogue: Catalogue, file: str = "text") -> tuple[Placeholder, ...]:
    """The placeholders of a text in order. Raises InputFaults with every one that can't be read."""
    found: list[Placeholder] = []
    faults: list[Fault] = []
    for number, line in enumerate(text.splitlines(), start=1):
        if line.strip().startswith("#"):
            continue
        for match in PLACEHOLDER.finditer(line):
            one = Placeholder(number, match[1].lower(), match[2] or "", match[0])  # type: ignore[arg-type]
            fault = fault_of(one, catalogue, file)
            (faults if fault is not None else found).append(fault or one)  # type: ignore[arg-type]
        left = PLACEHOLDER.sub("", line)
        if "{" in left or "}" in left:
            faults.append(Fault(file, f"line {number}", "a brace without a placeholder", ALLOWED))
    if faults:
        raise InputFaults(faults)
    return tuple(found)


def fault_of(one: Placeholder, catalogue: Catalogue, file: str) -> Fault | None:
    """What is wrong with a placeholder whomever it is for; None where nothing is."""
    where = f"line {one.line}"
    if one.kind not in KINDS:
        return Fault(file, where, repr(one.text), ALLOWED)
    if one.kind == "step" and progression_named(one.of, catalogue) is None:
        titles = {each.title: slug for slug, each in catalogue.progressions.items()}
        near = nearest(one.of, [*titles, *catalogue.progressions], 3)
        return Fault(file, where, repr(one.text), "a progression", f"Nearest: {', '.join(near)}." if near else "")
    if one.kind == "here" and exercise_named(one.of, catalogue) is None:
        near = [catalogue.get(slug).name for slug in match_name(one.of, catalogue).proposals]
        hint = f"Nearest: {', '.join(near)}." if near else ""
        return Fault(file, where, repr(one.text), "the sure name of an exercise", hint)
    return None


def progression_named(text: str, catalogue: Catalogue) -> Progression | None:
    """The progression of a name: its slug, its title, or an exercise that is a step of it."""
    wanted = plain(text)
    for slug, one in catalogue.progressions.items():
        if wanted and wanted in (plain(slug), plain(one.title)):
            return one
    exercise = exercise_named(text, catalogue)
    found = None if exercise is None else catalogue.step_of(exercise.slug)
    return None if found is None else catalogue.progressions[found[0]]


def exercise_named(text: str, catalogue: Catalogue) -> Exercise | None:
    """The exercise of a slug or a sure name."""
    if text in catalogue:
        return catalogue.get(text)
    match = match_name(text, catalogue)
    return catalogue.get(match.slug) if match.slug is not None and match.sure else None


def as_written(exercise: Exercise) -> str:
    """The name of an exercise as it can stand on a line."""
    return exercise.name.replace("/", " ").replace(",", "")


def name_that_reads(exercise: Exercise, before: str, after: str, catalogue: Catalogue) -> str:
    """The name under which a line is read as this exercise: its own, else another of the trade's, else its slug.

    Names that hold a word of a dose ("light", "lowering") are read as one. Its own where none is read so.
    """
    names = [as_written(exercise), *(one.replace("/", " ").replace(",", "") for one in exercise.also_called)]
    for name in (*names, exercise.slug):
        line = PLACEHOLDER.sub("", f"{before}{name}{after}")
        try:
            written = read_block_text(line, catalogue)
        except InputFaults:
            continue
        if written.template.sessions[0].entries[0].exercise == exercise.slug:
            return name
    return names[0]


def sample_text(text: str, catalogue: Catalogue, file: str = "text") -> str:
    """The text filled in for nobody, to see whether it reads: what a step leads to, exercises as they are."""
    sayings = {}
    for one in placeholders(text, catalogue, file):
        if one.kind == "step":
            progression = progression_named(one.of, catalogue)
            assert progression is not None
            sayings[one.line, one.text] = as_written(catalogue.get(progression.steps[-1].exercise))
        elif one.kind == "here":
            exercise = exercise_named(one.of, catalogue)
            assert exercise is not None
            sayings[one.line, one.text] = as_written(exercise)
        else:
            sayings[one.line, one.text] = SAMPLE_NAME if one.kind == "name" else one.of or SAMPLE_CUE
    return with_words(text, sayings)


def with_words(text: str, sayings: Mapping[tuple[int, str], str]) -> str:
    """The text with other words for the placeholders of its lines."""
    lines = text.split("\n")
    for (number, placeholder), words in sayings.items():
        lines[number - 1] = lines[number - 1].replace(placeholder, words)
    return "\n".join(lines)


# Filled in for somebody


def fill_in(text: str, whom: For, catalogue: Catalogue, file: str = "text") -> Filled:
    """The text with every placeholder filled in for somebody. Raises InputFaults with all that can't be."""
    fillings: list[Filling] = []
    faults: list[Fault] = []
    lines = text.split("\n")
    by_line: dict[int, list[Placeholder]] = {}
    for one in placeholders(text, catalogue, file):
        by_line.setdefault(one.line, []).append(one)
    place: Place | None = whom.places[0] if whom.places else None
    for number, line in enumerate(lines, start=1):
        heads = None if is_note(line) else read_days(tidy(line))
        if heads is not None:
            place = named_place(heads[0].place, whom.places)
        words, swapped = line, ""
        for one in sorted(by_line.get(number, ()), key=lambda each: each.kind == "cue"):
            made = filling_of(one, words, place, swapped, whom, catalogue, file)
            if isinstance(made, Fault):
                faults.append(made)
                break  # what else stands on the line hangs on it
            fillings.append(made)
            swapped = made.exercise or swapped
            words = words.replace(one.text, made.typed or made.became)
        lines[number - 1] = words
    if faults:
        raise InputFaults(faults)
    return Filled("\n".join(lines), tuple(fillings))


def named_place(name: str, places: Sequence[Place]) -> Place | None:
    """The place that a heading names, or the first one where it names none, as a written block takes it."""
    return place_for(TemplateSession("mon", name, None, ()), places)


def filling_of(
    one: Placeholder, line: str, place: Place | None, swapped: str, whom: For, catalogue: Catalogue, file: str
) -> Filling | Fault:
    """What one placeholder becomes on its line, or why it can't be filled in.

    swapped : the exercise that takes the place of the line's own, or empty
    """
    if one.kind == "name":
        return Filling(one, whom.trainee.name)
    if one.kind == "cue":
        return own_cue(one, line, swapped, whom, catalogue, file)
    if place is None:
        return Fault(file, f"line {one.line}", repr(one.text), "a place that is known", "Name it in the day's heading.")
    if one.kind == "here":
        return here(one, line, place, whom, catalogue, file)
    return own_step(one, line, place, whom, catalogue, file)


def own_step(one: Placeholder, line: str, place: Place, whom: For, catalogue: Catalogue, file: str) -> Filling | Fault:
    """The step that somebody has reached; where it is closed, one sideways, else one lower down."""
    progression = progression_named(one.of, catalogue)
    assert progression is not None
    trainee = whom.trainee
    reached = max(
        ((each.date, each.step) for each in trainee.steps if each.progression == progression.slug), default=None
    )
    where = f"line {one.line}"
    if reached is None:
        hint = "Put it into their intake, under the progressions, or write the exercise itself."
        allowed = f"a step of the {progression.title} that {trainee.name} has reached"
        return Fault(file, where, f"{one.text!r}, and no step is on file", allowed, hint)
    found = open_step(progression, reached[1], trainee, expand_tokens(place.tokens()), catalogue)
    if found.exercise:
        why = f"Step {found.near} of the {progression.title}."
        if found.closed:
            why += f" {found.closed[0]}"
        typed = readable(one, line, found.exercise, progression, catalogue)
        of = progression.slug if found.step is not None else ""
        return Filling(one, catalogue.get(found.exercise).name, why, typed, found.exercise, of, found.step)
    hint = "Write another exercise, or name another place in the heading of the day."
    said = f"{one.text!r}: {' '.join(dict.fromkeys(found.closed))}"
    return Fault(file, where, said, f"a step that is open for {trainee.name} in {place.name}", hint)


@dataclass(frozen=True)
class OpenStep:
    """The step that is open: its exercise, empty where none is; why those before it are closed.

    step : its number, None for an exercise beside the way; near : the step on the way that it is, or stands beside
    """

    exercise: str
    step: int | None
    near: int
    closed: tuple[str, ...]


def open_step(
    progression: Progression, reached: int, trainee: Trainee, tokens: frozenset[str], catalogue: Catalogue
) -> OpenStep:
    """The step reached where it is open for somebody, else one beside it, else one lower down."""
    closed: list[str] = []
    for step in progression.up_to(reached)[::-1]:
        for slug in (step.exercise, *step.sideways):
            other = catalogue.get(slug)
            is_step = slug == step.exercise
            dials = {**other.dials, **(step.dials if is_step else {})}
            verdict = judge(other, trainee.restrictions, tokens, trainee, dials)
            if verdict.allowed:
                return OpenStep(slug, step.number if is_step else None, step.number, tuple(closed))
            closed += verdict.reasons
    return OpenStep("", None, reached, tuple(closed))


def readable(one: Placeholder, line: str, slug: str, progression: Progression, catalogue: Catalogue) -> str:
    """The name under which the dose of a line reads: the own step's, else that of another step of its progression.

    A dose in seconds can't be read for a step that is done for repetitions, nor the other way round.
    """
    for name in dict.fromkeys([slug, *(step.exercise for step in progression.steps)]):
        words = as_written(catalogue.get(name))
        try:
            read_block_text(PLACEHOLDER.sub("", line.replace(one.text, words)), catalogue)
        except InputFaults:
            continue
        return words
    return as_written(catalogue.get(slug))


def here(one: Placeholder, line: str, place: Place, whom: For, catalogue: Catalogue, file: str) -> Filling | Fault:
    """The exercise where it is open for somebody in the place, else the nearest good one."""
    exercise = exercise_named(one.of, catalogue)
    assert exercise is not None
    tokens, rules = expand_tokens(place.tokens()), whom.trainee.restrictions
    verdict = judge(exercise, rules, tokens, whom.trainee)
    before, _, after = line.partition(one.text)
    typed = name_that_reads(exercise, before, after, catalogue)
    if verdict.allowed:
        return Filling(one, exercise.name, "", typed, exercise.slug)
    reason = " ".join(verdict.reasons)
    found = stand_ins(exercise.slug, catalogue, tokens, rules, whom.trainee)
    good = next((row for row in found.rows if row.is_good), None)
    if good is None:
        ways = [catalogue.get(each.exercise).name for way in found.ways for each in way.open_ones]
        hint = f"Another way, if you write it yourself: {', '.join(dict.fromkeys(ways))}." if ways else ""
        allowed = f"an exercise with something good near it in {place.name}"
        return Fault(file, f"line {one.line}", f"{one.text!r}: {reason} Nothing near it is good here", allowed, hint)
    other = catalogue.get(good.exercise)
    lost = "" if good.lost == "little" else f" Lost: {good.lost}."
    return Filling(one, other.name, f"{reason} Kept: {good.kept}.{lost}", typed, other.slug)


def own_cue(one: Placeholder, line: str, swapped: str, whom: For, catalogue: Catalogue, file: str) -> Filling | Fault:
    """Somebody's own cue for the exercise of the line, or the usual words behind the colon.

    Usual words are for the exercise that was written: where another takes its place they are left out.
    """
    own = exercise_of_line(line.replace(one.text, ""), catalogue)
    exercise = catalogue.get(swapped) if swapped else own
    own = catalogue.get(swapped) if own is None and swapped else own
    where = f"line {one.line}"
    if exercise is None or own is None:
        return Fault(file, where, repr(one.text), "a cue behind the exercise it is for: front squat 3 x 5; {cue}")
    said = whom.cues.get(exercise.slug) or whom.cues.get(exercise.base) or ("" if exercise != own else one.of)
    if not said and exercise == own:
        hint = "Give one, or usual words: {cue: knees out}."
        allowed = f"a cue of {whom.trainee.name} for the {exercise.name}"
        return Fault(file, where, f"{one.text!r}, and none is on file", allowed, hint)
    return Filling(one, as_a_note(said), "", "", exercise.slug)


def exercise_of_line(line: str, catalogue: Catalogue) -> Exercise | None:
    """The exercise that a line is about; None where that is not sure."""
    try:
        read = read_line(line)
    except Unreadable:
        return None
    return next(
        (one for name in (read.full_name, read.name) if name and (one := exercise_named(name, catalogue))), None
    )


def as_a_note(text: str) -> str:
    """Words as they can stand behind a semicolon: no sign in them that the reader takes for something else."""
    return re.sub(r"\s+", " ", re.sub(r"[;(){}\[\]<>=*^/]", " ", text)).strip()


def with_fillings(written: WrittenBlock, filled: Filled, catalogue: Catalogue) -> WrittenBlock:
    """What was read of a filled text, with steps and variants in their place, and why they are."""
    lines = filled.text.split("\n")
    told = {lines[one.at.line - 1].strip(): one for one in filled.fillings if one.at.kind in ("step", "here")}
    sessions = []
    for session in written.template.sessions:
        entries = []
        for entry in session.entries:
            one = told.get(entry.written) or told.get(entry.written.split(" / ")[0])
            entries.append(entry if one is None else in_its_place(entry, one, catalogue))
        sessions.append(replace(session, entries=tuple(entries)))
    return replace(written, template=replace(written.template, sessions=tuple(sessions)))


def in_its_place(entry: TemplateEntry, one: Filling, catalogue: Catalogue) -> TemplateEntry:
    """An entry with what its placeholder became: the exercise, sets that it can carry, the dials of a step."""
    old, other = catalogue.get(entry.exercise), catalogue.get(one.exercise)
    why = f"{entry.why} {one.why}".strip()
    if other.slug != old.slug:
        dials = {key: value for key, value in entry.dials.items() if key not in old.dials} | dict(other.dials)
        if entry.bouts:
            schemes = as_stand_in(entry, old, other, False)
        else:
            schemes = tuple(None if each is None else without_share(scheme_as(other, each)) for each in entry.schemes)
        bouts = without_old_target(entry.bouts)
        entry = replace(entry, exercise=other.slug, dials=dials, schemes=schemes, bouts=bouts)
    elif one.at.kind == "step":
        schemes = tuple(
            each if each is None or suits(other, each) else scheme_as(other, each) for each in entry.schemes
        )
        entry = replace(entry, schemes=schemes)
    if one.step is not None:
        step = catalogue.progressions[one.progression].step(one.step)
        entry = replace(entry, dials={**entry.dials, **step.dials}, progression=one.progression, step=one.step)
    return replace(entry, why=why)


def without_share(scheme: Scheme) -> Scheme:
    """A scheme whose load was meant for another exercise."""
    return replace(scheme, load_kg=None, pct=None)


def suits(exercise: Exercise, scheme: Scheme) -> bool:
    """True where the sets ask what the exercise is measured in."""
    if exercise.mode == "isometric" or exercise.measured_in == "seconds":
        return scheme.reps is None
    return exercise.measured_in != "metres" or scheme.distance_m is not None
