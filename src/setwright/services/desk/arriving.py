"""What comes into a data base from files: places, intakes, and people whom other records knew."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from django.db import transaction

from setwright.faults import Fault, InputFaults
from setwright.people.intake import read_place, read_trainee_and_places
from setwright.records import models
from setwright.records.data_base import DataBaseRecords
from setwright.services.desk.overview import count_anew
from setwright.services.desk.people import keep_document, keep_trainee, newest
from setwright.services.desk.practice import note
from setwright.services.gather import Say, catalogue, kind_of
from setwright.services.moving import TAKEN, keep_person

if TYPE_CHECKING:
    from setwright.services.moving import Arrived

Source = str | Sequence[Mapping[str, Any]]


@transaction.atomic
def take_in(
    records: DataBaseRecords, given: Sequence[tuple[Path, Source]], coach: str, arrived: Arrived, say: Say
) -> None:
    """Takes places, then intakes, then people with all that was kept of them.

    coach : the log-in name of who is responsible for new trainees; the owner where it is empty
    Raises InputFaults where a source can't be taken; nothing is kept then.
    """
    responsible = coach_named(records.practice, coach)
    texts = [(path, source) for path, source in given if isinstance(source, str)]
    kinds = {path: kind_of(text, path) for path, text in texts}
    wrong = [path for path, kind in kinds.items() if kind not in ("place", "trainee")]
    if wrong:
        raise InputFaults([Fault(str(path), "", f"a {kinds[path]}", TAKEN) for path in wrong])
    for path, text in texts:
        if kinds[path] == "place":
            take_place(responsible, text, path, arrived)
    for path, text in texts:
        if kinds[path] == "trainee":
            take_trainee(responsible, text, path, arrived)
    for path, source in given:
        for person in () if isinstance(source, str) else source:
            take_person(records, responsible, person, str(path), arrived, say)
    for slug in arrived.trainees:
        row = records.row_of(slug)
        note(records.practice, None, "imported", row)
        count_anew(row)


def coach_named(practice: models.Practice, username: str) -> models.Coach:
    """A coach of the practice by log-in name, or its owner. Raises InputFaults for any other name."""
    found = models.Coach.objects.filter(practice=practice, left_at=None).select_related("user", "practice")
    fitting = found.filter(user__username=username) if username else found.filter(is_owner=True)
    first = fitting.first()
    if first is None:
        names = ", ".join(found.values_list("user__username", flat=True))
        raise InputFaults([Fault("--coach", "", repr(username), f"a coach of {practice.name}: {names}")])
    return first


def take_place(coach: models.Coach, text: str, path: Path, arrived: Arrived) -> None:
    """Keeps the place of a file."""
    place = read_place(text, str(path), catalogue())
    if newest(coach.practice, "place", place.id) != text:
        keep_document(coach.practice, "place", place.id, text, None)
        arrived.add("places", 1)


def take_trainee(coach: models.Coach, text: str, path: Path, arrived: Arrived) -> None:
    """Keeps the intake of a file: a new trainee of the coach, or a new version for one who is known."""
    person, _ = read_trainee_and_places(text, str(path), catalogue())
    row = models.Trainee.objects.filter(practice=coach.practice, slug=person.id, erased_at=None).first()
    if row is not None and newest(coach.practice, "trainee", person.id, row) == text:
        return
    keep_trainee(coach, text, row)
    arrived.add("intakes", 1, person.id)


def take_person(
    records: DataBaseRecords, coach: models.Coach, person: Mapping[str, Any], file: str, arrived: Arrived, say: Say
) -> None:
    """Keeps all that other records knew of a person; a new trainee of the coach where nobody of that id is there."""
    try:
        row = records.known(person["id"]) or new_trainee(coach, person, file, arrived)
        keep_person(records, person, file, arrived)
        keep_slots(row, person)
        keep_notes(row, person, arrived)
    except (KeyError, TypeError, ValueError) as error:
        if isinstance(error, InputFaults):
            raise
        raise InputFaults([Fault(file, "", f"something that is missing or of another kind ({error})", TAKEN)]) from None
    if any(one.get("file") for one in person.get("cues", [])):
        say(f"Photos and clips for {row.name} are not taken over; add them on their page.")


def new_trainee(coach: models.Coach, person: Mapping[str, Any], file: str, arrived: Arrived) -> models.Trainee:
    """A trainee with every version of their intake and briefs, and the places that the practice lacks."""
    for one in person.get("places", []):
        if not newest(coach.practice, "place", one["id"]):
            take_place(coach, one["text"], Path(f"{file}: places"), arrived)
    intakes = [one for one in person["documents"] if one["kind"] == "trainee" and one["text"]]
    if not intakes:
        hint = "Give their intake too: setwright import intake.toml and this."
        raise InputFaults([Fault(file, "id", f"{person['id']!r}, without an intake", "a trainee who is known", hint)])
    row = keep_trainee(coach, intakes[-1]["text"])
    if row.slug != person["id"]:
        raise InputFaults([Fault(file, "id", repr(person["id"]), f"{row.slug!r}, as their intake says")])
    row.documents.all().delete()  # comes again below, under its own time
    for one in person["documents"]:
        models.Document.objects.create(
            practice=coach.practice,
            trainee=row,
            kind=one["kind"],
            slug=one["name"],
            text=one["text"],
            at=datetime.fromisoformat(one["at"]),
        )
    arrived.add("documents", len(person["documents"]), row.slug)
    return row


def keep_slots(row: models.Trainee, person: Mapping[str, Any]) -> None:
    """Which planned set each row is, where a phone said so."""
    for one in person["kept"]["rows"]:
        if one["slot"]:
            row.log_rows.filter(key=one["row"], slot="").update(slot=one["slot"])


def keep_notes(row: models.Trainee, person: Mapping[str, Any], arrived: Arrived) -> None:
    """Notes that are not kept yet, under their own time."""
    new = 0
    for one in person["notes"]:
        if models.Note.objects.filter(id=one["id"]).exists():
            continue
        made = row.notes.create(
            id=one["id"],
            about=one["about"],
            day=date.fromisoformat(one["day"]),
            text=one["text"],
            is_from_coach=one["from"] == "coach",
            needs_coach=one["needs_coach"],
        )
        models.Note.objects.filter(id=made.id).update(at=datetime.fromisoformat(one["at"]))
        new += 1
    arrived.add("notes", new)
