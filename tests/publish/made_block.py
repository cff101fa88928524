"""A small real block of an invented person, made once for all tests that read one."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import cache

from setwright.catalogue.load import catalogue
from setwright.people.place import Band, Bar, Counted, Place, Stack
from setwright.people.trainee import Baseline, Goal, Screening, StepReached, Trainee, TrainingDay
from setwright.plan.block import Block
from setwright.plan.brief import Brief, LiftWish
from setwright.plan.design import design_block
from setwright.plan.reshape_options import Spot
from setwright.strength.estimates import Estimates, estimate_lifts
from setwright.strength.logged import Log

START = date(2026, 9, 7)
GYM = Place(
    "gym",
    "Invented gym",
    bars=(Bar("barbell", 20.0), Bar("hexbar", 25.0)),
    plates=tuple(Counted(mass, 4) for mass in (20, 10, 5, 2.5, 1.25)),
    dumbbells=tuple(Counted(mass, 2) for mass in (4, 6, 8, 10, 12.5, 15, 17.5, 20, 25)),
    stacks=(Stack("cable", 5, 5, 80, (2.5,)), Stack("machine:leg_press", 20, 10, 200)),
    bands=(Band("narrow", loop=True), Band("wide", heavy=True)),
    fixtures=dict.fromkeys(
        ("rack", "bench", "box", "pullup_bar", "anchor", "pad", "bike", "nordic_anchor", "stick"), 1
    ),
    invented=True,
)
PERSON = Trainee(
    id="invented",
    name="Invented Person",
    birth_year=1990,
    body_mass_kg=78.0,
    stature_m=1.79,
    training_years=3.0,
    days=(TrainingDay("mon", 60, "gym"), TrainingDay("thu", 60, "gym")),
    screening=Screening(True),
    sex="male",
    goals=(Goal("strength", "back_squat", 1),),
    baselines=(
        Baseline(date(2026, 8, 24), "back_squat", 100, 5, 2),
        Baseline(date(2026, 8, 26), "bench_bb", 70, 6, 2),
        Baseline(date(2026, 8, 28), "row_cable", 60, 8, 2),
    ),
    steps=(StepReached("nordic", 3, date(2026, 8, 20)),),
    invented=True,
)
BRIEF = Brief(
    "invented-brief",
    "Invented block",
    4,
    2,
    60,
    START,
    lifts=(LiftWish("back_squat", (4, 6), 3, 1),),
    skill="nordic",
    invented=True,
)


def estimates_of(person: Trainee = PERSON, log: Log | None = None, on: date = START) -> Estimates:
    return estimate_lifts(person, catalogue(), person.baselines, log or Log(), on)


@cache
def made_block() -> Block:
    return design_block(PERSON, (GYM,), BRIEF, catalogue(), estimates_of(), limit=1.5)


def spot_of(slug: str, week: int = 2) -> Spot:
    """Where an exercise stands first in a week of the block, beside the warm-up."""
    return next(
        Spot(session.day, part.part, entry.exercise)
        for session in made_block().weeks[week - 1].sessions
        for part in session.parts
        if part.part != "warm-up"
        for entry in part.entries
        if entry.exercise == slug
    )


def with_person(**changes: object) -> Trainee:
    return replace(PERSON, **changes)  # type: ignore[arg-type]
