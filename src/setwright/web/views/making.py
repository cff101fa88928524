"""A new block: designed from a brief, or written by the coach."""

from __future__ import annotations

from datetime import date
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from setwright.faults import Fault, InputFaults
from setwright.plan.brief_file import read_brief
from setwright.services.clock import next_monday
from setwright.services.desk import jobs
from setwright.services.desk.briefs import brief_to_start
from setwright.services.desk.people import free_slug
from setwright.services.gather import catalogue
from setwright.services.templates import template_text
from setwright.web.access import coached
from setwright.web.forms.brief import brief_form
from setwright.web.forms.page import Standing, edit


@require_http_methods(["GET", "POST"])
def design(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """A block from a brief, by form or as text: it goes to a job."""
    row = coached(request, trainee_id)
    last = row.documents.filter(kind="brief").order_by("-id").first()

    def keep(text: str) -> HttpResponse:
        read_brief(text, "brief", catalogue())
        return redirect("job", jobs.ask(row, "design", {"brief": text}, request.user).id)

    def finish(table: dict[str, Any]) -> dict[str, Any]:
        title = str(table.get("title", ""))
        return {**({"id": free_slug(title, (), "brief")} if title else {}), **table}

    def show(values: dict[str, Any], status: int) -> HttpResponse:
        text = values["text"] or (last.text if last is not None else template_text("brief"))
        return render(request, "design.html", {**values, "row": row, "text": text}, status=status)

    first = brief_to_start(row) if request.method == "GET" else None
    return edit(request, brief_form(catalogue()), Standing(), keep, show, finish, first)


@require_http_methods(["GET", "POST"])
def write(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """A block in the coach's own words: the text goes to a job."""
    row = coached(request, trainee_id)
    text, start = request.POST.get("text", ""), request.POST.get("start", next_monday().isoformat())
    if request.method == "POST":
        try:
            date.fromisoformat(start)
        except ValueError:
            raise InputFaults([Fault("the block", "start", repr(start), "a date like 2026-09-07")]) from None
        return redirect("job", jobs.ask(row, "write", {"text": text, "start": start}, request.user).id)
    return render(request, "write.html", {"row": row, "text": text, "start": start})
