"""A session for everybody: what a block asks without whom it was made for, fitted to each of several places.

Two ideas carry this module. One: nothing is handed on that somebody's measures, limits or equipment made, so loads,
reasons, chances, cropped ranges and free words stay behind, and what is said of an exercise is the catalogue's. Two: a
place is asked entry by entry with nobody in mind, and where nothing good is there it says so and names another way.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.exercise import Exercise, PartName
from setwright.catalogue.store import Catalogue
from setwright.dose.implements import loads_in
from setwright.people.place import Place
from setwright.people.trainee import Day
from setwright.plan.alternatives import Candidate, alternatives_for_entry, stand_ins
from setwright.plan.as_template import scheme_as, template_of
from setwright.plan.block import Block, Entry, Filler, PlannedSet, Session
from setwright.plan.bout import Bout
from setwright.plan.bout_amounts import as_stand_in
from setwright.plan.cautions import NOT_ADVICE, SPOTTER, STOP_RULE
from setwright.plan.gates import judge
from setwright.plan.other_ways import Way, other_ways
from setwright.plan.pace import WALKS, pace_of
from setwright.plan.template import Scheme

ASK_FIRST = (
    "Made for nobody in particular. New to this, pregnant, under 16, or coming back from illness or injury: ask a "
    "coach first, and a licensed clinician where it concerns one."
)
HEAVY_RPE = 8.0
# What a coach wrote of the exercise itself; all else a measure, a limit or help for somebody may have set.
SAFE_DIALS = ("held_angle_deg",)
MOST_SETS = 12
TWICE = "variety: it stands here twice"


@dataclass(frozen=True)
class Variant:
    """What an entry becomes in a place.

    entry : it, or what stands in for it; None where nothing good is there
    kept, lost : of the stand-in, or of the entry without its load; both empty where it is the entry as it is
    ways : where nothing is good, the ways that still train each main muscle
    """

    place: str
    entry: Entry | None
    kept: str = ""
    lost: str = ""
    ways: tuple[Way, ...] = ()

    @property
    def is_same(self) -> bool:
        """True where the entry stays as it is."""
        return self.entry is not None and not self.kept


@dataclass(frozen=True)
class PublicEntry:
    """One entry over the weeks: each run of weeks with what it asks then, and what it becomes in each place.

    climbs : lighter sets lead up to it
    """

    part: PartName
    by_week: tuple[tuple[tuple[int, ...], Entry], ...]
    variants: tuple[Variant, ...] = ()
    climbs: bool = False

    @property
    def first(self) -> Entry:
        """The entry as it is first done."""
        return self.by_week[0][1]


@dataclass(frozen=True)
class PublicSession:
    """One weekday over the weeks. ``minutes``: of its longest week."""

    day: Day
    minutes: float
    weeks: tuple[int, ...]
    entries: tuple[PublicEntry, ...]


@dataclass(frozen=True)
class PublicEdition:
    """What is published: sessions, places in the order asked, easy weeks, and the usual cautions."""

    sessions: tuple[PublicSession, ...]
    weeks: tuple[int, ...]
    places: tuple[Place, ...]
    easy: tuple[int, ...] = ()
    cautions: tuple[str, ...] = (NOT_ADVICE, STOP_RULE, ASK_FIRST)


def public_edition(
    block: Block, catalogue: Catalogue, places: Sequence[Place] = (), weeks: Sequence[int] = (), day: str = ""
) -> PublicEdition:
    """The public edition of a block, of some of its weeks, or of one weekday.

    weeks : all when empty; day : every one when empty
    Raises LookupError where the block has no such session.
    """
    chosen = [week for week in block.weeks if not weeks or week.number in weeks]
    days = dict.fromkeys(one.day for week in chosen for one in week.sessions if not day or one.day == day)
    if not days:
        raise LookupError(f"block {block.id} has no session on {day or 'any day'} of the weeks asked for")
    sessions = []
    for weekday in days:
        by_week = {week.number: one for week in chosen for one in week.sessions if one.day == weekday}
        sessions.append(public_session(by_week, catalogue, places))
    easy = tuple(week.number for week in chosen if week.kind == "deload")
    return PublicEdition(tuple(sessions), tuple(week.number for week in chosen), tuple(places), easy)


def public_session(by_week: Mapping[int, Session], catalogue: Catalogue, places: Sequence[Place]) -> PublicSession:
    """One weekday of some weeks; an entry is the same over the weeks by its part, exercise and place in the order."""
    rows: dict[tuple[PartName, str, int], dict[int, Entry]] = {}
    order: list[tuple[PartName, str, int]] = []
    climbing: set[tuple[PartName, str, int]] = set()
    for number, session in by_week.items():
        seen: dict[tuple[PartName, str], int] = {}
        at = 0
        for part in session.parts:
            for entry in part.entries:
                name = (part.part, entry.exercise)
                seen[name] = seen.get(name, 0) + 1
                key = (*name, seen[name])
                if key not in rows:
                    order.insert(at, key)
                at = order.index(key) + 1
                rows.setdefault(key, {})[number] = for_everybody(entry, catalogue)
                if any(one.kind == "ramp" for one in entry.sets):
                    climbing.add(key)
    tokens = tokens_of(places, catalogue)
    entries = [PublicEntry(key[0], runs_of(rows[key], catalogue, tokens), climbs=key in climbing) for key in order]
    fitted = [fitted_to(place, entries, catalogue) for place in places]
    entries = [replace(one, variants=tuple(row[number] for row in fitted)) for number, one in enumerate(entries)]
    first = next(iter(by_week.values()))
    return PublicSession(first.day, max(one.minutes for one in by_week.values()), tuple(by_week), tuple(entries))


def tokens_of(places: Sequence[Place], catalogue: Catalogue) -> frozenset[str]:
    """The equipment that what-instead is told for: that of the places, or anything where none is named."""
    if places:
        return expand_tokens([token for place in places for token in place.tokens()])
    return frozenset(token for one in catalogue.values() for option in one.equipment for token in option)


def runs_of(
    by_week: Mapping[int, Entry], catalogue: Catalogue, tokens: frozenset[str]
) -> tuple[tuple[tuple[int, ...], Entry], ...]:
    """Weeks in a row that ask the same, with what they ask; the first run also says what instead."""
    runs: list[tuple[list[int], Entry]] = []
    for number, entry in by_week.items():
        if runs and runs[-1][1] == entry:
            runs[-1][0].append(number)
        else:
            runs.append(([number], entry))
    slug = runs[0][1].exercise
    if slug in catalogue:
        instead = alternatives_for_entry(catalogue.get(slug), catalogue, tokens, ())
        runs[0] = (runs[0][0], replace(runs[0][1], alternatives=instead))
    return tuple((tuple(weeks), entry) for weeks, entry in runs)


# What stays behind


def for_everybody(entry: Entry, catalogue: Catalogue) -> Entry:
    """An entry with nobody in it: sets and effort stay, everything else is the catalogue's."""
    exercise = catalogue.get(entry.exercise) if entry.exercise in catalogue else None
    working = tuple(set_for_everybody(one) for one in entry.sets if one.kind != "ramp")
    pace = str(entry.dials.get("pace", "")) or pace_of(entry, catalogue)
    return Entry(
        exercise=entry.exercise,
        sets=working,
        why="" if exercise is None else exercise.purpose,
        superset=entry.superset,
        scheme=entry.scheme,
        cautions=() if exercise is None else usual_cautions(exercise, working),
        dials=own_dials(entry, exercise) | ({"pace": pace} if pace else {}),
        filler=None if entry.filler is None else filler_for_everybody(entry.filler),
        progression=entry.progression,
        step=entry.step,
        bout=None if entry.bout is None else bout_for_everybody(entry.bout),
    )


def set_for_everybody(one: PlannedSet) -> PlannedSet:
    """A set without a load and what follows from one."""
    inside = (replace(each, load_kg=None, pieces="", reps=None if each.left else each.reps) for each in one.inside)
    return PlannedSet(
        kind=one.kind,
        reps=one.reps,
        hold_s=one.hold_s,
        hold_after_s=one.hold_after_s,
        distance_m=one.distance_m,
        time_s=one.time_s,
        rir=one.rir,
        rpe=one.rpe,
        tempo=one.tempo,
        load_means=one.load_means,
        per_side=one.per_side,
        rest_s=one.rest_s,
        inside=tuple(inside),
        load_share=one.load_share,
    )


def own_dials(entry: Entry, exercise: Exercise | None) -> dict[str, object]:
    """The dials that make the exercise what it is, not those that a limit, a measure or help for somebody set."""
    fixed = {} if exercise is None else dict(exercise.dials)
    return {key: one for key, one in entry.dials.items() if key in SAFE_DIALS or fixed.get(key) == one}


def filler_for_everybody(filler: Filler) -> Filler:
    """Work in the rest without the reason somebody has it."""
    return Filler(filler.exercise, filler.reps, filler.hold_s, filler.per_side)


def bout_for_everybody(bout: Bout) -> Bout:
    """A bout without somebody's own pace, watts, heart rate and likely minutes."""
    target = bout.target if bout.target is not None and bout.target.by == "talk" else None
    return replace(bout, target=None if target is None else replace(target, note=""), likely_s=None)


def usual_cautions(exercise: Exercise, working: Sequence[PlannedSet]) -> tuple[str, ...]:
    """What the catalogue warns of, and the spotter for heavy bars over the body."""
    found = list(exercise.cautions)
    heavy = any(one.kind == "work" and (one.rpe or 0.0) >= HEAVY_RPE for one in working)
    barbell = any("barbell" in option for option in exercise.equipment)
    if heavy and barbell and exercise.pattern in ("squat", "push_horizontal", "push_incline"):
        found.append(SPOTTER)
    return tuple(dict.fromkeys(found))


# Fitted to a place


def fitted_to(place: Place, entries: Sequence[PublicEntry], catalogue: Catalogue) -> list[Variant]:
    """What each entry becomes in a place, in the order done; nothing stands in twice where another one is good."""
    tokens = expand_tokens(place.tokens())
    stays = [is_open(one.first, catalogue, tokens) for one in entries]
    taken = {one.first.exercise for one, there in zip(entries, stays, strict=True) if there}
    made = []
    for one, there in zip(entries, stays, strict=True):
        if there:
            bare = is_bare(one.first, place, catalogue)
            made.append(Variant(place.id, one.first, *(BARE if bare else ())))
            continue
        made.append(stood_in(place, one, catalogue, tokens, taken))
        entry = made[-1].entry
        if entry is not None and one.part != "warm-up":
            taken.add(entry.exercise)
    return made


BARE = ("the movement", "its load; go on until what the line says is left")


def is_bare(entry: Entry, place: Place, catalogue: Catalogue) -> bool:
    """True where an entry that is done with a load can be done in a place, but with none."""
    exercise = catalogue.get(entry.exercise)
    is_loaded = exercise.is_dynamic and exercise.load_means in ("total", "each hand")
    return is_loaded and not any(one.load_kg for one in loads_in(place, exercise))


def is_open(entry: Entry, catalogue: Catalogue, tokens: frozenset[str]) -> bool:
    """True where a place has all that an entry needs."""
    known = entry.exercise in catalogue
    return known and judge(catalogue.get(entry.exercise), (), tokens, None, entry.dials).allowed


def stood_in(
    place: Place, one: PublicEntry, catalogue: Catalogue, tokens: frozenset[str], taken: Collection[str]
) -> Variant:
    """A step sideways, or the nearest stand-in, or nothing good and the ways that still train its muscles."""
    entry = one.first
    if entry.exercise not in catalogue:
        return Variant(place.id, None)
    exercise = catalogue.get(entry.exercise)
    part = "assistance" if entry.bout is not None and exercise.mode != "cyclic" else one.part
    found = stand_ins(exercise.slug, catalogue, tokens, (), None, len(catalogue.exercises), part=part)
    good = [row for row in sideways_first(entry, found.rows, catalogue) if row.is_good]
    if not good:
        ways = found.ways or other_ways(exercise, catalogue, tokens, ())
        return Variant(place.id, None, ways=ways)
    best = next((row for row in good if row.exercise not in taken), good[0])
    again = TWICE if best.exercise in taken else ""
    other = catalogue.get(best.exercise)
    lost = again if best.lost == "little" and again else "; ".join(one for one in (best.lost, again) if one)
    return Variant(place.id, as_stood_in(entry, one.part, exercise, other, catalogue), best.kept, lost)


def sideways_first(entry: Entry, rows: Sequence[Candidate], catalogue: Catalogue) -> list[Candidate]:
    """Stand-ins, those that the progression of the entry holds ready first."""
    if entry.progression is None or entry.step is None or entry.progression not in catalogue.progressions:
        return list(rows)
    climb = catalogue.progressions[entry.progression]
    ready = next((one.sideways for one in climb.steps if one.number == entry.step), ())
    return sorted(rows, key=lambda one: one.exercise not in ready)


def as_stood_in(entry: Entry, part: PartName, old: Exercise, other: Exercise, catalogue: Catalogue) -> Entry:
    """The stand-in with the sets that it can carry, at the effort of the entry."""
    template = template_of(entry, part)
    (scheme,) = as_stand_in(template, old, other, False) if entry.bout is not None else template.schemes
    if scheme is None:
        return replace(entry, exercise=other.slug, sets=())
    if entry.bout is None:
        scheme = in_one_piece(scheme) if other.base in WALKS else scheme_as(other, scheme)
    pace = {"pace": entry.dials["pace"]} if "pace" in entry.dials else {}
    dials = {**other.dials, **pace}
    made = replace(entry, exercise=other.slug, sets=sets_of(scheme, other), dials=dials, alternatives=())
    return for_everybody(replace(made, progression=None, step=None), catalogue)


def in_one_piece(scheme: Scheme) -> Scheme:
    """Pieces with their rests as one piece of whole minutes; what is no time stays as it is."""
    if scheme.time_s is None:
        return scheme
    whole = scheme.time_s if scheme.sets == 1 else scheme.sets * (scheme.time_s + scheme.rest_s)
    return replace(scheme, sets=1, time_s=60.0 * math.ceil(whole / 60.0) if scheme.sets > 1 else whole, rest_s=0.0)


def sets_of(scheme: Scheme, exercise: Exercise) -> tuple[PlannedSet, ...]:
    """The sets of a scheme with no load on them."""
    kinds = {"hold": "hold", "lowering": "lowering", "hold-reps-hold": "hold-reps-hold"}
    one = PlannedSet(
        kind=kinds.get(scheme.basic, "work"),  # type: ignore[arg-type]
        reps=scheme.reps,
        hold_s=scheme.hold_s,
        hold_after_s=scheme.hold_after_s,
        distance_m=scheme.distance_m,
        time_s=scheme.time_s,
        rir=scheme.rir,
        rpe=None if scheme.rir is None else 10.0 - scheme.rir,
        tempo=scheme.tempo,
        load_means=exercise.load_means,
        per_side=scheme.is_each_side(exercise),
        rest_s=scheme.rest_s,
        inside=scheme.inside,
    )
    return (one,) * min(scheme.sets, MOST_SETS)
