"""Invented instances of the block problem on the real catalogue, with their weights, fixed before any tuning.

They follow the trials that the planner has to beat: quarter sets as units, 2 to 5 sets, a ramp from 0.75 to 1.10 of
the target with an easy week of 0.55, 18 muscle groups, 8 joints, fatigue, stations, six patterns that must be there,
two lifts of high skill on exactly two days, no muscle hard (over 6 sets) on two days in a row or over 10 sets in a
session, pairs that give back 40 % of their rests. A quarter set too few beyond a band of one set costs 4 points in
each week, one too many 2, outside the bounds 10 more; a station of a session 8, a pair 1; second choices 2 or 5.
What is drawn by the seed: which exercises there are, the targets, the preferences. All of it is invented; only the
exercises, their credits, joints, equipment and seconds are those of the catalogue.
"""

from __future__ import annotations

from collections import Counter

import numpy as np

from setwright.catalogue.derive import joint_stress, set_credits
from setwright.catalogue.exercise import Exercise
from setwright.catalogue.load import catalogue
from setwright.plan.candidates import SINGLE_JOINT_PATTERNS
from setwright.plan.search.problem import Cap, Item, Need, Problem, Week, Wish

PARTS = {"main", "assistance", "finisher"}
MODES = {"dynamic", "concentric", "lowering", "isometric", "carry"}
JOINTS = ("shoulder", "elbow", "wrist", "trunk", "hip", "knee", "ankle", "scapula")
PATTERNS = (
    ("squat", {"squat", "split_squat", "sled"}),
    ("hinge", {"hinge", "single_leg_hinge", "hip_extension"}),
    ("push", {"push_horizontal", "push_incline", "push_vertical", "dip"}),
    ("row", {"pull_horizontal"}),
    ("vertical pull", {"pull_vertical"}),
    ("trunk", {"anti_extension", "anti_lateral", "anti_rotation", "trunk_flexion", "trunk_extension", "carry"}),
)
MUSCLES = 18
ADDED_SINCE = frozenset({"ohp_band", "pike_pushup", "row_band_feet"})  # not there when the instances were fixed
WARM_UP_S = 8 * 60
SET_UP_S = 75
RAMP = (0.75, 1.10)
EASY = 55
LOW, HIGH = 1.3, 2.6  # sets of a group for each hour a week


def pool() -> tuple[Exercise, ...]:
    """Every exercise that strength work could be made of when the instances were fixed, in the order of the slugs."""
    found = [one for one in catalogue().values() if PARTS & set(one.parts) and one.mode in MODES and set_credits(one)]
    found = [one for one in found if one.slug not in ADDED_SINCE]
    return tuple(sorted(found, key=lambda one: one.slug))


def muscles() -> tuple[str, ...]:
    """The muscle groups that most exercises train fully or by half."""
    count = Counter(muscle for one in pool() for muscle in set_credits(one))
    return tuple(sorted(sorted(count), key=lambda name: (-count[name], name))[:MUSCLES])


def seconds(one: Exercise) -> tuple[int, int]:
    """Seconds of work of a set and of its rest (common practice, no published source)."""
    sides = 2 if one.laterality in ("one", "one-side-load") else 1  # as when the instances were frozen
    work = 30 * sides if one.measured_in in ("seconds", "metres") else round(10 * one.rep_s * sides)
    small = one.pattern in SINGLE_JOINT_PATTERNS or one.mode in ("isometric", "carry")
    return work + 10, 75 if small else 120


def shares(weeks: int) -> tuple[Week, ...]:
    """The ramp, with an easy week at its end."""
    building = weeks - 1
    low, high = RAMP
    ramp = [low + (high - low) * week / max(1, building - 1) for week in range(building)]
    return (*(Week("build", round(100 * share)) for share in ramp), Week("easy", EASY))


def skill_lifts(picked: list[Exercise], rng: np.random.Generator) -> set[int]:
    """Indexes of a lift of high skill for the legs and one for the arms, drawn; each stands on two days."""
    found = set()
    for legs in (True, False):
        able = [
            index
            for index, one in enumerate(picked)
            if one.skill >= 4
            and one.is_dynamic
            and any(use.joint in ("hip", "knee") and use.role == "prime" for use in one.actions) == legs
        ]
        if able:
            found.add(int(rng.choice(able)))
    return found


def instance(seed: int, count: int = 200, days: int = 4, weeks: int = 6, minutes: int = 60) -> Problem:
    """The instance of a seed: ``count`` exercises (the whole pool where it is smaller), ``days`` sessions a week."""
    rng = np.random.default_rng(seed)
    names = muscles()
    everything = pool()
    order = [everything[index] for index in rng.permutation(len(everything))]
    picked = order[:count]
    for _, patterns in PATTERNS:  # each pattern that must be there can be
        if not any(one.pattern in patterns for one in picked):
            picked.append(next(one for one in order[count:] if one.pattern in patterns))
    picked.sort(key=lambda one: one.slug)
    twice = skill_lifts(picked, rng)
    stations: dict[str, int] = {}
    items = []
    likes = rng.choice([0, 2, 5], size=len(picked), p=[0.3, 0.5, 0.2])
    for index, one in enumerate(picked):
        token = min(one.equipment[0], default="floor") if one.equipment else "floor"
        work, rest = seconds(one)
        credits = {names.index(m): round(4 * c) for m, c in set_credits(one).items() if m in names}
        stress = {JOINTS.index(joint): level for joint, level in joint_stress(one).items() if joint in JOINTS and level}
        movers = sum(1 for credit in credits.values() if credit == 4)
        stress[len(JOINTS)] = 1 + one.load_capacity * max(1, movers) // 3
        marks = {f"muscle {names[m]}" for m, credit in credits.items() if credit == 4}
        marks |= {f"station {token}"} | ({"grip"} if one.grip >= 2 else set())
        items.append(
            Item(
                key=one.slug,
                credits=credits,
                set_s=work + rest,
                once_s=SET_UP_S,
                saved_s=int(0.4 * rest),
                cost=int(likes[index]),
                station=stations.setdefault(token, len(stations)),
                days=tuple(range(days)),
                times=(2, 2) if index in twice else (0, 1),
                sets=(2, 5),
                cliques=frozenset(marks),
                stress=stress,
            )
        )
    hours = days * minutes / 60.0
    needs = []
    for index, name in enumerate(names):
        served = sum(1 for one in items if one.credits.get(index) == 4)
        forced = sum(2 * 3 * items[lift].credits.get(index, 0) for lift in twice)
        target = max(forced, round(4 * float(rng.uniform(LOW, HIGH)) * hours)) if served >= 2 else 0
        needs.append(
            Need(
                name=name,
                target=target,
                least=round(0.6 * target),
                most=round(1.5 * target) + 4,
                band=4,
                under=4,
                over=2,
                below=10,
                beyond=10,
            )
        )
    spread = {2: (0, 3), 3: (0, 2, 4), 4: (0, 1, 3, 4), 5: (0, 1, 2, 3, 4), 6: (0, 1, 2, 3, 4, 5)}[days]
    neighbours = tuple((a, b) for a in range(days) for b in range(days) if a != b and (spread[b] - spread[a]) % 7 == 1)
    wishes = tuple(
        Wish(name, frozenset(i for i, one in enumerate(picked) if one.pattern in patterns))
        for name, patterns in PATTERNS
    )
    caps = (*(Cap(f"stress of the {joint}", 36) for joint in JOINTS), Cap("fatigue", 60))
    return Problem(
        items=tuple(items),
        needs=tuple(needs),
        weeks=shares(weeks),
        seconds=(60 * minutes - WARM_UP_S,) * days,
        entries=(1, 8),
        neighbours=neighbours,
        set_units=4,
        session_units=40,
        session_points=None,
        hard_units=24,
        hard_points=None,
        station_points=8,
        pair_points=1,
        wishes=wishes,
        caps=caps,
        easy_near=False,
    )
