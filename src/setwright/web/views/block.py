"""A block on one screen: weeks by sessions as named lines; and one session with all that it says."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_GET

from setwright.people.trainee import DAY_NAMES
from setwright.plan.block_days import session_date, week_of
from setwright.publish import words
from setwright.publish.block_grid import block_grid
from setwright.publish.catalogue_figure import Drawn
from setwright.publish.page import figures_of, parts_of
from setwright.records import models
from setwright.records.data_base import block_of, in_force_id, revision_in_force
from setwright.services.clock import today
from setwright.services.desk.changing import locks_of
from setwright.services.desk.waiting import made_as, waiting_revisions
from setwright.services.gather import catalogue
from setwright.web.access import coached


def revision_of(row: models.Trainee, block_id: str | None) -> models.BlockRevision:
    """A revision of a trainee by its id, or the one in force. Raises Http404 where there is none."""
    found = revision_in_force(row) if block_id is None else row.revisions.filter(block=block_id).first()
    if found is None:
        raise Http404
    return found


@require_GET
def show(request: HttpRequest, trainee_id: UUID, block_id: str | None = None) -> HttpResponse:
    """All weeks of a block by their sessions: a line for each entry."""
    row = coached(request, trainee_id)
    revision = revision_of(row, block_id)
    block, known = block_of(revision), catalogue()
    force, waits = in_force_id(row), waiting_revisions(row)
    before = row.revisions.filter(block=revision.parent).first() if revision.parent else None
    own = next((one for one in waits if one.revision.block == block.id), None)
    is_waiting = own is not None and not own.is_old
    now = week_of(block, today())
    revisions, said = list(row.revisions.defer("packed").order_by("-id")[:20]), made_as(row)
    for one in revisions:
        one.made_on = date.fromisoformat(one.at[:10])
        one.what = said.get(one.block, "")
    values = {
        "row": row,
        "plan": block,
        "span": words.length_text(block),
        "proof": words.proof_text(block),
        "grid": block_grid(block, known, locks_of(row, block), block_of(before) if before and is_waiting else None),
        "now": None if now is None else now.number,
        "unmet": words.spoken_unmet(block),
        "force": force,
        "is_in_force": force == block.id,
        "was_in_force": row.in_force.filter(block=block.id).exists(),
        "is_waiting": is_waiting,
        "may_change": is_waiting or force == block.id,
        "other_waits": [one for one in waits if not one.is_old and one is not own],
        "old_waits": [one for one in waits if one.is_old],
        "revisions": revisions,
    }
    return render(request, "block.html", values)


@require_GET
def session(request: HttpRequest, trainee_id: UUID, block_id: str, week: int, weekday: str) -> HttpResponse:
    """One session as on the sheet, with drawn figures and reasons."""
    row = coached(request, trainee_id)
    block = block_of(revision_of(row, block_id))
    try:
        this_week, found = words.find_session(block, week, weekday)
    except Exception:
        raise Http404 from None
    parts = parts_of(block, found, catalogue(), None)
    figures = shown_figures(figures_of(parts, catalogue()))
    values = {
        "row": row,
        "plan": block,
        "week": week,
        "weekday": found.day,
        "title": f"{DAY_NAMES[found.day]}, {words.date_text(session_date(block, week, found.day))}",
        "sub": f"{words.week_title(block, this_week)}: {words.effort_of_lifts(found)}, {found.minutes:.0f} min",
        "parts": parts,
        "figures": figures,
        "cautions": block.cautions,
    }
    return render(request, "session.html", values)


def shown_figures(drawn: Iterable[Drawn]) -> list[dict[str, str]]:
    """Figures as symbols of a page, for ``figures.html``."""
    return [
        {"slug": one.slug, "view": f"0 0 {one.width:.2f} {one.height:.2f}", "marks": mark_safe(one.marks)}
        for one in drawn
    ]
