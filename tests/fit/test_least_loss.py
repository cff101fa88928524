"""What a short day loses: the fewest entries, then the least worth; checked by trying everything."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import product

import pytest
from made_block import GYM

from setwright.catalogue.exercise import PartName
from setwright.catalogue.load import catalogue
from setwright.people.trainee import TrainingDay
from setwright.plan.block import Entry, Part, PlannedSet
from setwright.plan.fit_days import gaps, place_days
from setwright.plan.fit_minutes import Cut, Row, least_loss, least_loss_above, with_sets, worth_of
from setwright.plan.session_time import session_minutes_of

NAMES: tuple[tuple[str, PartName], ...] = (
    ("back_squat", "main"),
    ("bench_bb", "main"),
    ("row_cable", "assistance"),
    ("pullup", "assistance"),
    ("curl_cable", "finisher"),
)


def entry(name: str, sets: int, rest_s: float = 120.0, superset: str | None = None, ramps: int = 0) -> Entry:
    ramp = PlannedSet("ramp", reps=(5, 5), rest_s=60.0)
    work = PlannedSet("work", reps=(6, 8), rest_s=rest_s, rir=2.0)
    return Entry(name, (ramp,) * ramps + (work,) * sets, "", superset=superset)


def row(number: int, made: Entry, part: PartName, touched: bool = False) -> Row:
    return Row(("slot", number), part, made, touched=touched)


def minutes(rows: list[Row]) -> float:
    parts = [
        Part(part, tuple(one.entry for one in rows if one.part == part)) for part in dict.fromkeys(r.part for r in rows)
    ]
    return session_minutes_of(parts, catalogue(), GYM)


def kept_rows(rows: list[Row], kept: dict[tuple[str, int], int]) -> list[Row]:
    left = [replace(one, entry=with_sets(one.entry, kept.get(one.key, one.sets))) for one in rows]
    return [one for one in left if one.sets]


def all_ways(weeks: list[list[Row]], cap: float) -> tuple[int, int] | None:
    """Referee: every number of sets of every entry in every week, by the time model of the sessions itself."""
    fitting: list[list[tuple[frozenset[tuple[str, int]], int]]] = []
    for rows in weeks:
        here = []
        for counts in product(*(range(one.sets + 1) for one in rows)):
            kept = {one.key: count for one, count in zip(rows, counts, strict=True)}
            left = kept_rows(rows, kept)
            if not left or minutes(left) > cap + 1e-6:
                continue
            cut = frozenset(one.key for one, n in zip(rows, counts, strict=True) if n < one.sets and not one.touched)
            lost = sum(
                worth_of(one.part, one.sets) - worth_of(one.part, n) for one, n in zip(rows, counts, strict=True)
            )
            here.append((cut, lost))
        fitting.append(here)
    if not all(fitting):
        return None
    ways = [
        (len(frozenset().union(*(one[0] for one in way))), sum(one[1] for one in way))
        for way in product(*map(thin, fitting))
    ]
    return min(ways)


def thin(ways: list[tuple[frozenset[tuple[str, int]], int]]) -> list[tuple[frozenset[tuple[str, int]], int]]:
    """The cheapest way for each set of entries touched."""
    best: dict[frozenset[tuple[str, int]], int] = {}
    for cut, lost in ways:
        best[cut] = min(lost, best.get(cut, lost))
    return list(best.items())


def cost(weeks: list[list[Row]], cut: Cut) -> tuple[int, int]:
    touched = {
        one.key
        for rows, kept in zip(weeks, cut.kept, strict=True)
        for one in rows
        if one.key in kept and not one.touched
    }
    return len(touched), cut.worth


@pytest.mark.parametrize("seed", range(12))
def test_no_way_to_fit_a_session_touches_or_loses_less(seed: int) -> None:
    draw = random.Random(seed)
    letters = draw.choice(((None,) * 5, (None, None, "A", "A", None)))
    weeks = []
    for _ in range(2):
        sets = [draw.randint(1, 3) for _ in NAMES]
        weeks.append(
            [
                row(
                    n,
                    entry(name, sets[n], draw.choice((60.0, 120.0, 180.0)), letters[n], draw.choice((0, 2))),
                    part,
                    n == seed % 7,
                )
                for n, (name, part) in enumerate(NAMES[:4])
            ]
        )
    cap = round(draw.uniform(0.25, 0.95) * max(minutes(rows) for rows in weeks), 1)

    found = least_loss_above(weeks, cap, catalogue())

    expected = all_ways(weeks, cap)
    if expected is None:
        assert found is None
        return
    assert found is not None and found.is_best
    assert cost(weeks, found) == expected
    for rows, kept in zip(weeks, found.kept, strict=True):
        assert minutes(kept_rows(rows, dict(kept))) <= cap + 1e-6


def test_a_session_that_fits_loses_nothing() -> None:
    rows = [row(0, entry("back_squat", 3), "main"), row(1, entry("row_cable", 3), "assistance")]

    found = least_loss([rows], 90.0, catalogue())

    assert found is not None and found.worth == 0 and found.kept == ({},)


def test_the_main_lift_goes_last() -> None:
    """Leaving out the squat alone would touch one entry; the day is built on it, so the others give way."""
    rows = [
        row(0, entry("back_squat", 4, 180.0, ramps=2), "main"),
        row(1, entry("row_cable", 3, 90.0), "assistance"),
        row(2, entry("curl_cable", 3, 90.0), "finisher"),
    ]
    cap = minutes(rows[1:])

    plain, found = least_loss_above([rows], cap, catalogue()), least_loss([rows], cap, catalogue())

    assert plain is not None and found is not None
    assert len(plain.kept[0]) < len(found.kept[0])
    assert plain.kept[0][("slot", 0)] < 2 <= found.kept[0][("slot", 0)]


def test_a_day_too_short_for_anything_is_said_to_be() -> None:
    rows = [row(0, entry("back_squat", 3, ramps=2), "main")]

    assert least_loss([rows], 1.0, catalogue()) is None


def days(*given: tuple[str, float, str]) -> list[TrainingDay]:
    return [TrainingDay(day, one, place) for day, one, place in given]  # type: ignore[arg-type]


def test_days_keep_their_order_and_their_spacing() -> None:
    plan = place_days(
        ("mon", "wed", "fri"),
        days(*((day, 60.0, "gym") for day in ("mon", "tue", "thu", "sat", "sun"))),
        (10, 10, 10),
        (50, 50, 50),
        lambda index, place: 0,
    )

    chosen = [day.day for _, day in plan.placed]
    assert [index for index, _ in plan.placed] == [0, 1, 2] and not plan.lost
    assert chosen == ["tue", "thu", "sat"] and gaps(chosen) == [2, 2, 3]


def test_the_day_that_is_worth_least_is_lost() -> None:
    plan = place_days(
        ("mon", "wed", "fri"), days(("tue", 60, "gym"), ("sat", 60, "gym")), (9, 4, 8), (50,) * 3, lambda i, p: 0
    )

    assert plan.lost == (1,) and [day.day for _, day in plan.placed] == ["tue", "sat"]


def test_a_place_where_more_is_open_wins_over_the_same_weekday() -> None:
    plan = place_days(
        ("mon",),
        days(("mon", 60, "road"), ("tue", 60, "gym")),
        (9,),
        (50,),
        lambda i, place: 5 if place == "road" else 0,
    )

    assert plan.placed[0][1].day == "tue"
