"""What can become of each entry of the weeks that remain: as it is, elsewhere, exchanged, out; and what each costs.

Only entries that something forbids where they stand are offered stand-ins, about eight of them, the nearest first. To
leave an entry out frees more minutes than anything else that could be done with it, and it is always offered, so the
fewest changes found are the fewest there are, however many more stand-ins one would try.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from setwright.catalogue.derive import joint_stress, set_credits
from setwright.catalogue.exercise import Exercise, PartName
from setwright.dose.implements import Buildable, loads_in
from setwright.people.place import Place
from setwright.people.trainee import DAY_NAMES, DAYS, Day, Restriction
from setwright.plan.as_template import scheme_of
from setwright.plan.block import Block, Entry, PlannedSet, Session, Week
from setwright.plan.compose import Context, compose_entry, planned_sets
from setwright.plan.demand import WeekDemand, week_demand
from setwright.plan.gates import judge, uses_of
from setwright.plan.reshape_model import Option
from setwright.plan.restrict import Swap, along_the_way, is_new_crop, open_stand_ins, range_in_words, swapped_template
from setwright.plan.warm_up import pick_raise

STAND_INS = 8
MOST_NEW_SKILL = 3  # of 5, that a stand-in may ask in mid-block where the old one asked less (common practice)
SEARCHED = 32  # likest exercises among which open stand-ins are looked for
STRENGTH: tuple[PartName, ...] = ("main", "skill", "assistance", "finisher")
MOST_ENTRIES = 7  # strength entries of a day that took in others, as in designing a block
LEAST_DRILLS = 3  # entries that a warm-up keeps, where it had them (common practice, no published source)
# Points a week. A missing half set of a wanted group costs 4 besides, as in designing a block.
# To leave an entry out costs more than its least like stand-in.
OUT_POINTS: Mapping[str, int] = {"main": 40, "skill": 22, "assistance": 18, "finisher": 17, "loaded-mobility": 14}
OUT_OTHERS = 12
DEAR = 3  # times for the lifts that the block is built on; twice for the coach's own lines
OWN_LINE = 2
EXCHANGE_POINTS, OTHER_POINTS = 20, 3  # for a stand-in without any likeness, in proportion for others; for any stand-in
MOVE_POINTS, NEIGHBOUR_POINTS = 3, 5  # and where the day before or after works the same muscles
LIGHTER_POINTS = 20  # for a load that falls to nothing in another place; in proportion for the others
SET_POINTS, DEAR_SET_POINTS = 2, 6


@dataclass(frozen=True)
class Spot:
    """Where one entry of the week stands; ``number``: the how-manieth entry of this exercise in the part."""

    day: Day
    part: PartName
    exercise: str
    number: int = 0


@dataclass(frozen=True)
class Asked:
    """What happened, in the weeks it lasts (None: all that remain).

    barred : exercises that are not to be had or not wanted any more
    lost_days : weekdays without training; minutes, places : what there is now, by weekday
    sets_only : every exercise stays where it is, only sets change
    locked : entries that the coach keeps as they are
    done : sessions (day, week) that are over and stay to the byte
    """

    barred: tuple[str, ...] = ()
    lost_days: tuple[Day, ...] = ()
    minutes: Mapping[str, float] = field(default_factory=dict)
    places: Mapping[str, Place] = field(default_factory=dict)
    weeks: tuple[int, ...] | None = None
    sets_only: bool = False
    locked: frozenset[Spot] = frozenset()
    done: frozenset[tuple[str, int]] = frozenset()

    @property
    def is_nothing(self) -> bool:
        """True where nothing was asked."""
        return not (self.barred or self.lost_days or self.minutes or self.places)


@dataclass(frozen=True)
class Slot:
    """One exercise of one part of one day, with its entry in each week that may change."""

    day: Day
    part: PartName
    exercise: str
    number: int  # the how-manieth entry of this exercise in the part
    entries: Mapping[int, Entry]

    @property
    def first(self) -> Entry:
        """The entry of its first week."""
        return next(iter(self.entries.values()))

    @property
    def spot(self) -> Spot:
        """Where it stands."""
        return Spot(self.day, self.part, self.exercise, self.number)


@dataclass(frozen=True)
class Way:
    """An option with the entries it makes, all sets still there, and why.

    ``swap`` where it is exchanged or cropped; ``note`` what a coach should watch.
    """

    option: Option
    entries: Mapping[int, Entry]
    why: str
    swap: Swap | None = None
    note: str = ""


@dataclass(frozen=True)
class ByHand:
    """What a coach set by hand already: the block before that, and where the entries stand now that were set."""

    before: Block
    spots: frozenset[Spot]

    @cached_property
    def sessions(self) -> dict[tuple[str, int], Session]:
        """The sessions as they were, by day and week."""
        return {(one.day, week.number): one for week in self.before.weeks for one in week.sessions}


@dataclass(frozen=True)
class Frame:
    """The block, what was asked of it, and what each day looks like now.

    by_hand : what the coach set in the block before it is planned again; it stays, and the rest makes room
    """

    block: Block
    asked: Asked
    context: Context
    weeks: tuple[int, ...]
    by_hand: ByHand | None = None

    @cached_property
    def sessions(self) -> dict[tuple[str, int], Session]:
        """The sessions that may change, by day and week."""
        return {
            (session.day, week.number): session
            for week in self.block.weeks
            if week.number in self.weeks
            for session in week.sessions
            if (session.day, week.number) not in self.asked.done
        }

    def before(self, day: str, week: int) -> Session:
        """A session as it was before anything was changed, by hand too."""
        if self.by_hand is None:
            return self.sessions[day, week]
        return self.by_hand.sessions[day, week]

    def is_kept(self, slot: Slot) -> bool:
        """True for an entry that stays as it is: locked, or just set by hand."""
        return slot.spot in self.asked.locked or self.is_by_hand(slot)

    def is_by_hand(self, slot: Slot) -> bool:
        """True for an entry that the coach has just set."""
        return self.by_hand is not None and slot.spot in self.by_hand.spots

    @cached_property
    def by_number(self) -> dict[int, Week]:
        """The weeks by their number."""
        return {week.number: week for week in self.block.weeks}

    def is_lost(self, day: str) -> bool:
        """True for a day without training."""
        return day in self.asked.lost_days

    def place(self, day: str, week: int) -> Place:
        """Where a day of a week is trained now."""
        return self.asked.places.get(day) or self.context.places[self.sessions[day, week].place]

    def cap(self, day: str, week: int) -> float | None:
        """Minutes there are now; a session that was too long as written may stay so, but grows no more."""
        if day in self.asked.minutes:
            return self.asked.minutes[day]
        session = self.before(day, week)
        return None if session.minutes_cap is None else max(session.minutes_cap, session.minutes)

    def is_pressed(self, day: str) -> bool:
        """True where a day is lost, is trained elsewhere, or has fewer minutes than its sessions take."""
        if self.is_lost(day) or day in self.asked.places:
            return True
        caps = [(self.cap(day, week), one.minutes) for (name, week), one in self.sessions.items() if name == day]
        return any(cap is not None and minutes > cap + 1e-6 for cap, minutes in caps)

    @cached_property
    def days(self) -> tuple[Day, ...]:
        """Days with a session that stays, in the order of the week."""
        there = {day for day, _ in self.sessions}
        return tuple(day for day in DAYS if day in there and not self.is_lost(day))

    @cached_property
    def pillars(self) -> frozenset[str]:
        """Lifts that the brief or a goal of strength names."""
        trainee, known = self.context.trainee, self.context.catalogue
        named = [wish.exercise for wish in self.context.brief.lifts]
        named += [goal.about for goal in trainee.goals if goal.kind == "strength" and goal.about in known]
        return frozenset(known.get(slug).slug for slug in named if slug in known)

    @cached_property
    def demand(self) -> WeekDemand:
        """What a week of this trainee should hold."""
        return week_demand(self.context.trainee, self.context.brief, self.context.trainee.restrictions)


def slots_of(frame: Frame) -> list[Slot]:
    """The entries of the weeks that may change, each once, in the order of the week and the sheet."""
    found: dict[tuple[str, PartName, str, int], dict[int, Entry]] = {}
    order: dict[tuple[str, PartName, str, int], tuple[int, int]] = {}
    for (day, week), session in frame.sessions.items():
        at = 0
        for part in session.parts:
            seen: dict[str, int] = {}
            for entry in part.entries:
                number = seen.get(entry.exercise, 0)
                seen[entry.exercise] = number + 1
                key = (day, part.part, entry.exercise, number)
                found.setdefault(key, {})[week] = entry
                order.setdefault(key, ([str(one) for one in DAYS].index(day), at))
                at += 1
    ranked = sorted(found, key=lambda key: order[key])
    return [Slot(key[0], key[1], key[2], key[3], found[key]) for key in ranked]  # type: ignore[arg-type]


def working_sets(entry: Entry) -> int:
    """Working sets of an entry, ramp sets not counted."""
    return sum(1 for one in entry.sets if one.kind != "ramp")


def with_sets(entry: Entry, count: int) -> Entry:
    """The entry with its first ``count`` working sets; the same object where it has no more."""
    if working_sets(entry) <= count:
        return entry
    kept, left = [], count
    for one in entry.sets:
        if one.kind == "ramp" or left > 0:
            kept.append(one)
            left -= one.kind != "ramp"
    return replace(entry, sets=tuple(kept))


def ways_of(slot: Slot, slots: Sequence[Slot], frame: Frame) -> list[Way]:
    """Everything that can become of an entry, as it is first, out last."""
    if frame.is_kept(slot):
        return kept_ways(slot, frame)
    ways = []
    barred = slot.exercise in frame.asked.barred
    why_not = barred_words(frame) if barred else ""
    if frame.is_lost(slot.day):
        why_not = lost_words(frame, slot.day)
    elif not barred:
        stay, why_not = stay_way(slot, frame)
        if stay is not None:
            ways.append(stay)
            why_not = no_load_words(slot, frame) if why_not and stay.swap is None else why_not
    if frame.asked.sets_only:
        return ways
    may_move = bool(why_not) or (frame.is_pressed(slot.day) and not is_pillar(slot, frame))
    may_move = may_move and not (slot.first.bout and slot.first.superset)  # a movement alone is not the bout
    if not barred and slot.part != "warm-up" and may_move:
        ways += [way for day in frame.days if day != slot.day for way in move_way(slot, day, slots, frame, why_not)]
    is_closed = barred or (not ways or all(way.option.is_change for way in ways))
    if is_closed and not frame.is_lost(slot.day):
        ways += exchange_ways(slot, frame, why_not)
    if slot.part != "warm-up" or is_closed or not is_raise(slot):
        ways.append(Way(Option("out", "", "", True, out_points(slot, frame)), {}, why_not))
    return ways


def kept_ways(slot: Slot, frame: Frame) -> list[Way]:
    """The one way of an entry that stays as it is; none where something closes or changes it."""
    if frame.is_lost(slot.day) or slot.exercise in frame.asked.barred:
        return []
    stay, _ = stay_way(slot, frame)
    return [] if stay is None or stay.option.is_change else [stay]


def no_load_words(slot: Slot, frame: Frame) -> str:
    """Why an entry that could stay with less is exchanged."""
    return f"Its load can't be built in {frame.place(slot.day, next(iter(slot.entries))).name}."


def is_raise(slot: Slot) -> bool:
    """True for the easy start of a warm-up: minutes or metres, no drill."""
    return slot.first.scheme in ("interval", "carry")


def barred_words(frame: Frame) -> str:
    """Why a barred exercise goes."""
    return f"Barred {when_words(frame)}."


def lost_words(frame: Frame, day: str) -> str:
    """Why what stood on a lost day goes."""
    return f"{DAY_NAMES[day]} is lost {when_words(frame)}."


def when_words(frame: Frame) -> str:
    """The weeks that a disturbance lasts: ``in week 3``, ``in weeks 3 and 4``, ``from week 3 on``."""
    weeks = frame.weeks
    if frame.asked.weeks is None:
        return f"from week {weeks[0]} on" if len(weeks) > 1 else f"in week {weeks[0]}"
    listed = " and ".join([", ".join(str(one) for one in weeks[:-1]), str(weeks[-1])]) if len(weeks) > 1 else weeks[0]
    return f"in week{'s' if len(weeks) > 1 else ''} {listed}"


def stay_way(slot: Slot, frame: Frame) -> tuple[Way | None, str]:
    """The entry where it stands, and why it cannot stay as it is; the same to the last plate where nothing forbids."""
    there, swap, why = entries_at(slot, slot.day, frame)
    if there is None:
        return None, why
    lighter = lighter_points(slot, there)
    is_change = swap is not None or any(loads(there[week]) != loads(entry) for week, entry in slot.entries.items())
    option = Option("stay", slot.day, slot.exercise, is_change, lighter, {}, half_sets(slot, slot.exercise, frame))
    return Way(option, there, why, swap), why if is_change else ""


def loads(entry: Entry) -> list[tuple[object, ...]]:
    """What the sets of an entry ask, without how it is put together."""
    return [
        (
            one.kind,
            one.reps,
            one.load_kg,
            one.hold_s,
            one.time_s,
            one.distance_m,
            *(part.load_kg for part in one.inside),
        )
        for one in entry.sets
    ]


def entries_at(slot: Slot, day: str, frame: Frame) -> tuple[dict[int, Entry] | None, Swap | None, str]:
    """The entries of a slot on a day: the same where the gates and the place let them, cropped or lighter, or None."""
    context, exercise = frame.context, frame.context.catalogue.get(slot.exercise)
    made: dict[int, Entry] = {}
    swap, why = None, ""
    for week, entry in slot.entries.items():
        place = frame.place(day, week)
        if place.id == frame.sessions[slot.day, week].place and day == slot.day:
            made[week] = entry
            continue
        rules, tokens = context.trainee.restrictions, context.tokens(place.id)
        verdict = judge(exercise, rules, tokens, context.trainee, entry.dials, asked=True)  # it is in the block
        if not verdict.allowed:
            return None, None, " ".join(verdict.reasons)
        if is_new_crop(verdict, entry):
            why = f"Kept, {range_in_words(verdict.dials)}."
            swap = Swap(slot.exercise, {**entry.dials, **verdict.dials}, None, why, verdict.eased)
            cropped = exchanged(slot, swap, week, place, frame)
            if cropped is None:
                return None, None, why
            made[week] = cropped
            continue
        here = built_at(entry, slot.part, place, context)
        if here is None:
            return None, None, f"No load for {exercise.name} can be built in {place.name}."
        if loads(here) != loads(entry):
            why = f"The nearest load that can be built in {place.name}, none above the old one."
        made[week] = here
    return made, swap, why


def built_at(entry: Entry, part: PartName, place: Place, context: Context) -> Entry | None:
    """The entry with its loads put together in a place: the same loads where they can be, else none above them."""
    exercise = context.catalogue.get(entry.exercise)
    wanted = {one.load_kg for one in entry.sets} | {part.load_kg for one in entry.sets for part in one.inside}
    wanted -= {None}
    if not wanted:
        return entry
    top = max((one for one in entry.sets if one.load_kg), key=lambda one: one.load_kg or 0.0, default=entry.sets[0])
    here = next((one.pieces for one in loads_in(place, exercise, top.pieces) if one.load_kg == top.load_kg), "")
    options = {one.load_kg: one for one in loads_in(place, exercise, here)}
    if wanted <= set(options):
        sets = tuple(put_together(one, options) for one in entry.sets)
        return entry if sets == entry.sets else replace(entry, sets=sets)
    scheme = scheme_of(entry)
    if scheme is None or not options:
        return None
    most = max(one.load_kg or 0.0 for one in entry.sets if one.kind != "ramp")
    with_ramp = any(one.kind == "ramp" for one in entry.sets)
    sets = planned_sets(exercise, scheme, place, context, part, with_ramp, most)
    if any(one.load_kg is None or one.load_kg > most + 1e-6 for one in sets):
        return None
    return replace(entry, sets=sets)


def put_together(one: PlannedSet, options: Mapping[float, Buildable]) -> PlannedSet:
    """A set whose loads are put together from what a place has, all of which it has."""
    inside = tuple(
        part if part.load_kg is None else replace(part, pieces=options[part.load_kg].pieces) for part in one.inside
    )
    pieces = one.pieces if one.load_kg is None else options[one.load_kg].pieces
    return replace(one, pieces=pieces, inside=inside)


def move_way(slot: Slot, day: Day, slots: Sequence[Slot], frame: Frame, why: str) -> Iterable[Way]:
    """The entry on another day of the same weeks, or nothing where that day can't take it."""
    if any((day, week) not in frame.sessions for week in slot.entries):
        return
    there, swap, _ = entries_at(slot, day, frame)
    if there is None or swap is not None:
        return
    is_beside = works_same(slot, day, slots, frame)
    each = MOVE_POINTS + (NEIGHBOUR_POINTS if is_beside else 0)
    note = " It is a day beside one for the same muscles: watch how it goes." if is_beside else ""
    points = len(slot.entries) * each * dearness(slot, frame) + lighter_points(slot, there)
    entries = {week: replace(entry, superset=None) for week, entry in there.items()}
    option = Option("move", day, slot.exercise, True, points, {}, half_sets(slot, slot.exercise, frame))
    yield Way(option, entries, why, note=note)


def comes_first(slot: Slot, day: str, slots: Sequence[Slot], frame: Frame) -> bool:
    """True for a guest that is a lift of the brief, on a day that has none of its own: it is done first."""
    if slot.part != "main" or slot.exercise not in frame.pillars:
        return False
    return not any(one.day == day and one.part == "main" and one.exercise in frame.pillars for one in slots)


def works_same(slot: Slot, day: Day, slots: Sequence[Slot], frame: Frame) -> bool:
    """True where the day before or after leads the same muscles."""
    known = frame.context.catalogue
    own = {muscle for muscle, credit in set_credits(known.get(slot.exercise)).items() if credit >= 1}
    near = {DAYS[(DAYS.index(day) + step) % 7] for step in (-1, 1)} & set(frame.days)
    return slot.part in STRENGTH and any(
        own & {muscle for muscle, credit in set_credits(known.get(other.exercise)).items() if credit >= 1}
        for other in slots
        if other.day in near and other.part in STRENGTH
    )


def exchange_ways(slot: Slot, frame: Frame, why: str) -> list[Way]:
    """The nearest open stand-ins, dosed; none asks more of a joint that a restriction names."""
    exercise = frame.context.catalogue.get(slot.exercise)
    place = frame.place(slot.day, next(iter(slot.entries)))
    rules = frame.context.trainee.restrictions
    swaps: list[tuple[float, Swap]] = []
    aside = along_the_way(exercise, slot.first, place, frame.context, set(frame.asked.barred), ANY_JOINT)
    if aside is not None and asks_no_more(aside.exercise, aside.dials, exercise, rules, frame.context):
        words = aside.why.replace("until the restriction is lifted", "for now")
        swaps.append((0.9, replace(aside, why=f"{why} {words}")))
    if slot.part == "warm-up" and is_raise(slot):
        raising = pick_raise(frame.context.trainee, rules, frame.context.tokens(place.id), frame.context.catalogue)
        if raising is not None and raising.slug not in {slot.exercise, *frame.asked.barred}:
            words = f"{why} The gentlest way to get warm there is."
            swaps.append((0.9, Swap(raising.slug, dict(raising.dials), None, words)))
    found = open_stand_ins(exercise, slot.part, place, frame.context, {*frame.asked.barred}, None, count=SEARCHED)
    for one in sorted(found, key=lambda one: (-one.score, one.exercise)):
        if not asks_no_more(one.exercise, one.dials, exercise, rules, frame.context):
            continue
        harder = frame.context.catalogue.get(one.exercise).skill > max(exercise.skill, MOST_NEW_SKILL)
        if harder or one.exercise in frame.context.trainee.dislikes:
            continue
        words = f"{why} Kept: {one.kept}." + ("" if one.lost == "little" else f" Lost: {one.lost}.")
        swaps.append((one.score, Swap(one.exercise, one.dials, None, words, one.eased)))
    ways = []
    dear = DEAR if is_pillar(slot, frame) else 1
    for score, swap in swaps[:STAND_INS]:
        assert swap.exercise is not None
        entries = {week: exchanged(slot, swap, week, frame.place(slot.day, week), frame) for week in slot.entries}
        if any(entry is None for entry in entries.values()):
            continue
        points = dear * len(slot.entries) * (OTHER_POINTS + round(EXCHANGE_POINTS * (1.0 - score)))
        half = half_sets(slot, swap.exercise, frame)
        option = Option("exchange", slot.day, swap.exercise, True, points, {}, half)
        ways.append(Way(option, {week: entry for week, entry in entries.items() if entry is not None}, swap.why, swap))
    return ways


ANY_JOINT = Restriction("none", "")  # for a way along a progression that no restriction asked for


def asks_no_more(
    slug: str | None, dials: Mapping[str, object], old: Exercise, rules: Sequence[Restriction], context: Context
) -> bool:
    """True when a stand-in asks no more of any restricted joint than what it stands in for."""
    if slug is None:
        return False
    new = joint_stress(context.catalogue.get(slug), dict(dials))
    before = joint_stress(old)
    return all(new.get(rule.joint, 0) <= before.get(rule.joint, 0) for rule in rules if "side" not in dials)


def exchanged(slot: Slot, swap: Swap, week: int, place: Place, frame: Frame, bare: bool = True) -> Entry | None:
    """The stand-in of a week, dosed in its place; ``bare`` without alternatives and filler, which take no time."""
    entry = slot.entries[week]
    made = swapped_template(entry, slot.part, swap, frame.by_number[week], frame.context)
    if made is None:
        return None
    with_ramp = any(one.kind == "ramp" for one in entry.sets) and swap.eased != "light"
    return compose_entry(made, 0, place, frame.context, with_ramp, bare=bare or slot.part == "warm-up")


def is_pillar(slot: Slot, frame: Frame) -> bool:
    """True for lifts that the block is built on: named by the brief or a goal, or the main lift of a day."""
    return slot.part == "main" or (slot.exercise in frame.pillars and slot.part in STRENGTH)


def dearness(slot: Slot, frame: Frame) -> int:
    """How many times the usual points an entry is worth."""
    return DEAR if is_pillar(slot, frame) or is_wanted(slot, frame) else OWN_LINE if slot.first.written else 1


def is_wanted(slot: Slot, frame: Frame) -> bool:
    """True for the holds, carries and short-range work that a restriction wants kept."""
    exercise = frame.context.catalogue.get(slot.exercise)
    kind = {"isometric": "holds", "carry": "carries"}.get(exercise.mode, "short-range")
    if kind == "short-range" and "range_deg" not in slot.first.dials:
        return False
    rules = frame.context.trainee.restrictions
    return slot.part in STRENGTH and any(kind in rule.wanted and uses_of(exercise, rule) for rule in rules)


def out_points(slot: Slot, frame: Frame) -> int:
    """What it costs to leave an entry out of all its weeks."""
    return len(slot.entries) * dearness(slot, frame) * OUT_POINTS.get(slot.part, OUT_OTHERS)


def lighter_points(slot: Slot, there: Mapping[int, Entry]) -> int:
    """What loads cost that another place can't build."""

    def heaviest(entry: Entry) -> float:
        return max((one.load_kg or 0.0 for one in entry.sets if one.load_means != "assistance"), default=0.0)

    lost = 0.0
    for week, entry in slot.entries.items():
        if heaviest(entry) > 0:
            lost += max(0.0, 1.0 - heaviest(there[week]) / heaviest(entry))
    return round(LIGHTER_POINTS * lost)


def half_sets(slot: Slot, slug: str, frame: Frame) -> dict[str, int]:
    """Half sets that a working set gives to each row of the demand."""
    if slot.part not in STRENGTH:
        return {}
    credits = set_credits(frame.context.catalogue.get(slug))
    found = {}
    for need in frame.demand.muscles:
        half = round(2 * max((credits.get(muscle, 0.0) for muscle in need.muscles), default=0.0))
        if half:
            found[need.roll_up] = half
    return found
