"""A review as a page and as one sheet that a coach sends on: headline, findings, the pictures that matter, tables."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from setwright.catalogue.store import Catalogue
from setwright.plan.block import Block
from setwright.publish import words
from setwright.publish.page import fill
from setwright.publish.picture import Picture, Table, svg_inside
from setwright.publish.review_charts import (
    climb_pictures,
    load_picture,
    pain_pictures,
    range_pictures,
    sets_picture,
    slow_and_fast_pictures,
    strength_picture,
    wellness_pictures,
)
from setwright.publish.review_text import (
    bout_lines,
    few,
    headline,
    morning_text,
    parts_text,
    told_findings,
    week_remarks,
    weeks_table,
    weighted_text,
)
from setwright.publish.sheet import FOOT, Paper, pages_of, typeset
from setwright.publish.strength_chart import LiftChart, printable
from setwright.publish.units import Unit, in_unit
from setwright.review.climb_days import ClimbSoFar
from setwright.review.findings import Review
from setwright.review.set_targets import GroupWeek

SIZES = ((8.6, 94), (8.3, 86), (8.0, 78), (7.6, 72), (7.2, 66))  # of the type, pt, and of a picture, % of its column
MOST_PICTURES = 6  # on paper, the most important first; the page has them all
MOST_BOUTS = 4  # on paper, the newest first
FEWER = ((12, 420), (8, 260), (5, 160))  # findings on paper, and letters of the evidence of each


@dataclass(frozen=True)
class FindingRow:
    """One finding, ready to read; ``sure`` is empty where no probability is told."""

    kind: str
    about: str
    evidence: str
    sure: str
    settles: str


@dataclass(frozen=True)
class ReviewReport:
    """A review, ready to read in one unit. ``pictures``: the most important first; ``remarks``: what has no picture.

    ``bouts``: each bout of conditioning that was planned, with its score and what that comes to, the newest first.
    """

    title: str
    subtitle: str
    made_for: str
    headline: str
    findings: tuple[FindingRow, ...]
    weeks: Table
    remarks: tuple[str, ...]
    pictures: tuple[Picture, ...]
    bouts: tuple[str, ...] = ()


def review_report(
    block: Block,
    review: Review,
    lifts: Sequence[tuple[str, LiftChart]],
    sets: Sequence[GroupWeek],
    climbs: Sequence[ClimbSoFar],
    catalogue: Catalogue,
    unit: Unit,
) -> ReviewReport:
    """The report on a review. ``lifts``: slug and chart of the main lifts, the first first."""
    days = [week.start for week in review.weeks]
    until = f", log to {words.date_text(review.days[-1].date)}" if review.days else ""
    of = f"{words.counted(len(days), 'week')} of {len(block.weeks)}"
    rows = [[printable(cell) for cell in row] for row in weeks_table(review)]
    return ReviewReport(
        title=printable(f"Review: {block.title}"),
        subtitle=printable(f"{words.span_text(block)}; {of} looked at{until}"),
        made_for=printable(block.inputs.trainee.name),
        headline=printable(headline(review)),
        findings=tuple(
            FindingRow(
                printable(one.kind),
                printable(one.about),
                printable(in_unit(one.evidence, unit)),
                "" if one.probability is None else f"{100 * one.probability:.0f} % sure",
                printable(in_unit(one.settles_it, unit)),
            )
            for one in told_findings(review.findings)
        ),
        weeks=Table(tuple(rows[0]), tuple(tuple(row) for row in rows[1:])) if rows else Table((), ()),
        remarks=tuple(
            printable(text)
            for text in (
                *week_remarks(review),
                weighted_text(review.weighted),
                morning_text(review.wellness),
                parts_text(review.slow_and_fast),
            )
            if text
        ),
        pictures=tuple(with_own_names(pictures_of(block, review, lifts, sets, climbs, catalogue))),
        bouts=tuple(printable(one) for one in bout_lines(review, newest_first=True)),
    )


def pictures_of(
    block: Block,
    review: Review,
    lifts: Sequence[tuple[str, LiftChart]],
    sets: Sequence[GroupWeek],
    climbs: Sequence[ClimbSoFar],
    catalogue: Catalogue,
) -> list[Picture]:
    """Every picture that has data: pain that asks for something, strength, load, sets, then the rest."""
    pressing = [one for one in review.pains if one.verdict != "go on"]
    calm = [one for one in review.pains if one.verdict == "go on"]
    strength = [strength_picture(slug, chart) for slug, chart in lifts]
    return [
        *pain_pictures(pressing),
        *strength[:2],
        *load_picture(review.loads, [one.number for one in review.weeks]),
        *sets_picture(sets, "the block asks" if block.inputs.brief.is_implied else "the brief asks"),
        *climb_pictures(climbs, catalogue),
        *wellness_pictures(review.wellness),
        *pain_pictures(calm),
        *range_pictures(block.inputs.trainee.range_measures),
        *slow_and_fast_pictures(review.slow_and_fast, catalogue),
        *strength[2:],
    ]


def with_own_names(pictures: Sequence[Picture]) -> list[Picture]:
    """The pictures, each with a file name of its own: places written in two ways may come to the same one."""
    seen: dict[str, int] = {}
    named = []
    for one in pictures:
        seen[one.slug] = seen.get(one.slug, 0) + 1
        named.append(one if seen[one.slug] == 1 else replace(one, slug=f"{one.slug}-{seen[one.slug]}"))
    return named


def as_wide(svg: str) -> str:
    """A picture that grows to the width of its figure: a phone's width is the size of its own."""
    return svg.replace('style="max-width:100%;', 'style="width:100%;max-width:100%;', 1)


def review_html(report: ReviewReport, home: str = "") -> str:
    """The review as a page that stands alone: pictures inside, below each its numbers.

    home : where the way back leads; none where empty
    """
    pictures = [
        {
            "id": f"picture-{number}",
            "title": one.title,
            "caption": one.caption,
            "svg": as_wide(svg_inside(one)),
            "tables": one.tables,
        }
        for number, one in enumerate(report.pictures, start=1)
    ]
    return fill(
        "review.html",
        title=report.title,
        sub=report.subtitle,
        home=home,
        headline=report.headline,
        findings=report.findings,
        weeks=report.weeks,
        remarks=report.remarks,
        bouts=report.bouts,
        pictures=pictures,
    )


def report_data(
    report: ReviewReport, paper: Paper, size: tuple[float, float], pictures: int, findings: int, most: int
) -> dict[str, Any]:
    """The data of the printed review: so many pictures and findings, of each finding so many letters of evidence."""
    left = len(report.findings) - findings
    unseen = len(report.pictures) - pictures
    more = [words.counted(left, "more finding")] if left > 0 else []
    more += [words.counted(unseen, "more chart")] if unseen > 0 else []
    return {
        "paper": paper,
        "size": size[0],
        "wide": size[1],
        "title": report.title,
        "sub": report.subtitle,
        "made_for": report.made_for,
        "headline": report.headline,
        "findings": [
            {
                "kind": one.kind,
                "about": cut(one.about, most),
                "evidence": cut(few(one.evidence), most),
                "sure": one.sure,
                "settles": cut(one.settles, most),
            }
            for one in report.findings[:findings]
        ],
        "bouts": [cut(one, most) for one in report.bouts[:MOST_BOUTS]],
        "weeks": {"head": report.weeks.head, "rows": report.weeks.rows},
        "pictures": [
            {
                "title": one.title,
                "caption": one.caption,
                "svg": svg_inside(one),
                "alt": one.description,
                "head": one.printed.head,
                "rows": one.printed.rows,
            }
            for one in report.pictures[:pictures]
        ],
        "more": f"{' and '.join(more)}: on the page." if more else "",
        "foot": FOOT,
    }


def cut(text: str, most: int) -> str:
    """A text of at most so many letters, cut between words."""
    return text if len(text) <= most else textwrap.shorten(text, most, placeholder=" ...")


def review_pdf(report: ReviewReport, paper: Paper = "a4") -> bytes:
    """The review on one sheet, tagged: as many pictures as fit, then the largest type that they leave.

    The same values give the same bytes. Where nothing fits, fewer findings and shorter evidence; the page has all.
    """
    made = b""
    for findings, most in FEWER:
        made = best_sheet(report, paper, findings, most)
        if pages_of(made) == 1:
            break
    return made


def best_sheet(report: ReviewReport, paper: Paper, findings: int, most: int) -> bytes:
    """The sheet with most pictures, then in the largest type, that is one page; longer where none is."""
    smallest = len(SIZES) - 1

    @cache
    def made(pictures: int, size: int) -> bytes:
        return bytes(typeset("review.typ", report_data(report, paper, SIZES[size], pictures, findings, most)))

    pictures = furthest(min(MOST_PICTURES, len(report.pictures)), lambda count: pages_of(made(count, smallest)) == 1)
    larger = furthest(smallest, lambda steps: pages_of(made(pictures, smallest - steps)) == 1)
    return made(pictures, smallest - larger)


def furthest(most: int, holds: Callable[[int], bool]) -> int:
    """The largest number up to ``most`` for which something holds that, once broken, stays so; 0 where it never does.

    >>> furthest(6, lambda number: number < 4)
    3
    """
    if holds(most):
        return most
    low, high = 0, most
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low
