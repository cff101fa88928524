"""The pictures of a review: strength, counted sets, load, the way up, range, pain, mornings, slow and fast part.

Each function gives pictures only for what there is: no data, no picture.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from math import sqrt
from typing import Any

from setwright.body.range_of_motion import MeasuringError, Occasion, RangeTest, by_test, changed, measuring_error
from setwright.catalogue.store import Catalogue
from setwright.people.trainee import DAYS, RangeMeasure
from setwright.publish import range_words
from setwright.publish.picture import Picture, Table, drawing, framed
from setwright.publish.strength_chart import (
    BAND_OPACITY,
    BLUE,
    INK,
    LEGEND_X,
    WIDTH,
    LiftChart,
    at,
    chart_spec,
    date_channel,
    printable,
    words_at,
)
from setwright.publish.strength_report import number_rows, printed_numbers, set_rows
from setwright.publish.units import short
from setwright.publish.words import MONTHS, counted, name_of
from setwright.review.climb_days import ClimbSoFar
from setwright.review.load_monitoring import MONOTONY_SD, DayLoad, WeekLoad
from setwright.review.pain import RegionPain
from setwright.review.set_targets import GroupWeek
from setwright.review.slow_and_fast import PartDay, SlowAndFast
from setwright.review.wellness import CLEARLY, WellnessDay
from setwright.strength.compound import Z10

LOW_PLOT = 110  # px: the height of a plot that stands below others
PRINTED_DAYS, PRINTED_WEEKS = 7, 4  # as many as fit below a printed picture
MOST_IN_A_ROW = 8  # sums of weeks that stand side by side
LABELS = 84  # px: where the bars of the groups begin
ROW, BAR = 26, 21  # px of a group, and of its tallest bar
FAINT = 0.14
Row = dict[str, Any]


def day_words(day: date) -> str:
    """``7 Sep``: the year stands in the title of the page."""
    return f"{day.day} {MONTHS[day.month - 1][:3]}"


def layer(rows: Sequence[Row], mark: Row, **fields: str) -> Row:
    """Rows as one mark; ``fields``: the field that each channel reads, dates for x and numbers for the rest."""
    encoding: Row = {}
    for channel, name in fields.items():
        kind = {} if channel.endswith("2") else {"type": "temporal" if channel == "x" else "quantitative"}
        encoding[channel] = {"field": name, **kind}
    return {"data": {"values": list(rows)}, "mark": mark, "encoding": encoding}


def value_channel(title: str, low: float, high: float, ticks: Sequence[float] | None = None) -> Row:
    """An upright axis whose words stand above it."""
    # Without a count of ticks Vega thins out the values named: one in 40 px.
    axis: Row = {
        "title": title,
        "titleAngle": 0,
        "titleAlign": "left",
        "titleAnchor": "end",
        "titleX": LEGEND_X,
        "titleY": -10,
        "ticks": False,
        "domain": False,
        "labelPadding": 4,
        **({"tickCount": 4} if ticks is None else {"values": list(ticks), "tickCount": len(ticks), "format": "d"}),
    }
    return {"scale": {"domain": [low, high], "zero": False, "nice": ticks is None}, "axis": axis}


def on_dates(layers: list[Row], days: Iterable[date], value: Row) -> list[Row]:
    """The layers with the look of their axes, which all share; said at the first that has both."""
    axes = next(one["encoding"] for one in layers if "field" in one["encoding"].get("x", {}))
    axes["x"].update(date_channel(list(days)))
    axes["y"].update(value)
    return layers


def dots(shape: str = "circle", size: int = 48, filled: bool = True) -> Row:
    """A mark for one reading."""
    return {
        "type": "point",
        "shape": shape,
        "size": size,
        "filled": filled,
        "color": INK,
        "opacity": 1,
        "strokeWidth": 1.4,
    }


def across(value: float, dash: Sequence[int], words: str = "") -> list[Row]:
    """A line across the plot at a value, with its words on it at the left."""
    y = {"datum": value, "type": "quantitative"}
    rule = {"type": "rule", "color": INK, "strokeWidth": 1.2, "strokeDash": list(dash)}
    made = [{"data": {"values": [{}]}, "mark": rule, "encoding": {"x": {"value": 0}, "x2": {"value": WIDTH}, "y": y}}]
    if words:
        text = {"type": "text", "text": words, "align": "left", "baseline": "bottom", "dx": 3, "dy": -3, "fontSize": 11}
        made.append({"data": {"values": [{}]}, "mark": {**text, "color": INK}, "encoding": {"x": {"value": 0}, "y": y}})
    return made


def strip(low: float, high: float) -> Row:
    """A band across the plot between two values."""
    return {
        "data": {"values": [{}]},
        "mark": {"type": "rect", "color": BLUE, "opacity": 0.16},
        "encoding": {
            "x": {"value": 0},
            "x2": {"value": WIDTH},
            "y": {"datum": low, "type": "quantitative"},
            "y2": {"datum": high},
        },
    }


def strength_picture(slug: str, chart: LiftChart) -> Picture:
    """The belief about one lift, as the report on strength draws it."""
    unit = chart.unit
    bands = Table(("Date", f"Low, {unit}", "Middle", "High"), tuple(number_rows(chart)))
    sets = Table(("Date", "Set", f"Suggests, {unit}", "Kind"), tuple(set_rows(chart)), "Sets of the picture")
    told = printed_numbers(chart)
    rows = tuple(tuple(told[key]) for key in ("high", "middle", "low")) if told else ()
    printed = Table(tuple(told.get("head", ())), rows)
    caption = "8 times in 10 the one-repetition maximum lies between low and high."
    return Picture(
        f"strength-{slug}", f"How strong: {printable(chart.name)}", caption, chart_spec(chart), (bands, sets), printed
    )


def sets_picture(rows: Sequence[GroupWeek], asks: str = "the brief asks") -> list[Picture]:
    """Counted sets by group and week against the band asked for; ``asks``: who asks it, with its verb."""
    if not any(one.done > 0 for one in rows):
        return []
    weeks = sorted({one.week for one in rows})
    groups = list(dict.fromkeys(one.group for one in rows))
    most = max(max(one.done, one.high) for one in rows)
    step = (WIDTH - LABELS) / len(weeks)

    def placed(one: GroupWeek) -> Row:
        left, foot = LABELS + step * weeks.index(one.week), ROW * (groups.index(one.group) + 1)
        return {
            "group": one.group,
            "week": one.week,
            "low": round(one.low, 1),
            "high": round(one.high, 1),
            "planned": round(one.planned, 1),
            "done": round(one.done, 1),
            "over": one.is_over,
            "left": round(left, 2),
            "right": round(left + step, 2),
            "bar_left": round(left + 0.25 * step, 2),
            "bar_right": round(left + 0.75 * step, 2),
            "foot": foot,
            **{
                f"{key}_y": round(foot - BAR * value / most, 2)
                for key, value in (("low", one.low), ("high", one.high), ("done", one.done))
            },
        }

    data = [placed(one) for one in rows]
    asked = [one for one in data if one["high"] > 0]

    def marks(values: Sequence[Row], mark: Row, **fields: str) -> Row:
        encoding: Row = {}
        for channel, name in fields.items():
            plain = {} if channel.endswith("2") else {"type": "quantitative", "scale": None, "axis": None}
            encoding[channel] = {"field": name, **plain}
        return {"data": {"values": list(values)}, "mark": mark, "encoding": encoding}

    bar = {"type": "rect", "color": BLUE}
    layers = [
        marks(asked, {"type": "rect", "color": INK, "opacity": FAINT}, x="left", x2="right", y="low_y", y2="high_y"),
        marks(
            [one for one in data if one["over"]],
            {**bar, "opacity": 0.85},
            x="bar_left",
            x2="bar_right",
            y="done_y",
            y2="foot",
        ),
        marks(
            [one for one in data if not one["over"]],
            {**bar, "opacity": 0.4},
            x="bar_left",
            x2="bar_right",
            y="done_y",
            y2="foot",
        ),
        marks(asked, {"type": "rule", "color": INK, "strokeWidth": 1.2}, x="left", x2="right", y="high_y"),
        *(
            at({"type": "rule", "color": INK, "opacity": 0.3}, LABELS, ROW * n, WIDTH)
            for n in range(1, len(groups) + 1)
        ),
        *(words_at(name, LEGEND_X, ROW * n - 7) for n, name in enumerate(groups, start=1)),
        *(words_at(str(week), LABELS + step * (n + 0.5) - 3, -6) for n, week in enumerate(weeks)),
        words_at("week", LEGEND_X, -6),
    ]
    told = [(name, *(set_words(one) for one in rows if one.group == name)) for name in groups]
    head = ("Group", *(f"Week {week}" for week in weeks))
    table = Table(head, tuple(told), "Counted sets done (asked)")
    printed = Table(last_of(head), tuple(last_of(row) for row in told))
    newest = [one for one in rows if one.week == max(one.week for one in rows if one.is_over or one.week == weeks[0])]
    short_of = [f"{one.group} {short(one.done, 1)} of {short(one.high, 1)}" for one in newest if one.done < one.low]
    week = newest[0].week
    ends = (
        f"Under the band in week {week}: {', '.join(short_of)}."
        if short_of
        else f"In week {week} no group is under its band."
    )
    description = f"Counted sets of {counted(len(groups), 'group')} over {counted(len(weeks), 'week')}. {ends}"
    caption = (
        "Bars: counted sets done (a set for a helping group counts half). Shaded: from the least that keeps a group to "
        f"what {asks} of that week (the line); more is fine up to about 20. Pale: the week is not over. "
        f"One scale for all; the tallest is {short(most, 1)}."
    )
    return [
        Picture(
            "sets",
            f"Counted sets against what {asks}",
            caption,
            drawing(description, layers, ROW * len(groups)),
            (table,),
            printed,
        )
    ]


def last_of(row: tuple[str, ...]) -> tuple[str, ...]:
    """A row of the table with its last weeks only, as many as fit on paper."""
    return (row[0], *row[1:][-PRINTED_WEEKS:])


def set_words(one: GroupWeek) -> str:
    """``7.5 (4 to 8)``: done, and the band asked for."""
    if one.high <= 0:
        return f"{short(one.done, 1)} (none)"
    low, high = short(one.low, 1), short(one.high, 1)
    return f"{short(one.done, 1)} ({high if low in ('0', high) else f'{low} to {high}'})"


def load_picture(loads: Sequence[WeekLoad], numbers: Sequence[int]) -> list[Picture]:
    """Load of every day, and of every week; ``numbers``: the weeks of the block."""
    days = [day for week in loads for day in week.days]
    if not any(one.load_au > 0 for one in days):
        return []
    top = max(one.load_au for one in days)
    width = max(2.0, min(10.0, 0.62 * WIDTH / len(days)))
    many = len(loads) > MOST_IN_A_ROW
    bars = [{"date": one.date.isoformat(), "load": round(one.load_au, 1)} for one in days]
    totals = [
        {
            "date": (week.start + timedelta(days=3)).isoformat(),
            "total": round(week.load_au, 1),
            "words": f"{week.load_au:.0f}",
            "at": (1.27 if many and number % 2 else 1.12) * top,  # side by side they would touch
        }
        for number, week in enumerate(loads)
    ]
    unrated = [{"date": one.date.isoformat(), "at": 0.0} for one in days if one.unrated]
    foot = layer(bars, {"type": "rule", "color": BLUE, "strokeWidth": round(width, 1)}, x="date", y="load")
    foot["encoding"]["y2"] = {"datum": 0}
    text: Row = {"type": "text", "fontSize": 10 if many else 11, "color": INK, "baseline": "middle"}
    layers = [foot, layer(totals, {**text, "fontWeight": "bold"}, x="date", y="at")]
    layers[1]["encoding"]["text"] = {"field": "words", "type": "nominal"}
    if unrated:
        layers.append(layer(unrated, {**text, "text": "?", "dy": -8}, x="date", y="at"))
    on_dates(
        layers, [one.date for one in days], value_channel("RPE x minutes, a day", 0, (1.36 if many else 1.2) * top)
    )
    rows = tuple(
        (
            str(number),
            f"{week.load_au:.0f}",
            *(day_load(one) for one in week.days),
            "not defined" if week.monotony is None else f"{week.monotony:.1f}",
        )
        for number, week in zip(numbers, loads, strict=True)
    )
    heads = tuple(str(day).capitalize() for day in DAYS)
    table = Table(("Week", "Sum", *heads, "Monotony"), rows)
    said = ", ".join(f"week {number} {week.load_au:.0f}" for number, week in zip(numbers, loads, strict=True))
    caption = (
        "Load: session RPE x minutes; a rest day counts as 0; the bold number is the sum of the week. Monotony: mean "
        f"over deviation ({MONOTONY_SD}) of the seven days. It says nothing about injury."
        + (" A question mark: a session without RPE or minutes, counted as 0." if unrated else "")
    )
    description = f"Load by day, session RPE times minutes. Sums: {said}."
    return [Picture("load", "Load by week", caption, drawing(description, layers, LOW_PLOT), (table,), table)]


def day_load(one: DayLoad) -> str:
    """The load of a day in the table; a question mark where a session was not rated."""
    return f"{one.load_au:.0f}" + (" ?" if one.unrated else "")


def climb_pictures(climbs: Sequence[ClimbSoFar], catalogue: Catalogue) -> list[Picture]:
    """The step of each progression by date."""
    return [climb_picture(one, catalogue) for one in climbs if one.days]


def climb_picture(climb: ClimbSoFar, catalogue: Catalogue) -> Picture:
    """The way up of one progression."""
    rows = [{"date": one.date.isoformat(), "step": one.place, "met": one.met} for one in climb.days]
    line = layer(
        rows, {"type": "line", "interpolate": "step-after", "color": BLUE, "strokeWidth": 2}, x="date", y="step"
    )
    parts = [
        (dots(), [one for one in rows if one["met"]]),
        (dots(filled=False), [one for one in rows if not one["met"]]),
    ]
    layers = [line, *(layer(some, mark, x="date", y="step") for mark, some in parts if some)]
    top = len(climb.way)
    on_dates(layers, [one.date for one in climb.days], value_channel("step", 0.6, top + 0.4, range(1, top + 1)))
    told = tuple(
        (
            day_words(one.date),
            f"{one.place} of {top}",
            name_of(one.exercise, catalogue),
            "met" if one.met else "not yet",
        )
        for one in climb.days
    )
    head = ("Day", "Step", "Exercise", "Test of the step")
    last = climb.days[-1]
    description = (
        f"{climb.title}: step {last.place} of {top} ({name_of(last.exercise, catalogue)}) on {day_words(last.date)}, "
        f"after {counted(len(climb.days), 'day')} from step {climb.days[0].place} on."
    )
    caption = "The highest step done each day. Filled: the numbers of its test were met that day; open: not yet."
    height = max(80, min(160, 15 * top))
    return Picture(
        f"climb-{climb.slug}",
        f"The climb: {climb.title}",
        caption,
        drawing(description, layers, height),
        (Table(head, told),),
        Table(head, told[-PRINTED_DAYS:]),
    )


def pain_pictures(pains: Sequence[RegionPain]) -> list[Picture]:
    """Pain of each region by day, with the band that holds there."""
    return [pain_picture(one) for one in pains if one.days]


def pain_picture(pain: RegionPain) -> Picture:
    """Pain of one region."""
    sets = [{"date": one.date.isoformat(), "pain": one.in_set} for one in pain.days if one.in_set is not None]
    wakes = [
        {"date": one.date.isoformat(), "pain": one.next_morning} for one in pain.days if one.next_morning is not None
    ]
    limit = pain.limit
    layers: list[Row] = [strip(0, limit.in_set)]
    if sets:
        layers += [
            layer(sets, {"type": "line", "color": INK, "opacity": 0.35}, x="date", y="pain"),
            layer(sets, dots(), x="date", y="pain"),
        ]
    if wakes:
        layers.append(layer(wakes, dots("diamond", 90, filled=False), x="date", y="pain"))
    layers += across(limit.stop, (6, 4), f"from {limit.stop} on the work rests")
    on_dates(layers, [one.date for one in pain.days], value_channel("pain, 0 to 10", 0, 10, (0, 2, 4, 6, 8, 10)))
    told = tuple((day_words(one.date), level(one.in_set), level(one.next_morning)) for one in pain.days)
    head = ("Day", "In the set", "Next morning")
    where = printable(pain.where)
    morning = "" if pain.worst_morning is None else f", at worst {pain.worst_morning} the next morning"
    caption = (
        f"Filled: worst in a set; open: the next morning. Shaded: allowed, up to {limit.in_set} in the set and "
        f"{limit.next_morning} the next morning ({printable(limit.source)}). No diagnosis."
    )
    description = f"Pain, {where}: at worst {pain.worst} of 10 in a set{morning}; {printable(pain.why)}. {caption}"
    slug = (
        "-".join(part for part in "".join(c if c.isascii() and c.isalnum() else " " for c in where.lower()).split())
        or "place"
    )
    return Picture(
        f"pain-{slug[:40]}",
        f"Pain: {where}",
        caption,
        drawing(description, layers, LOW_PLOT),
        (Table(head, told),),
        Table(head, told[-PRINTED_DAYS:]),
    )


def level(pain: int | None) -> str:
    """A pain level in the table."""
    return "-" if pain is None else str(pain)


def wellness_pictures(days: Sequence[WellnessDay]) -> list[Picture]:
    """The mornings against the person's own usual, one picture for each questionnaire."""
    scales = dict.fromkeys(one.scale for one in days)
    return [wellness_picture([one for one in days if one.scale == scale]) for scale in scales]


def wellness_picture(days: Sequence[WellnessDay]) -> Picture:
    """The mornings of one questionnaire."""
    last = days[-1]
    rows: list[Row] = [{"date": one.date.isoformat(), "score": one.score} for one in days]
    known: list[Row] = []
    for row, one in zip(rows, days, strict=True):
        if one.usual is not None:
            around = CLEARLY * spread_of(one)
            row.update(usual=round(one.usual, 2), low=round(one.usual - around, 2), high=round(one.usual + around, 2))
            known.append(row)
    layers: list[Row] = []
    if known:
        layers.append(
            layer(known, {"type": "area", "color": BLUE, "opacity": 0.2, "line": False}, x="date", y="low", y2="high")
        )
        layers.append(layer(known, {"type": "line", "color": BLUE, "strokeWidth": 1.5}, x="date", y="usual"))
    layers.append(layer(rows, dots(size=34), x="date", y="score"))
    ends = [float(row[key]) for row in rows for key in ("score", "low", "high") if key in row]
    pad = max(1.0, 0.08 * (max(ends) - min(ends)))
    way = "high is good" if last.good_is_high else "high is bad"
    axis = value_channel(
        f"sum of the answers, {last.lowest:g} to {last.highest:g} ({way})", min(ends) - pad, max(ends) + pad
    )
    on_dates(layers, [one.date for one in days], axis)
    told = tuple(
        (
            day_words(one.date),
            f"{one.score:g}",
            "not yet" if one.usual is None else f"{one.usual:.1f}",
            "-"
            if one.usual is None
            else f"{one.usual - CLEARLY * spread_of(one):.1f} to {one.usual + CLEARLY * spread_of(one):.1f}",
            "not yet to be told" if one.usual is None else one.against,
        )
        for one in days
    )
    head = ("Morning", "Score", "Own usual", "Usual days", "Against it")
    caption = (
        f"Dots: the morning's answers added up ({way}). Line: this person's own usual; shaded: as usual, "
        f"{CLEARLY:g} spreads to either side."
    )
    description = (
        f"{counted(len(days), 'morning')}, {way}; the last, {day_words(last.date)}: {last.score:g}, {told[-1][4]}."
    )
    return Picture(
        f"mornings-{last.scale}",
        "Mornings against the own usual",
        caption,
        drawing(description, layers, LOW_PLOT),
        (Table(head, told),),
        Table(head, told[-PRINTED_DAYS:]),
    )


def spread_of(one: WellnessDay) -> float:
    """The spread of the own days, at least half a point, as the review reckons."""
    return max(one.spread or 0.0, 0.5)


def range_pictures(measures: Sequence[RangeMeasure]) -> list[Picture]:
    """Each range test by date, every reading with what it is uncertain by."""
    changes = changed(measures)
    made = []
    for slug, (test, sides) in by_test(measures).items():
        error = measuring_error(test, [one for rows in sides.values() for one in rows])
        said = [
            f"{side}: {range_words.change_text(one)}"
            for one in changes
            if one.test.slug == slug
            for side in (one.side,)
        ]
        made.append(range_picture(test, sides, error, " ".join(said)))
    return made


def range_picture(test: RangeTest, sides: dict[str, tuple[Occasion, ...]], error: MeasuringError, said: str) -> Picture:
    """One range test; ``said``: first against last of each side, in words."""
    unit = range_words.unit_word(test)

    def half(one: Occasion) -> float:
        return 0.0 if error.sem is None else Z10 * error.sem / sqrt(one.readings)

    layers: list[Row] = []
    for side, shape in (("both", "circle"), ("left", "circle"), ("right", "square")):
        rows = [
            {
                "date": one.date.isoformat(),
                "value": round(one.value, 2),
                "low": round(one.value - half(one), 2),
                "high": round(one.value + half(one), 2),
            }
            for one in sides.get(side, ())
        ]
        if not rows:
            continue
        color = BLUE if side == "right" else INK
        if error.sem is not None:
            bar = {"type": "rule", "color": color, "strokeWidth": 5 if side == "right" else 2, "opacity": 0.5}
            layers.append(layer(rows, bar, x="date", y="low", y2="high"))
        layers.append(layer(rows, {"type": "line", "color": color, "opacity": 0.5}, x="date", y="value"))
        layers.append(layer(rows, {**dots(shape, filled=side != "right"), "color": color}, x="date", y="value"))
    every = [(side, one) for side in ("both", "left", "right") for one in sides.get(side, ())]
    ends = [value for _, one in every for value in (one.value - half(one), one.value + half(one))]
    pad = max(1.0, 0.08 * (max(ends) - min(ends)))
    on_dates(layers, [one.date for _, one in every], value_channel(unit, min(ends) - pad, max(ends) + pad))
    every.sort(key=lambda pair: (pair[1].date, pair[0]))
    told = tuple(
        (
            day_words(one.date) + f" {one.date.year}",
            "" if side == "both" else side,
            range_words.figure(one.value),
            "not known"
            if error.sem is None
            else f"{range_words.figure(one.value - half(one))} to {range_words.figure(one.value + half(one))}",
        )
        for side, one in every
    )
    head = ("Day", "Side", unit.capitalize(), "8 times in 10")
    two = " Filled: left; open square: right." if {"left", "right"} <= set(sides) else ""
    known = (
        "The bar: 8 times in 10 the true range lies in it"
        if error.sem is not None
        else "No bar: the error of this test is not known yet"
    )
    caption = f"{known}.{two} {said}"
    name = printable(test.name)
    return Picture(
        f"range-{test.slug}",
        f"Range: {name}",
        printable(caption),
        drawing(f"Range, {name}, in {unit}. {said}", layers, 90),
        (Table(head, told),),
        Table(head, told[-PRINTED_DAYS:]),
    )


def slow_and_fast_pictures(found: SlowAndFast | None, catalogue: Catalogue) -> list[Picture]:
    """The slow part and the fast part in panels of their own; nothing where they can't be told apart."""
    if found is None or not found.is_shown or found.slow_days is None or found.fast_days is None:
        return []
    panels, rows = [], []
    for name, part, days in (
        ("slow part: lifts", found.slow, found.slow_days),
        ("fast part: lowers", found.fast, found.fast_days),
    ):
        some = weekly(part)
        data = [
            {
                "date": one.date.isoformat(),
                "low": round(one.p10, 2),
                "middle": round(one.p50, 2),
                "high": round(one.p90, 2),
            }
            for one in some
        ]
        band = layer(
            data, {"type": "area", "color": BLUE, "opacity": BAND_OPACITY, "line": False}, x="date", y="low", y2="high"
        )
        layers = [band, layer(data, {"type": "line", "color": BLUE, "strokeWidth": 2}, x="date", y="middle")]
        title = f"{name}, % of the usual; fades over {days.best:.0f} days ({days.low:.0f} to {days.high:.0f})"
        on_dates(layers, [one.date for one in some], value_channel(title, 0, max(one.p90 for one in some)))
        panels.append({"width": WIDTH, "height": 80, "layer": layers})
        rows += [
            (day_words(one.date), name.split(":")[0], f"{one.p10:.1f}", f"{one.p50:.1f}", f"{one.p90:.1f}")
            for one in some
        ]
    lift = name_of(found.exercise, catalogue)
    head = ("Day", "Part", "Low, %", "Middle", "High")
    slow, fast = found.slow_days, found.fast_days
    description = (
        f"Behind the course of {lift}: a slow part that fades over {slow.best:.0f} days "
        f"({slow.low:.0f} to {slow.high:.0f}) and a fast part over {fast.best:.0f} days "
        f"({fast.low:.0f} to {fast.high:.0f}), 95 % intervals."
    )
    caption = (
        "What training left behind, week by week; shaded: 8 times in 10. It explains the past; no load is planned from "
        "it."
    )
    table = Table(head, tuple(rows))
    half = len(rows) // 2
    printed = Table(head, (rows[half - 1], rows[-1]))
    return [
        Picture(
            "slow-and-fast",
            f"Slow and fast part: {lift}",
            caption,
            framed(description, vconcat=panels),
            (table,),
            printed,
        )
    ]


def weekly(part: Sequence[PartDay]) -> list[PartDay]:
    """Every seventh day, the last one among them."""
    return list(reversed(list(reversed(part))[::7]))
