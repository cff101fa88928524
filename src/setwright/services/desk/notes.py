"""Words between trainee and coach. A note has a key from who wrote it: sent again, it is there once."""

from __future__ import annotations

import uuid
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from django.utils import timezone

from setwright.faults import Fault, InputFaults
from setwright.records import models
from setwright.records.plain_text import keepable
from setwright.services.clock import today
from setwright.services.desk.each_alone import keep_each

MOST_NOTES, MOST_LETTERS = 100, 4000


def take_notes(
    row: models.Trainee, notes: Sequence[Mapping[str, Any]], is_from_coach: bool
) -> tuple[list[str], dict[str, str]]:
    """Keeps notes once by their ids: the ids that are kept now, and the faults of the others.

    notes : each with ``id`` (a UUID), ``day``, ``text``, and ``about`` and ``needs_coach`` where they are told
    Raises InputFaults for more than can come at once.
    """
    return keep_each(notes, "notes", MOST_NOTES, lambda one: keep_note(row, one, is_from_coach))


def keep_note(row: models.Trainee, one: Mapping[str, Any], is_from_coach: bool) -> None:
    """Keeps one note, checked; one whose id is kept is left as it is. Raises InputFaults with all of its faults."""
    one, faults = keepable(dict(one)), []
    try:
        key = uuid.UUID(str(one.get("id", "")))
    except ValueError:
        faults.append(Fault("note", "id", repr(one.get("id"))[:60], "a UUID made by who writes it"))
    try:
        day = date.fromisoformat(str(one.get("day", "")))
    except ValueError:
        faults.append(Fault("note", "day", repr(one.get("day"))[:60], "a date like 2026-09-07"))
    said = str(one.get("text", "")).strip()
    if not said:
        faults.append(Fault("note", "text", "nothing", "words"))
    elif len(said) > MOST_LETTERS:
        faults.append(Fault("note", "text", f"{len(said)} letters", f"at most {MOST_LETTERS}"))
    if faults:
        raise InputFaults(faults)
    models.Note.objects.get_or_create(
        id=key,
        defaults={
            "trainee": row,
            "about": str(one.get("about") or "")[:200],
            "day": day,
            "text": said,
            "is_from_coach": is_from_coach,
            "needs_coach": bool(one.get("needs_coach")) and not is_from_coach,
        },
    )


def write_note(row: models.Trainee, text: str, is_from_coach: bool, about: str = "") -> None:
    """A note written on a page of today."""
    keep_note(row, {"id": str(uuid.uuid4()), "day": today().isoformat(), "text": text, "about": about}, is_from_coach)


def open_notes(row: models.Trainee) -> Any:
    """What a trainee wrote, or what was told of them, and the coach has not put aside; what is urgent first."""
    return row.notes.filter(seen_at=None, is_from_coach=False).order_by("-needs_coach", "-at")


def put_aside(row: models.Trainee, note_id: uuid.UUID) -> None:
    """Keeps that the coach has seen a note; LookupError where there is none."""
    if not row.notes.filter(id=note_id, is_from_coach=False).update(seen_at=timezone.now()):
        raise LookupError("no such note")


def fresh_replies(row: models.Trainee) -> Any:
    """What the coach wrote and the trainee has not opened."""
    return row.notes.filter(seen_at=None, is_from_coach=True)


def opened_by_trainee(row: models.Trainee) -> None:
    """Keeps that the trainee has seen what the coach wrote."""
    fresh_replies(row).update(seen_at=timezone.now())
