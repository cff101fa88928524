"""The brief that a coach starts from: the last one moved on, or a first one made from the intake."""

from __future__ import annotations

from typing import Any

from setwright.people.toml_file import read_toml
from setwright.people.trainee import Trainee
from setwright.records import models
from setwright.services.clock import next_monday
from setwright.services.desk.people import person_of

FIRST_WEEKS = 6
MOST_DAYS, FEWEST_DAYS = 6, 2


def brief_to_start(row: models.Trainee) -> dict[str, Any]:
    """The tables of a brief: the last one of the trainee with a new start, else a first one from the intake."""
    last = row.documents.filter(kind="brief").order_by("-id").first()
    start = next_monday()
    if last is not None:
        found = dict(read_toml(last.text, "brief"))
        return {**found, "start": max(start, found.get("start", start))}
    return first_brief(person_of(row).trainee) | {"start": start}


def first_brief(trainee: Trainee) -> dict[str, Any]:
    """A brief with the days, minutes and lifts that an intake names."""
    days = min(max(len(trainee.days), FEWEST_DAYS), MOST_DAYS)
    minutes = max(day.minutes for day in trainee.days)
    lifts = [{"exercise": one.about} for one in trainee.goals if one.kind == "strength"]
    skills = [one.about for one in trainee.goals if one.kind == "skill"]
    found: dict[str, Any] = {
        "title": "First block",
        "weeks": FIRST_WEEKS,
        "days_a_week": days,
        "minutes": int(minutes) if minutes == int(minutes) else minutes,
    }
    if lifts:
        found["lifts"] = lifts[:3]
    if skills:
        found["skill"] = skills[0]
    return found
