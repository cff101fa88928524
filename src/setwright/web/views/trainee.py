"""One trainee: who they are, what waits, and the deeds that start here."""

from __future__ import annotations

from datetime import date
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from setwright.body.anatomy import joints
from setwright.faults import Fault, InputFaults
from setwright.people.restriction_text import parse_restriction
from setwright.records import models
from setwright.records.data_base import revision_in_force
from setwright.services.clock import next_monday, today
from setwright.services.desk import jobs
from setwright.services.desk.blocks import waiting_revision
from setwright.services.desk.overview import next_planned
from setwright.services.desk.people import keep_trainee, newest, person_of, places_of
from setwright.services.desk.practice import invite
from setwright.services.templates import template_text
from setwright.web.access import coached, require_coach


@require_GET
def show(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """The page of one trainee."""
    row, on = coached(request, trainee_id), today()
    overview = getattr(row, "overview", None)
    values = {
        "row": row,
        "person": person_of(row),
        "on": on,
        "overview": overview,
        "next": next_planned([row], on).get(row.id),
        "revision": revision_in_force(row),
        "waiting": waiting_revision(row),
        "joints": sorted(joints()),
        "running": row.jobs.filter(ended_at=None).order_by("-made_at").first(),
        "notes": row.notes.filter(seen_at=None, is_from_coach=False).order_by("-at")[:10],
    }
    return render(request, "trainee.html", values)


@require_http_methods(["GET", "POST"])
def take_in(request: HttpRequest) -> HttpResponse:
    """A new trainee from an intake."""
    coach = require_coach(request)
    text = request.POST.get("text", "") if request.method == "POST" else template_text("trainee")
    if request.method == "POST":
        try:
            return redirect("trainee", keep_trainee(coach, text).id)
        except InputFaults as wrong:
            return intake_page(request, text, wrong.faults)
    return intake_page(request, text, ())


@require_http_methods(["GET", "POST"])
def intake(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """The intake of a known trainee, as it stands, and a new version of it."""
    row = coached(request, trainee_id)
    if request.method == "POST":
        text = request.POST.get("text", "")
        try:
            keep_trainee(require_coach(request), text, row)
        except InputFaults as wrong:
            return intake_page(request, text, wrong.faults, row)
        return redirect("trainee", row.id)
    return intake_page(request, newest(row.practice, "trainee", row.slug, row), (), row)


def intake_page(request: HttpRequest, text: str, faults: tuple[Fault, ...], row: object = None) -> HttpResponse:
    """The page where an intake is written."""
    places = places_of(require_coach(request).practice)
    values = {"text": text, "faults": faults, "row": row, "places": places.values()}
    return render(request, "intake.html", values, status=400 if faults else 200)


@require_POST
def invite_them(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """A fresh link by which the trainee makes their log-in; it is shown once."""
    row = coached(request, trainee_id)
    made = invite(require_coach(request), row.name, row)
    link = request.build_absolute_uri(reverse("join", args=[made.secret]))
    return render(request, "invited.html", {"row": row, "link": link, "invitation": made.invitation})


@require_POST
def sore_joint(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """The one action: what hurts, what may stay, what is wanted; a job makes the changed weeks."""
    row = coached(request, trainee_id)
    words = sore_words(request)
    parse_restriction(words, "what hurts")
    asked = {"words": words, "on": today().isoformat(), "set_by": request.POST.get("set_by", "")[:120]}
    job = jobs.ask(row, "sore", asked, request.user)
    return redirect("job", job.id)


def sore_words(request: HttpRequest) -> str:
    """One sentence from the form: its own words, or joint, side, what may stay and what is wanted."""
    said = request.POST.get("words", "").strip()
    if said:
        return said[:300]
    joint, side = request.POST.get("joint", ""), request.POST.get("side", "")
    if joint not in joints():
        raise InputFaults([Fault("what hurts", "joint", repr(joint), ", ".join(sorted(joints())))])
    parts = [f"{side + ' ' if side in ('left', 'right') else ''}{joint} is sore"]
    level = request.POST.get("level", "")
    if level in ("light", "moderate"):
        parts.append(f"{level} work is fine")
    wanted = [one for one in request.POST.getlist("wanted") if one in ("holds", "carries", "short-range")]
    if wanted:
        parts.append("keep " + " and ".join("short range" if one == "short-range" else one for one in wanted))
    return ", ".join(parts)


@require_http_methods(["GET", "POST"])
def design(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """A block from a brief: the text goes to a job."""
    row = coached(request, trainee_id)
    text = request.POST.get("text", "") if request.method == "POST" else starting_brief(row)
    if request.method == "POST":
        from setwright.plan.brief_file import read_brief
        from setwright.services.gather import catalogue

        try:
            read_brief(text, "brief", catalogue())
        except InputFaults as wrong:
            return render(request, "design.html", {"row": row, "text": text, "faults": wrong.faults}, status=400)
        return redirect("job", jobs.ask(row, "design", {"brief": text}, request.user).id)
    return render(request, "design.html", {"row": row, "text": text})


def starting_brief(row: models.Trainee) -> str:
    """The last brief of the trainee, else the annotated template."""
    last = row.documents.filter(kind="brief").order_by("-id").first()
    return last.text if last is not None else template_text("brief")


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


@require_POST
def look_again(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """Reads the log once more and proposes what should change."""
    row = coached(request, trainee_id)
    return redirect("job", jobs.ask(row, "adapt", {}, request.user).id)
