"""The search with proof: good weeks from a short list, whole plans of them, and a bound over everything.

The method, in its order:
1. The linear relaxation of the week ranks the items; weeks are solved over the first of them, then over more.
2. Each week's items are put on days with all their sets free again: a whole plan. Where it costs what its week
   costs, nothing made of these items is better.
3. The bound: the week without days is a relaxation. Asked for less than the best plan, it either proves that there
   is nothing, or names another set of items. That set is solved whole; once solved, the week must use an item
   outside it, and is asked again.
4. Ties: among equally good plans the one that comes first in a fixed order, by item, then by day and sets.

``gap`` is what is left between the best plan and the bound, in points. Every limit is deterministic.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from setwright.plan.search.model import Rows, plan_from, week_rows, whole_rows
from setwright.plan.search.pairs import join_pairs
from setwright.plan.search.problem import Plan, Problem
from setwright.plan.search.rank import ranked, relaxation
from setwright.plan.search.run import Ran, capped, run
from setwright.plan.search.worth import broken_limits, sets_range, total_points

WIDTHS = (45, 80)  # items of the short lists that good weeks are sought in
SPARE_ITEMS = 6  # items that a whole plan may use beside those of its week
CUTS_FOR_PAIRS = 12
VAIN_ROUNDS = 4  # weeks that may fail on the days before all the days are asked for at once
NEAR_ITEMS = 14  # of every day, where no good week could be put on the days
ANY_LIMIT = 6.0  # deterministic time for a first plan of all items
NEVER = 10**9


@dataclass(frozen=True)
class Effort:
    """How long to search, in deterministic units (about a second each), and what gap needs no more proof.

    week, whole : limits of one week and one whole plan; proof : limit of each question for the bound
    rounds : most sets of items that are solved whole; enough : points of gap that are fine
    """

    week: float = 2.0
    whole: float = 2.0
    proof: float = 6.0
    rounds: int = 12
    enough: int = 0
    tie: float = 2.0


@dataclass(frozen=True)
class Solution:
    """The best plan found, its points, the proven bound, and what was spent.

    is_makeshift : the search found nothing in its time, and the plan was made without it
    """

    plan: Plan
    points: int
    bound: int
    spent: float
    rounds: int
    ties_settled: bool = False
    fuse_blown: bool = False
    order: tuple[int, ...] = ()
    is_makeshift: bool = False

    @property
    def is_optimal(self) -> bool:
        """True when no plan has fewer points."""
        return self.bound >= self.points


@dataclass
class Search:
    """The state of one search."""

    problem: Problem
    effort: Effort
    seed: int = 0
    best: Plan | None = None
    points: int = NEVER
    bound: int = 0
    spent: float = 0.0
    rounds: int = 0
    fuse_blown: bool = False
    solved: list[frozenset[int]] = field(default_factory=list)

    def note(self, ran: Ran) -> Ran:
        """Keeps account of a run."""
        self.spent += ran.spent
        self.fuse_blown = self.fuse_blown or ran.fuse_blown
        return ran


def solve_block(
    problem: Problem,
    effort: Effort | None = None,
    seed: int = 0,
    ties: bool = True,
    start: Solution | None = None,
) -> Solution | None:
    """The best plan of a problem with its bound, or None where no plan keeps its limits or none was found.

    start : the solution of a problem with the same items, whose ranks are taken over, and its plan where it still fits
    """
    if days_without_room(problem):
        return None
    search = Search(problem, effort or Effort(), seed)
    order = list(start.order) if start is not None else ranked(week_rows(problem))
    if start is not None:
        if not broken_limits(problem, start.plan):
            search.best, search.points = start.plan, total_points(problem, start.plan)
        solve_whole(search, start.plan.chosen())
    needed = [item for item in order if problem.items[item].times[0] > 0]
    for width in WIDTHS if search.effort.proof > 0 else WIDTHS[:1]:
        if (width < len(order) and search.best is None) or (width == WIDTHS[-1] and width < len(order)):
            try_week(search, [*needed, *order[:width]])
    if search.effort.proof > 0 or search.best is None:
        prove(search, order)
    if search.best is None and find_any(search, order, needed) and search.effort.proof > 0:
        search.rounds = 0
        prove(search, order)
    if search.best is None:
        return None
    settled = ties and search.bound >= search.points and settle_ties(search)
    return Solution(
        search.best,
        search.points,
        min(search.bound, search.points),
        round(search.spent, 3),
        search.rounds,
        settled,
        search.fuse_blown,
        tuple(order),
    )


def days_without_room(problem: Problem) -> list[int]:
    """Days that hold not even the shortest item or pair: arithmetic tells what a solver needs long to find out."""
    if not problem.entries[0]:
        return []
    found = []
    for day, room in enumerate(problem.seconds):
        alone, paired = NEVER, NEVER
        for index, item in enumerate(problem.items):
            if day in item.days:
                sets = min(sets_range(problem, index, problem.hardest))
                alone = min(alone, sets * item.set_s + item.once_s)
                paired = min(paired, sets * (item.set_s - item.saved_s) + item.once_s)
        if min(alone, 2 * paired) > room:
            found.append(day)
    return found


def chosen_items(rows: Rows, values: Mapping[str, int]) -> frozenset[int]:
    """Items that a solved week uses."""
    return frozenset(item for item in rows.items if values[f"x_{item}"])


def try_week(search: Search, items: Iterable[int]) -> None:
    """A good week from some items, and the whole plan of what it uses."""
    rows = week_rows(search.problem, items)
    cutoff = None if search.best is None else search.points - 1
    ran = search.note(run(rows, search.effort.week, cutoff, seed=search.seed))
    if not ran.is_empty:
        solve_whole(search, chosen_items(rows, ran.values))


def find_any(search: Search, order: Sequence[int], needed: Sequence[int]) -> bool:
    """A plan where no good week could be put on the days; False where there is none, or none was found in time.

    First the most promising items of every day, then all items with the first plan taken, however long the effort is:
    a block with a gap is worth more than none.
    """
    problem = search.problem
    near = {item for day in range(len(problem.seconds)) for item in open_on(problem, order, day)[:NEAR_ITEMS]}
    solve_whole(search, frozenset({*needed, *near}))
    if search.best is None:
        everything = frozenset(range(len(problem.items)))
        solve_whole(search, everything, limit=max(ANY_LIMIT, search.effort.whole), is_first_enough=True)
    return search.best is not None


def open_on(problem: Problem, order: Sequence[int], day: int) -> list[int]:
    """The items that may stand on a day, in their order."""
    return [item for item in order if day in problem.items[item].days]


def solve_whole(
    search: Search, items: frozenset[int], limit: float | None = None, is_first_enough: bool = False
) -> bool:
    """The best whole plan of some items, kept when it is better; True when it is proven for these items.

    limit : in the place of the effort's; is_first_enough : any plan will do, and proves nothing of these items
    """
    search.rounds += 1
    rows = whole_rows(search.problem, items)
    limit = search.effort.whole if limit is None else limit
    for _ in range(CUTS_FOR_PAIRS):
        cutoff = None if search.best is None else search.points - 1
        ran = search.note(run(rows, limit, cutoff, seed=search.seed, is_first_enough=is_first_enough))
        if ran.is_empty:
            if ran.is_closed:
                search.solved.append(items)
            return ran.is_closed
        plan, stuck = join_pairs(search.problem, plan_from(rows, ran.values))
        if plan is not None:
            made = total_points(search.problem, plan)
            if made < search.points:
                search.best, search.points = plan, made
            if ran.is_closed:
                search.solved.append(items)
            return ran.is_closed
        forbid(rows, stuck, ran.values)
    return False


def forbid(rows: Rows, stuck: Sequence[int], values: Mapping[str, int]) -> None:
    """The items of a day whose pairs cannot be joined may not all be paired on one day."""
    for day in range(len(rows.problem.seconds)):
        paired = [item for item in stuck if values.get(f"a_{item}_{day}")]
        if paired and all(values.get(f"y_{item}_{day}") for item in stuck):
            for other in range(len(rows.problem.seconds)):
                names = [f"a_{item}_{other}" for item in paired]
                if all(name in rows.variables for name in names):
                    rows.model.add(sum(rows.variables[name] for name in names) <= len(names) - 1)


def prove(search: Search, order: Sequence[int]) -> None:
    """Raises the bound: asks the week for less than the best plan until it proves that there is nothing."""
    while search.rounds < (min(search.effort.rounds, VAIN_ROUNDS) if search.best is None else search.effort.rounds):
        rows = uncut_rows(search)
        cutoff = None if search.best is None else search.points - 1
        limit = search.effort.proof / 2 or search.effort.week
        ran = search.note(run(rows, limit, cutoff, seed=search.seed, is_first_enough=cutoff is not None))
        raise_bound(search, ran, cutoff)
        if ran.is_empty:
            break
        items = chosen_items(rows, ran.values)
        spare = [item for item in order if item not in items][:SPARE_ITEMS]
        if not solve_whole(search, items | frozenset(spare)) and not solve_whole(search, items):
            break
    if search.best is None or search.effort.proof <= 0:
        return
    for slack in dict.fromkeys((search.effort.enough, 0)):
        if search.bound >= search.points - search.effort.enough:
            return
        cutoff = search.points - 1 - slack
        raise_bound(search, search.note(run(uncut_rows(search), search.effort.proof, cutoff, proving=True)), cutoff)


def uncut_rows(search: Search) -> Rows:
    """The week over all items, outside everything that is solved whole."""
    rows = week_rows(search.problem)
    for items in search.solved:
        rows.model.add(sum(rows.variables[f"x_{item}"] for item in rows.items if item not in items) >= 1)
    return rows


def raise_bound(search: Search, ran: Ran, cutoff: int | None) -> None:
    """Keeps what a run over everything proved: no plan has fewer points."""
    floor = NEVER if cutoff is None else cutoff + 1
    reached = floor if ran.is_closed and ran.is_empty else min(floor, capped(ran.bound))
    search.bound = max(search.bound, min(reached, search.points))


def settle_ties(search: Search) -> bool:
    """Takes the first of all equally good plans in a fixed order; False where the limit came first."""
    problem, effort = search.problem, search.effort
    passed: list[frozenset[int]] = []
    for _ in range(effort.rounds):
        rows = week_rows(problem)
        for items in passed:
            off = sum(rows.variables[f"x_{item}"] for item in rows.items if item not in items)
            missing = sum(1 - rows.variables[f"x_{item}"] for item in sorted(items))
            rows.model.add(off + missing >= 1)
        objective = [(f"x_{item}", weight_of(item)) for item in rows.items]
        ran = search.note(run(rows, effort.tie, search.points, seed=search.seed, objective=objective))
        if ran.is_empty or not ran.is_closed:
            return False
        items = chosen_items(rows, ran.values)
        found = first_whole(search, items)
        if found is None:
            return False
        plan, is_there = found
        if is_there and plan is not None:
            search.best = plan
            return True
        passed.append(items)
    return False


def first_whole(search: Search, items: frozenset[int]) -> tuple[Plan | None, bool] | None:
    """The first plan in the fixed order that uses exactly these items at the best points; None where undecided."""
    problem = search.problem
    rows = whole_rows(problem, items)
    for item in sorted(items):
        rows.model.add(sum(rows.variables[f"y_{item}_{day}"] for day in problem.items[item].days) >= 1)
    objective = [
        (name, 40 * (weight_of(number) % 97 + 1) if name[0] == "y" else 1 + number % 7)
        for number, name in enumerate(rows.variables)
        if name[0] in "yts"
    ]
    for _ in range(CUTS_FOR_PAIRS):
        ran = search.note(run(rows, search.effort.tie, search.points, seed=search.seed, objective=objective))
        if not ran.is_closed:
            return None
        if ran.is_empty:
            return None, False
        plan, stuck = join_pairs(problem, plan_from(rows, ran.values))
        if plan is not None:
            return (plan, True) if total_points(problem, plan) <= search.points else None
        forbid(rows, stuck, ran.values)
    return None


def weight_of(number: int) -> int:
    """A fixed weight that tells ties apart: scattered, so that two different sums are hardly ever equal."""
    return (number * 40503 + 12345) % 65521 + 1


def lowest_bound(problem: Problem) -> float:
    """Value of the linear relaxation of the week: a bound that needs no search."""
    found = relaxation(week_rows(problem))
    return float("inf") if found is None else found[0]
