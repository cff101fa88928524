"""How strong, and how sure: the report a coach reads on the phone and prints. Values in; a page or a PDF out.

What is known of a lift comes as ready sentences; this file only says where they stand. Empty ones leave no gap.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from setwright.publish.page import fill
from setwright.publish.sheet import FOOT, Paper, typeset
from setwright.publish.strength_chart import (
    KIND_WORDS,
    BandPoint,
    LiftChart,
    chart_spec,
    chart_svg,
    in_chart,
    printable,
    short_date,
)
from setwright.publish.units import Unit
from setwright.publish.words import MONTHS

PRINTED_DATES = 7  # as many as fit below a printed picture


@dataclass(frozen=True)
class LiftReport:
    """One lift: sentences in the unit of its chart, ready to read; an empty text or tuple is left out.

    now_text : the belief of today, printed large; rests_on : what it is told from; sharpen : what would make it surer;
    reps_rows : load, repetitions possible, and their range, as texts; first_session : loads to begin with, a line each
    """

    name: str
    now_text: str
    rests_on: str
    sharpen: str
    trend_text: str
    change_text: str
    forecast_text: str
    target_text: str
    reps_rows: tuple[tuple[str, str, str], ...]
    first_session: tuple[str, ...]
    notes: tuple[str, ...]
    chart: LiftChart | None


@dataclass(frozen=True)
class StrengthReport:
    """All lifts of a trainee. made_for : who it is for, and as of when; effort_text : how reserves are called."""

    title: str
    subtitle: str
    made_for: str
    effort_text: str
    lifts: tuple[LiftReport, ...]


def facts_of(lift: LiftReport) -> list[tuple[str, str]]:
    """The sentences of a lift with the word that leads each; empty ones left out."""
    facts = (
        ("Change", lift.change_text),
        ("Trend", lift.trend_text),
        ("Forecast", lift.forecast_text),
        ("Target", lift.target_text),
        ("Rests on", lift.rests_on),
        ("To be surer", lift.sharpen),
    )
    return [(label, printable(text)) for label, text in facts if printable(text)]


def printables(texts: Sequence[str]) -> list[str]:
    """The texts that hold something, without what can't be printed."""
    return [text for text in map(printable, texts) if text]


def number_rows(chart: LiftChart) -> list[tuple[str, str, str, str]]:
    """The numbers of the band and the forecast: date, low, middle, high, in the unit of the chart."""
    told = [(one, "") for one in sorted(chart.band, key=lambda one: one.date)]
    told += [(one, ", forecast") for one in sorted(chart.forecast, key=lambda one: one.date)]
    return [(short_date(one.date) + mark, *figures(one, chart.unit)) for one, mark in told]


def figures(one: BandPoint, unit: Unit) -> tuple[str, str, str]:
    """Low, middle and high of a belief, to a tenth of the unit."""
    low, middle, high = (f"{in_chart(kg, unit):.1f}" for kg in (one.p10, one.p50, one.p90))
    return low, middle, high


def set_rows(chart: LiftChart) -> list[tuple[str, str, str, str]]:
    """The sets of a chart: date, the set, what it suggests in the unit of the chart, and what kind of evidence."""
    return [
        (
            short_date(one.date),
            printable(one.label),
            f"{in_chart(one.one_rm_kg, chart.unit):.1f}",
            KIND_WORDS[one.kind].removeprefix("set, ").removeprefix("set "),
        )
        for one in sorted(chart.sets, key=lambda one: one.date)
    ]


@lru_cache(maxsize=64)
def drawn(chart: LiftChart | None) -> tuple[str, str]:
    """The picture of a chart as SVG and in words, below a heading that names it; both empty where there is none."""
    if chart is None:
        return "", ""
    spec = chart_spec(chart)
    del spec["title"]
    return chart_svg(spec), str(spec["description"])


def now_of(lift: LiftReport) -> str:
    """The belief of today, or that there is nothing to tell, rather than a bare heading."""
    holds = (lift.chart, facts_of(lift), lift.reps_rows, printables(lift.first_session), printables(lift.notes))
    return printable(lift.now_text) or ("" if any(holds) else "Nothing to tell yet.")


def report_html(report: StrengthReport, home: str = "") -> str:
    """The report as a page that stands alone: pictures inside, below each its numbers in a part that opens.

    home : where the way back leads; none where empty
    """
    lifts = []
    for number, one in enumerate(report.lifts, start=1):
        svg, _ = drawn(one.chart)
        lifts.append(
            {
                "id": f"lift-{number}",
                "name": printable(one.name),
                "now": now_of(one),
                "facts": facts_of(one),
                # A phone's width is the size of its own; on a wide page it grows to the width of its figure.
                "svg": svg.replace('style="max-width:100%;', 'style="width:100%;max-width:100%;', 1),
                "unit": one.chart.unit if one.chart else "",
                "numbers": number_rows(one.chart) if one.chart else [],
                "sets": set_rows(one.chart) if one.chart else [],
                "reps": [[printable(cell) for cell in row] for row in one.reps_rows],
                "first": printables(one.first_session),
                "notes": printables(one.notes),
            }
        )
    return fill(
        "strength.html",
        title=printable(report.title),
        sub=printable(report.subtitle),
        home=home,
        made_for=printable(report.made_for),
        effort=printable(report.effort_text),
        lifts=lifts,
    )


def printed_numbers(chart: LiftChart) -> dict[str, list[str]]:
    """The numbers below a printed picture: at most seven dates spread evenly, the last belief and forecast included."""
    band = sorted(chart.band, key=lambda one: one.date)
    forecast = sorted(chart.forecast, key=lambda one: one.date)[-1:]
    room = PRINTED_DATES - len(forecast)
    if len(band) > room:
        band = [band[round(n * (len(band) - 1) / (room - 1))] for n in range(room)]
    if not band and not forecast:
        return {}
    columns = [figures(one, chart.unit) for one in (*band, *forecast)]
    low, middle, high = ([column[n] for column in columns] for n in range(3))
    years = {one.date.year for one in (*band, *forecast)}
    dates = [
        f"{one.date.day} {MONTHS[one.date.month - 1][:3]}" + (f" {one.date.year}" if len(years) > 1 else "")
        for one in (*band, *forecast)
    ]
    if forecast:
        dates[-1] += "\nforecast"
    return {
        "head": [chart.unit, *dates],
        "high": ["high", *high],
        "middle": ["middle", *middle],
        "low": ["low", *low],
    }


def report_data(report: StrengthReport, paper: Paper) -> dict[str, Any]:
    """The data of the printed report."""
    lifts = []
    for one in report.lifts:
        svg, words = drawn(one.chart)
        lifts.append(
            {
                "name": printable(one.name),
                "now": now_of(one),
                "facts": facts_of(one),
                "svg": svg,
                "alt": words,
                "numbers": printed_numbers(one.chart) if one.chart else {},
                "reps": [[printable(cell) for cell in row] for row in one.reps_rows],
                "first": printables(one.first_session),
                "notes": printables(one.notes),
            }
        )
    return {
        "paper": paper,
        "title": printable(report.title),
        "sub": printable(report.subtitle),
        "made_for": printable(report.made_for),
        "effort": printable(report.effort_text),
        "foot": FOOT,
        "lifts": lifts,
    }


def report_pdf(report: StrengthReport, paper: Paper = "a4") -> bytes:
    """The report on paper, tagged, one or two lifts a page; the same values give the same bytes."""
    made: bytes = typeset("strength.typ", report_data(report, paper))
    return made
