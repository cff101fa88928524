"""Holds by position, load and time: a load or a length that this person's own holds make possible.

Only where holds of the exercise are logged; without any the light loads and usual lengths stay.
"""

from __future__ import annotations

from math import floor

from setwright.catalogue.exercise import Exercise
from setwright.dose.implements import loads_in
from setwright.dose.prescribe import COARSE_STEP, Dose
from setwright.people.place import Place
from setwright.people.trainee import Trainee
from setwright.plan.template import Scheme
from setwright.strength.curve import SECONDS_HELD_A_REP
from setwright.strength.estimates import Estimates, LiftEstimate, chance_to_hold
from setwright.strength.gathering import own_part
from setwright.strength.holds import curve_of

STEP_S, SHORTEST_S = 5.0, 5.0  # holds are planned in steps of five seconds (common practice)


def seconds_needed(scheme: Scheme) -> float:
    """Seconds that must be possible so that a hold ends with what is wanted left, four seconds a repetition."""
    return (scheme.hold_s or 0.0) + SECONDS_HELD_A_REP * (scheme.rir or 0.0)


def known_hold(exercise: Exercise, scheme: Scheme, estimates: Estimates) -> LiftEstimate | None:
    """What is known of a held exercise from its own sets; None without any, and for schemes that are no holds."""
    one = estimates.holds.get(exercise.slug)
    return one if scheme.kind == "hold" and scheme.hold_s and one is not None and one.sets_used else None


def hold_load(
    exercise: Exercise, scheme: Scheme, place: Place, trainee: Trainee, estimates: Estimates, risk: float
) -> Dose | None:
    """The heaviest load of the place that can likely be held so long; None where holds or loads are not known.

    risk : chance wanted, 0.5 to 0.99. Never more than a tenth over the heaviest hold so far: the curve is known well
    for times near those done, not for twice the load.
    """
    one, options = known_hold(exercise, scheme, estimates), loads_in(place, exercise)
    if one is None or not options:
        return None
    own, needed, curve = own_part(exercise, trainee), seconds_needed(scheme), curve_of(exercise)
    done = max((row.held_kg for row in estimates.evidence.get(exercise.slug, ())), default=0.0)
    most = (1.0 + COARSE_STEP) * done - own
    fitting = [
        option
        for option in options
        if option.load_kg <= most + 1e-9 and chance_to_hold(one, option.load_kg + own, needed, curve) >= risk
    ]
    option = fitting[-1] if fitting else options[0]
    note = "" if fitting else "The lightest there is, and long for it: end it before the position goes."
    return Dose(option.load_kg, None, option.means, option.pieces, None, None, note, option.plates_per_side)


def likely_hold_s(exercise: Exercise, scheme: Scheme, trainee: Trainee, estimates: Estimates, risk: float) -> float:
    """The length of a hold of the body that is likely possible, s: as planned, or shorter in steps of five."""
    planned = scheme.hold_s or 0.0
    one = known_hold(exercise, scheme, estimates)
    if one is None or exercise.load_means != "body":
        return planned
    own, curve, spare = own_part(exercise, trainee), curve_of(exercise), seconds_needed(scheme) - planned
    seconds = planned
    while seconds > SHORTEST_S and chance_to_hold(one, own, seconds + spare, curve) < risk:
        seconds = STEP_S * max(1, floor((seconds - 1e-9) / STEP_S))
    return seconds
