"""What a block gives up against the first of several: its points, each with what they are for, in a coach's words."""

from __future__ import annotations

from dataclasses import dataclass, replace

from setwright.plan.design import Designed
from setwright.plan.explain import in_words
from setwright.plan.search.problem import Need, Plan, Problem
from setwright.plan.search.worth import day_points, is_full, total_points, units_of, week_points

WORTH_A_WORD = 0.25  # counted sets a week, over all weeks


@dataclass(frozen=True)
class Amount:
    """Counted sets of a group in the hardest week: what is wanted, and what a block holds."""

    name: str
    wanted: float
    sets: float


@dataclass(frozen=True)
class Reason:
    """Points by which a block costs more than the first (fewer where negative), and what for, in a coach's words."""

    points: int
    words: str


def worth(first: Designed, one: Designed) -> int:
    """Points of a block on the yardstick of the first: the same seconds and entries wanted, so that they compare."""
    return total_points(yardstick(first, one), one.plan)


def yardstick(first: Designed, one: Designed) -> Problem:
    """The problem of a block with what the first one's minutes ask for."""
    return replace(one.posed.problem, seconds=first.posed.problem.seconds, thin=first.posed.problem.thin)


def amounts_of(one: Designed, groups: int) -> tuple[Amount, ...]:
    """Counted sets of each group in the hardest week, beside what is wanted; ``groups``: needs that are groups."""
    problem = one.posed.problem
    return tuple(
        Amount(need.name, need.target / 2, made_units(problem, one.plan, index, problem.hardest) / 2)
        for index, need in enumerate(problem.needs[:groups])
        if need.target > 0
    )


def made_units(problem: Problem, plan: Plan, need: int, week: int) -> int:
    """Units that a need gets in a week, those of the fixed parts too."""
    every = tuple(spot for day in plan.days for spot in day)
    return problem.given(problem.needs[need], week) + units_of(problem, need, every, week)


def short_and_over(problem: Problem, plan: Plan, need: int) -> tuple[float, float]:
    """Counted sets a week that a need lacks of what is wanted, and has beyond it, over all weeks."""
    weeks = range(len(problem.weeks))
    more = [made_units(problem, plan, need, week) - problem.wanted(problem.needs[need], week) for week in weeks]
    each = 2 * len(problem.weeks)
    return sum(max(0, -one) for one in more) / each, sum(max(0, one) for one in more) / each


def points_of_need(problem: Problem, plan: Plan, need: int) -> int:
    """Points for the amounts of one need."""
    alone = tuple(one if index == need else replace(one, target=0) for index, one in enumerate(problem.needs))
    return week_points(replace(problem, needs=alone), plan)


def reasons_of(first: Designed, one: Designed, groups: int) -> tuple[Reason, ...]:
    """Where the points of a block differ from the first one's, most first; together they are the whole difference.

    groups : how many of the needs are groups of the demand; the rest are the coach's own rules
    """
    rule, own = yardstick(first, first), yardstick(first, one)
    found = []
    for index, need in enumerate(own.needs):
        points = points_of_need(own, one.plan, index) - points_of_need(rule, first.plan, index)
        before, after = short_and_over(rule, first.plan, index), short_and_over(own, one.plan, index)
        words = need_words(need, before, after) if index < groups else own_words(need, points)
        found.append(Reason(points, words))
    found += wish_reasons(rule, first.plan, own, one.plan)
    found += choice_reasons(rule, first.plan, own, one.plan)
    kept = [reason for reason in found if reason.points]
    return tuple(sorted(kept, key=lambda reason: (-reason.points, reason.words)))


def own_words(need: Need, points: int) -> str:
    """What a difference in a rule of the coach means."""
    return f"keeps your own rule {need.name!r} {'less well' if points > 0 else 'better'}"


def need_words(need: Need, before: tuple[float, float], after: tuple[float, float]) -> str:
    """What a difference in the sets of a group means, from what is short and beyond the wish in both blocks."""
    name = in_words(need.name)
    short, over = after[0] - before[0], after[1] - before[1]
    if short >= WORTH_A_WORD:
        return f"gives up {sets_words(short)} a week for the {name}"
    if short <= -WORTH_A_WORD:
        return f"gives {sets_words(-short)} a week more for the {name}"
    if abs(over) >= WORTH_A_WORD:
        return f"goes {sets_words(abs(over))} a week {'further' if over > 0 else 'less'} beyond the wish for the {name}"
    return f"spreads the sets for the {name} otherwise over the weeks"


def sets_words(sets: float) -> str:
    """Sets in halves: ``1 set``, ``2.5 sets``."""
    rounded = max(0.5, round(2 * sets) / 2)
    return "1 set" if rounded == 1 else f"{rounded:g} sets"


def wish_points(problem: Problem, plan: Plan) -> dict[str, int]:
    """Points for each wish that a plan leaves out."""
    chosen = plan.chosen()
    found = {one.name: (one.points or 0) * max(0, one.count - len(one.items & chosen)) for one in problem.wishes}
    days = [{spot.item for spot in day} for day in plan.days]
    for wanted in problem.together:
        is_met = any(first & day and second & day for day in days for first, second in wanted.options)
        found[wanted.name] = 0 if is_met else wanted.points
    return found


def wish_reasons(rule: Problem, first: Plan, own: Problem, plan: Plan) -> list[Reason]:
    """Patterns and schemes that only one of two blocks holds."""
    before, after = wish_points(rule, first), wish_points(own, plan)
    return [
        Reason(after[name] - before[name], f"has no {bare(name)}" if after[name] > before[name] else f"has {name}")
        for name in before
    ]


def bare(name: str) -> str:
    """A wish without its article: ``a row`` becomes ``row``."""
    return name.removeprefix("a ").removeprefix("an ")


def choice_reasons(rule: Problem, first: Plan, own: Problem, plan: Plan) -> list[Reason]:
    """Second choices, entries, groups met once only, and how the work stands on the days."""
    lost = sum(own.items[item].cost for item in plan.chosen()) - sum(rule.items[item].cost for item in first.chosen())
    found = [Reason(lost, f"takes {'more' if lost > 0 else 'fewer'} exercises that are new here or second choices")]
    count = entries_of(plan) - entries_of(first)
    words = f"has {abs(count)} {'entry' if abs(count) == 1 else 'entries'} a week {'more' if count > 0 else 'fewer'}"
    points = entry_points(own, plan) - entry_points(rule, first)
    found.append(Reason(points, words if count else "fills the week otherwise"))
    for index, need in enumerate(own.needs):
        points = once_points(own, plan, index) - once_points(rule, first, index)
        times = "only once a week" if points > 0 else "twice a week"
        found.append(Reason(points, f"trains the {in_words(need.name)} fully {times}"))
    points = day_points(own, plan) - day_points(rule, first)
    how = "less well" if points > 0 else "better"
    return [*found, Reason(points, f"spreads the work {how} over the days")]


def entries_of(plan: Plan) -> int:
    """Entries of a week."""
    return sum(len(day) for day in plan.days)


def entry_points(problem: Problem, plan: Plan) -> int:
    """Points for the entries of a week, and for a thin one."""
    each = sum(problem.items[spot.item].entry_cost for day in plan.days for spot in day)
    return each + problem.thin[1] * max(0, problem.thin[0] - entries_of(plan))


def once_points(problem: Problem, plan: Plan, need: int) -> int:
    """Points for a group that fewer than two days train fully."""
    held = sum(any(is_full(problem, spot.item, need) for spot in day) for day in plan.days)
    return problem.needs[need].once if held < 2 and problem.needs[need].target > 0 else 0
