"""One trainee: who they are, what waits, and the deeds that start here."""

from __future__ import annotations

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from setwright.body.anatomy import joints
from setwright.faults import Fault, InputFaults
from setwright.people.restriction_text import parse_restriction
from setwright.records.data_base import revision_in_force
from setwright.services.clock import today
from setwright.services.desk import jobs
from setwright.services.desk.blocks import waiting_revision
from setwright.services.desk.overview import next_planned
from setwright.services.desk.people import person_of
from setwright.services.desk.practice import invite
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


@require_POST
def look_again(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """Reads the log once more and proposes what should change."""
    row = coached(request, trainee_id)
    return redirect("job", jobs.ask(row, "adapt", {}, request.user).id)
