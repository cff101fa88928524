"""How long a bout of conditioning takes: by its clock where it has one, else by what its movements usually take.

Usual speeds are data (``data/paces.toml``), common practice without a published source, so a bout that its work ends
is given as from and to.
"""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from functools import cache
from importlib import resources
from typing import Any

from setwright.catalogue.exercise import Exercise
from setwright.catalogue.store import Catalogue
from setwright.plan.block import Entry, PlannedSet
from setwright.plan.bout import Bout
from setwright.plan.template import TemplateEntry

SETTLE_S = 10.0  # to get ready once, before the clock starts


@cache
def paces() -> dict[str, Any]:
    """The packaged usual paces."""
    text = resources.files("setwright.plan").joinpath("data", "paces.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def speed_m_s(exercise: Exercise) -> float:
    """Metres a second of an exercise where no target says it; carries and whatever is not listed at a walk of 1 m/s."""
    found: float = paces()["speed_m_s"].get(exercise.base, 1.0)
    return found


def target_speed_m_s(bout: Bout) -> float | None:
    """The speed in the middle of a target pace, m/s, or None where the target is none."""
    target = bout.target
    if target is None or target.by != "pace" or not target.low or not target.high or not target.per_m:
        return None
    return 2.0 * target.per_m / (target.low + target.high)


def work_s(one: PlannedSet, exercise: Exercise, bout: Bout) -> float:
    """Seconds of one movement in one round, or of one piece, without rest."""
    speed = target_speed_m_s(bout) or speed_m_s(exercise)
    reps = (one.reps[0] + one.reps[1]) / 2.0 if one.reps else 0.0
    seconds = reps * min(exercise.rep_s, paces()["rep_s"]) + (one.hold_s or 0.0) + (one.time_s or 0.0)
    total: float = (seconds + (one.distance_m or 0.0) / speed) * (2.0 if one.per_side else 1.0)
    return total


def work_of_rounds_s(members: Sequence[Entry], catalogue: Catalogue) -> float:
    """Seconds of all rounds of all movements, changes between them included."""
    total = 0.0
    for entry in members:
        assert entry.bout is not None
        exercise = catalogue.get(entry.exercise)
        total += sum(work_s(one, exercise, entry.bout) + paces()["change_s"] for one in entry.working_sets)
    return total


def likely_s(members: Sequence[Entry], catalogue: Catalogue) -> tuple[float, float] | None:
    """From and to, how long the work of a bout for time likely takes, in whole half minutes; None for other bouts."""
    bout = members[0].bout
    if bout is None or like(bout) != "rounds-for-time":
        return None
    middle, spread = work_of_rounds_s(members, catalogue), paces()["spread"]
    return 30.0 * round((1 - spread) * middle / 30.0), 30.0 * max(1, round((1 + spread) * middle / 30.0))


def like(bout: Bout) -> str:
    """Which of the seven formats a bout behaves as, told from its numbers where the format is the coach's own."""
    from setwright.plan.formats import BUILT_IN

    if bout.format in BUILT_IN:
        return bout.format
    return "intervals" if (bout.rounds or 1) > 1 else "steady"


def bout_seconds(members: Sequence[Entry], catalogue: Catalogue) -> float:
    """Seconds of a bout as planned: its clock, its cap, or the longer end of what its work takes."""
    bout = members[0].bout
    assert bout is not None
    kind = like(bout)
    if kind in ("as-many-rounds", "every-minute") and bout.time_s is not None:
        return SETTLE_S + bout.time_s
    if kind == "circuit":
        stations = sum(len(entry.working_sets) for entry in members)
        return SETTLE_S + stations * ((bout.work_s or 0.0) + (bout.rest_s or 0.0)) - (bout.rest_s or 0.0)
    if kind == "rounds-for-time":
        most = likely_s(members, catalogue)
        longest = most[1] if most else 0.0
        return SETTLE_S + (longest if bout.time_s is None else min(bout.time_s, longest))
    return SETTLE_S + pieces_s(members[0], catalogue)


def planned_seconds(entries: Sequence[TemplateEntry], week: int, catalogue: Catalogue) -> float:
    """Seconds of the movements of one bout before loads are put on them; 0 in a week without it."""
    members = members_planned(entries, week)
    return bout_seconds(members, catalogue) if members else 0.0


def members_planned(entries: Sequence[TemplateEntry], week: int) -> list[Entry]:
    """The movements of bouts as entries without loads; those that a week leaves out are left out."""
    members = []
    for entry in entries:
        scheme, bout = entry.schemes[week], entry.bout(week)
        if scheme is None or bout is None:
            continue
        one = PlannedSet(
            "work",
            reps=scheme.reps,
            hold_s=scheme.hold_s,
            distance_m=scheme.distance_m,
            time_s=scheme.time_s,
            per_side=bool(scheme.per_side),
            rest_s=scheme.rest_s,
        )
        members.append(Entry(entry.exercise, (one,) * scheme.sets, "", superset=entry.superset, bout=bout))
    return members


def pieces_s(entry: Entry, catalogue: Catalogue) -> float:
    """Seconds of pieces with their rests; the rest after the last one belongs to the change-over."""
    bout = entry.bout
    assert bout is not None
    exercise, working = catalogue.get(entry.exercise), entry.working_sets
    work = [work_s(one, exercise, bout) for one in working]
    if bout.every_s is not None and work:
        return sum(max(bout.every_s, one) for one in work[:-1]) + work[-1]
    return sum(work) + sum(one.rest_s for one in working[:-1])
