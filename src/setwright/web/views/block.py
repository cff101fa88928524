"""A block on one screen: weeks by sessions as named lines; and one session with all that it says."""

from __future__ import annotations

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_GET

from setwright.catalogue.store import Catalogue
from setwright.plan.block import Block, Week
from setwright.publish import words
from setwright.publish.catalogue_figure import Drawn
from setwright.publish.page import figures_of, parts_of
from setwright.records import models
from setwright.records.data_base import block_of, revision_in_force
from setwright.services.desk.blocks import waiting_revision
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
    """All weeks of a block by their sessions."""
    row = coached(request, trainee_id)
    revision = revision_of(row, block_id)
    block, known = block_of(revision), catalogue()
    in_force, waits = revision_in_force(row), waiting_revision(row)
    values = {
        "row": row,
        "plan": block,
        "span": words.span_text(block),
        "proof": words.proof_text(block),
        "weeks": [week_lines(block, week, known) for week in block.weeks],
        "unmet": words.spoken_unmet(block),
        "is_in_force": in_force is not None and in_force.block == block.id,
        "is_waiting": waits is not None and waits.block == block.id,
        "revisions": row.revisions.defer("packed").order_by("-id")[:20],
    }
    return render(request, "block.html", values)


def week_lines(block: Block, week: Week, known: Catalogue) -> dict[str, object]:
    """A week as a title and a line for each session: what is done, in its order."""
    return {
        "number": week.number,
        "title": words.week_title(block, week),
        "effort": words.effort_of_week(week),
        "sessions": [
            {
                "day": session.day,
                "title": words.DAY_NAMES[session.day] + (f": {session.title}" if session.title else ""),
                "minutes": round(session.minutes),
                "lines": [
                    words.entry_text(entry, known, words.day_unit(block, session.day))
                    for part in session.parts
                    if part.part != "warm-up"
                    for entry in part.entries
                ],
            }
            for session in week.sessions
        ],
    }


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
    figures = [
        {"slug": one.slug, "view": view_of(one), "marks": mark_safe(one.marks)}
        for one in figures_of(parts, catalogue())
    ]
    values = {
        "row": row,
        "plan": block,
        "week": week,
        "title": f"{words.DAY_NAMES[found.day]}, {words.date_text(words.session_date(block, week, found.day))}",
        "sub": f"{words.week_title(block, this_week)}: {words.effort_of_week(this_week)}, {found.minutes:.0f} min",
        "parts": parts,
        "figures": figures,
        "cautions": block.cautions,
    }
    return render(request, "session.html", values)


def view_of(drawn: Drawn) -> str:
    """The view box of a figure."""
    return f"0 0 {drawn.width:.2f} {drawn.height:.2f}"
