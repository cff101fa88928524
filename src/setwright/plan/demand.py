"""What a week should hold: sets wanted per muscle group, and movement patterns wanted at least once.

The two ideas: wishes are amounts (soft, with a band), never barriers; and a restriction releases the
minimums of what it touches, so that nothing is trained round it by force.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from setwright.body.anatomy import joint_actions, muscle_groups
from setwright.people.trainee import Restriction, Trainee
from setwright.plan.brief import Brief

# A week that serves everybody: rows are (name for a coach, patterns any of which serves).
# V09 in the rules (Iversen 2021): one leg press pattern, one upper pull, one upper push; the rest is common practice.
WEEK_PATTERNS: tuple[tuple[str, frozenset[str]], ...] = (
    ("a squat or leg press", frozenset({"squat", "split_squat", "sled"})),
    ("a hinge", frozenset({"hinge", "single_leg_hinge", "hip_extension", "knee_flexion"})),
    ("an upper-body push", frozenset({"push_horizontal", "push_incline", "push_vertical", "dip"})),
    ("a row", frozenset({"pull_horizontal"})),
    ("a vertical pull", frozenset({"pull_vertical"})),
    ("single-leg work", frozenset({"split_squat", "single_leg_hinge"})),
    (
        "trunk work",
        frozenset(
            {"anti_extension", "anti_lateral", "anti_rotation", "trunk_flexion", "trunk_extension", "carry"}
        ),
    ),
)

# Roll-ups that a general week always serves, and the share of the base target each gets (common practice).
GENERAL_SHARE: Mapping[str, float] = {
    "quadriceps": 1.0,
    "hamstrings": 0.8,
    "glutes": 1.0,
    "chest": 0.8,
    "back": 1.0,
    "shoulder": 0.8,
    "arm": 0.6,
    "trunk": 0.6,
    "calf": 0.4,
}
# The member of a roll-up whose credits are counted for it, where summing would double count.
LEAD_MUSCLE: Mapping[str, tuple[str, ...]] = {
    "quadriceps": ("quads_vasti",),
    "hamstrings": ("hamstrings",),
    "glutes": ("glute_max",),
    "chest": ("pec_sternal", "pec_clavicular"),
    "back": ("lats", "trap_mid_low"),
    "shoulder": ("delt_anterior", "delt_lateral", "delt_posterior"),
    "arm": ("elbow_flexors", "triceps"),
    "trunk": ("abdominals", "obliques_ql", "erectors"),
    "calf": ("gastrocnemius", "soleus"),
}


@dataclass(frozen=True)
class MuscleDemand:
    """Sets a week wanted for a roll-up: ``target``, the health floor ``floor``, the ceiling ``most``.

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
    by_age = 4.0 if trainee.training_years < 0.5 else 6.0 if trainee.training_years < 2 else 7.0
    hours = brief.days_a_week * brief.minutes / 60.0
    return min(by_age, 2.0 + 2.0 * hours)


def week_demand(trainee: Trainee, brief: Brief, restrictions: Sequence[Restriction]) -> WeekDemand:
    """What the peak week of a block should hold.

    Emphasis and size goals raise a group to 10 sets or more (rule V03), the brief's ``sets_per_muscle``
    overrides everything, a restriction releases what it closes.
    """
    base = base_target(trainee, brief)
    wanted = {roll_up: base * share for roll_up, share in GENERAL_SHARE.items()}
    emphasised = set(brief.emphasis) | {goal.about for goal in trainee.goals if goal.kind == "size"}
    for name in emphasised:
        roll_up = (
            name if name in GENERAL_SHARE else muscle_groups()[name].roll_up if name in muscle_groups() else name
        )
        wanted[roll_up] = max(wanted.get(roll_up, 0.0), 10.0 if trainee.training_years >= 0.5 else 8.0)
    for name, sets in brief.sets_per_muscle.items():
        roll_up = muscle_groups()[name].roll_up if name in muscle_groups() else name
        wanted[roll_up] = sets
    closed = {muscle: rule.reason or rule.joint for rule in restrictions for muscle in muscles_closed_by(rule)}
    demands = []
    for roll_up, target in wanted.items():
        muscles = LEAD_MUSCLE.get(roll_up) or tuple(
            slug for slug, group in muscle_groups().items() if group.roll_up == roll_up
        )
        still_open = tuple(muscle for muscle in muscles if muscle not in closed)
        if not still_open:
            demands.append(MuscleDemand(roll_up, muscles, 0.0, 0.0, 20.0, closed[muscles[0]]))
            continue
        floor = 0.0 if roll_up in ("calf", "arm", "trunk") else min(4.0, target)
        demands.append(MuscleDemand(roll_up, still_open, target, floor, 20.0))
    return WeekDemand(tuple(demands), WEEK_PATTERNS)
