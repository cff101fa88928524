"""A written block, dosed and checked for one trainee. Nothing in it is exchanged unless a gate forbids it.

A session that is too long is reported, not cut; every rule it bends is a warning with its reason.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from setwright.catalogue.exercise import Exercise
from setwright.catalogue.store import Catalogue
from setwright.faults import NoPlan
from setwright.people.place import Place
from setwright.people.trainee import Restriction, Trainee
from setwright.plan.as_template import scheme_as
from setwright.plan.block import Block, Change, Inputs, Proof, Unmet, Week
from setwright.plan.bout_amounts import as_stand_in, eased_in_bout, own_pace, without_old_target
from setwright.plan.bout_scaling import RACED, own_step
from setwright.plan.brief import Brief
from setwright.plan.cautions import block_cautions
from setwright.plan.clearance import for_whole_block, hardest_rpe, require_clearance
from setwright.plan.compose import Context, compose_weeks, count_credits
from setwright.plan.easing import eased_scheme
from setwright.plan.gates import Verdict, judge
from setwright.plan.identity import with_id
from setwright.plan.restrict import nearest_open, range_in_words
from setwright.plan.rules import check_rules
from setwright.plan.schemes import schemes_of, sore_joints, too_early, unsuited
from setwright.plan.shorthand import WrittenBlock
from setwright.plan.template import BASIC_KINDS, Scheme, TemplateEntry, TemplateSession
from setwright.plan.too_long import too_long
from setwright.strength.estimates import Estimates


def fit_written(
    written: WrittenBlock,
    trainee: Trainee,
    places: Sequence[Place],
    brief: Brief,
    catalogue: Catalogue,
    estimates: Estimates,
) -> Block:
    """The written block for one trainee: loads, ramp sets, warm-up where none was written, minutes, warnings.

    Entries that a restriction or missing equipment forbids are exchanged for the nearest open one, or rest;
    each such change is listed with its reason. Raises NoPlan when clearance is missing.
    """
    count = len(written.template.week_kinds)
    require_clearance(trainee, brief, count)
    as_given, trainee = trainee, for_whole_block(trainee, brief.start, count)
    by_id = {place.id: place for place in places}
    context = Context(trainee, by_id, brief, catalogue, estimates, brief.start)
    changes: list[Change] = []
    unmet: list[Unmet] = []
    sessions = []
    caps = {day.day: day.minutes for day in trainee.days}
    for session in written.template.sessions:
        place = place_for(session, places)
        if place is None:
            known = ", ".join(by_id) or "none"
            raise NoPlan(
                (f"The place {session.place!r} of the {session.day} session is not known.",), f"places: {known}"
            )
        entries = []
        taken = {entry.exercise for entry in session.entries}
        stand_ins: dict[str, TemplateEntry | None] = {}
        for entry in session.entries:
            if entry.exercise in stand_ins:
                made = as_before(entry, stand_ins[entry.exercise], context)
            else:
                made = fit_entry(entry, session, place, context, taken, changes, unmet)
                if made is None or made.exercise != entry.exercise:
                    stand_ins[entry.exercise] = made
            if made is not None:
                entries.append(made)
        cap = session.minutes_cap if session.minutes_cap is not None else caps.get(session.day)
        sessions.append(replace(session, place=place.id, minutes_cap=cap, entries=tuple(entries)))
        if session.day not in caps:
            unmet.append(Unmet(f"training on {session.day}", f"{trainee.name} has no such day in the trainee file."))
    template = replace(written.template, sessions=tuple(sessions))
    weeks = compose_weeks(template, context)
    screen_cautions = require_clearance(as_given, brief, count, hardest_rpe(weeks))  # lines may ask more than the brief
    unmet += too_long(template, weeks, context)
    unmet += [Unmet("read with a guess", note) for note in written.notes]
    unmet += built_differently(weeks, catalogue)
    block = Block(
        id="",
        title=written.title,
        trainee=trainee.id,
        place=sessions[0].place,
        weeks=weeks,
        set_credits=count_credits(weeks, catalogue),
        unmet=tuple(dict.fromkeys(unmet)),
        proof=Proof("written", 0.0, 0.0, 0.0, "Written by the coach: read, dosed and checked, not searched."),
        inputs=Inputs(as_given, tuple(places), brief, own=dict(catalogue.own)),
        door="write",
        cautions=tuple(dict.fromkeys((*screen_cautions, *block_cautions(trainee)))),
        changes=tuple(changes),
    )
    return with_id(replace(block, unmet=tuple(dict.fromkeys((*block.unmet, *check_rules(block, catalogue))))))


def place_for(session: TemplateSession, places: Sequence[Place]) -> Place | None:
    """The place a session names by id or name; the first one where it names none."""
    if not session.place:
        return places[0] if places else None
    wanted = session.place.strip().lower()
    return next((one for one in places if wanted in (one.id.lower(), one.name.lower())), None)


def fit_entry(
    entry: TemplateEntry,
    session: TemplateSession,
    place: Place,
    context: Context,
    taken: set[str],
    changes: list[Change],
    unmet: list[Unmet],
) -> TemplateEntry | None:
    """The entry as written, with the dials a gate sets, or its nearest open stand-in, or None."""
    exercise = context.catalogue.get(entry.exercise)
    rules, tokens = context.trainee.restrictions, context.tokens(place.id)
    verdict = judge(exercise, rules, tokens, context.trainee, entry.dials, asked=True)
    if verdict.allowed:
        if entry.bouts:
            return fit_movement(entry, verdict, session, place, context, changes)
        schemes = entry.schemes
        if verdict.dials:
            words = range_in_words(verdict.dials)
            changes.append(
                Change(
                    0, session.day, exercise.name, entry.written or exercise.name, words, "A restriction is set.", ""
                )
            )
        if verdict.eased:
            schemes = tuple(None if one is None else eased_scheme(one, verdict.eased) for one in schemes)
            if schemes != entry.schemes:
                words = f"{verdict.eased} work only"
                changes.append(
                    Change(
                        0,
                        session.day,
                        exercise.name,
                        entry.written or exercise.name,
                        words,
                        "It works a sore joint.",
                        "",
                    )
                )
        made = replace(entry, dials={**entry.dials, **verdict.dials}, schemes=schemes, cautions=verdict.cautions)
        return schemes_that_fit(made, exercise, session, context, changes, unmet)
    reason = " ".join(verdict.reasons)
    closing = next(
        (rule for rule in context.trainee.restrictions if is_closed_by(exercise, rule, entry, context)), None
    )
    found = nearest_open(exercise, entry.part, place, context, taken, closing)
    if found is None:
        changes.append(Change(0, session.day, exercise.name, entry.written or exercise.name, "rests", reason, ""))
        unmet.append(Unmet(f"{exercise.name} on {session.day}", f"{reason} Nothing near it is open here."))
        return None
    slug, dials, kept, lost, eased = found
    other = context.catalogue.get(slug)
    taken.add(slug)
    why = f"{reason} Kept: {kept}." + ("" if lost == "little" else f" Lost: {lost}.")
    changes.append(Change(0, session.day, exercise.name, entry.written or exercise.name, other.name, why, ""))
    schemes = schemes_for(other, entry, eased, context)
    bouts = without_old_target(entry.bouts)
    made = replace(entry, exercise=slug, dials=dict(dials), schemes=schemes, why=why, cautions=(), bouts=bouts)
    return schemes_that_fit(made, other, session, context, [], [])


def schemes_that_fit(
    entry: TemplateEntry,
    exercise: Exercise,
    session: TemplateSession,
    context: Context,
    changes: list[Change],
    unmet: list[Unmet],
) -> TemplateEntry:
    """The entry with straight sets where its scheme may not be used at a sore joint; else as written, with warnings."""
    kinds = dict.fromkeys(one.kind for one in entry.schemes if one is not None)
    known = schemes_of(context.catalogue)
    for scheme in (known[kind] for kind in kinds if kind in known and kind not in BASIC_KINDS):
        sore = sore_joints(scheme, exercise, context.trainee)
        if sore:
            why = f"No {scheme.title} where the {sore[0]} is limited: straight sets instead."
            from_ = entry.written or exercise.name
            changes.append(Change(0, session.day, exercise.name, from_, "straight sets", why, ""))
            plain = (None if one is None else one.as_straight() for one in entry.schemes)
            return replace(entry, schemes=tuple(plain))
        reasons = (*unsuited(scheme, exercise), *too_early(scheme, context.trainee, context.on.year))
        if reasons:
            wish = f"{scheme.title} for {exercise.name} on {session.day}"
            unmet.append(Unmet(wish, f"{' '.join(reasons)} It was left as you wrote it."))
    return entry


def fit_movement(
    entry: TemplateEntry,
    verdict: Verdict,
    session: TemplateSession,
    place: Place,
    context: Context,
    changes: list[Change],
) -> TemplateEntry:
    """A movement of a bout that may be done: its own step of a progression, gate dials, light at a limited joint."""
    exercise, trainee = context.catalogue.get(entry.exercise), context.trainee
    step = own_step(exercise, trainee, context.catalogue, context.tokens(place.id))
    if step is not None:
        other = context.catalogue.get(step.exercise)
        from_ = entry.written or exercise.name
        changes.append(Change(0, session.day, exercise.name, from_, other.name, step.why, ""))
        eased = bool(judge(other, trainee.restrictions, frozenset(), dials=step.dials, ignore_equipment=True).eased)
        schemes = as_stand_in(entry, exercise, other, eased)
        made = replace(entry, exercise=other.slug, dials=step.dials, schemes=schemes, why=f"{entry.why} {step.why}")
        return replace(made, bouts=without_old_target(entry.bouts))
    schemes = entry.schemes
    if verdict.dials or verdict.eased:
        words = range_in_words(verdict.dials) if verdict.dials else f"{verdict.eased} work only"
        from_ = entry.written or exercise.name
        changes.append(Change(0, session.day, exercise.name, from_, words, "A restriction is set.", ""))
    if verdict.eased:
        schemes = tuple(None if one is None else eased_in_bout(one) for one in schemes)
    raced = any(bout is not None and bout.format in RACED for bout in entry.bouts)
    slow = own_pace(exercise, frozenset(rule.joint for rule in trainee.restrictions)) if raced else ""
    cautions = (*verdict.cautions, *([slow] if slow else []))
    return replace(entry, dials={**entry.dials, **verdict.dials}, schemes=schemes, cautions=cautions)


def schemes_for(other: Exercise, entry: TemplateEntry, eased: str, context: Context) -> tuple[Scheme | None, ...]:
    """The schemes of an entry as its stand-in can carry them: no written load, and easy at a sore joint."""
    if entry.bouts:
        return as_stand_in(entry, context.catalogue.get(entry.exercise), other, bool(eased))
    made = (None if one is None else replace(scheme_as(other, one), load_kg=None, pct=None) for one in entry.schemes)
    return tuple(eased_scheme(one, eased) if one is not None and eased else one for one in made)


def as_before(entry: TemplateEntry, stand_in: TemplateEntry | None, context: Context) -> TemplateEntry | None:
    """A further entry of an exercise that was exchanged on this day: the same stand-in, with its own sets."""
    if stand_in is None:
        return None
    other = context.catalogue.get(stand_in.exercise)
    eased = judge(other, context.trainee.restrictions, frozenset(), dials=stand_in.dials, ignore_equipment=True).eased
    schemes = schemes_for(other, entry, eased, context)
    made = replace(entry, exercise=stand_in.exercise, dials=dict(stand_in.dials), schemes=schemes, why=stand_in.why)
    return replace(made, bouts=without_old_target(entry.bouts))


def is_closed_by(exercise: Exercise, rule: Restriction, entry: TemplateEntry, context: Context) -> bool:
    """True when one restriction alone closes an entry, whatever the equipment."""
    return not judge(exercise, (rule,), frozenset(), dials=entry.dials, ignore_equipment=True).allowed


def built_differently(weeks: Sequence[Week], catalogue: Catalogue) -> list[Unmet]:
    """Loads the coach wrote that the place can't build: what is planned in their stead."""
    found = []
    for week in weeks:
        for session in week.sessions:
            for part in session.parts:
                for entry in part.entries:
                    for one in entry.sets:
                        if "can't be built here" in one.note and one.load_kg is not None:
                            asked = one.note.split(" as written")[0]
                            name = catalogue.get(entry.exercise).name
                            found.append(
                                Unmet(
                                    f"{name} with {asked} on {session.day}", f"The place can build {one.load_kg:g} kg."
                                )
                            )
    return list(dict.fromkeys(found))
