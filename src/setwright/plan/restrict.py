"""The signature journey: a joint is sore, and only what it touches changes.

Every entry of the weeks that remain is held against the gates with the new restriction. What still passes
stays as it was, loads included. What does not is cropped to the range allowed, exchanged for the nearest open
exercise, or turned into the holds, carries and short-range work that the restriction wants; each with its
reason. One barred entry is one change, so the number of changes is the smallest there can be.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from setwright.catalogue.derive import joint_stress
from setwright.catalogue.exercise import Exercise, PartName
from setwright.catalogue.store import Catalogue
from setwright.people.place import Place
from setwright.people.trainee import Restriction, Wanted
from setwright.plan.alternatives import alternatives, alternatives_for_entry
from setwright.plan.arrange import parts_with
from setwright.plan.as_template import scheme_as, template_of
from setwright.plan.block import Alternative, Block, Change, Entry, Part, Proof, Session, Unmet, Week
from setwright.plan.bout_amounts import amount_as, part_of_stand_in, without_old_target
from setwright.plan.bout_less import is_shared
from setwright.plan.candidates import NOT_LIGHT_ENOUGH, is_drill, is_too_heavy_here, skill_ceiling
from setwright.plan.cautions import block_cautions, cautions_for
from setwright.plan.clearance import for_whole_block
from setwright.plan.compose import Context, compose_entry
from setwright.plan.easing import EASED_REPS, EASED_RIR, eased_scheme, first_time
from setwright.plan.fixed_parts import wanted_entry, wanted_scheme
from setwright.plan.gates import LEVEL_CAPACITY, Verdict, asks_too_much, judge, said_joint, uses_of, who_set, works_at
from setwright.plan.likeness import main_muscles
from setwright.plan.next_revision import next_revision
from setwright.plan.pairing import how_many, stations
from setwright.plan.plates import are_plates_short
from setwright.plan.refill import IN_THE_WAY, refilled
from setwright.plan.schemes import straight_if_sore
from setwright.plan.session_time import session_minutes_of
from setwright.plan.template import Scheme, TemplateEntry
from setwright.plan.weeks import WeekShape
from setwright.strength.estimates import Estimates

NEAR_AT_A_BARE_PLACE = 0.3  # where only equipment is missing: a light hinge beats none (common practice)
NEAR_ENOUGH = 0.35  # below this likeness an exchange no longer trains the same thing
CROPPED_EASIER_RIR = 1.0
GENTLER = 0.12  # likeness given up for each level of stress (0 to 3) that the sore joint is spared
NO_MORE_MINUTES = "The minutes of the day hold no more of it."
ONE_AFTER_THE_OTHER = "Both need the same station or plates now: one after the other."
PARTNER_GONE = "The other one rests now, or is done on its own."
ONE_SIDE = 0.85  # work of the good side only keeps half of it


@dataclass(frozen=True)
class Swap:
    """What becomes of one barred entry on one day, the same in every week that remains.

    ``exercise`` None means it is taken out. ``wanted`` names the kind of work it was turned into, or is None.
    ``eased``: ``light`` or ``moderate`` where it still works the sore joint, else empty.
    ``step``: (progression, number of the step) where it goes sideways or down on one.
    """

    exercise: str | None
    dials: dict[str, object]
    wanted: Wanted | None
    why: str
    eased: str = ""
    step: tuple[str, int] | None = None


Swaps = dict[tuple[str, PartName], dict[str, Swap]]


def restrict_block(
    block: Block,
    restriction: Restriction,
    catalogue: Catalogue,
    estimates: Estimates,
    from_week: int = 1,
) -> Block:
    """The next revision of a block under one more restriction, with every change and its reason.

    from_week : the first week that may change; earlier ones are done and stay byte for byte
    A restriction with the id of an older one replaces it.
    """
    old = block.inputs.trainee
    kept = tuple(one for one in old.restrictions if one.id != restriction.id)
    trainee = replace(old, restrictions=(*kept, restriction))
    places = {place.id: place for place in block.inputs.places}
    as_of = for_whole_block(trainee, block.inputs.brief.start, len(block.weeks))
    context = Context(as_of, places, block.inputs.brief, catalogue, estimates, block.inputs.brief.start)
    swaps = decide_swaps(block, restriction, context, from_week)
    weeks, changes, added = changed_weeks(block, swaps, restriction, context, from_week)
    if restriction.wanted and not added and not any(one.wanted for names in swaps.values() for one in names.values()):
        swaps = with_one_given_up(block, swaps, restriction, context)
        weeks, changes, added = changed_weeks(block, swaps, restriction, context, from_week)
    changes += added
    weeks, refills = with_new_fillers(block, weeks, restriction, context, from_week)
    changes = [*with_rests_told(block, weeks, changes, restriction, context), *refills]
    touched = sum(len(one) for one in swaps.values())
    more = len({(one.session, one.entry) for one in added})
    return next_revision(
        block,
        weeks,
        changes,
        catalogue,
        taken_out(swaps, block, restriction, catalogue),
        inputs=replace(block.inputs, trainee=trainee),
        cautions=tuple(dict.fromkeys((*without_old_limits(block.cautions), *block_cautions(trainee)))),
        proof=Proof(
            "optimal",
            float(touched),
            float(touched),
            0.0,
            fewest_words(touched, more),
        ),
    )


def changed_weeks(
    block: Block, swaps: Swaps, restriction: Restriction, context: Context, from_week: int
) -> tuple[list[Week], list[Change], list[Change]]:
    """The weeks under the swaps, their changes, and the changes that wanted work adds where the minutes hold it."""
    weeks: list[Week] = []
    changes: list[Change] = []
    for week in block.weeks:
        if week.number < from_week:
            weeks.append(week)
            continue
        new_week, made = change_week(week, swaps, restriction, context)
        weeks.append(new_week)
        changes += made
    weeks, added = add_wanted(block, weeks, swaps, restriction, context, from_week)
    return weeks, changes, added


def with_one_given_up(block: Block, swaps: Swaps, restriction: Restriction, context: Context) -> Swaps:
    """The swaps with wanted work in the place of the lightest barred assistance, where the minutes leave no other.

    What the clinician wants kept there is worth more than one more exchange (common practice, no published source).
    """
    barred = [(key, slug) for key, names in swaps.items() if key[1] == "assistance" for slug in names]
    barred.sort(key=lambda one: (context.catalogue.get(one[1]).load_capacity, one))
    for kind in restriction.wanted:
        for (day, part), slug in barred:
            place = context.places[place_of(block, day)]
            shape = (WeekShape(1, "build", 7.0, 1.0),)
            made = wanted_entry(context.offered(), context.trainee, restriction, kind, place, shape)
            if made is None or any(made.exercise in (*names, *made_of(names)) for names in swaps.values()):
                continue
            reason = " ".join(judge_words(slug, restriction, context, place))
            swap = Swap(made.exercise, dict(made.dials), kind, f"{reason} {made.why}".strip())
            return {**swaps, (day, part): {**swaps[day, part], slug: swap}}
    return swaps


def made_of(names: Mapping[str, Swap]) -> list[str]:
    """What swaps put on a day."""
    return [one.exercise for one in names.values() if one.exercise is not None]


def judge_words(slug: str, restriction: Restriction, context: Context, place: Place) -> tuple[str, ...]:
    """Why a restriction closes an exercise."""
    return judge(context.catalogue.get(slug), (restriction,), context.tokens(place.id)).reasons


def fewest_words(touched: int, more: int) -> str:
    """The proof in a coach's words: each entry that crosses a restriction has to change, and no other did."""
    crossing = "1 entry of the week crosses" if touched == 1 else f"{touched} entries of the week cross"
    added = "" if not more else f" {'One entry was' if more == 1 else f'{more} entries were'} added: wanted work."
    return f"{crossing} the restriction and had to change; those changed, nothing else.{added}"


def without_old_limits(cautions: Sequence[str]) -> list[str]:
    """The cautions of a block without the line that names its restrictions; the new line follows."""
    return [one for one in cautions if not one.startswith("Restrictions in force")]


def with_true_reasons(session: Session, catalogue: Catalogue) -> Session:
    """The session with warm-up reasons that name only lifts it still holds."""
    names = {
        catalogue.get(entry.exercise).name for part in session.parts if part.part != "warm-up" for entry in part.entries
    }

    def told(entry: Entry) -> Entry:
        start, found, lift = entry.why.partition(" for ")
        if not found or not entry.why.startswith("Readies the ") or lift.rstrip(".") in names:
            return entry
        return replace(entry, why=f"{start}.")

    return replace(
        session,
        parts=tuple(
            replace(part, entries=tuple(told(one) for one in part.entries)) if part.part == "warm-up" else part
            for part in session.parts
        ),
    )


def decide_swaps(
    block: Block, restriction: Restriction, context: Context, from_week: int
) -> dict[tuple[str, PartName], dict[str, Swap]]:
    """For each day and part, what becomes of every barred exercise.

    Each kind of wanted work takes the place of a barred entry that has no near exchange, at most twice a
    week; all others are exchanged where something near is open, and taken out where nothing is.
    """
    swaps: dict[tuple[str, PartName], dict[str, Swap]] = {}
    still_wanted = dict.fromkeys(restriction.wanted, 2)
    for day, parts in entries_by_day(block, from_week).items():
        place = context.places[place_of(block, day)]
        taken = {name for names in parts.values() for name in names}
        for part, entries in parts.items():
            for slug, entry in entries.items():
                exercise = context.catalogue.get(slug)
                rules, tokens = context.trainee.restrictions, context.tokens(place.id)
                verdict = judge(exercise, rules, tokens, context.trainee, entry.dials, asked=True)  # it is in the block
                planned = planned_in(block, from_week, day, part, slug)
                if verdict.allowed and not is_new_crop(verdict, entry) and not is_now_too_hard(verdict, planned, part):
                    continue
                like = part_of_stand_in(exercise, part, entry.bout is not None)
                swap = decide(exercise, entry, like, verdict, restriction, place, context, taken, still_wanted)
                if swap.exercise is not None:
                    taken.add(swap.exercise)
                swaps.setdefault((day, part), {})[slug] = swap
    return swaps


def is_new_crop(verdict: Verdict, entry: Entry) -> bool:
    """True when the gate lets the exercise through only with a dial that the entry does not have yet."""
    return any(entry.dials.get(name) != value for name, value in verdict.dials.items())


def is_now_too_hard(verdict: Verdict, planned: Sequence[Entry], part: PartName) -> bool:
    """True for work of the sore joint that stays open, but only easier than some week plans it (decision 0005)."""
    if not verdict.eased or part in ("warm-up", "loaded-mobility", "conditioning"):
        return False
    few = ("straight", "ramp", "hold-reps-hold", "lowering")
    return any(
        (one.rir is not None and one.rir < EASED_RIR)
        or (entry.scheme in few and one.reps is not None and one.reps[0] < EASED_REPS[0])
        for entry in planned
        for one in entry.sets
        if one.kind != "ramp"
    )


def planned_in(block: Block, from_week: int, day: str, part: PartName, slug: str) -> list[Entry]:
    """An exercise of a day and part in every week that may change."""
    return [
        entry
        for week in block.weeks
        for session in week.sessions
        for one in session.parts
        for entry in one.entries
        if week.number >= from_week and (session.day, one.part, entry.exercise) == (day, part, slug)
    ]


def decide(
    exercise: Exercise,
    entry: Entry,
    part: PartName,
    verdict: Verdict,
    restriction: Restriction,
    place: Place,
    context: Context,
    taken: set[str],
    still_wanted: dict[Wanted, int],
) -> Swap:
    """One barred entry: crop it, exchange it, turn it into wanted work, or take it out."""
    is_strength = part in ("main", "assistance", "finisher", "skill")
    no_load = is_strength and is_too_heavy_here(exercise, place, context.estimates, verdict.eased, asked=True)
    if verdict.allowed and not no_load:
        why = f"{who_set(restriction)} limits it: kept, {range_in_words(verdict.dials) or 'easier'}."
        is_cropped = verdict.light and "range_deg" in verdict.dials
        kind: Wanted | None = "short-range" if is_cropped and "short-range" in restriction.wanted else None
        if kind is not None:
            still_wanted[kind] = still_wanted.get(kind, 0) - 1
        return Swap(exercise.slug, {**entry.dials, **verdict.dials}, kind, why, verdict.eased)
    reason = NOT_LIGHT_ENOUGH if verdict.allowed else " ".join(verdict.reasons)
    nearest = nearest_open(exercise, part, place, context, taken, restriction)
    primes = [use.joint for use in exercise.actions if use.role == "prime"]
    at_the_joint = bool(primes) and all(joint == restriction.joint for joint in primes)
    if part in ("main", "assistance", "finisher", "skill") and (at_the_joint or nearest is None):
        for kind in restriction.wanted:
            if still_wanted.get(kind, 0) <= 0:
                continue
            alike = held_alike(exercise, part, place, context, taken, restriction) if kind == "holds" else None
            if alike is not None:
                still_wanted[kind] -= 1
                return Swap(alike[0], alike[1], kind, f"{reason} Held instead, light: no rise in pain.")
            made = wanted_entry(
                context.offered(), context.trainee, restriction, kind, place, (WeekShape(1, "build", 7.0, 1.0),)
            )
            if made is None or made.exercise in taken:
                continue
            still_wanted[kind] -= 1
            return Swap(made.exercise, dict(made.dials), kind, f"{reason} {made.why}")
    if nearest is None and "holds" in restriction.wanted:
        held = nearest_open(exercise, part, place, context, taken, restriction, light=True)
        if held is not None and context.catalogue.get(held[0]).mode == "isometric":
            still_wanted["holds"] = still_wanted.get("holds", 0) - 1
            return Swap(held[0], held[1], "holds", f"{reason} Held instead, light: no rise in pain.")
    aside = along_the_way(exercise, entry, place, context, taken, restriction)
    if aside is not None:
        return replace(aside, why=f"{reason} {aside.why}")
    if nearest is not None:
        slug, dials, kept, lost, eased = nearest
        words = f"Kept: {kept}." + ("" if lost == "little" else f" Lost: {lost}.")
        if eased:
            words += f" It still works the {said_joint(restriction.joint)}: easy, no rise in pain."
        return Swap(slug, dials, None, f"{reason} {words}", eased)
    return Swap(None, {}, None, f"{reason} Nothing near it is open, so it rests until the restriction is lifted.")


def held_alike(
    exercise: Exercise, part: PartName, place: Place, context: Context, taken: set[str], restriction: Restriction
) -> tuple[str, dict[str, object]] | None:
    """The open hold that trains the main muscles of a barred exercise at its joint, with its dials; None where none is.

    A hold for the back of the thigh stands in for a leg curl; one for the front does not. One that is no heavier than
    the level left at the joint goes first: a plank from the knees, not one at a long lever.
    """
    mains = set(main_muscles(exercise))
    found: list[StandIn] = []
    for one in open_stand_ins(exercise, part, place, context, taken, restriction, light=True):
        other = context.catalogue.get(one.exercise)
        if other.mode == "isometric" and works_at(other, restriction) and mains & set(main_muscles(other)):
            found.append(one)
    most = LEVEL_CAPACITY[restriction.level]
    light = [one for one in found if context.catalogue.get(one.exercise).load_capacity <= most]
    return next(((one.exercise, one.dials) for one in light or found), None)


def range_in_words(dials: Mapping[str, object]) -> str:
    """A range or side dial as one says it: ``knee flexion from 0 to 60 degrees only``."""
    if "side" in dials and "range_deg" not in dials:
        return f"the {dials['side']} side only"
    limits, motion = dials.get("range_deg"), str(dials.get("range_of", "range")).replace("-", " ")
    if isinstance(limits, (list, tuple)) and len(limits) == 2:
        return f"{motion} from {limits[0]:g} to {limits[1]:g} degrees only"
    return ", ".join(f"{name.replace('_', ' ')} {value}" for name, value in sorted(dials.items()))


def along_the_way(
    exercise: Exercise,
    entry: Entry,
    place: Place,
    context: Context,
    taken: set[str],
    restriction: Restriction,
) -> Swap | None:
    """What the progression of an entry holds ready where its step is closed: sideways first, else a step down.

    It never asks more of the sore joint than the step did, nor more skill.
    """
    climb = context.catalogue.progressions.get(entry.progression or "")
    if climb is None or entry.step is None or not 1 <= entry.step <= len(climb.steps):
        return None
    asked = joint_stress(exercise).get(restriction.joint, 0)
    way = climb.up_to(entry.step)
    rows = [(slug, way[-1], True) for slug in way[-1].sideways]
    rows += [(step.exercise, step, False) for step in reversed(way[:-1])]
    for slug, step, is_aside in rows:
        other = context.catalogue.get(slug)
        verdict = judge(other, context.trainee.restrictions, context.tokens(place.id), context.trainee)
        if slug in taken or not verdict.allowed or (verdict.light and not exercise_is_light(exercise)):
            continue
        dials = {**other.dials, **({} if is_aside else step.dials), **verdict.dials}
        stress = 0 if "side" in verdict.dials else joint_stress(other, dials).get(restriction.joint, 0)
        gentle = stress <= asked and other.impact <= max(1, exercise.impact)
        if not gentle or other.skill > max(exercise.skill, skill_ceiling(context.trainee)):
            continue
        if is_too_heavy_here(other, place, context.estimates, verdict.eased):
            continue
        words = "it trains the same." if is_aside else f"step {step.number} until the restriction is lifted."
        why = f"{'Sideways' if is_aside else 'A step down'} on the way to the {climb.title}: {words}"
        return Swap(slug, dials, None, why, verdict.eased, (climb.slug, step.number))
    return None


@dataclass(frozen=True)
class StandIn:
    """An open exercise that can take the place of an entry: with which dials, what is kept and lost, how near it is.

    ``score``: likeness 0 to 1, less where it asks more of the sore joint or only one side works.
    """

    exercise: str
    dials: dict[str, object]
    kept: str
    lost: str
    eased: str
    score: float


def nearest_open(
    exercise: Exercise,
    part: PartName,
    place: Place,
    context: Context,
    taken: set[str],
    restriction: Restriction | None,
    light: bool = False,
) -> tuple[str, dict[str, object], str, str, str] | None:
    """The best open stand-in that is not on the day yet and is like enough: slug, dials, kept, lost, eased.

    It never asks more of the sore joint than what it stands in for; among near equals the one that asks less wins.
    restriction : the one that closed the exercise, or None where the equipment is missing
    """
    best: StandIn | None = None
    for one in open_stand_ins(exercise, part, place, context, taken, restriction, light):
        if best is None or one.score > best.score + 1e-9:
            best = one
    return None if best is None else (best.exercise, best.dials, best.kept, best.lost, best.eased)


def open_stand_ins(
    exercise: Exercise,
    part: PartName,
    place: Place,
    context: Context,
    taken: set[str],
    restriction: Restriction | None,
    light: bool = False,
    count: int = 16,
) -> list[StandIn]:
    """Every open stand-in among the ``count`` likest, likest first; what the brief excludes is none."""
    tokens = context.tokens(place.id)
    is_strength = part in ("main", "assistance", "finisher", "skill")
    floor = (NEAR_ENOUGH if restriction is not None else NEAR_AT_A_BARE_PLACE) if is_strength else 0.2
    joint = restriction.joint if restriction is not None else ""
    asked = joint_stress(exercise).get(joint, 0)
    stand_ins: list[StandIn] = []
    likest = context.remember(
        ("likest", exercise.slug, place.id, count),
        lambda: alternatives(
            exercise.slug, context.catalogue, tokens, context.trainee.restrictions, context.trainee, n=count
        ),
    )
    for found in likest:
        if found.likeness < floor:
            break
        other = context.catalogue.get(found.exercise)
        fits = part in other.parts or (part in ("main", "finisher", "skill") and "assistance" in other.parts)
        keeps_nothing = not found.kept.startswith("work for")
        if found.exercise in taken or found.exercise in context.brief.exclude:
            continue
        if not fits or keeps_nothing or other.impact > max(1, exercise.impact):
            continue
        if other.skill > max(exercise.skill, skill_ceiling(context.trainee)):
            continue
        if part == "main" and is_drill(other) and not is_drill(exercise):
            continue  # a drill is no main lift
        if not is_strength and (other.mode != exercise.mode or other.measured_in != exercise.measured_in):
            continue
        if (other.mode == "cyclic") != (exercise.mode == "cyclic"):
            continue
        verdict = judge(other, context.trainee.restrictions, tokens, context.trainee)
        if not verdict.allowed:
            continue
        if not light and verdict.light and not exercise_is_light(exercise):
            continue
        dials = {**other.dials, **verdict.dials}
        one_side = "side" in verdict.dials
        stress = 0 if one_side else joint_stress(other, dials).get(joint, 0)
        if stress > asked or (is_strength and is_too_heavy_here(other, place, context.estimates, verdict.eased)):
            continue
        score = found.likeness * (1.0 - GENTLER * stress) * (ONE_SIDE if one_side else 1.0)
        stand_ins.append(StandIn(found.exercise, dials, found.kept, found.lost, verdict.eased, score))
    return stand_ins


def exercise_is_light(exercise: Exercise) -> bool:
    """True for drills and holds: a light stand-in loses nothing there."""
    return exercise.mode in ("active-mobility", "isometric") or exercise.load_capacity <= 1


def change_week(
    week: Week,
    swaps: dict[tuple[str, PartName], dict[str, Swap]],
    restriction: Restriction,
    context: Context,
) -> tuple[Week, list[Change]]:
    """One week under the swaps; entries that no swap names keep their sets to the last gram."""
    changes: list[Change] = []
    sessions = []
    for session in week.sessions:
        place = context.places[session.place]
        parts = []
        touched = False
        made_of: dict[int, tuple[PartName, str]] = {}  # row of the changes: part and exercise that came of it
        for part in session.parts:
            entries = []
            for entry in part.entries:
                swap = swaps.get((session.day, part.part), {}).get(entry.exercise)
                if swap is None:
                    kept, small = keep_entry(entry, week, session, restriction, context, place)
                    entries.append(kept)
                    changes += small
                    touched = touched or bool(small)
                    continue
                touched = True
                new = swapped_entry(entry, part.part, swap, week, place, context)
                if new is not None:
                    entries.append(new)
                    made_of[len(changes)] = (part.part, new.exercise)
                changes.append(
                    Change(
                        week=week.number,
                        session=session.day,
                        entry=context.catalogue.get(entry.exercise).name,
                        from_=in_words(entry, context.catalogue),
                        to="rests" if new is None else in_words(new, context.catalogue),
                        why=swap.why,
                        evidence=restriction.reason,
                    )
                )
            if entries:
                alone = free_lonely_supersets(free_of_one_station(entries, place, context.catalogue))
                made = parted(entries, alone, week.number, session.day, context.catalogue)
                changes += made
                touched = touched or bool(made)
                parts.append(Part(part.part, tuple(alone)))
        if touched:
            changed = {slug for _, slug in made_of.values()}
            session = within_minutes(
                replace(session, parts=tuple(parts)), session, changed, place, context, may_leave_out=True
            )
            for row, (name, slug) in made_of.items():
                changes[row] = as_it_came(changes[row], session, name, slug, context.catalogue)
        else:
            session = replace(session, parts=tuple(parts))  # alternatives that cross the restriction are gone
        sessions.append(with_true_reasons(session, context.catalogue))
    return replace(week, sessions=tuple(sessions)), changes


def as_it_came(change: Change, session: Session, part: PartName, slug: str, catalogue: Catalogue) -> Change:
    """A change as the session has it in the end: with fewer sets, or resting, where the minutes ask for that."""
    entries = [entry for one in session.parts if one.part == part for entry in one.entries if entry.exercise == slug]
    if entries:
        words = in_words(entries[-1], catalogue)
        return change if words == change.to else replace(change, to=words, why=f"{change.why} {NO_MORE_MINUTES}")
    return replace(change, to="rests", why=f"{change.why} No minutes are left for {catalogue.get(slug).name}.")


def within_minutes(
    session: Session, old: Session, changed: set[str], place: Place, context: Context, may_leave_out: bool = False
) -> Session:
    """The session with its minutes; where it grew past its cap, changed entries lose sets, the last one first.

    A session that was already too long as written stays as long as it was.
    may_leave_out : a changed entry that has no more set to lose goes; no other entry ever changes for the minutes
    """
    minutes = session_minutes_of(session.parts, context.catalogue, place)
    cap = None if session.minutes_cap is None else max(session.minutes_cap, old.minutes)
    parts = list(session.parts)
    while cap is not None and minutes > cap + 1e-6:
        spot = next(
            (
                (p, e)
                for p in range(len(parts) - 1, -1, -1)
                for e in range(len(parts[p].entries) - 1, -1, -1)
                if parts[p].entries[e].exercise in changed
                and len(parts[p].entries[e].sets) > 1
                and not is_shared(parts[p].entries[e])
            ),
            None,
        )
        if spot is None:
            fewer = without_last(parts, changed) if may_leave_out else None
            if fewer is None:
                break
            parts = fewer
            minutes = session_minutes_of(tuple(parts), context.catalogue, place)
            continue
        entries = list(parts[spot[0]].entries)
        entry = entries[spot[1]]
        entries[spot[1]] = replace(entry, sets=entry.sets[1:] if entry.sets[0].kind == "ramp" else entry.sets[:-1])
        parts[spot[0]] = replace(parts[spot[0]], entries=tuple(entries))
        minutes = session_minutes_of(tuple(parts), context.catalogue, place)
    return replace(session, parts=tuple(parts), minutes=minutes)


def without_last(parts: Sequence[Part], changed: set[str]) -> list[Part] | None:
    """The parts without the last changed entry, or None where there is none, or nothing else would be left."""
    spots = [(p, e) for p, part in enumerate(parts) for e, one in enumerate(part.entries) if one.exercise in changed]
    if not spots or sum(len(part.entries) for part in parts) < 2:
        return None
    at, gone = spots[-1]
    kept = [entry for e, entry in enumerate(parts[at].entries) if e != gone]
    left = [
        replace(part, entries=tuple(free_lonely_supersets(kept))) if p == at else part for p, part in enumerate(parts)
    ]
    return [part for part in left if part.entries]


def add_wanted(
    block: Block,
    weeks: list[Week],
    swaps: dict[tuple[str, PartName], dict[str, Swap]],
    restriction: Restriction,
    context: Context,
    from_week: int,
) -> tuple[list[Week], list[Change]]:
    """Wanted work that no barred entry turned into, added where there are minutes left; one entry a kind."""
    placed = {swap.wanted for names in swaps.values() for swap in names.values()}
    changes: list[Change] = []
    for kind in restriction.wanted:
        if kind in placed or not any(week.number >= from_week for week in weeks):
            continue
        days = roomiest_days(weeks, from_week)
        for sets, index in [(sets, index) for sets in (3, 2, 1) for index in days]:
            made, words = with_entry_added(weeks, index, kind, restriction, context, from_week, sets)
            if made is not None:
                weeks = made
                changes += words
                break
    return weeks, changes


def roomiest_days(weeks: Sequence[Week], from_week: int) -> list[int]:
    """Indexes of the sessions of a week, most spare minutes first."""
    ahead = [week for week in weeks if week.number >= from_week]
    count = min(len(week.sessions) for week in ahead)

    def spare(index: int) -> float:
        sessions = [week.sessions[index] for week in ahead]
        return min((one.minutes_cap or one.minutes + 30.0) - one.minutes for one in sessions)

    return sorted(range(count), key=lambda index: (-spare(index), index))


def with_entry_added(
    weeks: list[Week],
    index: int,
    kind: Wanted,
    restriction: Restriction,
    context: Context,
    from_week: int,
    most_sets: int,
) -> tuple[list[Week] | None, list[Change]]:
    """The weeks with one wanted entry at the end of the assistance of a day, or None where it does not fit."""
    result, changes = [], []
    for week in weeks:
        if week.number < from_week:
            result.append(week)
            continue
        session = week.sessions[index]
        place = context.places[session.place]
        shape = WeekShape(week.number, week.kind, week.rpe, 1.0)
        template = wanted_entry(context.offered(), context.trainee, restriction, kind, place, (shape,))
        there = {entry.exercise for part in session.parts for entry in part.entries}
        if template is None or template.exercise in there:
            return None, []
        (dose,) = template.schemes
        template = replace(template, schemes=(dose and replace(dose, sets=min(dose.sets, most_sets)),))
        entry = compose_entry(template, 0, place, context, with_ramp=False)
        if entry is None:
            return None, []
        parts = parts_with(session.parts, "assistance", entry)
        minutes = session_minutes_of(parts, context.catalogue, place)
        if session.minutes_cap is not None and minutes > session.minutes_cap:
            return None, []
        sessions = list(week.sessions)
        sessions[index] = replace(session, parts=parts, minutes=minutes)
        result.append(replace(week, sessions=tuple(sessions)))
        words = in_words(entry, context.catalogue)
        name = context.catalogue.get(entry.exercise).name
        changes.append(Change(week.number, session.day, name, "nothing", words, entry.why, restriction.reason))
    return result, changes


def swapped_entry(entry: Entry, part: PartName, swap: Swap, week: Week, place: Place, context: Context) -> Entry | None:
    """The entry that stands in the old one's place, dosed for its own exercise."""
    made = swapped_template(entry, part, swap, week, context)
    if made is None:
        return None
    with_ramp = any(one.kind == "ramp" for one in entry.sets) and swap.wanted is None and swap.eased != "light"
    done = compose_entry(made, 0, place, context, with_ramp, bare=part == "warm-up")
    was, scheme = heaviest(entry), made.schemes[0]
    if (
        done is None
        or scheme is None
        or done.exercise != entry.exercise
        or was is None
        or (heaviest(done) or 0.0) <= was
    ):
        return done
    # A joint that hurts gets no heavier load, whatever its lighter effort would leave room for.
    made = replace(made, schemes=(replace(scheme, load_kg=was, pct=None),))
    return compose_entry(made, 0, place, context, with_ramp, bare=part == "warm-up")


def heaviest(entry: Entry) -> float | None:
    """The heaviest load of the working sets of an entry, kg; None where none is counted."""
    return max((one.load_kg for one in entry.working_sets if one.load_kg is not None), default=None)


def swapped_template(entry: Entry, part: PartName, swap: Swap, week: Week, context: Context) -> TemplateEntry | None:
    """The entry that stands in the old one's place, before loads are put on it."""
    if swap.exercise is None:
        return None
    old = template_of(entry, part)
    scheme = old.schemes[0]
    if scheme is None:
        return None
    exercise = context.catalogue.get(swap.exercise)
    is_other = exercise.slug != entry.exercise
    new_scheme: Scheme
    if swap.wanted is not None:
        new_scheme = wanted_scheme(exercise, swap.wanted, WeekShape(week.number, week.kind, week.rpe, 1.0))
        most = max(2, scheme.sets) if is_other else scheme.sets
        new_scheme = replace(new_scheme, sets=min(new_scheme.sets, most))
    elif exercise.slug == entry.exercise:
        new_scheme = replace(scheme, rir=None if scheme.rir is None else scheme.rir + CROPPED_EASIER_RIR)
    elif entry.bout is not None:
        new_scheme = amount_as(context.catalogue.get(entry.exercise), exercise, scheme, entry.bout)
    else:
        new_scheme = scheme_as(exercise, scheme)
    if swap.wanted is None and exercise.slug not in context.estimates.lifts:
        new_scheme = first_time(new_scheme)
    if swap.wanted is None and swap.eased and part not in ("warm-up", "loaded-mobility", "conditioning"):
        new_scheme = eased_scheme(new_scheme, swap.eased)
    return TemplateEntry(
        exercise=exercise.slug,
        part=part,
        schemes=(new_scheme,),
        why=swap.why,
        superset=None if swap.wanted is not None else entry.superset,
        dials=dict(swap.dials),
        filler_wanted=entry.filler is not None,
        progression=None if swap.step is None else swap.step[0],
        step=None if swap.step is None else swap.step[1],
        written=entry.written,
        bouts=() if swap.wanted is not None else without_old_target(old.bouts) if is_other else old.bouts,
    )


def keep_entry(
    entry: Entry, week: Week, session: Session, restriction: Restriction, context: Context, place: Place
) -> tuple[Entry, list[Change]]:
    """An untouched entry: its sets stay, but no alternative may cross the restriction. Fillers come later."""
    tokens = context.tokens(place.id)
    rules = context.trainee.restrictions
    exercise = context.catalogue.get(entry.exercise)

    changes: list[Change] = []
    straight = straight_if_sore(entry, exercise, context.trainee, context.catalogue)
    if straight is not entry:
        from_, to = (in_words(one, context.catalogue) for one in (entry, straight))
        joint = said_joint(restriction.joint)
        why = f"No {entry.scheme.replace('-', ' ')} where the {joint} is limited: straight sets instead."
        changes.append(Change(week.number, session.day, exercise.name, from_, to, why, restriction.reason))
        entry = straight
    open_ones: tuple[Alternative, ...] = tuple(
        one
        for one in entry.alternatives
        if is_open_as_named(one.exercise, context)
        and not asks_too_much(context.catalogue.get(one.exercise), exercise, rules)
    )
    if len(open_ones) < len(entry.alternatives):
        open_ones = alternatives_for_entry(
            exercise, context.catalogue, tokens, rules, context.trainee, context.brief.exclude
        )
    cautions = tuple(dict.fromkeys((*entry.cautions, *cautions_for(exercise, context.trainee, entry.sets))))
    return replace(entry, alternatives=open_ones, cautions=cautions), changes


def is_open_as_named(slug: str, context: Context) -> bool:
    """True when an exercise is open whole: a name on the sheet says nothing of less range or one side."""
    trainee = context.trainee
    verdict = judge(context.catalogue.get(slug), trainee.restrictions, frozenset(), trainee, ignore_equipment=True)
    return verdict.allowed and not verdict.dials


def with_new_fillers(
    block: Block, weeks: Sequence[Week], restriction: Restriction, context: Context, from_week: int
) -> tuple[list[Week], list[Change]]:
    """The weeks with fillers that cross nothing and disturb nothing of the changed sessions, and what changed."""
    known = context.catalogue
    made: list[Week] = []
    changes: list[Change] = []
    for old, week in zip(block.weeks, weeks, strict=True):
        if week.number < from_week:
            made.append(week)
            continue
        sessions = []
        for before, session in zip(old.sessions, week.sessions, strict=True):
            now, rows = refilled(session, before, context, lambda slug: is_open_as_named(slug, context))
            sessions.append(now)
            for row in rows:
                crosses = f"The old one crosses the {said_joint(restriction.joint)} restriction."
                changes.append(
                    Change(
                        week=week.number,
                        session=session.day,
                        entry=f"filler in the rest of {known.get(row.exercise).name}",
                        from_=known.get(row.old.exercise).name,
                        to=known.get(row.new.exercise).name if row.new else "none",
                        why=crosses if row.was_closed else IN_THE_WAY,
                        evidence=restriction.reason,
                    )
                )
        made.append(replace(week, sessions=tuple(sessions)))
    return made, changes


def with_rests_told(
    block: Block, weeks: Sequence[Week], changes: Sequence[Change], restriction: Restriction, context: Context
) -> list[Change]:
    """The changes, where one brought work of the joint into the rests with that work: nobody finds it there untold."""
    known = context.catalogue
    told: dict[tuple[int, str, str], str] = {}
    for before, week in zip(block.weeks, weeks, strict=True):
        for old, now in zip(before.sessions, week.sessions, strict=True):
            there = {entry.exercise for part in old.parts for entry in part.entries}
            for entry in (entry for part in now.parts for entry in part.entries if entry.exercise not in there):
                filler = entry.filler
                if filler is not None and uses_of(known.get(filler.exercise), restriction):
                    words = f"In the rest: {known.get(filler.exercise).name}. {filler.why}"
                    told[week.number, now.day, in_words(entry, known)] = words
    return [
        replace(one, why=f"{one.why} {told[spot]}") if (spot := (one.week, one.session, one.to)) in told else one
        for one in changes
    ]


def free_of_one_station(entries: Sequence[Entry], place: Place, catalogue: Catalogue) -> list[Entry]:
    """The entries, where a later member of a superset stands alone if it needs a station or plates an earlier holds."""
    held: dict[str, set[str]] = {}
    found: list[Entry] = []
    for entry in entries:
        if is_shared(entry):  # the movements of a bout are done one after another: one station serves them all
            found.append(entry)
            continue
        needed = {token for token in stations(catalogue.get(entry.exercise), place) if how_many(token, place) < 2}
        earlier = [one for one in found if entry.superset and one.superset == entry.superset]
        short = bool(earlier) and are_plates_short((*earlier, entry), place, catalogue)
        if short or (entry.superset and needed & held.setdefault(entry.superset, set())):
            found.append(replace(entry, superset=None))
            continue
        if entry.superset:
            held.setdefault(entry.superset, set()).update(needed)
        found.append(entry)
    return found


def free_lonely_supersets(entries: Sequence[Entry]) -> list[Entry]:
    """A superset that lost its partner is an entry of its own."""
    counts: dict[str, int] = {}
    for entry in entries:
        if entry.superset:
            counts[entry.superset] = counts.get(entry.superset, 0) + 1
    return [
        replace(entry, superset=None) if entry.superset and counts[entry.superset] < 2 else entry for entry in entries
    ]


def parted(before: Sequence[Entry], after: Sequence[Entry], week: int, day: str, catalogue: Catalogue) -> list[Change]:
    """A line for each entry that lost the partner of its superset, and what became of the two."""
    members = Counter(entry.superset for entry in before)
    return [
        Change(
            week=week,
            session=day,
            entry=catalogue.get(old.exercise).name,
            from_=f"{catalogue.get(old.exercise).name} in superset {old.superset}",
            to="on its own",
            why=ONE_AFTER_THE_OTHER if members[old.superset] > 1 else PARTNER_GONE,
            evidence="The sets, loads and rests stay.",
        )
        for old, new in zip(before, after, strict=True)
        if old.superset and not new.superset
    ]


def entries_by_day(block: Block, from_week: int) -> dict[str, dict[PartName, dict[str, Entry]]]:
    """First appearance of every exercise by day and part, in the weeks that may change."""
    found: dict[str, dict[PartName, dict[str, Entry]]] = {}
    for week in block.weeks:
        if week.number < from_week:
            continue
        for session in week.sessions:
            for part in session.parts:
                names = found.setdefault(session.day, {}).setdefault(part.part, {})
                for entry in part.entries:
                    names.setdefault(entry.exercise, entry)
    return found


def place_of(block: Block, day: str) -> str:
    """Where a weekday is trained."""
    for week in block.weeks:
        for session in week.sessions:
            if session.day == day:
                return session.place
    raise LookupError(f"no session on {day} in block {block.id}")


def in_words(entry: Entry, catalogue: Catalogue) -> str:
    """An entry in one line: ``front squat, 4 x 5-6, 82.5 kg``."""
    working = entry.working_sets
    name = catalogue.get(entry.exercise).name
    if not working:
        return name
    first = working[0]
    if first.reps:
        low, high = first.reps
        dose = f"{len(working)} x {low}" if low == high else f"{len(working)} x {low}-{high}"
    elif first.hold_s:
        dose = f"{len(working)} x {first.hold_s:g} s hold"
    elif first.distance_m:
        dose = f"{len(working)} x {first.distance_m:g} m"
    else:
        dose = f"{len(working)} x {first.time_s or 0:g} s"
    if any(one.inside or one.load_share is not None for one in working):
        dose += f" ({entry.scheme.replace('-', ' ')})"
    if first.load_kg:
        hands = (
            "" if first.load_means != "each hand" else " each hand" if first.pieces.startswith("2 ") else " in one hand"
        )
        dose += f", {first.load_kg:g} kg{hands}"
    limits = entry.dials.get("range_deg")
    if isinstance(limits, (list, tuple)) and len(limits) == 2:
        dose += f", {limits[0]:g} to {limits[1]:g} degrees"
    if "side" in entry.dials:
        dose += f", {entry.dials['side']} side only"
    return f"{name}, {dose}"


def taken_out(
    swaps: dict[tuple[str, PartName], dict[str, Swap]],
    block: Block,
    restriction: Restriction,
    catalogue: Catalogue,
) -> list[Unmet]:
    """Entries that rest, as wishes that could not be met."""
    return [
        Unmet(f"{catalogue.get(slug).name} on {day}", swap.why)
        for (day, part), made in swaps.items()
        for slug, swap in made.items()
        if swap.exercise is None and part not in ("warm-up", "loaded-mobility", "conditioning")
    ]
