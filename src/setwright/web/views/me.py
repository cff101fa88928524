"""What a trainee sees of themselves: progress, words with the coach, all data to take away."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods

from setwright.faults import InputFaults
from setwright.services.clock import today
from setwright.services.desk import jobs
from setwright.services.desk.notes import opened_by_trainee, write_note
from setwright.services.desk.own_data import own_data_json, own_log_csv
from setwright.services.desk.progress import days_logged, progress_of, words_of_days
from setwright.services.desk.tables import PARQUET, kinds_of_table, log_table
from setwright.web.access import require_trainee

DAYS_A_PAGE, NOTES_A_PAGE = 14, 30


@require_GET
@never_cache
def progress(request: HttpRequest) -> HttpResponse:
    """How regularly, how strong, what was done."""
    row, on = require_trainee(request), today()
    found = progress_of(row, on)
    if not found["is_newest"] and not row.jobs.filter(deed="count", ended_at=None).exists():
        jobs.ask(row, "count", {}, request.user)
    page = Paginator(days_logged(row), DAYS_A_PAGE).get_page(request.GET.get("page"))
    values = {
        "row": row,
        "on": on,
        "page": page,
        "tables": kinds_of_table(),
        "days": words_of_days(row, list(page.object_list)),
        **found,
    }
    return render(request, "progress.html", values)


@require_http_methods(["GET", "POST"])
@never_cache
def words(request: HttpRequest) -> HttpResponse:
    """The notes between the trainee and the coach, the newest first, and a form for one more."""
    row = require_trainee(request)
    if request.method == "POST":
        text = request.POST.get("text", "")
        try:
            write_note(row, text, is_from_coach=False)
        except InputFaults as wrong:
            values = {"row": row, "faults": wrong.faults, "text": text, "page": page_of(request, row)}
            return render(request, "words.html", values, status=400)
        messages.success(request, "Your coach has it.")
        return redirect("words")
    answer = render(request, "words.html", {"row": row, "page": page_of(request, row)})
    opened_by_trainee(row)
    return answer


def page_of(request: HttpRequest, row: object) -> object:
    """One page of the notes of a trainee."""
    notes = row.notes.order_by("-at")  # type: ignore[attr-defined]
    return Paginator(notes, NOTES_A_PAGE).get_page(request.GET.get("page"))


@require_GET
@never_cache
def log_file(request: HttpRequest) -> HttpResponse:
    """The own log as CSV."""
    row = require_trainee(request)
    return as_file(own_log_csv(row), "text/csv; charset=utf-8", f"{row.slug}-log.csv")


@require_GET
@never_cache
def log_table_file(request: HttpRequest) -> HttpResponse:
    """The own log as Parquet, where this installation writes it."""
    row = require_trainee(request)
    if PARQUET not in kinds_of_table():
        raise Http404
    return as_file(log_table(row), "application/vnd.apache.parquet", f"{row.slug}-log.parquet")


@require_GET
@never_cache
def data_file(request: HttpRequest) -> HttpResponse:
    """Everything as JSON."""
    row = require_trainee(request)
    return as_file(own_data_json(row), "application/json", f"{row.slug}.json")


def as_file(content: bytes, kind: str, name: str) -> HttpResponse:
    """Bytes to be kept under a name."""
    return HttpResponse(content, content_type=kind, headers={"Content-Disposition": f'attachment; filename="{name}"'})
