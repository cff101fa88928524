"""When nothing is like enough: the ways that still train each main muscle, or why none is open.

A hold, a carry, the free side, a machine or another movement keeps a muscle in work where its lift is closed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from setwright.body.anatomy import muscle_groups
from setwright.catalogue.derive import muscle_vector
from setwright.catalogue.equipment import in_words
from setwright.catalogue.exercise import Exercise
from setwright.catalogue.store import Catalogue
from setwright.people.trainee import Restriction, Trainee
from setwright.plan.candidates import skill_ceiling
from setwright.plan.gates import Verdict, judge, who_set
from setwright.plan.likeness import KIND_OF, main_muscles, reachable

WORKS_IT = 0.5  # a muscle that works so much counts half a set at least
MOST_WAYS = 2


@dataclass(frozen=True)
class WayOpen:
    """One open exercise for a muscle, and what kind of way it is, in words."""

    exercise: str
    kind: str


@dataclass(frozen=True)
class Way:
    """The ways that still train one muscle; where there is none, ``why_none`` says what closes them."""

    muscle: str
    open_ones: tuple[WayOpen, ...]
    why_none: str = ""

    @property
    def label(self) -> str:
        """The muscle as a coach says it."""
        return muscle_groups()[self.muscle].label


def other_ways(
    target: Exercise,
    catalogue: Catalogue,
    have: frozenset[str] | None,
    restrictions: Sequence[Restriction],
    trainee: Trainee | None = None,
) -> tuple[Way, ...]:
    """For each main muscle of ``target``: up to two open ways, one moving and one still where both are open.

    have : equipment tokens there are (implied ones included), or None for anything
    """
    judged = [
        (one, judge(one, restrictions, have or frozenset(), trainee, ignore_equipment=have is None))
        for one in catalogue.values()
        if one.base != target.base and counts_as_work(one)
    ]
    return tuple(way_for(muscle, judged, have, restrictions, trainee) for muscle in main_muscles(target))


def counts_as_work(exercise: Exercise) -> bool:
    """True for what trains a muscle: no drills, no pedalling, no landing practice."""
    return KIND_OF[exercise.mode] in ("moving", "still", "carry") and exercise.load_capacity > 0 and exercise.impact < 2


def way_for(
    muscle: str,
    judged: Sequence[tuple[Exercise, Verdict]],
    have: frozenset[str] | None,
    restrictions: Sequence[Restriction],
    trainee: Trainee | None,
) -> Way:
    """The ways for one muscle, the one that works it most first."""
    ceiling = skill_ceiling(trainee) if trainee is not None else 3
    fitting = [
        (one, verdict)
        for one, verdict in judged
        if muscle_vector(one).get(muscle, 0.0) >= WORKS_IT and one.skill <= ceiling
    ]
    open_ones = sorted(
        ((one, verdict) for one, verdict in fitting if verdict.allowed),
        key=lambda pair: (
            -muscle_vector(pair[0])[muscle],
            -reachable(pair[0], have),
            bool(pair[1].dials),
            pair[0].length_bias != "lengthened",  # of equals, what works the muscle at length
            pair[0].skill,
            pair[0].slug,
        ),
    )
    taken: dict[str, WayOpen] = {}
    for one, verdict in open_ones:
        moving = "moving" if KIND_OF[one.mode] == "moving" else "still"
        if moving not in taken:
            taken[moving] = WayOpen(one.slug, kind_of_way(one, verdict))
    if taken:
        return Way(muscle, tuple(taken.values())[:MOST_WAYS])
    return Way(muscle, (), why_none([(one, verdict) for one, verdict in fitting if not verdict.allowed], restrictions))


def kind_of_way(exercise: Exercise, verdict: Verdict) -> str:
    """The kind of way in words: held, carried, one side, a short range, a machine, another movement."""
    kind = {"still": "held", "carry": "carried"}.get(KIND_OF[exercise.mode], "another movement")
    if any(token.startswith("machine:") or token == "cable" for option in exercise.equipment for token in option):
        kind = "on a machine" if kind == "another movement" else kind
    if "side" in verdict.dials:
        kind += f", the {verdict.dials['side']} side only"
    if "range_deg" in verdict.dials:
        kind += ", in a shorter range"
    return f"{kind}, light" if verdict.eased == "light" and exercise.load_capacity > 1 else kind


def why_none(closed: Sequence[tuple[Exercise, Verdict]], restrictions: Sequence[Restriction]) -> str:
    """What closes every way: restrictions by name, and the equipment that would open most."""
    if not closed:
        return "nothing in the catalogue trains it within this skill"
    said = []
    for one in restrictions:
        count = sum(1 for _, verdict in closed if any(reason.startswith(who_set(one)) for reason in verdict.reasons))
        if count:
            said.append(f"{who_set(one)[0].lower()}{who_set(one)[1:]} closes {count}")
    only_gear = [one for one, verdict in closed if all(reason.endswith("not here.") for reason in verdict.reasons)]
    if only_gear:
        tokens = sorted({min(option for option in map(sorted, one.equipment))[0] for one in only_gear})
        said.append(f"{len(only_gear)} need what is not here ({', '.join(in_words(token) for token in tokens[:4])})")
    return "; ".join(said) or closed[0][1].reasons[0].rstrip(".")
