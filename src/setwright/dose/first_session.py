"""Find your load: the first session of a lift whose load nobody knows yet, in steps that stop in time.

The first load is one that almost anybody of that build leaves far below the wanted effort; each next one is the largest
that the place has within a tenth; where to stop is said before the first repetition.
Steps: the smaller end of the NSCA 1RM protocol (seen: 5 to 10 % for the upper body, 10 to 20 % for the lower), because
sets of several repetitions are asked for here: a tenth more costs some three of them. At most five loads, as that
protocol finds its single within five attempts.
"""

from __future__ import annotations

from dataclasses import dataclass

from setwright.catalogue.exercise import Exercise
from setwright.dose.implements import Buildable, loads_in
from setwright.people.place import Place
from setwright.strength.estimates import LiftEstimate

SAFE_CHANCE = 0.9
MORE_LEFT = 2.0  # repetitions that the first load should leave beyond the wanted reserve (common practice)
STEP, STEP_REPS = 0.10, 4  # a tenth more load takes 3 to 4 repetitions (curve of 0.03)
LEAST_CHANCE = 0.25  # a load less likely than this is not proposed at all (this project's line)
MOST_LOADS = 5


@dataclass(frozen=True)
class TryLoad:
    """One load to try: as printed, what to build it from, and the chance that it still leaves the wanted reserve."""

    load_kg: float
    pieces: str
    chance: float


@dataclass(frozen=True)
class FirstSession:
    """Loads to try, lightest first, ``reps`` repetitions each, until ``rir`` are left; then that load is the answer."""

    loads: tuple[TryLoad, ...]
    reps: int
    rir: float

    def stop_rule(self) -> str:
        """When to go on and when to stop, as a coach says it."""
        return (
            f"Go on only where {self.rir + STEP_REPS:g} or more were left; with fewer left, half the step. Stop at the "
            f"first load that leaves {self.rir:g} or fewer, or where the form changes, the bar slows much, or anything "
            "hurts. Log every set."
        )


def find_your_load(
    estimate: LiftEstimate, exercise: Exercise, place: Place, reps: int, rir: float, cap_kg: float | None = None
) -> FirstSession | None:
    """The loads of a first session, or None where the place has no counted load for the exercise, or none so light that
    it is safe to begin with.

    cap_kg : no load above this, as printed (a restriction to light work); never crossed.
    """
    options = [one for one in loads_in(place, exercise) if cap_kg is None or one.load_kg <= cap_kg + 1e-9]
    if not options:
        return None
    own, belief = estimate.body_part_kg, estimate.posterior

    def chance(option: Buildable, left: float) -> float:
        return belief.chance(option.load_kg + own, reps, left)

    safe = [one for one in options if chance(one, rir + MORE_LEFT) >= SAFE_CHANCE]
    if not safe:
        return None
    chosen = [safe[-1]]
    most = belief.load_for(reps, rir).p90
    while len(chosen) < MOST_LOADS:
        last = chosen[-1].load_kg
        above = [one for one in options if one.load_kg > last + 1e-9]
        if not above or last + own >= most:
            break
        within = [one for one in above if one.load_kg + own <= (last + own) * (1.0 + STEP) + 1e-9]
        new = within[-1] if within else above[0]
        if chance(new, rir) < LEAST_CHANCE:
            break
        chosen.append(new)
    return FirstSession(tuple(TryLoad(o.load_kg, o.pieces, round(chance(o, rir), 2)) for o in chosen), reps, rir)
