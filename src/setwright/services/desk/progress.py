"""A trainee's own progress in plain words: how regularly, how strong with ranges, what was done.

Two ideas carry this module. One: how strong somebody is takes seconds to count after two years, so the page shows what
was counted last and says as of when. Two: what was done is read for the days of one page, never the whole log.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from setwright.plan.block_days import week_start
from setwright.publish.log_words import DayDone, days_done
from setwright.publish.words import counted, unit_of
from setwright.records import models
from setwright.records.data_base import current_of, log_of_days
from setwright.review.volume import done_by_week
from setwright.services.desk.ability import ability_of
from setwright.services.desk.people import person_of
from setwright.services.gather import catalogue
from setwright.services.log_fit import fit_of_log


def progress_of(row: models.Trainee, on: date) -> dict[str, Any]:
    """What a trainee sees of themselves beside their days: ``regular`` (a sentence) and ``lifts``.

    ``as_of``: the day the lifts were counted on, None where they never were; ``is_newest``: False where the log or the
    intake went on since.
    """
    found = ability_of(row, on)
    return {
        "regular": regular_words(row),
        "lifts": [] if found is None else found.values["own"],
        "as_of": None if found is None else found.as_of,
        "is_newest": found is not None and found.is_newest,
    }


def days_logged(row: models.Trainee) -> Any:
    """The days with rows that stand, the newest first: a question to the data base, not yet asked."""
    gone = row.log_rows.exclude(corrects=None).values("corrects")
    return row.log_rows.exclude(key__in=gone).order_by("-day").values_list("day", flat=True).distinct()


def words_of_days(row: models.Trainee, days: Sequence[date]) -> list[DayDone]:
    """What was done on some days that follow one another in the log, the newest first."""
    if not days:
        return []
    person = person_of(row)
    log = log_of_days(row, catalogue(), min(days), max(days))
    return days_done(log, catalogue(), unit_of(person.places, person.places[0].id))


def regular_words(row: models.Trainee) -> str:
    """How many of the planned sessions were done so far; empty before the first."""
    block = current_of(row)
    if block is None:
        return ""
    first, end = week_start(block, 1), week_start(block, len(block.weeks) + 1)
    log = log_of_days(row, catalogue(), first, end - timedelta(days=1))
    weeks = done_by_week(block, fit_of_log(block, log).inside, catalogue())
    planned, done = sum(one.sessions_planned for one in weeks), sum(one.sessions_done for one in weeks)
    if not planned:
        return ""
    return f"Of {counted(planned, 'session')} of this block that were due, you did {done}."
