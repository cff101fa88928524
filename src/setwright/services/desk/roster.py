"""A roster in sentences: who trains today, who waits, what to look at first; nobody stands in it twice."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.db.models import Exists, F, OuterRef, Q

from setwright.records import models
from setwright.services.desk.overview import next_planned

ON_FRONT = 12
QUIET_DAYS = 10  # without a log before a roster says so (common practice, no published source)
FEW = 40  # a roster of so many shows everybody on its first page
GROUPS = ("today", "waiting", "first", "rest", "all")
# Who has no overview yet stands last, whatever the data base thinks of empty values.
BY_WEIGHT = (F("overview__weight").desc(nulls_last=True), "name", "id")
BY_WAITING = F("overview__waiting").desc(nulls_last=True)


URGENT = Q(needs_coach=True, seen_at=None)


def urgent(trainee: Any) -> Any:
    """What the coach must hear of a trainee and has not put aside."""
    return models.Note.objects.filter(URGENT, trainee_id=trainee)


@dataclass(frozen=True)
class Line:
    """What a roster says of one trainee. ``is_due``: a limit is to be looked at again."""

    row: models.Trainee
    overview: models.Overview | None
    next: models.PlannedDay | None
    is_today: bool
    first: Mapping[str, Any] | None
    quiet_since: date | None
    told: models.Note | None = None  # the newest of what the coach must hear of, pain above all
    is_due: bool = False

    @property
    def has_block(self) -> bool:
        """True where a block is in force."""
        return self.overview is not None and bool(self.overview.block)


@dataclass(frozen=True)
class Group:
    """Some lines of a roster under one heading: the first of them, and how many there are."""

    key: str
    lines: Sequence[Line]
    count: int

    @property
    def more(self) -> int:
        """How many are not shown."""
        return self.count - len(self.lines)


def rows_of(everybody: Any, key: str, on: date, asked: str = "") -> Any:
    """The trainees of one group; a name that is asked for narrows all of them.

    everybody : the trainees that a coach may see
    """
    rows = everybody.select_related("overview")
    if asked:
        rows = rows.filter(name__icontains=asked)
    trains, is_due = Q(planned_days__date=on), Q(overview__look_again__lte=on)
    waits = Q(overview__waiting__gt=0) | is_due | Q(Exists(urgent(OuterRef("id"))))
    today = rows.filter(trains)
    if key == "today":
        return today.order_by(BY_WAITING, *BY_WEIGHT)
    if key == "waiting":
        return rows.filter(waits).exclude(id__in=today.values("id")).order_by(*BY_WEIGHT)
    if key == "first":
        told = rows.filter(overview__weight__gt=0).exclude(id__in=rows.filter(waits).values("id"))
        return told.exclude(id__in=today.values("id")).order_by(*BY_WEIGHT)
    if key == "rest":
        named = rows.filter(waits | trains | Q(overview__weight__gt=0))
        return rows.exclude(id__in=named.values("id")).order_by("name", "id")
    return rows.order_by("name", "id")


def front(everybody: Any, on: date) -> list[Group]:
    """The groups of the first page, each with its first people; empty ones, and the rest of many, are left out."""
    found = []
    keys = GROUPS[:-1] if everybody.count() <= FEW else GROUPS[:-2]
    for key in keys:
        most = FEW if key == "rest" else ON_FRONT
        rows = rows_of(everybody, key, on)
        some = list(rows[: most + 1])
        count = len(some) if len(some) <= most else rows.count()
        if some:
            found.append(Group(key, lines_of(some[:most], on), count))
    return found


def lines_of(rows: Sequence[models.Trainee], on: date) -> list[Line]:
    """What is said of some trainees."""
    ahead = next_planned(rows, on)
    told = {one.trainee_id: one for one in models.Note.objects.filter(URGENT, trainee__in=rows).order_by("at")}
    return [line_of(one, ahead.get(one.id), on, told.get(one.id)) for one in rows]


def line_of(row: models.Trainee, planned: models.PlannedDay | None, on: date, told: models.Note | None = None) -> Line:
    """What is said of one trainee."""
    overview = getattr(row, "overview", None)
    logged = None if overview is None else overview.last_logged
    is_quiet = logged is not None and planned is not None and logged < on - timedelta(days=QUIET_DAYS)
    return Line(
        row,
        overview,
        planned,
        planned is not None and planned.date == on,
        overview.findings[0] if overview is not None and overview.findings else None,
        logged if is_quiet else None,
        told,
        overview is not None and overview.look_again is not None and overview.look_again <= on,
    )
