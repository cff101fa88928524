"""For the clinic, and from it: what may go out is asked first, what comes in is shown first."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from setwright.faults import Fault, InputFaults
from setwright.publish.clinic_bundle import Outgoing
from setwright.records import models
from setwright.records.data_base import revision_in_force
from setwright.services.clinic import Arrival
from setwright.services.desk.clinic import file_for_clinic, look_at, take_rows, text_sent
from setwright.web.access import coached, require_coach

FIELDS = ("who", "pseudonym")


@require_http_methods(["GET", "POST"])
def clinic(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """A file for a clinic to download; a file from one to look at, and to take by rows."""
    row = coached(request, trainee_id)
    if request.method == "GET":
        return clinic_page(request, row)
    try:
        if request.POST.get("deed") == "write":
            return download(request, row)
        name, text = sent_file(request)
        found = look_at(row, text, name)
        if request.POST.get("deed") != "take":
            return clinic_page(request, row, found, name, text)
    except InputFaults as wrong:
        return clinic_page(request, row, faults=wrong.faults)
    numbers = [int(one) for one in request.POST.getlist("row") if one.isascii() and one.isdigit()]
    try:
        take_rows(require_coach(request), row, text, name, numbers)
    except InputFaults as wrong:
        return clinic_page(request, row, found, name, text, wrong.faults)
    many = "1 row is" if len(numbers) == 1 else f"{len(numbers)} rows are"
    messages.success(
        request, f"{many} in the intake. A block in force knows nothing of new limits until you change it."
    )
    return redirect("trainee", row.id)


def download(request: HttpRequest, row: models.Trainee) -> HttpResponse:
    """The file for the clinic, with what may go out."""
    given = request.POST
    is_name = given.get("who") == "name"
    called = row.name if is_name else given.get("pseudonym", "").strip()
    if not called:
        raise InputFaults([Fault("for the clinic", "pseudonym", "nothing", "a pseudonym, or choose their name")])
    may = Outgoing(called, is_name, given.get("pain") == "yes", given.get("notes") == "yes")
    answer = HttpResponse(file_for_clinic(row, may, request.user), content_type="application/fhir+json")
    answer["Content-Disposition"] = 'attachment; filename="for-the-clinic.json"'
    answer["Cache-Control"] = "no-store, private"
    return answer


def sent_file(request: HttpRequest) -> tuple[str, str]:
    """The name and text of a file: uploaded now, or the one that was looked at."""
    file = request.FILES.get("file")
    if file is not None:
        name = str(file.name)[:80]
        return name, text_sent(name, file.read())
    text = request.POST.get("text", "")
    if not text.strip():
        raise InputFaults([Fault("from the clinic", "", "no file", "a FHIR bundle as JSON")])
    name = request.POST.get("name", "")[:80] or "pasted"
    return name, text_sent(name, text.encode())


def clinic_page(
    request: HttpRequest,
    row: models.Trainee,
    found: Arrival | None = None,
    name: str = "",
    text: str = "",
    faults: tuple[Fault, ...] = (),
) -> HttpResponse:
    """Both forms, and below the second what the file brings."""
    said: dict[str, Any] = {key: request.POST.get(key, "") for key in FIELDS}
    said.update({key: request.POST.get(key) == "yes" for key in ("pain", "notes")})
    values = {
        "row": row,
        "said": said,
        "found": found,
        "file": name,
        "text": text,
        "faults": faults,
        "chosen": request.POST.getlist("row"),
        "is_other": found is not None and bool(found.called) and found.called.casefold() != row.name.casefold(),
        "has_block": revision_in_force(row) is not None,
    }
    answer = render(request, "clinic.html", values, status=400 if faults else 200)
    answer["Cache-Control"] = "no-store, private"
    return answer
