"""After a disturbance: the weeks that remain, with the fewest entries changed, and the proof of it.

A day is lost, minutes are cut, the place is another, an exercise is not to be had. What can stay stays to the last
plate; what cannot is moved, exchanged, shortened or left out, so that the restrictions, the place and the minutes hold.
Weeks that are done are never touched, and nothing is put in that the block did not hold.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from math import ceil
from string import ascii_uppercase

from setwright.catalogue.exercise import PartName
from setwright.catalogue.store import Catalogue
from setwright.faults import NoPlan
from setwright.people.place import Place
from setwright.people.trainee import DAY_NAMES
from setwright.plan.alternatives import alternatives_for_entry
from setwright.plan.arrange import PART_ORDER
from setwright.plan.as_template import scheme_of
from setwright.plan.block import Block, Change, Entry, Part, Proof, Session, Unmet, Week
from setwright.plan.bout_less import is_shared
from setwright.plan.brief import Brief
from setwright.plan.clearance import for_whole_block
from setwright.plan.compose import Context
from setwright.plan.explain import join_words
from setwright.plan.gates import judge
from setwright.plan.next_revision import next_revision
from setwright.plan.pairing import can_pair
from setwright.plan.plates import PAIRED_NOTE, are_plates_short
from setwright.plan.refill import IN_THE_WAY, refilled
from setwright.plan.reshape_bouts import bout_rows
from setwright.plan.reshape_model import Decision, Reshaped, items_changed, reshape
from setwright.plan.reshape_numbers import Prepared, prepare
from setwright.plan.reshape_options import (
    Asked,
    ByHand,
    Frame,
    Slot,
    Way,
    comes_first,
    exchanged,
    loads,
    when_words,
    with_sets,
    working_sets,
)
from setwright.plan.restrict import free_lonely_supersets, in_words, parted, with_true_reasons
from setwright.plan.session_time import session_minutes_of
from setwright.strength.estimates import Estimates


def reshape_block(
    block: Block,
    asked: Asked,
    catalogue: Catalogue,
    estimates: Estimates,
    from_week: int = 1,
    limit: float = 2.0,
    by_hand: ByHand | None = None,
) -> Block:
    """The next revision after a disturbance, or the same block where nothing has to change.

    from_week : the first week that may change; earlier ones are done and stay byte for byte
    limit : deterministic solver time of each search
    by_hand : what the coach set in ``block`` already: it stays, and the rest makes room (``plan.by_hand``)
    Raises NoPlan where the minutes or the days leave no room for what must stay.
    """
    frame = frame_of(block, asked, catalogue, estimates, from_week, by_hand)
    if (asked.is_nothing and by_hand is None) or not frame.sessions:
        return block
    if not frame.days:
        raise NoPlan(("No training day would be left.",), "leave at least one day, or end the block")
    plan = prepare(frame)
    require_ways(plan, frame)
    found = reshape(plan.problem, lambda decision: too_long(plan, decision, frame), limit)
    if found.decision is None and found.is_open:
        raise NoPlan(("No plan was found in the time given.",), "ask for one thing at a time, or for fewer weeks")
    if found.decision is None:
        raise NoPlan(no_room(frame), "more minutes on that day, or a day less")
    return applied(plan, found, frame)


def frame_of(
    block: Block,
    asked: Asked,
    catalogue: Catalogue,
    estimates: Estimates,
    from_week: int,
    by_hand: ByHand | None = None,
) -> Frame:
    """The block as a re-plan sees it: the trainee with the restrictions in force, old places and new ones."""
    brief = block.inputs.brief
    trainee = for_whole_block(block.inputs.trainee, brief.start, len(block.weeks))
    places = {place.id: place for place in (*block.inputs.places, *asked.places.values())}
    context = Context(trainee, places, brief, catalogue, estimates, brief.start)
    wanted = [week.number for week in block.weeks if asked.weeks is None or week.number in asked.weeks]
    return Frame(block, asked, context, tuple(week for week in wanted if week >= from_week), by_hand)


def require_ways(plan: Prepared, frame: Frame) -> None:
    """Refuses where an entry can't stay as it is: locked, or because only sets may change."""
    closed = [slot for slot, ways in zip(plan.slots, plan.ways, strict=True) if not ways]
    if not closed:
        return
    known = frame.context.catalogue
    named = [f"{known.get(slot.exercise).name} on {DAY_NAMES[slot.day]} can't stay as it is." for slot in closed]
    locked = any(slot.spot in frame.asked.locked for slot in closed)
    free = "unlock what is locked there" if locked else "let exercises change too: leave out --sets-only"
    raise NoPlan(dict.fromkeys(named), free)


def no_room(frame: Frame) -> list[str]:
    """What is too little, day by day."""
    lines = [
        f"{DAY_NAMES[day]}: {frame.asked.minutes[day]:g} min leave no room for one exercise after the warm-up."
        for day in frame.days
        if day in frame.asked.minutes
    ]
    for day in frame.days if frame.by_hand is not None else ():
        took = max(frame.sessions[key].minutes for key in frame.sessions if key[0] == day)
        caps = [frame.cap(*key) for key in frame.sessions if key[0] == day]
        most = min((one for one in caps if one is not None), default=None)
        if most is not None and took > most + 1e-6:
            lines.append(f"{DAY_NAMES[day]} would take {took:.0f} min, and has {most:g}.")
    if frame.asked.sets_only:
        lines = [line.replace("one exercise after the warm-up", "every exercise at its fewest sets") for line in lines]
    return lines or ["The days that are left have no room for what must stay."]


@dataclass(frozen=True)
class Placed:
    """One entry as it stands on a day after the decision; ``is_new``: it came from another day, or stands in."""

    slot: Slot
    entry: Entry
    is_new: bool
    stands_in: bool
    is_guest: bool = False


def placed_on(
    plan: Prepared, decision: Decision, day: str, week: int, frame: Frame, is_final: bool = False
) -> dict[PartName, list[Placed]]:
    """The entries of a day of a week, by part, what came from other days last. ``is_final``: stand-ins in full."""
    found: dict[PartName, list[Placed]] = {}
    guests: dict[PartName, list[Placed]] = {}
    for slot, ways, option, sets in zip(plan.slots, plan.ways, decision.options, decision.sets, strict=True):
        way = ways[option]
        if way.option.day != day or not sets.get(week):
            continue
        entry = way.entries[week]
        if is_final and way.swap is not None:
            made = exchanged(slot, way.swap, week, frame.place(day, week), frame, bare=False)
            entry = entry if made is None else made
        entry = with_sets(entry, sets[week])
        there = guests if way.option.kind == "move" else found
        there.setdefault(slot.part, []).append(
            Placed(
                slot,
                entry,
                way.option.kind in ("move", "exchange") or frame.is_by_hand(slot),
                way.option.kind == "exchange",
                way.option.kind == "move",
            )
        )
    for part, entries in guests.items():
        for one in entries:
            at = 0 if comes_first(one.slot, day, plan.slots, frame) else len(found.get(part, []))
            found.setdefault(part, []).insert(at, one)
    return with_free_letters({part: found[part] for part in PART_ORDER if part in found})


def with_free_letters(placed: dict[PartName, list[Placed]]) -> dict[PartName, list[Placed]]:
    """The entries of a day, bouts that came from other days with a letter that nothing else has there."""
    of_day = [one for entries in placed.values() for one in entries]
    usual = {one.entry.superset for one in of_day if one.entry.superset and not is_moved_bout(one)}
    free = iter(letter for letter in ascii_uppercase if letter not in usual)
    given: dict[tuple[str, str], str] = {}
    made: dict[PartName, list[Placed]] = {}
    for part, entries in placed.items():
        for one in entries:
            if is_moved_bout(one):
                key = (one.slot.day, one.entry.superset or "")
                if key not in given:
                    given[key] = next(free)
                one = replace(one, entry=replace(one.entry, superset=given[key]))
            made.setdefault(part, []).append(one)
    return made


def is_moved_bout(one: Placed) -> bool:
    """True for a movement of a shared bout that came from another day: only such a guest keeps a letter."""
    return one.is_guest and one.entry.superset is not None


def parts_of(
    placed: dict[PartName, list[Placed]], place: Place, catalogue: Catalogue, is_elsewhere: bool
) -> tuple[Part, ...]:
    """The parts of a session; a superset that lost its partner, or whose new members clash, is none any more."""
    made = []
    for part, entries in placed.items():
        alone = free_lonely_supersets(without_clashes(entries, place, catalogue, is_elsewhere))
        made.append(Part(part, tuple(as_alone(now, one.entry) for now, one in zip(alone, entries, strict=True))))
    return tuple(made)


def as_alone(now: Entry, before: Entry) -> Entry:
    """An entry that is in no superset any more, without the sentence that spoke of one."""
    if now.superset or not before.superset or not PAIRED_NOTE.search(now.why):
        return now
    return replace(now, why=PAIRED_NOTE.sub("", now.why))


def without_clashes(entries: Sequence[Placed], place: Place, catalogue: Catalogue, is_elsewhere: bool) -> list[Entry]:
    """The entries of a part, supersets with something new in them taken apart where two can't be done in turn."""
    apart = set()
    for label in dict.fromkeys(one.entry.superset for one in entries if one.entry.superset):
        members = [one for one in entries if one.entry.superset == label]
        if all(is_shared(one.entry) for one in members):
            continue  # a bout with a stand-in in it is still one bout
        is_new = is_elsewhere or any(one.is_new for one in members)
        if is_new and any(clash(a.entry, b.entry, place, catalogue) for a, b in combinations(members, 2)):
            apart.add(label)
    return [replace(one.entry, superset=None) if one.entry.superset in apart else one.entry for one in entries]


def clash(a: Entry, b: Entry, place: Place, catalogue: Catalogue) -> bool:
    """True when two entries can't be done in turn in a place."""
    schemes = scheme_of(a), scheme_of(b)
    if schemes[0] is None or schemes[1] is None:
        return True
    same_muscle = any("Same-muscle superset" in one.why for one in (a, b))
    first, second = catalogue.get(a.exercise), catalogue.get(b.exercise)
    short = are_plates_short((a, b), place, catalogue)
    return short or not can_pair(first, second, schemes[0], schemes[1], place, same_muscle)[0]


def too_long(plan: Prepared, decision: Decision, frame: Frame) -> dict[tuple[str, int], int]:
    """Sessions of a decision that break their minutes by the time model, with the tenths of a second beyond them."""
    found = {}
    for day, week in plan.problem.room:
        cap, place = frame.cap(day, week), frame.place(day, week)
        is_elsewhere = place.id != frame.sessions[day, week].place
        parts = parts_of(placed_on(plan, decision, day, week, frame), place, frame.context.catalogue, is_elsewhere)
        minutes = session_minutes_of(parts, frame.context.catalogue, place)
        if cap is not None and minutes > cap + 1e-6:
            found[day, week] = ceil(600 * (minutes - cap))
    return found


def applied(plan: Prepared, found: Reshaped, frame: Frame) -> Block:
    """The block under a decision, with every change and its reason."""
    decision, block = found.decision, frame.block
    assert decision is not None
    changes: list[Change] = []
    weeks = []
    for week in block.weeks:
        if week.number not in frame.weeks:
            weeks.append(week)
            continue
        sessions = []
        for session in week.sessions:
            if (session.day, week.number) in frame.asked.done:
                sessions.append(session)
                continue
            changes += changes_on(session, week, plan, decision, frame)
            if frame.is_lost(session.day):
                continue
            made, words = session_of(session, week, plan, decision, frame)
            changes += words
            sessions.append(made)
        weeks.append(replace(week, sessions=tuple(sessions)))
    if tuple(weeks) == block.weeks:
        return block
    places = tuple(frame.context.places.values())
    return next_revision(
        block,
        weeks,
        changes,
        frame.context.catalogue,
        left_out(plan, decision, frame),
        inputs=replace(block.inputs, places=places, brief=brief_after(frame)),
        proof=proof_of(plan, found, frame),
    )


def brief_after(frame: Frame) -> Brief:
    """The brief with what is barred for good excluded, so that no later change brings it back."""
    brief = frame.context.brief
    if frame.asked.weeks is not None or not frame.asked.barred:
        return brief
    return replace(brief, exclude=tuple(dict.fromkeys((*brief.exclude, *frame.asked.barred))))


def session_of(
    session: Session, week: Week, plan: Prepared, decision: Decision, frame: Frame
) -> tuple[Session, list[Change]]:
    """One session under a decision; the same object where nothing about it changed."""
    day, number = session.day, week.number
    place = frame.place(day, number)
    placed = placed_on(plan, decision, day, number, frame, is_final=True)
    changes: list[Change] = []
    is_elsewhere = place.id != session.place
    for entries in placed.values():
        for index, one in enumerate(entries):
            entries[index] = replace(one, entry=with_open_stand_ins(one, week, place, frame))
    parts = parts_of(placed, place, frame.context.catalogue, is_elsewhere)
    before = frame.before(day, number)
    parts, words = with_new_fillers(replace(session, place=place.id, parts=parts), before, week, frame)
    changes += words
    cap = frame.asked.minutes.get(day, session.minutes_cap)
    if parts == session.parts and not is_elsewhere and cap == session.minutes_cap:
        return session, []
    for part in parts:
        as_placed = [one.entry for one in placed[part.part]]
        changes += parted(as_placed, part.entries, number, day, frame.context.catalogue)
    minutes = session_minutes_of(parts, frame.context.catalogue, place)
    made = replace(session, place=place.id, minutes=minutes, minutes_cap=cap, parts=parts)
    made = replace(made, title=title_of(session, made, frame))
    return with_true_reasons(made, frame.context.catalogue), changes


def title_of(old: Session, new: Session, frame: Frame) -> str:
    """The title of a day; a new one where a lift that it names has left the day."""
    known = frame.context.catalogue
    before = {entry.exercise for part in old.parts for entry in part.entries}
    now = [entry.exercise for part in new.parts if part.part != "warm-up" for entry in part.entries]
    gone = [known.get(slug).name for slug in before - set(now)]
    if not any(name in old.title for name in gone):
        return old.title
    mains = [entry.exercise for part in new.parts if part.part == "main" for entry in part.entries]
    return join_words([known.get(slug).name for slug in (mains or now)[:2]])


def with_open_stand_ins(one: Placed, week: Week, place: Place, frame: Frame) -> Entry:
    """An entry whose stand-ins are open where it is now."""
    entry, context, asked = one.entry, frame.context, frame.asked
    is_elsewhere = place.id != frame.sessions[one.slot.day, week.number].place
    if one.slot.part == "warm-up" or not (is_elsewhere or asked.barred):
        return entry
    tokens, rules = context.tokens(place.id), context.trainee.restrictions
    exercise = context.catalogue.get(entry.exercise)
    alternatives = entry.alternatives
    if is_elsewhere and not one.stands_in:
        alternatives = alternatives_for_entry(
            exercise, context.catalogue, tokens, rules, context.trainee, context.brief.exclude
        )
    alternatives = tuple(other for other in alternatives if other.exercise not in asked.barred)
    return entry if alternatives == entry.alternatives else replace(entry, alternatives=alternatives)


def with_new_fillers(
    session: Session, before: Session, week: Week, frame: Frame
) -> tuple[tuple[Part, ...], list[Change]]:
    """The parts of a session with fillers that are open there and disturb nothing of it; what changed is told."""
    context = frame.context
    known, tokens = context.catalogue, context.tokens(session.place)
    made, rows = refilled(session, before, context, lambda slug: is_open(slug, tokens, frame), frame.asked.barred)
    return made.parts, [
        Change(
            week=week.number,
            session=session.day,
            entry=f"filler in the rest of {known.get(row.exercise).name}",
            from_=known.get(row.old.exercise).name,
            to=known.get(row.new.exercise).name if row.new else "none",
            why="The old one is not to be had here." if row.was_closed else IN_THE_WAY,
            evidence=asked_words(frame),
        )
        for row in rows
    ]


def is_open(slug: str, tokens: frozenset[str], frame: Frame) -> bool:
    """True when an exercise may be done somewhere and is not barred."""
    if slug in frame.asked.barred:
        return False
    exercise, trainee = frame.context.catalogue.get(slug), frame.context.trainee
    return judge(exercise, trainee.restrictions, tokens, trainee).allowed


def changes_on(session: Session, week: Week, plan: Prepared, decision: Decision, frame: Frame) -> list[Change]:
    """What becomes of the entries that stood on a day of a week, where it is not what it was."""
    known, day, number = frame.context.catalogue, session.day, week.number
    found = []
    if frame.is_lost(day):
        warm_up = [entry for part in session.parts if part.part == "warm-up" for entry in part.entries]
        if warm_up:
            why = f"{DAY_NAMES[day]} is lost {when_words(frame)}; the warm-up goes with it."
            found.append(Change(number, day, "warm-up", "warm-up", "goes with the day", why, asked_words(frame)))
    bouts = bout_rows(number, plan.slots, plan.ways, decision, known)
    rows = zip(plan.slots, plan.ways, decision.options, decision.sets, strict=True)
    for at, (slot, ways, option, sets) in enumerate(rows):
        if slot.day != day or number not in slot.entries:
            continue
        if at in bouts:
            whole = bouts[at]
            if whole is not None:
                name, from_, to, way = whole
                why = f"{way.why} {why_out(slot, ways, frame)}".strip() if way.option.kind == "out" else ""
                why = way.why if way.option.kind == "move" else why
                why = why or room_words(day, frame)
                found.append(Change(number, day, name, from_, to, why, asked_words(frame)))
            continue
        old, way = slot.entries[number], ways[option]
        name = known.get(slot.exercise).name
        row = change_of(old, slot, ways, way, sets[number], number, frame)
        if row is not None:
            from_, to, why = row
            found.append(Change(number, day, name, from_, to, why, asked_words(frame)))
    return found


def change_of(
    old: Entry, slot: Slot, ways: Sequence[Way], way: Way, sets: int, week: int, frame: Frame
) -> tuple[str, str, str] | None:
    """From, to and why of one entry in one week, or None where it stays."""
    known = frame.context.catalogue
    room, name = room_words(slot.day, frame), known.get(slot.exercise).name
    if way.option.kind == "out":
        return in_words(old, known), "left out", f"{way.why} {why_out(slot, ways, frame)}".strip()
    new = with_sets(way.entries[week], sets)
    if way.option.kind == "move":
        return (
            in_words(old, known),
            f"to {DAY_NAMES[way.option.day]}: {in_words(new, known)}",
            f"{way.why or room}{way.note}",
        )
    if way.option.kind == "exchange" or new.dials != old.dials:
        return in_words(old, known), in_words(new, known), way.why
    if working_sets(new) < working_sets(old):
        counts = (working_sets(old), working_sets(new))
        before, now = (f"{count} set{'s' if count > 1 else ''}" for count in counts)
        return f"{name}, {before}", f"{name}, {now}", way.why or room
    if loads(new) != loads(old):
        before, now = in_words(old, known), in_words(new, known)
        if before == now:
            before, now = f"{name}, {ramp_words(old)}", f"{name}, {ramp_words(new)}"
        return before, now, way.why or room
    return None


def ramp_words(entry: Entry) -> str:
    """The loads of the ramp sets: ``ramp sets of 6 and 10 kg``."""
    return f"ramp sets of {join_words([f'{one.load_kg or 0:g}' for one in entry.sets if one.kind == 'ramp'])} kg"


def why_out(slot: Slot, ways: Sequence[Way], frame: Frame) -> str:
    """Why nothing better than leaving an entry out was found."""
    others = {way.option.kind for way in ways}
    if frame.is_lost(slot.day) and is_shared(slot.first) and "move" in others:
        return "No other day has room for it without doing one of its exercises twice."
    if frame.is_lost(slot.day):
        return "No room on another day for it." if "move" in others else "No other day can take it."
    if not ways[-1].why:
        return room_words(slot.day, frame)
    if others == {"out"}:
        return "Nothing near it is open here, so it rests."
    return "What could stand in has no room, or is there already."


def room_words(day: str, frame: Frame) -> str:
    """Why room had to be made on a day."""
    if day in frame.asked.minutes:
        return f"{DAY_NAMES[day]} has {frame.asked.minutes[day]:g} min {when_words(frame)}; this costs least."
    return f"It makes room on {DAY_NAMES[day]} for what had to change."


def asked_words(frame: Frame) -> str:
    """What was asked, in one line."""
    asked, known = frame.asked, frame.context.catalogue
    told = []
    if asked.barred:
        told.append(f"no {join_words([known.get(slug).name for slug in asked.barred])}")
    if asked.lost_days:
        told.append(f"{join_words([DAY_NAMES[day] for day in asked.lost_days])} lost")
    told += [f"{minutes:g} min on {DAY_NAMES[day]}" for day, minutes in asked.minutes.items()]
    told += [f"{DAY_NAMES[day]} at {place.name}" for day, place in asked.places.items()]
    if frame.by_hand is not None and not told:
        return "It follows from what you changed."
    return f"Asked: {'; '.join(told)}, {when_words(frame)}."


def left_out(plan: Prepared, decision: Decision, frame: Frame) -> list[Unmet]:
    """Entries that are left out, as wishes that could not be met."""
    known = frame.context.catalogue
    found = []
    for slot, ways, option in zip(plan.slots, plan.ways, decision.options, strict=True):
        way = ways[option]
        if way.option.kind == "out" and slot.part not in ("warm-up", "loaded-mobility", "conditioning"):
            wish = f"{known.get(slot.exercise).name} on {DAY_NAMES[slot.day]}"
            found.append(Unmet(wish, f"Left out: {way.why or room_words(slot.day, frame)}"))
    return found


def proof_of(plan: Prepared, found: Reshaped, frame: Frame) -> Proof:
    """How few changes were possible, as proven."""
    assert found.decision is not None
    changed = items_changed(plan.problem, found.decision)
    bound = min(found.bound_alone, changed)
    gap = changed - bound
    return Proof(
        status="optimal" if gap == 0 else "feasible",
        objective=float(changed),
        bound=float(bound),
        gap=float(gap),
        note=proof_words(changed, found, sum(1 for item in plan.problem.items if item.must_change)),
    )


def proof_words(changed: int, found: Reshaped, forced: int) -> str:
    """The proof in a coach's words."""
    entries = f"{changed} {'entry' if changed == 1 else 'entries'} of the week"
    if changed == found.bound_alone:
        rest = "each of them is closed where it stood" if changed == forced and forced else "fewer is impossible"
        return f"{entries} had to change: {rest}. All others stay as they were."
    if changed == found.bound:
        fewer = found.bound_alone
        return (
            f"{entries} change, the fewest while the lifts this block is built on stay; {fewer} would do only if one "
            "of them went. All others stay as they were."
        )
    return (
        f"{entries} change; at least {found.bound_alone} have to. Whether fewer than {changed} would do was not "
        "settled in the time given. All others stay as they were."
    )
