"""What each goal asks of a week of strength work, and how much it counts beside the others.

A goal claims muscle groups (with a number of sets where a published figure gives one) and movement patterns. Range
and work capacity are served by their own parts of the session; work capacity claims whole-body patterns besides.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from setwright.body.anatomy import muscle_groups
from setwright.catalogue.derive import set_credits
from setwright.catalogue.exercise import Exercise
from setwright.catalogue.store import Catalogue
from setwright.people.trainee import GoalKind, Trainee
from setwright.plan.brief import Brief

NOVICE_YEARS = 0.5
SIZE_SETS = 10.0  # rule V03: at least 10 a week for size (ACSM 2026, seen second-hand; IUSCA 2021 about 10)
NOVICE_SIZE_SETS = 8.0  # beginners grow on less; the figure is common practice, no published source
# The trained grow on 12 to 20 sets (rule V03: Baz-Valle 2022, seen second-hand). That a goal asks for 16 at most, the
# middle, and how it grows with the hours is the project's own: common practice, no published source.
TRAINED_YEARS, MANY_HOURS, MOST_SIZE_SETS = 2.0, 4.0, 16.0
KEEP_SETS = 5.0  # lower end of the 5 to 10 sets that give most for each set (Pelland 2025, tier second-hand)
FIRST, WANTED, ORDINARY = 3, 2, 1
LIFT_PRIORITY = 2  # a lift of the brief has its sets fixed already; what helps it is wanted
EMPHASIS_PRIORITY = 1
SKILL_PRIORITY = 2
# Work capacity is trained by big movements (common practice, no published source).
WHOLE_BODY = frozenset({"squat", "hinge", "push_horizontal", "pull_horizontal", "carry"})


@dataclass(frozen=True)
class Claim:
    """What one goal asks: ``words`` for muscle groups, ``patterns``, a number of sets or None, and its weight.

    weight : 1 ordinary, 2 wanted, 3 first
    is_least : True where ``sets`` raises a target, False where it lowers one (keeping needs less)
    """

    kind: GoalKind
    weight: int
    words: frozenset[str] = frozenset()
    patterns: frozenset[str] = frozenset()
    sets: float | None = None
    is_least: bool = True
    everywhere: bool = False


def weight_of_goal(brief: Brief, kind: GoalKind, priority: int) -> int:
    """How much a goal counts: by the brief's order of kinds where it gives one, else by the goal's own number.

    First 3, second 2, everything else 1; a goal's own number 1, 2, 3 gives 3, 2, 1.
    """
    if brief.priorities:
        place = brief.priorities.index(kind) if kind in brief.priorities else len(brief.priorities) + 1
        return max(ORDINARY, FIRST - place)
    return max(ORDINARY, FIRST + 1 - priority)


def claims_of(trainee: Trainee, brief: Brief, catalogue: Catalogue) -> tuple[Claim, ...]:
    """Every claim of the trainee's goals and of the brief, several on one group included."""
    return tuple(claims_of_brief(trainee, brief, catalogue)) + tuple(claims_of_goals(trainee, brief, catalogue))


def claims_of_brief(trainee: Trainee, brief: Brief, catalogue: Catalogue) -> Iterator[Claim]:
    """Emphasis is size first; lifts claim what leads them; the skill claims what its step trains."""
    for word in brief.emphasis:
        weight = weight_of_goal(brief, "size", EMPHASIS_PRIORITY)
        yield Claim("size", weight, frozenset({word}), sets=size_sets(trainee, brief))
    for wish in brief.lifts:
        if wish.exercise in catalogue:
            kind: GoalKind = "size" if wish.aim == "size" else "strength"
            yield lift_claim(catalogue.get(wish.exercise), kind, weight_of_goal(brief, kind, LIFT_PRIORITY))
    if brief.skill is not None:
        yield from skill_claims(brief.skill, trainee, brief, catalogue, SKILL_PRIORITY)


def claims_of_goals(trainee: Trainee, brief: Brief, catalogue: Catalogue) -> Iterator[Claim]:
    """What the goals of the trainee file ask."""
    for goal in trainee.goals:
        weight = weight_of_goal(brief, goal.kind, goal.priority)
        if goal.kind == "size":
            yield Claim("size", weight, frozenset({goal.about}), sets=size_sets(trainee, brief))
        elif goal.kind == "strength" and goal.about in catalogue:
            yield lift_claim(catalogue.get(goal.about), "strength", weight)
        elif goal.kind == "skill":
            yield from skill_claims(goal.about, trainee, brief, catalogue, goal.priority)
        elif goal.kind == "work-capacity":
            yield Claim("work-capacity", weight, patterns=WHOLE_BODY)
        elif goal.kind == "keep":
            yield keep_claim(goal.about, weight, catalogue)


def size_sets(trainee: Trainee, brief: Brief) -> float:
    """Counted sets a week for a group that should grow: more for the trained who have the hours."""
    if trainee.training_years < NOVICE_YEARS:
        return NOVICE_SIZE_SETS
    hours = brief.days_a_week * brief.minutes / 60.0
    if trainee.training_years < TRAINED_YEARS or hours < MANY_HOURS:
        return SIZE_SETS
    return min(MOST_SIZE_SETS, SIZE_SETS + 2.0 * (hours - MANY_HOURS))


def lift_claim(exercise: Exercise, kind: GoalKind, weight: int) -> Claim:
    """The groups that a lift counts fully for, and its pattern; its own sets are the lift's business."""
    return Claim(kind, weight, frozenset(led_by(exercise)), frozenset({exercise.pattern}))


def led_by(exercise: Exercise) -> tuple[str, ...]:
    """The muscle groups that one set of an exercise counts fully for."""
    return tuple(muscle for muscle, credit in set_credits(exercise).items() if credit >= 1)


def skill_claims(slug: str, trainee: Trainee, brief: Brief, catalogue: Catalogue, priority: int) -> Iterator[Claim]:
    """What the step reached of a progression trains, and what its last step will ask."""
    if slug not in catalogue.progressions:
        return
    steps = catalogue.progressions[slug].steps
    reached = next((one.step for one in trainee.steps if one.progression == slug), steps[0].number)
    weight = weight_of_goal(brief, "skill", priority)
    for step in (next((one for one in steps if one.number == reached), steps[-1]), steps[-1]):
        yield lift_claim(catalogue.get(step.exercise), "skill", weight)


def keep_claim(about: str, weight: int, catalogue: Catalogue) -> Claim:
    """Keeping what is there: everywhere, or what the goal names (a group, a roll-up or an exercise)."""
    if about in catalogue:
        words = frozenset(led_by(catalogue.get(about)))
    elif about in {*muscle_groups(), *(group.roll_up for group in muscle_groups().values())}:
        words = frozenset({about})
    else:
        return Claim("keep", ORDINARY, sets=KEEP_SETS, is_least=False, everywhere=True)
    return Claim("keep", weight, words, sets=KEEP_SETS, is_least=False)
