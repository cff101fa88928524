"""The review of a block: findings, weeks, pictures each with its numbers below. Drawn in a job, quick to open."""

from __future__ import annotations

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from setwright.records.data_base import in_force_id
from setwright.services.desk.reviewing import ask_review, picture_of, running_review, seen_review
from setwright.web.access import coached


@require_GET
def review(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """The page, or only what it holds where it renews itself while a review is drawn."""
    row = coached(request, trainee_id)
    has_block = in_force_id(row) is not None
    seen = seen_review(row)
    running = running_review(row)
    if has_block and running is None and (seen is None or not seen.is_newest) and not failed_lately(row):
        running = ask_review(row, request.user)
        seen = seen_review(row)  # a job may be done at once
        running = running_review(row)
    values = {"row": row, "seen": seen, "running": running, "has_block": has_block}
    return render(request, "plan/review_part.html" if request.htmx else "plan/review.html", values)


def failed_lately(row: object) -> bool:
    """True where the last review could not be drawn from what there is, so that asking again is of no use."""
    from setwright.records import models

    last = models.Job.objects.filter(trainee=row, deed="review").order_by("-made_at").first()
    if last is None or last.state not in (models.Job.FAILED, models.Job.REFUSED):
        return False
    newest = models.LogRow.objects.filter(trainee=row).order_by("-id").values_list("arrived", flat=True).first()
    return newest is None or newest < last.made_at


@require_GET
def picture(request: HttpRequest, trainee_id: UUID, slug: str) -> HttpResponse:
    """One picture of the review as SVG."""
    found = picture_of(coached(request, trainee_id), slug)
    if found is None:
        raise Http404
    answer = HttpResponse(found, content_type="image/svg+xml")
    answer["Cache-Control"] = "private, max-age=60"
    return answer
