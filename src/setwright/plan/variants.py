"""Several really different blocks of nearly the same worth, each with its own proof.

The first block is the one that ``design`` gives. Each further one is searched anew with a limit that keeps it apart
from all before: most of its exercises are others, it is loaded otherwise, or its week is split otherwise. Its points
are counted with the first block's yardstick, so that what it gives up can be said; where nothing so different comes
near, there is no further block, and a sentence says why.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import Literal

from setwright.catalogue.exercise import Exercise
from setwright.catalogue.store import Catalogue
from setwright.faults import NoPlan
from setwright.people.place import Place
from setwright.people.trainee import DAYS, Trainee
from setwright.plan.apart import (
    FULL,
    HALVES,
    LEGS,
    LOADINGS,
    PULLS,
    PUSHES,
    THIRDS,
    UPPER,
    Apart,
    apart_of,
    chosen_freely,
    count_loaded,
    free_candidates,
    loading_of,
    main_loading,
    split_of,
    tokens_of,
)
from setwright.plan.block import Block
from setwright.plan.brief import Brief
from setwright.plan.design import Designed, Ready, get_ready, search_block
from setwright.plan.difference import Difference
from setwright.plan.fit import pose_search
from setwright.plan.gives_up import Amount, Reason, amounts_of, reasons_of, worth
from setwright.plan.posing import is_big
from setwright.plan.search.solve import lowest_bound
from setwright.strength.estimates import Estimates
from setwright.strength.logged import Log

Axis = Literal["exercises", "loading", "split"]
AXES: tuple[Axis, ...] = ("exercises", "loading", "split")
MOST_BLOCKS = 3
WORTH_SHARE, WORTH_POINTS = 0.15, 40  # how much more than the first a further block may cost: the larger of the two
LEAST_MOVED = 0.25  # of the counted sets of a muscle stand on another day, whatever the days are called
SPLITS_TRIED = 2


@dataclass(frozen=True)
class Variant:
    """One of several blocks. ``points``: on the yardstick of the first; ``free``: slugs that the search chose."""

    block: Block
    points: int
    more: int
    reasons: tuple[Reason, ...]
    free: tuple[str, ...]
    apart: tuple[Apart, ...]
    loading: str
    split: str
    day_kinds: tuple[str, ...]
    amounts: tuple[Amount, ...]


@dataclass(frozen=True)
class Several:
    """The blocks, by what they differ, the limit of worth in points, and why there are fewer than asked for."""

    variants: tuple[Variant, ...]
    by: Axis
    limit: int
    why_fewer: str = ""


def design_blocks(
    trainee: Trainee,
    places: Sequence[Place],
    brief: Brief,
    catalogue: Catalogue,
    estimates: Estimates,
    log: Log | None = None,
    limit: float = 3.0,
    count: int = 2,
    by: Axis = "exercises",
) -> Several:
    """Up to ``count`` blocks for one trainee, the best possible one first, each really different from all before.

    count : 1 to 3; by : what makes them different (``AXES``); limit : as of ``design_block``
    Raises NoPlan where not even the first can be made.
    """
    if not 1 <= count <= MOST_BLOCKS:
        raise ValueError(f"count is {count}, expected 1 to {MOST_BLOCKS}")
    ready = get_ready(trainee, places, brief, catalogue, estimates, log, limit)
    made = [search_block(ready)]
    most = worth_limit(worth(made[0], made[0]))
    why = ""
    while len(made) < count and not why:
        found, why = next_block(ready, made, by, most)
        made += [] if found is None else [found]
    variants = tuple(variant_of(ready, made, number) for number in range(len(made)))
    return Several(variants, by, most, why)


def worth_limit(points: int) -> int:
    """The most points that a further block may cost beyond the first, for the first's points."""
    return max(WORTH_POINTS, round(WORTH_SHARE * points))


def next_block(ready: Ready, made: Sequence[Designed], by: Axis, most: int) -> tuple[Designed | None, str]:
    """The best further block, or None with the reason in one sentence."""
    options = ways_apart(ready, made, by)
    if not options:
        return None, NO_OTHER_WAY[by]
    best: Designed | None = None
    for differ in options:
        search = replace(ready.search, differ=differ)
        try:
            found = search_block(replace(ready, search=search, seconds=made[0].seconds))
        except NoPlan:
            continue
        if all(is_apart(found, one, by) for one in made) and (
            best is None or worth(made[0], found) < worth(made[0], best)
        ):
            best = found
    if best is None:
        return None, NOTHING_FITS[by]
    more = worth(made[0], best) - worth(made[0], made[0])
    if more <= most:
        return best, ""
    reasons = reasons_of(made[0], best, len(ready.search.demand.muscles))
    return None, too_dear(by, more, most, best.block.proof.gap, reasons)


def too_dear(by: Axis, more: int, most: int, gap: float, reasons: Sequence[Reason]) -> str:
    """Why there is no further block: the best one found costs too much. What is not proven is not claimed."""
    mostly = next((f" Mostly, it {one.words}." for one in reasons if one.points > 0), "")
    if more - gap > most:
        return (
            f"No block {KINDS[by]} is of nearly the same worth: the best costs {at_least(more, gap)} points more than "
            f"the first, and {most} are allowed.{mostly}"
        )
    return (
        f"No block {KINDS[by]} of nearly the same worth was found: the best one found costs {more} points more than "
        f"the first, and {most} are allowed. At most {gap:g} points better exists, so one may be there.{mostly}"
    )


def at_least(more: int, gap: float) -> str:
    """The points of the best block, as far as they are proven."""
    return f"{more}" if gap <= 0 else f"{more - gap:g} to {more}"


NO_OTHER_WAY = {
    "exercises": "No other exercises are open here: the place, the limits and the brief leave only these.",
    "loading": "Nothing else to load with serves the week here: the place or the limits leave only this way.",
    "split": "No other split of the week fits these days and the lifts that the brief names.",
}
NOTHING_FITS = {
    "exercises": "No block whose exercises are at least half others fits the minutes, the place and the limits here.",
    "loading": "No block that is loaded otherwise for at least half of its exercises fits the minutes and limits here.",
    "split": "No block with a really different split of the week fits these days, minutes and limits.",
}
KINDS = {
    "exercises": "whose exercises are at least half others",
    "loading": "that is loaded otherwise",
    "split": "with another split of the week",
}


def ways_apart(ready: Ready, made: Sequence[Designed], by: Axis) -> list[Difference]:
    """The limits to search with, in the order to try; each alone keeps a block apart from all before."""
    if by == "exercises":
        return other_exercises(ready, made)
    return other_loadings(ready, made) if by == "loading" else other_splits(ready, made)


def other_exercises(ready: Ready, made: Sequence[Designed]) -> list[Difference]:
    """At least half of all exercises, and of the big lifts, are of families that each earlier block does not hold."""
    free = free_candidates(ready.search.brief, ready.search.candidates)
    shares = []
    for one in made:
        families = {each.exercise.base for each in chosen_freely(one)}
        for pool in (free, [each for each in free if is_big(each)]):
            same = frozenset(each.slug for each in pool if each.exercise.base in families)
            other = frozenset(each.slug for each in pool) - same
            if same:
                shares.append((same, other))
    return [Difference(shares=tuple(shares))] if any(other for _, other in shares) else []


def other_loadings(ready: Ready, made: Sequence[Designed]) -> list[Difference]:
    """At least half of the exercises are loaded in a way that leads in no earlier block.

    And of what leads in an earlier block there is at most half as much as there.
    """
    free = free_candidates(ready.search.brief, ready.search.candidates)
    tokens = tokens_of(ready.places)
    by_loading = {
        name: frozenset(one.slug for one in free if loading_of(one.exercise, tokens) == name) for name in LOADINGS
    }
    led = [main_loading(one) for one in made]
    less = tuple((by_loading[name], count_loaded(one, name) // 2) for name, one in zip(led, made, strict=True))
    return [
        Difference(shares=((frozenset(one.slug for one in free) - these, these),), at_most=less)
        for name, these in by_loading.items()
        if these and name not in led
    ]


def other_splits(ready: Ready, made: Sequence[Designed]) -> list[Difference]:
    """Full body, upper and lower days, push, pull and leg days: those that no earlier block has, likely best first."""
    taken = {split_of(one)[0] for one in made}
    options = [
        differ
        for name, kinds in ((FULL, ()), (HALVES, ("legs", "upper")), (THIRDS, ("legs", "push", "pull")))
        if name not in taken
        for differ in ([full_body(ready)] if name == FULL else split_days(ready, kinds))
        if differ is not None
    ]
    rated = []
    for number, differ in enumerate(options):
        posed = pose_search(replace(ready.search, differ=differ), made[0].seconds)
        rated.append((round(lowest_bound(posed.problem), 3), number))
    return [options[number] for value, number in sorted(rated) if value < float("inf")][:SPLITS_TRIED]


def full_body(ready: Ready) -> Difference | None:
    """Every day holds something for the legs, a push and a pull; None where a day has nothing open for one."""
    search = ready.search
    daily = tuple(
        frozenset(one.slug for one in search.candidates if one.exercise.pattern in patterns)
        for patterns in (LEGS, PUSHES, PULLS)
    )
    for day in search.days:
        here = {one.slug for one in search.candidates if day.place in one.places}
        if not all(slugs & here for slugs in daily):
            return None
    return Difference(daily=daily)


def may_stand(exercise: Exercise, kind: str) -> bool:
    """Whether an exercise may stand on a day of a kind: trunk work, carries and grip on any."""
    pattern = exercise.pattern
    if pattern in LEGS:
        return kind == "legs"
    if pattern not in UPPER or kind == "upper":
        return pattern not in UPPER or kind != "legs"
    return kind == {True: "push", False: "pull"}[pattern in PUSHES] if pattern in PUSHES | PULLS else kind != "legs"


def split_days(ready: Ready, kinds: Sequence[str]) -> list[Difference]:
    """Every way to give the days their kinds, as evenly as can be, that leaves each lift of the brief its days."""
    search = ready.search
    count = len(search.days)
    if count < len(kinds):
        return []
    named = {wish.exercise: wish.times_a_week for wish in search.brief.lifts} | dict.fromkeys(search.brief.include, 1)
    found: list[tuple[int, Difference]] = []
    for order in product(kinds, repeat=count):
        if any(not count // len(kinds) <= order.count(kind) <= -(-count // len(kinds)) for kind in kinds):
            continue
        days = {
            one.slug: tuple(
                day
                for day, kind in enumerate(order)
                if may_stand(one.exercise, kind) and search.days[day].place in one.places
            )
            for one in search.candidates
        }
        if all(len(days.get(slug, (0,) * times)) >= times for slug, times in named.items()):
            found.append((in_a_row(search_days(ready), order), Difference(days=days)))
    fewest = min((row for row, _ in found), default=0)
    return [differ for row, differ in found if row == fewest]


def search_days(ready: Ready) -> tuple[int, ...]:
    """The weekdays of a block as numbers from Monday."""
    return tuple(DAYS.index(day.day) for day in ready.search.days)


def in_a_row(days: Sequence[int], order: Sequence[str]) -> int:
    """How often a day of a kind follows one of the same kind the day after."""
    return sum(
        (later - day) % 7 == 1 and order[a] == order[b] for a, day in enumerate(days) for b, later in enumerate(days)
    )


def is_apart(one: Designed, earlier: Designed, by: Axis) -> bool:
    """Whether a finished block really is apart from an earlier one: entries that the minutes took out count too."""
    if by == "loading":
        name, led = main_loading(one), main_loading(earlier)
        is_led = 2 * count_loaded(one, name) >= len(chosen_freely(one))
        return is_led and name != led and 2 * count_loaded(one, led) <= count_loaded(earlier, led)
    found = apart_of(one, earlier, 1)
    if by == "split":
        return split_of(one)[0] != split_of(earlier)[0] and found.moved >= LEAST_MOVED
    return 2 * found.others >= found.of and 2 * found.big_others >= found.big_of


def variant_of(ready: Ready, made: Sequence[Designed], number: int) -> Variant:
    """A block with all that is said of it beside the others."""
    first, one = made[0], made[number]
    chosen = chosen_freely(one)
    split, kinds = split_of(one)
    points = worth(first, one)
    return Variant(
        block=one.block,
        points=points,
        more=points - worth(first, first),
        reasons=reasons_of(first, one, len(ready.search.demand.muscles)) if number else (),
        free=tuple(each.slug for each in chosen),
        apart=tuple(apart_of(one, earlier, index + 1) for index, earlier in enumerate(made[:number])),
        loading=main_loading(one),
        split=split,
        day_kinds=kinds,
        amounts=amounts_of(one, len(ready.search.demand.muscles)),
    )
