"""The moment curve of a movement as a picture: what a joint must hold over the range, and what it can hold.

Plain SVG: a line in its band (8 times in 10), the capacity as a dashed line in its own, and where control is lost.
The x axis runs the way the movement runs.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import ceil, floor, isfinite, log10

from setwright.body.demand import CurvePoint, Demand, JointDemand, Range
from setwright.publish.drawing import INK, PAPER, Point, document, line, path, words

WIDTH, HEIGHT = 360.0, 256.0
LEFT, RIGHT, TOP, BASE = 40.0, 336.0, 30.0, 172.0
TEXT, SMALL = 14.0, 13.0
BLUE, GREY, RED = "#0b5394", "#6a6a6a", "#a61c00"
ROW = 18.0


def curve_chart(demand: Demand, joint: JointDemand | None = None, title: str = "") -> str:
    """The moment of one joint over the movement with its band, capacity and break angle, as SVG.

    joint : the joint that decides when None

    Raises ValueError where no point of the curve is a number.
    """
    joint = together(joint or demand.joint)
    points = [one for one in joint.curve if isfinite(one.moment_nm.mean)]
    if not points:
        raise ValueError(f"no chart of {joint.motion}: no point of its curve is a number")
    first, last = joint.curve[0].angle_deg, joint.curve[-1].angle_deg
    bands = [one.moment_nm for one in points] + [one.capacity_nm for one in points if one.capacity_nm is not None]
    ticks = nice_ticks(min(0.0, *(one.p10 for one in bands)), max(1.0, *(one.p90 for one in bands)), 5)
    low, high = ticks[0], ticks[-1]

    def x_of(angle: float) -> float:
        return LEFT + (RIGHT - LEFT) * ((angle - first) / (last - first) if last != first else 0.5)

    def y_of(moment: float) -> float:
        return BASE - (BASE - TOP) * (moment - low) / (high - low)

    body = [f'<rect width="{WIDTH:g}" height="{HEIGHT:g}" fill="{PAPER}"/>']
    body.append(
        words("N m" + (", both sides together" if joint.limbs > 1 else ""), (4, 16), SMALL, "start", f'fill="{INK}"')
    )
    for tick in ticks:
        body.append(line((LEFT, y_of(tick)), (RIGHT, y_of(tick)), f'stroke="{"#bbbbbb" if tick else GREY}"'))
        body.append(words(f"{tick:g}", (LEFT - 5, y_of(tick) + 5), SMALL, "end", f'fill="{INK}"'))
    lowest, highest = min(first, last), max(first, last)
    for tick in nice_ticks(lowest, highest, 5):
        if lowest - 0.01 <= tick <= highest + 0.01:
            body.append(line((x_of(tick), BASE), (x_of(tick), BASE + 5), f'stroke="{GREY}"'))
            body.append(words(f"{tick:g}\u00b0", (x_of(tick), BASE + 18), SMALL, "middle", f'fill="{INK}"'))
    held = [one for one in points if one.capacity_nm is not None and isfinite(one.capacity_nm.mean)]
    if held:
        pairs = [(one, one.capacity_nm) for one in held if one.capacity_nm is not None]
        body.append(_band([(x_of(one.angle_deg), y_of(c.p10), y_of(c.p90)) for one, c in pairs], GREY, 0.22))
        body.append(_trace([(x_of(one.angle_deg), y_of(c.mean)) for one, c in pairs], GREY, "6 4", "capacity"))
    body.append(_band(_edges(points, x_of, y_of), BLUE, 0.28))
    body.append(_trace([(x_of(one.angle_deg), y_of(one.moment_nm.mean)) for one in points], BLUE, "", "moment"))
    if demand.break_angle_deg is not None:
        body.append(_break(demand.break_angle_deg, x_of, lowest, highest))
    body += _legend(demand, bool(held))
    return document(
        WIDTH,
        HEIGHT,
        title or f"Moment over the movement: {joint.motion.replace('-', ' ')}",
        describe(demand, joint),
        body,
        ' font-family="Open Sans, Arial, sans-serif"',
    )


def together(joint: JointDemand) -> JointDemand:
    """A joint with the moments of all its limbs together."""

    def times(one: Range) -> Range:
        return Range(one.mean * joint.limbs, one.p10 * joint.limbs, one.p90 * joint.limbs)

    curve = tuple(
        replace(
            one,
            moment_nm=times(one.moment_nm),
            capacity_nm=None if one.capacity_nm is None else times(one.capacity_nm),
        )
        for one in joint.curve
    )
    return replace(joint, peak_moment_nm=times(joint.peak_moment_nm), curve=curve)


def describe(demand: Demand, joint: JointDemand) -> str:
    """The picture in words: hardest point, what can be held there, where control is lost."""
    peak, where = joint.peak_moment_nm, joint.peak_angle_deg
    said = [
        f"Hardest near {where.mean:.0f} degrees: between {peak.p10:.0f} and {peak.p90:.0f} N m"
        + (", both sides together." if joint.limbs > 1 else ".")
    ]
    held = [one.capacity_nm for one in joint.curve if one.capacity_nm is not None]
    if held:
        weakest = min(held, key=lambda one: one.mean)
        said.append(f"At the weakest angle it can hold between {weakest.p10:.0f} and {weakest.p90:.0f} N m.")
    if demand.break_angle_deg is not None:
        said.append(f"{_break_words(demand.break_angle_deg)}.")
    return " ".join(said)


def nice_ticks(low: float, high: float, most: int) -> list[float]:
    """At most about ``most`` round numbers that span a range.

    >>> nice_ticks(0, 93, 5)
    [0.0, 20.0, 40.0, 60.0, 80.0, 100.0]
    """
    span = max(high - low, 1e-9)
    size = 10.0 ** floor(log10(span / most))
    step = next(size * one for one in (1, 2, 2.5, 5, 10) if span / (size * one) <= most)
    if size * 2.5 == step and size < 10:
        step = size * 5
    first, last = floor(low / step + 1e-9), ceil(high / step - 1e-9)
    return [round(step * i, 6) + 0.0 for i in range(first, last + 1)]


def _edges(
    points: Sequence[CurvePoint], x_of: Callable[[float], float], y_of: Callable[[float], float]
) -> list[tuple[float, float, float]]:
    return [(x_of(one.angle_deg), y_of(one.moment_nm.p10), y_of(one.moment_nm.p90)) for one in points]


def _band(rows: Sequence[tuple[float, float, float]], colour: str, opacity: float) -> str:
    """A band between two lines; each row is x, lower y, upper y."""
    outline: list[Point] = [(x, y) for x, _, y in rows] + [(x, y) for x, y, _ in reversed(rows)]
    return path(outline, True, f'fill="{colour}" fill-opacity="{opacity:g}"')


def _trace(points: Sequence[Point], colour: str, dash: str, name: str) -> str:
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return path(points, False, f'fill="none" stroke="{colour}" stroke-width="2.5"{dashed} data-series="{name}"')


def _break_words(breaks: Range) -> str:
    low, high = sorted((breaks.p10, breaks.p90))
    return f"Control is lost between {low:.0f} and {high:.0f} degrees"


def _break(breaks: Range, x_of: Callable[[float], float], lowest: float, highest: float) -> str:
    """Where control is lost: a line at the middle, a bar below for its range."""
    low, middle, high = (min(max(one, lowest), highest) for one in (breaks.p10, breaks.mean, breaks.p90))
    upright = f'stroke="{RED}" stroke-width="2" stroke-dasharray="2 3" data-series="break"'
    return line((x_of(middle), TOP), (x_of(middle), BASE), upright) + line(
        (x_of(low), BASE), (x_of(high), BASE), f'stroke="{RED}" stroke-width="5"'
    )


def _legend(demand: Demand, capacity: bool) -> list[str]:
    """The words below the picture, each behind its mark."""
    joint = demand.lead.split("-")[0]
    top = BASE + 40
    rows = [(BLUE, "", "what the movement asks"), *([(GREY, "6 4", "what you can hold")] if capacity else [])]
    made = [words(f"{joint} angle, the way it runs", ((LEFT + RIGHT) / 2, top - 4), SMALL, "middle", f'fill="{INK}"')]
    for i, (colour, dash, said) in enumerate(rows):
        x, y = (8.0, 192.0)[i], top + ROW
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        made.append(line((x, y - 5), (x + 18, y - 5), f'stroke="{colour}" stroke-width="2.5"{dashed}'))
        made.append(words(said, (x + 23, y), SMALL, "start", f'fill="{INK}"'))
    if demand.break_angle_deg is not None:
        y = top + 2 * ROW
        made.append(line((8, y - 5), (26, y - 5), f'stroke="{RED}" stroke-width="5"'))
        said = _break_words(demand.break_angle_deg).replace(" degrees", "\u00b0")
        made.append(words(said, (31, y), SMALL, "start", f'fill="{INK}"'))
    return made
