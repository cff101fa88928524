"""What is expected of a lift before anybody has done it: body mass, sex, age, training; and how lifts hang together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from setwright.catalogue.derive import muscle_vector
from setwright.catalogue.exercise import Exercise
from setwright.people.trainee import Trainee
from setwright.strength.lever_load import (
    NO_BAND,
    WITH_BODY,
    dial_share,
    lever_kg,
    lever_prior,
    lowering_share,
    same_scale,
)
from setwright.strength.mixture import Floats
from setwright.strength.population import Population, population, priors

UPPER_PATTERNS = ("push", "pull", "dip", "shoulder", "rotator", "scapular", "elbow", "grip", "carry")
LEG_MACHINES = ("leg_press", "hack_squat", "belt_squat", "leg_ext", "leg_curl_lying", "leg_curl_seated")
SKILLED = 5  # lifts of speed and skill: strength in slow lifts says half as much about them (common practice)
SKILL_SHARE = 0.5
# Of what is a lift's own, how much its variants on one lever scale share (pull-ups with a band and without): common
# practice, no published source.
VARIANT_SHARE = 0.85
HOLD_SHARE = 0.6  # how alike a hold and a moving lift of the same muscles are (common practice, no published source)


def k_prior(exercise: Exercise) -> tuple[float, float]:
    """(ln of the curve parameter, its standard deviation) by class of exercise."""
    table = priors()["k"]
    if exercise.base in LEG_MACHINES:
        row = table["legs_machine"]
    elif sum(1 for use in exercise.actions if use.role in ("prime", "secondary")) <= 1:
        row = table["single_joint"]
    else:
        row = table["default"]
    return float(np.log(row["mean"])), float(row["log_sd"])


def body_part(exercise: Exercise, trainee: Trainee, dials: Mapping[str, object] | None = None) -> float:
    """Kilograms of the trainee's own body that the exercise moves, where its load is added or assisted.

    dials : of a set; slope, support, height and range change what the body weighs. A band's help is not in it: that
        is negative load. Where the catalogue gives no share of body mass, the lever model does, if there is one.
    """
    if exercise.load_means not in WITH_BODY:
        return 0.0
    plain = {**(dials or {}), **NO_BAND} if exercise.load_means == "assistance" else dict(dials or {})
    plain.pop("load_kg", None)  # a load among the dials is no part of the body
    if exercise.body_share:
        share = dial_share(exercise, trainee, plain) * lowering_share(exercise, trainee)
        return exercise.body_share * trainee.body_mass_kg * share
    return max(0.0, lever_kg(exercise, trainee, plain) or 0.0)


def ratio_prior(exercise: Exercise, trainee: Trainee, year: int) -> tuple[float, float]:
    """(ln of the expected 1RM in kg of the whole load, its spread) from body mass, sex, age in ``year``, training.

    Where the body is the load and the joint-strength table covers the joint, that table says it.
    """
    if exercise.load_means in WITH_BODY and not exercise.body_share and exercise.is_dynamic:
        by_table = lever_prior(exercise, trainee, year)
        if by_table is not None:
            return by_table
    table = priors()["ratio"]
    ratio = table["exercise"].get(exercise.slug) or table["exercise"].get(exercise.base)
    if ratio is None:
        ratio = table["pattern"].get(exercise.pattern, 0.4)
        if exercise.load_means == "each hand":
            ratio *= 0.42
    upper = exercise.pattern.startswith(UPPER_PATTERNS)
    if trainee.sex == "female":
        ratio *= table["female_upper"] if upper else table["female_lower"]
    elif trainee.sex is None:
        ratio *= (1 + (table["female_upper"] if upper else table["female_lower"])) / 2
    age = year - trainee.birth_year
    ratio *= max(0.5, 1.0 - table["per_year_over_40"] * max(0, age - 40))
    full = table["years_to_full"]
    grown = table["novice"] + (1 - table["novice"]) * min(1.0, trainee.training_years / full)
    grown += table["per_further_year"] * max(0.0, trainee.training_years - full)
    ratio *= min(table["most"], grown)
    return float(np.log(ratio * trainee.body_mass_kg)), float(table["log_sd"])


def likeness(a: Exercise, b: Exercise) -> float:
    """Cosine of the muscle vectors of two exercises, 0 to 1, lower where one is a hold and the other is not."""
    first, second = muscle_vector(a), muscle_vector(b)
    dot = sum(value * second.get(muscle, 0.0) for muscle, value in first.items())
    norm = np.sqrt(sum(v * v for v in first.values()) * sum(v * v for v in second.values()))
    if not norm:
        return 0.0
    return float(dot / norm) * (1.0 if a.is_dynamic == b.is_dynamic else HOLD_SHARE)


def is_skilled(lift: Exercise) -> bool:
    """Whether a lift is one of speed and skill; slow body-weight levers are not, however long they take to learn."""
    return lift.skill >= SKILLED and lift.lever is None


def correlations(rows: Sequence[Exercise], columns: Sequence[Exercise], people: Population | None = None) -> Floats:
    """(n, m) correlation of strength over body mass between lifts: a general part, and what shared muscles add.

    Of the lift itself (what no other lift tells) ``own`` is left. Fitted on the three competition lifts.
    """
    people = people or population()
    # What is a lift's own, its variants on one lever scale share but for a part.
    of_itself = {
        lift.slug: 1.0 - (1.0 - people.own) * (SKILL_SHARE if is_skilled(lift) else 1.0) for lift in (*rows, *columns)
    }
    found = np.empty((len(rows), len(columns)))
    for i, one in enumerate(rows):
        for j, other in enumerate(columns):
            if one.slug == other.slug:
                found[i, j] = 1.0
                continue
            shared = people.general + (1.0 - people.general - people.own) * likeness(one, other) ** 2
            for lift in (one, other):
                if is_skilled(lift):
                    shared *= np.sqrt(SKILL_SHARE)
            if same_scale(one, other):
                shared += VARIANT_SHARE * np.sqrt(of_itself[one.slug] * of_itself[other.slug])
            found[i, j] = shared
    return found
