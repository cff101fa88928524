"""The published form of a timetable: ``floor --json``, and its schema. Times are seconds from the start of the hour."""

from __future__ import annotations

from typing import Any

from setwright.plan.block import Alternative
from setwright.plan.floor.bounds import soonest_s
from setwright.plan.floor.hour import Hour
from setwright.plan.floor.rows import Hold, Row, rows_of
from setwright.plan.floor.timetable import finish_of
from setwright.publish.schemas import TEXT, closed, listed, maybe, number

FORMAT = "setwright/floor/1"


def hour_json(hour: Hour) -> dict[str, Any]:
    """An hour as plain values; the same hour gives the same text."""
    solved = hour.solved
    return {
        "format": FORMAT,
        "date": hour.on.isoformat(),
        "place": hour.place.id,
        "from_s": hour.floor.now_s,
        "held": list(hour.held),
        "broken": list(hour.broken),
        "absent": list(hour.absent),
        "people": people_json(hour),
        "exchanged": [
            {"name": one.name, "exercise": old, "instead": new} for one in hour.comers for old, new in one.exchanged
        ],
        "sets": [row_json(row) for row in rows_of(hour.floor, solved.timetable)],
        "left_out": [
            {
                "name": one.name,
                "entry": one.entry,
                "exercise": one.exercise,
                "sets": one.sets,
                "why": one.why,
                "instead": [instead_json(other) for other in one.instead],
            }
            for one in hour.left_out
        ],
        "proof": {
            "status": solved.status,
            "end_s": solved.end_s,
            "bound_s": solved.bound_s,
            "longest_s": hour.bounds.longest_s,
            "longest": hour.bounds.who,
            "load_s": hour.bounds.load_s,
            "busiest": hour.bounds.thing,
            "points": solved.points,
            "points_bound": solved.points_bound,
            "fuse_blown": solved.fuse_blown,
        },
        "scarcity": scarcity_json(hour),
        "moved": None
        if hour.moved is None
        else [
            {
                "name": one.name,
                "entries": list(one.visit.entries),
                "exercises": list(one.visit.exercises),
                "from_s": one.from_s,
                "to_s": one.to_s,
            }
            for one in hour.moved
        ],
    }


def people_json(hour: Hour) -> list[dict[str, Any]]:
    """Everybody with arrival, end and waiting."""
    found = []
    numbers = {one.name: one.number for one in hour.comers}
    for a, person in enumerate(hour.floor.attendees):
        end = finish_of(hour.floor, hour.solved.timetable, a)
        soonest = soonest_s(hour.floor, a)
        found.append(
            {
                "name": person.name,
                "number": numbers[person.name],
                "arrives_s": person.arrives_s,
                "alone_s": soonest - person.arrives_s,
                "ends_s": end,
                "waits_s": max(0, end - soonest),
                "minutes_cap_s": person.cap_s,
            }
        )
    return found


def row_json(row: Row) -> dict[str, Any]:
    """One set."""
    return {
        "name": row.name,
        "visit": row.visit,
        "entry": row.entry,
        "exercise": row.exercise,
        "done_as": row.done_as or None,
        "part": row.part,
        "set": row.set,
        "of": row.of,
        "kind": row.kind,
        "from_s": row.from_s,
        "to_s": row.to_s,
        "holds": [hold_json(one) for one in row.holds],
    }


def hold_json(hold: Hold) -> dict[str, Any]:
    """A thing held."""
    return {
        "use": hold.use,
        "thing": hold.thing,
        "count": hold.count,
        "from_s": hold.from_s,
        "to_s": hold.to_s,
        "for_partner": hold.for_partner,
    }


def instead_json(one: Alternative) -> dict[str, str]:
    """A stand-in with what is kept and lost."""
    return {"exercise": one.exercise, "kept": one.kept, "lost": one.lost}


def scarcity_json(hour: Hour) -> dict[str, Any]:
    """What scarcity costs, one more of a thing, and the one exchange."""
    exchange = None
    if hour.exchange is not None:
        one = hour.exchange
        exchange = {
            "name": one.offer.person.name,
            "entry": one.offer.entry,
            "exercise": one.offer.exercise,
            "instead": one.offer.instead,
            "kept": one.offer.kept,
            "lost": one.offer.lost,
            "end_s": one.end_s,
            "saves_s": one.saves_s,
            "waits_saved_s": one.waits_saved_s,
        }
    return {
        "unlimited_end_s": hour.alone_end_s,
        "costs_s": max(0, hour.solved.end_s - hour.alone_end_s),
        "one_more": [
            {"thing": one.thing, "end_s": one.end_s, "saves_s": one.saves_s, "waits_saved_s": one.waits_saved_s}
            for one in hour.more
        ],
        "exchange": exchange,
    }


def floor_schema() -> dict[str, Any]:
    """JSON Schema 2020-12 of ``floor --json``."""
    seconds = number(-3600, 400_000, "seconds from the start of the hour", whole=True)
    signed = {"type": "integer", "description": "seconds"}
    place_of = number(0, 400, "place of the entry in the session, from 0 through all parts", whole=True)
    count = number(0, 400, "how many", whole=True)
    partner = {"type": "boolean", "description": "true where only the other half of the superset needs it"}
    hold = closed(use=count, thing=TEXT, count=count, from_s=seconds, to_s=seconds, for_partner=partner)
    row = closed(
        name=TEXT,
        visit=count,
        entry=place_of,
        exercise=TEXT,
        done_as=maybe({**TEXT, "description": "what is done instead, of easy minutes whose machine is taken"}),
        part=TEXT,
        set=number(1, 99, "number of the set", whole=True),
        of=number(1, 99, "sets of the entry", whole=True),
        kind={"enum": ["ramp", "work", "hold", "hold-reps-hold", "lowering", "bout"]},
        from_s=seconds,
        to_s=seconds,
        holds=listed(hold),
    )
    person = closed(
        name=TEXT,
        number=number(1, 99, "number on the screen", whole=True),
        arrives_s=seconds,
        alone_s=seconds,
        ends_s=seconds,
        waits_s=seconds,
        minutes_cap_s=maybe(seconds),
    )
    instead = closed(exercise=TEXT, kept=TEXT, lost=TEXT)
    left_out = closed(name=TEXT, entry=place_of, exercise=TEXT, sets=count, why=TEXT, instead=listed(instead))
    proof = closed(
        status={"enum": ["optimal", "feasible"]},
        end_s=seconds,
        bound_s={**seconds, "description": "no timetable ends earlier"},
        longest_s=seconds,
        longest=TEXT,
        load_s=seconds,
        busiest=TEXT,
        points=signed,
        points_bound=signed,
        fuse_blown={"type": "boolean"},
    )
    more = closed(thing=TEXT, end_s=seconds, saves_s=signed, waits_saved_s=signed)
    exchange = closed(
        name=TEXT,
        entry=place_of,
        exercise=TEXT,
        instead=TEXT,
        kept=TEXT,
        lost=TEXT,
        end_s=seconds,
        saves_s=signed,
        waits_saved_s=signed,
    )
    moved = closed(name=TEXT, entries=listed(place_of), exercises=listed(TEXT), from_s=maybe(seconds), to_s=seconds)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Setwright floor, version 1",
        **closed(
            format={"const": FORMAT},
            date={"type": "string", "format": "date"},
            place=TEXT,
            from_s=seconds,
            held=listed(TEXT),
            broken=listed(TEXT),
            absent=listed(TEXT),
            people=listed(person),
            exchanged=listed(closed(name=TEXT, exercise=TEXT, instead=TEXT)),
            sets=listed(row),
            left_out=listed(left_out),
            proof=proof,
            scarcity=closed(unlimited_end_s=seconds, costs_s=seconds, one_more=listed(more), exchange=maybe(exchange)),
            moved=maybe(listed(moved)),
        ),
    }
