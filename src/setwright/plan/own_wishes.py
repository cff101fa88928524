"""What a coach's own rule means for an exercise, a day and a number of sets: pure data, for checks and for a search.

A search that plans an exercise ``e`` on a day ``d`` with ``n[e, d, w]`` working sets in week ``w`` (and ``on[e, d]``
true where there are any) can state every kind as rows. All of them are wishes: a slack may take up what does not fit,
at ``rule.weight`` times what a breach costs. Only entries of the parts main, skill, assistance and finisher have
counted sets; fixed entries give their sets as constants. Weeks of the kind deload are *easy* below.

at-most-sets
    per week: for every week, ``sum over e, d of credit_of(rule, e) * n[e, d, w] <= rule.sets``.
    per session: the same for every ``d`` by itself. The hardest week is enough where sets only grow towards it.
at-least-sets
    per week: ``sum >= rule.sets`` for every week that is not easy, so for the first hard week where sets only grow.
    per session: for every ``d`` that trains the muscle at all (some ``on[e, d]`` with ``credit_of > 0``).
not-on, only-on
    ``on[e, d] = 0`` for every ``e`` and ``d`` with ``allows(rule, e, d)`` false. Fixes variables, adds no row.
before
    nothing for ``n``: within a session every ``e`` with ``stands_first(rule, e)`` comes before every ``e`` with
    ``stands_later(rule, e)``. For the ordering of a session; halves of a superset count by their place on the sheet.
days-between
    for every week and every two days with ``free_days(d1, d2) < rule.days_between``: not both are hard, where a day
    is hard with ``sum over e of credit_of(rule, e) * n[e, d, w] >= rule.sets``. With a yes/no ``hard[d]``:
    ``sum <= rule.sets - 0.5 + M * hard[d]`` (credits are halves), and ``hard[d1] + hard[d2] <= 1``.
at-most-entries
    ``sum over e of on[e, d] <= rule.entries`` for every ``d``, fixed entries included.
rest-at-least
    nothing for ``n``: the rest of each working set of ``e`` is at least ``least_rest_s(rule, e)``; the seconds that a
    set takes grow by it, and half of a superset keeps it too.
"""

from __future__ import annotations

from collections.abc import Iterable

from setwright.catalogue.derive import set_credits
from setwright.catalogue.exercise import Exercise
from setwright.people.trainee import DAYS, Day
from setwright.plan.demand import muscles_of
from setwright.plan.own_rules import OWN_KINDS, OwnKind, OwnRule

__all__ = [
    "OWN_KINDS",
    "OwnKind",
    "OwnRule",
    "allows",
    "credit_of",
    "free_days",
    "is_what",
    "least_rest_s",
    "own_rest_s",
    "stands_first",
    "stands_later",
]


def credit_of(rule: OwnRule, exercise: Exercise) -> float:
    """What one set counts for the rule's muscle, 0, 0.5 or 1; of a roll-up the best trained group counts."""
    credits = set_credits(exercise)
    return max((credits.get(muscle, 0.0) for muscle in muscles_of(rule.muscle)), default=0.0)


def is_what(exercise: Exercise, what: str) -> bool:
    """True when an exercise is what a rule names: by slug, as a variant of it, or by pattern."""
    return what in (exercise.slug, exercise.base, exercise.pattern)


def allows(rule: OwnRule, exercise: Exercise, day: Day) -> bool:
    """False when the rule keeps an exercise off a weekday; every other kind allows all days."""
    if rule.kind not in ("not-on", "only-on") or not is_what(exercise, rule.what):
        return True
    return (day in rule.days) == (rule.kind == "only-on")


def stands_first(rule: OwnRule, exercise: Exercise) -> bool:
    """True for an exercise that the rule wants before another.

    Where an exercise is both, the closer name counts: in "face_pull before pull_horizontal" the face pull, itself
    of that pattern, is the first.
    """
    if rule.kind != "before" or not is_what(exercise, rule.what):
        return False
    return not is_what(exercise, rule.then) or closeness(exercise, rule.what) >= closeness(exercise, rule.then)


def stands_later(rule: OwnRule, exercise: Exercise) -> bool:
    """True for an exercise that the rule wants after another, see ``stands_first``."""
    return rule.kind == "before" and is_what(exercise, rule.then) and not stands_first(rule, exercise)


def closeness(exercise: Exercise, what: str) -> int:
    """How closely a name names an exercise: 2 its slug, 1 the exercise it is a variant of, 0 its pattern."""
    return 2 if what == exercise.slug else 1 if what == exercise.base else 0


def least_rest_s(rule: OwnRule, exercise: Exercise) -> float:
    """Seconds of rest that the rule asks after each working set of an exercise; 0 where it asks none."""
    if rule.kind != "rest-at-least" or (rule.what and not is_what(exercise, rule.what)):
        return 0.0
    return rule.rest_s


def own_rest_s(rules: Iterable[OwnRule], exercise: Exercise) -> float:
    """Seconds of rest that all rules that weigh something ask together; 0 where they ask none."""
    return max((least_rest_s(rule, exercise) for rule in rules if rule.weight > 0), default=0.0)


def free_days(first: Day, second: Day) -> int:
    """Days between two weekdays in a week that repeats, the shorter way round: mon and thu 2, sat and mon 1."""
    apart = (DAYS.index(second) - DAYS.index(first)) % len(DAYS)
    return min(apart, len(DAYS) - apart) - 1
