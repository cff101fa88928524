"""An hour on the floor as a page and as one sheet of paper: ready sentences and a picture in, bytes out."""

from __future__ import annotations

from typing import Any

from setwright.publish.floor_picture import floor_svg, names_svg
from setwright.publish.floor_words import FloorReport, clock
from setwright.publish.page import fill
from setwright.publish.sheet import FOOT, Paper, pages_of, typeset

SIZES = (9.0, 8.5, 8.0, 7.5, 7.0, 6.5, 6.0)


def floor_html(report: FloorReport) -> str:
    """The timetable as a page that stands alone."""
    people = [
        {
            "label": one.label,
            "sentence": one.sentence,
            "lines": [
                {
                    "letter": line.letter,
                    "when": f"{clock(line.from_s)} to {clock(line.to_s)}",
                    "what": line.what,
                    "sets": line.sets,
                    "where": line.where,
                }
                for line in one.lines
            ],
        }
        for one in report.people
    ]
    return fill(
        "floor.html",
        title=report.title,
        sub=report.subtitle,
        lead=report.lead,
        facts=report.facts,
        changes=report.changes,
        svg=floor_svg(report),
        names=names_svg(report),
        people=people,
    )


def sheet_data(report: FloorReport, paper: Paper, size: float) -> dict[str, Any]:
    """The data of the sheet of the group."""
    return {
        "paper": paper,
        "size": size,
        "title": report.title,
        "sub": report.subtitle,
        "lead": report.lead,
        "facts": list(report.facts),
        "changes": list(report.changes),
        "svg": floor_svg(report),
        "alt": f"{report.title}: a row for each trainee, a bar for each exercise by its letter",
        "people": [
            {
                "label": one.label,
                "sentence": one.sentence,
                "lines": [
                    [line.letter, clock(line.from_s), f"{line.what}{', ' + line.sets if line.sets else ''}", line.where]
                    for line in one.lines
                ],
            }
            for one in report.people
        ],
        "foot": FOOT,
    }


def floor_pdf(report: FloorReport, paper: Paper = "a4") -> bytes:
    """The sheet of the whole group, on one page in the largest type that fits; where none does, on as many as it takes.

    The same values give the same bytes.
    """
    made = b""
    for size in SIZES:
        made = bytes(typeset("floor.typ", sheet_data(report, paper, size)))
        if pages_of(made) == 1:
            return made
    return made
