"""What is expected of a lift before anybody has done it: body mass, sex, age, training; and how lifts hang together."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from setwright.catalogue.derive import muscle_vector
from setwright.catalogue.exercise import Exercise
from setwright.people.trainee import Trainee
from setwright.strength.mixture import Floats
from setwright.strength.population import Population, population, priors

UPPER_PATTERNS = ("push", "pull", "dip", "shoulder", "rotator", "scapular", "elbow", "grip", "carry")
LEG_MACHINES = ("leg_press", "hack_squat", "belt_squat", "leg_ext", "leg_curl_lying", "leg_curl_seated")
SKILLED = 5  # lifts of speed and skill: strength in slow lifts says half as much about them (common practice)
SKILL_SHARE = 0.5
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


def body_part(exercise: Exercise, trainee: Trainee) -> float:
    """Kilograms of the trainee's own body that the exercise moves, where its load is added or assisted."""
    if exercise.load_means in ("added", "assistance", "body") and exercise.body_share:
        return exercise.body_share * trainee.body_mass_kg
    return 0.0


def ratio_prior(exercise: Exercise, trainee: Trainee, year: int) -> tuple[float, float]:
    """(ln of the expected 1RM in kg of the whole load, its spread) from body mass, sex, age in ``year``, training."""
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


def correlations(rows: Sequence[Exercise], columns: Sequence[Exercise], people: Population | None = None) -> Floats:
    """(n, m) correlation of strength over body mass between lifts: a general part, and what shared muscles add.

    Of the lift itself (what no other lift tells) ``own`` is left. Fitted on the three competition lifts.
    """
    people = people or population()
    found = np.empty((len(rows), len(columns)))
    for i, one in enumerate(rows):
        for j, other in enumerate(columns):
            if one.slug == other.slug:
                found[i, j] = 1.0
                continue
            shared = people.general + (1.0 - people.general - people.own) * likeness(one, other) ** 2
            for lift in (one, other):
                if lift.skill >= SKILLED:
                    shared *= np.sqrt(SKILL_SHARE)
            found[i, j] = shared
    return found
