"""Private links: made and withdrawn by the coach, opened by whoever holds one, without a log-in."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.safestring import mark_safe
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from setwright.faults import Fault, InputFaults
from setwright.people.trainee import DAY_NAMES
from setwright.records import models
from setwright.records.data_base import block_of, current_of
from setwright.services.clock import today
from setwright.services.desk import public_links, sharing
from setwright.services.desk.all_links import open_links_of
from setwright.services.desk.own_exercises import practice_exercises
from setwright.services.desk.people import places_of
from setwright.web.access import coached, require_coach
from setwright.web.views.block import revision_of, shown_figures
from setwright.web.views.printing import as_pdf

Form = TypeVar("Form")
FIELDS = ("what", "name", "days", "starts")


@require_http_methods(["GET", "POST"])
def links(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """The links of one trainee, a form for one more, and the new one, shown once."""
    row = coached(request, trainee_id)
    said = {"what": sharing.NOTES, "days": "28", "starts": "18:00", "name": ""}
    made: sharing.Shared | None = None
    faults: tuple[Fault, ...] = ()
    if request.method == "POST":
        said = {key: request.POST.get(key, "").strip() for key in FIELDS}
        try:
            made = sharing.make_link(row, said, request.user)
        except InputFaults as wrong:
            faults = wrong.faults
    values = {
        "row": row,
        "said": said,
        "faults": faults,
        "made": made,
        "address": "" if made is None else request.build_absolute_uri(address_of(made)),
        "open": [shown(one) for one in sharing.open_links(row)],
        "ended": [shown(one) for one in sharing.ended_links(row)],
        "whats": sharing.WHAT.items(),
        "days": sharing.DAYS_OPEN.items(),
        "has_block": current_of(row) is not None,
    }
    answer = render(request, "plan/links.html", values, status=400 if faults else 200)
    answer["Cache-Control"] = "no-store"
    return answer


def address_of(made: sharing.Shared) -> str:
    """The address of a link."""
    return reverse("shared-calendar" if made.share.what == sharing.CALENDAR else "shared", args=[made.secret])


def shown(share: models.Share) -> dict[str, object]:
    """A link in a list."""
    return {"share": share, "what": sharing.said_of(share)}


@require_POST
def withdraw(request: HttpRequest, trainee_id: UUID, share_id: int) -> HttpResponse:
    """Ends a link at once."""
    row = coached(request, trainee_id)
    sharing.withdraw_link(row, share_id, request.user)
    return redirect("all-links") if request.POST.get("back") == "all" else redirect("links", row.id)


@require_safe
@never_cache
def everywhere(request: HttpRequest) -> HttpResponse:
    """Every link of the coach that is open now, and screens of hours: their own, or all of the practice they own."""
    found = open_links_of(require_coach(request))
    return render(request, "all_links.html", {"shares": found.shares, "boards": found.boards})


def kept_close(answer: HttpResponse) -> HttpResponse:
    """An answer that no search engine keeps, no cache keeps, and that tells no other site where it came from."""
    answer["X-Robots-Tag"] = "noindex, nofollow, noarchive"
    answer["Referrer-Policy"] = "no-referrer"
    answer["Cache-Control"] = "no-store, private"
    return answer


def require_open(secret: str, what: str) -> models.Share:
    """The link of a secret. Raises Http404 for one that is withdrawn, over or unknown: all three look alike."""
    found = sharing.opened_link(secret, what)
    if found is None:
        raise Http404
    return found


@require_safe
def shared(request: HttpRequest, secret: str) -> HttpResponse:
    """The sessions of what is in force now."""
    share = require_open(secret, sharing.NOTES)
    block = current_of(share.trainee)
    index = None if block is None else sharing.notes_index(block, today())
    values = {"secret": secret, "name": share.trainee.name, "index": index}
    return kept_close(render(request, "plan/shared.html", values))


@require_safe
def shared_session(request: HttpRequest, secret: str, week: int, weekday: str) -> HttpResponse:
    """One session with its notes."""
    share = require_open(secret, sharing.NOTES)
    block = current_of(share.trainee)
    if block is None:
        raise Http404
    try:
        with practice_exercises(share.trainee.practice):
            notes = sharing.notes_of(block, week, weekday)
    except LookupError:
        raise Http404 from None
    values = {"secret": secret, "name": share.trainee.name, **notes}
    values["figures"] = shown_figures(values["figures"])
    return kept_close(render(request, "plan/shared_session.html", values))


@require_safe
def shared_calendar(request: HttpRequest, secret: str) -> HttpResponse:
    """The calendar of what is in force now, for a calendar that asks for it again and again."""
    share = require_open(secret, sharing.CALENDAR)
    with practice_exercises(share.trainee.practice):
        data = sharing.calendar_of(share)
    answer = HttpResponse(data, content_type="text/calendar; charset=utf-8")
    answer["Content-Disposition"] = 'inline; filename="training.ics"'
    return kept_close(answer)


PUBLIC_FIELDS = ("week", "day", "title", "talk", "days", "everybody")
LOOK, PAPER, TEXT = "look", "pdf", "txt"


@require_http_methods(["GET", "POST"])
def publish(request: HttpRequest, trainee_id: UUID, block_id: str) -> HttpResponse:
    """A form for the public edition of a block or of one session of it: looked at, taken as a file, or behind a link.

    The link is shown once.
    """
    row = coached(request, trainee_id)
    block = block_of(revision_of(row, block_id))
    weekdays = dict.fromkeys(one.day for week in block.weeks for one in week.sessions)
    said: dict[str, object] = {
        "week": request.GET.get("week", "1"),
        "day": request.GET.get("day", ""),
        "title": "",
        "talk": "20",
        "days": "28",
        "everybody": "",
        "places": [],
    }
    made: sharing.Shared | None = None
    faults: tuple[Fault, ...] = ()
    if request.method == "POST":
        said = {key: request.POST.get(key, "").strip() for key in PUBLIC_FIELDS}
        said["places"] = request.POST.getlist("places")
        deed = request.POST.get("deed")
        try:
            if deed in (LOOK, PAPER, TEXT):
                return looked_at(request, public_links.looked_at(row, block, said), str(deed))
            made = public_links.make_public_link(row, block, said, request.user)
        except InputFaults as wrong:
            faults = wrong.faults
    values = {
        "row": row,
        "plan": block,
        "said": said,
        "faults": faults,
        "made": made,
        "address": "" if made is None else request.build_absolute_uri(reverse("public", args=[made.secret])),
        "weeks": [week.number for week in block.weeks],
        "weekdays": [(one, DAY_NAMES[one]) for one in weekdays],
        "places": places_of(row.practice).values(),
        "days": sharing.DAYS_OPEN.items(),
    }
    answer = render(request, "plan/publish.html", values, status=400 if faults else 200)
    answer["Cache-Control"] = "no-store"
    return answer


def looked_at(request: HttpRequest, made: public_links.Made, deed: str) -> HttpResponse:
    """An edition that nobody else sees yet: the page as it would be, or a file to take."""
    if deed == PAPER:
        return kept_close(as_pdf(public_links.paper_of(made), "session.pdf"))
    if deed == TEXT:
        return kept_close(as_text(public_links.text_of(made)))
    return kept_close(public_page(request, public_links.page_of(made), "", False))


def as_text(text: str) -> HttpResponse:
    """Plain text that the browser shows."""
    answer = HttpResponse(text, content_type="text/plain; charset=utf-8")
    answer["Content-Disposition"] = 'inline; filename="session.txt"'
    return answer


def public_page(request: HttpRequest, values: dict[str, Any], secret: str, everybody: bool) -> HttpResponse:
    """A public edition as a page; without a secret it is only looked at."""
    figures = shown_figures(values["figures"])
    linked = mark_safe(values["linked"])
    shown = {**values, "figures": figures, "linked": linked, "everybody": everybody, "secret": secret}
    return render(request, "plan/public.html", shown)


def behind(secret: str, form: Callable[[public_links.Made], Form]) -> tuple[models.Share, Form]:
    """An open link to a public edition and what it shows in one form. Raises Http404."""
    share = require_open(secret, sharing.PUBLIC)
    with practice_exercises(share.trainee.practice):
        made = public_links.edition_behind(share, form)
    if made is None:
        raise Http404
    return share, made


def for_everybody(answer: HttpResponse, share: models.Share) -> HttpResponse:
    """The answer, which search engines may keep only where the coach said so."""
    if not share.about.get("everybody"):
        return kept_close(answer)
    answer["Cache-Control"] = "no-cache"
    return answer


@require_safe
def public(request: HttpRequest, secret: str) -> HttpResponse:
    """A public edition, for whoever holds its link."""
    share, values = behind(secret, public_links.page_of)
    return for_everybody(public_page(request, values, secret, bool(share.about.get("everybody"))), share)


@require_safe
def public_paper(request: HttpRequest, secret: str) -> HttpResponse:
    """The same on paper."""
    share, made = behind(secret, public_links.paper_of)
    return for_everybody(as_pdf(made, "session.pdf"), share)


@require_safe
def public_text(request: HttpRequest, secret: str) -> HttpResponse:
    """The same as plain text."""
    share, made = behind(secret, public_links.text_of)
    return for_everybody(as_text(made), share)
