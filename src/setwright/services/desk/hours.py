"""An hour of several people on one floor, kept: its timetable, what comes between, and the link of its board.

The timetable names nobody: people are ``Person 1``, ``Person 2`` in it, and the names are looked up where they are
shown. So a board can show numbers alone, and nothing of somebody who is erased stays behind.
"""

from __future__ import annotations

import secrets
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

from django.db import transaction
from django.utils import timezone

from setwright.catalogue.store import Catalogue
from setwright.faults import Fault, InputFaults
from setwright.people.place import Place
from setwright.plan.block_days import session_on
from setwright.plan.floor.again import AT_ONCE
from setwright.plan.floor.asks import floor_stock
from setwright.plan.floor.done import Done, sets_done
from setwright.plan.floor.hour import Comer, Hour, entries_of
from setwright.plan.floor.solve import Effort
from setwright.plan.session_time import groups_of
from setwright.publish.bout_words import bout_text
from setwright.publish.floor_json import hour_json
from setwright.publish.floor_words import (
    exchange_words,
    first_names,
    floor_report,
    left_out_words,
    length_words,
    thing_words,
)
from setwright.publish.words import name_of
from setwright.records import models
from setwright.records.data_base import current_of, log_of_days
from setwright.services.desk import jobs
from setwright.services.desk.board_log import days_of, slot_of
from setwright.services.desk.floor import session_day
from setwright.services.desk.people import places_of
from setwright.services.desk.practice import digest_of, note
from setwright.services.floor import fresh, go_on
from setwright.services.floor_asked import (
    MOST_PEOPLE,
    Asked,
    broken_things,
    turns_left,
    with_exchanges,
    with_lates,
)
from setwright.services.gather import catalogue
from setwright.strength.logged import Log

Ticks = Sequence[Mapping[str, Any]]  # each with number, entry, set, and at_s, the second of the hour

KEPT_DAYS = 7
FEW_PEOPLE = 12  # whose blocks are read while a page waits
BOARD_HOURS = 16
SECRET_BYTES = 24
LABEL = Path("the hour")


@dataclass(frozen=True)
class Between:
    """What comes between, by number of the person; ``late`` in minutes from the start of the hour.

    ``done``: of people whom the coach ticked off, all that is done by now, as (entry, set) of the timetable.
    """

    absent: tuple[int, ...] = ()
    late: tuple[tuple[int, float], ...] = ()
    broken: tuple[str, ...] = ()
    exchanges: tuple[str, ...] = ()
    done: tuple[tuple[int, frozenset[tuple[int, int]]], ...] = ()


def called(number: int) -> str:
    """The name of a person in a timetable."""
    return f"Person {number}"


@transaction.atomic
def new_hour(
    coach: models.Coach, people: Sequence[models.Trainee], place: str, begins_at: datetime, by_number: bool
) -> models.FloorHour:
    """An hour with its first timetable. Raises InputFaults and NoPlan; nothing is kept then."""
    if not 1 <= len(people) <= MOST_PEOPLE:
        raise InputFaults([Fault("hour", "people", f"{len(people)} people", f"1 to {MOST_PEOPLE}")])
    old = timezone.now() - timedelta(days=KEPT_DAYS)
    coach.hours.filter(begins_at__lt=old).delete()
    hour: models.FloorHour = coach.hours.create(
        practice=coach.practice,
        place=place,
        on=timezone.localtime(begins_at).date(),
        begins_at=begins_at,
        by_number=by_number,
    )
    for number, one in enumerate(people, start=1):
        hour.people.create(trainee=one, number=number)
    keep_plan(hour, planned(hour, Between(), None))
    ask_better(hour, coach.user)
    note(coach.practice, coach.user, "began an hour on the floor", None, place)
    return hour


@transaction.atomic
def something_came(
    hour: models.FloorHour,
    between: Between,
    now: datetime,
    by: Any,
    effort: Effort = AT_ONCE,
    ticked: Ticks | None = None,
) -> None:
    """The timetable from now on, after something came between. Raises InputFaults and NoPlan; it stays as it was then.

    It is repaired at once in the order it had; what a search finds beyond that follows as a job (``better_hour``).

    Who has come late, is not there or has left stays so; what is done or under way stays.
    ticked : what the coach has ticked off, where that is new; it is kept beside the log
    """
    hour.plan = models.FloorHour.objects.select_for_update().get(id=hour.id).plan
    if ticked is not None:
        hour.plan["ticked"] = list(ticked)
    keep_plan(hour, planned(hour, between, max(0.0, minute_of(hour, now)), effort))
    if not between.done:
        note(hour.practice, by, "changed an hour on the floor", None, hour.place)
        ask_better(hour, by)


def minute_of(hour: models.FloorHour, now: datetime) -> float:
    """The minute of an hour, below 0 before it begins."""
    return (now - hour.begins_at).total_seconds() / 60.0


def ask_better(hour: models.FloorHour, by: Any) -> None:
    """Has a better timetable looked for, and the exchange that saves most, while this one is followed."""
    jobs.ask(None, "hour", {"hour": str(hour.id), "mark": hour.plan["mark"]}, by, hour.practice)


def drop_in(hour: models.FloorHour, trainee: models.Trainee, now: datetime, by: Any) -> None:
    """Somebody who was not planned comes now. Raises InputFaults and NoPlan; nothing is kept then."""
    if hour.people.filter(trainee=trainee).exists():
        raise InputFaults([Fault("hour", "people", f"{trainee.name} twice", "somebody who is not there yet")])
    with transaction.atomic():
        last = max(one.number for one in hour.people.all())
        hour.people.create(trainee=trainee, number=last + 1)
        something_came(hour, Between(late=((last + 1, max(0.0, minute_of(hour, now))),)), now, by)


def planned(
    hour: models.FloorHour,
    between: Between,
    minute: float | None,
    effort: Effort = AT_ONCE,
    with_log: bool = True,
    approved: Sequence[Comer] = (),
) -> Hour:
    """The hour as it stands, or from a minute on where there is a timetable already.

    with_log : False where the timetable is believed until that minute, since it was just made
    approved : who comes with which session, where that is read already
    """
    old = None if minute is None else hour.plan["timetable"]
    place = place_of(hour)
    faults: list[Fault] = []
    as_approved = approved or comers_of(hour, faults)
    if faults:
        raise InputFaults(faults)
    asked = Asked(
        blocks=(),
        on=hour.on,
        late=tuple(f"{called(number)}={minutes}" for number, minutes in between.late),
        exchanges=between.exchanges,
        again=None if old is None else LABEL,
        from_minute=minute,
        with_costs=False,  # they follow as a job: see ``better_hour``
    )
    turns = turns_left((), old, faults)
    comers = with_lates(asked, as_approved, old, faults)
    comers = with_exchanges(asked, comers, place, faults, old)
    absent = tuple(called(number) for number in between.absent)
    wanted = Asked(blocks=(), on=hour.on, broken=between.broken)
    broken = broken_things(wanted, place, turns, faults)
    if faults:
        raise InputFaults(dict.fromkeys(faults))
    if old is None:
        return fresh(asked, place, comers, turns, absent, broken, effort)
    done = what_is_done(hour, as_approved, comers, between) if with_log else {}
    return go_on(asked, as_sessions_are(old, comers), place, comers, turns, absent, broken, done, effort)


def what_is_done(
    hour: models.FloorHour, as_approved: Sequence[Comer], comers: Sequence[Comer], between: Between
) -> dict[str, Done]:
    """What of each one's session is done, by name: what is logged and what the coach ticked off.

    An exchange keeps the places of a session, so what is logged by the names of before counts too. Of who logs nothing
    only a new tick counts: older ones are in the timetable already.
    """
    ticked: dict[int, set[tuple[int, int]]] = {}
    for one in hour.plan.get("ticked", ()):
        ticked.setdefault(one["number"], set()).add((one["entry"], one["set"]))
    before = {one.name: one for one in as_approved}
    found: dict[str, Done] = {}
    for one, log in logs_of(hour, comers):
        logged = sets_done(one.session, log, hour.on) | sets_done(before[one.name].session, log, hour.on)
        found[one.name] = frozenset(logged | ticked.get(one.number, set()))
    for number, sets in between.done:
        found[called(number)] = found.get(called(number), frozenset()) | sets
    return found


def as_sessions_are(old: Mapping[str, Any], comers: Sequence[Comer]) -> dict[str, Any]:
    """A timetable with its rows at the places that their exercises have in the sessions now.

    A session may change within the hour, as when something hurts; what is not in it any more is left out. What is
    exchanged for today keeps its place.
    """
    slugs = {one.name: [entry.exercise for entry in entries_of(one.session)] for one in comers}
    exchanged = {one.name: {slug for pair in one.exchanged for slug in pair} for one in comers}
    rows = []
    for row in old["sets"]:
        mine, at = slugs.get(row["name"], []), row["entry"]
        if at < len(mine) and (mine[at] == row["exercise"] or row["exercise"] in exchanged[row["name"]]):
            rows.append(row)
        elif row["exercise"] in mine:
            rows.append({**row, "entry": mine.index(row["exercise"])})
    return {**old, "sets": rows}


def places_for(practice: models.Practice, people: Sequence[models.Trainee]) -> dict[str, Place]:
    """The places of a practice, and those that the blocks of some people bring with them, by id."""
    found: dict[str, Place] = {}
    for one in people:
        block = current_of(one)
        found |= {} if block is None else {place.id: place for place in block.inputs.places}
    return {**found, **places_of(practice)}


def places_to_choose(practice: models.Practice, people: Any) -> dict[str, Place]:
    """The places of a practice, and those of the blocks of today's people where these are few or no place is kept."""
    kept = places_of(practice)
    if kept and people.count() > FEW_PEOPLE:
        return kept
    return places_for(practice, people[:MOST_PEOPLE])


def place_of(hour: models.FloorHour) -> Place:
    """The place of an hour. Raises InputFaults where it is not there any more."""
    places = places_of(hour.practice)
    if hour.place not in places:  # one that came with a block: slower, every block is read
        places = places_for(hour.practice, [one.trainee for one in hour.people.select_related("trainee__practice")])
    if hour.place not in places:
        raise InputFaults([Fault("hour", "place", repr(hour.place), f"one of these places: {', '.join(places)}")])
    return places[hour.place]


def comers_of(hour: models.FloorHour, faults: list[Fault]) -> list[Comer]:
    """Everybody with today's session, or with the one that comes next for them."""
    found = []
    for one in hour.people.select_related("trainee__practice").order_by("number"):
        row, on = one.trainee, session_day(one.trainee, hour.on)
        block = None if on is None else current_of(row)
        that_day = None if block is None or on is None else session_on(block, on)
        if block is None or that_day is None:
            faults.append(Fault("hour", "people", row.name, "somebody with a block in force"))
        else:
            found.append(Comer(called(one.number), one.number, block.inputs.trainee, that_day[1]))
    return found


def logs_of(hour: models.FloorHour, comers: Sequence[Comer]) -> list[tuple[Comer, Any]]:
    """Everybody who logged something in the days of the hour, with that log as one of the day it began on."""
    rows = {one.number: one.trainee for one in hour.people.select_related("trainee")}
    days, known = days_of(hour), catalogue()
    came = models.LogRow.objects.filter(trainee__in=list(rows.values()), day__range=days)
    logged = set(came.values_list("trainee_id", flat=True))
    return [
        (one, as_planned_log(rows[one.number], log_of_days(rows[one.number], known, *days), hour.on))
        for one in comers
        if one.number in rows and rows[one.number].id in logged
    ]


def as_planned_log(row: models.Trainee, log: Log, on: date) -> Log:
    """A log as of one day, with every set as the planned one that a phone says it is, whatever was done instead."""
    slots = dict(row.log_rows.filter(key__in=[one.row for one in log.sets]).values_list("key", "slot"))
    sets = []
    for one in log.sets:
        planned = slot_of(slots.get(one.row, ""))
        exercise, number = planned[1:] if planned else (one.exercise, one.set)
        sets.append(replace(one, date=on, exercise=exercise, set=number))
    return Log(tuple(sets), tuple(replace(one, date=on) for one in log.sessions))


def keep_plan(hour: models.FloorHour, made: Hour, mark: str = "") -> None:
    """Keeps a timetable with the words that a page shows beside it.

    mark : of the timetable that it betters; a new one where the coach did something
    """
    known = catalogue()
    report = floor_report(replace(made, exchange=None), known)  # it stands by its button
    timetable = hour_json(made)
    slugs = {slug for row in timetable["sets"] for slug in (row["exercise"], row["done_as"]) if slug}
    stock = floor_stock(made.place, turns_left((), timetable, []))[0]
    hour.plan = {
        "mark": mark or secrets.token_hex(8),
        "ticked": hour.plan.get("ticked", []),
        "bouts": bouts_in(made, known),
        "timetable": timetable,
        "place": made.place.name,
        "names": {slug: name_of(slug, known) for slug in sorted(slugs)},
        "missed": missed_in(timetable, known),
        "facts": [one for one in report.facts if one not in left_out_words(made, known, str)],
        "changes": list(report.changes),
        "ends": length_words(made.solved.end_s),
        "exchange": exchange_offered(made, known),
        "stations": {thing: thing_words(thing) for thing in sorted(stock) if is_station(thing)},
    }
    hour.save(update_fields=["plan"])


def bouts_in(made: Hour, known: Catalogue) -> dict[str, dict[str, Any]]:
    """The bouts of everybody by ``Person 2/5`` (the first entry): how to say them, and by what they are done."""
    found = {}
    for one in made.comers:
        at = 0
        for part in one.session.parts:
            for group in groups_of(part.entries):
                bout = group[0].bout
                if bout is not None:
                    names = ", ".join(dict.fromkeys(name_of(each.exercise, known) for each in group))
                    found[f"{one.name}/{at}"] = {
                        "words": f"{bout_text(bout, known)}: {names}",
                        "letter": group[0].superset or "",
                        "sets": {each.exercise: len(each.sets) for each in group},
                    }
                at += len(group)
    return found


def missed_in(timetable: Mapping[str, Any], known: Catalogue) -> list[dict[str, Any]]:
    """What is not done because something is broken, by exercise: who misses it, and what can stand in for whom."""
    found: dict[tuple[str, str], dict[str, Any]] = {}
    for one in timetable["left_out"]:
        words = {"words": name_of(one["exercise"], known), "why": one["why"], "who": [], "instead": {}}
        row = found.setdefault((one["exercise"], one["why"]), words)
        row["who"].append(one["name"])
        for other in one["instead"]:
            is_alone = other["exercise"] == one["exercise"]
            said = "on its own" if is_alone else name_of(other["exercise"], known)
            each = {"words": said, "is_alone": is_alone, "who": [], "takes": []}
            offer = row["instead"].setdefault(other["exercise"], each)
            offer["who"].append(one["name"])
            offer["takes"].append(f"{one['name']}:{one['exercise']}={other['exercise']}")
    return list(found.values())


def exchange_offered(made: Hour, known: Catalogue) -> dict[str, str]:
    """The one exchange that saves most, to be taken by the coach; empty where none does."""
    if made.exchange is None:
        return {}
    offer = made.exchange.offer
    takes = f"{offer.person.name}:{offer.exercise}={offer.instead}"
    return {"takes": takes, "words": exchange_words(made.exchange, known, str)}


def has_begun(hour: models.FloorHour, takes: str, now: datetime) -> bool:
    """True where a set of what an exchange takes away has begun by the timetable, or it is not in it any more."""
    name, _, what = takes.partition(":")
    slug = what.partition("=")[0]
    starts = [one["from_s"] for one in hour.plan["timetable"]["sets"] if (one["name"], one["exercise"]) == (name, slug)]
    return not starts or min(starts) <= 60.0 * minute_of(hour, now)


def is_searching(hour: models.FloorHour) -> bool:
    """True while a better timetable than this one is looked for."""
    jobs_of = models.Job.objects.filter(practice=hour.practice_id, deed="hour")
    open_ones = jobs_of.filter(state__in=(models.Job.WAITING, models.Job.RUNNING))
    return any(one.get("hour") == str(hour.id) for one in open_ones.values_list("asked", flat=True))


def is_station(thing: str) -> bool:
    """True for what somebody stands at: no plate, dumbbell, bell or band."""
    return " kg" not in thing and not thing.startswith(("plate ", "band "))


def open_board(hour: models.FloorHour, by: Any) -> str:
    """A new link for the screen; it is shown once, and the one before ends."""
    secret = secrets.token_urlsafe(SECRET_BYTES)
    hour.digest, hour.open_until = digest_of(secret), timezone.now() + timedelta(hours=BOARD_HOURS)
    hour.opened_at = None
    hour.save(update_fields=["digest", "open_until", "opened_at"])
    note(hour.practice, by, "made the link of a screen", None, hour.place)
    return secret


def close_board(hour: models.FloorHour, by: Any) -> None:
    """Ends the link of the screen at once."""
    hour.digest, hour.open_until = "", None
    hour.save(update_fields=["digest", "open_until"])
    note(hour.practice, by, "ended the link of a screen", None, hour.place)


def board_of(secret: str) -> models.FloorHour | None:
    """The hour that a link opens, while it does; None for any other. The first opening goes into the audit trail."""
    found: models.FloorHour | None = (
        models.FloorHour.objects.select_related("practice").filter(digest=digest_of(secret)).first()
    )
    now = timezone.now()
    if found is None or found.open_until is None or found.open_until <= now:
        return None
    if found.opened_at is None:
        fresh = models.FloorHour.objects.filter(id=found.id, digest=found.digest, opened_at=None)
        if fresh.update(opened_at=now):  # once, however many screens ask at that moment
            note(found.practice, None, "the link of a screen was opened", None, found.place)
    return found


def names_in(hour: models.FloorHour) -> Mapping[int, str]:
    """First names by number, whole ones where two share the first; people who were erased have their number alone."""
    names = {one.number: one.trainee.name for one in hour.people.select_related("trainee")}
    return {
        number: short or str(number) for number, short in zip(names, first_names(list(names.values())), strict=True)
    }
