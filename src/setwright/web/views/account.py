"""The first run, and taking an invitation."""

from __future__ import annotations

from django.contrib.auth import login
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from setwright.faults import InputFaults
from setwright.records import models
from setwright.services.desk.practice import found_practice, open_invitation, take_invitation
from setwright.services.desk.roof import change_practice

BACKEND = "allauth.account.auth_backends.AuthenticationBackend"


@require_http_methods(["GET", "POST"])
def start(request: HttpRequest) -> HttpResponse:
    """The first coach of an empty installation; once there is one, the page is gone."""
    if models.Practice.objects.exists():
        raise Http404
    given = request.POST
    if request.method == "GET":
        return render(request, "start.html")
    try:
        with transaction.atomic():
            coach = found_practice(
                given.get("practice", ""), given.get("name", ""), given.get("username", ""), given.get("password", "")
            )
            change_practice(coach, coach.practice.name, coach.practice.word_for_trainee, given.get("unit", "kg"))
    except InputFaults as wrong:
        return render(request, "start.html", {"faults": wrong.faults, "given": given}, status=400)
    login(request, coach.user, backend=BACKEND)
    return redirect("roster")


@require_http_methods(["GET", "POST"])
def join(request: HttpRequest, secret: str) -> HttpResponse:
    """An invited person makes their log-in."""
    found = open_invitation(secret)
    if found is None:
        return render(request, "join_over.html", status=404)
    if request.method == "GET":
        return render(request, "join.html", {"invitation": found})
    given = request.POST
    try:
        user = take_invitation(secret, given.get("username", ""), given.get("password", ""))
    except InputFaults as wrong:
        values = {"invitation": found, "faults": wrong.faults, "given": given}
        return render(request, "join.html", values, status=400)
    login(request, user, backend=BACKEND)
    return redirect("home")


OPEN_TO_HOLDERS = ("/s/", "/p/", "/board/")  # links without a log-in


def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """The page for what is not there, or not for you: the same words for both."""
    if request.path.startswith(OPEN_TO_HOLDERS):
        over = "It is over, it was withdrawn, or there never was one. Ask whoever gave it to you."
        return render(request, "fault.html", {"title": "This link opens nothing", "lines": [over]}, status=404)
    values = {"title": "There is no such page", "lines": ["It may have moved, or it is not yours to see."]}
    return render(request, "fault.html", values, status=404)


def our_fault(request: HttpRequest) -> HttpResponse:
    """The page for a mistake of ours."""
    values = {"title": "That was our fault", "lines": ["What you logged is kept. Try again; if it stays, report it."]}
    return render(request, "fault.html", values, status=500)
