"""What a revision would change: taken or declined one by one or all, and undone."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from setwright.publish.changes_report import changes_report
from setwright.records import models
from setwright.records.data_base import block_of, in_force_id
from setwright.services.desk.blocks import accept, decline, undo
from setwright.services.desk.overview import count_anew
from setwright.services.gather import catalogue
from setwright.web.access import coached


@require_http_methods(["GET", "POST"])
def show(request: HttpRequest, trainee_id: UUID, block_id: str) -> HttpResponse:
    """The changes of one revision, each with its reason; the coach's decision."""
    row = coached(request, trainee_id)
    revision = row.revisions.filter(block=block_id).first()
    if revision is None:
        raise Http404
    if request.method == "POST":
        return decided(request, row, block_id)
    before = row.revisions.filter(block=revision.parent).first() if revision.parent else None
    block = block_of(revision)
    report = changes_report(block, catalogue(), None, None if before is None else block_of(before))
    is_open = revision.parent in ("", in_force_id(row)) and block_id != in_force_id(row)
    return render(request, "changes.html", {"row": row, "plan": block, "report": report, "is_open": is_open})


def decided(request: HttpRequest, row: models.Trainee, block_id: str) -> HttpResponse:
    """Keeps the coach's decision and counts the overview anew."""
    verdict = request.POST.get("verdict", "")
    chosen = [int(one) for one in request.POST.getlist("change") if one.isdigit()]
    numbers = chosen if "some" in verdict else None
    reason = request.POST.get("reason", "")
    with transaction.atomic():
        if verdict.startswith("accept"):
            accept(row, block_id, numbers, request.user, reason)
            messages.success(request, "It is in force now.")
        elif verdict.startswith("decline"):
            decline(row, block_id, numbers, request.user, reason)
            messages.success(request, "Declined; the block stays as it was.")
        else:
            raise Http404
        count_anew(row, with_findings=False)
    return redirect("trainee", row.id)


@require_POST
def undo_one(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """The revision before the one in force comes back."""
    row = coached(request, trainee_id)
    before = undo(row, request.user)
    count_anew(row, with_findings=False)
    messages.success(request, f"Revision {before.revision} is in force again.")
    return redirect("block", row.id)
