"""A bout of conditioning as shorthand that reads back to the same: its heading, and what a round asks of a movement."""

from __future__ import annotations

from setwright.plan.bout import Bout, Target
from setwright.plan.bout_time import like
from setwright.plan.formats import SHARED
from setwright.plan.template import Scheme, TemplateEntry


def shared_bout(entry: TemplateEntry) -> Bout | None:
    """The first bout of an entry where it is one that has a heading of its own; None for all else."""
    first = next((one for one in entry.bouts if one is not None), None)
    return first if first is not None and like(first) in SHARED else None


def heading_line(bout: Bout) -> str:
    """The heading of a bout, colon included."""
    kind = like(bout)
    if kind == "rounds-for-time":
        work = f"{'-'.join(map(str, bout.ladder))} for time" if bout.ladder else f"{bout.rounds} rounds for time"
        text = work + (f", cap {spelled(bout.time_s)}" if bout.time_s is not None else "")
    elif kind == "as-many-rounds":
        text = f"as many rounds as possible in {spelled(bout.time_s or 0.0)}"
    elif kind == "every-minute" and bout.every_s == 60.0:
        text = f"every minute on the minute for {bout.rounds} min"
    elif kind == "every-minute":
        text = f"every {spelled(bout.every_s or 60.0)} for {bout.rounds} rounds"
    else:
        text = f"circuit, {bout.rounds} rounds, {bout.work_s:g} s work, {bout.rest_s or 0.0:g} s to change"
    target = target_words(bout.target)
    return f"{text}{', ' + target if target else ''}:"


def spelled(seconds: float) -> str:
    """A time as written: ``12 min``, ``90 s``."""
    return f"{seconds / 60:g} min" if seconds % 60 == 0 else f"{seconds:g} s"


def target_words(target: Target | None) -> str:
    """A target as written; empty where there is none."""
    if target is None:
        return ""
    if target.by == "talk":
        return f"talk test {target.says}"
    if target.share is not None:
        of = {"maximum": "max heart rate", "reserve": "heart rate reserve", "threshold": "threshold heart rate"}
        return f"{span(100 * target.share[0], 100 * target.share[1])} % of {of[target.of]}"
    low, high = target.low or 0.0, target.high or 0.0
    if target.by == "pace":
        ends = clock(low) if low == high else f"{clock(low)}-{clock(high)}"
        return f"at {ends} per {target.per_m or 1000.0:g} m"
    return f"{span(low, high)} watts" if target.by == "watts" else f"heart rate {span(low, high)}"


def span(low: float, high: float) -> str:
    """Two ends, or one where they are equal."""
    return f"{low:g}" if low == high else f"{low:g}-{high:g}"


def clock(seconds: float) -> str:
    """``2:05`` or ``1:58.5``."""
    minutes, rest = divmod(round(seconds, 1), 60)
    return f"{int(minutes)}:{rest:04.1f}".removesuffix(".0")


def round_words(scheme: Scheme, bout: Bout) -> str:
    """What a round asks of one movement; empty where the heading says it."""
    if like(bout) == "circuit":
        return ""
    if scheme.reps is not None:
        return "" if bout.ladder else f"{span(*scheme.reps)} reps"
    if scheme.distance_m is not None:
        return f"{scheme.distance_m:g} m"
    return f"{scheme.hold_s:g} s hold" if scheme.hold_s is not None else f"{scheme.time_s or 0.0:g} s"


def piece_words(scheme: Scheme, bout: Bout) -> list[str]:
    """The pieces of a bout on a line of its own, with its start and target."""
    amount = f"{scheme.distance_m:g} m" if scheme.distance_m is not None else spelled(scheme.time_s or 0.0)
    found = [f"{scheme.sets} x {amount}"]
    if scheme.load_kg is not None:
        found.append(f"@ {scheme.load_kg:g} kg")
    if bout.every_s is not None:
        found.append(f"every {spelled(bout.every_s)}")
    elif scheme.rest_s or scheme.sets > 1:
        found.append(f"rest {spelled(scheme.rest_s)}")
    return [*found, *([target_words(bout.target)] if bout.target is not None else [])]
