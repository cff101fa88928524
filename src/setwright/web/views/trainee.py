"""One trainee: who they are, what waits, what they can do, what happened, and the deeds that start here."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from setwright.people.screening import Screen, screen
from setwright.people.trainee import DAY_NAMES, Trainee
from setwright.publish.limit_words import clearance_text, limit_dates, limit_lines, limit_title
from setwright.records import models
from setwright.records.data_base import revision_in_force
from setwright.services.clock import today
from setwright.services.desk import jobs
from setwright.services.desk.ability import ability_of, goal_text
from setwright.services.desk.history import history_of
from setwright.services.desk.limits import Limit, limits_of
from setwright.services.desk.notes import open_notes
from setwright.services.desk.overview import next_planned
from setwright.services.desk.people import person_of
from setwright.services.desk.practice import invite
from setwright.services.desk.waiting import waiting_revisions
from setwright.web.access import coached, require_coach

A_PAGE = 40


@require_GET
def show(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """The page of one trainee."""
    row, on = coached(request, trainee_id), today()
    person = person_of(row)
    waits = waiting_revisions(row)
    answer = screen(person.trainee, "vigorous", on)
    values = {
        "row": row,
        "trainee": person.trainee,
        "on": on,
        "overview": getattr(row, "overview", None),
        "next": next_planned([row], on).get(row.id),
        "revision": revision_in_force(row),
        "waits": [one for one in waits if not one.is_old],
        "old_waits": [one for one in waits if one.is_old],
        "limits": [limit_values(one, on) for one in limits_of(row)],
        "screen": None if answer.verdict == "go" and not answer.why else screen_values(answer),
        "goals": [goal_text(one) for one in person.trainee.goals],
        "days": days_in_words(person.trainee, {one.id: one.name for one in person.places}),
        "running": row.jobs.filter(ended_at=None).exclude(deed="count").order_by("-made_at").first(),
        "notes": open_notes(row)[:10],
    }
    return render(request, "trainee.html", values)


def limit_values(limit: Limit, on: Any) -> dict[str, Any]:
    """A limit as the page shows it."""
    one = limit.restriction
    return {
        "id": one.id,
        "title": limit_title(one),
        "lines": [without_title(line, limit_title(one)) for line in limit_lines(one)],
        "dates": limit_dates(one),
        "clearance": clearance_text(one),
        "is_kept": limit.is_kept,
        "is_due": one.review_on is not None and one.review_on <= on,
    }


def without_title(line: str, title: str) -> str:
    """A line of a limit that stands below its title, without saying it once more."""
    said = line.removeprefix(f"{title[:1].upper()}{title[1:]}: ")
    return f"{said[:1].upper()}{said[1:]}"


def screen_values(answer: Screen) -> dict[str, Any]:
    """What the questions before training say, as the page shows it."""
    stops = answer.verdict in ("stop", "clearance-first")
    return {"why": answer.why, "stops": stops, "verdict": answer.verdict}


def days_in_words(trainee: Trainee, names: dict[str, str]) -> list[str]:
    """Each training day as a phrase."""
    return [f"{DAY_NAMES[day.day]} {day.minutes:g} min at {names.get(day.place, day.place)}" for day in trainee.days]


@require_GET
def can_do(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """What the trainee can do, with ranges; only the first lifts where a page asks for its part."""
    row = coached(request, trainee_id)
    found = ability_of(row, today())
    running = row.jobs.filter(deed="count", ended_at=None).first()
    if (found is None or not found.is_newest) and running is None:
        running = jobs.ask(row, "count", {}, request.user)
    values = {"row": row, "found": found, "running": running, "brief": bool(request.htmx)}
    values |= found.values if found is not None else {}
    return render(request, "can_do_part.html" if request.htmx else "can_do.html", values)


@require_GET
def history(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """What happened, newest first."""
    row = coached(request, trainee_id)
    page = Paginator(history_of(row), A_PAGE).get_page(request.GET.get("page"))
    return render(request, "history.html", {"row": row, "page": page})


@require_POST
def invite_them(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """A fresh link by which the trainee makes their log-in; it is shown once."""
    row = coached(request, trainee_id)
    made = invite(require_coach(request), row.name, row)
    link = request.build_absolute_uri(reverse("join", args=[made.secret]))
    return render(request, "invited.html", {"row": row, "link": link, "invitation": made.invitation})


@require_POST
def look_again(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """Reads the log once more and proposes what should change."""
    row: models.Trainee = coached(request, trainee_id)
    return redirect("job", jobs.ask(row, "adapt", {}, request.user).id)
