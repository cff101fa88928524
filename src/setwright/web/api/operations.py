"""Every operation of the API: ask who may, call one deed, give its values."""

from __future__ import annotations

from datetime import date
from typing import Any
from uuid import UUID

from django.core.paginator import Paginator
from django.db import transaction
from django.http import Http404, HttpRequest
from ninja import Path, Query, Router

from setwright.faults import Fault, InputFaults
from setwright.plan.block_days import session_on
from setwright.publish.words import change_groups
from setwright.records import models
from setwright.records.data_base import block_of, current_of, in_force_id
from setwright.records.plain_text import keepable
from setwright.services.clock import today
from setwright.services.desk import jobs
from setwright.services.desk.blocks import accept, decline
from setwright.services.desk.kept_days import day_values
from setwright.services.desk.limits import limit_said
from setwright.services.desk.logging import after_rows, take_rows
from setwright.services.desk.overview import count_anew
from setwright.services.desk.own_data import unpacked
from setwright.services.desk.people import newest
from setwright.services.desk.roster import Line, lines_of, rows_of
from setwright.services.desk.waiting import waiting_revision
from setwright.web.access import coached, one_who_logs, own_job, require_coach, trainees_of
from setwright.web.api import shapes

A_PAGE = 100
BLOCK_ID = Path(..., max_length=models.SLUG)
NOT_THERE: dict[int, Any] = {401: shapes.Wrong, 404: shapes.Wrong, 422: shapes.Wrong}
REFUSED = {**NOT_THERE, 400: shapes.Wrong, 403: shapes.Wrong}

router = Router()


@router.get("/roster", response={200: shapes.Roster, **NOT_THERE}, summary="The trainees of the coach who asks")
def roster(
    request: HttpRequest, name: str = Query("", max_length=100), page: int = Query(1, ge=1, le=1_000_000)
) -> Any:
    """By name, a hundred on a page; a part of a name narrows them."""
    rows = rows_of(trainees_of(require_coach(request)), "all", today(), keepable(name).strip())
    pages = Paginator(rows, A_PAGE)
    one = pages.get_page(page)
    lines = [line_values(line) for line in lines_of(list(one), today())]
    return {"count": pages.count, "page": one.number, "pages": pages.num_pages, "trainees": lines}


def line_values(line: Line) -> dict[str, Any]:
    """One trainee of a roster."""
    overview, ahead = line.overview, line.next
    return {
        "id": line.row.id,
        "name": line.row.name,
        "block": "" if overview is None else overview.block,
        "next": None if ahead is None else {"date": ahead.date, "title": ahead.title, "minutes": ahead.minutes},
        "last_logged": None if overview is None else overview.last_logged,
        "waiting": 0 if overview is None else overview.waiting,
        "first_finding": line.first,
    }


@router.get("/trainees/{trainee_id}", response={200: shapes.Person, **NOT_THERE}, summary="One trainee")
def trainee(request: HttpRequest, trainee_id: UUID) -> Any:
    """Their intake, what is in force, what waits, what the reviews found."""
    row = coached(request, trainee_id)
    waiting = waiting_revision(row)
    return {
        "id": row.id,
        "slug": row.slug,
        "name": row.name,
        "intake": newest(row.practice, "trainee", row.slug, row),
        "block": in_force_id(row) or "",
        "waiting": "" if waiting is None else waiting.block,
        "findings": found_of(row)["findings"],
    }


def found_of(row: models.Trainee) -> dict[str, Any]:
    """What stands counted of a trainee's findings."""
    overview = models.Overview.objects.filter(trainee=row).first()
    if overview is None:
        return {"counted_at": None, "findings": []}
    return {"counted_at": overview.counted_at, "findings": overview.findings}


@router.get("/trainees/{trainee_id}/findings", response={200: shapes.Findings, **NOT_THERE}, summary="Findings")
def findings(request: HttpRequest, trainee_id: UUID) -> Any:
    """What the reviews of the log found, the weightiest first."""
    return found_of(coached(request, trainee_id))


@router.get("/trainees/{trainee_id}/block", response={200: shapes.Free, **NOT_THERE}, summary="The block in force")
def block(request: HttpRequest, trainee_id: UUID) -> Any:
    """The published file of the block (``setwright schema block``)."""
    return revision_file(coached(request, trainee_id), None)


@router.get(
    "/trainees/{trainee_id}/blocks/{block_id}",
    response={200: shapes.Free, **NOT_THERE},
    summary="A revision of a block",
)
def revision(request: HttpRequest, trainee_id: UUID, block_id: str = BLOCK_ID) -> Any:
    """The published file of any revision that was kept."""
    return revision_file(coached(request, trainee_id), block_id)


def revision_file(row: models.Trainee, block_id: str | None) -> Any:
    """A revision by its id, or the one in force. Raises Http404 where there is none."""
    name = in_force_id(row) if block_id is None else keepable(block_id)
    found = row.revisions.filter(block=name).first()
    if found is None:
        raise Http404
    return unpacked(found)


@router.get("/trainees/{trainee_id}/days/{on}", response={200: shapes.Day, **NOT_THERE}, summary="The session of a day")
def day(request: HttpRequest, trainee_id: UUID, on: date) -> Any:
    """All that a phone needs for a session; for the trainee, and their coach."""
    row = one_who_logs(request, trainee_id)
    plan = current_of(row)
    found = None if plan is None else session_on(plan, on)
    if plan is None or found is None:
        return {"date": on, "planned": False, "session": None}
    values = day_values(row, plan, *found, on)
    return {"date": on, "planned": True, "session": values}


@router.get("/trainees/{trainee_id}/log", response={200: shapes.Rows, **NOT_THERE}, summary="The log")
def log(request: HttpRequest, trainee_id: UUID, since: date | None = None, until: date | None = None) -> Any:
    """Every row that was kept, corrections and what they correct, in the order it was kept."""
    rows = one_who_logs(request, trainee_id).log_rows.order_by("id")
    if since is not None:
        rows = rows.filter(day__gte=since)
    if until is not None:
        rows = rows.filter(day__lte=until)
    return {"rows": list(rows.values_list("data", flat=True))}


@router.post("/trainees/{trainee_id}/log", response={200: shapes.Kept, **REFUSED}, summary="Log sets")
def keep_log(request: HttpRequest, trainee_id: UUID, given: shapes.NewRows) -> Any:
    """Keeps rows once by their keys; a wrong one is named with its reason and holds up no other."""
    row = one_who_logs(request, trainee_id)
    taken = take_rows(row, given.rows, request.user)
    if taken.fresh:
        after_rows(row, taken.fresh, request.user)
    return {"kept": list(taken.kept), "refused": dict(taken.refused), "replaced": dict(taken.replaced or {})}


@router.get("/trainees/{trainee_id}/changes", response={200: shapes.Changes, **NOT_THERE}, summary="What waits")
def changes(request: HttpRequest, trainee_id: UUID) -> Any:
    """The revision that waits for a decision; not there where none does."""
    waiting = waiting_revision(coached(request, trainee_id))
    if waiting is None:
        raise Http404
    return changes_values(models.BlockRevision.objects.get(id=waiting.id))


def changes_values(kept: models.BlockRevision) -> dict[str, Any]:
    """The changes of a revision under the numbers that a coach reads."""
    made = block_of(kept)
    found = []
    for number, rows in enumerate(change_groups(made), start=1):
        first = made.changes[rows[0] - 1]
        weeks = sorted({made.changes[row - 1].week for row in rows})
        found.append(
            {
                "number": number,
                "weeks": weeks,
                "session": first.session,
                "entry": first.entry,
                "was": first.from_,
                "becomes": first.to,
                "why": first.why,
            }
        )
    return {"block": kept.block, "parent": kept.parent, "changes": found}


@router.post(
    "/trainees/{trainee_id}/changes/{block_id}",
    response={200: shapes.InForce, **REFUSED, 409: shapes.Wrong},
    summary="Accept or decline",
)
def decide(request: HttpRequest, trainee_id: UUID, given: shapes.Verdict, block_id: str = BLOCK_ID) -> Any:
    """Takes or declines the changes of a revision, all or some; 409 where another one is in force meanwhile."""
    row = coached(request, trainee_id)
    found = row.revisions.filter(block=keepable(block_id)).first()
    if found is None:
        raise Http404
    if found.parent not in ("", in_force_id(row) or ""):
        lines = [f"{found.block} was made from {found.parent}, which is no longer in force."]
        return 409, {"title": "Another block is in force", "faults": lines}
    count = len(change_groups(block_of(found)))
    beyond = [one for one in given.changes or () if one > count]
    if beyond:
        allowed = f"numbers from 1 to {count}" if count else "nothing: it changes nothing"
        raise InputFaults([Fault("changes", "changes", str(beyond[0]), allowed)])
    reason = keepable(given.reason)
    with transaction.atomic():
        (accept if given.verdict == "accept" else decline)(row, found.block, given.changes, request.user, reason)
        count_anew(row, with_findings=False)
    return {"block": in_force_id(row) or ""}


@router.post(
    "/trainees/{trainee_id}/changes/{block_id}/again",
    response={202: shapes.Job, **REFUSED},
    summary="Make changes again",
)
def again(request: HttpRequest, trainee_id: UUID, block_id: str = BLOCK_ID) -> Any:
    """Asks for the changes of a revision anew on the block in force, where another came into force meanwhile."""
    row = coached(request, trainee_id)
    found = row.revisions.filter(block=keepable(block_id)).first()
    if found is None:
        raise Http404
    return 202, jobs.ask(row, "again", {"again": found.block, "on": today().isoformat()}, request.user)


@router.post(
    "/trainees/{trainee_id}/sore",
    response={202: shapes.Job, **REFUSED, 409: shapes.Wrong},
    summary="Something hurts",
)
def sore(request: HttpRequest, trainee_id: UUID, given: shapes.Sore) -> Any:
    """Asks for the smallest change that a sore joint needs; a job makes it. 409 where no block is in force."""
    row = coached(request, trainee_id)
    asked = keepable(given.dict())
    limit_said(asked, today())
    if in_force_id(row) is None:
        lines = [f"No block is in force for {row.name}: put the limit into the intake."]
        return 409, {"title": "Nothing to change", "faults": lines}
    return 202, jobs.ask(row, "sore", {**asked, "on": today().isoformat()}, request.user)


@router.get("/jobs/{job_id}", response={200: shapes.Job, **NOT_THERE}, summary="How far a job is")
def job(request: HttpRequest, job_id: UUID) -> Any:
    """Its state, and what came of it: the id of a block, or the reasons why not."""
    return own_job(request, job_id)


@router.post("/jobs/{job_id}/cancel", response={200: shapes.Job, **REFUSED}, summary="End a job")
def cancel_job(request: HttpRequest, job_id: UUID) -> Any:
    """Asks it to end; what is over stays as it is."""
    found = own_job(request, job_id)
    jobs.cancel(found)
    found.refresh_from_db()
    return found
