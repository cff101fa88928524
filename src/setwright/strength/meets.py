"""What somebody will lift at the next meet, from the meets so far.

Two ideas. One: the best lift of a meet shows capability from below: an attempt was chosen that could be made, a
heavier one failed or was never taken, and now and then the day was submaximal or went wrong. So one result is a
mixture of readings, and a heavier failed attempt draws the usual one in. Two: capability grows with ln(weeks since
the first meet), follows body mass, wanders with quiet and rough stretches, in restless people more than in steady
ones, and is lost in a long break; the lifts of one person do much of this together.

A forecast is made from the belief before the meet, which no function here lets see the results of that meet; its
weigh-in counts only when asked for. State of one lifter: x (3) ln kg of squat, bench and deadlift; rate (3) growth per
unit of ln(weeks); mass, ln kg.

Leaves out: federations, equipment other than none, injuries, plates (results come in steps of 2.5 kg). Every figure
was fitted on lifters with eight or more raw meets: do not trust it for people who never compete.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import date
from functools import cache
from importlib import resources
from typing import Any

import numpy as np
from numpy.typing import NDArray

from setwright.strength.mixture import (
    LOG_2PI,
    TINY,
    Floats,
    Ints,
    Line,
    Mixture,
    Reading,
    branched,
    collapsed,
    grown,
    observed,
    point_with_share,
    share_below,
    shared,
)

LIFTS = ("squat", "bench", "deadlift")
X, RATE, MASS, SIZE = slice(0, 3), slice(3, 6), 6, 7
CLASS_SHARES = np.array([0.25, 0.5, 0.25])
MOST_PARTS = 36  # of a forecast: 3 classes, 2 kinds of first meet, 2 of stretch, 3 of day
USUAL_AGE = 30.0  # where nobody gave an age (this project's guess)
YOUNG_TO, OLD_FROM, VERY_OLD_FROM = 23.0, 35.0, 55.0  # bends of the lines of age (chosen by eye on the fitted lifters)
MIDDLE_MASS_KG = 80.0
WIDEST_GAP = 0.08  # a failed attempt further above the best than this says no more (chosen by eye)
MASS_KG, AGE_YEARS, LIFT_KG = (20.0, 350.0), (5.0, 110.0), (1.0, 700.0)
Flags = NDArray[np.bool_]
Three = tuple[float, float, float]


@dataclass(frozen=True)
class Competitors:
    """How the strength of people who compete moves and shows; ``data/meets.toml`` has the sources and intervals.

    first : (3, 7) ln kg of the first meet on 1, female, ln(mass / 80 kg), the same in women, years under 23, over 35
        and over 55; first_sd, first_like : (3,) and (3, 3) what that leaves
    mass_mean, mass_sd : ln kg of women, men; mass_walk : as ``walk`` below; mass_reading : sd of a weigh-in
    mass_pull : (3,) ln strength that goes with ln body mass within a person
    rate, rate_female, rate_old : growth per unit of ln(weeks + clock_weeks), more of it in women, and for each year
        over 35 at the first meet; rate_sd, rate_shared : its spread in men (times restlessness)
        and its correlation; rate_sd_women : the spread in women, in spreads of men
    young, old, very_old : drift a year for each year under 23, over 35, over 55
    walk : (3,) sd of a quiet stretch of ten weeks, over the root of ten; walk_power : variance goes with weeks to this
        power; walk_shared : correlation; rough_chance a week, rough_times : rough stretches
    walk_new : by how many times more it is wider just after the first meet; fades with the clock of growth
    rest_weeks, loss_per_week : a lift not shown for longer loses so much ln a week
    restless : how many times more (less) than usual the most (least) restless class varies
    tilt : of the shares of the classes in women, men: restless ones are exp(tilt) times likelier, steady ones less
    reserve : (3,) ln by which capability lies above a best after which nothing failed; failed_share : where between
        the best and the failed attempt it lies; reading, reading_failed : (3,) sd of the two
    easy_chance, easy_drop, easy_sd : (3,) submaximal days; comeback : what a long break adds to the logit of their
        chance; far_chance, far_times : results that are far off
    debut : chance that a first meet is odd, so that any of its results may be submaximal or far off
    shown : (3,) ln by which a usual best lies below capability at the forecast
    """

    first: tuple[tuple[float, ...], ...]
    first_sd: Three
    first_like: tuple[Three, Three, Three]
    mass_mean: tuple[float, float]
    mass_sd: tuple[float, float]
    mass_walk: float
    mass_reading: float
    mass_pull: Three
    rate: Three
    rate_female: float
    rate_old: float
    rate_sd: float
    rate_sd_women: float
    rate_shared: float
    clock_weeks: float
    young: float
    old: float
    very_old: float
    walk: Three
    walk_new: float
    walk_power: float
    walk_shared: float
    rough_chance: float
    rough_times: float
    rest_weeks: float
    loss_per_week: float
    restless: float
    tilt: tuple[float, float]
    reserve: Three
    failed_share: float
    reading: Three
    reading_failed: Three
    easy_chance: Three
    easy_drop: Three
    easy_sd: Three
    comeback: float
    debut: float
    far_chance: float
    far_times: float
    shown: Three


@cache
def meet_figures() -> Mapping[str, Any]:
    """The packaged figures about meets, as they stand in the file."""
    text = resources.files("setwright.strength").joinpath("data", "meets.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@cache
def competitors() -> Competitors:
    """The packaged figures; KeyError names one that the file lacks."""
    table = meet_figures()["competitors"]
    return Competitors(**{one.name: hard(table[one.name]["value"]) for one in fields(Competitors)})


def hard(value: Any) -> Any:
    """Lists as tuples, all the way down, numbers as floats."""
    return tuple(hard(one) for one in value) if isinstance(value, list) else float(value)


@dataclass(frozen=True)
class Shown:
    """One lift at one meet: the best in kg (None: none made), and the lightest failed attempt above it, if any.

    all_known : whether a failed attempt would be known

    Raises ValueError when a load is not between 1 and 700 kg, or the failed one is not above the best.
    """

    best_kg: float | None
    failed_kg: float | None = None
    all_known: bool = True

    def __post_init__(self) -> None:
        for name, load in (("best_kg", self.best_kg), ("failed_kg", self.failed_kg)):
            if load is not None and not LIFT_KG[0] <= load <= LIFT_KG[1]:
                raise ValueError(f"{name} is {load}, expected 1 to 700 kg, or None.")
        if self.best_kg is not None and self.failed_kg is not None and self.failed_kg <= self.best_kg:
            raise ValueError(
                f"failed_kg is {self.failed_kg}, expected more than best_kg ({self.best_kg}): "
                "a failed attempt that was made later says nothing; leave it out."
            )


def shown_by(attempts_kg: Sequence[float]) -> Shown:
    """One lift from its attempts in kg, failed ones negative.

    Raises ValueError when there is none, or one is 0.

    >>> shown_by([100.0, 105.0, -110.0])
    Shown(best_kg=105.0, failed_kg=110.0, all_known=True)
    """
    if not attempts_kg or any(one == 0 for one in attempts_kg):
        raise ValueError(f"attempts_kg is {list(attempts_kg)}, expected loads in kg, failed ones negative, none of 0.")
    best = max((one for one in attempts_kg if one > 0), default=None)
    failed = min((-one for one in attempts_kg if one < 0 and -one > (best or 0.0)), default=None)
    return Shown(best, failed)


@dataclass(frozen=True)
class Meet:
    """One meet of one lifter: date, weigh-in in kg if known, and what was shown in each lift (keys of ``LIFTS``)."""

    on: date
    body_mass_kg: float | None
    lifts: Mapping[str, Shown]

    def __post_init__(self) -> None:
        for name in self.lifts:
            if name not in LIFTS:
                raise ValueError(f"lifts has {name!r}, expected one of {', '.join(LIFTS)}.")


@dataclass(frozen=True, eq=False)
class MeetTable:
    """Meets of many lifters, one a row, in any order. Rows of one lifter on one day count as one meet.

    lifter : (n,) any id; day : (n,) whole days on any common clock; female : (n,) 1 or 0
    age_years : (n,) nan if unknown; body_mass_kg : (n,) weigh-in, nan if unknown
    best_kg : (n, 3) in the order of ``LIFTS``, nan if not shown; failed_kg : (n, 3) lightest failed attempt above the
    best, nan if none; all_known : (n, 3) whether a failed attempt would be known

    Raises ValueError with all that is wrong, each with its first row.
    """

    lifter: NDArray[Any]
    day: Floats
    female: Floats
    age_years: Floats
    body_mass_kg: Floats
    best_kg: Floats
    failed_kg: Floats
    all_known: Flags

    def __post_init__(self) -> None:
        faults = faults_of(self)
        if faults:
            raise ValueError("\n".join(faults))

    def __len__(self) -> int:
        return len(self.day)


def faults_of(table: MeetTable) -> list[str]:
    """What is wrong with a table, in words."""
    count = len(table.lifter)
    if count == 0:
        return ["The table has no meets, expected at least one row."]
    wrong = [
        f"{name} has the shape {getattr(table, name).shape}, expected {shape}."
        for name, shape in [(one, (count,)) for one in ("lifter", "day", "female", "age_years", "body_mass_kg")]
        + [(one, (count, 3)) for one in ("best_kg", "failed_kg", "all_known")]
        if getattr(table, name).shape != shape
    ]
    if wrong:
        return wrong

    def check(name: str, bad: Flags, expected: str) -> None:
        if bad.any():
            row = int(np.flatnonzero(bad.reshape(count, -1).any(axis=1))[0])
            wrong.append(f"{name}, row {row}: {np.asarray(getattr(table, name))[row]}, expected {expected}.")

    def outside(values: Floats, limits: tuple[float, float]) -> Flags:
        return ~np.isnan(values) & ~((values >= limits[0]) & (values <= limits[1]))

    check("day", ~np.isfinite(table.day), "a number of days")
    check("female", ~np.isin(table.female, (0.0, 1.0)), "1 for women, 0 for men")
    check("age_years", outside(table.age_years, AGE_YEARS), "5 to 110 years, or nan")
    check("body_mass_kg", outside(table.body_mass_kg, MASS_KG), "20 to 350 kg, or nan")
    check("best_kg", outside(table.best_kg, LIFT_KG), "1 to 700 kg, or nan")
    check("failed_kg", outside(table.failed_kg, LIFT_KG), "1 to 700 kg, or nan")
    check("failed_kg", table.failed_kg <= table.best_kg, "more than the best of the same lift, or nan")
    ids, who = np.unique(table.lifter, return_inverse=True)
    women = np.bincount(who, table.female == 1)
    mixed = (women > 0) & (women < np.bincount(who))
    if mixed.any():
        wrong.append(f"female differs between the rows of lifter {ids[mixed][0]}, expected one value.")
    return wrong


@dataclass(frozen=True, eq=False)
class Belief:
    """What is believed of n lifters: three classes of restlessness times a quiet and a rough stretch, (n, 6, 7).

    weeks : (n,) since the first meet; unseen : (n, 3) weeks since the lift was last shown
    meets : how many meets they all have had. Until the second one, the pairs mean a usual and an odd first meet: little
    is known then, and one bell curve over both would be far too wide.
    """

    state: Mixture
    weeks: Floats
    unseen: Floats
    meets: int

    def rows(self, which: Ints) -> Belief:
        """The beliefs about some of the lifters, copied."""
        return Belief(self.state.rows(which), self.weeks[which], self.unseen[which], self.meets)


@dataclass(frozen=True, eq=False)
class Forecast:
    """The best lifts of a meet: mixtures of bell curves of ln kg; weights, mean, variance : (n, 3, c)."""

    weights: Floats
    mean: Floats
    variance: Floats

    def kg_with_share(self, share: float) -> Floats:
        """(n, 3) the load below which ``share`` of the forecast lies, kg; 0.5 gives the median."""
        return np.asarray(np.exp(point_with_share(self.weights, self.mean, self.variance, share, 40)))

    def share_below_kg(self, load_kg: Floats) -> Floats:
        """(n, 3) chance of a best below ``load_kg`` (n, 3)."""
        return share_below(self.weights, self.mean, self.variance, np.log(load_kg))

    def log_score(self, best_kg: Floats) -> Floats:
        """(n, 3) log density of ln best; higher is better; nan where there was no best."""
        off = np.log(best_kg)[..., None] - self.mean
        logs = np.log(self.weights + TINY) - 0.5 * (off * off / self.variance + np.log(self.variance) + LOG_2PI)
        top = logs.max(axis=-1)
        return np.asarray(top + np.log(np.exp(logs - top[..., None]).sum(axis=-1)))

    def rows(self, which: Ints) -> Forecast:
        """Some of the rows, copied."""
        return Forecast(self.weights[which], self.mean[which], self.variance[which])


def forecast(
    female: bool,
    birth_year: int | None,
    meets: Sequence[Meet],
    on: date,
    body_mass_kg: float | None = None,
    people: Competitors | None = None,
) -> Forecast:
    """The forecast (n = 1) of one lifter's bests at a meet ``on`` a date, from the meets before it.

    meets : in any order, all before ``on``; may be empty; body_mass_kg : weigh-in at that meet, if known already

    Raises ValueError when a meet is not before ``on``, or a number is out of range (see ``MeetTable``).
    """
    for one in meets:
        if one.on >= on:
            raise ValueError(f"meets has one on {one.on}, expected only meets before the forecast day {on}.")
    days = [*(one.on for one in meets), on]
    shown = [[one.lifts.get(name, Shown(None, None, False)) for name in LIFTS] for one in meets]
    shown.append([Shown(None, None, False)] * 3)
    table = MeetTable(
        np.zeros(len(days), dtype=np.intp),
        np.array([one.toordinal() for one in days], dtype=np.float64),
        np.full(len(days), float(female)),
        np.array([np.nan if birth_year is None else one.year - birth_year for one in days], dtype=np.float64),
        known([*(one.body_mass_kg for one in meets), body_mass_kg]),
        known([[lift.best_kg for lift in row] for row in shown]),
        known([[lift.failed_kg for lift in row] for row in shown]),
        np.array([[lift.all_known for lift in row] for row in shown]),
    )
    return forecasts(table, body_mass_kg is not None, people).rows(np.array([len(meets)]))


def known(values: Sequence[Any]) -> Floats:
    """An array in which nan stands for None."""
    return np.array(values, dtype=np.float64)


def forecasts(table: MeetTable, with_weigh_in: bool = False, people: Competitors | None = None) -> Forecast:
    """The forecast of every meet of a table, row by row, each from the same lifter's earlier days only.

    with_weigh_in : whether a forecast may use the body mass of its own meet

    The results of a meet reach the belief only after its forecast is made.
    """
    people = people or competitors()
    days, day_of_row = merged(table)
    _, first, count = np.unique(days.lifter, return_index=True, return_counts=True)
    order = np.argsort(-count, kind="stable")
    first, count = first[order], count[order]
    weights, mean, variance = (np.full((len(days), 3, MOST_PARTS), fill) for fill in (0.0, 0.0, 1.0))
    belief = begin(days.female[first], days.age_years[first], people)
    for number in range(int(count[0])):
        active = int((count > number).sum())
        if active < len(belief.weeks):
            belief = belief.rows(np.arange(active))
        rows = first[:active] + number
        if number > 0:
            belief = later(belief, days.day[rows] - days.day[rows - 1], days.age_years[rows - 1], people)
        if with_weigh_in:
            belief = weighed(belief, days.body_mass_kg[rows], people)
        one = expected(belief, people)
        parts = one.weights.shape[2]
        weights[rows, :, :parts], mean[rows, :, :parts], variance[rows, :, :parts] = (
            one.weights,
            one.mean,
            one.variance,
        )
        belief = learned(belief, days.best_kg[rows], days.failed_kg[rows], days.all_known[rows], people)
        if not with_weigh_in:
            belief = weighed(belief, days.body_mass_kg[rows], people)
    return Forecast(weights, mean, variance).rows(day_of_row)


def merged(table: MeetTable) -> tuple[MeetTable, Ints]:
    """(the table with one row for each day of each lifter, in that order; (n,) where each old row went).

    The best of the day counts, and the lightest failed attempt above it; ages and weigh-ins: the highest of the day.
    """
    _, lifter = np.unique(table.lifter, return_inverse=True)
    order = np.lexsort((table.day, lifter))
    new = np.ones(len(order), dtype=bool)
    new[1:] = (np.diff(lifter[order]) != 0) | (np.diff(table.day[order]) != 0)
    starts = np.flatnonzero(new)
    group = np.cumsum(new) - 1
    day_of_row = np.empty(len(order), dtype=np.intp)
    day_of_row[order] = group
    best = np.fmax.reduceat(table.best_kg[order], starts)
    failed = table.failed_kg[order]
    above = np.where(failed <= best[group], np.nan, failed)
    days = MeetTable(
        lifter[order][starts],
        table.day[order][starts],
        np.fmax.reduceat(table.female[order], starts),
        np.fmax.reduceat(table.age_years[order], starts),
        np.fmax.reduceat(table.body_mass_kg[order], starts),
        best,
        np.fmin.reduceat(above, starts),
        np.logical_or.reduceat(table.all_known[order], starts),
    )
    return days, day_of_row


def restlessness(people: Competitors, parts: int) -> Floats:
    """(parts,) by how much each component varies more than usual: three classes, each with an equal share of them."""
    return np.repeat(np.array([1.0 / people.restless, 1.0, people.restless]), parts // 3)


def begin(female: Floats, age_years: Floats, people: Competitors) -> Belief:
    """The beliefs on the day of the first meet, before the weigh-in.

    female, age_years : (n,), age nan where unknown
    """
    count = len(female)
    age = np.where(np.isnan(age_years), USUAL_AGE, age_years)
    first = np.array(people.first)
    sex = np.where(female > 0, 0, 1)
    mass, mass_sd = np.array(people.mass_mean)[sex], np.array(people.mass_sd)[sex]
    lean = mass - np.log(MIDDLE_MASS_KG)
    facts = np.stack([np.ones(count), female, lean, lean * female, *over_and_under(age)], axis=1)
    mean, cov = np.zeros((count, SIZE)), np.zeros((count, SIZE, SIZE))
    mean[:, X] = facts @ first.T + np.array(people.reserve)
    _, old, _ = over_and_under(age)
    mean[:, RATE] = np.array(people.rate) + (people.rate_female * female + people.rate_old * old)[:, None]
    mean[:, MASS] = mass
    slope = first[:, 2] + first[:, 3] * female[:, None]
    cov[:, X, X] = np.array(people.first_like) * np.outer(people.first_sd, people.first_sd)
    cov[:, X, X] += slope[:, :, None] * slope[:, None, :] * (mass_sd**2)[:, None, None]
    cov[:, X, MASS] = cov[:, MASS, X] = slope * (mass_sd**2)[:, None]
    cov[:, MASS, MASS] = mass_sd**2
    rate_sd = people.rate_sd * np.where(female > 0, people.rate_sd_women, 1.0)
    cov[:, RATE, RATE] = shared(3, people.rate_shared) * rate_sd[:, None, None] ** 2
    shares = CLASS_SHARES * np.exp(np.array(people.tilt)[sex, None] * np.array([-1.0, 0.0, 1.0]))
    parts = len(CLASS_SHARES) * 2
    odd = np.array([1.0 - people.debut, people.debut])
    weights = np.repeat(shares / shares.sum(axis=1, keepdims=True), 2, axis=1) * np.tile(odd, 3)
    covs = np.repeat(cov[:, None], parts, axis=1)
    covs[:, :, RATE, RATE] *= restlessness(people, parts)[:, None, None] ** 2
    state = Mixture(weights, np.repeat(mean[:, None], parts, axis=1), covs)
    return Belief(state, np.zeros(count), np.zeros((count, 3)), 0)


def over_and_under(age: Floats) -> tuple[Floats, Floats, Floats]:
    """Years under 23, over 35 and over 55."""
    return np.maximum(0.0, YOUNG_TO - age), np.maximum(0.0, age - OLD_FROM), np.maximum(0.0, age - VERY_OLD_FROM)


def lost_after(weeks: Floats, people: Competitors) -> Floats:
    """ln of strength lost in ``weeks`` without showing the lift."""
    return np.asarray(people.loss_per_week * np.maximum(0.0, weeks - people.rest_weeks))


def later(belief: Belief, days: Floats, age_years: Floats, people: Competitors) -> Belief:
    """The beliefs ``days`` (n,) > 0 later, on the morning of the next meet; age_years (n,) before, nan if unknown."""
    weeks = days / 7.0
    age = np.where(np.isnan(age_years), USUAL_AGE, age_years)
    clock = belief.weeks + people.clock_weeks
    young, old, very_old = over_and_under(age)
    aging = (people.young * young + people.old * old + people.very_old * very_old) * weeks / 52.0
    lost = lost_after(belief.unseen + weeks[:, None], people) - lost_after(belief.unseen, people)
    before = belief.state if belief.meets == 1 else collapsed(belief.state, 3)
    state = grown(before, X, RATE, np.log1p(weeks / clock), aging[:, None] - lost)
    parts = before.weights.shape[1]
    noise = np.zeros((len(days), parts, 2, SIZE, SIZE))
    length = 10.0 * (weeks / 10.0) ** people.walk_power
    lively = length * (1.0 + people.walk_new * people.clock_weeks / clock) ** 2
    scale = restlessness(people, parts)[:, None] * np.array([1.0, people.rough_times])
    walk = shared(3, people.walk_shared) * np.outer(people.walk, people.walk)
    noise[..., X, X] = (lively[:, None, None] * scale**2)[..., None, None] * walk
    pull = np.array([*people.mass_pull, 0.0, 0.0, 0.0, 1.0])
    noise += (people.mass_walk**2 * length)[:, None, None, None, None] * np.outer(pull, pull)
    rough = -np.expm1(-people.rough_chance * weeks)
    state = branched(state, np.stack([1.0 - rough, rough], axis=-1)[:, None], noise)
    return Belief(state, belief.weeks + weeks, belief.unseen + weeks[:, None], belief.meets)


def weighed(belief: Belief, body_mass_kg: Floats, people: Competitors) -> Belief:
    """The beliefs after a weigh-in, (n,) kg, nan where there was none."""
    count = int((~np.isnan(body_mass_kg)).sum())
    reading = bells(np.ones((1, 1)), np.zeros((1, 1)), np.full((1, 1), people.mass_reading**2), count)
    return replace(belief, state=with_reading(belief.state, MASS, np.log(body_mass_kg), reading)[0])


def bells(weight: Floats, offset: Floats, variance: Floats, count: int) -> Reading:
    """A reading of bell curves only, at ``offset`` from a value that is added later."""
    return Reading(weight, offset, variance, *(np.zeros(count),) * 3, np.ones(count), np.zeros(count))


def with_reading(state: Mixture, number: int, value: Floats, offsets: Reading) -> tuple[Mixture, Floats]:
    """(the state after ``value`` (n,) of one of its numbers was seen, (n,) log chance of it).

    Nothing changes where the value is nan.

    offsets : the reading of the rows that have a value, relative to it
    """
    who = np.flatnonzero(~np.isnan(value))
    log_chance = np.zeros(len(value))
    if not len(who):
        return state, log_chance
    at = np.full((len(who), 1), number, dtype=np.intp)
    reading = replace(offsets, value=offsets.value + value[who])
    after, log_chance[who], _ = observed(state.rows(who), Line(at, np.ones(at.shape)), reading)
    if len(who) == len(value):
        return after, log_chance
    weights, mean, cov = state.weights.copy(), state.mean.copy(), state.cov.copy()
    weights[who], mean[who], cov[who] = after.weights, after.mean, after.cov
    return Mixture(weights, mean, cov), log_chance


def expected(belief: Belief, people: Competitors) -> Forecast:
    """The forecast of the bests of the day, from what is believed before them."""
    mean = belief.state.mean[:, :, X]
    variance = np.einsum("njii->nji", belief.state.cov[:, :, X, X])
    drops, sds, chances = kinds_of_day(belief.unseen, people)
    scale = restlessness(people, mean.shape[1])
    means = mean[:, None] - np.array(people.shown) - drops[:, None]
    variances = variance[:, None] + (sds[:, None] * scale[:, None]) ** 2
    weights = belief.state.weights[:, None, :, None] * chances[:, :, None]
    count = len(mean)
    return Forecast(*(np.moveaxis(one, 3, 1).reshape(count, 3, -1) for one in (weights, means, variances)))


def kinds_of_day(unseen: Floats, people: Competitors) -> tuple[Floats, Floats, Floats]:
    """Usual, submaximal and far-off results: (3, 3 lifts) drop below a usual best and sd, (n, 3, 3 lifts) chance.

    unseen : (n, 3) weeks since each lift was last shown; after a long break a submaximal day is more likely
    """
    away = -np.expm1(-np.maximum(0.0, unseen - people.rest_weeks) / 52.0)
    easy, drop, sd = (np.array(one) for one in (people.easy_chance, people.easy_drop, people.easy_sd))
    easy = 1.0 / (1.0 + (1.0 - easy) / easy * np.exp(-people.comeback * away))
    rest = 1.0 - people.far_chance
    drops = np.stack([np.zeros(3), drop, 2.0 * drop])
    sds = np.stack([np.array(people.reading), sd, people.far_times * sd])
    return drops, sds, np.stack([(1.0 - easy) * rest, easy * rest, np.full_like(easy, people.far_chance)], axis=1)


def learned(belief: Belief, best_kg: Floats, failed_kg: Floats, all_known: Flags, people: Competitors) -> Belief:
    """The beliefs after the bests and failed attempts of the day, all (n, 3); see ``MeetTable``."""
    parts = belief.state.weights.shape[1]
    halves = (slice(0, parts, 2), slice(1, parts, 2)) if belief.meets == 0 else (slice(0, parts),)
    states, logs = [], []
    for number, half in enumerate(halves):
        weights = belief.state.weights[:, half]
        total = weights.sum(axis=1)
        state = Mixture(weights / total[:, None], belief.state.mean[:, half], belief.state.cov[:, half])
        log_chance = np.log(total)
        for lift in range(3):
            best, failed = np.log(best_kg[:, lift]), np.log(failed_kg[:, lift])
            has = ~np.isnan(best)
            reading = shown_reading(
                best[has], failed[has], all_known[has, lift], belief.unseen[has], lift, state.weights.shape[1], people
            )
            if len(halves) > 1 and number == 0:
                reading = replace(reading, weight=np.array([[1.0], [0.0], [0.0]]) * np.ones_like(reading.weight))
            state, log_one = with_reading(state, lift, best, reading)
            log_chance = log_chance + log_one
        states.append(state)
        logs.append(log_chance)
    share = np.exp(np.stack(logs) - np.max(logs, axis=0))
    share /= share.sum(axis=0)
    mean, cov, weights = belief.state.mean.copy(), belief.state.cov.copy(), belief.state.weights.copy()
    for half, state, part in zip(halves, states, share, strict=True):
        weights[:, half], mean[:, half], cov[:, half] = state.weights * part[:, None], state.mean, state.cov
    return Belief(
        Mixture(weights, mean, cov), belief.weeks, np.where(np.isnan(best_kg), belief.unseen, 0.0), belief.meets + 1
    )


def shown_reading(
    best: Floats, failed: Floats, all_known: Flags, unseen: Floats, lift: int, parts: int, people: Competitors
) -> Reading:
    """What the bests of one lift say about capability on the day, relative to the best; all (n,) in ln kg.

    A failed attempt shifts and narrows the usual reading. A hard interval, from the best to the failed attempt (or as
    far as attempts are chosen below capability where nothing failed), was tried in its place and forecast worse: log
    score a lift 1.424 against 1.431, on 3,000 of the fitting lifters that neither had been fitted on.
    """
    drops, sds, chances = kinds_of_day(unseen, people)
    scale = restlessness(people, parts)
    has_failed = ~np.isnan(failed)
    gap = np.where(has_failed, np.minimum(failed - best, WIDEST_GAP), 0.0)
    reserve = np.where(all_known, people.reserve[lift], 0.5 * people.reserve[lift])
    above = np.where(has_failed, people.failed_share * gap, reserve)
    sd = np.repeat(sds[:, lift, None], len(best), axis=1)
    sd[0] = np.where(has_failed, people.reading_failed[lift], sd[0])
    weight = chances[:, :, lift].T
    return bells(weight, above + drops[:, lift, None], (sd[:, :, None] * scale) ** 2, len(best))
