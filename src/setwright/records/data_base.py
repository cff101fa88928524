"""Records in a data base: the same port as the files, for the trainees of one practice.

Confirmed means: committed. A row that comes twice is kept once, because its key is unique in the data base itself.
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.db import transaction
from django.db.models import Count, Max, Min, Q
from django.db.models.functions import Substr

from setwright.catalogue.store import Catalogue
from setwright.faults import Fault, InputFaults
from setwright.people.trainee import DAYS
from setwright.plan.block import Block
from setwright.publish.block_file import block_from_json, block_to_json
from setwright.records import models
from setwright.records.erasing import erase_trainee
from setwright.records.port import Decision, Event, Revision
from setwright.review.log_file import as_rows, read_log, with_row_keys, without_repeats
from setwright.strength.logged import Log


@dataclass(frozen=True)
class LogTime:
    """So many rows of a log, written on one day, the last of them ``at`` a time; of days from the first to the last."""

    at: str
    rows: int
    first: date
    last: date


class DataBaseRecords:
    """The port ``Records`` over the tables of one practice; trainees go by their slugs.

    by : the user who does what is kept, or None (the command line)
    """

    def __init__(self, practice: models.Practice, catalogue: Catalogue, by: Any = None) -> None:
        self.practice = practice
        self.catalogue = catalogue
        self.by = by

    def known(self, trainee: str) -> models.Trainee | None:
        """The row of a trainee, or None."""
        return models.Trainee.objects.filter(practice=self.practice, slug=trainee, erased_at=None).first()

    def row_of(self, trainee: str) -> models.Trainee:
        """The row of a trainee; LookupError for an unknown one."""
        found = self.known(trainee)
        if found is None:
            raise LookupError(f"no trainee {trainee!r} in {self.practice.name}")
        return found

    def keep_block(self, block: Block, at: str) -> None:
        """Keeps a revision; the same one twice is kept once."""
        first = block.inputs.brief.start
        models.BlockRevision.objects.get_or_create(
            trainee=self.row_of(block.trainee),
            block=block.id,
            defaults={
                "number": block.revision,
                "parent": block.parent or "",
                "title": block.title[:200],
                "first_day": first,
                "last_day": last_day_of(block),
                "packed": zlib.compress(block_to_json(block), 6),
                "at": at,
            },
        )

    def block(self, block_id: str) -> Block:
        """A kept revision; LookupError for an unknown one."""
        found = models.BlockRevision.objects.filter(trainee__practice=self.practice, block=block_id).first()
        if found is None:
            raise LookupError(f"no block {block_id} in these records")
        return block_of(found)

    def revisions(self, trainee: str) -> Sequence[Revision]:
        """All revisions of a trainee in the order they were kept."""
        row = self.known(trainee)
        if row is None:
            return []
        force = in_force_id(row)
        return [
            Revision(one.block, one.number, one.parent or None, one.at, one.block == force)
            for one in row.revisions.defer("packed").order_by("id")
        ]

    def current(self, trainee: str) -> Block | None:
        """The revision in force, or None."""
        row = self.known(trainee)
        return None if row is None else current_of(row)

    def put_in_force(self, trainee: str, block_id: str, at: str, reason: str) -> None:
        """Makes a kept revision the one in force: accepting, and undoing."""
        row = self.row_of(trainee)
        if not row.revisions.filter(block=block_id).exists():
            raise LookupError(f"no block {block_id} in these records")
        row.in_force.create(block=block_id, reason=reason[:500], at=at)

    def keep_log(self, trainee: str, log: Log, at: str) -> int:
        """Adds rows that are not kept yet; gives how many were new.

        Raises InputFaults where a row corrects one that is kept nowhere.
        """
        once, _ = without_repeats(log)
        return keep_rows(self.row_of(trainee), as_rows(with_row_keys(once)), at, self.by)

    def log(self, trainee: str) -> Log:
        """The whole log, corrections applied."""
        row = self.known(trainee)
        return Log() if row is None else log_of(row, self.catalogue)

    def decide(self, decision: Decision) -> None:
        """Keeps a decision of the coach."""
        self.row_of(decision.trainee).decisions.create(
            block=decision.block,
            verdict=decision.verdict,
            changes=list(decision.changes),
            reason=decision.reason[:500],
            at=decision.at,
        )

    def decisions(self, trainee: str) -> Sequence[Decision]:
        """All decisions about a trainee, in order."""
        row = self.known(trainee)
        return [
            Decision(trainee, one.block, one.verdict, tuple(one.changes), one.at, one.reason)
            for one in ([] if row is None else row.decisions.order_by("id"))
        ]

    def events(self, trainee: str) -> Sequence[Event]:
        """Everything kept of a trainee, in the order it was kept."""
        row = self.known(trainee)
        if row is None:
            return []
        rows: dict[str, list[Any]] = {}
        for at, data in row.log_rows.order_by("id").values_list("at", "data"):
            rows.setdefault(at, []).append(data)
        logged = [Event("log", at, {"rows": some}) for at, some in rows.items()]
        return sorted((*self.deeds(trainee), *logged), key=lambda one: one.at)

    def log_times(self, trainee: str) -> Sequence[LogTime]:
        """How many rows of the log were written on which day, without reading them."""
        row = self.known(trainee)
        if row is None:
            return []
        found = row.log_rows.order_by().values(written=Substr("at", 1, 10))
        found = found.annotate(last_at=Max("at"), rows=Count("id"), first=Min("day"), last=Max("day"))
        return [LogTime(one["last_at"], one["rows"], one["first"], one["last"]) for one in found.order_by("written")]

    def deeds(self, trainee: str) -> Sequence[Event]:
        """What was kept of a trainee beside the log: revisions, decisions, what came into force."""
        row = self.known(trainee)
        if row is None:
            return []
        found = [
            Event("revision", one.at, {"block": one.block, "revision": one.number, "parent": one.parent or None})
            for one in row.revisions.defer("packed").order_by("id")
        ]
        found += [
            Event(
                "decision",
                one.at,
                {"block": one.block, "verdict": one.verdict, "changes": one.changes, "reason": one.reason},
            )
            for one in row.decisions.order_by("id")
        ]
        found += [
            Event("in-force", one.at, {"block": one.block, "reason": one.reason}) for one in row.in_force.order_by("id")
        ]
        return found

    def trainees(self) -> Sequence[str]:
        """Who has records; erased people are left out."""
        return list(
            models.Trainee.objects.filter(practice=self.practice, erased_at=None)
            .order_by("made_at")
            .values_list("slug", flat=True)
        )

    def erase(self, trainee: str, at: str) -> Mapping[str, int]:
        """Erases a person and leaves an anonymous tombstone; gives what was erased, by kind."""
        return erase_trainee(self.row_of(trainee))


def last_day_of(block: Block) -> date:
    """The day of the last session of a block."""
    start = block.inputs.brief.start
    monday = start - timedelta(days=start.weekday())
    weeks = block.weeks[-1].number - 1
    days = [DAYS.index(session.day) for session in block.weeks[-1].sessions]
    return monday + timedelta(days=7 * weeks + max(days, default=6))


MOST_REMEMBERED = 32  # blocks in the memory of one process, one or two MB each: those who train today
REMEMBERED: dict[tuple[int, str], Block] = {}


def block_of(revision: models.BlockRevision) -> Block:
    """The block of a kept revision. It never changes and takes 20 ms to read: the last ones stay in memory."""
    key = revision.pk, revision.block
    block = REMEMBERED.pop(key, None) or read_block(revision)
    REMEMBERED[key] = block
    for old in list(REMEMBERED)[:-MOST_REMEMBERED]:
        REMEMBERED.pop(old, None)
    return block


def read_block(revision: models.BlockRevision) -> Block:
    """The block in what is kept of a revision."""
    return block_from_json(zlib.decompress(bytes(revision.packed)), f"block {revision.block}")


def in_force_id(row: models.Trainee) -> str | None:
    """The id of the revision in force, or None."""
    newest = row.in_force.order_by("-id").first()
    return None if newest is None else newest.block


def revision_in_force(row: models.Trainee) -> models.BlockRevision | None:
    """The revision in force as it is kept, or None."""
    name = in_force_id(row)
    return None if name is None else row.revisions.filter(block=name).first()


def current_of(row: models.Trainee) -> Block | None:
    """The block in force of a trainee, or None."""
    found = revision_in_force(row)
    return None if found is None else block_of(found)


def log_of(row: models.Trainee, catalogue: Catalogue) -> Log:
    """The whole log of a trainee, corrections applied."""
    rows = list(row.log_rows.order_by("id").values_list("data", flat=True))
    return read_log(json.dumps(rows), "records", catalogue) if rows else Log()


def log_of_days(row: models.Trainee, catalogue: Catalogue, first: date, last: date | None = None) -> Log:
    """The log of some days, as it stands in the whole log: corrections of any day are applied."""
    wanted = Q(day__gte=first) if last is None else Q(day__range=(first, last))
    rows = list(row.log_rows.filter(wanted | ~Q(corrects=None)).order_by("id").values_list("data", flat=True))
    log = read_log(json.dumps(rows), "records", catalogue, whole=False) if rows else Log()
    return Log(
        tuple(one for one in log.sets if is_within(one.date, first, last)),
        tuple(one for one in log.sessions if is_within(one.date, first, last)),
    )


def is_within(day: date, first: date, last: date | None) -> bool:
    """True for a day from the first to the last, both counted; without a last one, for all from the first on."""
    return day >= first and (last is None or day <= last)


def keep_rows(row: models.Trainee, rows: Iterable[Mapping[str, Any]], at: str, by: Any = None, slot: str = "") -> int:
    """Adds rows of a log by their keys, all or none; a key that is kept already is left as it is.

    rows : as ``review.log_file.as_rows`` gives them, each with ``row``, its key, and ``date``
    slot : the planned set that they are, where a phone says so
    Raises InputFaults where a row corrects one that is kept nowhere.
    """
    given = list(rows)
    with transaction.atomic():
        named = {one["row"] for one in given} | {one["corrects"] for one in given if one.get("corrects")}
        kept = set(row.log_rows.filter(key__in=named).values_list("key", flat=True))
        known = kept | {one["row"] for one in given}
        lost = [one["corrects"] for one in given if one.get("corrects") and one["corrects"] not in known]
        if lost:
            allowed = "the key of an earlier row"
            raise InputFaults(
                [Fault("log", f"corrects {one!r}", "a row that is kept nowhere", allowed) for one in lost]
            )
        fresh = [one for one in given if one["row"] not in kept]
        models.LogRow.objects.bulk_create(
            [
                models.LogRow(
                    trainee=row,
                    key=one["row"],
                    day=one["date"],
                    data=dict(one),
                    slot=slot,
                    corrects=one.get("corrects") or None,
                    at=at,
                    by=by,
                )
                for one in fresh
            ],
            ignore_conflicts=True,  # two phones that send the same row at once: the unique key keeps it once
        )
    return len(fresh)
