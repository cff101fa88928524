"""A floor as a model for CP-SAT, and one question to the solver.

One worker, a fixed seed and deterministic limits: the same floor gives the same timetable on every machine.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from math import ceil
from typing import TYPE_CHECKING, Any

from setwright.plan.floor.bounds import alone_s
from setwright.plan.floor.timetable import OVER, end_of, finish_of, over_s, spans_of
from setwright.plan.floor.visit import Floor, Key, Placed, Use, Visit

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

FUSE_S = 60.0  # wall clock, far above the deterministic limits; a blown fuse is told


@dataclass
class Model:
    """The model with its variables: starts of the steps, and which thing each use takes."""

    cp: cp_model.CpModel
    starts: dict[Key, list[Any]]
    chosen: dict[tuple[Key, int, str], Any]
    finishes: list[Any]
    over: list[Any]
    end: Any

    @property
    def points(self) -> Any:
        """What is judged by: see ``timetable.points``."""
        return len(self.finishes) * self.end + sum(self.finishes) + OVER * sum(self.over)


def modelled(floor: Floor, horizon_s: int) -> Model:
    """The floor as a model whose timetables end at ``horizon_s`` at the latest."""
    from ortools.sat.python import cp_model

    cp = cp_model.CpModel()
    made = Model(cp, {}, {}, [], [], cp.new_int_var(0, horizon_s, "end"))
    holding: dict[str, list[tuple[Any, int]]] = defaultdict(list)
    for key in floor.keys:
        if key in floor.fixed:
            add_fixed(made, floor, key, holding)
        else:
            add_visit(made, floor, key, holding, horizon_s)
    for thing, taken in holding.items():
        add_thing(made, floor.stock[thing], taken)
    for attendee in range(len(floor.attendees)):
        add_order(made, floor, attendee, horizon_s)
    return made


def add_fixed(made: Model, floor: Floor, key: Key, holding: dict[str, list[tuple[Any, int]]]) -> None:
    """A visit that is done or under way: only what it still holds counts."""
    placed, visit = floor.fixed[key], floor.visit(key)
    made.starts[key] = list(placed.starts)
    for use, thing in zip(visit.uses, placed.things, strict=True):
        for from_s, to_s in spans_of(visit, use, placed.starts):
            if thing in floor.stock and to_s > floor.now_s:
                taken = made.cp.new_fixed_size_interval_var(from_s, to_s - from_s, f"fixed{key}")
                holding[thing].append((taken, use.count))


def add_visit(made: Model, floor: Floor, key: Key, holding: dict[str, list[tuple[Any, int]]], horizon_s: int) -> None:
    """The starts of a visit's steps, its rests, and what it holds."""
    visit, person = floor.visit(key), floor.attendees[key[0]]
    earliest = max(person.arrives_s, floor.now_s) + person.ready_s[key[1]]
    first = made.cp.new_int_var(earliest, horizon_s, f"s{key}")
    if visit.takes_turns:
        starts = [first, *(made.cp.new_int_var(earliest, horizon_s, f"s{key}.{i}") for i in range(1, len(visit.steps)))]
        for rest in visit.rests:
            between = starts[rest.after] - starts[rest.before] - visit.steps[rest.before].work_s
            made.cp.add(between >= rest.least_s)
            if rest.most_s is not None:
                made.cp.add(between <= rest.most_s)
    else:
        starts = [first + step.at_s for step in visit.steps]
    made.starts[key] = starts
    for number, use in enumerate(visit.uses):
        add_use(made, floor, key, number, use, visit, holding)


def add_use(
    made: Model,
    floor: Floor,
    key: Key,
    number: int,
    use: Use,
    visit: Visit,
    holding: dict[str, list[tuple[Any, int]]],
) -> None:
    """One use: an interval of each thing it may take, exactly one of which is chosen."""
    if not any(thing in floor.stock for thing in use.things):
        return
    options = [thing for thing in use.things if floor.stock.get(thing, use.count) >= use.count]
    for thing in options:
        made.chosen[(key, number, thing)] = made.cp.new_bool_var(f"t{key}.{number}.{thing}")
    made.cp.add_exactly_one([made.chosen[(key, number, thing)] for thing in options])
    for from_s, length in lengths_of(visit, use, made.starts[key]):
        for thing in options:
            if thing not in floor.stock:
                continue
            name = f"h{key}.{number}.{thing}"
            is_on = made.chosen[(key, number, thing)]
            if len(options) == 1:
                taken = made.cp.new_fixed_size_interval_var(from_s, length, name)
            else:
                taken = made.cp.new_optional_fixed_size_interval_var(from_s, length, is_on, name)
            holding[thing].append((taken, use.count))


def lengths_of(visit: Visit, use: Use, starts: list[Any]) -> list[tuple[Any, int]]:
    """Start (an expression) and length, s, of each span that a use holds."""
    if use.between:
        return [
            (starts[i] - use.set_up_s, use.set_up_s + visit.steps[i].work_s + use.clear_s)
            for i in range(use.first, use.last + 1)
        ]
    inside = range(use.first, use.last + 1)
    end = max(visit.steps[i].at_s + visit.steps[i].work_s for i in inside)
    return [(starts[use.first] - use.set_up_s, use.set_up_s + end - visit.steps[use.first].at_s + use.clear_s)]


def add_thing(made: Model, count: int, taken: list[tuple[Any, int]]) -> None:
    """No more of a thing at once than there is."""
    if sum(number for _, number in taken) <= count:
        return
    if count == 1:
        made.cp.add_no_overlap([one for one, _ in taken])
    else:
        made.cp.add_cumulative([one for one, _ in taken], [number for _, number in taken], count)


def add_order(made: Model, floor: Floor, attendee: int, horizon_s: int) -> None:
    """One after another with the change-overs, ranks as they stand, any order inside one; and when all is done."""
    person = floor.attendees[attendee]
    visits = list(enumerate(person.visits))
    first = {v: made.starts[(attendee, v)][0] for v, _ in visits}
    stays = {v: end_of(visit, floor.fixed[(attendee, v)].starts) for v, visit in visits if (attendee, v) in floor.fixed}
    end = {v: made.starts[(attendee, v)][-1] + visit.steps[-1].work_s for v, visit in visits if v not in stays}
    ranks = sorted({person.visits[v].rank for v in end})
    by_rank = {rank: [v for v in end if person.visits[v].rank == rank] for rank in ranks}
    for v in end:
        for done, done_s in stays.items():
            made.cp.add(first[v] >= done_s + person.gaps.get((done, v), 0))
    for before, after in pairwise(ranks):
        for i in by_rank[before]:
            for j in by_rank[after]:
                made.cp.add(first[j] >= end[i] + person.gaps[(i, j)])
    for same in by_rank.values():
        for at, i in enumerate(same):
            for j in same[at + 1 :]:
                is_first = made.cp.new_bool_var(f"o{attendee}.{i}.{j}")
                made.cp.add(first[j] >= end[i] + person.gaps[(i, j)]).only_enforce_if(is_first)
                made.cp.add(first[i] >= end[j] + person.gaps[(j, i)]).only_enforce_if(~is_first)
    least = person.arrives_s + alone_s(person)
    finish = made.cp.new_int_var(min(least, horizon_s) if not floor.fixed else 0, horizon_s, f"f{attendee}")
    for v in by_rank[ranks[-1]] if ranks else []:
        made.cp.add(finish >= end[v])
    if stays:
        made.cp.add(finish >= max(stays.values()))
    made.finishes.append(finish)
    over = made.cp.new_int_var(0, horizon_s, f"v{attendee}")
    if person.cap_s is not None:
        made.cp.add(over >= finish - person.arrives_s - person.cap_s)
    made.over.append(over)
    made.cp.add(made.end >= finish)


def hint(made: Model, floor: Floor, timetable: Mapping[Key, Placed]) -> None:
    """Tells the solver a timetable to start from."""
    made.cp.clear_hints()
    ends = [finish_of(floor, timetable, attendee) for attendee in range(len(made.finishes))]
    for finish, at in zip(made.finishes, ends, strict=True):
        made.cp.add_hint(finish, at)
    for over, at, person in zip(made.over, ends, floor.attendees, strict=True):
        made.cp.add_hint(over, over_s(person, at))
    made.cp.add_hint(made.end, max(ends))
    for key in made.starts:
        if key in floor.fixed:
            continue
        starts = made.starts[key] if floor.visit(key).takes_turns else made.starts[key][:1]
        for variable, at in zip(starts, timetable[key].starts, strict=False):
            made.cp.add_hint(variable, at)
    for (key, number, thing), is_on in made.chosen.items():
        made.cp.add_hint(is_on, timetable[key].things[number] == thing)


def read(made: Model, floor: Floor, solver: Any) -> dict[Key, Placed]:
    """The timetable that the solver found."""
    found: dict[Key, Placed] = {}
    for key in floor.keys:
        if key in floor.fixed:
            found[key] = floor.fixed[key]
            continue
        starts = tuple(int(solver.value(one)) for one in made.starts[key])
        things = tuple(thing_of(made, solver, key, number, use) for number, use in enumerate(floor.visit(key).uses))
        found[key] = Placed(starts, things)
    return found


def thing_of(made: Model, solver: Any, key: Key, number: int, use: Use) -> str:
    """The thing that a use takes; the usual one where none is ever short."""
    for thing in use.things:
        is_on = made.chosen.get((key, number, thing))
        if is_on is not None and solver.boolean_value(is_on):
            return thing
    return use.things[0]


@dataclass(frozen=True)
class Answer:
    """What the solver said: the timetable found, if any, what it proved of the objective, and what it took."""

    timetable: dict[Key, Placed] | None
    bound: int
    is_optimal: bool
    spent: float
    fuse_blown: bool


def ask(made: Model, floor: Floor, objective: Any, limit: float) -> Answer:
    """One question: the least of an objective, within a deterministic limit."""
    from ortools.sat.python import cp_model

    made.cp.minimize(objective)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 0
    solver.parameters.linearization_level = 0
    solver.parameters.max_deterministic_time = limit
    solver.parameters.max_time_in_seconds = FUSE_S
    status = solver.solve(made.cp)
    has_one = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return Answer(
        read(made, floor, solver) if has_one else None,
        ceil(solver.best_objective_bound - 1e-6),
        status == cp_model.OPTIMAL,
        solver.response_proto.deterministic_time,
        solver.wall_time >= FUSE_S,
    )
