"""The form of a brief: what one block is for."""

from __future__ import annotations

from typing import get_args

from setwright.catalogue.store import Catalogue
from setwright.people.trainee import GoalKind
from setwright.plan.brief_file import ASSISTANCE_SCHEMES, NO_LIFT_SCHEMES
from setwright.plan.demand import muscle_words
from setwright.plan.own_rules import OWN_KINDS
from setwright.plan.rules import RULES
from setwright.plan.schemes import schemes_of
from setwright.web.forms.fields import (
    Choice,
    Choices,
    Counts,
    Day,
    Field,
    Flag,
    Long,
    Name,
    Number,
    Numbers,
    Pair,
    Rows,
    Ticks,
    Words,
)
from setwright.web.forms.form import Form, Section
from setwright.web.forms.intake import DAYS, Names, plain_choices, spoken

AIMS: Choices = (("strength", "strength"), ("1rm", "a best in the last week"), ("size", "size"))
HALVES: Choices = (("legs", "legs"), ("upper", "upper body"))
CONDITIONING: Choices = (("short", "short, about 6 min"), ("long", "long, about 18 min"), ("none", "none"))


def own_rule_rows(names: Names) -> Rows:
    """Rows for the coach's own rules."""
    return Rows(
        "own_rules",
        "Your own rules",
        one="rule",
        fields=(
            Field("says", "In your words", "said where a block bends it", wide=True),
            Choice("kind", "Kind", choices=plain_choices(OWN_KINDS)),
            names.field("what", "Exercise or pattern", "for: not on, only on, before, rest at least"),
            names.field("then", "Before which", "for: before"),
            Ticks("days", "Days", "for: not on, only on", choices=DAYS),
            Choice("muscle", "Muscle group", choices=plain_choices(muscle_words())),
            Number("sets", "Sets"),
            Choice("per", "In each", choices=(("week", "week"), ("session", "session"))),
            Number("days_between", "Free days between"),
            Number("entries", "Entries at most"),
            Number("rest_s", "Rest at least", unit="s"),
            Number("weight", "How dear a breach is", "0 to 10; 1 is usual"),
        ),
    )


def brief_form(catalogue: Catalogue) -> Form:
    """The form of a brief."""
    names = Names(catalogue)
    schemes = schemes_of(catalogue)
    lift_schemes = tuple((slug, one.title) for slug, one in schemes.items() if slug not in NO_LIFT_SCHEMES)
    small = tuple((slug, schemes[slug].title) for slug in ASSISTANCE_SCHEMES if slug in schemes)
    muscles = plain_choices(muscle_words())
    rules = tuple((one.id, f"{one.id}: {one.says}"[:110]) for one in RULES)
    skills = tuple((slug, one.title) for slug, one in catalogue.progressions.items())
    kinds = ", ".join(get_args(GoalKind))
    frame = (
        Name("title", "Title"),
        Day("start", "Week 1 begins on"),
        Number("weeks", "Weeks", "4 to 12"),
        Number("days_a_week", "Days a week", "2 to 6"),
        Number("minutes", "A session, at most", unit="min"),
    )
    lifts = Rows(
        "lifts",
        "Lifts that the block serves first",
        one="lift",
        fields=(
            names.field("exercise", "Exercise"),
            Pair("reps", "Repetitions", "like 4-6", usual=[4, 6]),
            Number("sets", "Sets", usual=3),
            Number("times_a_week", "Days a week", usual=1),
            Choice("aim", "Aim", choices=AIMS, empty=None, usual="strength"),
            Choice("scheme", "Set scheme", choices=lift_schemes, empty="straight sets"),
        ),
    )
    wishes = (
        Words(
            "emphasis",
            "Muscle groups first",
            "with commas: back, glutes...",
            wide=True,
            known=lambda text: text if text in dict(muscles) else text.replace(" ", "_"),
            shown=spoken,
        ),
        Choice("skill", "A progression to climb", choices=skills, empty="none"),
        names.fields("include", "Exercises that must be in it", "with commas"),
        names.fields("exclude", "Exercises that must not", "with commas"),
        Choice(
            "conditioning",
            "Conditioning",
            "on days without work of your own",
            choices=CONDITIONING,
            empty=None,
            usual="short",
        ),
        Choice(
            "hard_half",
            "The half trained hard",
            "the other is kept with light work",
            choices=HALVES,
            empty="both alike",
        ),
        Flag("supersets", "Supersets", usual=True),
        Flag("filler", "Easy work in rest periods", usual=True),
        Flag("loaded_mobility", "Loaded mobility", usual=True),
        Flag("same_muscle_superset", "Two for the same muscle in a row, as a finisher"),
        Flag("hold_reps_hold", "Hold, repetitions, hold"),
    )
    dose = (
        Pair(
            "rpe", "Effort of the main lifts, RPE", "first week to last hard week; empty: 6.5-8.5, less for beginners"
        ),
        Number("deload_every", "An easier week after", "0 for none; empty: 4", unit="weeks"),
        Pair("reps_main", "Repetitions, main lifts", usual=[4, 6]),
        Pair("reps_assistance", "Repetitions, small lifts", usual=[8, 12]),
    )
    bouts = Rows(
        "bouts",
        "Conditioning of your own",
        one="piece of work",
        fields=(
            Field("work", "Work", "in shorthand, like: rower 6 x 500 m, rest 2 min", wide=True),
            Number("times_a_week", "Days a week", usual=1),
            Ticks("days", "or on these days", choices=DAYS),
        ),
    )
    finer = (
        Numbers(
            "rpe_by_week", "Effort week by week, RPE", "in place of the two above: a number for each week", wide=True
        ),
        Numbers("sets_by_week", "Sets week by week", "share of the hardest week's sets, which is 1", wide=True),
        Numbers("easy_weeks", "Easier weeks by number", "with commas"),
        Field("tempo_main", "Tempo of main lifts", "seconds: lower-pause-lift-pause", usual="2-0-1-0"),
        Number("chance_wanted", "How sure a load should be", "0.5 to 0.99", usual=0.7),
        Choice("scheme_assistance", "Scheme of small lifts", choices=small, empty="as usual"),
        Words("priorities", "What counts first", f"with commas, first first: {kinds}", wide=True),
        Counts("sets_per_muscle", "Counted sets a week, where you want your own number", choices=muscles, unit="sets"),
    )
    rule_rows = Rows(
        "rules",
        "Rules of training, switched off or weighed",
        one="setting",
        fields=(
            Choice("rule", "Rule", choices=rules, wide=True),
            Field("reason", "Why it is off", wide=True),
            Number("weight", "or how dear a breach is", "0 to 10"),
        ),
    )
    return Form(
        (
            Section("frame", "The frame", frame),
            Section("lifts", "Lifts", (lifts,), "Without any, the block is balanced over all muscle groups."),
            Section("dose", "Effort and repetitions", dose),
            Section("wishes", "Wishes", wishes),
            Section(
                "bouts",
                "Conditioning in your words",
                (bouts,),
                "Rounds for time, as many rounds as possible, intervals, steady work, carries: as you would write it.",
                optional=True,
            ),
            Section("finer", "Finer", finer, optional=True),
            Section("rules", "Rules", (rule_rows, own_rule_rows(names)), optional=True),
            Section(
                "more",
                "More",
                (Long("note", "Note to yourself", wide=True), Flag("invented", "Invented"), Field("id", "Id in files")),
                optional=True,
            ),
        ),
        {"exercises": names.listed()},
    )
