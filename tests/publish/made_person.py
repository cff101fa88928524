"""One grown, trained, invented person for the tests that need nobody in particular."""

from __future__ import annotations

from setwright.people.trainee import Screening, Trainee, TrainingDay

GROWN = Trainee(
    id="invented",
    name="Invented Person",
    birth_year=1990,
    body_mass_kg=80.0,
    stature_m=1.8,
    training_years=3.0,
    days=(TrainingDay("mon", 60, "gym"),),
    screening=Screening(True),
    sex="male",
    invented=True,
)
