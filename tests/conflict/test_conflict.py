"""The smallest conflict and the packing, against every subset and every way of placing, on small random cases."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import chain, combinations, product
from random import Random

import pytest

from setwright.plan.conflict import NEVER, Wished, minimal_conflict, pack, smallest_conflict


def subsets(members: Iterable[str]) -> list[frozenset[str]]:
    """Every subset, smaller ones first."""
    every = tuple(members)
    return [frozenset(one) for one in chain.from_iterable(combinations(every, n) for n in range(len(every) + 1))]


def smallest_by_trying(members: tuple[str, ...], cores: list[frozenset[str]]) -> list[frozenset[str]]:
    """All smallest sets that hold a whole core."""
    found = [one for one in subsets(members) if any(core <= one for core in cores)]
    return [one for one in found if len(one) == len(found[0])] if found else []


@pytest.mark.parametrize("seed", range(60))
def test_the_conflict_found_is_a_smallest_of_all_subsets(seed: int) -> None:
    """Referee: every subset of seven members, tried in turn."""
    r = Random(seed)
    members = tuple("abcdefg")
    cores = [frozenset(r.sample(members, r.randint(1, 5))) for _ in range(r.randint(0, 5))]

    found = smallest_conflict(members, lambda active: not any(core <= active for core in cores))

    expected = smallest_by_trying(members, cores)
    assert (frozenset(found) in expected) if expected else found == ()
    assert list(found) == sorted(found)


@pytest.mark.parametrize("seed", range(30))
def test_without_any_one_member_of_a_conflict_the_rest_is_possible(seed: int) -> None:
    r = Random(f"minimal {seed}")
    members = tuple("abcdefgh")
    cores = [frozenset(r.sample(members, r.randint(1, 5))) for _ in range(r.randint(1, 5))]

    def is_possible(active: frozenset[str]) -> bool:
        return not any(core <= active for core in cores)

    for found in (smallest_conflict(members, is_possible), minimal_conflict(members, is_possible)):
        assert found and not is_possible(frozenset(found))
        assert all(is_possible(frozenset(found) - {one}) for one in found)


def test_where_the_rounds_end_early_the_conflict_is_still_minimal() -> None:
    cores = [frozenset("ab"), frozenset("cde"), frozenset("af")]

    found = smallest_conflict(tuple("fedcba"), lambda active: not any(core <= active for core in cores), most_rounds=1)

    assert frozenset(found) in cores


def test_of_equally_small_conflicts_the_earlier_members_are_named() -> None:
    cores = [frozenset("bd"), frozenset("ac")]

    found = smallest_conflict(tuple("abcd"), lambda active: not any(core <= active for core in cores))

    assert found == ("a", "c")


Week = tuple[list[Wished], list[int], dict[str, int], int]


def some_week(seed: int) -> Week:
    """Wishes with their seconds, days with theirs, and a warm-up that the day's first wish brings: no plain sum."""
    r = Random(f"week {seed}")
    seconds = [r.choice((600, 1200, 1800, 2400)) for _ in range(r.randint(2, 3))]
    takes = {key: r.choice((300, 600, 900, 1500)) for key in "abcd"[: r.randint(2, 4)]}
    wished = []
    for key in takes:
        days = tuple(sorted(r.sample(range(len(seconds)), r.randint(1, len(seconds)))))
        wished.append(Wished(key, r.randint(1, len(days)), days, takes[key]))
    return wished, seconds, takes, r.choice((0, 300, 700))


def steps_in(week: Week, most_steps: int) -> object:
    """The referee's own time: the wishes, a shared warm-up, and 60 s less for every second one; by steps of 300 s."""
    _, seconds, takes, warm = week

    def steps_needed(day: int, keys: frozenset[str]) -> int:
        spent = sum(takes[key] for key in keys) + warm
        more = -(-max(0, spent - seconds[day]) // 300)
        return more if more <= most_steps else NEVER

    return steps_needed


def fewest_steps(week: Week, most_steps: int) -> int | None:
    """Referee: every way of placing every wish."""
    wished, seconds, _, _ = week
    needed = steps_in(week, most_steps)
    best = None
    for ways in product(*(list(combinations(one.days, one.times)) for one in wished)):
        days = [
            frozenset(one.key for one, way in zip(wished, ways, strict=True) if day in way)
            for day in range(len(seconds))
        ]
        steps = [needed(day, keys) for day, keys in enumerate(days)]  # type: ignore[operator]
        if max(steps) <= most_steps:
            best = sum(steps) if best is None else min(best, sum(steps))
    return best


@pytest.mark.parametrize("most_steps", [0, 6])
@pytest.mark.parametrize("seed", range(40))
def test_packing_agrees_with_every_way_of_placing(seed: int, most_steps: int) -> None:
    """Referee: every placing of up to four wishes on up to three days."""
    week = some_week(seed)
    wished, seconds, _, _ = week

    found = pack(wished, seconds, steps_in(week, most_steps), [most_steps] * len(seconds))  # type: ignore[arg-type]

    expected = fewest_steps(week, most_steps)
    assert (found is None) == (expected is None)
    if found is not None:
        assert sum(found.steps) == expected
        for one in wished:
            stands = [day for day, keys in enumerate(found.days) if one.key in keys]
            assert len(stands) == one.times and set(stands) <= set(one.days)


def test_half_of_the_random_weeks_are_impossible() -> None:
    """Guards the test above: it would prove nothing if all weeks had room."""
    possible = [fewest_steps(some_week(seed), 0) is not None for seed in range(40)]

    assert 10 <= sum(possible) <= 35


def test_a_day_that_stays_empty_needs_room_for_something() -> None:
    def steps_needed(day: int, keys: frozenset[str]) -> int:
        return 0 if keys else NEVER

    one = [Wished("a", 1, (0, 1), 0)]

    assert pack(one, [600, 600], steps_needed, [0, 0]) is None
    assert pack([Wished("a", 2, (0, 1), 0)], [600, 600], steps_needed, [0, 0]) is not None


def test_more_times_than_days_has_no_packing() -> None:
    assert pack([Wished("a", 3, (0, 1), 0)], [600, 600], lambda day, keys: 0, [0, 0]) is None


def test_one_longer_day_is_better_than_two() -> None:
    """Two wishes of 600 s, days of 300 s: 300 s more on each, or 900 s more on one; with 900 s days they share."""

    def steps_needed(day: int, keys: frozenset[str]) -> int:
        return -(-max(0, 600 * len(keys) - 900) // 300)

    both = [Wished("a", 1, (0, 1), 600), Wished("b", 1, (0, 1), 600), Wished("c", 1, (0, 1), 600)]
    found = pack(both, [900, 900], steps_needed, [9, 9])

    assert found is not None and sorted(found.steps) == [0, 1]
