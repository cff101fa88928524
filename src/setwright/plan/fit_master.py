"""One master block for many trainees: for each the nearest version that their limits allow.

Target is the master: its sessions, exercises, order, sets and effort. Only what a person's restrictions, place,
clearance, training days or minutes forbid is another, each with its reason; loads are each person's own.
Reads as its method: screen; place the days; each entry kept, cropped, exchanged or left out; gentle limits; dose;
least loss where minutes are short; the rules of training, which warn.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeVar, cast

from setwright.catalogue.equipment import in_words as equipment_in_words
from setwright.catalogue.exercise import Exercise, PartName
from setwright.catalogue.store import Catalogue
from setwright.faults import NoPlan
from setwright.people.place import Place
from setwright.people.trainee import Restriction, Screening, Trainee, TrainingDay
from setwright.plan.alternatives import FLOOR, Candidate, alternatives, alternatives_for_entry, plain_score
from setwright.plan.arrange import PART_ORDER
from setwright.plan.as_template import scheme_as
from setwright.plan.block import Alternative, Block, Change, Entry, Inputs, Part, Proof, Session, Unmet, Week
from setwright.plan.bout_amounts import amount_as, as_stand_in, part_of_stand_in, without_old_target
from setwright.plan.bout_scaling import own_step as step_for_rounds
from setwright.plan.brief import Brief
from setwright.plan.cautions import block_cautions
from setwright.plan.clearance import for_whole_block, hardest_rpe, require_clearance
from setwright.plan.compose import (
    Context,
    as_week_kind,
    compose_session,
    count_credits,
    found_once,
)
from setwright.plan.design import GENTLE_REPS, gentle_limits, made_gentle
from setwright.plan.easing import eased_scheme, first_time
from setwright.plan.fit_conflict import refusal_of
from setwright.plan.fit_days import DayPlan, place_days
from setwright.plan.fit_minutes import Cut, Key, Row, least_loss, with_sets, worth_of
from setwright.plan.fixed_parts import skill_part, wanted_scheme
from setwright.plan.gates import SAID, Verdict, judge
from setwright.plan.identity import with_id
from setwright.plan.kept_master import asked_name, for_somebody, is_open_somewhere, own_cue_of, own_step_of
from setwright.plan.likeness import Kind
from setwright.plan.master import OWN_LOADS, Asked, Master, MasterSession
from setwright.plan.restrict import (
    Swap,
    along_the_way,
    decide,
    free_lonely_supersets,
    in_words,
    is_new_crop,
    nearest_open,
)
from setwright.plan.rules import check_rules
from setwright.plan.session_time import session_minutes_of
from setwright.plan.template import Scheme, TemplateEntry, TemplateSession
from setwright.plan.weeks import DELOAD_SHARE, WeekShape
from setwright.strength.estimates import Estimates

SHORT_DAY_MIN, SHORT_WARM_UP_S, SHORT_RAISE_S = 40.0, 5 * 60.0, 180.0
STRENGTH_PARTS: tuple[PartName, ...] = ("main", "skill", "assistance", "finisher")
MOST_REMEMBERED = 50_000
LIKEST = 16  # exercises looked at for one that is closed, as in ``restrict.open_stand_ins``
STEP_ASKED = "step asked for"  # what a kept session leaves to each person: no difference from it
ANY_KIND: frozenset[Kind] = frozenset({"still", "carry"})
T = TypeVar("T")


@dataclass(frozen=True)
class Note:
    """One difference of an entry: its kind, short words for a table, the whole reason.

    weeks : the weeks it is about, 0 the first, or None for all
    """

    kind: str  # range, other exercise, left out, own step, step asked for, easier, wanted work, fewer sets
    short: str
    why: str
    weeks: frozenset[int] | None = None


@dataclass(frozen=True)
class Cell:
    """What became of one entry of the master for one person; no notes: the same.

    exercise : what is done instead or still, or None where it is left out
    entries : the entry of each week as dosed, or None
    """

    exercise: str | None
    notes: tuple[Note, ...]
    entries: tuple[Entry | None, ...]


@dataclass(frozen=True)
class DayFit:
    """Where one session of the master fell: weekday, place and minutes there; None where the day is lost, and why."""

    day: TrainingDay | None
    minutes: float
    why: str


@dataclass(frozen=True)
class Fitted:
    """A person's version of the master: block, days by session, cells by (session, slot)."""

    block: Block
    days: tuple[DayFit, ...]
    cells: tuple[tuple[Cell, ...], ...]


@dataclass
class Memory:
    """What many people share: stand-ins by exercise, equipment, restrictions and what else they hang on.

    They are asked for with a person of which all is left out that they do not hang on, so that what is remembered is
    the same whoever came first.
    """

    _found: dict[object, object] = field(default_factory=dict)

    def remember(self, key: object, make: Callable[[], T]) -> T:
        """The value for a key, made once."""
        if key not in self._found:
            if len(self._found) >= MOST_REMEMBERED:
                self._found.clear()
            self._found[key] = make()
        return cast(T, self._found[key])


def anybody_like(trainee: Trainee) -> Trainee:
    """The person with all left out that stand-ins do not hang on: name, days, goals, sets done, steps."""
    years = 0.0 if trainee.training_years < 0.5 else 1.0 if trainee.training_years < 2.0 else 3.0
    return replace(
        trainee,
        id="",
        name="",
        birth_year=0,
        body_mass_kg=0.0,
        stature_m=trainee.stature_m if trainee.range_measures else 0.0,
        sex=None,
        training_years=years,
        days=(),
        screening=Screening(True, pregnant=trainee.screening.pregnant),
        weeks_off=0.0,
        goals=(),
        baselines=(),
        steps=(),
        likes=(),
        dislikes=(),
        lengths_m={},
        invented=False,
    )


@dataclass(frozen=True)
class _Person:
    """One person as all steps of fitting need them."""

    trainee: Trainee
    context: Context
    master: Master
    limits: tuple[tuple[float, float], str, str] | None
    memory: Memory
    like: Trainee
    like_key: str
    still_wanted: dict[str, dict[str, int]]
    cues: Mapping[str, str] = field(default_factory=dict)

    @property
    def catalogue(self) -> Catalogue:
        """The catalogue."""
        return self.context.catalogue

    def rpe_limit(self, week: int) -> float | None:
        """The most RPE of a week, 0 the first, or None where nothing limits it."""
        if self.limits is None:
            return None
        low, high = self.limits[0]
        step = week / max(1, len(self.master.week_rpe) - 1)
        return round(2 * (low + step * (high - low))) / 2

    def week_rpe(self, week: int) -> float:
        """Effort of the main lifts of a week."""
        limit = self.rpe_limit(week)
        rpe = self.master.week_rpe[week]
        return rpe if limit is None else min(rpe, limit)


@dataclass(frozen=True)
class _Slot:
    """A slot as it becomes for one person: its entry or None where it is left out, what differs."""

    key: Key
    number: int | None  # of the slot in the master's session, None for a warm-up that is made for the person
    entry: TemplateEntry | None
    notes: tuple[Note, ...]
    is_wanted: bool = False
    lacks_cue: bool = False


def fit_master(
    master: Master,
    trainee: Trainee,
    places: Sequence[Place],
    catalogue: Catalogue,
    estimates: Estimates,
    brief: Brief | None = None,
    memory: Memory | None = None,
    cues: Mapping[str, str] | None = None,
) -> Fitted:
    """The version of a master block for one trainee that changes least of what the coach wrote.

    brief : the master's, with another start; memory : shared by many calls for speed, without any effect on results
    cues : their own, by exercise, for a kept session that asks for them
    Raises NoPlan where clearance is missing, where there is no training day, or no day holds a single entry.
    """
    brief = brief or master.brief
    master = for_somebody(master, trainee.name)
    count = len(master.week_kinds)
    require_clearance(trainee, brief, count)
    as_given, trainee = trainee, for_whole_block(trainee, brief.start, count)
    limits = gentle_limits(trainee, brief.start.year)
    brief, _ = made_gentle(brief, trainee)
    by_id = {place.id: place for place in places}
    like = anybody_like(trainee)
    person = _Person(
        trainee,
        Context(trainee, by_id, brief, catalogue, estimates, brief.start),
        master,
        limits,
        memory or Memory(),
        like,
        repr(like),
        {rule.id: dict.fromkeys(rule.wanted, 2) for rule in trainee.restrictions},
        cues or {},
    )
    plan = days_of(master, trainee, person)
    days: list[DayFit] = [DayFit(None, 0.0, lost_words(trainee, master)) for _ in master.sessions]
    cells: list[tuple[Cell, ...]] = [lost_cells(one, master) for one in master.sessions]
    weeks: list[list[Session]] = [[] for _ in master.week_kinds]
    changes: list[Change] = []
    unmet: list[Unmet] = []
    is_best = True
    for index, day in plan.placed:
        made = fit_session(master.sessions[index], day, person)
        if made is None:
            days[index] = DayFit(None, 0.0, why_nothing(master.sessions[index], day, person))
            continue
        is_best = is_best and made.is_best
        days[index] = DayFit(day, made.minutes, day_words(master.sessions[index], day, trainee))
        cells[index] = made.cells
        changes += made.changes
        unmet += made.unmet
        for week, session in enumerate(made.sessions):
            if session is not None:
                weeks[week].append(session)
    if not all(weeks):
        raise refusal(master, person, days, is_empty=not any(weeks))
    changes = [*day_changes(master, days), *changes]
    unmet = [*day_losses(master, days), *unmet]
    if limits is not None and any(note.kind == "easier" for row in cells for cell in row for note in cell.notes):
        unmet.append(Unmet("the effort and repetitions of the master", limits[1], limits[2]))
    made_weeks = found_once(
        [
            Week(number + 1, as_week_kind(kind), person.week_rpe(number), tuple(sorted(weeks[number], key=day_order)))
            for number, kind in enumerate(master.week_kinds)
        ]
    )
    screen_cautions = require_clearance(as_given, brief, count, hardest_rpe(made_weeks))  # the master may ask more
    counted = [
        (day, cell)
        for session, day, row in zip(master.sessions, days, cells, strict=True)
        for slot, cell in zip(session.slots, row, strict=True)
        if slot.part != "warm-up"
    ]
    differing = sum(1 for day, cell in counted if differences(cell.notes) or day.day is None)
    block = Block(
        id="",
        title=master.title,
        trainee=trainee.id,
        place=made_weeks[0].sessions[0].place,
        weeks=made_weeks,
        set_credits=count_credits(made_weeks, catalogue),
        unmet=(),
        proof=Proof(
            "optimal" if is_best else "feasible",
            float(differing),
            float(differing) if is_best else 0.0,
            0.0 if is_best else float(differing),
            f"{differing} of {len(counted)} entries of the master differ or are lost with their day, "
            "each for the reason beside it; nothing else does.",
        ),
        inputs=Inputs(as_given, tuple(places), brief, own=dict(catalogue.own)),
        parent=master.id,
        door=master.door,
        cautions=tuple(dict.fromkeys((*screen_cautions, *block_cautions(trainee)))),
        changes=tuple(changes),
    )
    unmet += [Unmet("kilograms" if note == OWN_LOADS else "read with a guess", note) for note in master.notes]
    block = replace(block, unmet=tuple(dict.fromkeys((*unmet, *check_rules(block, catalogue)))))
    return Fitted(with_id(block), tuple(days), tuple(cells))


def differences(notes: Sequence[Note]) -> tuple[Note, ...]:
    """The notes that say where an entry is another than the master asks; a step that it asks for is none."""
    return tuple(one for one in notes if one.kind != STEP_ASKED)


def refusal(master: Master, person: _Person, days: Sequence[DayFit], is_empty: bool) -> NoPlan:
    """Why there is no version for a person: the smallest conflict and the ways out, or what happened to the days.

    is_empty : whether no week has a session
    """
    trainee, places = person.trainee, person.context.places

    def holds(other: Trainee, there: Mapping[str, Place]) -> bool:
        return has_version(master, as_another(person, other, there))

    found = refusal_of(master, trainee, places, person.catalogue, holds) if trainee.days else None
    if found is not None:
        return found
    if is_empty:
        words = f"No session of {master.title} fits into the days of {trainee.name}: {days[0].why}."
        return NoPlan((words,), "" if trainee.days else "a training day in the trainee file")
    return NoPlan((f"A week of {master.title} is left without a session for {trainee.name}.",))


def as_another(person: _Person, trainee: Trainee, places: Mapping[str, Place]) -> _Person:
    """The person with other limits or places, for a try: only what takes minutes."""
    context = person.context
    like = anybody_like(trainee)
    return replace(
        person,
        trainee=trainee,
        context=Context(trainee, places, context.brief, context.catalogue, context.estimates, context.on, True),
        like=like,
        like_key=repr(like),
        still_wanted={rule.id: dict.fromkeys(rule.wanted, 2) for rule in trainee.restrictions},
    )


def has_version(master: Master, person: _Person) -> bool:
    """Whether every week of the master holds a session for this person."""
    plan = days_of(master, person.trainee, person)
    made = [fit_session(master.sessions[index], day, person) for index, day in plan.placed]
    return all(
        any(one is not None and one.sessions[week] is not None for one in made)
        for week in range(len(master.week_kinds))
    )


def why_nothing(session: MasterSession, day: TrainingDay, person: _Person) -> str:
    """Why no exercise of a session is done on a day: all of it is closed there, or the minutes hold none."""
    place = person.context.places[day.place]
    slots = [
        slot for slot in fit_slots(session, day, place, person) if session.slots[slot.number or 0].part != "warm-up"
    ]
    if any(slot.entry is not None for slot in slots):
        return f"{day.minutes:g} min hold no single exercise of it"
    causes = dict.fromkeys(note.short.removeprefix("left out: ") for slot in slots for note in slot.notes)
    return f"nothing of it or near it is open at {place_word(place.id)}: {'; '.join(causes)}"


def day_order(session: Session) -> int:
    """The place of a session in the week."""
    from setwright.people.trainee import DAYS

    return DAYS.index(session.day)


# Days


def days_of(master: Master, trainee: Trainee, person: _Person) -> DayPlan:
    """The training days that the sessions of the master fall on."""

    def closed(index: int, place: str) -> int:
        return person.context.remember(
            ("closed", index, place), lambda: closed_at(master.sessions[index], place, person)
        )

    return place_days(
        [one.day for one in master.sessions],
        trainee.days,
        [session_worth(one) for one in master.sessions],
        [one.minutes for one in master.sessions],
        closed,
    )


def session_worth(session: MasterSession) -> float:
    """What a session is worth, all weeks together, as ``fit_minutes`` counts it."""
    return float(
        sum(worth_of(slot.part, scheme.sets) for slot in session.slots for scheme in slot.schemes if scheme is not None)
    )


def closed_at(session: MasterSession, place: str, person: _Person) -> int:
    """Entries of a session that are not open at a place, warm-up left aside."""
    tokens = person.context.tokens(place)
    return sum(
        not is_open(slot, session.asked(number), tokens, person)
        for number, slot in enumerate(session.slots)
        if slot.part != "warm-up"
    )


def is_open(slot: TemplateEntry, ask: Asked, tokens: frozenset[str], person: _Person) -> bool:
    """True where an entry, or the step that it asks for, is open with some equipment."""
    trainee = person.trainee
    if ask.step:
        return is_open_somewhere(ask, trainee, tokens, person.catalogue)
    return judge(person.catalogue.get(slot.exercise), trainee.restrictions, tokens, trainee, slot.dials).allowed


def place_word(place: str) -> str:
    """A place by its id as one says it: ``road`` is Road."""
    return place.replace("_", " ").replace("-", " ").capitalize()


def lost_words(trainee: Trainee, master: Master) -> str:
    """Why a day is lost where there are too few."""
    return f"{len(trainee.days)} training days for {len(master.sessions)} sessions"


def day_words(session: MasterSession, day: TrainingDay, trainee: Trainee) -> str:
    """Why a session is on another weekday; empty where it is on its own, or has none of its own."""
    if session.day == day.day or session.label:
        return ""
    own = next((one for one in trainee.days if one.day == session.day), None)
    name = session.day.capitalize()
    return f"no training on {name}" if own is None else f"{name} is {own.minutes:g} min at {place_word(own.place)}"


def session_word(session: MasterSession) -> str:
    """A session of the master by its weekday, or by its number where it has none: ``Mon``, ``Day 1``."""
    return session.label or session.day.capitalize()


def day_changes(master: Master, days: Sequence[DayFit]) -> list[Change]:
    """A line for each session that moved or was lost."""
    found = []
    for session, one in zip(master.sessions, days, strict=True):
        was = session_word(session) + (f", {session.title}" if session.title else "")
        if one.day is None:
            found.append(Change(0, session.day, "the day", was, "lost", f"{one.why}."))
        elif one.why:
            to, why = one.day.day.capitalize(), f"{one.why[:1].upper()}{one.why[1:]}."
            found.append(Change(0, one.day.day, "the day", was, to, why))
    return found


def day_losses(master: Master, days: Sequence[DayFit]) -> list[Unmet]:
    """Lost days as wishes that could not be met."""
    return [
        Unmet(f"the {session_word(session)} session", f"{one.why}.")
        for session, one in zip(master.sessions, days, strict=True)
        if one.day is None
    ]


def lost_cells(session: MasterSession, master: Master) -> tuple[Cell, ...]:
    """The cells of a session that is lost: all left out with the day, which says why."""
    return tuple(Cell(None, (), (None,) * len(master.week_kinds)) for _ in session.slots)


# One session


@dataclass(frozen=True)
class _SessionFit:
    """One session of the master for one person, in every week."""

    sessions: tuple[Session | None, ...]
    cells: tuple[Cell, ...]
    changes: tuple[Change, ...]
    unmet: tuple[Unmet, ...]
    minutes: float
    is_best: bool


def fit_session(session: MasterSession, day: TrainingDay, person: _Person) -> _SessionFit | None:
    """A session on a training day: entries, doses, minutes; None where not one entry fits."""
    place = person.context.places[day.place]
    slots = fit_slots(session, day, place, person)
    rows = dosed_rows(session, slots, day, place, person)
    rows = short_warm_ups(rows, day.minutes, place, person)
    cut = least_loss(rows, day.minutes, person.catalogue)
    if cut is None:
        return None
    slots, rows = after_cut(slots, rows, cut, day, person)
    sessions, parted = composed(session, rows, day, place, person)
    if not any(one is not None for one in sessions):
        return None
    title = retitled(session, slots, person)
    cells, changes, unmet = told(session, slots, rows, day, person)
    return _SessionFit(
        tuple(None if one is None else replace(one, title=title) for one in sessions),
        cells,
        (*changes, *parted),
        unmet,
        max(one.minutes for one in sessions if one is not None),
        cut.is_best,
    )


def fit_slots(session: MasterSession, day: TrainingDay, place: Place, person: _Person) -> list[_Slot]:
    """Every slot as it becomes at a place: kept, cropped, exchanged, or left out."""
    taken = {slot.exercise for slot in session.slots}
    known: dict[tuple[str, PartName, str], Swap] = {}
    found = []
    for number, written in enumerate(session.slots):
        made = fit_slot(written, number, session.asked(number), place, taken, known, person)
        found.append(with_cue(made, written, session.asked(number), person))
    return found


def fit_slot(
    slot: TemplateEntry,
    number: int,
    ask: Asked,
    place: Place,
    taken: set[str],
    known: dict[tuple[str, PartName, str], Swap],
    person: _Person,
) -> _Slot:
    """One slot as it becomes at a place. ``taken`` and ``known`` grow: what stands there, what became of exercises."""
    key: Key = ("slot", number)
    notes: tuple[Note, ...] = ()
    if ask.step:
        own = own_step_of(slot, ask, person.trainee, place, person.catalogue)
        slot, notes = own.entry, (Note(STEP_ASKED if own.is_known else "own step", own.short, own.why),)
        taken.add(slot.exercise)
    elif slot.part == "skill" or slot.bouts:
        step = own_step(slot, place, taken, person)
        if step is not None:
            return made_gentler(replace(step, key=key, number=number), person)
    exercise = person.catalogue.get(slot.exercise)
    verdict = judge(exercise, person.trainee.restrictions, person.context.tokens(place.id), person.trainee, slot.dials)
    if verdict.allowed and not verdict.eased and all(slot.dials.get(k) == v for k, v in verdict.dials.items()):
        kept = replace(slot, cautions=tuple(dict.fromkeys((*slot.cautions, *verdict.cautions))))
        return made_gentler(_Slot(key, number, kept, notes), person)
    name = (slot.exercise, slot.part, repr(sorted(slot.dials.items())))
    if name not in known:
        likest_of(exercise, place, person)
        known[name] = swap_for(exercise, slot, verdict, place, taken, person)
        if known[name].exercise is not None:
            taken.add(known[name].exercise or "")
    made = swapped(slot, key, number, known[name], verdict, place, person)
    is_still_there = made.entry is not None and made.entry.exercise == slot.exercise
    return made_gentler(replace(made, notes=(*notes, *made.notes)) if is_still_there else made, person)


def with_cue(slot: _Slot, written: TemplateEntry, ask: Asked, person: _Person) -> _Slot:
    """A slot with the cue that a kept session asks for: the person's own, else the usual words for what was written."""
    if ask.cue is None or slot.entry is None:
        return slot
    cue = own_cue_of(written, ask, slot.entry.exercise, person.cues, person.catalogue)
    if not cue:
        return replace(slot, lacks_cue=slot.entry.exercise == written.exercise or bool(ask.step))
    return replace(slot, entry=replace(slot.entry, why=f"{slot.entry.why} {cue}".strip()))


def tokens_that_matter(exercise: Exercise, place: Place, person: _Person) -> frozenset[str]:
    """The equipment of a place that the stand-ins of an exercise hang on: its own, and that of all that is like it.

    So people of unlike rooms share what is remembered. Likeness only falls with missing equipment and without wanted
    holds, so nothing that could stand in is passed over. All of it where a measured range sets heels and boxes.
    """
    tokens = person.context.tokens(place.id)
    if person.trainee.range_measures:
        return tokens
    known = person.catalogue

    def near() -> frozenset[str]:
        like = [
            other
            for other in known.values()
            if other.slug == exercise.slug or plain_score(exercise, other, known, None, ANY_KIND) >= FLOOR
        ]
        return frozenset(token for other in like for option in other.equipment for token in option)

    return tokens & person.memory.remember(("tokens", exercise.slug), near)


def likest_of(exercise: Exercise, place: Place, person: _Person) -> None:
    """The exercises most like one that is closed, taken from what is shared, for ``restrict.open_stand_ins``."""
    tokens = tokens_that_matter(exercise, place, person)

    def found() -> list[Candidate]:
        return person.memory.remember(
            ("likest", exercise.slug, tokens, person.like_key),
            lambda: alternatives(
                exercise.slug, person.catalogue, tokens, person.trainee.restrictions, person.like, n=LIKEST
            ),
        )

    person.context.remember(("likest", exercise.slug, place.id, LIKEST), found)


def swap_for(
    exercise: Exercise, slot: TemplateEntry, verdict: Verdict, place: Place, taken: set[str], person: _Person
) -> Swap:
    """What becomes of an entry that is not open as it is."""
    context = person.context
    stand_in = Entry(slot.exercise, (), slot.why, dials=dict(slot.dials), progression=slot.progression, step=slot.step)
    rule = limiting_rule(exercise, slot, verdict, person)
    part = part_of_stand_in(exercise, slot.part, bool(slot.bouts))
    if verdict.allowed and rule is None:
        return Swap(exercise.slug, {**slot.dials, **verdict.dials}, None, " ".join(verdict.cautions), verdict.eased)
    if rule is not None:
        wanted = cast("dict[object, int]", person.still_wanted.get(rule.id, {}))
        return decide(exercise, stand_in, part, verdict, rule, place, context, taken, wanted)  # type: ignore[arg-type]
    reason = " ".join(verdict.reasons)
    aside = along_the_way(exercise, stand_in, place, context, taken, Restriction("equipment", ""))
    if aside is not None and aside.step is not None:
        return replace(aside, why=f"{reason} {aside.why.split(':')[0]}: step {aside.step[1]}.")
    nearest = nearest_open(exercise, part, place, context, taken, None)
    if nearest is None:
        return Swap(None, {}, None, f"{reason} Nothing near it is open here.")
    slug, dials, kept, lost, eased = nearest
    words = f"Kept: {kept}." + ("" if lost == "little" else f" Lost: {lost}.")
    return Swap(slug, dials, None, f"{reason} {words}", eased)


def limiting_rule(exercise: Exercise, slot: TemplateEntry, verdict: Verdict, person: _Person) -> Restriction | None:
    """The first restriction that closes an entry, or that sets its dials or makes it easy; None where none does."""
    for rule in person.trainee.restrictions:
        alone = judge(exercise, (rule,), frozenset(), dials=slot.dials, ignore_equipment=True)
        if not alone.allowed:
            return rule
        if verdict.allowed and (alone.eased or any(slot.dials.get(k) != v for k, v in alone.dials.items())):
            return rule
    return None


def swapped(
    slot: TemplateEntry, key: Key, number: int, swap: Swap, verdict: Verdict, place: Place, person: _Person
) -> _Slot:
    """A slot after its swap, with schemes that its exercise can carry in every week."""
    cause = cause_words(person.catalogue.get(slot.exercise), slot, verdict, place, person)
    if swap.exercise is None:
        return _Slot(key, number, None, (Note("left out", f"left out: {cause}", swap.why),))
    other = person.catalogue.get(swap.exercise)
    schemes = tuple(
        None if scheme is None else swapped_scheme(scheme, slot, other, swap, week, person)
        for week, scheme in enumerate(slot.schemes)
    )
    kind, short = said(slot, other, swap, cause, schemes)
    entry = replace(
        slot,
        exercise=other.slug,
        schemes=schemes,
        why=swap.why if other.slug != slot.exercise else f"{slot.why} {swap.why}".strip(),
        superset=None if swap.wanted is not None else slot.superset,
        dials=dict(swap.dials),
        progression=swap.step[0] if swap.step else slot.progression if other.slug == slot.exercise else None,
        step=swap.step[1] if swap.step else slot.step if other.slug == slot.exercise else None,
        cautions=verdict.cautions if other.slug == slot.exercise else (),
        bouts=slot.bouts if other.slug == slot.exercise else without_old_target(slot.bouts),
    )
    return _Slot(key, number, entry, (Note(kind, short, swap.why),), is_wanted=swap.wanted is not None)


def said(
    slot: TemplateEntry, other: Exercise, swap: Swap, cause: str, schemes: Sequence[Scheme | None]
) -> tuple[str, str]:
    """The kind of a swap, and its short words."""
    if swap.wanted is not None and other.slug != slot.exercise:
        return "wanted work", f"{other.name} instead: {cause}"
    if other.slug != slot.exercise:
        easy = ", easy" if swap.eased else ""
        return "other exercise", f"{other.name} instead{easy}: {cause}"
    limits = swap.dials.get("range_deg")
    if isinstance(limits, (list, tuple)) and slot.dials.get("range_deg") != limits:
        motion = str(swap.dials.get("range_of", "range")).replace("-", " ")
        return "range", f"{motion} {limits[0]:g} to {limits[1]:g} degrees: {cause}"
    if swap.dials.get("side") != slot.dials.get("side"):
        return "range", f"{swap.dials['side']} side only: {cause}"
    if schemes != slot.schemes:
        return "easier", f"easy: {cause}"
    return "range", f"with care: {cause}"


def swapped_scheme(
    scheme: Scheme, slot: TemplateEntry, other: Exercise, swap: Swap, week: int, person: _Person
) -> Scheme:
    """The scheme of one week for what stands there now; the same sets and effort as far as it can carry them."""
    if swap.wanted is not None:
        made = wanted_scheme(other, swap.wanted, shape_of(person.master, week))
        return replace(made, sets=min(made.sets, max(2, scheme.sets)))
    if other.slug != slot.exercise:
        bout = slot.bout(week)
        if bout is not None:
            return amount_as(person.catalogue.get(slot.exercise), other, scheme, bout)
        scheme = replace(scheme_as(other, scheme), load_kg=None, pct=None)
        if other.slug not in person.context.estimates.lifts:
            scheme = first_time(scheme)
    if swap.eased and slot.part in STRENGTH_PARTS:
        scheme = eased_scheme(scheme, swap.eased)
    return scheme


def shape_of(master: Master, week: int) -> WeekShape:
    """A week of the master as the parts that are made for a person need it."""
    kind = as_week_kind(master.week_kinds[week])
    share = DELOAD_SHARE if kind in ("deload", "return") else 1.0
    return WeekShape(week + 1, kind, master.week_rpe[week], share)


def cause_words(exercise: Exercise, slot: TemplateEntry, verdict: Verdict, place: Place, person: _Person) -> str:
    """Why an entry is not as it was, in few words: the restriction, the history, or what is missing where."""
    rule = limiting_rule(exercise, slot, verdict, person)
    if rule is not None:
        side = "" if rule.side == "both" else f"{rule.side} "
        waits = ", no clearance" if rule.needs_clearance and rule.clearance is None else ""
        return f"{side}{SAID.get(rule.joint, rule.joint)} limitation{waits}"
    tokens = person.context.tokens(place.id)
    if exercise.equipment and not any(option <= tokens for option in exercise.equipment):
        missing = min((sorted(option - tokens) for option in exercise.equipment), key=lambda one: (len(one), one))
        return f"no {' and '.join(equipment_in_words(token) for token in missing)} at {place_word(place.id)}"
    return "pregnancy" if person.trainee.screening.pregnant else "history of back trouble"


def own_step(slot: TemplateEntry, place: Place, taken: set[str], person: _Person) -> _Slot | None:
    """A skill slot as the person's own step of its progression, or None where it stays what it is.

    In a text the step stays as written where nothing tells where the person stands.
    """
    if slot.bouts:
        return own_step_in_bout(slot, place, person)
    climb, step = slot.progression, slot.step
    if climb is None:
        climb, step = person.catalogue.step_of(slot.exercise) or (None, None)
    progression = person.catalogue.progressions.get(climb or "")
    if progression is None:
        return None
    reached = max((one.step for one in person.trainee.steps if one.progression == progression.slug), default=None)
    if reached is None and slot.progression is None:
        return None
    exercise = person.catalogue.get(slot.exercise)
    tokens = person.context.tokens(place.id)
    verdict = judge(exercise, person.trainee.restrictions, tokens, person.trainee, slot.dials)
    if reached == step and verdict.allowed and not is_new_crop(verdict, Entry(slot.exercise, (), "", dials=slot.dials)):
        return None
    shapes = tuple(shape_of(person.master, week) for week in range(len(person.master.week_kinds)))
    brief = replace(person.context.brief, skill=progression.slug)
    part = skill_part(person.catalogue, person.trainee, brief, [place], shapes)
    made = next(iter(part.by_day[0]), None)
    if made is None:
        why = " ".join(one.why for one in part.unmet)
        return _Slot(("", 0), None, None, (Note("left out", "left out: no open step", why),))
    if made.exercise == slot.exercise and made.dials == slot.dials:
        return None
    other = person.catalogue.get(made.exercise)
    number = [one.number for one in progression.up_to(made.step or 1)]
    told_by = "own step" if reached is not None else "no step on file, the first"
    short = f"{other.name}: {told_by} ({len(number)} of {len(progression.way())})"
    if made.step != (reached or 1) or made.exercise != progression.step(made.step or 1).exercise:
        cause = cause_words(exercise, slot, verdict, place, person) if not verdict.allowed else "own step closed here"
        short = f"{other.name}: {cause}"
    schemes = tuple(
        None if mine is None or theirs is None else replace(theirs, sets=mine.sets, rest_s=mine.rest_s)
        for mine, theirs in zip(slot.schemes, made.schemes, strict=True)
    )
    taken.add(made.exercise)
    why = " ".join((made.why, *(one.why for one in part.unmet)))
    entry = replace(made, schemes=schemes, part=slot.part, superset=slot.superset, filler_wanted=slot.filler_wanted)
    return _Slot(("", 0), None, entry, (Note("own step", short, why),))


def own_step_in_bout(slot: TemplateEntry, place: Place, person: _Person) -> _Slot | None:
    """A movement of a bout as the person's own step, for as long as it took, or None where it stays what it is."""
    exercise = person.catalogue.get(slot.exercise)
    found = step_for_rounds(exercise, person.trainee, person.catalogue, person.context.tokens(place.id))
    if found is None:
        return None
    other = person.catalogue.get(found.exercise)
    schemes = as_stand_in(slot, exercise, other, eased=False)
    bouts = without_old_target(slot.bouts)
    entry = replace(slot, exercise=other.slug, dials=found.dials, schemes=schemes, bouts=bouts, why=found.why)
    return _Slot(("", 0), None, entry, (Note("own step", f"{other.name}: own step", found.why),))


def made_gentler(slot: _Slot, person: _Person) -> _Slot:
    """A slot within the gentle limits of a person: effort and repetitions bend, and it is said."""
    if person.limits is None or slot.entry is None or slot.entry.part not in STRENGTH_PARTS:
        return slot
    schemes = tuple(
        None if scheme is None else gentler_scheme(scheme, person.rpe_limit(week))
        for week, scheme in enumerate(slot.entry.schemes)
    )
    if schemes == slot.entry.schemes:
        return slot
    why = person.limits[1]
    short = f"RPE {max(person.limits[0]):g} at most: {why.split(':')[0].lower()}"
    return replace(slot, entry=replace(slot.entry, schemes=schemes), notes=(*slot.notes, Note("easier", short, why)))


def gentler_scheme(scheme: Scheme, limit: float | None) -> Scheme:
    """The scheme with no more effort than a limit: plain sets of eight and more, nothing done inside them."""
    if limit is None:
        return scheme
    scheme = scheme.as_straight()
    rir = scheme.rir
    if scheme.reps is not None or rir is not None:
        rir = max(10.0 - limit, rir if rir is not None else 0.0)
    if scheme.basic not in ("straight", "ramp") or scheme.reps is None:
        return replace(scheme, rir=rir)
    reps = (max(scheme.reps[0], GENTLE_REPS[0]), max(scheme.reps[1], GENTLE_REPS[1]))
    if scheme.reps[0] >= GENTLE_REPS[0]:
        reps = scheme.reps
    return replace(scheme, rir=rir, reps=reps, load_kg=None, pct=None)


# Doses and minutes


def dosed_rows(
    session: MasterSession, slots: Sequence[_Slot], day: TrainingDay, place: Place, person: _Person
) -> list[list[Row]]:
    """The entries of every week with loads, ramp sets and stand-ins, in the order done.

    Rests of a block stay as the master has them; a text has none for fillers yet.
    """
    ready(slots, place, person)
    there = [slot for slot in slots if slot.entry is not None]
    cap = None if session.origin else day.minutes
    template = TemplateSession(day.day, place.id, cap, tuple(cast(TemplateEntry, slot.entry) for slot in there))
    is_same = is_master_person(person)
    return [
        rows_of_week(session, template, there, week, person, is_same) for week in range(len(person.master.week_kinds))
    ]


def rows_of_week(
    session: MasterSession,
    template: TemplateSession,
    slots: Sequence[_Slot],
    week: int,
    person: _Person,
    is_same: bool,
) -> list[Row]:
    """The entries of one week, each with its slot; none where nothing but a warm-up is left."""
    here = [(slot, slot.entry) for slot in slots if slot.entry is not None and slot.entry.schemes[week] is not None]
    if all(entry.part == "warm-up" for _, entry in here):
        return []
    rows: list[Row] = []
    for part in compose_session(template, week, len(person.master.week_kinds), person.context).parts:
        mine = [slot for slot, entry in here if entry.part == part.part]
        if not mine:
            rows += [Row(("own warm-up", number), part.part, entry) for number, entry in enumerate(part.entries)]
            continue
        for slot, made in zip(mine, part.entries, strict=True):
            entry = made
            if is_same and not slot.notes and session.origin and slot.number is not None:
                entry = session.origin[slot.number][week] or made
            rows.append(Row(slot.key, part.part, entry, is_kept=slot.is_wanted, touched=bool(slot.notes)))
    return rows


def is_master_person(person: _Person) -> bool:
    """True when the master was made for this very person, as strong and as limited: then its loads are theirs too."""
    other = person.master.person
    if other is None or tuple(person.context.places.values()) != person.master.places:
        return False
    mine = person.trainee
    same = replace(other, id=mine.id, name=mine.name, days=mine.days)
    whole = for_whole_block(same, person.context.on, len(person.master.week_kinds))
    return whole == mine and person.context.brief.risk == person.master.brief.risk


def ready(slots: Sequence[_Slot], place: Place, person: _Person) -> None:
    """Stand-ins of the slots, taken from what is shared, for ``compose.compose_entry``."""
    rules, left_out = person.trainee.restrictions, person.context.brief.exclude
    for slot in slots:
        entry = slot.entry
        if entry is None or entry.part == "warm-up" or person.context.is_sketch:
            continue
        exercise = person.catalogue.get(entry.exercise)

        def stand_ins(exercise: Exercise = exercise) -> tuple[Alternative, ...]:
            near = tokens_that_matter(exercise, place, person)
            return person.memory.remember(
                ("alternatives", exercise.slug, near, person.like_key, left_out),
                lambda: alternatives_for_entry(exercise, person.catalogue, near, rules, person.like, left_out),
            )

        person.context.remember(("alternatives", entry.exercise, place.id, entry.part), stand_ins)


def short_warm_ups(rows: list[list[Row]], cap: float, place: Place, person: _Person) -> list[list[Row]]:
    """Weeks that are too long for a day of up to 40 min, with a warm-up of five: a shorter raise, then fewer drills."""
    if cap > SHORT_DAY_MIN:
        return rows
    found = []
    for week in rows:
        parts = parts_of(week)
        if not week or session_minutes_of(parts, person.catalogue, place) <= cap + 1e-6:
            found.append(week)
            continue
        drills = [row for row in week if row.part == "warm-up"]
        others = [row for row in week if row.part != "warm-up"]
        drills = [replace(row, entry=shorter_raise(row.entry)) for row in drills]
        while len(drills) > 1 and warm_up_s(drills, person, place) > SHORT_WARM_UP_S:
            drills.pop()
        found.append([*drills, *others])
    return found


def warm_up_s(drills: Sequence[Row], person: _Person, place: Place) -> float:
    """Seconds of a warm-up."""
    return 60.0 * session_minutes_of(parts_of(drills), person.catalogue, place)


def shorter_raise(entry: Entry) -> Entry:
    """A warm-up entry with three minutes of getting warm at most."""
    return replace(
        entry,
        sets=tuple(
            replace(one, time_s=min(one.time_s, SHORT_RAISE_S)) if one.time_s is not None else one for one in entry.sets
        ),
    )


def parts_of(rows: Sequence[Row]) -> tuple[Part, ...]:
    """The rows of a week as parts of a session."""
    by_part: dict[PartName, list[Entry]] = {}
    for row in rows:
        by_part.setdefault(row.part, []).append(row.entry)
    return tuple(Part(name, tuple(by_part[name])) for name in PART_ORDER if name in by_part)


def after_cut(
    slots: Sequence[_Slot], rows: Sequence[Sequence[Row]], cut: Cut, day: TrainingDay, person: _Person
) -> tuple[list[_Slot], list[list[Row]]]:
    """Slots and weeks without what the minutes of the day don't hold."""
    made = [
        [
            replace(row, entry=with_sets(row.entry, kept.get(row.key, row.sets)))
            for row in week
            if kept.get(row.key, row.sets) or row.key not in kept
        ]
        for week, kept in zip(rows, cut.kept, strict=True)
    ]
    whole = {(row.key, week): row.sets for week, here in enumerate(rows) for row in here}
    told_slots = []
    for slot in slots:
        lost = {week: kept[slot.key] for week, kept in enumerate(cut.kept) if slot.key in kept}
        if not lost:
            told_slots.append(slot)
            continue
        weeks_there = [week for week in range(len(rows)) if (slot.key, week) in whole]
        sets = {week: whole[slot.key, week] for week in lost}
        note = cut_note(lost, weeks_there, sets, day.minutes, person.master.week_kinds)
        told_slots.append(replace(slot, notes=(*slot.notes, note)))
    return told_slots, made


def cut_note(
    lost: dict[int, int], weeks_there: Sequence[int], whole: dict[int, int], minutes: float, kinds: Sequence[str]
) -> Note:
    """What an entry loses to the minutes, in few words."""
    why = f"{minutes:g} min hold no more; of all ways to fit, this one changes and loses least."
    words = []
    fewer = [week for week, count in sorted(lost.items()) if count]
    if fewer:
        counts, most = sorted({lost[week] for week in fewer}), sorted({whole[week] for week in fewer})
        kept = f"{counts[0]}" if len(counts) == 1 else f"{counts[0]} to {counts[-1]}"
        of = f" of {most[0]}" if len(most) == 1 else ""
        sets = "set" if most[-1] == 1 or (kept == "1" and not of) else "sets"
        words.append(f"{kept}{of} {sets}{in_weeks(fewer, weeks_there, kinds)}")
    gone = [week for week, count in sorted(lost.items()) if not count]
    if gone:
        words.append(f"left out{in_weeks(gone, weeks_there, kinds)}")
    kind = "left out" if len(gone) == len(weeks_there) else "fewer sets"
    return Note(kind, f"{', '.join(words)}: {minutes:g} min", why, frozenset(lost))


def in_weeks(weeks: Sequence[int], weeks_there: Sequence[int], kinds: Sequence[str]) -> str:
    """In which weeks, 0 the first: nothing where in all, `` in weeks 2 to 5``, or `` except in easier weeks``."""
    if len(weeks) == len(weeks_there):
        return ""
    if list(weeks) == [week for week in weeks_there if kinds[week] != "deload"] and len(weeks) > 2:
        return " except in easier weeks"
    numbers = [week + 1 for week in weeks]
    return f" in week{'s' if len(numbers) > 1 else ''} {spoken(numbers)}"


def spoken(numbers: Sequence[int]) -> str:
    """Numbers of weeks as one says them: ``2``, ``2 to 5``, ``4, 7``."""
    if len(numbers) > 2 and list(numbers) == list(range(numbers[0], numbers[-1] + 1)):
        return f"{numbers[0]} to {numbers[-1]}"
    return ", ".join(str(one) for one in numbers)


def composed(
    session: MasterSession, rows: Sequence[Sequence[Row]], day: TrainingDay, place: Place, person: _Person
) -> tuple[list[Session | None], list[Change]]:
    """The session of every week, and a line for each entry that lost the partner of its superset."""
    made: list[Session | None] = []
    changes = []
    for week, here in enumerate(rows):
        parts = []
        for part in parts_of(here):
            alone = tuple(free_lonely_supersets(part.entries))
            parts.append(Part(part.part, alone))
            for old, new in zip(part.entries, alone, strict=True):
                if old.superset and not new.superset:
                    name = person.catalogue.get(new.exercise).name
                    why = "The partner of the superset is not there."
                    was = f"{name} in superset {old.superset}"
                    changes.append(Change(week + 1, day.day, name, was, "on its own", why))
        if not parts:
            made.append(None)
            continue
        minutes = session_minutes_of(parts, person.catalogue, place)
        made.append(Session(day.day, place.id, minutes, tuple(parts), day.minutes, session.title))
    return made, changes


def retitled(session: MasterSession, slots: Sequence[_Slot], person: _Person) -> str:
    """The title of a session, with the names of exercises that were exchanged."""
    title = session.title
    for slot in slots:
        if slot.number is None or slot.entry is None:
            continue
        was = person.catalogue.get(session.slots[slot.number].exercise).name
        title = title.replace(was, person.catalogue.get(slot.entry.exercise).name)
    return title


# What is said


def told(
    session: MasterSession, slots: Sequence[_Slot], rows: Sequence[Sequence[Row]], day: TrainingDay, person: _Person
) -> tuple[tuple[Cell, ...], tuple[Change, ...], tuple[Unmet, ...]]:
    """Cells of the table, changes with reasons, and what could not be met."""
    cells, changes, unmet = [], [], []
    by_week = [{row.key: row.entry for row in here} for here in rows]
    for slot in slots:
        assert slot.number is not None
        old = session.slots[slot.number]
        entries = tuple(week.get(slot.key) for week in by_week)
        there = slot.entry.exercise if slot.entry is not None and any(entries) else None
        cells.append(Cell(there, slot.notes, entries))
        if slot.lacks_cue and there is not None:
            name = person.catalogue.get(there).name
            unmet.append(Unmet(f"a cue for the {name} on {day.day.capitalize()}", "None is on file."))
        notes = differences(slot.notes)
        if not notes:
            continue
        name = asked_name(session.asked(slot.number), old.exercise, person.catalogue)
        for week, scheme in enumerate(old.schemes):
            why = why_in(notes, week, entries[week] is None)
            if scheme is None or not why:
                continue
            entry = entries[week]
            to = "rests" if entry is None else in_words(entry, person.catalogue)
            changes.append(Change(week + 1, day.day, name, asked_words(name, scheme), to, why))
        if there is None and old.part in STRENGTH_PARTS:
            unmet.append(Unmet(f"{name} on {day.day.capitalize()}", why_in(notes, None, True)))
    return tuple(cells), tuple(changes), tuple(unmet)


def why_in(notes: Sequence[Note], week: int | None, is_out: bool) -> str:
    """Why an entry differs in a week, 0 the first, or in all where None; empty where it does not.

    What the minutes leave out needs no word of what stood there before.
    """
    here = [note for note in notes if week is None or note.weeks is None or week in note.weeks]
    if is_out and any(note.weeks is not None for note in here):
        here = [note for note in here if note.weeks is not None]
    return " ".join(dict.fromkeys(note.why for note in here))


def asked_words(name: str, scheme: Scheme) -> str:
    """What the master asks, without a load: ``front squat, 4 x 5-6``."""
    if scheme.reps:
        low, high = scheme.reps
        dose = f"{low}" if low == high else f"{low}-{high}"
    elif scheme.hold_s:
        dose = f"{scheme.hold_s:g} s hold"
    elif scheme.distance_m:
        dose = f"{scheme.distance_m:g} m"
    else:
        dose = f"{scheme.time_s or 0:g} s"
    return f"{name}, {scheme.sets} x {dose}"
