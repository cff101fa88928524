"""Long work as a page: how far it is, a way to stop it, and where it leads."""

from __future__ import annotations

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from setwright.records import models
from setwright.services.desk.jobs import cancel
from setwright.web.access import own_job

TITLES = {
    "design": "Designing the block",
    "write": "Reading what you wrote",
    "fit": "Fitting the kept session",
    "sore": "Changing only what it touches",
    "anew": "Going back under the limits",
    "adapt": "Reading the log",
    "again": "Making the changes again",
    "count": "Reading the log",
    "by-hand": "Changing the block",
    "add": "Adding to the block",
    "between": "Planning again around it",
    "review": "Drawing the review",
    "hour": "Looking for a better timetable",
}


@require_GET
def show(request: HttpRequest, job_id: UUID) -> HttpResponse:
    """The page of a job; the same address gives only its card where it is asked to renew itself."""
    job = own_job(request, job_id)
    leads_to = where_to(job)
    if job.state == models.Job.DONE and request.htmx and leads_to:
        answer = HttpResponse(status=200)
        answer["HX-Redirect"] = leads_to
        return answer
    values = {
        "job": job,
        "row": job.trainee,
        "title": TITLES.get(job.deed, job.deed),
        "leads_to": leads_to,
        "percent": round(100 * job.share_done),
        "lines": job.result.get("lines", []),
        "back_to": back_to(job),
    }
    card_only = request.htmx
    return render(request, "job_card.html" if card_only else "job.html", values)


def where_to(job: models.Job) -> str:
    """The page that shows what came of a job, or an empty text."""
    if job.state != models.Job.DONE or job.trainee is None:
        return ""
    if job.deed in ("by-hand", "between") and job.result["block"] == job.asked["block"]:
        return ""  # nothing had to change: the card says why
    if job.deed == "again" and not job.result["changes"]:
        return ""
    if job.result.get("is_first"):
        return reverse("block-revision", args=[job.trainee.id, job.result["block"]])
    if job.deed == "review":
        return reverse("review", args=[job.trainee.id])
    if job.deed == "count" or (job.deed == "adapt" and not job.result.get("changes")):
        return reverse("trainee", args=[job.trainee.id])
    if job.result.get("sent"):
        return reverse("sent", args=[job.trainee.id, job.result["block"]])
    if job.deed in ("design", "write", "fit"):
        return reverse("block-revision", args=[job.trainee.id, job.result["block"]])
    return reverse("changes", args=[job.trainee.id, job.result["block"]])


def back_to(job: models.Job) -> str:
    """The page on which a change was asked for, or an empty text."""
    if job.trainee is not None and job.deed == "again":
        return reverse("trainee", args=[job.trainee.id])
    if job.trainee is None or not job.asked.get("block"):
        return ""
    return reverse("block-revision", args=[job.trainee.id, job.asked["block"]])


@require_POST
def stop(request: HttpRequest, job_id: UUID) -> HttpResponse:
    """Asks the job to end."""
    job = own_job(request, job_id)
    cancel(job)
    return redirect("job", job.id)
