"""The hour on the floor: made and changed by the coach, shown on a large screen by a private link."""

from __future__ import annotations

from contextlib import suppress
from datetime import datetime
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods, require_POST, require_safe

from setwright.faults import Fault, InputFaults, NoPlan
from setwright.plan.block_days import session_on
from setwright.records import models
from setwright.records.data_base import current_of
from setwright.services.clock import today
from setwright.services.desk import hours
from setwright.services.desk.board import board_values, with_names
from setwright.services.desk.ticking import tick
from setwright.services.floor_asked import MOST_PEOPLE
from setwright.web.access import own_hour, require_coach, screen_to_end, trainees_of
from setwright.web.views.names import FIND, names_values
from setwright.web.views.sharing import kept_close
from setwright.web.views.told import ids_of

TICKS = ("tick", "back")  # done with this set; not that far yet


@require_http_methods(["GET", "POST"])
@never_cache
def listed(request: HttpRequest) -> HttpResponse:
    """The coach's hours, and a form for a new one."""
    coach = require_coach(request)
    if request.method == "GET" or request.POST.get("deed") == FIND:
        return form_page(request, coach)
    wanted = ids_of(request.POST.getlist("who"))
    found = {one.id: one for one in trainees_of(coach).filter(id__in=wanted)}
    rows = [found[one] for one in dict.fromkeys(wanted) if one in found]
    try:
        begins = start_of(request.POST.get("begins", ""))
        by_number = request.POST.get("shown") == "numbers"
        made = hours.new_hour(coach, rows, request.POST.get("place", "")[:100], begins, by_number)
    except (InputFaults, NoPlan) as wrong:
        return form_page(request, coach, wrong)
    return redirect("hour", made.id)


def start_of(text: str) -> datetime:
    """When an hour begins today, from HH:MM; now where nothing is said. Raises InputFaults."""
    now = timezone.localtime()
    if not text.strip():
        return now.replace(second=0, microsecond=0)
    try:
        said = datetime.strptime(text.strip(), "%H:%M")
    except ValueError:
        raise InputFaults([Fault("hour", "begins", repr(text[:20]), "a time like 18:00")]) from None
    return now.replace(hour=said.hour, minute=said.minute, second=0, microsecond=0)


def form_page(request: HttpRequest, coach: models.Coach, wrong: InputFaults | NoPlan | None = None) -> HttpResponse:
    """The hours of today and the form for a new one, with what is wrong with what was sent."""
    everybody = trainees_of(coach).order_by("name")
    today_ids = set(everybody.filter(planned_days__date=today()).values_list("id", flat=True))
    is_one_hour = len(today_ids) <= MOST_PEOPLE  # else it is for the coach to say who of them come together
    proposed = today_ids if is_one_hour else set()
    ticked = set(ids_of(request.POST.getlist("who"))) if request.method == "POST" else proposed
    names = names_values(request, everybody, proposed | ticked)
    people = sorted(names["names"], key=lambda one: (one.id not in today_ids, one.name))
    values = {
        "hours": coach.hours.order_by("-begins_at"),
        "people": [{"row": one, "is_today": one.id in today_ids, "is_ticked": one.id in ticked} for one in people],
        "places": hours.places_to_choose(coach.practice, everybody.filter(id__in=today_ids)),
        "place": request.POST.get("place", "") or place_of_today(people[0] if proposed else None),
        "begins": request.POST.get("begins", "") or timezone.localtime().strftime("%H:%M"),
        "shown": request.POST.get("shown", "names"),
        **names,
        **said_wrong(wrong),
    }
    return render(request, "hours.html", values, status=200 if wrong is None else 400)


def place_of_today(row: models.Trainee | None) -> str:
    """Where one of those who train today trains; empty for nobody."""
    block = None if row is None else current_of(row)
    found = None if block is None else session_on(block, today())
    return "" if found is None else found[1].place


def said_wrong(wrong: InputFaults | NoPlan | None) -> dict[str, Any]:
    """What stands in the way, as lines for a page."""
    if wrong is None:
        return {"wrong": []}
    if isinstance(wrong, InputFaults):
        return {"wrong": [one.sentence for one in wrong.faults]}
    return {"wrong": [*wrong.conflict, *(f"What would help: {one.sentence()}" for one in wrong.repairs)]}


@require_http_methods(["GET", "POST"])
@never_cache
def one(request: HttpRequest, hour_id: UUID) -> HttpResponse:
    """Who is where in an hour, and what may come between; each deed plans on from the current minute."""
    hour = own_hour(request, hour_id)
    if request.method == "GET":
        return hour_page(request, hour)
    try:
        done(request, hour)
    except (InputFaults, NoPlan) as wrong:
        return hour_page(request, hour, wrong)
    return redirect("hour", hour.id)


def done(request: HttpRequest, hour: models.FloorHour) -> None:
    """One deed of the coach. Raises InputFaults and NoPlan; then nothing has changed."""
    deed, now = request.POST.get("deed", ""), timezone.now()
    if deed in TICKS:
        number, at = number_of(request, hour), whole_number(request.POST.get("at", ""))
        if not tick(hour, number, at, now, request.user, deed == "tick"):
            messages.info(request, "It had moved on already: look again.")
        return
    if deed == "drop-in":
        found = trainees_of(hour.coach).filter(id__in=ids_of([request.POST.get("who", "")])).first()
        if found is None:
            raise InputFaults([Fault("hour", "who", repr(request.POST.get("who", "")[:40]), "somebody of yours")])
        hours.drop_in(hour, found, now, request.user)
    else:
        hours.something_came(hour, between_of(request, hour, deed, now), now, request.user)
    messages.success(request, "Planned on from now: the board follows.")


def between_of(request: HttpRequest, hour: models.FloorHour, deed: str, now: datetime) -> hours.Between:
    """What came between, as a form says it. Raises InputFaults."""
    if deed == "on":
        return hours.Between()
    if deed == "broken":
        return hours.Between(broken=(request.POST.get("thing", "")[:80],))
    if deed == "exchange":
        return hours.Between(exchanges=(offered_exchange(request, hour, now),))
    if deed == "instead":
        return hours.Between(exchanges=instead_of_missed(request, hour))
    if deed == "away":
        return hours.Between(absent=(number_of(request, hour),))
    if deed == "late":
        minute = max(0.0, hours.minute_of(hour, now)) + 10.0
        return hours.Between(late=((number_of(request, hour), minute),))
    allowed = "tick, back, on, drop-in, away, late, broken, exchange or instead"
    raise InputFaults([Fault("hour", "deed", repr(deed[:40]), allowed)])


def offered_exchange(request: HttpRequest, hour: models.FloorHour, now: datetime) -> str:
    """The exchange that the page offers, where that is what was sent and it is not begun. Raises InputFaults."""
    found = hour.plan.get("exchange", {})
    if not found or request.POST.get("takes") != found["takes"]:
        sent = repr(request.POST.get("takes", "")[:80])
        raise InputFaults([Fault("hour", "exchange", sent, "the exchange that the page offers")])
    if hours.has_begun(hour, found["takes"], now):
        raise InputFaults([Fault("hour", "exchange", "an exercise that has begun", "one that is still to come")])
    return str(found["takes"])


def instead_of_missed(request: HttpRequest, hour: models.FloorHour) -> tuple[str, ...]:
    """What stands in for what some miss, as the page offers it: ``name=slug``. Raises InputFaults."""
    sent = request.POST.get("instead", "")
    for row in hour.plan.get("missed", ()):
        for slug, offer in row["instead"].items():
            if sent == f"{row['words']}={slug}":
                return tuple(offer["takes"])
    raise InputFaults([Fault("hour", "instead", repr(sent[:80]), "what the page offers for what is missed")])


def whole_number(text: str) -> int:
    """A whole number from a form; -1 for anything else."""
    return int(text) if text.isdecimal() and len(text) < 6 else -1


def number_of(request: HttpRequest, hour: models.FloorHour) -> int:
    """The person of an hour whom a form names. Raises InputFaults."""
    text = request.POST.get("number", "")
    with suppress(ValueError):
        if hour.people.filter(number=int(text)).exists():
            return int(text)
    raise InputFaults([Fault("hour", "number", repr(text[:20]), "the number of somebody in this hour")])


def hour_page(
    request: HttpRequest, hour: models.FloorHour, wrong: InputFaults | NoPlan | None = None, link: str = ""
) -> HttpResponse:
    """The hour as the coach sees it."""
    there = hour.people.values_list("trainee_id", flat=True)
    values = {
        "hour": hour,
        **names_values(request, trainees_of(hour.coach).exclude(id__in=there)),
        "is_open": bool(hour.digest) and hour.open_until is not None and hour.open_until > timezone.now(),
        "link": link,
        "is_page": True,
        "hurts": hour.people.select_related("trainee").order_by("number"),
        **now_values(hour),
        **said_wrong(wrong),
    }
    return render(request, "hour.html", values, status=200 if wrong is None else 400)


def now_values(hour: models.FloorHour) -> dict[str, Any]:
    """Who is where, what moved last, and how good the timetable is known to be."""
    at = timezone.now()
    exchange = hour.plan.get("exchange", {})
    is_open = bool(exchange) and not hours.has_begun(hour, exchange["takes"], at)
    return {
        "facts": [with_names(one, hour) for one in hour.plan["facts"]],
        "exchange": with_names(exchange["words"], hour) if is_open else "",
        "changes": [with_names(one, hour) for one in hour.plan["changes"]],
        "is_searching": hours.is_searching(hour),
        "missed": [missed_values(one, hour) for one in hour.plan.get("missed", ())],
        **board_values(hour, at),
    }


def missed_values(missed: dict[str, Any], hour: models.FloorHour) -> dict[str, Any]:
    """One exercise that some miss, with names, and what can stand in for them."""

    def named(people: list[str]) -> str:
        return with_names(", ".join(dict.fromkeys(people)), hour)

    instead = [{"slug": slug, **one, "who": named(one["who"])} for slug, one in missed["instead"].items()]
    return {**missed, "who": named(missed["who"]), "instead": instead}


@require_GET
@never_cache
def now(request: HttpRequest, hour_id: UUID) -> HttpResponse:
    """The list of who is where alone, for the page that asks for it again and again."""
    hour = own_hour(request, hour_id)
    return render(request, "hour_now.html", {"hour": hour, **now_values(hour)})


@require_POST
def screen(request: HttpRequest, hour_id: UUID) -> HttpResponse:
    """A link for the screen of the room, shown once; or the end of it."""
    if request.POST.get("deed") == "close":
        hour = screen_to_end(request, hour_id)
        hours.close_board(hour, request.user)
        messages.success(request, "The screen shows nothing any more.")
        return redirect("all-links") if request.POST.get("back") == "all" else redirect("hour", hour.id)
    hour = own_hour(request, hour_id)
    secret = hours.open_board(hour, request.user)
    return hour_page(request, hour, link=request.build_absolute_uri(reverse("board", args=[secret])))


def require_board(secret: str) -> models.FloorHour:
    """The hour that a link opens. Raises Http404 for one that is over, closed or unknown: all look alike."""
    found = hours.board_of(secret)
    if found is None:
        raise Http404
    return found


@require_safe
@never_cache
def board(request: HttpRequest, secret: str) -> HttpResponse:
    """The board of an hour, for a large screen; it asks for what is new by itself."""
    hour = require_board(secret)
    values = {"secret": secret, "hour": hour, **board_values(hour, timezone.now())}
    return kept_close(render(request, "board.html", values))


@require_safe
@never_cache
def board_now(request: HttpRequest, secret: str) -> HttpResponse:
    """The lines of a board alone."""
    hour = require_board(secret)
    return kept_close(render(request, "board_now.html", board_values(hour, timezone.now())))
