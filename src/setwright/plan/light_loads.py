"""Loads of work that is not dosed from a one-repetition maximum: carries, light holds, loaded mobility, sleds.

They start from a share of body mass and round down to what the place has. Shares are common practice, no
published source, except where the progression files give a test (farmer's carry 30 % of body mass each hand).
"""

from __future__ import annotations

from collections.abc import Mapping

from setwright.catalogue.exercise import Exercise
from setwright.dose.implements import loads_in
from setwright.dose.prescribe import Dose
from setwright.people.place import Place
from setwright.people.trainee import Trainee
from setwright.plan.template import Scheme
from setwright.strength.estimates import Estimates

CARRY_SHARES: Mapping[str, float] = {"farmer": 0.30, "suitcase": 0.25, "front_carry": 0.25, "oh_carry": 0.10}
CARRY_SHARE = 0.15
MOBILITY_SHARE = 0.07
SLED_SHARE = 0.5
OVERHEAD_SHARE = 0.06
HEAVIEST_FOR_RANGE = 0.12  # of body mass; a heavier load is no easy range work any more
LIGHT_OF_1RM = 0.45  # short-range and held work that a restriction wants: under half of a single


def light_load(exercise: Exercise, scheme: Scheme, place: Place, trainee: Trainee, estimates: Estimates) -> Dose | None:
    """The heaviest load of the place at or below the light share, or the lightest one with a note, or None."""
    options = loads_in(place, exercise)
    if not options:
        return None
    mass = trainee.body_mass_kg
    beginner = 0.7 if trainee.training_years < 0.5 else 1.0
    if exercise.mode == "carry":
        share = CARRY_SHARES.get(exercise.base, OVERHEAD_SHARE if exercise.overhead else CARRY_SHARE)
        wanted = share * mass
    elif exercise.pattern == "sled":
        wanted = SLED_SHARE * mass
    elif exercise.mode in ("loaded-mobility", "isometric") or "mobility" in exercise.pattern:
        wanted = (OVERHEAD_SHARE if exercise.overhead else MOBILITY_SHARE) * mass
    else:
        estimate = estimates.for_exercise(exercise.slug)
        wanted = LIGHT_OF_1RM * estimate.posterior.one_rm().p10 - estimate.body_part_kg
        beginner = 1.0
    wanted *= beginner
    below = [option for option in options if option.load_kg <= wanted + 1e-9]
    option = below[-1] if below else options[0]
    if scheme.steps_up:
        heavier = [one for one in options if option.load_kg < one.load_kg <= HEAVIEST_FOR_RANGE * mass]
        option = [option, *heavier][min(scheme.steps_up, len(heavier))]
    note = "" if below else "The lightest there is; if that is too heavy, do it without load."
    return Dose(
        load_kg=option.load_kg,
        range_kg=None,
        means=option.means,
        pieces=option.pieces,
        reps=scheme.reps,
        chance=None,
        note=note,
    )
