"""A restriction ends: the block goes back towards what it was before, lighter at first, as a new revision.

Only what the restriction closed comes back. Entries it never touched keep their sets as they are now, what was
logged since included, and every other restriction holds as before.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from setwright.catalogue.names import nearest
from setwright.dose.implements import loads_in
from setwright.faults import Fault, InputFaults
from setwright.people.trainee import Restriction, Trainee
from setwright.plan.as_template import scheme_of
from setwright.plan.block import Block, Change, Entry, Part, PlannedSet, Proof, Session, Week
from setwright.plan.clearance import for_whole_block
from setwright.plan.compose import Context, planned_sets
from setwright.plan.easing import EASED_RIR
from setwright.plan.gates import judge, said_joint, who_set
from setwright.plan.next_revision import next_revision
from setwright.plan.restrict import free_lonely_supersets, in_words, is_new_crop, restrict_block, within_minutes
from setwright.plan.session_time import session_minutes_of
from setwright.services.deeds import block_estimates, first_open_week
from setwright.services.gather import Say, catalogue, load_block, load_logs, silent
from setwright.services.keeping import kept_log, records_in
from setwright.strength.estimates import Estimates

BACK_SHARES = (0.90, 0.95)  # of the load planned before, first and second week back (common practice, no source)


FIRST_LENGTH = 0.8  # of a single timed set in the first week back (common practice, no source)
DRILL_PARTS = ("warm-up", "loaded-mobility")


def lift_restriction(
    block_file: Path,
    name: str,
    before_file: Path | None = None,
    from_week: int | None = None,
    log_files: Sequence[Path] = (),
    lifted_by: str = "",
    records: Path | None = None,
    say: Say = silent,
) -> Block:
    """The next revision of a block without one of its restrictions.

    name : the id or the joint of the restriction
    before_file, records : where the block lies as it was before the restriction
    Raises InputFaults for an unknown restriction, one that somebody else set, or where the block before is not found.
    """
    block = load_block(block_file)
    restriction = named_restriction(block.inputs.trainee, name)
    may_lift(restriction, lifted_by)
    before = block_before(block, restriction, before_file, records)
    has_log = records is not None and bool(records_in(records).log(block.trainee).sets)
    log = load_logs(log_files, kept=kept_log(records if has_log else None, block.trainee), say=say)
    first = first_open_week(block, log, from_week)
    if before.id != block.parent:
        say(f"{block.id} goes back towards {before.id} (revision {before.revision}); other changes since then stay.")
    return lifted_block(block, before, restriction, block_estimates(block, log), first, lifted_by)


def named_restriction(trainee: Trainee, name: str) -> Restriction:
    """The one restriction of an id or a joint; a fault with those there are."""
    wanted = name.strip().lower()
    found = [one for one in trainee.restrictions if one.id.lower() == wanted]
    found = found or [one for one in trainee.restrictions if one.joint.lower() == wanted]
    if len(found) == 1:
        return found[0]
    ids = [one.id for one in trainee.restrictions]
    allowed = "a restriction of this block: " + ", ".join(ids) if ids else "nothing: this block has no restriction"
    close = nearest(wanted, ids, 1) if ids else []
    hint = "Several are of this joint: name one by its id." if found else f"Did you mean {close[0]}?" if close else ""
    raise InputFaults([Fault("--lift", "", repr(name), allowed, hint)])


def may_lift(restriction: Restriction, lifted_by: str) -> None:
    """Refuses to lift what somebody else set: a restriction is lifted by who set it."""
    said, owner = (text.strip().lower().removeprefix("the ") for text in (lifted_by, restriction.set_by))
    if owner and said != owner:
        found = repr(lifted_by) if lifted_by else "nobody"
        hint = "A restriction is lifted by who set it."
        raise InputFaults([Fault("--set-by", "", found, repr(restriction.set_by), hint)])
    if restriction.needs_clearance and restriction.clearance is None and not said:
        hint = f"The {said_joint(restriction.joint)} waits for clearance: say which licensed clinician gave it."
        raise InputFaults([Fault("--set-by", "", "nobody", "who cleared it", hint)])


def block_before(block: Block, restriction: Restriction, file: Path | None, records: Path | None) -> Block:
    """The nearest earlier revision without the restriction."""
    if file is not None:
        before = load_block(file)
        for path, found, allowed in (
            ("trainee", before.trainee, block.trainee),
            ("weeks", f"{len(before.weeks)} weeks", f"{len(block.weeks)} weeks"),
        ):
            if found != allowed:
                raise InputFaults([Fault(str(file), path, found, f"{allowed}, as in the block to change")])
        if has_it(before, restriction):
            found = f"the {restriction.id} restriction"
            allowed = "a block from before the restriction"
            raise InputFaults([Fault(str(file), "inputs.trainee.restrictions", found, allowed)])
        return before
    if records is None:
        hint = "Give it with --before FILE, or --records with the folder where it was accepted."
        raise InputFaults([Fault("--lift", "", restriction.id, "a block whose revision before is at hand", hint)])
    kept, name = records_in(records), block.parent
    while name is not None:
        before = kept.block(name)
        if not has_it(before, restriction):
            return before
        name = before.parent
    hint = "Take it out of the trainee file and design a new block."
    allowed = "a restriction that came after the first revision"
    raise InputFaults([Fault("--lift", "", f"{restriction.id}, there since the block was made", allowed, hint)])


def has_it(block: Block, restriction: Restriction) -> bool:
    """True when a block was made under a restriction of that id."""
    return any(one.id == restriction.id for one in block.inputs.trainee.restrictions)


@dataclass(frozen=True)
class Lifting:
    """What going back needs to know: the restriction that ends, who ended it, and the context without it."""

    restriction: Restriction
    lifted_by: str
    context: Context

    @property
    def reason(self) -> str:
        """The sentence that every change starts with."""
        by = f" by {self.lifted_by}" if self.lifted_by else ""
        return f"{who_set(self.restriction)} is lifted{by}."

    def closes(self, entry: Entry, place: str) -> bool:
        """True when the restriction barred an entry, or let it through only cropped."""
        exercise = self.context.catalogue.get(entry.exercise)
        verdict = judge(exercise, (self.restriction,), self.context.tokens(place), None, entry.dials)
        return not verdict.allowed or is_new_crop(verdict, entry)


def lifted_block(
    block: Block, before: Block, restriction: Restriction, estimates: Estimates, first: int, lifted_by: str = ""
) -> Block:
    """The block without the restriction: from week ``first`` on what it closed comes back, the rest stays."""
    known = catalogue()
    trainee = block.inputs.trainee
    trainee = replace(trainee, restrictions=tuple(one for one in trainee.restrictions if one.id != restriction.id))
    target = before
    for other in trainee.restrictions:
        if other not in target.inputs.trainee.restrictions:
            target = restrict_block(target, other, known, estimates, first)
    start = block.inputs.brief.start
    places = {place.id: place for place in block.inputs.places}
    context = Context(
        for_whole_block(trainee, start, len(block.weeks)), places, block.inputs.brief, known, estimates, start
    )
    lifting = Lifting(restriction, lifted_by, context)
    weeks: list[Week] = []
    changes: list[Change] = []
    for week, old in zip(block.weeks, target.weeks, strict=True):
        if week.number < first:
            weeks.append(week)
            continue
        sessions = []
        for session in week.sessions:
            goal = next((one for one in old.sessions if one.day == session.day), None)
            if goal is None or goal.place != session.place:
                sessions.append(session)
                continue
            made, words = session_back(session, goal, week, week.number - first, lifting)
            sessions.append(made)
            changes += words
        weeks.append(replace(week, sessions=tuple(sessions)))
    count = len({(one.session, one.entry) for one in changes})
    return next_revision(
        replace(block, unmet=target.unmet),
        weeks,
        changes,
        known,
        inputs=replace(block.inputs, trainee=trainee),
        cautions=before.cautions,
        proof=Proof(
            "written" if block.proof.status == "written" else "feasible",
            float(count),
            float(count),
            0.0,
            f"{count} entries of the week go back towards {before.id}; nothing else changed.",
        ),
    )


def session_back(
    now: Session, goal: Session, week: Week, weeks_back: int, lifting: Lifting
) -> tuple[Session, list[Change]]:
    """One session with what the restriction had closed, and a change for each entry that came back or ended."""
    known = lifting.context.catalogue
    parts: list[Part] = []
    changes: list[Change] = []
    back: set[str] = set()
    kept_parts = {part.part: part.entries for part in now.parts}
    for part in goal.parts:
        left = list(kept_parts.pop(part.part, ()))
        entries: list[tuple[Entry, str]] = []
        for entry in part.entries:
            same = next((one for one in left if (one.exercise, one.dials) == (entry.exercise, entry.dials)), None)
            if same is not None:
                left.remove(same)
                entries.append((as_open_again(same, entry), ""))
            elif lifting.closes(entry, now.place):
                entries.append(lighter(entry, part, now.place, weeks_back, lifting))
                back.add(entry.exercise)
            # else something other than this restriction took it out: it stays out
        goal_names = {entry.exercise for entry in part.entries}
        for entry, why in entries:
            if not why:
                continue
            stood_in = next((one for one in left if one.exercise == entry.exercise), None)
            stood_in = stood_in or next((one for one in left if one.exercise not in goal_names), None)
            if stood_in is not None:
                left.remove(stood_in)
            from_ = "rested" if stood_in is None else in_words(stood_in, known)
            name = known.get(entry.exercise).name
            changes.append(Change(week.number, now.day, name, from_, in_words(entry, known), why))
        for entry in left:
            name, why = known.get(entry.exercise).name, f"{lifting.reason} It stood in only while that held."
            changes.append(Change(week.number, now.day, name, in_words(entry, known), "ends", why))
        if entries:
            parts.append(Part(part.part, tuple(free_lonely_supersets([entry for entry, _ in entries]))))
    for entries_left in kept_parts.values():
        for entry in entries_left:
            name, why = known.get(entry.exercise).name, f"{lifting.reason} It stood in only while that held."
            changes.append(Change(week.number, now.day, name, in_words(entry, known), "ends", why))
    if not changes and tuple(parts) == now.parts:
        return now, []
    place = lifting.context.places[now.place]
    made = replace(now, parts=tuple(parts), minutes=session_minutes_of(tuple(parts), known, place))
    return within_minutes(made, now, back, place, lifting.context), changes


def as_open_again(now: Entry, goal: Entry) -> Entry:
    """An entry that stood all along: its sets stay, its stand-ins, filler and partner are those of before."""
    return replace(
        now, alternatives=goal.alternatives, filler=goal.filler, superset=goal.superset, cautions=goal.cautions
    )


def lighter(entry: Entry, part: Part, place_id: str, weeks_back: int, lifting: Lifting) -> tuple[Entry, str]:
    """The entry as it comes back, and why: for two weeks under its old load; less of what has no load in the first."""
    share = BACK_SHARES[weeks_back] if weeks_back < len(BACK_SHARES) else 1.0
    made, why = entry, "As it was planned."
    if share < 1.0 and part.part not in DRILL_PARTS:
        working = entry.working_sets
        if working and working[0].load_kg:
            made = under_load(entry, part, share * working[0].load_kg, place_id, lifting)
            why = f"At most {100 * share:.0f} % of the load before." if made is not entry else why
        if made is entry and weeks_back == 0:
            made, why = less_of(entry)
    return made, f"{lifting.reason} {why} Stop if it hurts, and ask a licensed clinician."


def under_load(entry: Entry, part: Part, most_kg: float, place_id: str, lifting: Lifting) -> Entry:
    """The entry with the heaviest load the place can build under a limit; itself where there is none."""
    context, place = lifting.context, lifting.context.places[place_id]
    exercise = context.catalogue.get(entry.exercise)
    first = next(one for one in entry.sets if one.kind != "ramp")
    scheme = scheme_of(entry)
    with_ramp = any(one.kind == "ramp" for one in entry.sets)
    if scheme is not None and first.chance is not None:
        sets = planned_sets(exercise, scheme, place, context, part.part, with_ramp, most_kg)
        load = sets[-1].load_kg
        if load is None or load > most_kg:
            return entry
        return replace(entry, sets=tuple(no_more_reps(one, first) for one in sets))
    options = [one for one in loads_in(place, exercise) if one.load_kg <= most_kg]
    if with_ramp or not options:
        return entry
    best = options[-1]
    sets = tuple(replace(one, load_kg=best.load_kg, pieces=best.pieces, load_range_kg=None) for one in entry.sets)
    return replace(entry, sets=sets)


def no_more_reps(one: PlannedSet, planned: PlannedSet) -> PlannedSet:
    """A lighter set with the repetitions planned: what the load spares is left in reserve, not made up for."""
    if one.kind == "ramp" or not one.reps or not planned.reps or one.reps[1] <= planned.reps[1]:
        return one
    left = None if one.rir is None else max(one.rir, min(one.rir + one.reps[1] - planned.reps[1], EASED_RIR))
    rpe = one.rpe if left is None else max(1.0, 10.0 - left)
    return replace(one, reps=planned.reps, rir=left, rpe=rpe, note="")


def less_of(entry: Entry) -> tuple[Entry, str]:
    """One set fewer; of a single set the lower end of its repetitions, or four fifths of its length."""
    working = entry.working_sets
    if len(working) > 1:
        return replace(entry, sets=entry.sets[:-1]), "One set fewer in the first week."
    last = entry.sets[-1]
    if last.reps is not None and last.reps[0] < last.reps[1]:
        fewer = replace(last, reps=(last.reps[0], last.reps[0]))
        return replace(entry, sets=(*entry.sets[:-1], fewer)), "The fewest repetitions in the first week."
    for field in ("time_s", "hold_s", "distance_m"):
        value: float | None = getattr(last, field)
        if value:
            shorter = replace(last, **{field: float(round(FIRST_LENGTH * value))})  # type: ignore[arg-type]
            return replace(entry, sets=(*entry.sets[:-1], shorter)), "A fifth shorter in the first week."
    return entry, "As it was planned: start easy."
