"""The way up so far: on which step of each planned progression somebody trained, day by day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from setwright.catalogue.exercise import Progression, ProgressionStep
from setwright.catalogue.store import Catalogue
from setwright.people.trainee import Trainee
from setwright.plan.block import Block
from setwright.review.progress import planned_skills, rows_of, step_of_row, tried
from setwright.strength.logged import Log, LoggedSet


@dataclass(frozen=True)
class ClimbDay:
    """One day: the place of the highest step done on the way, from 1, its exercise, and whether its test was met."""

    date: date
    place: int
    exercise: str
    met: bool


@dataclass(frozen=True)
class ClimbSoFar:
    """One progression: its title, the exercises of its way from the first step up, and the days."""

    slug: str
    title: str
    way: tuple[str, ...]
    days: tuple[ClimbDay, ...]


def climbs_so_far(block: Block, log: Log, catalogue: Catalogue) -> tuple[ClimbSoFar, ...]:
    """Every progression that the block plans and the log shows, in the order of the block."""
    if not log.sets:
        return ()
    trainee, until = block.inputs.trainee, max(one.date for one in log.sets)
    found = []
    for slug, (entry, _) in planned_skills(block, until).items():
        climb = catalogue.progressions.get(slug)
        if climb is None or entry.step is None or entry.step > len(climb.steps):
            continue
        way = climb.way(climb.step(entry.step).branch)
        days = days_on(climb, way, climb.step(entry.step), log, trainee, catalogue)
        if days:
            found.append(ClimbSoFar(slug, climb.title, tuple(one.exercise for one in way), days))
    return tuple(found)


def days_on(
    climb: Progression,
    way: Sequence[ProgressionStep],
    planned: ProgressionStep,
    log: Log,
    trainee: Trainee,
    catalogue: Catalogue,
) -> tuple[ClimbDay, ...]:
    """The days of a log on a way; of several steps on a day the highest, as lower ones are warm-ups too."""
    by_day: dict[date, dict[int, list[LoggedSet]]] = {}
    places = {step.number: place for place, step in enumerate(way, start=1)}
    for row in rows_of(log):
        step = step_of_row(row, way, planned, catalogue)
        if step is not None:
            by_day.setdefault(row.date, {}).setdefault(places[step.number], []).append(row)
    found = []
    for day, steps in sorted(by_day.items()):
        place = max(steps)
        step = way[place - 1]
        met = tried(day, step, steps[place], trainee, climb.pain_limit).met
        found.append(ClimbDay(day, place, step.exercise, met))
    return tuple(found)
