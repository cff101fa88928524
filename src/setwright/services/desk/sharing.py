"""Private links to what is in force of a trainee: the notes of its sessions, or a calendar to subscribe to.

The secret of a link is shown once and kept nowhere: a digest of it opens what it is for. A link ends on its day, or
when it is withdrawn; then nothing tells it from one that never was.
"""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from django.db import transaction
from django.utils import timezone

from setwright.faults import Fault, InputFaults
from setwright.people.trainee import DAY_NAMES
from setwright.plan.block import Block
from setwright.plan.block_days import session_date
from setwright.publish import words
from setwright.publish.calendar_file import block_calendar
from setwright.publish.catalogue_figure import Drawn
from setwright.publish.page import figures_of, parts_of
from setwright.publish.sheet import talk_of
from setwright.records import models
from setwright.records.data_base import current_of
from setwright.services.desk.practice import digest_of, note
from setwright.services.gather import catalogue

NOTES, CALENDAR, PUBLIC = "notes", "calendar", "public"
WHAT = {NOTES: "the sessions with notes", CALENDAR: "the calendar"}
SAID = {**WHAT, PUBLIC: "a public edition"}
DAYS_OPEN = {"7": "one week", "28": "four weeks", "90": "three months", "": "until you withdraw it"}
USUAL_START = time(18, 0)
MOST_OPEN = 50  # links of one trainee at a time
SECRET_BYTES = 24


def said_of(share: models.Share) -> str:
    """What a link shows, and for whom: ``the calendar for my phone``, ``a public edition, "Legs on Monday"``."""
    what = SAID.get(share.what, share.what)
    if not share.name:
        return what
    return f'{what}, "{share.name}"' if share.what == PUBLIC else f"{what} for {share.name}"


@dataclass(frozen=True)
class Shared:
    """A link and its secret, which is shown once and kept nowhere."""

    share: models.Share
    secret: str


@transaction.atomic
def make_link(row: models.Trainee, said: dict[str, str], by: Any) -> Shared:
    """A link as a form asks for it. Raises InputFaults.

    said : ``what``, ``name`` (whom it is for), ``days`` it is open, ``starts`` (HH:MM) of a calendar
    """
    faults = []
    if said.get("what") not in WHAT:
        faults.append(Fault("link", "to", repr(said.get("what")), " or ".join(WHAT.values())))
    if said.get("days", "") not in DAYS_OPEN:
        faults.append(Fault("link", "open for", repr(said.get("days")), ", ".join(DAYS_OPEN.values())))
    starts = USUAL_START
    if said.get("what") == CALENDAR and said.get("starts"):
        try:
            starts = time.fromisoformat(said["starts"])
        except ValueError:
            faults.append(Fault("link", "sessions begin", repr(said["starts"][:20]), "a time like 18:00"))
    if len(open_links(row)) >= MOST_OPEN:
        faults.append(Fault("link", "", f"{MOST_OPEN} open links", f"fewer than {MOST_OPEN}", "Withdraw one first."))
    if faults:
        raise InputFaults(faults)
    secret = secrets.token_urlsafe(SECRET_BYTES)
    days = said.get("days", "")
    made = models.Share.objects.create(
        trainee=row,
        what=said["what"],
        name=said.get("name", "").strip()[:120],
        digest=digest_of(secret),
        starts_at=starts if said["what"] == CALENDAR else None,
        expires_at=timezone.now() + timedelta(days=int(days)) if days else None,
    )
    note(row.practice, by, "made a private link", row, WHAT[made.what])
    return Shared(made, secret)


def open_links(row: models.Trainee) -> list[models.Share]:
    """The links of a trainee that open something now, the newest first."""
    now = timezone.now()
    return [one for one in row.shares.order_by("-id") if is_open(one, now)]


def ended_links(row: models.Trainee, most: int = 20) -> list[models.Share]:
    """The links that are withdrawn or over, the newest first."""
    now = timezone.now()
    return [one for one in row.shares.order_by("-id") if not is_open(one, now)][:most]


def is_open(share: models.Share, now: datetime) -> bool:
    """True for a link that is neither withdrawn nor over."""
    return share.withdrawn_at is None and (share.expires_at is None or share.expires_at > now)


@transaction.atomic
def withdraw_link(row: models.Trainee, share_id: int, by: Any) -> None:
    """Ends a link of a trainee at once. LookupError for any other; nothing happens to one that has ended."""
    found = row.shares.filter(id=share_id).first()
    if found is None:
        raise LookupError("no such link")
    if found.withdrawn_at is None:
        found.withdrawn_at = timezone.now()
        found.save(update_fields=["withdrawn_at"])
        note(row.practice, by, "withdrew a private link", row, SAID.get(found.what, found.what))


def opened_link(secret: str, what: str) -> models.Share | None:
    """The link of a secret, while it is open; None for any other, and after its trainee was erased.

    The first opening goes into the audit trail, the last one is kept with the link.
    """
    found: models.Share | None = (
        models.Share.objects.select_related("trainee__practice")
        .filter(digest=digest_of(secret), what=what, trainee__erased_at=None)
        .first()
    )
    now = timezone.now()
    if found is None or not is_open(found, now):
        return None
    if found.opened_at is None:
        note(found.trainee.practice, None, "a private link was opened", found.trainee, SAID[what])
    models.Share.objects.filter(id=found.id).update(opened_at=now)
    return found


# What a link shows


def notes_index(block: Block, on: date) -> dict[str, Any]:
    """The sessions of a block by week, those that are over apart."""
    sessions: list[dict[str, Any]] = [
        {
            "date": session_date(block, week.number, one.day),
            "day": one.day,
            "week": week.number,
            "title": one.title,
            "minutes": round(one.minutes),
            "effort": words.effort_of_lifts(one),
        }
        for week in block.weeks
        for one in week.sessions
    ]
    return {
        "title": block.title,
        "ahead": [one for one in sessions if one["date"] >= on],
        "over": [one for one in sessions if one["date"] < on],
    }


def notes_of(block: Block, week: int, weekday: str) -> dict[str, Any]:
    """One session with its notes: the dose, what it is for, what to look at, what instead. LookupError for none."""
    known = catalogue()
    this_week, session = words.find_session(block, week, weekday)
    parts = parts_of(block, session, known, None)
    spoken, _ = words.spoken_session(block, session)
    figures: list[Drawn] = figures_of(parts, known)
    for part, entries in zip(parts, spoken.parts, strict=True):
        for shown, entry in zip(part["entries"], entries.entries, strict=True):
            shown["talk"] = talk_of(entry, known)
    day = session_date(block, week, weekday)
    return {
        "title": f"{DAY_NAMES[session.day]}, {words.date_text(day)}",
        "sub": f"{words.week_title(block, this_week)}: {words.effort_of_lifts(session)}, {session.minutes:.0f} min",
        "parts": parts,
        "figures": figures,
        "cautions": block.cautions,
    }


def calendar_of(share: models.Share) -> bytes:
    """The calendar of what is in force now; an empty one where nothing is, so that a subscription stays whole."""
    block = current_of(share.trainee)
    if block is None:
        return b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//Setwright//Block calendar 1//EN\r\nEND:VCALENDAR\r\n"
    return block_calendar(block, catalogue(), share.starts_at or USUAL_START, revised_at(share.trainee))


def revised_at(row: models.Trainee) -> datetime:
    """When what is in force came into force: the time of the last revision of its calendar.

    Source: RFC 5545, 3.8.7.2 (DTSTAMP where no METHOD is stated), from memory.
    """
    found = datetime.fromisoformat(row.in_force.latest("id").at)
    return (found if timezone.is_aware(found) else timezone.make_aware(found)).astimezone(UTC)
