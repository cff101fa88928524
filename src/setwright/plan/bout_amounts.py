"""What a stand-in does in a bout: about as long as what it stands in for, by the clock where the bout is by the clock.

Amounts are made equal in time by usual speeds (``data/paces.toml``), common practice without a published source.
"""

from __future__ import annotations

from dataclasses import replace

from setwright.catalogue.exercise import Exercise, PartName
from setwright.plan.bout import Bout
from setwright.plan.bout_time import paces, speed_m_s
from setwright.plan.template import Scheme, TemplateEntry

STEP_M = {"cyclic": 50.0, "carry": 10.0}  # metres are rounded to these
MOST_REPS = 50
OWN_PACE = "At your own pace: this works the {}, so it is not raced."


def amount_as(old: Exercise, other: Exercise, scheme: Scheme, bout: Bout) -> Scheme:
    """The scheme of one movement of a bout as another exercise can carry it; no written load."""
    plain = replace(scheme, load_kg=None, pct=None, per_side=other.is_counted_each_side(in_reps=False))
    held = other.mode == "isometric" or (other.measured_in == "seconds" and other.mode != "cyclic")
    by_clock = bout.work_s is not None or scheme.time_s is not None
    each_side = [one.is_counted_each_side(in_reps=False) for one in (old, other)]
    seconds = seconds_of(old, scheme, each_side == [False, True])
    bare = replace(plain, reps=None, distance_m=None, time_s=None, hold_s=None)
    if held:
        return replace(bare, kind="hold", hold_s=max(5.0, 5.0 * round(seconds / 5.0)))
    if by_clock:
        return replace(bare, kind="interval", time_s=bout.work_s or scheme.time_s)
    by_distance = other.mode in STEP_M or other.measured_in == "metres" or other.pattern == "sled"
    if by_distance and (scheme.distance_m is not None or other.mode != "cyclic"):
        step = STEP_M.get(other.mode, 10.0)
        metres = max(step, step * round(seconds * speed_m_s(other) / step))
        return replace(bare, kind="interval" if other.mode == "cyclic" else "carry", distance_m=metres)
    if other.mode == "cyclic":
        return replace(bare, kind="interval", time_s=max(5.0, 5.0 * round(seconds / 5.0)))
    if scheme.reps is not None:
        return replace(bare, kind="straight", reps=scheme.reps)
    count = min(MOST_REPS, max(1, round(seconds / min(other.rep_s, paces()["rep_s"]))))
    return replace(bare, kind="straight", reps=(count, count))


def seconds_of(exercise: Exercise, scheme: Scheme, halved: bool) -> float:
    """Seconds of one movement of a round; halved where the stand-in is done on each side."""
    reps = (scheme.reps[0] + scheme.reps[1]) / 2.0 if scheme.reps else 0.0
    seconds = reps * min(exercise.rep_s, paces()["rep_s"]) + (scheme.hold_s or 0.0) + (scheme.time_s or 0.0)
    seconds += (scheme.distance_m or 0.0) / speed_m_s(exercise)
    each_side = exercise.is_counted_each_side(in_reps=False) if scheme.per_side is None else scheme.per_side
    total: float = seconds * (2.0 if each_side else 1.0) / (2.0 if halved else 1.0)
    return total


def eased_in_bout(scheme: Scheme) -> Scheme:
    """The same amount with the light load of the place: a limited joint is not loaded by the coach's number."""
    return replace(scheme, load_kg=None, pct=None, light=True)


def as_stand_in(entry: TemplateEntry, old: Exercise, other: Exercise, eased: bool) -> tuple[Scheme | None, ...]:
    """The schemes of a movement's stand-in, week by week."""
    made = []
    for week, scheme in enumerate(entry.schemes):
        bout = entry.bout(week)
        if scheme is not None and bout is not None:
            scheme = amount_as(old, other, scheme, bout)
            scheme = eased_in_bout(scheme) if eased else scheme
        made.append(scheme)
    return tuple(made)


def part_of_stand_in(exercise: Exercise, part: PartName, is_in_bout: bool) -> PartName:
    """The part whose work may stand in: strength movements for one of a bout that is no machine work."""
    return "assistance" if is_in_bout and exercise.mode != "cyclic" else part


def without_old_target(bouts: tuple[Bout | None, ...]) -> tuple[Bout | None, ...]:
    """The bouts of a stand-in: a pace or watts were meant for the old machine; heart rate and talk test stay."""
    return tuple(
        replace(one, target=None) if one is not None and one.target and one.target.by in ("pace", "watts") else one
        for one in bouts
    )


def own_pace(exercise: Exercise, joints: frozenset[str]) -> str:
    """The caution for a movement that works a limited joint, or an empty text."""
    worked = next((use.joint for use in exercise.actions if use.role != "held" and use.joint in joints), "")
    return OWN_PACE.format("back" if worked == "trunk" else worked) if worked else ""
