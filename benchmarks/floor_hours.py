"""Invented hours: sessions as coaches write them, by chance, for a floor with one rack, one leg-extension machine and
four benches. Every set is a planned set of an exercise of the catalogue, with a load that the place can build."""

from __future__ import annotations

import random

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.store import Catalogue
from setwright.dose.implements import Buildable, loads_in
from setwright.people.place import Band, Bar, Counted, Place, Stack
from setwright.plan.block import Entry, Part, PlannedSet, Session

PLACE = Place(
    id="one-rack",
    name="One rack (invented)",
    bars=(Bar("barbell", 20.0, 2), Bar("hexbar", 25.0, 1)),
    plates=tuple(Counted(kg, n) for kg, n in ((20.0, 8), (15.0, 4), (10.0, 8), (5.0, 8), (2.5, 8), (1.25, 4))),
    dumbbells=tuple(
        Counted(kg, 4 if kg <= 12 else 2) for kg in (2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, *range(14, 33, 2))
    ),
    kettlebells=(Counted(12.0, 2), Counted(16.0, 2), Counted(24.0, 1)),
    stacks=(
        Stack("cable", 5.0, 5.0, 80.0, count=2),
        Stack("machine:leg_extension", 5.0, 5.0, 100.0),
        Stack("machine:leg_curl", 5.0, 5.0, 80.0),
        Stack("machine:leg_press", 20.0, 10.0, 240.0),
    ),
    bands=(Band("light", loop=True, count=4), Band("strong", heavy=True, count=2)),
    fixtures={
        "rack": 1,
        "bench": 4,
        "box": 2,
        "step": 2,
        "pullup_bar": 2,
        "dip_bars": 1,
        "pad": 6,
        "anchor": 2,
        "bike": 2,
        "rower": 1,
        "stick": 4,
        "wedge": 2,
        "rope": 6,
        "slider": 4,
        "roman_chair": 1,
        "nordic_anchor": 1,
    },
    invented=True,
)

RACK = ("back_squat", "front_squat", "bench_bb", "ohp_bb")
OTHER_MAINS = (
    "deadlift",
    "trapbar_dl",
    "leg_press",
    "pullup",
    "bench_db",
    "rdl_bb",
    "goblet_squat",
    "row_cable",
    "rfe_split_bw",
)
ASSISTANCE = (
    "leg_ext",
    "leg_curl_lying",
    "row_cable",
    "lat_pulldown",
    "row_db",
    "bench_db",
    "ohp_db",
    "split_squat",
    "lat_raise",
    "curl_db",
    "rear_fly",
    "lying_triceps",
    "pullup",
    "pushup",
    "step_up",
    "rdl_db",
    "face_pull",
    "curl_incline",
    "situp_load",
    "body_saw",
    "leg_press",
    "dips",
)
FINISHERS = ("curl_db", "lat_raise", "calf_2_floor", "rear_fly", "lying_triceps", "leg_ext")
RAISES = ("march", "rope_skip", "bike_easy", "walk")
DRILLS = ("bw_squat", "dead_bug", "dislocate", "rev_lunge_bw")


def known(catalogue: Catalogue, slugs: tuple[str, ...]) -> list[str]:
    """Those that the catalogue has and the place can give."""
    tokens = expand_tokens(PLACE.tokens())
    return [
        slug
        for slug in slugs
        if slug in catalogue and any(option <= tokens for option in catalogue.get(slug).equipment or (frozenset(),))
    ]


def usual_load(slug: str, options: tuple[Buildable, ...], chance: random.Random, catalogue: Catalogue) -> int:
    """The place, among the loads there are, of one that people of a mixed group take (common practice)."""
    exercise = catalogue.get(slug)
    big = exercise.load_capacity >= 4
    low, high = {
        "each hand": (4.0, 24.0),
        "added": (0.0, 10.0),
        "total": (40.0, 110.0) if big else (10.0, 40.0),
    }.get(exercise.load_means, (0.0, 0.0))
    wanted = chance.uniform(low, high)
    return min(range(len(options)), key=lambda i: abs(options[i].load_kg - wanted))


def entry(
    slug: str,
    sets: int,
    reps: tuple[int, int],
    rest_s: float,
    ramps: int,
    letter: str | None,
    chance: random.Random,
    catalogue: Catalogue,
) -> Entry:
    """One entry with a load by chance, ramp sets below it."""
    exercise = catalogue.get(slug)
    options = loads_in(PLACE, exercise)
    at = usual_load(slug, options, chance, catalogue) if options else 0
    made = []
    for number in range(ramps):
        load = options[at * (number + 1) // (ramps + 1)] if options else None
        made.append(
            PlannedSet(
                "ramp",
                (max(2, 6 - 2 * number),) * 2,
                load_kg=load.load_kg if load else None,
                load_means=exercise.load_means,
                pieces=load.pieces if load else "",
                per_side=exercise.per_side,
                rest_s=(60.0, 90.0, 120.0)[min(number, 2)],
            )
        )
    load = options[min(at, len(options) - 1)] if options else None
    timed = exercise.measured_in == "seconds" or exercise.mode == "isometric"
    work = PlannedSet(
        "hold" if timed else "work",
        None if timed else reps,
        hold_s=30.0 if timed else None,
        load_kg=load.load_kg if load else None,
        load_means=exercise.load_means,
        pieces=load.pieces if load else "",
        per_side=exercise.per_side,
        rest_s=rest_s,
    )
    return Entry(slug, (*made, *([work] * sets)), "invented", superset=letter)


def session(chance: random.Random, catalogue: Catalogue) -> Session:
    """One session of about an hour: a raise and drills, one or two main lifts, assistance, perhaps a finisher."""
    drill = PlannedSet("work", (8, 8))
    raise_ = PlannedSet("work", None, time_s=chance.choice((180.0, 240.0)))
    warm = [Entry(chance.choice(known(catalogue, RAISES)), (raise_,), "invented")]
    warm += [Entry(slug, (drill,), "invented") for slug in chance.sample(known(catalogue, DRILLS), 2)]
    mains = [chance.choice(known(catalogue, RACK if chance.random() < 0.4 else OTHER_MAINS))]
    if chance.random() < 0.4:
        mains.append(chance.choice([s for s in known(catalogue, OTHER_MAINS) if s != mains[0]]))
    taken = set(mains)
    main = []
    for slug in mains:
        heavy = catalogue.get(slug).load_capacity >= 4
        main.append(
            entry(
                slug,
                chance.choice((3, 4)),
                (4, 6) if heavy else (6, 8),
                chance.choice((150.0, 180.0)) if heavy else 120.0,
                3 if heavy and slug == mains[0] else 1,
                None,
                chance,
                catalogue,
            )
        )
    pool = [slug for slug in known(catalogue, ASSISTANCE) if slug not in taken]
    chance.shuffle(pool)
    assistance = []
    for letter in ("A", "B")[: chance.choice((1, 2))]:
        for slug in (pool.pop(), pool.pop()):
            assistance.append(entry(slug, 3, (8, 10), chance.choice((75.0, 90.0)), 0, letter, chance, catalogue))
    for _ in range(chance.choice((1, 2))):
        assistance.append(entry(pool.pop(), chance.choice((2, 3)), (8, 12), 90.0, 0, None, chance, catalogue))
    parts = [Part("warm-up", tuple(warm)), Part("main", tuple(main)), Part("assistance", tuple(assistance))]
    if chance.random() < 0.5:
        left = [slug for slug in known(catalogue, FINISHERS) if slug not in {e.exercise for e in assistance} | taken]
        parts.append(Part("finisher", (entry(chance.choice(left), 2, (12, 15), 60.0, 0, None, chance, catalogue),)))
    return Session("mon", PLACE.id, 0.0, tuple(parts))


def hour(people: int, seed: int, catalogue: Catalogue) -> list[tuple[str, Session]]:
    """An hour of so many invented people."""
    chance = random.Random(1000 * people + seed)
    return [(f"P{number}", session(chance, catalogue)) for number in range(1, people + 1)]
