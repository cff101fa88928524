"""Each movement of a bout fitted to one person: own step of a progression, and a word where it is too heavy for rounds.

Gates and stand-ins are those of strength work. A movement whose progression the person has not climbed so far becomes
the highest step reached that can be done for repetitions; what could hardly be done twice in a row is said.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from setwright.catalogue.exercise import Exercise
from setwright.catalogue.store import Catalogue
from setwright.people.trainee import Trainee
from setwright.plan.block import PlannedSet
from setwright.plan.bout import Bout
from setwright.plan.bout_time import like
from setwright.plan.formats import SHARED
from setwright.plan.gates import judge
from setwright.strength.estimates import Estimates
from setwright.strength.gathering import own_part

# A movement of a bout should be possible, fresh, for twice the repetitions of a round (common practice).
FRESH_TIMES = 2.0
RACED = frozenset({"rounds-for-time", "as-many-rounds"})  # formats whose score rewards haste


@dataclass(frozen=True)
class OwnStep:
    """The step that stands in for a movement: its exercise, its dials, and why."""

    exercise: str
    dials: dict[str, object]
    why: str


def own_step(exercise: Exercise, trainee: Trainee, catalogue: Catalogue, tokens: frozenset[str]) -> OwnStep | None:
    """The trainee's own step where a movement stands further up its progression; None where it stays.

    Where nothing tells how far the trainee is, it stays too: the coach wrote it.
    """
    found = catalogue.step_of(exercise.slug)
    if found is None:
        return None
    progression = catalogue.progressions[found[0]]
    reached = max((one.step for one in trainee.steps if one.progression == progression.slug), default=None)
    if reached is None or found[1] in [step.number for step in progression.up_to(reached)]:
        return None
    for step in progression.up_to(reached)[::-1]:
        for slug in (step.exercise, *step.sideways):
            other = catalogue.get(slug)
            dials = dict(step.dials) if slug == step.exercise else dict(other.dials)
            verdict = judge(other, trainee.restrictions, tokens, trainee, dials)
            if verdict.allowed and is_for_rounds(other):
                why = (
                    f"{exercise.name[:1].upper()}{exercise.name[1:]} is step {found[1]} of the way to the "
                    f"{progression.title}; {trainee.name} has reached step {reached}: {other.name}."
                )
                return OwnStep(slug, {**dials, **verdict.dials}, why)
    return None


def is_for_rounds(exercise: Exercise) -> bool:
    """True for what can be done for repetitions again and again: no holds, no lowering only."""
    return exercise.measured_in == "reps" and exercise.mode in ("dynamic", "concentric")


def heavy_note(
    sets: Sequence[PlannedSet], exercise: Exercise, bout: Bout, trainee: Trainee, estimates: Estimates
) -> str:
    """A warning where a round asks more than half of what is likely possible fresh; empty where it does not.

    Only where the lift is known from sets of this person: a guess from age and mass warns of nothing.
    """
    known = estimates.lifts.get(exercise.slug)
    first = next((one for one in sets if one.reps), None)
    if known is None or not known.sets_used or first is None or first.reps is None or like(bout) not in SHARED:
        return ""
    whole = (first.load_kg or 0.0) + own_part(exercise, trainee)
    if whole <= 0 or exercise.load_means in ("assistance",):
        return ""
    fresh = known.posterior.reps_at(whole)
    if fresh.mean >= FRESH_TIMES * first.reps[1]:
        return ""
    low, high = max(0, round(fresh.p10)), max(0, round(fresh.p90))
    return f"Heavy for rounds: likely {low} to {high} possible fresh. Lighter, or fewer a round, keeps it moving."


def with_heavy_note(
    sets: tuple[PlannedSet, ...], exercise: Exercise, bout: Bout | None, trainee: Trainee, estimates: Estimates
) -> tuple[PlannedSet, ...]:
    """The sets with the warning on each, where there is one."""
    note = "" if bout is None else heavy_note(sets, exercise, bout, trainee, estimates)
    return tuple(replace(one, note=f"{one.note} {note}".strip()) for one in sets) if note else sets
