"""What somebody on the floor chose beside what they logged: another exercise, left out, a set more, less after pain.

Two ideas carry this module. One: a choice says one thing of one entry of one session, with the time on the phone when
it was said; of two phones the later word stands, thing by thing, so that sent again or sent late it changes nothing.
Two: what was chosen is kept as versions of one document a session, so nothing said is lost.
"""

from __future__ import annotations

import json
import uuid
from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.dateparse import parse_datetime

from setwright.faults import Fault, InputFaults
from setwright.publish.words import name_of
from setwright.records import models
from setwright.records.plain_text import keepable
from setwright.services.desk.each_alone import keep_each
from setwright.services.desk.people import keep_document, newest, one_at_a_time
from setwright.services.gather import catalogue

CHOICES = "choices"
MOST_CHOICES, MOST_LETTERS, MOST_MORE = 100, 120, 20

Said = dict[str, dict[str, list[Any]]]  # by entry and thing: what was said, and when


def is_taken(value: Any) -> bool:
    """An exercise of the catalogue that stands in; empty for the entry itself."""
    return isinstance(value, str) and (not value or value in catalogue())


def is_words(value: Any) -> bool:
    """Why an entry ended; empty where it goes on."""
    return isinstance(value, str) and len(value) <= MOST_LETTERS


def is_more(value: Any) -> bool:
    """Sets beyond those planned."""
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= MOST_MORE


THINGS: Mapping[str, tuple[Callable[[Any], bool], str]] = {
    "taken": (is_taken, "an exercise of the catalogue, or nothing"),
    "ended": (is_words, f"words, at most {MOST_LETTERS} letters"),
    "more": (is_more, f"a whole number from 0 to {MOST_MORE}"),
    "eased": (lambda value: value in ("", "load", "range"), "load, range or nothing"),
    "resumed": (lambda value: isinstance(value, bool), "true or false"),
}


def take_choices(row: models.Trainee, some: Sequence[Mapping[str, Any]], by: Any) -> tuple[list[str], dict[str, str]]:
    """Keeps choices: the ids that are kept now, and the faults of the others.

    some : each with ``id`` (a UUID), ``day`` (that the session was planned for), ``entry`` (its key), ``at``, and at
        least one of ``THINGS``
    Raises InputFaults for more than can come at once.
    """
    return keep_each(some, "choices", MOST_CHOICES, lambda one: keep_choice(row, keepable(dict(one)), by))


@transaction.atomic
def keep_choice(row: models.Trainee, one: Mapping[str, Any], by: Any) -> None:
    """Keeps one choice, checked. Raises InputFaults with all of its faults."""
    day, at = checked(one)
    one_at_a_time(row)
    said = said_on(row, day)
    entry = said.setdefault(str(one["entry"]), {})
    for thing in THINGS:
        if thing in one and at.isoformat() >= entry.get(thing, ["", ""])[1]:
            entry[thing] = [one[thing], at.isoformat()]
    keep_document(row.practice, CHOICES, day.isoformat(), json.dumps(said, sort_keys=True), by, row)


def checked(one: Mapping[str, Any]) -> tuple[date, datetime]:
    """The day and the time of a choice that is sound. Raises InputFaults with all of its faults."""
    faults: list[Fault] = []
    try:
        uuid.UUID(str(one.get("id", "")))
    except ValueError:
        faults.append(Fault("choice", "id", repr(one.get("id"))[:60], "a UUID made by who chose"))
    try:
        day = date.fromisoformat(str(one.get("day", "")))
    except ValueError:
        day = date.min
        faults.append(Fault("choice", "day", repr(one.get("day"))[:60], "a date like 2026-09-07"))
    at = moment(one.get("at"))
    if at is None:
        faults.append(Fault("choice", "at", repr(one.get("at"))[:60], "a time like 2026-09-07T18:05:00Z"))
    part, _, slug = str(one.get("entry") or "").partition("/")
    if not part or slug not in catalogue() or len(part) > MOST_LETTERS:
        faults.append(Fault("choice", "entry", repr(one.get("entry"))[:60], "part/exercise"))
    if not any(thing in one for thing in THINGS):
        faults.append(Fault("choice", "", "nothing chosen", ", ".join(THINGS)))
    for thing, (is_sound, allowed) in THINGS.items():
        if thing in one and not is_sound(one[thing]):
            faults.append(Fault("choice", thing, repr(one[thing])[:60], allowed))
    if faults or at is None:
        raise InputFaults(faults)
    return day, at


def moment(text: Any) -> datetime | None:
    """A time in UTC, none later than now: a phone whose clock is ahead does not have the last word for ever."""
    try:
        found = parse_datetime(str(text or ""))
    except ValueError:
        return None
    if found is None or timezone.is_naive(found):
        return None
    return min(found, timezone.now()).astimezone(timezone.get_fixed_timezone(0))


def said_on(row: models.Trainee, day: date) -> Said:
    """All that was said of a session, thing by thing, each with its time."""
    text = newest(row.practice, CHOICES, day.isoformat(), row)
    said: Said = json.loads(text) if text else {}
    return said


def choice_words(text: str) -> str:
    """What was chosen in a session, in words: ``bench press: left out``; empty where all was taken back."""
    said: Said = json.loads(text)
    told = []
    for key, things in said.items():
        name = name_of(key.partition("/")[2], catalogue())
        now = {thing: value for thing, (value, _) in things.items()}
        if now.get("taken"):
            told.append(f"{name_of(now['taken'], catalogue())} instead of {name}")
        if now.get("ended"):
            told.append(f"{name}: {'ended because it hurt' if now['ended'] == 'pain' else now['ended']}")
        if now.get("more"):
            told.append(f"{name}: {now['more']} {'set' if now['more'] == 1 else 'sets'} more")
        if now.get("eased"):
            told.append(f"{name}: less {now['eased']} after pain")
    return "; ".join(told)
