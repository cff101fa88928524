"""What a revision would change: taken or declined one by one or all, undone; and two revisions compared."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from uuid import UUID

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from setwright.faults import Fault, InputFaults
from setwright.people.trainee import Restriction
from setwright.plan.block import Block
from setwright.publish.changes_report import ChangesReport, changes_report
from setwright.publish.limit_words import limit_title
from setwright.publish.words import change_groups, spoken_unmet
from setwright.records import models
from setwright.records.data_base import block_of, in_force_id
from setwright.services.clock import today
from setwright.services.desk import jobs
from setwright.services.desk.blocks import accept, decline, put_back, records_of, undo
from setwright.services.desk.comparing import compared
from setwright.services.desk.limits import limits_of
from setwright.services.desk.overview import count_anew
from setwright.services.desk.waiting import is_settled, waiting_revisions, went_into
from setwright.services.gather import catalogue
from setwright.services.keeping import WAY_OUT
from setwright.services.undoing import brought_limits
from setwright.web.access import coached


@require_http_methods(["GET", "POST"])
def show(request: HttpRequest, trainee_id: UUID, block_id: str) -> HttpResponse:
    """The changes of one revision, each with its reason; the coach's decision."""
    row = coached(request, trainee_id)
    revision = row.revisions.filter(block=block_id).first()
    if revision is None:
        raise Http404
    parent = row.revisions.filter(block=revision.parent).first() if revision.parent else None
    block, before = block_of(revision), None if parent is None else block_of(parent)
    report = changes_report(block, catalogue(), None, before)
    faults: tuple[Fault, ...] = ()
    ticked = [one.number for one in report.rows]
    if request.method == "POST":
        ticked = [int(one) for one in request.POST.getlist("change") if one.isdecimal()]
        try:
            return decided(request, row, block_id, ticked, report)
        except InputFaults as wrong:
            faults = tuple(replace(one, file="these changes") for one in wrong.faults)
    old_unmet = set() if before is None else {(one.wish, one.why) for one in spoken_unmet(before)}
    waits = waiting_revisions(row)
    is_next = revision.parent in ("", in_force_id(row)) and block_id != in_force_id(row)
    declined = {number for one in row.decisions.filter(block=block_id, verdict="declined") for number in one.changes}
    values = {
        "row": row,
        "plan": block,
        "report": report,
        "ticked": ticked,
        "faults": faults,
        "is_open": is_next and not is_settled(row, block_id),
        "is_old": any(one.is_old and one.revision.block == block_id for one in waits),
        "others": [one for one in waits if not one.is_old and one.revision.block != block_id],
        "went": went_into(row, block_id),
        "declined": declined_numbers(report, block, declined),
        "free": free_numbers(report),
        "new_unmet": [one for one in report.unmet if one not in old_unmet],
        "old_unmet": [one for one in report.unmet if one in old_unmet],
        "reason": request.POST.get("reason", ""),
    }
    return render(request, "changes.html", values, status=400 if faults else 200)


def free_numbers(report: ChangesReport) -> list[int]:
    """The changes that may be used before the coach has looked; none where that is true of all or none."""
    free = [one.number for one in report.rows if one.verdict and not one.waits]
    return free if len(free) < len(report.rows) else []


def declined_numbers(report: ChangesReport, block: Block, rows: set[int]) -> list[int]:
    """The numbers of the changes that were declined already; ``rows``: of the block, from 1."""
    groups = change_groups(block)
    return [one.number for one in report.rows if set(groups[one.number - 1]) <= rows]


def decided(
    request: HttpRequest, row: models.Trainee, block_id: str, ticked: list[int], report: ChangesReport
) -> HttpResponse:
    """Keeps the coach's decision and counts the overview anew. Raises InputFaults where it can't be taken so."""
    verdict, reason = request.POST.get("verdict", ""), request.POST.get("reason", "").strip()
    if verdict == "again":
        asked = {"again": block_id, "on": today().isoformat()}
        return redirect("job", jobs.ask(row, "again", asked, request.user).id)
    with transaction.atomic():
        if verdict in ("accept-all", "accept-some", "accept-free"):
            chosen = {"accept-all": None, "accept-some": ticked, "accept-free": free_numbers(report)}[verdict]
            accept(row, block_id, chosen, request.user, reason)
            messages.success(request, "It is in force now.")
        elif verdict in ("decline-all", "decline-some"):
            decline(row, block_id, ticked if verdict == "decline-some" else None, request.user, reason)
            messages.success(request, "Declined; the block stays as it was.")
        else:
            raise Http404
        count_anew(row, with_findings=False)
    still_open = verdict == "decline-some" and not is_settled(row, block_id)
    return redirect("changes", row.id, block_id) if still_open else redirect("trainee", row.id)


def crossed_words(fault: Fault) -> str:
    """What is in the way of a revision: the exercise, and the limit that closes it; what can be done is on the page."""
    why = fault.hint.removesuffix(WAY_OUT).strip()
    return f"{fault.found[:1].upper()}{fault.found[1:]}: {why[:1].lower()}{why[1:]}" if why else fault.sentence()


@require_POST
def undo_one(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """The revision before the one in force comes back; where a limit is in the way, what can be done instead."""
    row, deed = coached(request, trainee_id), request.POST.get("deed", "")
    if deed == "anew":
        return redirect("job", jobs.ask(row, "anew", {"on": today().isoformat()}, request.user).id)
    brought = brought_limits(records_of(row), row.slug)
    said_by = who_says(request, brought) if deed == "mistake" else ""
    try:
        before = undo(row, request.user, said_by or None)
    except InputFaults as wrong:
        values = {
            "row": row,
            "crossed": [crossed_words(one) for one in wrong.faults],
            "limits": [(one, limit_title(one.restriction)) for one in limits_of(row)],
            "brought": [limit_title(one) for one in brought],
            "owners": owners_of(brought),
            "unsaid": deed == "mistake" and not said_by,
        }
        return render(request, "plan/undo.html", values, status=400)
    count_anew(row, with_findings=False)
    messages.success(request, f"Revision {before.revision} is in force again.")
    return redirect("block", row.id)


def owners_of(limits: Sequence[Restriction]) -> list[str]:
    """Who set some limits, each once."""
    return list(dict.fromkeys(one.set_by for one in limits if one.set_by))


def who_says(request: HttpRequest, brought: Sequence[Restriction]) -> str:
    """Who says that the limits of a revision were a mistake: who set them, where that is ticked."""
    owners = owners_of(brought)
    if owners and request.POST.get("wrong") == "yes":
        return owners[0]
    return request.POST.get("said_by", "").strip()[:120]


@require_POST
def back(request: HttpRequest, trainee_id: UUID, block_id: str) -> HttpResponse:
    """An earlier revision comes back into force."""
    row = coached(request, trainee_id)
    block = put_back(row, block_id, request.user)
    count_anew(row, with_findings=False)
    messages.success(request, f"Revision {block.revision} is in force again.")
    return redirect("block", row.id)


@require_GET
def compare(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """Two revisions: entry by entry, counted sets and minutes before and after."""
    row = coached(request, trainee_id)
    kept = list(row.revisions.defer("packed").order_by("-id")[:50])
    was, becomes = request.GET.get("was", ""), request.GET.get("becomes", "")
    for one in kept:
        one.made_on = date.fromisoformat(one.at[:10])
    names = {one.block for one in kept}
    if (was and was not in names) or (becomes and becomes not in names):
        raise Http404
    report = compared(row, was, becomes) if was and becomes else None
    if report is None and len(kept) > 1:
        was, becomes = kept[0].parent or kept[1].block, kept[0].block
    values = {
        "row": row,
        "revisions": kept,
        "was": was,
        "becomes": becomes,
        "report": report,
        "force": in_force_id(row),
    }
    return render(request, "plan/compare.html", values)
