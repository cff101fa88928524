"""What conditioning does to strength work near it: shared muscles and joints, lowering and landing, hours between.

Everything is in hard sets: what a bout does to a muscle is what so many hard sets would. The numbers are data
(``data/interference.toml``), common practice; the published findings beside them say which way they go. It is a cost
of the search and a rule that warns (X06), never a barrier.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from setwright.catalogue.derive import joint_stress, muscle_vector
from setwright.catalogue.exercise import Exercise
from setwright.catalogue.store import Catalogue
from setwright.people.trainee import DAYS
from setwright.plan.block import Entry
from setwright.plan.bout_time import bout_seconds, members_planned, work_s
from setwright.plan.formats import formats_of
from setwright.plan.session_time import groups_of
from setwright.plan.template import TemplateEntry

HOURS_A_DAY = 24
MOVED = 0.5  # a muscle that an exercise works at least so much is one of its own


@dataclass(frozen=True)
class Weight:
    """What the conditioning of one day weighs: hard sets by muscle, and the joints that it stresses hard."""

    sets: Mapping[str, float]
    joints: frozenset[str]


@cache
def figures() -> dict[str, Any]:
    """The packaged figures."""
    text = resources.files("setwright.plan").joinpath("data", "interference.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def share_after(hours: float) -> float:
    """The share of a bout that is still felt so many hours before or after it; 0 beyond the last that is listed."""
    rows = figures()["hours"]
    found = [row["share"] for row in rows if row["apart"] <= hours]
    longest = rows[-1]["apart"]
    return 0.0 if hours >= longest + HOURS_A_DAY else float(found[-1])


def days_between(first: str, second: str) -> int:
    """Days from the first weekday to the next second one, 0 to 6."""
    names = [str(day) for day in DAYS]
    return (names.index(second) - names.index(first)) % len(names)


def eccentric_share(exercise: Exercise) -> float:
    """How much lowering and landing weighs in an exercise."""
    row = figures()["eccentric"]
    if exercise.impact >= 2:
        return float(row["landing"])
    return float(row["lowering"] if exercise.mode in ("dynamic", "lowering") else row["none"])


def hard_joints(exercise: Exercise) -> frozenset[str]:
    """Joints that an exercise stresses hard."""
    return frozenset(joint for joint, level in joint_stress(exercise).items() if level >= figures()["joint"]["stress"])


def weight_of(entries: Sequence[Entry], catalogue: Catalogue) -> Weight:
    """What all bouts among some entries of a day weigh; plain conditioning without a format weighs nothing here."""
    known = formats_of(catalogue)
    sets: dict[str, float] = {}
    joints: frozenset[str] = frozenset()
    for group in groups_of(entries):
        bout = group[0].bout
        if bout is None or bout.format not in known:
            continue
        hard = known[bout.format].fatigue * bout_seconds(group, catalogue) / 600.0
        work = [sum(work_s(one, catalogue.get(entry.exercise), bout) for one in entry.working_sets) for entry in group]
        for entry, seconds in zip(group, work, strict=True):
            exercise = catalogue.get(entry.exercise)
            mine = hard * seconds / max(1e-9, sum(work)) * eccentric_share(exercise)
            joints |= hard_joints(exercise)
            for muscle, share in muscle_vector(exercise).items():
                if share >= MOVED:
                    sets[muscle] = sets.get(muscle, 0.0) + mine * min(1.0, share)
    return Weight(sets, joints)


def weight_planned(entries: Sequence[TemplateEntry], week: int, catalogue: Catalogue) -> Weight:
    """The same for the fixed entries of a day before loads are put on them."""
    return weight_of(members_planned([one for one in entries if one.bouts], week), catalogue)


def on_lift(exercise: Exercise, weight: Weight) -> float:
    """Hard sets that a day's conditioning weighs on a lift: those of the muscle they share most, more at a joint."""
    worked = {muscle: min(1.0, share) for muscle, share in muscle_vector(exercise).items() if share >= MOVED}
    shared = max((weight.sets.get(muscle, 0.0) * share for muscle, share in worked.items()), default=0.0)
    at_joint = float(figures()["joint"]["shared"]) if weight.joints & hard_joints(exercise) else 1.0
    return shared * at_joint


def felt_share(bout_day: str, lift_day: str) -> float:
    """The share of a day's conditioning that has to do with a lift: bout before it, with it, or days after it."""
    before, after = days_between(bout_day, lift_day), days_between(lift_day, bout_day)
    if before == 0:
        return share_after(0)
    later = float(figures()["day"]["earlier_lift"]) * share_after(HOURS_A_DAY * after)
    return max(share_after(HOURS_A_DAY * before), later)


def felt_on(day: str, weights: Mapping[str, Weight], exercise: Exercise) -> float:
    """Hard sets of all conditioning of a week that a lift on a day has to do with."""
    return sum(felt_share(other, day) * on_lift(exercise, weight) for other, weight in weights.items())


def day_points(
    exercise: Exercise, days: Sequence[str], weights: Mapping[str, Weight], weeks: int, weight: float
) -> tuple[int, ...]:
    """Points of the search for a lift on each day; empty where no conditioning weighs on it anywhere.

    weight : how dear the rule is to the coach, 0 where it is switched off
    """
    each = figures()["day"]["points"] * weeks * weight
    found = tuple(round(each * felt_on(day, weights, exercise)) for day in days)
    return found if any(found) else ()
