"""The big deed: from a trainee, a place and a brief to a block, with proof.

Reads as its method: screen; filter by the gates; demand; pose the block as a problem of numbers and solve it
with proof (exercises, days, weeks, shared rests); order and pair; dose; check minutes, and take sets out where a
session would be too long; check the rules of training, which warn.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from setwright.catalogue.store import Catalogue
from setwright.faults import NoPlan
from setwright.people.place import Place
from setwright.people.trainee import DAYS, Trainee, TrainingDay
from setwright.plan.all_closed import all_closed
from setwright.plan.block import Block, Inputs, Proof, Unmet
from setwright.plan.brief import Brief, LiftWish
from setwright.plan.candidates import Refusal, find_candidates
from setwright.plan.cautions import block_cautions
from setwright.plan.clearance import for_whole_block, require_clearance
from setwright.plan.compose import Context, count_credits
from setwright.plan.demand import WeekDemand, week_demand
from setwright.plan.fit import (
    NOVICE_YEARS,
    SHORT_DAY_S,
    SHORT_WARM_UP_S,
    WARM_UP_S,
    Fixed,
    Search,
    gather_fixed,
)
from setwright.plan.identity import with_id
from setwright.plan.not_met import (
    cut_lifts,
    fit_or_refuse,
    proof_words,
    refuse_what_cannot_fit,
    refused_wishes,
    schemes_missed,
    short_of_demand,
    too_many_times,
    trim_or_refuse,
)
from setwright.plan.posing import Posed
from setwright.plan.pulls import pulls
from setwright.plan.range_limits import left_out_by_range
from setwright.plan.reasons import with_reasons
from setwright.plan.reasons_frame import Frame
from setwright.plan.rules import check_rules
from setwright.plan.search.problem import Plan
from setwright.plan.search.worth import total_points
from setwright.plan.trial import ChooseDays
from setwright.plan.ways_out import Complete
from setwright.plan.weeks import curve_within, easy_weeks_of, week_shapes
from setwright.plan.why_missing import why_missing
from setwright.strength.estimates import Estimates
from setwright.strength.logged import Log

RAMP_S = 4 * 60
NOVICE_RAMP_S = 2 * 60
NOVICE_RPE = (5.5, 7.0)  # where the brief sets no effort (common practice, no published source)


def for_beginner(brief: Brief, trainee: Trainee) -> Brief:
    """The brief with the effort of a beginner where the coach set none; never more than it had."""
    if not brief.rpe_is_default or trainee.training_years >= NOVICE_YEARS:
        return brief
    first, last = (min(own, most) for own, most in zip(brief.rpe, NOVICE_RPE, strict=True))
    return replace(brief, rpe=(first, last), rpe_by_week=curve_within(brief.rpe_by_week, NOVICE_RPE))


def choose_days(trainee: Trainee, brief: Brief) -> tuple[tuple[TrainingDay, ...], tuple[Unmet, ...]]:
    """The weekdays of the block: as many as the brief wants, as far apart as the trainee's days allow.

    Among equal spacings the days with more minutes win, then the earlier ones.
    """
    from itertools import combinations

    open_days = sorted(trainee.days, key=lambda day: DAYS.index(day.day))
    if not open_days:
        raise NoPlan((f"{trainee.name} has no training day.",), "add at least two days to the trainee file")
    count = min(brief.days_a_week, len(open_days))
    unmet: tuple[Unmet, ...] = ()
    if count < brief.days_a_week:
        unmet = (Unmet(f"{brief.days_a_week} days a week", f"{trainee.name} can train on {len(open_days)} days only."),)

    def spacing(days: Sequence[TrainingDay]) -> tuple[list[int], float]:
        at = [DAYS.index(day.day) for day in days]
        gaps = sorted((at[(i + 1) % len(at)] - at[i]) % 7 or 7 for i in range(len(at)))
        return gaps, sum(min(day.minutes, brief.minutes) for day in days)

    return max(combinations(open_days, count), key=spacing), unmet


def design_block(
    trainee: Trainee,
    places: Sequence[Place],
    brief: Brief,
    catalogue: Catalogue,
    estimates: Estimates,
    log: Log | None = None,
    limit: float = 3.0,
) -> Block:
    """A block for one trainee from a brief, as good as the rules allow, with proof.

    limit : deterministic solver time of each question of the search
    Raises NoPlan when clearance is missing or the fixed wishes can't fit into the minutes.
    """
    return search_block(get_ready(trainee, places, brief, catalogue, estimates, log, limit)).block


@dataclass(frozen=True)
class Ready:
    """Everything that a design needs before the search: the search, seconds of each day, and what stands already."""

    search: Search
    seconds: tuple[int, ...]
    as_given: Trainee
    places: tuple[Place, ...]
    unmet: tuple[Unmet, ...]
    refused: tuple[Refusal, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class Designed:
    """A block with the problem it answers, what was chosen as a plan, and the seconds it was searched with."""

    block: Block
    posed: Posed
    plan: Plan
    seconds: tuple[int, ...]


def get_ready(
    trainee: Trainee,
    places: Sequence[Place],
    brief: Brief,
    catalogue: Catalogue,
    estimates: Estimates,
    log: Log | None = None,
    limit: float = 3.0,
) -> Ready:
    """What comes before the search: clearance, days, candidates, fixed parts, demand. Raises NoPlan."""
    brief = for_beginner(brief, trainee)  # before the screen: it judges the effort that is planned
    screen_cautions = require_clearance(trainee, brief)
    as_given, trainee = trainee, for_whole_block(trainee, brief.start, brief.weeks)
    brief = with_goal_lifts(brief, trainee, catalogue)
    brief, unmet_gentle = made_gentle(brief, trainee)
    by_id = {place.id: place for place in places}
    days, unmet_days = choose_days(trainee, brief)
    shapes = week_shapes(brief, trainee.weeks_off, trainee.screening.active_now)
    known = frozenset(base.exercise for base in trainee.baselines) | frozenset(
        one.exercise for one in (log.sets if log else ())
    )
    used_places = [by_id[place] for place in dict.fromkeys(day.place for day in days)]
    candidates, refused = find_candidates(catalogue, trainee, used_places, brief, estimates, known)
    if not candidates:
        raise all_closed(catalogue, trainee, used_places, brief, estimates, known)
    fixed = gather_fixed(catalogue, trainee, brief, days, by_id, shapes)
    demand = without_served(week_demand(trainee, brief, trainee.restrictions, catalogue), fixed, catalogue)
    context = Context(trainee, by_id, brief, catalogue, estimates, brief.start)
    ramp_s = RAMP_S if trainee.training_years >= 0.5 else NOVICE_RAMP_S
    caps = [min(day.minutes, brief.minutes) for day in days]
    seconds = [
        max(0, int(cap * 60) - (SHORT_WARM_UP_S if cap * 60 <= SHORT_DAY_S else WARM_UP_S) - ramping - spent)
        for cap, spent, ramping in zip(
            caps, fixed.seconds, (ramp_s if by_id[d.place].bars else 0 for d in days), strict=True
        )
    ]
    search = Search(candidates, demand, brief, days, caps, fixed, shapes, known, context, limit)
    refuse_what_cannot_fit(search, seconds, *asking_again(search))
    unmet = (*unmet_gentle, *unmet_days, *fixed.unmet)
    return Ready(search, tuple(seconds), as_given, tuple(places), unmet, refused, screen_cautions)


def asking_again(search: Search) -> tuple[ChooseDays, Complete]:
    """How a design takes its days, and what it adds to a brief, so that a changed one can be tried."""
    trainee, catalogue = search.context.trainee, search.context.catalogue

    def complete(brief: Brief) -> Brief:
        return made_gentle(with_goal_lifts(brief, trainee, catalogue), trainee)[0]

    return lambda someone, brief: choose_days(someone, brief)[0], complete


def search_block(ready: Ready) -> Designed:
    """The best block of what is ready. Raises NoPlan where nothing fits the minutes."""
    search, context = ready.search, ready.search.context
    demand, brief, days = search.demand, search.brief, search.days
    trainee, catalogue = context.trainee, context.catalogue
    used_places = [context.places[place] for place in dict.fromkeys(day.place for day in days)]
    fit, left = fit_or_refuse(search, ready.seconds, *asking_again(search))
    weeks, trimmed, plan = trim_or_refuse(fit, search, *asking_again(search))
    unmet = [*ready.unmet, *trimmed]
    unmet += refused_wishes(brief, ready.refused, search)
    unmet += [*too_many_times(search), *cut_lifts(search, fit, plan, *asking_again(search))]
    unmet += left_out_by_range(catalogue, trainee, used_places, brief)
    unmet += schemes_missed(brief, weeks)
    credits = count_credits(weeks, catalogue)
    objective = float(total_points(fit.posed.problem, plan))
    bound = min(objective, float(fit.solution.bound))
    block = Block(
        id="",
        title=brief.title,
        trainee=trainee.id,
        place=days[0].place,
        weeks=weeks,
        set_credits=credits,
        unmet=(),
        proof=Proof(
            status="optimal" if bound >= objective else "feasible",
            objective=objective,
            bound=bound,
            gap=objective - bound,
            note=proof_words(fit.solution, objective),
        ),
        inputs=Inputs(ready.as_given, ready.places, brief, own=dict(catalogue.own)),
        cautions=tuple(dict.fromkeys((*ready.cautions, *block_cautions(trainee)))),
    )
    frame = Frame(block, fit.posed, context, brief, search.known)
    patterns = dict(demand.patterns)
    unmet += [Unmet(name, why_missing(frame, name, patterns[name])) for name in fit.posed.missing_patterns(plan)]
    unmet += [*short_of_demand(demand, weeks, catalogue), *pulls(search, fit.posed, plan)]
    block = replace(block, unmet=tuple(dict.fromkeys((*unmet, *check_rules(block, catalogue)))))
    block = with_reasons(block, fit.posed, context, brief, search.known)
    return Designed(with_id(block), fit.posed, plan, tuple(left))


GOAL_SETS = 3


YOUNG, OLD = 16, 65
GENTLE_RPE, GENTLE_REPS = (6.0, 7.0), (8, 12)
MODERATE_RPE = 6.0
UNDER_16 = "Under 16: sets of 8 and more, RPE 7 at most, no single maximum, and somebody who watches the technique."
NEW_AND_OLD = "Over 65 and new to lifting: sets of 8 and more, RPE 7 at most, no single maximum in this block."
MODERATE_ONLY = (
    "The clearance, or pregnancy, allows moderate effort: RPE 6 at most, sets of 8 and more, no single maximum."
)


def gentle_limits(trainee: Trainee, year: int) -> tuple[tuple[float, float], str, str] | None:
    """(first and last RPE at most, why, rule) in ``year`` for people whose effort is limited whatever the brief asks.

    None for all others. Under 16 (rule L09, Lloyd 2014), new to lifting over 65 (rule L08, NSCA 2019), pregnant (rule
    S05, ACOG 804) or cleared for light or moderate work only (rule S01). The RPE figures are common practice, no
    published source.
    """
    age = year - trainee.birth_year
    clearance = trainee.screening.clearance
    scope = clearance.scope.lower() if clearance is not None else ""
    asked = trainee.screening.known_disease or trainee.screening.signs_or_symptoms
    if trainee.screening.pregnant or (asked and ("light" in scope or "moderate" in scope)):
        return (MODERATE_RPE, MODERATE_RPE), MODERATE_ONLY, "S01"
    if age < YOUNG:
        return GENTLE_RPE, UNDER_16, "L09"
    if age >= OLD and trainee.training_years < NOVICE_YEARS:
        return GENTLE_RPE, NEW_AND_OLD, "L08"
    return None


def made_gentle(brief: Brief, trainee: Trainee) -> tuple[Brief, tuple[Unmet, ...]]:
    """The brief within ``gentle_limits``, and what of it could not be met."""
    limits = gentle_limits(trainee, brief.start.year)
    if limits is None:
        return brief, ()
    most, why, rule = limits

    def longer(reps: tuple[int, int]) -> tuple[int, int]:
        return max(reps[0], GENTLE_REPS[0]), max(reps[1], GENTLE_REPS[1])

    gentler = replace(
        brief,
        lifts=tuple(replace(wish, aim="strength", reps=longer(wish.reps)) for wish in brief.lifts),
        rpe=(min(brief.rpe[0], most[0]), min(brief.rpe[1], most[1])),
        rpe_by_week=curve_within(brief.rpe_by_week, most),
        easy_weeks=tuple(sorted(easy_weeks_of(brief))) if brief.rpe_by_week else brief.easy_weeks,
        reps_main=longer(brief.reps_main),
        reps_assistance=longer(brief.reps_assistance),
    )
    same_effort = gentler.rpe == brief.rpe and gentler.rpe_by_week == brief.rpe_by_week
    if same_effort and gentler.lifts == brief.lifts:
        return gentler, ()
    return gentler, (Unmet("the effort and repetitions of the brief", why, rule),)


def with_goal_lifts(brief: Brief, trainee: Trainee, catalogue: Catalogue) -> Brief:
    """The brief with the first strength goals of the trainee that it does not name, while days are free for them.

    A goal that is an exercise is worth a place as a main lift; the coach takes it out with ``exclude``.
    """
    named = {wish.exercise for wish in brief.lifts} | set(brief.exclude)
    lifts = list(brief.lifts)
    novice = trainee.training_years < NOVICE_YEARS
    for goal in sorted(trainee.goals, key=lambda one: one.priority):
        free = brief.days_a_week - sum(wish.times_a_week for wish in lifts)
        if goal.kind != "strength" or goal.about not in catalogue or goal.about in named or free < 1:
            continue
        slug = catalogue.get(goal.about).slug
        if slug in named:
            continue
        named.add(slug)
        reps = (8, 10) if novice and brief.reps_main[1] < 8 else brief.reps_main
        lifts.append(LiftWish(slug, reps, GOAL_SETS, 1 if free < 3 else 2, "strength"))
    return replace(brief, lifts=tuple(lifts))


def without_served(demand: WeekDemand, fixed: Fixed, catalogue: Catalogue) -> WeekDemand:
    """The demand without the patterns that skill work already serves."""
    served = {catalogue.get(entry.exercise).pattern for day in fixed.by_day for entry in day if entry.part == "skill"}
    return replace(demand, patterns=tuple(one for one in demand.patterns if not one[1] & served))
