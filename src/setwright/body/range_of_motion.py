"""How far a joint goes, and whether it goes further than before: readings with their measuring error.

Two ideas carry this module. One: a change counts only when it beats the minimal detectable change, and so does a
difference between the sides. Two: the published error is a start; repeats of the same week, by the same hand, make it
this person's own.

Weight-bearing dorsiflexion (knee to wall, about 40 degrees) and dorsiflexion on a table (about 13) are different
scales: only the first is a test here, and the two are never compared. Nothing here is a diagnosis.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache
from importlib import resources
from math import asin, cos, degrees, radians, sin, sqrt
from types import MappingProxyType
from typing import Any, Literal, Protocol

Verdict = Literal["more", "less", "not told apart", "one occasion", "error not known"]

Z_95 = 1.959963984540054  # two-sided 95 %
Z_ONE_SIDED = 1.6448536269514722  # nine times in ten between the two ends
WEEK_DAYS = 6  # readings within a week of the first are repeats of one occasion
SIDES_WITHIN_DAYS = 28  # left and right further apart in time than this are not compared
STALE_DAYS = 180  # an older reading limits nothing; measure again (common practice, no published source)
LEAST_OWN = 3  # repeats needed where nothing is published, beyond the first of each occasion

# Knee to wall, from centimetres to degrees of the shank: lengths as shares of stature (Drillis & Contini, as in Winter
# 2009, seen: shank .246, foot .152), ankle joint 5 cm before the heel's end and kneecap 5 cm before the knee joint
# (the project's own figures, from memory).
SHANK_SHARE, FOOT_SHARE = 0.246, 0.152
HEEL_TO_ANKLE_M, KNEE_DEPTH_M = 0.05, 0.05
CONVERSION_SD_DEG = 3.0  # bodies of one stature differ in shank and foot (the project's own figure)


class Reading(Protocol):
    """A dated reading as intake gives it."""

    @property
    def date(self) -> date: ...
    @property
    def measure(self) -> str: ...
    @property
    def value(self) -> float: ...
    @property
    def unit(self) -> str: ...
    @property
    def side(self) -> str: ...


@dataclass(frozen=True)
class RangeTest:
    """One test: how it is done, its published error, and the motion that it limits.

    sem, mdc : in ``unit``; None where nothing is published. ``worth``: own repeats that the published error is worth
    """

    slug: str
    name: str
    unit: str
    how: str = ""
    also_called: tuple[str, ...] = ()
    less_is_more: bool = False
    sem: float | None = None
    mdc: float | None = None
    worth: float = 0.0
    population: str = ""
    source: str = "no published error known: repeat it, and the repeats give your own"
    had: str = ""
    typical: str = ""
    motion: str | None = None
    asks: str = ""

    @property
    def is_weak(self) -> bool:
        """True where the published error is weak or missing, so that repeats are needed."""
        return self.worth < 8

    @property
    def trained_motions(self) -> tuple[str, ...]:
        """The motions that train what this test measures."""
        return motions_of(self.slug) if self.slug in _tables()["same_as"] or self.motion is None else (self.motion,)


@cache
def _tables() -> dict[str, Any]:
    text = resources.files("setwright.body").joinpath("data", "range_tests.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@cache
def range_tests() -> Mapping[str, RangeTest]:
    """All tests by slug (``knee-to-wall``), in the order of the data file."""
    return MappingProxyType(
        {
            slug: RangeTest(slug=slug, **{**row, "also_called": tuple(row.get("also_called", ()))})
            for slug, row in _tables()["tests"].items()
        }
    )


def motions_of(about: str) -> tuple[str, ...]:
    """The joint motions that a goal (a motion, a joint or a test) is about; the word itself where nothing is known."""
    found: list[str] = _tables()["same_as"].get(about, [about])
    return tuple(found)


def trained_by(motion: str) -> tuple[str, ...]:
    """Exercises of loaded mobility that train a motion, the first choice first."""
    return tuple(_tables()["trained_by"].get(motion, ()))


def slug_of_test(name: str) -> str:
    """The slug that a name of a test means (``SLR``, ``knee to wall``); the name itself where none does."""
    plain = " ".join(name.lower().replace("-", " ").replace("_", " ").split())
    for slug, test in range_tests().items():
        for known in (slug, test.name, *test.also_called):
            if plain == " ".join(known.lower().replace("-", " ").split()):
                return slug
    return name


def find_test(name: str, unit: str = "deg") -> RangeTest:
    """The test of a name; one without a published error where the name is the coach's own."""
    slug = slug_of_test(name)
    return range_tests().get(slug) or RangeTest(slug=slug, name=slug.replace("-", " "), unit=unit)


@dataclass(frozen=True)
class Occasion:
    """The readings of one week, as their mean; ``date`` is the last, ``spread`` the sum of squares around the mean."""

    date: date
    value: float
    readings: int
    spread: float


@dataclass(frozen=True)
class MeasuringError:
    """What a single reading is uncertain by.

    sem : standard error of one reading; None where nothing is published and the own repeats are too few
    freedom : published worth plus own repeats; own_repeats : readings beyond the first of each occasion
    factor : what a difference must beat, in standard errors of it
    """

    sem: float | None
    freedom: float
    own_repeats: int
    factor: float

    def detectable(self, first: int = 1, last: int = 1) -> float | None:
        """Minimal detectable change between the means of ``first`` and ``last`` readings; None where unknown.

        MDC = 1.96 * sqrt 2 * SEM for two single readings (the usual formula; Weir 2005, from memory).
        """
        return None if self.sem is None else self.factor * self.sem * sqrt(1.0 / first + 1.0 / last)

    def chance_above_zero(self, difference: float, first: int = 1, last: int = 1) -> float | None:
        """Chance that the true difference is above 0, by Student's t; None where the error is unknown."""
        if self.sem is None:
            return None
        from scipy.special import stdtr

        width = self.sem * sqrt(1.0 / first + 1.0 / last)
        if width == 0.0:
            return 0.5 if difference == 0 else float(difference > 0)
        return float(stdtr(self.freedom, difference / width))


@dataclass(frozen=True)
class RangeChange:
    """First against last occasion of one test on one side.

    change : last minus first, in the unit; gain : the same counted as range, + is more range
    probability : chance that the true range is more than at first; None where the error is unknown or one occasion
    """

    test: RangeTest
    side: str
    first: Occasion
    last: Occasion
    error: MeasuringError
    change: float
    gain: float
    detectable: float | None
    probability: float | None
    verdict: Verdict


@dataclass(frozen=True)
class SideDifference:
    """Right minus left of one test, counted as range: + is more range on the right."""

    test: RangeTest
    left: Occasion
    right: Occasion
    error: MeasuringError
    difference: float
    detectable: float | None
    probability: float | None
    verdict: Verdict


@dataclass(frozen=True)
class Reached:
    """The angle that a person reaches in a motion, by a test, degrees: middle, and between which ends (9 in 10)."""

    motion: str
    deg: float
    low: float
    high: float
    test: RangeTest
    value: float
    side: str
    date: date


def occasions(readings: Iterable[Reading]) -> tuple[Occasion, ...]:
    """Readings of one test and side as occasions in order of time: those within a week of the first are one."""
    rows = sorted(readings, key=lambda one: one.date)
    groups: list[list[Reading]] = []
    for row in rows:
        if groups and (row.date - groups[-1][0].date).days <= WEEK_DAYS:
            groups[-1].append(row)
        else:
            groups.append([row])
    found = []
    for group in groups:
        mean = sum(one.value for one in group) / len(group)
        found.append(Occasion(group[-1].date, mean, len(group), sum((one.value - mean) ** 2 for one in group)))
    return tuple(found)


def measuring_error(test: RangeTest, groups: Iterable[Occasion]) -> MeasuringError:
    """The error of one reading: the published one as a prior, own repeats of the same week on top.

    The variance has a scaled inverse chi-square prior: ``worth`` repeats at the published SEM. Own repeats add their
    sum of squares, so SEM^2 = (worth * published^2 + sum of squares) / (worth + repeats). Source: conjugate update of
    a normal variance (Gelman et al., Bayesian Data Analysis, section 2.6, from memory); ``worth`` is the project's own.
    Without a published figure the own repeats stand alone, from three on, with Student's t in place of 1.96.
    """
    rows = tuple(groups)
    own = sum(one.readings - 1 for one in rows)
    squares = sum(one.spread for one in rows)
    if test.sem is not None and test.worth > 0:
        freedom = test.worth + own
        return MeasuringError(sqrt((test.worth * test.sem**2 + squares) / freedom), freedom, own, Z_95)
    if own < LEAST_OWN:
        return MeasuringError(None, float(own), own, Z_95)
    from scipy.special import stdtrit

    return MeasuringError(sqrt(squares / own), float(own), own, float(stdtrit(own, 0.975)))


def by_test(readings: Sequence[Reading]) -> dict[str, tuple[RangeTest, dict[str, tuple[Occasion, ...]]]]:
    """Occasions by test and side, tests in the order of the data file, then by name."""
    order = {slug: number for number, slug in enumerate(range_tests())}
    found: dict[str, tuple[RangeTest, dict[str, list[Reading]]]] = {}
    for one in readings:
        test = find_test(one.measure, one.unit)
        found.setdefault(test.slug, (test, {}))[1].setdefault(one.side, []).append(one)
    return {
        slug: (found[slug][0], {side: occasions(rows) for side, rows in sorted(found[slug][1].items())})
        for slug in sorted(found, key=lambda name: (order.get(name, len(order)), name))
    }


def verdict_of(difference: float, detectable: float | None) -> Verdict:
    """More or less where the difference beats the minimal detectable change."""
    if detectable is None:
        return "error not known"
    if abs(difference) <= detectable:
        return "not told apart"
    return "more" if difference > 0 else "less"


def changed(readings: Sequence[Reading]) -> tuple[RangeChange, ...]:
    """For each test and side: first against last occasion, and whether the change beats the measuring error."""
    found = []
    for test, sides in by_test(readings).values():
        error = measuring_error(test, [one for rows in sides.values() for one in rows])
        for side, rows in sides.items():
            first, last = rows[0], rows[-1]
            change = last.value - first.value
            gain = -change if test.less_is_more else change
            once = len(rows) == 1
            detectable = error.detectable(first.readings, last.readings)
            found.append(
                RangeChange(
                    test=test,
                    side=side,
                    first=first,
                    last=last,
                    error=error,
                    change=change,
                    gain=gain,
                    detectable=detectable,
                    probability=None if once else error.chance_above_zero(gain, first.readings, last.readings),
                    verdict="one occasion" if once else verdict_of(gain, detectable),
                )
            )
    return tuple(found)


def side_differences(readings: Sequence[Reading]) -> tuple[SideDifference, ...]:
    """For each test read on both sides within four weeks: the last of the right against the last of the left."""
    found = []
    for test, sides in by_test(readings).values():
        if "left" not in sides or "right" not in sides:
            continue
        left, right = sides["left"][-1], sides["right"][-1]
        if abs((left.date - right.date).days) > SIDES_WITHIN_DAYS:
            continue
        error = measuring_error(test, [one for rows in sides.values() for one in rows])
        raw = right.value - left.value
        difference = -raw if test.less_is_more else raw
        detectable = error.detectable(left.readings, right.readings)
        chance = error.chance_above_zero(difference, left.readings, right.readings)
        found.append(
            SideDifference(test, left, right, error, difference, detectable, chance, verdict_of(difference, detectable))
        )
    return tuple(found)


def shank_angle_deg(distance_cm: float, stature_m: float) -> float:
    """Lean of the shank from upright, degrees, with the knee at the wall and the big toe ``distance_cm`` from it.

    The knee stands over a point ``distance + foot before the ankle - depth of the knee`` in front of the ankle:
    sin(lean) = that over the length of the shank. The often quoted 3.6 degrees a centimetre (Bennell 1998, second-hand)
    is not used: a shank of 43 cm would have to be 16 cm long for it (see docs/decisions/0011).

    >>> round(shank_angle_deg(11.7, 1.75), 1)
    41.1
    """
    forward_m = distance_cm / 100.0 + FOOT_SHARE * stature_m - HEEL_TO_ANKLE_M - KNEE_DEPTH_M
    return degrees(asin(max(-0.99, min(0.99, forward_m / (SHANK_SHARE * stature_m)))))


def knee_to_wall_cm(angle_deg: float, stature_m: float) -> float:
    """The distance from toe to wall at a lean of the shank: the inverse of ``shank_angle_deg``."""
    forward_m = SHANK_SHARE * stature_m * sin(radians(angle_deg))
    return 100.0 * (forward_m - FOOT_SHARE * stature_m + HEEL_TO_ANKLE_M + KNEE_DEPTH_M)


def angle_reached(test: RangeTest, value: float, sem: float, stature_m: float) -> tuple[float, float]:
    """The joint angle behind a reading and its standard error, degrees."""
    if test.slug != "knee-to-wall":
        return value, sem
    angle = shank_angle_deg(value, stature_m)
    slope = degrees(1.0) / (100.0 * SHANK_SHARE * stature_m * max(0.2, cos(radians(angle))))
    return angle, sqrt((slope * sem) ** 2 + CONVERSION_SD_DEG**2)


def reached(readings: Sequence[Reading], stature_m: float, on: date) -> Mapping[str, Reached]:
    """What each motion reaches, by the newest test of it, on the side that reaches less.

    Readings after ``on`` and those older than half a year say nothing; nor does a test whose error is unknown.
    Several readings of one week stand as their mean, with less error.
    """
    found: dict[str, Reached] = {}
    usable = [one for one in readings if 0 <= (on - one.date).days <= STALE_DAYS]
    for test, sides in by_test(usable).values():
        if test.motion is None:
            continue
        error = measuring_error(test, [one for rows in sides.values() for one in rows])
        if error.sem is None:
            continue
        here = []
        for side, rows in sides.items():
            last = rows[-1]
            deg, width = angle_reached(test, last.value, error.sem / sqrt(last.readings), stature_m)
            ends = deg - Z_ONE_SIDED * width, deg + Z_ONE_SIDED * width
            here.append(Reached(test.motion, deg, *ends, test, last.value, side, last.date))
        least = min(here, key=lambda one: (one.deg, one.side))
        before = found.get(test.motion)
        if before is None or least.date > before.date:
            found[test.motion] = least
    return MappingProxyType(found)
