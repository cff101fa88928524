"""Something hurts: said in one action on the floor, the changed session in their pocket. And how a limit ends."""

from __future__ import annotations

from datetime import date
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from setwright.body.anatomy import joints
from setwright.faults import Fault, InputFaults
from setwright.people.restriction_text import CLINICIAN
from setwright.plan.gates import SAID
from setwright.publish.changes_report import changes_report
from setwright.publish.limit_words import clearance_text, limit_dates, limit_lines, limit_title
from setwright.records import models
from setwright.records.data_base import block_of, in_force_id, revision_in_force
from setwright.services.clock import today
from setwright.services.desk import jobs
from setwright.services.desk.limits import LOOK_AGAIN_DAYS, clear, lift, limit_of, limit_said
from setwright.services.desk.overview import count_anew, next_planned
from setwright.services.desk.waiting import waiting_revisions
from setwright.services.gather import catalogue
from setwright.web.access import coached

FIRST = ("elbow", "shoulder", "wrist", "fingers", "knee", "hip", "ankle", "trunk", "neck")
ALSO_SAID = {**SAID, "scapula": "shoulder blade", "fingers": "hand or fingers"}


@require_http_methods(["GET", "POST"])
def sore(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """Where it hurts, what may stay, what is wanted; a job changes the weeks and, where the coach says, sends them."""
    row = coached(request, trainee_id)
    if request.method == "GET":
        return sore_page(request, row, {"side": "both", "look_again": "7", "set_by": row.name})
    said = said_in(request)
    try:
        made = limit_said(said, today())
    except InputFaults as wrong:
        return sore_page(request, row, said, wrong.faults, 200 if said["deed"] == "check" else 400)
    if said["deed"] == "check":
        return sore_page(request, row, said, heard=[*limit_lines(made), limit_dates(made)])
    if revision_in_force(row) is None:
        fault = Fault(
            "what hurts", "", "no block in force", "a block that can be changed", "Put a limit into the intake."
        )
        return sore_page(request, row, said, [fault], 400)
    asked = {**said, "on": today().isoformat(), "send": said["deed"] == "send"}
    return redirect("job", jobs.ask(row, "sore", asked, request.user).id)


def said_in(request: HttpRequest) -> dict[str, Any]:
    """What a form says of what hurts."""
    given = request.POST
    texts = {
        key: given.get(key, "").strip()[:300] for key in ("words", "joint", "side", "level", "set_by", "look_again")
    }
    look_again = texts["look_again"] if texts["look_again"].isdigit() else "0"
    return {
        **texts,
        "look_again": look_again,
        "wanted": given.getlist("wanted"),
        "deed": given.get("deed", "look"),
    }


def sore_page(
    request: HttpRequest,
    row: models.Trainee,
    said: dict[str, Any],
    faults: Any = (),
    status: int = 200,
    heard: Any = (),
) -> HttpResponse:
    """The page with what was said so far and what was understood of it."""
    order = [*FIRST, *(one for one in joints() if one not in FIRST)]
    values = {
        "row": row,
        "said": said,
        "joints": [(one, ALSO_SAID.get(one, one)) for one in order],
        "look_again": [(str(days), f"in {days // 7} week{'s' if days > 7 else ''}") for days in LOOK_AGAIN_DAYS],
        "faults": faults,
        "heard": heard,
        "clinician": CLINICIAN,
        "has_block": revision_in_force(row) is not None,
    }
    return render(request, "sore.html", values, status=status)


@require_GET
def sent(request: HttpRequest, trainee_id: UUID, block_id: str) -> HttpResponse:
    """What was changed and sent in one go; undoing stands beside it."""
    row = coached(request, trainee_id)
    revision = row.revisions.filter(block=block_id).first()
    if revision is None:
        raise Http404
    before = row.revisions.filter(block=revision.parent).first() if revision.parent else None
    block = block_of(revision)
    values = {
        "row": row,
        "plan": block,
        "report": changes_report(block, catalogue(), None, None if before is None else block_of(before)),
        "is_in_force": in_force_id(row) == block_id,
        "next": next_planned([row], today()).get(row.id),
        "old_waits": [one for one in waiting_revisions(row) if one.is_old],
    }
    return render(request, "sent.html", values)


@require_http_methods(["GET", "POST"])
def limit(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """One limit: what it closes, a clearance, and its end."""
    row = coached(request, trainee_id)
    name = request.GET.get("of", "")
    found = limit_of(row, name)
    one = found.restriction
    faults: tuple[Fault, ...] = ()
    if request.method == "POST":
        try:
            return limit_deed(request, row, name, one)
        except InputFaults as wrong:
            faults = wrong.faults
    values = {
        "row": row,
        "limit": found,
        "title": limit_title(one),
        "lines": limit_lines(one),
        "dates": limit_dates(one),
        "clearance": clearance_text(one),
        "faults": faults,
        "given": request.POST,
        "today": today(),
    }
    return render(request, "limit.html", values, status=400 if faults else 200)


def limit_deed(request: HttpRequest, row: models.Trainee, name: str, one: Any) -> HttpResponse:
    """Ends a limit, or enters its clearance."""
    if request.POST.get("deed") == "keep":
        asked = {"limit": name, "on": today().isoformat(), "send": False}
        return redirect("job", jobs.ask(row, "sore", asked, request.user).id)
    if request.POST.get("deed") == "clear":
        clear(row, name, clearance_in(request), request.user)
        messages.success(request, "The clearance is entered. The next block counts on it.")
        return redirect("trainee", row.id)
    who = one.set_by if request.POST.get("over") == "yes" else request.POST.get("lifted_by", "").strip()
    if not who:
        says = f"{one.set_by}: who set it lifts it" if one.set_by else "who says that it is over"
        raise InputFaults([Fault("limit", "lifted by", "nobody", says)])
    made = lift(row, name, who, today(), request.user)
    count_anew(row, with_findings=False)
    if made is None:
        messages.success(request, "The limit is lifted. No block in force was made under it; the next one knows.")
        return redirect("trainee", row.id)
    messages.success(request, "The limit is lifted. This is the way back; nothing reaches them before you take it.")
    return redirect(reverse("changes", args=[row.id, made.id]))


def clearance_in(request: HttpRequest) -> dict[str, Any]:
    """The clearance of a form, dates read where they are dates."""
    found: dict[str, Any] = {key: request.POST.get(key, "").strip() for key in ("who", "scope")}
    for key in ("given_on", "expires_on"):
        text = request.POST.get(key, "")
        try:
            found[key] = date.fromisoformat(text)
        except ValueError:
            found[key] = text
    pain = request.POST.get("pain_up_to", "").strip()
    found["pain_up_to"] = int(pain) if pain.isascii() and pain.isdigit() else pain
    return found
