"""The picture of how strong a lift is and how sure that is: one Vega-Lite value for phone, screen and paper.

Two ideas: the belief is a band (8 times in 10 the one-repetition maximum lies in it), and every logged set is a mark
whose shape tells what kind of evidence it is. Ink is ``currentColor``: black on paper, light on a dark page.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache, lru_cache
from html import escape
from importlib import resources
from typing import Any, Literal, get_args

from setwright.publish.units import Unit, mass_text, range_text, short, to_lb
from setwright.publish.words import MONTHS, counted, date_text

SetKind = Literal["called", "failure", "at least", "test", "failed", "doubtful"]

# Plot size in px, chosen so that the whole picture is as wide as a phone of 390 px leaves room for.
WIDTH, HEIGHT = 312, 216
LEGEND_X, LEGEND_COLUMN, LEGEND_ROW = -32, 176, 17
INK = "currentColor"
BLUE = "#2f7bbf"  # contrast above 3 to 1 on white and on black alike
BAND_OPACITY, FORECAST_OPACITY = 0.28, 0.1
VEGA_LITE = "5.20"  # named, so that the same picture has the same bytes with a later renderer

# What all pictures share.
LOOK: dict[str, Any] = {
    "font": "Open Sans, system-ui, sans-serif",
    "aria": False,
    "view": {"stroke": None},
    "axis": {
        "labelColor": INK,
        "titleColor": INK,
        "tickColor": INK,
        "domainColor": INK,
        "gridColor": INK,
        "gridOpacity": 0.14,
        "labelFontSize": 11,
        "titleFontSize": 11,
        "titleFontWeight": "normal",
    },
}

# Shape, size in px^2, filled; and the words below the picture.
MARKS: dict[SetKind, tuple[str, int, bool]] = {
    "called": ("circle", 34, True),
    "at least": ("triangle-up", 46, True),
    "failure": ("square", 44, True),
    "doubtful": ("circle", 44, False),
    "failed": ("triangle-down", 80, True),
    "test": ("diamond", 150, True),
}
KIND_WORDS: dict[SetKind, str] = {
    "called": "set, reps left called",
    "failure": "set to the last rep",
    "at least": "easy set: at least this",
    "test": "test single",
    "failed": "failed: less than this",
    "doubtful": "doubtful set",
}
COUNTED_WORDS: dict[SetKind, str] = {
    "called": "with reps left called",
    "failure": "to the last rep",
    "at least": "easy",
    "test": "tested single",
    "failed": "failed",
    "doubtful": "doubtful",
}


@dataclass(frozen=True)
class BandPoint:
    """Belief about the one-repetition maximum on a date: 10, 50 and 90 % points, kg as printed on the bar.

    ValueError where a number is not finite or the three are out of order.
    """

    date: date
    p10: float
    p50: float
    p90: float

    def __post_init__(self) -> None:
        if not all(map(math.isfinite, (self.p10, self.p50, self.p90))) or not self.p10 <= self.p50 <= self.p90:
            raise ValueError(
                f"band of {self.date}: found {self.p10}, {self.p50}, {self.p90} kg, "
                "expected finite numbers with p10 <= p50 <= p90"
            )


@dataclass(frozen=True)
class SetPoint:
    """One logged set as a point: the one-repetition maximum it suggests, what kind of evidence it is, and the set.

    label : the set in words, ``80 kg x 5, 2 left``. ValueError for a number that is not finite or an unknown kind.
    """

    date: date
    one_rm_kg: float
    kind: SetKind
    label: str

    def __post_init__(self) -> None:
        if not math.isfinite(self.one_rm_kg):
            raise ValueError(f"set of {self.date} ({self.label}): found {self.one_rm_kg} kg, expected a finite number")
        if self.kind not in get_args(SetKind):
            raise ValueError(
                f"set of {self.date} ({self.label}): kind is {self.kind!r}, expected one of "
                + ", ".join(get_args(SetKind))
            )


@dataclass(frozen=True)
class LiftChart:
    """What the picture of one lift shows; kg inside, drawn in ``unit``. Any of the three series may be empty."""

    name: str
    unit: Unit
    band: tuple[BandPoint, ...]
    sets: tuple[SetPoint, ...]
    forecast: tuple[BandPoint, ...]
    target_kg: float | None = None

    def __post_init__(self) -> None:
        if self.target_kg is not None and not math.isfinite(self.target_kg):
            raise ValueError(f"target of {self.name}: found {self.target_kg} kg, expected a finite number")


def printable(text: str) -> str:
    """A text without line breaks and characters that XML forbids (XML 1.0, section 2.2, from memory).

    >>> printable("Squat\\x00 low\\n bar")
    'Squat low bar'
    """
    kept = re.sub("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff\ufffe\uffff]", "", text)
    return " ".join(kept.split())


def in_chart(kg: float, unit: Unit) -> float:
    """A mass as the number that is drawn, to a thousandth of the unit."""
    return round(kg if unit == "kg" else to_lb(kg), 3) + 0.0


def milliseconds(day: date) -> int:
    """A date as Vega counts: milliseconds from 1970, at midnight UTC."""
    return (day - date(1970, 1, 1)).days * 86_400_000


def short_date(day: date) -> str:
    """A date as short as a sentence allows: ``7 Sep 2026``."""
    return f"{day.day} {MONTHS[day.month - 1][:3]} {day.year}"


def chart_spec(chart: LiftChart) -> dict[str, Any]:
    """The picture of a lift as a Vega-Lite value, with all its data inside and its key figures in words.

    Numbers are in the unit of the chart. A set far outside the belief is not drawn but named below the picture, so that
    one slip of the pen does not flatten all the rest.
    """
    band = sorted(chart.band, key=lambda one: one.date)
    forecast = sorted(chart.forecast, key=lambda one: one.date)
    sets = sorted(chart.sets, key=lambda one: one.date)
    days = [one.date for one in (*band, *forecast)] + [one.date for one in sets]
    if not days:
        return framed(chart, [nothing_layer(chart)], HEIGHT // 2)
    low, high = drawn_range(chart)
    near = [one for one in sets if low <= one.one_rm_kg <= high]
    outside = [one for one in sets if not low <= one.one_rm_kg <= high]
    layers: list[dict[str, Any]] = [
        *band_layers(band, chart.unit),
        *forecast_layers(forecast, band, chart.unit),
        *target_layers(chart),
        *test_layers(near, chart.unit, days),
        *set_layers(sets, chart.unit, low, high),
        *legend_layers(legend_rows(chart), outside_text(outside, chart.unit)),
    ]
    # All layers share the axes; the first that has dates and masses says how they look.
    axes = next(one["encoding"] for one in layers if "field" in one["encoding"]["x"])
    axes["x"].update(date_channel(days))
    axes["y"].update(mass_channel(low, high, chart.unit))
    return framed(chart, layers, HEIGHT)


def framed(chart: LiftChart, layers: list[dict[str, Any]], height: int) -> dict[str, Any]:
    """The layers with title, description and the look that all pictures share."""
    return {
        "$schema": "https://vega.github.io/schema/vega-lite/v5.json",
        "description": description(chart),
        "title": {
            "text": title_text(chart.name),
            "anchor": "start",
            "frame": "bounds",
            "limit": WIDTH + 30,
            "offset": 8,
            "fontSize": 14,
            "color": INK,
        },
        "width": WIDTH,
        "height": height,
        "background": None,
        "padding": 4,
        "layer": layers,
        "config": LOOK,
    }


def title_text(name: str) -> str:
    """A name over a picture. Vega shortens what is too long between two halves of a rare character, and stops there.

    >>> title_text("Squat \N{KNOT}")
    'Squat \ufffd'
    """
    return re.sub(r"[^\u0000-\uffff]", "\ufffd", printable(name))


def description(chart: LiftChart) -> str:
    """The picture in words: where the belief began and stands, what it rests on, forecast and target."""
    unit = chart.unit
    said = [f"{printable(chart.name)}: one-repetition maximum in {unit}."]
    band = sorted(chart.band, key=lambda one: one.date)
    for one in dict.fromkeys((*band[:1], *band[-1:])):
        said.append(f"{date_text(one.date)}: {belief_text(one, unit)}.")
    if chart.sets:
        kinds = [(sum(one.kind == kind for one in chart.sets), words) for kind, words in COUNTED_WORDS.items()]
        said.append(f"{counted(len(chart.sets), 'set')}: {', '.join(f'{n} {words}' for n, words in kinds if n)}.")
    if chart.forecast:
        last = max(chart.forecast, key=lambda one: one.date)
        said.append(f"Forecast for {date_text(last.date)}: {belief_text(last, unit)}.")
    if not chart.band and not chart.sets:
        said.append("Nothing logged yet.")
    if chart.target_kg is not None:
        said.append(f"Target {target_text(chart.target_kg, unit)}.")
    return " ".join(said)


def target_text(kg: float, unit: Unit) -> str:
    """A target as said: the plates of a kilogram bar exactly, pounds to a tenth."""
    return mass_text(kg) if unit == "kg" else f"{short(to_lb(kg), 1)} lb"


def belief_text(one: BandPoint, unit: Unit) -> str:
    """A belief in words: the range 8 times in 10, and its middle."""
    middle = short(one.p50 if unit == "kg" else to_lb(one.p50), 0)
    return f"8 times in 10 between {range_text(one.p10, one.p90, unit)}, middle {middle} {unit}"


def drawn_range(chart: LiftChart) -> tuple[float, float]:
    """Lowest and highest mass of the picture, kg: belief, forecast and target, and the sets that lie near them."""
    held = [value for one in (*chart.band, *chart.forecast) for value in (one.p10, one.p90)]
    if not held:
        held = [one.one_rm_kg for one in chart.sets if one.kind != "doubtful"] or [one.one_rm_kg for one in chart.sets]
    if chart.target_kg is not None:
        held.append(chart.target_kg)
    low, high = min(held), max(held)
    room = max(high - low, 0.12 * abs(low + high) / 2, 4.0)
    near = [one.one_rm_kg for one in chart.sets if low - room <= one.one_rm_kg <= high + room]
    low, high = min([low, *near]), max([high, *near])
    # Room above and below, so that no mark sits on an edge and a test single has room for its number.
    pad = max(0.08 * (high - low), 0.02 * abs(low + high) / 2, 1.0)
    return low - pad, high + pad


def outside_text(outside: Sequence[SetPoint], unit: Unit) -> str:
    """The sets that are not drawn, in words; empty where all are."""
    if not outside:
        return ""
    values = [one.one_rm_kg for one in outside]
    said = dict.fromkeys(range_text(value, value, unit).split(" and ")[1] for value in (min(values), max(values)))
    return f"Too far off to draw: {counted(len(outside), 'set')} ({' to '.join(said)})."


def date_channel(days: Sequence[date]) -> dict[str, Any]:
    """The axis of dates: in UTC, so that the picture does not depend on where it is drawn."""
    first, last = min(days), max(days)
    span = (last - first).days
    pad = max(1, round(0.04 * span)) if span else 3
    ticks, monthly = date_ticks(first, last)
    years = str(first.year) if first.year == last.year else f"{first.year} to {last.year}"
    return {
        "scale": {
            "type": "utc",
            "domain": [milliseconds(first - timedelta(pad)), milliseconds(last + timedelta(pad))],
            "nice": False,
        },
        "axis": {
            "title": "month" if monthly else f"date, {years}",
            "values": [milliseconds(one) for one in ticks],
            "format": "%b %Y" if monthly else "%-d %b",
            "grid": False,
            "labelOverlap": "greedy",
            "labelFlush": False,
        },
    }


def date_ticks(first: date, last: date) -> tuple[list[date], bool]:
    """At most seven dates to label: days, Mondays, or firsts of months (then true)."""
    for step in (1, 2):
        if (last - first).days // step < 7:
            return [first + timedelta(n) for n in range(0, (last - first).days + 1, step)], False
    monday = first + timedelta(-first.weekday() % 7)
    for step in (7, 14, 28):
        if (last - monday).days // step < 7:
            return [monday + timedelta(n) for n in range(0, (last - monday).days + 1, step)], False
    months = [
        date(n // 12, n % 12 + 1, 1)
        for n in range(first.year * 12 + first.month - (first.day == 1), last.year * 12 + last.month)
    ]
    step = next(one for one in (1, 2, 3, 6, 12, 24, 60, 120, 600, 12_000) if len(months) / one <= 5)
    return [one for one in months if (one.year * 12 + one.month - 1) % step == 0] or months[:1], True


def mass_channel(low: float, high: float, unit: Unit) -> dict[str, Any]:
    """The axis of masses: it does not start at nought, its words stand above it."""
    return {
        "scale": {"domain": [in_chart(low, unit), in_chart(high, unit)], "zero": False, "nice": True},
        "axis": {
            "title": f"one-repetition maximum, {unit}",
            "titleAngle": 0,
            "titleAlign": "left",
            "titleAnchor": "end",
            "titleX": LEGEND_X,
            "titleY": -10,
            "tickCount": 5,
            "ticks": False,
            "domain": False,
            "labelPadding": 4,
        },
    }


def rows_of(points: Sequence[BandPoint], unit: Unit) -> list[dict[str, Any]]:
    """Points of a band as rows of data."""
    return [
        {
            "date": one.date.isoformat(),
            "low": in_chart(one.p10, unit),
            "middle": in_chart(one.p50, unit),
            "high": in_chart(one.p90, unit),
        }
        for one in points
    ]


def layer(rows: list[dict[str, Any]], mark: dict[str, Any], y: str, y2: str = "") -> dict[str, Any]:
    """Rows drawn as one mark over the dates."""
    encoding: dict[str, Any] = {
        "x": {"field": "date", "type": "temporal"},
        "y": {"field": y, "type": "quantitative"},
    }
    if y2:
        encoding["y2"] = {"field": y2}
    return {"data": {"values": rows}, "mark": mark, "encoding": encoding}


def band_layers(band: Sequence[BandPoint], unit: Unit) -> list[dict[str, Any]]:
    """The belief up to now: a band with its middle; a single day is an upright bar, as a band of no width is none."""
    if not band:
        return []
    rows = rows_of(band, unit)
    if len(band) == 1:
        return [
            layer(rows, {"type": "rule", "color": BLUE, "opacity": BAND_OPACITY, "strokeWidth": 16}, "low", "high"),
            layer(
                rows,
                {"type": "tick", "orient": "horizontal", "color": BLUE, "thickness": 2.5, "size": 16, "opacity": 1},
                "middle",
            ),
        ]
    return [
        layer(rows, {"type": "area", "color": BLUE, "opacity": BAND_OPACITY, "line": False}, "low", "high"),
        layer(rows, {"type": "line", "color": BLUE, "strokeWidth": 2.5}, "middle"),
    ]


def forecast_layers(forecast: Sequence[BandPoint], band: Sequence[BandPoint], unit: Unit) -> list[dict[str, Any]]:
    """The forecast: lighter, with dashed lines, joined to the last belief."""
    if not forecast:
        return []
    joint = list(band[-1:]) if band and band[-1].date < forecast[0].date else []
    rows = rows_of([*joint, *forecast], unit)
    edge = {"type": "line", "color": BLUE, "strokeWidth": 1, "strokeDash": [2, 3]}
    return [
        layer(rows, {"type": "area", "color": BLUE, "opacity": FORECAST_OPACITY, "line": False}, "low", "high"),
        layer(rows, edge, "low"),
        layer(rows, edge, "high"),
        layer(rows, {"type": "line", "color": BLUE, "strokeWidth": 2, "strokeDash": [6, 4]}, "middle"),
    ]


def target_layers(chart: LiftChart) -> list[dict[str, Any]]:
    """The target: a line across, with its words on it at the left, where a lift that grows leaves room."""
    if chart.target_kg is None:
        return []
    y = {"datum": in_chart(chart.target_kg, chart.unit), "type": "quantitative"}
    return [
        {
            "data": {"values": [{}]},
            "mark": {"type": "rule", "color": INK, "strokeWidth": 1.2, "strokeDash": [8, 3, 2, 3]},
            "encoding": {"x": {"value": 0}, "x2": {"value": WIDTH}, "y": y},
        },
        {
            "data": {"values": [{}]},
            "mark": {
                "type": "text",
                "text": f"target {target_text(chart.target_kg, chart.unit)}",
                "align": "left",
                "baseline": "bottom",
                "dx": 3,
                "dy": -3,
                "fontSize": 11,
                "color": INK,
            },
            "encoding": {"x": {"value": 0}, "y": y},
        },
    ]


def set_layers(sets: Sequence[SetPoint], unit: Unit, low: float, high: float) -> list[dict[str, Any]]:
    """The logged sets by kind, the telling ones last and so on top; those outside low to high, kg, stay undrawn."""
    layers = []
    many = len(sets) > 150  # small marks, or they hide the band
    for kind, (shape, size, filled) in MARKS.items():
        chosen = [one for one in sets if one.kind == kind]
        if not chosen:
            continue
        rows = [
            {
                "date": one.date.isoformat(),
                "kind": one.kind,
                "set": printable(one.label),
                "suggests": in_chart(one.one_rm_kg, unit),
                "drawn": low <= one.one_rm_kg <= high,
            }
            for one in chosen
        ]
        mark = {
            "type": "point",
            "shape": shape,
            "size": size * 0.5 if many and kind != "test" else size,
            "filled": filled,
            "color": INK,
            "opacity": 0.6 if kind in ("called", "at least") else 1.0,
            "strokeWidth": 1.3,
        }
        # Left out, not clipped: a clipping path needs an id, and ids of several pictures in one page would clash.
        layers.append({**layer(rows, mark, "suggests"), "transform": [{"filter": {"field": "drawn", "equal": True}}]})
    return layers


def test_layers(sets: Sequence[SetPoint], unit: Unit, days: Sequence[date]) -> list[dict[str, Any]]:
    """A line from each test single down to its number at the foot of the plot, where no other mark hides it.

    Of singles whose numbers would touch, the heaviest is told.
    """
    day_px = WIDTH / max(1, (max(days) - min(days)).days)
    told: list[SetPoint] = []
    for one in sorted((one for one in sets if one.kind == "test"), key=lambda one: -one.one_rm_kg):
        if all(abs((one.date - other.date).days) * day_px > 34 for other in told):
            told.append(one)
    if not told:
        return []
    rows = [
        {
            "date": one.date.isoformat(),
            "suggests": in_chart(one.one_rm_kg, unit),
            "number": short(in_chart(one.one_rm_kg, unit), 1),
        }
        for one in told
    ]
    lines = layer(rows, {"type": "rule", "color": INK, "strokeWidth": 1, "opacity": 0.6}, "suggests")
    lines["encoding"]["y2"] = {"value": HEIGHT - 17}
    text = {"type": "text", "baseline": "bottom", "dy": -3, "fontSize": 11, "fontWeight": "bold", "color": INK}
    numbers = layer(rows, text, "suggests")
    numbers["encoding"].update({"y": {"value": HEIGHT}, "text": {"field": "number"}})
    return [lines, numbers]


def legend_rows(chart: LiftChart) -> list[tuple[str, str]]:
    """What the picture shows, each with its words: series by name, sets by kind."""
    rows = []
    if chart.band:
        rows += [("band", "8 times in 10 it is in here"), ("middle", "middle of that range")]
    if chart.forecast:
        rows.append(("forecast", "forecast and its range"))
    kinds = {one.kind for one in chart.sets}
    return rows + [(kind, said) for kind, said in KIND_WORDS.items() if kind in kinds]


def legend_layers(rows: Sequence[tuple[str, str]], note: str) -> list[dict[str, Any]]:
    """The words below the picture, in two columns, each behind its mark as drawn above."""
    layers = []
    top = HEIGHT + 52
    for number, (key, said) in enumerate(rows):
        x, y = LEGEND_X + LEGEND_COLUMN * (number % 2), top + LEGEND_ROW * (number // 2)
        if key == "band":
            layers.append(at({"type": "rect", "color": BLUE, "opacity": BAND_OPACITY}, x, y - 5, x + 16, y + 5))
        elif key == "middle":
            layers.append(at({"type": "rule", "color": BLUE, "strokeWidth": 2.5}, x, y, x + 16))
        elif key == "forecast":
            layers.append(at({"type": "rect", "color": BLUE, "opacity": FORECAST_OPACITY}, x, y - 5, x + 16, y + 5))
            layers.append(at({"type": "rule", "color": BLUE, "strokeWidth": 2, "strokeDash": [6, 4]}, x, y, x + 16))
        else:
            shape, size, filled = next(mark for kind, mark in MARKS.items() if kind == key)
            mark = {"type": "point", "shape": shape, "size": min(size, 90), "filled": filled, "color": INK}
            layers.append(at({**mark, "opacity": 1.0, "strokeWidth": 1.3}, x + 8, y))
        layers.append(words_at(said, x + 22, y))
    if note:
        layers.append(words_at(note, LEGEND_X, top + LEGEND_ROW * ((len(rows) + 1) // 2)))
    return layers


def at(mark: dict[str, Any], x: float, y: float, x2: float | None = None, y2: float | None = None) -> dict[str, Any]:
    """A mark at a place of the picture, px from the upper left corner of the plot."""
    places = {"x": x, "y": y, "x2": x2, "y2": y2}
    return {
        "data": {"values": [{}]},
        "mark": mark,
        "encoding": {key: {"value": value} for key, value in places.items() if value is not None},
    }


def words_at(text: str, x: float, y: float) -> dict[str, Any]:
    """Words at a place of the picture, px."""
    return at({"type": "text", "text": text, "align": "left", "baseline": "middle", "fontSize": 11, "color": INK}, x, y)


def nothing_layer(chart: LiftChart) -> dict[str, Any]:
    """The words of a picture without any data."""
    target = "" if chart.target_kg is None else f" Target {target_text(chart.target_kg, chart.unit)}."
    return words_at(f"Nothing logged yet.{target}", 0, HEIGHT // 4)


@cache
def font_folder() -> str:
    """The folder of the packaged fonts, where the renderers look for them."""
    return str(resources.files("setwright.publish").joinpath("fonts"))


@cache
def _renderer() -> Any:
    import vl_convert

    # Widths of words are measured with the packaged font, so that the bytes do not depend on the machine's fonts.
    vl_convert.register_font_directory(font_folder())
    return vl_convert


def chart_svg(spec: dict[str, Any]) -> str:
    """A picture as SVG: the same bytes for the same value, no request to anywhere, its words as the label.

    It has its own size and shrinks with a narrow page.
    """
    return _svg(json.dumps(spec))


@lru_cache(maxsize=128)
def _svg(text: str) -> str:
    """The SVG of a picture written as JSON; a page and its sheet ask for the same one."""
    spec = json.loads(text)
    drawn: str = _renderer().vegalite_to_svg(spec, vl_version=VEGA_LITE, allowed_base_urls=[])
    label = escape(str(spec.get("description", "")))
    return re.sub(
        r"^<svg ",
        lambda _: f'<svg role="img" aria-label="{label}" style="max-width:100%;height:auto" ',
        drawn,
        count=1,
    )
