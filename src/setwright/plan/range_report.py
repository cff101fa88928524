"""All that the range measures of one person say: changes, sides, what they limit here, and what trains them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from setwright.body.range_of_motion import (
    RangeChange,
    RangeTest,
    Reached,
    SideDifference,
    changed,
    side_differences,
    trained_by,
)
from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.store import Catalogue
from setwright.people.place import Place
from setwright.people.trainee import Trainee
from setwright.plan.candidates import skill_ceiling
from setwright.plan.gates import judge
from setwright.plan.range_limits import RangeFit, fit_to_range, range_of, shortfalls


@dataclass(frozen=True)
class RangeEffect:
    """What the measured range makes of one exercise by default; ``motion`` is the one that falls short."""

    exercise: str
    name: str
    motion: str
    asked_deg: float
    fit: RangeFit


@dataclass(frozen=True)
class RangeReport:
    """The range of one person as of a day. ``trains``: for each test, slugs of entries that are open and train it."""

    trainee: Trainee
    on: date
    changes: tuple[RangeChange, ...]
    sides: tuple[SideDifference, ...]
    reach: Mapping[str, Reached]
    effects: tuple[RangeEffect, ...]
    trains: Mapping[str, tuple[str, ...]]

    @property
    def tests(self) -> tuple[RangeTest, ...]:
        """The tests that were read, each once."""
        return tuple({one.test.slug: one.test for one in self.changes}.values())


def range_report(
    trainee: Trainee, places: Sequence[Place], catalogue: Catalogue, on: date | None = None
) -> RangeReport:
    """The range of a trainee as of ``on``, or as of the newest measure; later measures are left out."""
    last = on or max((one.date for one in trainee.range_measures), default=date.min)
    rows = tuple(one for one in trainee.range_measures if one.date <= last)
    changes = changed(rows)
    reach = range_of(trainee, last)
    return RangeReport(
        trainee=trainee,
        on=last,
        changes=changes,
        sides=side_differences(rows),
        reach=reach,
        effects=effects_of(trainee, places, catalogue, reach),
        trains={one.test.slug: open_trainers(one.test, trainee, places, catalogue) for one in changes},
    )


def effects_of(
    trainee: Trainee, places: Sequence[Place], catalogue: Catalogue, reach: Mapping[str, Reached]
) -> tuple[RangeEffect, ...]:
    """Exercises that are open at one of the places and that the measured range changes, the heaviest first."""
    tokens = [expand_tokens(place.tokens()) for place in places]
    found = []
    for exercise in sorted(catalogue.values(), key=lambda one: (-one.load_capacity, one.slug)):
        if not reach or not set(exercise.parts) & {"main", "skill", "assistance", "finisher"}:
            continue
        short = shortfalls(exercise, reach, trainee.stature_m, exercise.dials)
        for here in tokens:
            verdict = judge(exercise, trainee.restrictions, here, trainee)
            fit = fit_to_range(exercise, verdict.dials, reach, trainee, here) if verdict.allowed else RangeFit()
            if short and fit.why:
                found.append(RangeEffect(exercise.slug, exercise.name, short[0].motion, short[0].asked_deg, fit))
                break
    return tuple(found)


def open_trainers(test: RangeTest, trainee: Trainee, places: Sequence[Place], catalogue: Catalogue) -> tuple[str, ...]:
    """Loaded-mobility entries that train what a test measures and are open at one of the places."""
    slugs = dict.fromkeys(slug for motion in test.trained_motions for slug in trained_by(motion))
    return tuple(
        slug
        for slug in slugs
        if catalogue.get(slug).skill <= skill_ceiling(trainee)
        and any(
            judge(catalogue.get(slug), trainee.restrictions, expand_tokens(place.tokens()), trainee).allowed
            for place in places
        )
    )
