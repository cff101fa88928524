"""What the coach is told of a trainee: notes and pain, answered or put aside."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from uuid import UUID

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from setwright.faults import InputFaults
from setwright.services.desk.notes import put_aside, write_note
from setwright.web.access import coached

A_PAGE = 30


@require_http_methods(["GET", "POST"])
def notes(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """All notes with one trainee, the newest first, and a reply."""
    row = coached(request, trainee_id)
    page = Paginator(row.notes.order_by("-at"), A_PAGE).get_page(request.GET.get("page"))
    if request.method == "POST":
        text, about = request.POST.get("text", ""), request.POST.get("about", "")
        try:
            write_note(row, text, is_from_coach=True, about=about)
        except InputFaults as wrong:
            values = {"row": row, "faults": wrong.faults, "text": text, "page": page}
            return render(request, "notes.html", values, status=400)
        for one in row.notes.filter(seen_at=None, is_from_coach=False, id__in=ids_of(request.POST.getlist("note"))):
            put_aside(row, one.id)
        messages.success(request, f"{row.name} reads it with the next session.")
        return redirect("notes", row.id)
    return render(request, "notes.html", {"row": row, "page": page})


def ids_of(texts: Iterable[str]) -> list[UUID]:
    """The ids among some texts."""
    found = []
    for one in texts:
        with suppress(ValueError):
            found.append(UUID(one))
    return found


@require_POST
def seen(request: HttpRequest, trainee_id: UUID, note_id: UUID) -> HttpResponse:
    """Puts one note aside."""
    row = coached(request, trainee_id)
    put_aside(row, note_id)
    return redirect("notes" if request.POST.get("back") == "notes" else "trainee", row.id)
