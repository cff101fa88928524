"""A block on paper: the overview, and a sheet for each session."""

from __future__ import annotations

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from setwright.people.trainee import DAY_NAMES
from setwright.publish import words
from setwright.publish.sheet import Paper, block_pdf, session_pdf
from setwright.records.data_base import block_of
from setwright.services.gather import catalogue
from setwright.web.access import coached
from setwright.web.views.block import revision_of


@require_GET
def papers(request: HttpRequest, trainee_id: UUID, block_id: str) -> HttpResponse:
    """Everything of a block that can be printed."""
    row = coached(request, trainee_id)
    block = block_of(revision_of(row, block_id))
    weeks = [
        {
            "number": week.number,
            "title": words.week_title(block, week),
            "sessions": [{"day": one.day, "name": DAY_NAMES[one.day], "title": one.title} for one in week.sessions],
        }
        for week in block.weeks
    ]
    values = {"row": row, "plan": block, "weeks": weeks, "paper": paper_of(request), "span": words.length_text(block)}
    return render(request, "print.html", values)


@require_GET
def overview(request: HttpRequest, trainee_id: UUID, block_id: str) -> HttpResponse:
    """The whole block as a PDF."""
    row = coached(request, trainee_id)
    block = block_of(revision_of(row, block_id))
    return as_pdf(block_pdf(block, catalogue(), paper_of(request)), f"{row.slug}-block.pdf")


@require_GET
def sheet(request: HttpRequest, trainee_id: UUID, block_id: str, week: int, weekday: str) -> HttpResponse:
    """The sheet of one session as a PDF."""
    row = coached(request, trainee_id)
    block = block_of(revision_of(row, block_id))
    if not any(one.number == week and any(day.day == weekday for day in one.sessions) for one in block.weeks):
        raise Http404
    made = session_pdf(block, week, weekday, catalogue(), paper_of(request))
    return as_pdf(made, f"{row.slug}-week-{week}-{weekday}.pdf")


def paper_of(request: HttpRequest) -> Paper:
    """The paper that was asked for: A4 where nothing else is said."""
    return "us-letter" if request.GET.get("paper") == "us-letter" else "a4"


def as_pdf(data: bytes, name: str) -> HttpResponse:
    """A PDF that the browser shows."""
    answer = HttpResponse(data, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="{name}"'
    return answer
