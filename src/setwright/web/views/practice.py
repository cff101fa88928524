"""The practice: its name and words, its coaches; and the data of one trainee: handed over, taken away, erased."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth import logout
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from setwright.faults import Fault, InputFaults
from setwright.records import models
from setwright.services.desk.practice import invite
from setwright.services.desk.roof import (
    WORDS,
    change_practice,
    coach_by_id,
    coaches_of,
    hand_over,
    leave,
    make_owner,
    newest_deeds,
    open_invitations,
    other_coaches,
    withdraw_invitation,
)
from setwright.services.desk.tables import kinds_of_table, tables_of
from setwright.services.desk.whole_data import erase, whole_data
from setwright.web.access import coached, require_coach, require_owner


@require_http_methods(["GET", "POST"])
def settings(request: HttpRequest) -> HttpResponse:
    """What the practice is called, the word for its people, its unit; who works in it."""
    coach = require_coach(request)
    given = request.POST
    if request.method == "POST":
        try:
            change_practice(coach, given.get("name", ""), given.get("word", ""), given.get("unit", ""))
        except InputFaults as wrong:
            return settings_page(request, wrong, 400)
        messages.success(request, "Kept.")
        return redirect("practice")
    return settings_page(request)


def settings_page(request: HttpRequest, wrong: InputFaults | None = None, status: int = 200) -> HttpResponse:
    """The page of the practice with what was typed."""
    coach = require_coach(request)
    practice = coach.practice
    practice.refresh_from_db()
    given = request.POST if wrong is not None else None
    values = {
        "practice": practice,
        "name": practice.name if given is None else given.get("name", ""),
        "said_word": practice.word_for_trainee if given is None else given.get("word", ""),
        "unit": practice.unit if given is None else given.get("unit", ""),
        "words": WORDS,
        "coaches": coaches_of(practice),
        "invitations": open_invitations(practice) if coach.is_owner else [],
        "deeds": newest_deeds(coach) if coach.is_owner else [],
        "faults": wrong.faults if wrong is not None else (),
    }
    return render(request, "practice.html", values, status=status)


@require_POST
def invite_coach(request: HttpRequest) -> HttpResponse:
    """A link for another coach, shown once."""
    owner = require_owner(request)
    name = request.POST.get("name", "").strip()
    if not name:
        return redirect("practice")
    made = invite(owner, name)
    link = request.build_absolute_uri(reverse("join", args=[made.secret]))
    return render(request, "invited_coach.html", {"name": name, "link": link, "invitation": made.invitation})


@require_POST
def withdraw(request: HttpRequest, invitation_id: int) -> HttpResponse:
    """Ends a link that nobody has used."""
    withdraw_invitation(require_owner(request), invitation_id)
    messages.success(request, "The link is withdrawn.")
    return redirect("practice")


@require_http_methods(["GET", "POST"])
def one_coach(request: HttpRequest, coach_id: UUID) -> HttpResponse:
    """A coach of the practice: their end there, and the practice in their hands."""
    coach = require_coach(request)
    other = coach_by_id(coach.practice, coach_id)
    if not coach.is_owner and other.id != coach.id:
        raise Http404
    faults: tuple[Fault, ...] = ()
    if request.method == "POST":
        try:
            return coach_deed(request, coach, other)
        except InputFaults as wrong:
            faults = wrong.faults
    heirs = [one for one in coaches_of(coach.practice) if one.id != other.id]
    values = {"other": other, "heirs": heirs, "faults": faults, "is_self": other.id == coach.id}
    return render(request, "coach.html", values, status=400 if faults else 200)


def coach_deed(request: HttpRequest, me: models.Coach, them: models.Coach) -> HttpResponse:
    """Ends a coach's work, or hands the practice over."""
    if request.POST.get("deed") == "owner":
        make_owner(me, them)
        messages.success(request, f"{them.name} owns the practice now.")
        return redirect("practice")
    heir_id = request.POST.get("heir", "")
    count = leave(me, them, coach_by_id(me.practice, heir_id) if heir_id else None)
    if them.id == me.id:
        logout(request)
        return redirect("account_login")
    messages.success(request, f"{them.name} has left; {count} of their people went over.")
    return redirect("practice")


@require_http_methods(["GET", "POST"])
def their_data(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """What is kept of a trainee: to hand over to another coach, to take away as a file, to erase."""
    row, coach = coached(request, trainee_id), require_coach(request)
    faults: tuple[Fault, ...] = ()
    if request.method == "POST":
        name, deed = row.name, request.POST.get("deed")
        try:
            if deed == "hand-over":
                to = hand_over(coach, row, request.POST.get("to", ""))
                messages.success(request, f"{to.name} is responsible for {name} now.")
                return redirect("roster")
            if deed == "erase":
                erase(coach, row, request.POST.get("name", ""))
                messages.success(request, f"All that was kept of {name} is erased.")
                return redirect("roster")
            raise Http404
        except InputFaults as wrong:
            faults = wrong.faults
    values = {
        "row": row,
        "others": other_coaches(coach),
        "faults": faults,
        "typed": request.POST.get("name", ""),
        "tables": kinds_of_table(),
    }
    return render(request, "their_data.html", values, status=400 if faults else 200)


@require_GET
@never_cache
def data_file(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """Everything of a trainee as a ZIP."""
    row = coached(request, trainee_id)
    answer = HttpResponse(whole_data(row), content_type="application/zip")
    answer["Content-Disposition"] = f'attachment; filename="{row.slug}.zip"'
    return answer


@require_GET
@never_cache
def tables_file(request: HttpRequest, trainee_id: UUID, kind: str) -> HttpResponse:
    """The log and the planned sets of a trainee as tables, in a ZIP."""
    row = coached(request, trainee_id)
    if kind not in kinds_of_table():
        raise Http404
    answer = HttpResponse(tables_of(row, kind), content_type="application/zip")
    answer["Content-Disposition"] = f'attachment; filename="{row.slug}-{kind}.zip"'
    return answer
