"""Back from a block's entry to the template it could have come from, so that one entry can be dosed anew."""

from __future__ import annotations

from dataclasses import replace

from setwright.catalogue.exercise import Exercise, PartName
from setwright.plan.block import Entry
from setwright.plan.schemes import packaged_schemes, unsuited
from setwright.plan.special_schemes import is_small
from setwright.plan.template import Scheme, TemplateEntry

# What stands in for a drill stays as easy as one, and what had no effort is moderate for anybody (RPE 6 at most, rule
# S01); both common practice, no published source.
DRILL_RIR, UNSAID_RIR = 6.0, 4.0
LOWERING_REPS = (4, 6)  # heavy lowering work loses its quality in longer sets (rule W08)


def scheme_of(entry: Entry) -> Scheme | None:
    """The scheme of an entry's working sets, or None where it has only ramp sets."""
    working = entry.working_sets
    if not working:
        return None
    first = working[0]
    return Scheme(
        kind=entry.scheme,
        sets=len(working),
        reps=first.reps,
        rir=first.rir,
        hold_s=first.hold_s,
        hold_after_s=first.hold_after_s,
        distance_m=first.distance_m,
        time_s=first.time_s,
        tempo=first.tempo,
        rest_s=first.rest_s,
        per_side=first.per_side,
        inside=tuple(
            replace(one, load_kg=None, pieces="", reps=None if one.left else one.reps) for one in first.inside
        ),
        back_offs=next((one.load_share for one in working if one.load_share is not None), None),
        back_reps=next((one.reps for one in working if one.load_share is not None and one.reps != first.reps), None),
        lowering=first.kind == "lowering",
    )


def template_of(entry: Entry, part: PartName) -> TemplateEntry:
    """The entry of one week as a template entry of one week."""
    return TemplateEntry(
        exercise=entry.exercise,
        part=part,
        schemes=(scheme_of(entry),),
        why=entry.why,
        superset=entry.superset,
        dials=dict(entry.dials),
        filler_wanted=entry.filler is not None,
        progression=entry.progression,
        step=entry.step,
        written=entry.written,
        cautions=entry.cautions,
        bouts=(entry.bout,) if entry.bout is not None else (),
    )


def scheme_as(exercise: Exercise, old: Scheme) -> Scheme:
    """The nearest scheme another exercise can carry: reps stay reps, a hold is 30 s, a carry 20 m.

    Sets, effort and rest stay; what is done inside a set, and back-offs, stay only where the other one suits them too;
    a light restricted dose is set elsewhere.
    """
    kept = packaged_schemes().get(old.kind)
    if (old.inside or old.back_offs is not None) and (kept is None or unsuited(kept, exercise)):
        old = old.as_straight()
    side = exercise.per_side
    if old.kind == "interval" and exercise.mode == "cyclic":
        return old
    if exercise.mode == "carry" or exercise.measured_in == "metres":
        return Scheme("carry", old.sets, distance_m=20.0, rest_s=old.rest_s, rir=old.rir, per_side=side)
    if exercise.mode == "isometric" or exercise.measured_in == "seconds":
        return Scheme("hold", old.sets, hold_s=30.0, rest_s=old.rest_s, rir=old.rir, per_side=side)
    if exercise.mode == "active-mobility":
        return Scheme("drill", old.sets, reps=(6, 8), rest_s=old.rest_s, per_side=side)
    reps = old.reps or (8, 10)
    if (exercise.load_capacity <= 2 or is_small(exercise)) and reps[1] < 8 and exercise.mode == "dynamic":
        reps = (10, 12)  # small work is no place for heavy triples
    if exercise.mode == "lowering" and reps[1] > LOWERING_REPS[1]:
        reps = LOWERING_REPS
    kind = "lowering" if exercise.mode == "lowering" else "straight" if old.basic in ("hold", "carry") else old.kind
    in_parts = kind == old.kind and old.reps is not None
    return Scheme(
        kind,
        old.sets,
        reps=reps,
        rir=old.rir if old.rir is not None else DRILL_RIR if old.basic == "drill" else UNSAID_RIR,
        hold_s=old.hold_s if kind == "hold-reps-hold" else None,
        hold_after_s=old.hold_after_s if kind == "hold-reps-hold" else None,
        tempo=old.tempo or "2-0-1-0",
        rest_s=old.rest_s,
        per_side=side,
        inside=old.inside if in_parts else (),
        back_offs=old.back_offs if in_parts else None,
        light=old.basic == "drill",
        lowering=kind == "lowering" or (in_parts and old.lowering),
    )
