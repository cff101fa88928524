"""What a coach changes of one entry by hand, and the block after it: everything else moves as little as it must.

Two ideas carry this module. One: what the coach says is done first and stays, as far as the hard rules let it: a
restriction, missing equipment or missing clearance refuses it with the reason. Two: where a day then has too little
time, the plan is solved again around it (``plan.reshape``) with the fewest entries changed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from setwright.catalogue.derive import set_credits
from setwright.catalogue.exercise import Exercise, PartName
from setwright.catalogue.store import Catalogue
from setwright.faults import NoPlan
from setwright.people.place import Place
from setwright.people.trainee import DAY_NAMES, Day
from setwright.plan.alternatives import what_is_kept
from setwright.plan.arrange import parts_with
from setwright.plan.as_template import template_of
from setwright.plan.block import Block, Change, Entry, Part, PlannedSet, Proof, Session, Week
from setwright.plan.clearance import hardest_rpe, require_clearance
from setwright.plan.compose import compose_entry, needs_ramp, with_chance
from setwright.plan.gates import judge
from setwright.plan.identity import with_id
from setwright.plan.load_by_hand import (
    BAND_SET,
    LOAD_SET,
    as_claimed,
    band_named,
    dials_with_band,
    heavy_words,
    require_buildable,
    require_within_limit,
    without_heavy,
)
from setwright.plan.new_entry import new_template
from setwright.plan.next_revision import next_revision
from setwright.plan.reshape import frame_of, reshape_block, title_of
from setwright.plan.reshape_options import STRENGTH, Asked, ByHand, Frame, Spot, built_at, with_sets, working_sets
from setwright.plan.restrict import Swap, free_lonely_supersets, in_words, is_now_too_hard, swapped_template
from setwright.plan.session_time import session_minutes_of
from setwright.plan.template import Scheme
from setwright.strength.estimates import Estimates

CHOSEN = "Chosen by the coach"
CHANGED = "Changed by the coach"
ADDED = "Added by the coach."
NOTHING = "nothing"
MORE_INSTEAD = re.compile(r": more rep(?:etition)?s instead")


@dataclass(frozen=True)
class Edit:
    """What becomes of one entry in some weeks (None: all that remain); what is empty stays as it is.

    exercise : the slug of what takes its place; day : where it goes; is_out : it leaves the block
    is_new : it is no entry yet: the exercise and part that ``at`` names are added to its day
    sets, reps (from, to), hold_s, distance_m, time_s : what each week asks; rir : repetitions left at the end of a set
    load_kg : the load as printed (each hand, added...), one that the place can build
    band : the name of a band of the place
    reason : the coach's own words, or empty
    """

    at: Spot
    weeks: tuple[int, ...] | None = None
    exercise: str = ""
    day: Day | None = None
    sets: int | None = None
    reps: tuple[int, int] | None = None
    hold_s: float | None = None
    distance_m: float | None = None
    time_s: float | None = None
    rir: float | None = None
    load_kg: float | None = None
    band: str | None = None
    is_out: bool = False
    is_new: bool = False
    reason: str = ""

    @property
    def is_dose(self) -> bool:
        """True where sets, their length, their load or their effort change."""
        return any(one is not None for one in (self.sets, self.load_kg, self.band, *self.amounts.values()))

    @property
    def is_count_only(self) -> bool:
        """True where only the number of sets changes, so that all else of them stays."""
        return all(one is None for one in (self.load_kg, self.band, *self.amounts.values()))

    @property
    def amounts(self) -> dict[str, object]:
        """What is asked of a set, as the fields of a scheme; None for what stays."""
        return {
            "reps": self.reps,
            "hold_s": self.hold_s,
            "distance_m": self.distance_m,
            "time_s": self.time_s,
            "rir": self.rir,
        }


def changed_by_hand(
    block: Block,
    edit: Edit,
    catalogue: Catalogue,
    estimates: Estimates,
    from_week: int = 1,
    locked: frozenset[Spot] = frozenset(),
    done: frozenset[tuple[str, int]] = frozenset(),
    limit: float = 2.0,
) -> Block:
    """The next revision after one change by hand, or the same block where it changes nothing.

    from_week, done : the first week that may change, and the sessions of it that are over
    locked : entries that stay whatever happens
    Raises NoPlan where a hard rule closes what is asked, or the minutes leave no room for it; LookupError where no
    session that may change holds the entry.
    """
    asked = Asked(weeks=edit.weeks, locked=locked - {edit.at}, done=done)
    frame = frame_of(block, asked, catalogue, estimates, from_week)
    made, changes = with_edit(frame, edit)
    if not changes:
        return block
    require_clearance(block.inputs.trainee, block.inputs.brief, len(block.weeks), hardest_rpe(made.weeks))
    by_hand = ByHand(block, frozenset(spots_of(made, edit, frame)))
    after = reshape_block(made, asked, catalogue, estimates, from_week, limit, by_hand)
    if after is made:
        note = "1 entry of the week changed by hand. Nothing else had to change."
        return next_revision(block, made.weeks, changes, catalogue, proof=Proof("optimal", 1.0, 1.0, 0.0, note))
    others = f"To make room for it: {after.proof.note}" if after.proof.objective else "Nothing else had to change."
    note = f"1 entry of the week changed by hand. {others}"
    proof = replace(after.proof, note=note)
    return with_id(replace(after, id="", changes=(*changes, *after.changes), proof=proof))


def spots_of(made: Block, edit: Edit, frame: Frame) -> Iterator[Spot]:
    """Where the entry stands after the change: every spot that its exercise has on its day and part."""
    day, slug = edit.day or edit.at.day, edit.exercise or edit.at.exercise
    most = max(
        (
            sum(1 for entry in part.entries if entry.exercise == slug)
            for week in made.weeks
            for session in week.sessions
            for part in session.parts
            if (session.day, part.part) == (day, edit.at.part)
        ),
        default=0,
    )
    if not edit.is_out:
        yield from (Spot(day, edit.at.part, slug, number) for number in range(most))


def with_edit(frame: Frame, edit: Edit) -> tuple[Block, list[Change]]:
    """The block with the one change and nothing else, and that change week by week. Raises NoPlan."""
    weeks: list[Week] = []
    changes: list[Change] = []
    there = {week for day, week in frame.sessions if day == edit.at.day}
    target = {week for day, week in frame.sessions if day == (edit.day or edit.at.day)}
    is_there = any(entry_at(one, edit.at) for (day, _), one in frame.sessions.items() if day == edit.at.day)
    if not is_there and not edit.is_new:
        raise LookupError(f"no {edit.at.exercise} on {DAY_NAMES[edit.at.day]} in the weeks that may change")
    refuse_unknown_day(frame, edit, there, target)
    for week in frame.block.weeks:
        if week.number not in there & target:
            weeks.append(week)
            continue
        made, words = (week_with_new if edit.is_new else week_with_edit)(week, frame, edit)
        weeks.append(made)
        changes += words
    return replace(frame.block, weeks=tuple(weeks)), changes


def refuse_unknown_day(frame: Frame, edit: Edit, there: set[int], target: set[int]) -> None:
    """Raises NoPlan where the day it stands on, or goes to, has no session in any of the weeks meant."""
    if not there & target:
        day = edit.day if there and edit.day else edit.at.day
        line = f"{DAY_NAMES[day]} has no session left that could change in the weeks you mean."
        raise NoPlan((line,), "other weeks, or another day")


def week_with_edit(week: Week, frame: Frame, edit: Edit) -> tuple[Week, list[Change]]:
    """One week with the change; as it was where it does not hold the entry."""
    known = frame.context.catalogue
    sessions = {one.day: one for one in week.sessions}
    old = entry_at(sessions[edit.at.day], edit.at)
    if old is None:
        return week, []
    made = None if edit.is_out else made_of(old, week, frame, edit)
    if made == old and edit.day in (None, edit.at.day):
        return week, []
    home = frame.context.places[sessions[edit.at.day].place]
    name, from_ = known.get(old.exercise).name, with_band_told(old, frame)
    if edit.day in (None, edit.at.day):
        sessions[edit.at.day] = with_entry(sessions[edit.at.day], edit.at, made, home, frame)
        to = "left out" if made is None else told(made, old, frame)
    else:
        assert made is not None and edit.day is not None
        away = frame.context.places[sessions[edit.day].place]
        moved = moved_to(made, edit, away, frame)
        sessions[edit.at.day] = with_entry(sessions[edit.at.day], edit.at, None, home, frame)
        sessions[edit.day] = with_guest(sessions[edit.day], edit.at.part, moved, away, frame)
        to = f"to {DAY_NAMES[edit.day]}: {in_words(moved, known)}"
    change = Change(week.number, edit.at.day, name, from_, to, why_of(edit, made), evidence_of(edit))
    return replace(week, sessions=tuple(sessions[one.day] for one in week.sessions)), [change]


def week_with_new(week: Week, frame: Frame, edit: Edit) -> tuple[Week, list[Change]]:
    """One week with the entry that is added. Raises NoPlan where a hard rule closes it, or the day holds it already."""
    known, at = frame.context.catalogue, edit.at
    session = next(one for one in week.sessions if one.day == at.day)
    name, place = known.get(at.exercise).name, frame.place(at.day, week.number)
    if any(one.exercise == at.exercise for part in session.parts if part.part == at.part for one in part.entries):
        line = f"{name} stands on {DAY_NAMES[at.day]} already, in week {week.number}."
        raise NoPlan((line,), "other sets of it, another day or another part")
    made = added(session, week, place, frame, edit)
    change = Change(
        week.number, at.day, name, NOTHING, with_band_told(made, frame), why_of(edit, made), evidence_of(edit)
    )
    sessions = tuple(
        with_guest(one, at.part, made, place, frame) if one.day == at.day else one for one in week.sessions
    )
    return replace(week, sessions=sessions), [change]


def added(session: Session, week: Week, place: Place, frame: Frame, edit: Edit) -> Entry:
    """The entry that is added, dosed as the week asks where the coach says nothing else. Raises NoPlan."""
    context = frame.context
    exercise, tokens = context.catalogue.get(edit.at.exercise), context.tokens(place.id)
    verdict = judge(exercise, context.trainee.restrictions, tokens, context.trainee, asked=True)
    if not verdict.allowed:
        raise closed(exercise, verdict.reasons)
    template = new_template(exercise, edit.at.part, verdict, week, context, ADDED)
    scheme = template.schemes[0]
    assert scheme is not None
    refuse_other_measure(exercise, scheme, edit)
    require_load(exercise, scheme, place, frame, edit)
    template = replace(template, why=why_set(ADDED, edit), schemes=(scheme_with(scheme, edit),))
    if edit.band is not None:
        template = replace(template, dials=dials_with_band(template.dials, edit.band, exercise, place, verdict))
    with_ramp = needs_ramp(template, exercise, warm_in(session, context.catalogue)) and not verdict.eased
    made = compose_entry(template, 0, place, context, with_ramp, bare=edit.at.part == "warm-up")
    return allowed(made, exercise, place, frame, edit)


def warm_in(session: Session, catalogue: Catalogue) -> set[str]:
    """The muscles that a session leads already."""
    entries = [entry for part in session.parts if part.part in STRENGTH for entry in part.entries]
    return {
        muscle
        for entry in entries
        for muscle, credit in set_credits(catalogue.get(entry.exercise)).items()
        if credit == 1
    }


MEASURES = {"reps": "repetitions", "hold_s": "seconds held", "distance_m": "metres", "time_s": "minutes"}


def refuse_other_measure(exercise: Exercise, scheme: Scheme, edit: Edit) -> None:
    """Raises NoPlan where the coach counts in something that a new exercise is not counted in."""
    counted = [word for name, word in MEASURES.items() if getattr(scheme, name) is not None]
    other = [
        word for name, word in MEASURES.items() if getattr(edit, name) is not None and getattr(scheme, name) is None
    ]
    if other:
        line = f"{exercise.name} is counted in {' and '.join(counted)}, not in {' and '.join(other)}."
        raise NoPlan((line,), f"{' and '.join(counted)}, or nothing said")


def require_load(exercise: Exercise, scheme: Scheme, place: Place, frame: Frame, edit: Edit) -> None:
    """Holds a load that the coach sets against the place and the restrictions. Raises NoPlan."""
    if edit.load_kg is None:
        return
    context = frame.context
    require_buildable(exercise, edit.at.part, place, edit.load_kg)
    verdict = judge(exercise, context.trainee.restrictions, context.tokens(place.id), context.trainee, asked=True)
    require_within_limit(exercise, scheme_with(scheme, edit), edit.at.part, place, context, verdict)


def why_set(why: str, edit: Edit) -> str:
    """The reason of an entry with what the coach set of its load; a band that was chosen before stays chosen."""
    keeps_band = edit.band is not None or BAND_SET in why
    plain = why.replace(LOAD_SET, "").replace(BAND_SET, "").strip()
    said = [plain, BAND_SET if keeps_band else "", LOAD_SET if edit.load_kg is not None else ""]
    return " ".join(one for one in said if one)


def with_band_told(entry: Entry, frame: Frame) -> str:
    """An entry in one line, with the band that it names."""
    known = frame.context.catalogue
    band = band_named(entry.dials, known.get(entry.exercise))
    return f"{in_words(entry, known)}, band: {band}" if band else in_words(entry, known)


def told(made: Entry, old: Entry, frame: Frame) -> str:
    """The new entry in words, with its effort where nothing else of it is new."""
    words = with_band_told(made, frame)
    left = made.working_sets[0].rir if made.working_sets else None
    is_effort_only = words == with_band_told(old, frame) and left is not None
    return f"{words}, {left:g} left" if is_effort_only else words


def why_of(edit: Edit, made: Entry | None) -> str:
    """Why it changes: the coach's own reason, or that the coach said so; and what an exchange keeps and loses."""
    said = edit.reason.strip()
    if made is not None and edit.exercise:
        return f"{said} {made.why}".strip()
    heavy = "" if made is None or edit.load_kg is None else heavy_words(made)
    return f"{said or (ADDED if edit.is_new else f'{CHANGED}.')} {heavy}".strip()


def evidence_of(edit: Edit) -> str:
    """What a change by hand rests on."""
    return "By hand."


def entry_at(session: Session, at: Spot) -> Entry | None:
    """The entry of a spot, or None where the session does not hold it."""
    found = [
        entry
        for part in session.parts
        if part.part == at.part
        for entry in part.entries
        if entry.exercise == at.exercise
    ]
    return found[at.number] if at.number < len(found) else None


def made_of(old: Entry, week: Week, frame: Frame, edit: Edit) -> Entry:
    """The entry of a week as the coach wants it, dosed in its place. Raises NoPlan where a hard rule closes it."""
    place = frame.place(edit.at.day, week.number)
    made = old
    if edit.exercise and frame.context.catalogue.get(edit.exercise).slug != old.exercise:
        made = exchanged_for(old, week, place, frame, edit)
    elif edit.is_dose:
        made = dosed(old, place, frame, edit)
    return made


def exchanged_for(old: Entry, week: Week, place: Place, frame: Frame, edit: Edit) -> Entry:
    """What the coach chose in the place of an entry, dosed; with other sets where they are said too."""
    context = frame.context
    before, other = context.catalogue.get(old.exercise), context.catalogue.get(edit.exercise)
    tokens = context.tokens(place.id)
    verdict = judge(other, context.trainee.restrictions, tokens, context.trainee, asked=True)
    if not verdict.allowed:
        raise closed(other, verdict.reasons)
    kept, lost = what_is_kept(before, other, tokens)
    why = f"{CHOSEN} in place of {before.name}. Kept: {kept}." + ("" if lost == "little" else f" Lost: {lost}.")
    swap = Swap(other.slug, {**other.dials, **verdict.dials}, None, why, verdict.eased)
    template = swapped_template(old, edit.at.part, swap, week, context)
    if template is None:
        raise NoPlan((f"{before.name} has no sets that {other.name} could take over.",))
    with_ramp = any(one.kind == "ramp" for one in old.sets) and verdict.eased != "light"
    if template.schemes[0] is not None:
        require_load(other, template.schemes[0], place, frame, edit)
    template = replace(template, schemes=tuple(one and scheme_with(one, edit) for one in template.schemes))
    made = compose_entry(template, 0, place, context, with_ramp, bare=edit.at.part == "warm-up")
    return allowed(made, other, place, frame, edit)


def dosed(old: Entry, place: Place, frame: Frame, edit: Edit) -> Entry:
    """The entry with other sets: their number alone leaves the load, all else is dosed anew."""
    exercise = frame.context.catalogue.get(old.exercise)
    template = template_of(old, edit.at.part)
    scheme = template.schemes[0]
    if scheme is None:
        raise NoPlan((f"{exercise.name} has no working sets that could change.",))
    if edit.is_count_only:
        return allowed(with_count(old, edit.sets or 1, exercise, scheme, frame), exercise, place, frame, edit)
    require_load(exercise, scheme, place, frame, edit)
    rules, tokens = frame.context.trainee.restrictions, frame.context.tokens(place.id)
    verdict = judge(exercise, rules, tokens, frame.context.trainee, old.dials, asked=True)
    scheme = replace(scheme_with(scheme, edit), light=scheme.light or verdict.eased == "light")
    template = replace(template, why=why_set(old.why, edit), schemes=(scheme,))
    if edit.band is not None:
        template = replace(template, dials=dials_with_band(template.dials, edit.band, exercise, place, verdict))
    with_ramp = any(one.kind == "ramp" for one in old.sets)
    made = compose_entry(template, 0, place, frame.context, with_ramp, bare=edit.at.part == "warm-up")
    if made is not None:
        cautions = without_heavy(old.cautions)
        made = replace(made, alternatives=old.alternatives, filler=old.filler, cautions=cautions)
    return allowed(made, exercise, place, frame, edit)


def with_count(old: Entry, count: int, exercise: Exercise, scheme: Scheme, frame: Frame) -> Entry:
    """The entry with fewer sets, or more like its last one, each with its own chance."""
    have = working_sets(old)
    if count <= have:
        return with_sets(old, count)
    last = old.working_sets[-1]
    fresh = replace(last, chance=old.working_sets[0].chance)
    more = [with_chance(fresh, number, exercise, scheme, frame.context) for number in range(have, count)]
    return replace(old, sets=(*old.sets, *more))


def scheme_with(scheme: Scheme, edit: Edit) -> Scheme:
    """A scheme with what the coach said of it; what it can't carry stays as it is."""
    said = {name: value for name, value in edit.amounts.items() if value is not None}
    has = {name: value for name, value in said.items() if name == "rir" or getattr(scheme, name) is not None}
    return replace(scheme, sets=edit.sets or scheme.sets, load_kg=edit.load_kg, **has)  # type: ignore[arg-type]


def allowed(made: Entry | None, exercise: Exercise, place: Place, frame: Frame, edit: Edit) -> Entry:
    """The entry, held against the restrictions once more. Raises NoPlan where it asks too much of a limited joint."""
    context = frame.context
    if made is None:
        raise NoPlan((f"No load for {exercise.name} can be built in {place.name}.",))
    rules, tokens = context.trainee.restrictions, context.tokens(place.id)
    verdict = judge(exercise, rules, tokens, context.trainee, made.dials, asked=True)
    if not verdict.allowed:
        raise closed(exercise, verdict.reasons)
    if is_now_too_hard(verdict, [made], edit.at.part):
        level = f"{exercise.name} works a joint that may do {verdict.eased} work only"
        raise NoPlan((f"{level}: at least 8 repetitions with 4 left.",), "more repetitions, or more left")
    made = with_reps_said(made, edit.reps)
    return made if edit.load_kg is None else as_claimed(made)


def with_reps_said(made: Entry, reps: tuple[int, int] | None) -> Entry:
    """The entry with the repetitions that the coach said where dosing made them more, for want of a heavier load.

    Fewer, where even the lightest load is too heavy for them, stay fewer.
    """
    if reps is None:
        return made

    def kept(one: PlannedSet) -> PlannedSet:
        if one.kind == "ramp" or one.reps is None or one.reps[0] <= reps[0]:
            return one
        return replace(one, reps=reps, note=MORE_INSTEAD.sub(": more will be left than is asked", one.note))

    return replace(made, sets=tuple(kept(one) for one in made.sets))


def closed(exercise: Exercise, reasons: Sequence[str]) -> NoPlan:
    """The refusal of an exercise that a hard rule closes."""
    return NoPlan((f"{exercise.name} is closed here.", *reasons), "another exercise")


def moved_to(entry: Entry, edit: Edit, place: Place, frame: Frame) -> Entry:
    """The entry as it stands on another day. Raises NoPlan where that place can't take it."""
    context, exercise = frame.context, frame.context.catalogue.get(entry.exercise)
    verdict = judge(exercise, context.trainee.restrictions, context.tokens(place.id), context.trainee, entry.dials)
    if not verdict.allowed:
        raise closed(exercise, verdict.reasons)
    built = built_at(entry, edit.at.part, place, context)
    if built is None:
        raise NoPlan((f"No load for {exercise.name} can be built in {place.name}.",), "another day")
    return replace(built, superset=None)


def with_entry(session: Session, at: Spot, made: Entry | None, place: Place, frame: Frame) -> Session:
    """The session with one entry exchanged, or without it. Raises NoPlan where nothing would be left to do."""
    parts = []
    for part in session.parts:
        if part.part != at.part:
            parts.append(part)
            continue
        entries, number = [], 0
        for entry in part.entries:
            is_it = entry.exercise == at.exercise and number == at.number
            number += entry.exercise == at.exercise
            if not is_it:
                entries.append(entry)
            elif made is not None:
                entries.append(made)
        if entries:
            parts.append(Part(part.part, tuple(free_lonely_supersets(entries))))
    if not any(part.part != "warm-up" for part in parts):
        raise NoPlan((f"{DAY_NAMES[session.day]} would have nothing left to do.",), "leave one entry there")
    return as_timed(session, parts, place, frame)


def with_guest(session: Session, part: PartName, entry: Entry, place: Place, frame: Frame) -> Session:
    """The session with one entry more, at the end of its part."""
    return as_timed(session, parts_with(session.parts, part, entry), place, frame)


def as_timed(session: Session, parts: Sequence[Part], place: Place, frame: Frame) -> Session:
    """The session with other parts, its minutes and its title."""
    minutes = session_minutes_of(tuple(parts), frame.context.catalogue, place)
    made = replace(session, parts=tuple(parts), minutes=minutes)
    return replace(made, title=title_of(session, made, frame))
