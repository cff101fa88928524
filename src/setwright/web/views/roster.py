"""Who trains today, who waits for a decision, what to look at first: in sentences."""

from __future__ import annotations

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET

from setwright.records import models
from setwright.services.clock import today
from setwright.services.desk.roster import BY_WAITING, GROUPS, front, lines_of, rows_of
from setwright.web.access import coach_of, require_coach, trainee_of, trainees_of

A_PAGE = 40
TITLES = {
    "today": "Trains today",
    "waiting": "Waits for you",
    "first": "Look at these first",
    "rest": "The others",
    "all": "Everybody",
}


def home(request: HttpRequest) -> HttpResponse:
    """The way to where one works: roster, own day, log-in, or the first run."""
    if not request.user.is_authenticated:
        return redirect("account_login" if models.Practice.objects.exists() else "start")
    if coach_of(request.user) is not None:
        return redirect("roster")
    if trainee_of(request.user) is not None:
        return redirect("today")
    return render(request, "fault.html", {"title": "Nothing here yet", "lines": ["Ask your coach for a link."]})


@require_GET
def roster(request: HttpRequest) -> HttpResponse:
    """The trainees of a coach by what they need; one group, or a name, on pages of its own."""
    coach, on = require_coach(request), today()
    everybody = trainees_of(coach)
    asked, group = request.GET.get("name", "").strip()[:100], request.GET.get("show", "")
    values = {"on": on, "asked": asked, "count": everybody.count(), "title": TITLES["all"]}
    if asked or group in GROUPS:
        key = group if group in GROUPS else "all"
        pages = Paginator(rows_of(everybody, key, on, asked), A_PAGE)
        page = pages.get_page(request.GET.get("page"))
        values |= {"key": key, "title": TITLES[key], "page": page, "lines": lines_of(list(page), on)}
        return render(request, "roster_group.html", values)
    if not models.InForce.objects.filter(trainee__in=everybody).exists():
        values["has_place"] = models.Document.objects.filter(practice=coach.practice, kind="place").exists()
        newcomer = values["newcomer"] = everybody.order_by(BY_WAITING, "name").first()
        values["doing"] = newcomer and newcomer.jobs.filter(ended_at=None).exclude(deed="count").first()
    values["groups"] = [(TITLES[one.key], one) for one in front(everybody, on)]
    return render(request, "roster.html", values)
