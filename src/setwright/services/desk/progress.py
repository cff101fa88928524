"""A trainee's own progress in plain words: how regularly, how strong with ranges, what was done."""

from __future__ import annotations

from datetime import date
from typing import Any

from setwright.publish.log_words import days_done
from setwright.publish.own_words import own_change
from setwright.publish.strength_words import most_trained, now_text
from setwright.publish.words import counted, name_of, unit_of
from setwright.records import models
from setwright.records.data_base import current_of, log_of
from setwright.review.volume import done_by_week
from setwright.services.desk.people import person_of
from setwright.services.gather import catalogue, estimates_for
from setwright.services.log_fit import fit_of_log

MOST_LIFTS = 12


def progress_of(row: models.Trainee, on: date) -> dict[str, Any]:
    """What a trainee sees of themselves: ``regular`` (a sentence), ``lifts``, ``days``, the newest first."""
    person, known = person_of(row), catalogue()
    log = log_of(row, known)
    estimates = estimates_for(person.trainee, log, on, person.places)
    unit = unit_of(person.places, person.places[0].id)
    lifts = [estimates.lifts[slug] for slug in most_trained(estimates)[:MOST_LIFTS]]
    return {
        "regular": regular_words(row),
        "lifts": [
            {
                "name": name_of(one.exercise, known),
                "now": now_text(one, unit),
                "change": own_change(one, estimates),
            }
            for one in lifts
        ],
        "days": days_done(log, known, unit),
    }


def regular_words(row: models.Trainee) -> str:
    """How many of the planned sessions were done so far; empty before the first."""
    block = current_of(row)
    weeks = (
        () if block is None else done_by_week(block, fit_of_log(block, log_of(row, catalogue())).inside, catalogue())
    )
    planned, done = sum(one.sessions_planned for one in weeks), sum(one.sessions_done for one in weeks)
    if not planned:
        return ""
    return f"Of {counted(planned, 'session')} of this block that were due, you did {done}."
