"""What happened with a trainee, newest first: revisions, decisions, undoing, versions of the intake, days logged."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.utils import timezone
from django.utils.dateparse import parse_datetime

from setwright.publish.words import counted, date_text
from setwright.records import models
from setwright.records.data_base import LogTime
from setwright.records.port import Event
from setwright.services.desk.blocks import records_of
from setwright.services.desk.choices import CHOICES, choice_words

KINDS = {"trainee": "the intake was kept", "brief": "a brief was kept"}


@dataclass(frozen=True)
class Happening:
    """One thing that happened: when, what, the block it is about, the reason, and who did it where that is known."""

    at: datetime
    what: str
    block: str = ""
    title: str = ""
    reason: str = ""
    by: str = ""


def history_of(row: models.Trainee) -> list[Happening]:
    """Everything kept of a trainee as sentences, the newest first."""
    titles = {one.block: one.title for one in row.revisions.defer("packed")}
    records = records_of(row)
    found = [happening(one, titles) for one in records.deeds(row.slug)]
    found += [logged(one) for one in records.log_times(row.slug)]
    for document in row.documents.select_related("by").filter(kind__in=KINDS):
        by = document.by.first_name or document.by.username if document.by is not None else ""
        found.append(Happening(document.at, KINDS[document.kind], by=by))
    found += chosen(row)
    return sorted(found, key=lambda one: one.at, reverse=True)


def chosen(row: models.Trainee) -> list[Happening]:
    """What was chosen on the floor, as it stands for each session."""
    newest = {one.slug: one for one in row.documents.filter(kind=CHOICES).order_by("id")}
    told = [(one.at, day, choice_words(one.text)) for day, one in newest.items()]
    return [Happening(at, f"on the floor, {day}: {words}") for at, day, words in told if words]


def happening(event: Event, titles: dict[str, str]) -> Happening:
    """An event of the records as a sentence."""
    data: Any = event.data
    block = str(data.get("block", ""))
    title = titles.get(block, "")
    if event.kind == "revision":
        what = f"revision {data['revision']} was made"
    elif event.kind == "decision":
        what = f"{counted(len(data['changes']), 'change')} {data['verdict']}" if data["changes"] else data["verdict"]
    else:
        what = "came into force"
    return Happening(when(event.at), what, block, title, str(data.get("reason", "")))


def logged(one: LogTime) -> Happening:
    """Rows that were kept at one time as a sentence."""
    first, last = date_text(one.first), date_text(one.last)
    span = first if first == last else f"{first} to {last}"
    return Happening(when(one.at), f"{counted(one.rows, 'log row')} kept, {span}")


def when(text: str) -> datetime:
    """The time of an event."""
    found = parse_datetime(text) or timezone.now()
    return found if timezone.is_aware(found) else timezone.make_aware(found)
