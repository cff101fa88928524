"""What hurts, and who hears of it: the coach is told of every row with pain, once, whatever the network did.

Nothing here names a cause: never a diagnosis. What a row means for the next set is the law of ``review.next_set``.
"""

from __future__ import annotations

import uuid
from collections.abc import Mapping, Sequence
from datetime import date
from functools import lru_cache
from typing import Any

from setwright.people.restriction_text import needs_a_clinician
from setwright.publish.words import name_of
from setwright.records import models
from setwright.review.adapt import loads_region
from setwright.review.finding import HELP
from setwright.review.pain import RegionPain, joint_of, limit_at, whom_to_see
from setwright.services.desk.answers import REGIONS
from setwright.services.gather import catalogue

NO_DAY = date.min  # no clearance holds on it
TOLD = uuid.UUID("6f4a2f0e-6d9b-4d6e-9a55-0d6a7f1c9b21")  # the space of names for notes that follow from a row


@lru_cache(maxsize=4096)
def regions_loaded(slug: str) -> tuple[str, ...]:
    """The regions that an exercise works or stresses, of those that a trainee can name."""
    known = catalogue()
    return tuple(where for where in REGIONS if loads_region(slug, at_region(where), known))


def at_region(where: str) -> RegionPain:
    """A region as pain would name it, to ask what loads it."""
    return RegionPain(
        where, joint_of(where), (), ("",), 0, None, None, "", False, limit_at("", (), NO_DAY), "stop", "", ""
    )


def tell_coach(row: models.Trainee, rows: Sequence[Mapping[str, Any]]) -> int:
    """Notes to the coach from fresh rows that tell of pain or a red flag; gives how many."""
    made = [note for note in (note_of(row, one) for one in rows) if note is not None]
    models.Note.objects.bulk_create(made, ignore_conflicts=True)
    return len(made)


def note_of(row: models.Trainee, one: Mapping[str, Any]) -> models.Note | None:
    """The note that follows from a row, or None where nothing hurts."""
    pain, kind, where = one.get("pain"), one.get("pain_kind") or "", one.get("pain_where") or ""
    said = one.get("note") or ""
    is_red = kind == "numb" or needs_a_clinician(said, is_note=True) or needs_a_clinician(where)
    if not pain and not kind and not is_red and one.get("ended_by") != "pain":
        return None
    about = name_of(one["exercise"], catalogue()) if one.get("exercise") else ""
    return models.Note(
        id=uuid.uuid5(TOLD, f"{row.id}/{one['row']}"),
        trainee=row,
        about=about[:200],
        day=one["date"],
        text=pain_words(one, is_red)[:4000],
        is_from_coach=False,
        needs_coach=True,
    )


def pain_words(one: Mapping[str, Any], is_red: bool) -> str:
    """A row with pain in words: where, how bad, what it is like, what was said."""
    pain, kind, where = one.get("pain"), one.get("pain_kind") or "", one.get("pain_where") or "an unnamed place"
    level = "" if pain is None else f" {pain} of 10"
    like = "" if kind in ("", "other") else f", {kind}"
    words = [
        f"Pain{level} at the {where}{like}." if where != "an unnamed place" else f"Pain{level}{like}, no place named."
    ]
    if one.get("set"):
        words.append(f"In set {one['set']}" + (f", after {one['reps']} repetitions." if one.get("reps") else "."))
    if one.get("note"):
        words.append(f'"{one["note"]}"')
    if is_red:
        words.append(
            f"A red flag. {HELP} See {whom_to_see(' '.join((where, kind, one.get('note') or '')))}; no diagnosis."
        )
    return " ".join(words)
