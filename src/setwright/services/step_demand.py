"""The port by which progressions ask how hard a step is: the levers, for one person or for the usual one."""

from __future__ import annotations

from collections.abc import Mapping

from setwright.body.demand import Demand as LeverDemand
from setwright.body.demand import Known, Person, assess
from setwright.body.models import models
from setwright.catalogue.exercise import Exercise
from setwright.catalogue.step_sizes import Demand, DemandOf
from setwright.people.trainee import Trainee
from setwright.services.gather import catalogue
from setwright.services.levers import USUAL, known_of, person_of, phase_of
from setwright.strength.lever_load import LOWERING_OVER_RAISING, lever_dials

DRAWS = 80  # enough to order steps by
OF_JOINTS = "share of what the joints can hold"
# Shares of body weight that are compared with each other: what the arms push, and what they pull.
PUSHED = "share of body weight pushed by the hands"
PULLED = "share of body weight pulled by the hands"
SCALES = {
    "hands": PUSHED,
    "hands on the bars": PUSHED,
    "hands on the bar": PULLED,
    "straps": PULLED,
}


def demand_port(trainee: Trainee | None = None) -> DemandOf:
    """How hard a variant is, by slug and dials: for a trainee with their graded sets, or for the usual person.

    None where no model fits, where nothing balances, or where the scale is that of a hold and nobody can compare it.
    """
    person = USUAL if trainee is None else person_of(trainee)
    known = Known() if trainee is None else known_of(trainee, catalogue(), person)
    body = repr((person, known))  # what is known of two people alike is the same to the last digit

    def port(slug: str, dials: Mapping[str, object]) -> Demand | None:
        plain = {name: tuple(value) if isinstance(value, list) else value for name, value in dials.items()}
        key, exercise = (body, slug, tuple(sorted(plain.items()))), catalogue().get(slug)
        found = _remembered.get(key)
        if found is None or found[0] is not exercise:
            if len(_remembered) >= MOST_REMEMBERED:
                _remembered.clear()
            found = _remembered[key] = (exercise, _demand(exercise, plain, person, known))
        return found[1]

    return port


# Demands by body, name and dials, each with the exercise it is of: an own file may give a name another meaning.
MOST_REMEMBERED = 20_000
_remembered: dict[tuple[object, ...], tuple[Exercise, Demand | None]] = {}


def _demand(exercise: Exercise, dials: Mapping[str, object], person: Person, known: Known) -> Demand | None:
    if exercise.lever is None:
        return None
    model, set_to = models()[exercise.lever.model], {**exercise.lever.dials, **lever_dials(exercise, dials)}
    try:
        found = assess(model, set_to, person, known, phase_of(exercise.lever.phase, set_to, model), DRAWS)
    except (ValueError, LookupError):
        return None
    if found.possible < 0.5:
        return None
    held = ", held" if found.phase == "hold" else ""
    if found.capacity_from and found.demand_ratio is not None and not found.share_decides:
        one = found.demand_ratio
        return Demand(one.mean, one.p10, one.p90, OF_JOINTS + held)
    return _by_share(found, held)


def _by_share(found: LeverDemand, held: str) -> Demand | None:
    """On the share of body weight; a lowering asks less, as muscles hold more while they lengthen."""
    if found.share is None:
        return None
    scale = SCALES.get(found.share_name, f"share of body weight on the {found.share_name}")
    times = 1.0 / LOWERING_OVER_RAISING if found.phase == "lower" else 1.0
    one = found.share
    return Demand(one.mean * times, one.p10 * times, one.p90 * times, scale + held)
