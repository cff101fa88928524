"""The exercises a week can be made of: everything the gates let through, with what each costs.

Gates come before the model, never as constraints in it: no setting of a solver can then break safety.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from setwright.catalogue.derive import set_credits
from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.exercise import Exercise
from setwright.catalogue.store import Catalogue
from setwright.people.place import Place
from setwright.people.trainee import Trainee
from setwright.plan.brief import Brief
from setwright.plan.gates import Verdict, judge
from setwright.strength.estimates import Estimates

STRENGTH_PARTS = frozenset({"main", "assistance", "finisher"})
# Effort grows with what an entry is for: heavy lifts rest long, single joints short (rules T01, T02).
SINGLE_JOINT_PATTERNS = frozenset(
    {
        "knee_extension",
        "knee_flexion",
        "hip_adduction",
        "hip_abduction",
        "hip_rotation",
        "hip_flexion",
        "calf",
        "shin",
        "shoulder_raise",
        "rotator_cuff",
        "scapular",
        "elbow_flexion",
        "elbow_extension",
        "grip_wrist",
        "anti_extension",
        "anti_lateral",
        "anti_rotation",
        "trunk_flexion",
        "trunk_extension",
        "trunk_rotation",
        "neck",
        "foot",
    }
)
# Heavier implements first when all else is equal; a band is for those who have nothing else (common practice).
LIGHT_CAPACITY = 2


@dataclass(frozen=True)
class Candidate:
    """An exercise that may be planned, the places where it may, and what choosing it costs (0 to 4)."""

    exercise: Exercise
    places: frozenset[str]
    verdicts: Mapping[str, Verdict]
    cost: int
    credits: Mapping[str, float]
    reps: tuple[int, int]
    rest_s: float
    set_s: float

    @property
    def slug(self) -> str:
        """The slug of the exercise."""
        return self.exercise.slug


@dataclass(frozen=True)
class Refusal:
    """An exercise that the gates keep out of every place, with the reasons."""

    slug: str
    reasons: tuple[str, ...]


def skill_ceiling(trainee: Trainee) -> int:
    """The hardest skill (1 to 5) planned without the coach asking, by training age (common practice)."""
    if trainee.training_years < 0.5:
        return 2
    return 3 if trainee.training_years < 2 else 4


def default_reps(exercise: Exercise, brief: Brief, is_main: bool) -> tuple[int, int]:
    """Rep range of an entry: the brief's, moved up for single joints and low-skill small work."""
    if is_main:
        return brief.reps_main
    low, high = brief.reps_assistance
    if exercise.base == "nordic" or exercise.mode == "lowering":
        return 4, 6  # heavy lowering work loses its quality in longer sets (rule W08)
    if exercise.pattern in SINGLE_JOINT_PATTERNS:
        return max(low, 10), max(high, 15)
    return low, high


def default_rest_s(exercise: Exercise, reps: tuple[int, int], is_main: bool) -> float:
    """Rest by rules T01 and T02: 3 min for lifts of 6 and fewer, 2 min for other big lifts, 75 s for small work."""
    if exercise.mode in ("isometric", "carry", "loaded-mobility", "active-mobility"):
        return 60.0
    if exercise.pattern in SINGLE_JOINT_PATTERNS:
        return 75.0
    if reps[1] <= 6 and is_main:
        return 180.0
    return 150.0 if is_main else 120.0


def working_seconds(exercise: Exercise, reps: tuple[int, int]) -> float:
    """Seconds under work for one set, both sides where it is done for each side."""
    sides = 2.0 if exercise.per_side else 1.0
    if exercise.measured_in == "seconds":
        return 30.0 * sides
    if exercise.measured_in == "metres":
        return 30.0 * sides
    return (reps[0] + reps[1]) / 2.0 * exercise.rep_s * sides


def is_too_hard_bodily(exercise: Exercise, estimates: Estimates, brief: Brief) -> bool:
    """True when the trainee is unlikely to manage the rep range of assistance with the body alone.

    Only for exercises that move the body (pull-up, dip, push-up): machines and bars get lighter.
    """
    if exercise.load_means not in ("added", "body") or not exercise.body_share:
        return False
    found = estimates.for_exercise(exercise.slug)
    return found.posterior.chance(found.body_part_kg, brief.reps_assistance[0], 2.0) < 0.5


def cost_of(exercise: Exercise, trainee: Trainee, brief: Brief, known: frozenset[str]) -> int:
    """0 liked or already trained, 1 ordinary, 2 second choice, 3 and 4 only when nothing else serves.

    Three or four levels on purpose: finer ones only make near ties, and a coach can't honestly give them.
    """
    cost = 1
    names = {exercise.slug, exercise.base, exercise.pattern}
    if names & set(trainee.likes) or exercise.slug in known:
        cost -= 1
    if names & set(trainee.dislikes):
        cost += 2
    if exercise.mode in ("isometric", "lowering", "loaded-mobility"):
        cost += 3
    elif exercise.load_capacity < LIGHT_CAPACITY:
        cost += 2
    elif exercise.load_capacity == LIGHT_CAPACITY:
        cost += 1
    if exercise.skill > skill_ceiling(trainee):
        cost += 2
    elif exercise.skill >= 4:
        cost += 1
    if exercise.load_means == "assistance":
        cost += 1
    if trainee.training_years < 1 and (exercise.base == "nordic" or exercise.pattern == "dip"):
        cost += 2
    if exercise.impact >= 2:
        cost += 1
    return max(0, min(4, cost))


def find_candidates(
    catalogue: Catalogue,
    trainee: Trainee,
    places: Sequence[Place],
    brief: Brief,
    estimates: Estimates,
    known: frozenset[str],
) -> tuple[tuple[Candidate, ...], tuple[Refusal, ...]]:
    """All exercises of the strength parts that may be planned somewhere, and those refused with reasons.

    ``known`` are exercises with logged or baseline sets: their loads are sure, so they cost less.
    Progression steps above the one reached are left to the skill part.
    """
    wished = {wish.exercise for wish in brief.lifts} | set(brief.include)
    reached = {step.progression: step.step for step in trainee.steps}
    too_high = {
        step.exercise
        for progression in catalogue.progressions.values()
        for step in progression.steps
        if progression.slug in reached and step.number > reached[progression.slug]
    }
    found, refused = [], []
    for exercise in sorted(catalogue.values(), key=lambda one: one.slug):
        asked = exercise.slug in wished
        if not asked:
            if exercise.slug in brief.exclude or exercise.base in brief.exclude:
                continue
            if not set(exercise.parts) & STRENGTH_PARTS or exercise.slug in too_high:
                continue
            if exercise.skill > skill_ceiling(trainee) + 1 or is_too_hard_bodily(exercise, estimates, brief):
                continue
        verdicts = {
            place.id: judge(exercise, trainee.restrictions, expand_tokens(place.tokens()), trainee) for place in places
        }
        allowed = frozenset(place for place, one in verdicts.items() if one.allowed and not (one.light and not asked))
        if not allowed and any(verdict.allowed for verdict in verdicts.values()):
            continue  # open only as light work that a restriction wants: the wanted part plans that
        if not allowed:
            reasons = tuple(dict.fromkeys(reason for verdict in verdicts.values() for reason in verdict.reasons))
            refused.append(Refusal(exercise.slug, reasons))
            continue
        is_main = exercise.slug in {wish.exercise for wish in brief.lifts}
        reps = default_reps(exercise, brief, is_main)
        for wish in brief.lifts:
            if wish.exercise == exercise.slug:
                reps = wish.reps
        found.append(
            Candidate(
                exercise=exercise,
                places=allowed,
                verdicts=verdicts,
                cost=0 if asked else cost_of(exercise, trainee, brief, known),
                credits=set_credits(exercise),
                reps=reps,
                rest_s=default_rest_s(exercise, reps, is_main),
                set_s=working_seconds(exercise, reps),
            )
        )
    return tuple(found), tuple(refused)
