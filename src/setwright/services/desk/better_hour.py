"""A better timetable for an hour that is followed already, and the one exchange that saves most, found as a job.

The search takes longer than a set, so it leaves alone what the timetable begins in the next minutes. What comes too
late for that is looked for again with more minutes, and at last given up: nothing moves under anybody's hands.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

from django.db import transaction
from django.utils import timezone

from setwright.plan.floor.again import AT_ONCE, QUICK
from setwright.plan.floor.asks import USUAL_TURNS
from setwright.plan.floor.hour import Hour, offers
from setwright.plan.floor.scarcity import Exchange
from setwright.plan.floor.solve import USUAL, Effort, waits_s
from setwright.records import models
from setwright.services.desk.hours import Between, keep_plan, minute_of, planned
from setwright.services.gather import catalogue

# A short search first, then the long one; and the minutes that each leaves alone, longer where it came too late.
TRIES = ((QUICK, 1.0), (USUAL, 2.0), (USUAL, 5.0), (USUAL, 10.0))
WORKED_OUT = 3  # exchanges that look best and are worked out by a short search
WORTH_S = 60

KEPT, CAME_BETWEEN, TOO_LATE = "kept", "something came between", "too late"


def look_for_better(hour_id: str, mark: str, clock: Callable[[], datetime] = timezone.now) -> str:
    """Keeps the better timetable with its proof and the best exchange; says what came of it.

    mark : of the timetable that it is to be better than; nothing is kept once there is another
    """
    came = TOO_LATE
    for effort, ahead in TRIES:
        if came == KEPT:
            break
        hour = models.FloorHour.objects.select_related("practice", "coach").filter(id=hour_id).first()
        if hour is None or hour.plan.get("mark") != mark:
            return CAME_BETWEEN
        until = max(0.0, minute_of(hour, clock()) + ahead)

        def made_with(
            exchanges: tuple[str, ...], effort: Effort, hour: models.FloorHour = hour, at: float = until
        ) -> Hour:
            return planned(hour, Between(exchanges=exchanges), at, effort, with_log=False)

        made = made_with((), effort)
        if effort is USUAL:
            made = replace(made, exchange=exchange_that_saves_most(made, made_with))
        with transaction.atomic():
            now = models.FloorHour.objects.select_for_update().filter(id=hour_id).first()
            if now is None or now.plan.get("mark") != mark:
                return CAME_BETWEEN
            if minute_of(now, clock()) <= until:
                keep_plan(hour, made)
                mark, came = hour.plan["mark"], KEPT if effort is USUAL else TOO_LATE
    return came


def exchange_that_saves_most(made: Hour, made_with: Callable[[tuple[str, ...], Effort], Hour]) -> Exchange | None:
    """The one exchange of what is not begun that saves most at the end, then in waiting; None where none does.

    Each is tried in the order that is followed; those that look best are worked out by a short search.
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
    for number, one in enumerate(found):
        words = (f"{one.person.name}:{one.exercise}={one.instead}",)
        tried.append((made_with(words, AT_ONCE).solved.points, number, one, words))
    best: list[Exchange] = []
    for _, _, one, words in sorted(tried, key=lambda each: each[:2])[:WORKED_OUT]:
        other = made_with(words, QUICK)
        saves, waits = made.solved.end_s - other.solved.end_s, waiting(made) - waiting(other)
        if saves >= WORTH_S or (saves >= 0 and waits >= WORTH_S):
            best.append(Exchange(one, other.solved.end_s, saves, waits))
    return min(best, key=lambda one: (-one.saves_s, -one.waits_saved_s, one.offer.instead), default=None)


def waiting(hour: Hour) -> int:
    """Seconds waited by all."""
    return sum(waits_s(hour.floor, hour.solved.timetable))
