"""Assistance, support and slope on one scale with added load: what a body-weight exercise weighs for a trainee.

Two ideas carry this module. One: the load of a body-weight exercise is the mass which, put where an added load goes,
would ask as much as the body does; help counts as negative load there. Two: variants of one lever model are one lift
on that scale, so a set with help speaks for the lift without it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from math import log

import numpy as np

from setwright.body.capacity import has_table, joint_strength, spread_of
from setwright.body.demand import Person
from setwright.body.lever import Model, check_dial, turned_rad, working_moment
from setwright.body.models import models
from setwright.body.segments import Measured, Sex, TableName
from setwright.catalogue.exercise import Exercise, Lever, Phase
from setwright.people.trainee import Trainee

Dials = Mapping[str, float | str]
PROBE_KG = 10.0  # load by which the pull of one kilogram is found; moments are linear in load
WITH_BODY = ("added", "assistance", "body")  # what a printed load means where the body is part of the load
NO_BAND: Dials = {"band_test_kg": 0.0}
# Lowering over raising where no joint-strength table says it: common practice, no published source.
LOWERING_OVER_RAISING = 1.2
# How far a person's body, seen as levers, is from the table (ln): the spread of nordic and push-up peaks over draws.
BODY_SD = 0.08
# Lowerings that few control to the end: they count by the range that was controlled.
BREAKING = ("nordic", "kneeling lean back")
ANGLE_SD = 0.10  # of ln load from the angle that was reached: some five degrees (common practice)


def person_of(trainee: Trainee, year: int | None = None) -> Person:
    """A trainee as a body for the levers; without a year, of the year of the newest baseline, or thirty years old."""
    newest = max((base.date.year for base in trainee.baselines), default=None)
    on = year if year is not None else newest
    return body_at(trainee, 30.0 if on is None else float(on - trainee.birth_year))


def body_at(trainee: Trainee, age_years: float, table: TableName = "de-leva") -> Person:
    """A trainee at an age as a body for the levers, by a segment table, with the lengths that were measured."""
    lengths = Measured(dict(trainee.lengths_m))
    return Person(trainee.body_mass_kg, trainee.stature_m, trainee.sex, age_years, table, lengths)


def lever_dials(exercise: Exercise, dials: Mapping[str, object]) -> dict[str, float | str]:
    """The dials of a lever model that a set or an entry sets; dials which the model doesn't have are left out.

    ``range_deg`` sets both ends of the movement in the model's direction, ``held_angle_deg`` one angle.
    A value outside the model's limits is left out too: logs hold what people write.
    """
    if exercise.lever is None:
        return {}
    model = models()[exercise.lever.model]
    names = {dial.name for dial in model.dials}
    found: dict[str, float | str] = {}
    for name, value in dials.items():
        if name in names and isinstance(value, (int, float, str)):
            found[name] = value
    ends = dials.get("range_deg")
    held = dials.get("held_angle_deg")
    if isinstance(held, (int, float)):
        ends = [held, held]
    are_numbers = isinstance(ends, (list, tuple)) and all(isinstance(one, (int, float)) for one in ends)
    if are_numbers and isinstance(ends, (list, tuple)) and len(ends) == 2 and {"from_deg", "to_deg"} <= names:
        start, end = model.ends(*(float(one) for one in ends))
        if _fits(model, "from_deg", start) and _fits(model, "to_deg", end):  # half a range is none
            found["from_deg"], found["to_deg"] = start, end
    return {name: value for name, value in found.items() if _fits(model, name, value)}


def _fits(model: Model, name: str, value: float | str) -> bool:
    try:
        check_dial(model.dial(name), value)
    except ValueError:
        return False
    return True


def is_scaled(exercise: Exercise) -> bool:
    """Whether an exercise has a place on the scale: a model that takes an added load."""
    if exercise.lever is None:
        return False
    return any(dial.name == "load_kg" for dial in models()[exercise.lever.model].dials)


def same_scale(one: Exercise, other: Exercise) -> bool:
    """Whether two exercises are variants of one lift: one lever model, and both move (or both are held)."""
    return (
        one.lever is not None
        and other.lever is not None
        and one.lever.model == other.lever.model
        and one.load_means in WITH_BODY
        and other.load_means in WITH_BODY
        and is_scaled(one)
        and one.is_dynamic == other.is_dynamic
        and one.laterality == other.laterality
    )


def lever_kg(exercise: Exercise, trainee: Trainee, dials: Mapping[str, object] | None = None) -> float | None:
    """Kilograms at the place of the added load that ask as much as the body does; None without a scale.

    dials : of the set, besides those of the exercise
    A lowering counts less than it asks, as muscles hold more while they lengthen: the scale is that of raising.
    """
    if not is_scaled(exercise):
        return None
    assert exercise.lever is not None
    set_to = {**exercise.lever.dials, **lever_dials(exercise, dials or {})}
    found = _kg(exercise.lever.model, tuple(sorted(set_to.items())), _key(person_of(trainee)), exercise.lever.phase)
    return None if np.isnan(found) else found


def help_kg(exercise: Exercise, trainee: Trainee, dials: Mapping[str, object] | None = None) -> float | None:
    """Kilograms that the band of the dials takes off, on the same scale; None where the model has no band."""
    if exercise.lever is None or not any(one.name == "band_test_kg" for one in models()[exercise.lever.model].dials):
        return None
    given = dict(dials or {})
    helped, alone = lever_kg(exercise, trainee, given), lever_kg(exercise, trainee, {**given, **NO_BAND})
    return None if helped is None or alone is None else alone - helped


def dial_share(exercise: Exercise, trainee: Trainee, dials: Mapping[str, object]) -> float:
    """By how much the dials of a set change what the exercise asks without a band; 1 where nothing is known."""
    if not lever_dials(exercise, dials):
        return 1.0
    usual, now = lever_kg(exercise, trainee, NO_BAND), lever_kg(exercise, trainee, {**dials, **NO_BAND})
    return 1.0 if not usual or not now or usual <= 0 or now <= 0 else now / usual


def lowering_share(exercise: Exercise, trainee: Trainee) -> float:
    """What a lowering weighs beside the same movement raised, as muscles hold more while they lengthen; 1 else."""
    if exercise.lever is None or exercise.lever.phase != "lower":
        return 1.0
    return 1.0 / _lowering(models()[exercise.lever.model], person_of(trainee))


def breaks_on_the_way(exercise: Exercise) -> bool:
    """Whether control may be lost on the way down, so that a lowering without its range says nothing of strength."""
    if exercise.lever is None or exercise.lever.phase != "lower":
        return False
    return exercise.lever.model in BREAKING


def lever_prior(exercise: Exercise, trainee: Trainee, year: int) -> tuple[float, float] | None:
    """(ln of the expected 1RM, kg on the scale, its spread) from the joint-strength table; None where it has none.

    The body as load over the demand ratio of the whole movement, which is what the joints of such a person hold.
    """
    if not is_scaled(exercise):
        return None
    assert exercise.lever is not None
    person = person_of(trainee, year)
    plain = replace(exercise, lever=Lever(exercise.lever.model, "raise", {}))
    own = lever_kg(plain, trainee)
    ratio, motion = _ratio(exercise.lever.model, _key(person))
    if own is None or own <= 0 or not motion or not ratio > 0:
        return None
    return log(own / ratio), float(np.hypot(spread_of(motion), BODY_SD))


PersonKey = tuple[float, float, Sex | None, float, tuple[tuple[str, float], ...]]


def _key(person: Person) -> PersonKey:
    lengths = tuple(sorted(person.measured.lengths_m.items()))
    return (person.mass_kg, person.stature_m, person.sex, person.age_years, lengths)


def _person(key: PersonKey) -> Person:
    mass, stature, sex, age, lengths = key
    return Person(mass, stature, sex, age, "de-leva", Measured(dict(lengths)))


@lru_cache(maxsize=4096)
def _kg(name: str, dials: tuple[tuple[str, float | str], ...], key: PersonKey, phase: Phase) -> float:
    """``lever_kg`` of a model; not a number where no posture exists."""
    model, person = models()[name], _person(key)
    try:
        asks = _asks(model, dict(dials), person)
        pull = (_asks(model, {"load_kg": PROBE_KG}, person) - _asks(model, {}, person)) / PROBE_KG
    except (ValueError, LookupError):
        return float("nan")
    if not pull > 0:
        return float("nan")
    return float(asks / pull / (_lowering(model, person) if phase == "lower" else 1.0))


def _asks(model: Model, dials: Dials, person: Person) -> float:
    """What the movement asks at its hardest point: moment of the first joint, or force on the hands where no table."""
    posture = model.pose(person.body(), model.setting(dials))
    joint = posture.working[0]
    if not has_table(joint.motion) and posture.shares:
        name = next(iter(posture.shares))
        values = posture.shares[name] * person.mass_kg
    else:
        values = working_moment(posture, joint)
    possible = np.broadcast_to(np.asarray(posture.possible, dtype=bool), values.shape)
    return float(np.fmax.reduce(np.where(possible, values, np.nan)[0]))


def _lowering(model: Model, person: Person) -> float:
    """How much more can be lowered than raised at the model's usual tempo."""
    setting = model.setting({})
    posture = model.pose(person.body(), setting)
    joint = posture.working[0]
    if not has_table(joint.motion):
        return LOWERING_OVER_RAISING
    strength = joint_strength(joint.motion, person.sex, person.age_years)
    span = turned_rad(joint)
    down, up = float(setting["lower_s"][0, 0]), float(setting["raise_s"][0, 0])
    return strength.speed_factor(-span / down) / strength.speed_factor(span / up)


@lru_cache(maxsize=1024)
def _ratio(name: str, key: PersonKey) -> tuple[float, str]:
    """(demand ratio of the model as it stands, raised, by the table; the joint that decides), or (nan, "")."""
    model, person = models()[name], _person(key)
    setting = model.setting({})
    body = person.body()
    posture = model.pose(body, setting)
    joint = posture.working[0]
    if not has_table(joint.motion):
        return float("nan"), ""
    strength = joint_strength(joint.motion, person.sex, person.age_years)
    span = turned_rad(joint)
    capacity = strength.moment_nm(body, joint.angle_deg, span / float(setting["raise_s"][0, 0]))
    values = working_moment(posture, joint) / capacity
    possible = np.broadcast_to(np.asarray(posture.possible, dtype=bool), values.shape)
    return float(np.fmax.reduce(np.where(possible, values, np.nan)[0])), joint.motion
