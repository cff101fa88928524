"""One entry of a block and what may become of it; and what came between. Each change is a job."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from setwright.faults import Fault, InputFaults
from setwright.people.trainee import DAY_NAMES
from setwright.plan.away_days import MOST_BYTES
from setwright.plan.block import Block
from setwright.plan.explain import join_words
from setwright.plan.reshape_options import Spot
from setwright.publish import words
from setwright.records.data_base import block_of
from setwright.services.clock import today
from setwright.services.desk import adding, changing, jobs
from setwright.services.desk.entry_page import entry_values, exchange_values
from setwright.services.gather import catalogue
from setwright.web.access import coached
from setwright.web.views.block import revision_of

DOSE = ("sets", "reps", "hold_s", "distance_m", "minutes", "left", "load", "band", "reason", "deed")
FIELDS = ("what", "to", *DOSE, "other", "to_day")


def address_of(name: str, trainee_id: Any, block_id: str, spot: Spot) -> str:
    """The address of a page about one entry."""
    query = {"day": spot.day, "part": spot.part, "of": spot.exercise, "number": spot.number}
    return f"{reverse(name, args=[trainee_id, block_id])}?{urlencode(query)}"


@require_http_methods(["GET", "POST"])
def entry(request: HttpRequest, trainee_id: UUID, block_id: str) -> HttpResponse:
    """One entry: what it asks week by week, why it is there, and the ways to change it."""
    row = coached(request, trainee_id)
    block = block_of(revision_of(row, block_id))
    spot = changing.spot_in(request.GET)
    held = changing.require_entry(block, spot)
    said: dict[str, Any] = {}
    faults: Any = ()
    if request.method == "POST":
        said = {key: request.POST.get(key, "") for key in FIELDS} | {"weeks": request.POST.getlist("weeks")}
        said["to"] = said["to_day"] if said["what"] == "move" else said["other"].strip() or said["to"]
        try:
            changing.block_to_change(row, block_id)
            unit = words.day_unit(block, spot.day)
            changing.edit_said(said, spot, held, changing.ahead_of(row, block, today()), unit)
        except InputFaults as wrong:
            faults = wrong.faults
        else:
            where = {"day": spot.day, "part": spot.part, "of": spot.exercise, "number": str(spot.number)}
            asked = {**said, **where, "block": block_id, "on": today().isoformat(), "send": said["deed"] == "send"}
            return redirect("job", jobs.ask(row, "by-hand", asked, request.user).id)
    values = {
        "row": row,
        "plan": block,
        "said": said,
        "faults": faults,
        "lock_at": reverse("lock", args=[row.id, block_id]),
        "other_waits": changing.others_waiting(row, block_id),
    }
    values |= entry_values(row, block, held, today())
    if request.GET.get("show") == "exchange" or said.get("what") == "exchange":
        values |= exchange_values(block, held)
    return render(request, "plan/entry.html", values, status=400 if faults else 200)


@require_http_methods(["GET", "POST"])
def add(request: HttpRequest, trainee_id: UUID, block_id: str) -> HttpResponse:
    """One exercise more on a day, from this week on: any that the limits and the place leave open."""
    row = coached(request, trainee_id)
    block = block_of(revision_of(row, block_id))
    day = adding.day_of(block, request.GET)
    said: dict[str, Any] = {}
    faults: Any = ()
    if request.method == "POST":
        said = {key: request.POST.get(key, "") for key in ("to", "part", *DOSE)}
        said |= {"weeks": request.POST.getlist("weeks"), "day": day}
        try:
            changing.block_to_change(row, block_id)
            adding.new_said(block, said, changing.ahead_of(row, block, today()))
        except InputFaults as wrong:
            faults = wrong.faults
        else:
            asked = {**said, "block": block_id, "on": today().isoformat(), "send": said["deed"] == "send"}
            return redirect("job", jobs.ask(row, "add", asked, request.user).id)
    values = {"row": row, "plan": block, "said": said, "faults": faults}
    values |= {"other_waits": changing.others_waiting(row, block_id)}
    values |= adding.adding_values(row, block, day, today())
    return render(request, "plan/add.html", values, status=400 if faults else 200)


@require_POST
def lock_one(request: HttpRequest, trainee_id: UUID, block_id: str) -> HttpResponse:
    """Locks an entry, or unlocks it."""
    row = coached(request, trainee_id)
    spot = changing.spot_in(request.POST)
    is_locked = request.POST.get("locked") == "yes"
    changing.lock(row, block_id, spot, is_locked, request.user)
    name = words.name_of(spot.exercise, catalogue())
    messages.success(request, f"{name[:1].upper()}{name[1:]} is {'locked' if is_locked else 'free'} now.")
    return redirect(address_of("entry", row.id, block_id, spot))


@require_http_methods(["GET", "POST"])
def between(request: HttpRequest, trainee_id: UUID, block_id: str) -> HttpResponse:
    """A day lost, minutes cut, something not to be had: the weeks meant are planned again around it."""
    row = coached(request, trainee_id)
    block = block_of(revision_of(row, block_id))
    said: dict[str, Any] = {"lost": request.GET.getlist("lost"), "weeks": request.GET.getlist("weeks")}
    shown = changing.between_values(row, block, today())
    faults: Any = ()
    away = None
    if request.method == "POST" and request.POST.get("deed") == "calendar":
        try:
            away = away_shown(request, block, shown["ahead"])
        except InputFaults as wrong:
            faults = wrong.faults
    elif request.method == "POST":
        given = request.POST
        said = {key: given.get(key, "").strip() for key in ("gone", "minutes", "day", "deed")}
        said |= {"lost": given.getlist("lost"), "weeks": given.getlist("weeks")}
        try:
            changing.block_to_change(row, block_id)
            changing.disturbance_said(block, said, changing.ahead_of(row, block, today()))
        except InputFaults as wrong:
            faults = wrong.faults
        else:
            asked = {**said, "block": block_id, "on": today().isoformat(), "send": said["deed"] == "send"}
            return redirect("job", jobs.ask(row, "between", asked, request.user).id)
    may = changing.may_change(row, block_id)
    values = {"row": row, "plan": block, "said": said, "faults": faults, "may": may, "away": away}
    values |= {"other_waits": changing.others_waiting(row, block_id)}
    return render(request, "plan/between.html", values | shown, status=400 if faults else 200)


def away_shown(request: HttpRequest, block: Block, ahead: list[int]) -> dict[str, Any]:
    """What a calendar that was sent says, with an address of the filled-in form for each kind of lost week."""
    file = request.FILES.get("calendar")
    if file is None:
        raise InputFaults([Fault("days away", "", "no file", "a calendar file (.ics)")])
    found = changing.days_away(block, file.read(MOST_BYTES + 1), str(file.name)[:80], ahead)
    asks = [
        {
            "days": join_words([DAY_NAMES[day] for day in lost]),
            "weeks": ("weeks " if len(weeks) > 1 else "week ") + join_words([str(week) for week in weeks]),
            "query": urlencode({"lost": lost, "weeks": weeks}, doseq=True),
        }
        for lost, weeks in found.asks
    ]
    return {"dates": found.dates, "asks": asks, "unread": found.unread}
