"""The picture of a season: weeks to come as a strip, events above it, and below it when each goal is likely.

One Vega-Lite value for phone, screen and paper, drawn as ``strength_chart`` draws. A forecast is a bar from its early
to its late day (8 times in 10 inside) with its middle; a goal whose forecast nobody should see has only its own day.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from setwright.publish.strength_chart import (
    BLUE,
    INK,
    WIDTH,
    at,
    date_ticks,
    milliseconds,
    printable,
    short_date,
    words_at,
)

LEFT = -32  # where words begin: the room that the axis of other pictures takes
FULL = WIDTH - LEFT  # px across
STRIP, LANE, ROW, LETTER = 18, 31, 14, 5.9
MOST_LETTERS = 34  # of an event's name
OPACITY = {"build": 0.45, "test": 0.45, "easy": 0.2, "taper": 0.2, "way back": 0.3, "break": 0.0}
KIND_WORDS = {
    "build": "building week",
    "easy": "easier week",
    "taper": "fewer sets before a date",
    "way back": "way back after a break",
    "break": "no training",
    "test": "test week",
}


@dataclass(frozen=True)
class ChartWeek:
    """One week from its Monday, its kind (a key of ``KIND_WORDS``), whether a block for it is planned or done."""

    start: date
    kind: str
    is_planned: bool


@dataclass(frozen=True)
class ChartGoal:
    """One goal: its words, its own day, and when it is likely (10, 50, 90 %); None each beyond what is forecast."""

    words: str
    by: date | None = None
    likely: tuple[date | None, date | None, date | None] | None = None


@dataclass(frozen=True)
class SeasonChart:
    """What the picture shows, from ``first`` to ``last``; ``today`` is a line through it."""

    name: str
    first: date
    last: date
    today: date
    weeks: tuple[ChartWeek, ...]
    events: tuple[tuple[str, date], ...]
    goals: tuple[ChartGoal, ...]


def season_spec(chart: SeasonChart) -> dict[str, Any]:
    """The picture as a Vega-Lite value, with its key figures in words."""
    rows = event_rows(chart)
    top = ROW * (1 + max(rows.values(), default=-1)) + 6
    height = top + STRIP + 10 + LANE * len(chart.goals)
    ticks, _ = date_ticks(chart.first, chart.last)
    layers = [
        axis_layer(chart, height, ticks),
        *week_layers(chart, top),
        *today_layers(chart, top),
        *event_layers(chart, rows, top),
        *goal_layers(chart, top + STRIP + 10),
        *legend_layers(chart, height + 36),
    ]
    return {
        "$schema": "https://vega.github.io/schema/vega-lite/v5.json",
        "description": description(chart),
        "width": FULL,
        "height": height,
        "background": None,
        "padding": 4,
        "layer": layers,
        "config": {
            "font": "Open Sans, system-ui, sans-serif",
            "aria": False,
            "view": {"stroke": None},
            "axis": {"labelColor": INK, "tickColor": INK, "domainColor": INK, "labelFontSize": 11, "titleColor": INK},
        },
    }


def description(chart: SeasonChart) -> str:
    """The picture in words."""
    said = [f"{printable(chart.name)}: {short_date(chart.first)} to {short_date(chart.last)}."]
    said += [f"{printable(name)} on {short_date(day)}." for name, day in chart.events]
    for one in chart.goals:
        wanted = f", wanted by {short_date(one.by)}" if one.by else ""
        said.append(f"{printable(one.words)}{wanted}{likely_words(one)}.")
    return " ".join(said)


def likely_words(one: ChartGoal) -> str:
    """When a goal is likely, after its name; empty where nothing is forecast."""
    if one.likely is None or one.likely[0] is None:
        return ""
    late = short_date(one.likely[2]) if one.likely[2] else "later than is forecast"
    return f", 8 times in 10 there between {short_date(one.likely[0])} and {late}"


def px(chart: SeasonChart, day: date) -> float:
    """Where a day stands, px from the left edge; days outside stand at the edge."""
    share = (day - chart.first).days / max(1, (chart.last - chart.first).days)
    return round(FULL * min(1.0, max(0.0, share)), 2)


def axis_layer(chart: SeasonChart, height: float, ticks: Sequence[date]) -> dict[str, Any]:
    """The months below the picture, in UTC, and no other axis."""
    ends = [milliseconds(chart.first), milliseconds(chart.last)]
    return {
        "data": {"values": [{"day": ends[0]}]},
        "mark": {"type": "point", "opacity": 0},
        "encoding": {
            "x": {
                "field": "day",
                "type": "temporal",
                "scale": {"type": "utc", "domain": ends, "nice": False},
                "axis": {
                    "title": None,
                    "values": [milliseconds(one) for one in ticks],
                    "format": "%b %Y",
                    "grid": True,
                    "gridColor": INK,
                    "gridOpacity": 0.14,
                    "labelOverlap": "greedy",
                    "labelFlush": True,
                },
            },
            "y": {"value": height},
        },
    }


def box(x: float, y: float, x2: float, y2: float, **mark: Any) -> dict[str, Any]:
    """A rectangle, px."""
    return at({"type": "rect", **mark}, x, y, x2, y2)


def week_layers(chart: SeasonChart, top: float) -> list[dict[str, Any]]:
    """The strip of weeks, alike ones in a row as one box; what is planned already stands on a line."""
    layers: list[dict[str, Any]] = []
    groups: list[list[ChartWeek]] = []
    for one in chart.weeks:
        last = groups[-1][-1] if groups else None
        same = last is not None and (last.kind, last.is_planned) == (one.kind, one.is_planned)
        if last is None or not same or (one.start - last.start).days != 7:
            groups.append([])
        groups[-1].append(one)
    for group in groups:
        left, right = px(chart, group[0].start), px(chart, group[-1].start + timedelta(days=7))
        if right <= left:
            continue
        opacity, kind = OPACITY[group[0].kind], group[0].kind
        if opacity:
            layers.append(box(left, top, right, top + STRIP, color=BLUE, opacity=opacity))
        else:
            dashed = {"fill": None, "stroke": INK, "strokeDash": [2, 2], "strokeWidth": 0.8}
            layers.append(box(left, top, right, top + STRIP, **dashed))
        if kind == "taper":
            layers.append(box(left, top + STRIP / 2, right, top + STRIP, color=BLUE, opacity=0.45))
        if kind == "test":
            layers.append(box(left, top, right, top + STRIP, fill=None, stroke=INK, strokeWidth=1))
        if group[0].is_planned:
            layers.append(box(left, top + STRIP + 2, right, top + STRIP + 4, color=INK, opacity=0.8))
    return layers


def event_rows(chart: SeasonChart) -> dict[int, int]:
    """The row of words of each event by its number, so that no two touch; the lowest row is 0."""
    ends: list[float] = []
    rows = {}
    for number, (name, day) in enumerate(chart.events):
        left, right = label_span(chart, name, day)
        row = next((row for row, end in enumerate(ends) if left > end + 4), len(ends))
        if row == len(ends):
            ends.append(right)
        ends[row] = right
        rows[number] = row
    return rows


def label_span(chart: SeasonChart, name: str, day: date) -> tuple[float, float]:
    """From where to where the words of an event reach, px: right of its day, or left where there is no room."""
    middle, wide = px(chart, day), LETTER * min(len(name), MOST_LETTERS) + 10
    return (middle, middle + wide) if middle + wide <= FULL else (max(0.0, middle - wide), middle)


def cut(text: str, most: int) -> str:
    """A text on one line, cut where it is too long, with dots for what is missing."""
    whole = printable(text)
    return whole if len(whole) <= most else f"{whole[: most - 3].rstrip()}..."


def event_layers(chart: SeasonChart, rows: dict[int, int], top: float) -> list[dict[str, Any]]:
    """A line and its words for each event, above the strip."""
    layers: list[dict[str, Any]] = []
    for number, (name, day) in enumerate(chart.events):
        x, y = px(chart, day), top - 6 - ROW * rows[number] - ROW / 2
        right = label_span(chart, name, day)[0] >= x
        layers.append(at({"type": "rule", "color": INK, "strokeWidth": 1}, x, y - 5, x, top + STRIP))
        text = {"type": "text", "text": cut(name, MOST_LETTERS), "baseline": "middle", "fontSize": 11, "color": INK}
        layers.append(at({**text, "align": "left" if right else "right"}, x + (4 if right else -4), y))
    return layers


def today_layers(chart: SeasonChart, top: float) -> list[dict[str, Any]]:
    """A dashed line at today through the strip and each lane's bar, beside the words."""
    if not chart.first <= chart.today <= chart.last:
        return []
    x, lanes = px(chart, chart.today), top + STRIP + 10
    spans = [(top - 3, top + STRIP + 7)]
    spans += [(lanes + LANE * number + 14, lanes + LANE * number + 30) for number in range(len(chart.goals))]
    dashed = {"type": "rule", "color": INK, "strokeWidth": 1, "strokeDash": [3, 2]}
    return [at(dashed, x, y, x, y2) for y, y2 in spans]


def goal_layers(chart: SeasonChart, top: float) -> list[dict[str, Any]]:
    """A lane for each goal: its words, and below them its bar and its day."""
    layers: list[dict[str, Any]] = []
    for number, one in enumerate(chart.goals):
        y = top + LANE * number
        layers.append(words_at(cut(one.words, 56), 0, y + 7))
        middle = y + 22
        line = {"type": "rule", "color": INK, "strokeWidth": 0.5, "opacity": 0.35}
        layers.append(at(line, 0, middle, FULL, middle))
        if one.likely is not None and one.likely[0] is not None and one.likely[0] <= chart.last:
            layers += bar_layers(chart, one.likely, middle)
        if one.by is not None and chart.first <= one.by <= chart.last:
            mark = {"type": "point", "shape": "diamond", "size": 90, "filled": False, "color": INK, "strokeWidth": 1.6}
            layers.append(at({**mark, "opacity": 1.0}, px(chart, one.by), middle))
    return layers


def bar_layers(
    chart: SeasonChart, likely: tuple[date | None, date | None, date | None], middle: float
) -> list[dict[str, Any]]:
    """The bar of a forecast; where its late day lies past the picture it runs to the edge with a point."""
    early, half, late = likely
    assert early is not None
    left = px(chart, early)
    is_cut = late is None or late > chart.last
    right = FULL if is_cut else px(chart, late or chart.last)
    layers = [box(min(left, right - 3), middle - 4, right, middle + 4, color=BLUE, opacity=0.35)]
    if half is not None and half <= chart.last:
        x = px(chart, half)
        layers.append(at({"type": "rule", "color": BLUE, "strokeWidth": 3}, x, middle - 6, x, middle + 6))
    if is_cut:
        mark = {"type": "point", "shape": "triangle-right", "size": 60, "filled": True, "color": BLUE, "opacity": 1}
        layers.append(at(mark, FULL - 3, middle))
    return layers


def legend_layers(chart: SeasonChart, top: float) -> list[dict[str, Any]]:
    """What the boxes and marks mean, two columns, only what is drawn."""
    kinds = [kind for kind in KIND_WORDS if any(one.kind == kind for one in chart.weeks)]
    rows = [(kind, KIND_WORDS[kind]) for kind in kinds]
    if any(one.is_planned for one in chart.weeks):
        rows.append(("planned", "block planned or done"))
    if any(one.likely is not None and one.likely[0] is not None for one in chart.goals):
        rows.append(("likely", "likely there, 8 times in 10"))
    if any(one.by is not None for one in chart.goals):
        rows.append(("by", "day wanted"))
    rows.append(("today", f"today, {short_date(chart.today)}"))
    layers: list[dict[str, Any]] = []
    for number, (kind, words) in enumerate(rows):
        x, y = (number % 2) * 170.0, top + 17 * (number // 2)
        layers += [*sample(kind, x, y), words_at(words, x + 24, y)]
    return layers


def sample(kind: str, x: float, y: float) -> list[dict[str, Any]]:
    """A small picture of one kind of mark."""
    if kind == "today":
        dashed = {"type": "rule", "color": INK, "strokeWidth": 1, "strokeDash": [3, 2]}
        return [at(dashed, x + 9, y - 7, x + 9, y + 7)]
    if kind == "by":
        mark = {"type": "point", "shape": "diamond", "size": 90, "filled": False, "color": INK, "strokeWidth": 1.6}
        return [at({**mark, "opacity": 1.0}, x + 9, y)]
    if kind == "likely":
        bar = box(x, y - 4, x + 18, y + 4, color=BLUE, opacity=0.35)
        return [bar, at({"type": "rule", "color": BLUE, "strokeWidth": 3}, x + 9, y - 6, x + 9, y + 6)]
    if kind == "planned":
        return [box(x, y - 1, x + 18, y + 1, color=INK, opacity=0.8)]
    if kind == "break":
        return [box(x, y - 6, x + 18, y + 6, fill=None, stroke=INK, strokeDash=[2, 2], strokeWidth=0.8)]
    found = [box(x, y - 6, x + 18, y + 6, color=BLUE, opacity=OPACITY[kind])]
    if kind == "taper":
        found.append(box(x, y, x + 18, y + 6, color=BLUE, opacity=0.45))
    if kind == "test":
        found.append(box(x, y - 6, x + 18, y + 6, fill=None, stroke=INK, strokeWidth=1))
    return found
