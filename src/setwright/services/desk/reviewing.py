"""The review of a block with its pictures, counted in a job and kept as drawn: a page is quick, whatever the log holds.

What is kept names the block, the log and the intake it was drawn from. Where one of them went on since, the page shows
what there is, says so, and a new one is asked for.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

from setwright.plan.block import Block
from setwright.publish.picture import Picture, Table, svg_inside
from setwright.publish.review_charts import strength_picture
from setwright.publish.review_report import review_report, with_own_names
from setwright.publish.strength_words import chart_of, most_trained, place_of
from setwright.publish.words import block_unit
from setwright.records import models
from setwright.records.data_base import current_of, in_force_id, log_of
from setwright.review.climb_days import climbs_so_far
from setwright.services.desk import jobs
from setwright.services.gather import catalogue
from setwright.services.log_fit import fit_of_log
from setwright.services.program import program_mark
from setwright.services.review_files import Reviewed, lift_charts, review_of

REVIEW = "review"
MOST_LIFTS = 12
OWN_STYLE = re.compile(r'^(<svg [^>]*?) style="[^"]*"')  # of a picture inside a page; a page here allows none
SIZE = re.compile(r'<svg [^>]*?\bwidth="(\d+)[^>]*?\bheight="(\d+)')


@dataclass(frozen=True)
class Seen:
    """A review as it was drawn last; ``is_newest`` is False where log, block or intake went on since."""

    values: dict[str, Any]
    at: datetime
    is_newest: bool


def mark_of(row: models.Trainee) -> str:
    """What a review rests on: the block in force, the newest row of the log, the newest intake, the program."""
    last = row.log_rows.order_by("-id").values_list("id", flat=True).first()
    intake = row.documents.filter(kind="trainee").order_by("-id").values_list("id", flat=True).first()
    return f"{in_force_id(row) or ''}/{last or 0}/{intake or 0}/{program_mark()}"


def seen_review(row: models.Trainee) -> Seen | None:
    """The review as it was drawn last; None where none was."""
    found = row.drawn.filter(kind=REVIEW).first()
    return None if found is None else Seen(found.values, found.at, found.of == mark_of(row))


def running_review(row: models.Trainee) -> models.Job | None:
    """The job that draws a review now, or None."""
    found: models.Job | None = row.jobs.filter(deed=REVIEW, ended_at=None).first()
    return found


def ask_review(row: models.Trainee, by: Any) -> models.Job:
    """Asks for a review once: the job that runs already, or a new one."""
    return running_review(row) or jobs.ask(row, REVIEW, {}, by)


def draw_review(row: models.Trainee) -> models.Drawn:
    """Counts and draws the review of the block in force, and keeps it. LookupError where no block is in force."""
    mark, block = mark_of(row), current_of(row)
    if block is None:
        raise LookupError(f"no block is in force for {row.name}")
    found = review_of(fit_of_log(block, log_of(row, catalogue())))
    made, _ = models.Drawn.objects.update_or_create(
        trainee=row, kind=REVIEW, defaults={"of": mark, "values": review_values(block, found)}
    )
    return made


def review_values(block: Block, found: Reviewed) -> dict[str, Any]:
    """The review as a page shows it: sentences, tables, and each picture with its words and numbers."""
    known, unit = catalogue(), block_unit(block)
    charts = lift_charts(block, found.estimates, unit)
    sets, climbs = found.review.sets_asked, climbs_so_far(block, found.log, known)
    report = review_report(block, found.review, charts, sets, climbs, known, unit)
    shown = {slug for slug, _ in charts}
    return {
        "block": block.id,
        "title": report.title,
        "subtitle": report.subtitle.removeprefix(f"{report.made_for}: "),
        "headline": report.headline,
        "findings": [asdict(one) for one in report.findings],
        "weeks": table_values(report.weeks),
        "remarks": list(report.remarks),
        "bouts": list(report.bouts),
        "pictures": [picture_values(one) for one in report.pictures],
        "lifts": [picture_values(one) for one in other_lifts(found, shown, unit)],
    }


def other_lifts(found: Reviewed, shown: set[str], unit: Any) -> Sequence[Picture]:
    """The strength of the other lifts that were trained most: those that the review itself has no picture of."""
    estimates = found.estimates
    made = []
    for slug in [one for one in most_trained(estimates) if one not in shown][:MOST_LIFTS]:
        lift = estimates.lifts[slug]
        at = place_of(lift, estimates)
        if at is not None:
            chart = chart_of(lift, estimates, at, estimates.catalogue.get(slug), unit, None)
            made.append(strength_picture(slug, chart))
    return with_own_names(made)


def picture_values(one: Picture) -> dict[str, Any]:
    """A picture for a page: its SVG stands alone as a file, without any style of its own; ``wide``, ``high``: px."""
    svg = OWN_STYLE.sub(r"\1", svg_inside(one), count=1)
    size = SIZE.search(svg)
    return {
        "wide": size[1] if size else "",
        "high": size[2] if size else "",
        "slug": one.slug,
        "title": one.title,
        "caption": one.caption,
        "description": one.description,
        "svg": svg,
        "tables": [table_values(table) for table in one.tables if table.rows],
    }


def table_values(table: Table) -> dict[str, Any]:
    """A table for a page."""
    return {"title": table.title, "head": list(table.head), "rows": [list(row) for row in table.rows]}


def picture_of(row: models.Trainee, slug: str) -> str | None:
    """The SVG of a picture of the review, or None."""
    found = row.drawn.filter(kind=REVIEW).first()
    if found is None:
        return None
    both = (*found.values["pictures"], *found.values["lifts"])
    return next((one["svg"] for one in both if one["slug"] == slug), None)
