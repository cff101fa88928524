"""What conditioning cost: by an equation where speed, power or steps are known, else by an activity code.

An equation outside its range is not used: the code is, and the row says so. All energy is gross, rest included.
Neither knows the person beyond body mass: a third more or less is usual (common practice, no published source).
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache
from importlib import resources
from typing import Any, Literal

from setwright.catalogue.exercise import Exercise
from setwright.catalogue.store import Catalogue
from setwright.review.energy import (
    KGM_MIN_PER_WATT,
    KJ_PER_KCAL,
    RANGES,
    REST_UPTAKE,
    STEP_HEIGHTS,
    arm_cycling_uptake,
    energy_kcal,
    leg_cycling_uptake,
    running_uptake,
    stepping_uptake,
    walking_uptake,
)
from setwright.strength.logged import LoggedSet

METRES_PER_MILE = 1609.344
WALKED, RUN, LEG_CYCLED, ARM_CYCLED = ("walk", "incline_walk"), ("run",), ("bike",), ("arm_bike",)
STEPPED = ("step_cardio", "step_up")
SPREAD = 1 / 3  # of the energy, to either side (common practice, no published source)
EASY_RPE, HARD_RPE = 4.0, 7.0  # up to 4 easy, above 7 hard (common practice, no published source)

Method = Literal["equation", "activity code", "not known"]


@dataclass(frozen=True)
class Conditioning:
    """One logged row of conditioning: minutes, metres, what it cost and what that rests on.

    ``uptake`` mL/kg/min and ``met`` (uptake over 3.5) are gross; ``kcal``, ``kj`` for the whole row; None where nothing
    tells. ``formula``: the name of the equation or the activity code. ``rests_on``: in words, with a range not kept.
    """

    date: date
    week: int | None
    exercise: str
    minutes: float | None
    distance_m: float | None
    method: Method
    formula: str
    uptake: float | None
    met: float | None
    kcal: float | None
    kj: float | None
    rests_on: str
    heart_rate: float | None = None

    @property
    def kcal_span(self) -> tuple[float, float] | None:
        """Low and high of the energy: a third to either side is usual."""
        return None if self.kcal is None else ((1 - SPREAD) * self.kcal, (1 + SPREAD) * self.kcal)


@dataclass(frozen=True)
class Uptake:
    """An uptake, mL/kg/min, with the formula that gave it; ``outside``: the range that the input left, or empty."""

    formula: str
    value: float
    outside: str = ""


@cache
def activity_codes() -> dict[str, Any]:
    """The packaged activity codes: ``code`` by number, ``exercise`` by slug, ``source``."""
    text = resources.files("setwright.review").joinpath("data", "activity_codes.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def is_conditioning(one: LoggedSet, exercise: Exercise) -> bool:
    """True for rows of conditioning: written as such, or of an exercise that is nothing else."""
    if one.part is not None:
        return one.part == "conditioning" or (one.part == "warm-up" and exercise.pattern == "conditioning")
    return exercise.pattern == "conditioning"


def conditioning_done(sets: Sequence[LoggedSet], mass_kg: float, catalogue: Catalogue) -> tuple[Conditioning, ...]:
    """Every row of conditioning in a log, in its order, with its energy for a body mass in kg."""
    rows = ((one, catalogue.get(one.exercise)) for one in sets)
    return tuple(cost_of(one, exercise, mass_kg) for one, exercise in rows if is_conditioning(one, exercise))


def cost_of(one: LoggedSet, exercise: Exercise, mass_kg: float) -> Conditioning:
    """What one row of conditioning cost a body of ``mass_kg``."""
    speed = speed_m_min(one)
    seconds = one.time_s if one.time_s is not None else one.hold_s
    minutes = seconds / 60.0 if seconds else one.distance_m / speed if one.distance_m and speed else None
    found = uptake_of(one, exercise, mass_kg, speed)
    method: Method = "equation"
    if found is not None and not found.outside:
        formula, uptake, rests_on = found.formula, found.value, f"{found.formula} equation"
    else:
        code = code_of(one, exercise)
        if code is None:
            why = found.outside if found else "no speed, power or steps written, and no activity code fits"
            nothing = (None, None, None, None)
            return Conditioning(
                one.date,
                one.week,
                exercise.slug,
                minutes,
                one.distance_m,
                "not known",
                "",
                *nothing,
                why,
                one.heart_rate,
            )
        method, formula = "activity code", code
        row = activity_codes()["code"][code]
        uptake = row["met"] * REST_UPTAKE
        rests_on = f"activity code {code}, {row['words']}" + (f"; {found.outside}" if found else "")
    kcal = None if minutes is None else energy_kcal(uptake, mass_kg, minutes)
    if kcal is None:
        rests_on += "; no time written, so no energy"
    return Conditioning(
        one.date,
        one.week,
        exercise.slug,
        minutes,
        one.distance_m,
        method,
        formula,
        uptake,
        uptake / REST_UPTAKE,
        kcal,
        None if kcal is None else kcal * KJ_PER_KCAL,
        f"{rests_on}; body mass {mass_kg:g} kg",
        one.heart_rate,
    )


def dial(one: LoggedSet, name: str) -> float | None:
    """A dial of a row as a number of zero or more, or None."""
    value = one.dials.get(name)
    return float(value) if isinstance(value, (int, float)) and not isinstance(value, bool) and value >= 0 else None


def speed_m_min(one: LoggedSet) -> float | None:
    """The speed of a row in m/min: as written, else its distance over its time."""
    for name, factor in (
        ("speed_m_min", 1.0),
        ("speed_km_h", 1000.0 / 60.0),
        ("speed_mph", METRES_PER_MILE / 60.0),
    ):
        value = dial(one, name)
        if value is not None:
            return factor * value
    return 60.0 * one.distance_m / one.time_s if one.distance_m and one.time_s else None


def power_kgm_min(one: LoggedSet) -> float | None:
    """The power of a row in kgm/min: as written, else watts times 6."""
    power, watts = dial(one, "power_kgm_min"), dial(one, "power_w")
    return power if power is not None else None if watts is None else KGM_MIN_PER_WATT * watts


def uptake_of(one: LoggedSet, exercise: Exercise, mass_kg: float, speed: float | None) -> Uptake | None:
    """The uptake by the equation of the exercise, or None where its inputs are not written."""
    grade, power = (dial(one, "grade_percent") or 0.0) / 100.0, power_kgm_min(one)
    if exercise.base in WALKED and speed is not None and exercise.slug != "march":
        return checked("walking", walking_uptake(speed, grade), speed)
    if exercise.base in RUN and speed is not None:
        return checked("running", running_uptake(speed, grade), speed)
    if exercise.base in LEG_CYCLED and power is not None:
        return checked("leg cycling", leg_cycling_uptake(power, mass_kg), power)
    if exercise.base in ARM_CYCLED and power is not None:
        return checked("arm cycling", arm_cycling_uptake(power, mass_kg), power)
    steps, height = dial(one, "steps_min"), dial(one, "step_cm")
    if exercise.base in STEPPED and steps is not None and height is not None:
        found = checked("stepping", stepping_uptake(steps, height / 100.0), steps)
        high = "" if STEP_HEIGHTS.holds(height / 100.0) else f"the stepping equation holds for {STEP_HEIGHTS.words}"
        return found if found.outside or not high else Uptake("stepping", found.value, high)
    return None


def checked(formula: str, value: float, given: float) -> Uptake:
    """An uptake with the range that its input left, if it did."""
    span = RANGES[formula]
    outside = f"{given:g} {span.unit} is outside: the {formula} equation holds for {span.words}"
    return Uptake(formula, value, "" if span.holds(given) else outside)


def code_of(one: LoggedSet, exercise: Exercise) -> str | None:
    """The activity code of a row: by power where it is written, else by the dial ``rpe``, else the usual one."""
    row: Mapping[str, Any] | None = activity_codes()["exercise"].get(exercise.base)
    if row is None:
        return None
    watts = dial(one, "power_w")
    if watts is not None and "by_power_w" in row:
        return str(next(code for least, code in reversed(row["by_power_w"]) if watts >= least))
    codes, rpe = row["by_effort"], dial(one, "rpe")
    is_easy = exercise.load_capacity <= 1 if rpe is None else rpe <= EASY_RPE
    if is_easy:
        return str(codes[0])
    return str(codes[-1] if rpe is not None and rpe > HARD_RPE else codes[len(codes) // 2])
