"""An old log comes in: a file, which column says what, what it becomes, and only then the log."""

from __future__ import annotations

from typing import Any, cast
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from setwright.faults import Fault, InputFaults
from setwright.publish.units import Unit, mass_text
from setwright.publish.words import date_text, name_of
from setwright.records import models
from setwright.review.old_log import FIELDS, LEFT_OUT, Columns, OldLog, Sheet, guessed_columns
from setwright.services.desk.importing import (
    is_own_log,
    keep_upload,
    look_at,
    read_sheets,
    take_in,
    throw_away,
    upload_of,
    waiting_uploads,
)
from setwright.services.gather import catalogue
from setwright.strength.logged import LoggedSet
from setwright.web.access import coached
from setwright.web.forms.intake import Names

ORDERS = ("day first", "month first", "year first")
SHOWN_ROWS, MOST_SAMPLES, SHOWN_SETS, SHOWN_FAULTS = 4, 40, 12, 60


@require_http_methods(["GET", "POST"])
def upload(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """A file, or a table that is pasted; nothing of it is in the log yet."""
    row = coached(request, trainee_id)
    faults: tuple[Fault, ...] = ()
    pasted = request.POST.get("text", "")
    if request.method == "POST":
        file = request.FILES.get("file")
        try:
            if file is None and not pasted.strip():
                raise InputFaults([Fault("old log", "", "no file", "a file, or a table pasted from a spreadsheet")])
            name, data = (file.name, file.read()) if file is not None else ("pasted table", pasted.encode())
            kept = [keep_upload(row, name, sheet, request.user) for sheet in read_sheets(name, data)]
            return redirect("import-map", row.id, kept[0]) if len(kept) == 1 else redirect("import", row.id)
        except InputFaults as wrong:
            faults = wrong.faults
    values = {"row": row, "faults": faults, "text": pasted, "waiting": waiting_uploads(row)}
    return render(request, "import.html", values, status=400 if faults else 200)


@require_http_methods(["GET", "POST"])
def columns(request: HttpRequest, trainee_id: UUID, slug: str) -> HttpResponse:
    """Which column says what; what the table becomes; taking it into the log."""
    row = coached(request, trainee_id)
    name, sheet = upload_of(row, slug)
    if request.method == "GET":
        unit: Unit = "lb" if row.practice.unit == "lb" else "kg"
        return mapping_page(request, row, name, sheet, guessed_columns(sheet, unit))
    deed = request.POST.get("deed", "look")
    if deed == "away":
        throw_away(row, slug)
        messages.success(request, "The table is thrown away. Nothing of it came into the log.")
        return redirect("trainee", row.id)
    chosen = columns_in(request, sheet)
    if deed != "take":
        return mapping_page(request, row, name, sheet, chosen)
    try:
        new = take_in(row, slug, chosen, request.POST.get("without") == "yes", request.user)
    except InputFaults as wrong:
        if look_at(sheet, chosen, name).log.sets and request.POST.get("without") != "yes":
            return mapping_page(request, row, name, sheet, chosen, is_refused=True)
        return mapping_page(request, row, name, sheet, chosen, wrong.faults[:1])
    known = " Rows that were there before count once." if not new else ""
    messages.success(request, f"{new} row{'s' if new != 1 else ''} came into the log.{known}")
    return redirect("import" if waiting_uploads(row) else "trainee", row.id)


def columns_in(request: HttpRequest, sheet: Sheet) -> Columns:
    """The mapping of a form; what is no known answer is left out."""
    given = request.POST
    fields = tuple(given.get(f"column-{number}", "") for number in range(1, len(sheet.header) + 1))
    order = given.get("order", "")
    names = {}
    for number in range(1, 501):
        text = given.get(f"name-{number}")
        if text is None:
            break
        names[text] = given.get(f"typed-{number}", "").strip() or given.get(f"answer-{number}", "")
    slug = Names(catalogue()).slug
    return Columns(
        tuple(one if one in FIELDS else "" for one in fields),
        cast(Any, order if order in ORDERS else "day first"),
        "lb" if given.get("unit") == "lb" else "kg",
        given.get("same") == "yes",
        {text: answer if answer == LEFT_OUT else slug(answer) for text, answer in names.items() if answer},
    )


def mapping_page(
    request: HttpRequest,
    row: models.Trainee,
    name: str,
    sheet: Sheet,
    chosen: Columns,
    faults: Any = (),
    is_refused: bool = False,
) -> HttpResponse:
    """The page of a table with what it becomes under a mapping.

    is_refused : the coach took it while some of it still asks for an answer
    """
    found = look_at(sheet, chosen, name)
    known = catalogue()
    heads = [
        {
            "number": number,
            "name": head,
            "chosen": field,
            "samples": [line[number - 1] for line in sheet.rows[:MOST_SAMPLES] if line[number - 1]][:SHOWN_ROWS],
        }
        for number, (head, field) in enumerate(zip(sheet.header, chosen.fields, strict=True), start=1)
    ]
    values = {
        "row": row,
        "file": name,
        "rows": len(sheet.rows),
        "heads": heads,
        "is_own": is_own_log(sheet),
        "fields": FIELDS.items(),
        "orders": ORDERS,
        "columns": chosen,
        "settle": settle_values(found, chosen),
        "answered": [(text, answer) for text, answer in chosen.names.items()],
        "found": found,
        "sets": len(found.log.sets),
        "first": found.log.sets[0].date if found.log.sets else None,
        "last": found.log.sets[-1].date if found.log.sets else None,
        "shown": [set_in_words(one, chosen.unit) for one in found.log.sets[:SHOWN_SETS]],
        "wrong": found.faults[:SHOWN_FAULTS],
        "more_wrong": max(0, len(found.faults) - SHOWN_FAULTS),
        "read_as": [(text, name_of(slug, known)) for text, slug in found.read_as.items() if text not in chosen.names],
        "names": Names(known).listed(),
        "faults": faults,
        "is_refused": is_refused,
    }
    return render(request, "import_map.html", values, status=400 if faults or is_refused else 200)


def set_in_words(one: LoggedSet, unit: Unit) -> str:
    """A set of the log as a phrase: ``3 February 2026: barbell back squat, set 1: 5 at 100 kg, 3 left``."""
    measures = ((one.reps, ""), (one.hold_s, " s held"), (one.time_s, " s"), (one.distance_m, " m"))
    done = " and ".join(f"{value:g}{word}" for value, word in measures if value is not None)
    load = "" if one.load_kg is None else f" at {mass_text(one.load_kg, unit)}"
    left = "" if one.rir is None else f", {one.rir:g} left"
    note = f". {one.note}" if one.note else ""
    where = f"{date_text(one.date)}: {name_of(one.exercise, catalogue())}, set {one.set}"
    return f"{where}: {done}{load}{left}{note}"


def settle_values(found: OldLog, chosen: Columns) -> list[dict[str, Any]]:
    """Every name that asks for an answer, and those that were answered, with what may be meant."""
    known = catalogue()
    open_names = [
        {
            "text": one.text,
            "rows": one.rows,
            "first": one.first,
            "answer": chosen.names.get(one.text, ""),
            "choices": [(slug, name_of(slug, known)) for slug in one.proposals],
        }
        for one in found.unsettled
    ]
    there = {one["text"] for one in open_names}
    done = [
        {
            "text": text,
            "rows": 0,
            "answer": answer,
            "choices": [] if answer == LEFT_OUT else [(answer, name_of(answer, known))],
        }
        for text, answer in chosen.names.items()
        if text not in there
    ]
    return [{**one, "number": number} for number, one in enumerate([*open_names, *done], start=1)]
