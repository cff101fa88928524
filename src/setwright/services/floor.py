"""A group on one floor: from block files, a place and a day to a timetable, and on from the current minute."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

from setwright.catalogue.equipment import in_words
from setwright.faults import Fault, InputFaults, NoPlan, Repair
from setwright.people.place import Place
from setwright.plan.block import Alternative, Block
from setwright.plan.floor.again import AT_ONCE, QUICK, Moved, plan_again
from setwright.plan.floor.asks import USUAL_TURNS, Lacking, attendee, floor_stock
from setwright.plan.floor.bounds import simple_bound
from setwright.plan.floor.done import Done, sets_done
from setwright.plan.floor.easy import easy_starts
from setwright.plan.floor.hour import Comer, Hour, LeftOut, entries_of, offers, stand_ins
from setwright.plan.floor.now import Dropped, without_lacking
from setwright.plan.floor.scarcity import best_exchange, one_more, unlimited_end_s
from setwright.plan.floor.solve import USUAL, Effort, Solved, solve_floor
from setwright.plan.floor.spans import NEVER
from setwright.plan.floor.visit import Attendee, Floor, Key, Placed, Use, Visit, with_visits
from setwright.publish.floor_words import thing_words
from setwright.services.files import read_text
from setwright.services.floor_asked import (
    Asked,
    broken_things,
    logs_of,
    names_of,
    the_place,
    turns_left,
    who_comes,
    with_exchanges,
    with_lates,
)
from setwright.services.gather import catalogue, load_block
from setwright.strength.logged import Log

__all__ = ["Asked", "hold_hour", "hour_of"]


def hold_hour(asked: Asked, logged: Mapping[str, Log] | None = None, at_once: bool = False) -> Hour:
    """The hour of a day: a new timetable, or the old one from a minute on.

    logged : by name, the log of who has one, beside the files asked for; an empty one says that nothing is done yet
    at_once : with ``again``, the repaired timetable without any search, in milliseconds
    Raises InputFaults for words and files that are wrong, NoPlan where a session needs what the place never had.
    """
    old = None if asked.again is None else read_old(asked.again)
    if (old is None) != (asked.from_minute is None):
        hint = "One says what was followed, the other from when it changes."
        raise InputFaults([Fault("--again", "", "one of --again and --from-minute", "both, or none", hint)])
    return hour_of(asked, [load_block(path) for path in asked.blocks], old, logged, at_once)


def hour_of(
    asked: Asked,
    blocks: Sequence[Block],
    old: dict[str, Any] | None = None,
    logged: Mapping[str, Log] | None = None,
    at_once: bool = False,
) -> Hour:
    """The hour of blocks that are read already; as ``hold_hour``.

    blocks : one a name in ``asked.blocks``, which are then only names for what is wrong
    old : the timetable that was followed, as ``hour_json`` gives it
    """
    faults: list[Fault] = []
    comers = who_comes(asked, blocks, faults)
    if faults:
        raise InputFaults(faults)
    place = the_place(asked, blocks)
    turns = turns_left(asked.held, old, faults)
    comers = with_lates(asked, comers, old, faults)
    comers = with_exchanges(asked, comers, place, faults, old)
    logs = {**logs_of(asked, comers, faults), **(logged or {})}
    done = {one.name: sets_done(one.session, logs[one.name], asked.on) for one in comers if one.name in logs}
    absent = names_of(asked.absent, comers, "--absent", faults)
    broken = broken_things(asked, place, turns, faults)
    if faults:
        raise InputFaults(dict.fromkeys(faults))
    if old is not None:
        return go_on(asked, old, place, comers, turns, absent, broken, done, AT_ONCE if at_once else QUICK)
    return fresh(asked, place, [one for one in comers if one.name not in absent], turns, absent, broken)


def attend(comers: Sequence[Comer], place: Place, turns: frozenset[str]) -> list[tuple[Attendee, tuple[Lacking, ...]]]:
    """Everybody's session as visits."""
    known = catalogue()
    return [
        attendee(one.name, one.session, place, known, turns, one.arrives_s, easy_starts(one.trainee, place, known))
        for one in comers
    ]


def need_everything(
    asked: Asked, comers: Sequence[Comer], made: Sequence[tuple[Attendee, tuple[Lacking, ...]]], place: Place
) -> None:
    """Raises NoPlan where a session needs what the place never had, with what its sheet offers instead."""
    lines, repairs = [], []
    for comer, (_, lacking) in zip(comers, made, strict=True):
        for one in lacking:
            needs = " and ".join(in_words(token) for token in one.tokens)
            lines.append(f"{comer.name}: {name_of(one.exercise)} needs {needs}, and {place.name} has none")
            entry = entries_of(comer.session)[one.entry]
            for other in stand_ins(entry, comer, place, catalogue(), asked.on)[:1]:
                repairs.append(
                    Repair(f"--exchange '{comer.name}:{one.exercise}={other.exercise}'", f"loses {other.lost}")
                )
    if lines:
        raise NoPlan(lines, repairs=repairs)


def name_of(slug: str) -> str:
    """The name of an exercise."""
    return catalogue().get(slug).name


def lowered(stock: Mapping[str, int], broken: Sequence[str]) -> dict[str, int]:
    """What is left without what is broken, one of each."""
    left = dict(stock)
    for thing in broken:
        left[thing] = max(0, left[thing] - 1)
    return left


def fresh(
    asked: Asked,
    place: Place,
    comers: Sequence[Comer],
    turns: frozenset[str],
    absent: Sequence[str],
    broken: Sequence[str],
    effort: Effort = USUAL,
) -> Hour:
    """A new timetable for everybody who comes."""
    made = attend(comers, place, turns)
    need_everything(asked, comers, made, place)
    stock = lowered(floor_stock(place, turns)[0], broken)
    people, dropped = [], []
    for person, _ in made:
        able = {v: without_lacking(visit, stock) for v, visit in enumerate(person.visits)}
        kept = [v for v, (_, lost) in able.items() if not lost]
        people.append(with_visits(person, kept, {v: able[v][0] for v in kept}))
        for visit, lost in able.values():
            if lost:
                dropped.append(Dropped(person.name, visit, tuple(range(len(visit.steps))), lost))
    floor = Floor(tuple(people), stock)
    solved = solve_floor(floor, None, effort)
    if solved is None:
        raise NoPlan([f"some set needs more of a thing at once than {place.name} has"])
    return as_hour(asked, place, comers, floor, solved, turns, absent, broken, dropped, None)


def as_hour(
    asked: Asked,
    place: Place,
    comers: Sequence[Comer],
    floor: Floor,
    solved: Solved,
    turns: frozenset[str],
    absent: Sequence[str],
    broken: Sequence[str],
    dropped: Sequence[Dropped],
    moved: Sequence[Moved] | None,
) -> Hour:
    """The hour with what scarcity costs, where that is asked for."""
    found = offers(floor, comers, place, catalogue(), turns, asked.on) if asked.with_costs and moved is None else []
    short = solved.end_s > unlimited_end_s(floor) or solved.points > 2 * len(floor.attendees)
    costs = asked.with_costs and moved is None and short
    return Hour(
        asked.on,
        place,
        tuple(comers),
        floor,
        solved,
        simple_bound(floor),
        tuple(sorted(USUAL_TURNS - turns)),
        tuple(broken),
        tuple(absent),
        left_out(dropped, comers, place, asked.on),
        unlimited_end_s(floor),
        tuple(one_more(floor, solved.timetable)) if costs else (),
        best_exchange(floor, solved.timetable, found) if costs else None,
        None if moved is None else tuple(moved),
    )


def left_out(dropped: Sequence[Dropped], comers: Sequence[Comer], place: Place, on: date) -> tuple[LeftOut, ...]:
    """What is not done, entry by entry, with the stand-ins that a coach may ask for.

    What only lost its partner can be done on its own: another exercise in its place would wait for the same station.
    """
    found = []
    for one in dropped:
        comer = next((c for c in comers if c.name == one.name), None)
        if comer is None or not one.things:
            continue
        for index, at in enumerate(one.visit.entries):
            sets = sum(1 for i in one.steps if one.visit.steps[i].entry == index)
            if sets:
                entry = entries_of(comer.session)[at]
                why = f"{' and '.join(sorted({thing_words(thing) for thing in one.things}))} is broken"
                instead = tuple(stand_ins(entry, comer, place, catalogue(), on)[:2])
                if needs_none_of(one, index):
                    why += ", which the other half of its superset needs"
                    instead = (Alternative(entry.exercise, "all of it", "its partner in the rests"),)
                found.append(LeftOut(one.name, at, entry.exercise, sets, why, instead))
    return tuple(found)


def needs_none_of(one: Dropped, entry: int) -> bool:
    """True for an entry of a superset that needs nothing of what is gone: only its partner does."""
    uses = [use for use in one.visit.uses if set(use.things) & set(one.things)]
    return bool(uses) and all(use.entries and entry not in use.entries for use in uses)


def read_old(path: Path) -> dict[str, Any]:
    """An earlier timetable (``setwright floor --json``). Raises InputFaults where it is none."""
    try:
        data = json.loads(read_text(path))
    except ValueError as error:
        raise InputFaults(
            [Fault(str(path), "", f"no JSON: {error}", "a timetable of setwright floor --json")]
        ) from None
    wanted = ("people", "sets", "held", "exchanged", "broken", "absent", "date")
    if (
        not isinstance(data, dict)
        or data.get("format") != "setwright/floor/1"
        or any(key not in data for key in wanted)
    ):
        raise InputFaults([Fault(str(path), "format", "no timetable", "a timetable of setwright floor --json")])
    return data


def go_on(
    asked: Asked,
    old: dict[str, Any],
    place: Place,
    comers: Sequence[Comer],
    turns: frozenset[str],
    absent: Sequence[str],
    broken: Sequence[str],
    done: Mapping[str, Done],
    effort: Effort,
) -> Hour:
    """The timetable from a minute on."""
    if old["date"] != asked.on.isoformat():
        raise InputFaults([Fault(str(asked.again), "date", old["date"], f"{asked.on}, the day asked for")])
    made = attend(comers, place, turns)
    need_everything(asked, comers, made, place)
    stock, _ = floor_stock(place, turns)
    now_s = round(60 * (asked.from_minute or 0.0))
    before, timetable = followed(old, [person for person, _ in made], stock, str(asked.again), now_s)
    all_broken = list(dict.fromkeys([*(one for one in old["broken"] if one in stock), *broken]))
    gone = tuple(dict.fromkeys([*(one for one in old["absent"]), *absent]))
    floor = Floor(tuple(person for person, _ in made), lowered(stock, all_broken))
    again = plan_again(floor, before, timetable, now_s, broken, gone, effort, done)
    return as_hour(asked, place, comers, again.floor, again.solved, turns, gone, all_broken, again.dropped, again.moved)


def followed(
    old: dict[str, Any], people: Sequence[Attendee], stock: Mapping[str, int], file: str, now_s: int
) -> tuple[Floor, dict[Key, Placed]]:
    """The floor and timetable that an earlier file tells of, as far as it has sets of these sessions.

    Who left with sets missing at the end has done the first so many. A visit that was planned in another shape, as
    before its entries became a superset, keeps the sets that are begun, and the others never were planned.
    """
    rows: dict[tuple[str, int], list[dict[str, Any]]] = {}
    by_name: dict[str, list[dict[str, Any]]] = {}
    for row in old["sets"]:
        rows.setdefault((row["name"], row["entry"]), []).append(row)
        by_name.setdefault(row["name"], []).append(row)
    known = {one.name for one in people}
    unknown = sorted({row["name"] for row in old["sets"]} - known)
    if unknown:
        hint = "Give every block of the timetable again; say --absent for who has left."
        raise InputFaults([Fault(file, "people", ", ".join(unknown), f"who comes: {', '.join(sorted(known))}", hint)])
    attendees, timetable = [], {}
    for a, person in enumerate(people):
        kept: list[int] = []
        visits: dict[int, Visit] = {}
        for v, visit in enumerate(person.visits):
            mine = [row for at in visit.entries for row in rows.get((person.name, at), [])]
            by_step = {(visit.entries.index(row["entry"]), row["set"]): row for row in mine}
            here = [by_step.get((step.entry, step.number)) for step in visit.steps]
            done = [row for row in here if row is not None]
            meanwhile = [row for row in by_name.get(person.name, ()) if row["entry"] not in visit.entries]
            if done and not has_this_shape(visit, here, meanwhile, old["from_s"]):
                here = [row if row is not None and row["from_s"] <= now_s else None for row in here]
                done = [row for row in here if row is not None]
                starts = tuple(NEVER if row is None else row["from_s"] for row in here)
                uses = uses_under_way(here, now_s, stock)
                visits[v] = replace(visit, uses=uses)
                placed = Placed(starts, tuple(use.things[0] for use in uses), of_another_shape=True)
            elif done:
                so_many = len(done)
                uses = tuple(replace(use, last=min(use.last, so_many - 1)) for use in visit.uses if use.first < so_many)
                shorter = replace(
                    visit,
                    steps=visit.steps[:so_many],
                    rests=tuple(rest for rest in visit.rests if rest.after < so_many),
                    uses=uses,
                )
                visits[v] = shorter if so_many < len(visit.steps) else visit
                things = tuple(thing_held(done, number, use.things, stock) for number, use in enumerate(visits[v].uses))
                placed = Placed(tuple(row["from_s"] for row in done), things)
            if not done:
                continue
            timetable[(a, len(kept))] = placed
            kept.append(v)
        attendees.append(with_visits(person, kept, visits))
    return Floor(tuple(attendees), stock), timetable


def uses_under_way(rows: Sequence[Mapping[str, Any] | None], now_s: int, stock: Mapping[str, int]) -> tuple[Use, ...]:
    """What the step under way holds, until it is over."""
    return tuple(
        Use((hold["thing"],), hold["count"], step, step, 0, 0)
        for step, row in enumerate(rows)
        if row is not None and row["from_s"] <= now_s < row["to_s"]
        for hold in row["holds"]
        if hold["thing"] in stock and hold["to_s"] > now_s
    )


def has_this_shape(
    visit: Visit, rows: Sequence[Mapping[str, Any] | None], others: Sequence[Mapping[str, Any]], planned_s: int
) -> bool:
    """True where a timetable has the first so many steps of a visit, one after another, with its rests.

    rows : of each step, None where it has none
    others : what the same person does beside this visit, which is nothing between its steps
    planned_s : since when the timetable was planned and not believed
    """
    have = [row for row in rows if row is not None]
    if list(rows[: len(have)]) != have:
        return False
    later = [row["from_s"] > planned_s for row in have]
    first_s, last_s = have[0]["from_s"], have[-1]["from_s"]
    if later[-1] and any(planned_s < row["from_s"] and first_s < row["from_s"] < last_s for row in others):
        return False
    if any(after["from_s"] < before["to_s"] for before, after, new in zip(have, have[1:], later, strict=False) if new):
        return False
    for rest in visit.rests:
        if rest.after < len(have) and later[rest.before]:
            between = have[rest.after]["from_s"] - have[rest.before]["to_s"]
            if between < rest.least_s or (rest.most_s is not None and between > rest.most_s):
                return False
    return True


def thing_held(rows: Sequence[dict[str, Any]], use: int, things: Sequence[str], stock: Mapping[str, int]) -> str:
    """The thing that a use was given, by the rows; where none is held, one that is never short, else the usual one."""
    holds = [hold for row in rows for hold in row["holds"] if hold["thing"] in things]
    for hold in [*(one for one in holds if one["use"] == use), *holds]:
        return str(hold["thing"])
    return next((thing for thing in things if thing not in stock), things[0])
