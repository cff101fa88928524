"""The solver of a re-plan against counting every decision there is, on small problems of made-up numbers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from setwright.plan.reshape_model import (
    SHORT_POINTS,
    Decision,
    Item,
    Model,
    Option,
    Problem,
    Superset,
    first_guess,
    reshape,
    way_out,
)

DAYS = ("mon", "thu")
WEEK = 3


def every_decision(problem: Problem) -> Iterator[Decision]:
    """All combinations of options and sets."""
    ways = []
    for item in problem.items:
        most, least = item.sets[WEEK], item.least[WEEK]
        ways.append(
            [
                (o, n)
                for o, option in enumerate(item.options)
                for n in ([0] if option.kind == "out" else range(least, most + 1))
            ]
        )
    for taken in product(*ways):
        yield Decision(tuple(o for o, _ in taken), tuple({WEEK: n} for _, n in taken))


def length(problem: Problem, decision: Decision, day: str) -> int:
    """Referee: the time of a day, added up entry by entry in the order done, from the meaning of the numbers."""
    total, before = 0, None
    together: set[int] = set()
    for members, are_guests in problem.order[day]:
        here = []
        for i in members:
            option = problem.items[i].options[decision.options[i]]
            if option.day == day and (option.kind == "move") == are_guests and decision.sets[i][WEEK]:
                here.append((i, option, decision.sets[i][WEEK]))
        for number, (i, option, sets) in enumerate(here):
            total += option.tenths[WEEK][sets - 1]
            if number == 0:
                if before is not None and before.exercise == option.exercise and WEEK in option.wait:
                    total += option.wait[WEEK] - 750
                elif before is not None and before.implement & option.implement:
                    total -= problem.shorter
                before = option
            together.add(i)
    for one in problem.supersets:
        if one.day == day:
            states = tuple(
                (decision.options[i], decision.sets[i][WEEK])
                if problem.items[i].options[decision.options[i]].day == day
                and problem.items[i].options[decision.options[i]].kind != "move"
                and decision.sets[i][WEEK]
                else None
                for i in one.members
            )
            total -= one.saved[WEEK].get(states, 0)
    return total


def holds(problem: Problem, decision: Decision) -> bool:
    """Referee: minutes, no exercise twice, no empty day where anything can stand, bouts as one."""
    for day in DAYS:
        here = [
            item.options[o].exercise
            for item, o in zip(problem.items, decision.options, strict=True)
            if item.options[o].day == day
        ]
        room = problem.room[day, WEEK]
        own = [item.name for item in problem.items if item.day == day]
        twice = any(here.count(name) > max(1, own.count(name)) for name in here)
        could_be = any(option.day == day for item in problem.items for option in item.options)
        is_long = room is not None and length(problem, decision, day) > room
        if (could_be and not here) or twice or is_long:
            return False
    ways = [[way_out(problem.items[i].options[decision.options[i]]) for i in one] for one in problem.together]
    return all(len(set(one)) == 1 for one in ways)


def price(problem: Problem, decision: Decision) -> tuple[int, int, int]:
    """Referee: lifts lost, items changed, points lost."""
    lost = changed = points = 0
    given_sets: dict[str, int] = {}
    for item, o, sets in zip(problem.items, decision.options, decision.sets, strict=True):
        option = item.options[o]
        if item.is_pillar:
            lost += (option.kind not in ("stay", "move")) + (option.kind == "out")
        changed += option.is_change or sets[WEEK] < item.sets[WEEK]
        points += option.points
        if option.kind != "out":
            points += item.set_points * (item.sets[WEEK] - sets[WEEK])
            for row, half in option.half_sets.items():
                given_sets[row] = given_sets.get(row, 0) + half * sets[WEEK]
    for (_, row), wanted in problem.wanted.items():
        points += SHORT_POINTS * max(0, wanted - given_sets.get(row, 0))
    return lost, changed, points


@st.composite
def problems(draw: st.DrawFn) -> Problem:
    """Three to five items on two days; some barred, some pillars, one superset, minutes that may be short."""
    count = draw(st.integers(3, 5))
    items = []
    names = [f"e{i}" for i in range(count)]
    if count > 3 and draw(st.booleans()):
        names[3] = names[1]  # the same lift twice on a day: a top set, and its back-offs
    for i in range(count):
        day = DAYS[i % 2]
        sets = draw(st.integers(1, 3))
        work = draw(st.integers(300, 900))
        implement = frozenset({draw(st.sampled_from(["bar", "cable", "none"]))})
        waits = draw(st.sampled_from([300, 900, 1800]))
        half = {"legs": draw(st.integers(0, 2)), "arms": draw(st.integers(0, 2))}

        def option(kind: str, where: str, name: str, is_change: bool, points: int, each: int) -> Option:
            times = {WEEK: tuple(750 + each * n for n in range(1, sets + 1))}  # noqa: B023
            wait = {WEEK: waits}  # noqa: B023
            return Option(kind, where, name, is_change, points, times, half, implement, wait)  # type: ignore[arg-type] # noqa: B023

        ways = []
        is_barred = draw(st.booleans()) and draw(st.booleans())
        if not is_barred:
            ways.append(option("stay", day, names[i], False, 0, work))
        if draw(st.booleans()):
            other = DAYS[1 - i % 2]
            ways.append(option("move", other, names[i], True, draw(st.integers(0, 9)), work))
        if is_barred and draw(st.booleans()):
            ways.append(option("exchange", day, "spare", True, draw(st.integers(0, 9)), draw(st.integers(300, 1200))))
        ways.append(Option("out", "", "", True, draw(st.integers(0, 40))))
        pillar = draw(st.booleans()) and draw(st.booleans())
        least = {WEEK: min(2, sets) if pillar else 1}
        items.append(Item(names[i], day, False, {WEEK: sets}, least, tuple(ways), draw(st.integers(0, 3)), pillar))
    order = {
        day: tuple(
            [((i,), False) for i in range(count) if i % 2 == d and not (d == 0 and i in (0, 2))]
            + [((i,), True) for i in range(count) if i % 2 != d]
        )
        for d, day in enumerate(DAYS)
    }
    order["mon"] = (((0, 2), False), *order["mon"])
    together = as_bout(draw, items)
    supersets = (Superset("mon", (0, 2), {WEEK: saved_by(draw, items)}),)
    room = {(day, WEEK): draw(st.sampled_from([None, 2500, 4000, 6000])) for day in DAYS}
    wanted = {(WEEK, "legs"): draw(st.integers(0, 6)), (WEEK, "arms"): draw(st.integers(0, 6))}
    return Problem(tuple(items), (WEEK,), room, order, supersets=supersets, wanted=wanted, together=together)


def as_bout(draw: st.DrawFn, items: list[Item]) -> tuple[tuple[int, ...], ...]:
    """Sometimes the first and third item are one bout: they leave, or get less, only together."""
    could_stay = all(any(one.kind == "stay" for one in items[i].options) for i in (0, 2))
    if not could_stay or not draw(st.booleans()):
        return ()
    for i in (0, 2):
        kept = [one for one in items[i].options if one.kind != "move"]
        times = {WEEK: tuple(one - draw(st.integers(0, 250)) for one in kept[0].tenths[WEEK])}
        less = replace(kept[0], is_change=True, points=draw(st.integers(0, 20)), tenths=times, less=1)
        items[i] = replace(items[i], options=(*kept[:-1], less, kept[-1]))
    return ((0, 2),)


def saved_by(draw: st.DrawFn, items: Sequence[Item]) -> dict[tuple[tuple[int, int] | None, ...], int]:
    """What the superset of the first and third item saves: more the more rounds both have."""
    each = draw(st.integers(0, 250))
    states = [
        [
            (o, n)
            for o, option in enumerate(items[i].options)
            if option.day == "mon" and option.kind != "move"
            for n in range(1, items[i].sets[WEEK] + 1)
        ]
        for i in (0, 2)
    ]
    return {(a, b): 350 + each * min(a[1], b[1]) for a in states[0] for b in states[1]}


SETTINGS = settings(max_examples=60, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))


@SETTINGS
@given(problems())
def test_the_solver_finds_what_counting_everything_finds(problem: Problem) -> None:
    """Referee: all decisions, one by one; the fewest changes with and without the lifts kept, then the points."""
    possible = [one for one in every_decision(problem) if holds(problem, one)]

    found = reshape(problem, lambda decision: {})

    if not possible:
        assert found.decision is None
        return
    assert found.decision is not None and holds(problem, found.decision)
    best = min(price(problem, one) for one in possible)
    assert price(problem, found.decision) == best
    assert (found.lifts_lost, found.changed, found.points) == best
    assert found.bound == best[1] and found.is_best
    assert found.bound_alone == min(price(problem, one)[1] for one in possible)


@SETTINGS
@given(problems())
def test_what_the_true_time_finds_too_long_is_left_behind(problem: Problem) -> None:
    """Referee: counting, with days half a minute longer than the numbers say."""

    def over(decision: Decision) -> dict[tuple[str, int], int]:
        return {
            (day, WEEK): length(problem, decision, day) + 300 - room
            for day in DAYS
            if (room := problem.room[day, WEEK]) is not None and length(problem, decision, day) + 300 > room
        }

    possible = [one for one in every_decision(problem) if holds(problem, one) and not over(one)]

    found = reshape(problem, over)

    if not possible:
        assert found.decision is None
        return
    assert found.decision is not None and not over(found.decision)
    assert price(problem, found.decision)[:2] == min(price(problem, one)[:2] for one in possible)


@SETTINGS
@given(problems())
def test_a_hint_is_complete_and_true(problem: Problem) -> None:
    """Every variable is named, and the model takes the values wherever the decision holds."""
    rows = Model(problem)
    guess = first_guess(problem)

    values = rows.values(guess)

    assert set(values) == set(rows.variables)
    if holds(problem, guess):
        for name, value in values.items():
            rows.model.add(rows.variables[name] == value)
        solved = rows.minimise(sum(rows.changed), {}, 1.0)
        assert solved.values and rows.decision(solved.values) == guess


def test_nothing_changes_where_everything_fits() -> None:
    stay = Option("stay", "mon", "e", False, 0, {WEEK: (900, 1800)})
    item = Item("e", "mon", False, {WEEK: 2}, {WEEK: 1}, (stay, Option("out", "", "", True, 5)))
    problem = Problem((item,), (WEEK,), {("mon", WEEK): 1800}, {"mon": (((0,), False),)})

    found = reshape(problem, lambda decision: {})

    assert (found.changed, found.bound, found.bound_alone) == (0, 0, 0)
    assert found.decision == Decision((0,), ({WEEK: 2},))


def test_the_same_problem_gives_the_same_decision() -> None:
    options = tuple(
        Option(kind, day, "e", kind != "stay", 0, {WEEK: (900,)} if day else {})  # type: ignore[arg-type]
        for kind, day in (("move", "thu"), ("exchange", "mon"), ("out", ""))
    )
    other = Option("stay", "thu", "f", False, 0, {WEEK: (900,)})
    items = (
        Item("e", "mon", False, {WEEK: 1}, {WEEK: 1}, options),
        Item("g", "mon", False, {WEEK: 1}, {WEEK: 1}, (Option("stay", "mon", "g", False, 0, {WEEK: (900,)}),)),
        Item("f", "thu", False, {WEEK: 1}, {WEEK: 1}, (other,)),
    )
    room = {("mon", WEEK): None, ("thu", WEEK): None}
    problem = Problem(items, (WEEK,), room, {"mon": (((0,), False), ((1,), False)), "thu": (((2,), False),)})

    assert reshape(problem, lambda decision: {}) == reshape(problem, lambda decision: {})


def test_the_start_takes_no_stand_in_twice() -> None:
    """Two barred lifts with the same nearest stand-in: a start that broke this rule left the search without any."""
    ways = tuple(
        Option(kind, day, name, True, points, {WEEK: (900,)} if day else {})  # type: ignore[arg-type]
        for kind, day, name, points in (
            ("exchange", "mon", "spare", 1),
            ("exchange", "mon", "other", 5),
            ("out", "", "", 9),
        )
    )
    items = tuple(Item(name, "mon", False, {WEEK: 1}, {WEEK: 1}, ways) for name in ("a", "b", "c"))
    problem = Problem(items, (WEEK,), {("mon", WEEK): 5000}, {"mon": (((0,), False), ((1,), False), ((2,), False))})

    guess = first_guess(problem)

    assert sorted(guess.options) == [0, 1, 2]
    assert reshape(problem, lambda decision: {}).changed == 3
