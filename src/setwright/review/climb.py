"""The climb ahead: for each step that is left the chance to be done by a date, the date of the top, the next dose.

The estimates of the strength room answer where the step has a load scale; else the trend of what its sessions reached.
Steps above take weeks out of a wide prior, which the demand of the step narrows where it can be reckoned. A climb of
many months is the usual case, and its range is honest rather than short.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from itertools import pairwise
from math import exp, log, sqrt

import numpy as np

from setwright.catalogue.exercise import Exercise, InsideStep, Measure, ProgressionStep
from setwright.catalogue.step_sizes import (
    Between,
    DemandOf,
    StepSize,
    in_between,
    nothing_known,
    step_size,
)
from setwright.catalogue.store import Catalogue
from setwright.people.trainee import Trainee
from setwright.review.progress import (
    Gate,
    Standing,
    Tried,
    amount_of,
    is_heavy,
    measure_of,
    open_everywhere,
    wanted_amount,
)
from setwright.strength.calling import usual_bias
from setwright.strength.climb import Ask, Climb, Seen, StepAhead, Trend, climb_of, trend_of, usual_slope
from setwright.strength.estimates import Estimates, LiftEstimate
from setwright.strength.expected import k_prior
from setwright.strength.holds import curve_of
from setwright.strength.logged import LoggedSet
from setwright.strength.mixture import Floats

CHECKPOINTS = (4, 8, 12, 26)
SET_LOSS, SET_LOSS_SD = 0.05, 0.10  # of ln amount for each set that a session had too few (this project's choice)
UNKNOWN_LOAD_SD = 0.30
CALL_SD = 0.4
SCALED = ("total", "each hand", "added")
USUAL_SESSIONS_A_WEEK = 2.0
PACE_WEEKS = 8.0
USUAL_REPS_ASIDE = 10.0  # what an exercise sideways of a step is built on: common practice, no published source
NUMBERS = ("hand_height_cm", "foot_height_cm", "step_cm", "range_deg", "held_angle_deg")


@dataclass(frozen=True)
class Opened:
    """With what an exercise is open: ``dials`` and ``cautions`` that restrictions bring, whether only light work is.

    ``limited``: some restriction is in force, so that no load is put on by a proposal.
    """

    dials: Mapping[str, object] = field(default_factory=dict)
    cautions: tuple[str, ...] = ()
    is_light: bool = False
    limited: bool = False


Opens = Callable[[str], Opened]


def as_it_stands(slug: str) -> Opened:
    """An exercise that nothing limits."""
    return Opened()


@dataclass(frozen=True)
class Dose:
    """What to do next: sets of ``low`` to ``high`` in a measure, rest, load and dials; ``words`` as on a sheet."""

    exercise: str
    sets: int
    low: float
    high: float
    measure: Measure
    rest_s: float
    load_kg: float | None
    dials: Mapping[str, object]
    small: InsideStep | None
    words: str


@dataclass(frozen=True)
class StepAheadOfYou:
    """One step of the climb: chance to have done it by the weeks of ``CHECKPOINTS`` and by a date asked, and when.

    ``dates``: days by which it is done with chances of 10, 50 and 90 %, None beyond four years.
    ``size``: how it follows the step before; ``between``: what could be put in between where that is too much.
    ``closed``: reasons that close it here; ``sideways``: what is open instead; ``limited``: what restrictions leave of
    it for now, or empty.
    """

    step: ProgressionStep
    place: int
    chances: tuple[float, ...]
    dates: tuple[date | None, date | None, date | None]
    size: StepSize | None = None
    between: tuple[Between, ...] = ()
    closed: tuple[str, ...] = ()
    sideways: tuple[str, ...] = ()
    chance_asked: float | None = None
    limited: str = ""


@dataclass(frozen=True)
class ClimbAhead:
    """The whole climb of one trainee on one progression, as of ``today``.

    ``amount``: what all sets of the exit test would reach on a usual day now, middle and 8 times in 10; ``rests_on``
    says by what. The last of ``steps`` is the top.
    """

    standing: Standing
    today: date
    steps: tuple[StepAheadOfYou, ...]
    dose: Dose | None
    amount: tuple[float, float, float] | None
    rests_on: str
    sessions_a_week: float
    checkpoints: tuple[int, ...] = CHECKPOINTS
    asked: date | None = None
    notes: tuple[str, ...] = field(default=())


def climb_ahead(
    standing: Standing,
    trainee: Trainee,
    catalogue: Catalogue,
    estimates: Estimates,
    today: date,
    demand: DemandOf = nothing_known,
    gate: Gate = open_everywhere,
    asked: date | None = None,
    opens: Opens = as_it_stands,
) -> ClimbAhead:
    """The climb from where somebody stands. The estimates must rest on the same log.

    gate, opens : what closes an exercise, and with which dials, cautions and loads it is open
    """
    now = standing.to if standing.verdict == "step back" and standing.to is not None else standing.step
    goes_back = now is not standing.step
    way = standing.way
    place = [one.number for one in way].index(now.number)
    a_week = sessions_a_week(standing.sessions)
    exercise = catalogue.get(now.exercise)
    ask = ask_of(now, exercise)
    trend, rests_on = (None, "a step back: nothing is taken for granted")
    if not goes_back:
        trend, rests_on = trend_now(standing, ask, exercise, trainee, estimates, today)
    left = 1 if goes_back else max(0, now.exit_sessions - len(standing.met_on))
    if standing.verdict == "step up":
        left = 0
    drawn = climb_of(
        ask,
        trend,
        left,
        [ahead_of(before, one, catalogue, demand, estimates, trainee) for before, one in pairwise(way[place:])],
        trainee.training_years,
        a_week,
    )
    weeks_asked = None if asked is None else (asked - today).days / 7.0
    steps = []
    for i, step in enumerate(way[place:]):
        before = way[place + i - 1] if i else None
        size = None if before is None else step_size(before, step, demand)
        closed = gate(step.exercise)
        steps.append(
            StepAheadOfYou(
                step,
                place + i + 1,
                tuple(round(drawn.chance_by(weeks)[i], 2) for weeks in CHECKPOINTS),
                (day_of(drawn, i, 0.1, today), day_of(drawn, i, 0.5, today), day_of(drawn, i, 0.9, today)),
                size,
                () if before is None or closed else open_between(before, step, catalogue, demand, gate, opens),
                closed,
                tuple(slug for slug in step.sideways if not gate(slug)) if closed else (),
                None if weeks_asked is None else round(drawn.chance_by(weeks_asked)[i], 2),
                "" if closed else limit_words(opens(step.exercise)),
            )
        )
    amount = None if trend is None else trend.amount()
    dose = next_dose(standing, amount, trainee, catalogue, opens)
    notes = () if dose is None else opens(dose.exercise).cautions
    return ClimbAhead(standing, today, tuple(steps), dose, amount, rests_on, a_week, asked=asked, notes=notes)


def limit_words(opened: Opened) -> str:
    """What a restriction leaves of an open exercise: part of its range, one side, or light work; empty where all."""
    said = []
    ends = opened.dials.get("range_deg")
    if isinstance(ends, (list, tuple)) and len(ends) == 2:
        motion = str(opened.dials.get("range_of", "range")).replace("-", " ")
        said.append(f"{motion} only from {ends[0]:g} to {ends[1]:g} degrees")
    if opened.is_light:
        said.append("light only")
    return ", ".join(said)


def open_between(
    now: ProgressionStep, later: ProgressionStep, catalogue: Catalogue, demand: DemandOf, gate: Gate, opens: Opens
) -> tuple[Between, ...]:
    """What could be put between two steps and is open as it is said: no exercise that a restriction closes or crops."""

    def is_open(one: Between) -> bool:
        opened = opens(one.exercise)
        return not gate(one.exercise) and not opened.dials and not (opened.limited and one.dial == "load")

    return tuple(one for one in in_between(now, later, catalogue, demand) if is_open(one))


def day_of(drawn: Climb, step: int, share: float, today: date) -> date | None:
    """The day by which a step is done with a chance."""
    weeks = drawn.quantile(step, share)
    return None if weeks is None else today + timedelta(days=round(7.0 * weeks))


def sessions_a_week(sessions: Sequence[Tried]) -> float:
    """How often the step was trained a week of late; two where the log is too short to tell."""
    days = sorted({one.date for one in sessions})
    recent = [day for day in days if (days[-1] - day).days <= 7 * PACE_WEEKS]
    if len(recent) < 3:
        return USUAL_SESSIONS_A_WEEK
    span = max(1.0, (recent[-1] - recent[0]).days / 7.0)
    return float(min(4.0, max(0.5, (len(recent) - 1) / span)))


def ask_of(step: ProgressionStep, exercise: Exercise) -> Ask | None:
    """What the exit test asks as a number, or None where it is no set."""
    measure, amount = measure_of(step), wanted_amount(step)
    if measure is None or amount is None:
        return None
    return Ask(measure, float(amount), exp(k_prior(exercise)[0]), curve_of(exercise).region)


def ahead_of(
    before: ProgressionStep,
    step: ProgressionStep,
    catalogue: Catalogue,
    demand: DemandOf,
    estimates: Estimates,
    trainee: Trainee,
) -> StepAhead:
    """A step above, with how much more strength it takes than the one before where that can be reckoned.

    By the demand of both where the port knows it, else by what the estimates say is short of both exit tests today.
    """
    ask = ask_of(step, catalogue.get(step.exercise))
    below = ask_of(before, catalogue.get(before.exercise))
    size = step_size(before, step, demand)
    more = None
    if ask is not None and below is not None and ask.measure == below.measure:
        if size.ratio is not None:
            more = log(size.ratio) + ask.strain() - below.strain()
        else:
            first, last = (shortfall(one, catalogue, estimates, trainee) for one in (before, step))
            more = None if last is None else last - max(0.0, first or 0.0)
    return StepAhead(ask, step.exit_sessions, more)


def shortfall(step: ProgressionStep, catalogue: Catalogue, estimates: Estimates, trainee: Trainee) -> float | None:
    """ln strength that is missing today for the repetitions of an exit test; below 0 where there is some to spare.

    None without a load scale: no load named, and no known part of the body that is moved. A step that differs from its
    exercise by a number (hands on 30 cm) has none either: the estimate is of the exercise as it stands.
    """
    exercise = catalogue.get(step.exercise)
    ask = ask_of(step, exercise)
    if ask is None or ask.measure != "reps" or any(name in step.dials for name in NUMBERS):
        return None
    lift = estimates.for_exercise(exercise.slug)
    load = added_or_help(step, trainee)
    whole = (load or 0.0) + lift.body_part_kg
    if lift.basis == "body mass" or whole <= 0 or (load is None and exercise.load_means not in ("added", "body")):
        return None
    return log(whole) + ask.strain() - log(lift.posterior.one_rm().mean)


def trend_now(
    standing: Standing, ask: Ask | None, exercise: Exercise, trainee: Trainee, estimates: Estimates, today: date
) -> tuple[Trend | None, str]:
    """(the belief about the step now, what it rests on)."""
    if ask is None:
        return None, "this test is measured, not logged"
    lift = estimates.lifts.get(exercise.slug)
    step = standing.step
    is_scaled = exercise.load_means in SCALED or step.exit_help_share is not None
    if lift is not None and lift.basis == "sets" and ask.measure == "reps" and is_scaled:
        load = added_or_help(step, trainee)
        if load is not None or exercise.load_means == "added":
            found = from_estimate(lift, (load or 0.0) + lift.body_part_kg, ask, step, trainee)
            if found is not None:
                return found, f"the estimate of the lift, {lift.rests_on}"
    seen = [one for one in (seen_of(row, step, ask, trainee, today) for row in standing.sessions) if one is not None]
    if not seen:
        return None, "no session at this step yet: what steps usually take"
    count = len(seen)
    return (
        trend_of(ask, seen, trainee.training_years),
        f"{count} session{'s' if count > 1 else ''} at this step",
    )


def load_asked(step: ProgressionStep, trainee: Trainee) -> float | None:
    """The load that the exit test asks, kg as printed; None where it names none."""
    return None if step.exit_load_share is None else step.exit_load_share * trainee.body_mass_kg


def added_or_help(step: ProgressionStep, trainee: Trainee) -> float | None:
    """The load that the exit test asks beside the body, kg: help below 0; None where it names neither."""
    if step.exit_help_share is not None:
        return -step.exit_help_share * trainee.body_mass_kg
    return load_asked(step, trainee)


def from_estimate(
    lift: LiftEstimate, load_kg: float, ask: Ask, step: ProgressionStep, trainee: Trainee
) -> Trend | None:
    """The belief about the repetitions of the last set of the exit test, by the estimate of the lift."""
    if load_kg <= 0:
        return None
    counts = np.arange(1.0, 61.0)
    before = (step.exit_sets or 1) - 1
    chances = np.array([lift.posterior.chance(load_kg, float(count), 0.0, before) for count in counts])
    if step.exit_help_share is not None and chances[0] < 0.5:
        return None  # not one repetition with so little help yet: the help comes down first, which takes weeks
    middle, low, high = (reps_at_chance(counts, chances, share) for share in (0.5, 0.841, 0.159))
    level_sd = max(0.05, 0.5 * (log(high) - log(low)))
    day = ask.day_sd(middle)
    slope, slope_sd = usual_slope(ask, trainee.training_years)
    if lift.trend_per_week is not None:
        rate = lift.trend_per_week.mean / lift.posterior.one_rm().mean * ask.per_strength()
        sd = max(0.002, lift.trend_per_week.sd / lift.posterior.one_rm().mean * ask.per_strength())
        weight = slope_sd**2 / (slope_sd**2 + sd**2)
        slope, slope_sd = slope + weight * (rate - slope), slope_sd * sqrt(1.0 - weight)
    variance = max(level_sd**2 - day**2, 0.03**2)  # the chance holds the day's ups and downs; they are drawn again
    return Trend(np.array([log(middle), slope]), np.diag([variance, slope_sd**2]))


def reps_at_chance(counts: Floats, chances: Floats, share: float) -> float:
    """Repetitions that are done with a chance, between whole numbers on the line; half of one at least."""
    if chances[0] <= share:
        return max(0.5, float(chances[0] / share))
    below = int(np.argmax(chances <= share)) if (chances <= share).any() else len(counts) - 1
    if below == 0:
        return float(counts[0])
    high, low = chances[below - 1], chances[below]
    part = 0.0 if high == low else float((high - share) / (high - low))
    return float(counts[below - 1]) + min(1.0, max(0.0, part))


def seen_of(one: Tried, step: ProgressionStep, ask: Ask, trainee: Trainee, today: date) -> Seen | None:
    """What one session says of the exit test; None where it was done with a dial that makes it easier."""
    if not one.amounts or not one.at_exit_dials:
        return None
    if any(not is_heavy(row, step, trainee) for row in one.rows) and step.exit_help_share is not None:
        return None
    wanted_sets = step.exit_sets or 1
    at = min(wanted_sets, len(one.amounts)) - 1
    amount = one.amounts[at]
    missing = wanted_sets - at - 1
    row = last_with(one.rows, amount, ask.measure)
    extra = missing * SET_LOSS_SD
    is_at_least = False
    stopped = row is not None and row.ended_by in ("muscle", "form", "balance", "grip", "breath", "pain")
    if row is not None and not stopped:
        if row.rir is not None and ask.measure == "reps":
            left = row.rir + float(usual_bias(row.rir, amount))
            extra = sqrt(extra**2 + ((CALL_SD + 0.15 * row.rir) / max(1.0, amount + left)) ** 2)
            amount += left
        else:
            is_at_least = row.ended_by == "planned" or amount >= ask.amount or bool(row.rir)
    amount *= exp(-SET_LOSS * missing)
    load = load_asked(step, trainee)
    if load is not None:
        if not one.load_kg:
            extra = sqrt(extra**2 + UNKNOWN_LOAD_SD**2)
        else:
            lighter = log(load / one.load_kg)
            amount = (
                amount - lighter / ask.curve_k()
                if ask.measure == "reps"
                else amount * exp(-lighter * ask.per_strength())
            )
    return Seen(float((today - one.date).days), max(0.5, amount), is_at_least, extra)


def last_with(rows: Sequence[LoggedSet], amount: float, measure: Measure) -> LoggedSet | None:
    """The last set of a session that reached just this amount: its end says most."""
    same = [row for row in rows if amount_of(row, measure) == amount]
    return max(same, key=lambda row: row.set) if same else None


def next_dose(
    standing: Standing,
    amount: tuple[float, float, float] | None,
    trainee: Trainee,
    catalogue: Catalogue,
    opens: Opens = as_it_stands,
) -> Dose | None:
    """What to do next time: two left of what is likely there, or the exit test where that is reached.

    On a new step, and after a step back, it starts at 60 % of what its exit test asks (common practice, no published
    source). Nothing where pain stopped it; what restrictions set or keep light goes with it.
    """
    if (
        standing.stopped
        or standing.verdict in ("top reached", "closed")
        or not (standing.exercise or standing.verdict == "stay")
    ):
        return None
    step = standing.to or standing.step
    slug = standing.exercise or step.exercise
    exercise = catalogue.get(slug)
    measure = exercise.measured_in
    own = measure_of(step)
    usual = {"reps": 8.0, "seconds": 30.0, "metres": 20.0}[measure]
    wanted = float(wanted_amount(step) or usual) if own == measure or own is None else usual
    is_aside = slug != catalogue.get(step.exercise).slug
    if is_aside and measure == "reps":
        wanted = max(wanted, USUAL_REPS_ASIDE)  # singles of a hard step are no dose for what stands in for it
    is_here = step is standing.step and slug == catalogue.get(step.exercise).slug and own == measure
    is_here = is_here and standing.verdict != "step back"
    if is_here and amount is not None and standing.sessions:
        likely = amount[0] - 2.0 if measure == "reps" else 0.85 * amount[0]
        high = max(1.0, min(wanted, likely))
    else:
        high = max(1.0, 0.6 * wanted)
    low = max(1.0, 0.8 * high)
    if measure == "reps":
        high = float(round(high))
        low = max(1.0, high - 2.0)
    else:
        low, high = rounded(low), rounded(high)
    small = standing.small
    dials = dict(step.dials) if slug == catalogue.get(step.exercise).slug else {}
    if small is not None:
        dials.update(small.sets)
    elif standing.verdict == "step up" and step.inside and slug == catalogue.get(step.exercise).slug:
        small = step.inside[0]
        # It begins easier than tested: the dials of the test would contradict the words.
        dials = {name: value for name, value in dials.items() if not any(name in one.sets for one in step.inside)}
    sets = min(3, step.exit_sets or 3)
    rest = (120.0 if wanted > 5 else 180.0) if measure == "reps" else 75.0
    load = load_asked(step, trainee) if slug == catalogue.get(step.exercise).slug else None
    opened = opens(exercise.slug)
    load = None if load is None or opened.is_light else round(2.0 * load) / 2.0
    dials.update(opened.dials)
    words = dose_words(exercise, sets, low, high, measure, rest, load, small, standing.verdict, opened, dials)
    return Dose(slug, sets, low, high, measure, rest, load, dials, small, words)


def rounded(amount: float) -> float:
    """Seconds and metres as a coach says them: to fives above twenty."""
    return float(max(5, 5 * round(amount / 5))) if amount >= 20 else float(max(1, round(amount)))


def dose_words(
    exercise: Exercise,
    sets: int,
    low: float,
    high: float,
    measure: Measure,
    rest_s: float,
    load_kg: float | None,
    small: InsideStep | None,
    verdict: str,
    opened: Opened,
    dials: Mapping[str, object],
) -> str:
    """The dose in a line, as on a sheet; heights of the step stand behind the name."""
    span = f"{high:g}" if low == high else f"{low:g} to {high:g}"
    unit = {"reps": "", "seconds": " s", "metres": " m"}[measure]
    one_side = opened.dials.get("side")
    side = f" on the {one_side} side only" if one_side else " each side" if exercise.per_side else ""
    load = ""
    if load_kg:
        hands = " in each hand" if exercise.is_held_in_both_hands else ""
        load = f" with about {load_kg:g} kg{hands}"
    heights = [
        f"{value:g} cm" for key, value in dials.items() if key.endswith("_cm") and isinstance(value, (int, float))
    ]
    name = ", ".join([exercise.name, *heights])
    text = f"{name}, {sets} x {span}{unit}{side}{load}, rest {rest_s:g} s, two left in each set"
    if measure != "reps":
        text = text.replace(", two left in each set", ", stop before the form goes")
    said = limit_words(opened)
    if said:
        text += f", {said}"
    if small is not None and verdict == "small step":
        return f"{text}; {small.dial}: {small.to}"
    if small is not None:
        return f"{text}. Begin with {small.dial} set so: {small.from_}. When {small.when}: {small.to}"
    return text
