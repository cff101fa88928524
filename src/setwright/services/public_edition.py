"""The public edition of a block: made, held against everything personal in the block, and written in one go."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

from setwright.faults import Fault, InputFaults
from setwright.people.intake import read_place
from setwright.people.place import Place
from setwright.people.trainee import DAY_NAMES
from setwright.plan.block import Block
from setwright.plan.public import PublicEdition, public_edition
from setwright.publish.public_report import public_page, public_pdf, public_text
from setwright.publish.talk_outline import USUAL_MINUTES, talk_outline
from setwright.services.files import make_folder, read_text, write_all
from setwright.services.gather import catalogue, expect
from setwright.services.publishing import Paper

PUBLIC_FORMATS = ("html", "pdf", "txt")
MOST_PLACES, MOST_TITLE = 4, 120
LEAST_NAME = 3  # letters of a name that is looked for by itself


def load_places(paths: Sequence[Path]) -> tuple[Place, ...]:
    """The places of some files, in order. Raises InputFaults with the faults of all of them at once."""
    faults: list[Fault] = []
    found: list[Place] = []
    for path in paths:
        try:
            text = read_text(path)
            expect("place", text, path)
            found.append(read_place(text, str(path), catalogue()))
        except InputFaults as error:
            faults += error.faults
    if len(paths) > MOST_PLACES:
        faults.append(Fault("--place", "", f"{len(paths)} places", f"at most {MOST_PLACES} side by side"))
    if len({one.name for one in found}) < len(found):
        faults.append(Fault("--place", "name", "two places of one name", "a name of its own for each"))
    if faults:
        raise InputFaults(faults)
    return tuple(found)


def personal_words(block: Block) -> dict[str, str]:
    """Free words of a block that tell of a person, each with what it is.

    Names, the id, who set a limit and why, the joints that limits name, the brief's title.
    """
    trainee = block.inputs.trainee
    found = {part: "the trainee's name" for part in trainee.name.split() if len(part) >= LEAST_NAME}
    found[trainee.name], found[trainee.id] = "the trainee's name", "the trainee's id"
    found[str(trainee.birth_year)] = "the birth year"
    for one in trainee.restrictions:
        found[one.joint] = "the joint of a limitation"
        for text, what in ((one.reason, "the reason of a limitation"), (one.set_by, "who set a limitation")):
            if text:
                found[text] = what
    return {key: what for key, what in found.items() if key}


def personal_in(text: str, block: Block) -> list[str]:
    """What a text tells of the person of a block, in the coach's words; empty where it tells nothing."""
    return [
        f"{what} ({mark})"
        for mark, what in personal_words(block).items()
        if re.search(rf"(?<!\w){re.escape(mark)}(?!\w)", text, re.IGNORECASE)
    ]


def edition_of(
    block: Block, places: Sequence[Place] = (), weeks: Sequence[int] = (), day: str = "", title: str = ""
) -> PublicEdition:
    """The public edition of a block, with title and places held against what is personal.

    weeks : all when empty; day : a weekday like ``mon``, or every one when empty. Raises InputFaults.
    """
    faults = []
    if len(title) > MOST_TITLE:
        faults.append(Fault("--title", "", f"{len(title)} letters", f"at most {MOST_TITLE}"))
    if day and day not in DAY_NAMES:
        faults.append(Fault("--day", "", repr(day), ", ".join(DAY_NAMES)))
    known = [week.number for week in block.weeks]
    faults += [
        Fault("--week", "", str(one), f"a week of the block, {known[0]} to {known[-1]}")
        for one in weeks
        if one not in known
    ]
    for name, text in (("--title", title), *(("--place", one.name) for one in places)):
        told = personal_in(text, block)
        if told:
            hint = "Everybody can read it: choose other words."
            faults.append(Fault(name, "", f"{text!r}, with {' and '.join(told)}", "words that tell of nobody", hint))
    if faults:
        raise InputFaults(faults)
    try:
        return public_edition(block, catalogue(), places, weeks, day)
    except LookupError:
        days = dict.fromkeys(one.day for week in block.weeks for one in week.sessions)
        raise InputFaults([Fault("--day", "", repr(day), f"a training day of the block: {', '.join(days)}")]) from None


def public_files(
    block: Block,
    places: Sequence[Place] = (),
    weeks: Sequence[int] = (),
    day: str = "",
    title: str = "",
    talk: float = USUAL_MINUTES,
    paper: Paper = "a4",
    formats: Sequence[str] = PUBLIC_FORMATS,
    figures: bool = True,
) -> dict[str, bytes]:
    """The files of a public edition by name: a page, paper, plain text.

    talk : minutes of the talk through each session. Raises InputFaults.
    """
    edition, known = edition_of(block, places, weeks, day, title), catalogue()
    talks = [talk_outline(edition, one, known, talk) for one in edition.sessions]
    files: dict[str, bytes] = {}
    if "html" in formats:
        files["public.html"] = public_page(edition, talks, known, title, figures).encode()
    if "pdf" in formats:
        files["public.pdf"] = public_pdf(edition, talks, known, title, paper, figures)
    if "txt" in formats:
        files["public.txt"] = public_text(edition, talks, known, title).encode()
    return files


def publish_public(folder: Path, files: dict[str, bytes]) -> None:
    """Writes the files of a public edition below a folder."""
    make_folder(folder)
    write_all(folder, files)
