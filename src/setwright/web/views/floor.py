"""The floor: up to four people side by side on one screen, each with the card of the set that is on."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from setwright.people.trainee import DAY_NAMES
from setwright.plan.block_days import session_on
from setwright.publish import words
from setwright.publish.group_sheet import group_pdf
from setwright.publish.page import figures_of
from setwright.records import models
from setwright.records.data_base import current_of
from setwright.services.clock import today
from setwright.services.desk.floor import AT_ONCE, ON_A_SHEET, group_of, on_screen, session_day
from setwright.services.desk.kept_days import day_values
from setwright.services.gather import catalogue
from setwright.web.access import require_coach, trainees_of
from setwright.web.script import as_script
from setwright.web.views.block import shown_figures
from setwright.web.views.names import names_values
from setwright.web.views.printing import as_pdf, paper_of
from setwright.web.views.told import ids_of


@require_GET
@never_cache
def floor(request: HttpRequest) -> HttpResponse:
    """The people on the floor, and a way to take one more on."""
    everybody = trainees_of(require_coach(request))
    rows = on_screen(everybody, ids_of(request.GET.getlist("who")), today())
    values = {
        "people": [person_values(one, [str(row.id) for row in rows if row != one]) for one in rows],
        "ids": [str(one.id) for one in rows],
        "is_full": len(rows) >= AT_ONCE,
        "on": today(),
    }
    values |= names_values(request, everybody.exclude(id__in=[one.id for one in rows]))
    return render(request, "floor.html", values)


@require_GET
@never_cache
def sheet(request: HttpRequest) -> HttpResponse:
    """The group on one sheet, as a page: those asked for, or everybody who trains today."""
    asked = ids_of(request.GET.getlist("who"))
    group = group_of(trainees_of(require_coach(request)), asked, today())
    values = {
        "group": group,
        "figures": shown_figures(figures_of(group["people"], catalogue())),
        "query": "&".join(f"who={one}" for one in asked),
        "on": today(),
        "most": ON_A_SHEET,
    }
    return render(request, "floor_sheet.html", values)


@require_GET
@never_cache
def sheet_pdf(request: HttpRequest) -> HttpResponse:
    """The same group on one page of paper."""
    coach, asked = require_coach(request), ids_of(request.GET.getlist("who"))
    made = group_pdf(group_of(trainees_of(coach), asked, today()), catalogue(), paper_of(request))
    return as_pdf(made, f"group-{today().isoformat()}.pdf")


def person_values(row: models.Trainee, others: list[str]) -> dict[str, Any]:
    """One person on the screen. ``without``: the address of the screen without them."""
    on, block = session_day(row, today()), current_of(row)
    found = None if block is None or on is None else session_on(block, on)
    values: dict[str, Any] = {"row": row, "without": "&".join(f"who={one}" for one in others), "planned": on}
    if block is None or on is None or found is None:
        return values
    week, session = found
    return values | {
        "lead": f"{words.week_title(block, week)}, {DAY_NAMES[session.day]}, {session.minutes:.0f} min",
        "is_drop_in": on != today(),
        "json": as_script(day_values(row, block, week, session, on)),
    }
