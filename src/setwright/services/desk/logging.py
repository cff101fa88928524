"""What a phone or a coach logs: rows checked by the same reader as the files, kept once by their keys.

Two ideas carry this module. One: a key that is kept already is left as it is, so a row may be sent again and again.
Two: rows of two phones for the same planned set are both kept, and the later one counts as a correction of the one
before, so that nothing is lost and nothing counts twice.
"""

from __future__ import annotations

import json
import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Any

from django.db import transaction
from django.db.models import Q

from setwright.faults import Fault, InputFaults
from setwright.records import models
from setwright.records.data_base import keep_rows
from setwright.records.plain_text import keepable
from setwright.review.log_file import as_rows, read_log
from setwright.services.clock import now_text
from setwright.services.desk import jobs
from setwright.services.desk.pain import tell_coach
from setwright.services.gather import catalogue

MOST_ROWS = 500
MOST_AHEAD = timedelta(days=1)  # of a phone's clock before the server's; beyond it the server's counts


@dataclass(frozen=True)
class Taken:
    """What came of some rows: the keys that are kept now (new or before), and the faults of the others by key.

    fresh : the rows that were not kept before, as they are kept
    replaced : by the key of a row, the key of the row of another phone that it stands in for
    """

    kept: tuple[str, ...]
    refused: Mapping[str, str]
    fresh: tuple[Mapping[str, Any], ...] = ()
    replaced: Mapping[str, str] | None = None


@dataclass(frozen=True)
class Read:
    """One row that was read: its key as it was sent, what is kept of it, its planned set, when the phone wrote it."""

    key: str
    made: Mapping[str, Any]
    slot: str
    at: str


def take_rows(row: models.Trainee, rows: Sequence[Mapping[str, Any]], by: Any = None) -> Taken:
    """Keeps rows one by one: a wrong one is refused with its reason and holds up no other.

    rows : as the log columns name them, each with a ``row``: the UUID that the phone made; ``slot`` says which planned
        set it is, ``at`` when the phone wrote it
    Raises InputFaults where what came is no list of rows.
    """
    if len(rows) > MOST_ROWS:
        raise InputFaults([Fault("log", "", f"{len(rows)} rows", f"at most {MOST_ROWS} at once")])
    kept: list[str] = []
    refused: dict[str, str] = {}
    fresh: list[Mapping[str, Any]] = []
    replaced: dict[str, str] = {}
    read: list[Read] = []
    for one in rows:  # before the transaction: nobody waits for the reading of another phone's rows
        try:
            read.append(read_row(one))
        except InputFaults as error:
            refused[str(one.get("row", ""))] = sentences(error)
    with transaction.atomic():
        models.Trainee.objects.select_for_update().get(pk=row.pk)  # one phone after the other
        for each in read:
            try:
                new, instead_of = take_row(row, each, by)
            except InputFaults as error:
                refused[each.key] = sentences(error)
                continue
            kept.append(each.key)
            if new is not None:
                fresh.append(new)
            if instead_of:
                replaced[each.key] = instead_of
    return Taken(tuple(kept), refused, tuple(fresh), replaced)


def after_rows(row: models.Trainee, fresh: Sequence[Mapping[str, Any]], by: Any) -> None:
    """What follows from fresh rows: the coach hears of pain, the roster of the newest day; at the end of a session
    its findings are counted anew, as a job."""
    tell_coach(row, fresh)
    newest = max(date.fromisoformat(str(one["date"])) for one in fresh)
    older = models.Overview.objects.filter(Q(last_logged=None) | Q(last_logged__lt=newest), trainee=row)
    if older.exists():  # asked first: a change that changes nothing would wait for those who write, too
        older.update(last_logged=newest)
    if any(one.get("session_rpe") is not None for one in fresh):
        jobs.ask(row, "count", {}, by)


def sentences(error: InputFaults) -> str:
    """All faults of a row in one text."""
    return "; ".join(fault.sentence() for fault in error.faults)


def read_row(one: Mapping[str, Any]) -> Read:
    """One row as it was sent, checked. Raises InputFaults with all of its faults."""
    told = keepable(dict(one))
    slot, at = str(told.pop("slot", "") or "")[: models.SLUG], told.pop("at", None)
    return Read(str(one.get("row", "")), checked_row(told), slot, when(at))


def take_row(row: models.Trainee, one: Read, by: Any) -> tuple[Mapping[str, Any] | None, str]:
    """Keeps one row: what is kept of it, None where it was before; and the key of another phone's row it replaces.

    Raises InputFaults where it corrects a row that is kept nowhere.
    """
    made = dict(one.made)
    if row.log_rows.filter(key=made["row"]).exists():
        return None, ""
    before = standing_row(row, str(made.get("corrects") or ""), one.slot)
    instead_of = ""
    if before and before != made.get("corrects"):
        made["corrects"] = instead_of = before
    keep_rows(row, [made], one.at, by, one.slot)
    return made, instead_of


def standing_row(row: models.Trainee, corrects: str, slot: str) -> str:
    """The key of the row that a new one stands in for: the newest correction of the same row, or of the same set."""
    at = corrects
    if not at and slot:
        found = row.log_rows.filter(slot=slot).order_by("-id").first()
        at = "" if found is None else found.key
    while at:
        later = row.log_rows.filter(corrects=at).order_by("-id").first()
        if later is None:
            return at
        at = later.key
    return ""


def when(said: object) -> str:
    """The time that a phone wrote, as kept; the server's where it is none, or lies ahead."""
    try:
        found = datetime.fromisoformat(str(said))
    except ValueError:
        return now_text()
    if found.tzinfo is None or found > datetime.now(UTC) + MOST_AHEAD:
        return now_text()
    return found.astimezone(UTC).isoformat(timespec="seconds")


def checked_row(one: Mapping[str, Any]) -> Mapping[str, Any]:
    """One row as it is kept. Raises InputFaults with all of its faults."""
    key = str(one.get("row", ""))
    try:
        uuid.UUID(key)
    except ValueError:
        raise InputFaults([Fault("log", "row", repr(key)[:60], "a UUID made by who logs it")]) from None
    log = read_log(json.dumps([dict(one)]), "log", catalogue(), whole=False)
    (made,) = as_rows(log)
    return made
