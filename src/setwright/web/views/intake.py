"""The intake of a trainee, new or known: by form, or as text on the same page."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from setwright.records import models
from setwright.services.desk.overview import count_anew
from setwright.services.desk.people import (
    free_slug,
    keep_trainee,
    newest_version,
    places_of,
    trainee_slugs,
    version_before,
)
from setwright.services.gather import catalogue
from setwright.services.templates import template_text
from setwright.web.access import coached, require_coach
from setwright.web.forms.intake import intake_form
from setwright.web.forms.page import Standing, edit


@require_http_methods(["GET", "POST"])
def take_in(request: HttpRequest) -> HttpResponse:
    """A new trainee."""
    coach = require_coach(request)

    def keep(text: str) -> HttpResponse:
        row = keep_trainee(coach, text)
        messages.success(request, f"{row.name} is on your roster.")
        return redirect("trainee", row.id)

    def finish(table: dict[str, Any]) -> dict[str, Any]:
        name = str(table.get("name", ""))
        made = {"id": free_slug(name, trainee_slugs(coach.practice), "trainee")} if name else {}
        return {**made, **table}

    return edit(request, form_for(coach), Standing(), keep, page(request, None), finish)


@require_http_methods(["GET", "POST"])
def intake(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """The intake of a known trainee as it stands, and a new version of it."""
    row, coach = coached(request, trainee_id), require_coach(request)
    now = newest_version(row.practice, "trainee", row.slug, row)
    stands = Standing(now.text, now.name, lambda name: version_before(row.practice, "trainee", row.slug, name, row))

    def keep(text: str) -> HttpResponse:
        keep_trainee(coach, text, row)
        count_anew(row, with_findings=False)
        messages.success(request, "The intake is kept. A block that is in force stays as it is.")
        return redirect("trainee", row.id)

    return edit(request, form_for(coach), stands, keep, page(request, row), lambda table: {"id": row.slug, **table})


def form_for(coach: models.Coach) -> Any:
    """The form of an intake in a practice."""
    return intake_form(catalogue(), list(places_of(coach.practice).values()), coach.practice.unit)


def page(request: HttpRequest, row: models.Trainee | None) -> Any:
    """How the page of an intake is shown."""

    def show(values: dict[str, Any], status: int) -> HttpResponse:
        text = values["text"] or template_text("trainee")
        coach = require_coach(request)
        has_place = models.Document.objects.filter(practice=coach.practice, kind="place").exists()
        return render(
            request, "intake.html", {**values, "text": text, "row": row, "has_place": has_place}, status=status
        )

    return show
