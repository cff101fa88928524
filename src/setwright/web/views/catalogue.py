"""The catalogue: looked through, one exercise on a page, and the practice's own ones by form."""

from __future__ import annotations

import re
import unicodedata
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from setwright.faults import Fault, InputFaults
from setwright.people.toml_file import read_toml
from setwright.services.desk.catalogue_pages import (
    Wanted,
    choices,
    exercise_values,
    found_in_catalogue,
    row_values,
)
from setwright.services.desk.own_exercises import EXERCISE, keep_exercise, left_out, own_texts, table_of
from setwright.services.desk.people import newest_version, version_before
from setwright.services.gather import catalogue
from setwright.services.templates import template_text
from setwright.web.access import require_coach
from setwright.web.forms.exercise import exercise_form
from setwright.web.forms.page import Standing, edit
from setwright.web.views.block import shown_figures

A_PAGE = 60


@require_GET
def listed(request: HttpRequest) -> HttpResponse:
    """What passes the filters, found by any of its names."""
    coach = require_coach(request)
    given, offers = request.GET, choices()
    wanted = Wanted(
        find=given.get("find", "").strip()[:100],
        pattern=given.get("pattern", "") if given.get("pattern") in dict(offers["patterns"]) else "",
        have=tuple(one for one in given.getlist("have") if one in dict(offers["equipment"])),
        joint=given.get("spares", "") if given.get("spares") in dict(offers["joints"]) else "",
        a_little=given.get("little") == "yes",
    )
    found = found_in_catalogue(wanted)
    owned = set(own_texts(coach.practice))
    page = Paginator(found.rows, A_PAGE).get_page(given.get("page"))
    query = given.copy()
    query.pop("page", None)
    values = {
        "wanted": wanted,
        "page": page,
        "rows": [row_values(one, tuple(owned)) for one in page],
        "count": len(found.rows),
        "nearest": found.nearest,
        "query": query.urlencode(),
        "left_out": left_out(coach.practice),
        **offers,
    }
    return render(request, "plan/catalogue.html", values)


@require_GET
def one(request: HttpRequest, slug: str) -> HttpResponse:
    """One exercise with its figure, what it trains, its cautions, its progression."""
    coach = require_coach(request)
    if slug not in catalogue():
        raise Http404
    values = exercise_values(slug, coach.practice)
    drawn = values["figure"]
    if drawn is not None:
        values["figures"] = shown_figures([drawn])
    return render(request, "plan/exercise.html", values)


def slug_of(name: str) -> str:
    """The slug that a name gives.

    >>> slug_of("Zercher Squat, from pins")
    'zercher_squat_from_pins'
    >>> slug_of("Přítah k pásu")
    'pritah_k_pasu'
    """
    letters = unicodedata.normalize("NFKD", name.lower()).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "_", letters).strip("_")[:60]


@require_http_methods(["GET", "POST"])
def new(request: HttpRequest) -> HttpResponse:
    """An own exercise, from nothing or like another one."""
    coach = require_coach(request)
    like = request.GET.get("like", "")

    def keep(text: str) -> HttpResponse:
        name = str(read_toml(text, "exercise").get("name", ""))
        slug = slug_of(name)
        if name and not slug:
            raise InputFaults([Fault("exercise", "name", repr(name), "letters from a to z, or digits")])
        made = keep_exercise(coach, slug or "unnamed", text)  # without a name its other faults are told with that one
        messages.success(request, f"{made.name[:1].upper()}{made.name[1:]} is in your catalogue now.")
        return redirect("exercise", made.slug)

    def show(values: dict[str, Any], status: int) -> HttpResponse:
        text = values["text"] or template_text("exercise")
        return render(request, "plan/own_exercise.html", {**values, "text": text, "like": like}, status=status)

    return edit(request, exercise_form(), Standing(), keep, show, first=start_like(like))


def start_like(slug: str) -> dict[str, Any]:
    """A new exercise as its form opens: what one like it says, without its names."""
    return table_of(slug) if slug in catalogue() else {"talk": {"sources": ["the practice's own experience"]}}


@require_http_methods(["GET", "POST"])
def own(request: HttpRequest, slug: str) -> HttpResponse:
    """An own exercise as it stands, and a new version of it."""
    coach = require_coach(request)
    now = newest_version(coach.practice, EXERCISE, slug)
    if not now.text:
        raise Http404
    stands = Standing(now.text, now.name, lambda name: version_before(coach.practice, EXERCISE, slug, name))

    def keep(text: str) -> HttpResponse:
        made = keep_exercise(coach, slug, text)
        messages.success(request, f"{made.name[:1].upper()}{made.name[1:]} is kept. Blocks in force stay as they are.")
        return redirect("exercise", slug)

    def show(values: dict[str, Any], status: int) -> HttpResponse:
        return render(request, "plan/own_exercise.html", {**values, "slug": slug}, status=status)

    return edit(request, exercise_form(), stands, keep, show)
