"""One entry that a coach asked for, fitted to one person and a place: kept, cropped, exchanged with reason, or out."""

from __future__ import annotations

from dataclasses import replace

from setwright.catalogue.exercise import Exercise
from setwright.people.place import Place
from setwright.people.trainee import Restriction
from setwright.plan.as_template import scheme_as
from setwright.plan.block import Change, Unmet
from setwright.plan.bout_amounts import as_stand_in, eased_in_bout, own_pace, part_of_stand_in, without_old_target
from setwright.plan.bout_scaling import RACED, own_step
from setwright.plan.compose import Context
from setwright.plan.easing import eased_scheme
from setwright.plan.gates import Verdict, judge
from setwright.plan.restrict import nearest_open, range_in_words
from setwright.plan.schemes import schemes_of, sore_joints, too_early, unsuited
from setwright.plan.template import BASIC_KINDS, Scheme, TemplateEntry, TemplateSession


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
    part = part_of_stand_in(exercise, entry.part, bool(entry.bouts))
    found = nearest_open(exercise, part, place, context, taken, closing)
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
