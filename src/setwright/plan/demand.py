"""What a week should hold: sets wanted per muscle group, and movement patterns wanted at least once.

The two ideas: wishes are amounts (soft, with a band), never barriers; and a restriction releases the
minimums of what it touches, so that nothing is trained round it by force.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from setwright.body.anatomy import joint_actions, muscle_groups
from setwright.people.trainee import Restriction, Trainee
from setwright.plan.brief import Brief

# A week that serves everybody: rows are (name for a coach, patterns any of which serves).
# V09 in the rules (Iversen 2021): one leg press pattern, one upper pull, one upper push; the rest is common practice.
WEEK_PATTERNS: tuple[tuple[str, frozenset[str]], ...] = (
    ("a squat or leg press", frozenset({"squat", "split_squat", "sled"})),
    ("a hinge", frozenset({"hinge", "single_leg_hinge", "hip_extension"})),
    ("an upper-body push", frozenset({"push_horizontal", "push_incline", "push_vertical", "dip"})),
    ("a row", frozenset({"pull_horizontal"})),
    ("a vertical pull", frozenset({"pull_vertical"})),
    ("single-leg work", frozenset({"split_squat", "single_leg_hinge"})),
    (
        "trunk work",
        frozenset({"anti_extension", "anti_lateral", "anti_rotation", "trunk_flexion", "trunk_extension", "carry"}),
    ),
)

# What a general week serves: name for a coach, the groups whose largest credit counts, the roll-up, and the share
# of the base target (common practice, no published source). Groups that one exercise rarely serves together stand
# apart, so that a week of presses does not pass for a week of arms.
GENERAL: tuple[tuple[str, tuple[str, ...], str, float], ...] = (
    ("quadriceps", ("quads_vasti",), "quadriceps", 1.0),
    ("hamstrings", ("hamstrings",), "hamstrings", 0.8),
    ("glutes", ("glute_max",), "glutes", 1.0),
    ("chest", ("pec_sternal", "pec_clavicular"), "chest", 0.9),
    ("lats", ("lats",), "back", 1.0),
    ("upper back", ("trap_mid_low",), "back", 0.6),
    ("side shoulders", ("delt_lateral",), "shoulder", 0.5),
    ("rear shoulders", ("delt_posterior",), "shoulder", 0.5),
    ("elbow flexors", ("elbow_flexors",), "arm", 0.6),
    ("triceps", ("triceps",), "arm", 0.6),
    ("front of the trunk", ("abdominals",), "trunk", 0.5),
    ("sides of the trunk", ("obliques_ql",), "trunk", 0.4),
    ("calves", ("gastrocnemius", "soleus"), "calf", 0.4),
)
SMALL = (
    "side shoulders",
    "rear shoulders",
    "elbow flexors",
    "triceps",
    "front of the trunk",
    "sides of the trunk",
    "calves",
)


@dataclass(frozen=True)
class MuscleDemand:
    """Sets a week wanted for a group as a coach names it: ``target``, the health floor ``floor``, the ceiling ``most``.

    ``muscles`` are the groups whose largest credit counts for it. ``released_by`` names the restriction
    that set target and floor to 0, or is empty.
    """

    roll_up: str
    muscles: tuple[str, ...]
    target: float
    floor: float
    most: float
    released_by: str = ""


@dataclass(frozen=True)
class WeekDemand:
    """All demands of one week, and the pattern wishes with their names."""

    muscles: tuple[MuscleDemand, ...]
    patterns: tuple[tuple[str, frozenset[str]], ...]


def muscles_closed_by(restriction: Restriction) -> frozenset[str]:
    """Muscle groups whose every strong joint action (weight 1) a restriction bars from dynamic work.

    Only a level of ``none`` or ``light`` closes muscles; a range limit does not.
    """
    if restriction.level not in ("none", "light"):
        return frozenset()
    barred = {
        slug
        for slug, action in joint_actions().items()
        if action.joint == restriction.joint and (not restriction.actions or action.action in restriction.actions)
    }
    closed = set()
    for muscle in muscle_groups():
        strong = {slug for slug, action in joint_actions().items() if action.movers.get(muscle, 0.0) >= 1.0}
        if strong and strong <= barred:
            closed.add(muscle)
    return frozenset(closed)


def base_target(trainee: Trainee, brief: Brief) -> float:
    """Fractional sets a week for a group of ordinary importance.

    4 is the floor for health and for the time-poor, about 10 the figure for size (rules V02, V03); between
    them it grows with training age and with the hours there are (common practice, no published source).
    """
    by_age = 5.0 if trainee.training_years < 0.5 else 8.0 if trainee.training_years < 2 else 10.0
    hours = brief.days_a_week * brief.minutes / 60.0
    return min(by_age, 2.0 + 2.2 * hours)


def week_demand(trainee: Trainee, brief: Brief, restrictions: Sequence[Restriction]) -> WeekDemand:
    """What the peak week of a block should hold.

    Emphasis and size goals raise a group to 10 sets or more (rule V03), the brief's ``sets_per_muscle``
    overrides everything, a restriction releases what it closes.
    """
    base = base_target(trainee, brief)
    closed = {muscle: rule.reason or rule.joint for rule in restrictions for muscle in muscles_closed_by(rule)}
    rows = [(name, muscles, roll_up, base * share) for name, muscles, roll_up, share in GENERAL]
    emphasised = set(brief.emphasis) | {goal.about for goal in trainee.goals if goal.kind == "size"}
    full = 10.0 if trainee.training_years >= 0.5 else 8.0
    for wish in sorted(emphasised | set(brief.sets_per_muscle)):
        target = brief.sets_per_muscle.get(wish, full)
        served = [n for n, (name, muscles, roll_up, _) in enumerate(rows) if wish in (name, roll_up, *muscles)]
        if not served and wish in muscle_groups():
            rows.append((muscle_groups()[wish].label, (wish,), muscle_groups()[wish].roll_up, target))
        for n in served:
            name, muscles, roll_up, old = rows[n]
            small = 0.7 if name in SMALL and wish not in brief.sets_per_muscle else 1.0
            rows[n] = (
                name,
                muscles,
                roll_up,
                target if wish in brief.sets_per_muscle else max(old, small * target),
            )
    demands = []
    for name, muscles, _, target in rows:
        still_open = tuple(muscle for muscle in muscles if muscle not in closed)
        if not still_open:
            demands.append(MuscleDemand(name, muscles, 0.0, 0.0, 20.0, closed[muscles[0]]))
            continue
        floor = 0.0 if name in SMALL else min(4.0, target)
        demands.append(MuscleDemand(name, still_open, target, floor, 20.0))
    return WeekDemand(tuple(demands), WEEK_PATTERNS)
