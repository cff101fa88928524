"""The places of a practice and what is there: by form, or as text on the same page."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from setwright.faults import Fault, InputFaults
from setwright.people.toml_file import read_toml
from setwright.services.desk.people import free_slug, keep_place, newest_version, place_slugs, places_of, version_before
from setwright.services.starting_places import starting_place, starting_places
from setwright.services.templates import template_text
from setwright.web.access import require_coach, trainees_of
from setwright.web.forms.page import Standing, edit
from setwright.web.forms.place import place_form


@require_GET
def listed(request: HttpRequest) -> HttpResponse:
    """Every place of the practice."""
    coach = require_coach(request)
    places = sorted(places_of(coach.practice).values(), key=lambda one: one.name)
    return render(request, "places.html", {"places": places, "starts": starting_places()})


@require_http_methods(["GET", "POST"])
def new(request: HttpRequest) -> HttpResponse:
    """A new place, from one of the usual rooms or from nothing."""
    coach = require_coach(request)
    start = request.GET.get("like", "")
    unit = coach.practice.unit
    first = starting_place(start, unit) if start else {"unit": unit}

    def keep(text: str) -> HttpResponse:
        slug = str(read_toml(text, "place").get("id", ""))
        if slug in place_slugs(coach.practice):
            raise InputFaults([Fault("place", "id", f"{slug!r}, which is taken", "an id of its own")])
        place = keep_place(coach, text)
        messages.success(request, f"{place.name} is kept.")
        return redirect("roster" if not trainees_of(coach).exists() else "places")

    def finish(table: dict[str, Any]) -> dict[str, Any]:
        name = str(table.get("name", ""))
        made = {"id": free_slug(name, place_slugs(coach.practice), "place")} if name else {}
        return {**made, **table}

    def show(values: dict[str, Any], status: int) -> HttpResponse:
        text = values["text"] or template_text("place")
        return render(
            request, "place.html", {**values, "text": text, "starts": starting_places(), "like": start}, status=status
        )

    return edit(request, place_form(unit_typed(request, unit)), Standing(), keep, show, finish, first)


@require_http_methods(["GET", "POST"])
def one(request: HttpRequest, slug: str) -> HttpResponse:
    """A place as it stands, and a new version of it."""
    coach = require_coach(request)
    now = newest_version(coach.practice, "place", slug)
    if not now.text:
        raise Http404
    stands = Standing(now.text, now.name, lambda name: version_before(coach.practice, "place", slug, name))
    unit = str(read_toml(now.text, "place").get("unit", "kg"))

    def keep(text: str) -> HttpResponse:
        given = str(read_toml(text, "place").get("id", ""))
        if given != slug:
            raise InputFaults([Fault("place", "id", repr(given), f"{slug!r}: an id stays")])
        place = keep_place(coach, text)
        messages.success(request, f"{place.name} is kept. Blocks in force stay as they are.")
        return redirect("places")

    def show(values: dict[str, Any], status: int) -> HttpResponse:
        return render(
            request,
            "place.html",
            {**values, "slug": slug, "name": dict(read_toml(now.text, "place")).get("name", slug)},
            status=status,
        )

    return edit(request, place_form(unit_typed(request, unit)), stands, keep, show, lambda table: {"id": slug, **table})


def unit_typed(request: HttpRequest, otherwise: str) -> str:
    """The unit that the form itself says, so that bare numbers are read in it."""
    typed = request.POST.get("unit", "")
    return typed if typed in ("kg", "lb") else otherwise
