"""Kept sessions in files: made from a block, listed and searched, and filled in for somebody when they are written."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from setwright.catalogue.names import plain
from setwright.faults import Fault, InputFaults
from setwright.people.place import Place
from setwright.people.trainee import DAYS, Day, Trainee
from setwright.plan.block import Block
from setwright.plan.kept import (
    PLACEHOLDER,
    Filling,
    For,
    exercise_named,
    fill_in,
    has_placeholders,
    placeholders,
    sample_text,
    with_fillings,
)
from setwright.plan.kept_text import kept_text, template_to_keep
from setwright.plan.master import master_of_block
from setwright.plan.shorthand import WrittenBlock, read_block_text
from setwright.services.files import make_folder, read_text, write_whole
from setwright.services.gather import catalogue, estimates_for
from setwright.services.public_edition import edition_of, personal_in
from setwright.strength.logged import Log

MOST_TITLE = 120


@dataclass(frozen=True)
class KeptSession:
    """What a kept text is: its title, how many weeks and sessions, exercises by slug, the placeholders as written."""

    file: str
    title: str
    weeks: int
    sessions: int
    exercises: tuple[str, ...]
    placeholders: tuple[str, ...]

    @property
    def asks(self) -> str:
        """What is filled in for each person, in words; empty for nothing."""
        return fills_in(self.placeholders)

    def as_json(self) -> dict[str, object]:
        """The published form."""
        return {
            "file": self.file,
            "title": self.title,
            "weeks": self.weeks,
            "sessions": self.sessions,
            "exercises": list(self.exercises),
            "placeholders": list(self.placeholders),
        }


def fills_in(found: Sequence[str]) -> str:
    """What placeholders fill in: ``their name; their step of the pull-up; 8 exercises as their place has them``."""
    kinds = [(match[1].lower(), match[2] or "") for one in found if (match := PLACEHOLDER.fullmatch(one))]
    here = [of for kind, of in kinds if kind == "here"]
    said = ["their name"] if any(kind == "name" for kind, _ in kinds) else []
    said += [f"their step of the {of}" for kind, of in kinds if kind == "step"]
    said += ["their own cues"] if any(kind == "cue" for kind, _ in kinds) else []
    if here:
        said.append(
            f"{here[0]} as their place has it" if len(here) == 1 else f"{len(here)} exercises as their place has them"
        )
    return "; ".join(said)


def read_kept(text: str, file: str = "text") -> KeptSession:
    """What a kept text is. Raises InputFaults with all that can't be read, whomever it is for."""
    known = catalogue()
    found = placeholders(text, known, file)
    written = read_block_text(sample_text(text, known, file), known, file)
    slugs = dict.fromkeys(entry.exercise for one in written.template.sessions for entry in one.entries)
    title = next((line.partition(":")[2].strip() for line in text.splitlines() if line.startswith("Block:")), "")
    return KeptSession(
        file,
        title or written.title,
        written.weeks,
        len(written.template.sessions),
        tuple(slugs),
        tuple(dict.fromkeys(one.text for one in found)),
    )


def text_to_keep(
    block: Block,
    weeks: Sequence[int] = (),
    day: str = "",
    title: str = "",
    here: bool = False,
    cues: bool = False,
) -> str:
    """A block, some weeks or one day of it, as a text to keep. Raises InputFaults.

    title : names of the trainee in it become ``{name}``; when empty the block's, or the first lifts of one day
    """
    from setwright.publish.public_words import edition_name

    known = catalogue()
    edition = edition_of(block, (), weeks, day)  # the same faults for weeks and days that are not there
    usual = edition_name(edition, known) if day or personal_in(block.title, block) else block.title
    name = title.strip() or usual
    for part in (block.inputs.trainee.name, *block.inputs.trainee.name.split()):
        name = name.replace(part, "{name}")
    told = personal_in(name, block)
    if told or len(name) > MOST_TITLE or "\n" in name:
        found = f"{name[:MOST_TITLE]!r}" + (f", with {' and '.join(told)}" if told else "")
        raise InputFaults(
            [Fault("--title", "", found, f"one line of at most {MOST_TITLE} letters that tells of nobody")]
        )
    estimates = estimates_for(block.inputs.trainee, Log(), block.inputs.brief.start, block.inputs.places)
    template = template_to_keep(master_of_block(block, known, estimates), edition.weeks, day)
    text = kept_text(name, template, known, here=here, cues=cues)
    read_kept(text, "the text to keep")
    return text


def keep_in_file(text: str, path: Path) -> None:
    """Writes a kept text; a file that is there stays. Raises InputFaults."""
    if path.exists():
        raise InputFaults([Fault(str(path), "", "a file that is there", "a new file", "It was left as it is.")])
    make_folder(path.parent)
    write_whole(path, text.encode())


def kept_in(folder: Path, wanted: str = "") -> tuple[list[KeptSession], list[Fault]]:
    """The kept sessions of a folder by name, those whose title, file or exercises hold all words; and what is unread.

    Raises InputFaults where there is no such folder.
    """
    if not folder.is_dir():
        raise InputFaults([Fault(str(folder), "", "no folder", "a folder with kept sessions (.txt)")])
    found: list[KeptSession] = []
    faults: list[Fault] = []
    for path in sorted(folder.glob("*.txt")):
        try:
            one = read_kept(read_text(path), str(path))
        except InputFaults as error:
            faults += error.faults
            continue
        if is_wanted(one, wanted):
            found.append(one)
    return found, faults


def is_wanted(one: KeptSession, wanted: str) -> bool:
    """True where every word is in the title, the file's name or the name of an exercise; a trade name finds its own."""
    if not wanted.strip():
        return True
    known = catalogue()
    meant = exercise_named(wanted, known)
    if meant is not None and any(known.get(slug).base == meant.base for slug in one.exercises if slug in known):
        return True
    names = [known.get(slug).name for slug in one.exercises if slug in known]
    hay = plain(" ".join([one.title, Path(one.file).stem, *names]))
    return all(word in hay for word in plain(wanted).split())


def read_for(
    text: str,
    trainee: Trainee,
    places: Sequence[Place],
    file: str = "text",
    days: Sequence[Day] = (),
    names: Mapping[str, str] | None = None,
    cues: Mapping[str, str] | None = None,
) -> tuple[WrittenBlock, tuple[Filling, ...]]:
    """A written text for somebody, its placeholders filled in where it has any. Raises InputFaults."""
    known = catalogue()
    if not has_placeholders(text):
        return read_block_text(text, known, file, days=days, names=names), ()
    filled = fill_in(text, For(trainee, places, cues or {}), known, file)
    written = read_block_text(filled.text, known, file, days=days, names=names)
    return with_fillings(written, filled, known), filled.fillings


def places_named(text: str, file: str = "text", names: Mapping[str, str] | None = None) -> list[str]:
    """The places that the headings of a text name, placeholders or not."""
    known = catalogue()
    plain_text = sample_text(text, known, file) if has_placeholders(text) else text
    written = read_block_text(plain_text, known, file, days=DAYS, names=names)
    return [one.place for one in written.template.sessions if one.place]


def cues_of(asked: Sequence[str]) -> dict[str, str]:
    """Cues as typed, ``front squat=knees out``, by exercise. Raises InputFaults."""
    known = catalogue()
    found, faults = {}, []
    for one in asked:
        name, sign, text = one.partition("=")
        exercise = exercise_named(name.strip(), known)
        if not sign or not text.strip() or exercise is None:
            faults.append(Fault("--cue", "", repr(one), "EXERCISE=WORDS, like 'front squat=knees out'"))
        else:
            found[exercise.slug] = text.strip()
    if faults:
        raise InputFaults(faults)
    return found
