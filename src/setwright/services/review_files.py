"""A review with what it rests on, and as files: a page, one sheet to send on, the numbers, and each chart."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from setwright.plan.block import Block
from setwright.publish.strength_chart import LiftChart
from setwright.publish.units import Unit
from setwright.publish.words import block_unit
from setwright.review.as_json import review_json
from setwright.review.findings import Review, review_block
from setwright.review.load_monitoring import HALF_LIVES_DAYS
from setwright.services.deeds import block_estimates
from setwright.services.files import make_folder, write_all
from setwright.services.gather import Say, catalogue, silent
from setwright.services.log_fit import LogFit, block_and_log
from setwright.services.sealed_charts import FOLDER, clear_old, sealed
from setwright.strength.estimates import Estimates
from setwright.strength.logged import Log

FEWEST_LIFTS, MOST_LIFTS = 3, 5


@dataclass(frozen=True)
class Reviewed:
    """A block, what was logged (inside it and before), what that says of strength, and the review of it."""

    block: Block
    log: Log
    estimates: Estimates
    review: Review


def reviewed(
    block_file: Path,
    log_files: Sequence[Path],
    records: Path | None = None,
    say: Say = silent,
    half_lives: Sequence[float] = (),
) -> Reviewed:
    """What the log says about the block so far; rows of other times count for strength only.

    half_lives : of the weighted averages of load, days; the usual ones where empty
    """
    return review_of(block_and_log(block_file, log_files, records, say), half_lives)


def review_of(fit: LogFit, half_lives: Sequence[float] = ()) -> Reviewed:
    """The review of a block and its log: the one way to it, of every face."""
    estimates = block_estimates(fit.block, fit.known)
    lives = half_lives or HALF_LIVES_DAYS
    found = review_block(fit.block, fit.inside, estimates, catalogue(), fit.before, lives)
    return Reviewed(fit.block, fit.known, estimates, found)


def main_lifts(block: Block, estimates: Estimates) -> list[str]:
    """The lifts that goals and the brief name, then those with most sets: at least three, at most five."""
    from setwright.publish.strength_words import most_trained, place_of

    known = catalogue()
    goals = [one.about for one in block.inputs.trainee.goals if one.kind == "strength" and one.about in known]
    wishes = [one.exercise for one in block.inputs.brief.lifts if one.exercise in known]
    named = [known.get(slug).slug for slug in (*goals, *wishes)]
    slugs = dict.fromkeys((*named, *most_trained(estimates)))
    there = [
        slug for slug in slugs if slug in estimates.lifts and place_of(estimates.lifts[slug], estimates) is not None
    ]
    return there[: max(FEWEST_LIFTS, min(MOST_LIFTS, len(set(named) & set(there))))]


def lift_charts(block: Block, estimates: Estimates, unit: Unit) -> list[tuple[str, LiftChart]]:
    """Slug and chart of each main lift."""
    from setwright.publish.strength_words import chart_of, place_of

    made = []
    for slug in main_lifts(block, estimates):
        one = estimates.lifts[slug]
        lift = place_of(one, estimates)
        if lift is not None:
            made.append((slug, chart_of(one, estimates, lift, estimates.catalogue.get(slug), unit, None)))
    return made


def review_files(
    found: Reviewed,
    unit: Unit | None = None,
    paper: Literal["a4", "us-letter"] = "a4",
    home: str = "",
    charts: bool = True,
) -> dict[str, bytes]:
    """The files by name.

    unit : kg or lb; as the block's first place says when None
    home : where the page's way back leads, none where empty; charts : whether each chart is a file of its own too
    """
    from setwright.publish.picture import svg_alone
    from setwright.publish.review_report import review_html, review_pdf, review_report
    from setwright.review.climb_days import climbs_so_far

    block, review, known = found.block, found.review, catalogue()
    shown = unit or block_unit(block)
    report = review_report(
        block,
        review,
        lift_charts(block, found.estimates, shown),
        review.sets_asked,
        climbs_so_far(block, found.log, known),
        known,
        shown,
    )
    files = {
        "review.html": review_html(report, home).encode(),
        "review.pdf": review_pdf(report, paper),
        "review.json": (json.dumps(review_json(review), ensure_ascii=False, indent=1) + "\n").encode(),
    }
    if charts:
        files |= {f"{FOLDER}/{one.slug}.svg": sealed(one.slug, svg_alone(one)) for one in report.pictures}
    return files


def write_review(
    found: Reviewed, out: Path, unit: Unit | None = None, paper: Literal["a4", "us-letter"] = "a4"
) -> tuple[str, ...]:
    """Writes the files below a folder, all made before the first is written; gives their names.

    Charts of an earlier review that this one does not draw are taken away; what is not ours stays.
    """
    files = review_files(found, unit, paper)
    make_folder(out)
    write_all(out, files)
    clear_old(out, files)
    return tuple(files)
