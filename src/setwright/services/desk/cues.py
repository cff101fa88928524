"""A coach's own cue, photo or clip for an exercise, for one trainee or for all of the practice.

Files lie in the folder of the data, under names that nobody can guess, and are served only to those who may see them.
What a file is, its first bytes say; neither its name nor what the browser claims is trusted.
What a camera wrote into it is taken out before it is kept (``services.camera_marks``).
"""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from typing import Any

from django.core.files.base import ContentFile
from django.db.models import Q
from django.utils import timezone

from setwright.faults import Fault, InputFaults
from setwright.records import models
from setwright.services.camera_marks import STILL_BRANDS, without_marks
from setwright.services.desk.practice import note
from setwright.services.gather import catalogue

MOST_LETTERS = 500
MB = 1_000_000
MOST_BYTES = {"image": 6 * MB, "video": 40 * MB}
ENDINGS = {"image/jpeg": "jpg", "image/png": "png", "image/webp": "webp", "video/mp4": "mp4", "video/webm": "webm"}
ALLOWED = "a photo (JPEG, PNG, WebP, at most 6 MB) or a clip (MP4, WebM, at most 40 MB)"
HEAD = 16  # bytes that tell the type


def type_of(head: bytes) -> str:
    """The type that the first bytes of a file say, or an empty text for any that is not taken.

    Source: the signatures of the formats (JFIF, PNG of RFC 2083, RIFF/WebP, ISO 14496-12, Matroska), from memory.

    >>> type_of(bytes.fromhex("ffd8ffe000104a46")), type_of(b"<svg onload=")
    ('image/jpeg', '')
    """
    if head[:3] == b"\xff\xd8\xff":
        return "image/jpeg"
    if head[:8] == b"\x89PNG\r\n\x1a\n":
        return "image/png"
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return "image/webp"
    if head[4:8] == b"ftyp" and head[8:12] not in STILL_BRANDS:  # a photo of that family is no clip
        return "video/mp4"
    if head[:4] == b"\x1aE\xdf\xa3":
        return "video/webm"
    return ""


def keep_cue(coach: models.Coach, row: models.Trainee | None, exercise: str, text: str, file: Any = None) -> models.Cue:
    """Keeps a cue for an exercise, words or a file or both; for all of the practice where ``row`` is None.

    Raises InputFaults with every fault; nothing is kept then.
    """
    said, faults, kind = text.strip(), [], ""
    if exercise not in catalogue():
        faults.append(Fault("cue", "exercise", repr(exercise)[:80], "an exercise of the catalogue"))
    if len(said) > MOST_LETTERS:
        faults.append(Fault("cue", "text", f"{len(said)} letters", f"at most {MOST_LETTERS}"))
    if file is None and not said:
        faults.append(Fault("cue", "text", "nothing", "words, a photo or a clip"))
    if file is not None:
        kind = type_of(file.read(HEAD))
        file.seek(0)
        if not kind:
            faults.append(Fault("cue", "file", repr(file.name)[:80], ALLOWED))
        elif file.size > MOST_BYTES[kind.split("/")[0]]:
            faults.append(Fault("cue", "file", f"{file.size / MB:.1f} MB", ALLOWED))
    if file is not None and not faults:
        try:
            file = ContentFile(without_marks(file.read(), kind))
        except ValueError as error:
            faults.append(Fault("cue", "file", f"a file that can't be read ({error})", ALLOWED))
    if faults:
        raise InputFaults(faults)
    slug = catalogue().get(exercise).slug
    made = models.Cue(practice=coach.practice, trainee=row, exercise=slug, text=said, file_type=kind)
    if file is not None:
        made.file.save(f"{uuid.uuid4().hex}.{ENDINGS[kind]}", file, save=False)
    made.save()
    note(coach.practice, coach.user, "kept a cue", row, slug)
    return made


def take_away(cue: models.Cue, by: Any) -> None:
    """Takes a cue away; its file is deleted."""
    cue.taken_away_at = timezone.now()
    if cue.file:
        cue.file.delete(save=False)
    cue.save()
    note(cue.practice, by, "took a cue away", cue.trainee, cue.exercise)


def cues_for(row: models.Trainee) -> Any:
    """The cues that a trainee sees: their own and those of the practice, the newest first."""
    mine = Q(trainee=row) | Q(trainee=None, practice=row.practice)
    return models.Cue.objects.filter(mine, taken_away_at=None).order_by("-id")


def cues_by_exercise(row: models.Trainee, exercises: Iterable[str]) -> dict[str, list[models.Cue]]:
    """The cues of a trainee by exercise, for those that are asked for."""
    found: dict[str, list[models.Cue]] = {}
    for one in cues_for(row).filter(exercise__in=set(exercises)):
        found.setdefault(one.exercise, []).append(one)
    return found


def cue_words(row: models.Trainee) -> dict[str, str]:
    """The newest words for each exercise: the trainee's own cue before one of the whole practice."""
    found: dict[str, str] = {}
    for one in sorted(cues_for(row).exclude(text=""), key=lambda each: (each.trainee_id is None, -each.id)):
        found.setdefault(one.exercise, one.text)
    return found
