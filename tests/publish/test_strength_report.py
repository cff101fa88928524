"""How strong, and how sure: the picture read back from its SVG, the page and the PDF read back by other libraries.

All people and numbers here are invented. Referee for the pound: NIST Special Publication 811, appendix B:
1 lb = 0.453 592 37 kg exactly (memory).
"""

from __future__ import annotations

import json
import os
import random
import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from functools import cache
from html.parser import HTMLParser
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.publish.strength_chart import (
    MARKS,
    BandPoint,
    LiftChart,
    SetPoint,
    chart_spec,
    chart_svg,
    date_ticks,
    printable,
)
from setwright.publish.strength_report import LiftReport, StrengthReport, report_html, report_pdf
from setwright.publish.units import Unit

LB = Decimal("0.45359237")
START = date(2026, 9, 7)
HOSTILE = '<script>alert(1)</script> #eval("1") $x$ *b* \\ @ref [link]'
SVG = "{http://www.w3.org/2000/svg}"


def invented_squat(unit: Unit = "kg", name: str = "Back squat (invented)") -> LiftChart:
    """Twelve weeks of squats of nobody: two days a week, four sets a day, one of each rarer kind, two slips."""
    dice = random.Random(7)
    band, sets = [], []
    for week in range(12):
        for day, reps in ((0, 5), (3, 3)):
            when, true, wide = START + timedelta(7 * week + day), 138 + 0.95 * week, 12 / (1 + week / 4) ** 0.5 + 2
            band.append(BandPoint(when, true - wide, true, true + wide))
            for _ in range(4):
                left = dice.choice((1, 2, 3))
                load = round((true + dice.gauss(0, 3)) / (1 + (reps + left) / 30) / 2.5) * 2.5
                one_rm = load * (1 + (reps + left) / 30)
                sets.append(SetPoint(when, one_rm, "called", f"{load:g} kg x {reps}, {left} left"))
    test_day = START + timedelta(45)
    sets += [
        SetPoint(START + timedelta(28), 129.0, "at least", "110 kg x 5, 4 or more left"),
        SetPoint(START + timedelta(35), 143.5, "failure", "123 kg x 5, 0 left"),
        SetPoint(test_day, 145.0, "test", "145 kg x 1"),
        SetPoint(test_day, 150.0, "failed", "150 kg x 0"),
        SetPoint(START + timedelta(52), 168.0, "doubtful", "140 kg x 6, 0 left"),
        SetPoint(START + timedelta(59), 950.0, "doubtful", "800 kg x 5, 2 left"),
    ]
    last = band[-1]
    forecast = [
        BandPoint(last.date + timedelta(7 * n), last.p10 - n / 4, last.p50 + n, last.p90 + 2 * n) for n in range(1, 5)
    ]
    return LiftChart(name, unit, tuple(band), tuple(sets), tuple(forecast), 160.0)


def invented_lift(chart: LiftChart | None, name: str = "Back squat (invented)") -> LiftReport:
    """A lift with every sentence filled, each one told apart from all others."""
    return LiftReport(
        name=name,
        now_text="between 142 and 155 kg, most likely 149 kg",
        rests_on="102 sets on 24 days, the last on 26 November 2026",
        sharpen="a single at 140 kg",
        trend_text="+0.9 kg a week (+0.6 to +1.2)",
        change_text="since 7 September: +11 kg (+4 to +17)",
        forecast_text="24 December 2026: between 142 and 163 kg",
        target_text="160 kg: reached 12 times in 100",
        reps_rows=(("100 kg", "14", "12 to 16"), ("120 kg", "7", "5 to 9"), ("142.5 kg", "1", "1 to 3")),
        first_session=("120 kg x 5, stop with 3 left", "then 3 sets of 4 at 122.5 kg"),
        notes=("One set says far more than all others: a slip of the pen?",),
        chart=chart,
    )


def empty_lift(name: str = "Deadlift") -> LiftReport:
    return LiftReport(name, "", "", "", "", "", "", "", (), (), (), None)


def report(*lifts: LiftReport) -> StrengthReport:
    return StrengthReport(
        "How strong, and how sure",
        "Ada (invented), as of 26 November 2026",
        "for the coach",
        "Calls 0.6 too low.",
        lifts,
    )


def rows(spec: dict[str, Any], field: str) -> list[dict[str, Any]]:
    """All rows of data in a picture that have a field."""
    return [row for layer in spec["layer"] for row in layer["data"]["values"] if field in row]


def place(element: ET.Element) -> tuple[float, float]:
    found = re.match(r"translate\((-?[\d.]+),(-?[\d.]+)\)", element.get("transform", ""))
    assert found, element.attrib
    return float(found[1]), float(found[2])


def groups(svg: str, role: str) -> list[ET.Element]:
    return [one for one in ET.fromstring(svg).iter(f"{SVG}g") if role in one.get("class", "").split()]


def mass_axis(svg: str) -> tuple[float, float]:
    """Slope and offset from px to the number on the axis, read from its printed labels alone."""
    labels = [[(place(text)[1] - 3, text.text or "") for text in group] for group in groups(svg, "role-axis-label")]
    ticks = next(group for group in labels if len({y for y, _ in group}) > 1)
    (y1, low), *_, (y2, high) = sorted(ticks)
    slope = (number(high) - number(low)) / (y2 - y1)
    return slope, number(low) - slope * y1


def date_axis(svg: str) -> tuple[float, float]:
    """Days a px, and the day at the left edge, counted from the first Monday; read from the printed labels alone."""
    x = {text.text: place(text)[0] for group in groups(svg, "role-axis-label") for text in group}
    slope = (date(2026, 11, 30) - START).days / (x["30 Nov"] - x["7 Sep"])
    return slope, -slope * x["7 Sep"]


def number(text: str) -> float:
    return float(text.replace("−", "-").replace(",", ""))


def drawn_marks(svg: str, kind: str) -> list[tuple[float, float]]:
    """Where the marks of the sets are, px; those of the words below are left out by their place."""
    marks = [path for group in groups(svg, "mark-symbol") for path in group if path.get("d")]
    return [place(path) for path in marks if kind in ("", shape_of(path)) and place(path)[1] <= 216.5]


def shape_of(path: ET.Element) -> str:
    """The kind of a mark by its outline alone: corners, which way it points, hollow or not."""
    outline = path.get("d", "")
    if "A" in outline:
        return "doubtful" if path.get("fill") in (None, "none", "transparent") else "called"
    if "h" in outline:
        return "failure"
    points = [float(y) for y in re.findall(r"[ML][-\d.]+,([-\d.]+)", outline)]
    if len(points) == 4:
        return "test"
    return "at least" if sum(y < 0 for y in points) == 1 else "failed"


def text_of(pdf: bytes) -> str:
    import pypdfium2

    text = " ".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(pdf))
    return " ".join(text.replace("\u200b", "").split())


def pages_in(pdf: bytes) -> int:
    import pypdfium2

    return len(pypdfium2.PdfDocument(pdf))


@cache
def squat_svg(unit: Unit = "kg") -> str:
    return chart_svg(chart_spec(invented_squat(unit)))


# The picture


def test_every_number_is_in_the_picture() -> None:
    chart = invented_squat()
    spec = chart_spec(chart)

    beliefs = {(row["date"], row["low"], row["middle"], row["high"]) for row in rows(spec, "middle")}
    for one in (*chart.band, *chart.forecast):
        assert (one.date.isoformat(), round(one.p10, 3), round(one.p50, 3), round(one.p90, 3)) in beliefs
    told = sorted((row["date"], row["kind"], row["set"], row["suggests"]) for row in rows(spec, "kind"))
    assert told == sorted((one.date.isoformat(), one.kind, one.label, round(one.one_rm_kg, 3)) for one in chart.sets)
    assert len(told) == 102


def test_pounds_are_international_pounds() -> None:
    chart = invented_squat("lb")
    spec = chart_spec(chart)

    told = sorted((row["date"], row["set"], row["suggests"]) for row in rows(spec, "kind"))
    expected = sorted((one.date.isoformat(), one.label, float(Decimal(one.one_rm_kg) / LB)) for one in chart.sets)
    assert len(told) == 102
    for (*_, found), (*_, pounds) in zip(told, expected, strict=True):
        assert found == pytest.approx(pounds, abs=0.000_51)  # drawn to a thousandth
    assert "one-repetition maximum, lb" in squat_svg("lb")
    assert "target 352.7 lb" in squat_svg("lb")  # 160 / 0.45359237 = 352.74


@pytest.mark.parametrize("unit", ["kg", "lb"])
def test_each_set_is_drawn_at_its_number_on_the_axis(unit: Unit) -> None:
    """Referee: the printed labels of the axis, read from the SVG as a reader's eye does."""
    chart = invented_squat(unit)
    slope, offset = mass_axis(squat_svg(unit))
    days_px, first_day = date_axis(squat_svg(unit))

    marks = [(days_px * x + first_day, slope * y + offset) for x, y in drawn_marks(squat_svg(unit), "")]

    factor = LB if unit == "lb" else Decimal(1)
    near = [one for one in chart.sets if one.one_rm_kg < 900]
    expected = sorted(((one.date - START).days, float(Decimal(one.one_rm_kg) / factor)) for one in near)
    assert len(marks) == len(expected) == 101
    # A day is 2.7 px wide; a third of a pixel high is 0.2 lb.
    for (day, mass), (true_day, true_mass) in zip(sorted((round(d), m) for d, m in marks), expected, strict=True):
        assert day == true_day
        assert mass == pytest.approx(true_mass, abs=0.2)


def test_the_shape_alone_tells_the_kind() -> None:
    """Referee: the outlines in the SVG; all marks have one ink, so colour can't be what tells them apart."""
    chart, svg = invented_squat(), squat_svg()

    for kind in MARKS:
        drawn = [one for one in chart.sets if one.kind == kind and one.one_rm_kg < 900]
        assert drawn and len(drawn_marks(svg, kind)) == len(drawn), kind
    inks = {
        path.get("stroke") if path.get("fill") in (None, "none", "transparent") else path.get("fill")
        for group in groups(svg, "mark-symbol")
        for path in group
    }
    assert inks == {"currentColor"}


def test_a_slip_of_the_pen_does_not_flatten_the_rest() -> None:
    slope, offset = mass_axis(squat_svg())
    top, bottom = offset, slope * 216 + offset

    assert 100 < bottom < 130 and 168 < top < 200
    assert "Too far off to draw: 1 set (950 kg)." in squat_svg()


def test_only_what_is_drawn_is_named_below() -> None:
    chart = invented_squat()
    bare = chart_svg(chart_spec(replace(chart, forecast=(), sets=chart.sets[:4], target_kg=None)))

    for words in ("forecast", "test single", "doubtful", "failed", "easy", "target", "Too far"):
        assert words in squat_svg()
        assert words not in re.sub(r'aria-label="[^"]*"', "", bare)
    assert "8 times in 10 it is in here" in bare and "set, reps left called" in bare


def test_a_test_single_is_told_with_its_number() -> None:
    sets = tuple(SetPoint(START + timedelta(n), 140.0 + n, "test", f"{140 + n} kg x 1") for n in (0, 1, 60))
    svg = chart_svg(chart_spec(replace(invented_squat(), sets=sets, target_kg=None)))
    bold = [text.text for text in ET.fromstring(svg).iter(f"{SVG}text") if text.get("font-weight") == "bold"]

    assert {"141", "200"} <= set(bold)
    assert "140" not in bold  # a day before the 141: the two numbers would touch, the heavier is told


def test_the_picture_is_said_in_words() -> None:
    said = chart_spec(invented_squat())["description"]

    assert said.startswith(
        "Back squat (invented): one-repetition maximum in kg. 7 September 2026: 8 times in 10 between "
    )
    assert (
        "102 sets: 96 with reps left called, 1 to the last rep, 1 easy, 1 tested single, 1 failed, 2 doubtful." in said
    )
    assert "Forecast for 24 December 2026: 8 times in 10 between" in said
    assert said.endswith("Target 160 kg.")


def test_the_same_picture_has_the_same_bytes_wherever_it_is_drawn() -> None:
    """Drawn twice here, and once by another process where midnight UTC is still the day before."""
    spec = chart_spec(invented_squat())
    script = (
        "import json, sys\nfrom setwright.publish.strength_chart import chart_svg\n"
        "print(chart_svg(json.load(sys.stdin)))"
    )
    far = subprocess.run(
        [sys.executable, "-c", script],
        input=json.dumps(spec),
        env={**os.environ, "TZ": "Pacific/Pago_Pago"},
        capture_output=True,
        text=True,
        check=True,
    )

    assert chart_svg(spec) == squat_svg()
    assert far.stdout.strip() == squat_svg().strip()


def test_the_picture_fits_a_phone_and_asks_for_nothing() -> None:
    """A phone of 390 px leaves 358 px between the margins of a page."""
    root = ET.fromstring(squat_svg())

    assert 300 < float(root.get("width", "0")) <= 358
    assert "max-width:100%" in root.get("style", "") and "height:auto" in root.get("style", "")
    assert root.get("role") == "img" and "Back squat" in root.get("aria-label", "")
    assert not re.search(r"href|url\(|@import|<image|<style|<script| id=", squat_svg())


def test_vega_lite_takes_the_value_without_a_warning() -> None:
    """Referee: the compiler of Vega-Lite, which warns of every part it does not know; checked with one it doesn't."""
    script = (
        "import json, sys, vl_convert\n"
        "for spec in json.load(sys.stdin):\n"
        "    vl_convert.vegalite_to_vega(spec, vl_version='5.20', show_warnings=True)\n"
    )

    def warned(*specs: dict[str, Any]) -> str:
        command = [sys.executable, "-c", script]
        done = subprocess.run(command, input=json.dumps(specs), capture_output=True, text=True, check=True)
        return done.stdout + done.stderr

    good = [chart_spec(one) for one in (invented_squat(), invented_squat("lb"), LiftChart("E", "kg", (), (), (), 9.0))]
    assert "WARN" in warned({**good[0], "encoding": {"bogus": {"field": "x"}}})
    assert warned(*good) == ""


DAY = (BandPoint(START, 128, 138, 149),)
ODD = {
    "nothing": LiftChart("E", "kg", (), (), ()),
    "target only": LiftChart("E", "kg", (), (), (), 100.0),
    "one day": LiftChart("E", "kg", DAY, (SetPoint(START, 137, "called", "a"),), ()),
    "one belief": LiftChart("E", "lb", DAY, (), ()),
    "one belief and a forecast": LiftChart("E", "kg", DAY, (), (BandPoint(START + timedelta(28), 130, 140, 151),)),
    "forecast only": LiftChart("E", "kg", (), (), DAY),
    "sets only": LiftChart("E", "kg", (), (SetPoint(START, 137, "called", "a"), SetPoint(START, 137, "test", "b")), ()),
    "no spread": LiftChart("E", "kg", (BandPoint(START, 0, 0, 0),), (SetPoint(START, 0, "failed", "a"),), (), 0.0),
    "help": LiftChart("E", "kg", (BandPoint(START, -30, -20, -10),), (SetPoint(START, -25, "called", "a"),), ()),
    "slips only": LiftChart("E", "kg", (), (SetPoint(START, 137, "doubtful", "a"),), ()),
    "years": LiftChart("E", "kg", (*DAY, BandPoint(date(2046, 1, 1), 1, 2, 3)), (), ()),
}


@pytest.mark.parametrize("name", ODD)
def test_a_picture_of_little_is_still_a_picture(name: str) -> None:
    chart = ODD[name]
    svg = chart_svg(chart_spec(chart))

    assert len(drawn_marks(svg, "")) == len(chart.sets)
    assert "NaN" not in svg and "undefined" not in svg and "Infinity" not in svg
    assert ("Nothing logged yet." in svg) == (not chart.band and not chart.sets)
    assert ("<text" in svg and "8 times in 10 it is in here" in svg) == bool(chart.band)


def test_four_hundred_sets_are_all_drawn() -> None:
    dice = random.Random(1)
    sets = tuple(
        SetPoint(START + timedelta(2 * n), 100 + n / 12 + dice.gauss(0, 4), "called", f"set {n}") for n in range(400)
    )
    band = tuple(BandPoint(START + timedelta(7 * n), 95 + n * 0.28, 100 + n * 0.28, 105 + n * 0.28) for n in range(115))
    svg = chart_svg(chart_spec(LiftChart("Many (invented)", "kg", band, sets, ())))

    assert len(drawn_marks(svg, "called")) == 400


masses = st.floats(-100, 600, allow_nan=False)
days = st.integers(0, 900).map(lambda n: START + timedelta(n))
beliefs = st.builds(lambda day, three: BandPoint(day, *sorted(three)), days, st.tuples(masses, masses, masses))
points = st.builds(SetPoint, days, masses, st.sampled_from(list(MARKS)), st.text(max_size=20))


@settings(max_examples=40, deadline=None)
@given(
    st.builds(
        LiftChart,
        st.text(max_size=80),
        st.sampled_from(["kg", "lb"]),
        st.lists(beliefs, max_size=5).map(tuple),
        st.lists(points, max_size=8).map(tuple),
        st.lists(beliefs, max_size=3).map(tuple),
        st.none() | masses,
    )
)
def test_any_picture_keeps_its_marks_inside_and_drops_none_unsaid(chart: LiftChart) -> None:
    svg = chart_svg(chart_spec(chart))
    marks = drawn_marks(svg, "")

    assert all(0 <= x <= 312 and 0 <= y <= 216 for x, y in marks)
    undrawn = len(chart.sets) - len(marks)
    assert (undrawn > 0) == ("Too far off to draw" in svg)
    if undrawn:
        assert f"Too far off to draw: {undrawn} set" in svg


@given(days, st.integers(0, 4000))
def test_dates_below_the_picture_are_few_and_within_it(first: date, span: int) -> None:
    """At most seven labels of 36 px, or five of months of 60 px, fit in 312 px."""
    last = first + timedelta(span)
    ticks, monthly = date_ticks(first, last)

    assert 1 <= len(ticks) <= (6 if monthly else 7)
    assert all(first <= one <= last for one in ticks)
    assert all(b > a for a, b in pairwise(ticks))
    if monthly:
        assert all(one.day == 1 for one in ticks)


def test_dates_stand_where_the_calendar_has_them() -> None:
    """Referee: the standard library's calendar; the domain is milliseconds from 1970 at midnight UTC."""
    x = next(one["encoding"]["x"] for one in chart_spec(invented_squat())["layer"] if "axis" in one["encoding"]["x"])

    mondays = [datetime.fromtimestamp(one / 1000, UTC) for one in x["axis"]["values"]]
    assert [f"{one.day} {one:%b}" for one in mondays] == ["7 Sep", "5 Oct", "2 Nov", "30 Nov"]
    for label in ("7 Sep", "5 Oct", "2 Nov", "30 Nov", "date, 2026"):
        assert f">{label}<" in squat_svg()


@pytest.mark.parametrize("three", [(2, 1, 3), (1, 3, 2), (1, float("nan"), 3), (1, 2, float("inf"))])
def test_an_impossible_belief_can_not_exist(three: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="band of 2026-09-07: found"):
        BandPoint(START, *three)


def test_a_set_of_no_known_kind_can_not_exist() -> None:
    with pytest.raises(ValueError, match="kind is 'guess', expected one of called, failure, at least"):
        SetPoint(START, 100.0, "guess", "a")  # type: ignore[arg-type]


def test_control_characters_do_not_break_the_picture() -> None:
    assert printable("Squat\x00 low\n\tbar\ud800") == "Squat low bar"
    assert ET.fromstring(chart_svg(chart_spec(replace(ODD["one day"], name="a\x00\x0b\ufffe&<b>\"'"))))


# The page


class Balanced(HTMLParser):
    """Referee: every element that is opened is closed in order, ids are unique, links lead within the page."""

    VOID = ("meta", "br", "link", "img", "input", "hr")

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.seen: list[str] = []
        self.ids: list[str] = []
        self.links: list[str] = []
        self.text: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append(tag)
        if tag not in self.VOID:
            self.open.append(tag)
        self.ids += [value or "" for name, value in attrs if name == "id"]
        self.links += [value or "" for name, value in attrs if name in ("href", "src", "action", "xlink:href")]

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open and self.open[-1] == tag, f"{tag} closes {self.open[-3:]}"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        self.text.append(data)


def read(page: str) -> Balanced:
    reader = Balanced()
    reader.feed(page)
    assert reader.open == []
    assert len(reader.ids) == len(set(reader.ids))
    return reader


SENTENCES = (
    "Ada (invented), as of 26 November 2026",
    "for the coach",
    "Calls 0.6 too low.",
    "Back squat (invented)",
    "between 142 and 155 kg, most likely 149 kg",
    "102 sets on 24 days, the last on 26 November 2026",
    "a single at 140 kg",
    "+0.9 kg a week (+0.6 to +1.2)",
    "since 7 September: +11 kg (+4 to +17)",
    "24 December 2026: between 142 and 163 kg",
    "160 kg: reached 12 times in 100",
    "12 to 16",
    "142.5 kg",
    "then 3 sets of 4 at 122.5 kg",
    "One set says far more than all others: a slip of the pen?",
    "Not medical advice.",
)


def test_the_page_says_all_and_stands_alone() -> None:
    page = report_html(report(invented_lift(invented_squat()), invented_lift(invented_squat("lb"), "Bench press")))
    reader = read(page)
    said = " ".join(" ".join(reader.text).split())

    for sentence in SENTENCES:
        assert sentence in said
    assert reader.links == ["#lift-1", "#lift-2"] and set(reader.links) == {f"#{one}" for one in reader.ids}
    assert reader.seen.count("svg") == 2 and "script" not in reader.seen


def test_the_numbers_stand_below_the_picture() -> None:
    chart = invented_squat("lb")
    page = report_html(report(invented_lift(chart)))

    for one in (*chart.band, *chart.forecast):
        cells = [f"{float(Decimal(kg) / LB):.1f}" for kg in (one.p10, one.p50, one.p90)]
        assert "".join(f"<td>{cell}</td>" for cell in cells) in page
    assert page.count(", forecast</td>") == 4
    assert "Numbers of the picture, lb" in page
    assert "<td>800 kg x 5, 2 left</td><td>2094.4</td><td>doubtful set</td>" in page


def test_empty_sentences_leave_no_gap() -> None:
    page = report_html(report(replace(empty_lift(), now_text="about 100 kg")))
    text = " ".join(read(page).text)

    for word in ("Change", "Trend", "Forecast", "Target", "Rests on", "To be surer", "Repetitions", "Notes", "First"):
        assert word not in text
    assert "about 100 kg" in text
    assert "Nothing to tell yet." in report_html(report(empty_lift()))
    assert "No lift has sets that tell of its strength yet." in report_html(report())


def test_text_from_a_person_can_not_become_markup() -> None:
    lift = replace(
        invented_lift(replace(invented_squat(), name=HOSTILE), HOSTILE),
        now_text=HOSTILE,
        notes=(HOSTILE,),
        first_session=(HOSTILE,),
        reps_rows=((HOSTILE, HOSTILE, HOSTILE),),
    )
    page = report_html(StrengthReport(HOSTILE, HOSTILE, HOSTILE, HOSTILE, (lift,)))

    assert "script" not in read(page).seen
    assert "<script" not in chart_svg(chart_spec(replace(invented_squat(), name=HOSTILE)))
    assert " ".join(read(page).text).count("<script>alert(1)</script> #eval") >= 10


# The paper


def test_the_paper_says_all() -> None:
    """Referee: pypdfium2 reads the text back, also that inside the picture."""
    said = text_of(report_pdf(report(invented_lift(invented_squat()))))

    for sentence in SENTENCES:
        assert sentence in said
    for drawn in ("one-repetition maximum, kg", "target 160 kg", "test single", "30 Nov"):
        assert drawn in said
    first = invented_squat().band[0]
    assert f"{first.p10:.1f}" in said and f"{first.p90:.1f}" in said


@pytest.mark.parametrize(("paper", "size"), [("a4", (595.28, 841.89)), ("us-letter", (612.0, 792.0))])
def test_paper_has_its_standard_size(paper: Any, size: tuple[float, float]) -> None:
    """Referee: ISO 216 A4 210 x 297 mm; ANSI Letter 8.5 x 11 in; a point is 1/72 in (from memory)."""
    import pypdfium2

    found = pypdfium2.PdfDocument(report_pdf(report(empty_lift()), paper))[0].get_size()

    assert found == pytest.approx(size, abs=0.6)


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_two_lifts_share_a_page_and_none_is_torn(paper: Any) -> None:
    import pypdfium2

    lifts = [invented_lift(invented_squat(name=f"Lift {n}"), f"Lift {n}") for n in range(1, 6)]
    document = pypdfium2.PdfDocument(report_pdf(report(*lifts), paper))
    texts = [page.get_textpage().get_text_range() for page in document]

    assert [[n for n in range(1, 6) if f"Lift {n}" in text] for text in texts] == [[1, 2], [3, 4], [5]]
    for text in texts:
        assert text.count("most likely 149 kg") == text.count("a slip of the pen?") == len(re.findall(r"Lift \d", text))


@pytest.mark.long
def test_a_lift_longer_than_a_page_flows_on() -> None:
    notes = tuple(f"Note number {n} of many." for n in range(200))
    made = report_pdf(report(replace(invented_lift(invented_squat()), notes=notes)))

    assert 2 <= pages_in(made) <= 6
    assert all(note in text_of(made) for note in notes)


def test_the_paper_is_tagged_and_the_picture_has_words() -> None:
    """Referee: ISO 32000-1, 14.7 and 14.9.3: a tree of structure, and an /Alt for a figure (from memory)."""
    made = report_pdf(report(invented_lift(invented_squat())))

    assert b"/StructTreeRoot" in made and b"/Figure" in made
    assert made.count(b"/Alt") == 1


def test_the_same_report_has_the_same_bytes() -> None:
    one = report(invented_lift(invented_squat()), empty_lift())

    assert report_pdf(one) == report_pdf(one)
    assert report_html(one) == report_html(one)


def test_text_from_a_person_is_only_text_on_paper() -> None:
    lift = replace(invented_lift(replace(invented_squat(), name=HOSTILE), HOSTILE), notes=("#pagebreak()",))
    made = report_pdf(StrengthReport(HOSTILE, HOSTILE, HOSTILE, HOSTILE, (lift,)))

    assert text_of(made).count('#eval("1") $x$ *b* \\ @ref [link]') >= 4
    assert "#pagebreak()" in text_of(made)
    assert pages_in(made) == 1


def test_a_name_without_end_stays_on_the_paper() -> None:
    """Referee: pypdfium2 gives the place of each letter."""
    import pypdfium2

    long = "W" * 400
    lift = replace(invented_lift(replace(invented_squat(), name=long), long), rests_on=long)
    made = report_pdf(StrengthReport(long, long, long, long, (lift,)))
    page = pypdfium2.PdfDocument(made)[0]
    text, width = page.get_textpage(), page.get_size()[0]
    boxes = [text.get_charbox(n) for n in range(text.count_chars())]

    assert text_of(made).count("W") >= 6 * 400
    assert max(box[2] for box in boxes) <= width
