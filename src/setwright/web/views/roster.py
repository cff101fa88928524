"""Who trains today, who waits for a decision, what to look at first: in sentences."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from setwright.records import models
from setwright.services.clock import today
from setwright.services.desk.overview import next_planned
from setwright.web.access import coach_of, require_coach, trainee_of, trainees_of

A_PAGE = 40


def home(request: HttpRequest) -> HttpResponse:
    """The way to where one works: roster, own day, log-in, or the first run."""
    if not request.user.is_authenticated:
        return redirect("account_login" if models.Practice.objects.exists() else "start")
    if coach_of(request.user) is not None:
        return redirect("roster")
    if trainee_of(request.user) is not None:
        return redirect("today")
    return render(request, "fault.html", {"title": "Nothing here yet", "lines": ["Ask your coach for a link."]})


def roster(request: HttpRequest) -> HttpResponse:
    """The trainees of a coach: today's first, then who waits, then by what weighs most."""
    coach, on = require_coach(request), today()
    asked = request.GET.get("name", "").strip()
    rows = trainees_of(coach).select_related("overview")
    if asked:
        rows = rows.filter(name__icontains=asked)
    pages = Paginator(rows.order_by("-overview__weight", "name"), A_PAGE)
    page = pages.get_page(request.GET.get("page"))
    waiting = rows.filter(overview__waiting__gt=0).order_by("-overview__weight", "name")[:A_PAGE]
    todays = rows.filter(planned_days__date=on).order_by("name")[:A_PAGE]
    ahead = next_planned([*page, *waiting, *todays], on)
    values = {
        "on": on,
        "asked": asked,
        "page": page,
        "lines": [line_of(one, ahead) for one in page],
        "waiting": [line_of(one, ahead) for one in waiting],
        "todays": [line_of(one, ahead) for one in todays],
        "count": pages.count,
        "has_place": models.Document.objects.filter(practice=coach.practice, kind="place").exists(),
    }
    return render(request, "roster.html", values)


def line_of(row: models.Trainee, ahead: Mapping[Any, models.PlannedDay]) -> dict[str, Any]:
    """What the roster says of one trainee."""
    overview = getattr(row, "overview", None)
    return {
        "row": row,
        "overview": overview,
        "next": ahead.get(row.id),
        "first": overview.findings[0] if overview is not None and overview.findings else None,
    }
