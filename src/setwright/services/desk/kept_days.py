"""The sessions of a trainee as their phone gets them, kept as counted: after two years of log counting takes seconds.

Two ideas carry this module. One: what a session offers follows from the block, from the log of the days before it and
from the practice's own exercises; what is kept names these, and counts anew where one of them went on. The sets of the
session itself change nothing, so a page that is opened in the middle of it is quick and says what it said at the start.
Two: the next session is counted ahead, in the job that follows the end of the one before.
"""

from __future__ import annotations

import base64
import json
import zlib
from datetime import date
from typing import Any

from django.db.models import Exists, OuterRef, Q

from setwright.plan.block import Block, Session, Week
from setwright.plan.block_days import session_on
from setwright.records import models
from setwright.records.data_base import current_of, log_of
from setwright.services.clock import today
from setwright.services.desk.choices import CHOICES, said_on
from setwright.services.desk.day import done_of, planned_values
from setwright.services.desk.people import newest_version
from setwright.services.gather import catalogue
from setwright.services.program import program_mark
from setwright.strength.logged import Log

MOST_KEPT = 6  # sessions of one trainee, the newest
AHEAD = 2


def day_values(row: models.Trainee, block: Block, week: Week, session: Session, on: date) -> dict[str, Any]:
    """Everything of one session for a phone. ``on``: the day that it was planned for."""
    values = kept_values(row, block, on) or count_session(row, block, week, session, on)
    return {**values, "name": row.name, "own": own_version(row), **told_values(row, week, session, on)}


def told_values(row: models.Trainee, week: Week, session: Session, on: date) -> dict[str, Any]:
    """What was logged and chosen of a session, from whatever phone, and how far that reaches (``told``)."""
    told = told_mark(row, on)  # read first: what comes in between is then told again, never left out
    return {"told": told, "done": done_of(row, week, session, on), "choices": said_on(row, on)}


def told_mark(row: models.Trainee, on: date) -> str:
    """The newest row of the log and the newest word on a session: by it an open page learns of another phone's."""
    last = row.log_rows.order_by("-id").values_list("id", flat=True).first()
    return f"{last or 0}/{newest_version(row.practice, CHOICES, on.isoformat(), row).name}"


def own_version(row: models.Trainee) -> int:
    """The newest version of any of the practice's own exercises: by it a phone learns that a text has changed."""
    own = models.Document.objects.filter(practice=row.practice_id, kind="exercise")
    return own.order_by("-id").values_list("id", flat=True).first() or 0


def kind_of(on: date) -> str:
    """The name under which a session is kept."""
    return f"day {on.isoformat()}"


def mark_of(row: models.Trainee, block: Block, on: date) -> str:
    """What a session rests on: the block, the newest row of the days before it, own exercises, the program."""
    earlier = models.LogRow.objects.filter(trainee=row, day__lt=on, key=OuterRef("corrects"))
    counts = Q(day__lt=on) | (~Q(corrects=None) & Q(Exists(earlier)))
    last = row.log_rows.filter(counts).order_by("-id").values_list("id", flat=True).first()
    return f"{block.id}/{last or 0}/{own_version(row)}/{program_mark()}"


def kept_values(row: models.Trainee, block: Block, on: date) -> dict[str, Any] | None:
    """A session as it was counted last; None where it was not, or where something went on since."""
    found = row.drawn.filter(kind=kind_of(on)).first()
    if found is None or found.of != mark_of(row, block, on):
        return None
    kept: dict[str, Any] = json.loads(zlib.decompress(base64.b64decode(found.values["packed"])))
    return kept


def count_session(row: models.Trainee, block: Block, week: Week, session: Session, on: date) -> dict[str, Any]:
    """Counts a session from the log of the days before it, and keeps it; ``trainee`` in it is of this row."""
    mark, log = mark_of(row, block, on), log_of(row, catalogue())
    before = Log(tuple(one for one in log.sets if one.date < on), tuple(one for one in log.sessions if one.date < on))
    values = planned_values(row, block, week, session, before, on)
    packed = base64.b64encode(zlib.compress(json.dumps(values).encode(), 6)).decode()
    models.Drawn.objects.update_or_create(
        trainee=row, kind=kind_of(on), defaults={"of": mark, "values": {"packed": packed}}
    )
    kept = row.drawn.filter(kind__startswith="day ").order_by("-at").values_list("id", flat=True)
    row.drawn.filter(id__in=list(kept[MOST_KEPT:])).delete()
    return values


def count_ahead(row: models.Trainee) -> int:
    """Counts the sessions that come next where they are not kept as they stand; gives how many it counted."""
    block, count = current_of(row), 0
    for planned in row.planned_days.filter(date__gte=today()).order_by("date")[:AHEAD]:
        found = None if block is None else session_on(block, planned.date)
        if block is not None and found is not None and kept_values(row, block, planned.date) is None:
            count_session(row, block, *found, planned.date)
            count += 1
    return count
