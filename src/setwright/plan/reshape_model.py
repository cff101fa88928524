"""The numbers of a re-plan, and its solver: the fewest entries that have to change, with proof.

A problem here knows no trainee and no gate: items with options, times, room and points. Three aims in turn, each kept
while the next is served: no lift the block is built on leaves it needlessly; as few items change as can be; as little
worth is lost. Times are those of the true time model, supersets and change-overs included, and never more, so a bound
holds for the true sessions too; what they then find too long all the same is cut off, and the search goes on.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise, product
from typing import Any, Literal

from setwright.plan.solver import Solved, solve

Kind = Literal["stay", "move", "exchange", "out"]
DayWeek = tuple[str, int]
WORTH_SHARE, TIE_SHARE = 0.5, 0.25  # of the solver time: what is lost counts less than how much is changed
SHORT_POINTS = 4  # a missing half set of a wanted group in one week, as in designing a block
EXACT_ROUNDS, MOST_ROUNDS = 10, 25
MORE_TIME = 6.0  # times the limit, where no decision was found in it


@dataclass(frozen=True)
class Option:
    """One thing that can become of an item.

    day : where it stands then; empty for ``out``
    is_change : whether the entry changes even where all its sets stay
    points : what it costs, all weeks together
    tenths : by week, tenths of a second of 1, 2, ... working sets on its own, whole change-over and ramp sets included
    half_sets : half sets that a working set gives to each row of the demand
    implement : what it is done with first; the change-over from an entry with the same is shorter
    wait : by week, tenths of a second between an entry of the same exercise and this one, in place of a change-over
    less : how much less of a bout of conditioning, 0 where it is whole; the same for all its movements
    """

    kind: Kind
    day: str
    exercise: str
    is_change: bool
    points: int = 0
    tenths: Mapping[int, tuple[int, ...]] = field(default_factory=dict)
    half_sets: Mapping[str, int] = field(default_factory=dict)
    implement: frozenset[str] = frozenset()
    wait: Mapping[int, int] = field(default_factory=dict)
    less: int = 0


@dataclass(frozen=True)
class Item:
    """An entry of the week template: one exercise in one part of one day, over the weeks that may change.

    sets, least : by week, working sets planned and the fewest that may be left of them
    set_points : what a set less costs; is_pillar : whether the block is built on it
    """

    name: str
    day: str
    is_warm_up: bool
    sets: Mapping[int, int]
    least: Mapping[int, int]
    options: tuple[Option, ...]
    set_points: int = 2
    is_pillar: bool = False
    is_strength: bool = True

    @property
    def must_change(self) -> bool:
        """True where nothing leaves it as it is."""
        return all(option.is_change for option in self.options)


Unit = tuple[tuple[int, ...], bool]  # items of one superset, or one item; whether they come from another day
State = tuple[int, int] | None  # (option, working sets), or None where a member is not in its superset


@dataclass(frozen=True)
class Superset:
    """Items done in turn. ``saved``: by week and states of the members, tenths less than done one by one."""

    day: str
    members: tuple[int, ...]
    saved: Mapping[int, Mapping[tuple[State, ...], int]]


@dataclass(frozen=True)
class Problem:
    """Everything that one re-plan has to decide.

    room : tenths of a second of each session that stays, or None where nothing limits it
    order : for each day, its units in the order done: the items of a superset, or one; True where they come as guests
    change_over, shorter : tenths of a whole change-over, and how much less from an entry with the same implement
    no_first : tenths that the first entry of a day without a warm-up saves
    wanted : half sets a week wanted of each row of the demand, at most what the block held before
    most_items : strength entries a day may hold; least_drills : warm-up items a day keeps
    together : items of one bout each, of which all are out or none, and all get the same less or the same day
    """

    items: tuple[Item, ...]
    weeks: tuple[int, ...]
    room: Mapping[DayWeek, int | None]
    order: Mapping[str, tuple[Unit, ...]] = field(default_factory=dict)
    change_over: int = 750
    shorter: int = 350
    no_first: Mapping[str, int] = field(default_factory=dict)
    supersets: tuple[Superset, ...] = ()
    wanted: Mapping[tuple[int, str], int] = field(default_factory=dict)
    most_items: Mapping[str, int] = field(default_factory=dict)
    least_drills: Mapping[str, int] = field(default_factory=dict)
    together: tuple[tuple[int, ...], ...] = ()


@dataclass(frozen=True)
class Decision:
    """For each item the option taken, and by week the working sets left (0 where it is out)."""

    options: tuple[int, ...]
    sets: tuple[Mapping[int, int], ...]


@dataclass(frozen=True)
class Follow:
    """One entry that leads its unit right after another that does, or first of all on its day (``before`` None)."""

    day: str
    week: int
    before: tuple[int, int] | None
    after: tuple[int, int]

    @property
    def name(self) -> str:
        """The name of its variable."""
        return f"f_{self.day}_{self.week}_{self.before}_{self.after}"


@dataclass(frozen=True)
class Cut:
    """States that together are too long for a session: at least one of them has to be less."""

    at: DayWeek
    states: tuple[tuple[int, int, int], ...]  # item, option, sets


@dataclass(frozen=True)
class Reshaped:
    """What came out. ``decision`` is None where nothing fits.

    changed, bound : items that change, and the fewest that have to with the lifts kept that can be
    bound_alone : the fewest that have to whatever leaves the block; it counts for the gap
    lifts_lost : lifts the block is built on that leave it or are exchanged
    is_open : nothing was found, and nothing proven impossible
    """

    decision: Decision | None
    changed: int = 0
    bound: int = 0
    bound_alone: int = 0
    lifts_lost: int = 0
    points: int = 0
    is_best: bool = False
    rounds: int = 0
    is_open: bool = False
    fuse_blown: bool = False


def is_changed(item: Item, option: int, sets: Mapping[int, int]) -> bool:
    """Whether a decision changes an item."""
    taken = item.options[option]
    if taken.kind == "out":
        return taken.is_change
    return taken.is_change or any(sets[week] != item.sets[week] for week in item.sets)


def items_changed(problem: Problem, decision: Decision) -> int:
    """How many items a decision changes."""
    rows = zip(problem.items, decision.options, decision.sets, strict=True)
    return sum(is_changed(item, option, sets) for item, option, sets in rows)


def state_of(item: Item, option: int, sets: Mapping[int, int], day: str, week: int) -> State:
    """The state of a member of a superset on its day."""
    taken = item.options[option]
    if taken.day != day or taken.kind == "move" or not sets.get(week):
        return None
    return option, sets[week]


def tenths_in(problem: Problem, decision: Decision, day: str, week: int) -> int:
    """Tenths of a second of a session as the model reckons them: never more than they are."""
    total = 0
    for item, option, sets in zip(problem.items, decision.options, decision.sets, strict=True):
        taken, count = item.options[option], sets.get(week, 0)
        if taken.day == day and count:
            total += taken.tenths[week][count - 1]
    for one in problem.supersets:
        if one.day == day and week in one.saved:
            total -= one.saved[week].get(states_now(problem, one, decision, week), 0)
    leads = leads_of(problem, decision, day, week)
    for before, after in pairwise(leads):
        total -= saved_by_change(problem, before, after, week)
    return total - (problem.no_first.get(day, 0) if leads else 0)


def saved_by_change(problem: Problem, before: tuple[int, int], after: tuple[int, int], week: int) -> int:
    """Tenths that a change-over is shorter than a whole one; below 0 where the same exercise waits for its rest."""
    if problem.items[after[0]].is_warm_up:
        return 0
    one, other = (problem.items[i].options[o] for i, o in (before, after))
    if one.exercise == other.exercise and week in other.wait:
        return problem.change_over - other.wait[week]
    return problem.shorter if one.implement & other.implement else 0


def states_now(problem: Problem, one: Superset, decision: Decision, week: int) -> tuple[State, ...]:
    """How the members of a superset stand in a week."""
    return tuple(state_of(problem.items[i], decision.options[i], decision.sets[i], one.day, week) for i in one.members)


def leads_of(problem: Problem, decision: Decision, day: str, week: int) -> list[tuple[int, int]]:
    """(item, option) of the first entry of each unit that stands on a day."""
    found = []
    for members, are_guests in problem.order.get(day, ()):
        for i in members:
            option = problem.items[i].options[decision.options[i]]
            if option.day == day and (option.kind == "move") == are_guests and decision.sets[i].get(week):
                found.append((i, decision.options[i]))
                break
    return found


class Model:
    """The rows of a problem for CP-SAT: choices ``x``, sets ``g``, changed, states of supersets, missing half sets."""

    def __init__(self, problem: Problem) -> None:
        from ortools.sat.python import cp_model

        self.problem = problem
        self.model = cp_model.CpModel()
        self.variables: dict[str, Any] = {}
        self.x: dict[tuple[int, int], Any] = {}
        self.g: dict[tuple[int, int, int, int], Any] = {}
        self.changed: list[Any] = []
        self.states: list[tuple[int, int, tuple[State, ...], Any]] = []
        self.short: dict[tuple[int, str], Any] = {}
        self.lost: dict[str, Any] = {}
        self.follows: list[Follow] = []
        self.add_items()
        saved = self.add_supersets()
        self.add_change_overs(saved)
        self.add_sessions(saved)
        self.add_demand()
        self.add_pillars()
        self.add_bouts()

    def bool_var(self, name: str) -> Any:
        """A yes/no variable, kept by name."""
        self.variables[name] = self.model.new_bool_var(name)
        return self.variables[name]

    def at_least(self, item: int, option: int, week: int, sets: int) -> Any:
        """1 where an option is taken with that many sets or more in a week."""
        if sets <= self.problem.items[item].least[week]:
            return self.x[item, option]
        return self.g[item, option, week, sets]

    def exactly(self, item: int, option: int, week: int, sets: int) -> Any:
        """1 where an option is taken with exactly so many sets."""
        here = self.at_least(item, option, week, sets)
        if sets == self.problem.items[item].sets[week]:
            return here
        return here - self.at_least(item, option, week, sets + 1)

    def sets_of(self, item: int, option: int, week: int) -> Any:
        """Working sets of an option in a week."""
        one = self.problem.items[item]
        extra = [self.g[item, option, week, n] for n in range(one.least[week] + 1, one.sets[week] + 1)]
        return one.least[week] * self.x[item, option] + sum(extra)

    def add_items(self) -> None:
        """Each item takes one option; sets fall one by one; what differs from before counts as changed."""
        for i, item in enumerate(self.problem.items):
            for o in range(len(item.options)):
                self.x[i, o] = self.bool_var(f"x_{i}_{o}")
            self.model.add(sum(self.x[i, o] for o in range(len(item.options))) == 1)
            changed = self.bool_var(f"changed_{i}")
            self.changed.append(changed)
            if item.must_change:
                self.model.add(changed == 1)
            for o, option in enumerate(item.options):
                if option.is_change:
                    self.model.add(changed >= self.x[i, o])
                if option.kind == "out":
                    continue
                for week, most in item.sets.items():
                    for n in range(item.least[week] + 1, most + 1):
                        self.g[i, o, week, n] = self.bool_var(f"g_{i}_{o}_{week}_{n}")
                        self.model.add(self.g[i, o, week, n] <= self.at_least(i, o, week, n - 1))
                    if not option.is_change and most > item.least[week]:
                        self.model.add(changed >= self.x[i, o] - self.g[i, o, week, most])

    def add_supersets(self) -> dict[DayWeek, list[Any]]:
        """The seconds that supersets save: one variable for each way its members can stand."""
        saved: dict[DayWeek, list[Any]] = {}
        for s, one in enumerate(self.problem.supersets):
            for week, table in one.saved.items():
                possible = [self.possible(index, one.day, week) for index in one.members]
                picks = {}
                for c, states in enumerate(product(*possible)):
                    picks[states] = self.bool_var(f"p_{s}_{week}_{c}")
                    self.states.append((s, week, states, picks[states]))
                    if table.get(states):
                        saved.setdefault((one.day, week), []).append(table[states] * picks[states])
                for place, index in enumerate(one.members):
                    for state in possible[place]:
                        here = sum(var for states, var in picks.items() if states[place] == state)
                        self.model.add(here == self.in_state(index, state, one.day, week))
        return saved

    def possible(self, index: int, day: str, week: int) -> list[State]:
        """Every state of a member in a week."""
        item = self.problem.items[index]
        found: list[State] = []
        absent = week not in item.sets
        for o, option in enumerate(item.options):
            if option.day != day or option.kind == "move":
                absent = True
            elif week in item.sets:
                found += [(o, n) for n in range(item.least[week], item.sets[week] + 1)]
        return [*found, None] if absent else found

    def in_state(self, index: int, state: State, day: str, week: int) -> Any:
        """1 where a member is in a state."""
        if state is not None:
            return self.exactly(index, state[0], week, state[1])
        item = self.problem.items[index]
        if week not in item.sets:
            return 1
        here = [self.x[index, o] for o, one in enumerate(item.options) if one.day == day and one.kind != "move"]
        return 1 - sum(here)

    def add_change_overs(self, saved: dict[DayWeek, list[Any]]) -> None:
        """What change-overs save: one variable for each pair with the same implement that may follow one another."""
        for (day, week), room in self.problem.room.items():
            if room is None:
                continue
            units = [self.standing(unit, day, week) for unit in self.problem.order.get(day, ())]
            for later, unit in enumerate(units):
                for i, o, blocking in unit:
                    if self.problem.items[i].is_warm_up:
                        continue
                    for earlier in range(later):
                        between = [self.x[k, p] for one in units[earlier + 1 : later] for k, p, _ in one]
                        for k, p, barring in units[earlier]:
                            less = saved_by_change(self.problem, (k, p), (i, o), week)
                            if less:
                                lead = Follow(day, week, (k, p), (i, o))
                                both = [self.x[k, p], self.x[i, o]]
                                follows = self.follow(lead, both, [*between, *blocking, *barring], less < 0)
                                saved.setdefault((day, week), []).append(less * follows)
                    first = self.problem.no_first.get(day, 0)
                    if first:
                        before = [self.x[k, p] for one in units[:later] for k, p, _ in one]
                        start = Follow(day, week, None, (i, o))
                        saved.setdefault((day, week), []).append(
                            first * self.follow(start, [self.x[i, o]], [*before, *blocking])
                        )

    def standing(self, unit: Unit, day: str, week: int) -> list[tuple[int, int, list[Any]]]:
        """(item, option, choices that would stand before it in its unit) of all that may lead a unit in a week."""
        members, are_guests = unit
        found: list[tuple[int, int, list[Any]]] = []
        before: list[Any] = []
        for i in members:
            item = self.problem.items[i]
            if week not in item.sets:
                continue
            here = [o for o, one in enumerate(item.options) if one.day == day and (one.kind == "move") == are_guests]
            found += [(i, o, list(before)) for o in here]
            before += [self.x[i, o] for o in here]
        return found

    def follow(self, lead: Follow, needed: Sequence[Any], barred: Sequence[Any], is_longer: bool = False) -> Any:
        """1 at most where all needed choices are taken and none of the barred ones; the search wants it to be 1.

        is_longer : it takes time instead of saving it, so it has to be 1 there
        """
        var = self.bool_var(lead.name)
        self.follows.append(lead)
        for choice in needed:
            self.model.add(var <= choice)
        others = list(dict.fromkeys(barred))
        for choice in others:
            self.model.add(var + choice <= 1)
        if is_longer:
            self.model.add(var >= sum(needed) - (len(needed) - 1) - sum(others))
        return var

    def add_sessions(self, saved: Mapping[DayWeek, Sequence[Any]]) -> None:
        """Minutes, no work twice on a day, no crowd, no empty session, a warm-up that is still one."""
        for (day, week), room in self.problem.room.items():
            spent, there = [], []
            for i, item in enumerate(self.problem.items):
                if week not in item.sets:
                    continue
                for o, option in enumerate(item.options):
                    if option.day != day:
                        continue
                    times = option.tenths[week]
                    least = item.least[week]
                    spent.append(times[least - 1] * self.x[i, o])
                    spent += [
                        (times[n - 1] - times[n - 2]) * self.g[i, o, week, n]
                        for n in range(least + 1, item.sets[week] + 1)
                    ]
                    if not item.is_warm_up:
                        there.append(self.x[i, o])
            if room is not None:
                self.model.add(sum(spent) - sum(saved.get((day, week), ())) <= room)
            if there:
                self.model.add(sum(there) >= 1)
        for day in dict.fromkeys(day for day, _ in self.problem.room):
            self.add_day(day)

    def add_day(self, day: str) -> None:
        """The rows of a day that are the same in every week. A drill of the warm-up keeps no work away."""
        here: dict[tuple[str, bool], list[Any]] = {}
        usual: dict[tuple[str, bool], int] = {}
        counted, drills = [], []
        for i, item in enumerate(self.problem.items):
            if item.day == day:
                own = (item.name, item.is_warm_up)
                usual[own] = usual.get(own, 0) + 1
            for o, option in enumerate(item.options):
                if option.day != day:
                    continue
                here.setdefault((option.exercise, item.is_warm_up), []).append(self.x[i, o])
                if item.is_warm_up:
                    drills.append(self.x[i, o])
                elif item.is_strength:
                    counted.append(self.x[i, o])
        for exercise, choices in here.items():
            if len(choices) > max(1, usual.get(exercise, 0)):
                self.model.add(sum(choices) <= max(1, usual.get(exercise, 0)))
        if day in self.problem.most_items:
            self.model.add(sum(counted) <= self.problem.most_items[day])
        if self.problem.least_drills.get(day):
            self.model.add(sum(drills) >= self.problem.least_drills[day])

    def add_demand(self) -> None:
        """Half sets of wanted groups that a week lacks against what it held."""
        for (week, row), wanted in self.problem.wanted.items():
            given = [
                option.half_sets[row] * self.sets_of(i, o, week)
                for i, item in enumerate(self.problem.items)
                for o, option in enumerate(item.options)
                if week in item.sets and option.kind != "out" and option.half_sets.get(row)
            ]
            name = f"short_{week}_{row}"
            self.short[week, row] = self.variables[name] = self.model.new_int_var(0, max(0, wanted), name)
            self.model.add(self.short[week, row] >= wanted - sum(given))

    def add_pillars(self) -> None:
        """Entries the block is built on: gone from the week, and gone without anything in their stead."""
        for i, item in enumerate(self.problem.items):
            if not item.is_pillar or all(one.kind in ("stay", "move") for one in item.options):
                continue
            own = [self.x[i, o] for o, one in enumerate(item.options) if one.kind in ("stay", "move")]
            out = [self.x[i, o] for o, one in enumerate(item.options) if one.kind == "out"]
            for word, is_so in (("gone", 1 - sum(own)), ("bare", sum(out))):
                name = f"{word}_{i}"
                self.lost[name] = self.bool_var(name)
                self.model.add(self.lost[name] >= is_so)

    def add_bouts(self) -> None:
        """The movements of a bout leave together, move together, and get less together."""
        for members in self.problem.together:
            ways = {way_out(one) for i in members for one in self.problem.items[i].options} - {""}
            for a, b in pairwise(members):
                for way in sorted(ways):
                    self.model.add(self.gone_by(a, way) == self.gone_by(b, way))

    def gone_by(self, item: int, way: str) -> Any:
        """1 where an item is out, moves to that day, or gets that much less."""
        return sum(self.x[item, o] for o, one in enumerate(self.problem.items[item].options) if way_out(one) == way)

    def add_cut(self, cut: Cut) -> None:
        """One of the states has to be less."""
        week = cut.at[1]
        self.model.add(sum(self.at_least(i, o, week, n) for i, o, n in cut.states) <= len(cut.states) - 1)

    def points(self) -> Any:
        """What the decision loses of what was wanted."""
        terms: list[Any] = [SHORT_POINTS * one for one in self.short.values()]
        for i, item in enumerate(self.problem.items):
            for o, option in enumerate(item.options):
                terms.append(option.points * self.x[i, o])
                if option.kind == "out":
                    continue
                for week, most in item.sets.items():
                    if most > item.least[week]:
                        terms.append(item.set_points * (most * self.x[i, o] - self.sets_of(i, o, week)))
        return sum(terms)

    def ties(self) -> Any:
        """A total order of equally good decisions: earlier options, and sets kept, of earlier items first."""
        terms = [(1 + o) * (3 + 2 * i) * var for (i, o), var in self.x.items()]
        return sum(terms) - sum((1 + (7 * i + 3 * week + n) % 13) * var for (i, _, week, n), var in self.g.items())

    def decision(self, values: Mapping[str, int]) -> Decision:
        """The decision in the values of a solution."""
        options, sets = [], []
        for i, item in enumerate(self.problem.items):
            taken = next(o for o in range(len(item.options)) if values[f"x_{i}_{o}"])
            options.append(taken)
            left = {}
            for week, most in item.sets.items():
                more = range(item.least[week] + 1, most + 1)
                is_out = item.options[taken].kind == "out"
                left[week] = 0 if is_out else item.least[week] + sum(values[f"g_{i}_{taken}_{week}_{n}"] for n in more)
            sets.append(left)
        return Decision(tuple(options), tuple(sets))

    def values(self, decision: Decision) -> dict[str, int]:
        """Every variable of the model as a decision sets it: a complete hint."""
        found: dict[str, int] = {}
        for i, (item, taken, sets) in enumerate(zip(self.problem.items, decision.options, decision.sets, strict=True)):
            found |= {f"x_{i}_{o}": int(o == taken) for o in range(len(item.options))}
            found[f"changed_{i}"] = int(is_changed(item, taken, sets))
            kind = item.options[taken].kind
            if f"gone_{i}" in self.lost:
                found[f"gone_{i}"] = int(kind not in ("stay", "move"))
                found[f"bare_{i}"] = int(kind == "out")
        for i, o, week, n in self.g:
            found[f"g_{i}_{o}_{week}_{n}"] = int(decision.options[i] == o and decision.sets[i][week] >= n)
        for s, week, states, var in self.states:
            found[var.name] = int(states_now(self.problem, self.problem.supersets[s], decision, week) == states)
        for one in self.follows:
            leads = leads_of(self.problem, decision, one.day, one.week)
            found[one.name] = int((one.before, one.after) in pairwise([None, *leads]))
        for (week, row), wanted in self.problem.wanted.items():
            given = sum(
                item.options[o].half_sets.get(row, 0) * sets.get(week, 0)
                for item, o, sets in zip(self.problem.items, decision.options, decision.sets, strict=True)
            )
            found[f"short_{week}_{row}"] = max(0, wanted - given)
        return found

    def minimise(self, objective: Any, hint: Mapping[str, int], limit: float) -> Solved:
        """One search, from a complete hint where there is one."""
        self.model.clear_hints()
        for name, value in hint.items():
            self.model.add_hint(self.variables[name], value)
        return solve(self.model, self.variables, objective, (), limit)


def way_out(option: Option) -> str:
    """What the movements of a bout share: out, a day that it moves to, how much less; empty where it stays whole."""
    if option.kind in ("out", "move"):
        return f"{option.kind} {option.day}"
    return f"less {option.less}" if option.less else ""


def first_guess(problem: Problem) -> Decision:
    """The repaired start: all stays that can, the cheapest way for the rest, then out or fewer sets until it fits."""
    usual: dict[tuple[str, str, bool], int] = {}
    for item in problem.items:
        own = (item.day, item.name, item.is_warm_up)
        usual[own] = usual.get(own, 0) + 1
    taken: dict[tuple[str, str, bool], int] = {}
    options, sets = [], []
    for item in problem.items:
        places = [(one.day, one.exercise, item.is_warm_up) for one in item.options]
        free = [o for o, at in enumerate(places) if not at[0] or taken.get(at, 0) < max(1, usual.get(at, 0))]
        ways = free or range(len(item.options))
        best = min(
            ways, key=lambda o: (item.options[o].is_change, item.options[o].kind == "move", item.options[o].points)
        )
        at = places[best]
        taken[at] = taken.get(at, 0) + 1
        options.append(best)
        sets.append({week: 0 if item.options[best].kind == "out" else most for week, most in item.sets.items()})
    guess = Decision(tuple(options), tuple(sets))
    for (day, week), room in problem.room.items():
        while room is not None and tenths_in(problem, guess, day, week) > room:
            lighter = lightened(problem, guess, day, week)
            if lighter is None:
                break
            guess = lighter
    return guess


def lightened(problem: Problem, guess: Decision, day: str, week: int) -> Decision | None:
    """The guess with less on a day, or None where nothing goes: the longest entry out that may leave it, else a set
    less, else a lift the block is built on; one entry always stays.
    """
    best: tuple[tuple[int, int], int, int | None] | None = None
    here = [
        i
        for i, item in enumerate(problem.items)
        if item.options[guess.options[i]].day == day and guess.sets[i].get(week) and not item.is_warm_up
    ]
    for i in here:
        item, count = problem.items[i], guess.sets[i][week]
        out = next((o for o, one in enumerate(item.options) if one.kind == "out"), None) if len(here) > 1 else None
        may_fall = count > item.least[week]
        if out is None and not may_fall:
            continue
        rank = 0 if out is None or item.is_pillar else 2
        if rank == 0 and may_fall:
            rank, out = 1, None
        key = (rank, item.options[guess.options[i]].tenths[week][count - 1])
        if best is None or key > best[0]:
            best = (key, i, out)
    if best is None:
        return None
    _, i, out = best
    options, sets = list(guess.options), list(guess.sets)
    if out is not None:
        for one in next((members for members in problem.together if i in members), (i,)):
            options[one] = next(o for o, way in enumerate(problem.items[one].options) if way.kind == "out")
            sets[one] = dict.fromkeys(problem.items[one].sets, 0)
    else:
        sets[i] = {**sets[i], week: sets[i][week] - 1}
    return Decision(tuple(options), tuple(sets))


def cuts_for(problem: Problem, decision: Decision, too_long: Iterable[DayWeek]) -> list[Cut]:
    """For each session that is too long in truth, the states that make it so.

    Valid because nothing added to a session makes it shorter, and no set more does.
    """
    cuts = []
    for day, week in too_long:
        states = tuple(
            (i, o, sets[week])
            for i, (item, o, sets) in enumerate(zip(problem.items, decision.options, decision.sets, strict=True))
            if item.options[o].day == day and sets.get(week)
        )
        cuts.append(Cut((day, week), states))
    return cuts


def reshape(
    problem: Problem,
    too_long: Callable[[Decision], Mapping[DayWeek, int]],
    limit: float = 2.0,
    with_hint: bool = True,
) -> Reshaped:
    """The decision that changes the fewest items, and among those the one that loses least.

    too_long : sessions of a decision that break their minutes by the true time model, with the tenths beyond them
    limit : deterministic solver time of each search
    Where cutting off what is too long takes too many rounds, those sessions get less room; bounds stay as proven.
    """
    cuts: list[Cut] = []
    hint = first_guess(problem) if with_hint else None
    tight, proven = problem, Reshaped(None)
    for number in range(1, MOST_ROUNDS + 1):
        found = one_round(tight, cuts, hint, limit)
        if found.is_open:
            found = one_round(tight, cuts, hint, MORE_TIME * limit)
        if number <= EXACT_ROUNDS:
            proven = found
        if found.decision is None:
            return replace(found, is_open=found.is_open or number > EXACT_ROUNDS, rounds=number)
        over = too_long(found.decision)
        if not over:
            kept = {"rounds": number, "bound": proven.bound, "bound_alone": proven.bound_alone}
            return Reshaped(**{**found.__dict__, **kept})
        if number < EXACT_ROUNDS:
            cuts += cuts_for(problem, found.decision, over)
        else:
            room = {at: each if each is None else each - over.get(at, 0) for at, each in tight.room.items()}
            tight = replace(tight, room=room)
        hint = found.decision if with_hint else None
    return Reshaped(None, is_open=True, rounds=MOST_ROUNDS)


def one_round(problem: Problem, cuts: Sequence[Cut], guess: Decision | None, limit: float) -> Reshaped:
    """All searches for one set of cuts: lifts kept, items changed, points lost, ties."""
    rows = Model(problem)
    for cut in cuts:
        rows.add_cut(cut)
    hint = rows.values(guess) if guess is not None else {}
    is_best, lifts = True, 0
    count = sum(rows.changed)
    bound_alone: int | None = None
    if rows.lost:
        lost = sum(rows.lost.values())
        solved = rows.minimise(lost, hint, limit)
        if not solved.values:
            return Reshaped(None, is_open=not solved.is_infeasible, fuse_blown=solved.fuse_blown)
        alone = rows.minimise(count, hint, limit)
        bound_alone = rounded_up(alone.bound) if alone.values else 0
        lifts, is_best, hint = round(solved.objective), solved.is_optimal, dict(solved.values)
        rows.model.add(lost <= lifts)
    solved = rows.minimise(count, hint, limit)
    if not solved.values:
        return Reshaped(None, is_open=not solved.is_infeasible, fuse_blown=solved.fuse_blown)
    changed, bound = round(solved.objective), rounded_up(solved.bound)
    is_best = is_best and solved.is_optimal
    values, blown = dict(solved.values), solved.fuse_blown
    rows.model.add(count <= changed)
    points = rows.points()
    worth = rows.minimise(points, values, WORTH_SHARE * limit)
    if worth.values:
        values = dict(worth.values)
        if worth.is_optimal:
            rows.model.add(points <= round(worth.objective))
            tied = rows.minimise(rows.ties(), values, TIE_SHARE * limit)
            values = dict(tied.values or values)
    return Reshaped(
        rows.decision(values),
        changed,
        bound,
        bound if bound_alone is None else min(bound, bound_alone),
        lifts,
        round(worth.objective),
        is_best,
        fuse_blown=blown or worth.fuse_blown,
    )


def rounded_up(bound: float) -> int:
    """A proven bound of whole numbers, as a whole number."""
    return int(-(-(bound - 1e-6) // 1))
