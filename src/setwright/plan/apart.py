"""How two blocks differ, in what a coach would call a difference: exercises, what they are loaded with, the split.

Looked at is what the search chose; skill, range and conditioning parts stand the same in every block. Lifts that the
coach named count for the split, not for the exercises and their loading, as no block may do without them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import permutations

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.exercise import Exercise
from setwright.people.place import Place
from setwright.plan.brief import Brief
from setwright.plan.candidates import Candidate
from setwright.plan.design import Designed
from setwright.plan.posing import is_big
from setwright.plan.search.worth import units_of

FREE_WEIGHTS = frozenset({"barbell", "dumbbell", "kettlebell", "hexbar", "landmine", "sandbag", "plates", "sled"})
LOADINGS = ("free weights", "machines and cables", "body weight and bands")
LEGS = frozenset(
    {
        "squat",
        "split_squat",
        "sled",
        "hinge",
        "single_leg_hinge",
        "hip_extension",
        "knee_extension",
        "knee_flexion",
        "hip_adduction",
        "hip_abduction",
        "hip_rotation",
        "hip_flexion",
        "calf",
        "shin",
        "foot",
    }
)
PUSHES = frozenset({"push_horizontal", "push_incline", "push_vertical", "dip", "elbow_extension"})
PULLS = frozenset({"pull_horizontal", "pull_vertical", "elbow_flexion"})
UPPER = PUSHES | PULLS | {"shoulder_raise", "scapular", "rotator_cuff"}
FULL, HALVES, THIRDS, MIXED = "full body", "upper and lower days", "push, pull and leg days", "mixed days"
CLEAR = 0.8  # of the sets of a day that make it a day of one kind


@dataclass(frozen=True)
class Apart:
    """How far a block is from an earlier one (its number from 1).

    others : its freely chosen exercises whose family the earlier block does not hold; of : all it chose freely;
    big_others, big_of : the same of its big lifts
    moved : share of the counted sets that stand on another day, with the days in whatever order brings them closest
    """

    number: int
    others: int
    of: int
    big_others: int
    big_of: int
    moved: float


def free_candidates(search_brief: Brief, candidates: Sequence[Candidate]) -> tuple[Candidate, ...]:
    """Those that the coach did not ask for."""
    named = {wish.exercise for wish in search_brief.lifts} | set(search_brief.include)
    return tuple(one for one in candidates if one.slug not in named)


def chosen_freely(one: Designed) -> tuple[Candidate, ...]:
    """The exercises of a block that the search chose, in the order of their slugs."""
    chosen = [one.posed.candidates[item] for item in sorted(one.plan.chosen())]
    return free_candidates(one.block.inputs.brief, chosen)


def tokens_of(places: Iterable[Place]) -> frozenset[str]:
    """All that some places have, with what it implies."""
    return frozenset().union(*(expand_tokens(place.tokens()) for place in places))


def loading_of(exercise: Exercise, tokens: frozenset[str]) -> str:
    """What an exercise is loaded with where there are these tokens: by the first equipment for it that is there."""
    ways = [one for one in exercise.equipment if one <= tokens] or [*exercise.equipment, frozenset()]
    if any(token == "cable" or token.startswith("machine:") for token in ways[0]):
        return LOADINGS[1]
    return LOADINGS[0] if ways[0] & FREE_WEIGHTS else LOADINGS[2]


def count_loaded(one: Designed, name: str) -> int:
    """How many freely chosen exercises of a block are loaded in a way."""
    tokens = tokens_of(one.block.inputs.places)
    return sum(loading_of(each.exercise, tokens) == name for each in chosen_freely(one))


def main_loading(one: Designed) -> str:
    """What most freely chosen exercises of a block are loaded with; the first of ``LOADINGS`` among equals."""
    count = [count_loaded(one, name) for name in LOADINGS]
    return LOADINGS[count.index(max(count))]


def split_of(one: Designed) -> tuple[str, tuple[str, ...]]:
    """The name of the split of a week, and what each day is: legs, upper, push, pull or full body.

    Skill, range and conditioning parts are not looked at: they stand the same in every block.
    """
    last = one.posed.problem.hardest
    kinds = []
    for day in one.plan.days:
        sets = dict.fromkeys(("legs", "push", "pull", "upper"), 0)
        for spot in day:
            pattern = one.posed.candidates[spot.item].exercise.pattern
            for name, patterns in (("legs", LEGS), ("push", PUSHES), ("pull", PULLS), ("upper", UPPER)):
                sets[name] += spot.sets[last] if pattern in patterns else 0
        kinds.append(kind_of_day(sets))
    if set(kinds) == {FULL}:
        return FULL, tuple(kinds)
    if {"legs", "push", "pull"} == set(kinds):
        return THIRDS, tuple(kinds)
    upper = ["upper" if kind in ("push", "pull") else kind for kind in kinds]
    return (HALVES if set(upper) == {"legs", "upper"} else MIXED), tuple(upper if FULL not in kinds else kinds)


def kind_of_day(sets: dict[str, int]) -> str:
    """What a day is, from its sets for legs, pushes, pulls and the upper body as a whole."""
    if sets["legs"] >= CLEAR * (sets["legs"] + sets["upper"]):
        return "legs"
    if sets["upper"] < CLEAR * (sets["legs"] + sets["upper"]):
        return FULL
    for name in ("push", "pull"):
        if sets[name] >= CLEAR * (sets["push"] + sets["pull"]):
            return name
    return "upper"


def units_by_day(one: Designed) -> list[list[int]]:
    """For each need, its units on each day of the hardest week, without the fixed parts."""
    problem = one.posed.problem
    return [
        [units_of(problem, need, spots, problem.hardest) for spots in one.plan.days]
        for need in range(len(problem.needs))
    ]


def moved_share(first: Sequence[Sequence[int]], second: Sequence[Sequence[int]]) -> float:
    """Share of the counted sets that stand on another day, with the days in the order that brings them closest.

    Each group counts by its sets, and by what share of them each day holds, so more or fewer sets alone move nothing.
    """
    days = range(len(first[0]) if first else 0)
    best = 1.0
    for order in permutations(days):
        moved = total = 0.0
        for a, b in zip(first, second, strict=True):
            if sum(a) and sum(b):
                total += sum(a) + sum(b)
                share = sum(abs(a[day] / sum(a) - b[order[day]] / sum(b)) for day in days) / 2
                moved += share * (sum(a) + sum(b))
        best = min(best, moved / total if total else 0.0)
    return round(best, 4)


def apart_of(one: Designed, earlier: Designed, number: int) -> Apart:
    """How far a block is from an earlier one."""
    families = {each.exercise.base for each in chosen_freely(earlier)}
    mine = chosen_freely(one)
    other = [each for each in mine if each.exercise.base not in families]
    big, big_other = [sum(map(is_big, some)) for some in (mine, other)]
    return Apart(number, len(other), len(mine), big_other, big, moved_share(units_by_day(earlier), units_by_day(one)))
