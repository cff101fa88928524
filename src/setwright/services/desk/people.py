"""Who trains: their intake and places as documents, each version kept; from there to the values the pure rooms read."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Container
from dataclasses import dataclass, replace
from itertools import count
from typing import Any

import tomli_w
from django.db import transaction
from django.utils import timezone

from setwright.faults import Fault, InputFaults
from setwright.people.intake import read_place, read_trainee_and_places
from setwright.people.place import Place
from setwright.people.toml_file import read_toml
from setwright.people.trainee import Restriction
from setwright.publish.restriction_toml import restriction_table
from setwright.records import models
from setwright.services.desk.practice import note
from setwright.services.gather import Person, catalogue


def newest(practice: models.Practice, kind: str, slug: str, trainee: models.Trainee | None = None) -> str:
    """The text of a document as it stands; empty where there is none."""
    found = (
        models.Document.objects.filter(practice=practice, kind=kind, slug=slug, trainee=trainee).order_by("-id").first()
    )
    return "" if found is None else found.text


def one_at_a_time(row: models.Trainee) -> None:
    """Waits until nobody else changes what is kept of a trainee, and holds it until the transaction ends.

    So of two coaches who set a limit at once, the second reads what the first has written.
    """
    models.Trainee.objects.select_for_update().get(pk=row.pk)


def keep_document(
    practice: models.Practice, kind: str, slug: str, text: str, by: Any, trainee: models.Trainee | None = None
) -> None:
    """Adds a version of a document, where it differs from the newest one."""
    if newest(practice, kind, slug, trainee) != text:
        models.Document.objects.create(
            practice=practice, trainee=trainee, kind=kind, slug=slug, text=text, at=timezone.now(), by=by
        )


def free_slug(name: str, taken: Container[str], otherwise: str) -> str:
    """An id made from a name, with a number behind it where it is taken.

    >>> free_slug("Åsa O'Hara", {"asa-o-hara"}, "trainee")
    'asa-o-hara-2'
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    start = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:60] or otherwise
    return next(one for number in count(1) if (one := start if number == 1 else f"{start}-{number}") not in taken)


def trainee_slugs(practice: models.Practice) -> set[str]:
    """Every id of a trainee in a practice."""
    return set(models.Trainee.objects.filter(practice=practice).values_list("slug", flat=True))


def place_slugs(practice: models.Practice) -> set[str]:
    """Every id of a place in a practice, those taken away included."""
    return set(models.Document.objects.filter(practice=practice, kind="place").values_list("slug", flat=True))


@dataclass(frozen=True)
class Version:
    """A version of a document: its name, and its text."""

    name: str = ""
    text: str = ""


def newest_version(practice: models.Practice, kind: str, slug: str, trainee: models.Trainee | None = None) -> Version:
    """The document as it stands, with the name of that version."""
    rows = models.Document.objects.filter(practice=practice, kind=kind, slug=slug, trainee=trainee)
    found = rows.order_by("-id").first()
    return Version() if found is None else Version(str(found.id), found.text)


def version_before(
    practice: models.Practice, kind: str, slug: str, name: str, trainee: models.Trainee | None = None
) -> str:
    """The text of one version of a document; empty where there is none of that name."""
    if not name.isdigit():
        return ""
    rows = models.Document.objects.filter(practice=practice, kind=kind, slug=slug, trainee=trainee)
    found = rows.filter(id=int(name)).first()
    return "" if found is None else found.text


def places_of(practice: models.Practice) -> dict[str, Place]:
    """The places of a practice by id, as they stand."""
    texts: dict[str, str] = {}
    for one in models.Document.objects.filter(practice=practice, kind="place").order_by("id"):
        texts[one.slug] = one.text
    known = catalogue()
    return {slug: read_place(text, f"place {slug}", known) for slug, text in texts.items() if text}


def keep_place(coach: models.Coach, text: str) -> Place:
    """Keeps a place of the practice, checked. Raises InputFaults with every fault."""
    place = read_place(text, "place", catalogue())
    keep_document(coach.practice, "place", place.id, text, coach.user)
    note(coach.practice, coach.user, "kept a place", about=place.id)
    return place


def person_of(trainee: models.Trainee) -> Person:
    """A trainee with their places, from the documents. Raises InputFaults where a place is missing."""
    return read_person(newest(trainee.practice, "trainee", trainee.slug, trainee), trainee.practice)


def read_person(text: str, practice: models.Practice) -> Person:
    """The trainee of an intake with the places that their days name, from the intake itself or the practice."""
    person, inline = read_trainee_and_places(text, "intake", catalogue())
    found = {**places_of(practice), **{one.id: one for one in inline}}
    faults = [
        Fault("intake", f"days[{number}].place", repr(day.place), "a place of the practice: " + ", ".join(found))
        for number, day in enumerate(person.days, start=1)
        if day.place not in found
    ]
    if faults:
        raise InputFaults(faults)
    return Person(person, tuple(found[one] for one in dict.fromkeys(day.place for day in person.days)))


@transaction.atomic
def keep_trainee(coach: models.Coach, text: str, row: models.Trainee | None = None) -> models.Trainee:
    """Keeps an intake, checked: a new trainee of this coach, or a new version for one that is known.

    Raises InputFaults with every fault; nothing is kept then.
    """
    person = read_person(text, coach.practice).trainee
    if row is None:
        taken = models.Trainee.objects.filter(practice=coach.practice, slug=person.id).exists()
        if taken:
            raise InputFaults([Fault("intake", "id", f"{person.id!r}, which is taken", "an id of their own")])
        row = models.Trainee.objects.create(
            practice=coach.practice, coach=coach, slug=person.id, name=person.name, is_invented=person.invented
        )
        note(coach.practice, coach.user, "took in a trainee", row)
    elif person.id != row.slug:
        raise InputFaults([Fault("intake", "id", repr(person.id), f"{row.slug!r}: an id stays")])
    else:
        note(coach.practice, coach.user, "changed the intake", row)
    if row.name != person.name:
        row.name = person.name
        row.save(update_fields=["name"])
    keep_document(coach.practice, "trainee", row.slug, text, coach.user, row)
    return row


def with_restriction(text: str, made: Restriction) -> str:
    """An intake with one more restriction; one with the same id is replaced."""
    data = dict(read_toml(text, "intake"))
    kept = [table for name, table in restrictions_by_id(text) if name != made.id]
    data["restrictions"] = [*kept, restriction_table(made)]
    return tomli_w.dumps(data)


def restrictions_by_id(text: str) -> list[tuple[str, dict[str, Any]]]:
    """The restrictions of an intake as their tables, each with the id that its reader gives it.

    One in plain words has no id of its own: its words make one.
    """
    tables = read_toml(text, "intake").get("restrictions", [])
    read = read_trainee_and_places(text, "intake", catalogue())[0].restrictions
    return [(one.id, dict(table)) for one, table in zip(read, tables, strict=True)]


def named_anew(person: Person, slug: str) -> Person:
    """The person under the slug of their row."""
    return replace(person, trainee=replace(person.trainee, id=slug))
