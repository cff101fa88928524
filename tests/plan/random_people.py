"""Random cases that attack the planner: invented people of all kinds, rooms, restrictions, briefs, and what goes wrong.

A case is made from its number alone, so a failure is named by it. Everything here is invented.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache
from random import Random
from typing import Any

from exercise_facts import all_facts

from setwright.catalogue.load import catalogue
from setwright.catalogue.store import Catalogue
from setwright.people.place import Band, Bar, Counted, Place, Stack
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import (
    DAYS,
    Baseline,
    Clearance,
    Goal,
    RangeMeasure,
    Restriction,
    Screening,
    StepReached,
    Trainee,
    TrainingDay,
)
from setwright.plan.brief import Brief, LiftWish

START = date(2026, 9, 7)
SAYINGS = (
    "{side} elbow is sore",
    "{side} shoulder is sore",
    "{side} wrist is sore",
    "{side} knee is sore",
    "{side} hip is sore",
    "{side} ankle is sore",
    "fingers are sore",
    "sore back",
    "sore neck",
    "no overhead",
    "nothing above shoulder height",
    "no hangs",
    "nothing behind the body",
    "low impact",
    "no impact",
    "no jumps",
    "no running",
    "no hard grip",
    "no rounded back",
    "no twisting",
    "no weight on the hands",
    "no bar on the back",
    "no front rack",
    "no kneeling",
    "no deep squats",
    "nothing below parallel",
    "{side} knee flexion over 60",
    "{side} knee to 45 degrees",
    "{side} hip to 80 degrees",
    "{side} ankle to 10 degrees",
    "{side} shoulder to 70 degrees",
    "{side} elbow pulling",
    "{side} elbow pushing",
    "{side} shoulder pressing",
    "{side} shoulder pulling",
)
# A few joint actions of each joint, as restrictions name them.
ACTIONS = {
    joint: sorted({action for one in all_facts().values() for where, action, _ in one.uses if where == joint})
    for joint in ("hip", "knee", "ankle", "trunk", "shoulder", "scapula", "elbow", "wrist", "fingers", "neck")
}
POSITIONS = sorted({position for one in all_facts().values() for position in one.positions})
MOTIONS = sorted({motion for one in all_facts().values() for motion in one.angles})
LIFTS = tuple(sorted(one.slug for one in all_facts().values() if "main" in one.parts and one.capacity >= 4))
MUSCLES = ("quadriceps", "hamstrings", "glutes", "chest", "back", "calf", "shoulder", "arm", "trunk")
FIXTURES = sorted(
    {token for one in all_facts().values() for option in one.options for token in option}
    - {"wall", "plates", "dumbbell", "kettlebell", "band", "band_heavy", "loop_band", "barbell", "hexbar", "landmine"}
    - {"cable"}
    - {token for one in all_facts().values() for option in one.options for token in option if ":" in token}
)
MACHINES = sorted({token for one in all_facts().values() for option in one.options for token in option if ":" in token})


@dataclass(frozen=True)
class Case:
    """One attack: the inputs of a design, and perhaps a restriction that comes later."""

    seed: int
    is_small: bool
    trainee: Trainee
    places: tuple[Place, ...]
    brief: Brief
    catalogue: Catalogue
    later: Restriction | None = None
    from_week: int = 1

    def with_(self, **changes: Any) -> Case:
        return replace(self, **changes)


def case_of(seed: int, is_small: bool = False) -> Case:
    """The case of a number; small ones have short days, few weeks and a part of the catalogue."""
    r = Random(f"{'small' if is_small else 'whole'} case {seed}")
    places = tuple(some_place(r, f"place{index}") for index in range(1 if is_small or r.random() < 0.7 else 2))
    known = small_catalogue(seed % 3) if is_small else catalogue()
    trainee = some_person(r, places, known, is_small)
    brief = some_brief(r, trainee, known, is_small)
    later = some_restriction(r, "later") if r.random() < (0.3 if is_small else 0.5) else None
    return Case(seed, is_small, trainee, places, brief, known, later, r.randint(1, brief.weeks))


@cache
def small_catalogue(number: int) -> Catalogue:
    """About fifty exercises, one or two of each family; no progressions."""
    r = Random(f"small catalogue {number}")
    families: dict[str, list[str]] = {}
    for slug, one in sorted(all_facts().items()):
        families.setdefault(one.pattern, []).append(slug)
    kept = {slug for names in families.values() for slug in r.sample(names, min(r.choice((1, 1, 2)), len(names)))}
    full = catalogue()
    return Catalogue({slug: one for slug, one in full.exercises.items() if slug in kept})


# People


def some_person(r: Random, places: Sequence[Place], known: Catalogue, is_small: bool) -> Trainee:
    kind = r.choice(("novice", "usual", "usual", "old hand", "child", "old", "pregnant", "ill", "wheelchair", "break"))
    age = {"child": r.randint(9, 15), "old": r.randint(65, 92), "pregnant": r.randint(19, 44)}.get(
        kind, r.randint(16, 64)
    )
    years = {"novice": r.choice((0.0, 0.1, 0.4)), "old hand": r.uniform(8, 20), "child": r.choice((0.0, 1.0))}.get(
        kind, r.choice((0.0, 0.5, 1.0, 3.0, 7.0))
    )
    mass = r.uniform(32, 60) if kind == "child" else r.uniform(44, 150)
    restrictions = some_restrictions(r, kind)
    return Trainee(
        id="invented",
        name="Invented Person",
        birth_year=START.year - age,
        body_mass_kg=round(mass, 1),
        stature_m=round(r.uniform(1.25, 1.6) if kind == "child" else r.uniform(1.45, 2.05), 2),
        training_years=round(years, 2),
        days=some_days(r, places, is_small),
        screening=some_screening(r, kind),
        sex=r.choice(("female", "male", None)),
        weeks_off=float(r.choice((2, 3, 6, 20)) if kind == "break" else r.choice((0, 0, 0, 1, 2))),
        restrictions=restrictions,
        goals=some_goals(r, known),
        baselines=some_baselines(r, known, mass, years),
        range_measures=some_measures(r),
        steps=some_steps(r, known),
        likes=tuple(r.sample(sorted(known), r.randint(0, 2))),
        dislikes=tuple(r.sample(sorted(known), r.randint(0, 2))),
        back_trouble=r.random() < 0.12,
        invented=True,
    )


def some_days(r: Random, places: Sequence[Place], is_small: bool) -> tuple[TrainingDay, ...]:
    chosen = sorted(r.sample(DAYS, r.randint(2, 4 if is_small else 7)), key=DAYS.index)
    choices = (30, 35, 40, 45) if is_small else (25, 30, 40, 45, 60, 75, 90, 120)
    return tuple(TrainingDay(day, float(r.choice(choices)), r.choice(places).id) for day in chosen)


def some_clearance(r: Random) -> Clearance | None:
    if r.random() < 0.15:
        return None
    given = START - timedelta(days=r.choice((-10, 0, 20, 200, 500)))
    ends = r.choice((None, None, given + timedelta(days=r.choice((5, 90, 400)))))
    scope = r.choice(("all training", "strength work", "light and moderate work only", "moderate effort"))
    return Clearance("invented clinician", given, scope, ends)


def some_screening(r: Random, kind: str) -> Screening:
    ill = kind == "ill"
    return Screening(
        active_now=r.random() < 0.75,
        known_disease=ill and r.random() < 0.7,
        signs_or_symptoms=ill and r.random() < 0.25,
        pregnant=kind == "pregnant",
        red_flags=("saddle numbness",) if ill and r.random() < 0.1 else (),
        clearance=some_clearance(r) if ill or kind == "pregnant" else None,
    )


def some_restrictions(r: Random, kind: str) -> tuple[Restriction, ...]:
    found = [some_restriction(r, f"rule{index}") for index in range(r.choice((0, 0, 1, 1, 1, 2, 2, 3)))]
    if kind == "wheelchair":
        found = [Restriction(f"legs-{joint}", joint, level="none", reason="invented") for joint in ("hip", "knee")]
        found.append(Restriction("legs-ankle", "ankle", level="none", impact_max=0, reason="invented"))
    return tuple(found)


def some_restriction(r: Random, name: str) -> Restriction:
    """A saying of the trade, or fields put together at random."""
    if r.random() < 0.5:
        side = r.choice(("", "", "left", "right"))
        base = parse_restriction(" ".join(r.choice(SAYINGS).format(side=side).split()))
        if r.random() < 0.4:
            base = replace(base, wanted=some_wanted(r))
        return replace(base, id=name)
    joint = r.choice(sorted(ACTIONS))
    own = [motion for motion in MOTIONS if motion.startswith(joint)]
    limits = {motion: float(r.choice((0, 10, 30, 45, 60, 90, 100, 120))) for motion in r.sample(own, min(len(own), 1))}
    return Restriction(
        id=name,
        joint=joint,
        side=r.choice(("both", "both", "left", "right")),
        actions=tuple(r.sample(ACTIONS[joint], 1)) if r.random() < 0.4 else (),
        level=r.choice(("none", "light", "moderate", "hard")),
        max_angles=limits if r.random() < 0.4 else {},
        positions=tuple(r.sample(POSITIONS, r.choice((0, 0, 1, 2)))),
        grip_max=r.choice((None, None, None, 0, 1, 2)),
        impact_max=r.choice((None, None, None, 0, 1, 2)),
        spine=r.choice(((), (), ("flexed",), ("rotating",))),
        wanted=some_wanted(r),
        reason="invented",
        set_by="invented physiotherapist",
        needs_clearance=r.random() < 0.1,
        clearance=some_clearance(r) if r.random() < 0.3 else None,
    )


def some_wanted(r: Random) -> tuple[Any, ...]:
    return tuple(r.sample(("holds", "carries", "short-range"), r.randint(0, 3)))


def some_goals(r: Random, known: Catalogue) -> tuple[Goal, ...]:
    found: list[Goal] = []
    lifts = [slug for slug in LIFTS if slug in known]
    if lifts and r.random() < 0.4:
        found.append(Goal("strength", r.choice(lifts), r.randint(1, 3)))
    if r.random() < 0.3:
        found.append(Goal("size", r.choice(MUSCLES), r.randint(1, 3)))
    if r.random() < 0.25 and known.progressions:
        found.append(Goal("range", r.choice(("hip-flexion", "shoulder-elevation", "knee-to-wall")), r.randint(1, 3)))
    return tuple(found)


def some_baselines(r: Random, known: Catalogue, mass: float, years: float) -> tuple[Baseline, ...]:
    strength = r.uniform(0.2, 0.6) + min(1.2, 0.1 * years) * r.random()
    found = []
    for slug in r.sample([slug for slug in LIFTS if slug in known], min(2, sum(slug in known for slug in LIFTS))):
        if r.random() < 0.5:
            load = round(2 * mass * strength * r.uniform(0.3, 1.0)) / 2
            day = START - timedelta(days=r.randint(3, 200))
            means = all_facts()[slug].means
            load = load / 3 if means == "each hand" else 0.0 if means in ("added", "body") else load
            found.append(Baseline(day, slug, load, r.randint(1, 12), float(r.randint(0, 4))))
    return tuple(found)


def some_measures(r: Random) -> tuple[RangeMeasure, ...]:
    if r.random() < 0.8:
        return ()
    return (RangeMeasure(START - timedelta(days=9), "knee-to-wall", float(r.randint(1, 14)), "cm", "left"),)


def some_steps(r: Random, known: Catalogue) -> tuple[StepReached, ...]:
    climbs = sorted(known.progressions)
    return tuple(
        StepReached(slug, r.randint(1, len(known.progressions[slug].steps)), START - timedelta(days=20))
        for slug in r.sample(climbs, min(len(climbs), r.randint(0, 2)))
    )


# Places


def some_place(r: Random, name: str) -> Place:
    """From nothing at all to a full gym; counts and masses at random."""
    kind = r.choice(("nothing", "bands", "hand weights", "garage", "garage", "gym", "gym", "odd"))
    if kind == "nothing":
        return Place(name, "Invented empty room", invented=True)
    if kind == "bands":
        return Place(name, "Invented room", bands=some_bands(r), fixtures=some_fixtures(r, 0.25), invented=True)
    if kind == "hand weights":
        bells = some_hand_weights(r, sparse=True)
        return Place(
            name, "Invented flat", dumbbells=bells, bands=some_bands(r), fixtures=some_fixtures(r, 0.3), invented=True
        )
    plates = tuple(
        Counted(mass, r.choice((1, 2, 2, 3, 4, 4, 6))) for mass in (25, 20, 15, 10, 5, 2.5, 1.25) if r.random() < 0.75
    )
    bars = tuple(
        Bar(token, mass, r.choice((1, 1, 1, 2)), r.choice((0.0, 0.0, 0.25, 2.5)))
        for token, mass in (("barbell", r.choice((20, 15, 10))), ("hexbar", 25), ("landmine", 20))
        if r.random() < (0.9 if kind != "odd" else 0.4)
    )
    stacks: tuple[Stack, ...] = ()
    if kind in ("gym", "odd"):
        stacks = tuple(
            Stack(token, float(r.choice((2.5, 5, 10))), float(r.choice((2.5, 5, 10))), float(r.choice((40, 80, 150))))
            for token in ("cable", *MACHINES)
            if r.random() < 0.6
        )
        stacks = tuple(replace(one, add_ons_kg=r.choice(((), (1.25,), (1.25, 2.5)))) for one in stacks)
    return Place(
        name,
        f"Invented {kind}",
        bars=bars,
        plates=plates,
        dumbbells=some_hand_weights(r, sparse=kind != "gym"),
        kettlebells=tuple(Counted(mass, r.randint(1, 2)) for mass in (8, 12, 16, 24, 32) if r.random() < 0.4),
        stacks=stacks,
        bands=some_bands(r),
        fixtures=some_fixtures(r, 0.75 if kind == "gym" else 0.4),
        invented=True,
    )


def some_bands(r: Random) -> tuple[Band, ...]:
    return tuple(Band(f"band{index}", r.random() < 0.4, r.random() < 0.5) for index in range(r.randint(0, 3)))


def some_hand_weights(r: Random, sparse: bool) -> tuple[Counted, ...]:
    masses = (1, 2, 3, 4, 5, 6, 8, 10, 12.5, 15, 17.5, 20, 22.5, 25, 30, 35, 40)
    share = 0.25 if sparse else 0.85
    return tuple(Counted(mass, r.choice((1, 2, 2, 2, 4))) for mass in masses if r.random() < share)


def some_fixtures(r: Random, share: float) -> dict[str, int]:
    return {token: r.choice((1, 1, 1, 2)) for token in FIXTURES if r.random() < share}


# Briefs


def some_brief(r: Random, trainee: Trainee, known: Catalogue, is_small: bool) -> Brief:
    lifts = [slug for slug in LIFTS if slug in known]
    low = r.choice((4.0, 5.0, 6.0, 6.5, 7.0))
    reps = [sorted((r.randint(1, 15), r.randint(1, 15))) for _ in range(3)]
    wishes = tuple(
        LiftWish(
            slug,
            (reps[0][0], reps[0][1]),
            r.randint(1, 5),
            r.randint(1, 2),
            r.choice(("1rm", "strength", "strength", "size")),
        )
        for slug in r.sample(lifts, min(len(lifts), r.choice((0, 0, 1, 1, 2, 3))))
    )
    include = tuple(r.sample(sorted(known), r.choice((0, 0, 0, 1, 2))))
    exclude = tuple(r.sample(sorted(set(known) - set(include)), r.choice((0, 0, 0, 1, 3))))
    brief = Brief(
        id="invented",
        title="Invented block",
        weeks=4 if is_small else r.choice((4, 4, 4, 5, 6, 8, 12)),
        days_a_week=r.choice((2, 2, 3)) if is_small else r.randint(2, 6),
        minutes=float(r.choice((30, 35, 40, 45) if is_small else (30, 40, 45, 60, 75, 90, 120))),
        start=START,
        rpe=(low, min(10.0, low + r.choice((0.0, 1.0, 2.0, 3.0)))),
        rpe_is_default=r.random() < 0.3,
        deload_every=r.choice((0, 3, 4, 4, 5)),
        reps_main=(reps[1][0], reps[1][1]),
        reps_assistance=(reps[2][0] + 3, reps[2][1] + 5),
        lifts=wishes,
        skill=r.choice(sorted(known.progressions)) if known.progressions and r.random() < 0.4 else None,
        emphasis=tuple(r.sample(MUSCLES, r.choice((0, 0, 1)))),
        include=include,
        exclude=exclude,
        supersets=r.random() < 0.8,
        same_muscle_superset=r.random() < 0.2,
        hold_reps_hold=r.random() < 0.2,
        filler=r.random() < 0.8,
        loaded_mobility=r.random() < 0.7,
        conditioning=r.choice(("none", "short", "long")),
        tempo_main=r.choice(("2-0-1-0", "3-1-1-0", "2-0-x-0", "5-0-1-0")),
        risk=r.choice((0.5, 0.7, 0.9)),
        invented=True,
    )
    return replace(brief, rpe=(6.5, 8.5)) if brief.rpe_is_default else brief  # as a file that says no effort
