"""What is believed about each lift, in a coach's words: now, change, forecast, what it rests on, what would sharpen it.

Values in, the report of ``strength_report`` out. Every number carries its range.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date, timedelta
from math import exp, floor

import numpy as np

from setwright.body.units import LB_KG
from setwright.catalogue.exercise import Exercise
from setwright.dose.first_session import FirstSession, find_your_load
from setwright.dose.prescribe import COARSE_STEP
from setwright.people.place import Place
from setwright.people.trainee import Goal
from setwright.plan.asking import Asking, asking
from setwright.plan.special_schemes import suits_hold_reps_hold
from setwright.publish.own_words import was_done_then
from setwright.publish.page import trend_text
from setwright.publish.strength_chart import BandPoint, LiftChart, SetKind, SetPoint
from setwright.publish.strength_report import LiftReport, StrengthReport
from setwright.publish.units import Unit, in_unit, mass_text, number_text, range_text
from setwright.publish.words import date_text, singular
from setwright.strength.calling import usual_bias
from setwright.strength.course import Course, Day
from setwright.strength.estimates import Estimates, LiftEstimate, seconds_at, seconds_of_lift
from setwright.strength.evidence import SetEvidence
from setwright.strength.gathering import own_part
from setwright.strength.holds import LEAST_SHARE, Endurance, curve_of, hold_figures
from setwright.strength.mixture import point_with_share
from setwright.strength.next_meet import CONTESTED, NextBest, next_bests
from setwright.strength.posterior import WIDE
from setwright.strength.sharpen import SURE, Question, best_questions, sets_until_sure, usual_work
from setwright.strength.spread import Spread

FORECAST_WEEKS = (2, 4, 6, 8)
SHARES = (0.6, 0.7, 0.8, 0.9)
LITTLE = 0.9  # a set that leaves more than this of the spread is not worth asking for (this project's line)
DEFAULT_REPS, DEFAULT_RIR = 6, 2.0
TOLD_SECONDS = (90.0, 60.0, 30.0)
MOST_HELD_OF_1RM = 0.85  # heavier holds are told to nobody who has not done them (this project's line)
LONG_HOLD_S = 300.0  # beyond it seconds are not told: load something instead (this project's line)
MARKS: dict[str, SetKind] = {
    "called": "called",
    "failure": "failure",
    "lower-bound": "at least",
    "easy": "at least",
    "test": "test",
}


def of_all(estimates: Estimates, places: Sequence[Place], unit: Unit, until: date | None = None) -> StrengthReport:
    """The report on every lift with sets, the most trained first; ``until``: the day to forecast to."""
    lifts = [estimates.lifts[slug] for slug in most_trained(estimates)]
    bias = estimates.effort_bias_reps()
    return StrengthReport(
        title="How strong, and how sure",
        subtitle="One-repetition maximum: it lies in the range 8 times in 10",
        made_for=f"{estimates.trainee.name}, as of {date_text(estimates.today)}",
        effort_text=" ".join([bias_text(bias), *(f"{text}." for text in hold_texts(estimates, unit))]),
        lifts=tuple(of_one(one, estimates, places, unit, until) for one in lifts),
    )


def most_trained(estimates: Estimates) -> list[str]:
    """The lifts with sets, those with most of them first."""
    return sorted(estimates.lifts, key=lambda slug: (-estimates.lifts[slug].sets_used, slug))


def bias_text(bias: Spread) -> str:
    """How reserves are called, in a sentence."""
    if bias.p10 > 0:
        return (
            f"Has more left than is called: where four are called, about {bias.mean:.1f} more are there "
            f"({bias.p10:.1f} to {bias.p90:.1f})."
        )
    return (
        f"Calls fit so far: where four left are called, {bias.mean:+.1f} ({bias.p10:+.1f} to {bias.p90:+.1f}), "
        "which may be nothing."
    )


def of_one(
    one: LiftEstimate, estimates: Estimates, places: Sequence[Place], unit: Unit, until: date | None = None
) -> LiftReport:
    """The report on one lift, with sets or without."""
    exercise = estimates.catalogue.get(one.exercise)
    sets = estimates.evidence.get(one.exercise, ())
    lift = place_of(one, estimates)
    may = asking(exercise, estimates.trainee, estimates.today, last_day(estimates))
    first = first_session(one, exercise, places, sets, may) if may.is_open and may.may_search else None
    return LiftReport(
        name=exercise.name,
        now_text=now_text(one, unit),
        rests_on=rests_text(one, estimates, unit),
        sharpen=sharpen_of(one, estimates, lift, sets, first, may, unit) or why_no_search(one, may),
        trend_text="" if one.trend_per_week is None else trend_text(one.trend_per_week, unit),
        change_text=gain_text(one, estimates),
        forecast_text="" if lift is None else forecast_text(estimates, lift, one, unit, until),
        target_text="" if lift is None else target_text(estimates, lift, one, unit),
        reps_rows=reps_rows(one, unit),
        first_session=() if first is None else first_lines(first, unit),
        notes=(*notes_of(one, unit), *next_best_notes(one, estimates, unit, until)),
        chart=None if lift is None else chart_of(one, estimates, lift, exercise, unit, until),
    )


def last_day(estimates: Estimates) -> date | None:
    """The last day with sets that tell something; None without any."""
    return max((row.date for rows in estimates.evidence.values() for row in rows), default=None)


def place_of(one: LiftEstimate, estimates: Estimates) -> int | None:
    """Which of the followed lifts it is; None for a lift without sets that count."""
    if estimates.course is None or one.exercise not in estimates.evidence or not one.sets_used:
        return None
    return list(estimates.evidence).index(one.exercise)


def followed_course(estimates: Estimates) -> Course:
    """The course of somebody who has logged something."""
    if estimates.course is None:
        raise LookupError("nothing is logged, so no course can be told")
    return estimates.course


def shown(whole: Spread, own_kg: float, unit: Unit, join: str = " to ") -> str:
    """A range of the whole load as the load that is printed, or as the help it takes."""
    if own_kg and whole.p90 < own_kg:
        return f"{range_text(own_kg - whole.p90, own_kg - whole.p10, unit, join)} of help"
    return range_text(whole.p10 - own_kg, whole.p90 - own_kg, unit, join)


def now_text(one: LiftEstimate, unit: Unit) -> str:
    """The 1RM today with its range."""
    whole, own = one.posterior.one_rm(), one.body_part_kg
    middle = one.posterior.middle_kg() - own
    if own and middle < 0:
        return needs_help(whole, own, middle, unit)
    added = " added to the body" if own else ""
    return f"{shown(whole, own, unit)}{added}, most likely {mass_text(round(middle, 1), unit)}"


def needs_help(whole: Spread, own_kg: float, middle_kg: float, unit: Unit) -> str:
    """A body-weight lift that is not likely without help yet: how much help one repetition takes."""
    likely = mass_text(round(-middle_kg, 1), unit)
    most = mass_text(round(own_kg - whole.p10, 1), unit)
    if whole.p90 >= own_kg:
        return f"likely with {likely} of help, at most {most}; perhaps without any already"
    return f"not without help yet: one repetition with {shown(whole, own_kg, unit)}"


def load_or_help(load_kg: float, unit: Unit) -> str:
    """A printed load, or the help that a negative one stands for.

    >>> load_or_help(-10.0, "kg")
    '10 kg of help'
    """
    if load_kg < 0:
        return f"{mass_text(round(-load_kg, 3), unit)} of help"
    return mass_text(round(load_kg, 3), unit)


def rests_text(one: LiftEstimate, estimates: Estimates, unit: Unit) -> str:
    """What the belief rests on."""
    if one.basis == "sets":
        return singular(in_unit(one.rests_on, unit))
    if one.basis == "relatives":
        return f"no set of its own; {estimates.catalogue.get(one.rests_on).name} and body mass"
    return "no set of its own; body mass, sex, age and years of training" + (
        ", and all that is logged" if estimates.course is not None else ""
    )


def percent(share: float) -> str:
    """A spread as plus or minus so many percent.

    >>> percent(0.0449)
    '±4.5 %'
    """
    return f"±{float(f'{100 * share:.2g}'):g} %"


def why_no_search(one: LiftEstimate, may: Asking) -> str:
    """Why no loads to try are given for a lift without sets of its own; empty where its load is known."""
    fits = one.posterior.load_for(DEFAULT_REPS, max(DEFAULT_RIR, may.rir))
    if fits.sd <= WIDE * fits.mean:
        return ""
    if not may.is_open:
        return f"Nothing is asked for. {may.why_not}"
    if not may.may_search:
        return "No load is searched by climbing at a joint that a restriction eases: light work, as planned."
    return "No counted load here is sure to be light enough to begin with: take help, or an alternative."


def sharpen_of(
    one: LiftEstimate,
    estimates: Estimates,
    lift: int | None,
    sets: Sequence[SetEvidence],
    first: FirstSession | None,
    may: Asking,
    unit: Unit,
) -> str:
    """What would make a lift surer: its first session where the spread is wide, else the best set to ask for."""
    if first is not None:
        fits = one.posterior.load_for(first.reps, first.rir)
        spread = percent(fits.sd / fits.mean)
        return (
            f"the load for {first.reps} with {first.rir:g} left is only known to {spread}: find it by the loads below."
        )
    return "" if lift is None else sharpen_text(estimates, lift, sets, may, one.body_part_kg, unit)


def sharpen_text(
    estimates: Estimates, lift: int, sets: Sequence[SetEvidence], may: Asking, own_kg: float, unit: Unit
) -> str:
    """The set to ask for next, and how many until a working load is known to five percent."""
    course = followed_course(estimates)
    exercise = estimates.catalogue.get(list(estimates.evidence)[lift])
    if not may.is_open:
        return f"Nothing is asked for. {may.why_not}"
    asked, test = best_questions(course, lift, may.reps, may.rir, may.may_test)
    if asked is None:
        return f"Sets nearer to the last repetition (down to {may.rir:g} left), or with another load, tell most."
    text = f"{question_text(asked, own_kg, unit)} narrows it most: {percent(asked.before)} to {percent(asked.after)}"
    if exercise.load_means == "body":
        text = f"A set to {may.rir:g} left with the load that there is tells most: {percent(asked.before)} now"
        test = None
    elif asked.after > LITTLE * asked.before:
        text = f"No set that may be asked for narrows it much: {percent(asked.before)} now"
    if test is not None and test.after < asked.after - 0.003:
        text += f"; a tested single would reach {percent(test.after)}"
    reps, rir = usual_work(sets)
    count = sets_until_sure(course, lift, reps, rir)
    goal = f"the load for {reps} with {rir:g} left"
    if count == 0:
        text += f". {goal.capitalize()} is known to {percent(SURE)} or better"
    elif count is None:
        text += f". {goal.capitalize()} will stay less sure than {percent(SURE)}: days differ"
    else:
        text += f". About {count} more {'set' if count == 1 else 'sets'} until {goal} is known to {percent(SURE)}"
    return text + "."


def question_text(asked: Question, own_kg: float, unit: Unit) -> str:
    """A set to ask for, as a coach says it."""
    printed = round(asked.load_kg - own_kg, 1)
    load = f"near {mass_text(printed, unit)}" if printed >= 0 else f"with about {mass_text(-printed, unit)} of help"
    return f"A set of {asked.reps} with {asked.rir:g} left, {load},"


def gain_text(one: LiftEstimate, estimates: Estimates) -> str:
    """Whether the change of the last weeks is real, in words and as a chance."""
    if one.gained is None or estimates.course is None:
        return "too few days to tell a change from noise" if one.sets_used else ""
    if not was_done_then(one, estimates):
        return "not done long enough to tell a change"
    weeks = max(1, round((estimates.today - estimates.course.since).days / 7))
    over = f"over {weeks} weeks" if weeks > 1 else "over a week"
    if one.gained >= 0.9:
        return f"stronger {over}: {100 * one.gained:.0f} % sure"
    if one.gained <= 0.1:
        return f"weaker {over}: {100 * (1 - one.gained):.0f} % sure"
    return f"no clear change {over}: the chance of a gain is {100 * one.gained:.0f} %"


def forecast_text(estimates: Estimates, lift: int, one: LiftEstimate, unit: Unit, until: date | None) -> str:
    """The 1RM to be expected on a later day."""
    when = until or estimates.today + timedelta(weeks=FORECAST_WEEKS[-1])
    if when <= estimates.today:
        return ""
    then = followed_course(estimates).one_rm_on(when, lift)
    return f"{shown(then, one.body_part_kg, unit)} on {date_text(when)}, if training goes on as it did"


def goal_of(one: LiftEstimate, goals: Collection[Goal]) -> Goal | None:
    """The strength goal with a target that is about this lift."""
    for goal in goals:
        if goal.kind == "strength" and goal.about == one.exercise and goal.target and goal.unit in ("kg", "lb", ""):
            return goal
    return None


def target_kg(goal: Goal) -> float:
    """The target of a strength goal as a printed load, kg."""
    return float(goal.target or 0.0) * (LB_KG if goal.unit == "lb" else 1.0)


def target_text(estimates: Estimates, lift: int, one: LiftEstimate, unit: Unit) -> str:
    """When the target of a goal is to be expected, with its interval."""
    goal = goal_of(one, estimates.trainee.goals)
    if goal is None:
        return ""
    course, wanted = followed_course(estimates), target_kg(goal)
    early, middle, late = course.reached_by(wanted + one.body_part_kg, lift)
    text = f"{mass_text(wanted, unit)}: "
    if early is None:
        return text + "not to be expected within two years"
    if middle is None:
        return text + f"not before {date_text(early)} (one chance in ten); even chances not within two years"
    if late == estimates.today:
        return text + "most likely there already"
    text += "even chances now" if middle == estimates.today else f"even chances by {date_text(middle)}"
    start = "now" if early == estimates.today else date_text(early)
    end = date_text(late) if late is not None else "later than two years"
    text += f" (8 times in 10 between {start} and {end})"
    if goal.by is not None and goal.by > estimates.today:
        chance = course.chance_of(wanted + one.body_part_kg, goal.by, lift)
        text += f"; {100 * chance:.0f} % by {date_text(goal.by)}"
    return text


def reps_rows(one: LiftEstimate, unit: Unit) -> tuple[tuple[str, str, str], ...]:
    """Loads of the plates' step with the repetitions possible today."""
    whole, own = one.posterior.one_rm(), one.body_part_kg
    step = 5.0 * LB_KG if unit == "lb" else 2.5
    loads = sorted({round((whole.mean * share - own) / step) * step for share in SHARES})
    rows = []
    for load in loads:
        if load + own <= 0 or (load < 0 and own <= 0):
            continue
        reps = one.posterior.reps_at(load + own)
        rows.append((load_or_help(load, unit), f"{reps.mean:.0f}", f"{reps.p10:.0f} to {reps.p90:.0f}"))
    return tuple(rows)


def first_session(
    one: LiftEstimate, exercise: Exercise, places: Sequence[Place], sets: Sequence[SetEvidence], may: Asking
) -> FirstSession | None:
    """The loads that find the load, where the belief is too wide for one; None where it is not, or no place has any."""
    reps, rir = usual_work(sets) if sets else (DEFAULT_REPS, DEFAULT_RIR)
    reps, rir = max(reps, min(may.reps)), max(rir, may.rir)
    fits = one.posterior.load_for(reps, rir)
    if fits.sd <= WIDE * fits.mean or exercise.load_means == "assistance":
        return None
    for place in places:
        found = find_your_load(one, exercise, place, reps, rir)
        if found is not None and len(found.loads) > 1:
            return found
    return None


def first_lines(first: FirstSession, unit: Unit) -> tuple[str, ...]:
    """A first session as lines to read."""
    loads = ", ".join(number_text(one.load_kg, unit) for one in first.loads)
    chances = ", ".join(f"{100 * one.chance:.0f}" for one in first.loads)
    return (
        f"{first.reps} repetitions at {loads} {unit}, one after the other",
        f"Chance that each leaves {first.rir:g} or more: {chances} %",
        first.stop_rule(),
    )


def notes_of(one: LiftEstimate, unit: Unit) -> tuple[str, ...]:
    """Rows that wait for a check, in one line."""
    if not one.doubtful:
        return ()
    row, more = one.doubtful[0], len(one.doubtful) - 1
    load = mass_text(round(row.load_kg - one.body_part_kg, 1), unit)
    others = "" if not more else f" and {more} more"
    return (
        f"Check the set of {date_text(row.date)}, {load} x {row.reps:g}{others}: far from all that is known. "
        "It hardly counts until then.",
    )


def competition_day(one: LiftEstimate, estimates: Estimates, until: date | None) -> date:
    """The day to foretell a competition for: as asked, else the day of the goal, else in eight weeks."""
    goal = goal_of(one, estimates.trainee.goals)
    if until is not None:
        return until
    if goal is not None and goal.by is not None and goal.by > estimates.today:
        return goal.by
    return estimates.today + timedelta(weeks=FORECAST_WEEKS[-1])


def next_best_of(one: LiftEstimate, estimates: Estimates, until: date | None) -> NextBest | None:
    """The probable best of a competition, for contested lifts with tested singles; None for all others."""
    if one.exercise not in CONTESTED:
        return None
    when = competition_day(one, estimates, until)
    return next_bests(estimates.trainee, estimates.evidence, when).get(one.exercise)


def next_best_notes(one: LiftEstimate, estimates: Estimates, unit: Unit, until: date | None) -> tuple[str, ...]:
    """What a competition would probably bring, for lifts with tested singles."""
    told = next_best_of(one, estimates, until)
    if told is None:
        return ()
    between = range_text(told.p10, told.p90, unit, " to ")
    return (
        f"Best of a competition on {date_text(told.on)}: {between}, most likely {mass_text(round(told.p50, 1), unit)}, "
        f"as people with {told.tests} tests like these go on; what training says is the forecast above.",
    )


def suggested(row: SetEvidence, k: float, bias: float) -> float:
    """The 1RM, kg of the whole load, that one set suggests by the trainee's curve: its point in the chart."""
    if row.kind == "test" or row.reps <= 0:
        return row.load_kg
    left = max(0.0, row.rir + bias * float(usual_bias(row.rir, row.reps))) if row.kind == "called" else 0.0
    left = 0.5 if row.kind == "failure" else 2.0 if row.kind == "easy" else left
    return row.load_kg * exp(k * (row.reps + left - 1.0))


def mark_of(row: SetEvidence, is_doubtful: bool) -> SetKind:
    """How a set is drawn."""
    if is_doubtful:
        return "doubtful"
    if row.kind == "failure" and row.reps <= 0:
        return "failed"
    return MARKS[row.kind]


def label_of(row: SetEvidence, own_kg: float, unit: Unit) -> str:
    """A set in the trade's short form."""
    load = mass_text(round(row.load_kg - own_kg, 1), unit)
    said = {
        "called": f", {row.rir:g} left",
        "failure": ", the next failed" if row.reps else " failed",
        "easy": ", easy",
        "test": ", tested",
        "lower-bound": "",
    }
    return f"{load} x {row.reps:g}{said[row.kind]}" if row.reps else f"{load}{said[row.kind]}"


def band_point(day: Day, lift: int, own_kg: float) -> BandPoint:
    """The belief at the end of a day, as printed load."""
    low, middle, high = (
        float(np.exp(point_with_share(day.weights, day.mean[:, lift], day.variance[:, lift], share))) - own_kg
        for share in (0.1, 0.5, 0.9)
    )
    return BandPoint(day.date, low, middle, high)


def chart_of(
    one: LiftEstimate, estimates: Estimates, lift: int, exercise: Exercise, unit: Unit, until: date | None
) -> LiftChart:
    """The chart of a lift: what was believed after each of its days, its sets, and what is to come."""
    course, own = followed_course(estimates), one.body_part_kg
    rows = estimates.evidence[one.exercise]

    def point(row: SetEvidence) -> SetPoint:
        mark = mark_of(row, row in one.doubtful)
        return SetPoint(row.date, suggested(row, k, bias) - own, mark, label_of(row, own, unit))

    days = {row.date for row in rows if row not in one.doubtful}
    k = one.posterior.k().mean
    bias = float(one.posterior.weights @ one.posterior.mean[:, 2])
    today = estimates.today
    ends = [today + timedelta(weeks=week) for week in FORECAST_WEEKS]
    if until is not None and until > today:
        span = (until - today).days
        ends = sorted({today + timedelta(days=max(1, round(span * part / 4))) for part in range(1, 5)})
    forecast = []
    for when in ends:
        roster = course.on(when)
        mean, variance = course.marginal(roster, "x", lift)
        there = Day(when, roster.belief.weights[0], mean[:, None], variance[:, None])
        forecast.append(band_point(there, 0, own))
    goal = goal_of(one, estimates.trainee.goals)
    return LiftChart(
        exercise.name,
        unit,
        tuple(band_point(day, lift, own) for day in course.days if day.date in days),
        tuple(point(row) for row in rows),
        tuple(forecast),
        None if goal is None else target_kg(goal),
    )


def hold_seconds(one: LiftEstimate, estimates: Estimates, printed_kg: float) -> Spread:
    """Seconds that a printed load can be held on a day: of a held lift, or of a moving one held still."""
    exercise = estimates.catalogue.get(one.exercise)
    whole, curve = printed_kg + own_part(exercise, estimates.trainee), curve_of(exercise)
    if exercise.is_dynamic:
        return seconds_of_lift(one, whole, curve, estimates.endurance, estimates.held.get(one.exercise))
    return seconds_at(one, whole, curve)


def seconds_text(found: Spread, curve: Endurance) -> str:
    """A range of seconds, in minutes where it is long, as far as the curve is followed.

    >>> from setwright.strength.holds import curves
    >>> seconds_text(Spread(31.0, 24.2, 41.4, 7.0), curves()["knee"])
    '24 to 41 s'
    """
    longest = curve.seconds_at(LEAST_SHARE)
    if found.p10 >= min(longest, LONG_HOLD_S):
        return f"over {min(longest, LONG_HOLD_S) / 60:.0f} min"
    if found.p90 >= LONG_HOLD_S:
        return f"{found.p10:.0f} s to over {LONG_HOLD_S / 60:.0f} min"
    return f"{found.p10:.0f} to {found.p90:.0f} s"


def held_load(exercise: Exercise, printed_kg: float, unit: Unit) -> str:
    """A load as it is held: ``body weight``, ``body weight + 10 kg``, ``12 kg each hand``."""
    if exercise.load_means in ("body", "added", "assistance"):
        if printed_kg < 0:
            return f"body weight, {mass_text(round(-printed_kg, 1), unit)} of help"
        return "body weight" if printed_kg < 0.05 else f"body weight + {mass_text(round(printed_kg, 1), unit)}"
    each = " each hand" if exercise.load_means == "each hand" else ""
    return f"{mass_text(round(printed_kg, 1), unit)}{each}"


def hold_loads(one: LiftEstimate, estimates: Estimates, unit: Unit) -> list[float]:
    """Printed loads, kg, to tell seconds for: the one last held, and where weight can be added those for about 90, 60
    and 30 s; none over what may be tried next, a tenth above the heaviest hold, or 85 % of a single.

    Of a load that was never held nothing is told: body mass says too little about it.
    """
    exercise = estimates.catalogue.get(one.exercise)
    own = own_part(exercise, estimates.trainee)
    held = [row.held_kg for row in estimates.evidence.get(one.exercise, ()) if row.held_kg]
    last = [held[-1] - own] if held else []
    if exercise.load_means == "body":
        return last or [0.0]
    if not exercise.is_dynamic and not one.sets_used:
        return [0.0] if own else []
    step = 5.0 * LB_KG if unit == "lb" else 2.5
    greatest, most = one.posterior.middle_kg(), (1.0 + COARSE_STEP) * max(held, default=np.inf)
    if exercise.is_dynamic:
        greatest, most = greatest * hold_figures().over_lifted, MOST_HELD_OF_1RM * greatest
    wholes = [min(greatest * curve_of(exercise).share_at(seconds), most) for seconds in TOLD_SECONDS]
    low = 0.0 if own else step
    loads = [floor((whole - own) / step + 1e-9) * step for whole in wholes]
    return sorted({*last, *(load for load in loads if load >= low)}) or [low]


def hold_text(one: LiftEstimate, estimates: Estimates, unit: Unit) -> str:
    """How long a hold can be held with the load of its last set, with its range."""
    exercise = estimates.catalogue.get(one.exercise)
    held = [row.held_kg for row in estimates.evidence.get(one.exercise, ()) if row.held_kg]
    if not held or not one.sets_used:
        return f"{exercise.name}: no hold that tells anything yet"
    printed = held[-1] - own_part(exercise, estimates.trainee)
    seconds = seconds_text(hold_seconds(one, estimates, printed), curve_of(exercise))
    load = held_load(exercise, printed, unit)
    return f"{exercise.name}: held to the end, {load} for {seconds}; {singular(one.rests_on)}"


def hold_texts(estimates: Estimates, unit: Unit) -> list[str]:
    """A sentence for each held lift with sets."""
    return [hold_text(one, estimates, unit) for _, one in sorted(estimates.holds.items()) if one.sets_used]


def hold_lines(one: LiftEstimate, estimates: Estimates, unit: Unit) -> list[tuple[str, str]]:
    """(load, range of seconds to the end) for the loads that a coach may want to know of."""
    exercise = estimates.catalogue.get(one.exercise)
    return [
        (held_load(exercise, load, unit), seconds_text(hold_seconds(one, estimates, load), curve_of(exercise)))
        for load in hold_loads(one, estimates, unit)
    ]


def may_be_held(one: LiftEstimate, exercise: Exercise) -> bool:
    """True for moving lifts whose holds are told: simple ones that are stopped and held, with a known 1RM."""
    whole = one.posterior.one_rm()
    return suits_hold_reps_hold(exercise) and whole.sd <= WIDE * whole.mean
