"""Why a trainee can have no version of a master at all: the smallest set of limits, and the cheapest ways out.

The same idea as ``ways_out`` for a design: what is named was tried. A limit is named where without it, and the others
named, there is a version; a way out is named where with it alone there is one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import chain

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.equipment import in_words as equipment_words
from setwright.catalogue.store import Catalogue
from setwright.faults import NoPlan, Repair
from setwright.people.place import Place
from setwright.people.trainee import DAY_NAMES, Trainee
from setwright.plan.conflict import smallest_conflict
from setwright.plan.explain import join_words
from setwright.plan.gates import who_set
from setwright.plan.master import Master
from setwright.plan.trial import STEP_MIN
from setwright.plan.ways_out import MOST_REPAIRS, farthest_day, lift_restriction_words, missing_equipment

FREE_MIN = 600.0  # a day that may last as long as it likes
MOST_MORE_MIN = 90  # how many minutes more of one day are tried

Places = Mapping[str, Place]
Holds = Callable[[Trainee, Places], bool]


def refusal_of(master: Master, trainee: Trainee, places: Places, catalogue: Catalogue, holds: Holds) -> NoPlan | None:
    """Why there is no version, as an error to raise; None where no limit that can be taken away is the reason.

    holds : whether a person with some places has a version
    """

    def is_possible(active: frozenset[str]) -> bool:
        return holds(freed(trainee, active), opened(master, trainee, places, catalogue, active))

    members = members_of(master, trainee, places, catalogue)
    core = smallest_conflict(members, is_possible)
    if not core:
        return None
    lines = (
        f"{master.title}, at least one of its exercises in every week",
        *lines_of(master, trainee, places, catalogue, core),
    )
    ways = sorted(ways_out(master, trainee, places, catalogue, core, holds), key=lambda one: one[0])
    return NoPlan(lines, repairs=[repair for _, repair in ways[:MOST_REPAIRS]])


def members_of(master: Master, trainee: Trainee, places: Places, catalogue: Catalogue) -> tuple[str, ...]:
    """What may be in the conflict: minutes of each day, each restriction, each place that lacks something."""
    used = dict.fromkeys(day.place for day in trainee.days)
    return (
        *(f"minutes {day.day}" for day in trainee.days),
        *(f"restriction {rule.id}" for rule in trainee.restrictions),
        *(f"place {one}" for one in used if missing_at(master, places[one], catalogue)),
    )


def freed(trainee: Trainee, active: frozenset[str]) -> Trainee:
    """The trainee with only some of the limits."""
    days = tuple(
        day if f"minutes {day.day}" in active else replace(day, minutes=max(day.minutes, FREE_MIN))
        for day in trainee.days
    )
    rules = tuple(rule for rule in trainee.restrictions if f"restriction {rule.id}" in active)
    return replace(trainee, days=days, restrictions=rules)


def opened(master: Master, trainee: Trainee, places: Places, catalogue: Catalogue, active: frozenset[str]) -> Places:
    """The places, those that do not count with all that the master's exercises need."""
    used = {day.place for day in trainee.days}
    found = dict(places)
    for one in used:
        if f"place {one}" not in active:
            found[one] = with_things(places[one], chain(*missing_at(master, places[one], catalogue)))
    return found


def missing_at(master: Master, place: Place, catalogue: Catalogue) -> list[tuple[str, ...]]:
    """What each exercise of the master lacks at a place, the fewest things first; each set of things once."""
    tokens = expand_tokens(place.tokens())
    exercises = [
        catalogue.get(slot.exercise) for one in master.sessions for slot in one.slots if slot.part != "warm-up"
    ]
    found = {tuple(missing_equipment(exercise.equipment, tokens)) for exercise in exercises} - {()}
    return sorted(found, key=lambda one: (len(one), one))


def with_things(place: Place, tokens: Iterator[str] | Sequence[str]) -> Place:
    """A place with some things more."""
    return replace(place, fixtures={**place.fixtures, **dict.fromkeys(tokens, 1)})


def lines_of(
    master: Master, trainee: Trainee, places: Places, catalogue: Catalogue, core: Sequence[str]
) -> Iterator[str]:
    """One line for each limit of the conflict; days of the same minutes share one."""
    alike: dict[float, list[str]] = {}
    for day in trainee.days:
        if f"minutes {day.day}" in core:
            alike.setdefault(day.minutes, []).append(DAY_NAMES[day.day])
    for minutes, names in alike.items():
        each = " each" if len(names) > 1 else ""
        yield f"{join_words(names)}: {minutes:g} min{each}"
    for rule in trainee.restrictions:
        if f"restriction {rule.id}" in core:
            yield who_set(rule) + (f": {rule.reason.rstrip('.')}" if rule.reason else "")
    for place in places.values():
        if f"place {place.id}" in core:
            sets = [join_words([equipment_words(one) for one in some]) for some in missing_at(master, place, catalogue)]
            yield f"{place.name} has no {', no '.join(sets)}"


def ways_out(
    master: Master, trainee: Trainee, places: Places, catalogue: Catalogue, core: Sequence[str], holds: Holds
) -> Iterator[tuple[tuple[int, float], Repair]]:
    """One way out of each kind that was tried, with what it costs to be compared."""
    for ways in (
        longer_days(trainee, places, holds),
        one_day_more(master, trainee, places, holds),
        more_equipment(master, trainee, places, catalogue, holds),
        lifted_restrictions(trainee, places, core, holds),
    ):
        first = next(iter(ways), None)
        if first is not None:
            yield first


def longer_days(trainee: Trainee, places: Places, holds: Holds) -> Iterator[tuple[tuple[int, float], Repair]]:
    """The fewest minutes more of one day, in steps of five; the earlier of equal days."""
    steps = [STEP_MIN * one for one in range(1, int(MOST_MORE_MIN // STEP_MIN) + 1)]
    longest = [with_minutes(trainee, at, trainee.days[at].minutes + steps[-1]) for at in range(len(trainee.days))]
    able = [at for at, one in enumerate(longest) if holds(one, places)]
    for more in steps:
        for at in able:
            minutes = trainee.days[at].minutes + more
            if holds(with_minutes(trainee, at, minutes), places):
                day = trainee.days[at]
                words = f"{DAY_NAMES[day.day]} {minutes:g} min instead of {day.minutes:g} (in the trainee file)"
                yield (0, more), Repair(words, f"{more:g} min more a week", more)
                return


def with_minutes(trainee: Trainee, at: int, minutes: float) -> Trainee:
    """The trainee with other minutes on one day."""
    days = [replace(day, minutes=minutes) if number == at else day for number, day in enumerate(trainee.days)]
    return replace(trainee, days=tuple(days))


def one_day_more(
    master: Master, trainee: Trainee, places: Places, holds: Holds
) -> Iterator[tuple[tuple[int, float], Repair]]:
    """One training day more, as long as the longest, where the master has a session that no day is left for."""
    if not 0 < len(trainee.days) < min(7, len(master.sessions)):
        return
    longest = max(trainee.days, key=lambda day: day.minutes)
    new = replace(longest, day=farthest_day([day.day for day in trainee.days]))
    if holds(replace(trainee, days=(*trainee.days, new)), places):
        words = f"{DAY_NAMES[new.day]} {new.minutes:g} min as one training day more (in the trainee file)"
        yield (0, new.minutes), Repair(words, f"{new.minutes:g} min more a week", new.minutes)


def more_equipment(
    master: Master, trainee: Trainee, places: Places, catalogue: Catalogue, holds: Holds
) -> Iterator[tuple[tuple[int, float], Repair]]:
    """The fewest things more at one place."""
    for used in dict.fromkeys(day.place for day in trainee.days):
        for things in missing_at(master, places[used], catalogue):
            if holds(trainee, {**places, used: with_things(places[used], things)}):
                words = f"{join_words([equipment_words(one) for one in things])} at {places[used].name}"
                yield (1, len(things)), Repair(words, "to be bought, or another room")
                return


def lifted_restrictions(
    trainee: Trainee, places: Places, core: Sequence[str], holds: Holds
) -> Iterator[tuple[tuple[int, float], Repair]]:
    """A restriction lifted, which only who set it can do."""
    for rule in trainee.restrictions:
        others = tuple(one for one in trainee.restrictions if one.id != rule.id)
        if f"restriction {rule.id}" in core and holds(replace(trainee, restrictions=others), places):
            yield (2, 0.0), Repair(lift_restriction_words(rule.joint, rule.set_by), "who set it decides")


__all__ = ["refusal_of"]
