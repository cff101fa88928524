"""A new block: designed from a brief, or written by the coach."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from setwright.faults import Fault
from setwright.people.trainee import TrainingDay
from setwright.plan.brief_file import read_brief
from setwright.plan.shorthand_check import read_lines, with_name
from setwright.records import models
from setwright.services.clock import next_monday
from setwright.services.desk import jobs
from setwright.services.desk.briefs import brief_to_start
from setwright.services.desk.kept_sessions import kept_text_of, read_for_page
from setwright.services.desk.people import free_slug, person_of
from setwright.services.gather import catalogue
from setwright.services.templates import template_text
from setwright.web.access import coached, require_coach
from setwright.web.forms.brief import brief_form
from setwright.web.forms.form import Shown, shown
from setwright.web.forms.intake import Names
from setwright.web.forms.page import Standing, edit
from setwright.web.forms.typed import apply_button, pressed, typed_of
from setwright.web.forms.written import composed, written_form


@require_http_methods(["GET", "POST"])
def design(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """A block from a brief, by form or as text: it goes to a job."""
    row = coached(request, trainee_id)
    last = row.documents.filter(kind="brief").order_by("-id").first()

    def keep(text: str) -> HttpResponse:
        read_brief(text, "brief", catalogue())
        return redirect("job", jobs.ask(row, "design", {"brief": text}, request.user).id)

    def finish(table: dict[str, Any]) -> dict[str, Any]:
        title = str(table.get("title", ""))
        return {**({"id": free_slug(title, (), "brief")} if title else {}), **table}

    def show(values: dict[str, Any], status: int) -> HttpResponse:
        text = values["text"] or (last.text if last is not None else template_text("brief"))
        return render(request, "design.html", {**values, "row": row, "text": text}, status=status)

    first = brief_to_start(row) if request.method == "GET" else None
    return edit(request, brief_form(catalogue()), Standing(), keep, show, finish, first)


@require_http_methods(["GET", "POST"])
def write(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """A block in the coach's own words, as text or by rows: what was read is shown beside it, then it goes to a job."""
    row = coached(request, trainee_id)
    days = person_of(row).trainee.days
    if request.method == "GET":
        return written_page(request, row, days, kept_of(request), next_monday().isoformat())
    if request.POST.get("door") == "rows":
        return written_by_rows(request, row, days)
    text, start = request.POST.get("text", "").replace("\r\n", "\n"), request.POST.get("start", "")
    deed = request.POST.get("deed", "keep")
    if deed.startswith("meant:"):
        number, _, slug = deed.removeprefix("meant:").partition(":")
        return written_page(request, row, days, with_name(text, int(number or 0), slug, catalogue()), start)
    if deed == "title":
        return written_page(request, row, days, as_title(text), start)
    if deed == "check":
        return written_page(request, row, days, text, start)
    read, _ = read_for_page(row, text, [one.day for one in days])
    wrong = date_fault(start)
    if wrong or not read.is_good:
        return written_page(request, row, days, text, start, wrong, 400)
    return ask_to_write(request, row, text, start)


def kept_of(request: HttpRequest) -> str:
    """The kept session that the address names, or an empty text. Raises Http404 for one that is not there."""
    slug = request.GET.get("kept", "")
    try:
        return kept_text_of(require_coach(request).practice, slug) if slug else ""
    except LookupError:
        raise Http404 from None


def ask_to_write(request: HttpRequest, row: models.Trainee, text: str, start: str) -> HttpResponse:
    """The text goes to a job."""
    return redirect("job", jobs.ask(row, "write", {"text": text, "start": start}, request.user).id)


def written_by_rows(request: HttpRequest, row: models.Trainee, days: Sequence[TrainingDay]) -> HttpResponse:
    """The rows of a form as a text: it goes to a job, or into the first door to be gone on with there."""
    form, typed = written_form(catalogue(), days), typed_of(request.POST)
    button = pressed(typed)
    if button is not None:
        focus = apply_button(typed, button, form.blanks(), form.carries())
        return written_page(request, row, days, "", "", rows=shown(form, typed, (), focus))
    table = form.table_from(typed)
    made = composed(table, catalogue())
    start = str(table.get("start", ""))
    if typed.get("deed") == "as-text":
        return written_page(request, row, days, made.text, start)
    read = read_lines(made.text, catalogue(), [one.day for one in days])
    faults = [*made.faults, *read.faults, *(fault for line in read.lines for fault in line.faults), *date_fault(start)]
    if faults:
        rows = shown(form, typed, made.at_rows(faults))
        return written_page(request, row, days, "", start, rows=rows, status=400)
    return ask_to_write(request, row, made.text, start)


def date_fault(start: str) -> list[Fault]:
    """What is wrong with the first day of a block, if anything."""
    try:
        date.fromisoformat(start)
    except ValueError:
        return [Fault("the block", "start", repr(start), "a date like 2026-09-07")]
    return []


def written_page(
    request: HttpRequest,
    row: models.Trainee,
    days: Sequence[TrainingDay],
    text: str,
    start: str,
    faults: Sequence[Fault] = (),
    status: int = 200,
    rows: Shown | None = None,
) -> HttpResponse:
    """The page where a block is written, with what was read of it."""
    if rows is None:
        form = written_form(catalogue(), days)
        rows = shown(form, form.typed_from({"start": date.fromisoformat(start)} if not date_fault(start) else {}))
        by_rows = False
    else:
        by_rows = True
    read, fillings = read_for_page(row, text, [one.day for one in days]) if text.strip() else (None, ())
    values = {
        "row": row,
        "text": text,
        "start": start,
        "faults": faults,
        "read": read,
        "fillings": [one for one in fillings if one.at.kind != "name" and not one.is_as_written],
        "as_written": sum(one.is_as_written for one in fillings),
        "form": rows,
        "by_rows": by_rows,
        "names": Names(catalogue()).listed(),
    }
    return render(request, "write.html", values, status=status)


def as_title(text: str) -> str:
    """The text with its first line as the title."""
    lines = text.splitlines()
    at = next((place for place, line in enumerate(lines) if line.strip()), None)
    if at is None:
        return text
    return "\n".join([*lines[:at], f"Block: {lines[at].strip()}", *lines[at + 1 :]])
