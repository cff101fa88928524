"""The warm-up for the joints of the day: raise, then drills that cover what the day asks; ramp sets come later.

Frame: Jeffreys 2007 (raise 5 to 10 min, activate and mobilise, potentiate), seen second-hand. The drills are a
greedy cover: the fewest that reach the joint actions with the most work, floor first, then standing.
"""

from __future__ import annotations

from collections.abc import Sequence

from setwright.catalogue.exercise import ROLE_SHARE, Exercise
from setwright.catalogue.store import Catalogue
from setwright.people.trainee import Restriction, Trainee
from setwright.plan.gates import judge
from setwright.plan.template import Scheme, TemplateEntry

MOST_DRILLS = 5
TOP_DEMANDS = 4
REHAB_DRILLS = frozenset({"pendulum"})  # drills of a sore shoulder, odd before healthy presses (common practice)
DRILL_S = 45.0
FLOOR_FIRST = ("supine", "prone", "side", "quadruped", "sit", "kneel", "half-kneel", "plank", "stand", "hang")
# Joints whose actions belong together when a warm-up is chosen.
REGIONS = {"scapula": "shoulder", "toes": "ankle", "forearm": "elbow", "fingers": "wrist"}


def region(joint: str) -> str:
    """The region a joint is warmed up with."""
    return REGIONS.get(joint, joint)


def demands(exercises: Sequence[Exercise]) -> dict[str, float]:
    """How much each region works on a day: roles added up, heavy lifts more."""
    found: dict[str, float] = {}
    for exercise in exercises:
        here: dict[str, float] = {}
        for use in exercise.actions:
            where = region(use.joint)
            here[where] = max(here.get(where, 0.0), ROLE_SHARE[use.role])
        for where, value in here.items():
            found[where] = found.get(where, 0.0) + value * (1 + exercise.load_capacity)
    return found


def warm_up_entries(
    exercises: Sequence[Exercise],
    trainee: Trainee,
    restrictions: Sequence[Restriction],
    tokens: frozenset[str],
    catalogue: Catalogue,
    minutes: float = 8.0,
    weeks: int = 1,
) -> list[TemplateEntry]:
    """The warm-up entries of a day, in the order done, each saying what it prepares.

    exercises : the lifts of the day; minutes : the whole warm-up without ramp sets
    Every entry passes the gates; a joint whose restriction wants holds gets one first.
    """
    wanted = demands(exercises)
    if not wanted:
        return []
    entries: list[TemplateEntry] = []
    raise_minutes = 4.0 if minutes >= 8 else 3.0
    raising = pick_raise(trainee, restrictions, tokens, catalogue)
    if raising is not None:
        verdict = judge(raising, restrictions, tokens, trainee)
        scheme = Scheme("interval", 1, time_s=raise_minutes * 60, rest_s=0.0)
        if raising.measured_in == "metres":
            scheme = Scheme("carry", 3, distance_m=20.0, rest_s=20.0)
        entries.append(
            TemplateEntry(
                raising.slug,
                "warm-up",
                (scheme,) * weeks,
                "Easy, until you are warm and can still talk.",
                dials=dict(verdict.dials),
                cautions=verdict.cautions,
            )
        )
    room = int(max(1, min(MOST_DRILLS, (minutes - raise_minutes) * 60 / (DRILL_S + 10))))
    top = sorted(wanted, key=lambda where: (-wanted[where], where))[:TOP_DEMANDS]
    uncovered = list(top)
    drills: list[tuple[Exercise, str]] = []
    for restriction in restrictions:
        if "holds" in restriction.wanted and region(restriction.joint) in wanted and len(drills) < room:
            hold = pick_drill(
                (region(restriction.joint),), trainee, restrictions, tokens, catalogue, ("isometric",), drills
            )
            if hold is not None:
                drills.append((hold, region(restriction.joint)))
                uncovered = [where for where in uncovered if where != region(restriction.joint)]
    while uncovered and len(drills) < room:
        drill = pick_drill(tuple(uncovered), trainee, restrictions, tokens, catalogue, ("active-mobility",), drills)
        if drill is None:
            drill = pick_drill(tuple(uncovered), trainee, restrictions, tokens, catalogue, ("dynamic",), drills)
        if drill is None:
            break
        covers = [where for where in uncovered if where in {region(use.joint) for use in drill.actions}]
        drills.append((drill, covers[0]))
        uncovered = [where for where in uncovered if where not in covers]
    drills.sort(key=lambda one: (FLOOR_FIRST.index(one[0].body_position), one[0].slug))
    for drill, where in drills:
        verdict = judge(drill, restrictions, tokens, trainee)
        lift = max(
            (one for one in exercises if where in {region(use.joint) for use in one.actions}),
            key=lambda one: (one.load_capacity, one.slug),
            default=None,
        )
        held = drill.measured_in == "seconds" or drill.mode == "isometric"
        scheme = (
            Scheme("hold", 1, hold_s=20.0, rest_s=0.0, rir=5.0, per_side=drill.per_side)
            if held
            else Scheme("drill", 1, reps=(6, 8), rest_s=0.0, per_side=drill.per_side)
        )
        why = f"Readies the {where}" + (f" for {lift.name}." if lift is not None else ".")
        entries.append(
            TemplateEntry(
                drill.slug,
                "warm-up",
                (scheme,) * weeks,
                why,
                dials={**drill.dials, **verdict.dials},
                cautions=verdict.cautions,
            )
        )
    return entries


def pick_raise(
    trainee: Trainee, restrictions: Sequence[Restriction], tokens: frozenset[str], catalogue: Catalogue
) -> Exercise | None:
    """The gentlest open way to get warm: a machine, a light sled, a walk; no landing."""
    open_ones = [
        one
        for one in catalogue.values()
        if "warm-up" in one.parts
        and one.mode in ("cyclic", "concentric")
        and one.impact <= 1
        and one.skill <= 2
        and judge(one, restrictions, tokens, trainee).allowed
    ]
    return min(
        open_ones,
        key=lambda one: ("easy" not in one.slug, one.mode != "cyclic", one.impact, one.skill, one.slug),
        default=None,
    )


def pick_drill(
    regions: tuple[str, ...],
    trainee: Trainee,
    restrictions: Sequence[Restriction],
    tokens: frozenset[str],
    catalogue: Catalogue,
    modes: tuple[str, ...],
    taken: Sequence[tuple[Exercise, str]],
) -> Exercise | None:
    """The open drill that covers most of the regions, simplest first."""
    used = {one.slug for one, _ in taken}
    best: tuple[tuple[float, float, float, str], Exercise] | None = None
    for one in catalogue.values():
        if one.mode not in modes or one.skill > 2 or one.load_capacity > 1 or one.slug in used:
            continue
        if "warm-up" not in one.parts or one.body_position == "hang":
            continue
        if one.slug in REHAB_DRILLS and not any(rule.joint in ("shoulder", "scapula") for rule in restrictions):
            continue
        covered = {region(use.joint) for use in one.actions if use.role != "held"} & set(regions)
        if not covered or not judge(one, restrictions, tokens, trainee).allowed:
            continue
        first = min(regions.index(where) for where in covered)
        key = (float(-len(covered)), float(first), float(one.skill), one.slug)
        if best is None or key < best[0]:
            best = (key, one)
    return None if best is None else best[1]
