"""From a template to a block: loads, ramp sets, warm-ups, filler, alternatives, minutes and counted sets.

Both doors meet here. Nothing in this file chooses an exercise for the main parts; it only doses what stands
in the template and fills in what surrounds it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from math import hypot
from typing import TypeVar, cast

import numpy as np

from setwright.body.anatomy import muscle_groups
from setwright.catalogue.derive import set_credits
from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.exercise import Exercise, PartName
from setwright.catalogue.store import Catalogue
from setwright.dose.implements import loads_in
from setwright.dose.prescribe import FIND_YOUR_LOAD, Dose, nearest_to, prescribe
from setwright.dose.ramp import ramp_sets
from setwright.people.place import Place
from setwright.people.trainee import Trainee
from setwright.plan.alternatives import alternatives_for_entry
from setwright.plan.arrange import PART_ORDER, what_it_is
from setwright.plan.block import (
    Alternative,
    Entry,
    Filler,
    Part,
    PlannedSet,
    Session,
    SetCredit,
    SetKind,
    Week,
    WeekKind,
)
from setwright.plan.bout_scaling import with_heavy_note
from setwright.plan.bout_sets import for_person, in_ladder, with_likely_times
from setwright.plan.brief import Brief
from setwright.plan.cautions import cautions_for
from setwright.plan.filler import NOTHING_AROUND, Around, Pool, around_of, filler_for, open_fillers, with_longer_rests
from setwright.plan.hold_doses import hold_load, likely_hold_s
from setwright.plan.inside_sets import (
    back_off_sets,
    dosed_inside,
    keeps_its_reps,
    next_load_note,
    plain_ends,
    slow_of,
    without_other_reps,
)
from setwright.plan.light_loads import light_load
from setwright.plan.schemes import (
    counted_sets,
    is_filled,
    scheme_for_lift,
    schemes_of,
    sore_joints,
    too_early,
    unsuited,
)
from setwright.plan.session_time import session_minutes_of
from setwright.plan.template import BASIC_KINDS, Scheme, Template, TemplateEntry, TemplateSession
from setwright.plan.warm_up import warm_up_entries
from setwright.strength.calling import call_for
from setwright.strength.compound import Body, Piece, as_plain, left_in
from setwright.strength.estimates import Estimates, LiftEstimate
from setwright.strength.gathering import own_part
from setwright.strength.holds import curve_of
from setwright.strength.tempo import share_of_reps
from setwright.strength.tiring import USUAL_REST_S

SET_KINDS: Mapping[str, SetKind] = {
    "hold-reps-hold": "hold-reps-hold",
    "lowering": "lowering",
    "hold": "hold",
}


SHORTER_HOLD = "Shorter than usual: as long as holds so far make likely."
HOPELESS = 0.02  # chance of a written load under which no reserve is printed for it

T = TypeVar("T")


@dataclass(frozen=True)
class Context:
    """All that dosing needs to know: who, where, what for, and how strong.

    is_sketch : whether only what takes minutes is wanted, without stand-ins and fillers
    """

    trainee: Trainee
    places: Mapping[str, Place]
    brief: Brief
    catalogue: Catalogue
    estimates: Estimates
    on: date
    is_sketch: bool = False
    _memory: dict[object, object] = field(default_factory=dict, compare=False, repr=False)

    def tokens(self, place: str) -> frozenset[str]:
        """What a place answers to, implied tokens included."""
        return expand_tokens(self.places[place].tokens())

    def offered(self) -> Catalogue:
        """The catalogue without what the brief leaves out: what drills, fillers and wanted work are picked from."""
        return self.remember("offered", lambda: self.catalogue.without(self.brief.exclude))

    def remember(self, key: object, make: Callable[[], T]) -> T:
        """The value for ``key``, made once: the same entry stands in several weeks."""
        if key not in self._memory:
            self._memory[key] = make()
        return cast(T, self._memory[key])


def is_light(scheme: Scheme) -> bool:
    """True for drills, holds, carries and intervals, and for work that is wanted light."""
    return scheme.light or scheme.basic in ("hold", "carry", "interval", "drill")


def dose_of(
    exercise: Exercise,
    scheme: Scheme,
    place: Place,
    context: Context,
    part: PartName,
    cap_kg: float | None = None,
) -> Dose | None:
    """The load for one set of a scheme, or None where the exercise takes no load that is known in kg."""
    light_part = part in ("warm-up", "loaded-mobility", "conditioning")
    if exercise.load_means == "body":
        return None
    if light_part and scheme.load_kg is not None:
        return written_dose(exercise, scheme.load_kg, place)
    if light_part or (is_light(scheme) and scheme.load_kg is None and scheme.pct is None):
        known = (
            None
            if light_part or scheme.light
            else hold_load(exercise, scheme, place, context.trainee, context.estimates, context.brief.risk)
        )
        return known or light_load(exercise, scheme, place, context.trainee, context.estimates)
    if scheme.basic in ("hold", "carry", "interval", "drill"):
        load = scheme.load_kg
        if load is None:  # a share of the most that can be held or moved, as the coach wrote it, becomes a load
            known_lift = context.estimates.for_exercise(exercise.slug)
            load = (scheme.pct or 0.0) * known_lift.posterior.one_rm().mean - own_part(exercise, context.trainee)
        return written_dose(exercise, max(0.0, load), place)
    asked = asked_of(exercise, scheme, context)
    estimate, wanted = asked.estimate, asked.plain
    written = scheme.load_kg
    if written is None and scheme.pct is not None:
        written = scheme.pct * estimate.posterior.one_rm().mean - estimate.body_part_kg
    dose = prescribe(
        estimate,
        exercise,
        place,
        wanted,
        scheme.rir if scheme.rir is not None else 2.0,
        context.brief.risk,
        written_kg=written,
        cap_kg=cap_kg,
    )
    if keeps_its_reps(scheme) and dose.reps is not None and dose.load_kg is not None and dose.reps[0] < wanted[0]:
        # The heavier load was for fewer repetitions: a set in parts keeps them, so it takes the one below.
        below = [one.load_kg for one in loads_in(place, exercise) if one.load_kg < dose.load_kg - 1e-9]
        if below and written is None:
            return dose_of(exercise, scheme, place, context, part, max(below))
    return asked.as_said(dose)


@dataclass(frozen=True, eq=False)
class Asked:
    """What a set with holds or slow repetitions asks, as the plain set that asks as much.

    said, plain : (from, to) repetitions as the sheet says them, and as the plain set has them
    estimate : what is known of the lift, with the doubt that holds and slow repetitions add
    share_of_reps : slow repetitions possible, over those at the usual pace
    pieces, body : the set with the middle of its repetitions, and what the person brings to it; no pieces without holds
    share_log_sd : doubt about the share of the 1RM on a day, in log, without what holds and slow repetitions add
    in_parts : whether all parts of a set in parts are said, so that its repetitions stay
    """

    said: tuple[int, int]
    plain: tuple[int, int]
    estimate: LiftEstimate
    share_of_reps: float = 1.0
    pieces: tuple[Piece, ...] = ()
    body: Body | None = None
    share_log_sd: float = 0.0
    in_parts: bool = False

    def as_said(self, dose: Dose) -> Dose:
        """A dose of the plain set as the dose of the set itself; sets with holds keep their repetitions."""
        if self.in_parts:
            return without_other_reps(dose, self.said)
        if self.plain == self.said or dose.reps is None:
            return dose
        more = 0 if self.pieces else round((dose.reps[1] - self.plain[1]) * self.share_of_reps)
        reps = (max(1, self.said[0] + more), max(1, self.said[1] + more))
        note = dose.note.replace(f"{self.plain[0]} at this effort", f"{self.said[0]} at this effort")
        if not note.startswith(FIND_YOUR_LOAD):
            note = f"{note} {self.effort_at(dose.load_kg)}".strip()
        return replace(dose, reps=reps, note=note)

    def effort_at(self, load_kg: float | None) -> str:
        """How hard a set with holds will be at a load: repetitions left at its end as this trainee calls them.

        Empty for other sets.
        """
        if load_kg is None or self.body is None or load_kg + self.estimate.body_part_kg <= 0:
            return ""
        belief = self.estimate.posterior
        share = (load_kg + self.estimate.body_part_kg) / belief.one_rm().mean
        left = left_in(self.pieces, share, self.body, self.share_log_sd)
        if left.p90 < 0.5:
            return "Likely too heavy to finish."
        reps = np.array([0.5 * (self.said[0] + self.said[1])])
        bias = belief.weights @ belief.mean[:, 2]
        low, high = (round(float(call_for(np.array([count]), reps, bias)[0])) for count in (left.p10, left.p90))
        may_fail = "; it may not be finished" if left.p10 < 0.0 else ""
        return f"Likely left after the last hold: {low} to {high}{may_fail}."


def asked_of(exercise: Exercise, scheme: Scheme, context: Context) -> Asked:
    """The plain set that asks as much as a set of a scheme does of this person.

    Lowering sets keep their count: the muscle is stronger lowering than lifting, by about what slow repetitions take
    (common practice, no published source).
    """
    estimate = context.estimates.for_exercise(exercise.slug)
    reps, rir = scheme.reps or (8, 8), scheme.rir if scheme.rir is not None else 2.0
    slow = slow_of(exercise, scheme)
    if keeps_its_reps(scheme):
        whole_set = Body(estimate.posterior.k().mean, curve_of(exercise), context.estimates.endurance)
        ends = plain_ends(exercise, scheme, rir, whole_set)
        counts = (max(1, round(ends[0].reps - rir)), max(1, round(ends[1].reps - rir)))
        doubt = 0.5 * (ends[0].log_sd + ends[1].log_sd)
        unsure = replace(estimate, posterior=estimate.posterior.widened(doubt))
        return Asked(reps, counts, unsure, share_of_reps(slow), in_parts=True)
    holds = (scheme.hold_s or 0.0, scheme.hold_after_s or 0.0)
    if slow == 1.0 and not any(holds):
        return Asked(reps, reps, estimate)
    body = Body(estimate.posterior.k().mean, curve_of(exercise), context.estimates.endurance)

    def pieces(count: float) -> tuple[Piece, ...]:
        return Piece(seconds=holds[0]), Piece(reps=count, slow=slow), Piece(seconds=holds[1])

    low, high = (as_plain(pieces(count), rir, body) for count in reps)
    plain = (round(low.reps - rir), round(high.reps - rir))
    wider = replace(estimate, posterior=estimate.posterior.widened(0.5 * (low.log_sd + high.log_sd)))
    if not any(holds):
        return Asked(reps, plain, wider, share_of_reps(slow))
    whole = estimate.posterior.one_rm()
    share_log_sd = hypot(whole.sd / whole.mean, estimate.posterior.usual_day_noise())
    middle = pieces(0.5 * (reps[0] + reps[1]))
    return Asked(reps, plain, wider, share_of_reps(slow), middle, body, share_log_sd)


def written_dose(exercise: Exercise, load_kg: float, place: Place) -> Dose | None:
    """A load the coach wrote for a hold, a carry or timed work: built as near as can be, with no chance to state."""
    options = loads_in(place, exercise)
    if not options:
        return None
    option = nearest_to(options, load_kg)
    note = "" if abs(option.load_kg - load_kg) < 0.05 else f"{load_kg:g} kg as written can't be built here."
    return Dose(option.load_kg, None, option.means, option.pieces, None, None, note, option.plates_per_side)


def open_scheme(exercise: Exercise, scheme: Scheme, context: Context) -> Scheme:
    """The scheme, or straight sets in its stead where it may not be used at a joint that a restriction names.

    A scheme that is only named is filled in from its file.
    """
    known = schemes_of(context.catalogue).get(scheme.kind)
    if known is None:
        return scheme
    if sore_joints(known, exercise, context.trainee):
        return scheme.as_straight()
    if not is_filled(scheme) and (len(known.pieces) > 1 or known.back_offs is not None):
        return scheme_for_lift(known, scheme)
    return scheme


def scheme_cautions(entry: TemplateEntry, exercise: Exercise, scheme: Scheme, context: Context) -> tuple[str, ...]:
    """What speaks against a scheme that a brief asks for; a written block says it in its list of what is bent."""
    known = schemes_of(context.catalogue).get(scheme.kind)
    if known is None or entry.written or scheme.kind in BASIC_KINDS:
        return ()
    reasons = (*unsuited(known, exercise), *too_early(known, context.trainee, context.on.year))
    return (f"{known.title[:1].upper()}{known.title[1:]}, as the brief asks: {' '.join(reasons)}",) if reasons else ()


def planned_sets(
    exercise: Exercise,
    scheme: Scheme,
    place: Place,
    context: Context,
    part: PartName,
    with_ramp: bool,
    cap_kg: float | None = None,
) -> tuple[PlannedSet, ...]:
    """Ramp sets where wanted, then the working sets. ``cap_kg``: no load above it."""
    scheme = open_scheme(exercise, scheme, context)
    key = (exercise.slug, scheme, place.id, part, cap_kg)
    hold_s = likely_hold_s(exercise, scheme, context.trainee, context.estimates, context.brief.risk)
    dose = context.remember(key, lambda: dose_of(exercise, scheme, place, context, part, cap_kg))
    per_side = scheme.is_each_side(exercise)
    rpe = None if scheme.rir is None else max(1.0, 10.0 - scheme.rir)
    kind = SET_KINDS.get(scheme.basic, "work")
    reps = scheme.reps
    if dose is not None and reps is not None and scheme.basic in ("straight", "ramp", "lowering") and dose.reps:
        reps = dose.reps
    work = PlannedSet(
        kind=kind,
        reps=reps if scheme.basic not in ("hold", "carry", "interval") else None,
        hold_s=hold_s if scheme.hold_s else scheme.hold_s,
        hold_after_s=scheme.hold_after_s if scheme.kind == "hold-reps-hold" else None,
        distance_m=scheme.distance_m,
        time_s=scheme.time_s,
        rir=scheme.rir,
        rpe=rpe,
        chance=None if dose is None else dose.chance,
        tempo=scheme.tempo,
        load_kg=None if dose is None else dose.load_kg,
        load_range_kg=None if dose is None else dose.range_kg,
        load_means=exercise.load_means if dose is None else dose.means,
        per_side=per_side,
        rest_s=scheme.rest_s,
        pieces="" if dose is None else dose.pieces,
        note=SHORTER_HOLD if scheme.hold_s and hold_s < scheme.hold_s else "" if dose is None else dose.note,
    )
    estimate = context.estimates.for_exercise(exercise.slug) if scheme.inside or scheme.back_offs else None
    if estimate is not None and scheme.inside:
        work = dosed_inside(work, exercise, scheme, place, estimate, context.estimates.endurance)
    known = schemes_of(context.catalogue).get(scheme.kind)
    if known is not None and known.progress == "reps then load" and not scheme.inside and scheme.reps and work.load_kg:
        told = next_load_note(scheme, work.load_kg, scheme.reps, exercise, place)
        work = replace(work, reps=scheme.reps, note=f"{work.note} {told}".strip())
    each = [work] * scheme.sets
    if estimate is not None and scheme.back_offs is not None:
        each = [work, *back_off_sets(work, scheme, exercise, place, estimate, scheme.rest_s)]
    sets = [with_chance(one, number, exercise, scheme, context) for number, one in enumerate(each)]
    if not with_ramp or dose is None or dose.load_kg is None:
        return tuple(sets)
    ramps = [
        PlannedSet(
            kind="ramp",
            reps=(step.reps, step.reps),
            load_kg=step.load_kg,
            load_means=dose.means,
            per_side=per_side,
            rest_s=step.rest_s,
            pieces=step.pieces,
        )
        for step in ramp_sets(exercise, dose, place)
    ]
    return (*ramps, *sets)


def with_chance(work: PlannedSet, before: int, exercise: Exercise, scheme: Scheme, context: Context) -> PlannedSet:
    """The set with its own chance: sets before it take something from each later one."""
    if before == 0 or work.chance is None or work.load_kg is None or work.reps is None or work.rir is None:
        return work
    if work.load_means == "assistance":
        return work
    asked = asked_of(exercise, replace(scheme, reps=work.reps, rir=work.rir), context)
    whole = work.load_kg + asked.estimate.body_part_kg
    rest = float(work.rest_s) if work.rest_s else USUAL_REST_S
    known = schemes_of(context.catalogue).get(scheme.kind)
    felt = round(before * known.fatigue) if known is not None and scheme.inside else before
    chance = asked.estimate.posterior.chance(whole, asked.plain[1], work.rir, felt, rest)
    return replace(work, chance=round(chance, 2))


def needs_ramp(entry: TemplateEntry, exercise: Exercise, warm: set[str]) -> bool:
    """True for loaded main lifts, and for the first heavy lift of muscles that are not warm yet."""
    scheme = next((one for one in entry.schemes if one is not None), None)
    if scheme is None or is_light(scheme) or exercise.load_means in ("body", "assistance"):
        return False
    if entry.part == "main" or scheme.to_top_set:
        return True
    fresh = {muscle for muscle, credit in set_credits(exercise).items() if credit == 1} - warm
    return entry.part == "assistance" and exercise.load_capacity >= 4 and bool(fresh)


def as_written(one: PlannedSet, entry: TemplateEntry, scheme: Scheme) -> PlannedSet:
    """A set of a line that the coach wrote: it keeps its repetitions, and claims no reserve at a hopeless load."""
    if one.kind == "ramp":
        return one
    if one.reps and scheme.reps and not entry.dials.get("side") and scheme.rir is not None and not scheme.light:
        one = replace(one, reps=scheme.reps if one.load_share is None else scheme.back_reps or scheme.reps)
    if scheme.basic == "hold":
        one = replace(one, hold_s=scheme.hold_s, note="" if one.note == SHORTER_HOLD else one.note)
        if scheme.pct is not None and one.load_kg is None:
            share = f"{100 * scheme.pct:.0f} % as written has no load here"
            one = replace(one, note=f"{share}: a hold is set by position, load and time.")
    if scheme.load_kg is not None and one.chance is not None and one.chance < HOPELESS:
        one = hopeless(one)
    return one


def hopeless(one: PlannedSet) -> PlannedSet:
    """A set with a load that nobody expects to be done as asked: no reserve is named for it."""
    return replace(one, rir=None, rpe=None, note=f"{one.note} Far over what is known: check this load.".strip())


def compose_entry(
    entry: TemplateEntry,
    week: int,
    place: Place,
    context: Context,
    with_ramp: bool,
    bare: bool = False,
    around: Around = NOTHING_AROUND,
) -> Entry | None:
    """One entry of one week, or None where the template leaves it out.

    bare : no alternatives or filler; around : the lifts next to it and the fillers of the day so far
    """
    scheme = entry.schemes[week]
    if scheme is None:
        return None
    if "side" in entry.dials:
        scheme = replace(scheme, per_side=False)
    exercise = context.catalogue.get(entry.exercise)
    scheme = open_scheme(exercise, scheme, context)
    restrictions = context.trainee.restrictions
    tokens = context.tokens(place.id)
    sets = context.remember(
        ("sets", exercise.slug, scheme, place.id, entry.part, with_ramp),
        lambda: planned_sets(exercise, scheme, place, context, entry.part, with_ramp),
    )
    if entry.written:
        sets = tuple(as_written(one, entry, scheme) for one in sets)
    bout = for_person(entry.bout(week), context.trainee, context.on.year)
    sets = in_ladder(sets, bout)
    sets = with_heavy_note(sets, exercise, bout, context.trainee, context.estimates)
    filler: Filler | None = None
    alternatives: tuple[Alternative, ...] = ()
    if not bare and not context.is_sketch:
        alternatives = context.remember(
            ("alternatives", entry.exercise, place.id, entry.part),
            lambda: alternatives_for_entry(
                exercise, context.catalogue, tokens, restrictions, context.trainee, context.brief.exclude
            ),
        )
        if entry.filler_wanted and entry.superset is None:
            filler = context.remember(
                ("filler", entry.exercise, place.id, scheme.rest_s, *around.key),
                lambda: filler_for(
                    exercise,
                    scheme.rest_s,
                    context.offered(),
                    restrictions,
                    tokens,
                    context.trainee,
                    around,
                    filler_pool(place, context),
                ),
            )
    against = scheme_cautions(entry, exercise, scheme, context)
    cautions = dict.fromkeys((*entry.cautions, *against, *cautions_for(exercise, context.trainee, sets)))
    return Entry(
        exercise=entry.exercise,
        sets=sets,
        why=why_this_week(entry, scheme),
        superset=entry.superset,
        scheme=scheme.kind,
        cautions=tuple(cautions),
        dials=dict(entry.dials),
        alternatives=alternatives,
        filler=filler,
        progression=entry.progression,
        step=entry.step,
        written=entry.written,
        bout=bout,
    )


def why_this_week(entry: TemplateEntry, scheme: Scheme) -> str:
    """The reason of an entry, without the words for a scheme that it has in other weeks only."""
    why = entry.why
    for other in {one.kind for one in entry.schemes if one is not None} - {scheme.kind}:
        words = what_it_is(other)
        why = why.replace(f" {words}", "") if words else why
    return why


def filler_pool(place: Place, context: Context) -> Pool:
    """The fillers open to this person at a place, found once."""
    return context.remember(
        ("filler pool", place.id),
        lambda: open_fillers(
            context.offered(), context.trainee.restrictions, context.tokens(place.id), context.trainee
        ),
    )


def warmed_for(session: TemplateSession, catalogue: Catalogue) -> list[TemplateEntry]:
    """What a warm-up is for: the lifts, and the movements of bouts; machines where there is nothing else."""
    lifts = [entry for entry in session.entries if entry.part in ("main", "skill", "assistance", "finisher")]
    bouts = [entry for entry in session.entries if entry.bouts and entry not in lifts]
    lifts += [entry for entry in bouts if catalogue.get(entry.exercise).pattern != "conditioning"]
    return lifts or bouts


def warm_up_of(session: TemplateSession, place: Place, context: Context, weeks: int) -> tuple[TemplateEntry, ...]:
    """The warm-up for the joints of the day; what the coach wrote stays instead of it."""
    if any(entry.part == "warm-up" for entry in session.entries):
        return ()
    lifts = warmed_for(session, context.catalogue)
    working = [context.catalogue.get(entry.exercise) for entry in lifts]
    minutes = 5.0 if session.minutes_cap is not None and session.minutes_cap <= 40 else 8.0
    made = warm_up_entries(
        working,
        context.trainee,
        context.trainee.restrictions,
        context.tokens(place.id),
        context.offered(),
        minutes=minutes,
        weeks=weeks,
        dials=[entry.dials for entry in lifts],
    )
    return tuple(made)


def compose_session(session: TemplateSession, week: int, weeks: int, context: Context) -> Session:
    """One day of one week, warm-up first, with its minutes by the time model."""
    place = context.places[session.place]
    key = ("warm-up", session.day, session.place, tuple((one.exercise, str(one.dials)) for one in session.entries))
    warm_up = context.remember(key, lambda: warm_up_of(session, place, context, weeks))
    warm: set[str] = set()
    done: set[str] = set()
    by_part: dict[PartName, list[Entry]] = {}
    rows = [entry for entry in (*warm_up, *session.entries) if entry.schemes[week] is not None]
    day = [context.catalogue.get(entry.exercise) for entry in rows]
    used: list[str] = []
    for number, entry in enumerate(rows):
        exercise = day[number]
        made = compose_entry(
            entry,
            week,
            place,
            context,
            entry.exercise not in done and needs_ramp(entry, exercise, warm),
            bare=entry.part == "warm-up",
            around=around_of(day[len(warm_up) :], number - len(warm_up), used, context.brief.emphasis),
        )
        if made is None:
            continue
        used += [made.filler.exercise] if made.filler else []
        done.add(entry.exercise)
        if entry.part in ("main", "skill", "assistance", "finisher"):
            warm |= {muscle for muscle, credit in set_credits(exercise).items() if credit == 1}
        by_part.setdefault(entry.part, []).append(made)
    parts = tuple(Part(name, tuple(by_part[name])) for name in PART_ORDER if name in by_part)
    parts = with_likely_times(parts, context.catalogue)
    minutes = session_minutes_of(parts, context.catalogue, place)
    if used and context.brief.filler and session.minutes_cap is not None:
        parts = with_room_for_fillers(parts, session.minutes_cap - minutes, place, context)
        minutes = session_minutes_of(parts, context.catalogue, place)
    return Session(session.day, session.place, minutes, parts, session.minutes_cap, session.title)


LONGER_IN_ALL_S = 120.0  # what a session gives to longer rests at most; sets come first


def with_room_for_fillers(
    parts: tuple[Part, ...], spare_minutes: float, place: Place, context: Context
) -> tuple[Part, ...]:
    """The parts with longer rests where filler work was asked for and the session's minutes allow it."""
    pool = filler_pool(place, context)
    spare_s = min(LONGER_IN_ALL_S, 60.0 * spare_minutes - 10.0)  # minutes are rounded to a tenth
    made: list[Part] = []
    for part in parts:
        entries = []
        for entry in part.entries:
            kept, taken_s = with_longer_rests(entry, context.catalogue, pool, spare_s)
            entries.append(kept)
            spare_s -= taken_s
        made.append(replace(part, entries=tuple(entries)))
    return tuple(made)


def compose_weeks(template: Template, context: Context) -> tuple[Week, ...]:
    """Every week of the template, dosed."""
    count = len(template.week_kinds)
    weeks = tuple(
        Week(
            number=index + 1,
            kind=as_week_kind(template.week_kinds[index]),
            rpe=template.week_rpe[index],
            sessions=tuple(compose_session(session, index, count, context) for session in template.sessions),
        )
        for index in range(count)
    )
    return found_once(weeks)


def found_once(weeks: Sequence[Week]) -> tuple[Week, ...]:
    """The weeks with "find your load" said once for each exercise, in the first session that holds it."""
    met: set[str] = set()

    def once(entry: Entry) -> Entry:
        if not any(one.note.startswith(FIND_YOUR_LOAD) for one in entry.sets):
            return entry
        if entry.exercise not in met:
            met.add(entry.exercise)
            return entry
        sets = tuple(replace(one, note="") if one.note.startswith(FIND_YOUR_LOAD) else one for one in entry.sets)
        return replace(entry, sets=sets)

    return tuple(
        replace(
            week,
            sessions=tuple(
                replace(
                    session,
                    parts=tuple(
                        replace(part, entries=tuple(once(one) for one in part.entries)) for part in session.parts
                    ),
                )
                for session in week.sessions
            ),
        )
        for week in weeks
    )


def as_week_kind(kind: str) -> WeekKind:
    """A week kind checked at birth."""
    for known in ("build", "deload", "test", "return"):
        if kind == known:
            return known
    raise ValueError(f"week kind {kind!r} is not one of build, deload, test, return")


def count_credits(weeks: Sequence[Week], catalogue: Catalogue) -> tuple[SetCredit, ...]:
    """Counted sets per muscle group and week: direct sets, and fractional ones (direct + half of indirect).

    Warm-up drills, ramp sets, loaded mobility and conditioning don't count. Source: rule V01, Pelland et al.
    2025 (fractional counting; an indirect set is half). Sets of a scheme count as its file says (``plan.schemes``).
    """
    found: list[SetCredit] = []
    for week in weeks:
        direct: dict[str, float] = {}
        fractional: dict[str, float] = {}
        for session in week.sessions:
            for part in session.parts:
                if part.part in ("warm-up", "loaded-mobility", "conditioning"):
                    continue
                for entry in part.entries:
                    working = counted_sets(entry, catalogue)
                    for muscle, credit in set_credits(catalogue.get(entry.exercise)).items():
                        direct[muscle] = direct.get(muscle, 0.0) + (working if credit >= 1 else 0)
                        fractional[muscle] = fractional.get(muscle, 0.0) + credit * working
        found += [
            SetCredit(week.number, muscle, direct[muscle], fractional[muscle])
            for muscle in muscle_groups()
            if fractional.get(muscle)
        ]
    return tuple(found)
