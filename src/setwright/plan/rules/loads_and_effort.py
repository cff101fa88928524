"""Rules on how heavy, how many repetitions, and how close to failure.

Shares of a single maximum are read from repetitions and reserve by the prior rep curve, k = 0.032.
"""

from __future__ import annotations

from collections.abc import Iterable

from setwright.plan.block import PlannedSet
from setwright.plan.candidates import is_ballistic
from setwright.plan.rules.book import rule
from setwright.plan.rules.view import View
from setwright.plan.rules.volume import wanted_words
from setwright.strength.curve import share_of_1rm

PRIOR_K = 0.032
UNLIKELY, TOO_SURE = 0.15, 0.995
NOVICE_YEARS = 0.5
NOVICE_REPS = 8
HEAVY_SHARE = 0.795  # 80 % with room for rounding
LOAD_LEAP = 1.10
POWER_REPS = 6
SIZE_RPE = 7.0  # three left


def share_of(one: PlannedSet) -> float | None:
    """The share of a single maximum that a planned set is, 0 to 1, or None where it states no effort."""
    if one.kind != "work" or not one.reps or one.rir is None:
        return None
    return float(share_of_1rm((one.reps[0] + one.reps[1]) / 2.0 + one.rir, PRIOR_K))


@rule("L01", "people new to lifting work with 8 to 12 repetitions", "ACSM 2009 (8 to 12RM)", "published", "seen")
def novice_reps(view: View) -> Iterable[str]:
    """Loaded sets under eight repetitions for somebody in the first half year."""
    if view.years >= NOVICE_YEARS:
        return
    for _, _, _, entry, exercise in view.rows():
        for one in entry.sets:
            if one.kind == "work" and one.reps and one.reps[1] < NOVICE_REPS and one.load_kg:
                yield f"{exercise.name} is planned with {one.reps[0]} to {one.reps[1]}."
                break


@rule(
    "L02",
    "trained people lift 80 % of a single and more in two sets a week",
    "ACSM 2026 (at least 80 %, 2 to 3 sets a lift, 2 days a week)",
    "published",
    "seen second-hand",
)
def too_light_for_strength(view: View) -> Iterable[str]:
    """Lifts for strength that no week loads to four fifths of a single twice."""
    if view.years < 1:
        return
    for wish in view.block.inputs.brief.lifts:
        if wish.aim not in ("strength", "1rm"):
            continue
        heavy: dict[int, int] = {}
        for week, _, _, entry, _ in view.rows():
            if entry.exercise == wish.exercise:
                shares = [share_of(one) for one in entry.sets]
                count = sum(1 for share in shares if share is not None and share >= HEAVY_SHARE)
                heavy[week.number] = heavy.get(week.number, 0) + count
        if heavy and max(heavy.values()) < 2:
            yield f"{view.catalogue.get(wish.exercise).name} stays lighter in every week."


@rule(
    "L03",
    "explosive lifts: six repetitions at most, swings left out",
    "ACSM 2009 (3 to 6 for power); handbook (1 to 5); ACSM 2026 (30 to 70 %, lifted fast)",
    "published",
    "seen second-hand",
)
def long_explosive_sets(view: View) -> Iterable[str]:
    """Sets of an explosive lift so long that the last repetitions are slow. The planner knows no share for them."""
    for _, session, _, entry, exercise in view.rows():
        if is_ballistic(exercise) and exercise.base != "kb_swing":
            longest = max((one.reps[1] for one in entry.sets if one.kind == "work" and one.reps), default=0)
            if longest > POWER_REPS:
                yield f"{exercise.name} on {session.day} has sets of {longest}."


@rule(
    "L04",
    "the same set grows by at most a tenth from one week to the next",
    "ACSM 2009 (2 to 10 %, once one or two repetitions more were done)",
    "published",
    "seen",
)
def load_leaps(view: View) -> Iterable[str]:
    """Loads that leap though repetitions and reserve stay; a planned rise in effort is no leap."""
    last: dict[tuple[object, ...], tuple[int, float]] = {}
    for week, session, _, entry, exercise in view.rows():
        working = [one for one in entry.sets if one.kind == "work"]
        for place, one in enumerate(working):
            if not one.load_kg:
                continue
            key = (session.day, entry.exercise, place, one.reps, one.rir, one.rpe)
            before = last.get(key)
            if before is not None and before[0] < week.number and one.load_kg > LOAD_LEAP * before[1] + 1e-6:
                yield f"{exercise.name} from week {before[0]} to week {week.number}."
            last[key] = (week.number, one.load_kg)


@rule(
    "L06",
    "load, repetitions and reserve fit together",
    "handbook load table (85 % is 6, 80 % 8, 75 % 10, 70 % 12, 65 % 15)",
    "handbook",
    "seen second-hand",
)
def load_and_effort_disagree(view: View) -> Iterable[str]:
    """A load that makes the repetitions at the stated reserve very unlikely, or far too easy."""
    for week, session, _, entry, exercise in view.rows():
        for one in entry.sets:
            if one.kind != "work" or one.chance is None or not one.reps or one.rir is None or not entry.written:
                continue
            if one.chance < UNLIKELY:
                what = f"{one.reps[1]} with {one.rir:g} left"
                yield f"{exercise.name} on {session.day}, week {week.number}: too heavy for {what}."
                break
            if one.chance > TOO_SURE and one.rir <= 3 and one.load_kg:
                yield f"{exercise.name} on {session.day}, week {week.number}: far lighter than {one.rir:g} left says."
                break


@rule(
    "L10",
    "sets for size end 0 to 3 short of failure",
    "Robinson 2024 (nearer to failure is better for size, no difference for strength); the band is ours",
    "published",
    "seen",
)
def too_easy_for_size(view: View) -> Iterable[str]:
    """A block for size whose hardest week stays further from failure than three."""
    wants_size = wanted_words(view) or any(wish.aim == "size" for wish in view.block.inputs.brief.lifts)
    if wants_size and view.block.weeks and max(week.rpe for week in view.block.weeks) < SIZE_RPE:
        yield f"The hardest week is RPE {max(week.rpe for week in view.block.weeks):g}."


@rule(
    "L11",
    "no set has to end in failure",
    "ACSM 2026 (failure gave no consistent benefit)",
    "published",
    "seen second-hand",
)
def planned_failure(view: View) -> Iterable[str]:
    """Working sets planned with nothing in reserve."""
    for week, _, _, entry, exercise in view.rows():
        if any(one.rir is not None and one.rir <= 0 for one in entry.sets):
            yield f"{exercise.name} in week {week.number}."
