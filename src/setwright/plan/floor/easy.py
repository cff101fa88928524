"""The easy minutes a warm-up begins with: at their own machine, at another that is free, or on foot.

Eight people, one bike: nobody waits for it to get warm (common practice, no published source).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.exercise import Exercise
from setwright.catalogue.store import Catalogue
from setwright.people.place import Place
from setwright.people.trainee import Trainee
from setwright.plan.block import Entry
from setwright.plan.floor.things import Take, takes_of
from setwright.plan.warm_up import open_raises

ON_FOOT = "on foot"  # in no stock, so never short


def easy_starts(trainee: Trainee, place: Place, catalogue: Catalogue) -> list[Exercise]:
    """What a trainee may get warm with here, minute for minute as well: every limit is asked, the gentlest first."""
    found = open_raises(trainee, trainee.restrictions, expand_tokens(place.tokens()), catalogue)
    return [one for one in found if one.mode == "cyclic" and one.measured_in == "seconds"]


def is_easy_start(entry: Entry, catalogue: Catalogue) -> bool:
    """True for easy minutes of a warm-up on a machine or on foot, without a number to keep."""
    by_time = all(one.time_s and not one.distance_m for one in entry.sets)
    return entry.bout is None and catalogue.get(entry.exercise).mode == "cyclic" and by_time


def with_other_ways(
    takes: Sequence[Take], entry: Entry, easy: Sequence[Exercise], place: Place
) -> tuple[tuple[Take, ...], tuple[tuple[str, str], ...]]:
    """What easy minutes may take, their own machine first, and what is done at each other thing.

    As it was where they take nothing that could be short, or several things.
    """
    if len(takes) != 1:
        return tuple(takes), ()
    own = takes[0]
    done_as: dict[str, str] = {}
    for exercise in easy:
        others = takes_of(exercise, entry.sets[0], place)
        on_foot = not exercise.equipment or frozenset[str]() in exercise.equipment
        things = others[0].things if len(others) == 1 else (ON_FOOT,) if on_foot else ()
        done_as |= {thing: exercise.slug for thing in things if thing not in own.things and thing not in done_as}
    return (replace(own, things=(*own.things, *done_as)),), tuple(done_as.items())
