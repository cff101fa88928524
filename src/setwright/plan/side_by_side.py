"""Several blocks of one trainee in numbers that a coach compares: nothing here that is not counted from the blocks."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from setwright.catalogue.derive import joint_stress
from setwright.catalogue.exercise import Exercise
from setwright.catalogue.store import Catalogue
from setwright.plan.apart import LOADINGS, loading_of, tokens_of
from setwright.plan.block import Block, Entry, Week
from setwright.plan.candidates import is_big_lift
from setwright.plan.schemes import counted_sets

CHOSEN_PARTS = ("main", "assistance", "finisher")
STRESSED = 2  # moderate or high load on a joint, of 0 to 3
JOINTS = {
    "knee": "knees",
    "hip": "hips",
    "trunk": "back",
    "shoulder": "shoulders",
    "elbow": "elbows",
    "wrist": "wrists",
}
NOTHING = frozenset({"none", "wall"})


@dataclass(frozen=True)
class Lift:
    """An exercise of the hardest week: on how many days, and its working sets there."""

    exercise: str
    days: int
    sets: int


@dataclass(frozen=True)
class Side:
    """One block in numbers; sets are working sets of the hardest week (main, assistance, finisher).

    built_on : the big lifts with most sets, those that the brief names first; minutes : weekday to minutes of its
    longest session; week_minutes : minutes of an average week; loading : sets by what they are loaded with
    joints : sets with moderate or high load on a joint; equipment : what has to be there, as words of the catalogue
    skill : mean difficulty of the exercises, 1 to 5; pairs : entries that share their rests, in twos, a week
    """

    built_on: tuple[Lift, ...]
    exercises: tuple[str, ...]
    minutes: dict[str, float]
    week_minutes: float
    loading: dict[str, int]
    joints: dict[str, int]
    equipment: tuple[str, ...]
    skill: float
    pairs: int


def hardest_week(block: Block) -> Week:
    """The last week that is not an easier one."""
    return max(block.weeks, key=lambda week: (week.kind != "deload", week.number))


def entries_of(week: Week) -> Iterator[tuple[str, Entry]]:
    """The strength entries of a week with their weekday."""
    for session in week.sessions:
        for part in session.parts:
            if part.part in CHOSEN_PARTS:
                yield from ((session.day, entry) for entry in part.entries)


def side_of(block: Block, catalogue: Catalogue) -> Side:
    """The numbers of a block."""
    week = hardest_week(block)
    found = list(entries_of(week))
    exercises = tuple(dict.fromkeys(entry.exercise for _, entry in found))
    known = [slug for slug in exercises if slug in catalogue]

    def sets_where(holds: Callable[[Entry], bool]) -> int:
        return sum(round(counted_sets(entry, catalogue)) for _, entry in found if holds(entry))

    named = [wish.exercise for wish in block.inputs.brief.lifts]
    big = [slug for slug in known if slug in named or is_big_lift(catalogue.get(slug))]
    lifts = [
        Lift(slug, len({day for day, entry in found if entry.exercise == slug}), sets_where(is_it(slug)))
        for slug in big
    ]
    lifts.sort(key=lambda one: (one.exercise not in named, -one.sets, one.exercise))
    have = tokens_of(block.inputs.places)
    tokens = [used_of(catalogue.get(slug), have) for slug in known]
    return Side(
        built_on=tuple(lifts[: max(4, len(named))]),
        exercises=exercises,
        minutes=longest_minutes(block),
        week_minutes=round(
            sum(one.minutes for every in block.weeks for one in every.sessions) / max(1, len(block.weeks)), 1
        ),
        loading={name: sets_where(is_loaded(name, catalogue, have)) for name in LOADINGS},
        joints={joint: sets_where(is_stressed(joint, catalogue)) for joint in JOINTS},
        equipment=tuple(sorted({token for some in tokens for token in some} - NOTHING)),
        skill=round(sum(catalogue.get(slug).skill for slug in known) / max(1, len(known)), 1),
        pairs=len({(day, entry.superset) for day, entry in found if entry.superset}),
    )


def used_of(exercise: Exercise, have: frozenset[str]) -> frozenset[str]:
    """The first equipment for an exercise that is there."""
    return next((one for one in exercise.equipment if one <= have), frozenset())


def is_it(slug: str) -> Callable[[Entry], bool]:
    """Entries of one exercise."""
    return lambda entry: entry.exercise == slug


def is_loaded(name: str, catalogue: Catalogue, have: frozenset[str]) -> Callable[[Entry], bool]:
    """Entries loaded in one way."""
    return lambda entry: entry.exercise in catalogue and loading_of(catalogue.get(entry.exercise), have) == name


def is_stressed(joint: str, catalogue: Catalogue) -> Callable[[Entry], bool]:
    """Entries that ask a moderate or high load of a joint, after their range dials."""
    return lambda entry: (
        entry.exercise in catalogue
        and joint_stress(catalogue.get(entry.exercise), entry.dials).get(joint, 0) >= STRESSED
    )


def longest_minutes(block: Block) -> dict[str, float]:
    """Minutes of the longest session of each weekday."""
    found: dict[str, float] = {}
    for week in block.weeks:
        for session in week.sessions:
            found[session.day] = max(found.get(session.day, 0.0), session.minutes)
    return found


def in_all(blocks: Sequence[Block]) -> tuple[str, ...]:
    """Exercises of every part but the warm-up that all blocks hold, in the order of the first."""
    held = [
        {
            entry.exercise
            for week in block.weeks
            for session in week.sessions
            for part in session.parts
            if part.part != "warm-up"
            for entry in part.entries
        }
        for block in blocks
    ]
    first = [
        entry.exercise
        for week in blocks[0].weeks
        for session in week.sessions
        for part in session.parts
        if part.part != "warm-up"
        for entry in part.entries
    ]
    return tuple(slug for slug in dict.fromkeys(first) if all(slug in one for one in held))
