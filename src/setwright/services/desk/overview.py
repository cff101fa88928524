"""What the roster says of each trainee, counted from the records; ``rebuild`` counts everything anew."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from django.db import transaction

from setwright.plan.block import Block
from setwright.plan.block_days import session_date
from setwright.publish.words import name_of
from setwright.records import models
from setwright.records.data_base import current_of, log_of
from setwright.services.desk.own_exercises import practice_exercises
from setwright.services.desk.people import newest, read_person
from setwright.services.desk.waiting import count_waiting
from setwright.services.gather import catalogue
from setwright.services.log_fit import fit_of_log
from setwright.services.review_files import review_of

MOST_FINDINGS = 6


def count_anew(row: models.Trainee, with_findings: bool = True) -> models.Overview:
    """Counts the overview of one trainee and keeps it."""
    block = current_of(row)
    last = row.log_rows.order_by("-day").first()
    values: dict[str, Any] = {
        "block": "" if block is None else block.id,
        "last_logged": None if last is None else last.day,
        "look_again": look_again_of(row),
        "waiting": count_waiting(row),
    }
    if with_findings:
        found = [] if block is None else findings_of(row, block)
        values |= {"findings": found, "weight": sum(one["weight"] for one in found[:MOST_FINDINGS])}
    keep_planned_days(row, block)
    made, _ = models.Overview.objects.update_or_create(trainee=row, defaults=values)
    return made


def look_again_of(row: models.Trainee) -> date | None:
    """The first day on which a limit of the intake is to be looked at again; None where none has such a day."""
    text = newest(row.practice, "trainee", row.slug, row)
    days = [one.review_on for one in read_person(text, row.practice).trainee.restrictions] if text else []
    return min((day for day in days if day is not None), default=None)


def keep_planned_days(row: models.Trainee, block: Block | None) -> None:
    """Keeps the days of the block in force in the place of those before."""
    days = [] if block is None else [(block, week, session) for week in block.weeks for session in week.sessions]
    made = [
        models.PlannedDay(
            trainee=row,
            date=session_date(of, week.number, session.day),
            week=week.number,
            day=session.day,
            title=session.title[:200],
            minutes=round(session.minutes),
        )
        for of, week, session in days
    ]
    with transaction.atomic():
        row.planned_days.all().delete()
        models.PlannedDay.objects.bulk_create(made)


def findings_of(row: models.Trainee, block: Block) -> list[dict[str, Any]]:
    """What a review of the log so far finds, the weightiest first."""
    log = log_of(row, catalogue())
    fit = fit_of_log(block, log)
    if not fit.inside.sets and not fit.inside.sessions:
        return []
    review = review_of(fit).review
    return [
        {
            "kind": one.kind,
            "about": name_of(one.about, catalogue()),
            "evidence": one.evidence,
            "settles_it": one.settles_it,
            "weight": float(one.weight),
        }
        for one in review.findings[:MOST_FINDINGS]
    ]


def next_planned(rows: Sequence[models.Trainee], on: date) -> dict[Any, models.PlannedDay]:
    """The next planned day of each of some trainees from a date on, by the id of the trainee."""
    found: dict[Any, models.PlannedDay] = {}
    for one in models.PlannedDay.objects.filter(trainee__in=rows, date__gte=on).order_by("-date"):
        found[one.trainee_id] = one
    return found


def rebuild(rows: Iterable[models.Trainee]) -> int:
    """Counts the overview of every trainee anew; gives how many."""
    count = 0
    for row in rows:
        with practice_exercises(row.practice):
            count_anew(row)
        count += 1
    return count
