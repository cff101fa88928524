"""Which two entries may share their rests."""

from __future__ import annotations

from setwright.catalogue.exercise import Exercise
from setwright.dose.implements import option_in
from setwright.dose.minutes import can_alternate, rest_window, tempo_seconds, work_seconds
from setwright.people.place import Place
from setwright.plan.arrange import is_antagonist
from setwright.plan.candidates import PRESSES, is_ballistic
from setwright.plan.posing import firm_trunk, leans_on_the_back, tired_by
from setwright.plan.session_time import inside_work
from setwright.plan.template import Scheme

SHAREABLE = frozenset({"bench", "chair_bench", "wall", "none", "step", "box", "pad", "plates", "anchor"})

PLATE_LOADED = frozenset({"barbell", "hexbar", "landmine", "sled"})  # plates that hang there are not free


def stations(exercise: Exercise, place: Place) -> frozenset[str]:
    """The equipment an exercise occupies in a place, without what can be shared or moved."""
    return (option_in(place, exercise) or frozenset()) - SHAREABLE


def how_many(token: str, place: Place) -> int:
    """How many people can use a piece of equipment at once; hand weights are many."""
    if token in ("dumbbell", "kettlebell", "band", "band_heavy", "loop_band"):
        return 2
    if token in place.fixtures:
        return place.fixtures[token]
    bars = sum(bar.count for bar in place.bars if bar.kind == token)
    stacks = sum(stack.count for stack in place.stacks if stack.kind == token)
    return max(1, bars + stacks)


def scheme_work_s(exercise: Exercise, scheme: Scheme) -> float:
    """Seconds of work of one set of a scheme."""
    reps = (scheme.reps[0] + scheme.reps[1]) / 2 if scheme.reps else None
    later, inside_s = inside_work(scheme.inside, reps or 0.0)
    reps = reps if not later else (reps or 0.0) + later
    sides = 2 if exercise.per_side else 1
    return work_seconds(
        reps,
        tempo_seconds(scheme.tempo, exercise.rep_s),
        (scheme.hold_s or 0.0) + (scheme.hold_after_s or 0.0) + inside_s,
        scheme.distance_m or 0.0,
        scheme.time_s or 0.0,
        sides,
    )


def can_pair(
    a: Exercise, b: Exercise, scheme_a: Scheme, scheme_b: Scheme, place: Place, same_muscle: bool = False
) -> tuple[bool, str]:
    """Whether two entries may be a superset, and why (not).

    No shared prime mover (unless a same-muscle superset is meant), not both overhead, not both limited by grip, not
    both fast, not both bent over or hinging, not both presses, no trunk work beside a heavy lift that loads the trunk,
    no station that only one can use, and rest windows that fit one cycle.
    Source: rule T03 (Iversen 2021, Burke 2024, Kadota 2024); the other clauses are common practice.
    """
    shared = sorted(tired_by(a) & tired_by(b))
    if shared and not same_muscle:
        return False, f"both are led by {shared[0].replace('_', ' ')}"
    if a.overhead and b.overhead and not same_muscle and "pull" not in a.pattern + b.pattern:
        return False, "both hold a load overhead"
    if is_ballistic(a) and is_ballistic(b) and not same_muscle:
        return False, "both are fast lifts, which are done rested"
    if leans_on_the_back(a) and leans_on_the_back(b) and not same_muscle:
        return False, "both lean on the lower back"
    if {a.pattern, b.pattern} <= PRESSES and not same_muscle:
        return False, "both press"
    if firm_trunk(a) & firm_trunk(b) and not same_muscle:
        return False, "both need the trunk rested"
    if a.grip >= 2 and b.grip >= 2:
        return False, "both are limited by grip"
    for token in sorted(stations(a, place) & stations(b, place)):
        if how_many(token, place) < 2:
            return False, f"there is only one {token.replace('_', ' ')}"
    if "barbell" in stations(a, place) and "barbell" in stations(b, place):
        return False, "both need a loaded barbell"
    if stations(a, place) & PLATE_LOADED and stations(b, place) & PLATE_LOADED:
        return False, "both need plates on a bar or a sled"
    windows = [
        rest_window(s.reps[1] if s.reps else None, x.load_capacity >= 4, s.rest_s)
        for x, s in ((a, scheme_a), (b, scheme_b))
    ]
    if not can_alternate(scheme_work_s(a, scheme_a), windows[0], scheme_work_s(b, scheme_b), windows[1]):
        return False, "their rests don't fit one cycle"
    if is_antagonist(a, b):
        return True, "opposite movements: one rests while the other works"
    return True, "no shared prime mover"
