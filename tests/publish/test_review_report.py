"""The review as page, sheet and pictures: one page of paper, and every picture with its words and its numbers."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta

import pytest
from made_block import made_block
from review_case import HOSTILE, report, reviewed

from setwright.catalogue.load import catalogue
from setwright.plan.demand import week_demand
from setwright.plan.weeks import week_shapes
from setwright.publish.picture import Picture, svg_alone, svg_inside
from setwright.publish.review_charts import (
    load_picture,
    pain_pictures,
    range_pictures,
    sets_picture,
    slow_and_fast_pictures,
    wellness_pictures,
)
from setwright.publish.review_report import FindingRow, review_html, review_pdf, review_report, with_own_names
from setwright.publish.review_text import few, headline, review_text
from setwright.publish.sheet import pages_of
from setwright.review.set_targets import sets_against_target
from setwright.review.slow_and_fast import Between, PartDay, SlowAndFast
from setwright.services.review_files import review_files


def picture(slug: str) -> Picture:
    return next(one for one in report().pictures if one.slug == slug)


def data_of(value: object, field: str) -> list[object]:
    """Every value of a field in the data of a Vega-Lite value."""
    if isinstance(value, dict):
        own = [row[field] for row in value.get("values", []) if isinstance(row, dict) and field in row]
        return own + [one for part in value.values() for one in data_of(part, field)]
    return [one for part in value for one in data_of(part, field)] if isinstance(value, list) else []


def test_a_full_review_has_every_picture() -> None:
    kinds = {one.slug.split("-")[0] for one in report().pictures}

    assert kinds == {"pain", "strength", "load", "sets", "climb", "mornings", "range"}
    assert report().pictures[0].slug == "pain-knee"  # what asks for something comes first


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_the_sheet_is_one_page_and_the_same_bytes(paper: str) -> None:
    made = review_pdf(report(), paper)  # type: ignore[arg-type]

    assert pages_of(made) == 1 and made == review_pdf(report(), paper)  # type: ignore[arg-type]


def test_the_longest_review_still_has_one_page() -> None:
    long = FindingRow("pain", "knee " * 30, "a long tale of what happened; " * 80, "", "ask again " * 60)
    assert pages_of(review_pdf(replace(report(), findings=(long,) * 40))) == 1


def test_every_picture_has_words_and_a_table_in_its_page() -> None:
    page = review_html(report())
    for one in report().pictures:
        assert len(one.description) > 30 and one.caption and one.tables[0].rows and one.printed.rows
        for svg in (svg_inside(one), svg_alone(one)):
            assert re.match(r'<svg role="img" aria-label="[^"]{30,}"', svg)
            assert "url(#" not in svg and " id=" not in svg  # ids of several pictures in one page would clash
        section = page.split(f">{one.title}</h2>")[1].split("</section>")[0]
        assert section.count("<table") == len([table for table in one.tables if table.rows])
    assert "<script" not in page and "http" not in re.sub(r'xmlns(:\w+)?="[^"]*"', "", page)


def test_tables_hold_the_numbers_of_the_pictures() -> None:
    load = picture("load")
    assert [float(row[1]) for row in load.tables[0].rows] == pytest.approx(data_of(load.spec, "total"), abs=0.51)
    days = [float(cell.removesuffix(" ?")) for row in load.tables[0].rows for cell in row[2:9]]
    assert days == pytest.approx(data_of(load.spec, "load"), abs=0.51)

    pain = picture("pain-knee")
    told = {cell for row in pain.tables[0].rows for cell in row[1:]} - {"-"}
    assert told == {str(one) for one in data_of(pain.spec, "pain")}

    assert [one for one in ("0", "2", "4", "6", "8", "10") if f">{one}</text>" in svg_inside(pain)] == [
        "0", "2", "4", "6", "8", "10",
    ]  # fmt: skip

    mornings = picture("mornings-good-is-high")
    assert [float(row[1]) for row in mornings.tables[0].rows] == data_of(mornings.spec["layer"][-1], "score")

    way = picture("climb-nordic")
    assert [int(row[1].split()[0]) for row in way.tables[0].rows] == data_of(way.spec, "step")[
        : len(way.tables[0].rows)
    ]

    assert len(re.findall(r">[1-5]</text>", svg_inside(way))) == 5  # every step of the way is named

    band = picture("strength-back_squat")
    middles = {f"{float(one):.1f}" for one in data_of(band.spec, "middle")}  # type: ignore[arg-type]
    assert middles == {row[2] for row in band.tables[0].rows}

    ranges = picture("range-knee-to-wall")
    assert {float(row[2]) for row in ranges.tables[0].rows} == set(data_of(ranges.spec, "value"))
    assert {row[3] for row in ranges.tables[0].rows} == {
        f"{round(low, 1):g} to {round(high, 1):g}"  # type: ignore[call-overload]
        for low, high in zip(data_of(ranges.spec, "low"), data_of(ranges.spec, "high"), strict=True)
    }


def test_the_band_of_sets_is_what_the_brief_asks_of_the_week() -> None:
    """Referee: the demand that the block was designed from times the share of the week, and counted sets anew."""
    block, review = reviewed().block, reviewed().review
    rows = sets_against_target(block, review.weeks, catalogue())
    asked = week_demand(block.inputs.trainee, block.inputs.brief, (), catalogue())
    quads = next(one for one in asked.muscles if one.roll_up == "quadriceps")
    shapes = week_shapes(block.inputs.brief)

    for one in (row for row in rows if row.group == "quadriceps"):
        assert one.high == pytest.approx(quads.target * shapes[one.week - 1].share) and one.low <= 4.0
        assert one.done == review.weeks[one.week - 1].credits["quads_vasti"][1]
    sets = picture("sets")
    cells = {(row[0], week): cell for row in sets.tables[0].rows for week, cell in enumerate(row[1:], start=1)}
    for group, week, done in zip(
        *(data_of(sets.spec["layer"][0], key) for key in ("group", "week", "done")), strict=True
    ):
        assert cells[(group, week)].split(" (")[0] == f"{done:g}"  # type: ignore[index]


def test_slow_and_fast_part_stand_in_panels_of_their_own() -> None:
    days = [PartDay(date(2026, 1, 5) + timedelta(days=n), 20.0 + n, 10.0 + n, 30.0 + n) for n in range(15)]
    shown = SlowAndFast(
        "back_squat", True, "", (), Between(40, 30, 50), Between(10, 8, 12), tuple(days), tuple(days), 1.0
    )
    (found,) = slow_and_fast_pictures(shown, catalogue())
    panels = found.spec["vconcat"]

    assert len(panels) == 2 and "(30 to 50)" in found.description and "(8 to 12)" in found.description
    for panel, name in zip(panels, ("slow part", "fast part"), strict=True):
        told = [[float(cell) for cell in row[2:]] for row in found.tables[0].rows if row[1] == name]
        drawn = panel["layer"][0]["data"]["values"]
        assert told == [[row["low"], row["middle"], row["high"]] for row in drawn] and len(told) == 3
    assert svg_inside(found).startswith("<svg")


def test_twelve_weeks_fit_on_paper_and_two_places_keep_their_files() -> None:
    many = tuple(
        replace(one, week=week)
        for one in sets_against_target(reviewed().block, reviewed().review.weeks[:1], catalogue())
        for week in range(1, 13)
    )
    (sets,) = sets_picture(many)
    twice = with_own_names([sets, sets])

    assert len(sets.tables[0].head) == 13 and sets.printed.head == ("Group", "Week 9", "Week 10", "Week 11", "Week 12")
    assert [one.slug for one in twice] == ["sets", "sets-2"]


def test_a_log_without_a_week_of_the_block_gives_a_page_that_says_so() -> None:
    none = replace(reviewed().review, weeks=(), loads=(), findings=(), wellness=(), pains=(), days=(), weighted=())
    empty = review_report(made_block(), none, (), (), (), catalogue(), "kg")

    assert empty.headline == "The log holds nothing of this block yet." and not empty.pictures
    assert "<figure" not in review_html(empty) and pages_of(review_pdf(empty)) == 1


def test_no_data_no_picture() -> None:
    rows = sets_against_target(reviewed().block, reviewed().review.weeks, catalogue())
    refused = SlowAndFast("back_squat", False, "too few", ())

    assert sets_picture([replace(one, done=0.0) for one in rows]) == []
    assert load_picture((), ()) == pain_pictures(()) == wellness_pictures(()) == range_pictures(()) == []
    assert slow_and_fast_pictures(refused, catalogue()) == slow_and_fast_pictures(None, catalogue()) == []


def test_the_refusal_of_slow_and_fast_part_is_said() -> None:
    review = replace(reviewed().review, slow_and_fast=replace(_many_measures(), is_shown=False, why="too alike"))

    assert "not shown, too alike" in " ".join(review_text(review).split())


def _many_measures() -> SlowAndFast:
    found = reviewed().review.slow_and_fast
    assert found is not None
    return replace(found, measures=found.measures * 4)


def test_pounds_at_the_face() -> None:
    pounds = report("knee", "lb")
    page = re.sub(r"<style.*?</style>", "", review_html(pounds), flags=re.DOTALL)

    assert not re.search(r"\bkg\b", page) and " lb" in page
    heavy = next(one for one in pounds.pictures if one.slug == "strength-back_squat").tables[0].rows
    light = picture("strength-back_squat").tables[0].rows
    assert [float(row[2]) for row in heavy] == pytest.approx([float(row[2]) / 0.45359237 for row in light], abs=0.2)


def test_hostile_words_of_the_log_stay_words() -> None:
    page = review_html(report(HOSTILE))

    assert "<script" not in page and "&lt;script&gt;" in page
    slug = next(one.slug for one in report(HOSTILE).pictures if one.slug.startswith("pain"))
    assert re.fullmatch(r"pain-[a-z0-9-]+", slug)
    assert pages_of(review_pdf(report(HOSTILE))) == 1


def test_the_terminal_says_what_matters_first_in_80_columns() -> None:
    lines = review_text(reviewed().review).splitlines()

    assert lines[0].startswith("Pain, knee: look at this first; 8 of 8 sessions done in weeks 1 to 4")
    assert max(map(len, lines)) <= 80
    assert sum("gaining" in line for line in lines[2:]) == 1
    table = lines[lines.index("Weeks: done (planned)") :]
    assert table[1].split()[:3] == ["Week", "Sessions", "Minutes"] and table[2].split()[0] == "1"


def test_a_headline_without_findings_says_that_nothing_stands_out() -> None:
    calm = replace(reviewed().review, findings=())

    assert headline(calm) == "8 of 8 sessions done in weeks 1 to 4; nothing stands out."
    assert few("one; two; three") == "one; two; three"


def test_the_files_are_the_same_bytes_in_two_runs() -> None:
    first, second = (review_files(reviewed(), charts=run) for run in (True, False))

    assert {"review.html", "review.pdf", "review.json"} == set(second)
    assert all(first[name] == second[name] for name in second)
    assert {name for name in first if name.endswith(".svg")} == {f"charts/{one.slug}.svg" for one in report().pictures}
