"""A master block: what the coach wants of everybody, before it is fitted to anybody.

It comes from a block that was made for somebody, or from a text in shorthand, and holds sessions, exercises, order,
sets and effort. Its loads belong to the person it was made for and are not handed on.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from setwright.catalogue.store import Catalogue
from setwright.people.place import Place
from setwright.people.trainee import Day, Trainee
from setwright.plan.arrange import PART_ORDER
from setwright.plan.as_template import template_of
from setwright.plan.block import Block, Entry
from setwright.plan.brief import Brief
from setwright.plan.pairing import scheme_work_s
from setwright.plan.shorthand import WrittenBlock
from setwright.plan.template import Scheme, TemplateEntry, TemplateSession
from setwright.strength.estimates import Estimates

SETTLED_S, WARM_UP_S = 75.0, 8 * 60.0  # of a written session, which is not dosed yet: change-over and warm-up
OWN_LOADS = "Kilograms of the text are not handed on: everybody gets their own load for these sets at this effort."
# What a set says where its repetitions are not the wanted ones, because the place lacked the right load.
OTHER_REPS = ("more reps instead", "more repetitions instead", "fewer reps", "fewer repetitions")


@dataclass(frozen=True)
class Asked:
    """What the line of a kept session asks of each person: the own step of a progression, an own cue.

    step : slug of the progression, or empty; cue : the usual words, empty for none, None where no cue is asked for
    """

    step: str = ""
    cue: str | None = None


@dataclass(frozen=True)
class MasterSession:
    """One day of the master.

    slots : its entries in the order done, warm-up first where it has one; schemes are None in weeks without them
    origin : for each slot, its entry in each week as the master has it, or None; empty for a text
    minutes : of its longest week
    asks : for each slot what a kept session asks of each person, or None; empty where it is none
    label : how it is called where the text names no weekday, ``Day 1``: it falls on whatever day somebody trains
    """

    day: Day
    title: str
    slots: tuple[TemplateEntry, ...]
    origin: tuple[tuple[Entry | None, ...], ...]
    minutes: float
    asks: tuple[Asked | None, ...] = ()
    label: str = ""

    def asked(self, number: int) -> Asked:
        """What a slot asks of each person; nothing where it is no line with placeholders."""
        return (self.asks[number] if self.asks else None) or Asked()


@dataclass(frozen=True)
class Master:
    """The block that everybody's version is nearest to.

    person : for whom it was made, or None for a text; notes : what to say of it as a whole
    name_mark : the word that stands for everybody's name in titles and notes; empty where none does
    """

    id: str
    title: str
    sessions: tuple[MasterSession, ...]
    week_kinds: tuple[str, ...]
    week_rpe: tuple[float, ...]
    brief: Brief
    door: Literal["design", "write"]
    person: Trainee | None = None
    places: tuple[Place, ...] = ()
    notes: tuple[str, ...] = ()
    name_mark: str = ""

    def named(self, text: str, name: str = "everybody") -> str:
        """A text of the master with somebody's name where it asks for it."""
        return text.replace(self.name_mark, name) if self.name_mark else text


def master_of_block(block: Block, catalogue: Catalogue, estimates: Estimates) -> Master:
    """The master in a block; ``estimates``: what is known of the person it was made for, for shares of it.

    A load that the coach wrote without an effort is handed on as that share of everybody's own maximum.
    """
    sessions = []
    for day in dict.fromkeys(session.day for week in block.weeks for session in week.sessions):
        found = [next((one for one in week.sessions if one.day == day), None) for week in block.weeks]
        rows: dict[tuple[object, ...], dict[int, Entry]] = {}
        order: list[tuple[object, ...]] = []
        for number, session in enumerate(found):
            seen: dict[tuple[object, ...], int] = {}
            at = 0
            for part in session.parts if session is not None else ():
                for entry in part.entries:
                    name = (part.part, entry.exercise, repr(sorted(entry.dials.items())), entry.progression, entry.step)
                    seen[name] = seen.get(name, 0) + 1
                    key = (*name, seen[name])
                    if key not in rows:
                        order.insert(at, key)
                    at = order.index(key) + 1
                    rows.setdefault(key, {})[number] = entry
        order.sort(key=lambda key: PART_ORDER.index(key[0]))
        slots = [slot_of(rows[key], key[0], len(block.weeks), block, catalogue, estimates) for key in order]  # type: ignore[arg-type]
        origin = [tuple(rows[key].get(number) for number in range(len(block.weeks))) for key in order]
        here = [one for one in found if one is not None]
        longest = max(one.minutes for one in here)
        sessions.append(MasterSession(day, here[0].title, tuple(slots), tuple(origin), longest))
    return Master(
        id=block.id,
        title=block.title,
        sessions=tuple(sessions),
        week_kinds=tuple(week.kind for week in block.weeks),
        week_rpe=tuple(week.rpe for week in block.weeks),
        brief=block.inputs.brief,
        door=block.door,
        person=block.inputs.trainee,
        places=block.inputs.places,
    )


def slot_of(
    by_week: dict[int, Entry], part: str, weeks: int, block: Block, catalogue: Catalogue, estimates: Estimates
) -> TemplateEntry:
    """The entries of one exercise over the weeks as one template entry."""
    made = {number: template_of(entry, part) for number, entry in by_week.items()}  # type: ignore[arg-type]
    first = made[min(made)]
    schemes: list[Scheme | None] = []
    lighter: list[float] = []
    for number in range(weeks):
        scheme = made[number].schemes[0] if number in made else None
        if scheme is not None:
            scheme = replace(scheme, reps=wanted_reps(by_week, number, scheme))
            scheme = as_meant(scheme, by_week[number], part, lighter, catalogue, estimates)
        schemes.append(scheme)
    bouts = tuple(by_week[number].bout if number in by_week else None for number in range(weeks))
    return replace(
        first,
        schemes=tuple(schemes),
        cautions=(),
        filler_wanted=any(e.filler for e in by_week.values()),
        bouts=bouts if any(bouts) else (),
    )


def wanted_reps(by_week: dict[int, Entry], number: int, scheme: Scheme) -> tuple[int, int] | None:
    """The repetitions that were wanted: those of the nearest week where no coarse load of the place moved them."""

    def was_moved(entry: Entry) -> bool:
        return any(words in one.note for one in entry.sets for words in OTHER_REPS)

    if not was_moved(by_week[number]):
        return scheme.reps
    straight = [week for week, entry in by_week.items() if not was_moved(entry)]
    if not straight:
        return scheme.reps
    nearest = min(straight, key=lambda week: (abs(week - number), week))
    return next((one.reps for one in by_week[nearest].sets if one.kind != "ramp"), scheme.reps)


def as_meant(
    scheme: Scheme, entry: Entry, part: str, lighter: list[float], catalogue: Catalogue, estimates: Estimates
) -> Scheme:
    """The scheme with what its loads tell of it: light work, steps up of range work, shares of the maximum.

    lighter : lighter loads of this range work in the weeks before; grows
    """
    work = next((one for one in entry.sets if one.kind != "ramp"), None)
    if work is None or work.load_kg is None:
        return scheme
    exercise = catalogue.get(entry.exercise)
    if part == "loaded-mobility":
        steps = sum(1 for load in lighter if load < work.load_kg - 1e-9)
        if work.load_kg not in lighter:
            lighter.append(work.load_kg)
        return replace(scheme, steps_up=steps)
    if scheme.basic not in ("straight", "ramp", "hold-reps-hold", "lowering"):
        return scheme
    if work.chance is None and work.load_means != "assistance" and not scheme.inside and scheme.back_offs is None:
        return replace(scheme, light=True)
    if scheme.rir is None:
        known = estimates.for_exercise(exercise.slug)
        share = (work.load_kg + known.body_part_kg) / max(1e-9, known.posterior.one_rm().mean)
        return replace(scheme, pct=round(share, 4)) if share <= 1.0 else scheme
    return scheme


def master_of_text(written: WrittenBlock, brief: Brief, catalogue: Catalogue) -> Master:
    """The master in a text. Loads in kilograms become sets at the effort of the line, or of its week."""
    sessions, dropped = [], False
    rpe = written.template.week_rpe
    for session in written.template.sessions:
        slots = []
        for entry in session.entries:
            schemes = tuple(
                None
                if one is None
                else replace(one, load_kg=None)
                if entry.bouts
                else without_kilograms(one, rpe[week])
                for week, one in enumerate(entry.schemes)
            )
            dropped = dropped or schemes != entry.schemes
            slots.append(replace(entry, schemes=schemes))
        slots = joined(slots)
        slots.sort(key=lambda one: PART_ORDER.index(one.part))
        minutes = rough_minutes(session, catalogue)
        sessions.append(MasterSession(session.day, session.title, tuple(slots), (), minutes, label=session.label))
    notes = (*written.notes, *((OWN_LOADS,) if dropped else ()))
    content = repr((written.title, written.template))
    bouts = [entry.bouts for session in sessions for entry in session.slots if entry.bouts]
    content += repr(bouts) if bouts else ""
    return Master(
        id=f"mst-{hashlib.sha256(content.encode()).hexdigest()[:12]}",
        title=written.title,
        sessions=tuple(sessions),
        week_kinds=written.template.week_kinds,
        week_rpe=rpe,
        brief=brief,
        door="write",
        notes=notes,
    )


def joined(entries: Sequence[TemplateEntry]) -> list[TemplateEntry]:
    """The entries of a text, lines that say what one exercise does in some weeks as one entry over all of them."""
    found: list[TemplateEntry] = []
    for entry in entries:
        at = next((n for n, one in enumerate(found) if is_of_the_same_line(one, entry)), None)
        if at is None:
            found.append(entry)
            continue
        one = found[at]
        schemes = tuple(mine or theirs for mine, theirs in zip(one.schemes, entry.schemes, strict=True))
        bouts = tuple(mine or theirs for mine, theirs in zip(one.bouts, entry.bouts, strict=True))
        found[at] = replace(one, schemes=schemes, bouts=bouts)
    return found


def is_of_the_same_line(one: TemplateEntry, other: TemplateEntry) -> bool:
    """True for two entries of one named line, each for weeks of its own, that differ in nothing but their sets."""
    if one.written.split(" / ")[0] != other.written.split(" / ")[0] or " / " not in other.written:
        return False
    bare = [replace(each, schemes=(), bouts=(), written="") for each in (one, other)]
    apart = all(mine is None or theirs is None for mine, theirs in zip(one.schemes, other.schemes, strict=True))
    return bare[0] == bare[1] and apart and bool(one.bouts) == bool(other.bouts)


def without_kilograms(scheme: Scheme, week_rpe: float) -> Scheme:
    """A scheme whose load is everybody's own."""
    if scheme.load_kg is None:
        return scheme
    rir = scheme.rir
    if rir is None and scheme.basic in ("straight", "ramp", "hold-reps-hold", "lowering"):
        rir = 10.0 - week_rpe
    return replace(scheme, load_kg=None, rir=rir)


def rough_minutes(session: TemplateSession, catalogue: Catalogue) -> float:
    """Minutes of a written session before it is dosed: enough to choose a day for it."""
    weeks = range(max((len(entry.schemes) for entry in session.entries), default=0))
    return max((rough_week(session.entries, week, catalogue) for week in weeks), default=0.0)


def rough_week(entries: Sequence[TemplateEntry], week: int, catalogue: Catalogue) -> float:
    """Minutes of one week of a written session, pairs and ramp sets left aside."""
    seconds = WARM_UP_S
    counted: set[str | None] = set()
    for entry in entries:
        scheme, bout = entry.schemes[week], entry.bout(week)
        if scheme is not None and bout is not None and bout.time_s is not None:
            seconds += 0.0 if entry.superset in counted else bout.time_s + SETTLED_S
            counted.add(entry.superset)
        elif scheme is not None:
            work = scheme_work_s(catalogue.get(entry.exercise), scheme)
            seconds += scheme.sets * (work + scheme.rest_s) + SETTLED_S
    return seconds / 60.0
