"""Easy work in a rest period that disturbs nothing.

Interference = 0.5 x muscle cosine + 0.15 both grip + 0.15 both load the spine + 0.2 systemic load. Filler is under
0.12 (project's knowledge model; the hand-over pairs are its check).
"""

from __future__ import annotations

from collections.abc import Sequence

from setwright.catalogue.derive import muscle_vector
from setwright.catalogue.exercise import Exercise
from setwright.catalogue.store import Catalogue
from setwright.people.trainee import Restriction, Trainee
from setwright.plan.block import Filler
from setwright.plan.gates import judge, uses_of
from setwright.plan.likeness import cosine
from setwright.plan.range_goals import joints_of_goals

MOST = 0.12
PAIR_MOST = 0.28
LEFT_OVER_S = 30.0  # of the rest, untouched
WALK_S = 10.0
WORK_S = 35.0


def interference(main: Exercise, other: Exercise) -> float:
    """How much ``other`` in the rest disturbs the next set of ``main``, 0 to 1."""
    score = 0.5 * cosine(muscle_vector(main), muscle_vector(other))
    if main.grip >= 2 and other.grip >= 1:
        score += 0.15
    if loads_spine(main) and loads_spine(other):
        score += 0.15
    return score + 0.2 * systemic(other)


def loads_spine(exercise: Exercise) -> bool:
    """True when the trunk holds against a load."""
    return exercise.spine in ("neutral", "flexed", "rotating") and exercise.load_capacity > 0


def systemic(exercise: Exercise) -> float:
    """How tiring for the whole body, 0 to 1: heavy multi-joint and cyclic work is, drills are not."""
    if exercise.mode in ("active-mobility",) or exercise.load_capacity == 0:
        return 0.0
    if exercise.mode == "cyclic":
        return 0.8
    movers = sum(1 for value in muscle_vector(exercise).values() if value >= 0.75)
    return min(1.0, 0.12 * exercise.load_capacity * movers / 1.5)


def filler_for(
    exercise: Exercise,
    rest_s: float,
    catalogue: Catalogue,
    restrictions: Sequence[Restriction],
    tokens: frozenset[str],
    trainee: Trainee | None = None,
) -> Filler | None:
    """The most useful filler for a rest: a drill for a range goal first, then for the least trained joints, else None.

    It needs no load, fits into the rest less half a minute, and passes every gate.
    """
    if rest_s - LEFT_OVER_S < WORK_S + 2 * WALK_S:
        return None
    goals = joints_of_goals(trainee.goals if trainee else ())
    best: tuple[tuple[float, ...], str, Exercise] | None = None
    for other in catalogue.values():
        if other.mode != "active-mobility" and not (other.mode == "isometric" and other.load_capacity <= 1):
            continue
        if other.skill > 2 or other.body_position == "hang" or other.slug == exercise.slug:
            continue
        disturbs = interference(exercise, other)
        if any(uses_of(other, rule) for rule in restrictions if rule.level != "hard"):
            continue  # a joint that may work little rests in the rests
        if disturbs >= MOST or not judge(other, restrictions, tokens, trainee).allowed:
            continue
        serves = any(use.joint in goals for use in other.actions)
        key = (
            0.0 if serves else 1.0,
            0.0 if other.mode == "active-mobility" else 1.0,
            round(disturbs, 2),
            0.0 if other.body_position == exercise.body_position else 1.0,
            float(other.skill),
        )
        if best is None or (key, other.slug) < (best[0], best[1]):
            best = (key, other.slug, other)
    if best is None:
        return None
    other = best[2]
    joint = next((use.joint for use in other.actions if use.role == "prime"), other.actions[0].joint)
    why = f"Moves the {joint}, which rests in {exercise.name}."
    if other.measured_in == "seconds":
        return Filler(other.slug, hold_s=20.0, per_side=False, why=why)
    return Filler(other.slug, reps=(5, 6), per_side=other.per_side, why=why)
