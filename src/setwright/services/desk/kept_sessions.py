"""Sessions that a practice keeps to use again: texts with placeholders, a new version for each change."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from django.db import transaction

from setwright.faults import InputFaults
from setwright.people.trainee import Day
from setwright.plan.block import Block
from setwright.plan.kept import Filling, For, fill_in, has_placeholders, sample_text
from setwright.plan.shorthand_check import TextRead, read_lines
from setwright.records import models
from setwright.services.desk.cues import cue_words
from setwright.services.desk.people import free_slug, keep_document, newest, person_of
from setwright.services.desk.practice import note
from setwright.services.gather import catalogue
from setwright.services.kept import KeptSession, is_wanted, read_kept, text_to_keep

KEPT = "kept"
MOST_LETTERS = 20_000


@dataclass(frozen=True)
class OnTheShelf:
    """A kept session of a practice: its slug, what it is, when it was changed; ``fault`` where it no longer reads."""

    slug: str
    kept: KeptSession
    at: datetime
    fault: str = ""

    @property
    def names(self) -> list[str]:
        """The names of its exercises."""
        known = catalogue()
        return [known.get(one).name for one in self.kept.exercises if one in known]


def shelf_of(practice: models.Practice, wanted: str = "") -> list[OnTheShelf]:
    """The kept sessions of a practice that hold all words, by title."""
    texts: dict[str, tuple[str, datetime]] = {}
    for one in models.Document.objects.filter(practice=practice, kind=KEPT, trainee=None).order_by("id"):
        texts[one.slug] = (one.text, one.at)
    found = [on_the_shelf(slug, text, at) for slug, (text, at) in texts.items() if text]
    return sorted((one for one in found if is_wanted(one.kept, wanted)), key=lambda one: one.kept.title.lower())


def on_the_shelf(slug: str, text: str, at: datetime) -> OnTheShelf:
    """One kept session; one that an older version of the catalogue could read is told with its fault."""
    try:
        return OnTheShelf(slug, read_kept(text, slug), at)
    except InputFaults as wrong:
        return OnTheShelf(slug, KeptSession(slug, slug, 0, 0, (), ()), at, wrong.faults[0].sentence())


def kept_text_of(practice: models.Practice, slug: str) -> str:
    """The text of a kept session. LookupError for one that is not there, or was taken away."""
    text = newest(practice, KEPT, slug)
    if not text:
        raise LookupError("no such kept session")
    return text


@transaction.atomic
def keep_session(coach: models.Coach, text: str, slug: str = "") -> str:
    """Keeps a session, or a new version of one, checked; gives its slug. Raises InputFaults."""
    text = text.replace("\r\n", "\n").strip() + "\n"
    kept = read_kept(text, "the kept session")
    if not slug:
        taken = set(
            models.Document.objects.filter(practice=coach.practice, kind=KEPT, trainee=None).values_list(
                "slug", flat=True
            )
        )
        slug = free_slug(kept.title.replace("{name}", "name"), taken, "session")
    keep_document(coach.practice, KEPT, slug, text, coach.user)
    note(coach.practice, coach.user, "kept a session", about=kept.title)
    return slug


def keep_from_block(coach: models.Coach, block: Block, said: dict[str, Any]) -> str:
    """Keeps a block, a week or a day of it as a session; gives its slug. Raises InputFaults.

    said : ``week`` and ``day`` (empty: all), ``title``, ``here`` and ``cues`` ("yes")
    """
    weeks = (int(said["week"]),) if str(said.get("week", "")).isdigit() else ()
    text = text_to_keep(
        block,
        weeks,
        str(said.get("day", "")),
        str(said.get("title", "")),
        said.get("here") == "yes",
        said.get("cues") == "yes",
    )
    return keep_session(coach, text)


@transaction.atomic
def take_off_the_shelf(coach: models.Coach, slug: str) -> None:
    """Takes a kept session off the shelf; its versions stay in the records. LookupError where there is none."""
    kept_text_of(coach.practice, slug)
    keep_document(coach.practice, KEPT, slug, "", coach.user)
    note(coach.practice, coach.user, "took a kept session away", about=slug)


def read_for_page(row: models.Trainee, text: str, days: Sequence[Day]) -> tuple[TextRead, tuple[Filling, ...]]:
    """What is read of a text for a trainee, line by line, and what its placeholders became; nothing is raised."""
    known = catalogue()
    if not has_placeholders(text):
        return read_lines(text, known, days), ()
    person = person_of(row)
    try:
        filled = fill_in(text, For(person.trainee, person.places, cue_words(row)), known, "the block")
    except InputFaults as wrong:
        try:
            read = read_lines(sample_text(text, known), known, days)
        except InputFaults:
            read = TextRead(())
        return replace(read, faults=(*wrong.faults, *read.faults), is_good=False), ()
    return read_lines(filled.text, known, days), filled.fillings
