"""One exercise more in a week that stands: with the sets, the effort and the rest that designing would give it."""

from __future__ import annotations

from setwright.catalogue.exercise import Exercise, PartName
from setwright.plan.arrange import scheme_for
from setwright.plan.as_template import scheme_as
from setwright.plan.block import Week
from setwright.plan.candidates import default_reps, default_rest_s
from setwright.plan.compose import Context
from setwright.plan.easing import eased_scheme, first_time
from setwright.plan.gates import Verdict
from setwright.plan.own_wishes import own_rest_s
from setwright.plan.template import Scheme, TemplateEntry
from setwright.plan.weeks import WeekShape

# Where the coach says nothing else; all common practice, no published source.
SETS, EASY_SETS, MOBILITY_SETS = 3, 2, 2
RANGE_REPS, RANGE_RIR, RANGE_REST_S = (6, 8), 4.0, 60.0
STEADY_S = 600.0


def new_template(
    exercise: Exercise, part: PartName, verdict: Verdict, week: Week, context: Context, why: str
) -> TemplateEntry:
    """An exercise that is new in a week, before loads are put on it; made easy where a limit says so."""
    scheme = scheme_of_week(exercise, part, week, context)
    if exercise.slug not in context.estimates.lifts:
        scheme = first_time(scheme)
    if verdict.eased and part not in ("warm-up", "loaded-mobility", "conditioning"):
        scheme = eased_scheme(scheme, verdict.eased)
    return TemplateEntry(
        exercise=exercise.slug,
        part=part,
        schemes=(scheme,),
        why=why,
        dials={**exercise.dials, **verdict.dials},
        cautions=verdict.cautions,
    )


def scheme_of_week(exercise: Exercise, part: PartName, week: Week, context: Context) -> Scheme:
    """The sets of a new entry in a week, at the effort of the week; fewer where the week is an easy one."""
    if exercise.mode == "cyclic":
        return Scheme("interval", 1, time_s=STEADY_S, rest_s=0.0)
    if part == "loaded-mobility" or exercise.mode == "active-mobility":
        plain = Scheme("straight", MOBILITY_SETS, reps=RANGE_REPS, rir=RANGE_RIR, rest_s=RANGE_REST_S)
        return scheme_as(exercise, plain)
    is_main, brief = part == "main", context.brief
    reps = default_reps(exercise, brief, is_main, context.trainee.training_years < 0.5)
    rest_s = max(default_rest_s(exercise, reps, is_main), own_rest_s(brief.own_rules, exercise))
    shape = WeekShape(week.number, week.kind, week.rpe, 1.0)
    sets = EASY_SETS if week.kind in ("deload", "return") else SETS
    return scheme_for(exercise, sets, reps, rest_s, shape, brief, part)
