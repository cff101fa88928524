"""A day on the floor: the session of today on a phone, and the rows that come from it."""

from __future__ import annotations

import json
from datetime import date
from typing import Any
from uuid import UUID

from django.contrib.auth.views import redirect_to_login
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_POST

from setwright.faults import Fault, InputFaults
from setwright.plan.block_days import session_on
from setwright.publish import words
from setwright.publish.page import figures_of, parts_of
from setwright.records import models
from setwright.records.data_base import block_of, in_force_id, revision_in_force
from setwright.services.clock import today
from setwright.services.desk.choices import take_choices
from setwright.services.desk.cues import cues_by_exercise
from setwright.services.desk.kept_days import day_values, own_version, told_mark, told_values
from setwright.services.desk.logging import after_rows, take_rows
from setwright.services.desk.notes import fresh_replies, take_notes
from setwright.services.gather import catalogue
from setwright.web.access import coach_of, one_who_logs, require_trainee, trainee_of
from setwright.web.script import as_script
from setwright.web.views.block import shown_figures


@require_GET
@never_cache
def own_day(request: HttpRequest) -> HttpResponse:
    """The trainee's own day; whoever's log-in has ended is asked for it, and comes back here."""
    if not request.user.is_authenticated:
        return redirect_to_login(request.get_full_path())
    return day_page(request, require_trainee(request), today())


@require_GET
@never_cache
def show(request: HttpRequest, trainee_id: UUID, on: str) -> HttpResponse:
    """A day of one trainee, for themselves or their coach."""
    if not request.user.is_authenticated:
        return redirect_to_login(request.get_full_path())
    row = one_who_logs(request, trainee_id)
    try:
        return day_page(request, row, date.fromisoformat(on))
    except ValueError:
        raise Http404 from None


def day_page(request: HttpRequest, row: models.Trainee, on: date) -> HttpResponse:
    """The page of a day: its session, or when the next one is."""
    revision = revision_in_force(row)
    block = None if revision is None else block_of(revision)
    found = None if block is None else session_on(block, on)
    later = row.planned_days.filter(date__gt=on).order_by("date").first()
    earlier = row.planned_days.filter(date__lt=on).order_by("-date").first()
    values = {
        "row": row,
        "on": on,
        "later": later,
        "earlier": earlier,
        "plan": block,
        "title": f"{on:%A}, {words.date_text(on)}",
    }
    values["replies"] = fresh_replies(row).order_by("-at")[:3] if trainee_of(request.user) == row else []
    if block is None or found is None:
        return render(request, "day_off.html", values)
    week, session = found
    parts = parts_of(block, session, catalogue(), None)
    figures = shown_figures(figures_of(parts, catalogue()))
    attach_cues(row, parts)
    values |= {
        "week": week,
        "session": session,
        "lead": f"{words.week_title(block, week)}: {words.effort_of_lifts(session)}, about {session.minutes:.0f} min",
        "parts": parts,
        "figures": figures,
        "cautions": block.cautions,
        "json": as_script(day_values(row, block, week, session, on)),
    }
    return render(request, "day.html", values)


def attach_cues(row: models.Trainee, parts: list[dict[str, Any]]) -> None:
    """Gives every entry of a page the coach's own cues for it."""
    slugs = [entry["exercise"] for part in parts for entry in part["entries"]]
    found = cues_by_exercise(row, slugs)
    for part in parts:
        for entry in part["entries"]:
            entry["cues"] = found.get(entry["exercise"], [])


@require_GET
@never_cache
def now(request: HttpRequest, trainee_id: UUID) -> JsonResponse:
    """Which revision is in force, and which own exercises: by it an open page learns that the coach changed them.

    With ``on`` (the day of a session) and ``told`` (how far the page knows of it), also what came since from elsewhere.
    """
    row = one_who_logs(request, trainee_id)
    found = {"block": in_force_id(row), "own": own_version(row)}
    return JsonResponse({**found, **came_since(row, request.GET.get("on", ""), request.GET.get("told", ""))})


def came_since(row: models.Trainee, day: str, told: str) -> dict[str, Any]:
    """What was logged and chosen of a session, where that went on since; nothing elsewhere."""
    try:
        on = date.fromisoformat(day)
    except ValueError:
        return {}
    if told_mark(row, on) == told:
        return {}
    revision = revision_in_force(row)
    found = None if revision is None else session_on(block_of(revision), on)
    return {} if found is None else told_values(row, *found, on)


@require_POST
def take(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """Rows, notes and choices from a phone: each is kept once; a wrong one is named with its reason."""
    row = one_who_logs(request, trainee_id)
    rows, notes, choices = sent(request.body)
    is_coach = coach_of(request.user) is not None
    taken = take_rows(row, rows, request.user)
    kept, refused = take_notes(row, notes, is_from_coach=is_coach)
    chosen, wrong = take_choices(row, choices, request.user)
    if taken.fresh:
        after_rows(row, taken.fresh, request.user)
    return JsonResponse(
        {
            "kept": [*taken.kept, *kept, *chosen],
            "refused": {**taken.refused, **refused, **wrong},
            "replaced": dict(taken.replaced or {}),
        }
    )


def sent(body: bytes) -> tuple[list[dict[str, Any]], ...]:
    """The rows, notes and choices in what a phone sent. Raises InputFaults where it is none."""
    try:
        data = json.loads(body)
    except (ValueError, RecursionError):
        data = None
    if isinstance(data, dict) and "rows" in data:
        found = (data["rows"], data.get("notes", []), data.get("choices", []))
        if all(isinstance(some, list) and all(isinstance(one, dict) for one in some) for some in found):
            return found
    allowed = '{"rows": [...], "notes": [...], "choices": [...]}'
    raise InputFaults([Fault("log", "", "what is no list of rows", allowed)])
