"""Kept sessions: a searched list, one to change or to use, and keeping one from a block."""

from __future__ import annotations

from urllib.parse import urlencode
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from setwright.faults import Fault, InputFaults
from setwright.people.trainee import DAY_NAMES
from setwright.records import models
from setwright.records.data_base import block_of
from setwright.services.clock import next_monday
from setwright.services.desk import kept_sessions
from setwright.services.desk.fit_kept import MOST_PEOPLE, ask_to_fit, came_of
from setwright.web.access import coached, require_coach, trainees_of
from setwright.web.views.block import revision_of
from setwright.web.views.names import FIND, names_values
from setwright.web.views.told import ids_of

FIELDS = ("week", "day", "title", "here", "cues")


@require_GET
def listed(request: HttpRequest) -> HttpResponse:
    """The kept sessions of the practice, by the words that are looked for."""
    coach, wanted = require_coach(request), request.GET.get("find", "")[:100]
    rows = kept_sessions.shelf_of(coach.practice, wanted)
    return render(request, "plan/kept.html", {"rows": rows, "find": wanted})


@require_http_methods(["GET", "POST"])
def new(request: HttpRequest) -> HttpResponse:
    """A session typed by hand."""
    coach = require_coach(request)
    if request.method == "GET":
        return kept_page(request, "", "")
    text = request.POST.get("text", "")[: kept_sessions.MOST_LETTERS]
    try:
        slug = kept_sessions.keep_session(coach, text)
    except InputFaults as wrong:
        return kept_page(request, "", text, wrong.faults)
    messages.success(request, "It is kept.")
    return redirect("kept-one", slug)


def text_or_404(coach: models.Coach, kept_slug: str) -> str:
    """The text of a kept session of the practice."""
    try:
        return kept_sessions.kept_text_of(coach.practice, kept_slug)
    except LookupError:
        raise Http404 from None


@require_http_methods(["GET", "POST"])
def one(request: HttpRequest, kept_slug: str) -> HttpResponse:
    """One kept session: its text to change, and a trainee to use it for."""
    coach = require_coach(request)
    text = text_or_404(coach, kept_slug)
    if request.method == "GET":
        return kept_page(request, kept_slug, text)
    if request.POST.get("deed") == "away":
        kept_sessions.take_off_the_shelf(coach, kept_slug)
        messages.success(request, "It is taken away.")
        return redirect("kept")
    text = request.POST.get("text", "")[: kept_sessions.MOST_LETTERS]
    try:
        kept_sessions.keep_session(coach, text, kept_slug)
    except InputFaults as wrong:
        return kept_page(request, kept_slug, text, wrong.faults)
    messages.success(request, "The change is kept.")
    return redirect("kept-one", kept_slug)


@require_GET
def use(request: HttpRequest, kept_slug: str) -> HttpResponse:
    """To the page where a block is written, with the kept session in it for the trainee that was chosen."""
    coach = require_coach(request)
    try:
        kept_sessions.kept_text_of(coach.practice, kept_slug)
        row = coached(request, UUID(request.GET.get("who", "")))
    except (LookupError, ValueError):
        raise Http404 from None
    return redirect(f"{reverse('write', args=[row.id])}?kept={kept_slug}")


@require_http_methods(["GET", "POST"])
def fit(request: HttpRequest, kept_slug: str) -> HttpResponse:
    """A kept session fitted to several people: asked for here, and what came of each."""
    coach = require_coach(request)
    text = text_or_404(coach, kept_slug)
    if request.method == "GET":
        return came_page(request, kept_slug)
    if request.POST.get("deed") == FIND:
        return kept_page(request, kept_slug, text)
    chosen = identities(request.POST.getlist("who"))
    rows = list(trainees_of(coach).filter(id__in=chosen).order_by("name"))
    if len(rows) != len(chosen):
        raise Http404
    try:
        asked = ask_to_fit(rows, text, request.POST.get("start", ""), request.user)
    except InputFaults as wrong:
        return kept_page(request, kept_slug, text, wrong.faults)
    query = urlencode({"job": [str(one.id) for one in asked]}, doseq=True)
    return redirect(f"{reverse('fit-kept', args=[kept_slug])}?{query}")


def identities(given: list[str]) -> set[UUID]:
    """The identities in an address or a form. Raises Http404 for what is none."""
    try:
        return {UUID(one) for one in given}
    except ValueError:
        raise Http404 from None


def came_page(request: HttpRequest, slug: str) -> HttpResponse:
    """What came of each; the same address gives only the list where it is asked to renew itself."""
    coach = require_coach(request)
    wanted = identities(request.GET.getlist("job")[:MOST_PEOPLE])
    came = came_of(coach, list(wanted))
    shown = next((each for each in kept_sessions.shelf_of(coach.practice) if each.slug == slug), None)
    values = {
        "slug": slug,
        "title": (shown.kept.title if shown is not None else slug).replace("{name}", "everybody"),
        "came": came,
        "is_over": all(one.job.is_over for one in came),
        "address": request.get_full_path(),
    }
    return render(request, "plan/fitted_list.html" if request.htmx else "plan/fitted.html", values)


def kept_page(request: HttpRequest, slug: str, text: str, faults: tuple[Fault, ...] = ()) -> HttpResponse:
    """The page of one kept session, or of a new one."""
    shown = None
    if slug and not faults:
        shown = next(
            (each for each in kept_sessions.shelf_of(require_coach(request).practice) if each.slug == slug), None
        )
    values = {
        "slug": slug,
        "text": text,
        "faults": faults,
        "shown": shown,
        **names_values(request, trainees_of(require_coach(request)), ids_of(request.POST.getlist("who"))),
        "start": request.POST.get("start") or next_monday().isoformat(),
        "chosen": request.POST.getlist("who"),
    }
    return render(request, "plan/kept_one.html", values, status=400 if faults else 200)


@require_http_methods(["GET", "POST"])
def from_block(request: HttpRequest, trainee_id: UUID, block_id: str) -> HttpResponse:
    """Keeps a block, a week or a day of it."""
    row, coach = coached(request, trainee_id), require_coach(request)
    block = block_of(revision_of(row, block_id))
    week, day = request.GET.get("week", "1"), request.GET.get("day", "")
    said = {"week": week, "day": day, "title": "", "here": "yes", "cues": ""}
    faults: tuple[Fault, ...] = ()
    if request.method == "POST":
        said = {key: request.POST.get(key, "").strip() for key in FIELDS}
        try:
            slug = kept_sessions.keep_from_block(coach, block, said)
        except InputFaults as wrong:
            faults = wrong.faults
        else:
            messages.success(request, "It is kept: change it here as you like.")
            return redirect(reverse("kept-one", args=[slug]))
    days = dict.fromkeys(session.day for week in block.weeks for session in week.sessions)
    values = {
        "row": row,
        "plan": block,
        "said": said,
        "faults": faults,
        "weeks": [week.number for week in block.weeks],
        "weekdays": [(each, DAY_NAMES[each]) for each in days],
    }
    return render(request, "plan/keep.html", values, status=400 if faults else 200)
