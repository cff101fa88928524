"""The season as a page and as one sheet of paper: ready sentences and a picture in, bytes out."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from setwright.publish.page import fill
from setwright.publish.season_chart import season_spec
from setwright.publish.season_words import SeasonReport
from setwright.publish.sheet import FOOT, Paper, pages_of, typeset
from setwright.publish.strength_chart import chart_svg

SIZES = (9.0, 8.5, 8.0, 7.5, 7.0)
PRINTED_ROWS = 8  # stretches of weeks on paper; the page has them all


def season_svg(report: SeasonReport) -> str:
    """The picture of a season."""
    return chart_svg(season_spec(report.chart))


def season_html(report: SeasonReport, home: str = "") -> str:
    """The season as a page that stands alone, the picture inside and its numbers in a table below it."""
    svg = season_svg(report)
    return fill(
        "season.html",
        title=report.title,
        sub=report.subtitle,
        home=home,
        made_for=report.made_for,
        lead=report.lead,
        # A phone's width is the size of its own; on a wide page it grows to the width of its figure.
        svg=svg.replace('style="max-width:100%;', 'style="width:100%;max-width:100%;', 1),
        heads=report.heads,
        numbers=report.numbers,
        goals=report.goals,
        events=report.events,
        plan=report.plan,
        notes=report.notes,
    )


def report_data(report: SeasonReport, paper: Paper, size: float) -> dict[str, Any]:
    """The data of the printed season."""
    left = len(report.plan) - PRINTED_ROWS
    return {
        "paper": paper,
        "size": size,
        "title": report.title,
        "sub": report.subtitle,
        "made_for": report.made_for,
        "lead": report.lead,
        "svg": season_svg(report),
        "alt": str(season_spec(report.chart)["description"]),
        "heads": without_stands(report, report.heads),
        "numbers": [without_stands(report, row) for row in report.numbers],
        "goals": [{"name": one.name, "stands": one.stands, "facts": one.facts} for one in report.goals],
        "events": report.events,
        "plan": [[one.what, one.when, one.weeks, one.why] for one in report.plan[:PRINTED_ROWS]],
        "more": f"{left} more on the page." if left > 0 else "",
        "notes": report.notes,
        "foot": FOOT,
    }


def without_stands(report: SeasonReport, row: tuple[str, ...]) -> list[str]:
    """A row of the table without the verdict, which stands beside it on paper."""
    return [cell for head, cell in zip(report.heads, row, strict=True) if head != "Stands"]


def season_pdf(report: SeasonReport, paper: Paper = "a4") -> bytes:
    """The season on one sheet, tagged, in the largest type that fits; where none does, without what rests behind.

    The same values give the same bytes.
    """
    made = b""
    for one in (report, shorter(report)):
        for size in SIZES:
            made = bytes(typeset("season.typ", report_data(one, paper, size)))
            if pages_of(made) == 1:
                return made
    return made


def shorter(report: SeasonReport) -> SeasonReport:
    """The report with only what is wanted, there and likely of each goal."""
    kept = ("Wanted", "Now", "Likely")
    goals = tuple(replace(one, facts=tuple(row for row in one.facts if row[0] in kept)) for one in report.goals)
    return replace(report, goals=goals)
