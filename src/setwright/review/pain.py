"""Pain in sets and on the next morning, by region: what is still allowed, whether it rises, and whom to see.

Two ideas: the published bands differ (``data/pain_bands.toml``), so a clinician's own figure for a joint counts and
without one the strictest holds; and a rise weighs more than a level. Nothing here names a cause: never a diagnosis.
"""

from __future__ import annotations

import datetime as dt
import re
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from functools import cache
from importlib import resources
from typing import Any, Literal

from setwright.catalogue.store import Catalogue
from setwright.people.restriction_text import joint_words, needs_a_clinician
from setwright.people.screening import is_cleared
from setwright.people.trainee import Restriction
from setwright.strength.logged import Log

PainVerdict = Literal["help", "stop", "less", "hold", "go on"]
ORDER: tuple[PainVerdict, ...] = ("help", "stop", "less", "hold", "go on")
STRONG_KINDS = ("sharp", "numb")
UNNAMED = "unnamed place"
IN_WORDS = "the clearance tells of pain in words alone, pain_up_to is missing, so the strictest published band"
RECENT = timedelta(days=14)


@dataclass(frozen=True)
class PainLimit:
    """How much pain training goes on with at a region, 0 to 10.

    ``in_set``, ``next_morning``: the most allowed; from ``watch`` on there is less, from ``stop`` on the work rests.
    ``who``: the clinician whose figure it is, or empty for the strictest published band.
    """

    in_set: int
    next_morning: int
    watch: int
    stop: int
    source: str
    who: str = ""


@dataclass(frozen=True)
class PainDay:
    """One day at one region: the worst in a set, and that of the next morning; None where nobody gave a number."""

    date: dt.date
    in_set: int | None
    next_morning: int | None


@dataclass(frozen=True)
class RegionPain:
    """All pain of a log at one region, what it means for the work there, and whom to see.

    ``joint``: the joint that the words name, or None. ``exercises``: those that hurt there.
    ``rise``: in words, or empty.
    """

    where: str
    joint: str | None
    days: tuple[PainDay, ...]
    exercises: tuple[str, ...]
    worst: int
    worst_morning: int | None
    latest: int | None
    rise: str
    is_sharp: bool
    limit: PainLimit
    verdict: PainVerdict
    why: str
    see: str


@cache
def bands() -> dict[str, Any]:
    """The packaged pain bands: ``band`` (published), ``house``, ``see``."""
    text = resources.files("setwright.review").joinpath("data", "pain_bands.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def joint_of(where: str) -> str | None:
    """The first joint that the words of a place name, or None."""
    known = joint_words()
    return next((known[word] for word in re.findall(r"[a-z]+", where.lower()) if word in known), None)


def strictest() -> PainLimit:
    """The limit without a clinician's figure: the lowest of the published bands."""
    house, published = bands()["house"], bands()["band"]
    lowest = min(published, key=lambda one: (one["in_set"], one["next_morning"]))
    source = "no clinician's figure, so the strictest published band"
    return PainLimit(lowest["in_set"], lowest["next_morning"], house["watch"], house["stop"], source)


def figure_in(restriction: Restriction) -> int | None:
    """The pain that a clinician's clearance allows by its key ``pain_up_to``, at most the widest band, or None."""
    if restriction.clearance is None or restriction.clearance.pain_up_to is None:
        return None
    return int(min(restriction.clearance.pain_up_to, bands()["house"]["highest_figure"]))


def unread_figures(restrictions: Sequence[Restriction]) -> tuple[Restriction, ...]:
    """Restrictions whose clearance speaks of pain and a number without the key that counts."""
    return tuple(
        one
        for one in restrictions
        if one.clearance is not None
        and one.clearance.pain_up_to is None
        and re.search(r"\bpain\b", one.clearance.scope.lower())
        and re.search(r"\d", one.clearance.scope)
    )


def limit_at(where: str, restrictions: Sequence[Restriction], on: dt.date) -> PainLimit:
    """The limit at a place: the lowest figure in a clearance that is in force for its joint, else the strictest band.

    A figure over 5 counts as 5: no published band goes higher.
    """
    joint, base = joint_of(where), strictest()
    figures = [
        (figure, rule.clearance.who)
        for rule in restrictions
        if rule.joint == joint and is_cleared(rule.clearance, on) and rule.clearance is not None
        for figure in (figure_in(rule),)
        if figure is not None
    ]
    if joint is None or not figures:
        in_words = [one for one in unread_figures(restrictions) if joint is not None and one.joint == joint]
        return replace(base, source=IN_WORDS) if in_words else base
    figure, who = min(figures)
    return PainLimit(figure, figure, figure + 1, max(figure + 1, base.stop), f"figure of {who}", who)


def whom_to_see(said: str) -> str:
    """The kind of licensed professional for the words of a place, a kind of pain, or a note."""
    rows = bands()["see"]
    text = said.lower()
    found = (one["who"] for one in rows if any(re.search(rf"\b(?:{word})\b", text) for word in one["words"]))
    return str(next(found, rows[-1]["who"]))


def pain_by_region(
    log: Log, restrictions: Sequence[Restriction], catalogue: Catalogue, on: dt.date
) -> tuple[RegionPain, ...]:
    """Every region that a log names with pain, the most urgent first.

    A morning tells of the last day of training before it, up to two days back; one without a place tells of every
    place that hurt on that day.
    """
    rows = [
        (one.date, region(one.pain_where), one.pain, catalogue.get(one.exercise).slug, one.pain_kind)
        for one in log.sets
        if one.pain or one.pain_kind in STRONG_KINDS
    ]
    regions = list(dict.fromkeys(where for _, where, *_ in rows))
    trained = sorted({one.date for one in log.sets})
    mornings: list[tuple[dt.date, str, int | None, str | None]] = []
    for told in log.sessions:
        if told.morning_pain is None and told.pain_kind not in STRONG_KINDS:
            continue
        day = max((one for one in trained if told.date - timedelta(days=2) <= one < told.date), default=told.date)
        hurt = [where for when, where, *_ in rows if when == day]
        places = [region(told.pain_where)] if told.pain_where else list(dict.fromkeys(hurt)) or [UNNAMED]
        mornings += [(day, where, told.morning_pain, told.pain_kind) for where in places]
    regions += [
        where
        for where in dict.fromkeys(where for _, where, *_ in mornings)
        if where not in regions and any(one[1] == where and (one[2] or one[3] in STRONG_KINDS) for one in mornings)
    ]
    found = [region_pain(where, rows, mornings, log, restrictions, catalogue, on) for where in regions]
    return tuple(sorted(found, key=lambda one: (ORDER.index(one.verdict), -one.worst, one.where)))


def region(where: str) -> str:
    """A place as one name: lower case, one space between words."""
    return " ".join(where.lower().split()) or UNNAMED


def region_pain(
    where: str,
    rows: Sequence[tuple[dt.date, str, int | None, str, str | None]],
    mornings: Sequence[tuple[dt.date, str, int | None, str | None]],
    log: Log,
    restrictions: Sequence[Restriction],
    catalogue: Catalogue,
    on: dt.date,
) -> RegionPain:
    """One region of a log. ``rows``, ``mornings``: date, region, pain, then exercise and kind, or kind."""
    here = [one for one in rows if one[1] == where]
    exercises = tuple(dict.fromkeys(slug for _, _, _, slug, _ in here))
    peaks: dict[dt.date, int] = {}
    for one in log.sets:  # a set of the same lifts with a pain of 0 is a painless day
        if one.pain == 0 and not one.pain_where and catalogue.get(one.exercise).slug in exercises:
            peaks[one.date] = max(peaks.get(one.date, 0), 0)
    for day, _, pain, _, _ in here:
        peaks[day] = max(peaks.get(day, 0), pain or 0)
    waking: dict[dt.date, int] = {}
    for day, place, level, _ in mornings:
        if place == where and level is not None:
            waking[day] = max(waking.get(day, 0), level)
    days = tuple(PainDay(day, peaks.get(day), waking.get(day)) for day in sorted({*peaks, *waking}))
    kinds = {one[4] for one in here} | {one[3] for one in mornings if one[1] == where}
    limit = limit_at(where, restrictions, on)
    worst, worst_morning = max(peaks.values(), default=0), max(waking.values(), default=None)
    said = " ".join([where, *sorted(kind for kind in kinds if kind)])
    is_sharp = bool(kinds & set(STRONG_KINDS))
    rise = rise_of(days)
    told = [one.in_set for one in days if one.in_set is not None]
    is_red = "numb" in kinds or needs_a_clinician(where)
    recent = [level_of(one) for one in days if one.date >= on - RECENT]
    most = max(worst, worst_morning or 0)
    verdict, why = judged(most, max(recent, default=0), level_of(days[-1]) if days else 0, rise, is_sharp, limit)
    if is_red:
        verdict, why = "help", "a red flag: " + said
    return RegionPain(
        where,
        joint_of(where),
        days,
        exercises,
        worst,
        worst_morning,
        told[-1] if told else None,
        rise,
        is_sharp,
        limit,
        verdict,
        why,
        whom_to_see(said),
    )


def level_of(day: PainDay) -> int:
    """The worst of a day and its next morning."""
    return max(day.in_set or 0, day.next_morning or 0)


def rise_of(days: Sequence[PainDay]) -> str:
    """How pain rises, in words, or an empty text: overnight, from week to week, or from day to day inside a week."""
    if not days:
        return ""
    newest = days[-1]
    if newest.next_morning is not None and newest.in_set is not None and newest.next_morning > newest.in_set:
        return f"from {newest.in_set} in the set to {newest.next_morning} the next morning"
    told = [(one.date, one.in_set) for one in days if one.in_set is not None]
    if len(told) < 2:
        return ""
    start = newest.date - timedelta(days=6)
    this = [level for day, level in told if day >= start]
    before = [level for day, level in told if start - timedelta(days=7) <= day < start]
    if this and before and max(this) > max(before) and told[-1][1] > max(before):
        return f"from {max(before)} last week to {max(this)} this week"
    if not before and len(this) >= 2 and this[-1] > this[0]:
        return f"from {this[0]} to {this[-1]} within a week"
    return ""


def judged(most: int, recent: int, now: int, rise: str, is_sharp: bool, limit: PainLimit) -> tuple[PainVerdict, str]:
    """What pain means for the work that brought it, and why.

    most, recent, now : the highest level ever, of the last two weeks, and of the newest day
    rise : in words, or empty
    """
    if is_sharp:
        return "stop", "sharp or numb"
    if most >= limit.stop:
        return "stop", f"{most} of 10; from {limit.stop} on the work rests"
    if rise and now >= limit.watch:
        return "stop", f"it rises {rise}"
    if rise and limit.who:  # the published rule of the band that a clinician chose: a rise takes off a step
        return "less", f"it rises {rise}"
    if recent >= limit.watch:
        return "less", f"{recent} of 10; allowed are {limit.in_set} of 10 at the very most"
    if rise:
        return "hold", f"it rises {rise}"
    return "go on", f"{recent} of 10 of late, within {limit.in_set} of 10"
