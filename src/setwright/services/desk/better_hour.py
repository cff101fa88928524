"""A better timetable for an hour that is followed already, and the one exchange that saves most, found as a job.

The search takes longer than a set, so it leaves alone what the timetable begins in the next minutes. What comes too
late for that is looked for again with more minutes, and at last given up: nothing moves under anybody's hands.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime

from django.db import transaction
from django.utils import timezone

from setwright.plan.floor.again import AT_ONCE, QUICK
from setwright.plan.floor.asks import USUAL_TURNS
from setwright.plan.floor.bounds import loads, places_of
from setwright.plan.floor.hour import Comer, Hour, offers
from setwright.plan.floor.scarcity import Exchange, Offer, one_more
from setwright.plan.floor.solve import USUAL, Effort, waits_s
from setwright.records import models
from setwright.services.desk.hours import Between, comers_of, keep_plan, minute_of, planned
from setwright.services.gather import catalogue

# A short search first, then the long one; and the minutes that each leaves alone, longer where it came too late.
TRIES = ((QUICK, 1.0), (USUAL, 2.0), (USUAL, 5.0), (USUAL, 10.0))
TRIED, WORKED_OUT = 40, 3  # exchanges that are tried, and those that look best and are worked out
WORTH_S = 60

KEPT, CAME_BETWEEN, TOO_LATE = "kept", "something came between", "too late"


def look_for_better(hour_id: str, mark: str, clock: Callable[[], datetime] = timezone.now) -> str:
    """Keeps the better timetable with its proof, then what scarcity costs and the best exchange; says what came of it.

    mark : of the timetable that it is to be better than; nothing is kept once there is another
    """
    for effort, ahead in TRIES:
        hour = models.FloorHour.objects.select_related("practice", "coach").filter(id=hour_id).first()
        if hour is None or hour.plan.get("mark") != mark:
            return CAME_BETWEEN
        until = max(0.0, minute_of(hour, clock()) + ahead)
        approved = comers_of(hour, [])

        def made_with(
            exchanges: tuple[str, ...],
            effort: Effort,
            hour: models.FloorHour = hour,
            at: float = until,
            approved: Sequence[Comer] = tuple(approved),
        ) -> Hour:
            return planned(hour, Between(exchanges=exchanges), at, effort, with_log=False, approved=approved)

        made = made_with((), effort)
        came = keep_in_time(hour_id, mark, made, until, clock)
        if came == CAME_BETWEEN:
            return came
        if came == KEPT and effort is USUAL:
            more = tuple(one_more(made.floor, made.solved.timetable))
            told = replace(made, more=more, exchange=exchange_that_saves_most(made, made_with))
            keep_in_time(hour_id, mark, told, None, clock)
            return came
    return TOO_LATE


@transaction.atomic
def keep_in_time(hour_id: str, mark: str, made: Hour, until: float | None, clock: Callable[[], datetime]) -> str:
    """Keeps a timetable in the place of the one with this mark, before the minute ``until``; says what came of it."""
    hour = models.FloorHour.objects.select_for_update().filter(id=hour_id).first()
    if hour is None or hour.plan.get("mark") != mark:
        return CAME_BETWEEN
    if until is not None and minute_of(hour, clock()) > until:
        return TOO_LATE
    keep_plan(hour, made, mark)
    return KEPT


def exchange_that_saves_most(made: Hour, made_with: Callable[[tuple[str, ...], Effort], Hour]) -> Exchange | None:
    """The one exchange of what is not begun that saves most at the end, then in waiting; None where none does.

    Those at the busiest things are tried in the order that is followed; those that look best, each of another exercise,
    are worked out by a short search.
    """
    turns = frozenset(USUAL_TURNS - set(made.held))
    begun = {
        (a, entry)
        for (a, v), placed in made.solved.timetable.items()
        if placed.starts[0] <= made.floor.now_s
        for entry in made.floor.attendees[a].visits[v].entries
    }
    found = [
        one
        for one in offers(made.floor, made.comers, made.place, catalogue(), turns, made.on)
        if (one.attendee, one.entry) not in begun
    ]
    tried = []
    for number, one in enumerate(busiest_first(made, found)[:TRIED]):
        words = (f"{one.person.name}:{one.exercise}={one.instead}",)
        tried.append((made_with(words, AT_ONCE).solved.points, number, one, words))
    best: dict[tuple[int, int], Exchange] = {}
    for _, _, one, words in sorted(tried, key=lambda each: each[:2]):
        if (one.attendee, one.entry) in best or len(best) == WORKED_OUT:
            continue
        other = made_with(words, QUICK)
        saves, waits = made.solved.end_s - other.solved.end_s, waiting(made) - waiting(other)
        best[one.attendee, one.entry] = Exchange(one, other.solved.end_s, saves, waits)
    worth = [
        one for one in best.values() if one.saves_s >= WORTH_S or (one.saves_s >= 0 and one.waits_saved_s >= WORTH_S)
    ]
    return min(worth, key=lambda one: (-one.saves_s, -one.waits_saved_s, one.offer.instead), default=None)


def busiest_first(made: Hour, found: Sequence[Offer]) -> list[Offer]:
    """Offers by how long the busiest thing that their exercise takes is asked for, the longest first."""
    load: dict[str, float] = {}
    for things, seconds in loads(made.floor).items():
        for thing in things:
            load[thing] = max(load.get(thing, 0.0), seconds / max(1, places_of(made.floor, things)))

    def asked(one: Offer) -> float:
        visits = made.floor.attendees[one.attendee].visits
        uses = [use for visit in visits if one.entry in visit.entries for use in visit.uses]
        return max((load.get(thing, 0.0) for use in uses for thing in use.things), default=0.0)

    return sorted(found, key=lambda one: -asked(one))


def waiting(hour: Hour) -> int:
    """Seconds waited by all."""
    return sum(waits_s(hour.floor, hour.solved.timetable))
